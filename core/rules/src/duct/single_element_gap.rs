//! A single strand or bar has too little room in its duct.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};

use super::used;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const GAP: LimitKey = LimitKey {
    name: "single_element_gap_mm",
    meaning: "bore of a duct less the diameter of the one strand or bar in it",
};

pub(crate) const RULE: Rule = Rule {
    id: "duct/single-element-gap",
    summary: "bore less diameter where a duct holds a single strand",
    kinds: &[Kind::Margin],
    limits: &[GAP],
    sources: &[Citation::new("FP-96 (US Federal Lands Highway), section 553(a)", Evidence::Read)],
    correction: Corrects::Nothing,
    implied_by: &["duct/dimensions-inconsistent"],
    page: include_str!("single_element_gap.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.tendon.strand_count != Some(1) {
        return outcomes.not_applicable("the tendon has more than one strand, or says no number");
    }
    let Some(strand) = context.strand(at.tendon) else {
        return outcomes.not_evaluated("tendon.strand");
    };
    let coated = strand.record.coated_diameter_mm.or(strand.record.diameter_mm);
    let Some(diameter_mm) = coated else {
        return outcomes.not_evaluated("strand.diameter_mm");
    };
    let limit = context.limit(GAP);
    let named = used::named(at);
    if named.is_empty() {
        return outcomes.not_evaluated("tendon.duct");
    }
    for (link, place) in named {
        let Some(duct) = context.duct(Some(link)) else {
            outcomes.not_evaluated("tendon.duct");
            continue;
        };
        let Some(inner_mm) = duct.record.inner_mm else {
            outcomes.not_evaluated("duct.inner_mm");
            continue;
        };
        let gap_mm = inner_mm - diameter_mm;
        // A difference of decimal fractions is not exact.
        if gap_mm >= limit.value - 1e-9 {
            outcomes.pass();
            continue;
        }
        let finding = Finding::new(
            RULE.id,
            Kind::Margin,
            place,
            "duct {duct} is only {gap_mm} wider than the one strand of tendon {tendon}, less than \
             {single_element_gap_mm}",
        )
        .related(duct.route.field("inner_mm"), "the bore")
        .help("Filler does not get round a strand that fills its duct: take a wider duct")
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::text("duct", used::name(duct.record)))
        .fact(Fact::given("inner_mm", inner_mm, 2))
        .fact(Fact::given("diameter_mm", diameter_mm, 2))
        .fact(Fact::computed("gap_mm", gap_mm, 2))
        .fact(limit.fact(GAP, 2))
        .fact(Fact::computed("least_inner_mm", diameter_mm + limit.value, 2).at_least())
        .remedy("Take a duct with a bore of at least {least_inner_mm}");
        outcomes.found(finding);
    }
}
