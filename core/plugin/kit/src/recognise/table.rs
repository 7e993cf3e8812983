//! From the rows of a table to records.

use std::borrow::Cow;
use std::collections::{BTreeMap, HashMap, HashSet};

use restrand_model::quantity::{self, of_field};
use restrand_model::reading::{
    Column as ReadColumn, Origin, Problem, ProblemKind, Remark, Table, Understood, UnderstoodTable,
};
use restrand_model::reflect::{EXTRA, FieldInfo, Shape};
use restrand_model::sheet::Column;
use restrand_model::value::{Fields, Name, Value};

use super::ends::{self, Names};
use super::find::Found;
use super::grid::{GridCell, GridRow, Sheet};
use super::habits::{self, Habit, Habits, RowKind, Taken};
use super::header::{Scope, StrandSize};
use super::mapping::TableMapping;
use super::notes::UnitNotes;
use super::plan::{ColumnPlan, Of, Take, plans};
use super::unit::{ColumnUnit, is_plausible};
use super::vocabulary::{Description, Word, list_at, word};
use crate::frame::{At, Frame, Frames, RecordFrame, Stopped};
use crate::sheet::Cell;
use crate::sheet::cell::{self, Unfit};
use crate::sheet::marks::Decision;
use crate::sheet::read::{plain_value, put, reads_differently};

/// A list that the rows of a table give records to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
enum Slot {
    Row,
    End,
    Point,
    Strand,
    Duct,
}

/// A record that is being put together.
#[derive(Debug, Default)]
struct Making {
    fields: Fields,
    texts: Vec<(u32, Box<str>)>,
}

/// A tendon that may have further rows.
#[derive(Debug)]
struct Pending {
    /// Its first row.
    number: u32,
    links: Vec<Option<Box<str>>>,
    own: Making,
}

/// The cells of a row by column, each with where its value was taken from.
type Cells = BTreeMap<u32, (GridCell, Taken)>;

/// Reads one table of a sheet.
pub(super) struct TableReader<'a> {
    sheet: &'a Sheet,
    found: &'a Found,
    plans: BTreeMap<u32, ColumnPlan>,
    names: Names,
    /// Whether the ends are named by the order of their columns alone.
    ends_assumed: bool,
    /// The table frames of the slots.
    tables: BTreeMap<Slot, u32>,
    /// Kinds of strand and duct that have been handed over, by their names.
    kinds: HashMap<(Slot, String), Fields>,
    /// The number of rows of each tendon, by its mark.
    tendons: HashMap<String, u32>,
    /// Tendons of several rows, which are handed over when all are read.
    pending: Vec<Pending>,
    /// Where among them a tendon is, by its mark.
    pending_at: HashMap<String, usize>,
    /// What headings among the rows say of those below.
    heading: Vec<(&'static str, String)>,
    /// Values taken from above, by column and way: the first row, and how many.
    carried: BTreeMap<(u32, Taken), (u32, u32)>,
    constants: Vec<(Of, &'static [&'static str], Value)>,
    remarks: Vec<Remark>,
    /// Texts among the rows that no record takes.
    pub(super) further: Vec<(u32, String)>,
    rows: u32,
}

impl<'a> TableReader<'a> {
    /// A reader of the table; `tables` is the number of table frames so far.
    pub(super) fn new(
        sheet: &'a Sheet,
        found: &'a Found,
        notes: &UnitNotes,
        mapped: Option<&TableMapping>,
        tables: &mut u32,
        frames: &mut dyn Frames,
    ) -> Result<Self, Stopped> {
        let plans = plans(sheet, found, notes, mapped);
        let scopes = plans.values().filter_map(|plan| plan.scope);
        let mut reader = Self {
            sheet,
            found,
            names: Names::of(scopes.clone()),
            ends_assumed: scopes
                .clone()
                .any(|scope| matches!(scope, Scope::Stressing | Scope::Dead)),
            plans,
            tables: BTreeMap::new(),
            kinds: HashMap::new(),
            tendons: HashMap::new(),
            pending: Vec::new(),
            pending_at: HashMap::new(),
            heading: Vec::new(),
            carried: BTreeMap::new(),
            constants: constants(found, mapped),
            remarks: Vec::new(),
            further: Vec::new(),
            rows: 0,
        };
        reader.order_ends();
        reader.begin(tables, frames)?;
        reader.complain(frames)?;
        Ok(reader)
    }

    /// Exchanges the names of the ends where the stations of most rows say that the first lies behind the second.
    fn order_ends(&mut self) {
        let of = |wanted: Scope| {
            self.plans.values().find(|plan| {
                matches!(&plan.take, Take::Value { of: Of::Point(scope), field, .. }
                    if *scope == wanted && field.name == "station_m")
            })
        };
        let (Some(stressing), Some(dead)) = (of(Scope::Stressing), of(Scope::Dead)) else { return };
        self.ends_assumed = false;
        let (mut before, mut behind) = (0, 0);
        for row in &self.sheet.rows[self.found.body.clone()] {
            let station = |plan: &ColumnPlan| station(plan, row.cells.get(&plan.index)?);
            if let (Some(stressing), Some(dead)) = (station(stressing), station(dead)) {
                if stressing <= dead { before += 1 } else { behind += 1 }
            }
        }
        let names = Names::of([Scope::Stressing].into_iter());
        self.names = if behind > before { names.exchanged() } else { names };
    }

