//! Cells as the readers give them, turned into cells as the kit takes them.

use std::borrow::Cow;

use calamine::{Data, DataRef, ExcelDateTime};
use restrand_kit::sheet::Cell;
use restrand_model::reflect::Date;

/// The cell of a value that borrows from the reader; nothing for a cell that is only formatted.
#[inline]
pub(crate) fn of_ref(value: DataRef<'_>) -> Option<Cell<'_>> {
    Some(match value {
        DataRef::Empty => return None,
        DataRef::Float(number) => Cell::Number(number),
        DataRef::SharedString(text) => Cell::Text(Cow::Borrowed(text)),
        DataRef::String(text) => Cell::Text(Cow::Owned(text)),
        DataRef::Int(number) => Cell::Number(whole(number)),
        DataRef::Bool(flag) => Cell::Flag(flag),
        DataRef::DateTime(time) => serial(time),
        DataRef::DateTimeIso(text) => iso_date(Cow::Owned(text)),
        DataRef::DurationIso(text) => iso_duration(Cow::Owned(text)),
        DataRef::Error(code) => Cell::Error(code.to_string().into()),
    })
}

/// The cell of a value that the reader keeps.
pub(crate) fn of_data(value: &Data) -> Option<Cell<'_>> {
    Some(match value {
        Data::Empty => return None,
        Data::Float(number) => Cell::Number(*number),
        Data::String(text) => Cell::Text(Cow::Borrowed(text)),
        Data::Int(number) => Cell::Number(whole(*number)),
        Data::Bool(flag) => Cell::Flag(*flag),
        Data::DateTime(time) => serial(*time),
        Data::DateTimeIso(text) => iso_date(Cow::Borrowed(text)),
        Data::DurationIso(text) => iso_duration(Cow::Borrowed(text)),
        Data::Error(code) => Cell::Error(code.to_string().into()),
    })
}

#[expect(clippy::cast_precision_loss, reason = "cells hold floats; whole numbers are short ones")]
const fn whole(number: i64) -> f64 {
    number as f64
}

/// A day of the calendar, with or without a time.
fn serial(time: ExcelDateTime) -> Cell<'static> {
    /// The serial number of 10000-01-01, counted from 1900.
    const END: f64 = 2_958_466.0;
    let value = time.as_f64();
    // What is less than a day is a time of day without one.
    let has_day =
        value.is_finite() && (0.0..END).contains(&value) && (value.fract() == 0.0 || value >= 1.0);
    if time.is_duration() || !has_day {
        return Cell::Time(value);
    }
    let (year, month, day, ..) = time.to_ymd_hms_milli();
    // Day 60 counted from 1900 is a 29 February that never was, and day 0 the last of 1899.
    match Date::new(year, month, day) {
        Some(date) if year >= 1900 && value.fract() == 0.0 => Cell::Date(date),
        Some(date) if year >= 1900 => Cell::Moment(date, value.fract()),
        _ => Cell::Time(value),
    }
}

