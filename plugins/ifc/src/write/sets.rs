//! Records as property sets, in the way that [`crate::terms::sets`] says.

use restrand_kit::Loss;
use restrand_model::ifc::{GLOBAL_ID, stated};
use restrand_model::quantity::of_field;
use restrand_model::reflect::{EXTRA, FieldInfo, List, Record, RecordInfo, Shape, View};
use restrand_model::value::{Fields, Value as Stated};

use super::Writer;
use super::model::{entities, entity, text, typed, whole};
use crate::Value;
use crate::terms::{Kind, measures, sets};

/// A record, and how it and its values are called in losses and in names of GlobalIds.
#[derive(Clone, Copy)]
pub(super) struct Named<'a> {
    pub(super) record: &'a dyn Record,
    pub(super) route: &'a str,
}

impl Writer<'_> {
    /// The property sets of a record: its own, and those of the records in it that have one.
    ///
    /// Fields in `elsewhere` are elements of their own; of an element, its id is among them.
    pub(super) fn sets(&mut self, of: Named<'_>, elsewhere: &[&str]) -> Vec<u64> {
        self.within(of.record, &[], |writer| writer.sets_of(of, elsewhere))
    }

    fn sets_of(&mut self, of: Named<'_>, elsewhere: &[&str]) -> Vec<u64> {
        let info = of.record.info();
        let mut made = Vec::new();
        let properties = self.properties_of(of, elsewhere);
        made.extend(self.set(&sets::name_of(info), of.route, properties));
        for (index, field) in info.fields.iter().enumerate() {
            let Some(inner) = own_set(field).filter(|_| !elsewhere.contains(&field.name)) else {
                continue;
            };
            let route = format!("{}.{}", of.route, field.name);
            let properties = match of.record.field(index).view() {
                View::Record(record) => self.within(record, &[field.name], |writer| {
                    writer.properties_of(Named { record, route: &route }, &[])
                }),
                _ => self.unread_of(inner, &[field.name]),
            };
            made.extend(self.set(&sets::name_of(inner), &route, properties));
        }
        made
    }

    /// Writes something of a record that stands so many steps below the one around it.
    fn within<T>(
        &mut self,
        record: &dyn Record,
        steps: &[&str],
        write: impl FnOnce(&mut Self) -> T,
    ) -> T {
        let outer = self.source.clone();
        let origin = record.origin();
        if origin.get().is_some() {
            self.source = Some((origin, Vec::new()));
        } else if let Some((_, way)) = &mut self.source {
            way.extend(steps.iter().map(|step| (*step).to_owned()));
        }
        let made = write(self);
        self.source = outer;
        made
    }

    /// A property set; none without properties.
    pub(super) fn set(&mut self, name: &str, route: &str, properties: Vec<u64>) -> Option<u64> {
        if properties.is_empty() {
            return None;
        }
        let id = self.ids.named(&format!("{route}/{name}"));
        Some(self.model.add(
            Kind::PropertySet,
            [("GlobalId", text(id)), ("Name", text(name)), ("HasProperties", entities(properties))],
        ))
    }

    /// States property sets of an object.
    pub(super) fn define(&mut self, object: u64, route: &str, sets: &[u64]) {
        for (index, set) in sets.iter().enumerate() {
            let id = self.ids.named(&format!("{route}/defines/{index}"));
            self.model.add(
                Kind::RelDefinesByProperties,
                [
                    ("GlobalId", text(id)),
                    ("RelatedObjects", entities([object])),
                    ("RelatingPropertyDefinition", entity(*set)),
                ],
            );
        }
    }

    /// The properties of what a record states, but for what stands elsewhere.
    pub(super) fn properties(&mut self, of: Named<'_>, elsewhere: &[&str]) -> Vec<u64> {
        self.within(of.record, &[], |writer| writer.properties_of(of, elsewhere))
    }

    fn properties_of(&mut self, of: Named<'_>, elsewhere: &[&str]) -> Vec<u64> {
        let mut properties = Vec::new();
        for (index, field) in of.record.info().fields.iter().enumerate() {
            if elsewhere.contains(&field.name) || own_set(field).is_some() {
                continue;
            }
            let route = format!("{}.{}", of.route, field.name);
            properties.extend(self.property(field, of.record.field(index).view(), &route));
        }
        // An element bears its id itself.
        let bears = elsewhere.contains(&GLOBAL_ID) && stated(of.record).is_some();
        let without;
        let extra = if bears {
            let members = of.record.extra().iter().filter(|(name, _)| name.as_str() != GLOBAL_ID);
            without = members.cloned().collect();
            &without
        } else {
            of.record.extra()
        };
        properties.extend(self.further(of.record.info(), extra, of.route));
        properties
    }

    fn property(&mut self, field: &FieldInfo, view: View<'_>, route: &str) -> Option<u64> {
        let name = sets::property_of(field);
        match (field.shape, view) {
            (_, view) if view.is_absent() => self.unread(field, &[]),
            (Shape::Record(info), View::Record(record)) => {
                let properties = self.within(record, &[field.name], |writer| {
                    writer.properties_of(Named { record, route }, &[])
                });
                self.complex(name, info().name, properties)
            }
            (Shape::Records(info), View::List(list)) => {
                self.records(field.name, name, info(), list, route)
            }
            (_, View::List(list)) => {
                let values = (0..list.len()).filter_map(|item| simple(field, list.item(item)));
                let values = Value::List(values.collect());
                Some(
                    self.model
                        .add(Kind::PropertyList, [("Name", text(name)), ("ListValues", values)]),
                )
            }
            (_, view) => {
                let value = simple(field, view)?;
                let unit = match (field.shape, of_field(field.name).1) {
                    (Shape::Number, Some(unit)) => self.units.stated(&mut self.model, unit),
                    _ => Value::Absent,
                };
                Some(self.model.add(
                    Kind::PropertySingle,
                    [("Name", text(name)), ("NominalValue", value), ("Unit", unit)],
                ))
            }
        }
    }

    /// A list of records: each by its position from one.
    pub(super) fn records(
        &mut self,
        field: &str,
        name: &str,
        info: &RecordInfo,
        list: &dyn List,
        route: &str,
    ) -> Option<u64> {
        let mut items = Vec::new();
        for position in 0..list.len() {
            let View::Record(record) = list.item(position) else { continue };
            let route = format!("{route}[#{}]", position + 1);
            let steps = [field, &position.to_string()];
            let properties = self.within(record, &steps, |writer| {
                writer.properties_of(Named { record, route: &route }, &[])
            });
            match self.complex(&(position + 1).to_string(), info.name, properties) {
                Some(item) => items.push(item),
                None => self.lose(&route, "{}", "IFC has no property without content"),
            }
        }
        self.complex(name, info.name, items)
    }

    /// The property that says what was given where no value could be read: who reads the model finds it again.
    fn unread(&mut self, field: &FieldInfo, steps: &[&str]) -> Option<u64> {
        match field.shape {
            Shape::Records(_) => None,
            Shape::Record(info) => {
                let steps: Vec<&str> = steps.iter().copied().chain([field.name]).collect();
                let properties = self.unread_of(info(), &steps);
                self.complex(sets::property_of(field), info().name, properties)
            }
            _ => {
                let (origin, way) = self.source.as_ref()?;
                let steps = steps.iter().chain([&field.name]).map(|step| (*step).to_owned());
                let path: Vec<String> = way.iter().cloned().chain(steps).collect();
                let (given, _) = self.provenance.given(*origin, &path)?;
                let value = label(given);
                self.unread += 1;
                let name = text(sets::property_of(field));
                Some(
                    self.model.add(Kind::PropertySingle, [("Name", name), ("NominalValue", value)]),
                )
            }
        }
    }

    /// The same of all fields of a record that states nothing, so many steps below the one that is written.
    fn unread_of(&mut self, info: &RecordInfo, steps: &[&str]) -> Vec<u64> {
        // What has a place of its own would be there.
        if self.source.is_none() || !self.provenance.keeps_texts() {
            return Vec::new();
        }
        info.fields.iter().filter_map(|field| self.unread(field, steps)).collect()
    }

    fn complex(&mut self, name: &str, usage: &str, properties: Vec<u64>) -> Option<u64> {
        (!properties.is_empty()).then(|| {
            self.model.add(
                Kind::PropertyComplex,
                [
                    ("Name", text(name)),
                    ("UsageName", text(usage)),
                    ("HasProperties", entities(properties)),
                ],
            )
        })
    }

    /// What no field takes, as an owner's columns: properties of the same set, by the names that the owner gave.
    fn further(&mut self, info: &RecordInfo, members: &Fields, route: &str) -> Vec<u64> {
        let mut properties = Vec::new();
        let mut names: Vec<&str> = Vec::new();
        for (member, value) in members {
            let member = member.as_str();
            let is_taken = names.contains(&member)
                || info.fields.iter().any(|field| sets::property_of(field) == member);
            let why = match (is_taken, plain(value)) {
                (true, _) => "a property of the set has this name already",
                (_, None) => "a list or a record that no field takes is not written",
                (false, Some(value)) => {
                    names.push(member);
                    let given = [("Name", text(member)), ("NominalValue", value)];
                    properties.push(self.model.add(Kind::PropertySingle, given));
                    continue;
                }
            };
            self.lose(&format!("{route}.{EXTRA}.{member}"), &value.to_string(), why);
        }
        properties
    }

    pub(super) fn lose(&mut self, route: &str, value: &str, why: &str) {
        let (route, value) = (route.to_owned(), value.to_owned());
        self.losses.push(Loss { route, value, why: why.to_owned() });
    }
}

