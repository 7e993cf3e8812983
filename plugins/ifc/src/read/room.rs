//! Clear room at an end as a shape of the model: a box or an extrusion.

use restrand_kit::Stopped;
use restrand_model::reading::ProblemKind;

use super::curve::Corner;
use super::geometry::{Axes, Triple, add, dot, length, scale, sub, unit};
use super::reader::Reader;
use crate::terms::Kind;

/// A box: a corner or middle with half its edges along three axes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Block {
    middle: Triple,
    axes: [Triple; 3],
    half: [f64; 3],
    /// Whether it stands inside what it was made of, as a square does in a circle.
    pub(super) inscribed: bool,
}

/// Where an anchor is, and which way is which there.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seat {
    /// The point of the axis at the bearing plate's face.
    pub(super) point: Triple,
    /// Away from the span.
    pub(super) outward: Triple,
    /// To the left, looking up-station.
    pub(super) left: Triple,
    /// Up.
    pub(super) up: Triple,
}

/// Clear distances, in the unit of box and seat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Clear {
    pub(super) behind: f64,
    pub(super) up: f64,
    pub(super) down: f64,
    pub(super) left: f64,
    pub(super) right: f64,
}

impl Seat {
    /// The seat at a point of an axis that leaves it in this direction; `rises` is along increasing station.
    pub(super) fn of(point: Triple, outward: Triple, forward: Triple) -> Option<Self> {
        let outward = unit(outward)?;
        let left = unit([-forward[1], forward[0], 0.0])?;
        let along = unit(sub(outward, scale(left, dot(outward, left))))?;
        // Square to the axis in the upright plane.
        let up = [0.0, 0.0, 1.0];
        let up = unit(sub(up, scale(along, dot(up, along))))?;
        Some(Self { point, outward, left, up })
    }
}

impl Block {
    /// What is clear in it around the axis of a seat, at worst along the whole length; nothing where the seat does
    /// not look into it.
    pub(super) fn clear(&self, seat: &Seat) -> Option<Clear> {
        /// A side counts for a direction that it faces within 30 degrees.
        const FACES: f64 = 0.866;
        // A face: its outward normal and its distance from the origin along it.
        let faces: Vec<(Triple, f64)> = (0..3)
            .flat_map(|axis| {
                [1.0, -1.0].map(|sign| {
                    let normal = scale(self.axes[axis], sign);
                    (normal, dot(normal, self.middle) + self.half[axis])
                })
            })
            .collect();
        let reach = |from: Triple, direction: Triple| {
            faces
                .iter()
                .filter(|(normal, _)| dot(*normal, direction) > FACES)
                .map(|(normal, face)| (face - dot(*normal, from)) / dot(*normal, direction))
                .reduce(f64::min)
        };
        let behind = reach(seat.point, seat.outward).filter(|behind| *behind > 0.0)?;
        let far = add(seat.point, scale(seat.outward, behind));
        let side = |direction: Triple| {
            let least = reach(seat.point, direction)?.min(reach(far, direction)?);
            (least >= 0.0).then_some(least)
        };
        let opposite = |direction: Triple| scale(direction, -1.0);
        Some(Clear {
            behind,
            up: side(seat.up)?,
            down: side(opposite(seat.up))?,
            left: side(seat.left)?,
            right: side(opposite(seat.left))?,
        })
    }
}

impl Reader<'_, '_> {
    /// The box that an item of a representation is, in the schedule's frame and in metres; nothing if it is none.
    pub(super) fn block(&mut self, at: usize, axes: &Axes) -> Result<Option<Block>, Stopped> {
        let Some(item) = self.entity(at)? else { return Ok(None) };
        let number = |name: &str| item.get(name).number().filter(|number| *number > 0.0);
        let (own, low, size, inscribed) = match item.kind {
            Kind::Block => {
                let own = self.axes_of(at, &item, "Position")?;
                let size = [number("XLength"), number("YLength"), number("ZLength")];
                (own, Some([0.0; 3]), size, false)
            }
            Kind::BoundingBox => {
                let low = self.point_of(at, &item, "Corner")?;
                (Some(Axes::WORLD), low, [number("XDim"), number("YDim"), number("ZDim")], false)
            }
            Kind::ExtrudedArea => {
                let own = self.axes_of(at, &item, "Position")?;
                let direction = self.point_of(at, &item, "ExtrudedDirection")?.and_then(unit);
                if direction.is_none_or(|direction| direction[2].abs() < 0.999_999) {
                    return Ok(None);
                }
                let depth = number("Depth");
                let Some(profile) = self.one(at, &item, "SweptArea")? else { return Ok(None) };
                let Some(area) = self.entity(profile)? else { return Ok(None) };
                let of = |name: &str| area.get(name).number().filter(|number| *number > 0.0);
                let (within, width, height, inscribed) = match area.kind {
                    Kind::RectangleProfile => {
                        (self.axes_of(profile, &area, "Position")?, of("XDim"), of("YDim"), false)
                    }
                    Kind::CircleProfile => {
                        // The square in the circle: what is clear above is clear beside at once.
                        let side = of("Radius").map(|radius| radius * std::f64::consts::SQRT_2);
                        (self.axes_of(profile, &area, "Position")?, side, side, true)
                    }
                    Kind::ArbitraryProfile => {
                        let Some(curve) = self.one(profile, &area, "OuterCurve")? else {
                            return Ok(None);
                        };
                        let corners = self.corners(curve, &Axes::WORLD)?;
                        let Some((within, width, height)) = rectangle(&corners) else {
                            return Ok(None);
                        };
                        (Some(within), Some(width), Some(height), false)
                    }
                    _ => return Ok(None),
                };
                let own = own.zip(within).map(|(own, within)| own.then(&within));
                let (Some(width), Some(height), Some(depth)) = (width, height, depth) else {
                    return Ok(None);
                };
                let up = direction.is_some_and(|direction| direction[2] > 0.0);
                let low = [-width / 2.0, -height / 2.0, if up { 0.0 } else { -depth }];
                (own, Some(low), [Some(width), Some(height), Some(depth)], inscribed)
            }
            _ => return Ok(None),
        };
        let ([Some(x), Some(y), Some(z)], Some(own), Some(low)) = (size, own, low) else {
            return Ok(None);
        };
        let own = axes.then(&own);
        let half = [x / 2.0, y / 2.0, z / 2.0];
        let (Some(middle), Some(metres)) =
            (self.in_frame(own.out(add(low, half))), self.units.metres())
        else {
            return Ok(None);
        };
        Ok(Some(Block {
            middle,
            axes: [own.x, own.y, own.z].map(|axis| self.turned(axis)),
            half: half.map(|half| half * metres),
            inscribed,
        }))
    }

