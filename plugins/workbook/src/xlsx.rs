//! Workbooks of XML parts, cell by cell.
//!
//! The streaming reader is the only one that is used: the other one makes room for every cell between the
//! first and the last, and a sheet of two far cells ends the process.

use std::collections::HashMap;

use calamine::{
    Reader as _, SheetType, SheetVisible, Xlsx, XlsxCellReader, XlsxError, XlsxFormulaMetadata,
};
use restrand_kit::archive::{Source, is_of_the_medium, source};
use restrand_kit::sheet::Cell;
use restrand_kit::{LoadError, Part};

use crate::cells;
use crate::envelope;
use crate::looks;
use crate::reading::{Reading, SheetReading, fits, is_aside};
use crate::refusal::{Refusal, guarded};
use crate::stretch::{Item, Lost, Stretch, Why};
use crate::threads::{self, Filler, Lead, More, Taker};

/// Sheets in one workbook; a real one has tens.
pub(crate) const MAX_SHEETS: usize = 10_000;
/// Cells that may be unreadable one after the other, or in one row without a place of their own, before the
/// sheet counts as damaged.
pub(crate) const MAX_LOST: usize = 1_000;

/// Bytes of shared texts up to which each lane may have them for itself.
const MOST_SHARED: u64 = 16_000_000;

/// Reads the sheets of the layout into frames; `shared_texts` are the bytes of the texts that cells share.
pub(crate) fn load(
    part: &dyn Part,
    shared_texts: u64,
    reading: &mut Reading<'_>,
    refusal: &Refusal<'_>,
) -> Result<(), LoadError> {
    let pays = threads::pay(part);
    let lanes = if shared_texts <= MOST_SHARED { threads::lanes(pays) } else { 1 };
    let lead = |lead| if pays { lead } else { Lead::None };
    match envelope::unpacked(part, lanes, refusal) {
        Some(whole) => load_in(lanes, lead(Lead::Free), &whole, None, reading, refusal),
        None => load_in(lanes, lead(Lead::Bounded), part, Some(Job::Sums), reading, refusal),
    }
}

/// Reads them in so many lanes, and does what else there is to do.
fn load_in(
    lanes: usize,
    lead: Lead,
    part: &dyn Part,
    more: Option<Job<'static>>,
    reading: &mut Reading<'_>,
    refusal: &Refusal<'_>,
) -> Result<(), LoadError> {
    let mut first = Lane { part, refusal, workbook: None };
    let workbook = first.workbook()?;
    let sheets = workbook.sheets_metadata();
    if sheets.len() > MAX_SHEETS {
        return Err(refusal.damaged("it lists more than 10,000 sheets"));
    }
    let names: Vec<(String, bool)> = sheets
        .iter()
        .filter(|sheet| sheet.typ == SheetType::WorkSheet)
        .map(|sheet| (sheet.name.clone(), sheet.visible != SheetVisible::Visible))
        .collect();
    let wanted = names.iter().map(|(name, _)| name.as_str()).filter(|name| !is_aside(name));
    // The last sheet is often the longest; what else there is to do is done beside it.
    let jobs: Vec<Job<'_>> = wanted.map(Job::Sheet).chain(more).collect();
    let others = lanes.min(jobs.len()).saturating_sub(1);
    let mut lanes = vec![first];
    lanes.extend((0..others).map(|_| Lane { part, refusal, workbook: None }));
    let mut sheets = Sheets { reading, open: None, sums: Ok(()) };
    threads::in_order(lead, &mut lanes, &jobs, &mut sheets)?;
    let Sheets { sums, .. } = sheets;
    let workbook = lanes[0].workbook()?;
    let mut shared = None;
    for sheet in reading.waiting() {
        let shared = shared.get_or_insert_with(|| looks::Shared::of(part));
        sheet.hidden = names.iter().any(|(name, hidden)| *hidden && *name == sheet.name);
        looks::of_xlsx(workbook, part, shared, sheet);
    }
    reading.finish()?;
    sums
}

/// What is to be done with a workbook.
enum Job<'n> {
    /// Read the sheet of this name.
    Sheet(&'n str),
    /// Check that every part is whole.
    Sums,
}

