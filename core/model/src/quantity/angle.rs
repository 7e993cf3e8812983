//! Angles as people write them: `7°30'15"`, `7 deg 30 min`, and slopes: `1:20`, `1 in 20`, `5 %`, `25 mm/m`.

use super::text::{Misread, leading_number, strip_ignoring_case};

const DEGREES: &[&str] = &["degrees", "degree", "deg.", "deg", "°", "º", "d"];
const MINUTES: &[&str] = &["minutes", "minute", "min.", "min", "'", "′", "’", "m"];
const SECONDS: &[&str] = &["seconds", "second", "sec.", "sec", "\"", "″", "”", "''", "s"];

/// Reads an angle in radians, or nothing where the text is written in none of these ways.
pub(super) fn angle(text: &str) -> Option<Result<f64, Misread>> {
    slope(text).or_else(|| degrees(text))
}

/// Degrees with minutes; degrees alone are a number with a unit like any other.
fn degrees(text: &str) -> Option<Result<f64, Misread>> {
    let (whole, rest) = leading_number(text).ok()?;
    let rest = behind(rest, DEGREES)?;
    let rest = rest.trim_start_matches([' ', '\u{a0}', '-']);
    if rest.is_empty() {
        return None;
    }
    let part = |text: &str, marks: &[&str]| -> Result<(f64, String), Misread> {
        let (value, rest) = leading_number(text)?;
        let rest = behind(rest, marks).ok_or(Misread::NotPlain)?;
        if (0.0..60.0).contains(&value) {
            Ok((value, rest.trim_start_matches([' ', '\u{a0}', '-']).to_owned()))
        } else {
            Err(Misread::NotPlain)
        }
    };
    Some((|| {
        let (minutes, rest) = part(rest, MINUTES)?;
        let seconds = if rest.is_empty() {
            0.0
        } else {
            let (seconds, rest) = part(&rest, SECONDS)?;
            if !rest.is_empty() {
                return Err(Misread::NotPlain);
            }
            seconds
        };
        let size = whole.abs() + minutes / 60.0 + seconds / 3600.0;
        // "-0°30'" is negative, though its degrees are zero.
        let negative = text.trim_start().starts_with(['-', '−', '–']);
        Ok(if negative { -size } else { size }.to_radians())
    })())
}

fn behind<'t>(text: &'t str, marks: &[&str]) -> Option<&'t str> {
    let text = text.trim_start();
    marks.iter().find_map(|mark| strip_ignoring_case(text, mark))
}

/// A rise over a run, as the angle whose tangent it is.
fn slope(text: &str) -> Option<Result<f64, Misread>> {
    let (rise, rest) = leading_number(text).ok()?;
    let rest = rest.trim();
    let of_run =
        |run: f64| Some(if run == 0.0 { Err(Misread::NotFinite) } else { Ok((rise / run).atan()) });
    match rest.to_ascii_lowercase().as_str() {
        "%" | "per cent" | "percent" => return of_run(100.0),
        "‰" | "mm/m" => return of_run(1000.0),
        "m/m" | "ft/ft" | "in/in" => return of_run(1.0),
        "in/ft" | "\"/ft" | "\"/'" => return of_run(12.0),
        _ => {}
    }
    let run = rest.strip_prefix(':').or_else(|| strip_ignoring_case(rest, "in "))?;
    match leading_number(run.trim()) {
        Ok((run, "")) if run > 0.0 => of_run(run),
        _ => Some(Err(Misread::NotPlain)),
    }
}

#[cfg(test)]
mod tests {
    use crate::quantity::{Misread, of_field, read};
    use proptest::prelude::*;

    fn rad(text: &str) -> Result<f64, Misread> {
        read(text, None, of_field("x_rad").1)
    }

    #[test]
    fn angles_are_read_as_people_write_them() {
        for (text, expected) in [
            ("7°30'", 7.5_f64.to_radians()),
            ("7° 30' 36\"", 7.51_f64.to_radians()),
            ("7d30m36s", 7.51_f64.to_radians()),
            ("7 deg 30 min", 7.5_f64.to_radians()),
            ("-0°30'", -0.5_f64.to_radians()),
            ("7.5°", 7.5_f64.to_radians()),
            ("1:20", 0.05_f64.atan()),
            ("1 in 20", 0.05_f64.atan()),
            ("-1:20", -(0.05_f64.atan())),
            ("5 %", 0.05_f64.atan()),
            ("25 mm/m", 0.025_f64.atan()),
            ("0.6 in/ft", 0.05_f64.atan()),
            ("12 mrad", 0.012),
        ] {
            let value = rad(text).unwrap_or_else(|misread| panic!("{text}: {misread}"));
            assert!((value - expected).abs() < 1e-12, "{text}: {value}");
        }
        for text in ["7°75'", "7°30'99\"", "1:0", "1:x", "7°30'x"] {
            assert!(rad(text).is_err(), "{text}");
        }
    }

    proptest! {
        #[test]
        fn printed_angles_read_back(degrees in 0u32..90, minutes in 0u32..60, seconds in 0u32..60) {
            let text = format!("{degrees}°{minutes:02}'{seconds:02}\"");
            let total = f64::from(degrees) + f64::from(minutes) / 60.0 + f64::from(seconds) / 3600.0;
            prop_assert!((rad(&text).unwrap() - total.to_radians()).abs() < 1e-12, "{}", text);
        }

        #[test]
        fn no_text_makes_it_panic(text in "[-0-9.°'\": inde%]{0,14}") {
            let _ = rad(&text);
        }
    }
}
