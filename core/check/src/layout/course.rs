//! A tendon's axis as straight pieces and arcs, and lengths cut out of it.

use restrand_kit::layout::{Course, Piece, Triple};
use restrand_mechanics::path::TendonPath;
use restrand_model::route::Route;

use super::{direction, dot, point, unit};

/// An arc that turns less is drawn as its chord: three points of it do not tell it from a line.
const LEAST_TURN_RAD: f64 = 1e-6;

/// A piece, by where it begins and ends on the line from corner to corner.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    from_m: f64,
    to_m: f64,
    shape: Shape,
}

#[derive(Debug, Clone, Copy)]
enum Shape {
    Straight {
        from: Triple,
        to: Triple,
    },
    /// From where it begins along its tangent, turning towards its centre.
    Arc {
        begins: Triple,
        tangent: Triple,
        inward: Triple,
        radius_m: f64,
        from_rad: f64,
        to_rad: f64,
    },
}

/// A tendon's axis, or a length of it.
#[derive(Debug, Clone)]
pub(super) struct Axis {
    stretches: Vec<Stretch>,
    /// Corners with their lengths on the line from corner to corner.
    corners: Vec<(f64, Triple)>,
}

impl Axis {
    pub(super) fn of(path: &TendonPath) -> Self {
        let mut stretches = Vec::new();
        let mut corners = Vec::new();
        let mut corner_m = 0.0;
        let mut begins_m = 0.0;
        for (index, leg) in path.legs.iter().enumerate() {
            corners.push((corner_m, point(leg.from)));
            let bend = path.bends.get(index);
            let before = index.checked_sub(1).and_then(|before| path.bends.get(before));
            let tangent_m = bend.map_or(0.0, |bend| bend.tangent_m);
            let from = before.map_or(leg.from, |bend| bend.leaves);
            let to = bend.map_or(leg.to, |bend| bend.enters);
            corner_m += leg.length_m;
            let ends_m = corner_m - tangent_m;
            // Where two bends meet there is nothing straight between them.
            if ends_m > begins_m {
                let shape = Shape::Straight { from: point(from), to: point(to) };
                stretches.push(Stretch { from_m: begins_m, to_m: ends_m, shape });
            }
            begins_m = ends_m.max(begins_m);
            let (Some(bend), Some(next)) = (bend, path.legs.get(index + 1)) else { continue };
            if tangent_m <= 0.0 {
                continue;
            }
            let (tangent, leaving) = (direction(leg.along), direction(next.along));
            let share = dot(tangent, leaving);
            let inward: Triple = std::array::from_fn(|i| leaving[i] - share * tangent[i]);
            let begins = point(bend.enters);
            let shape = match (unit(inward), bend.radius_m) {
                (Some(inward), Some(radius_m)) if bend.angle_rad > LEAST_TURN_RAD => {
                    let (from_rad, to_rad) = (0.0, bend.angle_rad);
                    Shape::Arc { begins, tangent, inward, radius_m, from_rad, to_rad }
                }
                _ => Shape::Straight { from: begins, to: point(bend.leaves) },
            };
            let to_m = corner_m + tangent_m;
            stretches.push(Stretch { from_m: begins_m, to_m, shape });
            begins_m = to_m;
        }
        if let Some(leg) = path.legs.last() {
            corners.push((corner_m, point(leg.to)));
        }
        Self { stretches, corners }
    }

    /// The length between two positions on the line from corner to corner; none where nothing is between them.
    pub(super) fn cut(&self, low_m: f64, high_m: f64) -> Option<Self> {
        let within = |stretch: &Stretch| {
            let length_m = stretch.to_m - stretch.from_m;
            let share = |at_m: f64| ((at_m - stretch.from_m) / length_m).clamp(0.0, 1.0);
            let (from, to) = (share(low_m), share(high_m));
            (to > from).then(|| stretch.part(from, to))
        };
        let stretches: Vec<_> = self.stretches.iter().filter_map(within).collect();
        (!stretches.is_empty()).then_some(Self { stretches, corners: Vec::new() })
    }

    /// The point at a position on the line from corner to corner.
    pub(super) fn corner_line(&self, at_m: f64) -> Option<Triple> {
        let pair = self.corners.windows(2).find(|pair| at_m <= pair[1].0)?;
        let [(from_m, from), (to_m, to)] = [pair[0], pair[1]];
        let share = ((at_m - from_m) / (to_m - from_m)).clamp(0.0, 1.0);
        Some(std::array::from_fn(|i| from[i] + share * (to[i] - from[i])))
    }

    /// The axis as a plugin gets it.
    pub(super) fn course(&self, route: Route) -> Course {
        let start_m = self.stretches.first().map_or([0.0; 3], |first| first.shape.at(0.0));
        let piece = |stretch: &Stretch| Piece {
            to_m: stretch.shape.at(1.0),
            through_m: match stretch.shape {
                Shape::Straight { .. } => None,
                Shape::Arc { .. } => Some(stretch.shape.at(0.5)),
            },
        };
        let pieces = self.stretches.iter().map(piece).collect();
        let length_m = self.stretches.iter().map(|stretch| stretch.shape.length_m()).sum();
        Course { route, start_m, pieces, length_m }
    }
}

