//! Curves that are known by the distance along them, as alignments are: stretch behind stretch.
//!
//! IFC 4.3 describes a stretch by a curve, a part of it, and where that part begins (`IfcCurveSegment`); heights
//! stand over the distance along the curve in the plan (`IfcGradientCurve`).

use super::geometry::{Axes, Triple, add, cross, dot, length, scale, sub, unit};

/// The form of a stretch.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Course {
    Line,
    /// Counter-clockwise, with this radius.
    Circle(f64),
    /// With this constant: the curvature is the length over its square, and turns as its sign says.
    Clothoid(f64),
    /// x and y as polynomials of one parameter, by their coefficients from the lowest.
    Polynomial(Vec<f64>, Vec<f64>),
}

/// A stretch of a curve.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Stretch {
    /// The distance at which it begins.
    pub(super) from: f64,
    /// Its length.
    pub(super) length: f64,
    /// Where it begins; x is the direction in which it does.
    pub(super) start: Axes,
    pub(super) course: Course,
    /// Where on its form it begins.
    pub(super) at: f64,
    /// Whether it runs against its form.
    pub(super) against: bool,
}

/// Parts of a clothoid over which its direction is summed up; 10 m of one with a radius of 30 m are then exact to a
/// nanometre.
const PARTS: u32 = 64;

impl Stretch {
    /// The place at a distance from its start, in its own axes, and the angle by which it has turned.
    fn own(&self, along: f64) -> (f64, f64, f64) {
        let sense = if self.against { -1.0 } else { 1.0 };
        match &self.course {
            Course::Line => (along, 0.0, 0.0),
            Course::Circle(radius) => {
                let angle = sense * along / radius;
                (radius * angle.abs().sin(), sense * radius * (1.0 - angle.cos()), angle)
            }
            Course::Clothoid(constant) => {
                let direction = |at: f64| constant.signum() * at * at / (2.0 * constant * constant);
                let turned = |along: f64| direction(self.at + sense * along) - direction(self.at);
                // Simpson's rule on the direction.
                let step = along / f64::from(PARTS);
                let (mut x, mut y) = (0.0, 0.0);
                for part in 0..=PARTS {
                    let weight = match part {
                        0 | PARTS => 1.0,
                        part if part % 2 == 1 => 4.0,
                        _ => 2.0,
                    };
                    let angle = turned(f64::from(part) * step);
                    x += weight * angle.cos();
                    y += weight * angle.sin();
                }
                (x * step / 3.0, y * step / 3.0, turned(along))
            }
            Course::Polynomial(x, y) => {
                let point = |at: f64| [value(x, at), value(y, at)];
                let angle = |at: f64| {
                    let (run, rise) = (sense * slope(x, at), sense * slope(y, at));
                    rise.atan2(run)
                };
                let (first, end) = (point(self.at), point(self.at + sense * along));
                let (run, rise) = (end[0] - first[0], end[1] - first[1]);
                let (sin, cos) = angle(self.at).sin_cos();
                let turned = angle(self.at + sense * along) - angle(self.at);
                (run * cos + rise * sin, rise * cos - run * sin, turned)
            }
        }
    }

    /// The place at a distance from its start, and its direction there.
    fn place(&self, along: f64) -> (Triple, Triple) {
        let (x, y, angle) = self.own(along);
        let direction = self.start.turn([angle.cos(), angle.sin(), 0.0]);
        (self.start.out([x, y, 0.0]), direction)
    }

    /// Height and slope over a distance that is measured along its x axis.
    fn height(&self, over: f64) -> Option<(f64, f64)> {
        /// Halvings that find a distance to the last bit.
        const HALVINGS: u32 = 64;
        let (mut low, mut high) = (0.0, self.length);
        if self.course == Course::Line {
            let direction = self.start.x;
            low = (over - self.start.origin[0]) / direction[0];
        } else {
            for _ in 0..HALVINGS {
                let middle = f64::midpoint(low, high);
                if self.place(middle).0[0] < over { low = middle } else { high = middle }
            }
        }
        let (point, direction) = self.place(low);
        (direction[0].abs() > 1e-9).then(|| (point[1], direction[1] / direction[0]))
    }
}

