//! Measures: in which type of IFC a value is stated, and in which unit of the project it is.

use crate::quantity::{Dimension, Unit, of_field};
use crate::reflect::{FieldInfo, Range, Shape};

/// A quantity as IFC knows it.
#[derive(Debug, PartialEq)]
pub struct Measure {
    /// The type of its values.
    pub name: &'static str,
    /// Other types whose values are in the same unit.
    pub others: &'static [&'static str],
    /// What it measures.
    pub dimension: Dimension,
    /// The kind of unit by which the project states in what its values are.
    pub unit: &'static str,
    /// One coherent SI unit of it (metre, newton, pascal, …) in the base unit of its dimension in
    /// [`crate::quantity`].
    pub si: f64,
}

/// The measures that a schedule has; the first of a dimension is the one that is written.
pub static MEASURES: &[Measure] = &[
    measure(Dimension::Length, "IfcLengthMeasure", LENGTHS, "LENGTHUNIT", 1000.0),
    measure(Dimension::Area, "IfcAreaMeasure", &[], "AREAUNIT", 1.0e6),
    measure(
        Dimension::SecondMoment,
        "IfcMomentOfInertiaMeasure",
        &[],
        "MOMENTOFINERTIAUNIT",
        1.0e12,
    ),
    measure(Dimension::Force, "IfcForceMeasure", &[], "FORCEUNIT", 1.0e-3),
    measure(Dimension::Moment, "IfcTorqueMeasure", &[], "TORQUEUNIT", 1.0e-3),
    measure(Dimension::Stress, "IfcPressureMeasure", &[], "PRESSUREUNIT", 1.0e-6),
    measure(
        Dimension::Stress,
        "IfcModulusOfElasticityMeasure",
        &[],
        "MODULUSOFELASTICITYUNIT",
        1.0e-6,
    ),
    measure(Dimension::Mass, "IfcMassMeasure", &[], "MASSUNIT", 1.0),
    measure(Dimension::LinearMass, "IfcMassPerLengthMeasure", &[], "MASSPERLENGTHUNIT", 1.0),
    measure(Dimension::Density, "IfcMassDensityMeasure", &[], "MASSDENSITYUNIT", 1.0),
    measure(
        Dimension::Angle,
        "IfcPlaneAngleMeasure",
        &["IfcPositivePlaneAngleMeasure"],
        "PLANEANGLEUNIT",
        1.0,
    ),
    measure(Dimension::Volume, "IfcVolumeMeasure", &[], "VOLUMEUNIT", 1000.0),
    measure(Dimension::Energy, "IfcEnergyMeasure", &[], "ENERGYUNIT", 1.0e-3),
    measure(Dimension::Frequency, "IfcFrequencyMeasure", &[], "FREQUENCYUNIT", 1.0),
    measure(Dimension::Time, "IfcTimeMeasure", &[], "TIMEUNIT", 1.0),
];

const LENGTHS: &[&str] = &["IfcPositiveLengthMeasure", "IfcNonNegativeLengthMeasure"];

const fn measure(
    dimension: Dimension,
    name: &'static str,
    others: &'static [&'static str],
    unit: &'static str,
    si: f64,
) -> Measure {
    Measure { name, others, dimension, unit, si }
}

impl Measure {
    /// The measure in which a dimension is written; nothing where IFC has none for it.
    #[must_use]
    pub fn of_dimension(dimension: Dimension) -> Option<&'static Self> {
        MEASURES.iter().find(|measure| measure.dimension == dimension)
    }

    /// A number in this unit of the measure's dimension, in the coherent SI unit.
    ///
    /// ```
    /// use restrand_model::ifc::measures::Measure;
    /// use restrand_model::quantity::of_field;
    /// let unit = of_field("behind_mm").1.unwrap();
    /// assert_eq!(Measure::of_dimension(unit.dimension).unwrap().to_si(1265.0, unit), 1.265);
    /// ```
    #[must_use]
    pub fn to_si(&self, value: f64, unit: &Unit) -> f64 {
        let (value, si) = (value * unit.factor, self.si);
        // A factor below one is no short number, but what it stands for is: kilonewtons are thousands of newtons.
        if si < 1.0 { value * (1.0 / si).round() } else { value / si }
    }

    /// The measure whose values have a type of this name, in any case.
    #[must_use]
    pub fn of_type(name: &str) -> Option<&'static Self> {
        let is = |known: &&str| known.eq_ignore_ascii_case(name);
        MEASURES.iter().find(|measure| is(&measure.name) || measure.others.iter().any(is))
    }
}

/// The type of IFC in which the values of a field are stated; nothing for records, which are no values.
///
/// A quantity for which IFC has no measure is an `IfcReal`, in the unit of the field's name.
///
/// ```
/// use restrand_model::ifc::measures::type_of;
/// use restrand_model::schedule::{RemovalSpace, Stressing};
/// assert_eq!(type_of(RemovalSpace::INFO.field("behind_mm").unwrap()), Some("IfcLengthMeasure"));
/// assert_eq!(type_of(Stressing::INFO.field("wobble_per_m").unwrap()), Some("IfcReal"));
/// ```
#[must_use]
pub fn type_of(field: &FieldInfo) -> Option<&'static str> {
    Some(match field.shape {
        Shape::Number => match of_field(field.name).1 {
            Some(unit) => Measure::of_dimension(unit.dimension).map_or("IfcReal", |m| m.name),
            None if field.range == Range::Share => "IfcNormalisedRatioMeasure",
            None => "IfcReal",
        },
        Shape::Count | Shape::Counts => "IfcInteger",
        Shape::Flag => "IfcBoolean",
        Shape::Date => "IfcDate",
        // A label holds 255 characters, which a remark may pass.
        Shape::Text | Shape::Texts => "IfcText",
        Shape::Choice(_) | Shape::Choices(_) | Shape::Link(_) | Shape::Links(_) => "IfcLabel",
        Shape::Record(_) | Shape::Records(_) => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The base of each dimension against the coherent SI unit, by the model's own table of units.
    #[test]
    fn one_si_unit_is_what_the_table_of_units_says() {
        for (dimension, symbol) in [
            (Dimension::Length, "m"),
            (Dimension::Area, "m²"),
            (Dimension::SecondMoment, "m⁴"),
            (Dimension::Force, "N"),
            (Dimension::Mass, "kg"),
            (Dimension::LinearMass, "kg/m"),
            (Dimension::Density, "kg/m³"),
            (Dimension::Angle, "rad"),
            (Dimension::Volume, "m³"),
            (Dimension::Energy, "J"),
            (Dimension::Time, "s"),
            (Dimension::Frequency, "Hz"),
        ] {
            let unit = Unit::find(symbol, dimension).unwrap();
            let measure = Measure::of_dimension(dimension).unwrap();
            assert!((unit.factor / measure.si - 1.0).abs() < 1e-12, "{symbol}");
        }
    }
}
