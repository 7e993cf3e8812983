//! Points, boxes and whether they meet.

/// A position on paper, mm: to the right, and downward.
pub(in crate::draw) type Point = [f64; 2];

/// A box with level sides, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::draw) struct Rect {
    pub(in crate::draw) left: f64,
    pub(in crate::draw) top: f64,
    pub(in crate::draw) right: f64,
    pub(in crate::draw) bottom: f64,
}

impl Rect {
    pub(in crate::draw) const fn new(left: f64, top: f64, right: f64, bottom: f64) -> Self {
        Self { left, top, right, bottom }
    }

    /// The box round points.
    pub(in crate::draw) fn round(points: &[Point]) -> Self {
        let nothing = Self::new(f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY);
        points.iter().fold(nothing, |so_far, [x, y]| {
            Self::new(
                so_far.left.min(*x),
                so_far.top.min(*y),
                so_far.right.max(*x),
                so_far.bottom.max(*y),
            )
        })
    }

    pub(in crate::draw) fn with(self, other: Self) -> Self {
        Self::new(
            self.left.min(other.left),
            self.top.min(other.top),
            self.right.max(other.right),
            self.bottom.max(other.bottom),
        )
    }

    pub(in crate::draw) fn grown(self, by: f64) -> Self {
        Self::new(self.left - by, self.top - by, self.right + by, self.bottom + by)
    }

    pub(in crate::draw) fn width(self) -> f64 {
        self.right - self.left
    }

    pub(in crate::draw) fn height(self) -> f64 {
        self.bottom - self.top
    }

    pub(in crate::draw) fn overlaps(self, other: Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    pub(in crate::draw) fn holds(self, other: Self) -> bool {
        self.left <= other.left
            && self.top <= other.top
            && self.right >= other.right
            && self.bottom >= other.bottom
    }

    /// The point of the box that is nearest to another point.
    pub(in crate::draw) fn nearest(self, [x, y]: Point) -> Point {
        [x.clamp(self.left, self.right), y.clamp(self.top, self.bottom)]
    }

    /// Whether a straight line has a part inside the box.
    pub(in crate::draw) fn meets(self, from: Point, to: Point) -> bool {
        self.share(from, to).is_some()
    }

    /// The part of a straight line inside the box, as shares of its length.
    pub(in crate::draw) fn share(self, from: Point, to: Point) -> Option<[f64; 2]> {
        let (mut first, mut last) = (0.0_f64, 1.0_f64);
        for (at, along, low, high) in [
            (from[0], to[0] - from[0], self.left, self.right),
            (from[1], to[1] - from[1], self.top, self.bottom),
        ] {
            if along == 0.0 {
                if at <= low || at >= high {
                    return None;
                }
                continue;
            }
            let (one, other) = ((low - at) / along, (high - at) / along);
            first = first.max(one.min(other));
            last = last.min(one.max(other));
        }
        (first < last).then_some([first, last])
    }

    /// The part of a straight line inside the box.
    pub(in crate::draw) fn clip(self, from: Point, to: Point) -> Option<[Point; 2]> {
        // A whole line keeps its ends to the last digit.
        let at = |share: f64| match share {
            1.0 => to,
            share => [from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])],
        };
        self.share(from, to).map(|shares| shares.map(at))
    }

    /// The parts of a line through points that lie inside the box.
    pub(in crate::draw) fn runs(self, points: &[Point]) -> Vec<Vec<Point>> {
        let mut runs: Vec<Vec<Point>> = Vec::new();
        for pair in points.windows(2) {
            let Some([from, to]) = self.clip(pair[0], pair[1]) else { continue };
            match runs.last_mut() {
                Some(run) if run.last() == Some(&from) => run.push(to),
                _ => runs.push(vec![from, to]),
            }
        }
        runs
    }
}

