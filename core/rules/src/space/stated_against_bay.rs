//! The stated room at an end is more than its bay has.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::path::Leg;
use restrand_model::route::Route;
use restrand_model::schedule::{Bay, EndName, RemovalSpace};

use crate::beyond::beyond;
use crate::context::{Context, EndAt, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::ways::{Ways, extent_at_m};

const TOLERANCE: LimitKey = LimitKey {
    name: "space_tolerance_mm",
    meaning: "how far a stated room may be more than its bay gives",
};

const SLIP: LimitKey = LimitKey {
    name: "unit_slip_share",
    meaning: "how near the ratio of two lengths is to that of two units where one is taken for the other",
};

pub(crate) const RULE: Rule = Rule {
    id: "space/stated-against-bay",
    summary: "the stated room behind and beside each anchorage against the bay in which it lies",
    kinds: &[Kind::Inconsistent],
    limits: &[TOLERANCE, SLIP],
    sources: &[Citation::new(
        "distances from the anchorage's axis to the ends, walls, floor and ceiling of its bay",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible"],
    page: include_str!("stated_against_bay.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let ways = Ways::of(context);
    if ways.bays.is_empty() {
        return outcomes.not_evaluated("schedule.bays");
    }
    for at in context.tendons() {
        for end in at.ends() {
            let Some(space) = end.end.removal_space.as_deref() else {
                outcomes.not_applicable("no room is stated");
                continue;
            };
            match gives(context, &ways, &at, &end, space) {
                Ok((bay, sides)) => judge(context, &ways, &at, &end, bay, &sides, outcomes),
                Err(field) => outcomes.not_evaluated(field),
            }
        }
    }
}

/// A side of the room: its field, how people call it, what is stated of it, and what the bay gives, mm.
struct Side {
    field: &'static str,
    word: &'static str,
    stated_mm: f64,
    given_mm: f64,
}

/// What the bay gives on each side of which the schedule states something, and which bay it is.
fn gives(
    context: &Context<'_>,
    ways: &Ways<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    space: &RemovalSpace,
) -> Result<(usize, Vec<Side>), &'static str> {
    let place = end.end.place.as_ref().ok_or("end.place")?;
    let face = end.end.face.ok_or("end.face")?;
    let lateral_m = match end.name {
        EndName::A => at.tendon.points.first(),
        EndName::B => at.tendon.points.last(),
    }
    .and_then(|point| point.lateral_m);
    let index = ways.bay_at(place.key(), face, lateral_m)?.ok_or("schedule.bays")?;
    let bay = &ways.bays[index];
    let laid = context.path(at).map_err(|none| none.field())?;
    let (leg, point) = match end.name {
        EndName::A => (laid.path.legs.first(), at.tendon.points.first()),
        EndName::B => (laid.path.legs.last(), at.tendon.points.last()),
    };
    let (leg, point) = (leg.ok_or("tendon.points")?, point.ok_or("tendon.points")?);
    let station_m = point.station_m.ok_or("tendon_point.station_m")?;
    let mut sides = Vec::new();
    let behind_mm = behind_mm(context, bay, end.name, leg, station_m, lateral_m.unwrap_or(0.0));
    if let Some(stated_mm) = space.behind_mm {
        let given_mm = behind_mm.ok_or("bay.from_m")?;
        sides.push(Side { field: "behind_mm", word: "behind", stated_mm, given_mm });
    }
    // Where nobody says how far back the room reaches, only the place of the plate counts.
    let run_m = space.behind_mm.unwrap_or(0.0) / 1000.0;
    beside(bay, end.name, leg, point, run_m, space, &mut sides);
    match sides.is_empty() {
        true => Err("removal_space.behind_mm"),
        false => Ok((index, sides)),
    }
}

/// From the bearing plate to the far end of the bay, along the axis.
fn behind_mm(
    context: &Context<'_>,
    bay: &Bay,
    name: EndName,
    leg: &Leg,
    station_m: f64,
    lateral_m: f64,
) -> Option<f64> {
    let [from_m, to_m] = extent_at_m(context, bay, lateral_m);
    let level_m = match name {
        EndName::A => station_m - from_m?,
        EndName::B => to_m? - station_m,
    };
    // Of a leg, the part along the bridge is the greatest.
    let along = leg.along.x.hypot(leg.along.y);
    (level_m > 0.0 && along > 0.0).then_some(level_m * 1000.0 / along)
}

/// Up, down, left and right, the least over the length behind the plate.
fn beside(
    bay: &Bay,
    name: EndName,
    leg: &Leg,
    point: &restrand_model::schedule::TendonPoint,
    run_m: f64,
    space: &RemovalSpace,
    sides: &mut Vec<Side>,
) {
    // Outward is away from the span.
    let out = match name {
        EndName::A => -1.0,
        EndName::B => 1.0,
    };
    let mut take = |field, word, stated_mm: Option<f64>, near_m: Option<f64>, rate: f64| {
        if let (Some(stated_mm), Some(near_m)) = (stated_mm, near_m) {
            let least_m = near_m.min(near_m + rate * out * run_m);
            sides.push(Side { field, word, stated_mm, given_mm: least_m * 1000.0 });
        }
    };
    let height_m = bay.height_mm.map(|mm| mm / 1000.0);
    if let (Some(floor_m), Some(z_m), slope) =
        (bay.floor_elevation_m, point.elevation_m, bay.floor_slope.unwrap_or(0.0))
        && slope == 0.0
    {
        let up_m = height_m.map(|height_m| floor_m + height_m - z_m);
        take("up_mm", "above", space.up_mm, up_m, -leg.along.z);
        take("down_mm", "below", space.down_mm, Some(z_m - floor_m), leg.along.z);
    }
    if let (Some(middle_m), Some(width_mm), Some(y_m)) =
        (bay.middle_lateral_m, bay.width_mm, point.lateral_m)
    {
        let half_m = width_mm / 1000.0 / 2.0;
        let left_m = middle_m + half_m - y_m;
        let right_m = y_m - (middle_m - half_m);
        take("left_mm", "to the left of", space.left_mm, Some(left_m), 0.0);
        take("right_mm", "to the right of", space.right_mm, Some(right_m), 0.0);
    }
}

fn judge(
    context: &Context<'_>,
    ways: &Ways<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    bay: usize,
    sides: &[Side],
    outcomes: &mut Outcomes,
) {
    let limit = context.limit(TOLERANCE);
    let worst = sides
        .iter()
        .filter(|side| beyond(side.stated_mm - side.given_mm, limit.value))
        .max_by(|one, other| {
            (one.stated_mm - one.given_mm).total_cmp(&(other.stated_mm - other.given_mm))
        });
    let Some(side) = worst else { return outcomes.pass() };
    let mut help =
        "The stated room holds, and everything is checked against it: measure it, or correct it"
            .to_owned();
    if let Some(slip) = slip(side.stated_mm, side.given_mm, context.limit(SLIP).value) {
        help.push_str(&format!("; {slip}"));
    }
    outcomes.found(
        Finding::new(
            RULE.id,
            Kind::Inconsistent,
            end.route.field("removal_space").field(side.field),
            format!(
                "{{stated_mm}} are stated {} the axis at {{end}} of {{tendon}}, but bay {{bay}} gives {{given_mm}}",
                if side.field == "behind_mm" { "behind the plate along" } else { side.word }
            ),
        )
        .related(Route::to("bays", bay), "the bay")
        .help(help)
        .fact(Fact::text("end", format!("end {}", end.name)))
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::text("bay", ways.call_bay(bay)))
        .fact(Fact::given("stated_mm", side.stated_mm, 0))
        .fact(Fact::computed("given_mm", side.given_mm, 0))
        .fact(limit.fact(TOLERANCE, 0))
        .fact(Fact::computed("ratio", side.stated_mm / side.given_mm, 2)),
    );
}

/// Which slip of units would make the one of the other.
fn slip(stated_mm: f64, given_mm: f64, near_share: f64) -> Option<&'static str> {
    use restrand_model::quantity::{Dimension, Unit};
    if given_mm <= 0.0 {
        return None;
    }
    let ratio = stated_mm / given_mm;
    let of = |symbol| Unit::find(symbol, Dimension::Length).map(|unit| unit.factor);
    let (inch, foot, metre) = (of("in")?, of("ft")?, of("m")?);
    [
        (metre, "millimetres may have been read as metres"),
        (foot, "inches or millimetres may have been read as feet"),
        (inch, "millimetres may have been read as inches"),
        (foot / inch, "inches may have been read as feet"),
    ]
    .into_iter()
    .find(|(factor, _)| (ratio / factor - 1.0).abs() < near_share)
    .map(|(_, why)| why)
}
