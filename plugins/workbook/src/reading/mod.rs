//! From the sheets and cells of a workbook, whatever its format, to frames.

mod rows;

use std::collections::HashSet;

use restrand_kit::recognise::{self, Mapping};
use restrand_kit::sheet::{ForeignSheet, HeaderSearch};
use restrand_kit::{Frame, Frames, LoadError, Stopped};
use restrand_model::reading::{Origin, Place, Problem, ProblemKind};
use restrand_model::sheet::{self, Sheet};

use rows::Stage;
pub(crate) use rows::{SheetReading, fits};

/// Rows of a sheet in the newest format.
pub(crate) const ROWS: u32 = 1_048_576;
/// Columns of a sheet in the newest format.
pub(crate) const COLUMNS: u32 = 16_384;

/// Whether a sheet of this name is one that is written for people and not read.
pub(crate) fn is_aside(name: &str) -> bool {
    let name = sheet::plain(name);
    sheet::ASIDE.iter().any(|aside| sheet::plain(aside) == name)
}

/// The reading of one workbook.
pub(crate) struct Reading<'f> {
    part: String,
    frames: &'f mut dyn Frames,
    tables: u32,
    names: HashSet<String>,
    mapping: &'f Mapping,
    /// Sheets that are not in the schedule's own layout, with what is to be said if no table is found in them.
    waiting: Vec<(recognise::Sheet, Problem)>,
    /// The sheets of the layout that were read.
    own: HashSet<&'static str>,
}

impl<'f> Reading<'f> {
    pub(crate) fn new(part: &str, mapping: &'f Mapping, frames: &'f mut dyn Frames) -> Self {
        Self {
            part: part.to_owned(),
            frames,
            tables: 0,
            names: HashSet::new(),
            mapping,
            waiting: Vec::new(),
            own: HashSet::new(),
        }
    }

    /// Whether sheets that are not in the schedule's own layout are looked at as a whole.
    fn recognises(&self) -> bool {
        !self.own.contains("Tendons") || !self.mapping.is_empty()
    }

    /// The sheets that wait, to be told what their cells do not say.
    pub(crate) fn waiting(&mut self) -> impl Iterator<Item = &mut recognise::Sheet> {
        let wanted = self.recognises();
        self.waiting.iter_mut().map(|(sheet, _)| sheet).filter(move |_| wanted)
    }

    /// Reads the sheets that wait; of those without a table it says what there is to say.
    pub(crate) fn finish(&mut self) -> Result<(), Stopped> {
        let waiting = std::mem::take(&mut self.waiting);
        if waiting.is_empty() {
            return match self.mapping.unheard(&self.part) {
                Some(problem) => self.frames.take(Frame::Problem(problem)),
                None => Ok(()),
            };
        }
        let (sheets, problems): (Vec<_>, Vec<_>) = waiting.into_iter().unzip();
        let recognises = self.recognises();
        let unread: Vec<String> = if recognises {
            recognise::read(sheets, self.mapping, &mut self.tables, self.frames)?
        } else {
            sheets.into_iter().map(|sheet| sheet.name).collect()
        };
        for problem in problems {
            if unread.contains(&problem.subject) {
                let problem = if recognises { recognise::unheaded(problem) } else { problem };
                self.frames.take(Frame::Problem(problem))?;
            }
        }
        Ok(())
    }

    /// Begins a sheet, if the layout has one of this name.
    pub(crate) fn sheet<'c>(&mut self, name: &str) -> Result<Option<SheetReading<'c>>, Stopped> {
        if is_aside(name) {
            return Ok(None);
        }
        // Readers find sheets by name, and would give the first of two again.
        if !self.names.insert(name.to_owned()) {
            self.problem_of_sheet(
                ProblemKind::SheetLost,
                name,
                "another sheet of the workbook has the same name".to_owned(),
                "give each sheet a name of its own; the first one is read".to_owned(),
            )?;
            return Ok(None);
        }
        let stage = match sheet::find(name) {
            Some(found) => {
                let search = HeaderSearch::new(found, &self.part, name);
                match self.mapping.is_of_own(name, found.name) {
                    true => Stage::Gather(Box::new(search.not_found())),
                    false => Stage::Search(search),
                }
            }
            None => Stage::Foreign(ForeignSheet::new(name)),
        };
        Ok(Some(SheetReading::new(&self.part, name, stage)))
    }

    /// The problem of a sheet which the layout does not have, and in which nothing was recognised.
    fn foreign(&self, name: &str, near: Option<&Sheet>) -> Problem {
        let help = match near {
            Some(near) => format!("did you mean \"{}\"?", near.name),
            None => "if it holds part of the schedule, name it as the layout does".to_owned(),
        };
        self.of_sheet(
            ProblemKind::SheetUnknown,
            name,
            "the layout has no sheet of this name".to_owned(),
            help,
        )
    }

    /// The problem of a sheet that is one of the layout but for its name: what it holds is lost, unless the workbook has
    /// the sheet itself before it, of which this one may be a copy.
    fn misnamed(&self, name: &str, meant: &Sheet) -> Problem {
        let meant = meant.name;
        if self.own.contains(meant) {
            return self.of_sheet(
                ProblemKind::SheetUnknown,
                name,
                format!(
                    "its headers are those of the sheet \"{meant}\", which the workbook has as well"
                ),
                format!("put its rows into \"{meant}\", if they are part of the schedule"),
            );
        }
        self.of_sheet(
            ProblemKind::SheetLost,
            name,
            format!("its headers are those of the sheet \"{meant}\", but it has another name"),
            format!(
                "name it \"{meant}\", or put its rows there; take it out of the workbook if it is no part \
                 of the schedule"
            ),
        )
    }

    /// Gives the result of reading a sheet; that one which the layout does not have cannot be read costs
    /// nothing but that sheet.
    pub(crate) fn settle(
        &mut self,
        name: &str,
        is_foreign: bool,
        read: Result<(), LoadError>,
    ) -> Result<(), LoadError> {
        match read {
            Err(LoadError::Unreadable { why, help, .. }) if is_foreign => {
                Ok(self.problem_of_sheet(ProblemKind::SheetUnknown, name, why, help)?)
            }
            read => read,
        }
    }

    fn problem_of_sheet(
        &mut self,
        kind: ProblemKind,
        name: &str,
        why: String,
        help: String,
    ) -> Result<(), Stopped> {
        self.frames.take(Frame::Problem(self.of_sheet(kind, name, why, help)))
    }

    fn of_sheet(&self, kind: ProblemKind, name: &str, why: String, help: String) -> Problem {
        Problem {
            kind,
            place: Place::Sheet { part: self.part.clone(), sheet: name.to_owned() },
            record: Origin::default(),
            subject: name.to_owned(),
            given: None,
            why,
            help,
        }
    }
}
