//! What a user says of sheets that are not in the schedule's own layout: the mapping file.
//!
//! ```toml
//! mapping = 1
//!
//! [[table]]
//! sheet = "Tendon schedule"
//! record = "tendon"
//! constants = { "tendon.filler" = "wax" }
//!
//! [[table.column]]
//! header = "Jack. load"
//! field = "tendon.stressing.jacking_force_kn"
//! unit = "kip"
//!
//! [[table.column]]
//! header = "Fill"
//! field = "tendon.filler"
//! words = { W = "wax", CG = "cement_grout" }
//! ```

mod faults;

use std::collections::{BTreeMap, HashSet};

use restrand_model::near::Near;
use restrand_model::quantity::of_field;
use restrand_model::reading::{Origin, Place, Problem, ProblemKind};
use restrand_model::sheet::{self, Column, plain};
use restrand_model::value::Value;
use serde::Deserialize;

pub use faults::MappingFault;

use super::find::Found;
use super::grid::Sheet;
use super::scope::Scope;
use super::vocabulary::{LISTS, Target, list_at, target_of};

/// A mapping file.
#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mapping {
    /// The version of the file's form.
    #[serde(default)]
    pub mapping: u32,
    /// What is said of tables.
    #[serde(default, rename = "table")]
    pub tables: Vec<TableMapping>,
    /// What is said of the property sets of building models; their format reads it.
    pub ifc: Option<serde_json::Value>,
    /// The file in which it stands, so that what is wrong with it is told at its line.
    #[serde(skip)]
    pub source: Option<MappingSource>,
}

/// The file in which a mapping stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MappingSource {
    /// Its name.
    pub name: String,
    /// Its text.
    pub text: String,
}

impl MappingSource {
    /// The line in which a text stands that is no comment, behind so many lines; counted from one.
    #[must_use]
    pub fn line_of(&self, given: &str, after: usize) -> usize {
        let lines = self.text.lines().enumerate().skip(after);
        let speaks = |line: &str| !line.trim_start().starts_with('#') && line.contains(given);
        let found = lines.into_iter().find(|(_, line)| speaks(line)).map(|(at, _)| at + 1);
        found.unwrap_or(after.max(1))
    }
}

/// What is said of the tables of a sheet.
#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TableMapping {
    /// The sheet's name; all sheets without it.
    pub sheet: Option<String>,
    /// The rows of the headers, from one, first and last.
    pub headers: Option<[u32; 2]>,
    /// What a row is, as `tendon`.
    pub record: Option<String>,
    /// Whether the sheet is to be left out.
    #[serde(default)]
    pub ignore: bool,
    /// Values that hold for every row, by field.
    #[serde(default)]
    pub constants: BTreeMap<String, serde_json::Value>,
    /// What is said of columns.
    #[serde(default, rename = "column")]
    pub columns: Vec<ColumnMapping>,
}

/// What is said of a column.
#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ColumnMapping {
    /// The header, as the file has it or as `--reading` shows it.
    pub header: String,
    /// The field, as `tendon.length_m` or `end a.anchorage`; `none` keeps the column as it is.
    pub field: Option<String>,
    /// The unit of its bare numbers.
    pub unit: Option<String>,
    /// How long a full station is, in the unit of the column: 100 or 1000.
    pub station: Option<u32>,
    /// What its codes mean, as `{ L = "stressing", D = "dead" }`.
    #[serde(default)]
    pub words: BTreeMap<String, serde_json::Value>,
}

/// What is said of a mapping file that does not fit the file for which it holds.
pub(super) fn problem(part: &str, why: String) -> Problem {
    Problem {
        kind: ProblemKind::Assumed,
        place: Place::Part { part: part.to_owned() },
        record: Origin::default(),
        subject: "the mapping file".to_owned(),
        given: None,
        why,
        help: "write the name as the file has it; --reading shows the names".to_owned(),
    }
}

/// A field that a mapping names, with the end it speaks of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Named {
    pub(super) target: Target,
    pub(super) scope: Option<Scope>,
}

impl TableMapping {
    /// Whether a column says of which end of its tendon each row is.
    pub(super) fn has_row_of_end(&self) -> bool {
        let fields = self.columns.iter().filter_map(|column| named(column.field.as_deref()?));
        fields
            .into_iter()
            .any(|named| named.scope.is_none() && Some(named.target) == target_of("Ends", "End"))
    }
}

impl ColumnMapping {
    /// What its codes mean, each with the value.
    pub(super) fn meanings(&self) -> Vec<(String, Value)> {
        let meaning = |(code, value): (&String, &serde_json::Value)| {
            Some((plain(code), Value::from_json(&value.to_string())?))
        };
        self.words.iter().filter_map(meaning).collect()
    }