    /// Hands over the table frames of all lists that take something.
    fn begin(&mut self, tables: &mut u32, frames: &mut dyn Frames) -> Result<(), Stopped> {
        let has = |wanted: &dyn Fn(Of) -> bool| {
            self.plans
                .values()
                .any(|plan| matches!(&plan.take, Take::Value { of, .. } if wanted(*of)))
        };
        let described = |wanted| {
            self.plans
                .values()
                .any(|plan| matches!(plan.take, Take::Described(kind) if kind == wanted))
        };
        let own = self.found.assignment.list;
        let is_end = |of| matches!(of, Of::End(_) | Of::RowEnd | Of::BothEnds);
        let mut slots = vec![(Slot::Row, own)];
        if own == "Tendons" {
            if has(&is_end) || self.found.assignment.per_end {
                slots.push((Slot::End, "Ends"));
            }
            if has(&|of| matches!(of, Of::Point(_) | Of::RowPoint)) {
                slots.push((Slot::Point, "Points"));
            }
            let is_sized = self.plans.values().any(|plan| plan.size.is_some());
            if has(&|of| of == Of::Strand) || described(Description::Strands) || is_sized {
                slots.push((Slot::Strand, "Strands"));
            }
            if has(&|of| of == Of::Duct) || described(Description::Pipe) {
                slots.push((Slot::Duct, "Ducts"));
            }
        }
        let header_row = self.sheet.rows[self.found.headers.end - 1].number;
        for (slot, list) in slots {
            let of: Vec<Of> = match slot {
                Slot::Row => vec![Of::Row],
                Slot::End => vec![
                    Of::End(Scope::A),
                    Of::End(Scope::B),
                    Of::End(Scope::Stressing),
                    Of::End(Scope::Dead),
                    Of::RowEnd,
                    Of::BothEnds,
                ],
                Slot::Point => vec![
                    Of::Point(Scope::A),
                    Of::Point(Scope::B),
                    Of::Point(Scope::Stressing),
                    Of::Point(Scope::Dead),
                    Of::RowPoint,
                ],
                Slot::Strand => vec![Of::Strand],
                Slot::Duct => vec![Of::Duct],
            };
            let columns: Vec<ReadColumn> = self
                .plans
                .values()
                .filter_map(|plan| match (&plan.take, slot) {
                    (Take::Link(_), Slot::Row) => Some(link(plan)),
                    (Take::Value { path, .. }, Slot::End | Slot::Point) if **path == ["mark"] => {
                        Some(link(plan))
                    }
                    _ => plan.read_column(&of),
                })
                .collect();
            frames.take(Frame::Table(Table {
                part: self.sheet.part.clone(),
                sheet: Some(self.sheet.name.clone()),
                grid: self.sheet.grid,
                list: list.to_owned(),
                header_row,
                columns,
            }))?;
            self.tables.insert(slot, *tables);
            *tables += 1;
        }
        Ok(())
    }

    /// Says what is wrong with columns as a whole.
    fn complain(&mut self, frames: &mut dyn Frames) -> Result<(), Stopped> {
        let header_row = self.sheet.rows[self.found.headers.end - 1].number;
        for plan in self.plans.values() {
            let (kind, why, help) = match (&plan.take, &plan.unit) {
                (_, ColumnUnit::Impossible(why)) => (
                    ProblemKind::ValueLost,
                    why.clone(),
                    "correct the header, or say in a mapping file what the column is".to_owned(),
                ),
                (Take::Keep, _) if plan.readings.is_empty() => (
                    ProblemKind::Unknown,
                    plan.why.clone(),
                    "its values are kept as further values of each row; a mapping file can say what it is".to_owned(),
                ),
                _ => continue,
            };
            frames.take(Frame::Problem(Problem {
                kind,
                place: self.sheet.place(header_row, Some(plan.index)),
                record: Origin::default(),
                subject: format!("{}: {}", self.sheet.name, plan.header),
                given: Some(plan.header.clone()),
                why,
                help,
            }))?;
        }
        if self.ends_assumed {
            let why = format!(
                "does not say which end lies at the lower station; the {} end is taken for it",
                if self.names.name(Scope::Stressing) == "a" { "stressing" } else { "dead" }
            );
            self.remarks.push(Remark { row: None, what: format!("The table {why}.") });
            frames.take(Frame::Problem(Problem {
                kind: ProblemKind::Assumed,
                place: self.sheet.place(header_row, None),
                record: Origin::default(),
                subject: self.sheet.name.clone(),
                given: None,
                why,
                help: "add the stations of the ends, or name the ends a and b".to_owned(),
            }))?;
        }
        Ok(())
    }

