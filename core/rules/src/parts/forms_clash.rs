//! Guide pipes or forms of two tendons meet inside one diaphragm.

use std::collections::BTreeMap;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::SMALLEST;
use restrand_mechanics::room::{Cone, NearestPlace, nearest_of_cones};
use restrand_model::resolve::ResolvedPart;
use restrand_model::route::Route;
use restrand_model::schedule::{EndName, Permanence, Role, Status};

use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};
use crate::tendon_path::{LaidTendon, extent_m};
use crate::works::{Along, lateral_at_m};

pub(crate) const RULE: Rule = Rule {
    id: "parts/forms-clash",
    summary: "what is cast in for one tendon against what is cast in for another in the same concrete",
    kinds: &[Kind::Physical],
    limits: &[],
    sources: &[Citation::new(
        "nearest places of two straight cylinders or cones",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible", "schedule/duplicate-mark"],
    page: include_str!("forms_clash.md"),
    check: Check::Schedule(check),
};

/// What is cast in for a tendon in a place, as a cylinder or a cone in space.
struct Cast {
    mark: String,
    place: String,
    route: Route,
    body: Cone,
    /// Its stretch across the bridge, mm.
    across_mm: [f64; 2],
}

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let mut places: BTreeMap<String, Vec<Cast>> = BTreeMap::new();
    for at in context.tendons() {
        if at.tendon.status == Some(Status::Removed) {
            outcomes.not_applicable("the tendon is removed");
            continue;
        }
        match cast_in(context, &at) {
            Ok(casts) if casts.is_empty() => {
                outcomes.not_applicable("nothing is cast in for the tendon");
            }
            Ok(casts) => {
                for cast in casts {
                    places.entry(cast.place.clone()).or_default().push(cast);
                }
            }
            Err(field) => outcomes.not_evaluated(field),
        }
    }
    for casts in places.into_values() {
        sweep(casts, outcomes);
    }
}

/// What is cast in for a tendon at its ends and deviators.
fn cast_in(context: &Context<'_>, at: &TendonAt<'_>) -> Result<Vec<Cast>, &'static str> {
    let laid = context.path(at).map_err(|none| none.field())?;
    let along = Along::of(context, at)?;
    let mut casts = Vec::new();
    for end in at.ends() {
        let parts = context.end_parts(&end);
        let pipes = permanent(&parts).filter(|part| part.part.role != Some(Role::BearingPlate));
        // Positions on the anchorage's axis run into the span as negative ones.
        for pipe in pipes {
            let (Some(from_mm), Some(to_mm)) = (pipe.part.from_mm, pipe.part.to_mm) else {
                return Err("part.from_mm");
            };
            let (Some(rear_mm), Some(span_mm)) = (pipe.part.rear_outer_mm, pipe.part.span_outer_mm)
            else {
                return Err("part.rear_outer_mm");
            };
            let depth_m = [-from_mm.max(to_mm) / 1000.0, -from_mm.min(to_mm) / 1000.0];
            let place = end.end.place.as_ref().ok_or("end.place")?.key();
            let along_m = match end.name {
                EndName::A => depth_m,
                EndName::B => depth_m.map(|m| along.length_m() - m),
            };
            // The rear end lies at the smaller depth.
            let outer_mm = [rear_mm, span_mm];
            casts.push(cast(at, place, end.route.clone(), laid, along_m, outer_mm));
        }
    }
    for (index, deviator) in at.tendon.deviators.iter().enumerate() {
        let route = at.route.field("deviators").item(index);
        let parts = context.deviator_parts(deviator, &route);
        let outer_mm = permanent(&parts)
            .flat_map(|part| [part.part.rear_outer_mm, part.part.span_outer_mm])
            .flatten()
            .reduce(f64::min);
        // Of a flare the waist counts: it is nearest to round and straight, and never overstated.
        let Some(outer_mm) = outer_mm else { continue };
        let Some(place) = context.place(deviator.place.as_ref()) else { continue };
        // A skew place lies elsewhere where the tendon passes it than in the middle of the bridge.
        let Some(middle_m) = place.record.station_m else { continue };
        let lateral_m = lateral_at_m(at.tendon, middle_m);
        let Some(extent_m) = extent_m(place.record, lateral_m) else { continue };
        let along_m = extent_m.map(|station_m| along.at_m(station_m));
        let id = place.record.id.as_deref().unwrap_or_default();
        casts.push(cast(at, id, route, laid, along_m, [outer_mm; 2]));
    }
    Ok(casts)
}

