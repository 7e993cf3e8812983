//! The mapping file: where other people's property sets state what a schedule needs.
//!
//! ```toml
//! [ifc]
//! "Tds_RemovalSpace.RemovalLength" = "removal_space.behind"
//! "Tds_RemovalSpace.RemovalWidth" = { to = ["removal_space.left", "removal_space.right"], times = 0.5 }
//! "Tds_Replacement.BondType" = { to = "replacement.unbonded", words = { UNBONDED = true, BONDED = false } }
//! ```
//!
//! On the left stands the set and its property, on the right the record and its field, with or without the ending
//! that says the unit.

use std::collections::HashMap;
use std::io::Read;

use restrand_kit::{LoadError, Part, PartReader, Parts};
use restrand_model::near::nearest;
use restrand_model::reading::{Place, Span};
use restrand_model::reflect::{FieldInfo, RecordInfo};
use restrand_model::value::Value;
use serde_json::Value as Json;

use crate::terms::sets::{RECORDS, property_of};

/// What the properties of other people's sets are.
#[derive(Debug, Default)]
pub struct Mapping {
    sets: HashMap<String, HashMap<String, Target>>,
    /// The part in which it stands.
    part: Option<String>,
}

/// Fields that a property states.
#[derive(Debug)]
pub(super) struct Target {
    /// Each with the record that it is one of.
    pub(super) fields: Vec<(&'static RecordInfo, &'static FieldInfo)>,
    /// What its number is to be multiplied with.
    pub(super) times: f64,
    /// What its words mean.
    pub(super) words: Vec<(String, Value)>,
}

/// What is wrong with a mapping.
#[derive(Debug)]
pub struct Fault {
    /// The property of which it is said.
    pub name: String,
    /// The reason, as a clause.
    pub why: String,
    /// What to do.
    pub help: &'static str,
}

fn is_mapping(part: &dyn Part) -> bool {
    part.name().to_ascii_lowercase().ends_with(ENDING)
}

/// The ending of mapping files.
const ENDING: &str = ".toml";
/// The table of the file that speaks of models.
const TABLE: &str = "ifc";
/// Bytes of a mapping file that are read.
const LONGEST: u64 = 4 << 20;

