//! From the lines of a file to frames.

use std::io::Read;

use restrand_kit::recognise::{self, Look, MOST_CELLS, Mapping};
use restrand_kit::sheet::{Cell, HeaderSearch, Searched, SheetReader};
use restrand_kit::{Frame, Frames, LoadError, Stopped};
use restrand_model::reading::{Grid, Origin, Place, Problem, ProblemKind};
use restrand_model::sheet::Sheet;

use crate::files::File;
use crate::form::{self, Form, LOOKED_AT};
use crate::number;
use crate::records::{Field, Records, Step};
use crate::text::{Letters, Text};

/// Columns that are read; no spreadsheet program has more.
const COLUMNS: usize = 16_384;

/// The reading of the files of one input.
pub(crate) struct Reading<'f> {
    frames: &'f mut dyn Frames,
    tables: u32,
    mapping: &'f Mapping,
    /// Whether tendons have been read in the schedule's own layout.
    has_own_tendons: bool,
    /// Files that are not in the schedule's own layout.
    waiting: Vec<Waiting>,
    /// The name of the first file.
    first: Option<String>,
}

/// A file that is not in the schedule's own layout.
struct Waiting {
    sheet: recognise::Sheet,
    /// What is to be said if a table is found in it.
    if_read: Vec<Problem>,
    /// What is to be said if none is.
    if_not: Option<Problem>,
}

/// A file whose sheet is known.
struct Known<'a> {
    file: &'a File<'a>,
    letters: Letters,
    form: Form,
    sheet: &'static Sheet,
}

impl<'f> Reading<'f> {
    pub(crate) fn new(mapping: &'f Mapping, frames: &'f mut dyn Frames) -> Self {
        Self {
            frames,
            tables: 0,
            mapping,
            has_own_tendons: false,
            waiting: Vec::new(),
            first: None,
        }
    }

    /// Reads the files that wait; of those without a table it says what there is to say.
    pub(crate) fn finish(&mut self) -> Result<(), Stopped> {
        let waiting = std::mem::take(&mut self.waiting);
        if waiting.is_empty() {
            let first = self.first.as_deref().unwrap_or_default();
            return match self.mapping.unheard(first) {
                Some(problem) => self.frames.take(Frame::Problem(problem)),
                None => Ok(()),
            };
        }
        let recognises = !self.has_own_tendons || !self.mapping.is_empty();
        let (mut sheets, mut told) = (Vec::new(), Vec::new());
        for Waiting { sheet, if_read, if_not } in waiting {
            told.push((sheet.part.clone(), if_read, if_not));
            sheets.push(sheet);
        }
        let unread: Vec<String> = if recognises {
            let parts: Vec<(String, String)> =
                sheets.iter().map(|sheet| (sheet.name.clone(), sheet.part.clone())).collect();
            let names = recognise::read(sheets, self.mapping, &mut self.tables, self.frames)?;
            let is_unread = |(name, _): &&(String, String)| names.contains(name);
            parts.iter().filter(is_unread).map(|(_, part)| part.clone()).collect()
        } else {
            sheets.into_iter().map(|sheet| sheet.part).collect()
        };
        for (part, if_read, if_not) in told {
            let problems =
                if unread.contains(&part) { if_not.into_iter().collect() } else { if_read };
            for problem in problems {
                let problem = if recognises { recognise::unheaded(problem) } else { problem };
                self.frames.take(Frame::Problem(problem))?;
            }
        }
        Ok(())
    }

    /// Reads one file.
    ///
    /// # Errors
    /// The file as a whole cannot be read, or the taker wants no more.
    pub(crate) fn file(&mut self, file: &File<'_>) -> Result<(), LoadError> {
        self.first.get_or_insert_with(|| file.name.clone());
        let letters = file.read(|bytes| Ok(Letters::of(bytes)?))?;
        let beginning = file.read(|bytes| Ok(Text::new(bytes, letters).beginning(LOOKED_AT)?))?;
        let form = Form::of(&file.name, &beginning);
        if form.known == 0 && form::is_aside(&file.name) {
            return Ok(());
        }
        let Some(sheet) = form.sheet else {
            let problem = unknown(&file.name);
            return self.gather(file, letters, form, Some(problem));
        };
        if self.mapping.is_of_own(form::stem(&file.name), sheet.name) {
            let problem = HeaderSearch::of_lines(sheet, &file.name).not_found();
            return self.gather(file, letters, form, Some(problem));
        }
        if letters.assumed {
            self.frames.take(Frame::Problem(assumed(file, letters)))?;
        }
        let known = Known { file, letters, form, sheet };
        file.read(|bytes| self.rows(&known, bytes))
    }

