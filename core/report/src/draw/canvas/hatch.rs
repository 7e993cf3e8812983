//! Hatches as lines and marks within a shape.
//!
//! They are drawn one by one and not as a repeated pattern, which programs that print turn into a picture of few dots.
//! All lie on one grid of the sheet, so that the parts of one section are hatched alike.

use super::geometry::Point;
use super::pen::{Hatch, Slope};

/// What fills a shape.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Marks {
    /// Lines with a narrow pen.
    pub(super) lines: Vec<[Point; 2]>,
    /// Small stones.
    pub(super) stones: Vec<[Point; 3]>,
    /// Grains.
    pub(super) grains: Vec<Point>,
}

impl Marks {
    pub(super) fn is_empty(&self) -> bool {
        self.lines.is_empty() && self.stones.is_empty() && self.grains.is_empty()
    }
}

/// The marks of a hatch in a closed shape, on the grid that begins at `origin`.
pub(super) fn marks(shape: &[Point], hatch: Hatch, origin: Point) -> Marks {
    let mut marks = Marks::default();
    for (distance_mm, slope) in hatch.lines() {
        marks.lines.extend(lines(shape, *distance_mm, *slope, origin));
    }
    if hatch == Hatch::Concrete {
        concrete(shape, origin, &mut marks);
    }
    marks
}

/// More lines or tiles than a sheet has room for; a shape that asks for more is none.
const MOST: f64 = 4000.0;

/// Parallel lines at 45° within a shape.
fn lines(shape: &[Point], distance_mm: f64, slope: Slope, origin: Point) -> Vec<[Point; 2]> {
    let sign = match slope {
        Slope::Rising => 1.0,
        Slope::Falling => -1.0,
    };
    // Across the lines and along them; upward is against the sheet's second axis.
    const HALF: f64 = std::f64::consts::FRAC_1_SQRT_2;
    let turned = |[x, y]: Point| {
        let (x, y) = (x - origin[0], (y - origin[1]) * sign);
        [(x + y) * HALF, (x - y) * HALF]
    };
    let back = |across: f64, along: f64| {
        [(across + along) * HALF + origin[0], (across - along) * HALF * sign + origin[1]]
    };
    let points: Vec<Point> = shape.iter().map(|point| turned(*point)).collect();
    let low = points.iter().map(|point| point[0]).fold(f64::INFINITY, f64::min);
    let high = points.iter().map(|point| point[0]).fold(f64::NEG_INFINITY, f64::max);
    let mut lines = Vec::new();
    let mut number = (low / distance_mm).ceil();
    if high / distance_mm - number > MOST {
        return lines;
    }
    while number * distance_mm < high {
        let across = number * distance_mm;
        let mut crossings: Vec<f64> = sides(&points)
            .filter(|[from, to]| (from[0] <= across) != (to[0] <= across))
            .map(|[from, to]| from[1] + (to[1] - from[1]) * (across - from[0]) / (to[0] - from[0]))
            .collect();
        crossings.sort_by(f64::total_cmp);
        for pair in crossings.chunks_exact(2) {
            if pair[1] - pair[0] > 0.05 {
                lines.push([back(across, pair[0]), back(across, pair[1])]);
            }
        }
        number += 1.0;
    }
    lines
}

fn sides(points: &[Point]) -> impl Iterator<Item = [Point; 2]> + '_ {
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).map(|(from, to)| [*from, *to])
}

/// Side of the square that is repeated, mm.
const TILE_MM: f64 = 10.0;
/// Stones in it, one over another, so that a narrow band shows some of them.
const STONES: [[Point; 3]; 3] = [
    [[1.3, 1.9], [2.8, 2.2], [1.9, 0.8]],
    [[7.9, 5.4], [9.4, 4.8], [8.9, 6.3]],
    [[4.3, 9.1], [5.7, 9.3], [4.8, 7.9]],
];
/// Grains in it.
const GRAINS: [Point; 6] = [[5.1, 1.6], [8.3, 2.4], [4.4, 4.9], [1.2, 5.9], [8.2, 8.6], [1.6, 8.9]];