/// The record in a field that has a set of its own.
fn own_set(field: &FieldInfo) -> Option<&'static RecordInfo> {
    let Shape::Record(info) = field.shape else { return None };
    let info = info();
    // By name: what a constant leads to has no one address.
    sets::records().any(|record| record.name == info.name).then_some(info)
}

/// Letters that a label holds.
const LABEL: usize = 255;

/// A value of a field with its type.
fn simple(field: &FieldInfo, view: View<'_>) -> Option<Value<'static>> {
    let measure = measures::type_of(field)?;
    Some(match view {
        #[expect(clippy::cast_possible_truncation, reason = "counts are whole numbers of 32 bits")]
        View::Number(number) if matches!(field.shape, Shape::Count | Shape::Counts) => {
            typed(measure, whole(number as i64))
        }
        View::Text(said) if measure == "IfcLabel" => label(said),
        View::Number(number) => typed(measure, Value::Number(number)),
        View::Flag(flag) => typed(measure, flag_word(flag)),
        View::Text(said) => typed(measure, text(said)),
        View::Date(date) => typed(measure, text(date.to_string())),
        View::Absent | View::Record(_) | View::List(_) => return None,
    })
}

/// A text as a label, which holds so many letters and no more.
fn label(said: &str) -> Value<'static> {
    let is_long = said.chars().count() > LABEL;
    typed(if is_long { "IfcText" } else { "IfcLabel" }, text(said))
}

const fn flag_word(flag: bool) -> Value<'static> {
    Value::Word(std::borrow::Cow::Borrowed(if flag { "T" } else { "F" }))
}

/// A value of no field with its type.
fn plain(value: &Stated) -> Option<Value<'static>> {
    Some(match value {
        Stated::Flag(flag) => typed("IfcBoolean", flag_word(*flag)),
        Stated::Number(number) => typed("IfcReal", Value::Number(*number)),
        Stated::Text(said) => typed("IfcText", text(said.as_ref())),
        Stated::List(_) | Stated::Fields(_) => return None,
    })
}
