//! From the rows of a table to records.

mod hand_over;
mod row;
mod value;

use std::collections::{BTreeMap, HashMap};

use restrand_model::quantity;
use restrand_model::reading::{
    Column as ReadColumn, Origin, Problem, ProblemKind, Remark, Table, Understood, UnderstoodTable,
};
use restrand_model::reflect::Shape;
use restrand_model::sheet::Column;
use restrand_model::value::{Fields, Value};

use super::ends::Names;
use super::find::Found;
use super::grid::{GridCell, GridRow, Sheet};
use super::habits::{self, Habit, Habits, RowKind, Taken};
use super::header::Scope;
use super::mapping::TableMapping;
use super::notes::UnitNotes;
use super::plan::{ColumnPlan, Of, Take, plans};
use super::unit::ColumnUnit;
use super::vocabulary::{Description, list_at};
use crate::frame::{Frame, Frames, Stopped};
use crate::sheet::Cell;

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

    /// Whether a column states what each tendon has of its own, so that a value over several rows can be a sum.
    fn is_of_one_tendon(&self, plan: &ColumnPlan) -> bool {
        let measures = matches!(&plan.take, Take::Value { field, .. }
            if matches!(field.shape, Shape::Number | Shape::Count));
        self.found.assignment.list == "Tendons" && !self.found.assignment.per_end && measures
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
            if taken == Taken::Merged && self.is_of_one_tendon(plan) {
                frames.take(Frame::Problem(Problem {
                    kind: ProblemKind::Assumed,
                    place: self.sheet.place(first, Some(index)),
                    record: Origin::default(),
                    subject: format!("{}: {}", self.sheet.name, plan.header),
                    given: None,
                    why: "is merged over the cells of several tendons; its value is taken for each"
                        .to_owned(),
                    help: "write the value into each row, if it is that of each".to_owned(),
                }))?;
            }
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
