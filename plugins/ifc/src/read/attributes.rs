//! What a tendon's own attributes and the standard's quantities state of it.

use restrand_kit::Stopped;
use restrand_model::quantity::of_field;
use restrand_model::reading::ProblemKind;
use restrand_model::schedule::Stressing;
use restrand_model::value::{Fields, Value as Stated};

use super::carriers::Carriers;
use super::reader::Reader;
use super::said::put;
use super::sets::Sets;
use super::units::in_field;
use crate::terms::Kind;
use crate::terms::measures::{MEASURES, Measure};
use crate::value::Entity;

/// The position of masses among the measures.
const MASS: usize = 7;

impl Reader<'_, '_> {
    /// What a tendon's own attributes state of how it is stressed, where its own sets do not; both may differ.
    pub(super) fn own_attributes(
        &mut self,
        at: usize,
        entity: &Entity<'_>,
        sets: &mut Sets,
    ) -> Result<(), Stopped> {
        let mu = entity.get("FrictionCoefficient").number().map(Stated::Number);
        let set = self.attribute(at, entity, "AnchorageSlip", &MEASURES[0], "set_mm")?;
        let set = self.above_zero(at, entity, "AnchorageSlip", set)?;
        for (attribute, name, value) in
            [("FrictionCoefficient", "mu", mu), ("AnchorageSlip", "set_mm", set)]
        {
            let Some(value) = value else { continue };
            let (stressing, carriers) = sets.of(Stressing::INFO);
            match (stressing.get(name), &value) {
                (None, _) => {
                    put(stressing, name, value);
                    carriers.note(&mut self.ways, &[name], at);
                }
                (Some(Stated::Number(before)), Stated::Number(own)) if !alike(*before, *own) => {
                    let why = format!("it says {own}, and a property set {before}; the set holds");
                    let help = "correct the one that is wrong";
                    let given = entity.get(attribute).number().map(|number| number.to_string());
                    let kind = ProblemKind::ValueDoubtful;
                    self.remark(at, kind, attribute, given, why, help)?;
                }
                (Some(_), _) => {}
            }
        }
        Ok(())
    }

    /// What the model says of a tendon and no field takes; what follows from fields is no more than they say.
    pub(super) fn own_extra(
        &mut self,
        at: usize,
        entity: &Entity<'_>,
        fields: &Fields,
        is_own: bool,
        states_course: bool,
    ) -> Result<Fields, Stopped> {
        let mut extra = self.extra(at, entity)?;
        // Another program's highest allowed force does not follow from a jacking force.
        let stressing = match fields.get("stressing") {
            Some(Stated::Fields(stressing)) => {
                is_own && stressing.get("jacking_force_kn").is_some()
            }
            _ => false,
        };
        let steel = fields.get("strand").is_some() && fields.get("strand_count").is_some();
        if fields.get("strand").is_none() {
            let grade = entity.get("SteelGrade").text().filter(|grade| !grade.trim().is_empty());
            put(&mut extra, "SteelGrade", grade.map(Stated::from));
            let own = self.graph.materials.get(&at);
            let of_type =
                self.graph.types.get(&at).and_then(|type_| self.graph.materials.get(type_));
            if let Some(material) = own.or(of_type).copied()
                && let Some(material) = self.entity(material)?
            {
                let name = material.get("Name").text().filter(|name| !name.trim().is_empty());
                put(&mut extra, "Material", name.map(Stated::from));
            }
        }
        for (attribute, name, measure, follows) in [
            ("TensionForce", "TensionForce_kn", 3, stressing),
            ("PreStress", "PreStress_mpa", 5, stressing),
            ("MinCurvatureRadius", "MinCurvatureRadius_m", 0, states_course),
        ] {
            if follows {
                continue;
            }
            let value = self.attribute(at, entity, attribute, &MEASURES[measure], name)?;
            let value = self.above_zero(at, entity, attribute, value)?;
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
            let own = self.above_zero(at, entity, attribute, own)?;
            let of_type = match type_ {
                Some(type_) => match self.entity(type_)? {
                    Some(entity) => {
                        let value = self.attribute(type_, &entity, attribute, measure, name)?;
                        self.above_zero(type_, &entity, attribute, value)?
                    }
                    None => None,
                },
                None => None,
            };
            if let (Some(Stated::Number(own)), Some(Stated::Number(of_type))) = (&own, &of_type)
                && !alike(*own, *of_type)
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

    /// A value of an attribute that is above zero; another is said.
    pub(super) fn above_zero(
        &mut self,
        at: usize,
        entity: &Entity<'_>,
        attribute: &str,
        value: Option<Stated>,
    ) -> Result<Option<Stated>, Stopped> {
        match value {
            Some(Stated::Number(number)) if number <= 0.0 => {
                let why = "it is not above zero".to_owned();
                let help = "correct it in the program that made the model";
                let kind = ProblemKind::ValueLost;
                // As the file has it, in the model's unit.
                let given = entity.get(attribute).number().map(|number| number.to_string());
                self.remark(at, kind, attribute, given, why, help)?;
                Ok(None)
            }
            value => Ok(value),
        }
    }

    /// What the standard's quantities state of a tendon.
    pub(super) fn quantities(
        &mut self,
        at: usize,
        fields: &mut Fields,
        carriers: &mut Carriers,
    ) -> Result<(), Stopped> {
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
                if fields.get(field).is_none() && value.is_some() {
                    put(fields, field, value);
                    carriers.note(&mut self.ways, &[field], quantity);
                }
            }
        }
        Ok(())
    }
}

/// Whether two numbers say the same, but for what conversions leave.
pub(super) fn alike(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-6 * other.abs()
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