    fn rows(&mut self, known: &Known<'_>, bytes: &mut dyn Read) -> Result<(), LoadError> {
        let mut text = Text::new(bytes, known.letters);
        let mut records = known.records(&mut text)?;
        let mut search = HeaderSearch::of_lines(known.sheet, &known.file.name);
        let mut reader: Option<SheetReader> = None;
        // A file in which nothing stands is an empty sheet.
        let mut speaks = false;
        loop {
            match records.advance()? {
                Step::End => break,
                Step::TooLong => return Err(known.too_long(records.began())),
                Step::Stray => self.stray(known, records.began())?,
                Step::Record => {}
            }
            let line = records.began();
            let Some(reader) = &mut reader else {
                let cells = cells(&records, None);
                speaks |= cells.iter().any(|(_, cell)| !cell.is_blank());
                match search.row(line, &cells, self.tables, self.frames)? {
                    Searched::Headers => {
                        drop(cells);
                        let width = records.width();
                        records.is_headers();
                        if width > COLUMNS {
                            self.too_wide(known, line, width)?;
                        }
                    }
                    Searched::Row(begun) => {
                        drop(cells);
                        let reader = reader.insert(self.begin(*begun));
                        self.row(known, reader, &records)?;
                    }
                    Searched::Units(begun) => reader = Some(self.begin(*begun)),
                    Searched::No if !search.is_over() => {}
                    Searched::No | Searched::Foreign => break,
                }
                continue;
            };
            self.row(known, reader, &records)?;
        }
        if reader.is_none() {
            let begun = search.end(self.tables, self.frames)?;
            reader = begun.map(|begun| self.begin(begun));
        }
        drop(records);
        if text.is_damaged {
            self.problem(
                ProblemKind::ValueDoubtful,
                Place::Part { part: known.file.name.clone() },
                &known.file.name,
                format!("some of its bytes are no letters in {}", known.letters.name()),
                "look for the letter \u{fffd} among the values, and save the file once more",
            )?;
        }
        match reader {
            Some(reader) => reader.finish(self.frames)?,
            None if speaks => {
                let Known { file, letters, form, .. } = *known;
                let before = self.waiting.len();
                self.gather(file, letters, form, Some(search.not_found()))?;
                // Its encoding has been told of.
                self.waiting[before..].iter_mut().for_each(|waiting| {
                    waiting.if_read.retain(|told| told.kind != ProblemKind::Assumed)
                });
            }
            None => {}
        }
        Ok(())
    }

    /// Begins to read the rows below the headers.
    fn begin(&mut self, reader: SheetReader) -> SheetReader {
        self.tables += 1;
        self.has_own_tendons |= reader.sheet().name == "Tendons";
        reader
    }

    /// Reads a row below the headers.
    fn row<R: Read>(
        &mut self,
        known: &Known<'_>,
        reader: &mut SheetReader,
        records: &Records<R>,
    ) -> Result<(), LoadError> {
        if records.has_beyond() {
            return Ok(self.shifted(known, records)?);
        }
        let cells = cells(records, Some(reader));
        if reader.must_weigh(&cells) {
            known.file.read(|bytes| known.weigh(reader, bytes))?;
            reader.weighed();
        }
        Ok(reader.row(records.began(), &cells, self.frames)?)
    }

