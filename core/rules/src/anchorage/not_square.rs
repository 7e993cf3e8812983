//! A tendon meets its bearing plate askew.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::path::{PitchYaw, angle_to_axis_rad, axis};
use restrand_model::schedule::EndName;

use crate::beyond::beyond;
use crate::context::{Context, EndAt, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::tendon_path::or_said;

const SQUARE: LimitKey = LimitKey {
    name: "square_tolerance_rad",
    meaning: "angle between a tendon and the normal of its bearing plate",
};

pub(crate) const RULE: Rule = Rule {
    id: "anchorage/not-square",
    summary: "the tendon's direction at each end against the anchorage's stated axis, and the stated angle between them",
    kinds: &[Kind::Margin],
    limits: &[SQUARE],
    sources: &[Citation::new("angle in space between two directions", Evidence::Derived)],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible"],
    page: include_str!("not_square.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    let Some(laid) = or_said(context, at, outcomes) else { return };
    for end in at.ends() {
        let leg = match end.name {
            EndName::A => laid.path.legs.first(),
            EndName::B => laid.path.legs.last(),
        };
        match leg.ok_or("tendon.points").and_then(|leg| angle(context, at, &end, leg.along)) {
            Ok((angle_rad, field)) => judge(context, at, &end, angle_rad, field, outcomes),
            Err(field) => outcomes.not_evaluated(field),
        }
    }
}

/// The larger of the stated angle and that between tendon and stated axis, with the field it comes from.
fn angle(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    along: restrand_mechanics::path::Direction,
) -> Result<(f64, &'static str), &'static str> {
    let stated = end.end.out_of_square_rad.map(|angle_rad| (angle_rad, "out_of_square_rad"));
    let turned = match (end.end.pitch_rad, end.end.yaw_rad) {
        (Some(pitch_rad), Some(yaw_rad)) => PitchYaw { pitch_rad, yaw_rad },
        (Some(_), None) => return stated.ok_or("end.yaw_rad"),
        (None, _) => return stated.ok_or("end.pitch_rad"),
    };
    let point = match end.name {
        EndName::A => at.tendon.points.first(),
        EndName::B => at.tendon.points.last(),
    };
    let station_m = point.and_then(|point| point.station_m).ok_or("tendon_point.station_m")?;
    let alignment = context.alignment().map_err(|none| none.field())?;
    let heading_rad = alignment.heading_rad(station_m).map_err(|_| "schedule.alignment")?;
    let own = axis(turned, heading_rad).map_err(|_| "end.pitch_rad")?;
    let computed = angle_to_axis_rad(along, own).map_err(|_| "tendon.points")?;
    Ok(match stated {
        Some(stated) if stated.0 > computed => stated,
        _ => (computed, "pitch_rad"),
    })
}

fn judge(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    angle_rad: f64,
    field: &'static str,
    outcomes: &mut Outcomes,
) {
    let limit = context.limit(SQUARE);
    if !beyond(angle_rad, limit.value) {
        return outcomes.pass();
    }
    let (message, help) = match field {
        "out_of_square_rad" => (
            "{end} of {tendon} is stated to stand {angle_rad} out of square to its bearing plate, more than {square_tolerance_rad}",
            "Strands bend at the edge of the wedge plate's holes: turn the plate square, or correct the angle",
        ),
        _ => (
            "at {end} of {tendon} the stated axis of the anchorage and the tendon's last leg differ by {angle_rad}, more than \
             {square_tolerance_rad}",
            "Correct slope and turn of the anchorage's axis, or the tendon's points; a sign may be lost, or degrees meant",
        ),
    };
    let mut finding = Finding::new(RULE.id, Kind::Margin, end.route.field(field), message)
        .help(help)
        .fact(Fact::text("end", format!("end {}", end.name)))
        .fact(Fact::text("tendon", at.mark()))
        .fact(match field {
            "out_of_square_rad" => Fact::given("angle_rad", angle_rad, 4),
            _ => Fact::computed("angle_rad", angle_rad, 4),
        })
        .fact(limit.fact(SQUARE, 4))
        .fact(Fact::computed("ratio", angle_rad / limit.value, 2));
    if field == "pitch_rad" {
        finding = finding.related(at.route.field("points"), "the tendon's points");
    }
    outcomes.found(finding);
}