impl Stretch {
    fn part(&self, from: f64, to: f64) -> Self {
        let along = |share: f64| self.from_m + share * (self.to_m - self.from_m);
        let shape = match self.shape {
            Shape::Straight { .. } => {
                Shape::Straight { from: self.shape.at(from), to: self.shape.at(to) }
            }
            Shape::Arc { begins, tangent, inward, radius_m, from_rad, to_rad } => {
                let turned = |share: f64| from_rad + share * (to_rad - from_rad);
                let (from_rad, to_rad) = (turned(from), turned(to));
                Shape::Arc { begins, tangent, inward, radius_m, from_rad, to_rad }
            }
        };
        Self { from_m: along(from), to_m: along(to), shape }
    }
}

impl Shape {
    /// The point at a share of its length.
    fn at(&self, share: f64) -> Triple {
        match self {
            Self::Straight { from, to } if share < 1.0 => {
                std::array::from_fn(|i| from[i] + share * (to[i] - from[i]))
            }
            Self::Straight { to, .. } => *to,
            Self::Arc { begins, tangent, inward, radius_m, from_rad, to_rad } => {
                let turn = from_rad + share * (to_rad - from_rad);
                // Half the angle keeps the digits of a flat arc's rise.
                let (ahead, aside) = (turn.sin(), 2.0 * (turn / 2.0).sin().powi(2));
                std::array::from_fn(|i| {
                    begins[i] + radius_m * (ahead * tangent[i] + aside * inward[i])
                })
            }
        }
    }

    fn length_m(&self) -> f64 {
        match self {
            Self::Straight { from, to } => {
                (to[0] - from[0]).hypot(to[1] - from[1]).hypot(to[2] - from[2])
            }
            Self::Arc { radius_m, from_rad, to_rad, .. } => radius_m * (to_rad - from_rad),
        }
    }
}

#[cfg(test)]
mod tests {
    use restrand_mechanics::path::{Alignment, TendonPoint, tendon_path};

    use super::*;

    /// The worked tendon of `tendon_path`: 0.107 340 rad at a radius of 3 m, 40.107 91 m in all.
    fn path() -> TendonPath {
        let point = |station_m, lateral_m, elevation_m, bend_radius_m| TendonPoint {
            station_m,
            lateral_m,
            elevation_m,
            bend_radius_m,
        };
        let points = [
            point(0.0, 0.0, 0.0, None),
            point(20.0, 0.5, -2.0, Some(3.0)),
            point(40.0, 0.2, -2.0, None),
        ];
        tendon_path(&Alignment::Straight, &points).unwrap()
    }

    fn apart(a: Triple, b: Triple) -> f64 {
        (a[0] - b[0]).hypot(a[1] - b[1]).hypot(a[2] - b[2])
    }

    #[test]
    fn a_course_is_as_long_as_the_path_and_its_arcs_meet_their_legs() {
        let path = path();
        let axis = Axis::of(&path);
        let course = axis.course(Route::to("tendons", 0));
        assert!((course.length_m - path.developed_length_m).abs() < 1e-12);
        assert!((course.length_m - 40.107_91).abs() < 5e-6);
        let [to_arc, arc, rest] = course.pieces[..] else { panic!("{course:?}") };
        assert!(apart(to_arc.to_m, point(path.bends[0].enters)) < 1e-12);
        assert!(apart(arc.to_m, point(path.bends[0].leaves)) < 1e-9);
        assert!(apart(rest.to_m, [40.0, 0.2, -2.0]) < 1e-12);
        // The middle of the arc lies R (1 / cos(α / 2) - 1) from the corner.
        let rise_m = 3.0 * (1.0 / (path.bends[0].angle_rad / 2.0).cos() - 1.0);
        assert!((apart(arc.through_m.unwrap(), [20.0, 0.5, -2.0]) - rise_m).abs() < 1e-9);
    }

    #[test]
    fn lengths_cut_out_of_a_course_make_it_up() {
        let axis = Axis::of(&path());
        let whole = axis.course(Route::root());
        let corner_m = path().legs[0].length_m;
        let all_m = axis.corners.last().unwrap().0;
        let (low, high) = (axis.cut(0.0, corner_m).unwrap(), axis.cut(corner_m, all_m).unwrap());
        let (low, high) = (low.course(Route::root()), high.course(Route::root()));
        assert!((low.length_m + high.length_m - whole.length_m).abs() < 1e-12);
        assert!(apart(low.pieces.last().unwrap().to_m, high.start_m) < 1e-12);
        // Cut at the corner, the arc is halved.
        assert!(apart(high.start_m, whole.pieces[1].through_m.unwrap()) < 1e-12);
        assert!(axis.cut(5.0, 5.0).is_none() && axis.cut(90.0, 95.0).is_none());
    }
}
