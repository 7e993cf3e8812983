//! Stations as they stand on drawings: `12+34.50`, `STA 1+234.5`, `Ch. 1234.5`.
//!
//! In feet a full station is 100 ft, written with two digits behind the plus; in metres it is 1000 m, with
//! three. Some write 100 m with two digits, so that any other pairing of unit and digits is asked, not guessed.
//! Common practice, no source.

use std::borrow::Cow;

use super::text::{Misread, leading_number, strip_ignoring_case};
use super::unit::Unit;

/// What may stand before a station, longer words first.
const WORDS: &[&str] =
    &["chainage", "station", "chain.", "sta.", "stn.", "sta", "stn", "ch.", "ch", "km"];

/// Reads a station in metres, or nothing where the text is not written as one.
///
/// `stated` is the unit that holds for bare numbers around it. `base` is how long a full station is, where
/// that is declared.
pub fn station(
    text: &str,
    stated: Option<&'static Unit>,
    base: Option<u32>,
) -> Option<Result<f64, Misread>> {
    let text = text.trim();
    let word = WORDS.iter().find_map(|word| Some((*word, strip_ignoring_case(text, word)?)));
    let bare = word.map(|(_, rest)| rest.trim_start_matches([' ', '\u{a0}', ':', '=', '.']));
    let written = bare.unwrap_or(text);
    let Some((full, rest)) = parted(written) else {
        // Only a word tells that a bare number is a station.
        return bare.filter(|rest| rest.starts_with(|c: char| c.is_ascii_digit())).map(|rest| {
            let (number, unit) = leading_number(rest)?;
            let own = unit_of(unit.trim(), stated)?.ok_or(Misread::NoUnit)?;
            // `km 0.139` is a place along the line, which some write in kilometres and some in metres.
            if unit.trim().is_empty() && word.is_some_and(|(word, _)| word == "km") {
                let readings = vec![format!("{number} km"), format!("{number} {}", own.symbol)];
                return Err(Misread::Readings(readings));
            }
            Ok(number * own.factor / METRE)
        });
    };
    // What stands behind `km` is metric.
    let metre = Unit::find("m", super::Dimension::Length);
    let of_kilometres = metre.filter(|_| word.is_some_and(|(word, _)| word == "km"));
    let read = of_parts(full, rest, stated.or(of_kilometres), base);
    if of_kilometres.is_some() && stated.is_some_and(is_of_feet) {
        let metric = of_parts(full, rest, of_kilometres, Some(1000));
        // With three digits behind the plus it is no station in feet, but the unit still says feet.
        let feet = read.or_else(|_| of_parts(full, rest, stated, Some(1000)));
        return Some(match (metric, feet) {
            (Ok(metric), Ok(feet)) => Err(Misread::Readings(vec![
                format!("{metric} m, as \"km\" says"),
                format!("{} ft, as its unit says", (feet / FOOT * 1e6).round() / 1e6),
            ])),
            (metric, _) => metric,
        });
    }
    Some(read)
}

/// Metres in a foot.
const FOOT: f64 = 0.304_8;

fn is_of_feet(unit: &'static Unit) -> bool {
    matches!(unit.symbol, "ft" | "in" | "ft-in")
}

/// Millimetres in a metre.
const METRE: f64 = 1000.0;

/// The digits before the plus, and what follows it.
fn parted(text: &str) -> Option<(&str, &str)> {
    let (full, rest) = text.split_once('+')?;
    let (full, rest) = (full.trim_end(), rest.trim_start());
    let is_full = !full.is_empty()
        && full.len() <= 6
        && full.strip_prefix('-').unwrap_or(full).bytes().all(|byte| byte.is_ascii_digit());
    (is_full && rest.starts_with(|c: char| c.is_ascii_digit())).then_some((full, rest))
}