    /// Gathers a file that is not in the schedule's own layout as a whole.
    fn gather(
        &mut self,
        file: &File<'_>,
        letters: Letters,
        form: Form,
        if_not: Option<Problem>,
    ) -> Result<(), LoadError> {
        let name = form::stem(&file.name);
        let mut sheet = recognise::Sheet::new(&file.name, name, Grid::Lines);
        let mut if_read: Vec<Problem> =
            letters.assumed.then(|| assumed(file, letters)).into_iter().collect();
        file.read(|bytes| {
            let mut text = Text::new(bytes, letters);
            let mut records = Records::new(&mut text, form.delimiter);
            if form.is_stated {
                records.pass_line()?;
            }
            loop {
                match records.advance()? {
                    Step::End => return Ok(()),
                    Step::Stray | Step::TooLong => if_read.push(Problem {
                        kind: ProblemKind::RecordLost,
                        place: Grid::Lines.place(&file.name, name, records.began(), None),
                        record: Origin::default(),
                        subject: name.to_owned(),
                        given: None,
                        why: "a quotation mark on its line opens a value that does not end as it should".to_owned(),
                        help: "close the value, or double each quotation mark inside".to_owned(),
                    }),
                    Step::Record => {
                        for (index, field) in (0..).zip(records.fields()).take(COLUMNS) {
                            let cell = cell(field, true);
                            if !sheet.push(records.began(), index, &cell, Look::default()) {
                                return Ok(());
                            }
                        }
                    }
                }
            }
        })?;
        if sheet.is_full() {
            if_read.push(Problem {
                kind: ProblemKind::SheetLost,
                place: Place::Part { part: file.name.clone() },
                record: Origin::default(),
                subject: name.to_owned(),
                given: None,
                why: format!("it is not in the schedule's own layout, and only its first {MOST_CELLS} values are read"),
                help: "head its columns as the layout does".to_owned(),
            });
        }
        self.waiting.push(Waiting { sheet, if_read, if_not });
        Ok(())
    }

    /// Says that a file beside the others holds no sheet.
    pub(crate) fn not_a_text(&mut self, name: &str) -> Result<(), Stopped> {
        let why = if name.ends_with('/') {
            "it is a folder, and only files beside each other are read"
        } else {
            "it is no CSV file"
        };
        self.problem(
            ProblemKind::SheetUnknown,
            Place::Part { part: name.to_owned() },
            name,
            why.to_owned(),
            "if it holds part of the schedule, save each of its sheets as CSV",
        )
    }

    fn stray(&mut self, known: &Known<'_>, line: u32) -> Result<(), Stopped> {
        self.problem(
            ProblemKind::RecordLost,
            known.place(line, None),
            known.sheet.record.name,
            "a quotation mark on its line opens a value that does not end as it should".to_owned(),
            "close the value, or put it in quotes and double each quotation mark inside, as \
             \"3/4\"\" rod\"; the lines below are read by themselves",
        )
    }

    /// Says that a line has more values than there are headers, so that nobody can tell which is which.
    fn shifted<R: Read>(&mut self, known: &Known<'_>, records: &Records<R>) -> Result<(), Stopped> {
        let beyond = records.beyond();
        let column = beyond.as_ref().and_then(|(index, _)| u32::try_from(*index).ok());
        self.frames.take(Frame::Problem(Problem {
            kind: ProblemKind::RecordLost,
            place: known.place(records.began(), column),
            record: Origin::default(),
            subject: known.sheet.record.name.to_owned(),
            given: beyond.map(|(_, text)| text.to_owned()),
            why: format!(
                "its line has {} values, and there are {} headers",
                records.width(),
                records.headers()
            ),
            help: format!(
                "put a value that holds the delimiter \"{}\" in quotes, as it shifts those behind it; or give \
                 the further column a header",
                char::from(known.form.delimiter)
            ),
        }))
    }

    fn too_wide(&mut self, known: &Known<'_>, line: u32, width: usize) -> Result<(), Stopped> {
        self.problem(
            ProblemKind::ValueLost,
            known.place(line, u32::try_from(COLUMNS).ok()),
            known.sheet.name,
            format!("of {width} columns the first {COLUMNS} are read"),
            "take out the columns that are no part of the schedule",
        )
    }

