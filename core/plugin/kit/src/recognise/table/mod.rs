//! From the rows of a table to records.

mod at_jack;
mod begin;
mod constants;
mod described;
mod doubled;
mod ends;
mod group;
mod halves;
mod hand_over;
mod kinds;
mod row;
mod rows;
mod spans;
mod spare;
mod strand;
mod strand_text;
mod sums;
mod unfilled;
mod value;

use std::collections::{BTreeMap, BTreeSet, HashMap};

use restrand_model::reading::{
    Origin, Problem, ProblemKind, Question, Remark, Understood, UnderstoodTable,
};
use restrand_model::value::Fields;

use self::ends::RowSide;
use super::alike::{self, Apart};
use super::ends::Names;
use super::find::Found;
use super::grid::{GridCell, GridRow, Sheet, second, standing};
use super::habits::{RowKind, Taken};
use super::known::Known;
use super::mapping::TableMapping;
use super::notes::UnitNotes;
use super::plan::{ColumnPlan, plans};
use super::scope::Scope;
use super::stated::Whose;
use super::vocabulary::list_at;
use crate::frame::{Frame, Frames, Stopped};
use crate::sheet::marks::SeenMarks;
use at_jack::Unjacked;
use constants::Constants;
use doubled::Doubled;
pub(super) use hand_over::join;
pub(super) use row::stated;
use spare::Spare;

