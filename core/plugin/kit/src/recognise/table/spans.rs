//! Several spans in one cell: `1-2`, `1 & 2`, `1 to 3`, where other rows name each of them.

use std::collections::{BTreeMap, BTreeSet};

use restrand_model::value::Value;

use super::super::find::Found;
use super::super::grid::Sheet;
use super::super::plan::ColumnPlan;
use crate::sheet::Cell;

/// What stands between the first and the last of several, and between each of them.
const RANGE: [&str; 6] = [" to ", " bis ", " à ", " thru ", "-", "–"];
const LIST: [&str; 7] = [" and ", " und ", " et ", "&", "+", "/", ";"];
/// Spans from one to another at most.
const MOST: u32 = 60;

/// The spans that rows of a table name by themselves, in small letters.
pub(super) fn named(
    sheet: &Sheet,
    found: &Found,
    plans: &BTreeMap<u32, ColumnPlan>,
) -> BTreeSet<String> {
    let is_of_spans =
        |plan: &&ColumnPlan| plan.target.is_some_and(|target| target.name() == "tendon.spans");
    let Some(plan) = plans.values().find(is_of_spans) else { return BTreeSet::new() };
    let cells = sheet.rows[found.body.clone()].iter().filter_map(|row| row.cells.get(&plan.index));
    cells
        .filter(|cell| !cell.cell.is_blank())
        .map(|cell| cell.cell.name().trim().to_lowercase())
        .filter(|name| parts(name).is_none())
        .collect()
}

/// The several spans that a cell names, if others name them, or those between which they lie.
pub(super) fn several(cell: &Cell<'_>, named: &BTreeSet<String>) -> Option<Value> {
    let Cell::Text(text) = cell else { return None };
    let (is_range, parts) = parts(text)?;
    let spans = match (is_range, parts.as_slice()) {
        (true, [first, last]) => between(first, last, named)?,
        (true, _) => return None,
        (false, parts) => {
            let is_named = |part: &&String| named.contains(&part.to_lowercase());
            parts.iter().all(|part| is_named(&part)).then(|| parts.to_vec())?
        }
    };
    Some(Value::List(spans.iter().map(|span| Value::Text(span.as_str().into())).collect()))
}

/// The parts of a text that may name several spans, and whether it names the first and the last.
fn parts(text: &str) -> Option<(bool, Vec<String>)> {
    let of = |mark: &str| -> Option<Vec<String>> {
        let parts: Vec<String> = text.split(mark).map(|part| part.trim().to_owned()).collect();
        (parts.len() > 1 && parts.iter().all(|part| !part.is_empty())).then_some(parts)
    };
    let range = RANGE.iter().find_map(|mark| of(mark)).map(|parts| (true, parts));
    range.or_else(|| LIST.iter().find_map(|mark| of(mark)).map(|parts| (false, parts)))
}

/// The spans from one to another that differ by their numbers alone: both are named, or lie between such as are.
fn between(first: &str, last: &str, named: &BTreeSet<String>) -> Option<Vec<String>> {
    let number = |name: &str, stem: &str| name.strip_prefix(stem)?.parse::<u32>().ok();
    let stem = first.trim_end_matches(|c: char| c.is_ascii_digit());
    let (from, to) = (number(first, stem)?, number(last, stem)?);
    if from >= to || to - from > MOST {
        return None;
    }
    let small = stem.to_lowercase();
    let numbers: BTreeSet<u32> = named.iter().filter_map(|name| number(name, &small)).collect();
    let (least, most) = (numbers.first()?, numbers.last()?);
    (*least <= from && to <= *most)
        .then(|| (from..=to).map(|number| format!("{stem}{number}")).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn several_spans_are_those_that_others_name() {
        let named: BTreeSet<String> = ["1", "2", "4", "s1", "s3"].map(str::to_owned).into();
        let read = |text: &str| -> Vec<String> {
            match several(&Cell::Text(text.into()), &named) {
                Some(Value::List(spans)) => spans.iter().map(ToString::to_string).collect(),
                _ => Vec::new(),
            }
        };
        for (text, expected) in [
            ("1-2", &["1", "2"][..]),
            ("1 – 2", &["1", "2"]),
            ("1 & 2", &["1", "2"]),
            ("1 + 2", &["1", "2"]),
            ("1/2", &["1", "2"]),
            ("2 to 4", &["2", "3", "4"]),
            ("2-3", &["2", "3"]),
            ("S1-S3", &["S1", "S2", "S3"]),
            // Others that nothing names, or that are no several.
            ("4-5", &[]),
            ("2-1", &[]),
            ("1 & 3", &[]),
            ("A-B", &[]),
            ("1", &[]),
            ("P1-2", &[]),
        ] {
            assert_eq!(read(text), expected, "{text}");
        }
        let alone = several(&Cell::Text("1-2".into()), &BTreeSet::new());
        assert_eq!(alone, None);
    }
}
