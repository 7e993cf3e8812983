//! People do not get through an opening on the way in as they should.

use restrand_finding::{Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;
use restrand_model::schedule::OpeningShape;

use super::ways_or_said;
use crate::beyond::short_of;
use crate::context::Context;
use crate::rule::{Check, Corrects, LimitKey, Rule};

const SHORT: LimitKey =
    LimitKey { name: "people_opening_short_mm", meaning: "shorter side of an opening for people" };
const LONG: LimitKey =
    LimitKey { name: "people_opening_long_mm", meaning: "longer side of an opening for people" };

pub(crate) const RULE: Rule = Rule {
    id: "access/opening-small-for-people",
    summary: "the clear sides of each opening against what people need with gear, or carried out",
    kinds: &[Kind::Margin],
    limits: &[SHORT, LONG],
    sources: &[],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("opening_small_for_people.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let Some(ways) = ways_or_said(context, outcomes) else { return };
    let (short, long) = (context.limit(SHORT), context.limit(LONG));
    for (index, opening) in ways.openings.iter().enumerate() {
        let route = Route::to("openings", index);
        let is_round = opening.shape == Some(OpeningShape::Circle)
            || (opening.shape.is_none() && opening.diameter_mm.is_some());
        let sides = match is_round {
            true => opening.diameter_mm.map(|mm| (mm, mm, "diameter_mm", "diameter_mm")),
            false => match (opening.width_mm, opening.height_mm) {
                (Some(width), Some(height)) if width <= height => {
                    Some((width, height, "width_mm", "height_mm"))
                }
                (Some(width), Some(height)) => Some((height, width, "height_mm", "width_mm")),
                _ => None,
            },
        };
        let Some((short_mm, long_mm, short_field, long_field)) = sides else {
            outcomes.not_evaluated(if is_round {
                "opening.diameter_mm"
            } else {
                "opening.width_mm"
            });
            continue;
        };
        let (field, value_mm, limit, key, message) = if short_of(short_mm, short.value) {
            (
                short_field,
                short_mm,
                short,
                SHORT,
                "opening {opening} is {clear_mm} clear across its shorter side, less than the {people_opening_short_mm} for people",
            )
        } else if short_of(long_mm, long.value) {
            (
                long_field,
                long_mm,
                long,
                LONG,
                "opening {opening} is {clear_mm} clear along its longer side, less than the {people_opening_long_mm} for people",
            )
        } else {
            outcomes.pass();
            continue;
        };
        outcomes.found(
            Finding::new(RULE.id, Kind::Margin, route.field(field), message)
                .help("People with gear go in, and somebody hurt is carried out: widen it, or say which other way serves for that")
                .fact(Fact::text("opening", ways.call(index)))
                .fact(Fact::given("clear_mm", value_mm, 0))
                .fact(limit.fact(key, 0))
                .fact(Fact::computed("ratio", value_mm / limit.value, 2)),
        );
    }
}