fn value(coefficients: &[f64], at: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, one| sum * at + one)
}

fn slope(coefficients: &[f64], at: f64) -> f64 {
    let mut power = 1.0;
    let mut sum = 0.0;
    for (exponent, one) in (1_u32..).zip(coefficients.iter().skip(1)) {
        sum += f64::from(exponent) * one * power;
        power *= at;
    }
    sum
}

/// A curve in the plan or in space, with heights over it where it has them.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Alignment {
    pub(super) plan: Vec<Stretch>,
    pub(super) heights: Vec<Stretch>,
}

impl Alignment {
    /// Where it ends.
    pub(super) fn length(&self) -> f64 {
        self.plan.last().map_or(0.0, |last| last.from + last.length)
    }

    /// The axes at a distance: x along it, y to the left and level, z square to both; nothing beyond its ends.
    pub(super) fn at(&self, distance: f64) -> Option<Axes> {
        /// What a writer's rounding may leave beyond an end, as a share of the length.
        const BEYOND: f64 = 1e-6;
        let slack = BEYOND * self.length().max(1.0);
        if !(-slack..=self.length() + slack).contains(&distance) {
            return None;
        }
        // Where two stretches meet, the first holds.
        let behind = self.plan.partition_point(|stretch| stretch.from < distance);
        let stretch = self.plan.get(behind.saturating_sub(1))?;
        let (mut origin, mut x) = stretch.place(distance - stretch.from);
        if !self.heights.is_empty() {
            let before = |stretch: &Stretch| stretch.start.origin[0] < distance;
            let behind = self.heights.partition_point(before);
            let (height, slope) = self.heights.get(behind.saturating_sub(1))?.height(distance)?;
            origin[2] += height;
            x = [x[0], x[1], slope * x[0].hypot(x[1])];
        }
        let x = unit(x)?;
        let y = unit(cross([0.0, 0.0, 1.0], x))?;
        Some(Axes { origin, x, y, z: cross(x, y) })
    }

    /// Points on it, so near that lines between them are as good as it, and where its stretches meet.
    pub(super) fn points(&self) -> Option<Vec<Triple>> {
        /// Points by which a stretch is followed.
        const STEPS: u32 = 16;
        let mut distances = vec![0.0, self.length()];
        let heights = self.heights.iter().map(|one| one.start.origin[0]);
        distances.extend(self.plan.iter().map(|stretch| stretch.from).chain(heights));
        distances.retain(|distance| (0.0..=self.length()).contains(distance));
        distances.sort_by(f64::total_cmp);
        distances.dedup_by(|one, other| (*one - *other).abs() <= 1e-9 * self.length());
        let mut points: Vec<Triple> = Vec::new();
        for pair in distances.windows(2) {
            for step in 0..STEPS {
                let share = f64::from(step) / f64::from(STEPS);
                points.push(self.at(pair[0] + (pair[1] - pair[0]) * share)?.origin);
            }
        }
        points.push(self.at(self.length())?.origin);
        Some(without_needless(&points))
    }
}

/// Points without those that lie on the line between their neighbours.
fn without_needless(points: &[Triple]) -> Vec<Triple> {
    let mut kept: Vec<Triple> = Vec::new();
    for (index, point) in points.iter().enumerate() {
        if let (Some(before), Some(after)) = (kept.last(), points.get(index + 1)) {
            let (to, on) = (sub(*point, *before), sub(*after, *point));
            let off = length(cross(to, on));
            if off <= 1e-9 * length(to) * length(on) && dot(to, on) > 0.0 {
                continue;
            }
        }
        kept.push(*point);
    }
    kept
}

/// The axes at the beginning of a line in space: x along it, y level.
pub(super) fn along(from: Triple, to: Triple) -> Option<Axes> {
    let x = unit(sub(to, from))?;
    let y = unit(cross([0.0, 0.0, 1.0], x))?;
    Some(Axes { origin: from, x, y, z: cross(x, y) })
}

