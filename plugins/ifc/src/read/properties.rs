//! Property sets, and what they state of records.

use restrand_kit::Stopped;
use restrand_model::ifc::GLOBAL_ID;
use restrand_model::quantity::of_field;
use restrand_model::reading::{Place, ProblemKind};
use restrand_model::reflect::{FieldInfo, RecordInfo, Shape};
use restrand_model::value::{Fields, Name, Value as Stated};

use std::collections::BTreeMap;

use super::carriers::Carriers;
use super::inherited::Inherited;
use super::model::Found;
use super::reader::Reader;
use super::said::Remark;
use super::units::{in_field, unit_at};
use crate::terms::Kind;
use crate::terms::measures::Measure;
use crate::terms::sets::{Property, properties_of, record_of};
use crate::value::{Entity, Value};

/// Complex properties in complex properties that are read; a schedule has four.
const DEEPEST: u32 = 8;

/// What the sets of one object state, by record.
#[derive(Debug, Default)]
pub(super) struct Sets {
    stated: Vec<(&'static RecordInfo, Fields, Carriers)>,
    /// The records that sets of the schedule's own state.
    own: Vec<&'static str>,
}

impl Sets {
    /// Whether a set of the schedule's own states a record of this type.
    pub(super) fn has_own(&self, record: &'static RecordInfo) -> bool {
        self.own.contains(&record.name)
    }

    /// What they state of a record of this type, and what states it.
    pub(super) fn take(&mut self, record: &'static RecordInfo) -> (Fields, Carriers) {
        match self.stated.iter().position(|(info, ..)| info.name == record.name) {
            Some(position) => {
                let (_, fields, carriers) = self.stated.swap_remove(position);
                (fields, carriers)
            }
            None => (Fields::new(), Carriers::default()),
        }
    }

    /// What they state of records of some types.
    pub(super) fn take_where(&mut self, is_meant: impl Fn(&RecordInfo) -> bool) -> Inherited {
        let (meant, others) = std::mem::take(&mut self.stated)
            .into_iter()
            .partition(|(record, fields, _)| is_meant(record) && !fields.is_empty());
        self.stated = others;
        meant
    }

    /// What they state of a record of this type, to add to it.
    pub(super) fn of(&mut self, record: &'static RecordInfo) -> (&mut Fields, &mut Carriers) {
        let position = match self.stated.iter().position(|(info, ..)| info.name == record.name) {
            Some(position) => position,
            None => {
                self.stated.push((record, Fields::new(), Carriers::default()));
                self.stated.len() - 1
            }
        };
        let (_, fields, carriers) = &mut self.stated[position];
        (fields, carriers)
    }
}

impl Reader<'_, '_> {
    /// What the sets of an object state, or those of its type where they do not.
    pub(super) fn sets(&mut self, at: usize) -> Result<Sets, Stopped> {
        let mut sets = Sets::default();
        let own = self.graph.sets.get(&at).cloned().unwrap_or_default();
        for set in own {
            if matches!(self.model.kind(set), Kind::PropertySet) {
                self.set(at, set, &mut sets)?;
            }
        }
        self.inherit(at, &mut sets);
        Ok(sets)
    }

    /// Says what sets state at an element that is none of which it could be said.
    pub(super) fn leave(&mut self, at: usize, sets: Sets) -> Result<(), Stopped> {
        for (record, fields, _) in
            sets.stated.into_iter().filter(|(_, fields, _)| !fields.is_empty())
        {
            let names: Vec<&str> = fields.iter().map(|(name, _)| name.as_str()).collect();
            let why =
                "a set states it at an element of which it cannot be said; nothing of it is read";
            let help = "let the set stand at the element that it speaks of, as a removal space at its anchor";
            let given = Some(names.join(", "));
            self.remark(at, ProblemKind::ValueLost, record.name, given, why.to_owned(), help)?;
        }
        Ok(())
    }

