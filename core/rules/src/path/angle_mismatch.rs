//! The stated angle of a deviator is not the true one between its two legs.

use restrand_finding::{Citation, Class, Correction, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::path::{PitchYaw, angle_between_rad, pitch_yaw};

use crate::beyond::beyond;
use crate::context::{Context, TendonAt};
use crate::mended;
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::tendon_path::{DeviatorSpot, LaidTendon, external_or_said};

const TOLERANCE: LimitKey = LimitKey {
    name: "angle_report_tolerance_rad",
    meaning: "by how much a stated angle of deviation may differ from the true one",
};

pub(crate) const RULE: Rule = Rule {
    id: "path/angle-mismatch",
    summary: "the stated angle of each deviation against the true angle between its legs in space",
    kinds: &[Kind::Inconsistent],
    limits: &[TOLERANCE],
    sources: &[Citation::new(
        "geometry: the angle between two directions in space, the alignment's curve included",
        Evidence::Derived,
    )],
    correction: Corrects::Offers(&[Class::Recompute], offer),
    implied_by: &["path/points-impossible"],
    page: include_str!("angle_mismatch.md"),
    check: Check::Tendons(check),
};

/// The true angle.
fn offer(context: &Context<'_>, offered: &mut Vec<Correction>) {
    for at in context.tendons() {
        let mend = (Class::Recompute, "true_angle_rad", REASON);
        offered.extend(mended::by_fact(context, &at, check, mend, &[at.route.field("points")]));
    }
}

const REASON: &str =
    "the turn at {place} was stated as {stated_angle_rad}; the legs meet at {true_angle_rad}";

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.tendon.deviators.is_empty() {
        return outcomes.not_applicable("the tendon has no deviator");
    }
    let Some(laid) = external_or_said(context, at, outcomes) else { return };
    for (index, deviator) in at.tendon.deviators.iter().enumerate() {
        let Some(stated_rad) = deviator.angle_rad else {
            outcomes.not_evaluated("deviator.angle_rad");
            continue;
        };
        let Some([before, after]) = laid.directions_at(index) else {
            match laid.deviators[index] {
                DeviatorSpot::Unknown(field) => outcomes.not_evaluated(field),
                _ => outcomes.not_evaluated("deviator.place"),
            }
            continue;
        };
        let Ok(true_rad) = angle_between_rad(before, after) else {
            outcomes.not_evaluated("tendon.points");
            continue;
        };
        if beyond((stated_rad - true_rad).abs(), context.limit(TOLERANCE).value) {
            let angles = Angles { stated_rad, true_rad, parts: parts(laid, index) };
            outcomes.found(finding(context, at, index, &angles));
        } else {
            outcomes.pass();
        }
    }
}

struct Angles {
    stated_rad: f64,
    true_rad: f64,
    /// The changes of pitch and of yaw, as seen in elevation and in plan.
    parts: Option<[f64; 2]>,
}

/// How much the tendon turns in elevation and in plan.
fn parts(laid: &LaidTendon, deviator: usize) -> Option<[f64; 2]> {
    let legs = laid.directions_at(deviator)?;
    // Against one heading for both, so that the turn in plan is the tendon's own.
    let [before, after]: [PitchYaw; 2] =
        [pitch_yaw(legs[0], 0.0).ok()?, pitch_yaw(legs[1], 0.0).ok()?];
    Some([(after.pitch_rad - before.pitch_rad).abs(), (after.yaw_rad - before.yaw_rad).abs()])
}

fn finding(context: &Context<'_>, at: &TendonAt<'_>, index: usize, angles: &Angles) -> Finding {
    let limit = context.limit(TOLERANCE);
    let deviator = &at.tendon.deviators[index];
    let Angles { stated_rad, true_rad, .. } = *angles;
    let mut finding = Finding::new(
        RULE.id,
        Kind::Inconsistent,
        at.route.field("deviators").item(index).field("angle_rad"),
        "at {place} {tendon} is stated to turn by {stated_angle_rad}, but its legs meet at {true_angle_rad}",
    )
    .related(at.route.field("points"), "the points")
    .help(
        "Friction, deviation force and the form hang on the true angle between the legs in space: state it, or \
         correct the point that is wrong",
    )
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("place", deviator.place.as_ref().map_or("a deviator", |place| place.key())))
    .fact(Fact::given("stated_angle_rad", stated_rad, 4))
    .fact(Fact::computed("true_angle_rad", true_rad, 4))
    .fact(Fact::computed("difference_rad", (stated_rad - true_rad).abs(), 4))
    .fact(limit.fact(TOLERANCE, 4))
    .fact(Fact::computed("ratio", (stated_rad - true_rad).abs() / limit.value, 2));
    if let Some([elevation_rad, plan_rad]) = angles.parts {
        finding = finding
            .fact(Fact::computed("elevation_angle_rad", elevation_rad, 4))
            .fact(Fact::computed("plan_angle_rad", plan_rad, 4));
    }
    finding = finding.remedy("State {true_angle_rad}");
    match meant(angles, limit.value) {
        Some(text) => finding.remedy(text),
        None => finding,
    }
}

/// What else the stated angle is.
fn meant(angles: &Angles, tolerance_rad: f64) -> Option<&'static str> {
    let Angles { stated_rad, true_rad, parts } = *angles;
    let is = |other_rad: f64| (stated_rad - other_rad).abs() <= tolerance_rad;
    if let Some([elevation_rad, plan_rad]) = parts {
        let both = elevation_rad > tolerance_rad && plan_rad > tolerance_rad;
        if both && is(elevation_rad + plan_rad) {
            return Some(
                "What is stated is the sum of {elevation_angle_rad} in elevation and {plan_angle_rad} in plan, which \
                 is more than the angle in space",
            );
        }
        if both && is(elevation_rad) {
            return Some(
                "What is stated is the angle in elevation alone; in plan there are {plan_angle_rad}",
            );
        }
        if both && is(plan_rad) {
            return Some(
                "What is stated is the angle in plan alone; in elevation there are {elevation_angle_rad}",
            );
        }
    }
    if is(true_rad / 2.0) {
        return Some("What is stated is half the angle, as from a leg to the bisector");
    }
    // Degrees in a column of radians.
    is_degrees(stated_rad, true_rad)
        .then_some("What is stated are degrees: the column is in radians")
}

fn is_degrees(stated_rad: f64, true_rad: f64) -> bool {
    let off = stated_rad.to_radians() / true_rad - 1.0;
    (off * 100.0).abs() < 2.0
}
