//! Numbers and quantities in a text: `457.2`, `18 in`, `4'-6 1/2"`, `6½ in`, `12,5`.

use std::fmt;

use super::angle::angle;
use super::station::station;
use super::unit::{Dimension, Unit};

/// Why a text is not the quantity its field needs.
#[derive(Debug, Clone, PartialEq)]
pub enum Misread {
    /// It is not a number.
    NotANumber,
    /// Something stands beside the number that is no unit.
    NotPlain,
    /// It is a number that no measurement can be: infinite, or not a number at all.
    NotFinite,
    /// Neither the text nor anything around it states a unit.
    NoUnit,
    /// A bare number stands where feet and inches are expected, and can mean either.
    FeetOrInches,
    /// Inches that follow feet are twelve or more, or no inches.
    NotInches,
    /// The unit after the number is not known.
    UnknownUnit(String),
    /// The unit after the number measures something else.
    WrongUnit {
        /// The unit that was given.
        unit: &'static str,
        /// What that unit measures.
        measures: Dimension,
        /// What the field needs.
        needed: Option<Dimension>,
    },
    /// It can be read in several ways, and nothing around it tells which.
    Readings(Vec<String>),
    /// A mark in it can part thousands, or mean something else.
    Ambiguous {
        /// What the mark is called.
        mark: &'static str,
        /// What it says if the mark parts thousands.
        thousands: String,
        /// What it says else.
        other: String,
    },
}

impl fmt::Display for Misread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotANumber => f.write_str("it is not a number"),
            Self::NotPlain => f.write_str("it is not a plain number"),
            Self::NotFinite => f.write_str("it is not a finite number"),
            Self::NoUnit => f.write_str("neither the cell nor its header states a unit"),
            Self::FeetOrInches => {
                f.write_str("it is a bare number, where feet and inches are expected")
            }
            Self::NotInches => f.write_str("what follows the feet is not inches below twelve"),
            Self::UnknownUnit(unit) => write!(f, "the unit \"{unit}\" is not known"),
            Self::WrongUnit { unit, measures, needed: Some(needed) } => {
                write!(f, "the unit \"{unit}\" is that of {measures}, but {needed} is needed")
            }
            Self::WrongUnit { unit, measures, needed: None } => {
                write!(f, "the unit \"{unit}\" is that of {measures}, but a bare number is needed")
            }
            Self::Readings(readings) => write!(f, "it can mean {}", readings.join(" or ")),
            Self::Ambiguous { mark, thousands, other } => {
                write!(f, "the {mark} in it can mean {other} or {thousands}")
            }
        }
    }
}

/// Reads a quantity.
///
/// `stated` is the unit that the header or the document states for numbers without one, and `field` the
/// unit of the result; both are absent for a ratio or a count, which takes no unit (but for `%`).
/// A quantity in a text without a unit needs a stated one; under feet and inches only zero can do without.
///
/// ```
/// use restrand_model::quantity::{of_field, read};
/// let mm = of_field("behind_mm").1;
/// assert_eq!(read("457.2", mm, mm), Ok(457.2));
/// assert_eq!(read("18 in", mm, mm), Ok(457.2));
/// assert_eq!(read("4'-6 1/2\"", mm, mm), Ok(1384.3));
/// ```
///
/// # Errors
/// Says why the text is no such quantity; nothing is guessed.
pub fn read(
    text: &str,
    stated: Option<&'static Unit>,
    field: Option<&'static Unit>,
) -> Result<f64, Misread> {
    let text = text.trim_matches(|letter: char| letter.is_whitespace() || letter == '\u{a0}');
    let value = match field {
        Some(unit) if unit.dimension == Dimension::Length => {
            // Only what is as long as a bridge has stations.
            let along = (unit.symbol == "m").then(|| station(text, stated, None)).flatten();
            let hyphened =
                || stated.filter(|stated| stated.is_in_feet()).and_then(|_| hyphened(text));
            match (along, hyphened().or_else(|| read_feet_and_inches(text))) {
                (Some(metres), _) => metres,
                (None, Some(millimetres)) => Ok(millimetres? / unit.factor),
                (None, None) => read_with_unit(text, stated, field),
            }
        }
        Some(unit) if unit.dimension == Dimension::Angle => match angle(text) {
            Some(radians) => Ok(radians? / unit.factor),
            None => read_with_unit(text, stated, field),
        },
        _ => read_with_unit(text, stated, field),
    }?;
    if value.is_finite() { Ok(value) } else { Err(Misread::NotFinite) }
}

