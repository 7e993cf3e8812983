//! People do not get through an opening on the way in as they should.

use std::collections::BTreeSet;

use restrand_finding::{Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;

use super::ways_or_said;
use crate::beyond::short_of;
use crate::context::Context;
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::ways::{Side, is_round, lacking_for_people_mm, sides, spare_for_people_mm};

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
    let needed_mm = [short.value, long.value];
    // A hose hole is no way for people: of several ways each bay is reached by the widest.
    let reached = ways.widest(|door| spare_for_people_mm(&ways.openings[door.opening], needed_mm));
    let used: BTreeSet<usize> =
        (0..ways.bays.len()).flat_map(|bay| ways.chain(&reached, bay)).collect();
    for (index, opening) in ways.openings.iter().enumerate() {
        let route = Route::to("openings", index);
        let Some([shorter, longer]) = sides(opening) else {
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
        let (
            Side { mm: short_mm, field: short_field, .. },
            Side { mm: long_mm, field: long_field, .. },
        ) = (shorter, longer);
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
        let names = [("more_mm", "{more_mm} more"), ("other_more_mm", "{other_more_mm} more")];
        let lacking = lacking_for_people_mm(opening, needed_mm);
        let mut changes = Vec::new();
        for ((side, more_mm), (name, words)) in lacking.into_iter().zip(names) {
            finding = finding.fact(Fact::computed(name, more_mm, 1).at_least());
            changes.push(format!("{words} {}", side.word));
        }
        outcomes.found(
            finding
                .remedy(format!("Make opening {{opening}} larger: {}", changes.join(" and ")))
                .help("People with gear go in, and somebody hurt is carried out: widen it, or say which other way serves for that")
                .fact(Fact::text("opening", ways.call(index)))
                .fact(Fact::given("clear_mm", value_mm, 0))
                .fact(limit.fact(key, 0))
                .fact(Fact::computed("ratio", value_mm / limit.value, 2)),
        );
    }
}
