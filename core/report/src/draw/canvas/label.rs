//! Labels that find a place of their own: near what they name, over no other text, off the lines where they can.

use super::geometry::{Point, Rect, cross};
use super::letters::{ABOVE, BELOW, LINE_MM, TEXT_MM, text_width_mm};
use super::pen::{Hatch, Pen};
use super::scene::{Anchor, Scene};
use crate::plain::plain;

/// A text beside what it names.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::draw) struct Label {
    /// What it names.
    pub(in crate::draw) at: Point,
    /// The radius round `at`, of what is named by its edge, on whatever side that is.
    pub(in crate::draw) radius: f64,
    /// Further points at which the same may be named, and what it costs to be named there, as a distance, mm.
    pub(in crate::draw) or_at: Vec<(Point, f64)>,
    /// Its lines.
    pub(in crate::draw) lines: Vec<String>,
    /// Where it would like to stand, as a direction: `[0, -1]` is above.
    pub(in crate::draw) towards: Point,
    /// Whether it stands in a circle, as the number of a list.
    pub(in crate::draw) is_number: bool,
    /// Whether it names a stretch of paper and not a point: then it needs no leader.
    pub(in crate::draw) is_area: bool,
}

impl Label {
    pub(in crate::draw) fn new(at: Point, towards: Point, text: impl Into<String>) -> Self {
        Self {
            at,
            radius: 0.0,
            or_at: Vec::new(),
            lines: vec![text.into()],
            towards,
            is_number: false,
            is_area: false,
        }
    }

    pub(in crate::draw) fn number(at: Point, towards: Point, number: usize) -> Self {
        Self { is_number: true, ..Self::new(at, towards, number.to_string()) }
    }

    /// A name of a circle: the leader goes to the side of the edge on which the name finds room.
    pub(in crate::draw) fn circle(
        middle: Point,
        radius: f64,
        towards: Point,
        text: impl Into<String>,
    ) -> Self {
        Self { radius, ..Self::new(middle, towards, text) }
    }

    pub(in crate::draw) fn and(mut self, line: impl Into<String>) -> Self {
        self.lines.push(line.into());
        self
    }

    /// A name of a stretch of paper round a point.
    pub(in crate::draw) fn area(at: Point, text: impl Into<String>) -> Self {
        Self { is_area: true, ..Self::new(at, [0.0, -1.0], text) }
    }

    fn size(&self) -> [f64; 2] {
        if self.is_number {
            let text = text_width_mm(&self.lines[0], TEXT_MM);
            let across = text.max(TEXT_MM) + 2.2;
            return [across, across];
        }
        let width = self.lines.iter().map(|line| text_width_mm(&plain(line), TEXT_MM));
        #[expect(clippy::cast_precision_loss, reason = "a few lines")]
        let between = LINE_MM * (self.lines.len() - 1) as f64;
        [width.fold(0.0, f64::max), (ABOVE + BELOW) * TEXT_MM + between]
    }
}

/// Room between a label and any other text: under one another lines of a text stand apart, beside one another two
/// texts would be read as one.
const CLEAR_MM: f64 = 0.7;
const BESIDE_MM: f64 = 1.8;
/// Distances from what is named that are tried, in their order.
const DISTANCES_MM: [f64; 17] = [
    1.4, 3.0, 5.0, 7.5, 10.0, 13.0, 16.0, 20.0, 25.0, 30.0, 36.0, 43.0, 51.0, 60.0, 72.0, 90.0,
    115.0,
];
/// What a millimetre further away costs.
const FURTHER: f64 = 0.3;
/// What a turn away from where it would like to stand costs, for each step of the directions.
const TURNED: f64 = 0.35;
/// Directions that are tried.
const DIRECTIONS: u32 = 24;
/// From this distance on a leader leads to what is named.
const LEADER_MM: f64 = 2.2;
/// What each line costs that a leader crosses.
const CROSSED: f64 = 1.6;
/// What it costs to stand within a circle, whose name it would seem.
const WITHIN: f64 = 9.0;
/// What a leader costs that runs along another line, and is not seen on it.
const HIDDEN: f64 = 12.0;

struct Candidate {
    /// The point that is named.
    at: Point,
    bounds: Rect,
    leader: Option<[Point; 2]>,
    cost: f64,
}

impl Scene {
    /// Places the labels that wait, within a region; those that find none there stay as notes.
    pub(in crate::draw) fn place_labels(&mut self, region: Rect) {
        let labels = std::mem::take(&mut self.labels);
        let paper = super::sheet::CONTENT;
        let region = Rect::new(
            region.left.max(paper.left),
            region.top.max(paper.top - 1.5),
            region.right.min(paper.right),
            region.bottom,
        );
        for (index, label) in labels.iter().enumerate() {
            // No label hides what another one names; where that leaves no place, it may after all.
            let waiting: Vec<Point> = labels[index + 1..].iter().map(|other| other.at).collect();
            let found =
                self.best(label, region, &waiting).or_else(|| self.best(label, region, &[]));
            match found {
                Some(found) => self.put(label, &found),
                None => {
                    self.note(format!("Without room in the drawing: {}.", label.lines.join(" ")))
                }
            }
        }
    }

