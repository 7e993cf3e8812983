//! Reading a model in memory, for the tests of the crates that read models.

use restrand_kit::recognise::Mapping;
use restrand_kit::{Budget, Bytes, Frame, LoadError, Parts, Plugin, RecordFrame};
use restrand_model::reading::{Problem, Table};
use restrand_model::value::{Fields, Value};

/// What a reading gave.
#[derive(Default)]
pub struct Read {
    pub tables: Vec<Table>,
    pub records: Vec<RecordFrame>,
    pub problems: Vec<Problem>,
    /// How the model was understood.
    pub understood: Vec<String>,
}

impl Read {
    /// The records of a sheet, in order.
    pub fn of(&self, sheet: &str) -> Vec<&RecordFrame> {
        let is = |record: &&RecordFrame| self.tables[record.table as usize].list == sheet;
        self.records.iter().filter(is).collect()
    }

    /// The problems whose reason or subject holds this.
    pub fn said(&self, text: &str) -> Vec<&Problem> {
        let has = |problem: &&Problem| problem.why.contains(text) || problem.subject.contains(text);
        self.problems.iter().filter(has).collect()
    }

    /// Every problem on a line of its own, for messages of tests.
    pub fn all_said(&self) -> String {
        let line = |problem: &Problem| format!("{}: {}\n", problem.subject, problem.why);
        self.problems.iter().map(line).collect()
    }
}

pub fn number(fields: &Fields, path: &str) -> Option<f64> {
    match value(fields, path)? {
        Value::Number(number) => Some(*number),
        _ => None,
    }
}

pub fn text<'f>(fields: &'f Fields, path: &str) -> Option<&'f str> {
    match value(fields, path)? {
        Value::Text(text) => Some(text),
        _ => None,
    }
}

pub fn value<'f>(fields: &'f Fields, path: &str) -> Option<&'f Value> {
    match path.split_once('.') {
        Some((name, rest)) => value(fields.get(name)?.as_fields()?, rest),
        None => fields.get(path),
    }
}

/// The numbers of the points of a tendon, three for each.
pub fn points(tendon: &RecordFrame) -> Vec<[f64; 3]> {
    let Some(Value::List(points)) = tendon.fields.get("points") else { return Vec::new() };
    let of = |point: &Value| {
        let fields = point.as_fields().unwrap();
        ["station_m", "lateral_m", "elevation_m"].map(|name| number(fields, name).unwrap())
    };
    points.iter().map(of).collect()
}

/// Reads a file with what a mapping file, as TOML, says of its sets.
pub fn load_mapped(
    plugin: &dyn Plugin,
    name: &str,
    bytes: &[u8],
    mapping: &str,
    budget: Budget,
) -> Result<Read, LoadError> {
    let mapping: Mapping = toml::from_str(mapping).unwrap();
    let part = Bytes::new(name, bytes.to_vec());
    let mut read = Read::default();
    plugin.load_mapped(Parts(&[&part]), budget, &mapping, &mut |frame: Frame| {
        match frame {
            Frame::Table(table) => read.tables.push(table),
            Frame::Record(record) => read.records.push(record),
            Frame::Problem(problem) => read.problems.push(problem),
            Frame::Understood(understood) => {
                read.understood.extend(understood.remarks.into_iter().map(|remark| remark.what));
            }
            Frame::Question(question) => panic!("a model asks nothing: {question:?}"),
        }
        Ok(())
    })?;
    Ok(read)
}
