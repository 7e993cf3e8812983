//! Tendons, with their axis, deviators and parts.

use std::collections::HashSet;

use restrand_kit::Stopped;
use restrand_model::ifc::GLOBAL_ID;
use restrand_model::reading::ProblemKind;
use restrand_model::reflect::EXTRA;
use restrand_model::schedule::{Deviator, Fill, Part, Replacement, Strand, Stressing, Tendon};
use restrand_model::value::{Fields, Value as Stated};

use super::curve::Corner;
use super::geometry::{length, sub};
use super::links::{Links, Way};
use super::places::Places;
use super::project::keyed;
use super::reader::{Reader, name_of};
use super::said::put;
use super::types::Types;
use super::units::{in_field, tidy};
use crate::terms::measures::{MEASURES, Measure};
use crate::terms::{Kind, kinds};
use crate::value::Entity;

/// A tendon as far as its ends need it.
pub(super) struct Run<'a> {
    pub(super) mark: Box<str>,
    /// Its axis in the schedule's frame, in metres, in order of station.
    pub(super) axis: &'a Vec<Corner>,
}

/// How far from a place's station a corner of the axis may be to lie at it, and an anchor from the end of an axis
/// to be its anchor; in metres.
const NEAR: f64 = 0.5;

impl Reader<'_, '_> {
    /// Hands over the tendons.
    pub(super) fn tendons(&mut self, places: &Places, types: &mut Types) -> Result<(), Stopped> {
        let tendons = self.graph.all(Kind::Tendon).to_vec();
        let mut links = self.links()?;
        let rooms = self.rooms()?;
        let mut axes = Vec::with_capacity(tendons.len());
        for tendon in &tendons {
            axes.push(self.axis(*tendon)?);
        }
        self.by_place(&tendons, &axes, &mut links)?;
        self.say_links(&links)?;
        let mut marks = HashSet::new();
        for (tendon, axis) in tendons.iter().zip(&axes) {
            let Some(entity) = self.entity(*tendon)? else { continue };
            let mut sets = self.sets(*tendon)?;
            let is_own = sets.has_own(Tendon::INFO);
            let mut fields = sets.take(Tendon::INFO);
            let Some(name) = name_of(&entity) else {
                let why = "it has no name, tag or GlobalId by which it could be told".to_owned();
                let kind = ProblemKind::RecordLost;
                self.remark(*tendon, kind, "Name", None, why, "give the tendon a name")?;
                continue;
            };
            let name = self.own_mark(*tendon, &entity, name, &marks)?;
            let mark = keyed(&mut fields, Tendon::INFO, &name);
            marks.insert(mark.clone());
            for (name, record) in [
                ("replacement", Replacement::INFO),
                ("stressing", Stressing::INFO),
                ("fill", Fill::INFO),
            ] {
                let stated = sets.take(record);
                if !stated.is_empty() {
                    put(&mut fields, name, Stated::Fields(stated));
                }
            }
            self.leave(*tendon, sets)?;
            self.own_attributes(*tendon, &entity, &mut fields)?;
            // What a schedule does not state, its model may measure; that is no statement.
            if !is_own {
                self.quantities(*tendon, &mut fields)?;
            }
            let members = links.of(*tendon).to_vec();
            let mut deviators = Vec::new();
            let mut joints = Vec::new();
            let mut vents = Vec::new();
            for member in &members {
                if self.model.kind(member.at) != Kind::TendonConduit {
                    continue;
                }
                let Some(entity) = self.entity(member.at)? else { continue };
                match self.predefined(member.at, &entity)?.as_str() {
                    // A schedule's own set states its lengths of duct, of which none is the whole.
                    kinds::DUCT if fields.get("duct").is_none() && !is_own => {
                        let duct = self.duct(types, member.at)?;
                        put(&mut fields, "duct", duct.map(Stated::Text));
                    }
                    kinds::FORM => deviators.push(*member),
                    "COUPLER" => joints.push(member.at),
                    "GROUTING_DUCT" => vents.push(member.at),
                    _ => {}
                }
            }
            let states_course = fields.get("points").is_some();
            if !states_course && !axis.is_empty() {
                put(&mut fields, "points", points(axis, places));
            }
            let extra = self.own_extra(*tendon, &entity, &fields, states_course)?;
            put(&mut fields, EXTRA, Stated::Fields(extra));
            let stand = self.model.stand(*tendon);
            self.said.record("Tendons", stand, Vec::new(), fields)?;
            let run = Run { mark: mark.clone(), axis };
            self.ends(&run, &members, places, types, &rooms)?;
            self.deviators(*tendon, &mark, &deviators, places, types)?;
            for (sheet, found) in [("DuctJoints", joints), ("Vents", vents)] {
                for at in found {
                    self.on_duct(sheet, at, &mark)?;
                }
            }
        }
        Ok(())
    }

