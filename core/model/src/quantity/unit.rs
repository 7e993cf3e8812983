//! The one table of units.
//!
//! Factors are those of NIST Special Publication 811 (2008), appendix B (from memory); the inch, the foot,
//! the pound and the standard acceleration of gravity are exact by definition.

use std::fmt;
use std::sync::OnceLock;

/// The two systems in which people write and read schedules.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum System {
    /// Millimetres, metres, kilonewtons, megapascals.
    #[default]
    Si,
    /// Inches, feet, kips, ksi.
    Us,
}

/// What a unit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dimension {
    /// A length.
    Length,
    /// An area.
    Area,
    /// A second moment of area.
    SecondMoment,
    /// A force.
    Force,
    /// A bending moment.
    Moment,
    /// A bending stiffness, E times I.
    BendingStiffness,
    /// A stress or a pressure.
    Stress,
    /// A mass.
    Mass,
    /// A mass for each length.
    LinearMass,
    /// A mass for each volume.
    Density,
    /// A plane angle.
    Angle,
    /// Something for each length, as the wobble coefficient K.
    PerLength,
    /// An angle for each length, as the wobble coefficient k.
    AnglePerLength,
    /// A volume.
    Volume,
    /// An energy.
    Energy,
    /// A frequency.
    Frequency,
    /// A time.
    Time,
    /// A temperature.
    Temperature,
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Length => "a length",
            Self::Area => "an area",
            Self::SecondMoment => "a second moment of area",
            Self::Force => "a force",
            Self::Moment => "a moment",
            Self::BendingStiffness => "a bending stiffness",
            Self::Stress => "a stress",
            Self::Mass => "a mass",
            Self::LinearMass => "a mass for each length",
            Self::Density => "a mass for each volume",
            Self::Angle => "an angle",
            Self::PerLength => "a number for each length",
            Self::AnglePerLength => "an angle for each length",
            Self::Volume => "a volume",
            Self::Energy => "an energy",
            Self::Frequency => "a frequency",
            Self::Time => "a time",
            Self::Temperature => "a temperature",
        })
    }
}

/// A unit of measurement.
#[derive(Debug, PartialEq)]
pub struct Unit {
    /// How restrand writes the unit.
    pub symbol: &'static str,
    /// Other spellings, in lower case.
    pub spellings: &'static [&'static str],
    /// What it measures.
    pub dimension: Dimension,
    /// How many base units of the dimension one of this unit is.
    pub factor: f64,
    /// The base value at zero of this unit (temperatures only).
    pub offset: f64,
}

