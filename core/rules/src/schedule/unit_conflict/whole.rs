//! A column all of whose values look as if they were in another unit.

use restrand_finding::{Fact, Finding, Kind, Severity};
use restrand_model::quantity::Unit;

use super::{ColumnValues, LEAST, MIXED_UP, RULE, USUAL};
use crate::context::Context;

/// A column that looks as if all of it were in another unit.
pub(super) struct Whole<'c> {
    pub(super) column: &'c ColumnValues,
    meant: &'static Unit,
    /// The least and the greatest of the values.
    range: (f64, f64),
    usual: f64,
}

/// Whether all values of a column are far from what its field usually holds, and another unit explains that.
///
/// What is usual is the example of the field's description. Only factors that leave no doubt are looked at: those by
/// which what is usual in one unit is not in the other.
pub(super) fn whole<'c>(context: &Context<'_>, column: &'c ColumnValues) -> Option<Whole<'c>> {
    let (spread, least) = (context.limit(USUAL).value, context.limit(LEAST).value);
    let usual: f64 = column.field.example()?.parse().ok()?;
    let is_usual = |value: f64| value >= usual / spread && value <= usual * spread;
    let stated: Vec<f64> = column.values.iter().copied().filter(|value| *value > 0.0).collect();
    #[expect(clippy::cast_precision_loss, reason = "a count of records")]
    if stated.len() as f64 <= least || stated.iter().copied().any(is_usual) {
        return None;
    }
    let range = (
        stated.iter().copied().fold(f64::INFINITY, f64::min),
        stated.iter().copied().fold(f64::NEG_INFINITY, f64::max),
    );
    let (_, others) = MIXED_UP.iter().find(|(symbol, _)| *symbol == column.unit.symbol)?;
    others.iter().find_map(|symbol| {
        let meant = Unit::find(symbol, column.unit.dimension)?;
        let then = |value| meant.convert(value, column.unit);
        let factor = then(1.0);
        let is_plain = factor >= spread * spread || factor * spread * spread <= 1.0;
        let explains = is_plain && is_usual(then(range.0)) && is_usual(then(range.1));
        explains.then_some(Whole { column, meant, range, usual })
    })
}

pub(super) fn of_column(context: &Context<'_>, doubt: &Whole<'_>) -> Finding {
    let Whole { column, meant, range, usual } = doubt;
    let (least, most, example) = names_of_column(column.unit.symbol);
    #[expect(clippy::cast_precision_loss, reason = "a count of records")]
    let values = column.values.len() as f64;
    Finding::new(
        RULE.id,
        Kind::Inconsistent,
        column.first.clone(),
        format!(
            "all {{values}} values of {{field}} are from {{{least}}} to {{{most}}}, far from what is usual, as \
             {{{example}}}: the unit of the whole column may be {{meant}}"
        ),
    )
    .help("State the unit in the header of the column, or correct its values")
    .fact(Fact::text("field", column.field.label().to_lowercase()))
    .fact(Fact::text("meant", meant.symbol))
    .fact(Fact::computed("values", values, 0))
    .fact(Fact::computed(least, range.0, 3))
    .fact(Fact::computed(most, range.1, 3))
    .fact(Fact::computed(example, *usual, 2))
    .fact(context.limit(USUAL).fact(USUAL, 0))
    .fact(context.limit(LEAST).fact(LEAST, 0))
    .severity(Severity::Warning)
}

/// Names of the facts about a whole column, in its unit.
pub(super) fn names_of_column(symbol: &str) -> (&'static str, &'static str, &'static str) {
    match symbol {
        "mm" => ("least_mm", "most_mm", "usual_mm"),
        "m" => ("least_m", "most_m", "usual_m"),
        "kN" => ("least_kn", "most_kn", "usual_kn"),
        "MPa" => ("least_mpa", "most_mpa", "usual_mpa"),
        "mm²" => ("least_mm2", "most_mm2", "usual_mm2"),
        "kg" => ("least_kg", "most_kg", "usual_kg"),
        "l" => ("least_l", "most_l", "usual_l"),
        _ => ("least", "most", "usual"),
    }
}
