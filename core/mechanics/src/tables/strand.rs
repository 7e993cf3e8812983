//! Standard seven-wire strands of the inch and of the metric series.
//!
//! The series are kept apart: the inch values are not the metric ones converted, and ASTM A416/A416M says so itself.
//! What a project states may differ from a table; saying so is a rule's work.

use super::Evidence;
use crate::misfit::{Argument, Misfit, positive};

/// How far a stated diameter may be from a nominal one and still name the same strand.
///
/// Neighbouring sizes of one series are 0.4 mm apart (12.5 and 12.9, 15.3 and 15.7), so a rightly stated size never takes in its neighbour,
/// while the trade's rounded names (13 for 12.9, 16 for 15.7, each up to 0.3 mm off) are still recognised.
pub const DIAMETER_RECOGNITION_MM: f64 = 0.35;

/// How far a stated tensile strength may be from a nominal one and still name the same grade.
///
/// Grade 270 is 1861.6 MPa by its inch value and 1860 MPa by its metric one; the next grade is 90 MPa away.
pub const FPU_RECOGNITION_MPA: f64 = 3.0;

/// Strengths that a strand can have, ksi: a number of its grade in this range is its strength, no size or class.
pub const STRENGTHS_KSI: std::ops::RangeInclusive<f64> = 200.0..=350.0;

/// Strengths that a strand can have, MPa: a number of its grade in this range is its strength, no size or class.
pub const STRENGTHS_MPA: std::ops::RangeInclusive<f64> = 1400.0..=2400.0;

const MM2_PER_IN2: f64 = 25.4 * 25.4;
const MPA_PER_KSI: f64 = 6.894_757_293;
const KN_PER_KIP: f64 = 4.448_221_615;
const KG_PER_M_PER_LB_PER_FT: f64 = 1.488_163_944;

/// The system of sizes to which a strand belongs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Series {
    /// Defined in inches, square inches and kips.
    Inch,
    /// Defined in millimetres and kilonewtons.
    Metric,
}

/// A strand as a standard lists it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StandardStrand {
    /// The standard.
    pub standard: &'static str,
    /// The name by which one orders it.
    pub designation: &'static str,
    /// The system of sizes.
    pub series: Series,
    /// Nominal diameter, mm.
    pub diameter_mm: f64,
    /// Other diameters under which the same strand goes, mm.
    pub diameter_also_mm: &'static [f64],
    /// Nominal area, mm²; of the inch series, the square inches converted exactly.
    pub area_mm2: f64,
    /// The area as printed, with its unit.
    pub area_as_published: &'static str,
    /// Half a unit of the last digit of the area as printed, mm².
    pub area_half_digit_mm2: f64,
    /// Other areas that are printed for the same strand, in whole mm²: the metric companion value, or another edition's.
    pub area_also_mm2: &'static [f64],
    /// Evidence for the area.
    pub area_evidence: Evidence,
    /// Mass per length, kg/m.
    pub mass_kg_per_m: f64,
    /// Evidence for the mass.
    pub mass_evidence: Evidence,
    /// Nominal tensile strength, MPa.
    pub fpu_mpa: f64,
    /// Least breaking force, kN, where known.
    pub breaking_force_kn: Option<f64>,
    /// Evidence for the breaking force.
    pub breaking_force_evidence: Evidence,
    /// The weakest evidence among the row's values.
    pub evidence: Evidence,
    /// Where the row comes from.
    pub source: &'static str,
}

const A416: &str = "ASTM A416/A416M, grade 270 [1860]";
const EN_10138: &str = "EN 10138-3";
const A416_SOURCE: &str = "area: FHWA post-tensioning installation and grouting manual, 2004, 2.1; grade: ASTM A416/A416M-17; mass and breaking force: ASTM A416, from memory";
const A416_MEMORY_SOURCE: &str =
    "ASTM A416, later editions, from memory; breaking force is area x 270 ksi";
const Y1860_SOURCE: &str =
    "EN 10138-3 drafts as reproduced elsewhere; mass = 7.81 A g/m and force = 1.86 A kN agree";
const Y1770_SOURCE: &str = "EN 10138-3 table as coded elsewhere; mass derived as 7.81 A g/m";

/// The inch half-digit of an area printed to 0.001 in².
const IN2_HALF_DIGIT_MM2: f64 = 0.0005 * MM2_PER_IN2;

