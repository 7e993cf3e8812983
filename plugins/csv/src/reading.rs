//! From the lines of a file to frames.

use std::io::Read;

use restrand_kit::sheet::{Cell, HeaderSearch, SheetReader};
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
}

/// A file whose sheet is known.
struct Known<'a> {
    file: &'a File<'a>,
    letters: Letters,
    form: Form,
    sheet: &'static Sheet,
}

impl<'f> Reading<'f> {
    pub(crate) fn new(frames: &'f mut dyn Frames) -> Self {
        Self { frames, tables: 0 }
    }

    /// Reads one file.
    ///
    /// # Errors
    /// The file as a whole cannot be read, or the taker wants no more.
    pub(crate) fn file(&mut self, file: &File<'_>) -> Result<(), LoadError> {
        let letters = file.read(|bytes| Ok(Letters::of(bytes)?))?;
        let beginning = file.read(|bytes| Ok(Text::new(bytes, letters).beginning(LOOKED_AT)?))?;
        let form = Form::of(&file.name, &beginning);
        if form.known == 0 && form::is_aside(&file.name) {
            return Ok(());
        }
        let Some(sheet) = form.sheet else {
            return Ok(self.unknown(&file.name)?);
        };
        if letters.assumed {
            self.problem(
                ProblemKind::Assumed,
                Place::Part { part: file.name.clone() },
                &file.name,
                format!("states no encoding, and is read as {}", letters.name()),
                "look at letters such as ø, ±, ½ and ä; saved as UTF-8, the file leaves no doubt",
            )?;
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
                reader = search.row(line, &cells, self.tables, self.frames)?;
                if reader.is_some() {
                    self.tables += 1;
                    let width = records.width();
                    records.is_headers();
                    if width > COLUMNS {
                        self.too_wide(known, line, width)?;
                    }
                } else if search.is_over() {
                    break;
                }
                continue;
            };
            if records.has_beyond() {
                self.shifted(known, &records)?;
                continue;
            }
            let cells = cells(&records, Some(reader));
            if reader.must_weigh(&cells) {
                known.file.read(|bytes| known.weigh(reader, bytes))?;
                reader.weighed();
            }
            reader.row(line, &cells, self.frames)?;
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
            None if speaks => self.frames.take(Frame::Problem(search.not_found()))?,
            None => {}
        }
        Ok(())
    }

    /// Says that a file is no sheet of the layout.
    fn unknown(&mut self, name: &str) -> Result<(), Stopped> {
        let help = match form::meant(name) {
            Some(sheet) => format!("did you mean \"{}.csv\"?", sheet.name),
            None => "if it holds part of the schedule, name it as the layout names its sheets, as \
                     Tendons.csv, and head its columns as the layout does"
                .to_owned(),
        };
        self.problem(
            ProblemKind::SheetUnknown,
            Place::Part { part: name.to_owned() },
            name,
            "neither its name nor its headers are those of a sheet of the layout".to_owned(),
            &help,
        )
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