impl Mapping {
    /// The one part that is no mapping file.
    #[must_use]
    pub fn model_of<'a>(parts: Parts<'a>) -> Option<&'a dyn Part> {
        let mut models = parts.0.iter().filter(|part| !is_mapping(**part));
        match (models.next(), models.next()) {
            (Some(model), None) => Some(*model),
            _ => None,
        }
    }

    /// The model among the parts, and the mapping file that may lie beside it.
    ///
    /// # Errors
    /// There is not one model, or the mapping file cannot be read.
    pub fn beside<'a>(parts: Parts<'a>) -> Result<(&'a dyn Part, Self), LoadError> {
        let (mappings, models): (Vec<&'a dyn Part>, Vec<&'a dyn Part>) =
            parts.0.iter().copied().partition(|part| is_mapping(*part));
        let ([model], [] | [_]) = (models.as_slice(), mappings.as_slice()) else {
            let why = "a model is one file, with at most one mapping file beside it";
            let error = std::io::Error::new(std::io::ErrorKind::InvalidInput, why);
            return Err(LoadError::Medium(error));
        };
        let mapping = match mappings.first() {
            Some(part) => Self::of(*part)?,
            None => Self::default(),
        };
        Ok((*model, mapping))
    }

    /// The mapping that a part states.
    ///
    /// # Errors
    /// The part is no mapping file; what is wrong is said at its place.
    pub fn of(part: &dyn Part) -> Result<Self, LoadError> {
        let refused = |span: Option<std::ops::Range<usize>>, why: String, help: &str| {
            let name = part.name().to_owned();
            LoadError::Unreadable {
                place: match span {
                    Some(span) => Place::Text {
                        part: name,
                        span: Span { start: span.start as u64, end: span.end as u64 },
                        path: Vec::new(),
                    },
                    None => Place::Part { part: name },
                },
                why,
                help: help.to_owned(),
            }
        };
        if part.len() > LONGEST {
            return Err(refused(
                None,
                "it is too long for a mapping file".to_owned(),
                "is this another file?",
            ));
        }
        let mut text = String::new();
        if PartReader::new(part).take(LONGEST).read_to_string(&mut text).is_err() {
            let why = "the mapping file is not a text in UTF-8".to_owned();
            return Err(refused(None, why, "save it as UTF-8"));
        }
        let table: toml::Table = text.parse().map_err(|error: toml::de::Error| {
            refused(
                error.span(),
                format!("the mapping file is not TOML: {}", error.message()),
                "write it as \"Set.Property\" = \"record.field\" under [ifc]",
            )
        })?;
        let Some(entries) = table.get(TABLE) else { return Ok(Self::default()) };
        let entries = serde_json::to_value(entries);
        let entries = entries.map_err(|error| refused(None, error.to_string(), "correct it"))?;
        let name = part.name().to_owned();
        let stated = Self::stated(&entries).map(|mapping| Self { part: Some(name), ..mapping });
        stated.map_err(|Fault { name, why, help }| {
            let at = text.find(name.as_str()).filter(|_| !name.is_empty());
            let at = at.map(|at| at..at + name.len());
            refused(at, format!("the mapping file: {why}"), help)
        })
    }

    /// The mapping that the table `ifc` of a mapping file states.
    ///
    /// # Errors
    /// Says what is wrong with it, and where.
    pub fn stated(table: &Json) -> Result<Self, Fault> {
        let fault = |name: &str, why: String, help| Err(Fault { name: name.to_owned(), why, help });
        let mut mapping = Self::default();
        let Json::Object(entries) = table else {
            let help = "begin it with a line [ifc]";
            return fault(TABLE, format!("\"{TABLE}\" in it is no table"), help);
        };
        for (name, target) in entries {
            let Some((set, property)) = name.rsplit_once('.') else {
                let help = "write the set's name, a point and the property's name";
                return fault(name, format!("\"{name}\" names no property of a set"), help);
            };
            let target = match Target::of(target) {
                Ok(target) => target,
                Err(why) => {
                    let help = "write \"record.field\", as \"removal_space.behind\"";
                    return fault(name, format!("\"{name}\": {why}"), help);
                }
            };
            let set = mapping.sets.entry(set.to_owned()).or_default();
            set.insert(property.to_owned(), target);
        }
        Ok(mapping)
    }

    /// The names of the sets, in order.
    pub(super) fn sets(&self) -> Vec<&str> {
        let mut names: Vec<&str> = self.sets.keys().map(String::as_str).collect();
        names.sort_unstable();
        names
    }

    /// The part in which it stands; nothing if it was handed over.
    pub(super) fn part(&self) -> Option<&str> {
        self.part.as_deref()
    }

    /// What the properties of a set are.
    pub(super) fn of_set(&self, set: &str) -> Option<&HashMap<String, Target>> {
        self.sets.get(set)
    }
}

impl Target {
    fn of(value: &Json) -> Result<Self, String> {
        let mut target = Self { fields: Vec::new(), times: 1.0, words: Vec::new() };
        match value {
            Json::String(field) => target.fields.push(field_of(field)?),
            Json::Object(table) => {
                for (name, value) in table {
                    target.take(name, value)?;
                }
            }
            _ => return Err("it is no field, and no table with \"to\"".to_owned()),
        }
        if target.fields.is_empty() { Err("it has no \"to\"".to_owned()) } else { Ok(target) }
    }