    /// A name that no other tendon has.
    fn own_mark(
        &mut self,
        at: usize,
        entity: &Entity<'_>,
        name: String,
        taken: &HashSet<Box<str>>,
    ) -> Result<String, Stopped> {
        if !taken.contains(name.as_str()) {
            return Ok(name);
        }
        let further = ["Tag", "GlobalId"].iter().find_map(|attribute| {
            let text = entity.get(attribute).text().filter(|text| !text.is_empty())?;
            let named = format!("{name} {text}");
            (!taken.contains(named.as_str())).then_some(named)
        });
        let further =
            further.unwrap_or_else(|| format!("{name} {}", self.model.name(self.model.number(at))));
        let why = format!("another tendon has the same name; this one is called {further}");
        let help = "give each tendon a name of its own";
        self.remark(at, ProblemKind::ValueDoubtful, "Name", Some(name), why, help)?;
        Ok(further)
    }

    /// What a tendon's own attributes state of fields.
    fn own_attributes(
        &mut self,
        at: usize,
        entity: &Entity<'_>,
        fields: &mut Fields,
    ) -> Result<(), Stopped> {
        let mu = entity.get("FrictionCoefficient").number().map(Stated::Number);
        let set = self.attribute(at, entity, "AnchorageSlip", &MEASURES[0], "set_mm")?;
        let set = self.above_zero(at, "AnchorageSlip", set)?;
        for (name, value) in [("mu", mu), ("set_mm", set)] {
            if let Some(value) = value {
                let stressing = fields.nested("stressing");
                if stressing.get(name).is_none() {
                    put(stressing, name, value);
                }
            }
        }
        if let Some(type_) = self.graph.types.get(&at).copied()
            && fields.get("strand").is_none()
        {
            let strand = self.strand(type_)?;
            put(fields, "strand", strand.map(Stated::Text));
        }
        Ok(())
    }

    /// The kind of strand that a tendon's type states; what a type states of a whole tendon is none.
    pub(super) fn strand(&mut self, type_: usize) -> Result<Option<Box<str>>, Stopped> {
        let Some(known) = self.strands.get(&type_) else {
            let mut sets = self.sets(type_)?;
            let mut fields = sets.take(Strand::INFO);
            self.leave(type_, sets)?;
            let mut found = None;
            if !fields.is_empty()
                && let Some(entity) = self.entity(type_)?
                && let Some(name) = name_of(&entity)
            {
                let id = keyed(&mut fields, Strand::INFO, &name);
                let mut extra = Fields::new();
                put(&mut extra, GLOBAL_ID, entity.get("GlobalId").text().map(Stated::from));
                put(&mut fields, EXTRA, Stated::Fields(extra));
                if self.strand_ids.insert(id.clone()) {
                    let stand = self.model.stand(type_);
                    self.said.record("Strands", stand, Vec::new(), fields)?;
                }
                found = Some(id);
            }
            self.strands.insert(type_, found.clone());
            return Ok(found);
        };
        Ok(known.clone())
    }

