//! What a door leaves beside a body that is carried through it.

use restrand_mechanics::way::{self, Attitude, Edge, box_through_floor, box_through_wall};
use restrand_model::schedule::{Bay, Hanging, Jack, Opening, OpeningPlane, OpeningShape};

use super::{Door, Room, Ways};

/// A box with the attitudes in which it may be carried.
#[derive(Debug, Clone, PartialEq)]
pub struct Body {
    /// Length, width and height, mm.
    pub size_mm: [f64; 3],
    /// How it may be carried.
    pub attitudes: Vec<Attitude>,
}

/// The field without which there is no body, or without which nobody knows whether it passes.
pub type NoBody = &'static str;

impl Body {
    /// A jack, retracted, as it may hang.
    ///
    /// # Errors
    /// The field without which it has no size or no attitude.
    pub fn jack(jack: &Jack) -> Result<Self, NoBody> {
        let length_mm = jack.retracted_mm.ok_or("jack.retracted_mm")?;
        let diameter_mm = jack.diameter_mm.ok_or("jack.diameter_mm")?;
        if jack.hanging.is_empty() {
            return Err("jack.hanging");
        }
        let sling_mm = jack.sling_height_mm.ok_or("jack.sling_height_mm")?;
        let level = Attitude { along: Edge::Length, up: Edge::Height, sling_mm };
        let upright = Attitude { along: Edge::Width, up: Edge::Length, sling_mm };
        let mut attitudes = Vec::new();
        for hanging in &jack.hanging {
            match hanging {
                Hanging::Level => attitudes.push(level),
                Hanging::Upright => attitudes.push(upright),
                Hanging::AnySlope => attitudes.extend([level, upright]),
            }
        }
        Ok(Self { size_mm: [length_mm, diameter_mm, diameter_mm], attitudes })
    }

    /// How much longer the body is than a room in which it can neither lie nor stand, mm; nothing where it can, or the
    /// room is not known.
    #[must_use]
    pub fn too_long_mm(&self, length_mm: Option<f64>, bay: &Bay) -> Option<f64> {
        let lying_mm = length_mm?.hypot(bay.width_mm?);
        let stands = self.attitudes.iter().any(|attitude| {
            attitude.up == Edge::Length
                && bay
                    .height_mm
                    .is_some_and(|height_mm| self.size_mm[0] + attitude.sling_mm <= height_mm)
        });
        (!stands && self.size_mm[0] > lying_mm).then_some(self.size_mm[0] - lying_mm)
    }

    /// What a door leaves beside the body in its best attitude, mm; negative where it does not pass.
    ///
    /// # Errors
    /// The field without which it is not known.
    pub fn spare_mm(&self, ways: &Ways<'_>, door: &Door) -> Result<f64, NoBody> {
        let opening = &ways.openings[door.opening];
        let shape = shape(opening)?;
        match opening.plane.ok_or("opening.plane")? {
            OpeningPlane::Wall => {
                let fit = box_through_wall(self.size_mm, &self.attitudes, &shape)
                    .map_err(|_| "opening.width_mm")?;
                let spare_mm = fit.spare_width_mm.min(fit.spare_height_mm);
                // It is lifted over the sill, with its sling, under the ceiling of the first bay.
                let lifted = &self.attitudes[fit.attitude];
                let up_mm = match lifted.up {
                    Edge::Length => self.size_mm[0],
                    Edge::Width => self.size_mm[1],
                    Edge::Height => self.size_mm[2],
                } + lifted.sling_mm;
                let ceiling_mm = match door.rooms[0] {
                    Room::Bay(bay) => ways.bays[bay].height_mm,
                    Room::Outside => None,
                };
                Ok(match (ceiling_mm, opening.sill_mm) {
                    (Some(ceiling_mm), Some(sill_mm)) => spare_mm.min(ceiling_mm - sill_mm - up_mm),
                    _ => spare_mm,
                })
            }
            OpeningPlane::Floor | OpeningPlane::Roof => {
                // Through a roof nothing has to be hung below its sling in the room.
                let head_mm = match opening.plane {
                    Some(OpeningPlane::Floor) => headroom_mm(ways, door, opening),
                    _ => None,
                };
                let mut best_mm = f64::NEG_INFINITY;
                for attitude in &self.attitudes {
                    let fit = box_through_floor(self.size_mm, &[*attitude], &shape)
                        .map_err(|_| "opening.width_mm")?;
                    let across_mm = if fit.passes { fit.spare_mm.max(0.0) } else { fit.spare_mm };
                    let above_mm = head_mm.map_or(f64::INFINITY, |mm| mm - fit.headroom_mm);
                    best_mm = best_mm.max(across_mm.min(above_mm));
                }
                Ok(best_mm)
            }
        }
    }
}

/// The height of the room above a floor opening, mm.
fn headroom_mm(ways: &Ways<'_>, door: &Door, opening: &Opening) -> Option<f64> {
    let bay = door.rooms.iter().find_map(|room| match room {
        Room::Bay(bay) => Some(*bay),
        Room::Outside => None,
    })?;
    ways.bays[bay].height_mm.or(opening.clear_before_mm)
}

/// The clear shape of an opening.
///
/// # Errors
/// The field without which it has none.
pub(super) fn shape(opening: &Opening) -> Result<way::Opening, NoBody> {
    let shape = opening.shape.or_else(|| match opening.diameter_mm {
        Some(_) => Some(OpeningShape::Circle),
        None => opening.width_mm.and(opening.height_mm).map(|_| OpeningShape::Rectangle),
    });
    match shape.ok_or("opening.width_mm")? {
        OpeningShape::Rectangle => Ok(way::Opening::Rectangle {
            width_mm: opening.width_mm.ok_or("opening.width_mm")?,
            height_mm: opening.height_mm.ok_or("opening.height_mm")?,
        }),
        OpeningShape::Circle => Ok(way::Opening::Round {
            diameter_mm: opening.diameter_mm.or(opening.width_mm).ok_or("opening.diameter_mm")?,
        }),
    }
}
