//! A bay is too low to work in upright.

use restrand_finding::{Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;

use super::ways_or_said;
use crate::beyond::short_of;
use crate::context::Context;
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::ways::outline::{corners, highest_m};

pub(super) const HEADROOM: LimitKey =
    LimitKey { name: "headroom_mm", meaning: "clear height in which people work" };

pub(crate) const RULE: Rule = Rule {
    id: "access/headroom-low",
    summary: "the clear height of each bay against what people need to work",
    kinds: &[Kind::Margin],
    limits: &[HEADROOM],
    sources: &[],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("headroom_low.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let Some(ways) = ways_or_said(context, outcomes) else { return };
    let limit = context.limit(HEADROOM);
    for (index, bay) in ways.bays.iter().enumerate() {
        let outline = || match bay.outline.is_empty() {
            true => Err("bay.height_mm"),
            false => corners(bay).map(|corners| highest_m(&corners) * 1000.0),
        };
        let height_mm = match bay.height_mm.map_or_else(outline, Ok) {
            Ok(height_mm) => height_mm,
            Err(field) => {
                outcomes.not_evaluated(field);
                continue;
            }
        };
        if !short_of(height_mm, limit.value) {
            outcomes.pass();
            continue;
        }
        let route = context.value_of(&Route::to("bays", index), "height_mm");
        outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Margin,
                route,
                "bay {bay} is {height_mm} high, less than {headroom_mm}",
            )
            .help("People work there for weeks: plan for crouched work, lighter pieces and more time, or check the height and its unit")
            .fact(Fact::text("bay", ways.call_bay(index)))
            .fact(match bay.height_mm {
                Some(_) => Fact::given("height_mm", height_mm, 0),
                None => Fact::computed("height_mm", height_mm, 0),
            })
            .fact(limit.fact(HEADROOM, 0))
            .fact(Fact::computed("ratio", height_mm / limit.value, 2)),
        );
    }
}
