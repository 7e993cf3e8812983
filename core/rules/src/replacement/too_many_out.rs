//! More tendons may be out at once than the owner or the rulebook allows.

use restrand_finding::{Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;

use super::is_to_be_replaced;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const OUT: LimitKey =
    LimitKey { name: "tendons_out", meaning: "tendons that may be out of the bridge at once" };

pub(crate) const RULE: Rule = Rule {
    id: "replacement/too-many-out",
    summary: "tendons that may be out at once, this one included, against the owner's number or the rulebook's",
    kinds: &[Kind::Margin, Kind::Inconsistent],
    limits: &[OUT],
    sources: &[],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("too_many_out.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if !is_to_be_replaced(at, outcomes) {
        return;
    }
    let Some(others) = at.tendon.replacement.as_deref().and_then(|own| own.others_out) else {
        return outcomes.not_evaluated("replacement.others_out");
    };
    let together = f64::from(others) + 1.0;
    let route = at.route.field("replacement").field("others_out");
    let stated = context.schedule.project.as_deref().and_then(|project| project.tendons_out);
    let help = "Fewer tendons out at once, or an analysis of the bridge without all of them that the owner accepts";
    match stated {
        Some(most) if together > f64::from(most) => outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Inconsistent,
                route,
                "{together} tendons may be out at once, {tendon} and {others_out} besides, but the project states {project_out} at once",
            )
            .related(Route::root().field("project").field("tendons_out"), "stated here")
            .help(help)
            .fact(Fact::text("tendon", at.mark()))
            .fact(Fact::given("others_out", f64::from(others), 0))
            .fact(Fact::computed("together", together, 0))
            .fact(Fact::given("project_out", f64::from(most), 0)),
        ),
        Some(_) => outcomes.pass(),
        None => {
            let limit = context.limit(OUT);
            if together > limit.value {
                outcomes.found(
                    Finding::new(
                        RULE.id,
                        Kind::Margin,
                        route,
                        "{together} tendons may be out at once, {tendon} and {others_out} besides, where {tendons_out} is the most",
                    )
                    .help(help)
                    .fact(Fact::text("tendon", at.mark()))
                    .fact(Fact::given("others_out", f64::from(others), 0))
                    .fact(Fact::computed("together", together, 0))
                    .fact(limit.fact(OUT, 0)),
                );
            } else {
                outcomes.pass();
            }
        }
    }
}
