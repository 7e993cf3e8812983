//! The mapping file: where other people's property sets state what a schedule needs.
//!
//! ```toml
//! [ifc]
//! "Tds_RemovalSpace.RemovalLength" = "removal_space.behind"
//! "Tds_RemovalSpace.RemovalWidth" = { to = ["removal_space.left", "removal_space.right"], times = 0.5 }
//! "Tds_Replacement.BondType" = { to = "replacement.unbonded", words = { UNBONDED = true, BONDED = false } }
//! ```
//!
//! A bare number is in the unit that the entry states (`unit = "kN"`), or else the property's own name.
//!
//! On the left stands the set and its property, on the right the record and its field, with or without the ending
//! that says the unit.

use std::collections::HashMap;

use restrand_kit::recognise::unit_of_name;
use restrand_model::near::nearest;
use restrand_model::quantity::{Unit, of_field};
use restrand_model::reflect::{FieldInfo, RecordInfo};
use restrand_model::value::Value;
use serde_json::Value as Json;

use crate::terms::sets::{Property, properties_of, records};

/// What the properties of other people's sets are.
#[derive(Debug, Default)]
pub struct Mapping {
    sets: HashMap<String, HashMap<String, Target>>,
    /// The sets that each entry can name: sets and properties may have points in their names.
    entries: Vec<Vec<String>>,
}

/// Fields that a property states.
#[derive(Debug, Clone)]
pub(crate) struct Target {
    /// Each with the record that it is one of.
    pub(crate) fields: Vec<(&'static RecordInfo, &'static Property)>,
    /// What its number is to be multiplied with.
    pub(crate) times: f64,
    /// What its words mean.
    pub(crate) words: Vec<(String, Value)>,
    /// The unit of its bare numbers; without it the one that the property's own name states.
    pub(crate) unit: Option<&'static Unit>,
}

/// What is wrong with a mapping.
#[derive(Debug)]
pub struct Fault {
    /// The reason, as a clause.
    pub why: String,
    /// What to do.
    pub help: &'static str,
}

impl Mapping {
    /// The mapping that the table `ifc` of a mapping file states; an empty one where it has none.
    ///
    /// # Errors
    /// Says what is wrong with it.
    pub fn stated(table: Option<&Json>) -> Result<Self, Fault> {
        let fault = |why: String, help| Err(Fault { why, help });
        let mut mapping = Self::default();
        let Some(table) = table else { return Ok(mapping) };
        let Json::Object(entries) = table else {
            let help = "begin it with a line [ifc]";
            return fault("\"ifc\" in it is no table".to_owned(), help);
        };
        for (name, target) in entries {
            if !name.contains('.') {
                let help = "write the set's name, a point and the property's name";
                return fault(format!("\"{name}\" names no property of a set"), help);
            }
            let target = match Target::of(target) {
                Ok(target) => target,
                Err(why) => {
                    let help = "write \"record.field\", as \"removal_space.behind\"";
                    return fault(format!("\"{name}\": {why}"), help);
                }
            };
            let mut sets = Vec::new();
            for (point, _) in name.match_indices('.') {
                let (set, property) = (&name[..point], &name[point + 1..]);
                let properties = mapping.sets.entry(set.to_owned()).or_default();
                properties.insert(property.to_owned(), target.clone());
                sets.push(set.to_owned());
            }
            mapping.entries.push(sets);
        }
        Ok(mapping)
    }

    /// The names of the sets that are none of these, in order: of each entry the longest that it can mean.
    pub(crate) fn missing(&self, is_known: impl Fn(&str) -> bool) -> Vec<&str> {
        let unknown = self.entries.iter().filter(|sets| !sets.iter().any(|set| is_known(set)));
        let mut names: Vec<&str> =
            unknown.filter_map(|sets| sets.last()).map(String::as_str).collect();
        names.sort_unstable();
        names.dedup();
        names
    }

    /// What the properties of a set are.
    pub(crate) fn of_set(&self, set: &str) -> Option<&HashMap<String, Target>> {
        self.sets.get(set)
    }
}

impl Target {
    /// The one field that a property states by its name, with the unit of its bare numbers.
    pub(crate) fn named(field: &str, unit: Option<&'static Unit>) -> Option<Self> {
        let fields = vec![field_of(field).ok()?];
        Some(Self { fields, times: 1.0, words: Vec::new(), unit })
    }

