//! The modulus of a strand is outside what strand has, and no test report says it.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;

use super::table;
use crate::context::Context;
use crate::rule::{Check, Corrects, LimitKey, Rule};

const LEAST: LimitKey = LimitKey {
    name: "strand_e_least_mpa",
    meaning: "least modulus of a strand without a test report",
};
const MOST: LimitKey = LimitKey {
    name: "strand_e_most_mpa",
    meaning: "greatest modulus of a strand without a test report",
};

pub(crate) const RULE: Rule = Rule {
    id: "strand/modulus-unusual",
    summary: "stated modulus of a strand against the band that strand has, unless a test report states it",
    kinds: &[Kind::Margin],
    limits: &[LEAST, MOST],
    sources: &[Citation::new("EN 1992-1-1:2004, 3.3.6 (3)", Evidence::Memory)],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("modulus_unusual.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let (least, most) = (context.limit(LEAST), context.limit(MOST));
    for (index, strand) in context.schedule.strands.iter().enumerate() {
        let route = Route::to("strands", index);
        let Some(e_mpa) = strand.e_mpa else {
            outcomes.not_evaluated("strand.e_mpa");
            continue;
        };
        if (least.value..=most.value).contains(&e_mpa) {
            outcomes.pass();
            continue;
        }
        if strand.e_source.as_deref().is_some_and(|source| !source.trim().is_empty()) {
            outcomes.not_applicable("a test report states the modulus");
            continue;
        }
        let (key, limit, side) = if e_mpa < least.value {
            (LEAST, least, "less than {strand_e_least_mpa}")
        } else {
            (MOST, most, "more than {strand_e_most_mpa}")
        };
        let finding = Finding::new(
            RULE.id,
            Kind::Margin,
            route.field("e_mpa"),
            format!(
                "the modulus of strand {{strand}} is stated as {{e_mpa}}, {side}, and no test report is named"
            ),
        )
        .help(
            "Elongations are as far off as the modulus: name the test report that states it, or correct the \
             value and its unit",
        )
        .fact(Fact::text("strand", table::name(strand)))
        .fact(Fact::given("e_mpa", e_mpa, 0))
        .fact(limit.fact(key, 0))
        .fact(Fact::computed("modulus_ratio", e_mpa / limit.value, 3));
        outcomes.found(finding);
    }
}
