//! The clear room at an end as it is stated, and the obstacles in it.

use restrand_mechanics::room::Side;
use restrand_model::schedule::RemovalSpace;

use super::obstacles::Obstacle;
use crate::context::{Context, EndAt, TendonAt};

/// Clear length behind the bearing plate for something of a radius.
#[derive(Debug, Clone, PartialEq)]
pub struct ClearBehind {
    /// The length, as far as the first obstacle, mm.
    pub clear_mm: f64,
    /// The obstacle that ends it, if one does.
    pub obstacle: Option<Obstacle>,
}

/// The clear length behind the bearing plate for what is as wide as this radius.
///
/// # Errors
/// The field without which it is not known.
pub fn clear_behind(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    radius_mm: f64,
) -> Result<ClearBehind, &'static str> {
    let space = end.end.removal_space.as_deref();
    let behind_mm = space.and_then(|space| space.behind_mm).ok_or("removal_space.behind_mm")?;
    let mut clear_mm = behind_mm;
    let mut first = None;
    for obstacle in context.obstacles(at, end)? {
        if let Some(ends_mm) = obstacle.ends_room_mm(radius_mm).filter(|mm| *mm < clear_mm) {
            clear_mm = ends_mm;
            first = Some(obstacle.clone());
        }
    }
    Ok(ClearBehind { clear_mm, obstacle: first })
}

/// The radius of something behind an end against which obstacles are held, mm, where it may not be stated.
///
/// What stands on the axis is in the way of anything, and needs none.
///
/// # Errors
/// The field, if an obstacle stands beside the axis, so that it depends on the radius.
pub fn radius_or_any(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    radius_mm: Option<f64>,
    field: &'static str,
) -> Result<f64, &'static str> {
    let depends = |obstacle: &Obstacle| obstacle.boxes.iter().any(|one| one.aside_mm() > 0.0);
    match radius_mm {
        Some(radius_mm) => Ok(radius_mm),
        None if context.obstacles(at, end)?.iter().any(depends) => Err(field),
        None => Ok(f64::MIN_POSITIVE),
    }
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
