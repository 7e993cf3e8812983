//! What a door leaves beside a body that is carried through it.

use restrand_mechanics::way::{self, Attitude, Edge, box_through_floor, box_through_wall};
use restrand_model::schedule::{Bay, Hanging, Jack, Opening, OpeningPlane, OpeningShape};

use super::feed::{stated_in_line_mm, tilted_mm, turned_mm};
use super::{Door, Room, Ways};

/// A box with the attitudes in which it may be carried.
#[derive(Debug, Clone, PartialEq)]
pub struct Body {
    /// Length, width and height, mm.
    pub size_mm: [f64; 3],
    /// How it may be carried.
    pub attitudes: Vec<Attitude>,
    /// The height of its sling, mm, where it may hang at any slope: it is then a rod, as long as its length and as thick
    /// as its width.
    pub sloped_mm: Option<f64>,
}

/// How a body passes a door in its best attitude.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passing {
    /// What the door leaves beside it, mm; negative where it does not pass.
    pub spare_mm: f64,
    /// Width and height of the body as one looks through the opening, its sling left out, mm; through a floor or a
    /// roof, across and along the bridge.
    pub outline_mm: [f64; 2],
    /// Height of the sling above it, mm, where it goes through a wall.
    pub sling_mm: f64,
    /// Whether its length stands upright.
    pub is_upright: bool,
    /// Whether it passes only when it is turned in the opening, so that its sides are not those of the opening.
    pub is_turned: bool,
    /// What each direction leaves, of which the least is `spare_mm`.
    pub spares: Spares,
}

