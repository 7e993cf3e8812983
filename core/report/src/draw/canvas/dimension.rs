//! Dimensions after ISO 129-1 (from memory): extension lines, a dimension line with filled arrows, the number above it.
//!
//! Dimensions of one side of a view share lanes; each takes the first in which its lines and its number keep clear of
//! all numbers and lines that stand there.

use super::geometry::{Point, Rect};
use super::letters::TEXT_MM;
use super::pen::{Hatch, Pen};
use super::scene::{Anchor, Scene, text_box};
use super::sheet::CONTENT;

/// Length of an arrow, mm.
const ARROW_MM: f64 = 2.2;
/// Half of its width, mm.
const ARROW_HALF_MM: f64 = 0.36;
/// From an edge to where its extension line begins, mm.
const GAP_MM: f64 = 0.8;
/// How far an extension line goes past the dimension line, mm.
const PAST_MM: f64 = 1.2;
/// The number over its line, mm.
const OVER_MM: f64 = 1.2;
/// Stub of the line outside of arrows that stand outside, mm.
const OUTSIDE_MM: f64 = 4.0;
/// From one lane to the next, mm.
const LANE_MM: f64 = 6.2;
/// Most lanes on one side.
const LANES: u32 = 16;

/// The lanes on one side of a view.
#[derive(Debug, Clone, Copy)]
pub(in crate::draw) struct Lanes {
    /// Whether lengths to the right are measured, or upward.
    pub(in crate::draw) is_level: bool,
    /// Where the first lane is: `y` of level ones, else `x`.
    pub(in crate::draw) first: f64,
    /// To the next lane, with its sign, mm.
    pub(in crate::draw) step: f64,
}

impl Lanes {
    /// Lanes below a view, the first at `y`.
    pub(in crate::draw) const fn below(y: f64) -> Self {
        Self { is_level: true, first: y, step: LANE_MM }
    }

    /// Lanes on the left of a view.
    pub(in crate::draw) const fn left(x: f64) -> Self {
        Self { is_level: false, first: x, step: -LANE_MM }
    }

    /// Lanes on the right of a view.
    pub(in crate::draw) const fn right(x: f64) -> Self {
        Self { is_level: false, first: x, step: LANE_MM }
    }
}

/// Lines and number of a dimension in one lane.
struct Laid {
    extensions: Vec<[Point; 2]>,
    /// The dimension line with what goes past it.
    lines: Vec<[Point; 2]>,
    /// Where an arrow points, and whence.
    arrows: [(Point, Point); 2],
    measured: [Point; 2],
    base: Point,
    anchor: Anchor,
    /// Whether the number stands level beside an upright line.
    is_beside: bool,
    text: Rect,
}

impl Scene {
    /// Dimensions of one side: each between two points, with its number in words. Shorter ones lie nearer to the view.
    pub(in crate::draw) fn dimensions(
        &mut self,
        lanes: Lanes,
        mut wanted: Vec<(Point, Point, String)>,
    ) {
        let along = usize::from(!lanes.is_level);
        let length = |one: &(Point, Point, String)| (one.1[along] - one.0[along]).abs();
        wanted.retain(|one| one.0.iter().chain(&one.1).all(|number| number.is_finite()));
        wanted.sort_by(|one, other| length(one).total_cmp(&length(other)));
        wanted.dedup();
        let mut put_off = Vec::new();
        for (index, one) in wanted.iter().enumerate() {
            // Extension lines of those that come later will pass through this lane.
            let later = &wanted[index + 1..];
            let later: Vec<f64> =
                later.iter().flat_map(|one| [one.0[along], one.1[along]]).collect();
            // A short upright one whose number finds no room along its line has it level beside it.
            if !self.dimension(lanes, &ALONG, one, &later)
                && !self.dimension(lanes, &[Place::Beside], one, &later)
            {
                put_off.push(one);
            }
        }
        // What finds no place among the lines of longer ones stands further out than they do.
        for one in put_off {
            if !self.dimension(lanes, &ALONG, one, &[]) {
                self.note(format!("Without room in the drawing: {}.", one.2));
            }
        }
    }

    /// Draws one where it has room; returns whether it has.
    fn dimension(
        &mut self,
        lanes: Lanes,
        places: &[Place],
        (from, to, words): &(Point, Point, String),
        later: &[f64],
    ) -> bool {
        let along = usize::from(!lanes.is_level);
        for lane in 0..LANES {
            let at = lanes.first + lanes.step * f64::from(lane);
            for place in places {
                let Some(laid) = lay(lanes.is_level, at, *from, *to, words, *place) else {
                    continue;
                };
                let [low, high] = match along {
                    0 => [laid.text.left, laid.text.right],
                    _ => [laid.text.top, laid.text.bottom],
                };
                // Below a view there is as much paper as is needed, beside it there is not.
                let is_off = laid.text.left < CONTENT.left || laid.text.right > CONTENT.right;
                let is_passed = later.iter().any(|line| (low - 0.4..=high + 0.4).contains(line));
                if !is_off && !is_passed && self.is_clear(&laid) {
                    self.draw(lanes.is_level, &laid, words);
                    return true;
                }
            }
        }
        false
    }

    fn is_clear(&self, laid: &Laid) -> bool {
        // Two numbers side by side would be read as one.
        let text = laid.text.grown(0.4);
        let text = Rect { left: text.left - 0.8, right: text.right + 0.8, ..text };
        let free = |line: &[Point; 2]| {
            !self.texts.iter().any(|other| other.grown(0.3).meets(line[0], line[1]))
        };
        !self.texts.iter().any(|other| other.overlaps(text))
            && !self.obstacles.iter().any(|one| text.meets(one.from, one.to))
            && laid.lines.iter().chain(&laid.extensions).all(free)
            && !self.obstacles.iter().any(|one| {
                // Two dimension lines in one lane do not run over one another.
                laid.lines.iter().any(|line| runs_over(*line, [one.from, one.to]))
            })
    }

