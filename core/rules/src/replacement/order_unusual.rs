//! The stated cuts are not made from the release outward, and no reason is given.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::{CutPlace, Release};

use super::is_to_be_replaced;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "replacement/order-unusual",
    summary: "the order of the stated cuts: the release first, then outward on each side",
    kinds: &[Kind::Inconsistent, Kind::Note],
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
    if let Some(finding) = under_force(at) {
        return outcomes.found(finding);
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
    // At an anchorage the force is let out before anything is cut.
    let is_out = matches!(
        at.tendon.replacement.as_deref().and_then(|own| own.release),
        Some(Release::StrandByStrandAtAnchorage | Release::JackOff)
    );
    if cuts[0].2 != release.2 && !is_out {
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

/// A cut before the one that releases, of a tendon that is released in its free length: no reason makes that one right.
fn under_force(at: &TendonAt<'_>) -> Option<Finding> {
    let replacement = at.tendon.replacement.as_deref();
    let release = replacement.and_then(|own| own.release)?;
    if !matches!(release, Release::StrandByStrandInFreeLength | Release::Heating) {
        return None;
    }
    let (releases, others): (Vec<_>, Vec<_>) = at
        .tendon
        .cuts
        .iter()
        .enumerate()
        .filter_map(|(index, cut)| Some((cut.order?, cut.station_m?, index, cut.purpose?)))
        .partition(|(.., purpose)| *purpose == CutPlace::Release);
    let (order, release_m, ..) = releases.into_iter().min_by_key(|(order, ..)| *order)?;
    let (_, station_m, index, _) =
        others.into_iter().filter(|(own, ..)| *own < order).min_by_key(|(own, ..)| *own)?;
    Some(
        Finding::new(
            RULE.id,
            Kind::Inconsistent,
            at.route.field("cuts").item(index).field("order"),
            "the cut of {tendon} at station {station_m} comes before the one that releases, at {release_m}: the tendon is cut \
             under its full force, where no clamp holds it and no restraint is planned for",
        )
        .related(at.route.field("replacement").field("release"), "it is released in its free length")
        .help("Put the release first, or say which cut it is; no other reason takes this away")
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::given("station_m", station_m, 3))
        .fact(Fact::given("release_m", release_m, 3))
        .remedy("Cut at station {release_m} first"),
    )
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