fn read_with_unit(
    text: &str,
    stated: Option<&'static Unit>,
    field: Option<&'static Unit>,
) -> Result<f64, Misread> {
    let (number, rest) = leading_number(text)?;
    let symbol = rest.trim();
    let Some(field) = field else {
        return match symbol {
            "" => Ok(number),
            "%" => Ok(number / 100.0),
            _ => Err(foreign(symbol, None)),
        };
    };
    if symbol.is_empty() {
        let stated = stated.ok_or(Misread::NoUnit)?;
        return if stated.is_feet_and_inches() && number != 0.0 {
            Err(Misread::FeetOrInches)
        } else {
            Ok(stated.convert(number, field))
        };
    }
    match Unit::find(symbol, field.dimension) {
        Some(unit) => Ok(unit.convert(number, field)),
        None => Err(foreign(symbol, Some(field.dimension))),
    }
}

fn foreign(symbol: &str, needed: Option<Dimension>) -> Misread {
    let meant = needed.map(|needed| Unit::meant_by(symbol, needed)).unwrap_or_default();
    if !meant.is_empty() {
        return Misread::Readings(meant.iter().map(|unit| unit.in_words()).collect());
    }
    match Unit::find_any(symbol) {
        Some(unit) => Misread::WrongUnit { unit: unit.symbol, measures: unit.dimension, needed },
        // Words are no unit: "as drawing" is not a number with an unknown unit.
        None if symbol.contains(char::is_whitespace) => Misread::NotANumber,
        // A star, a remark in brackets or a tolerance is no unit, and where none is taken nothing is.
        None if needed.is_none()
            || !symbol.starts_with(|c: char| c.is_alphabetic() || c == '°') =>
        {
            Misread::NotPlain
        }
        None => Misread::UnknownUnit(symbol.to_owned()),
    }
}

/// The number a text begins with, a fraction included, and what follows it.
pub(super) fn leading_number(text: &str) -> Result<(f64, &str), Misread> {
    let (negative, unsigned) = sign(text);
    let (magnitude, rest) = mixed_number(unsigned)?;
    Ok((if negative { -magnitude } else { magnitude }, rest))
}

fn sign(text: &str) -> (bool, &str) {
    for minus in ['-', '−', '–'] {
        if let Some(rest) = text.strip_prefix(minus) {
            return (true, rest.trim_start());
        }
    }
    (false, text.strip_prefix('+').unwrap_or(text))
}

/// `6`, `6.5`, `1/2`, `6 1/2`, `6-1/2`, `6½`, `½`.
fn mixed_number(text: &str) -> Result<(f64, &str), Misread> {
    if let Some((value, rest)) = fraction(text)? {
        return Ok((value, rest));
    }
    let (whole, rest) = decimal(text)?;
    let is_whole = !text[..text.len() - rest.len()].contains(['.', ',', 'e', 'E']);
    if is_whole {
        let after = rest.trim_start_matches([' ', '\u{a0}', '-', '–']);
        if let Some((value, rest)) = fraction(after)?
            && value < 1.0
        {
            return Ok((whole + value, rest));
        }
    }
    Ok((whole, rest))
}