    fn best(&self, label: &Label, region: Rect, waiting: &[Point]) -> Option<Candidate> {
        let mut best: Option<Candidate> = None;
        self.best_at(label, (label.at, 0.0), region, waiting, &mut best);
        for other in &label.or_at {
            self.best_at(label, *other, region, waiting, &mut best);
        }
        best
    }

    /// The best place for a label of a point, where it is better than what is found so far; `more` is what the point
    /// costs.
    fn best_at(
        &self,
        label: &Label,
        (named, more): (Point, f64),
        region: Rect,
        waiting: &[Point],
        best: &mut Option<Candidate>,
    ) {
        let [width, height] = label.size();
        let wish = label.towards[1].atan2(label.towards[0]);
        for distance in DISTANCES_MM {
            let far = more + distance * FURTHER;
            // Nothing further away is better than what is found already.
            if best.as_ref().is_some_and(|best| best.cost <= far) {
                break;
            }
            for step in 0..DIRECTIONS {
                // To both sides of where it would like to stand.
                let turn = f64::from(step.div_ceil(2)) * if step % 2 == 0 { 1.0 } else { -1.0 };
                let angle = wish + turn * std::f64::consts::TAU / f64::from(DIRECTIONS);
                let (sin, cos) = angle.sin_cos();
                let at = [named[0] + label.radius * cos, named[1] + label.radius * sin];
                let near = [at[0] + distance * cos, at[1] + distance * sin];
                // The side of the box that looks at what is named lies at the distance.
                let left = near[0] - width * (1.0 - cos) / 2.0;
                let top = near[1] - height * (1.0 - sin) / 2.0;
                let bounds = Rect::new(left, top, left + width, top + height);
                let hides = |[x, y]: &Point| bounds.grown(0.8).holds(Rect::new(*x, *y, *x, *y));
                if !region.holds(bounds) || waiting.iter().any(hides) {
                    continue;
                }
                let most = best.as_ref().map_or(f64::INFINITY, |best| best.cost);
                let cost = self.cost(label, at, bounds, far + turn.abs() * TURNED, most);
                let Some((leader, cost)) = cost else { continue };
                if best.as_ref().is_none_or(|best| cost < best.cost) {
                    *best = Some(Candidate { at, bounds, leader, cost });
                }
            }
        }
    }

    /// What a place costs in all, with its leader to the point that is named; nothing where it may not stand, or where
    /// it costs as much as another place, `most`. `cost` is what its distance and its turn cost.
    fn cost(
        &self,
        label: &Label,
        at: Point,
        bounds: Rect,
        mut cost: f64,
        most: f64,
    ) -> Option<(Option<[Point; 2]>, f64)> {
        let clear = bounds.grown(CLEAR_MM);
        let apart =
            Rect { left: bounds.left - BESIDE_MM, right: bounds.right + BESIDE_MM, ..clear };
        if cost >= most
            || self.texts.iter().any(|text| text.overlaps(apart))
            || self.leaders.iter().any(|[from, to]| clear.meets(*from, *to))
        {
            return None;
        }
        let edge = bounds.nearest(at);
        let away = (edge[0] - at[0]).hypot(edge[1] - at[1]);
        // A name on the far side of a line would be taken for that line's.
        let is_parted = || self.obstacles.iter().any(|one| cross([at, edge], [one.from, one.to]));
        let is_led = !label.is_area && (away > LEADER_MM || label.is_number || is_parted());
        let leader = is_led.then_some([at, edge]);
        if let Some([from, to]) = leader {
            let is_over = |text: &Rect| text.grown(0.3).meets(from, to);
            if self.texts.iter().any(is_over)
                || self.leaders.iter().any(|other| cross([from, to], *other))
            {
                return None;
            }
            cost += 1.5;
            for one in &self.obstacles {
                if cross([from, to], [one.from, one.to]) {
                    cost += CROSSED;
                } else if runs_along([from, to], [one.from, one.to]) {
                    cost += HIDDEN;
                }
            }
        }
        if !label.is_area && !label.is_number {
            let is_within = |(middle, radius): &(Point, f64)| {
                let [x, y] = bounds.nearest(*middle);
                (x - middle[0]).hypot(y - middle[1]) < radius - 0.5
            };
            cost += WITHIN * f64::from(u8::from(self.rounds.iter().any(is_within)));
        }
        let near = bounds.grown(0.5);
        for obstacle in &self.obstacles {
            if cost >= most {
                return None;
            }
            if let Some([first, last]) = near.share(obstacle.from, obstacle.to) {
                let length =
                    (obstacle.to[0] - obstacle.from[0]).hypot(obstacle.to[1] - obstacle.from[1]);
                cost += obstacle.weight * (0.5 + 0.15 * (last - first) * length);
            }
        }
        Some((leader, cost))
    }