    fn draw(&mut self, is_level: bool, laid: &Laid, words: &str) {
        self.open("dimension", &[("along", if is_level { "x" } else { "y" }.to_owned())]);
        self.line(&laid.measured, Pen::Thin);
        let others = laid.lines.iter().filter(|line| **line != laid.measured);
        for line in laid.extensions.iter().chain(others) {
            self.line(line, Pen::Thin);
        }
        for (tip, from) in laid.arrows {
            self.arrow(from, tip);
        }
        if is_level || laid.is_beside {
            self.text(laid.base, laid.anchor, TEXT_MM, words);
        } else {
            self.upright(laid.base, laid.anchor, TEXT_MM, words);
        }
        self.close();
    }

    /// The head of an arrow with its tip at a point.
    pub(in crate::draw) fn arrow(&mut self, from: Point, tip: Point) {
        let along = [tip[0] - from[0], tip[1] - from[1]];
        let length = along[0].hypot(along[1]);
        if length <= 0.0 {
            return;
        }
        let unit = along.map(|share| share / length);
        let back = [tip[0] - unit[0] * ARROW_MM, tip[1] - unit[1] * ARROW_MM];
        let aside = [-unit[1] * ARROW_HALF_MM, unit[0] * ARROW_HALF_MM];
        self.shape(
            &[
                tip,
                [back[0] + aside[0], back[1] + aside[1]],
                [back[0] - aside[0], back[1] - aside[1]],
            ],
            Pen::Thin,
            Hatch::Black,
        );
    }
}

#[derive(Clone, Copy)]
enum Place {
    Between,
    After,
    Before,
    /// Level, outside of an upright line at its middle.
    Beside,
}

/// The places of a number along its line.
const ALONG: [Place; 3] = [Place::Between, Place::After, Place::Before];

/// Lays a dimension at a lane; nothing where its number has no room there.
fn lay(is_level: bool, at: f64, from: Point, to: Point, words: &str, place: Place) -> Option<Laid> {
    // As if it were level; an upright one is turned.
    let flat = |point: Point| if is_level { point } else { [point[1], point[0]] };
    let back = flat;
    let (mut from, mut to) = (flat(from), flat(to));
    // An upright one is read from below.
    let goes = if is_level { 1.0 } else { -1.0 };
    if (to[0] - from[0]) * goes < 0.0 {
        std::mem::swap(&mut from, &mut to);
    }
    let length = (to[0] - from[0]).abs();
    let width = super::letters::text_width_mm(words, TEXT_MM);
    let fits = length >= 2.0 * ARROW_MM + 0.8;
    let (mut extensions, mut lines) = (Vec::new(), Vec::new());
    for point in [from, to] {
        let sign = (at - point[1]).signum();
        let begin = point[1] + sign * GAP_MM;
        if (at - point[1]).abs() > GAP_MM {
            extensions.push([back([point[0], begin]), back([point[0], at + sign * PAST_MM])]);
        }
    }
    let (left, right) = (from[0], to[0]);
    let measured = [back([left, at]), back([right, at])];
    lines.push(measured);
    let outside = if fits { 0.0 } else { OUTSIDE_MM };
    let tail = |x: f64, sign: f64| back([x + sign * goes * OUTSIDE_MM, at]);
    let arrows = if fits {
        let middle = back([f64::midpoint(left, right), at]);
        [(measured[0], middle), (measured[1], middle)]
    } else {
        lines.push([tail(left, -1.0), measured[0]]);
        lines.push([measured[1], tail(right, 1.0)]);
        [(measured[0], tail(left, -1.0)), (measured[1], tail(right, 1.0))]
    };
    let over = at - OVER_MM;
    let (base, anchor) = match place {
        Place::Between if width <= length - 1.0 => {
            ([f64::midpoint(left, right), over], Anchor::Middle)
        }
        Place::Between => return None,
        Place::Beside if is_level => return None,
        Place::Beside => {
            let out = (at - from[1]).signum();
            // Turned back, the first is down and the second to the right.
            let base = [f64::midpoint(left, right) + 0.36 * TEXT_MM, at + out * OVER_MM];
            (base, if out < 0.0 { Anchor::End } else { Anchor::Start })
        }
        Place::After => {
            let begin = right + goes * (outside.max(1.2));
            lines.push([back([right, at]), back([begin + goes * width, at])]);
            ([begin, over], Anchor::Start)
        }
        Place::Before => {
            let end = left - goes * (outside.max(1.2));
            lines.push([back([end - goes * width, at]), back([left, at])]);
            ([end, over], Anchor::End)
        }
    };
    let base = back(base);
    let is_beside = matches!(place, Place::Beside);
    let text = text_box(base, anchor, TEXT_MM, !is_level && !is_beside, words);
    Some(Laid { extensions, lines, arrows, measured, base, anchor, is_beside, text })
}

/// Whether two lines lie along one another.
fn runs_over(one: [Point; 2], other: [Point; 2]) -> bool {
    const NEAR_MM: f64 = 0.9;
    (0..2).any(|across| {
        let along = 1 - across;
        let is_flat = |line: [Point; 2]| (line[0][across] - line[1][across]).abs() < 1e-6;
        if !(is_flat(one) && is_flat(other)) || (one[0][across] - other[0][across]).abs() > NEAR_MM
        {
            return false;
        }
        let ends = |line: [Point; 2]| {
            (line[0][along].min(line[1][along]), line[0][along].max(line[1][along]))
        };
        let ((a, b), (c, d)) = (ends(one), ends(other));
        b.min(d) - a.max(c) > 0.6
    })
}