/// A fraction at the start of the text, if there is one.
fn fraction(text: &str) -> Result<Option<(f64, &str)>, Misread> {
    const VULGAR: &[(char, f64)] = &[
        ('½', 0.5),
        ('¼', 0.25),
        ('¾', 0.75),
        ('⅛', 0.125),
        ('⅜', 0.375),
        ('⅝', 0.625),
        ('⅞', 0.875),
        ('⅓', 1.0 / 3.0),
        ('⅔', 2.0 / 3.0),
    ];
    if let Some(first) = text.chars().next()
        && let Some((letter, value)) = VULGAR.iter().find(|(letter, _)| *letter == first)
    {
        return Ok(Some((*value, &text[letter.len_utf8()..])));
    }
    let digits = |text: &str| text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let numerator_end = digits(text);
    let Some(after_slash) = text[numerator_end..].strip_prefix(['/', '⁄']) else {
        return Ok(None);
    };
    let denominator_end = digits(after_slash);
    let parse = |text: &str| text.parse::<f64>().map_err(|_| Misread::NotANumber);
    let numerator = parse(&text[..numerator_end])?;
    let denominator = parse(&after_slash[..denominator_end])?;
    if denominator == 0.0 {
        return Err(Misread::NotFinite);
    }
    // `250/200` is two values: a fraction is less than one, and of parts that rulers and slopes have.
    let is_usual = numerator == 1.0 || PARTS.contains(&denominator);
    if numerator >= denominator || !is_usual {
        return Err(Misread::NotANumber);
    }
    Ok(Some((numerator / denominator, &after_slash[denominator_end..])))
}

/// Into how many parts people divide a length.
const PARTS: [f64; 11] = [2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 32.0, 64.0];

/// A decimal number at the start of the text, with the marks that people put into it.
fn decimal(text: &str) -> Result<(f64, &str), Misread> {
    let end = number_end(text);
    let written = text[..end].trim_end();
    let rest = &text[written.len()..];
    let (mantissa, exponent) = match written.find(['e', 'E']) {
        Some(at) => written.split_at(at),
        None => (written, ""),
    };
    let plain = plain_mantissa(mantissa)?;
    let value: f64 = format!("{plain}{exponent}").parse().map_err(|_| Misread::NotANumber)?;
    Ok((value, rest))
}

/// Where the number ends: digits and marks, and an exponent only if digits follow it.
fn number_end(text: &str) -> usize {
    let bytes = text.as_bytes();
    let digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let mut at = 0;
    while at < bytes.len() {
        let here = text[at..].chars().next().unwrap_or(' ');
        let width = here.len_utf8();
        let belongs = match here {
            '0'..='9' | '.' | ',' => true,
            // A space parts thousands only between a digit and exactly three digits.
            ' ' | '\u{a0}' | '\u{2009}' | '\u{202f}' => {
                let next = at + width;
                at > 0
                    && digit(at - 1)
                    && digit(next)
                    && digit(next + 1)
                    && digit(next + 2)
                    && !digit(next + 3)
                    && bytes.get(next + 3) != Some(&b'/')
            }
            'e' | 'E' => {
                at > 0
                    && (digit(at + 1)
                        || (matches!(bytes.get(at + 1), Some(b'+' | b'-')) && digit(at + 2)))
            }
            '+' | '-' => at > 0 && matches!(bytes[at - 1], b'e' | b'E') && digit(at + 1),
            _ => false,
        };
        if !belongs {
            break;
        }
        at += width;
    }
    at
}

/// The mantissa of the number that a text begins with, as it stands there.
pub(super) fn mantissa(text: &str) -> &str {
    let (_, unsigned) = sign(text.trim_start());
    let written = unsigned[..number_end(unsigned)].trim_end();
    written.split(['e', 'E']).next().unwrap_or(written)
}

/// Whether the mark parts the digits into groups of three, as it does where it parts thousands.
pub(super) fn grouped(digits: &str, mark: char) -> bool {
    let mut groups = digits.split(mark);
    groups.next().is_some_and(|first| (1..=3).contains(&first.len()) && first != "0")
        && groups.all(|group| group.split(['.', ',']).next().is_some_and(|g| g.len() == 3))
}

