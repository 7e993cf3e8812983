//! The units that number formats write behind numbers.

use restrand_model::quantity::Unit;

/// The unit that a number format writes behind the number, as `#,##0.0" kN"` does.
#[must_use]
pub fn unit_of_format(code: &str) -> Option<&'static Unit> {
    let positive = code.split(';').next()?;
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
            '[' => {
                let _: String = letters.by_ref().take_while(|letter| *letter != ']').collect();
            }
            _ => {}
        }
    }
    let literal = literal.trim();
    if literal.is_empty() { None } else { Unit::find_any(literal) }
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
            assert_eq!(unit_of_format(code).map(|unit| unit.symbol), unit, "{code}");
        }
    }
}