/// Reads sheets, one at a time, with a reader of its own.
struct Lane<'p> {
    part: &'p dyn Part,
    refusal: &'p Refusal<'p>,
    workbook: Option<Xlsx<Source<'p>>>,
}

impl<'p> Lane<'p> {
    /// Its reader, opened when it is first wanted.
    fn workbook(&mut self) -> Result<&mut Xlsx<Source<'p>>, LoadError> {
        let (part, refusal) = (self.part, self.refusal);
        let workbook = match self.workbook.take() {
            Some(workbook) => workbook,
            None => guarded(|| Xlsx::new(source(part)))
                .map_err(|panicked| refusal.damaged(panicked))?
                .map_err(|error| unreadable(&error, refusal))?,
        };
        Ok(self.workbook.insert(workbook))
    }
}

impl Filler<Job<'_>, Stretch> for Lane<'_> {
    fn fill(
        &mut self,
        job: &Job<'_>,
        hand_on: &mut dyn FnMut(&mut Stretch) -> More,
    ) -> Result<(), LoadError> {
        let refusal = self.refusal;
        match job {
            Job::Sheet(name) => fill(self.workbook()?, name, refusal, hand_on),
            Job::Sums => envelope::check_sums(self.part, refusal),
        }
    }
}

/// Takes what the lanes read, sheet by sheet.
struct Sheets<'r, 'f> {
    reading: &'r mut Reading<'f>,
    open: Option<SheetReading<'static>>,
    sums: Result<(), LoadError>,
}

impl Taker<Job<'_>, Stretch> for Sheets<'_, '_> {
    fn begin(&mut self, job: &Job<'_>) -> Result<More, LoadError> {
        let Job::Sheet(name) = job else { return Ok(true) };
        self.open = self.reading.sheet(name)?;
        Ok(self.open.is_some())
    }

    fn take(&mut self, stretch: &mut Stretch) -> Result<More, LoadError> {
        let Some(sheet) = &mut self.open else { return Ok(false) };
        let reading = &mut *self.reading;
        stretch.each(|item| {
            match item {
                Item::Row(number, cells) => sheet.row(reading, number, cells)?,
                Item::Lost(Lost { shown, why: Why::OutOfPlace(row, count) }) => {
                    sheet.out_of_place(reading, *row, shown, *count)?;
                }
                Item::Lost(Lost { shown, why: Why::Unread(below) }) => sheet.lost(
                    reading,
                    Some(shown.clone()),
                    match below {
                        Some(row) => {
                            format!("a cell in row {} or below could not be read", row + 1)
                        }
                        None => "a cell at the beginning could not be read".to_owned(),
                    },
                    "mend the formula, or type the value",
                )?,
            }
            Ok(!sheet.is_over())
        })
    }

    fn end(&mut self, job: &Job<'_>, filled: Result<(), LoadError>) -> Result<(), LoadError> {
        let Job::Sheet(name) = job else {
            // What was read comes first: a sheet that cannot be read says more than a sum that is wrong.
            self.sums = filled;
            return Ok(());
        };
        let Some(sheet) = self.open.take() else { return Ok(()) };
        let is_foreign = sheet.is_foreign();
        let read = filled.and_then(|()| Ok(sheet.end(self.reading)?));
        self.reading.settle(name, is_foreign, read)
    }
}