fn permanent<'p, 'a>(parts: &'p [ResolvedPart<'a>]) -> impl Iterator<Item = &'p ResolvedPart<'a>> {
    parts.iter().filter(|part| {
        part.part.permanence == Some(Permanence::Permanent) && part.part.role != Some(Role::Tube)
    })
}

fn cast(
    at: &TendonAt<'_>,
    place: &str,
    route: Route,
    laid: &LaidTendon,
    along_m: [f64; 2],
    outer_mm: [f64; 2],
) -> Cast {
    let ends = along_m.map(|along_m| point_mm(laid, along_m));
    let [from_radius_mm, to_radius_mm] = outer_mm.map(|mm| mm / 2.0);
    let radius_mm = from_radius_mm.max(to_radius_mm);
    let across = ends.map(|[_, y, _]| y);
    Cast {
        mark: at.mark(),
        place: place.to_owned(),
        route,
        body: Cone { from_mm: ends[0], to_mm: ends[1], from_radius_mm, to_radius_mm },
        across_mm: [across[0].min(across[1]) - radius_mm, across[0].max(across[1]) + radius_mm],
    }
}

/// The point of the polygon at a length from end a, mm.
fn point_mm(laid: &LaidTendon, along_m: f64) -> [f64; 3] {
    let mut rest_m = along_m;
    let legs = &laid.path.legs;
    for (index, leg) in legs.iter().enumerate() {
        if rest_m <= leg.length_m || index + 1 == legs.len() {
            let from = leg.from;
            return [
                from.x_m + leg.along.x * rest_m,
                from.y_m + leg.along.y * rest_m,
                from.z_m + leg.along.z * rest_m,
            ]
            .map(|m| m * 1000.0);
        }
        rest_m -= leg.length_m;
    }
    [0.0; 3]
}

/// Compares what is cast in in one place, from right to left; only what overlaps across is looked at.
fn sweep(mut casts: Vec<Cast>, outcomes: &mut Outcomes) {
    casts.sort_by(|one, other| one.across_mm[0].total_cmp(&other.across_mm[0]));
    // Of two tendons the deepest clash is told.
    let mut deepest: BTreeMap<[&str; 2], (NearestPlace, &Cast, &Cast)> = BTreeMap::new();
    for (index, one) in casts.iter().enumerate() {
        let mut clashes = false;
        for other in &casts[index + 1..] {
            if other.across_mm[0] >= one.across_mm[1] {
                break;
            }
            if other.mark == one.mark {
                continue;
            }
            let Ok(near) = nearest_of_cones(&one.body, &other.body) else { continue };
            if near.gap_mm >= 0.0 {
                continue;
            }
            clashes = true;
            let mut pair = [one.mark.as_str(), other.mark.as_str()];
            pair.sort_unstable();
            let known = deepest.entry(pair).or_insert((near, one, other));
            if near.gap_mm < known.0.gap_mm {
                *known = (near, one, other);
            }
        }
        if !clashes {
            outcomes.pass();
        }
    }
    for (near, one, other) in deepest.into_values() {
        outcomes.found(clash(one, other, near.axes_mm, near.gap_mm));
    }
}

fn clash(one: &Cast, other: &Cast, axes_mm: f64, gap_mm: f64) -> Finding {
    // Axes that cross are none apart, whatever rounding leaves.
    let axes_mm = if axes_mm < SMALLEST { 0.0 } else { axes_mm };
    Finding::new(
        RULE.id,
        Kind::Physical,
        one.route.clone(),
        "in the concrete of {place} what is cast in for {tendon} and for {other} overlaps by {overlap_mm}: the axes come within \
         {axes_mm}",
    )
    .related(other.route.clone(), "the other one")
    .rests_on([&one.route, &other.route].into_iter().flat_map(|at| {
        let tendon = at.up_to(2);
        [tendon.field("points"), tendon.field("mark")]
    }))
    .help("Move one of the tendons, or correct its points: both pipes cannot be cast where they are stated")
    .fact(Fact::text("place", one.place.as_str()))
    .fact(Fact::text("tendon", one.mark.as_str()))
    .fact(Fact::text("other", other.mark.as_str()))
    .fact(Fact::computed("axes_mm", axes_mm, 0))
    .fact(Fact::computed("overlap_mm", -gap_mm, 0))
    .fact(Fact::computed("needed_mm", axes_mm - gap_mm, 0).at_least())
    .remedy("Keep the axes {needed_mm} apart at least")
}