    /// What the model says of a tendon and no field takes; what follows from fields is no more than they say.
    fn own_extra(
        &mut self,
        at: usize,
        entity: &Entity<'_>,
        fields: &Fields,
        states_course: bool,
    ) -> Result<Fields, Stopped> {
        let mut extra = self.extra(at, entity)?;
        let stressing = match fields.get("stressing") {
            Some(Stated::Fields(stressing)) => stressing.get("jacking_force_kn").is_some(),
            _ => false,
        };
        let steel = fields.get("strand").is_some() && fields.get("strand_count").is_some();
        for (attribute, name, measure, follows) in [
            ("TensionForce", "TensionForce_kn", 3, stressing),
            ("PreStress", "PreStress_mpa", 5, stressing),
            ("MinCurvatureRadius", "MinCurvatureRadius_m", 0, states_course),
        ] {
            if follows {
                continue;
            }
            let value = self.attribute(at, entity, attribute, &MEASURES[measure], name)?;
            let value = self.above_zero(at, attribute, value)?;
            put(&mut extra, name, value);
        }
        if steel {
            return Ok(extra);
        }
        let type_ = self.graph.types.get(&at).copied();
        for (attribute, name, measure) in [
            ("NominalDiameter", "NominalDiameter_mm", &MEASURES[0]),
            ("CrossSectionArea", "CrossSectionArea_mm2", &MEASURES[1]),
            ("SheathDiameter", "SheathDiameter_mm", &MEASURES[0]),
        ] {
            let own = self.attribute(at, entity, attribute, measure, name)?;
            let own = self.above_zero(at, attribute, own)?;
            let of_type = match type_ {
                Some(type_) => match self.entity(type_)? {
                    Some(entity) => {
                        let value = self.attribute(type_, &entity, attribute, measure, name)?;
                        self.above_zero(type_, attribute, value)?
                    }
                    None => None,
                },
                None => None,
            };
            if let (Some(Stated::Number(own)), Some(Stated::Number(of_type))) = (&own, &of_type)
                && (own - of_type).abs() > 1e-6 * of_type.abs()
            {
                let why =
                    format!("it says {own}, and its type {of_type}; that of the type is kept");
                let help = "state it at the type only; the attribute is deprecated in IFC 4.3";
                let kind = ProblemKind::ValueDoubtful;
                self.remark(at, kind, attribute, Some(own.to_string()), why, help)?;
            }
            put(&mut extra, name, of_type.or(own));
        }
        Ok(extra)
    }

    /// A value that is above zero; another is said.
    fn above_zero(
        &mut self,
        at: usize,
        what: &str,
        value: Option<Stated>,
    ) -> Result<Option<Stated>, Stopped> {
        match value {
            Some(Stated::Number(number)) if number <= 0.0 => {
                let why = "it is not above zero".to_owned();
                let help = "correct it in the program that made the model";
                let kind = ProblemKind::ValueLost;
                self.remark(at, kind, what, Some(number.to_string()), why, help)?;
                Ok(None)
            }
            value => Ok(value),
        }
    }

