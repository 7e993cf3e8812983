//! The stated area of a strand is not that of its size in the standard's table.

use std::borrow::Cow;

use restrand_finding::{Citation, Class, Correction, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::tables::{
    self,
    strand::{STANDARD_STRANDS, Series, StandardStrand, candidates},
};
use restrand_model::route::Route;
use restrand_model::schedule::{self, Strand};
use restrand_model::value::Value;

use crate::context::Context;
use crate::rule::{Check, Corrects, LimitKey, Rule};

const TOLERANCE: LimitKey = LimitKey {
    name: "area_tolerance",
    meaning: "share by which a strand's area may differ from its standard's",
};

pub(crate) const RULE: Rule = Rule {
    id: "strand/area-mismatch",
    summary: "stated area of a strand against the table's for its series, diameter and grade",
    kinds: &[Kind::Inconsistent],
    limits: &[TOLERANCE],
    sources: &[
        Citation::new(
            "ASTM A416/A416M-17: inch and SI values are separate standards",
            Evidence::Read,
        ),
        Citation::new("EN 10138-3, drafts, table of sizes", Evidence::Secondary),
    ],
    correction: Corrects::Offers(&[Class::Propose], offer),
    implied_by: &[],
    page: include_str!("area_mismatch.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    for (index, strand) in context.schedule.strands.iter().enumerate() {
        one(context, strand, &Route::to("strands", index), outcomes);
    }
}

/// The area of the table, for the diameter that is stated.
fn offer(context: &Context<'_>, offered: &mut Vec<Correction>) {
    for (index, strand) in context.schedule.strands.iter().enumerate() {
        let Compared::Differs { nearest, .. } = compare(context, strand) else {
            continue;
        };
        let route = Route::to("strands", index);
        let reason = "{table_area_mm2} is the area of {designation}";
        let value = Some(Value::Number(nearest.area_mm2));
        offered.push(
            Correction::new(RULE.id, Class::Propose, route.field("area_mm2"), value, reason)
                .fact(Fact::limit("table_area_mm2", nearest.area_mm2, 1, citation(nearest)))
                .fact(Fact::text("designation", designation(nearest)))
                .rests_on(route.field("diameter_mm")),
        );
    }
}

/// A strand against the tables.
enum Compared {
    Agrees,
    NotEvaluated(&'static str),
    NotApplicable(&'static str),
    Differs { nearest: &'static StandardStrand, area_mm2: f64, diameter_mm: f64 },
}

fn compare(context: &Context<'_>, strand: &Strand) -> Compared {
    let Some(area_mm2) = strand.area_mm2 else {
        return Compared::NotEvaluated("strand.area_mm2");
    };
    let Some(diameter_mm) = strand.diameter_mm else {
        return Compared::NotEvaluated("strand.diameter_mm");
    };
    let series = strand.series.map(|series| match series {
        schedule::Series::Inch => Series::Inch,
        schedule::Series::Metric => Series::Metric,
    });
    if !is_of_the_tables(strand) {
        return Compared::NotApplicable("its standard or grade is none of the tables'");
    }
    let Ok(found) = candidates(series, diameter_mm, strand.fpu_mpa) else {
        return Compared::NotApplicable(UNLISTED);
    };
    let tolerance = context.limit(TOLERANCE);
    let (agreeing, differing): (Vec<&'static StandardStrand>, Vec<&StandardStrand>) = found
        .iter()
        .map(|candidate| candidate.strand)
        .partition(|strand| agrees(strand, area_mm2, tolerance.value));
    let Some(nearest) = differing.first() else {
        return match agreeing.first() {
            Some(_) => Compared::Agrees,
            None => Compared::NotApplicable(UNLISTED),
        };
    };
    if !agreeing.is_empty() {
        // One series has the area and the other has not; or the diameter lies between two sizes.
        return match series {
            None => Compared::NotEvaluated("strand.series"),
            Some(_) => Compared::Agrees,
        };
    }
    Compared::Differs { nearest, area_mm2, diameter_mm }
}

fn one(context: &Context<'_>, strand: &Strand, route: &Route, outcomes: &mut Outcomes) {
    let (nearest, area_mm2, diameter_mm) = match compare(context, strand) {
        Compared::Agrees => return outcomes.pass(),
        Compared::NotEvaluated(field) => return outcomes.not_evaluated(field),
        Compared::NotApplicable(why) => return outcomes.not_applicable(why),
        Compared::Differs { nearest, area_mm2, diameter_mm } => (nearest, area_mm2, diameter_mm),
    };
    let tolerance = context.limit(TOLERANCE);
    let mut finding = Finding::new(
        RULE.id,
        Kind::Inconsistent,
        route.field("area_mm2"),
        "the area of strand {strand} is stated as {area_mm2}; for {designation} the table gives \
         {table_area_mm2}, and the two differ by a share of {deviation}",
    )
    .related(route.field("diameter_mm"), "the diameter by which the size was found")
    .help(
        "Forces, area ratios and elongations all follow from the area: state the standard's nominal area, or \
         the diameter that has this one",
    )
    .fact(Fact::text("strand", strand.id.as_deref().unwrap_or("without a name")))
    .fact(Fact::text("designation", designation(nearest)))
    .fact(Fact::given("diameter_mm", diameter_mm, 2))
    .fact(Fact::given("area_mm2", area_mm2, 1))
    .fact(Fact::limit("table_area_mm2", nearest.area_mm2, 1, citation(nearest)))
    .fact(Fact::computed("deviation", (area_mm2 - nearest.area_mm2).abs() / nearest.area_mm2, 4))
    .fact(tolerance.fact(TOLERANCE, 4))
    .remedy("State {table_area_mm2}, the area of {designation}");
    let other = STANDARD_STRANDS
        .iter()
        .find(|other| other.series == nearest.series && agrees(other, area_mm2, tolerance.value));
    if let Some(other) = other {
        finding = finding.fact(Fact::computed("other_diameter_mm", other.diameter_mm, 2)).remedy(
            "State the diameter {other_diameter_mm}, if the strand is the size that has {area_mm2}",
        );
    }
    outcomes.found(finding);
}

fn designation(strand: &StandardStrand) -> String {
    format!("{}, {}", strand.standard, strand.designation)
}

const UNLISTED: &str = "no size of the tables has this diameter and strength";

/// Whether what is stated of standard and grade lets the tables hold; what is not stated does.
///
/// Compacted strand, and strand of other standards, has other areas at the same diameters.
fn is_of_the_tables(strand: &Strand) -> bool {
    let plain = |text: &str| -> String {
        text.chars().filter(char::is_ascii_alphanumeric).collect::<String>().to_ascii_uppercase()
    };
    let standard = strand.standard.as_deref().map(plain).unwrap_or_default();
    let listed = ["A416", "M203", "10138"].iter().any(|number| standard.contains(number));
    let grade = strand.grade.as_deref().map(plain).unwrap_or_default();
    // Y1860S7 is the form of the metric grades; a further letter is another product.
    let of_the_form = !grade.starts_with('Y')
        || STANDARD_STRANDS
            .iter()
            .any(|strand| strand.designation.split('-').next().is_some_and(|name| name == grade));
    (standard.is_empty() || listed) && of_the_form
}

/// Whether an area is the strand's: to the digits printed, in either unit, or within the share allowed.
fn agrees(strand: &StandardStrand, area_mm2: f64, share: f64) -> bool {
    // A share of a decimal fraction is not exact.
    let within = |printed: f64| (area_mm2 - printed).abs() <= share * printed + 1e-9;
    strand.area_agrees(area_mm2).unwrap_or(false)
        || within(strand.area_mm2)
        || strand.area_also_mm2.iter().copied().any(within)
}

fn citation(strand: &StandardStrand) -> Citation {
    let evidence = match strand.area_evidence {
        tables::Evidence::Read => Evidence::Read,
        tables::Evidence::Secondary => Evidence::Secondary,
        tables::Evidence::Memory => Evidence::Memory,
        tables::Evidence::Derived => Evidence::Derived,
    };
    Citation { source: Cow::Borrowed(strand.source), evidence }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn size(designation: &str) -> &'static StandardStrand {
        STANDARD_STRANDS.iter().find(|strand| strand.designation == designation).unwrap()
    }

    #[test]
    fn an_area_agrees_up_to_the_share_and_not_beyond() {
        let strand = size("Y1860S7-15.7");
        for agreeing in [149.25, 150.0, 150.749, 150.75] {
            assert!(agrees(strand, agreeing, 0.005), "{agreeing}");
        }
        for differing in [149.24, 150.76, 152.0] {
            assert!(!agrees(strand, differing, 0.005), "{differing}");
        }
    }

    #[test]
    fn the_two_printed_areas_of_an_inch_strand_are_one() {
        let six_tenths = size("0.6 in grade 270");
        for stated in [0.217 * 645.16, 139.998, 140.0] {
            assert!(agrees(six_tenths, stated, 0.0), "{stated}");
        }
        let half = size("0.5 in grade 270");
        for stated in [0.153 * 645.16, 98.7, 99.0] {
            assert!(agrees(half, stated, 0.0), "{stated}");
        }
        assert!(!agrees(half, 100.0, 0.005));
    }
}
