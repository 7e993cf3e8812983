//! Sheets and tables that their author says no longer hold, by name, hidden ones that repeat what is shown, and earlier
//! versions of others.
//!
//! Nothing is taken from them, which is said with its reason; their rows are kept as further values.

mod hidden;
mod lines;
mod measured;
mod names;
mod stage;
mod versions;

use std::collections::BTreeSet;

use restrand_model::reading::{Origin, Place, Problem, ProblemKind, Question, Remark, Understood};

use super::find::Found;
use super::further::cell_name;
use super::grid::Sheet;
use super::table::shown;
use super::{Looked, Mapping, look};
use crate::frame::{Frame, Frames, Stopped};
use crate::sheet::Cell;
use lines::Lines;
pub(super) use names::says_so;
pub(super) use stage::are_versions;

/// What gives way, and why.
pub(super) struct Superseded {
    /// The sheet as it stands, or the part of it that gives way.
    sheet: Sheet,
    /// The numbers of its rows that give way; all where there are none.
    rows: BTreeSet<u32>,
    /// Why, as a clause.
    why: String,
    /// What it is called.
    what: &'static str,
}

impl Superseded {
    pub(super) const fn sheet(&self) -> &Sheet {
        &self.sheet
    }
}

/// Takes out the sheets whose names say that they no longer hold, unless a mapping speaks of them.
pub(super) fn take_named(sheets: &mut Vec<Sheet>, mapping: &Mapping) -> Vec<Sheet> {
    let (named, held) = std::mem::take(sheets)
        .into_iter()
        .partition(|sheet| says_so(&sheet.name) && !mapping.names(&sheet.name));
    *sheets = held;
    named
}

/// What gives way of sheets that have been looked at, which is taken out of them, and of those that were named so.
///
/// Where no other sheet has tendons, those named so are asked.
pub(super) fn settle(
    looked: &mut Vec<Looked>,
    named: Vec<Sheet>,
    mapping: &Mapping,
) -> (Vec<Superseded>, Vec<Question>) {
    let mut superseded = hidden::repeated(looked, mapping);
    measured::ask(looked);
    let (earlier, mut questions) = versions::settle(looked);
    superseded.extend(earlier);
    let (restated, asked) = hidden::restated(looked);
    superseded.extend(restated);
    questions.extend(asked);
    for one in looked.iter_mut().filter(|one| !mapping.names(&one.sheet.name)) {
        superseded.extend(captioned(one));
    }
    let have_tendons = looked.iter().any(has_tendons);
    for mut sheet in named {
        sheet.order();
        sheet.spread();
        if !have_tendons && look::look(sheet.clone(), None, mapping).iter().any(has_tendons) {
            questions.push(question(&sheet));
        }
        let why = "its name says that it no longer holds".to_owned();
        superseded.push(Superseded { sheet, rows: BTreeSet::new(), why, what: "sheet" });
    }
    (superseded, questions)
}

/// Takes rows out of a table of a sheet, which give way to what others state of the same tendons. Of rows that state more
/// than these only what is stated otherwise is taken.
fn give_way(
    sheet: &mut Sheet,
    found: &mut Found,
    rows: BTreeSet<u32>,
    held: &Lines,
    why: String,
) -> Superseded {
    let mut lines = Lines::default();
    lines.add(sheet, found);
    let as_it_stands = sheet.clone();
    if !lines.states_no_more(held) {
        let mut given_way = BTreeSet::new();
        for (row, column) in lines.contradictions(held) {
            let at = sheet.rows.binary_search_by_key(&row, |row| row.number);
            if let Some(cell) = at.ok().and_then(|at| sheet.rows[at].cells.get_mut(&column)) {
                // A blank could mean what stands above.
                cell.cell = Cell::Text("-".into());
                given_way.insert(row);
            }
        }
        let what = "values that it states otherwise";
        return Superseded { sheet: as_it_stands, rows: given_way, why, what };
    }
    take_rows(as_it_stands, found, rows, why)
}

