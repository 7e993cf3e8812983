//! Dates as people write them.

use restrand_model::reflect::Date;

/// A date as title blocks write it: `07.04.2026` begins with the day; of `05/18/2026` it must be plain which is the
/// month.
pub(super) fn date(text: &str) -> Option<Date> {
    const MONTHS: [&str; 12] =
        ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];
    let text = text.trim();
    let parts: Vec<&str> =
        text.split(['.', '/', '-', ' ', ',']).filter(|part| !part.is_empty()).collect();
    let [first, second, year] = *parts.as_slice() else { return None };
    let year: u16 = year.parse().ok().filter(|year| *year > 1900)?;
    let month_of = |text: &str| {
        let lower = text.to_lowercase();
        MONTHS.iter().zip(1..).find(|(name, _)| lower.starts_with(**name)).map(|(_, month)| month)
    };
    if let Some(month) = month_of(second) {
        return Date::new(year, month, first.parse().ok()?);
    }
    if let Some(month) = month_of(first) {
        return Date::new(year, month, second.parse().ok()?);
    }
    let (one, other): (u8, u8) = (first.parse().ok()?, second.parse().ok()?);
    match (one, other) {
        (day, month) if text.contains('.') || day > 12 || day == month => {
            Date::new(year, month, day)
        }
        (month, day) if day > 12 => Date::new(year, month, day),
        _ => None,
    }
}

/// The two dates that a text can mean whose day and month nothing tells apart: `05/06/2026`.
pub(super) fn readings(text: &str) -> Vec<String> {
    let parts: Vec<&str> = text.trim().split(['/', '-']).collect();
    let [first, second, year] = *parts.as_slice() else { return Vec::new() };
    let (Ok(one), Ok(other), Ok(year)) = (first.parse(), second.parse(), year.parse()) else {
        return Vec::new();
    };
    let can_be = [Date::new(year, other, one), Date::new(year, one, other)];
    match date(text) {
        None if year > 1900 => can_be.into_iter().flatten().map(|date| date.to_string()).collect(),
        _ => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_are_read_where_day_and_month_are_plain() {
        let read = |text: &str| date(text).map(|date| date.to_string());
        for (text, expected) in [
            ("07.04.2026", Some("2026-04-07")),
            ("05/18/2026", Some("2026-05-18")),
            ("18/05/2026", Some("2026-05-18")),
            ("12 Mar 2031", Some("2031-03-12")),
            ("March 12, 2031", Some("2031-03-12")),
            ("05/06/2026", None),
            ("31.02.2026", None),
            ("Rev. 2", None),
        ] {
            assert_eq!(read(text).as_deref(), expected, "{text}");
        }
        assert_eq!(readings("05/06/2026"), ["2026-06-05", "2026-05-06"]);
        assert!(readings("07.04.2026").is_empty() && readings("1/2/3").is_empty());
    }
}
