//! What number formats say of numbers: the unit that they write behind them, and whether they show hundredths.

use restrand_model::quantity::Unit;

use super::Look;

/// The look of a cell whose number format is this one, as `#,##0.0" kN"` or `0%`; not whether it is struck through.
#[must_use]
pub fn look_of_format(code: &str) -> Look {
    let mut look = Look::default();
    let Some(positive) = code.split(';').next() else { return look };
    let mut literal = String::new();
    let mut letters = positive.chars();
    let mut seen_digit = false;
    while let Some(letter) = letters.next() {
        match letter {
            '"' => {
                let text: String = letters.by_ref().take_while(|letter| *letter != '"').collect();
                if seen_digit {
                    literal.push_str(&text);
                }
            }
            '\\' | '_' | '*' => {
                let next = letters.next();
                if letter == '\\' && seen_digit {
                    literal.extend(next);
                }
            }
            '0' | '#' | '?' => seen_digit = true,
            '%' => look.per_cent = true,
            '[' => {
                let _: String = letters.by_ref().take_while(|letter| *letter != ']').collect();
            }
            _ => {}
        }
    }
    let literal = literal.trim();
    if !literal.is_empty() {
        look.unit = Unit::find_any(literal);
    }
    look
}

/// The look of a number format that a workbook names by its number alone.
///
/// ECMA-376-1:2016, 18.8.30: 9 is `0%`, 10 is `0.00%`; [MS-XLS] 2.4.126 has the same.
#[must_use]
pub fn look_of_built_in(number: u16) -> Look {
    Look { per_cent: matches!(number, 9 | 10), ..Look::default() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_format_tells_its_unit() {
        for (code, unit) in [
            ("#,##0.0\" kN\"", Some("kN")),
            ("0.00\\ \"mm\"", Some("mm")),
            ("0\\m", Some("m")),
            ("[Red]0.0\" ft\";-0.0\" ft\"", Some("ft")),
            ("General", None),
            ("\"T\"0", None),
            ("0.0\" each\"", None),
        ] {
            assert_eq!(look_of_format(code).unit.map(|unit| unit.symbol), unit, "{code}");
        }
        for (code, per_cent) in
            [("0.0%", true), ("0\"%\"", false), ("0\\%", false), ("General", false)]
        {
            assert_eq!(look_of_format(code).per_cent, per_cent, "{code}");
        }
    }
}