/// Takes rows out of a table of a sheet as it stands.
fn take_rows(sheet: Sheet, found: &mut Found, rows: BTreeSet<u32>, why: String) -> Superseded {
    let body = &sheet.rows[found.body.clone()];
    let all = found.only.take().unwrap_or_else(|| body.iter().map(|row| row.number).collect());
    found.only = Some(all.difference(&rows).copied().collect());
    Superseded { sheet, rows, why, what: "rows" }
}

/// Whether a table of a sheet states what tendons have.
fn has_tendons(one: &Looked) -> bool {
    let lists = ["Tendons", "Ends", "Points"];
    one.found.iter().any(|found| lists.contains(&found.assignment.list))
}

/// The tables of a sheet whose captions say that they no longer hold, taken out of it.
fn captioned(one: &mut Looked) -> Vec<Superseded> {
    let mut superseded = Vec::new();
    let found = std::mem::take(&mut one.found);
    for table in found {
        let caption = table.caption.as_deref().filter(|caption| says_so(caption));
        let Some(caption) = caption else {
            one.found.push(table);
            continue;
        };
        let rows = &one.sheet.rows[table.headers.start..table.body.end];
        let why = format!("\"{caption}\" above it says that it no longer holds");
        let rows = rows.iter().map(|row| row.number).collect();
        superseded.push(Superseded { sheet: one.sheet.clone(), rows, why, what: "table" });
    }
    superseded
}

/// Says what gave way, and keeps its rows.
pub(super) fn tell(
    superseded: &[Superseded],
    further: &mut Vec<(String, String)>,
    frames: &mut dyn Frames,
) -> Result<Vec<Understood>, Stopped> {
    let mut reports: Vec<Understood> = Vec::new();
    for Superseded { sheet, rows, why, what } in superseded {
        let is_so = |number: &u32| rows.is_empty() || rows.contains(number);
        let kept = sheet.rows.iter().filter(|row| is_so(&row.number));
        further.extend(kept.map(|row| (cell_name(sheet, row.number, 0), shown(row))));
        let (part, name) = (sheet.part.clone(), sheet.name.clone());
        let row = rows.first().copied();
        let place = match row {
            Some(row) => sheet.place(row, None),
            None => Place::Sheet { part: part.clone(), sheet: name.clone() },
        };
        frames.take(Frame::Problem(Problem {
            kind: ProblemKind::Assumed,
            place,
            record: Origin::default(),
            subject: match row {
                Some(row) => format!("{name}, row {}", u64::from(row) + 1),
                None => name.clone(),
            },
            given: None,
            why: format!("gives way, as {why}: nothing is taken from the {what}"),
            help: HELP.to_owned(),
        }))?;
        reports.push(Understood {
            part,
            sheet: name,
            tables: Vec::new(),
            remarks: vec![Remark {
                row,
                what: format!(
                    "Nothing is taken from the {what}, as {why}; its rows are kept as further values."
                ),
            }],
            exchanged: Vec::new(),
        });
    }
    Ok(reports)
}

const HELP: &str = "take it out of the file, or, if it holds, show it under a name that does not say otherwise, or let \
                    a mapping file say what it is";

/// Asks whether the only sheet with tendons holds.
fn question(sheet: &Sheet) -> Question {
    let readings =
        ["it holds, whatever its name says", "it no longer holds, and the file has no tendons"];
    Question {
        place: Place::Sheet { part: sheet.part.clone(), sheet: sheet.name.clone() },
        records: Vec::new(),
        subject: "sheet".to_owned(),
        header: sheet.name.clone(),
        given: sheet.name.clone(),
        readings: readings.map(str::to_owned).to_vec(),
        why: "its name says that it no longer holds, and no other sheet has tendons".to_owned(),
        help: HELP.to_owned(),
    }
}
