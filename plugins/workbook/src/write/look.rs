//! How cells look. Nothing is told by colour alone.

use restrand_kit::sheet::OutCell;
use rust_xlsxwriter::{Color, Format, FormatAlign, FormatBorder, FormatPattern};

/// The looks that do not depend on a column.
pub(crate) struct Look {
    /// Headers of columns that people fill.
    pub(crate) header: Format,
    /// Headers of columns that only show what follows from others: slanted, on a hatched ground.
    pub(crate) computed_header: Format,
    /// Cells of such columns.
    pub(crate) computed: Format,
    /// A heading above a table.
    pub(crate) title: Format,
    /// Text that may take several lines.
    pub(crate) wrapped: Format,
    /// A text that leads to a cell.
    pub(crate) link: Format,
}

impl Look {
    pub(crate) fn new() -> Self {
        let header = Format::new()
            .set_bold()
            .set_text_wrap()
            .set_align(FormatAlign::Top)
            .set_border_bottom(FormatBorder::Medium);
        Self {
            computed_header: hatched(header.clone().set_italic()),
            computed: hatched(Format::new().set_italic().set_num_format("0.00")),
            header,
            title: Format::new().set_bold().set_font_size(14),
            wrapped: Format::new().set_text_wrap().set_align(FormatAlign::Top),
            link: Format::new()
                .set_underline(rust_xlsxwriter::FormatUnderline::Single)
                .set_align(FormatAlign::Top),
        }
    }
}

fn hatched(format: Format) -> Format {
    format
        .set_pattern(FormatPattern::LightUp)
        .set_foreground_color(Color::RGB(0x00B0_B0B0))
        .set_background_color(Color::White)
}

/// The looks of the cells of one column.
pub(super) struct ColumnLook {
    /// Of cells without a mark; none where cells look as cells do.
    pub(super) plain: Option<Format>,
    /// Of a text that begins like a formula, so that it stays a text when someone edits the cell.
    pub(super) quoted: Format,
    /// Of changed cells: bold in a heavy border.
    pub(super) changed: Format,
    /// Of changed cells whose text begins like a formula.
    pub(super) changed_quoted: Format,
}

impl ColumnLook {
    /// The look for a column of these cells.
    pub(super) fn of<'c>(cells: impl Iterator<Item = &'c OutCell>) -> Self {
        /// Letters from which on a text takes several lines.
        const LONG: usize = 42;
        let mut numbers = Digits::default();
        let mut long = false;
        for cell in cells {
            match cell {
                OutCell::Number(number) => numbers.take(*number),
                OutCell::Text(text) => long |= text.len() > LONG,
                OutCell::Empty | OutCell::Flag(_) => {}
            }
        }
        let base = match numbers.format() {
            Some(format) => Format::new().set_num_format(format),
            None if long => Format::new().set_text_wrap().set_align(FormatAlign::Top),
            None => Format::new(),
        };
        let changed = base.clone().set_bold().set_border(FormatBorder::Thick);
        Self {
            plain: (numbers.format().is_some() || long).then(|| base.clone()),
            quoted: base.clone().set_quote_prefix(),
            changed_quoted: changed.clone().set_quote_prefix(),
            changed,
        }
    }
}

/// How many digits behind the point the numbers of a column need.
#[derive(Default)]
struct Digits {
    some: bool,
    needed: i32,
    greatest: f64,
}

impl Digits {
    /// Digits that people can use; the cell holds all of them.
    const SIGNIFICANT: i32 = 6;
    const MOST: i32 = 9;

    fn take(&mut self, number: f64) {
        self.some = true;
        self.greatest = self.greatest.max(number.abs());
        while self.needed < Self::MOST {
            let scaled = number * 10_f64.powi(self.needed);
            if (scaled - scaled.round()).abs() <= 1e-9 * scaled.abs() {
                break;
            }
            self.needed += 1;
        }
    }

    /// The number format, the same for the whole column so that the points stand below each other.
    fn format(&self) -> Option<String> {
        if !self.some {
            return None;
        }
        #[expect(clippy::cast_possible_truncation, reason = "a float has no more than 309 digits")]
        let whole = if self.greatest > 0.0 { self.greatest.log10().floor() as i32 + 1 } else { 1 };
        let digits = self.needed.min((Self::SIGNIFICANT - whole).clamp(0, Self::MOST));
        let digits = usize::try_from(digits).unwrap_or(0);
        Some(if digits == 0 { "0".to_owned() } else { format!("0.{}", "0".repeat(digits)) })
    }
}

#[cfg(test)]
mod tests {
    use super::Digits;

    #[test]
    fn numbers_are_shown_with_the_digits_that_they_have() {
        for (numbers, expected) in [
            (&[][..], None),
            (&[0.0, 600.0], Some("0")),
            (&[1.5, 12.25], Some("0.00")),
            (&[0.000_12], Some("0.00000")),
            (&[23.622_047_244], Some("0.0000")),
            (&[1_234_567.891], Some("0")),
            (&[0.1 + 0.2], Some("0.0")),
            (&[1.0 / 3.0], Some("0.000000")),
        ] {
            let mut digits = Digits::default();
            numbers.iter().for_each(|number| digits.take(*number));
            assert_eq!(digits.format().as_deref(), expected, "{numbers:?}");
        }
    }
}
