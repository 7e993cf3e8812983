//! The field types that hold no record.

use std::fmt;
use std::marker::PhantomData;
use std::str::FromStr;

use super::info::{ChoiceInfo, Shape};
use super::node::{List, Misfit, Node, Shaped, View};
use super::record::Record;
use crate::value::Value;

/// An enumeration declared with `choice!`.
pub trait Choice: Copy + Eq + Send + Sync + 'static {
    /// The words, in the order of the declaration.
    const WORDS: &'static [ChoiceInfo];
    /// The variants, in the same order.
    const ALL: &'static [Self];

    /// The word of this variant.
    fn word(self) -> &'static str {
        Self::ALL
            .iter()
            .position(|variant| *variant == self)
            .map_or("", |index| Self::WORDS[index].name)
    }

    /// The variant of exactly this word.
    fn of_word(word: &str) -> Option<Self> {
        Self::WORDS.iter().position(|info| info.name == word).map(|index| Self::ALL[index])
    }
}

/// The key of another record, as `strands[S1]` is named by `"S1"`.
pub struct Link<R> {
    key: Box<str>,
    target: PhantomData<fn() -> R>,
}

impl<R> Link<R> {
    /// A link to the record with this key.
    #[must_use]
    pub fn to(key: impl Into<Box<str>>) -> Self {
        Self { key: key.into(), target: PhantomData }
    }

    /// The key of the record that is meant.
    #[must_use]
    pub fn key(&self) -> &str {
        &self.key
    }
}

impl<R> Clone for Link<R> {
    fn clone(&self) -> Self {
        Self::to(self.key.clone())
    }
}

impl<R> PartialEq for Link<R> {
    fn eq(&self, other: &Self) -> bool {
        self.key == other.key
    }
}

impl<R> Eq for Link<R> {}

impl<R> fmt::Debug for Link<R> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(&self.key, f)
    }
}

impl<R> fmt::Display for Link<R> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.key)
    }
}

/// Days from 0000-03-01 to 1970-01-01.
const DAYS_TO_EPOCH: i64 = 719_468;
/// Days of 400 years.
const DAYS_OF_ERA: i64 = 146_097;

/// A calendar date of the proleptic Gregorian calendar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

impl Date {
    /// The date, if the calendar has it.
    #[must_use]
    pub const fn new(year: u16, month: u8, day: u8) -> Option<Self> {
        let leap =
            year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
        let days = match month {
            1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
            4 | 6 | 9 | 11 => 30,
            2 if leap => 29,
            2 => 28,
            _ => return None,
        };
        if day == 0 || day > days || year > 9999 {
            return None;
        }
        Some(Self { year, month, day })
    }

    /// 1970-01-01.
    pub const EPOCH: Self = Self { year: 1970, month: 1, day: 1 };

    /// The days from 1970-01-01 to this date, fewer than zero before it.
    ///
    /// Years are counted from March, so that the day put in every four years comes last; an era is 400 years.
    #[must_use]
    pub fn days(self) -> i64 {
        let month = i64::from(self.month);
        let (year, month_from_march) = match month {
            1 | 2 => (i64::from(self.year) - 1, month + 9),
            _ => (i64::from(self.year), month - 3),
        };
        let era = year.div_euclid(400);
        let of_era = year.rem_euclid(400);
        let of_year = (153 * month_from_march + 2) / 5 + i64::from(self.day) - 1;
        let in_era = of_era * 365 + of_era / 4 - of_era / 100 + of_year;
        era * DAYS_OF_ERA + in_era - DAYS_TO_EPOCH
    }

    /// The date so many days after 1970-01-01; none outside the years 0 to 9999.
    #[must_use]
    pub fn from_days(days: i64) -> Option<Self> {
        let days = days.checked_add(DAYS_TO_EPOCH)?;
        let era = days.div_euclid(DAYS_OF_ERA);
        let of_era = days.rem_euclid(DAYS_OF_ERA);
        let year_of_era = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
        let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
        let month_from_march = (5 * of_year + 2) / 153;
        let day = of_year - (153 * month_from_march + 2) / 5 + 1;
        let month = if month_from_march < 10 { month_from_march + 3 } else { month_from_march - 9 };
        let year = year_of_era + era * 400 + i64::from(month <= 2);
        Self::new(u16::try_from(year).ok()?, u8::try_from(month).ok()?, u8::try_from(day).ok()?)
    }

