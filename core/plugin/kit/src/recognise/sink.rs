//! What is put in order between the tables of a file and its taker: points along their tendons, questions once.

use std::collections::{BTreeMap, BTreeSet};

use restrand_model::reading::{Origin, Question};
use restrand_model::value::Value;

use crate::frame::{Frame, Frames, RecordFrame, Stopped};

/// The sheet of a table, and the row of its headers.
type Rows = (Option<String>, u32);

/// Takes the frames of all tables of a file; hands over what needs no order at once.
pub(super) struct Sink<'f> {
    to: &'f mut dyn Frames,
    /// The next table's number.
    tables: u32,
    /// The tables whose records are points, each with the rows of the file from which it comes.
    of_points: BTreeMap<u32, Rows>,
    points: Vec<(Rows, RecordFrame)>,
    questions: Vec<Question>,
    /// What has been said of tables and columns.
    said: BTreeSet<String>,
}

impl<'f> Sink<'f> {
    /// A sink; `tables` is the number of table frames so far.
    pub(super) fn new(to: &'f mut dyn Frames, tables: u32) -> Self {
        Self {
            to,
            tables,
            of_points: BTreeMap::new(),
            points: Vec::new(),
            questions: Vec::new(),
            said: BTreeSet::new(),
        }
    }

    /// Hands over what was held back.
    pub(super) fn finish(self) -> Result<(), Stopped> {
        for point in in_order(self.points) {
            self.to.take(Frame::Record(point))?;
        }
        for question in self.questions {
            self.to.take(Frame::Question(question))?;
        }
        Ok(())
    }

    /// Joins a question with the same one of another column or sheet.
    fn ask(&mut self, question: Question) {
        let same = self.questions.iter_mut().find(|other| {
            other.subject == question.subject
                && other.why == question.why
                && last_part(&other.header) == last_part(&question.header)
        });
        match same {
            Some(same) => same.records.extend(question.records),
            None => self.questions.push(question),
        }
    }
}

impl Frames for Sink<'_> {
    fn take(&mut self, frame: Frame) -> Result<(), Stopped> {
        match frame {
            Frame::Table(table) => {
                if table.list == "Points" {
                    let rows = (table.sheet.clone(), table.header_row);
                    self.of_points.insert(self.tables, rows);
                }
                self.tables += 1;
                self.to.take(Frame::Table(table))
            }
            Frame::Record(record) => match self.of_points.get(&record.table) {
                Some(rows) => {
                    self.points.push((rows.clone(), record));
                    Ok(())
                }
                None => self.to.take(Frame::Record(record)),
            },
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

fn last_part(header: &str) -> &str {
    header.rsplit(" › ").next().unwrap_or(header)
}

/// Points tendon by tendon; those of a tendon that come from several tables in the order of their stations.
///
/// Those of one table stand in the order in which their author wrote them.
fn in_order(points: Vec<(Rows, RecordFrame)>) -> Vec<RecordFrame> {
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
        }
        ordered.extend(group.into_iter().map(|(_, point)| point));
    }
    ordered
}