/// A date of ISO 8601, with or without a time.
pub(crate) fn iso_date(text: Cow<'_, str>) -> Cell<'_> {
    let trimmed = text.trim();
    let Some(date) = trimmed.get(..10).and_then(|day| day.parse::<Date>().ok()) else {
        return Cell::Text(text);
    };
    match time_of_day(&trimmed[10..]) {
        Some(0.0) => Cell::Date(date),
        Some(share) => Cell::Moment(date, share),
        None => Cell::Text(text),
    }
}

/// The share of the day that `T12:30:00.5Z` or nothing says.
fn time_of_day(text: &str) -> Option<f64> {
    if text.is_empty() || text == "Z" {
        return Some(0.0);
    }
    let clock = text.strip_prefix(['T', 't', ' '])?.trim_end_matches(['Z', 'z']);
    let mut fields = clock.split(':');
    let mut seconds = 0.0;
    for unit in [3600.0, 60.0, 1.0] {
        match fields.next() {
            Some(field) if field.starts_with(|c: char| c.is_ascii_digit()) => {
                seconds += field.parse::<f64>().ok()? * unit;
            }
            Some(_) => return None,
            None => {}
        }
    }
    (fields.next().is_none() && (0.0..=86_400.0).contains(&seconds)).then_some(seconds / 86_400.0)
}

/// A duration of ISO 8601 as days: `PT36H30M0S`.
pub(crate) fn iso_duration(text: Cow<'_, str>) -> Cell<'_> {
    match duration_days(text.trim()) {
        Some(days) => Cell::Time(days),
        None => Cell::Text(text),
    }
}

fn duration_days(text: &str) -> Option<f64> {
    let (sign, text) = match text.strip_prefix('-') {
        Some(rest) => (-1.0, rest),
        None => (1.0, text),
    };
    let text = text.strip_prefix('P')?;
    let (days, clock) = text.split_once('T').unwrap_or((text, ""));
    let mut total = 0.0;
    for (part, units) in
        [(days, &[('D', 1.0)][..]), (clock, &[('H', 24.0), ('M', 1440.0), ('S', 86_400.0)][..])]
    {
        let mut rest = part;
        for (letter, per_day) in units {
            if let Some((number, after)) = rest.split_once(*letter) {
                total += number.replace(',', ".").parse::<f64>().ok()? / per_day;
                rest = after;
            }
        }
        if !rest.is_empty() {
            return None;
        }
    }
    total.is_finite().then_some(sign * total)
}

#[cfg(test)]
mod tests {
    use calamine::ExcelDateTimeType::{DateTime, TimeDelta};

    use super::*;

    fn date(year: u16, month: u8, day: u8) -> Cell<'static> {
        Cell::Date(Date::new(year, month, day).unwrap())
    }

    #[test]
    fn whole_days_are_dates_and_the_rest_are_times() {
        let of = |value, is_1904| serial(ExcelDateTime::new(value, DateTime, is_1904));
        assert_eq!(of(48_000.0, false), date(2031, 6, 1));
        assert_eq!(of(48_000.0 - 1462.0, true), date(2031, 6, 1));
        assert_eq!(of(1.0, false), date(1900, 1, 1));
        assert_eq!(of(0.0, true), date(1904, 1, 1));
        assert_eq!(of(2_958_465.0, false), date(9999, 12, 31));
        let Cell::Date(day) = date(2031, 6, 1) else { unreachable!("made as a date") };
        assert_eq!(of(48_000.25, false), Cell::Moment(day, 0.25));
        for value in [0.0, 60.0, 60.5, -1.0, 0.5, 2_958_466.0, 1e300, f64::INFINITY] {
            assert_eq!(of(value, false), Cell::Time(value), "{value}");
        }
        assert!(matches!(of(f64::NAN, false), Cell::Time(_)));
        assert_eq!(serial(ExcelDateTime::new(2.0, TimeDelta, false)), Cell::Time(2.0));
    }

    #[test]
    fn iso_dates_and_durations_are_read() {
        let of = |text: &'static str| iso_date(text.into());
        assert_eq!(of("2031-06-01"), date(2031, 6, 1));
        assert_eq!(of("2031-06-01T00:00:00Z"), date(2031, 6, 1));
        assert_eq!(of("0001-01-01"), date(1, 1, 1));
        let Cell::Date(day) = date(2031, 6, 1) else { unreachable!("made as a date") };
        assert_eq!(of("2031-06-01T12:00:00"), Cell::Moment(day, 0.5));
        assert_eq!(of("2031-06-01Tnoon"), Cell::Text("2031-06-01Tnoon".into()));
        assert_eq!(of("June"), Cell::Text("June".into()));
        assert_eq!(iso_duration("PT36H30M00S".into()), Cell::Time(1.5 + 30.0 / 1440.0));
        assert_eq!(iso_duration("-P1DT12H".into()), Cell::Time(-1.5));
        assert_eq!(iso_duration("PX".into()), Cell::Text("PX".into()));
    }
}
