//! People do not get through an opening on the way in as they should.

use std::collections::BTreeSet;

use restrand_finding::{Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;
use restrand_model::schedule::{Opening, OpeningShape};

use super::ways_or_said;
use crate::beyond::short_of;
use crate::context::Context;
use crate::rule::{Check, Corrects, LimitKey, Rule};

pub(super) const SHORT: LimitKey =
    LimitKey { name: "people_opening_short_mm", meaning: "shorter side of an opening for people" };
pub(super) const LONG: LimitKey =
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
    // A hose hole is no way for people: of several ways each bay is reached by the widest.
    let reached =
        ways.widest(|door| spare_mm(&ways.openings[door.opening], short.value, long.value));
    let used: BTreeSet<usize> =
        (0..ways.bays.len()).flat_map(|bay| ways.chain(&reached, bay)).collect();
    for (index, opening) in ways.openings.iter().enumerate() {
        let route = Route::to("openings", index);
        let Some(Sides { short_mm, long_mm, short_field, long_field }) = Sides::of(opening) else {
            outcomes.not_evaluated(if is_round(opening) {
                "opening.diameter_mm"
            } else {
                "opening.width_mm"
            });
            continue;
        };
        if !used.contains(&index) {
            outcomes.not_applicable("people go another way");
            continue;
        }
        let is_short = [short_of(short_mm, short.value), short_of(long_mm, long.value)];
        let (field, value_mm, limit, key, message) = if is_short[0] {
            (
                short_field,
                short_mm,
                short,
                SHORT,
                "opening {opening} is {clear_mm} clear across its shorter side, less than the {people_opening_short_mm} for people",
            )
        } else if is_short[1] {
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
        let mut finding = Finding::new(RULE.id, Kind::Margin, route.field(field), message);
        if is_short == [true, true] && short_field != long_field {
            // Who mends the one side shall not meet the other next time.
            finding =
                finding.fact(Fact::given("other_mm", long_mm, 0)).fact(long.fact(LONG, 0)).related(
                    route.field(long_field),
                    "its longer side is short too: {other_mm}, less than {people_opening_long_mm}",
                );
        }
        outcomes.found(
            finding
                .help("People with gear go in, and somebody hurt is carried out: widen it, or say which other way serves for that")
                .fact(Fact::text("opening", ways.call(index)))
                .fact(Fact::given("clear_mm", value_mm, 0))
                .fact(limit.fact(key, 0))
                .fact(Fact::computed("ratio", value_mm / limit.value, 2)),
        );
    }
}

/// The clear sides of an opening, the shorter first, with their fields.
struct Sides {
    short_mm: f64,
    long_mm: f64,
    short_field: &'static str,
    long_field: &'static str,
}

fn is_round(opening: &Opening) -> bool {
    opening.shape == Some(OpeningShape::Circle)
        || (opening.shape.is_none() && opening.diameter_mm.is_some())
}

impl Sides {
    fn of(opening: &Opening) -> Option<Self> {
        if is_round(opening) {
            let mm = opening.diameter_mm?;
            let field = "diameter_mm";
            return Some(Self { short_mm: mm, long_mm: mm, short_field: field, long_field: field });
        }
        let (width_mm, height_mm) = (opening.width_mm?, opening.height_mm?);
        Some(if width_mm <= height_mm {
            Self {
                short_mm: width_mm,
                long_mm: height_mm,
                short_field: "width_mm",
                long_field: "height_mm",
            }
        } else {
            Self {
                short_mm: height_mm,
                long_mm: width_mm,
                short_field: "height_mm",
                long_field: "width_mm",
            }
        })
    }
}

/// What an opening leaves beside what people need, mm; negative where it is smaller.
pub(super) fn spare_mm(opening: &Opening, short_mm: f64, long_mm: f64) -> Option<f64> {
    let sides = Sides::of(opening)?;
    Some((sides.short_mm - short_mm).min(sides.long_mm - long_mm))
}