    /// Whether it names the whole of a header.
    pub(super) fn is_called(&self, header: &str) -> bool {
        plain(&self.header) == plain(header)
    }

    /// Whether it speaks of a header, by the whole of it or by the last part where headers are grouped.
    pub(super) fn speaks_of(&self, header: &str) -> bool {
        let last = header.rsplit(" › ").next().unwrap_or(header);
        let said = plain(&self.header);
        said == plain(header) || said == plain(last)
    }
}

impl Mapping {
    /// Whether it says nothing about sheets.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.tables.is_empty()
    }

    /// Whether it speaks of a sheet of this name that may be in the schedule's own layout, and holds records of this list.
    ///
    /// What it says of all sheets it says of those with the records that it names.
    #[must_use]
    pub fn is_of_own(&self, sheet: &str, list: &str) -> bool {
        LISTS.contains(&list)
            && self.of(sheet).any(|table| {
                table.sheet.is_some()
                    || list_of(table.record.as_deref().unwrap_or("tendon")) == Some(list)
            })
    }

    /// What it gives of the project, whatever the sheet: the path of each field, and the value.
    pub(super) fn of_project(&self) -> Vec<(&'static [&'static str], Value)> {
        // What is said of a sheet goes before what is said of all.
        let (own, of_all): (Vec<_>, Vec<_>) =
            self.tables.iter().partition(|table| table.sheet.is_some());
        let constants = own.into_iter().chain(of_all).flat_map(|table| &table.constants);
        let mut given: Vec<(&'static [&'static str], Value)> = constants
            .filter_map(|(name, value)| {
                let target = named(name)?.target;
                match (target.list()?, target.column()?) {
                    ("Project", Column::Value { path, .. }) => {
                        Some((path.as_slice(), Value::from_json(&value.to_string())?))
                    }
                    _ => None,
                }
            })
            .collect();
        let mut met = HashSet::new();
        given.retain(|(path, _)| met.insert(*path));
        given
    }

    /// What is to be said where it speaks of sheets, and none was read by what it says.
    #[must_use]
    pub fn unheard(&self, part: &str) -> Option<Problem> {
        let why = "speaks of sheets that are not in the schedule's own layout, and this file has none: nothing is \
                   taken by what it says";
        (!self.is_empty()).then(|| problem(part, why.to_owned()))
    }

    /// What it says that fits nothing: of sheets, by their names, and of the headers of the tables found in them; each
    /// with where it stands and what may be meant, as the subject and the rest of a sentence.
    pub(super) fn unmet(&self, sheets: &[(&str, Vec<&str>)]) -> Vec<(String, String)> {
        let mut unmet = Vec::new();
        let mut near = Near::new();
        let mut after: BTreeMap<String, usize> = BTreeMap::new();
        let mut tell = |what: &str, given: &str, there: &mut dyn Iterator<Item = &str>| {
            let written = given.replace('\\', "\\\\").replace('"', "\\\"").replace('\n', "\\n");
            let place = match &self.source {
                Some(source) => {
                    let from = after.entry(written.clone()).or_default();
                    *from = source.line_of(&written, *from);
                    format!("the mapping file {}, line {from},", source.name)
                }
                None => "the mapping file".to_owned(),
            };
            let meant = match near.find(given, there).as_slice() {
                [meant] => format!("; \"{meant}\" is near to it"),
                _ => String::new(),
            };
            unmet.push((
                place,
                format!(
                    "it speaks of the {what} \"{given}\", which this file does not have, and nothing is taken by what \
                     it says there{meant}"
                ),
            ));
        };
        for table in &self.tables {
            let fits = |name: &str| {
                table.sheet.as_deref().is_none_or(|wanted| plain(wanted) == plain(name))
            };
            let mut of = sheets.iter().filter(|(name, _)| fits(name)).peekable();
            if let (None, Some(sheet)) = (of.peek(), &table.sheet) {
                tell("sheet", sheet, &mut sheets.iter().map(|(name, _)| *name));
                continue;
            }
            let headers: Vec<&str> = of.flat_map(|(_, headers)| headers).copied().collect();
            for column in &table.columns {
                if !headers.iter().any(|header| column.speaks_of(header)) {
                    tell("header", &column.header, &mut headers.iter().copied());
                }
            }
        }
        unmet
    }

    /// What is said of a table of a sheet, the special before the general.
    pub(super) fn of_table(&self, sheet: &Sheet, found: &Found) -> Vec<&TableMapping> {
        let numbers =
            [found.headers.start, found.headers.end - 1].map(|at| sheet.rows[at].number + 1);
        let is_of = |table: &&TableMapping| {
            table.headers.is_none_or(|headers| headers == numbers)
                && table
                    .record
                    .as_deref()
                    .is_none_or(|record| list_of(record) == Some(found.assignment.list))
        };
        self.of(&sheet.name).filter(is_of).collect()
    }

    /// What is said of a sheet, the special before the general.
    pub(super) fn of<'m>(
        &'m self,
        sheet: &str,
    ) -> impl Iterator<Item = &'m TableMapping> + use<'m> {
        let wanted = plain(sheet);
        let named = self
            .tables
            .iter()
            .filter(move |table| table.sheet.as_deref().is_some_and(|name| plain(name) == wanted));
        named.chain(self.tables.iter().filter(|table| table.sheet.is_none()))
    }

    /// Whether it speaks of this sheet by its name.
    pub(super) fn names(&self, sheet: &str) -> bool {
        self.of(sheet).any(|table| table.sheet.is_some())
    }
}

