//! What is put in order between the tables of a file and its taker: points along their tendons, questions once, and
//! kinds of strand and duct with what notes state of them.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use restrand_model::reading::{Origin, Place, Problem, ProblemKind, Question, Table, Understood};
use restrand_model::reflect::EXTRA;
use restrand_model::value::{Fields, Value};

use super::kinds::{self, SORTS, Sort};
use super::several;
use super::stated::Note;
use super::table::join;

use crate::frame::{Frame, Frames, RecordFrame, Stopped};

/// The sheet of a table, the row of its headers, and the block of ordinates that it is of.
type Rows = (Option<String>, u32, u32);

/// Takes the frames of all tables of a file; hands over what needs no order at once.
pub(super) struct Sink<'f> {
    to: &'f mut dyn Frames,
    /// The number of the first table, and the tables from there on.
    first: u32,
    tables: Vec<Table>,
    /// The points, each with the rows of the file from which it comes.
    points: Vec<(Rows, RecordFrame)>,
    /// How many blocks of ordinates have begun.
    blocks: u32,
    /// What notes state; without any, nothing has to wait for them.
    notes: Vec<Note>,
    /// The kinds of strand and duct, which wait for what notes add to them, and the tendons, of which several tables may speak.
    kinds: [Vec<RecordFrame>; SORTS.len()],
    tendons: Vec<RecordFrame>,
    /// The ends and deviators, of which several tables may speak too.
    parts: Vec<RecordFrame>,
    /// The tables of what is required, which say nothing of what is there.
    required: BTreeSet<u32>,
    questions: Vec<Question>,
    /// What has been said of tables and columns.
    said: BTreeSet<String>,
}

impl<'f> Sink<'f> {
    /// A sink; `tables` is the number of table frames so far.
    pub(super) fn new(to: &'f mut dyn Frames, tables: u32) -> Self {
        Self {
            to,
            first: tables,
            tables: Vec::new(),
            points: Vec::new(),
            blocks: 0,
            notes: Vec::new(),
            kinds: [Vec::new(), Vec::new()],
            tendons: Vec::new(),
            parts: Vec::new(),
            required: BTreeSet::new(),
            questions: Vec::new(),
            said: BTreeSet::new(),
        }
    }

    /// Takes what notes state of kinds, before any table is read.
    pub(super) fn wait_for(&mut self, notes: Vec<Note>) {
        self.notes = notes;
    }

    /// Says that a block of ordinates begins: the points of several stand at the same stations.
    pub(super) fn begin_block(&mut self) {
        self.blocks += 1;
    }

    /// Says that these tables state what is required.
    pub(super) fn are_required(&mut self, tables: Range<u32>) {
        self.required.extend(tables);
    }

    /// The table of this number.
    fn table(&self, table: u32) -> Option<&Table> {
        let at = usize::try_from(table.checked_sub(self.first)?).ok()?;
        self.tables.get(at)
    }

    /// Adds what notes state to the kinds and tendons that waited for it, and hands these over; gives what is said of
    /// the notes.
    pub(super) fn settle(&mut self) -> Result<Vec<Understood>, Stopped> {
        let mut said = Vec::new();
        let mut tendons = std::mem::take(&mut self.tendons);
        let kinds = std::mem::take(&mut self.kinds);
        for (sort, records) in SORTS.iter().zip(kinds) {
            let names = names(sort, &tendons);
            // Among the tables of this reading they count from zero.
            let first = self.first;
            let records =
                records.into_iter().map(|one| RecordFrame { table: one.table - first, ..one });
            let settled = kinds::settle(sort, records.collect(), &names, &self.notes, &self.tables);
            for table in settled.tables {
                self.take(Frame::Table(table))?;
            }
            for mut record in settled.records {
                record.table += self.first;
                self.to.take(Frame::Record(record))?;
            }
            for problem in settled.problems {
                self.take(Frame::Problem(problem))?;
            }
            said.extend(settled.remarks);
            if let Some(id) = settled.of_all {
                for tendon in &mut tendons {
                    tendon.fields.push(
                        restrand_model::value::Name::Known(sort.link),
                        Value::Text(id.as_str().into()),
                    );
                }
            }
        }
        let rows = |table: u32| {
            self.table(table).map(|table| (&table.part, &table.sheet, table.header_row))
        };
        let tendons = several::joined(tendons, |one, other| rows(one) == rows(other));
        let parts = std::mem::take(&mut self.parts);
        let parts = several::joined_parts(
            parts,
            |table| self.table(table),
            |table| self.required.contains(&table),
        );
        for record in tendons.into_iter().chain(parts) {
            self.to.take(Frame::Record(record))?;
        }
        Ok(said)
    }

