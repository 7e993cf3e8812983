//! The stated mass of a tendon's steel is not that of its strands.

use restrand_finding::{Citation, Class, Correction, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::value::Value;

use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const TOLERANCE: LimitKey = LimitKey {
    name: "takeoff_tolerance",
    meaning: "share by which a stated quantity may differ from the sum of its parts",
};

pub(crate) const RULE: Rule = Rule {
    id: "schedule/quantity-mismatch",
    summary: "stated mass of a tendon's steel against strands, length and tails",
    kinds: &[Kind::Inconsistent],
    limits: &[TOLERANCE],
    sources: &[Citation::new(
        "PTI/ASBI M50.3-24, contents of section 5: tendon drawings hold a material take-off",
        Evidence::Secondary,
    )],
    correction: Corrects::Offers(&[Class::Recompute], offer),
    implied_by: &["strand/mass-mismatch", "path/length-mismatch"],
    page: include_str!("quantity_mismatch.md"),
    check: Check::Tendons(check),
};

/// The mass over the length, where the stated one is neither that nor the one with the tails.
fn offer(context: &Context<'_>, offered: &mut Vec<Correction>) {
    for at in context.tendons() {
        let mut outcomes = Outcomes::default();
        check(context, &at, &mut outcomes);
        let (false, Some(strand)) = (outcomes.findings.is_empty(), context.strand(at.tendon))
        else {
            continue;
        };
        let (Some(stated_kg), Some(count), Some(length_m), Some(mass_kg_per_m)) = (
            at.tendon.steel_mass_kg,
            at.tendon.strand_count,
            at.tendon.length_m,
            strand.record.mass_kg_per_m,
        ) else {
            continue;
        };
        // To ten grams, finer than any take-off.
        let mass_kg = (f64::from(count) * mass_kg_per_m * length_m * 100.0).round() / 100.0;
        let reason = "the mass of the steel was stated as {steel_mass_kg}; {strands} strands over the length \
                      have {length_mass_kg}";
        let value = Some(Value::Number(mass_kg));
        let route = at.route.field("steel_mass_kg");
        offered.push(
            Correction::new(RULE.id, Class::Recompute, route, value, reason)
                .fact(Fact::given("steel_mass_kg", stated_kg, 1))
                .fact(Fact::given("strands", f64::from(count), 0))
                .fact(Fact::computed("length_mass_kg", mass_kg, 1))
                .rests_on(at.route.field("strand_count"))
                .rests_on(at.route.field("length_m"))
                .rests_on(strand.route.field("mass_kg_per_m")),
        );
    }
}

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    let tendon = at.tendon;
    let Some(stated_kg) = tendon.steel_mass_kg else {
        return outcomes.not_applicable("no mass of the steel is stated");
    };
    let Some(count) = tendon.strand_count else {
        return outcomes.not_evaluated("tendon.strand_count");
    };
    let Some(strand) = context.strand(tendon) else {
        return outcomes.not_evaluated("tendon.strand");
    };
    let Some(mass_kg_per_m) = strand.record.mass_kg_per_m else {
        return outcomes.not_evaluated("strand.mass_kg_per_m");
    };
    let Some(length_m) = tendon.length_m else {
        return outcomes.not_evaluated("tendon.length_m");
    };
    let tails_m: f64 = at.ends().filter_map(|end| end.end.tail_mm).sum::<f64>() / 1000.0;
    let per_m = f64::from(count) * mass_kg_per_m;
    // Whether a take-off counts the tails is for its author to say: both are right.
    let (least_kg, most_kg) = (per_m * length_m, per_m * (length_m + tails_m));
    let tolerance = context.limit(TOLERANCE);
    // A share of a decimal fraction is not exact.
    let slack = 1e-9 * most_kg;
    if stated_kg >= least_kg * (1.0 - tolerance.value) - slack
        && stated_kg <= most_kg * (1.0 + tolerance.value) + slack
    {
        return outcomes.pass();
    }
    let expected_kg = if stated_kg < least_kg { least_kg } else { most_kg };
    let finding = Finding::new(
        RULE.id,
        Kind::Inconsistent,
        at.route.field("steel_mass_kg"),
        "the steel of tendon {tendon} is stated as {steel_mass_kg}; {strands} strands over its length of \
         {length_m} have {length_mass_kg}, and with the tails {tail_mass_kg}",
    )
    .related(at.route.field("length_m"), "the length")
    .related(strand.route.field("mass_kg_per_m"), "the mass of one strand")
    .help("Correct the mass, or the number of strands or the length that it was taken from")
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::given("steel_mass_kg", stated_kg, 0))
    .fact(Fact::given("strands", f64::from(count), 0))
    .fact(Fact::given("mass_kg_per_m", mass_kg_per_m, 3))
    .fact(Fact::given("length_m", length_m, 3))
    .fact(Fact::computed("length_mass_kg", least_kg, 1))
    .fact(Fact::computed("tail_mass_kg", most_kg, 1))
    .fact(Fact::computed("deviation", (stated_kg - expected_kg).abs() / expected_kg, 4))
    .fact(tolerance.fact(TOLERANCE, 4))
    .remedy("State {length_mass_kg}, or {tail_mass_kg} where the take-off counts the tails");
    outcomes.found(finding);
}
