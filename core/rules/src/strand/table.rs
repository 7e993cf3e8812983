//! Which sizes of the standards' tables a stated strand may be.

use std::borrow::Cow;

use restrand_finding::{Citation, Evidence};
use restrand_mechanics::tables::{
    self,
    strand::{STANDARD_STRANDS, Series, StandardStrand, candidates},
};
use restrand_model::schedule::{self, Strand};

/// Why a strand is not compared with the tables.
pub(super) const OTHER_STANDARD: &str = "its standard or grade is none of the tables'";
/// Why a strand is not compared with the tables.
pub(super) const UNLISTED: &str = "no size of the tables has this diameter and strength";

/// The series that a strand states.
pub(super) fn series(strand: &Strand) -> Option<Series> {
    strand.series.map(|series| match series {
        schedule::Series::Inch => Series::Inch,
        schedule::Series::Metric => Series::Metric,
    })
}

/// The sizes of a series, or of both, that the stated diameter and strength may mean, the nearest first.
pub(super) fn sizes(
    strand: &Strand,
    series: Option<Series>,
    diameter_mm: f64,
) -> Vec<&'static StandardStrand> {
    // A diameter or a strength that is no size at all is found by the document's own schema.
    let found = candidates(series, diameter_mm, strand.fpu_mpa).unwrap_or_default();
    found.iter().map(|candidate| candidate.strand).collect()
}

/// Whether what is stated of standard and grade lets the tables hold; what is not stated does.
///
/// Compacted strand, and strand of other standards, has other values at the same diameters.
pub(super) fn is_of_the_tables(strand: &Strand) -> bool {
    let standard = strand.standard.as_deref().map(plain).unwrap_or_default();
    let grade = strand.grade.as_deref().map(plain).unwrap_or_default();
    // Y1860S7 is the form of the metric grades; a further letter is another product.
    let of_the_form = !grade.starts_with('Y')
        || STANDARD_STRANDS
            .iter()
            .any(|strand| strand.designation.split('-').next().is_some_and(|name| name == grade));
    (standard.is_empty() || series_of_standard(strand).is_some()) && of_the_form
}

/// The series of the stated standard, if it is one of the tables'.
pub(super) fn series_of_standard(strand: &Strand) -> Option<Series> {
    let standard = strand.standard.as_deref().map(plain)?;
    let names = |numbers: &[&str]| numbers.iter().any(|number| standard.contains(number));
    // AASHTO M 203 is the highway bodies' twin of ASTM A416.
    if names(&["A416", "M203"]) {
        Some(Series::Inch)
    } else if names(&["10138"]) {
        Some(Series::Metric)
    } else {
        None
    }
}

/// The series that a strand states, or else its standard.
pub(super) fn series_by_any(strand: &Strand) -> Option<Series> {
    series(strand).or_else(|| series_of_standard(strand))
}

fn plain(text: &str) -> String {
    text.chars().filter(char::is_ascii_alphanumeric).collect::<String>().to_ascii_uppercase()
}

/// Whether an area is the strand's: to the digits printed, in either unit, or within the share allowed.
pub(super) fn area_agrees(strand: &StandardStrand, area_mm2: f64, share: f64) -> bool {
    // A share of a decimal fraction is not exact.
    let within = |printed: f64| (area_mm2 - printed).abs() <= share * printed + 1e-9;
    strand.area_agrees(area_mm2).unwrap_or(false)
        || within(strand.area_mm2)
        || strand.area_also_mm2.iter().copied().any(within)
}

/// What a value of a table's row rests on.
pub(super) fn citation(strand: &StandardStrand, evidence: tables::Evidence) -> Citation {
    let evidence = match evidence {
        tables::Evidence::Read => Evidence::Read,
        tables::Evidence::Secondary => Evidence::Secondary,
        tables::Evidence::Memory => Evidence::Memory,
        tables::Evidence::Derived => Evidence::Derived,
    };
    Citation { source: Cow::Borrowed(strand.source), evidence }
}

/// The standard and the name of a size, as a person orders it.
pub(super) fn designation(strand: &StandardStrand) -> String {
    format!("{}, {}", strand.standard, strand.designation)
}

/// The name of a strand of the schedule.
pub(super) fn name(strand: &Strand) -> &str {
    strand.id.as_deref().unwrap_or("without a name")
}
