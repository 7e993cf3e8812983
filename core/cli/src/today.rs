//! Today's date: the only look at the clock.

use std::time::{SystemTime, UNIX_EPOCH};

use restrand_model::reflect::Date;

/// Today in UTC; a clock that stands beyond the calendar gives the calendar's last day.
pub(crate) fn today() -> Date {
    /// Days from 1970-01-01 to 9999-12-31.
    const LAST: u64 = 2_932_896;
    let seconds = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_secs());
    match date((seconds / 86_400).min(LAST)) {
        Some(date) => date,
        None => unreachable!("days up to the calendar's last are dates of it"),
    }
}

/// The date so many days after 1970-01-01, counted in years that begin in March, so that the day put in
/// every four years comes last.
fn date(days: u64) -> Option<Date> {
    /// Days from 0000-03-01 to 1970-01-01.
    const TO_EPOCH: u64 = 719_468;
    const ERA: u64 = 146_097;
    let days = days + TO_EPOCH;
    let era = days / ERA;
    let of_era = days % ERA;
    let year_of_era = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let month_from_march = (5 * of_year + 2) / 153;
    let day = of_year - (153 * month_from_march + 2) / 5 + 1;
    let month = if month_from_march < 10 { month_from_march + 3 } else { month_from_march - 9 };
    let year = year_of_era + era * 400 + u64::from(month <= 2);
    let small = |number: u64| u8::try_from(number).ok();
    Date::new(u16::try_from(year).ok()?, small(month)?, small(day)?)
}

#[cfg(test)]
mod tests {
    use super::date;

    #[test]
    fn days_are_dates_of_the_calendar() {
        for (days, shown) in [
            (0, "1970-01-01"),
            (59, "1970-03-01"),
            (11_016, "2000-02-29"),
            (11_017, "2000-03-01"),
            (20_783, "2026-11-26"),
            (47_540, "2100-02-28"),
            (47_541, "2100-03-01"),
            (2_932_896, "9999-12-31"),
        ] {
            assert_eq!(date(days).unwrap().to_string(), shown);
        }
    }
}