/// The digits with a dot as decimal mark and nothing else.
fn plain_mantissa(written: &str) -> Result<String, Misread> {
    let digits: String = written.chars().filter(|c| !c.is_whitespace()).collect();
    let commas = digits.matches(',').count();
    let dots = digits.matches('.').count();
    let grouped = |mark| grouped(&digits, mark);
    match (commas, dots) {
        (0, 0 | 1) => Ok(digits),
        (1, 0) => {
            if grouped(',') {
                Err(Misread::Ambiguous {
                    mark: "comma",
                    thousands: digits.replace(',', ""),
                    other: digits.replace(',', "."),
                })
            } else {
                Ok(digits.replace(',', "."))
            }
        }
        // Both marks: the last one is the decimal mark, the other parts thousands.
        (_, 1) if digits.rfind('.') > digits.rfind(',') && grouped(',') => {
            Ok(digits.replace(',', ""))
        }
        (1, _) if digits.rfind(',') > digits.rfind('.') && grouped('.') => {
            Ok(digits.replace('.', "").replace(',', "."))
        }
        (2.., 0) if grouped(',') => Ok(digits.replace(',', "")),
        (0, 2..) if grouped('.') => Ok(digits.replace('.', "")),
        _ => Err(Misread::NotANumber),
    }
}

/// `4'`, `4'-6"`, `4' 6 1/2"`, `4 ft 6 in`, `4'-6½`, `6 1/2"`: a length in millimetres, or `None` when the
/// text is not written so.
fn read_feet_and_inches(text: &str) -> Option<Result<f64, Misread>> {
    const FEET: &[&str] = &["feet", "foot", "ft.", "ft", "'", "′", "’"];
    const INCHES: &[&str] = &["inches", "inch", "in.", "in", "\"", "″", "”", "''", "’’"];
    let (negative, unsigned) = sign(text);
    let (first, rest) = mixed_number(unsigned).ok()?;
    let rest = rest.trim_start();
    if INCHES.iter().any(|mark| rest.eq_ignore_ascii_case(mark)) {
        let inches = if negative { -first } else { first };
        return Some(Ok(inches * 25.4));
    }
    let after_feet = FEET.iter().find_map(|mark| strip_ignoring_case(rest, mark))?;
    let behind_mark = after_feet;
    let after_feet = after_feet.trim_start_matches([' ', '\u{a0}', '-', '–']);
    let inches = if after_feet.is_empty() {
        0.0
    } else {
        let (inches, rest) = match mixed_number(after_feet) {
            Ok(read) => read,
            Err(misread) => return Some(Err(misread)),
        };
        let mark = rest.trim();
        if mark.is_empty()
            && let Some(misread) = parted_thousands(unsigned, behind_mark)
        {
            return Some(Err(misread));
        }
        let is_inches =
            mark.is_empty() || INCHES.iter().any(|inch| mark.eq_ignore_ascii_case(inch));
        if !is_inches && Unit::find(mark, Dimension::Length).is_none() {
            return Some(Err(foreign(mark, Some(Dimension::Length))));
        }
        if !is_inches || !(0.0..12.0).contains(&inches) {
            return Some(Err(Misread::NotInches));
        }
        inches
    };
    // Inches first: whole ones stay whole, and 6'-3" is 1905 mm to the last digit.
    let total = (first * 12.0 + inches) * 25.4;
    Some(Ok(if negative { -total } else { total }))
}

/// `4-6 1/2`: feet, a hyphen and inches, where the unit around it is the foot; in millimetres.
///
/// A fraction right behind the hyphen is one of a foot, as in `6-1/2`.
fn hyphened(text: &str) -> Option<Result<f64, Misread>> {
    let (negative, unsigned) = sign(text);
    let (feet, inches) = unsigned.split_once(['-', '–'])?;
    let feet = feet.trim_end();
    if feet.is_empty() || !feet.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let inches = inches.trim_start();
    if fraction(inches).ok()?.is_some() {
        return None;
    }
    let (inches, rest) = mixed_number(inches).ok()?;
    if !matches!(rest.trim(), "" | "\"" | "″" | "”" | "in" | "in.") {
        return None;
    }
    if !(0.0..12.0).contains(&inches) {
        return Some(Err(Misread::NotInches));
    }
    let feet: f64 = feet.parse().ok()?;
    let total = (feet * 12.0 + inches) * 25.4;
    Some(Ok(if negative { -total } else { total }))
}

