//! An anchor set, or the draw-in at a dead end, is not what wedges give.

use restrand_finding::{Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;
use restrand_model::schedule::{EndKind, Status};

use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const LEAST: LimitKey = LimitKey { name: "set_least_mm", meaning: "least usual anchor set" };
const MOST: LimitKey = LimitKey { name: "set_most_mm", meaning: "greatest usual anchor set" };
const SEATING_LEAST: LimitKey = LimitKey {
    name: "dead_end_seating_least_mm",
    meaning: "least usual draw-in of the wedges at a dead end",
};
const SEATING_MOST: LimitKey = LimitKey {
    name: "dead_end_seating_most_mm",
    meaning: "greatest usual draw-in of the wedges at a dead end",
};

pub(crate) const RULE: Rule = Rule {
    id: "stressing/set-unusual",
    summary: "anchor set and draw-in at the dead end, stated and measured, against what wedges give",
    kinds: &[Kind::Margin],
    limits: &[LEAST, MOST, SEATING_LEAST, SEATING_MOST],
    sources: &[],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("set_unusual.md"),
    check: Check::Tendons(check),
};

/// A length by which strand goes in with its wedges, as stated.
struct DrawIn {
    set_mm: f64,
    route: Route,
    what: &'static str,
    band: [LimitKey; 2],
}

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.tendon.status == Some(Status::Removed) {
        return outcomes.not_applicable("the tendon is removed");
    }
    let mut is_stated = false;
    for draw_in in stated(at, outcomes) {
        is_stated |= draw_in.band[0] == LEAST;
        one(context, at, draw_in, outcomes);
    }
    if !is_stated {
        outcomes.not_evaluated("stressing.set_mm");
    }
}

fn stated(at: &TendonAt<'_>, outcomes: &mut Outcomes) -> Vec<DrawIn> {
    let mut found = Vec::new();
    let mut set = |set_mm: Option<f64>, route: Route, what| {
        found.extend(set_mm.map(|set_mm| DrawIn { set_mm, route, what, band: [LEAST, MOST] }));
    };
    for end in at.ends() {
        match end.end.kind {
            // Nothing seats there at the release of a jack.
            Some(EndKind::Embedded) => {
                outcomes.not_applicable("the end is embedded");
            }
            _ => set(end.end.set_mm, end.route.field("set_mm"), "is to have a set of"),
        }
    }
    let stressing = at.tendon.stressing.as_deref();
    let route = at.route.field("stressing");
    let common = stressing.and_then(|stressing| stressing.set_mm);
    set(common, route.field("set_mm"), "is to have a set of");
    for (index, measured) in at.tendon.measurements.iter().enumerate() {
        let route = at.route.field("measurements").item(index).field("set_mm");
        set(measured.set_mm, route, "has a measured set of");
    }
    let seating = stressing.and_then(|stressing| stressing.dead_end_seating_mm);
    found.extend(seating.map(|set_mm| DrawIn {
        set_mm,
        route: route.field("dead_end_seating_mm"),
        what: "is to have its wedges at the dead end drawn in by",
        band: [SEATING_LEAST, SEATING_MOST],
    }));
    found
}

fn one(context: &Context<'_>, at: &TendonAt<'_>, draw_in: DrawIn, outcomes: &mut Outcomes) {
    let DrawIn { set_mm, route, what, band: [least, most] } = draw_in;
    let (key, how, remedy) = if set_mm < context.limit(least).value {
        let remedy = "State the set that the anchorage gives; where a ring or shims hold the wedge plate \
                      so that nothing goes in, say so and waive this";
        (least, "less than", remedy)
    } else if set_mm > context.limit(most).value {
        let remedy = "State the set that the anchorage gives; where it is so, seat the wedges with power, \
                      or lift the plate off and shim it";
        (most, "more than", remedy)
    } else {
        return outcomes.pass();
    };
    let limit = context.limit(key);
    let message = format!(
        "tendon {{tendon}} {what} {{set_mm}}, {how} {{{}}}, as wedges usually give",
        key.name
    );
    outcomes.found(
        Finding::new(RULE.id, Kind::Margin, route, message)
            .help(
                "What goes in at the anchor is force lost near it, all the more on a short tendon: see that \
                 the length is right and in the unit of its column, and recompute forces with it",
            )
            .fact(Fact::text("tendon", at.mark()))
            .fact(Fact::given("set_mm", set_mm, 1))
            .fact(limit.fact(key, 1))
            .fact(Fact::computed("ratio", set_mm / limit.value, 3))
            .remedy(remedy),
    );
}

#[cfg(test)]
mod tests {
    use restrand_finding::{Citation, Evidence};
    use restrand_model::reflect::Date;
    use restrand_model::schedule::{Schedule, Stressing, Tendon};

    use super::*;
    use crate::book::{Limit, Rulebook};

    fn found(set_mm: f64, seating_mm: f64) -> usize {
        let limit = |(key, value): (LimitKey, f64)| {
            let citation = Citation::new("a source", Evidence::Derived);
            (key.name.to_owned(), Limit { value, citation, book: "test".to_owned() })
        };
        let limits = [(LEAST, 3.0), (MOST, 10.0), (SEATING_LEAST, 2.0), (SEATING_MOST, 4.0)];
        let book =
            Rulebook { limits: limits.into_iter().map(limit).collect(), ..Rulebook::default() };
        let schedule = Schedule {
            tendons: vec![Tendon {
                stressing: Some(Box::new(Stressing {
                    set_mm: Some(set_mm),
                    dead_end_seating_mm: Some(seating_mm),
                    ..Stressing::default()
                })),
                ..Tendon::default()
            }],
            ..Schedule::default()
        };
        let context = Context::new(&schedule, &[], &[], &book, Date::new(2031, 5, 7).unwrap());
        let mut outcomes = Outcomes::of(RULE.id);
        for at in context.tendons() {
            check(&context, &at, &mut outcomes);
        }
        outcomes.findings.len()
    }

    #[test]
    fn the_ends_of_the_bands_are_within() {
        for (set_mm, seating_mm, expected) in [
            (3.0, 2.0, 0),
            (10.0, 4.0, 0),
            (2.99, 2.0, 1),
            (10.01, 4.0, 1),
            (6.0, 1.99, 1),
            (6.0, 4.01, 1),
            (0.0, 0.0, 2),
        ] {
            assert_eq!(found(set_mm, seating_mm), expected, "{set_mm} {seating_mm}");
        }
    }
}