/// The strands known here.
pub static STANDARD_STRANDS: [StandardStrand; 12] = [
    StandardStrand {
        standard: A416,
        designation: "0.5 in",
        series: Series::Inch,
        diameter_mm: 12.7,
        diameter_also_mm: &[],
        area_mm2: 0.153 * MM2_PER_IN2,
        area_as_published: "0.153 in2",
        area_half_digit_mm2: IN2_HALF_DIGIT_MM2,
        area_also_mm2: &[99.0],
        area_evidence: Evidence::Read,
        mass_kg_per_m: 0.775,
        mass_evidence: Evidence::Memory,
        fpu_mpa: 270.0 * MPA_PER_KSI,
        breaking_force_kn: Some(41.3 * KN_PER_KIP),
        breaking_force_evidence: Evidence::Memory,
        evidence: Evidence::Memory,
        source: A416_SOURCE,
    },
    StandardStrand {
        standard: A416,
        designation: "0.6 in",
        series: Series::Inch,
        diameter_mm: 15.24,
        diameter_also_mm: &[],
        area_mm2: 0.217 * MM2_PER_IN2,
        area_as_published: "0.217 in2",
        area_half_digit_mm2: IN2_HALF_DIGIT_MM2,
        area_also_mm2: &[140.0],
        area_evidence: Evidence::Read,
        mass_kg_per_m: 1.102,
        mass_evidence: Evidence::Memory,
        fpu_mpa: 270.0 * MPA_PER_KSI,
        breaking_force_kn: Some(58.6 * KN_PER_KIP),
        breaking_force_evidence: Evidence::Memory,
        evidence: Evidence::Memory,
        source: A416_SOURCE,
    },
    StandardStrand {
        standard: A416,
        designation: "0.62 in",
        series: Series::Inch,
        diameter_mm: 0.62 * 25.4,
        diameter_also_mm: &[15.7],
        area_mm2: 0.231 * MM2_PER_IN2,
        area_as_published: "0.231 in2",
        area_half_digit_mm2: IN2_HALF_DIGIT_MM2,
        area_also_mm2: &[149.0, 150.0],
        area_evidence: Evidence::Memory,
        mass_kg_per_m: 0.79 * KG_PER_M_PER_LB_PER_FT,
        mass_evidence: Evidence::Memory,
        fpu_mpa: 270.0 * MPA_PER_KSI,
        breaking_force_kn: Some(0.231 * 270.0 * KN_PER_KIP),
        breaking_force_evidence: Evidence::Derived,
        evidence: Evidence::Derived,
        source: A416_MEMORY_SOURCE,
    },
    StandardStrand {
        standard: A416,
        designation: "0.52 in",
        series: Series::Inch,
        diameter_mm: 0.52 * 25.4,
        diameter_also_mm: &[],
        area_mm2: 0.167 * MM2_PER_IN2,
        area_as_published: "0.167 in2",
        area_half_digit_mm2: IN2_HALF_DIGIT_MM2,
        area_also_mm2: &[108.0],
        area_evidence: Evidence::Memory,
        mass_kg_per_m: 0.57 * KG_PER_M_PER_LB_PER_FT,
        mass_evidence: Evidence::Derived,
        fpu_mpa: 270.0 * MPA_PER_KSI,
        breaking_force_kn: Some(0.167 * 270.0 * KN_PER_KIP),
        breaking_force_evidence: Evidence::Derived,
        evidence: Evidence::Derived,
        source: A416_MEMORY_SOURCE,
    },
    StandardStrand {
        standard: A416,
        designation: "0.7 in",
        series: Series::Inch,
        diameter_mm: 0.7 * 25.4,
        diameter_also_mm: &[],
        area_mm2: 0.294 * MM2_PER_IN2,
        area_as_published: "0.294 in2",
        area_half_digit_mm2: IN2_HALF_DIGIT_MM2,
        area_also_mm2: &[190.0],
        area_evidence: Evidence::Memory,
        mass_kg_per_m: 1.0 * KG_PER_M_PER_LB_PER_FT,
        mass_evidence: Evidence::Derived,
        fpu_mpa: 270.0 * MPA_PER_KSI,
        breaking_force_kn: Some(0.294 * 270.0 * KN_PER_KIP),
        breaking_force_evidence: Evidence::Derived,
        evidence: Evidence::Derived,
        source: A416_MEMORY_SOURCE,
    },
    metric("Y1860S7-12.5", 12.5, &[], (93.0, "93 mm2", &[]), 0.726, 173.0, 1860.0),
    metric("Y1860S7-12.9", 12.9, &[13.0], (100.0, "100 mm2", &[]), 0.781, 186.0, 1860.0),
    // Some editions list 15.2 mm with 139 mm2 beside 15.3 mm with 140 mm2, others call the latter 15.2.
    metric("Y1860S7-15.3", 15.3, &[15.2], (140.0, "140 mm2", &[139.0]), 1.093, 260.0, 1860.0),
    metric("Y1860S7-15.7", 15.7, &[16.0], (150.0, "150 mm2", &[]), 1.172, 279.0, 1860.0),
    metric("Y1770S7-15.3", 15.3, &[15.2], (140.0, "140 mm2", &[139.0]), 1.093, 248.0, 1770.0),
    metric("Y1770S7-15.7", 15.7, &[16.0], (150.0, "150 mm2", &[]), 1.172, 265.0, 1770.0),
    metric("Y1770S7-18", 18.0, &[], (200.0, "200 mm2", &[]), 1.562, 354.0, 1770.0),
];