    /// Says which sets of a schedule stand where nobody looked for them, and which of the mapping file do not stand
    /// in the model.
    pub(super) fn say_unread(&mut self) -> Result<(), Stopped> {
        let mut unread: BTreeMap<String, (usize, usize)> = BTreeMap::new();
        for at in 0..self.model.count() {
            if self.model.kind(at) != Kind::PropertySet || self.read_sets.contains(at) {
                continue;
            }
            let Some(entity) = self.entity(at)? else { continue };
            let name = entity.get("Name").text().unwrap_or_default();
            if record_of(name).is_some() || self.mapping.of_set(name).is_some() {
                self.met_sets.insert(name.into());
                unread.entry(name.to_owned()).or_insert((at, 0)).1 += 1;
            }
        }
        for (name, (at, count)) in unread {
            let why = format!(
                "{count} sets of this name stand at nothing of which they could speak; nothing of them is read"
            );
            let help = "let the set stand at the element that it speaks of, as a removal space at its anchor";
            self.remark(at, ProblemKind::ValueLost, "set", Some(name), why, help)?;
        }
        let mapping = self.mapping;
        let missing: Vec<&str> =
            mapping.sets().into_iter().filter(|set| !self.met_sets.contains(*set)).collect();
        if !missing.is_empty() {
            self.said.remark(Remark {
                kind: ProblemKind::ValueDoubtful,
                place: Place::Part { part: self.model.part().to_owned() },
                subject: "mapping file".to_owned(),
                given: Some(missing.join(", ")),
                why: "the model has no set of this name".to_owned(),
                help: "write the names of sets as the model has them, letter by letter",
            })?;
        }
        Ok(())
    }

    fn set(&mut self, owner: usize, at: usize, sets: &mut Sets) -> Result<(), Stopped> {
        let Some(entity) = self.entity(at)? else { return Ok(()) };
        self.met.clear();
        self.read_sets.insert(at);
        let name = entity.get("Name").text().unwrap_or_default();
        if let Some(record) = record_of(name) {
            let fields = self.record(at, &entity, record, 0)?;
            sets.own.push(record.name);
            let (known, carriers) = sets.of(record);
            for (name, value) in fields {
                known.push(name, value);
            }
            carriers.take(std::mem::take(&mut self.noted));
            return Ok(());
        }
        self.note_other(owner, at, &entity)?;
        let mapping = self.mapping;
        let Some(properties) = mapping.of_set(name) else { return Ok(()) };
        self.met_sets.insert(name.into());
        for property in self.all(at, &entity, "HasProperties")? {
            let Some(entity) = self.entity(property)? else { continue };
            let name = entity.get("Name").text().unwrap_or_default();
            let Some(target) = properties.get(name) else { continue };
            for (record, known) in &target.fields {
                let field = known.field;
                let word = scalar(&entity).and_then(|value| value.text().map(str::to_owned));
                let meant = word.as_deref().and_then(|word| {
                    target.words.iter().find(|(known, _)| known.eq_ignore_ascii_case(word))
                });
                let value = match (meant, target.words.is_empty()) {
                    (Some((_, value)), _) => Some(value.clone()),
                    (None, true) => self.value(property, &entity, known, 0)?,
                    (None, false) => {
                        let why = "the mapping file does not say what this word means".to_owned();
                        let help = "add it under \"words\" of the property in the mapping file";
                        let what = format!("{}.{}", record.name, field.name);
                        self.remark(property, ProblemKind::ValueLost, &what, word, why, help)?;
                        None
                    }
                };
                let value = match value {
                    Some(Stated::Number(number)) => Some(Stated::Number(number * target.times)),
                    value => value,
                };
                if let Some(value) = value {
                    let (known, carriers) = sets.of(record);
                    known.push(Name::Known(field.name), value);
                    carriers.note(&mut self.ways, &[field.name], property);
                }
            }
        }
        Ok(())
    }

