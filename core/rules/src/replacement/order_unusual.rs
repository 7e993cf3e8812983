//! The stated cuts are not made from the release outward, and no reason is given.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::CutPlace;

use super::is_to_be_replaced;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "replacement/order-unusual",
    summary: "the order of the stated cuts: the release first, then outward on each side",
    kinds: &[Kind::Note],
    limits: &[],
    sources: &[Citation::new(
        "common practice, no source: pieces from the first cut outward",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("order_unusual.md"),
    check: Check::Tendons(check),
};

fn check(_: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if !is_to_be_replaced(at, outcomes) {
        return;
    }
    if at.tendon.cuts.is_empty() {
        return outcomes.not_applicable("no cut is stated");
    }
    if at.tendon.replacement.as_deref().is_some_and(|own| own.order_reason.is_some()) {
        return outcomes.not_applicable("the schedule gives a reason for its order");
    }
    let mut cuts = Vec::new();
    for (index, cut) in at.tendon.cuts.iter().enumerate() {
        match (cut.order, cut.station_m) {
            (Some(order), Some(station_m)) => cuts.push((order, station_m, index, cut.purpose)),
            (None, _) => return outcomes.not_evaluated("cut.order"),
            (_, None) => return outcomes.not_evaluated("cut.station_m"),
        }
    }
    cuts.sort_by_key(|(order, ..)| *order);
    let releases: Vec<_> =
        cuts.iter().filter(|(.., purpose)| *purpose == Some(CutPlace::Release)).collect();
    // Several bonded lengths are released each by itself: what is outward is then not told by the order.
    let release = match releases.as_slice() {
        [] => return outcomes.not_evaluated("cut.purpose"),
        [release] => **release,
        _ => return outcomes.not_applicable("several releases are stated"),
    };
    if cuts[0].2 != release.2 {
        let (_, station_m, index, _) = cuts[0];
        return outcomes.found(
            told(
                at,
                index,
                "the first cut of {tendon}, at station {station_m}, is not the one that releases: that is at {release_m}",
            )
            .fact(Fact::given("station_m", station_m, 3))
            .fact(Fact::given("release_m", release.1, 3)),
        );
    }
    for is_up in [false, true] {
        let side = cuts.iter().filter(|(_, station_m, ..)| (*station_m > release.1) == is_up);
        let mut furthest_m: Option<f64> = None;
        for (_, station_m, index, _) in side {
            let away_m = (station_m - release.1).abs();
            if let Some(so_far_m) = furthest_m
                && away_m < so_far_m
            {
                return outcomes.found(
                    told(
                        at,
                        *index,
                        "the cut of {tendon} at station {station_m} comes after one that lies further from the release at {release_m}",
                    )
                    .fact(Fact::given("station_m", *station_m, 3))
                    .fact(Fact::given("release_m", release.1, 3)),
                );
            }
            furthest_m = Some(away_m);
        }
    }
    outcomes.pass();
}

fn told(at: &TendonAt<'_>, index: usize, message: &str) -> Finding {
    let route = at.route.field("cuts").item(index).field("order");
    Finding::new(RULE.id, Kind::Note, route, message)
        .help(
            "Cut from the release outward, so that no piece hangs between two that are gone; or give the reason for another \
             order",
        )
        .fact(Fact::text("tendon", at.mark()))
}
