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
use toml::Value as Toml;

use crate::terms::sets::{RECORDS, property_of};

/// What the properties of other people's sets are.
#[derive(Debug, Default)]
pub struct Mapping {
    sets: HashMap<String, HashMap<String, Target>>,
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
        let mut mapping = Self::default();
        let Some(entries) = table.get(TABLE) else {
            return Ok(mapping);
        };
        let Toml::Table(entries) = entries else {
            let why = format!("\"{TABLE}\" in the mapping file is no table");
            return Err(refused(None, why, "begin it with a line [ifc]"));
        };
        for (name, target) in entries {
            let at = text.find(name.as_str()).map(|at| at..at + name.len());
            let Some((set, property)) = name.rsplit_once('.') else {
                return Err(refused(
                    at,
                    format!("\"{name}\" in the mapping file names no property of a set"),
                    "write the set's name, a point and the property's name",
                ));
            };
            let target = Target::of(target).map_err(|why| {
                let help = "write \"record.field\", as \"removal_space.behind\"";
                refused(at, format!("\"{name}\" in the mapping file: {why}"), help)
            })?;
            let set = mapping.sets.entry(set.to_owned()).or_default();
            set.insert(property.to_owned(), target);
        }
        Ok(mapping)
    }

    /// What the properties of a set are.
    pub(super) fn of_set(&self, set: &str) -> Option<&HashMap<String, Target>> {
        self.sets.get(set)
    }
}

impl Target {
    fn of(value: &Toml) -> Result<Self, String> {
        match value {
            Toml::String(field) => {
                Ok(Self { fields: vec![field_of(field)?], times: 1.0, words: Vec::new() })
            }
            Toml::Table(table) => {
                let mut target = Self { fields: Vec::new(), times: 1.0, words: Vec::new() };
                for (name, value) in table {
                    match (name.as_str(), value) {
                        ("to", Toml::String(field)) => target.fields.push(field_of(field)?),
                        ("to", Toml::Array(fields)) => {
                            for field in fields {
                                let field = field.as_str().ok_or("\"to\" lists fields")?;
                                target.fields.push(field_of(field)?);
                            }
                        }
                        ("times", Toml::Float(times)) if times.is_finite() => target.times = *times,
                        ("times", Toml::Integer(times)) => {
                            // A factor has few digits.
                            #[expect(clippy::cast_precision_loss, reason = "a small number")]
                            let times = *times as f64;
                            target.times = times;
                        }
                        ("words", Toml::Table(words)) => {
                            for (word, meaning) in words {
                                let meaning = match meaning {
                                    Toml::Boolean(flag) => Value::Flag(*flag),
                                    Toml::String(text) => Value::from(text.as_str()),
                                    _ => return Err(format!("\"{word}\" means no word or flag")),
                                };
                                target.words.push((word.clone(), meaning));
                            }
                        }
                        _ => {
                            return Err(format!(
                                "\"{name}\" is not \"to\", \"times\" or \"words\""
                            ));
                        }
                    }
                }
                if target.fields.is_empty() {
                    Err("it has no \"to\"".to_owned())
                } else {
                    Ok(target)
                }
            }
            _ => Err("it is no field, and no table with \"to\"".to_owned()),
        }
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