fn concrete(shape: &[Point], origin: Point, marks: &mut Marks) {
    let range = |axis: usize| {
        let all = shape.iter().map(|point| point[axis] - origin[axis]);
        let [low, high] = all.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], at| {
            [low.min(at), high.max(at)]
        });
        [(low / TILE_MM).floor(), (high / TILE_MM).ceil()]
    };
    let (columns, rows) = (range(0), range(1));
    if (columns[1] - columns[0]) * (rows[1] - rows[0]) > MOST {
        return;
    }
    let mut row = rows[0];
    while row < rows[1] {
        let mut column = columns[0];
        while column < columns[1] {
            let at =
                |[x, y]: Point| [column * TILE_MM + x + origin[0], row * TILE_MM + y + origin[1]];
            let stones = STONES.map(|stone| stone.map(at));
            marks.stones.extend(
                stones.into_iter().filter(|stone| stone.iter().all(|point| holds(shape, *point))),
            );
            marks.grains.extend(GRAINS.map(at).into_iter().filter(|grain| holds(shape, *grain)));
            column += 1.0;
        }
        row += 1.0;
    }
}

/// Whether a point is inside a closed shape.
fn holds(shape: &[Point], [x, y]: Point) -> bool {
    let crossed = sides(shape).filter(|[from, to]| {
        (from[1] <= y) != (to[1] <= y)
            && from[0] + (to[0] - from[0]) * (y - from[1]) / (to[1] - from[1]) > x
    });
    crossed.count() % 2 == 1
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A bracket: two legs with a gap between them.
    const BRACKET: [Point; 8] = [
        [0.0, 0.0],
        [20.0, 0.0],
        [20.0, 20.0],
        [14.0, 20.0],
        [14.0, 6.0],
        [6.0, 6.0],
        [6.0, 20.0],
        [0.0, 20.0],
    ];

    #[test]
    fn lines_keep_to_the_shape_and_fill_it() {
        for hatch in [Hatch::Stays, Hatch::Leaves, Hatch::Unknown] {
            let drawn = marks(&BRACKET, hatch, [0.0, 0.0]);
            for [from, to] in &drawn.lines {
                assert!(((to[0] - from[0]).abs() - (to[1] - from[1]).abs()).abs() < 1e-9);
                for share in [0.01, 0.3, 0.5, 0.8, 0.99] {
                    let at =
                        [from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])];
                    assert!(holds(&BRACKET, at), "{at:?}");
                }
            }
            // The area of a shape is the length of its lines times their distance, more or less.
            let length: f64 = drawn
                .lines
                .iter()
                .map(|[from, to]| f64::hypot(to[0] - from[0], to[1] - from[1]))
                .sum();
            let each: f64 = hatch.lines().iter().map(|(distance_mm, _)| 288.0 / distance_mm).sum();
            assert!((length / each - 1.0).abs() < 0.05, "{length} {each}");
        }
    }

    #[test]
    fn lines_rise_or_fall_as_they_are_called() {
        let square = [[0.0, 0.0], [9.0, 0.0], [9.0, 9.0], [0.0, 9.0]];
        for (hatch, rises) in [(Hatch::Stays, true), (Hatch::Leaves, false)] {
            for [from, to] in marks(&square, hatch, [0.0, 0.0]).lines {
                // Downward on the sheet is positive.
                assert_eq!((to[1] - from[1]) * (to[0] - from[0]) < 0.0, rises, "{hatch:?}");
            }
        }
    }

    #[test]
    fn stones_and_grains_keep_to_the_shape() {
        let drawn = marks(&BRACKET, Hatch::Concrete, [3.0, -2.0]);
        assert!(drawn.stones.len() >= 2 && drawn.grains.len() >= 10, "{drawn:?}");
        let points = drawn.stones.iter().flatten().chain(&drawn.grains);
        assert!(points.copied().all(|point| holds(&BRACKET, point)));
        assert!(marks(&BRACKET, Hatch::White, [0.0, 0.0]).is_empty());
    }
}
