//! Rows of short texts over or under a line, each at its place along it; what has no room moves a row further out.

use super::geometry::Point;
use super::letters::{ABOVE, BELOW, LINE_MM, TEXT_MM, text_width_mm};
use super::pen::Pen;
use super::scene::{Anchor, Scene};

/// Most rows; what finds no room in them is left out and counted.
const ROWS: usize = 5;
/// Room between two texts of a row, mm.
const BETWEEN_MM: f64 = 1.2;

impl Scene {
    /// Writes texts in rows: each `x` with its text, over the line at `y` or under it. The first row begins `gap` from
    /// it, and a thin line leads from there to each. Returns where the outermost row ends, and how many were left out.
    pub(in crate::draw) fn row(
        &mut self,
        y: f64,
        is_over: bool,
        gap: f64,
        [left, right]: [f64; 2],
        texts: &[(f64, String)],
    ) -> (f64, usize) {
        let sign = if is_over { -1.0 } else { 1.0 };
        let mut sorted: Vec<&(f64, String)> = texts.iter().collect();
        sorted.sort_by(|one, other| one.0.total_cmp(&other.0));
        // By row, where its last text ends and the lines that pass through it to rows further out.
        let mut ends = [f64::NEG_INFINITY; ROWS];
        let mut left_out = 0;
        let mut furthest: f64 = 0.0;
        for (x, text) in sorted {
            let width = text_width_mm(text, TEXT_MM);
            let from = (x - width / 2.0).clamp(left, (right - width).max(left));
            // A text that is moved off its place still stands over its line.
            let passes = |row: usize| (0..row).all(|inner| ends[inner] + 0.5 <= *x);
            let row = (0..ROWS).find(|row| ends[*row] + BETWEEN_MM <= from && passes(*row));
            let Some(row) = row else {
                left_out += 1;
                continue;
            };
            ends[row] = from + width;
            #[expect(clippy::cast_precision_loss, reason = "a few rows")]
            let out = gap + row as f64 * LINE_MM;
            let near = y + sign * out;
            self.line(&[[*x, y], [*x, near]], Pen::Thin);
            let base =
                if is_over { near - BELOW * TEXT_MM - 0.3 } else { near + ABOVE * TEXT_MM + 0.4 };
            self.text([from, base], Anchor::Start, TEXT_MM, text);
            furthest = furthest.max(out + LINE_MM);
        }
        (y + sign * furthest, left_out)
    }

    /// A thin line with its own text in the middle over it, where it has room; else nothing is written.
    pub(in crate::draw) fn between(&mut self, from: Point, to: Point, text: &str) -> bool {
        let has_room = text_width_mm(text, TEXT_MM) + 1.0 <= (to[0] - from[0]).abs();
        if has_room {
            let middle = f64::midpoint(from[0], to[0]);
            let base = f64::midpoint(from[1], to[1]) + TEXT_MM * 0.36;
            self.text([middle, base], Anchor::Middle, TEXT_MM, text);
        }
        has_room
    }
}