const fn metric(
    designation: &'static str,
    diameter_mm: f64,
    diameter_also_mm: &'static [f64],
    area: (f64, &'static str, &'static [f64]),
    mass_kg_per_m: f64,
    breaking_force_kn: f64,
    fpu_mpa: f64,
) -> StandardStrand {
    let listed = fpu_mpa > 1800.0;
    let mass_evidence = if listed { Evidence::Secondary } else { Evidence::Derived };
    StandardStrand {
        standard: EN_10138,
        designation,
        series: Series::Metric,
        diameter_mm,
        diameter_also_mm,
        area_mm2: area.0,
        area_as_published: area.1,
        area_half_digit_mm2: 0.5,
        area_also_mm2: area.2,
        area_evidence: Evidence::Secondary,
        mass_kg_per_m,
        mass_evidence,
        fpu_mpa,
        breaking_force_kn: Some(breaking_force_kn),
        breaking_force_evidence: Evidence::Secondary,
        evidence: mass_evidence,
        source: if listed { Y1860_SOURCE } else { Y1770_SOURCE },
    }
}

impl StandardStrand {
    /// Tells whether a stated area is this strand's, as far as the printed digits can tell.
    ///
    /// # Formula
    /// `|A - Ap| <= h` for the nominal area, or `|A - Aq| <= 0.5 mm²` for another printed one.
    ///
    /// # Symbols
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | A | stated area, `stated_mm2` | mm² |
    /// | Ap, h | `area_mm2`, `area_half_digit_mm2` | mm² |
    /// | Aq | each of `area_also_mm2` | mm² |
    ///
    /// # Validity
    /// Recognises; it is not a mill tolerance on the steel's area.
    /// 0.153 in² is 98.7 mm² and printed as 99: both are right, and neither is the other rounded to tenths.
    ///
    /// # Source
    /// Derived: half a unit of the last printed digit. ASTM A416/A416M: the values of the two systems stand apart.
    ///
    /// # Errors
    /// [`Misfit`] if the area is not a number greater than zero.
    ///
    /// ```
    /// use restrand_mechanics::tables::strand::STANDARD_STRANDS;
    /// let half_inch = &STANDARD_STRANDS[0];
    /// assert!(half_inch.area_agrees(98.7)?);
    /// assert!(half_inch.area_agrees(99.0)?);
    /// assert!(!half_inch.area_agrees(93.0)?);
    /// # Ok::<(), restrand_mechanics::Misfit>(())
    /// ```
    pub fn area_agrees(&self, stated_mm2: f64) -> Result<bool, Misfit> {
        let stated = positive(Argument::new("stated_mm2"), stated_mm2)?;
        // A half digit is inclusive, and decimal fractions are not exact.
        let slack = 1e-9;
        Ok((stated - self.area_mm2).abs() <= self.area_half_digit_mm2 + slack
            || self.area_also_mm2.iter().any(|also| (stated - also).abs() <= 0.5 + slack))
    }
}

/// A strand that a stated diameter and strength may mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Candidate {
    /// The strand.
    pub strand: &'static StandardStrand,
    /// How far the stated diameter is from the nearest diameter under which the strand goes, mm.
    pub diameter_off_mm: f64,
    /// How far the stated strength is from the grade's, MPa; 0 where none is stated.
    pub fpu_off_mpa: f64,
}