    fn problem(
        &mut self,
        kind: ProblemKind,
        place: Place,
        subject: &str,
        why: String,
        help: &str,
    ) -> Result<(), Stopped> {
        self.frames.take(Frame::Problem(Problem {
            kind,
            place,
            record: Origin::default(),
            subject: subject.to_owned(),
            given: None,
            why,
            help: help.to_owned(),
        }))
    }
}

/// The problem of a file that is no sheet of the layout, and in which nothing was recognised.
fn unknown(name: &str) -> Problem {
    let help = match form::meant(name) {
        Some(sheet) => format!("did you mean \"{}.csv\"?", sheet.name),
        None => "if it holds part of the schedule, name it as the layout names its sheets, as \
                 Tendons.csv, and head its columns as the layout does"
            .to_owned(),
    };
    Problem {
        kind: ProblemKind::SheetUnknown,
        place: Place::Part { part: name.to_owned() },
        record: Origin::default(),
        subject: name.to_owned(),
        given: None,
        why: "neither its name nor its headers are those of a sheet of the layout".to_owned(),
        help,
    }
}

/// The problem of a file whose encoding was taken for granted.
fn assumed(file: &File<'_>, letters: Letters) -> Problem {
    Problem {
        kind: ProblemKind::Assumed,
        place: Place::Part { part: file.name.clone() },
        record: Origin::default(),
        subject: file.name.clone(),
        given: None,
        why: format!("states no encoding, and is read as {}", letters.name()),
        help: "look at letters such as ø, ±, ½ and ä; saved as UTF-8, the file leaves no doubt"
            .to_owned(),
    }
}

impl Known<'_> {
    fn records<R: Read>(&self, text: R) -> Result<Records<R>, LoadError> {
        let mut records = Records::new(text, self.form.delimiter);
        if self.form.is_stated {
            records.pass_line()?;
        }
        Ok(records)
    }

    /// Shows all rows below the headers to the reader, for the decimal marks of its columns.
    fn weigh(&self, reader: &mut SheetReader, bytes: &mut dyn Read) -> Result<(), LoadError> {
        let mut text = Text::new(bytes, self.letters);
        let mut records = self.records(&mut text)?;
        let headers = reader.header_row();
        loop {
            match records.advance()? {
                Step::Record if records.began() > headers => {
                    if !records.has_beyond() {
                        let cells = cells(&records, Some(reader));
                        reader.weigh(&cells);
                    }
                }
                Step::Record if records.began() == headers => records.is_headers(),
                Step::Record | Step::Stray => {}
                Step::TooLong => return Err(self.too_long(records.began())),
                Step::End => return Ok(()),
            }
        }
    }

    fn too_long(&self, line: u32) -> LoadError {
        self.file.refuse(
            format!("its line {} is longer than any line of a schedule", u64::from(line) + 1),
            "check that it is a CSV file with a line for each row",
        )
    }

    fn place(&self, line: u32, column: Option<u32>) -> Place {
        Grid::Lines.place(&self.file.name, self.sheet.name, line, column)
    }
}

/// The cells of the last record that say something; below the headers, `reader` knows their columns.
fn cells<'r, R: Read>(
    records: &'r Records<R>,
    reader: Option<&SheetReader>,
) -> Vec<(u32, Cell<'r>)> {
    (0_u32..)
        .zip(records.fields())
        .take(COLUMNS)
        .filter(|(_, field)| !field.text.is_empty())
        .map(|(index, field)| {
            let weighed = reader.is_some_and(|reader| reader.takes_numbers(index));
            (index, cell(field, weighed))
        })
        .collect()
}

/// What a value is: in quotes a text, and else what restrand would write so.
///
/// Numbers whose one mark stands before three digits are left to their column, which is `weighed`.
fn cell(field: Field<'_>, weighed: bool) -> Cell<'_> {
    let text = field.text;
    let is_open = || weighed && text.len() > 4 && text.as_bytes()[text.len() - 4] == b'.';
    match text {
        _ if field.quoted => {}
        "TRUE" => return Cell::Flag(true),
        "FALSE" => return Cell::Flag(false),
        _ => {
            if let Some(number) = number::read(text)
                && !is_open()
            {
                return Cell::Number(number);
            }
        }
    }
    Cell::Text(text.into())
}