    fn take(&mut self, name: &str, value: &Json) -> Result<(), String> {
        match (name, value) {
            ("to", Json::String(field)) => self.fields.push(field_of(field)?),
            ("to", Json::Array(fields)) => {
                for field in fields {
                    let field = field.as_str().ok_or("\"to\" lists fields")?;
                    self.fields.push(field_of(field)?);
                }
            }
            ("times", Json::Number(times)) => {
                self.times = times.as_f64().ok_or("\"times\" is no number")?;
            }
            ("words", Json::Object(words)) => {
                for (word, meaning) in words {
                    let meaning = match meaning {
                        Json::Bool(flag) => Value::Flag(*flag),
                        Json::String(text) => Value::from(text.as_str()),
                        _ => return Err(format!("\"{word}\" means no word or flag")),
                    };
                    self.words.push((word.clone(), meaning));
                }
            }
            _ => return Err(format!("\"{name}\" is not \"to\", \"times\" or \"words\"")),
        }
        Ok(())
    }
}

/// The field that `record.field` names.
fn field_of(name: &str) -> Result<(&'static RecordInfo, &'static FieldInfo), String> {
    let (record, field) = name.split_once('.').unwrap_or((name, ""));
    let found = RECORDS.iter().find(|info| info.name == record);
    let Some(info) = found else {
        let near = nearest(record, RECORDS.iter().map(|info| info.name));
        return Err(match near {
            Some(near) => format!("no record is called \"{record}\"; did you mean \"{near}\"?"),
            None => format!("no record is called \"{record}\""),
        });
    };
    let found = info.fields.iter().find(|one| one.name == field || property_of(one) == field);
    match found {
        Some(found) => Ok((info, found)),
        None => Err(match nearest(field, info.fields.iter().map(|field| field.name)) {
            Some(near) => format!("{record} has no \"{field}\"; did you mean \"{near}\"?"),
            None => format!("{record} has no \"{field}\""),
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use restrand_kit::Bytes;

    fn mapping(text: &str) -> Result<Mapping, LoadError> {
        Mapping::of(&Bytes::new("restrand.toml", text.as_bytes().to_vec()))
    }

    #[test]
    fn a_property_is_one_field_or_several() {
        let text = "mapping = 1\n[[table]]\nsheet = \"x\"\n[ifc]\n\
                    \"Some.Set.Length\" = \"removal_space.behind\"\n\
                    \"Some.Set.Width\" = { to = [\"removal_space.left_mm\", \"removal_space.right\"], times = 0.5 }\n\
                    \"Some.Set.Bond\" = { to = \"replacement.unbonded\", words = { FREE = true } }\n";
        let mapping = mapping(text).unwrap();
        let set = mapping.of_set("Some.Set").unwrap();
        assert_eq!(set["Length"].fields[0].1.name, "behind_mm");
        let names: Vec<_> = set["Width"].fields.iter().map(|(_, field)| field.name).collect();
        assert_eq!((names.as_slice(), set["Width"].times), (&["left_mm", "right_mm"][..], 0.5));
        assert_eq!(set["Bond"].words, [("FREE".to_owned(), Value::Flag(true))]);
        assert!(mapping.of_set("Other").is_none());
    }

    #[test]
    fn what_is_wrong_is_said_where_it_stands() {
        for (text, why) in [
            ("[ifc", "not TOML"),
            ("ifc = 1", "no table"),
            ("[ifc]\nplain = \"tendon.mark\"", "no property of a set"),
            ("[ifc]\n\"A.B\" = \"tendon.colour\"", "tendon has no \"colour\""),
            ("[ifc]\n\"A.B\" = \"tendons.mark\"", "did you mean \"tendon\""),
            ("[ifc]\n\"A.B\" = 3", "no field"),
            ("[ifc]\n\"A.B\" = { times = 2 }", "no \"to\""),
            ("[ifc]\n\"A.B\" = { to = \"tendon.mark\", by = 2 }", "is not \"to\""),
        ] {
            let Err(LoadError::Unreadable { why: said, place, .. }) = mapping(text) else {
                panic!("{text} is taken");
            };
            assert!(said.contains(why), "{text}: {said}");
            assert!(matches!(place, Place::Text { .. }), "{text}: {place:?}");
        }
    }
}
