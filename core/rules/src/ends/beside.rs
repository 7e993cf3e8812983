//! What is beside a jack at an end: the walls of the room, obstacles, tendons and caps that stay.
//!
//! Rules judge it, and plans tell it.

use restrand_mechanics::room::{Envelope, Side, wall_gap_mm};
use restrand_model::schedule::Jack;

use super::axis::EndAxis;
use super::jack::{JackBody, JackNeeds};
use super::near::Nearest;
use super::obstacles::{Obstacle, OwnBox};
use super::room::{Clear, ClearBehind, ClearSide, clear_behind, radius_or_any};
use crate::context::{Context, EndAt, TendonAt};

/// The clear length behind the bearing plate for a jack, as far as the first obstacle in its way.
///
/// # Errors
/// The field without which it is not known.
pub fn clear_for_jack(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    jack: &Jack,
) -> Result<ClearBehind, &'static str> {
    let anchorage = context.anchorage(end.end).map(|found| found.record);
    // Its width only matters where something may stand in its way.
    let (radius_mm, field) = match JackBody::of(jack, anchorage) {
        Ok(body) => (Some(body.radius_mm), ""),
        Err(field) => (None, field),
    };
    clear_behind(context, at, end, radius_or_any(context, at, end, radius_mm, field)?)
}

/// What a wall leaves beside a jack.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WallGap {
    /// The side of the room.
    pub side: ClearSide,
    /// The clear distance from the axis there.
    pub clear: Clear,
    /// What is left beside jack and hoses, mm; negative where they do not fit.
    pub gap_mm: f64,
}

/// What the walls leave beside a jack with its hoses, on each side that is known.
///
/// # Errors
/// The field that cannot be right.
pub fn wall_gaps(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    envelope: &Envelope,
) -> Result<Vec<WallGap>, &'static str> {
    let sides = context.room(at, end).sides;
    let known = sides.into_iter().filter_map(|side| Some((side, side.clear?)));
    known
        .map(|(side, clear)| {
            let gap_mm = wall_gap(envelope, side.side, clear.mm)?;
            Ok(WallGap { side, clear, gap_mm })
        })
        .collect()
}

/// What a wall at a distance from the axis leaves beside a jack with its hoses, mm.
pub(crate) fn wall_gap(
    envelope: &Envelope,
    side: Side,
    clear_mm: f64,
) -> Result<f64, &'static str> {
    wall_gap_mm(envelope, side, clear_mm).map_err(|_| "jack.diameter_mm")
}

/// The obstacle that comes nearest beside the travel of a jack, and what is left to it, mm; negative where the hoses run
/// into it. One in the way of the jack itself ends the room instead: [`clear_for_jack`].
///
/// # Errors
/// The field without which it is not known.
pub fn nearest_obstacle<'c>(
    context: &'c Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    envelope: &Envelope,
    needs: &JackNeeds,
) -> Result<Option<(&'c Obstacle, f64)>, &'static str> {
    let mut nearest: Option<(&Obstacle, f64)> = None;
    let obstacles = context.obstacles(at, end)?;
    let boxes =
        obstacles.iter().flat_map(|obstacle| obstacle.boxes.iter().map(move |one| (obstacle, one)));
    for (obstacle, one) in boxes {
        let aside_mm = one.aside_mm();
        let is_beside = one.along_mm[1] > needs.head_rear_mm
            && one.along_mm[0] < needs.most_mm()
            && aside_mm >= envelope.radius_mm;
        if !is_beside {
            continue;
        }
        let gap_mm = (aside_mm - envelope.radius_mm).min(before_hoses_mm(envelope, one));
        if nearest.is_none_or(|(_, so_far)| gap_mm < so_far) {
            nearest = Some((obstacle, gap_mm));
        }
    }
    Ok(nearest)
}

/// The tendon or cap that stays and comes nearest to a jack over its travel, where one comes within `clear_mm`.
///
/// # Errors
/// The field without which it is not known.
pub fn nearest_live(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    body: &JackBody,
    needs: &JackNeeds,
    clear_mm: f64,
) -> Result<Option<Nearest>, &'static str> {
    let axis = EndAxis::of(context, at, end)?;
    let standing = context.standing();
    let near = body
        .stretches(needs.head_rear_mm, needs.most_mm())
        .into_iter()
        .filter_map(|stretch| standing.nearest(at.position, &axis, stretch, clear_mm))
        .min_by(|one, other| one.gap_mm.total_cmp(&other.gap_mm));
    match (near, standing.unknown()) {
        (None, Some(field)) => Err(field),
        (near, _) => Ok(near),
    }
}

/// What is left between hoses and an obstacle that stands in the plane in which they leave, mm.
fn before_hoses_mm(envelope: &Envelope, obstacle: &OwnBox) -> f64 {
    if envelope.hose_mm <= 0.0 {
        return f64::INFINITY;
    }
    let (upright, across) = (obstacle.up_mm, obstacle.left_mm);
    let turned = |[low, high]: [f64; 2]| [-high, -low];
    let ([low, high], beside) = match envelope.hose_side {
        Side::Up => (upright, across),
        Side::Down => (turned(upright), across),
        Side::Left => (across, upright),
        Side::Right => (turned(across), upright),
    };
    let is_in_plane = beside[0] < 0.0 && beside[1] > 0.0;
    if is_in_plane && high > 0.0 {
        low - envelope.radius_mm - envelope.hose_mm
    } else {
        f64::INFINITY
    }
}
