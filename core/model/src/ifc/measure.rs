//! The measures of IFC, and its SI units: metre, newton, pascal, kilogram, kelvin.

use crate::quantity::{Dimension, Unit, of_field};
use crate::reflect::{FieldInfo, Range, Shape};

/// How the value of a field is written in a model.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measure {
    /// The type of the value, as `IfcPositiveLengthMeasure`.
    pub name: &'static str,
    /// Whether the property holds a list of such values.
    pub list: bool,
    /// The unit of the field.
    unit: Option<&'static Unit>,
    /// How a number of the dimension's base unit becomes one of the SI unit.
    scale: Scale,
}

/// From the base unit of a dimension to the SI unit; divisions keep short numbers short.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Scale {
    Times(f64),
    Over(f64),
    Plus(f64),
}

const SAME: Scale = Scale::Times(1.0);

impl Measure {
    /// A number in the unit of the field as one in the SI unit.
    ///
    /// ```
    /// use restrand_model::ifc::property_of;
    /// let behind = property_of("removal_space", "behind_mm").unwrap();
    /// assert_eq!(behind.measure.to_si(1265.0), 1.265);
    /// ```
    #[must_use]
    pub fn to_si(&self, value: f64) -> f64 {
        let base = self.unit.map_or(value, |unit| value * unit.factor + unit.offset);
        match self.scale {
            Scale::Times(by) => base * by,
            Scale::Over(by) => base / by,
            Scale::Plus(zero) => base + zero,
        }
    }

    /// A number in the SI unit as one in the unit of the field.
    #[must_use]
    pub fn of_si(&self, value: f64) -> f64 {
        let base = match self.scale {
            Scale::Times(by) => value / by,
            Scale::Over(by) => value * by,
            Scale::Plus(zero) => value - zero,
        };
        self.unit.map_or(base, |unit| (base - unit.offset) / unit.factor)
    }
}

/// How the value of this field is written; none for records, and for what IFC has no measure of.
#[must_use]
pub fn measure_of(field: &FieldInfo) -> Option<Measure> {
    let plain = |name, list| Some(Measure { name, list, unit: None, scale: SAME });
    match field.shape {
        Shape::Number => {
            let unit = of_field(field.name).1;
            let (name, scale) = match unit {
                Some(unit) => of_dimension(unit.dimension, field.range)?,
                None => (ratio(field.range), SAME),
            };
            Some(Measure { name, list: false, unit, scale })
        }
        Shape::Count => plain("IfcInteger", false),
        Shape::Counts => plain("IfcInteger", true),
        Shape::Flag => plain("IfcBoolean", false),
        Shape::Text => plain("IfcText", false),
        Shape::Texts => plain("IfcText", true),
        Shape::Date => plain("IfcDate", false),
        Shape::Choice(_) | Shape::Link(_) => plain("IfcLabel", false),
        Shape::Choices(_) | Shape::Links(_) => plain("IfcLabel", true),
        Shape::Record(_) | Shape::Records(_) => None,
    }
}

const fn ratio(range: Range) -> &'static str {
    match range {
        Range::Positive => "IfcPositiveRatioMeasure",
        Range::Share => "IfcNormalisedRatioMeasure",
        Range::NotNegative | Range::Signed => "IfcRatioMeasure",
    }
}

const fn of_dimension(dimension: Dimension, range: Range) -> Option<(&'static str, Scale)> {
    Some(match dimension {
        Dimension::Length => {
            let name = match range {
                Range::Positive => "IfcPositiveLengthMeasure",
                Range::NotNegative => "IfcNonNegativeLengthMeasure",
                Range::Signed | Range::Share => "IfcLengthMeasure",
            };
            (name, Scale::Over(1000.0))
        }
        Dimension::Angle => ("IfcPlaneAngleMeasure", SAME),
        Dimension::Area => ("IfcAreaMeasure", Scale::Over(1e6)),
        Dimension::Volume => ("IfcVolumeMeasure", Scale::Over(1000.0)),
        Dimension::SecondMoment => ("IfcMomentOfInertiaMeasure", Scale::Over(1e12)),
        Dimension::Force => ("IfcForceMeasure", Scale::Times(1000.0)),
        Dimension::Moment => ("IfcTorqueMeasure", Scale::Times(1000.0)),
        Dimension::Stress => ("IfcPressureMeasure", Scale::Times(1e6)),
        Dimension::Mass => ("IfcMassMeasure", SAME),
        Dimension::LinearMass => ("IfcMassPerLengthMeasure", SAME),
        Dimension::Density => ("IfcMassDensityMeasure", SAME),
        Dimension::AnglePerLength => ("IfcCurvatureMeasure", SAME),
        Dimension::Energy => ("IfcEnergyMeasure", Scale::Times(1000.0)),
        Dimension::Frequency => ("IfcFrequencyMeasure", SAME),
        Dimension::Time => ("IfcTimeMeasure", SAME),
        Dimension::Temperature => ("IfcThermodynamicTemperatureMeasure", Scale::Plus(273.15)),
        Dimension::BendingStiffness | Dimension::PerLength => return None,
    })
}