/// Returns every standard strand that the stated values may mean, the nearest diameter first.
///
/// # Formula
/// `|d - dn| <= 0.35 mm` and `|f - fn| <= 3 MPa`, sorted by `|d - dn|`, then by `|f - fn|`, then as the table stands.
///
/// # Symbols
/// | symbol | meaning | unit |
/// |---|---|---|
/// | d | stated diameter, `diameter_mm` | mm |
/// | dn | nominal diameter, or another under which the strand goes | mm |
/// | f | stated strength, `fpu_mpa` | MPa |
/// | fn | nominal strength of the grade | MPa |
///
/// # Validity
/// Seven-wire strand of [`STANDARD_STRANDS`].
/// Where `series` is absent, 15.24 mm and 15.3 mm cannot be told apart by diameter and both are returned.
/// An empty list means that no listed strand is near, not that the strand is wrong.
///
/// # Source
/// Derived: [`DIAMETER_RECOGNITION_MM`] and [`FPU_RECOGNITION_MPA`] give their reasons.
///
/// # Errors
/// [`Misfit`] if the diameter or the strength is not a number greater than zero.
///
/// ```
/// use restrand_mechanics::tables::strand::{candidates, Series};
/// let found = candidates(Some(Series::Metric), 15.2, Some(1860.0))?;
/// assert_eq!(found[0].strand.designation, "Y1860S7-15.3");
/// let found = candidates(None, 15.24, Some(1861.6))?;
/// assert_eq!(found[0].strand.designation, "0.6 in");
/// assert_eq!(found[1].strand.designation, "Y1860S7-15.3");
/// # Ok::<(), restrand_mechanics::Misfit>(())
/// ```
pub fn candidates(
    series: Option<Series>,
    diameter_mm: f64,
    fpu_mpa: Option<f64>,
) -> Result<Vec<Candidate>, Misfit> {
    let diameter = positive(Argument::new("diameter_mm"), diameter_mm)?;
    let fpu = match fpu_mpa {
        Some(value) => Some(positive(Argument::new("fpu_mpa"), value)?),
        None => None,
    };
    let mut found: Vec<Candidate> = STANDARD_STRANDS
        .iter()
        .filter(|strand| series.is_none_or(|wanted| wanted == strand.series))
        .map(|strand| Candidate {
            strand,
            diameter_off_mm: strand
                .diameter_also_mm
                .iter()
                .fold((diameter - strand.diameter_mm).abs(), |least, also| {
                    least.min((diameter - also).abs())
                }),
            fpu_off_mpa: fpu.map_or(0.0, |stated| (stated - strand.fpu_mpa).abs()),
        })
        .filter(|candidate| {
            candidate.diameter_off_mm <= DIAMETER_RECOGNITION_MM
                && candidate.fpu_off_mpa <= FPU_RECOGNITION_MPA
        })
        .collect();
    found.sort_by(|a, b| {
        a.diameter_off_mm
            .total_cmp(&b.diameter_off_mm)
            .then(a.fpu_off_mpa.total_cmp(&b.fpu_off_mpa))
    });
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(series: Option<Series>, diameter_mm: f64, fpu_mpa: Option<f64>) -> Vec<&'static str> {
        candidates(series, diameter_mm, fpu_mpa)
            .unwrap()
            .iter()
            .map(|candidate| candidate.strand.designation)
            .collect()
    }

    #[test]
    fn fifteen_two_and_fifteen_seven_are_not_confused() {
        assert_eq!(names(Some(Series::Metric), 15.2, Some(1860.0)), ["Y1860S7-15.3"]);
        assert_eq!(names(Some(Series::Metric), 15.3, Some(1860.0)), ["Y1860S7-15.3"]);
        assert_eq!(names(Some(Series::Metric), 15.7, Some(1860.0)), ["Y1860S7-15.7"]);
        assert_eq!(names(Some(Series::Metric), 16.0, Some(1860.0)), ["Y1860S7-15.7"]);
        assert_eq!(names(Some(Series::Inch), 15.24, Some(1860.0)), ["0.6 in"]);
    }

    #[test]
    fn without_a_series_both_are_given() {
        assert_eq!(names(None, 15.2, Some(1860.0)), ["Y1860S7-15.3", "0.6 in"]);
        // Both go by 15.7 mm, so the nearer strength decides which comes first.
        assert_eq!(names(None, 15.7, Some(1860.0)), ["Y1860S7-15.7", "0.62 in"]);
        assert_eq!(names(None, 15.7, Some(1861.6)), ["0.62 in", "Y1860S7-15.7"]);
    }

    #[test]
    fn the_metric_and_the_inch_value_of_the_grade_name_the_same_grade() {
        for fpu_mpa in [1860.0, 1861.6] {
            assert_eq!(names(Some(Series::Inch), 12.7, Some(fpu_mpa)), ["0.5 in"]);
            assert_eq!(names(Some(Series::Metric), 12.5, Some(fpu_mpa)), ["Y1860S7-12.5"]);
        }
        assert!(names(Some(Series::Inch), 12.7, Some(1725.0)).is_empty());
    }

    #[test]
    fn an_absent_strength_gives_every_grade() {
        assert_eq!(names(Some(Series::Metric), 15.7, None), ["Y1860S7-15.7", "Y1770S7-15.7"]);
    }

    #[test]
    fn a_rows_evidence_is_the_weakest_of_its_values() {
        for strand in &STANDARD_STRANDS {
            let weakest =
                strand.area_evidence.max(strand.mass_evidence).max(strand.breaking_force_evidence);
            assert_eq!(strand.evidence, weakest, "{}", strand.designation);
        }
    }

    #[test]
    fn bad_numbers_are_refused() {
        for bad in [f64::NAN, f64::INFINITY, 0.0, -15.2] {
            assert!(candidates(None, bad, Some(1860.0)).is_err());
            assert!(candidates(None, 15.2, Some(bad)).is_err());
            assert!(STANDARD_STRANDS[0].area_agrees(bad).is_err());
        }
    }
}