    /// The year.
    #[must_use]
    pub const fn year(self) -> u16 {
        self.year
    }

    /// The month, from 1.
    #[must_use]
    pub const fn month(self) -> u8 {
        self.month
    }

    /// The day of the month, from 1.
    #[must_use]
    pub const fn day(self) -> u8 {
        self.day
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

impl FromStr for Date {
    type Err = Misfit;

    /// Reads `2031-05-07`, the calendar date of ISO 8601.
    fn from_str(text: &str) -> Result<Self, Misfit> {
        let misfit = || Misfit::new("a date written year-month-day, as 2031-05-07");
        let bytes = text.as_bytes();
        if bytes.len() != 10 || bytes[4] != b'-' || bytes[7] != b'-' {
            return Err(misfit());
        }
        let number = |range: std::ops::Range<usize>| -> Option<u16> {
            let digits = text.get(range)?;
            digits.bytes().all(|b| b.is_ascii_digit()).then(|| digits.parse().ok())?
        };
        let (year, month, day) = (number(0..4), number(5..7), number(8..10));
        match (year, month, day) {
            (Some(year), Some(month), Some(day)) => {
                let small = |n: u16| u8::try_from(n).ok();
                small(month)
                    .zip(small(day))
                    .and_then(|(month, day)| Self::new(year, month, day))
                    .ok_or_else(misfit)
            }
            _ => Err(misfit()),
        }
    }
}

/// The whole number that a float holds, if it is one that a count can be.
fn whole(number: f64) -> Option<u32> {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole and within the range of the type"
    )]
    (number.fract() == 0.0 && (0.0..=f64::from(u32::MAX)).contains(&number))
        .then_some(number as u32)
}

impl Shaped for Option<f64> {
    const SHAPE: Shape = Shape::Number;
}

impl Node for Option<f64> {
    fn view(&self) -> View<'_> {
        self.map_or(View::Absent, View::Number)
    }

    fn set(&mut self, value: Value) -> Result<(), Misfit> {
        match value {
            Value::Number(number) if number.is_finite() => {
                *self = Some(number);
                Ok(())
            }
            _ => Err(Misfit::new("a finite number")),
        }
    }

    fn clear(&mut self) {
        *self = None;
    }
}

impl Shaped for Option<u32> {
    const SHAPE: Shape = Shape::Count;
}

impl Node for Option<u32> {
    fn view(&self) -> View<'_> {
        self.map_or(View::Absent, |count| View::Number(f64::from(count)))
    }

    fn set(&mut self, value: Value) -> Result<(), Misfit> {
        let count = value.as_number().and_then(whole);
        *self = Some(count.ok_or_else(|| Misfit::new("a whole number, not negative"))?);
        Ok(())
    }

    fn clear(&mut self) {
        *self = None;
    }
}

impl Shaped for Option<bool> {
    const SHAPE: Shape = Shape::Flag;
}

impl Node for Option<bool> {
    fn view(&self) -> View<'_> {
        self.map_or(View::Absent, View::Flag)
    }

    fn set(&mut self, value: Value) -> Result<(), Misfit> {
        match value {
            Value::Flag(flag) => {
                *self = Some(flag);
                Ok(())
            }
            _ => Err(Misfit::new("yes or no")),
        }
    }

    fn clear(&mut self) {
        *self = None;
    }
}

impl Shaped for Option<Box<str>> {
    const SHAPE: Shape = Shape::Text;
}

impl Node for Option<Box<str>> {
    fn view(&self) -> View<'_> {
        self.as_deref().map_or(View::Absent, View::Text)
    }

    fn set(&mut self, value: Value) -> Result<(), Misfit> {
        match value {
            Value::Text(text) => {
                *self = Some(text);
                Ok(())
            }
            _ => Err(Misfit::new("a text")),
        }
    }

    fn clear(&mut self) {
        *self = None;
    }
}

impl Shaped for Option<Date> {
    const SHAPE: Shape = Shape::Date;
}

impl Node for Option<Date> {
    fn view(&self) -> View<'_> {
        self.map_or(View::Absent, View::Date)
    }

    fn set(&mut self, value: Value) -> Result<(), Misfit> {
        match value {
            Value::Text(text) => {
                *self = Some(text.parse()?);
                Ok(())
            }
            _ => Err(Misfit::new("a date")),
        }
    }

    fn clear(&mut self) {
        *self = None;
    }
}

