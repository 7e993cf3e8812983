//! In what the project states its quantities: factors, never names.

use restrand_model::quantity::Unit;

use super::model::{Found, Model};
use super::positions::Quick;
use crate::terms::Kind;
use crate::terms::measures::{MEASURES, Measure};
use crate::value::Entity;

/// Units that refer to each other in a chain; a foot by an inch by a metre has three.
const LONGEST: u32 = 16;

/// What the depth of a unit begins from that a derived one is made of: those are of named units only.
const DERIVED: u32 = 1000;

/// The factors of the project's units to coherent SI units, by the kind of unit.
#[derive(Debug, Default)]
pub(crate) struct Units {
    factors: Quick<String, f64>,
}

/// A unit of a project that states nothing usable.
pub(crate) struct BadUnit {
    pub(crate) at: Option<usize>,
    pub(crate) why: String,
}

impl Units {
    /// The units of a model's project, as far as they can be read.
    pub(crate) fn of_model(model: &dyn Model) -> Self {
        let project = (0..model.count()).find(|at| model.kind(*at) == Kind::Project);
        let stated = project.and_then(|at| model.entity(at).ok()).and_then(|project| {
            match model.find(project.get("UnitsInContext").reference()?) {
                Found::At(at) => model.entity(at).ok(),
                Found::Other | Found::Nothing => None,
            }
        });
        stated.map_or_else(Self::default, |assignment| Self::of(model, &assignment).0)
    }

    /// The units of the assignment at a position.
    pub(crate) fn of(model: &dyn Model, assignment: &Entity<'_>) -> (Self, Vec<BadUnit>) {
        let mut units = Self::default();
        let mut bad = Vec::new();
        for number in assignment.get("Units").references() {
            match model.find(number) {
                Found::At(at) => match unit_at(model, at, 0) {
                    Ok((Some(kind), factor)) => {
                        if units.factors.insert(kind.clone(), factor).is_some() {
                            let why = format!("the project states two units of the kind {kind}");
                            bad.push(BadUnit { at: Some(at), why });
                        }
                    }
                    Ok((None, _)) => {}
                    Err(why) => bad.push(BadUnit { at: Some(at), why }),
                },
                // A currency or another unit that no quantity of a schedule is in.
                Found::Other => {}
                Found::Nothing => {
                    let why = format!("{} is not defined", model.name(number));
                    bad.push(BadUnit { at: None, why });
                }
            }
        }
        units.derive();
        (units, bad)
    }

    /// What follows from units that are stated: a moment in newton metres where both are known is none of it, for
    /// an undeclared unit is not guessed. Only angles and times have a unit that IFC itself presumes.
    fn derive(&mut self) {
        self.factors.entry("PLANEANGLEUNIT".to_owned()).or_insert(1.0);
    }

    /// The units that are known, by their kind, with how many coherent SI units each is.
    pub(crate) fn stated(&self) -> Vec<(String, f64)> {
        let mut stated: Vec<_> =
            self.factors.iter().map(|(kind, factor)| (kind.clone(), *factor)).collect();
        stated.sort_by(|one, other| one.0.cmp(&other.0));
        stated
    }

    /// How many coherent SI units one unit of a measure is; nothing where the project does not state it.
    pub(crate) fn factor(&self, measure: &Measure) -> Option<f64> {
        self.factors.get(measure.unit).copied()
    }

    /// A number of a measure in the unit of a field.
    pub(crate) fn convert(&self, number: f64, measure: &Measure, field: &Unit) -> Option<f64> {
        Some(in_field(number, self.factor(measure)?, measure, field))
    }

    /// Metres of one unit of length; what has no unit is nowhere.
    pub(crate) fn metres(&self) -> Option<f64> {
        self.factor(&MEASURES[0])
    }

    /// Radians of one unit of angle.
    pub(crate) fn radians(&self) -> f64 {
        self.factors.get("PLANEANGLEUNIT").copied().unwrap_or(1.0)
    }
}

/// A number of a measure, whose unit is so many SI units, in the unit of a field.
pub(crate) fn in_field(number: f64, factor: f64, measure: &Measure, field: &Unit) -> f64 {
    /// What multiplying leaves of one.
    const NOISE: f64 = 1.0e-12;
    let ratio = factor * measure.si / field.factor;
    // In the unit of the field a number is what it says, to the last digit.
    if (ratio - 1.0).abs() < NOISE { number } else { tidy(number * ratio) }
}

/// A value without the noise that conversion and other programs' arithmetic leave.
///
/// ```text
/// 2849.9999999999995 → 2850
/// ```
pub(crate) fn tidy(value: f64) -> f64 {
    tidy_from(value, 0.0)
}

/// The same of a value that is left of numbers as great as this one.
pub(crate) fn tidy_from(value: f64, great: f64) -> f64 {
    /// Nine decimals: a millionth of a millimetre.
    const STEP: f64 = 1.0e9;
    /// Twelve digits hold what any drawing gives.
    const NOISE: f64 = 1.0e-12;
    let rounded = (value * STEP).round() / STEP;
    if (rounded - value).abs() <= NOISE * value.abs().max(great) { rounded } else { value }
}

