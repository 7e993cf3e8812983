//! A test shows that too little of the duct's wall is left at a deviator after stressing.

use restrand_finding::{Fact, Finding, Kind, Outcomes};

use crate::beyond::short_of;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const LEAST: LimitKey = LimitKey {
    name: "duct_wall_left_least_mm",
    meaning: "wall of a duct that must be left at a deviator after stressing",
};

pub(crate) const RULE: Rule = Rule {
    id: "deviator/duct-wall-left",
    summary: "the wall of the duct that a test shows to be left at each deviator against the least",
    kinds: &[Kind::Margin],
    limits: &[LEAST],
    sources: &[],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("duct_wall_left.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.tendon.deviators.is_empty() {
        return outcomes.not_applicable("the tendon has no deviator");
    }
    let limit = context.limit(LEAST);
    for (index, deviator) in at.tendon.deviators.iter().enumerate() {
        let route = at.route.field("deviators").item(index).field("duct_wall_left_mm");
        let Some(left_mm) = deviator.duct_wall_left_mm else {
            match context.is_lost_at(&route) {
                true => outcomes.not_evaluated("deviator.duct_wall_left_mm"),
                false => outcomes.not_applicable("no test of the wall is stated"),
            }
            continue;
        };
        if !short_of(left_mm, limit.value) {
            outcomes.pass();
            continue;
        }
        let short_mm = limit.value - left_mm;
        let mut finding = Finding::new(
            RULE.id,
            Kind::Margin,
            route,
            "at {place} {wall_left_mm} of the duct's wall are left once {tendon} is stressed, less than \
             {duct_wall_left_least_mm}",
        )
        .help(
            "Strands that wear through their duct let water in and filler out: take a thicker wall, a larger radius, \
             or half-shells between duct and form, and try again",
        )
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::text(
            "place",
            deviator.place.as_ref().map_or("a deviator", |place| place.key()),
        ))
        .fact(Fact::given("wall_left_mm", left_mm, 2))
        .fact(limit.fact(LEAST, 2))
        .fact(Fact::computed("ratio", left_mm / limit.value, 2))
        .fact(Fact::computed("short_mm", short_mm, 2).at_least());
        let duct = context.duct_in_form(at, index).ok();
        if let Some(wall_mm) = duct.as_ref().and_then(|duct| duct.record.wall_mm) {
            finding = finding
                .fact(Fact::given("wall_mm", wall_mm, 2))
                .fact(Fact::computed("needed_wall_mm", wall_mm + short_mm, 2).at_least())
                .remedy("Take a duct with a wall of {needed_wall_mm} or more, if it wears alike");
        }
        if let Some(duct) = duct {
            finding = finding.related(context.value_of(&duct.route, "wall_mm"), "the duct's wall");
        }
        outcomes
            .found(finding.remedy("Lay half-shells between duct and form, and repeat the test"));
    }
}