/// The list whose records a word names, as `tendon` or `tendons`.
pub(super) fn list_of(record: &str) -> Option<&'static str> {
    let wanted = plain(record);
    LISTS.iter().copied().find(|list| {
        let (_, sheet) = list_at(list).unwrap_or((0, &sheet::SHEETS[0]));
        plain(list) == wanted || plain(sheet.record.name) == wanted
    })
}

/// The field that a name means: `tendon.mark`, `end b.anchorage`, `end.anchorage`, `tendon_point a.station_m`.
pub(super) fn named(name: &str) -> Option<Named> {
    let (record, field) = name.split_once('.')?;
    let deviator = record.trim().strip_suffix(')').and_then(|one| one.split_once(" (deviator "));
    let (record, scope) = match record.trim().rsplit_once(' ') {
        Some((record, "a")) => (record, Some(Scope::A)),
        Some((record, "b")) => (record, Some(Scope::B)),
        Some((record, "(stressing)")) => (record, Some(Scope::Stressing)),
        Some((record, "(dead)")) => (record, Some(Scope::Dead)),
        _ => (record.trim(), None),
    };
    let (record, scope) = match deviator {
        Some((record, number)) => {
            let number = number.parse().ok().filter(|number| (1..=40).contains(number))?;
            (record, Some(Scope::Between(number)))
        }
        None => (record, scope),
    };
    let record = if record == "point" { "tendon_point" } else { record };
    let list = if record == "project" {
        "Project"
    } else if record == "end" {
        "Ends"
    } else {
        list_of(record)?
    };
    let field = field.trim();
    let target = target_of(list, field).or_else(|| {
        // The unit of the name can be left out.
        let (_, sheet) = list_at(list)?;
        let at = sheet::columns_of(sheet).iter().position(|column| match column {
            Column::Link { header } => header.eq_ignore_ascii_case(field),
            Column::Value { path, .. } => {
                let (last, way) = match path.split_last() {
                    Some(split) => split,
                    None => return false,
                };
                let mut stem: Vec<&str> = way.to_vec();
                stem.push(of_field(last).0);
                stem.join(".") == field
            }
        })?;
        let (index, _) = list_at(list)?;
        Some(Target::Column(index, at))
    })?;
    Some(Named { target, scope })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_are_named_as_routes_are() {
        for (name, expected, scope) in [
            ("tendon.strand_count", "tendon.strand_count", None),
            ("tendon.stressing.jacking_force", "tendon.stressing.jacking_force_kn", None),
            ("end a.anchorage", "end.anchorage", Some(Scope::A)),
            ("end.removal_space.behind_mm", "end.removal_space.behind_mm", None),
            ("point b.station_m", "tendon_point.station_m", Some(Scope::B)),
            ("end (dead).anchorage", "end.anchorage", Some(Scope::Dead)),
            (
                "tendon_point (deviator 2).station_m",
                "tendon_point.station_m",
                Some(Scope::Between(2)),
            ),
            ("tendon_point.tendon", "tendon_point, tendon", None),
            ("end.end", "end, end", None),
        ] {
            let named = named(name).unwrap_or_else(|| panic!("{name}"));
            assert_eq!((named.target.name().as_str(), named.scope), (expected, scope));
        }
        assert_eq!(named("tendon_point (deviator 0).station_m"), None);
        assert_eq!(named("tendon.colour"), None);
        assert_eq!(named("mark"), None);
    }
}
