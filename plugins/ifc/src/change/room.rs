//! Where a property that is new stands: in a set of the schedule's own at the element that its record is.

use std::collections::{BTreeMap, HashMap};

use restrand_model::ifc::{compressed, derived};
use restrand_model::quantity::of_field;
use restrand_model::reflect::{FieldInfo, RecordInfo, Shape};
use restrand_model::route::{Route, Step};
use restrand_model::schedule::Schedule;

use super::Hindrance;
use crate::read::units::{NAMES, Units};
use crate::read::{Found, Model};
use crate::terms::Kind;
use crate::terms::measures::Measure;
use crate::terms::sets::{name_of, property_of, records};
use crate::{Entity, Value};

/// A set in which a property can stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Set {
    /// One of the model, at this position.
    Known(usize),
    /// One that is to be made.
    New,
}

/// What a model has room for.
pub(super) struct Room {
    greatest: u64,
    /// Sets by the element at which they stand, and at how many elements each stands.
    sets: HashMap<usize, Vec<usize>>,
    uses: HashMap<usize, usize>,
    /// The properties of sets that are to be made, by element and name of the set.
    new: BTreeMap<(usize, String), Vec<u64>>,
    /// Units that were made, by their kind.
    units: BTreeMap<&'static str, u64>,
}

impl Room {
    pub(super) fn of(model: &dyn Model, greatest: u64) -> Self {
        let mut room = Self {
            greatest,
            sets: HashMap::new(),
            uses: HashMap::new(),
            new: BTreeMap::new(),
            units: BTreeMap::new(),
        };
        for at in 0..model.count() {
            let kind = model.kind(at);
            if kind != Kind::RelDefinesByProperties && !is_type(kind) {
                continue;
            }
            let Ok(entity) = model.entity(at) else { continue };
            if is_type(kind) {
                for set in entity.get("HasPropertySets").references() {
                    room.note(model, at, set);
                }
            } else if let Some(set) = entity.get("RelatingPropertyDefinition").reference() {
                let objects = entity.get("RelatedObjects");
                for object in objects.reference().into_iter().chain(objects.references()) {
                    if let Found::At(object) = model.find(object) {
                        room.note(model, object, set);
                    }
                }
            }
        }
        room
    }

    fn note(&mut self, model: &dyn Model, element: usize, set: u64) {
        if let Found::At(set) = model.find(set)
            && model.kind(set) == Kind::PropertySet
        {
            self.sets.entry(element).or_default().push(set);
            *self.uses.entry(set).or_default() += 1;
        }
    }

    /// The set of a record at an element.
    pub(super) fn set(
        &self,
        model: &dyn Model,
        record: &RecordInfo,
        element: usize,
    ) -> Result<Set, Hindrance> {
        let name = name_of(record);
        for set in self.sets.get(&element).into_iter().flatten() {
            if model.entity(*set)?.get("Name").text() == Some(&name) {
                return match self.uses.get(set) {
                    Some(1) => Ok(Set::Known(*set)),
                    _ => Err(format!("its set {name} stands at other elements too")),
                };
            }
        }
        Ok(Set::New)
    }

    /// The property of a set that has the name of a field.
    pub(super) fn namesake(
        &self,
        model: &dyn Model,
        set: usize,
        field: &FieldInfo,
    ) -> Option<usize> {
        let set = model.entity(set).ok()?;
        set.get("HasProperties").references().find_map(|number| match model.find(number) {
            Found::At(at) => {
                let property = model.entity(at).ok()?;
                (property.get("Name").text() == Some(property_of(field))).then_some(at)
            }
            _ => None,
        })
    }

    /// Puts a property into a set that is to be made.
    pub(super) fn fill(&mut self, record: &RecordInfo, element: usize, property: u64) {
        self.new.entry((element, name_of(record))).or_default().push(property);
    }

    /// Whether numbers are left for entities that are new.
    pub(super) const fn is_full(&self) -> bool {
        self.greatest > u64::MAX / 2
    }