/// `1'000` is one thousand where the mark of feet parts thousands: three digits stand right behind it, and no
/// mark of inches.
fn parted_thousands(written: &str, behind_mark: &str) -> Option<Misread> {
    let digits = behind_mark.find(|c: char| !c.is_ascii_digit()).unwrap_or(behind_mark.len());
    let feet: String = written.chars().take_while(char::is_ascii_digit).collect();
    let is_parted = digits == 3 && (1..=3).contains(&feet.len()) && !behind_mark.contains(' ');
    is_parted.then(|| Misread::Ambiguous {
        mark: "apostrophe",
        thousands: format!("{feet}{behind_mark}"),
        other: format!("{feet} ft {behind_mark} in"),
    })
}

pub(super) fn strip_ignoring_case<'a>(text: &'a str, start: &str) -> Option<&'a str> {
    let head = text.get(..start.len())?;
    head.eq_ignore_ascii_case(start).then(|| &text[start.len()..])
}

/// Writes a length in millimetres as feet and inches with a fraction, rounded to 1/`denominator` inch.
///
/// ```
/// use restrand_model::quantity::feet_and_inches;
/// assert_eq!(feet_and_inches(1384.3, 16), "4'-6 1/2\"");
/// assert_eq!(feet_and_inches(-25.4, 16), "-0'-1\"");
/// ```
#[must_use]
pub fn feet_and_inches(millimetres: f64, denominator: u32) -> String {
    let parts = (millimetres.abs() / 25.4 * f64::from(denominator)).round();
    let per_foot = 12.0 * f64::from(denominator);
    let feet = (parts / per_foot).floor();
    let left = parts - feet * per_foot;
    let inches = (left / f64::from(denominator)).floor();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a non-negative whole number below the denominator"
    )]
    let mut numerator = (left - inches * f64::from(denominator)) as u32;
    let mut denominator = denominator;
    while numerator > 0 && numerator.is_multiple_of(2) && denominator.is_multiple_of(2) {
        numerator /= 2;
        denominator /= 2;
    }
    let minus = if millimetres < 0.0 && parts > 0.0 { "-" } else { "" };
    if numerator == 0 {
        format!("{minus}{feet}'-{inches}\"")
    } else {
        format!("{minus}{feet}'-{inches} {numerator}/{denominator}\"")
    }
}

#[cfg(test)]
mod tests {
    use super::super::unit::of_field;
    use super::*;
    use proptest::prelude::*;

    fn mm(text: &str) -> Result<f64, Misread> {
        let unit = of_field("x_mm").1;
        read(text, unit, unit)
    }

    #[test]
    fn two_values_are_no_fraction() {
        for text in ["250/200", "1200/900", "123/140", "3 5/40", "8/8"] {
            assert!(mm(text).is_err(), "{text}");
        }
        assert_eq!(mm("5/8"), Ok(0.625));
        assert_eq!(mm("1/40"), Ok(0.025));
    }

    #[test]
    fn lengths_are_read_as_people_write_them() {
        for (text, expected) in [
            ("1384.3", 1384.3),
            ("4'-6 1/2\"", 1384.3),
            ("4' 6 1/2\"", 1384.3),
            ("4'-6½\"", 1384.3),
            ("4'-6.5\"", 1384.3),
            ("4′-6 1/2″", 1384.3),
            ("4 ft 6 1/2 in", 1384.3),
            ("54 1/2 in", 1384.3),
            ("54-1/2\"", 1384.3),
            ("54.5 in.", 1384.3),
            ("4'", 1219.2),
            ("4'-0\"", 1219.2),
            ("-1'-6\"", -457.2),
            ("1/2\"", 12.7),
            ("138.43 cm", 1384.3),
            ("1.3843 m", 1384.3),
            ("12,5", 12.5),
            ("0,125", 0.125),
            ("1 384.3", 1384.3),
            ("1,384.3", 1384.3),
            ("1.384,3 mm", 1384.3),
            ("1,234,567", 1_234_567.0),
            ("1.5e3", 1500.0),
        ] {
            let value = mm(text).unwrap_or_else(|misread| panic!("{text}: {misread}"));
            assert!((value - expected).abs() < 1e-9, "{text}: {value}");
        }
    }

