//! The clear room at an end as it is stated, and the obstacles in it.

use restrand_mechanics::room::Side;
use restrand_model::schedule::{EndObstacle, RemovalSpace};

use crate::context::EndAt;

/// Clear length behind the bearing plate for something of a radius.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClearBehind {
    /// The length, as far as the first obstacle, mm.
    pub clear_mm: f64,
    /// The obstacle that ends it, by its position in the end's list, if one does.
    pub obstacle: Option<usize>,
}

/// The clear length behind the bearing plate for what is as wide as this radius.
///
/// # Errors
/// The field without which it is not known.
pub fn clear_behind(end: &EndAt<'_>, radius_mm: f64) -> Result<ClearBehind, &'static str> {
    let space = end.end.removal_space.as_deref();
    let behind_mm = space.and_then(|space| space.behind_mm).ok_or("removal_space.behind_mm")?;
    let mut clear = ClearBehind { clear_mm: behind_mm, obstacle: None };
    for (index, obstacle) in end.end.obstacles.iter().enumerate() {
        let (Some(from_mm), Some(to_mm)) = (obstacle.from_mm, obstacle.to_mm) else {
            return Err("end_obstacle.from_mm");
        };
        // What lies wholly on the span side of the face is not in this room.
        if aside_mm(obstacle) < radius_mm
            && from_mm.max(to_mm) > 0.0
            && from_mm.min(to_mm) < clear.clear_mm
        {
            clear = ClearBehind { clear_mm: from_mm.min(to_mm).max(0.0), obstacle: Some(index) };
        }
    }
    Ok(clear)
}

/// The radius of something behind an end against which obstacles are held, mm, where it may not be stated.
///
/// What stands on the axis is in the way of anything, and needs none.
///
/// # Errors
/// The field, if an obstacle stands beside the axis, so that it depends on the radius.
pub fn radius_or_any(
    end: &EndAt<'_>,
    radius_mm: Option<f64>,
    field: &'static str,
) -> Result<f64, &'static str> {
    match radius_mm {
        Some(radius_mm) => Ok(radius_mm),
        None if end.end.obstacles.iter().all(|obstacle| aside_mm(obstacle) <= 0.0) => {
            Ok(f64::MIN_POSITIVE)
        }
        None => Err(field),
    }
}

/// How far an obstacle stands from the axis, mm; what is not stated of its sides may reach across it.
#[must_use]
pub fn aside_mm(obstacle: &EndObstacle) -> f64 {
    let away = |low: Option<f64>, high: Option<f64>| {
        let low = low.unwrap_or(f64::NEG_INFINITY);
        let high = high.unwrap_or(f64::INFINITY);
        low.min(high).max(-low.max(high)).max(0.0)
    };
    away(obstacle.right_side_mm, obstacle.left_side_mm)
        .hypot(away(obstacle.underside_mm, obstacle.top_mm))
}

/// The room on one side of the axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClearSide {
    /// The side.
    pub side: Side,
    /// Its field in the removal space.
    pub field: &'static str,
    /// The word for where it is, before `the axis`.
    pub word: &'static str,
    /// The clear distance, mm, where it is stated.
    pub clear_mm: Option<f64>,
}

/// What is stated of the room beside the axis.
#[must_use]
pub fn clear_sides(space: &RemovalSpace) -> [ClearSide; 4] {
    let of = |side, field, word, clear_mm| ClearSide { side, field, word, clear_mm };
    [
        of(Side::Up, "up_mm", "above", space.up_mm),
        of(Side::Down, "down_mm", "below", space.down_mm),
        of(Side::Left, "left_mm", "to the left of", space.left_mm),
        of(Side::Right, "right_mm", "to the right of", space.right_mm),
    ]
}