/// Whether two straight lines cross, ends left out.
pub(in crate::draw) fn cross(one: [Point; 2], other: [Point; 2]) -> bool {
    let side = |from: Point, to: Point, at: Point| {
        (to[0] - from[0]) * (at[1] - from[1]) - (to[1] - from[1]) * (at[0] - from[0])
    };
    let apart = |line: [Point; 2], ends: [Point; 2]| {
        side(line[0], line[1], ends[0]) * side(line[0], line[1], ends[1]) < 0.0
    };
    apart(one, other) && apart(other, one)
}

/// The arc of a circle that touches two straight lines, from where it leaves the one to where it meets the other;
/// both are equally far from the corner in which the lines meet.
pub(in crate::draw) fn arc<const N: usize>(
    enters: [f64; N],
    corner: [f64; N],
    leaves: [f64; N],
) -> Vec<[f64; N]> {
    const PARTS: u32 = 16;
    let away = |from: [f64; N], to: [f64; N]| -> [f64; N] {
        std::array::from_fn(|axis| to[axis] - from[axis])
    };
    let dot = |one: [f64; N], other: [f64; N]| -> f64 {
        one.iter().zip(other).map(|(one, other)| one * other).sum()
    };
    let (into, out) = (away(enters, corner), away(corner, leaves));
    let lengths = (dot(into, into) * dot(out, out)).sqrt();
    let cosine = if lengths > 0.0 { (dot(into, out) / lengths).clamp(-1.0, 1.0) } else { 1.0 };
    // A circle is the rational curve whose corner weighs the cosine of half the turn.
    let weight = f64::midpoint(1.0, cosine).sqrt();
    let point = |part: u32| {
        let share = f64::from(part) / f64::from(PARTS);
        let rest = 1.0 - share;
        let shares = [rest * rest, 2.0 * weight * rest * share, share * share];
        let sum: f64 = shares.iter().sum();
        std::array::from_fn(|axis| {
            (shares[0] * enters[axis] + shares[1] * corner[axis] + shares[2] * leaves[axis]) / sum
        })
    };
    (0..=PARTS).map(point).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_arc_keeps_its_radius() {
        // A turn of a right angle with a radius of 2: every point is 2 from the middle.
        let arc = arc([0.0, 0.0, 5.0], [2.0, 0.0, 5.0], [2.0, 2.0, 5.0]);
        for [x, y, z] in arc {
            assert!((f64::hypot(x, y - 2.0) - 2.0).abs() < 1e-12, "{x} {y}");
            assert!((z - 5.0).abs() < 1e-12, "{z}");
        }
    }

    #[test]
    fn a_line_is_cut_into_what_is_inside() {
        let frame = Rect::new(0.0, 0.0, 10.0, 10.0);
        let points = [[-5.0, 5.0], [5.0, 5.0], [5.0, 20.0], [8.0, 20.0], [8.0, 5.0]];
        let runs = frame.runs(&points);
        assert_eq!(
            runs,
            [vec![[0.0, 5.0], [5.0, 5.0], [5.0, 10.0]], vec![[8.0, 10.0], [8.0, 5.0]]]
        );
    }

    #[test]
    fn boxes_and_lines_meet_where_they_do() {
        let one = Rect::new(0.0, 0.0, 10.0, 5.0);
        assert!(one.overlaps(Rect::new(9.0, 4.0, 20.0, 20.0)));
        assert!(!one.overlaps(Rect::new(10.0, 0.0, 20.0, 5.0)), "an edge is no overlap");
        assert!(one.meets([-5.0, 2.0], [15.0, 3.0]));
        assert!(!one.meets([-5.0, 2.0], [-1.0, 3.0]));
        assert!(!one.meets([-5.0, 0.0], [15.0, 0.0]), "along an edge");
        assert_eq!(one.clip([-10.0, 2.0], [30.0, 2.0]), Some([[0.0, 2.0], [10.0, 2.0]]));
        assert!(cross([[0.0, 0.0], [2.0, 2.0]], [[0.0, 2.0], [2.0, 0.0]]));
        assert!(!cross([[0.0, 0.0], [2.0, 2.0]], [[2.0, 2.0], [3.0, 0.0]]), "a shared end");
    }
}
