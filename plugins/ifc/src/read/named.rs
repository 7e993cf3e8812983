//! Properties of other programs' sets that say by their names which field of a tendon they state.
//!
//! They are taken where name, unit and values surely say the same and no mapping file says anything of them: what is
//! left open is not guessed.

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use restrand_kit::Stopped;
use restrand_kit::recognise::{NamedProperty, fields_of_properties};
use restrand_kit::sheet::Cell;
use restrand_model::ifc::sets::is_at_home;
use restrand_model::quantity::Unit;
use restrand_model::reflect::Shape;
use restrand_model::schedule::Duct;

use super::mapping::Target;
use super::others::is_standard;
use super::properties::scalar;
use super::reader::Reader;
use super::units::{in_field, unit_at};
use crate::terms::Kind;
use crate::terms::measures::Measure;
use crate::terms::sets::record_of;
use crate::value::{Entity, Value};

/// Sets of one name whose values are looked at.
const LOOKED_AT: usize = 8;

/// What the properties of the sets of one name say by their names.
pub(super) type OfSet = Arc<HashMap<String, Target>>;
/// The same by set.
pub(super) type Named = HashMap<Box<str>, OfSet>;

/// A property in the sets of one name.
#[derive(Debug)]
struct Met {
    /// The type of its values; nothing where they differ.
    type_: Option<String>,
    measured: Option<(&'static Unit, f64)>,
    /// By the position of the set among those of its name.
    values: Vec<Option<Cell<'static>>>,
}

impl Reader<'_, '_> {
    /// What the properties of the sets of a name say by their names.
    pub(super) fn named_of(&mut self, set: &str) -> Result<Option<OfSet>, Stopped> {
        if is_standard(set) {
            return Ok(None);
        }
        if self.named.is_none() {
            self.named = Some(self.find_named()?);
        }
        Ok(self.named.as_ref().and_then(|named| named.get(set)).cloned())
    }

    /// Finds what the sets of tendons and of their types state by name.
    fn find_named(&mut self) -> Result<Named, Stopped> {
        let mut found = Named::default();
        let mut counts: HashMap<Box<str>, usize> = HashMap::new();
        let mut met: BTreeMap<Box<str>, BTreeMap<String, Met>> = BTreeMap::new();
        let kinds = [Kind::Tendon, Kind::TendonType];
        let mut owners: Vec<usize> =
            kinds.into_iter().flat_map(|kind| self.graph.all(kind)).copied().collect();
        let tendons = self.graph.all(Kind::Tendon).iter();
        owners.extend(tendons.filter_map(|at| self.graph.assembly_of(self.model, *at)));
        let sets = owners.iter().filter_map(|owner| self.graph.sets.get(owner)).flatten();
        for set in sets.copied().collect::<Vec<_>>() {
            if self.model.kind(set) != Kind::PropertySet {
                continue;
            }
            let Some(entity) = self.entity(set)? else { continue };
            let Some(name) = entity.get("Name").text() else { continue };
            if record_of(name).is_some() || is_standard(name) {
                continue;
            }
            let count = counts.entry(name.into()).or_default();
            if *count >= LOOKED_AT {
                continue;
            }
            let position = *count;
            *count += 1;
            let mapped = self.mapping.of_set(name);
            for property in self.all(set, &entity, "HasProperties")? {
                let Some(property) = self.entity(property)? else { continue };
                let Some(called) = property.get("Name").text() else { continue };
                if mapped.is_none_or(|mapped| !mapped.contains_key(called)) {
                    let of_set = met.entry(name.into()).or_default();
                    self.meet(of_set, called, &property, position);
                }
            }
        }
        for (set, properties) in met {
            let known: Vec<_> =
                properties.iter().filter(|(_, property)| property.type_.is_some()).collect();
            let asked: Vec<_> = known
                .iter()
                .map(|(name, property)| NamedProperty {
                    name: name.as_str(),
                    measured: property.measured,
                    values: property.values.clone(),
                })
                .collect();
            let mut targets = HashMap::new();
            for ((name, _), field) in known.iter().zip(fields_of_properties(&asked)) {
                let target = field.and_then(|field| Target::named(&field.field, field.unit));
                if let Some(target) = target.filter(is_of_tendon) {
                    targets.insert((*name).clone(), target);
                }
            }
            if !targets.is_empty() {
                found.insert(set, Arc::new(targets));
            }
        }
        Ok(found)
    }

    fn meet(
        &self,
        of_set: &mut BTreeMap<String, Met>,
        name: &str,
        property: &Entity<'_>,
        position: usize,
    ) {
        let Some(Value::Typed(type_, _)) = scalar(property) else { return };
        let Some(cell) = scalar(property).and_then(cell_of) else { return };
        let measured = Measure::of_type(type_).map(|measure| self.measured(property, measure));
        let met = of_set.entry(name.to_owned()).or_insert_with(|| Met {
            type_: Some(type_.to_ascii_uppercase()),
            measured: measured.flatten(),
            values: Vec::new(),
        });
        let is_known = measured.is_none_or(|measured| measured.is_some());
        let is_alike = met.type_.as_deref() == Some(type_.to_ascii_uppercase().as_str());
        if !is_known || !is_alike {
            met.type_ = None;
        }
        met.values.resize(position, None);
        // Each value in its own unit, which another set may state otherwise.
        let ratio = |measured: Option<Option<(&Unit, f64)>>| measured.flatten().map(|(_, by)| by);
        let cell = match (cell, ratio(measured), met.measured) {
            (Cell::Number(number), Some(own), Some((_, first))) => {
                Cell::Number(number * own / first)
            }
            (cell, ..) => cell,
        };
        met.values.push(Some(cell));
    }

    /// The unit that people use for what a property measures, and how many of it its own unit is.
    fn measured(
        &self,
        property: &Entity<'_>,
        measure: &'static Measure,
    ) -> Option<(&'static Unit, f64)> {
        let factor = match property.get("Unit").reference().map(|unit| self.model.find(unit)) {
            Some(super::Found::At(own)) => unit_at(self.model, own, 0).ok()?.1,
            _ => self.units.factor(measure)?,
        };
        let unit = Unit::all_of(measure.dimension).next()?;
        Some((unit, in_field(1.0, factor, measure, unit)))
    }
}

fn cell_of(value: &Value<'_>) -> Option<Cell<'static>> {
    if let Some(number) = value.number() {
        return Some(Cell::Number(number));
    }
    if let Some(flag) = value.flag() {
        return Some(Cell::Flag(flag));
    }
    value.text().map(|text| Cell::Text(text.to_owned().into()))
}

/// Whether it is a value of a tendon, of what is stated with it or of its duct, and no name of one.
///
/// What it says of one end is not taken: the schedule's end `a` is the one at the lower station, which another
/// program's end A need not be.
fn is_of_tendon(target: &Target) -> bool {
    let is_of_end = |name: &str| name == "from" || name.contains("_a_") || name.contains("_b_");
    target.fields.iter().all(|(record, property)| {
        let is_at_tendon =
            is_at_home(record, Kind::Tendon.name()) || record.name == Duct::INFO.name;
        is_at_tendon
            && !is_of_end(property.field.name)
            && matches!(
                property.field.shape,
                Shape::Number | Shape::Count | Shape::Flag | Shape::Choice(_) | Shape::Date
            )
    })
}
