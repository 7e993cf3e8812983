//! The stated mass of a strand is not that of its size, or of its area in steel.

use restrand_finding::{Citation, Class, Correction, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::tables::strand::StandardStrand;
use restrand_model::route::Route;
use restrand_model::schedule::Strand;
use restrand_model::value::Value;

use super::table;
use crate::context::Context;
use crate::rule::{Check, Corrects, LimitKey, Rule};

const TOLERANCE: LimitKey = LimitKey {
    name: "mass_tolerance",
    meaning: "share by which a strand's mass may differ from its standard's, or from that of its area",
};
const DENSITY: LimitKey = LimitKey {
    name: "strand_mass_per_area_kg_per_m",
    meaning: "mass of a strand for each square millimetre of its nominal area",
};

pub(crate) const RULE: Rule = Rule {
    id: "strand/mass-mismatch",
    summary: "stated mass of a strand against the table's for its size, or against its area in steel",
    kinds: &[Kind::Inconsistent],
    limits: &[TOLERANCE, DENSITY],
    sources: &[
        Citation::new("ASTM A416/A416M, grade 270, masses", Evidence::Memory),
        Citation::new("EN 10138-3, drafts, table of sizes", Evidence::Secondary),
    ],
    correction: Corrects::Offers(&[Class::Propose], offer),
    implied_by: &["strand/series-mixed", "strand/area-mismatch"],
    page: include_str!("mass_mismatch.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    for (index, strand) in context.schedule.strands.iter().enumerate() {
        one(context, strand, &Route::to("strands", index), outcomes);
    }
}

/// The mass of the table, for the size that is stated.
fn offer(context: &Context<'_>, offered: &mut Vec<Correction>) {
    for (index, strand) in context.schedule.strands.iter().enumerate() {
        let route = Route::to("strands", index);
        let mut outcomes = Outcomes::default();
        one(context, strand, &route, &mut outcomes);
        let (false, Some(size)) = (outcomes.findings.is_empty(), sizes(strand).first().copied())
        else {
            continue;
        };
        let reason = "{table_mass_kg_per_m} is the mass of {designation}";
        let value = Some(Value::Number(size.mass_kg_per_m));
        offered.push(
            Correction::new(RULE.id, Class::Propose, route.field("mass_kg_per_m"), value, reason)
                .fact(table_mass(size))
                .fact(Fact::text("designation", table::designation(size)))
                .rests_on(route.field("diameter_mm")),
        );
    }
}

/// The mass of a size as the table has it.
fn table_mass(size: &StandardStrand) -> Fact {
    let citation = table::citation(size, size.mass_evidence);
    Fact::limit("table_mass_kg_per_m", size.mass_kg_per_m, 3, citation)
}

fn one(context: &Context<'_>, strand: &Strand, route: &Route, outcomes: &mut Outcomes) {
    let Some(mass) = strand.mass_kg_per_m else {
        return outcomes.not_evaluated("strand.mass_kg_per_m");
    };
    let tolerance = context.limit(TOLERANCE);
    let density = context.limit(DENSITY);
    // A share of a decimal fraction is not exact.
    let agrees =
        |expected: f64| (mass - expected).abs() <= tolerance.value * expected * (1.0 + 1e-9);
    let by_area = strand.area_mm2.map(|area_mm2| area_mm2 * density.value);
    let sizes = sizes(strand);
    if sizes.iter().any(|size| agrees(size.mass_kg_per_m)) || by_area.is_some_and(agrees) {
        return outcomes.pass();
    }
    let message = "the mass of strand {strand} is stated as {mass_kg_per_m}; ";
    let finding = |rest: &str| {
        Finding::new(
            RULE.id,
            Kind::Inconsistent,
            route.field("mass_kg_per_m"),
            format!("{message}{rest}, and the two differ by a share of {{deviation}}"),
        )
        .help(
            "Loads on hoists, hands and trucks follow from the mass: state that of the bare strand, without \
             grease and sheath",
        )
        .fact(Fact::text("strand", table::name(strand)))
        .fact(Fact::given("mass_kg_per_m", mass, 3))
    };
    let finding = match (sizes.first(), by_area) {
        (Some(size), _) => finding("for {designation} the table gives {table_mass_kg_per_m}")
            .fact(Fact::text("designation", table::designation(size)))
            .fact(table_mass(size))
            .fact(Fact::computed("deviation", deviation(mass, size.mass_kg_per_m), 4))
            .fact(tolerance.fact(TOLERANCE, 4))
            .remedy("State {table_mass_kg_per_m}, the mass of {designation}"),
        (None, Some(expected)) => finding("steel of its area {area_mm2} has {area_mass_kg_per_m}")
            .related(route.field("area_mm2"), "the area")
            .fact(Fact::given("area_mm2", strand.area_mm2.unwrap_or_default(), 1))
            .fact(Fact::computed("area_mass_kg_per_m", expected, 3))
            .fact(Fact::computed("deviation", deviation(mass, expected), 4))
            .fact(tolerance.fact(TOLERANCE, 4))
            .fact(density.fact(DENSITY, 6))
            .remedy("State {area_mass_kg_per_m}, if the area is right"),
        (None, None) => return outcomes.not_evaluated("strand.area_mm2"),
    };
    outcomes.found(finding);
}

/// The sizes of the tables that the strand may be; none where the tables do not hold for it.
fn sizes(strand: &Strand) -> Vec<&'static StandardStrand> {
    match strand.diameter_mm {
        Some(diameter_mm) if table::is_of_the_tables(strand) => {
            table::sizes(strand, table::series_by_any(strand), diameter_mm)
        }
        _ => Vec::new(),
    }
}

fn deviation(stated: f64, expected: f64) -> f64 {
    (stated - expected).abs() / expected
}
