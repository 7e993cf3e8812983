//! From the rows of a table to records.

mod begin;
mod end;
mod hand_over;
mod row;
mod value;

use std::collections::{BTreeMap, HashMap};

use restrand_model::reading::{Origin, Problem, ProblemKind, Remark};
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
use crate::frame::{Frame, Frames, Stopped};
use begin::constants;

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