    /// Adds an entity; its number.
    pub(super) fn add(
        &mut self,
        entity: Entity<'static>,
        added: &mut Vec<(u64, Entity<'static>)>,
    ) -> u64 {
        self.greatest += 1;
        added.push((self.greatest, entity));
        self.greatest
    }

    /// The unit that a field's value states itself, where the project states none of its kind.
    pub(super) fn unit_for(
        &mut self,
        units: &Units,
        field: &FieldInfo,
        added: &mut Vec<(u64, Entity<'static>)>,
    ) -> Result<Option<u64>, Hindrance> {
        let unit = match (field.shape, of_field(field.name).1) {
            (Shape::Number, Some(unit)) => unit,
            _ => return Ok(None),
        };
        let Some(measure) = Measure::of_dimension(unit.dimension) else { return Ok(None) };
        if units.factor(measure).is_some() {
            return Ok(None);
        }
        if let Some(made) = self.units.get(measure.unit) {
            return Ok(Some(*made));
        }
        let name = NAMES.iter().find(|(kind, _)| *kind == measure.unit);
        let Some((kind, name)) = name.filter(|(kind, _)| *kind != "MASSUNIT") else {
            return Err(format!("the project states no unit of the kind {}", measure.unit));
        };
        let given =
            [("UnitType", Value::Word((*kind).into())), ("Name", Value::Word((*name).into()))];
        let number = self.add(Entity::of(Kind::SiUnit, given), added);
        self.units.insert(measure.unit, number);
        Ok(Some(number))
    }

    /// Makes the sets, and relates them to their elements; gives those of types, which name their sets themselves.
    pub(super) fn sets(
        &mut self,
        model: &dyn Model,
        added: &mut Vec<(u64, Entity<'static>)>,
    ) -> Vec<(usize, u64)> {
        let mut of_types = Vec::new();
        for ((element, name), properties) in std::mem::take(&mut self.new) {
            let Ok(entity) = model.entity(element) else { continue };
            let id = entity.get("GlobalId").text().unwrap_or_default();
            let id = |what: &str| {
                let name = format!("{id}/{}/{name}/{what}", model.number(element));
                Value::Text(compressed(derived(&name)).into())
            };
            // Before IFC 4 each must have one, and all may.
            let history = entity.get("OwnerHistory").clone().into_owned();
            let properties = properties.into_iter().map(Value::Reference).collect();
            let set = Entity::of(
                Kind::PropertySet,
                [
                    ("GlobalId", id("set")),
                    ("OwnerHistory", history.clone()),
                    ("Name", Value::Text(name.clone().into())),
                    ("HasProperties", Value::List(properties)),
                ],
            );
            let set = self.add(set, added);
            if is_type(entity.kind) {
                of_types.push((element, set));
                continue;
            }
            let object = Value::Reference(model.number(element));
            let relation = Entity::of(
                Kind::RelDefinesByProperties,
                [
                    ("GlobalId", id("defines")),
                    ("OwnerHistory", history),
                    ("RelatedObjects", Value::List(vec![object])),
                    ("RelatingPropertyDefinition", Value::Reference(set)),
                ],
            );
            self.add(relation, added);
        }
        of_types
    }
}

const fn is_type(kind: Kind) -> bool {
    matches!(
        kind,
        Kind::TendonType
            | Kind::TendonAnchorType
            | Kind::TendonConduitType
            | Kind::DiscreteAccessoryType
            | Kind::PlateType
    )
}

/// The record whose set holds the value at the end of a route, that many fields from the record of an element.
pub(super) fn record_of_set(route: &Route, steps: usize) -> Option<&'static RecordInfo> {
    let owner = route.up_to(route.steps().len().checked_sub(1)?);
    let info = match owner.steps().last() {
        None => Schedule::INFO,
        Some(Step::Item(_)) => {
            let list = owner.up_to(owner.steps().len() - 1);
            inner(list.declared()?)?
        }
        Some(Step::Field(_)) => inner(owner.declared()?)?,
    };
    let has_set = records().any(|record| record.name == info.name);
    // What lies deeper is part of a complex property, of which only whole ones are read.
    (has_set && steps <= 2).then_some(info)
}

fn inner(field: &'static FieldInfo) -> Option<&'static RecordInfo> {
    match field.shape {
        Shape::Record(info) | Shape::Records(info) => Some(info()),
        _ => None,
    }
}
