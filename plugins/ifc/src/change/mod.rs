//! A schedule's changes made in the model that it was read from, whoever wrote it.
//!
//! A value is changed where it stands: in the property, quantity or attribute that states it, in that one's unit.
//! What has no place in the model yet gets a property of the schedule's own sets. What follows from a shape, or is
//! stated for others too, stays as it is and is said.
//!
//! * `value`: a value of a schedule as one of the model;
//! * `room`: where a property that is new stands.

mod room;
mod value;

use std::collections::{BTreeMap, HashMap, HashSet};

use restrand_kit::{Change, Content, Loss};
use restrand_model::reading::{At, Place, Standing};
use restrand_model::reflect::FieldInfo;
use restrand_model::value::Value as Stated;

use crate::Entity;
use crate::Value;
use crate::read::units::Units;
use crate::read::{Found, Mapping, Model, Stand};
use crate::terms::Kind;
use crate::terms::sets::{is_at_home, record_of};
use room::Room;
use value::{Meaning, Scale};

/// What is to be changed in a model.
#[derive(Debug, Default)]
pub struct Edits {
    /// Attributes that say something else, by the positions of the entity and of the attribute in it.
    pub attributes: BTreeMap<(usize, usize), Value<'static>>,
    /// Entities that are new, with their numbers.
    pub added: Vec<(u64, Entity<'static>)>,
    /// Changes that cannot be made.
    pub losses: Vec<Loss>,
}

/// The changes of a schedule in the model that it was read from; numbers above `greatest` are free in it.
#[must_use]
pub fn edits(model: &dyn Model, mapping: &Mapping, content: &Content<'_>, greatest: u64) -> Edits {
    let mut making = Making::of(model, mapping, content, greatest);
    for change in content.changes {
        if let Err(why) = making.make(change) {
            making.edits.losses.push(Loss {
                route: change.route.names().join("."),
                value: change.after.as_ref().map_or_else(String::new, Stated::to_string),
                why,
            });
        }
    }
    making.finish()
}

/// A record, and the way from it to a value, as the provenance of the reading knows them.
type Stood = ((u32, u64), Vec<String>);

/// Why a change cannot be made, as a clause.
type Hindrance = String;

struct Making<'m> {
    model: &'m dyn Model,
    mapping: &'m Mapping,
    content: &'m Content<'m>,
    units: Units,
    /// Entities by their first bytes.
    starts: HashMap<u64, usize>,
    /// What is stated by the entity that begins at a byte.
    users: HashMap<u64, Vec<Stood>>,
    /// What is changed.
    changed: HashSet<Stood>,
    /// The set or complex property that holds a property, by their positions.
    holders: HashMap<usize, usize>,
    room: Room,
    edits: Edits,
}

impl<'m> Making<'m> {
    fn of(
        model: &'m dyn Model,
        mapping: &'m Mapping,
        content: &'m Content<'m>,
        greatest: u64,
    ) -> Self {
        let mut starts = HashMap::new();
        let mut holders = HashMap::new();
        for at in 0..model.count() {
            if let Stand::Span(span) = model.stand(at) {
                starts.insert(span.start, at);
            }
            if let Kind::PropertySet | Kind::PropertyComplex = model.kind(at)
                && let Ok(set) = model.entity(at)
            {
                for number in set.get("HasProperties").references() {
                    if let Found::At(property) = model.find(number) {
                        holders.insert(property, at);
                    }
                }
            }
        }
        let mut users: HashMap<u64, Vec<Stood>> = HashMap::new();
        for (record, apart) in content.provenance.all_apart() {
            if let At::Span(span) = apart.at {
                users.entry(span.start).or_default().push((record, apart.way.to_vec()));
            }
        }
        let standings = content.changes.iter().filter_map(|change| {
            let (record, path) = change.route.source(content.schedule);
            content.provenance.standing(record, &path)
        });
        let changed = standings
            .filter(|standing| standing.rest.is_empty())
            .map(|standing| (standing.record, standing.way))
            .collect();
        Self {
            model,
            mapping,
            content,
            units: Units::of_model(model),
            starts,
            users,
            changed,
            holders,
            room: Room::of(model, greatest),
            edits: Edits::default(),
        }
    }

    fn make(&mut self, change: &Change) -> Result<(), Hindrance> {
        let Some(field) = change.route.declared() else {
            return Err("no property of a model is called so".to_owned());
        };
        let (record, path) = change.route.source(self.content.schedule);
        match self.content.provenance.standing(record, &path) {
            Some(standing) => self.where_it_stands(change, field, &standing),
            None => {
                let Some(Place::Text { span, .. }) = self.content.provenance.place(record, &path)
                else {
                    return Err("the model has no element of this record".to_owned());
                };
                let Some(element) = self.starts.get(&span.start).copied() else {
                    return Err("the file is not the one that was read".to_owned());
                };
                self.beside(change, field, element, &path)
            }
        }
    }

