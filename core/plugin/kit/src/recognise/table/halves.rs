//! Two values in a cell of a tendon that is stressed from both ends: `205 / 200`, `7 1/2 B / 7 1/4 E`.

use restrand_model::reading::Remark;
use restrand_model::reflect::FieldInfo;
use restrand_model::value::Value;

use super::super::ends;
use super::super::grid::GridCell;
use super::super::pairs::halves;
use super::super::plan::ColumnPlan;
use super::super::scope::Scope;
use super::TableReader;
use crate::frame::{Frames, Stopped};
use crate::sheet::Cell;

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

impl TableReader<'_> {
    /// The values at end `a` and at end `b` of a row that is stressed from both, and states both in one cell.
    pub(super) fn of_both_ends(
        &mut self,
        number: u32,
        plan: &ColumnPlan,
        field: &'static FieldInfo,
        cell: &GridCell,
    ) -> Option<[Value; 2]> {
        let Cell::Text(text) = &cell.cell else { return None };
        let (parts, order) = ordered(text)?;
        let [first, second] = parts.map(|part| {
            let cell = GridCell { cell: Cell::Text(part.into()), ..cell.clone() };
            self.value(plan, field, &cell).ok()
        });
        let (first, second) = (first?, second?);
        if order == Order::Assumed {
            self.halved.entry(plan.index).or_insert((number, 0)).1 += 1;
        }
        Some(if order == Order::Turned { [second, first] } else { [first, second] })
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