fn of_parts(
    full: &str,
    rest: &str,
    stated: Option<&'static Unit>,
    base: Option<u32>,
) -> Result<f64, Misread> {
    let digits = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
    let by_digits = match digits {
        2 => 100,
        3 => 1000,
        _ => return Err(Misread::NotPlain),
    };
    // What stands behind the plus is less than a full station, so that a comma in it parts no thousands.
    let rest = &*match rest[digits..].strip_prefix(',') {
        Some(decimals) => Cow::Owned(format!("{}.{decimals}", &rest[..digits])),
        None => Cow::Borrowed(rest),
    };
    let (behind, unit) = leading_number(rest)?;
    let unit = unit_of(unit.trim(), stated)?;
    let negative = full.starts_with('-');
    let full: f64 = full.trim_start_matches('-').parse().map_err(|_| Misread::NotANumber)?;
    let signed = |value: f64| if negative { -value } else { value };
    let at = |base: u32, metres: f64| signed(full * f64::from(base) + behind) * metres;
    let is_metric = unit.map(|unit| !is_of_feet(unit));
    match (is_metric, base) {
        (Some(true), Some(base)) => Ok(at(base, 1.0)),
        (Some(false), Some(base)) => Ok(at(base, FOOT)),
        (Some(true), None) if by_digits == 1000 => Ok(at(1000, 1.0)),
        (Some(false), None) if by_digits == 100 => Ok(at(100, FOOT)),
        // Before the first full station both are the same.
        (Some(metric), None) if full == 0.0 => Ok(at(100, if metric { 1.0 } else { FOOT })),
        (Some(metric), None) => {
            let (factor, unit) = if metric { (1.0, "m") } else { (FOOT, "ft") };
            let reading = |base| format!("{} {unit}", at(base, factor) / factor);
            Err(Misread::Readings(vec![reading(100), reading(1000)]))
        }
        (None, base) => {
            let base = base.unwrap_or(by_digits);
            let value = at(base, 1.0);
            Err(Misread::Readings(vec![format!("{value} m"), format!("{value} ft")]))
        }
    }
}

fn unit_of(symbol: &str, stated: Option<&'static Unit>) -> Result<Option<&'static Unit>, Misread> {
    if symbol.is_empty() {
        return Ok(stated);
    }
    Unit::find(symbol, super::Dimension::Length)
        .map(Some)
        .ok_or_else(|| Misread::UnknownUnit(symbol.to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Dimension;
    use proptest::prelude::*;

    fn read(text: &str, unit: Option<&str>) -> Option<Result<f64, Misread>> {
        station(text, unit.and_then(|unit| Unit::find(unit, Dimension::Length)), None)
    }

    #[test]
    fn full_stations_are_100_feet_or_1000_metres() {
        for (text, unit, metres) in [
            ("12+34.50", "ft", 1234.5 * 0.3048),
            ("STA 12+34.50", "ft", 1234.5 * 0.3048),
            ("0+200,500", "m", 200.5),
            ("km 1+200,5", "m", 1200.5),
            ("Sta. 0+05", "ft", 5.0 * 0.3048),
            ("12 + 34.5'", "m", 1234.5 * 0.3048),
            ("1+234.500", "m", 1234.5),
            ("12+300", "km", 12300.0),
            ("km 1+234.5", "m", 1234.5),
            ("Ch. 1234.5", "m", 1234.5),
            ("-0+10", "ft", -10.0 * 0.3048),
        ] {
            let value = read(text, Some(unit)).unwrap().unwrap();
            assert!((value - metres).abs() < 1e-9, "{text}: {value}");
        }
    }

    #[test]
    fn what_can_be_two_stations_is_asked() {
        for (text, unit) in [("12+34.50", None), ("12+34.50", Some("m")), ("1+234", Some("ft"))] {
            let misread = read(text, unit).unwrap().unwrap_err();
            assert!(matches!(misread, Misread::Readings(_)), "{text}: {misread}");
        }
        let metre = Unit::find("m", Dimension::Length);
        assert_eq!(station("12+34.50", metre, Some(100)), Some(Ok(1234.5)));
        assert_eq!(read("1234.5", Some("m")), None);
        assert_eq!(read("chord", Some("m")), None);
        assert_eq!(read("1+2", Some("m")), Some(Err(Misread::NotPlain)));
        let kilometres = Misread::Readings(vec!["0.139 km".to_owned(), "0.139 m".to_owned()]);
        assert_eq!(read("km 0.139", Some("m")), Some(Err(kilometres)));
        // A word for kilometres below a header of feet.
        for text in ["km 0+13", "km 1+060"] {
            let misread = read(text, Some("ft")).unwrap().unwrap_err();
            assert!(matches!(misread, Misread::Readings(_)), "{text}: {misread}");
        }
        assert_eq!(read("0+13", Some("m")), Some(Ok(13.0)));
    }

    proptest! {
        #[test]
        fn printed_stations_read_back(full in 0u32..9999, hundredths in 0u32..10_000) {
            let behind = f64::from(hundredths) / 100.0;
            let text = format!("{full}+{behind:05.2}");
            let feet = read(&text, Some("ft")).unwrap().unwrap() / 0.3048;
            prop_assert!((feet - (f64::from(full) * 100.0 + behind)).abs() < 1e-6, "{}", text);
        }

        #[test]
        fn no_text_makes_it_panic(text in "[-+0-9. stachkm']{0,14}") {
            let _ = read(&text, Some("m"));
        }
    }
}