    /// Reads all rows.
    pub(super) fn read(
        &mut self,
        context: &[(&'static str, String)],
        frames: &mut dyn Frames,
    ) -> Result<(), Stopped> {
        let sheet = self.sheet;
        let body = self.found.body.clone();
        let stating: Vec<u32> = self
            .plans
            .values()
            .filter(|plan| !matches!(plan.take, Take::Keep | Take::Ignore))
            .map(|plan| plan.index)
            .collect();
        let kinds: Vec<RowKind> = body
            .clone()
            .map(|at| match self.found.repeated.contains(&at) {
                true => RowKind::Out("the headers come again in it"),
                false => habits::kind(&sheet.rows[at], &stating),
            })
            .collect();
        let records: Vec<usize> = body
            .clone()
            .zip(&kinds)
            .filter(|(_, kind)| **kind == RowKind::Record)
            .map(|(at, _)| at)
            .collect();
        let mut habits = self.habits(&records);
        for (at, kind) in body.zip(kinds) {
            let row = &sheet.rows[at];
            match kind {
                RowKind::Record => {
                    let cells = self.cells(row, &mut habits);
                    let context: Vec<_> = self.heading.iter().chain(context).cloned().collect();
                    self.row(row.number, &cells, &context, frames)?;
                    self.rows += 1;
                }
                RowKind::Out(why) => self.leave_out(row, why, frames)?,
                RowKind::Total => {
                    self.remarks.push(Remark {
                        row: Some(row.number),
                        what: format!(
                            "Sums are no tendon: \"{}\" is kept as a further value.",
                            shown(row)
                        ),
                    });
                    self.further.push((row.number, shown(row)));
                }
                RowKind::Text(text) => self.text(row.number, text),
            }
        }
        self.finish(frames)
    }

    fn habits(&self, records: &[usize]) -> Habits {
        self.plans
            .values()
            .map(|plan| {
                let cells: Vec<Option<&GridCell>> =
                    records.iter().map(|at| self.sheet.rows[*at].cells.get(&plan.index)).collect();
                let list = plan.target.and_then(super::vocabulary::Target::list);
                let field = match plan.target.and_then(super::vocabulary::Target::column) {
                    Some(Column::Value { path, .. }) => Some(path.join(".")),
                    Some(Column::Link { header }) => Some((*header).to_owned()),
                    None => None,
                };
                // A row per tendon without a mark is a tendon without a mark.
                let may = self.found.assignment.per_end || field.as_deref() != Some("mark");
                let field = list.zip(field.as_deref()).filter(|_| may);
                (plan.index, Habit::of(field, &cells))
            })
            .collect()
    }

    fn cells(&mut self, row: &GridRow, habits: &mut Habits) -> Cells {
        let mut cells = Cells::new();
        let mut carried = Vec::new();
        for (index, habit) in habits.iter_mut() {
            if let Some((cell, taken)) = habit.next(row.cells.get(index)) {
                if taken != Taken::Here {
                    carried.push((*index, taken));
                }
                cells.insert(*index, (cell, taken));
            } else if let Some(cell) =
                row.cells.get(index).filter(|cell| habits::is_ditto(&cell.cell))
            {
                // A mark with nothing above it is no value.
                cells.insert(*index, (cell.clone(), Taken::Here));
            }
        }
        for (column, cell) in &row.cells {
            if !habits.contains_key(column) && !cell.cell.is_blank() {
                cells.insert(*column, (cell.clone(), Taken::Here));
            }
        }
        for one in carried {
            let (first, count) = self.carried.entry(one).or_insert((row.number, 0));
            *first = (*first).min(row.number);
            *count += 1;
        }
        cells
    }

    fn text(&mut self, row: u32, text: String) {
        if let Some(group) = heading(&text) {
            self.heading.retain(|(field, _)| *field != group.0);
            self.remarks.push(Remark {
                row: Some(row),
                what: format!(
                    "\"{text}\" is taken as the {} of the rows below.",
                    group.0.trim_end_matches('s')
                ),
            });
            self.heading.push(group);
            return;
        }
        self.remarks.push(Remark {
            row: Some(row),
            what: format!("\"{text}\" is no row of the table; it is kept as a further value."),
        });
        self.further.push((row, text));
    }

    fn leave_out(
        &mut self,
        row: &GridRow,
        why: &str,
        frames: &mut dyn Frames,
    ) -> Result<(), Stopped> {
        let text = shown(row);
        self.remarks.push(Remark {
            row: Some(row.number),
            what: format!("The row is left out, as {why}: {text}."),
        });
        if why.starts_with("the headers") {
            return Ok(());
        }
        self.further.push((row.number, text.clone()));
        frames.take(Frame::Problem(Problem {
            kind: ProblemKind::Assumed,
            place: self.sheet.place(row.number, None),
            record: Origin::default(),
            subject: format!("{}, row {}", self.sheet.name, u64::from(row.number) + 1),
            given: Some(text),
            why: format!("is left out, as {why}"),
            help: "take the row out of the file, or clear the mark if it holds".to_owned(),
        }))
    }

    /// Reads one row of the table into the records it states.
    fn row(
        &mut self,
        number: u32,
        cells: &Cells,
        context: &[(&'static str, String)],
        frames: &mut dyn Frames,
    ) -> Result<(), Stopped> {
        let mut making: BTreeMap<(Slot, &'static str), Making> = BTreeMap::new();
        let mut links: Vec<(&'static str, Box<str>)> = Vec::new();
        let mut end_of_row: Option<Scope> = None;
        let mut plans = std::mem::take(&mut self.plans);
        let mut further = Fields::new();
        let mut names = HashSet::new();
        let mut problems = Vec::new();
        let mark = plans.values().find_map(|plan| match &plan.take {
            Take::Value { of: Of::Row, path, .. } if **path == ["mark"] => {
                Some(cells.get(&plan.index)?.0.cell.name())
            }
            _ => None,
        });
        // The end that the row is decides where its other values go, so it is read first.
        for plan in plans.values().filter(|plan| matches!(plan.take, Take::EndOfRow)) {
            end_of_row =
                cells.get(&plan.index).and_then(|(cell, _)| ends::read(&cell.cell.shown()));
        }
        let kind_of_row = plans.values().find_map(|plan| match &plan.take {
            Take::Value { of: Of::RowEnd, field, .. } if field.name == "kind" => {
                ends::read(&cells.get(&plan.index)?.0.cell.shown())
            }
            _ => None,
        });
        let row_end = self.end_of_row(end_of_row, kind_of_row, mark.as_deref());
        for (index, (cell, _)) in cells {
            let Some(plan) = plans.get_mut(index) else {
                keep(
                    &mut further,
                    &mut names,
                    &format!("column {}", crate::sheet::read::column_letters(*index)),
                    &cell.cell,
                );
                continue;
            };
            if cell.cell.is_blank() {
                continue;
            }
            let slot_of = |of: Of| -> Vec<(Slot, &'static str)> {
                match of {
                    Of::Row => vec![(Slot::Row, "")],
                    Of::End(scope) => vec![(Slot::End, self.names.name(scope))],
                    Of::RowEnd => vec![(Slot::End, row_end)],
                    Of::BothEnds => vec![(Slot::End, "a"), (Slot::End, "b")],
                    Of::Point(scope) => vec![(Slot::Point, self.names.name(scope))],
                    Of::RowPoint => vec![(Slot::Point, row_end)],
                    Of::Strand => vec![(Slot::Strand, "")],
                    Of::Duct => vec![(Slot::Duct, "")],
                }
            };
            match plan.take.clone() {
                Take::Keep | Take::Ignore => {
                    keep(&mut further, &mut names, &plan.header, &cell.cell);
                    if !plan.readings.is_empty() && matches!(plan.take, Take::Keep) {
                        let origin = Origin::new(self.tables[&Slot::Row], number);
                        let why = plan.why.clone();
                        let readings = plan.readings.clone();
                        plan.ask(self.sheet, number, origin, &cell.cell.shown(), &why, &readings);
                    }
                }
                Take::EndOfRow => {
                    if ends::read(&cell.cell.shown()).is_none() {
                        keep(&mut further, &mut names, &plan.header, &cell.cell);
                    }
                }
                Take::Link(header) => links.push((header, cell.cell.name().into_boxed_str())),
                Take::Described(description) => {
                    self.described(description, plan, cell, &mut making, &mut further, &mut names);
                }
                Take::Value { of, path, field } => {
                    let slots = slot_of(of);
                    let slot = slots.first().map_or(Slot::Row, |slot| slot.0);
                    let origin =
                        Origin::new(self.tables.get(&slot).copied().unwrap_or_default(), number);
                    let path = if plan.by_end && self.jacked(row_end) == "b" {
                        &ELONGATION_B
                    } else {
                        path
                    };
                    match self.value(plan, field, cell) {
                        Ok(value) => {
                            if let Some(size) = plan.size {
                                let strand = making.entry((Slot::Strand, "")).or_default();
                                put_size(&mut strand.fields, size);
                            }
                            for slot in slots {
                                let record = making.entry(slot).or_default();
                                if let Cell::Text(text) = &cell.cell
                                    && reads_differently(text, &value)
                                {
                                    record.texts.push((*index, text.as_ref().into()));
                                }
                                put(&mut record.fields, path, value.clone());
                            }
                        }
                        Err(unfit) => {
                            keep(&mut further, &mut names, &plan.header, &cell.cell);
                            if matches!(plan.unit, ColumnUnit::Impossible(_)) {
                                continue;
                            }
                            if unfit.readings.len() > 1 {
                                plan.ask(
                                    self.sheet,
                                    number,
                                    origin,
                                    &cell.cell.shown(),
                                    &unfit.why,
                                    &unfit.readings,
                                );
                            } else {
                                problems.push(Problem {
                                    kind: ProblemKind::ValueLost,
                                    place: self.sheet.place(number, Some(*index)),
                                    record: origin,
                                    subject: plan
                                        .target
                                        .map_or_else(String::new, super::vocabulary::Target::name),
                                    given: Some(cell.cell.shown()),
                                    why: unfit.why,
                                    help: unfit.help,
                                });
                            }
                        }
                    }
                }
            }
        }
        for (scope, slot_end) in plans
            .values()
            .filter_map(|plan| plan.scope)
            .map(|scope| (scope, self.names.name(scope)))
        {
            if let (Some(kind), Some(end)) =
                (ends::kind(scope), making.get_mut(&(Slot::End, slot_end)))
                && end.fields.get("kind").is_none()
            {
                put(&mut end.fields, &["kind"], Value::Text(kind.into()));
            }
        }
        if self.found.assignment.per_end {
            let end = making.entry((Slot::End, row_end)).or_default();
            if let Some(kind) = end_of_row.and_then(ends::kind)
                && end.fields.get("kind").is_none()
            {
                put(&mut end.fields, &["kind"], Value::Text(kind.into()));
            }
        }
        self.plans = plans;
        let own = making.entry((Slot::Row, "")).or_default();
        for (field, text) in context {
            if self.found.assignment.list == "Tendons" && own.fields.get(field).is_none() {
                let value = match *field {
                    "spans" => Value::List(vec![Value::Text(text.as_str().into())]),
                    _ => Value::Text(text.as_str().into()),
                };
                put(&mut own.fields, if *field == "spans" { &["spans"] } else { &["web"] }, value);
            }
        }
        for (of, path, value) in self.constants.clone() {
            let slots: &[(Slot, &'static str)] = match of {
                Of::End(Scope::A) => &[(Slot::End, "a")],
                Of::End(Scope::B) => &[(Slot::End, "b")],
                Of::BothEnds | Of::RowEnd => &[(Slot::End, "a"), (Slot::End, "b")],
                _ => &[(Slot::Row, "")],
            };
            for slot in slots {
                if let Some(record) = making.get_mut(slot) {
                    put(&mut record.fields, path, value.clone());
                }
            }
        }
        self.hand_over(number, mark, making, links, further, frames)?;
        for problem in problems {
            frames.take(Frame::Problem(problem))?;
        }
        Ok(())
    }

    /// The end of whose elongation a row speaks.
    fn jacked(&self, row_end: &'static str) -> &'static str {
        if self.found.assignment.per_end { row_end } else { self.names.name(Scope::Stressing) }
    }

    /// The end that a row is; without a name of its own the first row of a tendon is its end `a`.
    fn end_of_row(
        &self,
        named: Option<Scope>,
        kind: Option<Scope>,
        mark: Option<&str>,
    ) -> &'static str {
        if let Some(scope @ (Scope::A | Scope::B)) = named {
            return self.names.name(scope);
        }
        let _ = kind;
        let seen = mark.and_then(|mark| self.tendons.get(mark)).copied().unwrap_or_default();
        if seen == 0 { "a" } else { "b" }
    }

    /// Takes a description of several values apart.
    fn described(
        &mut self,
        description: Description,
        plan: &ColumnPlan,
        cell: &GridCell,
        making: &mut BTreeMap<(Slot, &'static str), Making>,
        further: &mut Fields,
        names: &mut HashSet<String>,
    ) {
        let text = cell.cell.shown();
        let given: Box<str> = text.as_str().into();
        let mm = quantity::Unit::find("mm", quantity::Dimension::Length);
        match description {
            Description::Strands => match quantity::strands(&text) {
                Some(read) => {
                    let own = making.entry((Slot::Row, "")).or_default();
                    put(&mut own.fields, &["strand_count"], Value::Number(f64::from(read.count)));
                    own.texts.push((plan.index, given));
                    let strand = making.entry((Slot::Strand, "")).or_default();
                    put(&mut strand.fields, &["id"], Value::Text(read.kind.as_str().into()));
                    if let Some(diameter) = read.diameter_mm {
                        put(&mut strand.fields, &["diameter_mm"], Value::Number(diameter));
                        let series = if read.is_inch { "inch" } else { "metric" };
                        put(&mut strand.fields, &["series"], Value::Text(series.into()));
                    }
                }
                None => {
                    if let Cell::Number(count) = cell.cell
                        && count.fract() == 0.0
                        && count > 0.0
                    {
                        let own = making.entry((Slot::Row, "")).or_default();
                        put(&mut own.fields, &["strand_count"], Value::Number(count));
                    } else {
                        keep(further, names, &plan.header, &cell.cell);
                    }
                }
            },
            Description::Pipe => match quantity::pipe(&text, mm) {
                Some(read) => {
                    let duct = making.entry((Slot::Duct, "")).or_default();
                    put(&mut duct.fields, &["id"], Value::Text(text.as_str().into()));
                    let upper = text.to_uppercase();
                    if upper.starts_with("HDPE") || upper.starts_with("PE") {
                        put(&mut duct.fields, &["material"], Value::Text("polyethylene".into()));
                    } else if upper.starts_with("STEEL") {
                        put(&mut duct.fields, &["material"], Value::Text("steel".into()));
                    }
                    let mut number = |name: &'static [&'static str], value: Option<f64>| {
                        if let Some(value) = value {
                            put(&mut duct.fields, name, Value::Number(value));
                        }
                    };
                    number(&["outer_mm"], read.outer_mm);
                    number(&["wall_mm"], read.wall_mm);
                    number(&["dimension_ratio"], read.dimension_ratio);
                    let mut word = |name: &'static [&'static str], text: Option<String>| {
                        if let Some(text) = text {
                            put(&mut duct.fields, name, Value::Text(text.as_str().into()));
                        }
                    };
                    word(&["nominal_size"], read.nominal);
                    word(&["pipe_schedule"], read.schedule);
                }
                None => {
                    // Another name of a duct is a name.
                    let own = making.entry((Slot::Row, "")).or_default();
                    put(&mut own.fields, &["duct"], Value::Text(text.as_str().into()));
                }
            },
        }
    }

    /// The value of a cell for a field.
    fn value(
        &self,
        plan: &ColumnPlan,
        field: &'static FieldInfo,
        cell: &GridCell,
    ) -> Result<Value, Unfit> {
        let own = of_field(field.name).1.filter(|_| matches!(field.shape, Shape::Number));
        let measure = plan.measure(own);
        let unfit = |why: &str, readings: &[String]| Unfit {
            why: why.to_owned(),
            help: "say it in the file, or in a mapping file".to_owned(),
            readings: readings.to_vec(),
        };
        if let (Shape::Choice(list), Cell::Text(text)) = (field.shape, &cell.cell) {
            if field.name == "from"
                && ends::read(text) == Some(Scope::Stressing)
                && self.plans_name_ends()
            {
                return Ok(Value::Text(self.names.name(Scope::Stressing).into()));
            }
            return match word(field, list, text) {
                Word::Is(word) => Ok(Value::Text(word.into())),
                Word::Unclear(words) => {
                    let readings: Vec<String> =
                        words.iter().map(|word| word.replace('_', " ")).collect();
                    Err(unfit("the word is used for several", &readings))
                }
                Word::Unknown => cell::value(&cell.cell, field, measure),
            };
        }
        let Some(own) = own else { return cell::value(&cell.cell, field, measure) };
        let mut sign = if plan.right_is_positive { -1.0 } else { 1.0 };
        let settled = match &cell.cell {
            Cell::Text(text) => {
                let mut text: Cow<'_, str> = Cow::Borrowed(text.trim());
                if field.name == "lateral_m"
                    && let Some((rest, side)) = quantity::sided(&text)
                {
                    sign = side;
                    text = Cow::Owned(rest.to_owned());
                }
                if let Some(base) = plan.station
                    && let Some(metres) = quantity::station(&text, measure.stated, Some(base))
                {
                    return metres
                        .map(Value::Number)
                        .map_err(|misread| unfit(&misread.to_string(), &[]));
                }
                match plan.marks.decide(&text, false) {
                    Decision::Settled(cell) => cell,
                    Decision::AsItStands => Cell::Text(text.into_owned().into()),
                    Decision::Open { mark, readings } => {
                        match only_plausible(plan, field, own, &readings) {
                            Some(number) => Cell::Number(number),
                            None => {
                                return Err(unfit(
                                    &format!("the {mark} in it can part thousands or decimals"),
                                    &readings,
                                ));
                            }
                        }
                    }
                }
            }
            other => other.clone(),
        };
        if let (ColumnUnit::Gradient(run), Cell::Number(rise)) = (&plan.unit, &settled) {
            return Ok(Value::Number((rise / run).atan()));
        }
        if let (ColumnUnit::Asked { why, readings }, Cell::Number(number)) = (&plan.unit, &settled)
            && *number != 0.0
        {
            return Err(unfit(why, readings));
        }
        match cell::value(&settled, field, plan.measure(Some(own)))? {
            Value::Number(number) => Ok(Value::Number(number * sign)),
            value => Ok(value),
        }
    }

    /// Hands over the records of a row.
    fn hand_over(
        &mut self,
        number: u32,
        mark: Option<String>,
        mut making: BTreeMap<(Slot, &'static str), Making>,
        links: Vec<(&'static str, Box<str>)>,
        further: Fields,
        frames: &mut dyn Frames,
    ) -> Result<(), Stopped> {
        for slot in [Slot::Strand, Slot::Duct] {
            if let Some(kind) = making.remove(&(slot, "")) {
                let own = making.entry((Slot::Row, "")).or_default();
                self.kind(slot, number, kind, own, frames)?;
            }
        }
        let mut own = making.remove(&(Slot::Row, "")).unwrap_or_default();
        if !further.is_empty() {
            own.fields.push(Name::Known(EXTRA), Value::Fields(further));
        }
        let named: Vec<Option<Box<str>>> = list_at(self.found.assignment.list)
            .map(|(_, sheet)| sheet.links())
            .unwrap_or_default()
            .iter()
            .map(|header| {
                links.iter().find(|(link, _)| link == header).map(|(_, name)| name.clone())
            })
            .collect();
        match &mark {
            Some(mark) if self.found.assignment.per_end => {
                self.keep_pending(mark, number, named, own, frames)?;
            }
            _ => self.record(Slot::Row, number, named, own, frames)?,
        }
        if let Some(mark) = &mark {
            *self.tendons.entry(mark.clone()).or_default() += 1;
        }
        for ((slot, end), record) in making {
            let tendon = mark.as_deref().map(Box::from);
            let named = match slot {
                Slot::End => vec![tendon, Some(Box::from(end))],
                _ => vec![tendon],
            };
            if slot == Slot::Point && record.fields.is_empty() {
                continue;
            }
            self.record(slot, number, named, record, frames)?;
        }
        Ok(())
    }

    /// Keeps a row of a tendon until its others are read, and says what it states otherwise than the first.
    fn keep_pending(
        &mut self,
        mark: &str,
        number: u32,
        links: Vec<Option<Box<str>>>,
        own: Making,
        frames: &mut dyn Frames,
    ) -> Result<(), Stopped> {
        let at = *self.pending_at.entry(mark.to_owned()).or_insert(self.pending.len());
        let Some(first) = self.pending.get_mut(at) else {
            self.pending.push(Pending { number, links, own });
            return Ok(());
        };
        let mut otherwise = Vec::new();
        join(&mut first.own.fields, own.fields, "tendon", &mut otherwise);
        for (column, text) in own.texts {
            if !first.own.texts.iter().any(|(other, _)| *other == column) {
                first.own.texts.push((column, text));
            }
        }
        for (subject, value) in otherwise {
            frames.take(Frame::Problem(Problem {
                kind: ProblemKind::ValueDoubtful,
                place: self.sheet.place(number, None),
                record: Origin::default(),
                subject,
                given: Some(value.to_string()),
                why: format!("the first row of {mark} says otherwise, and its value is taken"),
                help: "write the same in both rows, or leave it blank in the second".to_owned(),
            }))?;
        }
        Ok(())
    }

    /// Hands over a kind of strand or duct, once, and lets the row's tendon name it.
    fn kind(
        &mut self,
        slot: Slot,
        number: u32,
        mut kind: Making,
        own: &mut Making,
        frames: &mut dyn Frames,
    ) -> Result<(), Stopped> {
        let link: &'static str = if slot == Slot::Strand { "strand" } else { "duct" };
        let named = own.fields.get(link).and_then(Value::as_text).map(str::to_owned);
        let described = kind.fields.take("id");
        let stated = !kind.fields.is_empty();
        let id = named
            .clone()
            .or_else(|| described.as_ref().and_then(Value::as_text).map(str::to_owned));
        let mut id = id.unwrap_or_else(|| {
            let parts: Vec<String> = kind
                .fields
                .iter()
                .map(|(_, value)| match value.as_number() {
                    Some(number) => quantity::shortest(number),
                    None => value.to_string(),
                })
                .collect();
            parts.join(" ")
        });
        // Two kinds that differ have two names.
        let base = id.clone();
        let mut count = 1;
        while self.kinds.get(&(slot, id.clone())).is_some_and(|other| *other != kind.fields) {
            count += 1;
            id = format!("{base} ({count})");
        }
        if named.is_none() || id != base {
            let _ = own.fields.take(link);
            put(
                &mut own.fields,
                if slot == Slot::Strand { &["strand"] } else { &["duct"] },
                Value::Text(id.as_str().into()),
            );
        }
        if stated && !self.kinds.contains_key(&(slot, id.clone())) {
            self.kinds.insert((slot, id.clone()), kind.fields.clone());
            let mut fields = Fields::new();
            put(&mut fields, &["id"], Value::Text(id.as_str().into()));
            for (name, value) in kind.fields {
                fields.push(name, value);
            }
            self.record(slot, number, Vec::new(), Making { fields, texts: kind.texts }, frames)?;
        }
        Ok(())
    }

    fn record(
        &self,
        slot: Slot,
        number: u32,
        links: Vec<Option<Box<str>>>,
        record: Making,
        frames: &mut dyn Frames,
    ) -> Result<(), Stopped> {
        let Some(table) = self.tables.get(&slot).copied() else { return Ok(()) };
        if record.fields.is_empty() && record.texts.is_empty() && links.iter().all(Option::is_none)
        {
            return Ok(());
        }
        frames.take(Frame::Record(RecordFrame {
            table,
            at: At::Row(number),
            links,
            fields: record.fields,
            texts: record.texts,
        }))
    }

    /// Whether headers speak of the end that is jacked.
    fn plans_name_ends(&self) -> bool {
        self.found.assignment.columns.iter().any(|one| one.header.scope == Some(Scope::Stressing))
    }

    fn finish(&mut self, frames: &mut dyn Frames) -> Result<(), Stopped> {
        for Pending { number, links, own, .. } in std::mem::take(&mut self.pending) {
            self.record(Slot::Row, number, links, own, frames)?;
        }
        for ((index, taken), (first, count)) in std::mem::take(&mut self.carried) {
            let Some(plan) = self.plans.get(&index) else { continue };
            let how = match taken {
                Taken::Ditto => "a mark says: as above",
                Taken::Merged => "it is merged with the cell above",
                Taken::Carried => "the cell is blank, and the column names each group once",
                Taken::Here => continue,
            };
            let values = if count == 1 { "1 value".to_owned() } else { format!("{count} values") };
            let what = format!(
                "From here on {values} of \"{}\" are taken from above: {how}.",
                plan.header
            );
            self.remarks.push(Remark { row: Some(first), what });
        }
        for plan in self.plans.values_mut() {
            if let Some(question) = &plan.question {
                frames.take(Frame::Question(question.clone()))?;
            }
        }
        Ok(())
    }

    /// What the table was taken for.
    pub(super) fn understood(self, into: &mut Understood) -> Vec<(u32, String)> {
        let rows = &self.sheet.rows;
        let record = list_at(self.found.assignment.list)
            .map_or_else(String::new, |(_, sheet)| sheet.record.name.replace('_', " "));
        into.tables.push(UnderstoodTable {
            caption: self.found.caption.clone(),
            record: if self.found.assignment.per_end {
                "end of a tendon".to_owned()
            } else {
                record
            },
            turned: self.sheet.grid.is_turned(),
            headers: (
                rows[self.found.headers.start].number,
                rows[self.found.headers.end - 1].number,
            ),
            rows: self.rows,
            columns: self.plans.values().map(ColumnPlan::understood).collect(),
        });
        into.remarks.extend(self.remarks);
        self.further
    }
}

fn link(plan: &ColumnPlan) -> ReadColumn {
    ReadColumn {
        index: plan.index,
        header: plan.header.as_str().into(),
        path: Vec::new(),
        unit: None,
        link: true,
    }
}

/// A station in the unit of its column, for telling which of two is the lower.
fn station(plan: &ColumnPlan, cell: &GridCell) -> Option<f64> {
    match &cell.cell {
        Cell::Number(number) => Some(*number),
        Cell::Text(text) => {
            let metre = quantity::Unit::find("m", quantity::Dimension::Length);
            let unit = match &plan.unit {
                ColumnUnit::Stated(unit, _) => Some(*unit),
                _ => metre,
            };
            quantity::station(text, unit, plan.station)
                .unwrap_or_else(|| quantity::read(text, unit, metre))
                .ok()
        }
        _ => None,
    }
}

/// What a heading among the rows says of those below: a span or a web.
pub(super) fn heading(text: &str) -> Option<(&'static str, String)> {
    let plain = text.trim().trim_end_matches(':').to_lowercase();
    let words: Vec<&str> = plain.split_whitespace().collect();
    if words.len() > 3 || words.is_empty() {
        return None;
    }
    let named = text.trim().trim_end_matches(':').to_owned();
    if words[0].starts_with("span") && (words.len() > 1 || words[0].len() > 4) {
        return Some(("spans", named));
    }
    let is_web = |word: &&&str| matches!(**word, "web" | "girder" | "webs");
    words.iter().find(is_web).filter(|_| words.len() > 1).map(|_| ("web", named))
}

fn shown(row: &GridRow) -> String {
    let texts: Vec<String> = row.own().map(|(_, cell)| cell.cell.shown()).collect();
    texts.join(" | ")
}

/// The path of the elongation at the end at the higher station.
const ELONGATION_B: [&str; 2] = ["stressing", "elongation_b_mm"];

/// Puts the size that a header names, where the row does not state its own.
fn put_size(strand: &mut Fields, size: StrandSize) {
    let StrandSize { diameter_mm, is_inch } = size;
    if strand.get("diameter_mm").is_some() {
        return;
    }
    let (name, series) = if is_inch {
        (format!("{}\"", quantity::shortest(diameter_mm / 25.4)), "inch")
    } else {
        (quantity::shortest(diameter_mm), "metric")
    };
    if strand.get("id").is_none() {
        put(strand, &["id"], Value::Text(name.as_str().into()));
    }
    put(strand, &["diameter_mm"], Value::Number(diameter_mm));
    put(strand, &["series"], Value::Text(series.into()));
}

/// The one reading of a number whose mark can part thousands or decimals that a bridge can have.
fn only_plausible(
    plan: &ColumnPlan,
    field: &FieldInfo,
    own: &'static quantity::Unit,
    readings: &[String],
) -> Option<f64> {
    let ColumnUnit::Stated(unit, _) = &plan.unit else { return None };
    let numbers: Vec<f64> = readings.iter().filter_map(|text| text.trim().parse().ok()).collect();
    let can_be = |number: &f64| is_plausible(field, unit.convert(*number, own));
    let known: Vec<bool> = numbers.iter().filter_map(can_be).collect();
    let [first, second] = *numbers.as_slice() else { return None };
    match *known.as_slice() {
        [true, false] => Some(first),
        [false, true] => Some(second),
        _ => None,
    }
}

/// Adds what a further row of a record states; what it states otherwise is given back.
fn join(into: &mut Fields, from: Fields, way: &str, otherwise: &mut Vec<(String, Value)>) {
    for (name, value) in from {
        let way = format!("{way}.{name}");
        let own = into.iter_mut().find(|(other, _)| other.as_str() == name.as_str());
        match (own, value) {
            (None, value) => into.push(name, value),
            (Some((own, Value::Fields(into))), Value::Fields(from)) => {
                if own.as_str() == EXTRA {
                    join_further(into, from);
                } else {
                    join(into, from, &way, otherwise);
                }
            }
            (Some((_, own)), value) if *own == value => {}
            (Some(_), value) => otherwise.push((way, value)),
        }
    }
}

/// Adds further values; one that differs from another of its name gets a name of its own.
fn join_further(into: &mut Fields, from: Fields) {
    for (name, value) in from {
        let mut own = name.as_str().to_owned();
        let mut count = 1;
        while into.get(&own).is_some_and(|other| *other != value) {
            count += 1;
            own = format!("{name} ({count})");
        }
        if into.get(&own).is_none() {
            into.push(Name::from(own.as_str()), value);
        }
    }
}

/// Keeps a value that no field takes, under a name that no other value of the row has.
fn keep(further: &mut Fields, names: &mut HashSet<String>, header: &str, cell: &Cell<'_>) {
    let mut name = header.to_owned();
    let mut count = 1;
    while !names.insert(name.clone()) {
        count += 1;
        name = format!("{header} ({count})");
    }
    further.push(Name::from(name.as_str()), plain_value(cell));
}

/// The values that the mapping gives to every row.
fn constants(
    found: &Found,
    mapped: Option<&TableMapping>,
) -> Vec<(Of, &'static [&'static str], Value)> {
    let mut constants = Vec::new();
    for (name, value) in mapped.into_iter().flat_map(|mapped| &mapped.constants) {
        let Some(named) = super::mapping::named(name) else { continue };
        let (Some(Column::Value { path, .. }), Some(list)) =
            (named.target.column(), named.target.list())
        else {
            continue;
        };
        let of = match (list, named.scope) {
            (list, _) if list == found.assignment.list => Of::Row,
            ("Ends", Some(scope)) => Of::End(scope),
            ("Ends", None) => Of::BothEnds,
            _ => continue,
        };
        if let Some(value) = Value::from_json(&value.to_string()) {
            constants.push((of, path.as_slice(), value));
        }
    }
    constants
}
