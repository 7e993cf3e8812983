//! How wide texts are.
//!
//! Widths are those of Helvetica in its published metrics (Adobe Font Metrics of the fourteen standard fonts, from
//! memory), which the free fonts made to stand in for it share. Each text is told its width in the drawing, so that
//! another font is spaced to it and no text leaves its box.

use unicode_width::UnicodeWidthChar;

/// Height of capitals on A3, mm: between the 2.5 and the 3.5 of ISO 3098 (from memory), so that more than 2 mm are left
/// on A4, where a sheet comes out at 0.71 of its size.
const CAPITALS_MM: f64 = 3.0;
/// Capitals over the size of the letters.
const CAPITALS: f64 = 0.714;

/// Size of the letters, mm.
pub(in crate::draw) const TEXT_MM: f64 = CAPITALS_MM / CAPITALS;
/// From line to line, mm.
pub(in crate::draw) const LINE_MM: f64 = 5.4;

/// What stands above the base line, over the size of the letters.
pub(super) const ABOVE: f64 = 0.75;
/// What hangs below the base line, over the size of the letters.
pub(super) const BELOW: f64 = 0.22;

/// Widths of the letters from the space to the tilde, in thousandths of their size.
#[rustfmt::skip]
const WIDTHS: [u16; 95] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278,
    556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556,
    1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778,
    667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556,
    333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556,
    556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
];

fn letter_width(letter: char) -> f64 {
    let index = (letter as usize).checked_sub(' ' as usize);
    if let Some(width) = index.and_then(|index| WIDTHS.get(index)) {
        return f64::from(*width) / 1000.0;
    }
    match letter {
        '·' => 0.278,
        '°' => 0.4,
        'Ø' => 0.778,
        '×' | '±' => 0.584,
        '≤' | '≥' => 0.549,
        '…' => 1.0,
        // Letters of other scripts: nearly as wide as the widest common ones.
        _ => match letter.width() {
            Some(0) | None => 0.0,
            Some(1) => 0.667,
            Some(_) => 1.0,
        },
    }
}

/// Width of a text in letters of a size, mm.
pub(in crate::draw) fn text_width_mm(text: &str, size_mm: f64) -> f64 {
    text.chars().map(letter_width).sum::<f64>() * size_mm
}

/// A text broken at spaces into lines no wider than `most_mm`; a longer word is broken where it must be.
pub(in crate::draw) fn wrapped(text: &str, most_mm: f64, size_mm: f64) -> Vec<String> {
    let fits = |text: &str| text_width_mm(text, size_mm) <= most_mm;
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let last = lines.len() - 1;
        let joined = if lines[last].is_empty() {
            word.to_owned()
        } else {
            format!("{} {word}", lines[last])
        };
        if fits(&joined) {
            lines[last] = joined;
            continue;
        }
        let mut rest = String::new();
        for letter in word.chars() {
            rest.push(letter);
            if !fits(&rest) && rest.chars().count() > 1 {
                rest.pop();
                lines.push(std::mem::replace(&mut rest, letter.to_string()));
            }
        }
        lines.push(rest);
    }
    lines.retain(|line| !line.is_empty());
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_are_those_of_the_letters() {
        // Adobe Font Metrics, Helvetica: T 611, zero 556, full stop 278 (from memory).
        assert!((text_width_mm("T0.", 10.0) - 14.45).abs() < 1e-9);
        assert!((text_width_mm("長", 10.0) - 10.0).abs() < 1e-9);
    }

    #[test]
    fn lines_keep_to_the_width_and_lose_nothing() {
        let text = "one two three-hundred-and-thirty-three four";
        let lines = wrapped(text, 20.0, 3.5);
        assert!(lines.iter().all(|line| text_width_mm(line, 3.5) <= 20.0), "{lines:?}");
        assert_eq!(lines.concat().replace(' ', ""), text.replace(' ', ""));
        assert!(wrapped("  ", 20.0, 3.5).is_empty());
    }
}