/// A record type that lives in a list of the schedule, so that others can name it.
pub trait Listed: Record {
    /// The name of the schedule's list.
    const LIST: &'static str;
}

impl<R: Listed> Shaped for Option<Link<R>> {
    const SHAPE: Shape = Shape::Link(R::LIST);
}

impl<R: Listed> Node for Option<Link<R>> {
    fn view(&self) -> View<'_> {
        self.as_ref().map_or(View::Absent, |link| View::Text(link.key()))
    }

    fn set(&mut self, value: Value) -> Result<(), Misfit> {
        match value {
            Value::Text(key) => {
                *self = Some(Link::to(key));
                Ok(())
            }
            _ => Err(Misfit::new("the name of another record")),
        }
    }

    fn clear(&mut self) {
        *self = None;
    }
}

impl<R: Listed> List for Vec<Link<R>> {
    fn len(&self) -> usize {
        Self::len(self)
    }

    fn item(&self, index: usize) -> View<'_> {
        View::Text(self[index].key())
    }
}

/// Reads each item of a list.
fn items<T>(
    value: Value,
    needed: &'static str,
    read: impl Fn(Value) -> Option<T>,
) -> Result<Vec<T>, Misfit> {
    let Value::List(items) = value else {
        return Err(Misfit::new(needed));
    };
    items
        .into_iter()
        .enumerate()
        .map(|(index, item)| {
            read(item).ok_or_else(|| Misfit::new(needed).under(&index.to_string()))
        })
        .collect()
}

impl<R: Listed> Shaped for Vec<Link<R>> {
    const SHAPE: Shape = Shape::Links(R::LIST);
}

impl<R: Listed> Node for Vec<Link<R>> {
    fn view(&self) -> View<'_> {
        View::List(self)
    }

    fn set(&mut self, value: Value) -> Result<(), Misfit> {
        *self = items(value, "a list of names of other records", |item| match item {
            Value::Text(key) => Some(Link::to(key)),
            _ => None,
        })?;
        Ok(())
    }

    fn clear(&mut self) {
        Self::clear(self);
    }
}

impl List for Vec<u32> {
    fn len(&self) -> usize {
        Self::len(self)
    }

    fn item(&self, index: usize) -> View<'_> {
        View::Number(f64::from(self[index]))
    }
}

impl Shaped for Vec<u32> {
    const SHAPE: Shape = Shape::Counts;
}

impl Node for Vec<u32> {
    fn view(&self) -> View<'_> {
        View::List(self)
    }

    fn set(&mut self, value: Value) -> Result<(), Misfit> {
        *self = items(value, "a list of whole numbers", |item| item.as_number().and_then(whole))?;
        Ok(())
    }

    fn clear(&mut self) {
        Self::clear(self);
    }
}

impl List for Vec<Box<str>> {
    fn len(&self) -> usize {
        Self::len(self)
    }

    fn item(&self, index: usize) -> View<'_> {
        View::Text(&self[index])
    }
}

impl Shaped for Vec<Box<str>> {
    const SHAPE: Shape = Shape::Texts;
}

impl Node for Vec<Box<str>> {
    fn view(&self) -> View<'_> {
        View::List(self)
    }

    fn set(&mut self, value: Value) -> Result<(), Misfit> {
        *self = items(value, "a list of texts", |item| match item {
            Value::Text(text) => Some(text),
            _ => None,
        })?;
        Ok(())
    }

    fn clear(&mut self) {
        Self::clear(self);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_counted_from_1970() {
        // Days as the calendar of Python's datetime counts them.
        for (days, shown) in [
            (-719_528, "0000-01-01"),
            (-1, "1969-12-31"),
            (0, "1970-01-01"),
            (59, "1970-03-01"),
            (11_016, "2000-02-29"),
            (11_017, "2000-03-01"),
            (20_783, "2026-11-26"),
            (47_540, "2100-02-28"),
            (47_541, "2100-03-01"),
            (2_932_896, "9999-12-31"),
        ] {
            let date: Date = shown.parse().unwrap();
            assert_eq!(date.days(), days, "{shown}");
            assert_eq!(Date::from_days(days), Some(date));
        }
        assert_eq!(Date::from_days(2_932_897), None);
        assert_eq!(Date::from_days(i64::MAX), None);
        for days in (-700_000..2_900_000).step_by(997) {
            assert_eq!(Date::from_days(days).unwrap().days(), days);
        }
    }
}