    fn put(&mut self, label: &Label, found: &Candidate) {
        let bounds = found.bounds;
        if let Some([from, to]) = found.leader {
            self.line(&[from, to], Pen::Thin);
            self.circle(from, 0.35, Pen::Thin, Hatch::Black);
            self.leaders.push([from, to]);
        }
        if label.is_number {
            let middle = [
                f64::midpoint(bounds.left, bounds.right),
                f64::midpoint(bounds.top, bounds.bottom),
            ];
            self.circle(middle, bounds.width() / 2.0, Pen::Thin, Hatch::White);
            // The box of a number is its circle.
            let base = middle[1] + TEXT_MM * 0.357;
            let text = self.text([middle[0], base], Anchor::Middle, TEXT_MM, &label.lines[0]);
            self.texts.retain(|other| *other != text);
            self.texts.push(bounds);
            return;
        }
        // Lines and hatches stop at a text.
        let gap = bounds.grown(0.3);
        self.fill(
            &[
                [gap.left, gap.top],
                [gap.right, gap.top],
                [gap.right, gap.bottom],
                [gap.left, gap.bottom],
            ],
            Hatch::White,
        );
        // A text on the left of what it names ends at it.
        let is_left = bounds.right <= found.at[0];
        let is_over = bounds.left < found.at[0] && bounds.right > found.at[0];
        let (x, anchor) = match (is_over, is_left) {
            (true, _) => (f64::midpoint(bounds.left, bounds.right), Anchor::Middle),
            (_, true) => (bounds.right, Anchor::End),
            _ => (bounds.left, Anchor::Start),
        };
        let mut base = bounds.top + ABOVE * TEXT_MM;
        for line in &label.lines {
            self.text([x, base], anchor, TEXT_MM, line);
            base += LINE_MM;
        }
    }
}

/// Whether a leader lies on a line for as much as half of itself.
fn runs_along([from, to]: [Point; 2], [one, other]: [Point; 2]) -> bool {
    const NEAR_MM: f64 = 0.45;
    let along = [other[0] - one[0], other[1] - one[1]];
    let square = along[0] * along[0] + along[1] * along[1];
    if square <= 0.0 {
        return false;
    }
    let is_on = |share: f64| {
        let at = [from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])];
        let away = [at[0] - one[0], at[1] - one[1]];
        let nearest = (away[0] * along[0] + away[1] * along[1]) / square;
        let aside = away[0] * along[1] - away[1] * along[0];
        (0.0..=1.0).contains(&nearest) && aside.abs() <= NEAR_MM * square.sqrt()
    };
    is_on(0.5) && (is_on(0.25) || is_on(0.75))
}

#[cfg(test)]
mod tests {
    use super::*;

    const PAPER: Rect = Rect::new(50.0, 50.0, 150.0, 150.0);

    #[test]
    fn a_circle_is_named_on_the_side_that_has_room() {
        let mut scene = Scene::default();
        let wall = Rect::new(60.0, 60.0, 96.0, 140.0);
        scene.texts.push(wall);
        scene.label(Label::circle([100.0, 100.0], 3.0, [-1.0, 0.0], "cap"));
        scene.place_labels(PAPER);
        let name = scene.texts.last().unwrap();
        assert!(!name.overlaps(wall) && name.nearest([100.0, 100.0]) != [100.0, 100.0], "{name:?}");
        assert!(scene.notes.is_empty(), "{:?}", scene.notes);
    }

    #[test]
    fn a_leader_does_not_hide_on_a_line() {
        // Over the text above what is named there is room; the way to it runs on a line.
        let mut scene = Scene::default();
        scene.line(&[[100.0, 60.0], [100.0, 140.0]], Pen::Axis);
        scene.texts.push(Rect::new(97.0, 93.0, 103.0, 98.0));
        scene.label(Label::new([100.0, 100.0], [0.0, 1.0], "hoses"));
        scene.texts.push(Rect::new(94.0, 101.0, 106.0, 112.0));
        scene.place_labels(PAPER);
        let axis = [[100.0, 60.0], [100.0, 140.0]];
        assert!(!scene.leaders.iter().any(|leader| runs_along(*leader, axis)));
        assert!(scene.notes.is_empty(), "{:?}", scene.notes);
    }

    #[test]
    fn what_can_be_named_at_several_points_is_named_where_there_is_room() {
        let mut scene = Scene::default();
        scene.texts.push(Rect::new(50.0, 50.0, 118.0, 150.0));
        let near = vec![([140.0, 100.0], 0.0)];
        scene.label(Label { or_at: near, ..Label::new([60.0, 100.0], [0.0, -1.0], "T1") });
        scene.place_labels(PAPER);
        assert!(scene.texts.last().unwrap().left > 118.0);
        assert!(scene.leaders.is_empty(), "{:?}", scene.leaders);
    }
}