/// What an opening and the room beside it leave in each direction, mm; negative where that is short.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spares {
    /// Across the opening; of a round one, of its diameter.
    pub width_mm: f64,
    /// In its height, with the sling, or along it in a floor; nothing of a round one.
    pub height_mm: Option<f64>,
    /// Between sill and ceiling, for the body with its sling.
    pub lift_mm: Option<f64>,
    /// Over a floor opening, for the body with its sling.
    pub above_mm: Option<f64>,
    /// In line with an opening, on the side with less room, where that is stated.
    pub in_line_mm: Option<f64>,
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
        let sloped_mm = jack.hanging.contains(&Hanging::AnySlope).then_some(sling_mm);
        Ok(Self { size_mm: [length_mm, diameter_mm, diameter_mm], attitudes, sloped_mm })
    }

    /// A coil of duct, as small as it can be: one layer of a duct round its clear inside.
    #[must_use]
    pub fn coil(inner_mm: f64, duct_outer_mm: f64) -> Self {
        let across_mm = inner_mm + 2.0 * duct_outer_mm;
        let on_edge = Attitude { along: Edge::Length, up: Edge::Width, sling_mm: 0.0 };
        let lying = Attitude { along: Edge::Length, up: Edge::Height, sling_mm: 0.0 };
        Self {
            size_mm: [across_mm, across_mm, duct_outer_mm],
            attitudes: vec![on_edge, lying],
            sloped_mm: None,
        }
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
        self.passing(ways, door).map(|passing| passing.spare_mm)
    }

    /// How the body passes a door in its best attitude.
    ///
    /// # Errors
    /// The field without which it is not known.
    pub fn passing(&self, ways: &Ways<'_>, door: &Door) -> Result<Passing, NoBody> {
        let opening = &ways.openings[door.opening];
        let shape = shape(opening)?;
        match opening.plane.ok_or("opening.plane")? {
            OpeningPlane::Wall => self.through_wall(ways, door, &shape),
            OpeningPlane::Floor | OpeningPlane::Roof => {
                self.through_floor(ways, door, opening, &shape)
            }
        }
    }

    fn through_wall(
        &self,
        ways: &Ways<'_>,
        door: &Door,
        shape: &way::Opening,
    ) -> Result<Passing, NoBody> {
        // That it is too long for the bay in which it works is another matter: see `too_long_mm`.
        let clear_mm = stated_in_line_mm(&ways.openings[door.opening]);
        let mut best: Option<Passing> = None;
        for attitude in &self.attitudes {
            let passing = self.level(ways, door, shape, *attitude, clear_mm)?;
            if best.is_none_or(|best| passing.spare_mm > best.spare_mm) {
                best = Some(passing);
            }
        }
        best.ok_or("jack.hanging")
    }

    /// How the body passes a wall in one attitude.
    fn level(
        &self,
        ways: &Ways<'_>,
        door: &Door,
        shape: &way::Opening,
        lifted: Attitude,
        clear_mm: Option<f64>,
    ) -> Result<Passing, NoBody> {
        let opening = &ways.openings[door.opening];
        let fit =
            box_through_wall(self.size_mm, &[lifted], shape).map_err(|_| "opening.width_mm")?;
        // It is lifted over the sill, with its sling, under the lower of the ceilings on both sides.
        let height_mm = self.edge_mm(lifted.up);
        let up_mm = height_mm + lifted.sling_mm;
        let ceiling_mm = ceiling_mm(ways, door);
        let across = [Edge::Length, Edge::Width, Edge::Height].into_iter();
        let across = across.filter(|edge| *edge != lifted.along && *edge != lifted.up);
        let width_mm = across.map(|edge| self.edge_mm(edge)).fold(f64::INFINITY, f64::min);
        let lift_mm = ceiling_mm
            .zip(opening.sill_mm)
            .map(|(ceiling_mm, sill_mm)| ceiling_mm - sill_mm - up_mm);
        let is_round = matches!(shape, way::Opening::Round { .. });
        let length_mm = self.edge_mm(lifted.along);
        let straight_mm = clear_mm.map(|clear_mm| clear_mm - length_mm);
        // Where it is too long for the room in line, it may be turned in plan on its way.
        let turned_mm = straight_mm
            .filter(|straight_mm| *straight_mm < 0.0)
            .and_then(|_| turned_mm(ways, door, width_mm))
            .map(|longest_mm| longest_mm - length_mm)
            .filter(|spare_mm| *spare_mm >= 0.0);
        let spares = Spares {
            width_mm: fit.spare_width_mm,
            height_mm: (!is_round).then_some(fit.spare_height_mm),
            lift_mm,
            above_mm: None,
            in_line_mm: turned_mm.or(straight_mm),
        };
        let least_mm = fit.spare_width_mm.min(fit.spare_height_mm);
        let spare_mm = [lift_mm, spares.in_line_mm].into_iter().flatten().fold(least_mm, f64::min);
        Ok(Passing {
            spare_mm,
            spares,
            outline_mm: [width_mm, height_mm],
            sling_mm: lifted.sling_mm,
            is_upright: lifted.up == Edge::Length,
            is_turned: turned_mm.is_some(),
        })
    }

    fn through_floor(
        &self,
        ways: &Ways<'_>,
        door: &Door,
        opening: &Opening,
        shape: &way::Opening,
    ) -> Result<Passing, NoBody> {
        // Through a roof nothing has to be hung below its sling in the room.
        let head_mm = match opening.plane {
            Some(OpeningPlane::Floor) => headroom_mm(ways, door, opening),
            _ => None,
        };
        let mut best: Option<Passing> = None;
        for attitude in &self.attitudes {
            let fit = box_through_floor(self.size_mm, &[*attitude], shape)
                .map_err(|_| "opening.width_mm")?;
            let across_mm = if fit.passes { fit.spare_mm.max(0.0) } else { fit.spare_mm };
            let above_mm = head_mm.map_or(f64::INFINITY, |mm| mm - fit.headroom_mm);
            // It hangs or stands below the floor before it is in.
            let in_line_mm = opening
                .clear_beyond_mm
                .filter(|_| opening.plane == Some(OpeningPlane::Floor))
                .map(|clear_mm| clear_mm - self.edge_mm(attitude.up));
            let spare_mm = across_mm.min(above_mm).min(in_line_mm.unwrap_or(f64::INFINITY));
            if best.is_some_and(|best| spare_mm <= best.spare_mm) {
                continue;
            }
            let edges = [Edge::Length, Edge::Width, Edge::Height].into_iter();
            let sides = edges.filter(|edge| *edge != attitude.up).map(|edge| self.edge_mm(edge));
            let (least_mm, most_mm) = sides
                .fold((f64::INFINITY, 0.0_f64), |(least, most), side| {
                    (least.min(side), most.max(side))
                });
            // The longer side lies along the longer side of the opening.
            let is_wide = matches!(
                shape,
                way::Opening::Rectangle { width_mm, height_mm } if width_mm > height_mm
            );
            let outline_mm = if is_wide { [most_mm, least_mm] } else { [least_mm, most_mm] };
            let (width_mm, height_mm) = match *shape {
                way::Opening::Rectangle { width_mm, height_mm } if !fit.passes => {
                    (width_mm - outline_mm[0], Some(height_mm - outline_mm[1]))
                }
                _ => (across_mm, None),
            };
            let above_mm = head_mm.map(|_| above_mm);
            best = Some(Passing {
                spare_mm,
                spares: Spares { width_mm, height_mm, lift_mm: None, above_mm, in_line_mm },
                outline_mm,
                sling_mm: attitude.sling_mm,
                is_upright: attitude.up == Edge::Length,
                is_turned: fit.passes && fit.spare_mm < 0.0,
            });
        }
        let best = best.ok_or("jack.hanging")?;
        Ok(self.at_a_slope(ways, door, opening).filter(|_| best.spare_mm < 0.0).unwrap_or(best))
    }

    /// How a body that may hang at any slope goes through a floor or a roof askew, where it does: under a low ceiling
    /// that is often the only way.
    fn at_a_slope(&self, ways: &Ways<'_>, door: &Door, opening: &Opening) -> Option<Passing> {
        let sling_mm = self.sloped_mm?;
        let [length_mm, diameter_mm, _] = self.size_mm;
        let longest_mm = tilted_mm(ways, door, opening, diameter_mm, sling_mm)?;
        (longest_mm >= length_mm).then_some(Passing {
            spare_mm: longest_mm - length_mm,
            spares: Spares {
                width_mm: longest_mm - length_mm,
                height_mm: None,
                lift_mm: None,
                above_mm: None,
                in_line_mm: None,
            },
            outline_mm: [diameter_mm; 2],
            sling_mm,
            is_upright: false,
            is_turned: true,
        })
    }

    const fn edge_mm(&self, edge: Edge) -> f64 {
        match edge {
            Edge::Length => self.size_mm[0],
            Edge::Width => self.size_mm[1],
            Edge::Height => self.size_mm[2],
        }
    }
}

