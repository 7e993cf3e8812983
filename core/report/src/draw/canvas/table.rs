//! A table of short texts with ruled columns.

use super::geometry::{Point, Rect};
use super::letters::{LINE_MM, TEXT_MM, text_width_mm};
use super::pen::Pen;
use super::scene::{Anchor, Scene};

/// Room beside the text of a cell, mm.
const PAD_MM: f64 = 1.5;
/// From the base line of a row to the rule under it, mm.
const UNDER_MM: f64 = 1.6;

impl Scene {
    /// Writes a table whose columns are as wide as their texts, as far as `most_mm` allows; returns the room that it takes.
    ///
    /// A column of which every cell is blank is left out. A text that has no room is cut with a mark.
    pub(in crate::draw) fn table(
        &mut self,
        [left, top]: Point,
        most_mm: f64,
        titles: &[&str],
        rows: &[Vec<String>],
    ) -> Rect {
        let kept: Vec<usize> = (0..titles.len())
            .filter(|column| rows.iter().any(|row| !row[*column].is_empty()))
            .collect();
        let mut widths: Vec<f64> = kept
            .iter()
            .map(|column| {
                let cells = rows.iter().map(|row| row[*column].as_str()).chain([titles[*column]]);
                cells.map(|cell| text_width_mm(cell, TEXT_MM)).fold(0.0, f64::max) + 2.0 * PAD_MM
            })
            .collect();
        // What is too much is taken from the widest.
        while widths.iter().sum::<f64>() > most_mm {
            let Some(widest) = widths.iter_mut().max_by(|one, other| one.total_cmp(other)) else {
                break;
            };
            if *widest <= 12.0 {
                break;
            }
            *widest -= 1.0;
        }
        let right = left + widths.iter().sum::<f64>();
        let mut base = top + LINE_MM;
        self.line(&[[left, top], [right, top]], Pen::Edge);
        let heads: Vec<String> = titles.iter().map(|title| (*title).to_owned()).collect();
        for (number, row) in std::iter::once(&heads).chain(rows).enumerate() {
            let mut x = left;
            for (column, width) in kept.iter().zip(&widths) {
                let text = cut(&row[*column], width - 2.0 * PAD_MM);
                if !text.is_empty() {
                    self.text([x + PAD_MM, base], Anchor::Start, TEXT_MM, &text);
                }
                x += width;
            }
            let under = base + UNDER_MM;
            self.line(
                &[[left, under], [right, under]],
                if number == 0 { Pen::Edge } else { Pen::Thin },
            );
            base += LINE_MM + 0.5;
        }
        Rect::new(left, top, right, base - LINE_MM + UNDER_MM)
    }
}

/// A text cut to a width.
fn cut(text: &str, most_mm: f64) -> String {
    let text = crate::plain::plain(text);
    if text_width_mm(&text, TEXT_MM) <= most_mm + 1e-9 {
        return text;
    }
    let mut taken = String::new();
    for letter in text.chars() {
        taken.push(letter);
        if text_width_mm(&taken, TEXT_MM) + TEXT_MM > most_mm {
            taken.pop();
            break;
        }
    }
    taken.push('…');
    taken
}
