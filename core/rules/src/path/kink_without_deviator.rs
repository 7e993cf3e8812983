//! A tendon bends in the open, where nothing turns it.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::path::crossing;

use crate::beyond::beyond;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::tendon_path::external_or_said;

pub(crate) const KINK: LimitKey = LimitKey {
    name: "kink_free_rad",
    meaning: "angle by which a tendon may turn without a deviator",
};

pub(crate) const RULE: Rule = Rule {
    id: "path/kink-without-deviator",
    summary: "the angle at each point against what a tendon may turn by where no deviator stands",
    kinds: &[Kind::Inconsistent],
    limits: &[KINK],
    sources: &[Citation::new(
        "statics: a tendon under force is straight between what holds it",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible"],
    page: include_str!("kink_without_deviator.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    let Some(laid) = external_or_said(context, at, outcomes) else { return };
    if laid.corners.is_empty() {
        return outcomes.not_applicable("the tendon is straight");
    }
    for (index, corner) in laid.corners.iter().enumerate() {
        let stated = &at.tendon.points[index + 1];
        if corner.deviator.is_some() {
            outcomes.not_applicable("a deviator stands there");
        } else if stated.place.is_some() {
            outcomes.not_applicable("the point is at a place, where its form is asked for");
        } else if laid.deviators.iter().any(|spot| spot.is_unknown()) {
            // One of the deviators may stand here.
            outcomes.not_evaluated("deviator.place");
        } else if beyond(laid.path.bends[index].angle_rad, context.limit(KINK).value) {
            outcomes.found(finding(context, at, index, laid.path.bends[index].angle_rad));
        } else {
            outcomes.pass();
        }
    }
}

fn finding(context: &Context<'_>, at: &TendonAt<'_>, corner: usize, angle_rad: f64) -> Finding {
    let limit = context.limit(KINK);
    let points = at.route.field("points");
    let stated = &at.tendon.points[corner + 1];
    let mut finding = Finding::new(
        RULE.id,
        Kind::Inconsistent,
        points.item(corner + 1),
        "{tendon} turns by {angle_rad} at point {point}, where the schedule has no deviator; without one a tendon may \
         turn by {kink_free_rad}",
    )
    .help("Under force the tendon is straight there: name the deviator that turns it, or correct the point")
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::given("point", (corner + 2) as f64, 0))
    .fact(Fact::computed("angle_rad", angle_rad, 4))
    .fact(limit.fact(KINK, 4))
    .fact(Fact::computed("ratio", angle_rad / limit.value, 2));
    if let Some(station_m) = stated.station_m {
        finding = finding.fact(Fact::given("station_m", station_m, 3));
        if let Some([lateral_m, elevation_m]) = straight(context, at, corner, station_m) {
            finding = finding
                .fact(Fact::computed("straight_lateral_m", lateral_m, 3))
                .fact(Fact::computed("straight_elevation_m", elevation_m, 3))
                .remedy(
                    "Put the point on the line between its neighbours: lateral {straight_lateral_m}, elevation \
                     {straight_elevation_m}; or leave it out",
                );
        }
    }
    finding.remedy("List the deviator that stands at station {station_m}, with its place and form")
}

/// Lateral and elevation of the line between the neighbours of a corner, at its station.
fn straight(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    corner: usize,
    station_m: f64,
) -> Option<[f64; 2]> {
    let alignment = context.alignment().ok()?;
    let place = |index: usize| {
        let point = at.tendon.points.get(index)?;
        alignment.point(point.station_m?, point.lateral_m?, point.elevation_m?).ok()
    };
    let crossed = crossing(alignment, place(corner)?, place(corner + 2)?, station_m).ok()?;
    Some([crossed.lateral_m, crossed.elevation_m])
}
