//! What a property set of the schedule's own states.
//!
//! A set is read by itself, whatever was read before, so that threads may read sets side by side: what is met of it
//! is kept with it, for whoever takes it to say.

use std::collections::HashSet;
use std::sync::Arc;

use foldhash::fast::RandomState;
use restrand_model::ifc::GLOBAL_ID;
use restrand_model::reading::ProblemKind;
use restrand_model::reflect::{FieldInfo, RecordInfo, Shape};
use restrand_model::value::{Fields, Name, Value as Stated};

use super::carriers::{Carriers, Way, Ways};
use super::entities::Entities;
use super::model::Model;
use super::positions::ByPosition;
use super::properties::{list, plain, scalar};
use super::said::Remark;
use super::units::Units;
use crate::terms::Kind;
use crate::terms::sets::{Property, properties_of, record_of};
use crate::value::Entity;

/// Complex properties in complex properties that are read; a schedule has four.
pub(super) const DEEPEST: u32 = 8;

/// A set.
pub(super) enum Set<'m> {
    /// One of the schedule's own: what it states, and by which properties.
    Own { record: &'static RecordInfo, fields: Fields, carriers: Carriers },
    /// Another.
    Other(Entity<'m>),
    /// One that cannot be read.
    Unreadable,
}

/// Reads sets, one after the other.
pub(super) struct SetReader<'m> {
    pub(super) entities: Entities<'m>,
    pub(super) units: Arc<Units>,
    /// What the units that properties state themselves are of SI units, or what is wrong with them.
    pub(super) own_units: ByPosition<Result<f64, String>>,
    /// The ways from records to values that were met.
    pub(super) ways: Ways,
    /// The way from a record to the property that is read.
    way: Way,
    /// What states the values of the record that is read.
    noted: Carriers,
    /// Complex properties that were met in one set.
    met: HashSet<usize, RandomState>,
}

impl<'m> SetReader<'m> {
    /// Reads sets of a model, whose project has these units.
    pub(super) fn of(model: &'m dyn Model, units: Arc<Units>) -> Self {
        Self {
            entities: Entities::seldom(model),
            units,
            own_units: ByPosition::default(),
            ways: Ways::default(),
            way: Way::START,
            noted: Carriers::default(),
            met: HashSet::default(),
        }
    }

    /// The set at a position, with what is wrong with it.
    pub(super) fn set(&mut self, at: usize) -> (Set<'m>, Vec<Remark>) {
        self.met.clear();
        let set = match self.entities.entity(at) {
            Some(entity) => match record_of(entity.get("Name").text().unwrap_or_default()) {
                Some(record) => {
                    let fields = self.record(at, &entity, record, 0);
                    Set::Own { record, fields, carriers: std::mem::take(&mut self.noted) }
                }
                None => Set::Other(entity),
            },
            None => Set::Unreadable,
        };
        (set, self.entities.all_remarks())
    }

    /// The value of one property by itself, with what is wrong with it.
    pub(super) fn single(
        &mut self,
        at: usize,
        property: &Entity<'_>,
        known: &Property,
    ) -> (Option<Stated>, Vec<Remark>) {
        self.met.clear();
        let value = self.value(at, property, known, 0);
        self.noted = Carriers::default();
        (value, self.entities.all_remarks())
    }