/// The kind and the factor of the unit at a position.
pub(crate) fn unit_at(
    model: &dyn Model,
    at: usize,
    depth: u32,
) -> Result<(Option<String>, f64), String> {
    if depth % DERIVED > LONGEST {
        return Err("its units lead in a circle, or through too many others".to_owned());
    }
    let unit = model.entity(at)?;
    let kind = unit.get("UnitType").word().map(str::to_ascii_uppercase);
    let factor = match unit.kind {
        Kind::SiUnit => si(&unit)?,
        Kind::ConversionUnit | Kind::ConversionUnitWithOffset => {
            let measure = unit.get("ConversionFactor").reference();
            let measure = match measure.map(|number| model.find(number)) {
                Some(Found::At(at)) if model.kind(at) == Kind::MeasureWithUnit => {
                    model.entity(at)?
                }
                _ => return Err("it states no factor".to_owned()),
            };
            let number = measure.get("ValueComponent").number();
            let number = number.filter(|number| *number > 0.0);
            let number = number.ok_or("its factor is no number above zero")?;
            number * referred(model, &measure, "UnitComponent", depth)?
        }
        Kind::DerivedUnit => {
            let mut factor = 1.0;
            if depth >= DERIVED {
                return Err("it is derived from a unit that is derived itself".to_owned());
            }
            for element in unit.get("Elements").references() {
                let Found::At(at) = model.find(element) else {
                    return Err("one of its elements is missing".to_owned());
                };
                let element = model.entity(at)?;
                let exponent = element.get("Exponent").number();
                let exponent = exponent.filter(|exponent| exponent.abs() <= 9.0);
                let exponent = exponent.ok_or("one of its exponents is no small number")?;
                factor *= referred(model, &element, "Unit", depth + DERIVED)?.powf(exponent);
            }
            factor
        }
        _ => return Err(format!("{} is no unit that is read", unit.kind.name())),
    };
    if factor.is_finite() && factor > 0.0 {
        Ok((kind, factor))
    } else {
        Err("its factor is no number above zero".to_owned())
    }
}

fn referred(
    model: &dyn Model,
    entity: &Entity<'_>,
    attribute: &str,
    depth: u32,
) -> Result<f64, String> {
    match entity.get(attribute).reference().map(|number| model.find(number)) {
        Some(Found::At(at)) => Ok(unit_at(model, at, depth + 1)?.1),
        _ => Err("the unit that it refers to is missing, or is none that is read".to_owned()),
    }
}

/// Coherent SI units in one SI unit with its prefix.
fn si(unit: &Entity<'_>) -> Result<f64, String> {
    let prefix = match unit.get("Prefix").word() {
        None => 1.0,
        Some(prefix) => {
            let known = PREFIXES.iter().find(|(name, _)| name.eq_ignore_ascii_case(prefix));
            known.ok_or_else(|| format!("{prefix} is no prefix"))?.1
        }
    };
    let name = unit.get("Name").word().unwrap_or_default();
    let kind = unit.get("UnitType").word().unwrap_or_default();
    if let Some((_, needed)) = NAMES.iter().find(|(known, _)| known.eq_ignore_ascii_case(kind))
        && !needed.eq_ignore_ascii_case(name)
    {
        return Err(format!("a {kind} is no {name}, but a {needed}"));
    }
    let is = |known: &str| name.eq_ignore_ascii_case(known);
    Ok(if is("SQUARE_METRE") {
        // The prefix belongs to the metre: a square of millimetres.
        prefix * prefix
    } else if is("CUBIC_METRE") {
        prefix * prefix * prefix
    } else if is("GRAM") {
        prefix * 1.0e-3
    } else if name.is_empty() {
        return Err("it has no name".to_owned());
    } else {
        prefix
    })
}

/// The SI unit of each kind, as the rule CorrectUnitAssignment of IFC 4.3 has it (from memory).
pub(crate) const NAMES: &[(&str, &str)] = &[
    ("LENGTHUNIT", "METRE"),
    ("AREAUNIT", "SQUARE_METRE"),
    ("VOLUMEUNIT", "CUBIC_METRE"),
    ("FORCEUNIT", "NEWTON"),
    ("PRESSUREUNIT", "PASCAL"),
    ("MASSUNIT", "GRAM"),
    ("TIMEUNIT", "SECOND"),
    ("PLANEANGLEUNIT", "RADIAN"),
    ("FREQUENCYUNIT", "HERTZ"),
    ("ENERGYUNIT", "JOULE"),
];

/// ISO 80000-1, table of prefixes (from memory).
const PREFIXES: &[(&str, f64)] = &[
    ("EXA", 1.0e18),
    ("PETA", 1.0e15),
    ("TERA", 1.0e12),
    ("GIGA", 1.0e9),
    ("MEGA", 1.0e6),
    ("KILO", 1.0e3),
    ("HECTO", 1.0e2),
    ("DECA", 1.0e1),
    ("DECI", 1.0e-1),
    ("CENTI", 1.0e-2),
    ("MILLI", 1.0e-3),
    ("MICRO", 1.0e-6),
    ("NANO", 1.0e-9),
    ("PICO", 1.0e-12),
    ("FEMTO", 1.0e-15),
    ("ATTO", 1.0e-18),
];