    /// The number of all tables until now.
    pub(super) fn count(&self) -> u32 {
        self.first + u32::try_from(self.tables.len()).unwrap_or(u32::MAX)
    }

    /// Hands over what was held back; gives the number of all tables.
    pub(super) fn finish(self) -> Result<u32, Stopped> {
        let count = self.count();
        let (points, renamed) = in_order(self.points);
        for point in points {
            self.to.take(Frame::Record(point))?;
        }
        if let Some(first) = renamed.first() {
            let problem = told(first, renamed.len(), &self.tables, self.first);
            self.to.take(Frame::Problem(problem))?;
        }
        for question in self.questions {
            self.to.take(Frame::Question(question))?;
        }
        Ok(count)
    }

    /// Joins a question with the same one of another column or sheet: one answer is that of all.
    fn ask(&mut self, question: Question) {
        let same = self.questions.iter_mut().find(|other| {
            other.subject == question.subject
                && other.why == question.why
                && other.readings == question.readings
        });
        let Some(same) = same else { return self.questions.push(question) };
        same.records.extend(question.records);
        let last = last_part(&question.header);
        if !same.header.split(ALSO).any(|header| last_part(header) == last) {
            same.header.push_str(ALSO);
            same.header.push_str(&question.header);
        }
    }
}

impl Frames for Sink<'_> {
    fn take(&mut self, frame: Frame) -> Result<(), Stopped> {
        match frame {
            Frame::Table(table) => {
                self.tables.push(table.clone());
                self.to.take(Frame::Table(table))
            }
            Frame::Record(record) => {
                let table = self.table(record.table);
                let list = table.map(|table| table.list.as_str());
                let waits = !self.notes.is_empty();
                let sort = SORTS.iter().position(|sort| waits && list == Some(sort.list));
                match (table, list, sort) {
                    (Some(table), Some("Points"), _) => {
                        let rows = (table.sheet.clone(), table.header_row, self.blocks);
                        self.points.push((rows, record));
                    }
                    (_, Some("Tendons"), _) => self.tendons.push(record),
                    (_, Some("Ends" | "Deviators"), _) => self.parts.push(record),
                    (_, _, Some(sort)) => self.kinds[sort].push(record),
                    _ => return self.to.take(Frame::Record(record)),
                }
                Ok(())
            }
            Frame::Question(question) => {
                self.ask(question);
                Ok(())
            }
            // A table that is read for several tendons says what is wrong with it once.
            Frame::Problem(problem) => {
                let is_of_table = problem.record == Origin::default();
                if is_of_table && !self.said.insert(format!("{:?} {}", problem.place, problem.why))
                {
                    return Ok(());
                }
                self.to.take(Frame::Problem(problem))
            }
            frame => self.to.take(frame),
        }
    }
}

/// The kinds of a sort that tendons name, each once.
fn names(sort: &Sort, tendons: &[RecordFrame]) -> Vec<Box<str>> {
    let name = |fields: &Fields| fields.get(sort.link)?.as_text().map(Box::from);
    let mut names: Vec<Box<str>> = Vec::new();
    for named in tendons.iter().filter_map(|tendon| name(&tendon.fields)) {
        if !names.contains(&named) {
            names.push(named);
        }
    }
    names
}

/// What stands between the headers of a question that is asked of several.
pub(super) const ALSO: &str = "; ";

fn last_part(header: &str) -> &str {
    header.rsplit(" › ").next().unwrap_or(header)
}