    /// The fields of a record that a set, or a complex property, states.
    fn record(
        &mut self,
        at: usize,
        entity: &Entity<'_>,
        record: &'static RecordInfo,
        depth: u32,
    ) -> Result<Fields, Stopped> {
        if !self.is_new(at, entity)? {
            return Ok(Fields::new());
        }
        let known = properties_of(record);
        let ways = self.ways.of_record(self.way, record.name, known.len());
        let properties = self.all(at, entity, "HasProperties")?;
        let mut fields = Fields::with_capacity(properties.len());
        // They usually come in the order of the fields.
        let mut next = 0;
        let mut stated = vec![false; known.len()];
        for property in properties {
            let Some(entity) = self.entity(property)? else { continue };
            let name = entity.get("Name").text().unwrap_or_default();
            // An element bears its id itself; what a set says of it is a copy.
            if depth == 0 && name == GLOBAL_ID {
                continue;
            }
            let count = known.len();
            let mut near = (0..count).map(|step| (next + step) % count);
            let Some(position) = near.find(|position| known[*position].name == name) else {
                // Kept under its own name, and said by whoever checks the record.
                if let Some(value) = self.unknown(property, &entity, depth)? {
                    // It may have the whole name of a field, which is then stated.
                    if let Some(field) = known.iter().position(|known| known.field.name == name) {
                        stated[field] = true;
                    }
                    fields.push(Name::from(name), value);
                    self.note(name, property);
                }
                continue;
            };
            let known = &known[position];
            let field = known.field;
            next = position + 1;
            if stated[position] {
                let why = "the set states it twice; the first holds".to_owned();
                let kind = ProblemKind::ValueDoubtful;
                self.remark(property, kind, field.name, None, why, "keep one of the two")?;
                continue;
            }
            let before = self.way;
            let own = self.ways.field_way(ways, position, field.name);
            self.way = own;
            let value = self.value(property, &entity, known, depth)?;
            self.way = before;
            if let Some(value) = value {
                stated[position] = true;
                fields.push(Name::Known(field.name), value);
                self.noted.keep(own, property);
            }
        }
        Ok(fields)
    }

    /// Notes that a property states a member of the record that is read.
    fn note(&mut self, member: &str, property: usize) {
        let way = self.ways.on(self.way, member);
        self.noted.keep(way, property);
    }

    /// Whether a set or complex property is met for the first time in this set: none is part of itself.
    fn is_new(&mut self, at: usize, entity: &Entity<'_>) -> Result<bool, Stopped> {
        let is_new = self.met.insert(at);
        if !is_new {
            let given = entity.get("Name").text().map(str::to_owned);
            let why = "it stands in the set twice, or in itself; it is read once".to_owned();
            let help = "let every complex property stand in one place";
            self.remark(at, ProblemKind::ValueDoubtful, "property", given, why, help)?;
        }
        Ok(is_new)
    }

    /// The value of a property that is no field.
    fn unknown(
        &mut self,
        at: usize,
        property: &Entity<'_>,
        depth: u32,
    ) -> Result<Option<Stated>, Stopped> {
        if property.kind != Kind::PropertyComplex {
            let single = scalar(property).filter(|_| property.kind != Kind::PropertyList);
            return Ok(single.and_then(plain).or_else(|| list(property, plain)));
        }
        if depth >= DEEPEST || !self.is_new(at, property)? {
            return Ok(None);
        }
        let mut fields = Fields::new();
        for inner in self.all(at, property, "HasProperties")? {
            let Some(entity) = self.entity(inner)? else { continue };
            let name = entity.get("Name").text().unwrap_or_default();
            if let Some(value) = self.unknown(inner, &entity, depth + 1)? {
                fields.push(Name::from(name), value);
            }
        }
        Ok(Some(Stated::Fields(fields)))
    }

    /// The value of a field that a property states.
    fn value(
        &mut self,
        at: usize,
        property: &Entity<'_>,
        known: &Property,
        depth: u32,
    ) -> Result<Option<Stated>, Stopped> {
        let field = known.field;
        let stated = match field.shape {
            Shape::Record(inner) | Shape::Records(inner) => {
                return self.inner(at, property, field, inner(), depth);
            }
            Shape::Counts => list(property, |value| value.number().map(Stated::Number)),
            Shape::Texts | Shape::Choices(_) | Shape::Links(_) => {
                list(property, |value| value.text().map(Stated::from))
            }
            _ => {
                let Some(value) = scalar(property) else { return Ok(None) };
                match field.shape {
                    Shape::Number => return self.quantity(at, property, value, known),
                    Shape::Count => value.number().map(Stated::Number),
                    Shape::Flag => value.flag().map(Stated::Flag),
                    _ => value.text().map(Stated::from),
                }
            }
        };
        match stated {
            Some(stated) => Ok(Some(stated)),
            None => self.unfit_text(at, field, scalar(property)),
        }
    }

