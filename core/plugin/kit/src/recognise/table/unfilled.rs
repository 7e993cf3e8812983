//! Zeros under what fills other tendons: `Wax (l)` of a tendon that is grouted.

use super::super::plan::{ColumnPlan, Take};
use super::super::words::words;
use crate::sheet::Cell;

/// Whether a cell says by a zero that its tendon has none of the filler that the header names; it is no volume of what
/// fills the tendon.
pub(super) fn has_none(plan: &ColumnPlan, cell: &Cell<'_>) -> bool {
    let is_volume =
        matches!(&plan.take, Take::Value { path, .. } if **path == ["fill", "volume_l"]);
    let is_zero = || match cell {
        Cell::Number(number) => *number == 0.0,
        Cell::Text(text) => text.trim().replace(',', ".").parse::<f64>() == Ok(0.0),
        _ => false,
    };
    let names_filler =
        || words(&plan.header).iter().any(|word| matches!(word.as_str(), "wax" | "grease"));
    is_volume && is_zero() && names_filler()
}
