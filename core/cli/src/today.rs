//! Today's date: the only look at the clock.

use std::time::{SystemTime, UNIX_EPOCH};

/// Today in UTC, as `2031-05-07`.
pub(crate) fn today() -> String {
    let seconds = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_secs());
    date(seconds / 86_400)
}

/// The date so many days after 1970-01-01, counted in years that begin in March, so that the day put in
/// every four years comes last.
fn date(days: u64) -> String {
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
    format!("{year:04}-{month:02}-{day:02}")
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
        ] {
            assert_eq!(date(days), shown);
        }
    }
}