/// A list that the rows of a table give records to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Slot {
    Row,
    End,
    Point,
    Deviator,
    Strand,
    Duct,
    Measured,
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
    /// The spans that rows name by themselves.
    span_names: BTreeSet<String>,
    /// Whether a note says that an empty cell is as the one above it.
    blanks_above: bool,
    sheet: &'a Sheet,
    found: &'a Found,
    plans: BTreeMap<u32, ColumnPlan>,
    names: Names,
    /// The same for the row at hand, of which stations tell it, where they stand.
    row_names: Names,
    /// The columns of the stations of the stressed end and of the other.
    end_stations: Option<(u32, u32)>,
    /// The rows whose stressed end lies at the other side than that of most: the first, and how many.
    turned_rows: Option<(u32, u32)>,
    /// Whether the ends are named by the order of their columns alone.
    ends_assumed: bool,
    /// The table frames of the slots, by the name of the end or point: each of them has columns of its own.
    tables: BTreeMap<(Slot, &'static str), u32>,
    /// Those of the ends of rows that have them the other way round than most.
    other_tables: BTreeMap<(Slot, &'static str), u32>,
    /// Whether some rows have their ends one way and some the other.
    is_either_way: bool,
    /// Whether a column says from which end each tendon is stressed, and no stations do.
    ends_by_column: bool,
    /// What is known of the other tables.
    known: &'a mut Known,
    /// The number of rows of each tendon, by its mark.
    tendons: HashMap<String, u32>,
    /// Tendons of several rows, which are handed over when all are read.
    pending: Vec<Pending>,
    /// Where among them a tendon is, by its mark.
    pending_at: HashMap<String, usize>,
    /// Forces that rows of dead ends state, by the mark of their tendon.
    unjacked: BTreeMap<String, Vec<Unjacked>>,
    /// What headings among the rows say of those below.
    heading: Vec<(&'static str, String)>,
    /// In a table with a row for each end, the last value of each column at each end.
    at_ends: HashMap<(u32, String), GridCell>,
    /// Columns of the row at hand whose mark can mean the row above or the same end before it, with both values.
    two_ways: BTreeMap<u32, [String; 2]>,
    /// Values taken from above, by column and way: the first row, and how many.
    carried: BTreeMap<(u32, Taken), (u32, u32)>,
    /// Marks that several tendons have.
    doubled: Doubled,
    /// What tells the tendons of the table from those of others that are called alike.
    apart: Option<Apart>,
    /// Cells that are struck in rows that hold, by column: the first row, and how many.
    struck: BTreeMap<u32, (u32, u32)>,
    /// Columns with two values in cells of rows that are stressed from both ends: the first row, and how many.
    halved: BTreeMap<u32, (u32, u32)>,
    /// What the numbers of all columns show of their decimal mark.
    marks: SeenMarks,
    /// Rows that say that a tendon may be added: the first, what it says, and how many.
    reserved: Option<(u32, Spare, u32)>,
    /// What is asked of rows that say that their duct is spare.
    spares: Option<Question>,
    /// On which side of the line the tendon of the row at hand lies, by its own column.
    row_side: RowSide,
    /// Whether rows that seem to name several tendons share some.
    overlapping: bool,
    /// Rows that name several tendons, and why: the first with what it names, and how many.
    grouped: BTreeMap<&'static str, (u32, String, u32)>,
    /// Rows that state otherwise than what is stated once for all, by its position: the first, and how many.
    otherwise: BTreeMap<usize, (u32, u32)>,
    constants: Constants,
    remarks: Vec<Remark>,
    /// Texts among the rows that no record takes.
    pub(super) further: Vec<(u32, String)>,
    rows: u32,
}

impl<'a> TableReader<'a> {
    /// The problem of what was assumed of a column, at its cell of a row.
    fn assumed(
        &self,
        (row, column): (u32, u32),
        header: &str,
        given: Option<String>,
        why: String,
        help: &str,
    ) -> Frame {
        Frame::Problem(Problem {
            kind: ProblemKind::Assumed,
            place: self.sheet.place(row, Some(column)),
            record: Origin::default(),
            subject: format!("{}: {header}", self.sheet.name),
            given,
            why,
            help: help.to_owned(),
        })
    }

    /// A reader of the table; `tables` is the number of table frames so far.
    pub(super) fn new(
        sheet: &'a Sheet,
        found: &'a Found,
        notes: &UnitNotes,
        mapped: &[&TableMapping],
        known: &'a mut Known,
        tables: &mut u32,
        frames: &mut dyn Frames,
    ) -> Result<Self, Stopped> {
        let mut of_from = known.facts.iter().filter(|fact| fact.path == ["stressing", "from"]);
        // Where some are stressed otherwise, it is not that of all.
        let from =
            of_from.next().filter(|fact| fact.whose == Whose::All && of_from.next().is_none());
        let from = from.and_then(|fact| fact.value.as_text());
        let plans = plans(sheet, found, notes, mapped, from);
        let apart = known.alike.get(&alike::key(sheet, found)).cloned();
        let scopes = plans.values().filter_map(|plan| plan.scope);
        let mut reader = Self {
            span_names: spans::named(sheet, found, &plans),
            blanks_above: notes.blanks_are_as_above(),
            sheet,
            found,
            names: Names::of(scopes.clone()),
            row_names: Names::of(scopes.clone()),
            end_stations: None,
            turned_rows: None,
            ends_assumed: scopes
                .clone()
                .any(|scope| matches!(scope, Scope::Stressing | Scope::Dead)),
            plans,
            tables: BTreeMap::new(),
            other_tables: BTreeMap::new(),
            is_either_way: false,
            ends_by_column: false,
            known,
            tendons: HashMap::new(),
            pending: Vec::new(),
            pending_at: HashMap::new(),
            unjacked: BTreeMap::new(),
            heading: Vec::new(),
            at_ends: HashMap::new(),
            two_ways: BTreeMap::new(),
            carried: BTreeMap::new(),
            doubled: Doubled::default(),
            apart,
            struck: BTreeMap::new(),
            halved: BTreeMap::new(),
            marks: SeenMarks::default(),
            reserved: None,
            spares: None,
            row_side: RowSide::default(),
            overlapping: false,
            grouped: BTreeMap::new(),
            otherwise: BTreeMap::new(),
            constants: Constants::of(found, mapped),
            remarks: Vec::new(),
            further: Vec::new(),
            rows: 0,
        };
        let marks = reader.plans.values().map(|plan| plan.marks);
        reader.marks = marks.fold(SeenMarks::default(), SeenMarks::and);
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
        let kinds = self.kinds(&body, frames)?;
        let records: Vec<usize> = body
            .clone()
            .zip(&kinds)
            .filter(|(_, kind)| **kind == RowKind::Record)
            .map(|(at, _)| at)
            .collect();
        let mut habits = self.habits(&records);
        self.doubled = self.doubled(&records, habits.clone());
        self.overlapping = self.groups_overlap(&records);
        self.tell_doubled(frames)?;
        for (at, kind) in body.zip(kinds) {
            let row = &sheet.rows[at];
            match kind {
                RowKind::Record => {
                    let mut cells = self.cells(row, &mut habits);
                    self.doubled.part(&mut cells);
                    if self.found.only.as_ref().is_some_and(|only| !only.contains(&row.number)) {
                        continue;
                    }
                    let context: Vec<_> = self.heading.iter().chain(context).cloned().collect();
                    for mut cells in self.of_each_tendon(row.number, cells) {
                        self.tell_apart(&mut cells);
                        self.row(row.number, &cells, &context, frames)?;
                    }
                    self.rows += 1;
                }
                RowKind::Out(why) => self.leave_out(row, &why, frames)?,
                RowKind::Total => {
                    self.remarks.push(Remark {
                        row: Some(row.number),
                        what: format!(
                            "Sums are no tendon: \"{}\" is kept as a further value.",
                            shown(row)
                        ),
                    });
                    self.further.push((row.number, shown(row)));
                    frames.take(Frame::Problem(self.of_sums(row)))?;
                }
                RowKind::Text(text) => self.text(row.number, text),
            }
        }
        self.finish(frames)
    }

    /// What the table was taken for.
    pub(super) fn understood(self, into: &mut Understood) -> Vec<(u32, String)> {
        let rows = &self.sheet.rows;
        let record = list_at(self.found.assignment.list)
            .map_or_else(String::new, |(_, sheet)| sheet.record.name.replace('_', " "));
        let mut columns: Vec<_> = self.plans.values().map(ColumnPlan::understood).collect();
        columns
            .iter_mut()
            .for_each(|column| column.index = self.sheet.column_in_file(column.index));
        columns.sort_by_key(|column| column.index);
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
            by_others: self.found.by_others,
            columns,
        });
        into.remarks.extend(self.remarks);
        self.further
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
    let is_number =
        |text: &str| text.starts_with(|c: char| c.is_ascii_digit() || "-.#".contains(c));
    let is_span = match words[0] {
        "span" | "spans" => words.len() > 1,
        // A span of other tongues, by its number: the word itself has other meanings.
        "feld" | "travée" | "vano" | "campata" => words.len() == 2 && is_number(words[1]),
        other => other.strip_prefix("span").is_some_and(is_number),
    };
    if is_span {
        return Some(("spans", named));
    }
    let is_web = |word: &&&str| matches!(**word, "web" | "girder" | "webs");
    words.iter().find(is_web).filter(|_| words.len() > 1).map(|_| ("web", named))
}

/// A row as it is kept where nothing takes it.
pub(super) fn shown(row: &GridRow) -> String {
    let texts: Vec<String> = row
        .own()
        .filter(|(column, _)| standing(*column) == *column)
        .map(|(column, cell)| match row.cells.get(&second(column)) {
            Some(other) if other.cell != cell.cell => {
                format!("{} / {}", cell.cell.shown(), other.cell.shown())
            }
            _ => cell.cell.shown(),
        })
        .collect();
    texts.join(" | ")
}
