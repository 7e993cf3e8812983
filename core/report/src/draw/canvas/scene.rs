//! What is drawn, in the order in which it is drawn, and what labels must keep clear of.

use super::geometry::{Point, Rect};
use super::hatch::{Marks, marks};
use super::label::Label;
use super::letters::{ABOVE, BELOW, text_width_mm};
use super::pen::{Hatch, Pen, Sample};
use super::sheet::CONTENT;
use crate::draw::Hole;
use crate::plain::plain;

/// Where a text begins from its position.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::draw) enum Anchor {
    Start,
    Middle,
    End,
}

/// One thing on paper.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Item {
    Path {
        points: Vec<Point>,
        is_closed: bool,
        pen: Option<Pen>,
        fill: Hatch,
    },
    /// Lines and marks of a hatch.
    Hatch(Marks),
    Circle {
        middle: Point,
        radius: f64,
        pen: Option<Pen>,
        fill: Hatch,
    },
    Text {
        at: Point,
        anchor: Anchor,
        size: f64,
        is_upright: bool,
        text: String,
    },
    /// What follows belongs together: a class and further attributes.
    Open {
        class: &'static str,
        data: String,
    },
    Close,
}

/// Something drawn that a label wants to keep off.
#[derive(Debug, Clone, Copy)]
pub(super) struct Obstacle {
    pub(super) from: Point,
    pub(super) to: Point,
    pub(super) weight: f64,
}

/// A drawing in the making.
#[derive(Debug, Default)]
pub(in crate::draw) struct Scene {
    pub(super) items: Vec<Item>,
    pub(super) obstacles: Vec<Obstacle>,
    /// The boxes of all texts.
    pub(super) texts: Vec<Rect>,
    /// Middles and radii of circles that a text has room in, and would seem to name.
    pub(super) rounds: Vec<(Point, f64)>,
    /// Leaders: no label lies over one, and none crosses another.
    pub(super) leaders: Vec<[Point; 2]>,
    pub(super) labels: Vec<Label>,
    pub(super) legend: Vec<(Sample, String)>,
    pub(super) notes: Vec<String>,
    pub(super) holes: Vec<Hole>,
    /// Room beside what is drawn, in which the notes may stand; the first base line is its top.
    pub(super) beside: Option<Rect>,
    bounds: Option<Rect>,
}

impl Scene {
    /// A line through points.
    pub(in crate::draw) fn line(&mut self, points: &[Point], pen: Pen) {
        self.path(points, false, Some(pen), Hatch::None);
    }

    /// A closed shape with its edge.
    pub(in crate::draw) fn shape(&mut self, points: &[Point], pen: Pen, fill: Hatch) {
        self.path(points, true, Some(pen), fill);
    }

    /// A filled shape without an edge.
    pub(in crate::draw) fn fill(&mut self, points: &[Point], fill: Hatch) {
        self.path(points, true, None, fill);
    }

    fn path(&mut self, points: &[Point], is_closed: bool, pen: Option<Pen>, fill: Hatch) {
        if points.len() < 2 || points.iter().flatten().any(|number| !number.is_finite()) {
            return;
        }
        if let Some(pen) = pen {
            let closing = is_closed.then(|| [points[points.len() - 1], points[0]]);
            let sides = points.windows(2).map(|pair| [pair[0], pair[1]]).chain(closing);
            for [from, to] in sides {
                self.obstacles.push(Obstacle { from, to, weight: pen.weight() });
            }
        }
        self.reach(Rect::round(points));
        let ground = fill.ground();
        if pen.is_some() || ground != Hatch::None {
            self.items.push(Item::Path { points: points.to_vec(), is_closed, pen, fill: ground });
        }
        self.hatch(points, fill, [0.0, 0.0]);
    }

    /// Lines and marks of a hatch, on a grid that begins at a point.
    pub(super) fn hatch(&mut self, shape: &[Point], hatch: Hatch, origin: Point) {
        let marks = marks(shape, hatch, origin);
        if !marks.is_empty() {
            self.items.push(Item::Hatch(marks));
        }
    }