/// Reads a sheet into stretches of rows.
fn fill<RS: std::io::Read + std::io::Seek>(
    workbook: &mut Xlsx<RS>,
    name: &str,
    refusal: &Refusal<'_>,
    hand_on: &mut dyn FnMut(&mut Stretch) -> More,
) -> Result<(), LoadError> {
    let damaged = |error: XlsxError| match error {
        XlsxError::Io(error) if is_of_the_medium(&error) => error.into(),
        error => refusal.sheet(name, plainly(&error)),
    };
    let mut cells = guarded(|| workbook.worksheet_cells_reader(name))
        .map_err(|panicked| refusal.sheet(name, panicked))?
        .map_err(damaged)?;
    let mut formulas = Formulas::default();
    let mut rows = Rows::default();
    let mut lost = Vec::new();
    let mut handed_on = 0;
    loop {
        let before = rows.last;
        // Behind a lost cell one cell is read alone, as its place may tell that of the lost one.
        let limit = if lost.is_empty() { usize::MAX } else { 1 };
        let filled = guarded(|| rows.fill(&mut cells, &mut formulas, limit))
            .map_err(|panicked| refusal.sheet(name, panicked))?;
        match filled {
            Err(error) => match lost_cell(&error) {
                Some(cell) if lost.len() < MAX_LOST => lost.push(cell),
                _ => return Err(damaged(error)),
            },
            Ok(Filled::Some) => {
                rows.place_lost(&mut lost, before);
                if rows.lost_for_good > MAX_LOST {
                    return Err(refusal.sheet(name, MOSTLY_LOST));
                }
            }
            Ok(Filled::Row(next)) => {
                rows.place_lost(&mut lost, before);
                if rows.lost_for_good > MAX_LOST {
                    return Err(refusal.sheet(name, MOSTLY_LOST));
                }
                rows.end_row();
                if rows.stretch.is_full(handed_on) {
                    if !hand_on(&mut rows.stretch) {
                        return Ok(());
                    }
                    handed_on += 1;
                }
                rows.begin(next);
            }
            Ok(Filled::End) => {
                rows.place_lost(&mut lost, before);
                rows.end_row();
                hand_on(&mut rows.stretch);
                return Ok(());
            }
        }
    }
}

const MOSTLY_LOST: &str = "more than 1,000 cells of one row cannot be read";

/// A cell with its row and column; a cell that is only formatted is kept for its place.
type Placed<'c> = ((u32, u32), Option<Cell<'c>>);

/// The rows that are being read.
#[derive(Default)]
struct Rows<'c> {
    stretch: Stretch,
    /// The row to which the next cell is expected to belong.
    number: u32,
    /// The place of the last cell of this row or the ones before, formatted ones counted too.
    last: Option<(u32, u32)>,
    /// The first cell of this row that stands where no cell can, and how many do.
    out_of_place: Option<(Cell<'c>, usize)>,
    /// Cells of this row that could not be read and have no place.
    lost_for_good: usize,
}

/// Why the filling of a row ended.
enum Filled<'c> {
    /// As many cells as were asked for have been read.
    Some,
    /// The row is complete; this is the first cell of the next one.
    Row(Placed<'c>),
    /// The sheet has ended.
    End,
}

impl<'c> Rows<'c> {
    /// Reads cells into the row.
    ///
    /// The guard against panics is set round this, and not round each cell, as it costs a copy of what it
    /// gives back.
    fn fill<RS: std::io::Read + std::io::Seek>(
        &mut self,
        reader: &mut XlsxCellReader<'c, RS>,
        formulas: &mut Formulas,
        limit: usize,
    ) -> Result<Filled<'c>, XlsxError> {
        for _ in 0..limit {
            let Some(record) = reader.next_cell_with_formula_metadata()? else {
                return Ok(Filled::End);
            };
            let place = record.pos;
            let mut cell = cells::of_ref(record.value);
            if let Some(formula) = record.formula {
                cell = formulas.cell(cell, formula);
            }
            if place.0 != self.number {
                return Ok(Filled::Row((place, cell)));
            }
            self.keep(place, cell);
        }
        Ok(Filled::Some)
    }

    /// Begins the next row with its first cell.
    fn begin(&mut self, (place, cell): Placed<'c>) {
        self.number = place.0;
        self.lost_for_good = 0;
        self.keep(place, cell);
    }

    /// Takes a cell into the row, if it can stand there.
    ///
    /// Cells that state no place, or one that is taken, could else pile up in one row without end.
    #[inline]
    fn keep(&mut self, place: (u32, u32), cell: Option<Cell<'c>>) {
        let last = self.last.filter(|(row, _)| *row == place.0).map(|(_, column)| column);
        if fits(place.1, last) {
            self.last = Some(place);
            if let Some(cell) = cell {
                self.stretch.push(place.1, cell);
            }
        } else if let Some(cell) = cell.filter(|cell| !cell.is_blank()) {
            self.out_of_place.get_or_insert((cell, 0)).1 += 1;
        }
    }

    fn end_row(&mut self) {
        if let Some((cell, count)) = self.out_of_place.take() {
            self.stretch.lose(&cell, Why::OutOfPlace(self.number, count));
        }
        self.stretch.end_row(self.number);
    }

    /// Gives lost cells their places where the gap between their neighbours in the row leaves only one way,
    /// and else counts them as lost for good.
    fn place_lost(&mut self, lost: &mut Vec<Cell<'static>>, before: Option<(u32, u32)>) {
        if lost.is_empty() {
            return;
        }
        if let (Some((above, left)), Some((here, right))) = (before, self.last)
            && above == here
            && right > left
            && (right - left - 1) as usize == lost.len()
        {
            for (column, cell) in (left + 1..).zip(lost.drain(..)) {
                self.stretch.push(column, cell);
            }
            return;
        }
        let below = before.map(|(row, _)| row);
        self.lost_for_good += lost.len();
        for cell in lost.drain(..) {
            self.stretch.lose(&cell, Why::Unread(below));
        }
    }
}

