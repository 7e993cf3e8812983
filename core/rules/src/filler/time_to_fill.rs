//! A tendon stood long without filler after it was stressed.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};

use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const DAYS: LimitKey =
    LimitKey { name: "time_to_fill_days", meaning: "longest time from stressing to filling, days" };

pub(crate) const RULE: Rule = Rule {
    id: "filler/time-to-fill",
    summary: "days from stressing to filling, where both dates are stated",
    kinds: &[Kind::Margin, Kind::Inconsistent],
    limits: &[DAYS],
    sources: &[Citation::new("PTI M55.1: 7, 15 or 20 days by humidity", Evidence::Memory)],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("time_to_fill.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    let tendon = at.tendon;
    let stressed = tendon.stressing.as_deref().and_then(|stressing| stressing.stressed_on);
    let filled = tendon.fill.as_deref().and_then(|fill| fill.filled_on);
    let (stressed, filled) = match (stressed, filled) {
        (None, None) => return outcomes.not_applicable("neither date is stated"),
        (None, Some(_)) => return outcomes.not_evaluated("stressing.stressed_on"),
        (Some(_), None) => return outcomes.not_evaluated("fill.filled_on"),
        (Some(stressed), Some(filled)) => (stressed, filled),
    };
    let place = at.route.field("fill").field("filled_on");
    let days = filled.days() - stressed.days();
    if days < 0 {
        return outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Inconsistent,
                place,
                "tendon {tendon} was filled on {filled}, before it was stressed on {stressed}",
            )
            .help("Correct the date that is wrong")
            .fact(Fact::text("tendon", at.mark()))
            .fact(Fact::text("filled", filled.to_string()))
            .fact(Fact::text("stressed", stressed.to_string())),
        );
    }
    let limit = context.limit(DAYS);
    #[expect(clippy::cast_precision_loss, reason = "a count of days")]
    let days = days as f64;
    if days <= limit.value {
        return outcomes.pass();
    }
    let finding = Finding::new(
        RULE.id,
        Kind::Margin,
        place,
        "tendon {tendon} stood {days} days without filler, more than {time_to_fill_days}",
    )
    .related(at.route.field("stressing").field("stressed_on"), "when it was stressed")
    .help(
        "Bare strand under stress rusts in moist air: say what protected it until then, and look at the strands \
         when the tendon is opened",
    )
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::computed("days", days, 0))
    .fact(limit.fact(DAYS, 0));
    outcomes.found(finding);
}