    #[test]
    fn what_is_no_length_says_why() {
        assert_eq!(mm("tbc"), Err(Misread::NotANumber));
        assert_eq!(mm(""), Err(Misread::NotANumber));
        assert_eq!(mm("as drawing 7"), Err(Misread::NotANumber));
        assert_eq!(mm("1e999"), Err(Misread::NotFinite));
        assert_eq!(mm("1/0"), Err(Misread::NotFinite));
        assert_eq!(mm("12 furlongs"), Err(Misread::UnknownUnit("furlongs".into())));
        for remark in ["1900*", "1900 (tbc)", "1900±10", "1900-2000", "1900?"] {
            assert_eq!(mm(remark), Err(Misread::NotPlain), "{remark}");
        }
        assert_eq!(read("19 pcs", None, None), Err(Misread::NotPlain));
        assert!(matches!(mm("12 kN"), Err(Misread::WrongUnit { .. })));
        assert!(matches!(mm("1,234"), Err(Misread::Ambiguous { .. })));
        assert!(matches!(mm("4'-6 kN"), Err(Misread::WrongUnit { .. })));
        for hostile in ["1.2.3", "--5", "'", "\"", "1//2", "e5", ".", ",", "½½", "１２"] {
            assert!(mm(hostile).is_err(), "{hostile}");
        }
    }

    #[test]
    fn a_ratio_takes_no_unit_but_per_cent() {
        assert_eq!(read("0.25", None, None), Ok(0.25));
        assert_eq!(read("25 %", None, None), Ok(0.25));
        assert!(matches!(read("25 mm", None, None), Err(Misread::WrongUnit { .. })));
    }

    #[test]
    fn inches_behind_feet_are_inches_and_below_twelve() {
        for text in ["6'-13\"", "6'-12\"", "5'-6'", "5 ft 3 m"] {
            assert_eq!(mm(text), Err(Misread::NotInches), "{text}");
        }
        assert_eq!(mm("6'-11 15/16\""), Ok((72.0 + 11.9375) * 25.4));
    }

    #[test]
    fn three_bare_digits_behind_an_apostrophe_can_be_thousands() {
        for text in ["1'000", "1’000", "-1'000", "12'005", "1'100", "1'000.5", "1'005,25"] {
            assert!(matches!(mm(text), Err(Misread::Ambiguous { .. })), "{text}: {:?}", mm(text));
        }
        assert_eq!(
            mm("1'000").unwrap_err().to_string(),
            "the apostrophe in it can mean 1 ft 000 in or 1000"
        );
        for (text, expected) in
            [("1'000\"", 304.8), ("1'-000", 304.8), ("1'00", 304.8), ("1' 6", 457.2)]
        {
            let value = mm(text).unwrap_or_else(|misread| panic!("{text}: {misread}"));
            assert!((value - expected).abs() < 1e-9, "{text}: {value}");
        }
    }

    #[test]
    fn a_bare_number_means_nothing_where_it_can_mean_two_things() {
        let (feet, unit) = (Unit::find("ft-in", Dimension::Length), of_field("behind_mm").1);
        assert_eq!(read("6 1/2", feet, unit), Err(Misread::FeetOrInches));
        assert_eq!(read("10 ft", feet, unit), Ok(3048.0));
        assert_eq!(read("0", feet, unit), Ok(0.0));
        assert_eq!(read("6 1/2", None, unit), Err(Misread::NoUnit));
    }

    #[test]
    fn the_stated_unit_holds_where_the_cell_has_none() {
        let ksi = Unit::find("ksi", Dimension::Stress);
        let mpa = of_field("fpu_mpa").1;
        let value = read("270", ksi, mpa).unwrap();
        assert!((value - 1861.584).abs() < 1e-3);
        assert_eq!(read("1860 MPa", ksi, mpa), Ok(1860.0));
    }