/// The formulas that stand for others, by the number under which the file shares them.
#[derive(Default)]
struct Formulas {
    shared: HashMap<usize, Box<str>>,
}

impl Formulas {
    /// The cell of a formula: its value, or the formula itself if no program has calculated it yet.
    #[inline(never)]
    fn cell<'c>(
        &mut self,
        value: Option<Cell<'c>>,
        formula: XlsxFormulaMetadata,
    ) -> Option<Cell<'c>> {
        match formula {
            // Only what stands for others is kept; the rest is needed just where a value is missing.
            XlsxFormulaMetadata::Shared { shared_index, formula, .. } => {
                let text: Box<str> = formula.into();
                let cell = value.unwrap_or_else(|| Cell::Uncalculated(text.to_string().into()));
                self.shared.insert(shared_index, text);
                Some(cell)
            }
            XlsxFormulaMetadata::SharedDerived { shared_index } => {
                Some(value.unwrap_or_else(|| {
                    let text = self.shared.get(&shared_index).map_or("", AsRef::as_ref);
                    Cell::Uncalculated(text.to_owned().into())
                }))
            }
            XlsxFormulaMetadata::Normal { formula } => {
                Some(value.unwrap_or_else(|| Cell::Uncalculated(formula.into())))
            }
            _ => value,
        }
    }
}

/// A cell that the reader could not take, where it can go on behind it.
///
/// It does not say where the cell stands.
pub(crate) fn lost_cell(error: &XlsxError) -> Option<Cell<'static>> {
    Some(match error {
        // Errors that newer programs know, as `#SPILL!`.
        XlsxError::CellError(code) => Cell::Error(code.clone().into()),
        XlsxError::CellTAttribute(_)
        | XlsxError::ParseFloat(_)
        | XlsxError::Unrecognized { .. }
        | XlsxError::Unexpected(_)
        | XlsxError::Alphanumeric(_)
        | XlsxError::RangeWithoutColumnComponent
        | XlsxError::RangeWithoutRowComponent => Cell::Error(plainly(error).into()),
        _ => return None,
    })
}

pub(crate) fn unreadable(error: &XlsxError, refusal: &Refusal<'_>) -> LoadError {
    match error {
        XlsxError::Password => refusal.encrypted(),
        error => refusal.damaged(plainly(error)),
    }
}

/// The reader's error without its jargon, where people meet it.
fn plainly(error: &XlsxError) -> String {
    match error {
        XlsxError::Xml(error) => format!("its XML is broken ({error})"),
        XlsxError::XmlAttr(error) => format!("its XML is broken ({error})"),
        XlsxError::XmlEof(_) => "it ends too early".to_owned(),
        XlsxError::FileNotFound(part) => format!("its part {part} is missing"),
        XlsxError::WorksheetNotFound(_) => "its part is missing".to_owned(),
        XlsxError::RelationshipNotFound => {
            "its list of sheets names a part that is not there".to_owned()
        }
        XlsxError::CellTAttribute(kind) => format!("a cell is of the unknown kind \"{kind}\""),
        other => other.to_string(),
    }
}
