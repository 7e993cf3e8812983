//! The clear room at an end, as it is stated or as its bay gives it, and the obstacles in it.

use restrand_finding::Fact;
use restrand_mechanics::room::Side;
use restrand_model::route::Route;
use restrand_model::schedule::{End, RemovalSpace};

use super::bay::BayRoom;
use super::obstacles::Obstacle;
use crate::context::{Context, EndAt, TendonAt};

/// A clear distance, and who says so.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clear {
    /// The distance, mm.
    pub mm: f64,
    /// The bay that gives it, where the end does not state it.
    pub bay: Option<usize>,
}

impl Clear {
    /// The distance as a fact: given, or computed from the bay.
    #[must_use]
    pub fn fact(self, name: &'static str, digits: u8) -> Fact {
        match self.bay {
            None => Fact::given(name, self.mm, digits),
            Some(_) => Fact::computed(name, self.mm, digits),
        }
    }

    /// The place of a distance of the room: its value, or the end that does not state it.
    #[must_use]
    pub fn route(self, end: &EndAt<'_>, field: &'static str) -> Route {
        match self.bay {
            None => end.route.field("removal_space").field(field),
            Some(_) => end.route.clone(),
        }
    }
}

/// The clear room at an end: what is stated there, and what the bay gives where nothing is.
///
/// Everybody who needs a distance at an end asks for it here, through [`Context::room`].
#[derive(Debug, Clone, PartialEq)]
pub struct Room {
    /// From the face of the bearing plate rearward along the axis.
    pub behind: Option<Clear>,
    /// Beside the axis: above, below, left, right.
    pub sides: [ClearSide; 4],
}

impl Room {
    pub(crate) fn of(context: &Context<'_>, at: &TendonAt<'_>, end: &EndAt<'_>) -> Self {
        let none = RemovalSpace::default();
        let space = end.end.removal_space.as_deref().unwrap_or(&none);
        let stated = |mm: f64| Clear { mm, bay: None };
        let mut behind = space.behind_mm.map(stated);
        let of = |side, field, word, mm: Option<f64>| ClearSide {
            side,
            field,
            word,
            clear: mm.map(stated),
        };
        let mut sides = [
            of(Side::Up, "up_mm", "above", space.up_mm),
            of(Side::Down, "down_mm", "below", space.down_mm),
            of(Side::Left, "left_mm", "to the left of", space.left_mm),
            of(Side::Right, "right_mm", "to the right of", space.right_mm),
        ];
        if behind.is_some() && sides.iter().all(|side| side.clear.is_some()) {
            return Self { behind, sides };
        }
        // What was stated and could not be read may be less than the bay gives: nothing stands in for it.
        let is_lost = |field: &'static str| {
            context.is_lost_at(&end.route.field("removal_space").field(field))
                || context.is_lost_column(End::INFO.name, &format!("removal_space.{field}"))
        };
        if let Ok(Some(given)) = BayRoom::of(context, at, end) {
            // A distance below nothing says that the end does not lie in the bay.
            let of_bay = |mm: Option<f64>| {
                mm.filter(|mm| *mm > 0.0).map(|mm| Clear { mm, bay: Some(given.bay) })
            };
            if behind.is_none() && !is_lost("behind_mm") {
                behind = of_bay(given.behind_mm);
            }
            let run_mm = behind.map_or(0.0, |behind| behind.mm);
            for (side, mm) in sides.iter_mut().zip(given.sides_mm(run_mm)) {
                if side.clear.is_none() && !is_lost(side.field) {
                    side.clear = of_bay(mm);
                }
            }
        }
        Self { behind, sides }
    }

    /// The distance that a field of the removal space would state.
    #[must_use]
    pub fn of_field(&self, field: &str) -> Option<Clear> {
        match field {
            "behind_mm" => self.behind,
            _ => self.sides.iter().find(|side| side.field == field)?.clear,
        }
    }

    /// The clear length behind the bearing plate.
    ///
    /// # Errors
    /// The field that would state it.
    pub fn behind(&self) -> Result<Clear, &'static str> {
        self.behind.ok_or("removal_space.behind_mm")
    }
}

/// Clear length behind the bearing plate for something of a radius.
#[derive(Debug, Clone, PartialEq)]
pub struct ClearBehind {
    /// The length, as far as the first obstacle, mm.
    pub clear_mm: f64,
    /// The obstacle that ends it, if one does.
    pub obstacle: Option<Obstacle>,
    /// The bay whose far end bounds the room, where the end states no length.
    pub bay: Option<usize>,
}

impl ClearBehind {
    /// The length and who says so.
    #[must_use]
    pub const fn clear(&self) -> Clear {
        Clear { mm: self.clear_mm, bay: self.bay }
    }
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
    let behind = context.room(at, end).behind()?;
    let mut clear_mm = behind.mm;
    let mut first = None;
    for obstacle in context.obstacles(at, end)? {
        if let Some(ends_mm) = obstacle.ends_room_mm(radius_mm).filter(|mm| *mm < clear_mm) {
            clear_mm = ends_mm;
            first = Some(obstacle.clone());
        }
    }
    Ok(ClearBehind { clear_mm, obstacle: first, bay: behind.bay })
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
    /// The clear distance, where it is known.
    pub clear: Option<Clear>,
}

impl ClearSide {
    /// The clear distance, mm, where it is known.
    #[must_use]
    pub fn clear_mm(&self) -> Option<f64> {
        self.clear.map(|clear| clear.mm)
    }
}