    /// Changes a value in the entity that states it.
    fn where_it_stands(
        &mut self,
        change: &Change,
        field: &'static FieldInfo,
        standing: &Standing,
    ) -> Result<(), Hindrance> {
        let At::Span(span) = standing.at else {
            return Err("a model in an archive is not changed in place".to_owned());
        };
        let Some(at) = self.starts.get(&span.start).copied() else {
            return Err("the file is not the one that was read".to_owned());
        };
        let entity = self.model.entity(at)?;
        if let (Kind::PropertyComplex, [_]) = (entity.kind, standing.rest.as_slice()) {
            let property = self.property(change, field)?;
            return self.list(at, "HasProperties", property);
        }
        if !standing.rest.is_empty() {
            return Err(of_shape(&entity));
        }
        let others = self.users.get(&span.start).into_iter().flatten();
        let others = others.filter(|user| !self.changed.contains(user)).count();
        // An element has an attribute for each value; a property is one for all.
        if others > 0 && !entity.kind.is_rooted() {
            return Err(format!(
                "{} {} states {others} other values too, which do not change",
                self.model.name(self.model.number(at)),
                entity.kind.name()
            ));
        }
        let (attribute, value) = self.carried(change, field, at, &entity)?;
        let Some(position) = entity.kind.info().position(attribute) else {
            return Err(of_shape(&entity));
        };
        if entity.attributes.len() <= position {
            return Err("the entity has fewer attributes than its schema asks for".to_owned());
        }
        self.set(at, position, value)
    }

    /// Sets an attribute, unless another change set it otherwise.
    fn set(&mut self, at: usize, position: usize, value: Value<'static>) -> Result<(), Hindrance> {
        match self.edits.attributes.get(&(at, position)) {
            Some(known) if *known != value => {
                Err("another change asks for another value at the same place".to_owned())
            }
            _ => {
                self.edits.attributes.insert((at, position), value);
                Ok(())
            }
        }
    }

    /// The attribute in which an entity states a value, and what it is to say.
    fn carried(
        &self,
        change: &Change,
        field: &'static FieldInfo,
        at: usize,
        entity: &Entity<'_>,
    ) -> Result<(&'static str, Value<'static>), Hindrance> {
        let after = change.after.as_ref();
        match (entity.kind, field.name) {
            (Kind::PropertySingle, _) => {
                let Some(after) = after else { return Ok(("NominalValue", Value::Absent)) };
                let before = entity.get("NominalValue");
                let value = self.meaning(at, field).value(
                    field,
                    after,
                    Some(before),
                    &self.scale(Some(entity)),
                )?;
                Ok(("NominalValue", value))
            }
            (Kind::PropertyList, _) => {
                let Some(Stated::List(items)) = after else {
                    return Err("a list is not without items in a model".to_owned());
                };
                let before = entity.get("ListValues").items().first();
                let scale = self.scale(Some(entity));
                let meaning = self.meaning(at, field);
                let items: Result<Vec<_>, _> =
                    items.iter().map(|item| meaning.value(field, item, before, &scale)).collect();
                Ok(("ListValues", Value::List(items?)))
            }
            (Kind::PropertyEnumerated, _) => {
                Err("it is a word of an enumeration of the model, which is not changed".to_owned())
            }
            (Kind::QuantityLength, _) => Ok(("LengthValue", self.plain(entity, field, after)?)),
            (Kind::QuantityWeight, _) => Ok(("WeightValue", self.plain(entity, field, after)?)),
            (Kind::Tendon, "mu") => Ok(("FrictionCoefficient", self.plain(entity, field, after)?)),
            (Kind::Tendon, "set_mm") => Ok(("AnchorageSlip", self.plain(entity, field, after)?)),
            // The key of a record is the name of its element, where no set states another.
            (kind, _) if kind.is_rooted() => match (after, entity.get("Name").text()) {
                (Some(Stated::Text(name)), Some(_)) => {
                    Ok(("Name", Value::Text(name.to_string().into())))
                }
                _ => Err("it is the element's tag or GlobalId, which stay".to_owned()),
            },
            _ => Err(of_shape(entity)),
        }
    }