/// The clear width and height of an opening, mm: the diameter, twice, of a round one, and whether it is round.
///
/// # Errors
/// The field without which it has none.
pub fn clear_mm(opening: &Opening) -> Result<([f64; 2], bool), NoBody> {
    Ok(match shape(opening)? {
        way::Opening::Rectangle { width_mm, height_mm } => ([width_mm, height_mm], false),
        way::Opening::Round { diameter_mm } => ([diameter_mm; 2], true),
    })
}

/// The lower of the ceilings on both sides of an opening in a wall, above the floor from which its sill is measured, mm.
///
/// Floors of which not both elevations are stated count as one.
fn ceiling_mm(ways: &Ways<'_>, door: &Door) -> Option<f64> {
    let station_m = ways.openings[door.opening].station_m;
    let floor_m = |bay: &Bay| {
        let slope = bay.floor_slope.unwrap_or(0.0);
        let rise_m = match slope == 0.0 {
            true => 0.0,
            false => slope * (station_m? - bay.from_m?),
        };
        Some(bay.floor_elevation_m? + rise_m)
    };
    let mut bays = door.rooms.iter().filter_map(|room| match room {
        Room::Bay(bay) => Some(&ways.bays[*bay]),
        Room::Outside => None,
    });
    let first = bays.next()?;
    let beyond_mm = bays.next().and_then(|bay| {
        let higher_m = floor_m(bay).zip(floor_m(first)).map_or(0.0, |(bay, first)| bay - first);
        Some(bay.height_mm? + higher_m * 1000.0)
    });
    first.height_mm.into_iter().chain(beyond_mm).reduce(f64::min)
}

/// The height of the room above a floor opening, mm.
fn headroom_mm(ways: &Ways<'_>, door: &Door, opening: &Opening) -> Option<f64> {
    let bay = door.rooms.iter().find_map(|room| match room {
        Room::Bay(bay) => Some(*bay),
        Room::Outside => None,
    })?;
    ways.bays[bay].height_mm.into_iter().chain(opening.clear_before_mm).reduce(f64::min)
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

#[cfg(test)]
mod tests;
