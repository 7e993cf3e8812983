//! From rows of cells to record frames.

use std::borrow::Cow;
use std::collections::HashMap;
use std::sync::Arc;

use restrand_model::near::nearest;
use restrand_model::quantity::{DecimalMark, Dimension, Marks, Unit};
use restrand_model::reading::{
    Column as ReadColumn, Grid, Origin, Place, Problem, ProblemKind, Question, Table,
};
use restrand_model::reflect::{EXTRA, FieldInfo, Shape};
use restrand_model::sheet::{self, Column, Header, Sheet, plain};
use restrand_model::value::{Fields, Name, Value};

use super::cell::{self, Cell, Measure};
use super::further::{Further, is_computed};
use super::marks::{Decision, SeenMarks};
use super::{list, unread};
use crate::frame::{At, Frame, Frames, RecordFrame, Stopped};
use crate::recognise;

/// Rows in which a sheet's headers are looked for.
const HEADER_ROWS: u32 = 30;

/// Looks for the row of headers among the first rows of a sheet.
pub struct HeaderSearch {
    sheet: &'static Sheet,
    part: String,
    name: String,
    grid: Grid,
    rows: u32,
}

impl HeaderSearch {
    /// A search in the sheet `name` of `part`, whose rows are records of the layout's `sheet`.
    #[must_use]
    pub fn new(sheet: &'static Sheet, part: &str, name: &str) -> Self {
        Self { sheet, part: part.to_owned(), name: name.to_owned(), grid: Grid::Cells, rows: 0 }
    }

    /// A search in a part that is a text with a record of the layout's `sheet` on each line.
    ///
    /// Its rows are numbered by the lines on which they begin.
    #[must_use]
    pub fn of_lines(sheet: &'static Sheet, part: &str) -> Self {
        let name = sheet.name.to_owned();
        Self { sheet, part: part.to_owned(), name, grid: Grid::Lines, rows: 0 }
    }

    /// Looks at a row; gives the reader of the rows below once the headers are found.
    ///
    /// `table` is the number of table frames before this one.
    ///
    /// # Errors
    /// The taker wants no more.
    pub fn row(
        &mut self,
        row: u32,
        cells: &[(u32, Cell<'_>)],
        table: u32,
        frames: &mut dyn Frames,
    ) -> Result<Option<SheetReader>, Stopped> {
        self.rows += 1;
        if !is_headed(self.sheet, cells) {
            return Ok(None);
        }
        SheetReader::open(self, row, cells, table, frames).map(Some)
    }

    /// Whether the search may end: the headers should have come by now.
    #[must_use]
    pub const fn is_over(&self) -> bool {
        self.rows >= HEADER_ROWS
    }

    /// The sheet of the layout that is looked for.
    #[must_use]
    pub const fn sheet(&self) -> &'static Sheet {
        self.sheet
    }

    /// The problem of a sheet in which no headers were found.
    #[must_use]
    pub fn not_found(&self) -> Problem {
        let columns = sheet::columns_of(self.sheet);
        let headers: Vec<_> =
            columns.iter().take(6).map(|column| column.header(unit(column))).collect();
        Problem {
            kind: ProblemKind::SheetLost,
            place: match self.grid {
                Grid::Cells | Grid::TurnedCells => {
                    Place::Sheet { part: self.part.clone(), sheet: self.name.clone() }
                }
                Grid::Lines | Grid::TurnedLines => Place::Part { part: self.part.clone() },
            },
            record: Origin::default(),
            subject: self.name.clone(),
            given: None,
            why: "no row of headers was found in its first rows".to_owned(),
            help: format!("the headers of this sheet begin: {}", headers.join(", ")),
        }
    }
}

fn texts<'a>(cells: &'a [(u32, Cell<'_>)]) -> impl Iterator<Item = &'a str> {
    cells.iter().filter_map(|(_, cell)| match cell {
        Cell::Text(text) if !text.trim().is_empty() => Some(text.as_ref()),
        _ => None,
    })
}

/// How many of the cells are headers of the layout's sheet.
#[must_use]
pub fn known_headers(sheet: &'static Sheet, cells: &[(u32, Cell<'_>)]) -> usize {
    let headers = sheet::headers_of(sheet);
    let is_known = |text: &&str| {
        headers.find(Header::read(text).label).is_some() || Further::read(text.trim()).is_some()
    };
    texts(cells).filter(is_known).count()
}

/// Whether the cells are the headers of the layout's sheet.
#[must_use]
pub fn is_headed(sheet: &'static Sheet, cells: &[(u32, Cell<'_>)]) -> bool {
    let known = known_headers(sheet, cells);
    // Some words of the layout are everybody's; what is mostly headed in other words is not in the layout.
    (known >= 2 && (0..known).contains(&other_headers(sheet, cells)))
        || (known == 1 && texts(cells).count() == 1)
}

