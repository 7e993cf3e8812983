//! The stated cuts are not made from the release outward, and no reason is given.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::{Cut, CutPlace, Release};

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

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if !is_to_be_replaced(at, outcomes) {
        return;
    }
    if at.tendon.cuts.is_empty() {
        return outcomes.not_applicable("no cut is stated");
    }
    let replacement = at.tendon.replacement.as_deref();
    // At an anchorage the force is let out before anything is cut.
    let is_out = matches!(
        replacement.and_then(|own| own.release),
        Some(Release::StrandByStrandAtAnchorage | Release::JackOff)
    );
    let under_force = match is_out {
        true => Ok(None),
        false => under_force(context, at),
    };
    if let Ok(Some(finding)) = under_force {
        return outcomes.found(finding);
    }
    let of_order = |outcomes: &mut Outcomes, why| match under_force {
        Err(field) => outcomes.not_evaluated(field),
        Ok(_) => outcomes.not_applicable(why),
    };
    if replacement.is_some_and(|own| own.order_reason.is_some()) {
        return of_order(outcomes, "the schedule gives a reason for its order");
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
        [] if is_out => return outcomes.not_applicable("the force is let out at an anchorage"),
        [] => return outcomes.not_evaluated("cut.purpose"),
        [release] => **release,
        _ => return of_order(outcomes, "several releases are stated"),
    };
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
///
/// # Errors
/// The field without which it is not known whether there is one.
fn under_force(context: &Context<'_>, at: &TendonAt<'_>) -> Result<Option<Finding>, &'static str> {
    let Some([cut, release]) = before_release(context, at)? else { return Ok(None) };
    if at.tendon.replacement.as_deref().and_then(|own| own.release).is_none() {
        return Err("replacement.release");
    }
    let [own, first] = [cut, release].map(|index| &at.tendon.cuts[index]);
    let stations_m = own.station_m.zip(first.station_m);
    let message = match stations_m {
        Some(_) => {
            "the cut of {tendon} at station {station_m} comes before the one that releases, at {release_m}: the tendon is cut \
             under its full force, where no clamp holds it and no restraint is planned for"
        }
        None => {
            "the cut of {tendon} with the order {order} comes before the one that releases, with {release_order}: the tendon is \
             cut under its full force, where no clamp holds it and no restraint is planned for"
        }
    };
    let route = at.route.field("cuts").item(cut).field("order");
    let finding = Finding::new(RULE.id, Kind::Inconsistent, route, message)
        .related(
            at.route.field("replacement").field("release"),
            "it is released in its free length",
        )
        .help("Put the release first, or say which cut it is; no other reason takes this away")
        .fact(Fact::text("tendon", at.mark()));
    Ok(Some(match stations_m {
        Some((station_m, release_m)) => finding
            .fact(Fact::given("station_m", station_m, 3))
            .fact(Fact::given("release_m", release_m, 3))
            .remedy("Cut at station {release_m} first"),
        None => {
            let order = |cut: &Cut| f64::from(cut.order.unwrap_or_default());
            finding.fact(Fact::given("order", order(own), 0)).fact(Fact::given(
                "release_order",
                order(first),
                0,
            ))
        }
    }))
}

/// The first cut that comes before the release of its bonded length, and that release, by their positions.
///
/// # Errors
/// The field without which it is not known whether there is one.
fn before_release(
    context: &Context<'_>,
    at: &TendonAt<'_>,
) -> Result<Option<[usize; 2]>, &'static str> {
    let cuts = at.tendon.cuts.as_slice();
    let is_release = |index: &usize| cuts[*index].purpose == Some(CutPlace::Release);
    let (releases, mut others): (Vec<usize>, Vec<usize>) = (0..cuts.len()).partition(is_release);
    // A cut without an order comes last here, so that what the others show is told.
    others.sort_by_key(|index| (cuts[*index].order.is_none(), cuts[*index].order));
    if others.is_empty() {
        return Ok(None);
    }
    if releases.is_empty() {
        return Err("cut.purpose");
    }
    let lengths = bonded_lengths(context, at);
    let mut lacks = None;
    for cut in others {
        match releases_after(cuts, cut, &releases, &lengths) {
            Ok(None) => {}
            Ok(Some(release)) => return Ok(Some([cut, release])),
            Err(field) => {
                lacks.get_or_insert(field);
            }
        }
    }
    lacks.map_or(Ok(None), Err)
}

/// The release that comes after a cut that rests on it.
fn releases_after(
    cuts: &[Cut],
    cut: usize,
    releases: &[usize],
    lengths: &Result<Vec<usize>, &'static str>,
) -> Result<Option<usize>, &'static str> {
    let order = |index: usize| cuts[index].order.ok_or("cut.order");
    let own = order(cut)?;
    let mut orders =
        releases.iter().map(|index| Ok((order(*index)?, *index))).collect::<Result<Vec<_>, _>>()?;
    orders.sort_unstable();
    let is_after = |(order, _): &(_, usize)| *order > own;
    // Any cut whose purpose is not stated may be the release that is looked for.
    let firm = |release: usize| {
        let may_release =
            |other: &Cut| other.purpose.is_none() && other.order.is_none_or(|order| order <= own);
        match cuts.iter().any(may_release) {
            true => Err("cut.purpose"),
            false => Ok(Some(release)),
        }
    };
    if orders.iter().all(is_after) {
        return firm(orders[0].1);
    }
    if !orders.iter().any(is_after) {
        return Ok(None);
    }
    let lengths = lengths.as_ref().map_err(|field| *field)?;
    orders.retain(|(_, release)| lengths[*release] == lengths[cut]);
    match orders.first() {
        None => Err("cut.purpose"),
        Some(first) if is_after(first) => firm(first.1),
        Some(_) => Ok(None),
    }
}

/// In which bonded length each cut lies: each is released for itself.
fn bonded_lengths(context: &Context<'_>, at: &TendonAt<'_>) -> Result<Vec<usize>, &'static str> {
    let unbonded = at.tendon.replacement.as_deref().and_then(|own| own.unbonded);
    if at.tendon.bonded_points.is_empty() {
        return match unbonded {
            Some(true) => Ok(vec![0; at.tendon.cuts.len()]),
            _ => Err("tendon.bonded_points"),
        };
    }
    let bonded_m = at.tendon.bonded_points.iter().map(|point| {
        let of_place = || context.place(point.place.as_ref())?.record.station_m;
        point.station_m.or_else(of_place).ok_or("bonded_point.station_m")
    });
    let bonded_m = bonded_m.collect::<Result<Vec<_>, _>>()?;
    let length = |cut: &Cut| {
        let station_m = cut.station_m.ok_or("cut.station_m")?;
        Ok(bonded_m.iter().filter(|bonded_m| **bonded_m < station_m).count())
    };
    at.tendon.cuts.iter().map(length).collect()
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