    /// A text where something else is needed: whoever checks the record says so, and keeps it.
    fn unfit_text(
        &mut self,
        at: usize,
        field: &'static FieldInfo,
        value: Option<&Value<'_>>,
    ) -> Result<Option<Stated>, Stopped> {
        if let Some(text) = value.and_then(Value::text) {
            return Ok(Some(Stated::from(text)));
        }
        self.unfit(at, field, value)?;
        Ok(None)
    }

    /// A record, or records, in a complex property.
    fn inner(
        &mut self,
        at: usize,
        property: &Entity<'_>,
        field: &'static FieldInfo,
        record: &'static RecordInfo,
        depth: u32,
    ) -> Result<Option<Stated>, Stopped> {
        if property.kind != Kind::PropertyComplex || depth >= DEEPEST {
            self.unfit(at, field, None)?;
            return Ok(None);
        }
        if matches!(field.shape, Shape::Record(_)) {
            return Ok(Some(Stated::Fields(self.record(at, property, record, depth + 1)?)));
        }
        let mut items = Vec::new();
        if !self.is_new(at, property)? {
            return Ok(None);
        }
        for item in self.all(at, property, "HasProperties")? {
            let Some(entity) = self.entity(item)? else { continue };
            // Properties are a set, without an order: their names are their positions.
            let position = entity.get("Name").text().and_then(|name| name.parse::<u32>().ok());
            let (Kind::PropertyComplex, Some(position)) = (entity.kind, position) else {
                self.unfit(item, field, None)?;
                continue;
            };
            // Routes count from zero.
            let before = self.way;
            self.way = self.ways.on(before, &position.saturating_sub(1).to_string());
            let fields = self.record(item, &entity, record, depth + 1)?;
            self.noted.keep(self.way, item);
            self.way = before;
            items.push((position, Stated::Fields(fields)));
        }
        items.sort_by_key(|(position, _)| *position);
        Ok(Some(Stated::List(items.into_iter().map(|(_, item)| item).collect())))
    }

    /// A number in the unit of its field.
    fn quantity(
        &mut self,
        at: usize,
        property: &Entity<'_>,
        value: &Value<'_>,
        known: &Property,
    ) -> Result<Option<Stated>, Stopped> {
        let field = known.field;
        let Some(number) = value.number() else {
            return self.unfit_text(at, field, Some(value));
        };
        let Some((unit, usual)) = known.measured else { return Ok(Some(Stated::Number(number))) };
        let type_ = match value {
            Value::Typed(name, _) => &**name,
            _ => "",
        };
        let help = "state it as the measure that the quantity is";
        let is_usual = usual.name.eq_ignore_ascii_case(type_);
        let Some(measure) = Some(usual).filter(|_| is_usual).or_else(|| Measure::of_type(type_))
        else {
            let why = format!("it is a bare number ({type_}), which has no unit");
            let given = Some(number.to_string());
            self.remark(at, ProblemKind::ValueLost, field.name, given, why, help)?;
            return Ok(None);
        };
        if measure.dimension != unit.dimension {
            let why = format!("it is {}, where {} is needed", measure.dimension, unit.dimension);
            let given = Some(number.to_string());
            self.remark(at, ProblemKind::ValueLost, field.name, given, why, help)?;
            return Ok(None);
        }
        // A property's own unit holds instead of the project's.
        let factor = match property.get("Unit").reference().map(|unit| self.model.find(unit)) {
            Some(Found::At(own)) => match self.own_unit(own) {
                Ok(factor) => Some(factor),
                Err(why) => {
                    let help = "correct the unit of the property";
                    self.remark(at, ProblemKind::ValueLost, field.name, None, why, help)?;
                    return Ok(None);
                }
            },
            _ => self.units.factor(measure),
        };
        match factor {
            Some(factor) => Ok(Some(Stated::Number(in_field(number, factor, measure, unit)))),
            None => {
                self.no_unit(at, field.name, number, measure)?;
                Ok(None)
            }
        }
    }