/// Points tendon by tendon; those of a tendon that come from several tables in the order of their stations.
///
/// Those of one table stand in the order in which their author wrote them.
fn in_order(points: Vec<(Rows, RecordFrame)>) -> (Vec<RecordFrame>, Vec<Renamed>) {
    let mut names: Vec<Option<Box<str>>> = Vec::new();
    let mut groups: BTreeMap<Option<Box<str>>, Vec<(Rows, RecordFrame)>> = BTreeMap::new();
    for (rows, point) in points {
        let tendon = point.links.first().cloned().flatten();
        if !groups.contains_key(&tendon) {
            names.push(tendon.clone());
        }
        groups.entry(tendon).or_default().push((rows, point));
    }
    let station = |point: &RecordFrame| point.fields.get("station_m").and_then(Value::as_number);
    let mut ordered = Vec::new();
    let mut renamed = Vec::new();
    for name in names {
        let Some(mut group) = groups.remove(&name) else { continue };
        let first = group.first().map(|(rows, _)| rows.clone());
        let is_of_several = group.iter().any(|(rows, _)| Some(rows) != first.as_ref());
        let has_stations = group.iter().all(|(_, point)| station(point).is_some());
        if name.is_some() && is_of_several && has_stations {
            group.sort_by(|(_, one), (_, other)| {
                let of = |point| station(point).unwrap_or_default();
                of(one).total_cmp(&of(other))
            });
            group = joined(group, &mut renamed);
        }
        ordered.extend(group.into_iter().map(|(_, point)| point));
    }
    (ordered, renamed)
}

/// A point that two tables call by different names.
struct Renamed {
    /// The table whose name is not taken.
    table: u32,
    tendon: Option<Box<str>>,
    kept: String,
    other: String,
}

/// What is to be said of the first of so many points of this kind.
fn told(renamed: &Renamed, count: usize, tables: &[Table], first: u32) -> Problem {
    let Renamed { table, tendon, kept, other } = renamed;
    let at = table.checked_sub(first).and_then(|at| usize::try_from(at).ok());
    let table = at.and_then(|at| tables.get(at));
    let part = table.map_or_else(String::new, |table| table.part.clone());
    let sheet = table.and_then(|table| table.sheet.clone());
    Problem {
        kind: ProblemKind::Assumed,
        subject: sheet.clone().unwrap_or_default(),
        place: match sheet {
            Some(sheet) => Place::Sheet { part, sheet },
            None => Place::Part { part },
        },
        record: Origin::default(),
        given: Some(other.clone()),
        why: format!(
            "names a point of {} that another table calls \"{kept}\": both stand at one station and say nothing different, and \
             are taken for one{}",
            tendon.as_deref().unwrap_or("a tendon"),
            match count {
                1 => String::new(),
                count => format!("; so are {} more", count - 1),
            }
        ),
        help: "give a point the same name in all tables".to_owned(),
    }
}

/// Whether two tables state the same in metres, as one of them may in feet.
fn are_near(one: &Value, other: &Value) -> bool {
    /// Lengths that differ by less are written alike.
    const SAME_M: f64 = 0.000_5;
    let both = one.as_number().zip(other.as_number());
    both.is_some_and(|(one, other)| (one - other).abs() < SAME_M)
}

/// Points of one tendon, those of several tables that stand at one station and say nothing different joined: a tendon has
/// one point there, whatever it is called.
fn joined(
    points: Vec<(Rows, RecordFrame)>,
    renamed: &mut Vec<Renamed>,
) -> Vec<(Rows, RecordFrame)> {
    /// Points that are looked at before one: they stand in the order of their stations.
    const NEAR: usize = 4;
    let mut joined: Vec<(Rows, RecordFrame)> = Vec::new();
    for (rows, mut point) in points {
        let same = joined.iter_mut().rev().take(NEAR).find(|(other_rows, other)| {
            *other_rows != rows
                && point.fields.get("station_m").is_some()
                && point.fields.iter().all(|(name, value)| {
                    other.fields.get(name.as_str()).is_none_or(|own| {
                        own == value
                            || name.as_str() == "id"
                            // What no field takes says nothing of where a point is.
                            || name.as_str() == EXTRA
                            || name.as_str().ends_with("_m") && are_near(own, value)
                    })
                })
                && other.fields.get("station_m").is_some()
        });
        match same {
            Some((_, same)) => {
                let id = |of: &RecordFrame| Some(of.fields.get("id")?.as_text()?.to_owned());
                if let (Some(kept), Some(other)) = (id(same), id(&point))
                    && kept != other
                {
                    let tendon = point.links.first().cloned().flatten();
                    renamed.push(Renamed { table: point.table, tendon, kept, other });
                }
                // What another table gives otherwise, as a name, is no value of its own.
                join(&mut same.fields, std::mem::take(&mut point.fields), "", &mut Vec::new());
            }
            None => joined.push((rows, point)),
        }
    }
    joined
}
