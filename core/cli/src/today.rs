//! Today's date: the only look at the clock.

use std::time::{SystemTime, UNIX_EPOCH};

use restrand_model::reflect::Date;

/// Today in UTC; the first day of 1970 on a machine whose clock says nothing.
pub(crate) fn today() -> Date {
    let seconds = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_secs());
    let days = i64::try_from(seconds / 86_400).unwrap_or(0);
    Date::from_days(days).unwrap_or(Date::EPOCH)
}