/// How many of the cells are headers by which people call fields, and not those of the layout's sheet.
fn other_headers(sheet: &'static Sheet, cells: &[(u32, Cell<'_>)]) -> usize {
    let headers = sheet::headers_of(sheet);
    let is_other = |text: &&str| {
        headers.find(Header::read(text).label).is_none()
            && recognise::is_called_so(sheet.name, text)
    };
    texts(cells).filter(is_other).count()
}

/// Looks at a sheet that the layout does not have, for it may be one of the layout under another name.
pub struct ForeignSheet {
    /// The sheet that its name most likely means.
    meant: Option<&'static Sheet>,
    rows: u32,
}

impl ForeignSheet {
    /// A sheet of this name, of which nothing has been seen.
    #[must_use]
    pub fn new(name: &str) -> Self {
        Self { meant: sheet::meant_by(name), rows: 0 }
    }

    /// Looks at a row; gives the sheet of the layout whose headers stand in it.
    pub fn row(&mut self, cells: &[(u32, Cell<'_>)]) -> Option<&'static Sheet> {
        self.rows += 1;
        // A name may mean many things, and headers are what the rows are read by.
        sheet::headed_by(texts(cells), self.meant)
            .filter(|sheet| other_headers(sheet, cells) == 0)
            .or_else(|| self.meant.filter(|sheet| is_headed(sheet, cells)))
    }

    /// Whether the search may end: the headers should have come by now.
    #[must_use]
    pub const fn is_over(&self) -> bool {
        self.rows >= HEADER_ROWS
    }

    /// The sheet that its name alone means.
    #[must_use]
    pub const fn meant(&self) -> Option<&'static Sheet> {
        self.meant
    }
}

/// The column of a sheet for which a header was surely meant that does not name it, or not with a unit that it can have.
pub(crate) fn missed_by(sheet: &'static Sheet, given: &str) -> Option<usize> {
    let columns = sheet::columns_of(sheet);
    let headers = sheet::headers_of(sheet);
    let header = Header::read(given);
    let Some(position) = headers.find(header.label).or_else(|| headers.find(given)) else {
        let near = nearest_header(sheet, given)?;
        return columns.iter().position(|column| label(column) == near);
    };
    match &columns[position] {
        Column::Value { field, unit, .. } => {
            let is_unfit = header_unit(header.unit?, field.0, *unit).is_err();
            (is_unfit && !is_words(field.0) && headers.find(given).is_none()).then_some(position)
        }
        Column::Link { .. } => None,
    }
}

/// The header of a sheet that is near to this one.
fn nearest_header(sheet: &'static Sheet, header: &str) -> Option<&'static str> {
    nearest(Header::read(header).label, sheet::columns_of(sheet).iter().map(label))
}

fn label(column: &Column) -> &str {
    match column {
        Column::Link { header } => header,
        Column::Value { label, .. } => label,
    }
}

fn unit(column: &Column) -> Option<&'static Unit> {
    match column {
        Column::Value { unit, .. } => *unit,
        Column::Link { .. } => None,
    }
}

/// What is done with the cells of a column.
enum Plan {
    /// Nothing: the column has no header, and no value so far.
    None,
    /// Nothing, whatever they hold: they only show what follows from others.
    Computed,
    /// They name the owner.
    Link(usize),
    /// They hold a field's value.
    Value(ValuePlan),
    /// They are kept under this name; as the values that they write as JSON, if they are coded.
    Extra(Arc<str>, Coded),
}

/// Whether cells write their values as JSON.
type Coded = bool;

struct ValuePlan {
    path: &'static [&'static str],
    field: &'static FieldInfo,
    measure: Measure,
    /// The header as given.
    header: Box<str>,
    /// Whether it was said that numbers without a unit are not read.
    unit_missed: bool,
    /// What the column shows of its decimal mark.
    marks: SeenMarks,
    /// What is to be asked about the column.
    question: Option<Box<Question>>,
}

impl ValuePlan {
    /// What is done with a cell before it is read: a number that is a text may hang on its column.
    fn decide(&self, weighing: Weighing, cell: &Cell<'_>) -> Decision {
        match (weighing, cell) {
            (Weighing::Wanted | Weighing::Done { .. }, Cell::Text(text))
                if matches!(self.field.shape, Shape::Number) && unread::marked(text).is_none() =>
            {
                self.marks.decide(text, weighing == Weighing::Done { commas: true })
            }
            _ => Decision::AsItStands,
        }
    }