    #[test]
    fn hyphened_feet_and_inches_are_read_only_under_feet() {
        let field = of_field("behind_mm").1;
        for stated in ["ft", "ft-in"] {
            let stated = Unit::find(stated, Dimension::Length);
            assert_eq!(read("4-6 1/2", stated, field), Ok(1384.3));
            assert_eq!(read("4-6.5", stated, field), Ok(1384.3));
            assert_eq!(read("-4-6 1/2", stated, field), Ok(-1384.3));
            assert_eq!(read("4-13", stated, field), Err(Misread::NotInches));
        }
        assert_eq!(read("6-1/2", Unit::find("ft", Dimension::Length), field), Ok(6.5 * 304.8));
        assert_eq!(read("4-6", field, field), Err(Misread::NotPlain));
    }

    #[test]
    fn tons_of_force_are_asked_for_unless_they_say_which() {
        let kn = of_field("force_kn").1;
        for text in ["400 ton", "400 tonf", "400 T"] {
            let Err(Misread::Readings(readings)) = read(text, None, kn) else { panic!("{text}") };
            assert_eq!(readings.len(), 3, "{text}");
        }
        assert!((read("400 tf", None, kn).unwrap() - 3922.66).abs() < 1e-9);
        // 2000 lbf, of NIST Special Publication 811 (from memory): 8.896 443 kN.
        assert!((read("1 US tonf", None, kn).unwrap() - 8.896_443).abs() < 5e-7);
        assert!((read("1 metric ton", None, kn).unwrap() - 9.806_65).abs() < 1e-9);
    }

    proptest! {
        #[test]
        fn hyphened_feet_and_inches_read_back(feet in 0u32..300, eighths in 0u32..96) {
            let stated = Unit::find("ft-in", Dimension::Length);
            let (inches, rest) = (eighths / 8, eighths % 8);
            let text = if rest == 0 { format!("{feet}-{inches}") } else { format!("{feet}-{inches} {rest}/8") };
            let length = (f64::from(feet) * 12.0 + f64::from(eighths) / 8.0) * 25.4;
            let value = read(&text, stated, of_field("x_mm").1).unwrap();
            prop_assert!((value - length).abs() < 1e-9, "{}: {}", text, value);
        }

        #[test]
        fn every_unit_reads_back_behind_its_number(value in 0.001f64..1e6, pick in 0usize..1000) {
            for ending in ["x_mm", "x_m", "x_kn", "x_mpa", "x_rad", "x_kg", "x_mm2", "x_l", "x_per_m"] {
                let field = of_field(ending).1.unwrap();
                let units: Vec<_> = Unit::all_of(field.dimension).collect();
                let unit = units[pick % units.len()];
                if unit.is_feet_and_inches() {
                    continue;
                }
                let text = format!("{} {}", crate::quantity::shortest(value), unit.symbol);
                let read = read(&text, None, Some(field)).unwrap_or_else(|misread| panic!("{text}: {misread}"));
                let meant = unit.convert(value, field);
                prop_assert!((read - meant).abs() <= 1e-9 * meant.abs().max(1.0), "{}: {}", text, read);
            }
        }

        #[test]
        fn printed_feet_and_inches_read_back(sixteenths in -200_000i32..200_000) {
            let length = f64::from(sixteenths) * 25.4 / 16.0;
            let text = feet_and_inches(length, 16);
            let value = mm(&text).unwrap();
            prop_assert!((value - length).abs() < 1e-6, "{text}: {value} for {length}");
        }

        #[test]
        fn plain_numbers_read_back(value in -1e12f64..1e12) {
            prop_assert_eq!(mm(&value.to_string()), Ok(value));
        }

        #[test]
        fn no_text_makes_it_panic(text in "\\PC{0,40}") {
            let _ = mm(&text);
        }

        #[test]
        fn number_like_text_does_not_make_it_panic(text in "[-+0-9.,eE'\"/ ½ftin\u{a0}]{0,16}") {
            if let Ok(value) = mm(&text) {
                prop_assert!(value.is_finite());
            }
        }
    }
}