    pub(in crate::draw) fn circle(&mut self, middle: Point, radius: f64, pen: Pen, fill: Hatch) {
        if !(middle[0].is_finite() && middle[1].is_finite() && radius.is_finite()) {
            return;
        }
        const SIDES: u32 = 24;
        /// Dots and marks are no larger, mm.
        const MARK_MM: f64 = 2.0;
        if radius > MARK_MM {
            self.rounds.push((middle, radius));
        }
        let corner = |index: u32| {
            let (sin, cos) =
                (std::f64::consts::TAU * f64::from(index) / f64::from(SIDES)).sin_cos();
            [middle[0] + radius * cos, middle[1] + radius * sin]
        };
        for index in 0..SIDES {
            let (from, to) = (corner(index), corner(index + 1));
            self.obstacles.push(Obstacle { from, to, weight: pen.weight() });
        }
        self.reach(Rect::new(
            middle[0] - radius,
            middle[1] - radius,
            middle[0] + radius,
            middle[1] + radius,
        ));
        self.items.push(Item::Circle { middle, radius, pen: Some(pen), fill: fill.ground() });
        let edge: Vec<Point> = (0..SIDES).map(corner).collect();
        self.hatch(&edge, fill, [0.0, 0.0]);
    }

    /// A text on a base line; returns its box.
    pub(in crate::draw) fn text(
        &mut self,
        at: Point,
        anchor: Anchor,
        size: f64,
        text: &str,
    ) -> Rect {
        self.set(at, anchor, size, false, text)
    }

    /// A text that reads upward.
    pub(in crate::draw) fn upright(
        &mut self,
        at: Point,
        anchor: Anchor,
        size: f64,
        text: &str,
    ) -> Rect {
        self.set(at, anchor, size, true, text)
    }

    fn set(&mut self, at: Point, anchor: Anchor, size: f64, is_upright: bool, text: &str) -> Rect {
        let text = plain(text);
        let bounds = text_box(at, anchor, size, is_upright, &text);
        self.texts.push(bounds);
        self.reach(bounds);
        self.items.push(Item::Text { at, anchor, size, is_upright, text });
        bounds
    }

    /// A label that finds its own place once all else is drawn.
    pub(in crate::draw) fn label(&mut self, label: Label) {
        self.labels.push(label);
    }

    /// A thing that begins here and ends with [`Scene::close`].
    pub(in crate::draw) fn open(&mut self, class: &'static str, data: &[(&str, String)]) {
        let data = data.iter().map(|(name, value)| format!(" data-{name}=\"{value}\"")).collect();
        self.items.push(Item::Open { class, data });
    }

    pub(in crate::draw) fn close(&mut self) {
        self.items.push(Item::Close);
    }

    /// What a line or a hatch means here, for the legend.
    pub(in crate::draw) fn means(&mut self, sample: Sample, meaning: &str) {
        if !self.legend.iter().any(|(known, words)| *known == sample && words == meaning) {
            self.legend.push((sample, meaning.to_owned()));
        }
    }

    pub(in crate::draw) fn note(&mut self, note: impl Into<String>) {
        let note = note.into();
        if !self.notes.contains(&note) {
            self.notes.push(note);
        }
    }

    /// Leaves room beside the drawing to the notes, from a point to the right margin.
    pub(in crate::draw) fn notes_from(&mut self, [left, top]: Point) {
        /// Notes in a narrower column would go down too far, mm.
        const LEAST_MM: f64 = 110.0;
        let right = CONTENT.right;
        if right - left >= LEAST_MM {
            self.beside = Some(Rect::new(left, top, right, top));
        }
    }

    /// What is not drawn for want of a field.
    pub(in crate::draw) fn lacks(&mut self, field: &'static str, blocks: impl Into<String>) {
        let hole = Hole { field, blocks: blocks.into() };
        if !self.holes.contains(&hole) {
            self.holes.push(hole);
        }
    }

    /// What is not drawn so far.
    pub(in crate::draw) fn holes(&self) -> &[Hole] {
        &self.holes
    }

    fn reach(&mut self, more: Rect) {
        self.bounds = Some(self.bounds.map_or(more, |bounds| bounds.with(more)));
    }

    /// How far down anything is drawn.
    pub(in crate::draw) fn bottom(&self) -> f64 {
        self.bounds.map_or(0.0, |bounds| bounds.bottom)
    }
}

/// The box of a text on its base line.
pub(super) fn text_box(
    [x, y]: Point,
    anchor: Anchor,
    size: f64,
    is_upright: bool,
    text: &str,
) -> Rect {
    let width = text_width_mm(text, size);
    let before = match anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => width / 2.0,
        Anchor::End => width,
    };
    if is_upright {
        Rect::new(x - ABOVE * size, y - (width - before), x + BELOW * size, y + before)
    } else {
        Rect::new(x - before, y - ABOVE * size, x + width - before, y + BELOW * size)
    }
}