/// A place beside an alignment: so far to the left, up, and on.
pub(super) fn beside(axes: &Axes, left: f64, up: f64, on: f64) -> Triple {
    add(axes.origin, add(scale(axes.y, left), add(scale(axes.z, up), scale(axes.x, on))))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stretch(from: f64, length: f64, start: Axes, course: Course) -> Stretch {
        Stretch { from, length, start, course, at: 0.0, against: false }
    }

    fn near(one: Triple, other: Triple) {
        assert!(length(sub(one, other)) < 1e-6, "{one:?} is not {other:?}");
    }

    /// Fresnel integrals C(1) = 0.7798934 and S(1) = 0.4382591 (Abramowitz and Stegun, table 7.7, from memory): a
    /// clothoid of constant 1/√π has turned by π/2·s² after s.
    #[test]
    fn a_clothoid_goes_by_fresnels_integrals() {
        let constant = 1.0 / std::f64::consts::PI.sqrt();
        let one = stretch(0.0, 1.0, Axes::WORLD, Course::Clothoid(constant));
        let (x, y, angle) = one.own(1.0);
        assert!((x - 0.779_893_4).abs() < 1e-6 && (y - 0.438_259_1).abs() < 1e-6, "{x} {y}");
        assert!((angle - std::f64::consts::FRAC_PI_2).abs() < 1e-12);
        // From its end back it is the same curve.
        let back = Stretch { at: 1.0, against: true, ..one.clone() };
        let (u, v, _) = back.own(1.0);
        assert!((u.hypot(v) - x.hypot(y)).abs() < 1e-6);
    }

    /// Plane geometry: a quarter of a circle to the left and one to the right end 2 radii on and 2 to the left.
    #[test]
    fn circles_turn_left_and_against_them_right() {
        let quarter = 10.0 * std::f64::consts::FRAC_PI_2;
        let left = stretch(0.0, quarter, Axes::WORLD, Course::Circle(10.0));
        near(left.place(quarter).0, [10.0, 10.0, 0.0]);
        near(left.place(quarter).1, [0.0, 1.0, 0.0]);
        let right = Stretch { against: true, ..left };
        near(right.place(quarter).0, [10.0, -10.0, 0.0]);
        near(right.place(quarter).1, [0.0, -1.0, 0.0]);
    }

    /// A level line of 100 m over which the height is 2 + 0.02 x for 40 m, and then a parabola that is level at 80 m.
    #[test]
    fn heights_stand_over_the_distance_in_the_plan() {
        let rise = along([0.0, 2.0, 0.0], [1.0, 2.02, 0.0]).unwrap();
        let at = |x: f64, y: f64| Axes { origin: [x, y, 0.0], ..Axes::WORLD };
        let parabola = Course::Polynomial(vec![0.0, 1.0], vec![0.0, 0.02, -0.02 / 80.0]);
        let start = Axes { origin: [40.0, 2.8, 0.0], ..rise };
        let line = Axes { y: [-rise.x[1], rise.x[0], 0.0], z: [0.0, 0.0, 1.0], ..rise };
        let start = Axes { x: line.x, y: line.y, z: line.z, ..start };
        let alignment = Alignment {
            plan: vec![stretch(0.0, 100.0, at(0.0, 0.0), Course::Line)],
            heights: vec![
                stretch(0.0, 40.0 * 1.0004_f64.sqrt(), line, Course::Line),
                stretch(0.0, 60.0, start, parabola),
            ],
        };
        near(alignment.at(20.0).unwrap().origin, [20.0, 0.0, 2.4]);
        // 2.8 + 0.02·40 − 0.02/80·40².
        near(alignment.at(80.0).unwrap().origin, [80.0, 0.0, 3.2]);
        near(alignment.at(80.0).unwrap().x, [1.0, 0.0, 0.0]);
        assert!(alignment.at(101.0).is_none() && alignment.at(-1.0).is_none());
        near(beside(&alignment.at(80.0).unwrap(), 1.5, -0.5, 0.0), [80.0, 1.5, 2.7]);
        let points = alignment.points().unwrap();
        near(points[0], [0.0, 0.0, 2.0]);
        near(points[1], [40.0, 0.0, 2.8]);
        assert_eq!(points.len(), 2 + 16);
    }
}