    /// Says that a shape of clear room cannot be measured.
    pub(super) fn no_block(&mut self, at: usize) -> Result<(), Stopped> {
        let why = "the clear room is a shape that is not measured, neither a box nor an extrusion of a \
                   rectangle or circle along its own axis, or the anchor does not look into it";
        let help = "state it as a box, or by a property set Restrand_RemovalSpace at the anchor";
        self.remark(at, ProblemKind::ValueDoubtful, "clear room", None, why.to_owned(), help)
    }
}

/// The rectangle that four corners in a plane make: axes in its middle, width and height; nothing if they make none.
fn rectangle(corners: &[Corner]) -> Option<(Axes, f64, f64)> {
    let (a, b, c, d) = match corners {
        [a, b, c, d] => (a, b, c, d),
        [a, b, c, d, again]
            if length(sub(a.point, again.point)) <= 1e-9 * length(sub(a.point, c.point)) =>
        {
            (a, b, c, d)
        }
        _ => return None,
    };
    if corners.iter().any(|corner| corner.radius.is_some()) {
        return None;
    }
    let (along, across) = (sub(b.point, a.point), sub(d.point, a.point));
    let (width, height) = (length(along), length(across));
    let is_square = dot(along, across).abs() <= 1e-6 * width * height;
    let is_whole = length(sub(c.point, add(b.point, across))) <= 1e-6 * width.max(height);
    let middle = scale(add(a.point, c.point), 0.5);
    (is_square && is_whole && width > 0.0 && height > 0.0)
        .then(|| Axes::of(middle, None, Some(along)))
        .flatten()
        .map(|axes| (axes, width, height))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block(low: Triple, high: Triple) -> Block {
        let half = scale(sub(high, low), 0.5);
        Block {
            middle: add(low, half),
            axes: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
            half,
            inscribed: false,
        }
    }

    #[test]
    fn four_corners_at_right_angles_are_a_rectangle() {
        let corners = |points: &[[f64; 2]]| -> Vec<Corner> {
            points.iter().map(|[x, y]| Corner { point: [*x, *y, 0.0], radius: None }).collect()
        };
        let turned = corners(&[[0.0, 0.0], [3.0, 4.0], [-1.0, 7.0], [-4.0, 3.0], [0.0, 0.0]]);
        let (axes, width, height) = rectangle(&turned).unwrap();
        assert_eq!((width, height), (5.0, 5.0));
        assert_eq!(axes.origin, [-0.5, 3.5, 0.0]);
        assert!(rectangle(&corners(&[[0.0, 0.0], [3.0, 0.0], [4.0, 1.0], [1.0, 1.0]])).is_none());
        assert!(rectangle(&corners(&[[0.0, 0.0], [3.0, 0.0], [3.0, 1.0]])).is_none());
        assert!(rectangle(&corners(&[[0.0; 2]; 4])).is_none());
    }

    /// Distances from a point to the faces of a box, read off.
    #[test]
    fn a_box_around_the_axis_is_measured_from_it() {
        let space = block([-2500.0, -300.0, 1500.0], [0.0, 400.0, 2200.0]);
        let seat = Seat::of([0.0, 0.0, 1800.0], [-1.0, 0.0, 0.0], [1.0, 0.0, 0.0]).unwrap();
        let clear = space.clear(&seat).unwrap();
        let expected = Clear { behind: 2500.0, up: 400.0, down: 300.0, left: 400.0, right: 300.0 };
        assert_eq!(clear, expected);
    }

    /// An axis that rises 1 in 10 backwards comes 2500/10 nearer to the roof of a level box at its far end, and the
    /// room square to it is at most what is left there.
    #[test]
    fn an_axis_at_a_slope_has_the_least_room_along_it() {
        let space = block([-2500.0, -300.0, -300.0], [0.0, 300.0, 300.0]);
        let seat = Seat::of([0.0; 3], [-10.0, 0.0, 1.0], [1.0, 0.0, 0.0]).unwrap();
        let clear = space.clear(&seat).unwrap();
        let slope = (1.0_f64 + 0.01).sqrt();
        assert!((clear.behind - 2500.0 * slope).abs() < 1e-9);
        assert!((clear.up - 50.0 * slope).abs() < 1e-9, "{clear:?}");
        assert!((clear.down - 300.0 * slope).abs() < 1e-9);
    }

    #[test]
    fn a_box_on_the_other_side_is_no_room() {
        let space = block([100.0, -300.0, -300.0], [2500.0, 300.0, 300.0]);
        let seat = Seat::of([0.0; 3], [-1.0, 0.0, 0.0], [1.0, 0.0, 0.0]).unwrap();
        assert!(space.clear(&seat).is_none());
    }
}