    /// What the standard's quantities state of a tendon.
    fn quantities(&mut self, at: usize, fields: &mut Fields) -> Result<(), Stopped> {
        /// The set of quantities of the standard.
        const SET: &str = "Qto_ReinforcingElementBaseQuantities";
        for set in self.graph.sets.get(&at).cloned().unwrap_or_default() {
            if self.model.kind(set) != Kind::ElementQuantity {
                continue;
            }
            let Some(entity) = self.entity(set)? else { continue };
            if entity.get("Name").text() != Some(SET) {
                continue;
            }
            for quantity in self.all(set, &entity, "Quantities")? {
                let Some(entity) = self.entity(quantity)? else { continue };
                let (attribute, field, kind): (_, &'static str, _) =
                    match (entity.kind, entity.get("Name").text()) {
                        (Kind::QuantityLength, Some("Length")) => ("LengthValue", "length_m", 0),
                        (Kind::QuantityWeight, Some("Weight")) => {
                            ("WeightValue", "steel_mass_kg", MASS)
                        }
                        _ => continue,
                    };
                let measure: &'static Measure = &MEASURES[kind];
                let own = match self.one(quantity, &entity, "Unit")? {
                    Some(unit) => super::units::unit_at(self.model, unit, 0).ok(),
                    None => None,
                };
                let field_unit = restrand_model::quantity::of_field(field).1;
                let value = match (own, entity.get(attribute).number(), field_unit) {
                    (Some((_, factor)), Some(number), Some(unit)) => {
                        Some(Stated::Number(in_field(number, factor, measure, unit)))
                    }
                    _ => self.attribute(quantity, &entity, attribute, measure, field)?,
                };
                if fields.get(field).is_none() {
                    put(fields, field, value);
                }
            }
        }
        Ok(())
    }

    /// The axis of a tendon in the schedule's frame, in metres and in order of station: its representation `Axis`,
    /// or else what its body is swept along.
    fn axis(&mut self, tendon: usize) -> Result<Vec<Corner>, Stopped> {
        let shapes = self.shapes_of(tendon)?;
        let mut curve = None;
        for (identifier, items) in &shapes {
            if identifier.eq_ignore_ascii_case("Axis") {
                curve = curve.or(items.first().copied());
            }
        }
        if curve.is_none() {
            let solids = shapes.iter().flat_map(|(_, items)| items);
            let disk = solids.copied().find(|(item, _)| self.model.kind(*item) == Kind::SweptDisk);
            if let Some((disk, axes)) = disk
                && let Some(entity) = self.entity(disk)?
            {
                curve = self.one(disk, &entity, "Directrix")?.map(|directrix| (directrix, axes));
            }
        }
        let Some((curve, axes)) = curve else { return Ok(Vec::new()) };
        let corners = self.corners(curve, &axes)?;
        let Some(metres) = self.units.metres() else {
            let why = "the project states no unit of length, so that it lies nowhere".to_owned();
            let help = "state the unit at the project's units; it is not guessed";
            self.remark(tendon, ProblemKind::ValueLost, "axis", None, why, help)?;
            return Ok(Vec::new());
        };
        let mut axis: Vec<Corner> = corners
            .into_iter()
            .filter_map(|corner| {
                let point = self.in_frame(corner.point)?;
                Some(Corner { point, radius: corner.radius.map(|radius| tidy(radius * metres)) })
            })
            .collect();
        if let (Some(first), Some(last)) = (axis.first(), axis.last())
            && first.point[0] > last.point[0]
        {
            axis.reverse();
        }
        Ok(axis)
    }

    /// Finds anchors that belong to no tendon yet by where they lie: at the end of an axis.
    fn by_place(
        &mut self,
        tendons: &[usize],
        axes: &[Vec<Corner>],
        links: &mut Links,
    ) -> Result<(), Stopped> {
        let left: Vec<usize> = self
            .graph
            .all(Kind::TendonAnchor)
            .iter()
            .copied()
            .filter(|at| !links.has_owner(*at))
            .collect();
        if left.is_empty() {
            return Ok(());
        }
        let mut ends: Vec<_> = tendons
            .iter()
            .zip(axes)
            .flat_map(|(tendon, axis)| {
                [axis.first(), axis.last()].into_iter().flatten().map(|end| (end.point, *tendon))
            })
            .collect();
        ends.sort_by(|one, other| one.0[0].total_cmp(&other.0[0]));
        for at in left {
            let Some(entity) = self.entity(at)? else { continue };
            let Some(point) = self.position(at, &entity)? else { continue };
            let from = ends.partition_point(|(end, _)| end[0] < point[0] - NEAR);
            let near = ends[from..].iter().take_while(|(end, _)| end[0] <= point[0] + NEAR);
            let mut near: Vec<_> = near
                .map(|(end, tendon)| (length(sub(*end, point)), *tendon))
                .filter(|(distance, _)| *distance <= NEAR)
                .collect();
            near.sort_by(|one, other| one.0.total_cmp(&other.0));
            // Of two tendons that end at one point neither is taken.
            let is_plain = match near.as_slice() {
                [_] => true,
                [one, other, ..] => other.0 > 2.0 * one.0 + 1e-6,
                [] => false,
            };
            if is_plain {
                links.add(near[0].1, at, self.graph.wholes.get(&at).copied(), Way::Place);
            }
        }
        Ok(())
    }

    /// Hands over the deviators of a tendon: conduits at them, and places that it is connected to without one.
    fn deviators(
        &mut self,
        tendon: usize,
        mark: &str,
        conduits: &[super::links::Member],
        places: &Places,
        types: &mut Types,
    ) -> Result<(), Stopped> {
        let mut met = HashSet::new();
        for member in conduits {
            let Some(entity) = self.entity(member.at)? else { continue };
            let mut sets = self.sets(member.at)?;
            let mut fields = sets.take(Deviator::INFO);
            self.leave(member.at, sets)?;
            let host = member.host.and_then(|host| places.name(host));
            if fields.get("place").is_none() {
                let place = match host {
                    Some(host) => Some(host),
                    None => {
                        let position = self.position(member.at, &entity)?;
                        position.and_then(|point| places.near(point[0], NEAR))
                    }
                };
                put(&mut fields, "place", place.map(Stated::from));
            }
            let form = self.form(types, member.at)?;
            if fields.get("form").is_none() {
                put(&mut fields, "form", form.map(Stated::Text));
            }
            let place = match fields.get("place") {
                Some(Stated::Text(place)) => Some(place.clone()),
                _ => None,
            };
            met.extend(place.clone());
            let extra = self.extra(member.at, &entity)?;
            put(&mut fields, EXTRA, Stated::Fields(extra));
            let stand = self.model.stand(member.at);
            self.said.record("Deviators", stand, vec![Some(mark.into())], fields)?;
            self.parts(member.at, "PartOverrides", &[Some(mark.into()), None, place])?;
        }
        for connection in self.graph.connections.get(&tendon).cloned().unwrap_or_default() {
            let has = |kind| connection.by.iter().any(|by| self.model.kind(*by) == kind);
            let place = connection.other.and_then(|other| places.name(other));
            let Some(place) = place.filter(|place| !met.contains(*place)) else { continue };
            if has(Kind::TendonAnchor) || has(Kind::TendonConduit) {
                continue;
            }
            met.insert(place.into());
            let mut fields = Fields::new();
            put(&mut fields, "place", Stated::from(place));
            let stand = self.model.stand(tendon);
            self.said.record("Deviators", stand, vec![Some(mark.into())], fields)?;
        }
        Ok(())
    }

    /// Hands over the parts that are aggregated or nested in an anchor, in the conduit at a deviator, or in a type.
    pub(super) fn parts(
        &mut self,
        owner: usize,
        sheet: &'static str,
        links: &[Option<Box<str>>],
    ) -> Result<(), Stopped> {
        let maps = [&self.graph.parts, &self.graph.nested].map(|map| map.get(&owner));
        let parts: Vec<usize> = maps.into_iter().flatten().flatten().copied().collect();
        for at in parts {
            let Some(entity) = self.entity(at)? else { continue };
            let predefined = self.predefined(at, &entity)?;
            let object = self.object_type(at, &entity)?;
            let role = kinds::role_of(entity.kind, &predefined, &object);
            let mut sets = self.sets(at)?;
            let mut fields = sets.take(Part::INFO);
            self.leave(at, sets)?;
            if role.is_none() && fields.is_empty() {
                continue;
            }
            if let Some(name) = entity.get("Name").text().filter(|name| !name.is_empty()) {
                keyed(&mut fields, Part::INFO, name);
            }
            if fields.get("role").is_none() {
                put(&mut fields, "role", role.map(Stated::from));
            }
            let extra = self.extra(at, &entity)?;
            put(&mut fields, EXTRA, Stated::Fields(extra));
            let stand = self.model.stand(at);
            self.said.record(sheet, stand, links.to_vec(), fields)?;
        }
        Ok(())
    }

    /// Hands over a joint or a tube of a duct.
    fn on_duct(&mut self, sheet: &'static str, at: usize, mark: &str) -> Result<(), Stopped> {
        let Some(entity) = self.entity(at)? else { return Ok(()) };
        let mut fields = Fields::new();
        if sheet == "Vents" {
            put(&mut fields, "id", name_of(&entity).map(|name| Stated::Text(name.into())));
        }
        let station = self.position(at, &entity)?.map(|point| Stated::Number(point[0]));
        put(&mut fields, "station_m", station);
        let extra = self.extra(at, &entity)?;
        put(&mut fields, EXTRA, Stated::Fields(extra));
        let stand = self.model.stand(at);
        self.said.record(sheet, stand, vec![Some(mark.into())], fields)
    }
}

/// The position of masses among the measures.
const MASS: usize = 7;

/// The points of an axis, with the places at which they lie.
fn points(axis: &[Corner], places: &Places) -> Stated {
    let last = axis.len().saturating_sub(1);
    Stated::List(
        axis.iter()
            .enumerate()
            .map(|(position, corner)| {
                let [station, lateral, elevation] = corner.point;
                let mut fields = Fields::with_capacity(5);
                put(&mut fields, "station_m", Stated::Number(station));
                put(&mut fields, "lateral_m", Stated::Number(lateral));
                put(&mut fields, "elevation_m", Stated::Number(elevation));
                // An end lies at a face of its place, which the end itself names.
                if position != 0 && position != last {
                    let place = places.near(station, NEAR);
                    put(&mut fields, "place", place.map(Stated::from));
                }
                put(&mut fields, "radius_m", corner.radius.map(Stated::Number));
                Stated::Fields(fields)
            })
            .collect(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use restrand_model::quantity::Dimension;

    #[test]
    fn attributes_are_of_the_measures_that_they_name() {
        assert_eq!(MEASURES[0].dimension, Dimension::Length);
        assert_eq!(MEASURES[1].dimension, Dimension::Area);
        assert_eq!(MEASURES[3].dimension, Dimension::Force);
        assert_eq!(MEASURES[5].dimension, Dimension::Stress);
        assert_eq!(MEASURES[MASS].dimension, Dimension::Mass);
    }
}