    /// Asks about the column, of which this value is the first that can be read in two ways.
    fn ask(
        &mut self,
        record: &str,
        place: Place,
        origin: Origin,
        given: String,
        mark: &str,
        readings: [String; 2],
    ) {
        let unit = self.measure.stated.map(|unit| unit.symbol);
        let readings = readings.map(|number| match unit {
            Some(unit) => format!("{number} {unit}"),
            None => number,
        });
        self.question = Some(Box::new(Question {
            place,
            records: vec![origin],
            subject: format!("{record}.{}", self.path.join(".")),
            header: self.header.to_string(),
            given,
            why: format!(
                "the {mark} in it can mean {} or {}, and no other number of the column tells which",
                readings[0], readings[1]
            ),
            readings: readings.into(),
            help: "save the file with a point as decimal mark and no thousands marks, or write one number \
                   of the column so that it can be read in one way only, as 1.234,0 or 1,234.0"
                .to_owned(),
        }));
    }
}

/// How the decimal mark of a number is found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Weighing {
    /// Cell by cell: what can be read in two ways is not read.
    ByCell,
    /// By the column, of which nothing has been looked at yet.
    Wanted,
    /// By the column; whether any column of the sheet has decimal commas.
    Done { commas: bool },
}

/// Reads the rows below the headers of one sheet.
pub struct SheetReader {
    sheet: &'static Sheet,
    part: String,
    name: String,
    grid: Grid,
    weighing: Weighing,
    table: u32,
    header_row: u32,
    links: usize,
    plans: Vec<Plan>,
    /// Names of further values, and the number by which the last of that name differs from it.
    names: HashMap<Arc<str>, u32>,
    /// Members and further values that a row is likely to have.
    known: usize,
    further: usize,
}

