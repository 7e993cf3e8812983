//! The units of a model: those of the project, and those of fields that are written in others.

use std::collections::BTreeMap;

use restrand_model::quantity::Unit;

use super::model::{Model, entities, entity, whole, word};
use crate::Value;
use crate::terms::Kind;
use crate::terms::measures::Measure;

/// SI units of a project: kind of unit, prefix, name, and the symbol by which fields know it.
const PROJECT: &[(&str, Option<&str>, &str, &str)] = &[
    ("LENGTHUNIT", None, "METRE", "m"),
    ("AREAUNIT", None, "SQUARE_METRE", "m²"),
    ("VOLUMEUNIT", None, "CUBIC_METRE", "m³"),
    ("PLANEANGLEUNIT", None, "RADIAN", "rad"),
    ("FORCEUNIT", Some("KILO"), "NEWTON", "kN"),
    ("PRESSUREUNIT", Some("MEGA"), "PASCAL", "MPa"),
    ("MASSUNIT", Some("KILO"), "GRAM", "kg"),
    ("TIMEUNIT", None, "SECOND", "s"),
    ("FREQUENCYUNIT", None, "HERTZ", "Hz"),
    ("ENERGYUNIT", Some("KILO"), "JOULE", "kJ"),
];

/// SI units of fields that are not the project's.
const FURTHER: &[(&str, Option<&str>, &str, &str)] = &[
    ("LENGTHUNIT", Some("MILLI"), "METRE", "mm"),
    // The prefix is the metre's, before it is raised to its power.
    ("AREAUNIT", Some("MILLI"), "SQUARE_METRE", "mm²"),
    ("VOLUMEUNIT", Some("DECI"), "CUBIC_METRE", "l"),
];

/// Units that are made of others: kind of unit, symbol, and the symbols of the others with their exponents.
type Derived = (&'static str, &'static str, &'static [(&'static str, i64)]);

const PROJECT_DERIVED: &[Derived] = &[
    ("TORQUEUNIT", "kNm", &[("kN", 1), ("m", 1)]),
    ("MOMENTOFINERTIAUNIT", "m⁴", &[("m", 4)]),
    ("MASSPERLENGTHUNIT", "kg/m", &[("kg", 1), ("m", -1)]),
    ("MASSDENSITYUNIT", "kg/m³", &[("kg", 1), ("m", -3)]),
];

const FURTHER_DERIVED: &[Derived] = &[("MOMENTOFINERTIAUNIT", "mm⁴", &[("mm", 4)])];

/// The units of one model, each made once.
#[derive(Debug, Default)]
pub(super) struct Units {
    made: BTreeMap<&'static str, u64>,
}

impl Units {
    /// The assignment of units of the project.
    pub(super) fn assignment(&mut self, model: &mut Model) -> u64 {
        let symbols = PROJECT.iter().map(|unit| unit.3).chain(PROJECT_DERIVED.iter().map(|u| u.1));
        let units: Vec<_> = symbols.filter_map(|symbol| self.unit(model, symbol)).collect();
        model.add(Kind::UnitAssignment, [("Units", entities(units))])
    }

    /// The unit to be stated beside a value of a field that is in `unit`: none where it is the project's, or where
    /// IFC has no measure for it and the name of the property tells the unit.
    pub(super) fn stated(&mut self, model: &mut Model, unit: &Unit) -> Value<'static> {
        Measure::of_dimension(unit.dimension)
            .and_then(|_| {
                let further = FURTHER.iter().map(|one| one.3);
                let mut symbols = further.chain(FURTHER_DERIVED.iter().map(|one| one.1));
                let symbol = symbols.find(|symbol| *symbol == unit.symbol)?;
                self.unit(model, symbol)
            })
            .map_or(Value::Absent, entity)
    }

    fn unit(&mut self, model: &mut Model, symbol: &'static str) -> Option<u64> {
        if let Some(made) = self.made.get(symbol) {
            return Some(*made);
        }
        let simple = PROJECT.iter().chain(FURTHER).find(|unit| unit.3 == symbol);
        let number = if let Some((kind, prefix, name, _)) = simple {
            let prefix = prefix.map_or(Value::Absent, word);
            model.add(
                Kind::SiUnit,
                [("UnitType", word(kind)), ("Prefix", prefix), ("Name", word(name))],
            )
        } else {
            let derived = PROJECT_DERIVED.iter().chain(FURTHER_DERIVED);
            let (kind, _, of) = derived.into_iter().find(|unit| unit.1 == symbol)?;
            let mut elements = Vec::new();
            for (symbol, exponent) in *of {
                let unit = self.unit(model, symbol)?;
                elements.push(model.add(
                    Kind::DerivedUnitElement,
                    [("Unit", entity(unit)), ("Exponent", whole(*exponent))],
                ));
            }
            let of = [("Elements", entities(elements)), ("UnitType", word(kind))];
            model.add(Kind::DerivedUnit, of)
        };
        self.made.insert(symbol, number);
        Some(number)
    }
}

#[cfg(test)]
mod tests {
    use restrand_model::quantity::of_field;
    use restrand_model::reflect::{RecordInfo, Shape};
    use restrand_model::schedule::Schedule;

    use super::*;

    fn units(
        record: &'static RecordInfo,
        met: &mut Vec<&'static str>,
        symbols: &mut Vec<&'static Unit>,
    ) {
        if met.contains(&record.name) {
            return;
        }
        met.push(record.name);
        for field in record.fields {
            match field.shape {
                Shape::Number => symbols.extend(of_field(field.name).1),
                Shape::Record(inner) | Shape::Records(inner) => units(inner(), met, symbols),
                _ => {}
            }
        }
    }

    #[test]
    fn every_field_is_in_the_projects_unit_or_states_its_own() {
        let mut fields = Vec::new();
        units(Schedule::INFO, &mut Vec::new(), &mut fields);
        assert!(fields.len() > 100, "{}", fields.len());
        for unit in fields {
            if Measure::of_dimension(unit.dimension).is_none() {
                continue;
            }
            let of_project = PROJECT.iter().any(|one| one.3 == unit.symbol)
                || PROJECT_DERIVED.iter().any(|one| one.1 == unit.symbol);
            let stated = Units::default().stated(&mut Model::default(), unit);
            assert!(of_project != (stated != Value::Absent), "{}", unit.symbol);
        }
    }
}
