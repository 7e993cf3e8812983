//! The stated area of a strand is not that of its size in the standard's table.

use restrand_finding::{Citation, Class, Correction, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::tables::strand::{STANDARD_STRANDS, StandardStrand};
use restrand_model::route::Route;
use restrand_model::schedule::Strand;
use restrand_model::value::Value;

use super::table;
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
    implied_by: &["strand/series-mixed"],
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
                .fact(table_area(nearest))
                .fact(Fact::text("designation", table::designation(nearest)))
                .rests_on(route.field("diameter_mm")),
        );
    }
}

/// The area of a size as the table has it.
fn table_area(size: &StandardStrand) -> Fact {
    let citation = table::citation(size, size.area_evidence);
    Fact::limit("table_area_mm2", size.area_mm2, 1, citation)
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
    if !table::is_of_the_tables(strand) {
        return Compared::NotApplicable(table::OTHER_STANDARD);
    }
    let series = table::series_by_any(strand);
    let tolerance = context.limit(TOLERANCE);
    let (agreeing, differing): (Vec<&'static StandardStrand>, Vec<&StandardStrand>) =
        table::sizes(strand, series, diameter_mm)
            .into_iter()
            .partition(|size| table::area_agrees(size, area_mm2, tolerance.value));
    let Some(nearest) = differing.first() else {
        return match agreeing.first() {
            Some(_) => Compared::Agrees,
            None => Compared::NotApplicable(table::UNLISTED),
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
    .fact(Fact::text("strand", table::name(strand)))
    .fact(Fact::text("designation", table::designation(nearest)))
    .fact(Fact::given("diameter_mm", diameter_mm, 2))
    .fact(Fact::given("area_mm2", area_mm2, 1))
    .fact(table_area(nearest))
    .fact(Fact::computed("deviation", (area_mm2 - nearest.area_mm2).abs() / nearest.area_mm2, 4))
    .fact(tolerance.fact(TOLERANCE, 4))
    .remedy("State {table_area_mm2}, the area of {designation}");
    let other = STANDARD_STRANDS.iter().find(|other| {
        other.series == nearest.series && table::area_agrees(other, area_mm2, tolerance.value)
    });
    if let Some(other) = other {
        finding = finding.fact(Fact::computed("other_diameter_mm", other.diameter_mm, 2)).remedy(
            "State the diameter {other_diameter_mm}, if the strand is the size that has {area_mm2}",
        );
    }
    outcomes.found(finding);
}

#[cfg(test)]
mod tests {
    use super::*;
    use table::area_agrees as agrees;

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
        let six_tenths = size("0.6 in");
        for stated in [0.217 * 645.16, 139.998, 140.0] {
            assert!(agrees(six_tenths, stated, 0.0), "{stated}");
        }
        let half = size("0.5 in");
        for stated in [0.153 * 645.16, 98.7, 99.0] {
            assert!(agrees(half, stated, 0.0), "{stated}");
        }
        assert!(!agrees(half, 100.0, 0.005));
    }
}