    /// How many coherent SI units the unit at a position is, which many properties may state.
    fn own_unit(&mut self, at: usize) -> Result<f64, String> {
        let model = self.model;
        let known = self.own_units.entry(at);
        known.or_insert_with(|| unit_at(model, at, 0).map(|(_, factor)| factor)).clone()
    }

    /// A quantity of an attribute, in the unit of the field that it states; `name` is the attribute's.
    pub(super) fn attribute(
        &mut self,
        at: usize,
        entity: &Entity<'_>,
        name: &str,
        measure: &'static Measure,
        field: &str,
    ) -> Result<Option<Stated>, Stopped> {
        let value = entity.get(name);
        if value.is_absent() {
            return Ok(None);
        }
        // One that is none was said when the entity was met.
        let Some(number) = value.number() else { return Ok(None) };
        let Some(unit) = of_field(field).1 else { return Ok(Some(Stated::Number(number))) };
        match self.units.convert(number, measure, unit) {
            Some(number) => Ok(Some(Stated::Number(number))),
            None => {
                self.no_unit(at, name, number, measure)?;
                Ok(None)
            }
        }
    }

    fn no_unit(
        &mut self,
        at: usize,
        what: &str,
        number: f64,
        measure: &'static Measure,
    ) -> Result<(), Stopped> {
        // One unit that is missing is one thing to mend; the values that it costs are all counted.
        self.unstated.insert(measure.unit);
        let why = format!(
            "it is {}, and the project states no unit of the kind {}",
            measure.dimension, measure.unit
        );
        let help = "state the unit at the project's units; it is not guessed";
        self.remark(at, ProblemKind::ValueLost, what, Some(number.to_string()), why, help)
    }

    fn unfit(
        &mut self,
        at: usize,
        field: &'static FieldInfo,
        value: Option<&Value<'_>>,
    ) -> Result<(), Stopped> {
        let needed = match field.shape {
            Shape::Number => "a number",
            Shape::Count | Shape::Counts => "a whole number",
            Shape::Flag => "true or false",
            Shape::Record(_) | Shape::Records(_) => "a complex property, with one for each record",
            _ => "a text",
        };
        let given = value.and_then(|value| {
            value
                .text()
                .or(value.word())
                .map(str::to_owned)
                .or(value.number().map(|n| n.to_string()))
        });
        let why = format!("it is not {needed}");
        let help = "correct the property in the program that made the model";
        self.remark(at, ProblemKind::ValueLost, field.name, given, why, help)
    }
}

/// The one value that a property states.
pub(super) fn scalar<'e>(property: &'e Entity<'_>) -> Option<&'e Value<'e>> {
    let value = match property.kind {
        Kind::PropertySingle => property.get("NominalValue"),
        Kind::PropertyEnumerated => property.get("EnumerationValues").items().first()?,
        Kind::PropertyList => match property.get("ListValues").items() {
            [one] => one,
            _ => return None,
        },
        _ => return None,
    };
    (!value.is_absent()).then_some(value)
}

/// The values that a property lists.
fn list(property: &Entity<'_>, of: impl Fn(&Value<'_>) -> Option<Stated>) -> Option<Stated> {
    let values = match property.kind {
        Kind::PropertySingle => std::slice::from_ref(property.get("NominalValue")),
        Kind::PropertyEnumerated => property.get("EnumerationValues").items(),
        Kind::PropertyList => property.get("ListValues").items(),
        _ => return None,
    };
    values.iter().map(of).collect::<Option<Vec<_>>>().map(Stated::List)
}

/// A value that no field takes, as it stands.
fn plain(value: &Value<'_>) -> Option<Stated> {
    value
        .number()
        .map(Stated::Number)
        .or_else(|| value.flag().map(Stated::Flag))
        .or_else(|| value.text().map(Stated::from))
}