impl Unit {
    const fn new(
        dimension: Dimension,
        symbol: &'static str,
        spellings: &'static [&'static str],
        factor: f64,
    ) -> Self {
        Self { symbol, spellings, dimension, factor, offset: 0.0 }
    }

    /// The unit of this dimension that people write as `symbol`, whatever its case.
    #[must_use]
    pub fn find(symbol: &str, dimension: Dimension) -> Option<&'static Self> {
        let spelling: String = plain(symbol).collect();
        UNITS.iter().find(|unit| unit.dimension == dimension && unit.is_written(&spelling))
    }

    /// Any unit that people write as `symbol`, whatever it measures.
    #[must_use]
    pub fn find_any(symbol: &str) -> Option<&'static Self> {
        let spelling: String = plain(symbol).collect();
        UNITS.iter().find(|unit| unit.is_written(&spelling))
    }

    /// The units that people may mean by `symbol` where it has no meaning of its own, as by `ton`.
    #[must_use]
    pub fn meant_by(symbol: &str, dimension: Dimension) -> Vec<&'static Self> {
        let spelling: String = plain(symbol).collect();
        UNCLEAR
            .iter()
            .filter(|(spellings, of, _)| *of == dimension && spellings.contains(&&*spelling))
            .flat_map(|(_, _, symbols)| symbols.iter())
            .filter_map(|symbol| Self::find(symbol, dimension))
            .collect()
    }

    /// The unit with what one of it is in the base unit of its dimension: `tf (9.80665 kN)`.
    #[must_use]
    pub fn in_words(&self) -> String {
        let base = UNITS.iter().find(|unit| unit.dimension == self.dimension);
        match base {
            Some(base) => {
                format!("{} ({} {})", self.symbol, super::shortest(self.factor), base.symbol)
            }
            None => self.symbol.to_owned(),
        }
    }

    /// Every unit of this dimension.
    pub fn all_of(dimension: Dimension) -> impl Iterator<Item = &'static Self> {
        UNITS.iter().filter(move |unit| unit.dimension == dimension)
    }

    /// Whether it is feet and inches in one, under which a bare number can mean either.
    #[must_use]
    pub fn is_feet_and_inches(&self) -> bool {
        self.symbol == "ft-in"
    }

    /// Whether lengths in it are counted in feet.
    #[must_use]
    pub fn is_in_feet(&self) -> bool {
        matches!(self.symbol, "ft" | "ft-in")
    }

    fn is_written(&self, spelling: &str) -> bool {
        plain(self.symbol).eq(spelling.chars()) || self.spellings.contains(&spelling)
    }

    /// Converts a value in this unit to one in `other`, which measures the same.
    ///
    /// ```
    /// use restrand_model::{Dimension, Unit};
    /// let inch = Unit::find("in", Dimension::Length).unwrap();
    /// let millimetre = Unit::find("mm", Dimension::Length).unwrap();
    /// assert_eq!(inch.convert(18.0, millimetre), 457.2);
    /// ```
    #[must_use]
    pub fn convert(&self, value: f64, other: &Self) -> f64 {
        debug_assert_eq!(self.dimension, other.dimension);
        #[expect(clippy::float_cmp, reason = "the same row of the table, not a computed value")]
        if self.factor == other.factor && self.offset == other.offset {
            value
        } else {
            (value * self.factor + self.offset - other.offset) / other.factor
        }
    }

    /// The value in this unit that stands for `value` in `other`, with the few digits with which it was typed
    /// where these say the same.
    ///
    /// ```
    /// use restrand_model::{Dimension, Unit};
    /// let inch = Unit::find("in", Dimension::Length).unwrap();
    /// let millimetre = Unit::find("mm", Dimension::Length).unwrap();
    /// assert_eq!(inch.typed(inch.convert(23.62, millimetre), millimetre), 23.62);
    /// ```
    #[must_use]
    pub fn typed(&self, value: f64, other: &Self) -> f64 {
        /// Digits behind the first: what people type, and what every decimal keeps in a float.
        const DIGITS: [usize; 2] = [9, 14];
        let converted = other.convert(value, self);
        #[expect(clippy::float_cmp, reason = "only a number that says the very same will do")]
        DIGITS
            .iter()
            .filter_map(|digits| format!("{converted:.digits$e}").parse::<f64>().ok())
            .chain([converted, converted.next_up(), converted.next_down()])
            .find(|typed| self.convert(*typed, other) == value)
            .unwrap_or(converted)
    }

    /// The unit in which people of `system` read the value of this name: gauges and filler in customary units are in psi, not ksi;
    /// angles are read in degrees in both.
    ///
    /// ```
    /// use restrand_model::{Dimension, System, Unit};
    /// let rad = Unit::find("rad", Dimension::Angle).unwrap();
    /// assert_eq!(rad.for_reader("bend_rad", System::Si).symbol, "deg");
    /// let mpa = Unit::find("MPa", Dimension::Stress).unwrap();
    /// assert_eq!(mpa.for_reader("gauge_mpa", System::Us).symbol, "psi");
    /// assert_eq!(mpa.for_reader("computed_gauge_mpa", System::Us).symbol, "psi");
    /// assert_eq!(mpa.for_reader("injection_pressure_most_mpa", System::Us).symbol, "psi");
    /// assert_eq!(mpa.for_reader("stress_mpa", System::Us).symbol, "ksi");
    /// ```
    #[must_use]
    pub fn for_reader(&'static self, name: &str, system: System) -> &'static Self {
        let is_gauge = name.contains("gauge")
            || ["inlet_pressure", "injection_pressure"].iter().any(|of| name.starts_with(of));
        match Self::find("psi", self.dimension) {
            Some(psi) if is_gauge && system == System::Us => psi,
            _ if self.symbol == "rad" => Self::find("deg", self.dimension).unwrap_or(self),
            _ => self.in_system(system),
        }
    }

    /// The unit in which people of `system` read a value whose field is in this unit.
    #[must_use]
    pub fn in_system(&'static self, system: System) -> &'static Self {
        let symbol = match system {
            System::Si => return self,
            System::Us => match self.symbol {
                "mm" => "in",
                "m" => "ft",
                "mm²" => "in²",
                "mm⁴" => "in⁴",
                "m²" => "ft²",
                "m⁴" => "ft⁴",
                "kN" => "kip",
                "kNm" => "kip-ft",
                "kNm²" => "kip-ft²",
                "MPa" => "ksi",
                "kg" => "lb",
                "kg/m" => "lb/ft",
                "kg/m³" => "lb/ft³",
                "1/m" => "1/ft",
                "rad/m" => "rad/ft",
                "l" => "gal",
                "kJ" => "kip-ft",
                "°C" => "°F",
                _ => return self,
            },
        };
        Self::find(symbol, self.dimension).unwrap_or(self)
    }
}

/// Lower case, one way to write powers, dots and spaces.
fn plain(symbol: &str) -> impl Iterator<Item = char> {
    let one = |letter| match letter {
        '²' => Some('2'),
        '³' => Some('3'),
        '⁴' => Some('4'),
        '·' | '∙' | '⋅' | '*' => Some('-'),
        '^' | ' ' | '\u{a0}' | '.' => None,
        '″' | '”' => Some('"'),
        '′' | '’' => Some('\''),
        _ => Some(letter),
    };
    symbol.trim().chars().filter_map(one).flat_map(char::to_lowercase)
}

use Dimension as D;

/// Spellings that people use for several units of one dimension.
const UNCLEAR: &[(&[&str], Dimension, &[&str])] = &[
    (&["t", "ton", "tons", "tonf", "tonsf"], D::Force, &["tf", "US tonf", "UK tonf"]),
    (&["ton", "tons"], D::Mass, &["t", "US ton", "UK ton"]),
];

/// Foot in millimetres.
const FOOT: f64 = 304.8;
/// Inch in millimetres.
const INCH: f64 = 25.4;
/// Pound-force in kilonewtons: 0.453 592 37 kg times 9.806 65 m/s².
const POUND_FORCE: f64 = 0.004_448_221_615_260_5;
/// Kip in kilonewtons.
const KIP: f64 = 4.448_221_615_260_5;
/// Pound in kilograms.
const POUND: f64 = 0.453_592_37;

/// Every unit that is read; the first of a dimension whose factor is 1 is its base.
static UNITS: &[Unit] = &[
    Unit::new(D::Length, "mm", &["millimetre", "millimetres", "millimeter", "millimeters"], 1.0),
    Unit::new(D::Length, "m", &["metre", "metres", "meter", "meters"], 1000.0),
    Unit::new(D::Length, "cm", &["centimetre", "centimetres", "centimeter", "centimeters"], 10.0),
    Unit::new(D::Length, "km", &["kilometre", "kilometres", "kilometer", "kilometers"], 1.0e6),
    Unit::new(D::Length, "in", &["inch", "inches", "\"", "''", "ins"], INCH),
    Unit::new(D::Length, "ft", &["foot", "feet", "'"], FOOT),
    // Feet and inches in one cell: a bare number under it can mean either.
    Unit::new(D::Length, "ft-in", &["ftin", "feet-inches", "feet-in", "ft+in"], FOOT),
    Unit::new(D::Area, "mm²", &["sqmm"], 1.0),
    Unit::new(D::Area, "cm²", &["sqcm"], 100.0),
    Unit::new(D::Area, "m²", &["sqm"], 1.0e6),
    Unit::new(D::Area, "in²", &["sqin"], INCH * INCH),
    Unit::new(D::Area, "ft²", &["sqft"], FOOT * FOOT),
    Unit::new(D::SecondMoment, "mm⁴", &[], 1.0),
    Unit::new(D::SecondMoment, "m⁴", &[], 1.0e12),
    Unit::new(D::SecondMoment, "in⁴", &[], INCH * INCH * INCH * INCH),
    Unit::new(D::SecondMoment, "ft⁴", &[], FOOT * FOOT * FOOT * FOOT),
    Unit::new(D::Force, "kN", &[], 1.0),
    Unit::new(D::Force, "N", &["newton"], 0.001),
    Unit::new(D::Force, "MN", &[], 1000.0),
    Unit::new(D::Force, "kip", &["kips", "k"], KIP),
    Unit::new(D::Force, "lbf", &["lb", "lbs"], POUND_FORCE),
    Unit::new(
        D::Force,
        "tf",
        &["metricton", "metrictons", "metrictonf", "tonne", "tonnes", "tonneforce", "tonne-force"],
        9.806_65,
    ),
    Unit::new(D::Force, "US tonf", &["shortton", "shorttons", "shorttonf"], 2.0 * KIP),
    Unit::new(D::Force, "UK tonf", &["longton", "longtons", "longtonf"], 2.24 * KIP),
    Unit::new(D::Force, "kgf", &[], 0.009_806_65),
    Unit::new(D::Moment, "kNm", &["kn-m"], 1.0),
    Unit::new(
        D::Moment,
        "kip-ft",
        &["kipft", "k-ft", "ft-kip", "ft-kips", "kip-feet"],
        KIP * 0.3048,
    ),
    Unit::new(D::Moment, "kip-in", &["kipin", "k-in", "in-kip"], KIP * 0.0254),
    Unit::new(D::BendingStiffness, "kNm²", &["kn-m2"], 1.0),
    Unit::new(D::BendingStiffness, "kip-ft²", &["kipft2", "k-ft2"], KIP * 0.3048 * 0.3048),
    Unit::new(D::BendingStiffness, "kip-in²", &["kipin2", "k-in2"], KIP * 0.0254 * 0.0254),
    Unit::new(D::Stress, "MPa", &["n/mm2", "mn/m2"], 1.0),
    Unit::new(D::Stress, "GPa", &["kn/mm2"], 1000.0),
    Unit::new(D::Stress, "kPa", &["kn/m2"], 0.001),
    Unit::new(D::Stress, "bar", &["bars"], 0.1),
    Unit::new(D::Stress, "kgf/cm²", &["kg/cm2"], 0.098_066_5),
    Unit::new(D::Stress, "ksi", &[], KIP * 1000.0 / (INCH * INCH)),
    Unit::new(D::Stress, "psi", &[], KIP / (INCH * INCH)),
    Unit::new(D::Mass, "kg", &["kilogram", "kilograms"], 1.0),
    Unit::new(D::Mass, "t", &["tonne", "tonnes"], 1000.0),
    Unit::new(D::Mass, "US ton", &["shortton", "shorttons"], 2000.0 * POUND),
    Unit::new(D::Mass, "UK ton", &["longton", "longtons"], 2240.0 * POUND),
    Unit::new(D::Mass, "lb", &["lbs", "pound", "pounds"], POUND),
    Unit::new(D::LinearMass, "kg/m", &[], 1.0),
    Unit::new(D::LinearMass, "lb/ft", &["lbs/ft", "plf"], POUND / 0.3048),
    Unit::new(D::Density, "kg/m³", &[], 1.0),
    Unit::new(D::Density, "lb/ft³", &["pcf"], POUND / (0.3048 * 0.3048 * 0.3048)),
    Unit::new(D::Angle, "rad", &["radian", "radians"], 1.0),
    Unit::new(D::Angle, "mrad", &[], 0.001),
    Unit::new(D::Angle, "deg", &["°", "degree", "degrees"], std::f64::consts::PI / 180.0),
    Unit::new(D::PerLength, "1/m", &["/m", "m-1", "perm"], 1.0),
    Unit::new(D::PerLength, "1/ft", &["/ft", "ft-1", "perft"], 1.0 / 0.3048),
    Unit::new(D::AnglePerLength, "rad/m", &[], 1.0),
    Unit::new(D::AnglePerLength, "rad/ft", &[], 1.0 / 0.3048),
    Unit::new(D::AnglePerLength, "deg/m", &["°/m"], std::f64::consts::PI / 180.0),
    Unit::new(D::Volume, "l", &["litre", "litres", "liter", "liters", "dm3"], 1.0),
    Unit::new(D::Volume, "m³", &["cum"], 1000.0),
    Unit::new(D::Volume, "gal", &["usgal", "gallon", "gallons"], 3.785_411_784),
    Unit::new(D::Volume, "ft³", &["cuft"], 28.316_846_592),
    Unit::new(D::Energy, "kJ", &["kn-m", "knm"], 1.0),
    Unit::new(D::Energy, "J", &["joule"], 0.001),
    Unit::new(D::Energy, "kip-ft", &["kipft", "k-ft", "ft-kip"], KIP * 0.3048),
    Unit::new(D::Frequency, "Hz", &[], 1.0),
    Unit::new(D::Time, "s", &["sec", "second", "seconds"], 1.0),
    Unit::new(D::Time, "min", &["minute", "minutes"], 60.0),
    Unit::new(D::Time, "h", &["hr", "hour", "hours"], 3600.0),
    Unit::new(D::Temperature, "°C", &["c", "celsius", "degc"], 1.0),
    Unit {
        symbol: "°F",
        spellings: &["f", "fahrenheit", "degf"],
        dimension: D::Temperature,
        factor: 5.0 / 9.0,
        offset: -160.0 / 9.0,
    },
];

/// The endings of field names and the units they stand for, longer endings first.
const ENDINGS: &[(&str, &str, Dimension)] = &[
    ("_kg_per_m3", "kg/m³", D::Density),
    ("_kg_per_m", "kg/m", D::LinearMass),
    ("_rad_per_m", "rad/m", D::AnglePerLength),
    ("_per_m", "1/m", D::PerLength),
    ("_celsius", "°C", D::Temperature),
    ("_knm2", "kNm²", D::BendingStiffness),
    ("_knm", "kNm", D::Moment),
    ("_mm2", "mm²", D::Area),
    ("_mm4", "mm⁴", D::SecondMoment),
    ("_mpa", "MPa", D::Stress),
    ("_rad", "rad", D::Angle),
    ("_kn", "kN", D::Force),
    ("_mm", "mm", D::Length),
    ("_m2", "m²", D::Area),
    ("_m4", "m⁴", D::SecondMoment),
    ("_kg", "kg", D::Mass),
    ("_kj", "kJ", D::Energy),
    ("_hz", "Hz", D::Frequency),
    ("_m", "m", D::Length),
    ("_l", "l", D::Volume),
    ("_s", "s", D::Time),
];

/// The name of a field without the ending that says its unit, and the unit; a ratio or a count has none.
///
/// ```
/// use restrand_model::quantity::of_field;
/// let (stem, unit) = of_field("behind_mm");
/// assert_eq!((stem, unit.unwrap().symbol), ("behind", "mm"));
/// assert_eq!(of_field("dimension_ratio"), ("dimension_ratio", None));
/// ```
#[must_use]
pub fn of_field(name: &str) -> (&str, Option<&'static Unit>) {
    // Fields are asked for once for each value of a file, and most have no unit or end as the last of many endings.
    static KNOWN: OnceLock<Vec<(&str, Option<&Unit>)>> = OnceLock::new();
    let known = KNOWN.get_or_init(|| {
        let unit = |symbol, dimension| {
            UNITS.iter().find(|unit| unit.dimension == dimension && unit.symbol == symbol)
        };
        ENDINGS.iter().map(|(ending, symbol, of)| (*ending, unit(*symbol, *of))).collect()
    });
    let found = known.iter().find_map(|(ending, unit)| Some((name.strip_suffix(ending)?, *unit)));
    found.unwrap_or((name, None))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_ending_names_a_unit_of_the_table() {
        for (ending, symbol, dimension) in ENDINGS {
            assert!(Unit::find(symbol, *dimension).is_some(), "{ending}");
            let unit = of_field(&format!("x{ending}")).1.unwrap();
            assert_eq!(unit.symbol, *symbol);
        }
    }

    #[test]
    fn every_unit_has_a_unit_in_both_systems_that_measures_the_same() {
        for unit in UNITS {
            for system in [System::Si, System::Us] {
                assert_eq!(unit.in_system(system).dimension, unit.dimension);
            }
        }
    }

    #[test]
    fn no_spelling_means_two_units_of_one_dimension() {
        for (index, unit) in UNITS.iter().enumerate() {
            for other in &UNITS[index + 1..] {
                if unit.dimension != other.dimension || unit.symbol == "ft" {
                    continue;
                }
                assert!(!plain(unit.symbol).eq(plain(other.symbol)));
                assert!(
                    !unit.spellings.iter().any(|s| other.is_written(s)),
                    "{} and {}",
                    unit.symbol,
                    other.symbol
                );
            }
        }
    }

    /// NIST Special Publication 811 (2008), appendix B.8 (from memory): the printed factors, with their
    /// printed digits.
    #[test]
    fn factors_agree_with_nist_sp_811() {
        let factor = |symbol, dimension| Unit::find(symbol, dimension).unwrap().factor;
        for (symbol, dimension, printed, digits) in [
            ("kip", D::Force, 4.448_222, 6),
            ("tf", D::Force, 9.806_65, 5),
            ("ksi", D::Stress, 6.894_757, 6),
            ("psi", D::Stress, 6.894_757e-3, 9),
            ("lb/ft", D::LinearMass, 1.488_164, 6),
            ("lb", D::Mass, 0.453_592_4, 7),
            ("gal", D::Volume, 3.785_412, 6),
            ("ft³", D::Volume, 28.316_85, 5),
            ("kip-ft", D::Moment, 1.355_818, 6),
            ("in²", D::Area, 645.16, 2),
        ] {
            let half_a_unit = 0.5 * 10f64.powi(-digits);
            assert!((factor(symbol, dimension) - printed).abs() <= half_a_unit, "{symbol}");
        }
        let fahrenheit = Unit::find("°F", D::Temperature).unwrap();
        let celsius = Unit::find("°C", D::Temperature).unwrap();
        assert!((fahrenheit.convert(212.0, celsius) - 100.0).abs() < 1e-9);
        assert!((celsius.convert(0.0, fahrenheit) - 32.0).abs() < 1e-9);
    }
}