impl SheetReader {
    fn open(
        search: &HeaderSearch,
        row: u32,
        cells: &[(u32, Cell<'_>)],
        table: u32,
        frames: &mut dyn Frames,
    ) -> Result<Self, Stopped> {
        let columns = sheet::columns_of(search.sheet);
        let links = search.sheet.links();
        let mut reader = Self {
            sheet: search.sheet,
            part: search.part.clone(),
            name: search.name.clone(),
            grid: search.grid,
            weighing: match search.grid {
                Grid::Cells | Grid::TurnedCells => Weighing::ByCell,
                Grid::Lines | Grid::TurnedLines => Weighing::Wanted,
            },
            table,
            header_row: row,
            links: links.len(),
            plans: Vec::new(),
            names: HashMap::new(),
            known: 1,
            further: 0,
        };
        let mut read = Vec::new();
        let mut problems = Vec::new();
        let mut taken: Vec<Option<u32>> = vec![None; columns.len()];
        let mut unknown = Vec::new();
        for (index, cell) in cells {
            if cell.is_blank() {
                continue;
            }
            let given = cell.shown();
            let header = Header::read(&given);
            let (plan, column) = reader.plan(
                columns,
                &links,
                *index,
                &given,
                &header,
                &mut taken,
                &mut unknown,
                &mut problems,
            );
            read.push(column);
            let position = *index as usize;
            if reader.plans.len() <= position {
                reader.plans.resize_with(position + 1, || Plan::None);
            }
            match plan {
                Plan::Value(_) => reader.known += 1,
                Plan::Extra(..) => reader.further += 1,
                Plan::None | Plan::Computed | Plan::Link(_) => {}
            }
            reader.plans[position] = plan;
        }
        let mut untaken: Vec<&str> = columns
            .iter()
            .zip(&taken)
            .filter(|(_, taken)| taken.is_none())
            .map(|(column, _)| label(column))
            .collect();
        for (index, given) in unknown {
            problems.push(reader.unknown_header(index, &given, &mut untaken));
        }
        frames.take(Frame::Table(Table {
            part: search.part.clone(),
            sheet: Some(search.name.clone()),
            grid: search.grid,
            list: search.sheet.name.to_owned(),
            header_row: row,
            columns: read,
        }))?;
        for problem in problems {
            frames.take(Frame::Problem(problem))?;
        }
        Ok(reader)
    }

    /// The problem of a header that is none of the sheet; it takes the field that it surely means out of those of
    /// which no column is left.
    fn unknown_header(&self, index: u32, given: &str, untaken: &mut Vec<&'static str>) -> Problem {
        let near = nearest_header(self.sheet, given);
        if let Some(near) = near.filter(|near| untaken.contains(near)) {
            untaken.retain(|label| *label != near);
            let why = format!(
                "no field of this sheet is called so, and no other column states its field \"{near}\""
            );
            let help = format!(
                "did you mean \"{near}\"? Its values are not read until the header says so"
            );
            let problem = self.header_problem(ProblemKind::Misnamed, index, given, why, help);
            return Problem { subject: format!("{}: {near}", self.name), ..problem };
        }
        let help = match near {
            Some(near) => format!(
                "its values are kept as further values of each row; \"{near}\" has a column of its own"
            ),
            None => "its values are kept as further values of each row".to_owned(),
        };
        let why = "no field of this sheet takes the column".to_owned();
        self.header_problem(ProblemKind::Unknown, index, given, why, help)
    }

    /// What is done with a column, and what provenance keeps of it.
    #[expect(clippy::too_many_arguments, reason = "one header, and what was seen of the others")]
    fn plan(
        &mut self,
        columns: &'static [Column],
        links: &[&'static str],
        index: u32,
        given: &str,
        header: &Header<'_>,
        taken: &mut [Option<u32>],
        unknown: &mut Vec<(u32, String)>,
        problems: &mut Vec<Problem>,
    ) -> (Plan, ReadColumn) {
        let mut column =
            ReadColumn { index, header: given.into(), path: Vec::new(), unit: None, link: false };
        if is_computed(given) {
            return (Plan::Computed, column);
        }
        if let Some(further) = Further::read(given) {
            return (Plan::Extra(self.extra_name(&further.name), further.coded), column);
        }
        // A unit is no part of the words, but brackets may hold something else.
        let headers = sheet::headers_of(self.sheet);
        let found = headers.find(header.label).or_else(|| headers.find(given));
        let Some(position) = found else {
            // What it is taken for hangs on the headers to come.
            unknown.push((index, given.to_owned()));
            return (Plan::Extra(self.extra_name(given), false), column);
        };
        if let Some(first) = taken[position] {
            problems.push(self.header_problem(
                ProblemKind::ValueLost,
                index,
                given,
                format!("column {} claims the same field", column_letters(first)),
                "keep one of the two columns; the first is read, this one is kept as further values"
                    .to_owned(),
            ));
            return (Plan::Extra(self.extra_name(given), false), column);
        }
        taken[position] = Some(index);
        match &columns[position] {
            Column::Link { header } => {
                column.link = true;
                let link = links.iter().position(|link| link == header).unwrap_or(0);
                (Plan::Link(link), column)
            }
            Column::Value { path, field, unit, label } => {
                // A field's own name states its unit, and may itself have brackets in it.
                let own = plain(header.label);
                let is_own = headers.find(given) == Some(position)
                    || own == plain(field.0.name)
                    || own == plain(&path.concat());
                let named = Measure {
                    stated: unit.filter(|_| is_own && own != plain(label)),
                    unit: *unit,
                    per_cent: false,
                };
                let measure = match header.unit {
                    None => named,
                    Some(text) => match header_unit(text, field.0, *unit) {
                        Ok(measure) => measure,
                        Err(_) if headers.find(given) == Some(position) => named,
                        // Words do not change with what stands in brackets behind their header.
                        Err((why, help)) if is_words(field.0) => {
                            problems.push(self.header_problem(
                                ProblemKind::ValueDoubtful,
                                index,
                                given,
                                why,
                                help,
                            ));
                            named
                        }
                        Err((why, help)) => {
                            problems.push(self.header_problem(
                                ProblemKind::ValueLost,
                                index,
                                given,
                                why,
                                help,
                            ));
                            return (Plan::Extra(self.extra_name(given), false), column);
                        }
                    },
                };
                column.path.clone_from(path);
                column.unit = measure.stated;
                let plan = ValuePlan {
                    path,
                    field: field.0,
                    measure,
                    header: given.into(),
                    unit_missed: false,
                    marks: SeenMarks::default(),
                    question: None,
                };
                (Plan::Value(plan), column)
            }
        }
    }

    fn header_problem(
        &self,
        kind: ProblemKind,
        index: u32,
        given: &str,
        why: String,
        help: String,
    ) -> Problem {
        Problem {
            kind,
            place: self.place(self.header_row, Some(index)),
            record: Origin::default(),
            subject: format!("{}: {given}", self.name),
            given: Some(given.to_owned()),
            why,
            help,
        }
    }

    fn place(&self, row: u32, column: Option<u32>) -> Place {
        self.grid.place(&self.part, &self.name, row, column)
    }

    /// A name for further values, different from those of the columns before.
    fn extra_name(&mut self, given: &str) -> Arc<str> {
        let Some(mut count) = self.names.get(given).copied() else {
            let name: Arc<str> = given.into();
            self.names.insert(Arc::clone(&name), 1);
            return name;
        };
        let name: Arc<str> = loop {
            count += 1;
            let name = format!("{given} ({count})");
            if !self.names.contains_key(name.as_str()) {
                break name.into();
            }
        };
        // Counting goes on from here, for a thousand columns may have one name.
        self.names.insert(given.into(), count);
        self.names.insert(Arc::clone(&name), 1);
        name
    }

    /// The row of the headers.
    #[must_use]
    pub const fn header_row(&self) -> u32 {
        self.header_row
    }

    /// Whether the row holds a number that can be read only once the decimal mark of its column is known.
    ///
    /// Of a sheet in which numbers are texts, all rows are to be shown to [`Self::weigh`] then, and this row is
    /// read after [`Self::weighed`].
    #[must_use]
    pub fn must_weigh(&self, cells: &[(u32, Cell<'_>)]) -> bool {
        self.weighing == Weighing::Wanted
            && cells.iter().any(|(index, cell)| match cell {
                Cell::Text(text) => {
                    self.number_plan(*index).is_some()
                        && unread::marked(text).is_none()
                        && matches!(
                            Marks::of(text),
                            Marks::PointOrThousands | Marks::CommaOrThousands
                        )
                }
                _ => false,
            })
    }

    /// Looks at a row below the headers for what its numbers show of their columns' decimal marks.
    pub fn weigh(&mut self, cells: &[(u32, Cell<'_>)]) {
        for (index, cell) in cells {
            let Cell::Text(text) = cell else { continue };
            if self.number_plan(*index).is_some()
                && unread::marked(text).is_none()
                && let Some(Plan::Value(plan)) = self.plans.get_mut(*index as usize)
            {
                plan.marks.see(Marks::of(text));
            }
        }
    }

    /// All rows have been weighed.
    pub fn weighed(&mut self) {
        let commas = self.plans.iter().any(|plan| match plan {
            Plan::Value(plan) => plan.marks.has(DecimalMark::Comma),
            _ => false,
        });
        self.weighing = Weighing::Done { commas };
    }

    /// Whether a field that is a number takes the column.
    #[must_use]
    pub fn takes_numbers(&self, column: u32) -> bool {
        self.number_plan(column).is_some()
    }

    fn number_plan(&self, index: u32) -> Option<&ValuePlan> {
        match self.plans.get(index as usize)? {
            Plan::Value(plan) if matches!(plan.field.shape, Shape::Number) => Some(plan),
            _ => None,
        }
    }

    /// Ends the sheet: asks what its columns leave open.
    ///
    /// # Errors
    /// The taker wants no more.
    pub fn finish(self, frames: &mut dyn Frames) -> Result<(), Stopped> {
        for plan in self.plans {
            if let Plan::Value(ValuePlan { question: Some(question), .. }) = plan {
                frames.take(Frame::Question(*question))?;
            }
        }
        Ok(())
    }

    /// Reads a row below the headers.
    ///
    /// # Errors
    /// The taker wants no more.
    pub fn row(
        &mut self,
        row: u32,
        cells: &[(u32, Cell<'_>)],
        frames: &mut dyn Frames,
    ) -> Result<(), Stopped> {
        let mut fields = Fields::with_capacity(self.known);
        let mut further = Fields::new();
        let mut links = vec![None; self.links];
        let mut texts = Vec::new();
        let origin = Origin::new(self.table, row);
        for (index, cell) in cells {
            if cell.is_blank() {
                continue;
            }
            let position = *index as usize;
            if self.plans.get(position).is_none_or(|plan| matches!(plan, Plan::None)) {
                self.take_unheaded(*index, row, cell, frames)?;
            }
            match &mut self.plans[position] {
                Plan::None | Plan::Computed => {}
                Plan::Link(link) => links[*link] = Some(cell.name().into_boxed_str()),
                Plan::Extra(name, coded) => {
                    if further.is_empty() {
                        further.reserve(self.further);
                    }
                    let value = if *coded { coded_value(cell) } else { plain_value(cell) };
                    further.push(Name::Given(Arc::clone(name)), value);
                }
                Plan::Value(plan) => {
                    let settled = match plan.decide(self.weighing, cell) {
                        Decision::AsItStands => Cow::Borrowed(cell),
                        Decision::Settled(cell) => Cow::Owned(cell),
                        Decision::Open { mark, readings } => {
                            texts.push((*index, cell.shown().into_boxed_str()));
                            match &mut plan.question {
                                Some(question) => question.records.push(origin),
                                None => {
                                    let place =
                                        self.grid.place(&self.part, &self.name, row, Some(*index));
                                    let record = self.sheet.record.name;
                                    plan.ask(record, place, origin, cell.shown(), mark, readings);
                                }
                            }
                            continue;
                        }
                    };
                    match cell::value(&settled, plan.field, plan.measure) {
                        Ok(value) => {
                            match cell {
                                // The text says no more than its number does.
                                Cell::Text(_)
                                    if matches!(&*settled, Cell::Number(_))
                                        && !plan.measure.per_cent => {}
                                Cell::Text(text) if reads_differently(text, &value) => {
                                    texts.push((*index, text.as_ref().into()));
                                }
                                Cell::Number(_) if plan.measure.per_cent => {
                                    texts.push((*index, cell.shown().into_boxed_str()));
                                }
                                _ => {}
                            }
                            put(&mut fields, plan.path, value);
                            if matches!(cell, Cell::Moment(..))
                                && matches!(plan.field.shape, Shape::Date)
                            {
                                let subject =
                                    format!("{}.{}", self.sheet.record.name, plan.path.join("."));
                                texts.push((*index, cell.shown().into_boxed_str()));
                                frames.take(Frame::Problem(Problem {
                                    kind: ProblemKind::ValueDoubtful,
                                    place: self.place(row, Some(*index)),
                                    record: origin,
                                    subject,
                                    given: Some(cell.shown()),
                                    why:
                                        "the cell holds a time of day too, and only the day is read"
                                            .to_owned(),
                                    help: "check the day, and store it without a time".to_owned(),
                                }))?;
                            }
                        }
                        Err(unfit) => {
                            let given = unread::given(cell);
                            texts.push((*index, given.as_str().into()));
                            let bare = plan.measure.unit.is_some()
                                && plan.measure.stated.is_none()
                                && matches!(&*settled, Cell::Number(_));
                            if bare && std::mem::replace(&mut plan.unit_missed, true) {
                                continue;
                            }
                            let (at, subject) = if bare {
                                (self.header_row, format!("{}: {}", self.name, plan.header))
                            } else {
                                (row, format!("{}.{}", self.sheet.record.name, plan.path.join(".")))
                            };
                            frames.take(Frame::Problem(Problem {
                                kind: ProblemKind::ValueLost,
                                place: self.place(at, Some(*index)),
                                record: if bare { Origin::default() } else { origin },
                                subject,
                                given: Some(given),
                                why: unfit.why,
                                help: unfit.help,
                            }))?;
                        }
                    }
                }
            }
        }
        if !further.is_empty() {
            fields.push(Name::Known(EXTRA), Value::Fields(further));
        }
        if fields.is_empty() && texts.is_empty() && links.iter().all(Option::is_none) {
            return Ok(());
        }
        frames.take(Frame::Record(RecordFrame {
            table: self.table,
            at: At::Row(row),
            links,
            fields,
            texts,
            apart: Vec::new(),
        }))
    }

    /// Makes room for a column that has values and no header, and says so once.
    fn take_unheaded(
        &mut self,
        index: u32,
        row: u32,
        cell: &Cell<'_>,
        frames: &mut dyn Frames,
    ) -> Result<(), Stopped> {
        let name = format!("column {}", column_letters(index));
        let position = index as usize;
        if self.plans.len() <= position {
            self.plans.resize_with(position + 1, || Plan::None);
        }
        self.plans[position] = Plan::Extra(self.extra_name(&name), false);
        frames.take(Frame::Problem(Problem {
            kind: ProblemKind::Unknown,
            place: self.place(row, Some(index)),
            record: Origin::default(),
            subject: format!("{}: {name}", self.name),
            given: Some(cell.shown()),
            why: "the column has no header".to_owned(),
            help: format!("give the column a header in row {}, or clear it", self.header_row + 1),
        }))
    }
}

/// What the text in a header's brackets says of the numbers below, for a field in `unit`; or why it cannot
/// be, and what to do.
fn header_unit(
    text: &str,
    field: &FieldInfo,
    unit: Option<&'static Unit>,
) -> Result<Measure, (String, String)> {
    let Some(unit) = unit else {
        return match text {
            "-" | "–" | "1" => Ok(Measure::default()),
            "%" if matches!(field.shape, Shape::Number) => {
                Ok(Measure { per_cent: true, ..Measure::default() })
            }
            _ => Err(match Unit::find_any(text) {
                Some(stated) => (
                    format!("the field takes no unit, but the header states {}", stated.symbol),
                    "take the unit out of the header".to_owned(),
                ),
                None => (
                    format!(
                        "the field takes no unit, but the header has \"{text}\" in its brackets"
                    ),
                    "take it out of the header".to_owned(),
                ),
            }),
        };
    };
    if let Some(stated) = Unit::find(text, unit.dimension) {
        return Ok(Measure { stated: Some(stated), unit: Some(unit), per_cent: false });
    }
    let needed =
        |dimension: Dimension| format!("write a unit of {dimension}, as [{}]", unit.symbol);
    Err(match Unit::find_any(text) {
        Some(stated) => (
            format!(
                "the header states {}, the unit of {}, but the field is {}",
                stated.symbol, stated.dimension, unit.dimension
            ),
            needed(unit.dimension),
        ),
        None => (format!("the unit \"{text}\" in the header is not known"), needed(unit.dimension)),
    })
}

/// Whether a field holds no number that what stands in its header's brackets could change.
const fn is_words(field: &FieldInfo) -> bool {
    !matches!(field.shape, Shape::Number | Shape::Count | Shape::Counts)
}

pub(crate) fn put(fields: &mut Fields, path: &'static [&'static str], value: Value) {
    match path {
        [] => {}
        [name] => fields.push(Name::Known(name), value),
        [name, rest @ ..] => put(fields.nested(name), rest, value),
    }
}

/// A cell's value as it stands, for a column that no field takes.
pub(crate) fn plain_value(cell: &Cell<'_>) -> Value {
    match cell {
        Cell::Number(number) if number.is_finite() => Value::Number(*number),
        Cell::Flag(flag) => Value::Flag(*flag),
        Cell::Text(text) => Value::Text(Cow::clone(text).into()),
        other => Value::Text(other.name().into()),
    }
}

/// The value that a cell writes as JSON; what is not JSON stays as it stands.
fn coded_value(cell: &Cell<'_>) -> Value {
    let coded = match cell {
        Cell::Text(text) => Value::from_json(text),
        _ => None,
    };
    coded.unwrap_or_else(|| plain_value(cell))
}

/// Whether a text would come back as another text if it were written from its value.
pub(crate) fn reads_differently(text: &str, value: &Value) -> bool {
    match value {
        Value::Text(read) => **read != *text,
        Value::List(items) => {
            let mut rest = Some(text);
            for (index, item) in items.iter().enumerate() {
                let before = if index == 0 { "" } else { list::MARK };
                let item = item.to_string();
                rest = rest
                    .and_then(|rest| rest.strip_prefix(before))
                    .and_then(|rest| rest.strip_prefix(&*list::quoted(&item)));
            }
            rest != Some("")
        }
        _ => true,
    }
}

/// The letters by which a spreadsheet names a column: 0 is `A`, 26 is `AA`.
#[must_use]
pub(crate) fn column_letters(index: u32) -> String {
    let mut letters = Vec::new();
    let mut left = u64::from(index) + 1;
    while left > 0 {
        let digit = u8::try_from((left - 1) % 26).unwrap_or(0);
        letters.push(char::from(b'A' + digit));
        left = (left - 1) / 26;
    }
    letters.iter().rev().collect()
}