    /// The unit of a bare number of the property of this name, where it states this field.
    pub(crate) fn unit_of(&self, name: &str, field: &FieldInfo) -> Option<&'static Unit> {
        let needed = of_field(field.name).1?;
        let stated = self.unit.filter(|unit| unit.dimension == needed.dimension);
        stated.or_else(|| unit_of_name(name, needed.dimension))
    }

    /// The names of its fields, as the mapping file has them.
    pub(crate) fn names(&self) -> Vec<String> {
        let name = |(record, known): &(&'static RecordInfo, &'static Property)| {
            format!("{}.{}", record.name, known.name)
        };
        self.fields.iter().map(name).collect()
    }

    fn of(value: &Json) -> Result<Self, String> {
        let mut target = Self { fields: Vec::new(), times: 1.0, words: Vec::new(), unit: None };
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
            ("unit", Json::String(unit)) => {
                let known = Unit::find_any(unit);
                self.unit = Some(known.ok_or_else(|| format!("\"{unit}\" is no unit"))?);
            }
            _ => {
                let why = "is not \"to\", \"times\", \"unit\" or \"words\"";
                return Err(format!("\"{name}\" {why}"));
            }
        }
        Ok(())
    }
}

/// The field that `record.field` names.
fn field_of(name: &str) -> Result<(&'static RecordInfo, &'static Property), String> {
    let (record, field) = name.split_once('.').unwrap_or((name, ""));
    let found = records().find(|info| info.name == record);
    let Some(info) = found else {
        let near = nearest(record, records().map(|info| info.name));
        return Err(match near {
            Some(near) => format!("no record is called \"{record}\"; did you mean \"{near}\"?"),
            None => format!("no record is called \"{record}\""),
        });
    };
    let mut known = properties_of(info).iter();
    let found = known.find(|known| known.field.name == field || known.name == field);
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

    fn mapping(text: &str) -> Result<Mapping, Fault> {
        let mapping: restrand_kit::recognise::Mapping = toml::from_str(text).unwrap();
        Mapping::stated(mapping.ifc.as_ref())
    }

    #[test]
    fn a_property_is_one_field_or_several() {
        let text = "mapping = 1\n[[table]]\nsheet = \"x\"\n[ifc]\n\
                    \"Some.Set.Length\" = \"removal_space.behind\"\n\
                    \"Some.Set.Width\" = { to = [\"removal_space.left_mm\", \"removal_space.right\"], times = 0.5 }\n\
                    \"Some.Set.Bond\" = { to = \"replacement.unbonded\", words = { FREE = true } }\n";
        let mapping = mapping(text).unwrap();
        let set = mapping.of_set("Some.Set").unwrap();
        assert_eq!(set["Length"].fields[0].1.field.name, "behind_mm");
        let names: Vec<_> = set["Width"].fields.iter().map(|(_, known)| known.field.name).collect();
        assert_eq!((names.as_slice(), set["Width"].times), (&["left_mm", "right_mm"][..], 0.5));
        assert_eq!(set["Bond"].words, [("FREE".to_owned(), Value::Flag(true))]);
        assert!(mapping.of_set("Other").is_none());
    }

    #[test]
    fn sets_and_properties_may_have_points_in_their_names() {
        let text = "mapping = 1\n[ifc]\n\"PT 2.0.No. of strands\" = \"tendon.strand_count\"\n";
        let mapping = mapping(text).unwrap();
        assert!(mapping.of_set("PT 2.0").unwrap().contains_key("No. of strands"));
        assert_eq!(mapping.missing(|set| set == "PT 2.0"), Vec::<&str>::new());
        assert_eq!(mapping.missing(|set| set == "PT 2"), Vec::<&str>::new());
        assert_eq!(mapping.missing(|_| false), ["PT 2.0.No"]);
    }

    #[test]
    fn bare_numbers_have_a_unit_that_the_mapping_or_the_name_states() {
        let text = "mapping = 1\n[ifc]\n\"A.Force\" = { to = \"stressing.jacking_force\", unit = \"kip\" }\n\
                    \"A.Force [N]\" = \"stressing.jacking_force\"\n";
        let mapping = mapping(text).unwrap();
        let set = mapping.of_set("A").unwrap();
        let unit = |name: &str| {
            let field = set[name].fields[0].1.field;
            set[name].unit_of(name, field).map(|unit| unit.symbol)
        };
        assert_eq!((unit("Force"), unit("Force [N]")), (Some("kip"), Some("N")));
    }

    #[test]
    fn what_is_wrong_is_said() {
        for (text, why) in [
            ("ifc = 1", "no table"),
            ("[ifc]\nplain = \"tendon.mark\"", "no property of a set"),
            ("[ifc]\n\"A.B\" = \"tendon.colour\"", "tendon has no \"colour\""),
            ("[ifc]\n\"A.B\" = \"tendons.mark\"", "did you mean \"tendon\""),
            ("[ifc]\n\"A.B\" = 3", "no field"),
            ("[ifc]\n\"A.B\" = { to = \"tendon.mark\", unit = \"cubit\" }", "\"cubit\" is no unit"),
            ("[ifc]\n\"A.B\" = { times = 2 }", "no \"to\""),
            ("[ifc]\n\"A.B\" = { to = \"tendon.mark\", by = 2 }", "is not \"to\""),
        ] {
            let Err(Fault { why: said, .. }) = mapping(text) else {
                panic!("{text} is taken");
            };
            assert!(said.contains(why), "{text}: {said}");
        }
    }
}