    /// A number of an attribute or quantity, which has no type beside it.
    fn plain(
        &self,
        entity: &Entity<'_>,
        field: &'static FieldInfo,
        after: Option<&Stated>,
    ) -> Result<Value<'static>, Hindrance> {
        let after = after.ok_or("the model must state it")?;
        let quantity = matches!(entity.kind, Kind::QuantityLength | Kind::QuantityWeight);
        let scale = self.scale(quantity.then_some(entity));
        let value = Meaning::default().value(field, after, None, &scale)?;
        match value {
            Value::Typed(_, inner) => match (entity.kind, inner.number()) {
                (Kind::Tendon, Some(number)) if number <= 0.0 && field.name == "set_mm" => {
                    Err("IFC has no slip that is not above zero".to_owned())
                }
                _ => Ok(*inner),
            },
            value => Ok(value),
        }
    }

    /// In what the numbers of an entity are: its own unit, or those of the project.
    fn scale(&self, entity: Option<&Entity<'_>>) -> Scale<'_> {
        let unit = entity.and_then(|entity| entity.get("Unit").reference());
        Scale { model: self.model, units: Some(&self.units), own: unit }
    }

    /// What the mapping file, or its own name, says of the property at a position, which states a field.
    fn meaning(&self, at: usize, field: &FieldInfo) -> Meaning<'_> {
        let mut set = at;
        let mut steps = 0;
        while let Some(holder) = self.holders.get(&set) {
            set = *holder;
            steps += 1;
            if steps > self.holders.len() {
                break;
            }
        }
        let (Ok(set), Ok(property)) = (self.model.entity(set), self.model.entity(at)) else {
            return Meaning::default();
        };
        let name = set.get("Name").text().unwrap_or_default();
        if record_of(name).is_some() {
            return Meaning::default();
        }
        let of_set = self.mapping.of_set(name);
        let name = property.get("Name").text().unwrap_or_default();
        match of_set.and_then(|of_set| of_set.get(name)) {
            Some(target) => Meaning::of(target, name, field),
            None => Meaning::of_name(name, field),
        }
    }

    /// Adds what has no place in the model: a property of a set of the schedule's own at the record's element.
    fn beside(
        &mut self,
        change: &Change,
        field: &'static FieldInfo,
        element: usize,
        path: &[String],
    ) -> Result<(), Hindrance> {
        if change.after.is_none() {
            return Err("nothing in the model states it".to_owned());
        }
        let record = room::record_of_set(&change.route, path.len())
            .ok_or("no property set of a schedule holds values of such a record")?;
        let kind = self.model.kind(element);
        if !is_at_home(record, kind.name()) {
            return Err(format!("a set of a {} says nothing at {}", record.name, kind.name()));
        }
        let set = self.room.set(self.model, record, element)?;
        if let room::Set::Known(at) = set
            && let Some(property) = self.room.namesake(self.model, at, field)
        {
            let entity = self.model.entity(property)?;
            let (attribute, value) = self.carried(change, field, property, &entity)?;
            let position = entity.kind.info().position(attribute);
            let position = position.ok_or("the set has a property of this name of another kind")?;
            return self.set(property, position, value);
        }
        let property = self.property(change, field)?;
        match set {
            room::Set::Known(at) => self.list(at, "HasProperties", property),
            room::Set::New => {
                self.room.fill(record, element, property);
                Ok(())
            }
        }
    }

    /// A property that is new; its number.
    fn property(&mut self, change: &Change, field: &'static FieldInfo) -> Result<u64, Hindrance> {
        let after = change.after.as_ref().ok_or("nothing in the model states it")?;
        if self.room.is_full() {
            return Err("the model leaves no number for what is new".to_owned());
        }
        let unit = self.room.unit_for(&self.units, field, &mut self.edits.added)?;
        let units = unit.is_none().then_some(&self.units);
        let scale = Scale { model: self.model, units, own: None };
        let entity = value::property(field, after, unit, &scale)?;
        Ok(self.room.add(entity, &mut self.edits.added))
    }

    /// Puts an entity at the end of a list of an entity.
    fn list(&mut self, at: usize, attribute: &str, number: u64) -> Result<(), Hindrance> {
        let entity = self.model.entity(at)?;
        let Some(position) = entity.kind.info().position(attribute) else {
            return Err(of_shape(&entity));
        };
        let known = self.edits.attributes.get(&(at, position));
        let known = known.or(entity.attributes.get(position)).unwrap_or(&Value::Absent);
        let mut items: Vec<Value<'static>> =
            known.items().iter().cloned().map(Value::into_owned).collect();
        items.push(Value::Reference(number));
        self.edits.attributes.insert((at, position), Value::List(items));
        Ok(())
    }

    fn finish(mut self) -> Edits {
        let sets = self.room.sets(self.model, &mut self.edits.added);
        for (type_, set) in sets {
            // A type that cannot be read has no set, and was refused before.
            if let Err(why) = self.list(type_, "HasPropertySets", set) {
                let route = self.model.name(self.model.number(type_));
                self.edits.losses.push(Loss { route, value: String::new(), why });
            }
        }
        self.edits
    }
}

fn of_shape(entity: &Entity<'_>) -> Hindrance {
    format!("it follows from {} of the model, which is not changed", entity.kind.name())
}
