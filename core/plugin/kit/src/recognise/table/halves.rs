//! Two values in a cell of a tendon that is stressed from both ends: `205 / 200`, `7 1/2 B / 7 1/4 E`.

use restrand_model::reading::Remark;
use restrand_model::reflect::FieldInfo;
use restrand_model::value::Value;

use super::super::ends;
use super::super::grid::GridCell;
use super::super::header::HeaderText;
use super::super::pairs::{Halves, Said, halves};
use super::super::plan::ColumnPlan;
use super::super::scope::Scope;
use super::TableReader;
use crate::frame::{Frames, Stopped};
use crate::sheet::Cell;
use crate::sheet::cell::Unfit;

/// In which order two values stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Order {
    /// That of end `a` first, as their marks say.
    Said,
    /// That of end `b` first, as their marks say.
    Turned,
    /// As the ends come, for nothing else is said.
    Assumed,
}

/// What two values in a cell differ by at most, as a share of the greater, where nothing says what each is: the ends of
/// one tendon stretch alike, and a draw-in is a small part of what they do.
///
/// Common practice, no source.
const APART: f64 = 0.5;

impl TableReader<'_> {
    /// The values at end `a` and at end `b` of a row that is stressed from both, and states both in one cell; nothing
    /// where there are not two values. What they are may be a question.
    pub(super) fn of_both_ends(
        &mut self,
        number: u32,
        plan: &ColumnPlan,
        field: &'static FieldInfo,
        cell: &GridCell,
    ) -> Option<Result<[Value; 2], Unfit>> {
        let Cell::Text(text) = &cell.cell else { return None };
        let (parts, order) = ordered(text)?;
        let [first, second] = parts.map(|part| {
            let cell = GridCell { cell: Cell::Text(part.into()), ..cell.clone() };
            self.value(plan, field, &cell).ok()
        });
        let (first, second) = (first?, second?);
        let order = match order {
            Order::Assumed => self.order_said(number, plan, [&first, &second]),
            order => Ok(order),
        };
        Some(order.map(|order| {
            if order == Order::Assumed {
                self.halved.entry(plan.index).or_insert((number, 0)).1 += 1;
            }
            if order == Order::Turned { [second, first] } else { [first, second] }
        }))
    }

    /// The order of two values without marks of ends, as a note says it.
    fn order_said(
        &mut self,
        number: u32,
        plan: &ColumnPlan,
        values: [&Value; 2],
    ) -> Result<Order, Unfit> {
        let words = HeaderText::read(&[&plan.header]).words;
        let said: Vec<&Said> = self.known.halves.iter().filter(|said| said.is_of(&words)).collect();
        let open = |why: String| Unfit {
            why,
            help: "give each of the two values a column of its own".to_owned(),
            readings: [
                "those of end a and end b",
                "those of end b and end a",
                "values of two kinds",
            ]
            .map(str::to_owned)
            .to_vec(),
        };
        let Some(first) = said.first() else {
            let [one, other] = values.map(|value| value.as_number().unwrap_or_default().abs());
            return if (one - other).abs() > APART * one.max(other) {
                Err(open(
                    "its two values differ by more than half, and nothing says what each is"
                        .to_owned(),
                ))
            } else {
                Ok(Order::Assumed)
            };
        };
        let texts: Vec<String> = said.iter().map(|said| format!("\"{}\"", said.text)).collect();
        if said.iter().any(|other| other.halves != first.halves) {
            return Err(open(format!(
                "notes say different things of its two values: {}",
                texts.join(" and ")
            )));
        }
        let order = match first.halves {
            Halves::Ends => Order::Said,
            Halves::Turned => Order::Turned,
            Halves::Others => {
                return Err(open(format!(
                    "the note {} says of its two values that they are not those of the ends",
                    texts[0]
                )));
            }
        };
        let what = format!(
            "\"{}\" holds two values in a cell; the note {} says which is that of which end.",
            plan.header, texts[0]
        );
        if !self.remarks.iter().any(|remark| remark.what == what) {
            self.remarks.push(Remark { row: Some(number), what });
        }
        Ok(order)
    }

    /// Says of which cells the first of two values was taken for that of end `a`.
    pub(super) fn tell_halved(&mut self, frames: &mut dyn Frames) -> Result<(), Stopped> {
        for (index, (first, count)) in std::mem::take(&mut self.halved) {
            let header = self.plans.get(&index).map_or("", |plan| plan.header.as_str());
            let rows = if count == 1 { "1 row that is" } else { "rows that are" };
            let why = format!(
                "holds two values in {rows} stressed from both ends; they are taken for those of the ends in their order"
            );
            self.remarks.push(Remark { row: Some(first), what: format!("\"{header}\" {why}.") });
            let help = "give each end a column of its own";
            frames.take(self.assumed((first, index), header, None, why, help))?;
        }
        Ok(())
    }
}

/// The two values of a text without the marks of their ends, and in which order they stand.
fn ordered(text: &str) -> Option<([String; 2], Order)> {
    let parts = halves(text)?;
    let [one, other] = parts.each_ref().map(|part| marked(part));
    let order = match (one.1, other.1) {
        (None, None) => Order::Assumed,
        (Some(one), Some(other)) => {
            match [one, other].map(str::to_lowercase).each_ref().map(|mark| &**mark) {
                // `B` is the beginning beside `E`, and the second end beside `A`.
                ["b", "e"] | ["begin", "end"] | ["start", "end"] => Order::Said,
                ["e", "b"] | ["end", "begin"] | ["end", "start"] => Order::Turned,
                [one, other] => match (ends::read(one), ends::read(other)) {
                    (Some(Scope::A), Some(Scope::B)) => Order::Said,
                    (Some(Scope::B), Some(Scope::A)) => Order::Turned,
                    _ => return None,
                },
            }
        }
        _ => return None,
    };
    let values = [one.0, other.0];
    let is_number = |value: &&str| value.starts_with(|letter: char| letter.is_ascii_digit());
    values.iter().all(is_number).then(|| (values.map(str::to_owned), order))
}

/// A value, and the mark of an end behind it or before it.
fn marked(part: &str) -> (&str, Option<&str>) {
    let is_mark = |word: &str| {
        !word.is_empty()
            && word.chars().all(char::is_alphabetic)
            && restrand_model::quantity::Unit::find_any(word).is_none()
    };
    let part = part.trim();
    match (part.rsplit_once(' '), part.split_once([' ', ':'])) {
        (Some((value, mark)), _) if is_mark(mark.trim_matches(['(', ')'])) => {
            (value.trim(), Some(mark.trim_matches(['(', ')'])))
        }
        (_, Some((mark, value))) if is_mark(mark) => {
            (value.trim_start_matches([':', '=', ' ']), Some(mark))
        }
        _ => (part, None),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_values_are_in_the_order_that_their_marks_say() {
        let read = |text: &str| ordered(text).map(|(values, order)| (values.join("|"), order));
        let said = |values: &str, order| Some((values.to_owned(), order));
        assert_eq!(read("205 / 200"), said("205|200", Order::Assumed));
        assert_eq!(read("205 mm / 200 mm"), said("205 mm|200 mm", Order::Assumed));
        assert_eq!(read("7 1/2 B / 7 1/4 E"), said("7 1/2|7 1/4", Order::Said));
        assert_eq!(read("205 (B) / 200 (A)"), said("205|200", Order::Turned));
        assert_eq!(read("A: 205 / B: 200"), said("205|200", Order::Said));
        for text in ["205", "205 B / 200", "205 X / 200 Y", "7 1/2", "see note / 3"] {
            assert_eq!(ordered(text), None, "{text}");
        }
    }
}