    /// The fields of a record that a set, or a complex property, states.
    fn record(
        &mut self,
        at: usize,
        entity: &Entity<'_>,
        record: &'static RecordInfo,
        depth: u32,
    ) -> Fields {
        if !self.is_new(at, entity) {
            return Fields::new();
        }
        let known = properties_of(record);
        let ways = self.ways.of_record(self.way, record.name, known.len());
        let properties = self.entities.all_read(at, entity, "HasProperties");
        let mut fields = Fields::with_capacity(properties.len());
        // They usually come in the order of the fields.
        let mut next = 0;
        let mut stated = vec![false; known.len()];
        for property in properties {
            let Some(entity) = self.entities.entity(property) else { continue };
            let name = entity.get("Name").text().unwrap_or_default();
            // An element bears its id itself; what a set says of it is a copy.
            if depth == 0 && name == GLOBAL_ID {
                continue;
            }
            let count = known.len();
            let mut near = (0..count).map(|step| (next + step) % count);
            let Some(position) = near.find(|position| known[*position].name == name) else {
                // Kept under its own name, and said by whoever checks the record.
                if let Some(value) = self.unknown(property, &entity, depth) {
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
                self.entities.remark(property, kind, field.name, None, why, "keep one of the two");
                continue;
            }
            let before = self.way;
            let own = self.ways.field_way(ways, position, field.name);
            self.way = own;
            let value = self.value(property, &entity, known, depth);
            self.way = before;
            if let Some(value) = value {
                stated[position] = true;
                fields.push(Name::Known(field.name), value);
                self.noted.keep(own, property);
            }
        }
        fields
    }

    /// Notes that a property states a member of the record that is read.
    fn note(&mut self, member: &str, property: usize) {
        let way = self.ways.on(self.way, member);
        self.noted.keep(way, property);
    }

    /// Whether a set or complex property is met for the first time in this set: none is part of itself.
    fn is_new(&mut self, at: usize, entity: &Entity<'_>) -> bool {
        let is_new = self.met.insert(at);
        if !is_new {
            let given = entity.get("Name").text().map(str::to_owned);
            let why = "it stands in the set twice, or in itself; it is read once".to_owned();
            let help = "let every complex property stand in one place";
            self.entities.remark(at, ProblemKind::ValueDoubtful, "property", given, why, help);
        }
        is_new
    }

    /// The value of a property that is no field.
    fn unknown(&mut self, at: usize, property: &Entity<'_>, depth: u32) -> Option<Stated> {
        if property.kind != Kind::PropertyComplex {
            let single = scalar(property).filter(|_| property.kind != Kind::PropertyList);
            return single.and_then(plain).or_else(|| list(property, plain));
        }
        if depth >= DEEPEST || !self.is_new(at, property) {
            return None;
        }
        let mut fields = Fields::new();
        for inner in self.entities.all_read(at, property, "HasProperties") {
            let Some(entity) = self.entities.entity(inner) else { continue };
            let name = entity.get("Name").text().unwrap_or_default();
            if let Some(value) = self.unknown(inner, &entity, depth + 1) {
                fields.push(Name::from(name), value);
            }
        }
        Some(Stated::Fields(fields))
    }

    /// A record, or records, in a complex property.
    pub(super) fn inner(
        &mut self,
        at: usize,
        property: &Entity<'_>,
        field: &'static FieldInfo,
        record: &'static RecordInfo,
        depth: u32,
    ) -> Option<Stated> {
        if property.kind != Kind::PropertyComplex || depth >= DEEPEST {
            self.unfit(at, field, None);
            return None;
        }
        if matches!(field.shape, Shape::Record(_)) {
            return Some(Stated::Fields(self.record(at, property, record, depth + 1)));
        }
        let mut items = Vec::new();
        if !self.is_new(at, property) {
            return None;
        }
        for item in self.entities.all_read(at, property, "HasProperties") {
            let Some(entity) = self.entities.entity(item) else { continue };
            // Properties are a set, without an order: their names are their positions.
            let position = entity.get("Name").text().and_then(|name| name.parse::<u32>().ok());
            let (Kind::PropertyComplex, Some(position)) = (entity.kind, position) else {
                self.unfit(item, field, None);
                continue;
            };
            // Routes count from zero.
            let before = self.way;
            self.way = self.ways.on(before, &position.saturating_sub(1).to_string());
            let fields = self.record(item, &entity, record, depth + 1);
            self.noted.keep(self.way, item);
            self.way = before;
            items.push((position, Stated::Fields(fields)));
        }
        items.sort_by_key(|(position, _)| *position);
        Some(Stated::List(items.into_iter().map(|(_, item)| item).collect()))
    }
}
