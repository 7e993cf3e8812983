//! A value stands so far off its neighbours as one unit is from another.

mod whole;

use std::collections::HashMap;

use restrand_finding::{
    Citation, Class, Correction, Evidence, Fact, Finding, Kind, Outcomes, Severity,
};
use restrand_model::quantity::{Unit, of_field};
use restrand_model::reflect::{FieldInfo, Range, RecordInfo, Shape, View};
use restrand_model::route::Route;
use restrand_model::value::Value;

use self::whole::{of_column, whole};
use super::walk::{call, walk};
use crate::context::Context;
use crate::rule::{Check, Corrects, LimitKey, Rule};

const SPREAD: LimitKey = LimitKey {
    name: "neighbour_spread",
    meaning: "ratio to their median within which values of one column count as alike",
};
const LEAST: LimitKey = LimitKey {
    name: "neighbours_least_count",
    meaning: "values of a column, besides the one in doubt, from which on it is judged",
};

const USUAL: LimitKey = LimitKey {
    name: "usual_value_spread",
    meaning: "ratio to the usual value of a field within which the values of a column count as usual",
};

pub(crate) const RULE: Rule = Rule {
    id: "schedule/unit-conflict",
    summary: "values against their neighbours in the same column, where a unit's factor would bring them there",
    kinds: &[Kind::Inconsistent],
    limits: &[SPREAD, LEAST, USUAL],
    sources: &[Citation::new("factors between the units that people mix up", Evidence::Derived)],
    correction: Corrects::Offers(&[Class::Propose], offer),
    implied_by: &[],
    page: include_str!("unit_conflict.md"),
    check: Check::Schedule(check),
};

/// Units that are typed for one another, by the unit of the field: the unit that may have been meant.
const MIXED_UP: &[(&str, &[&str])] = &[
    ("mm", &["in", "m", "ft", "cm"]),
    ("m", &["ft", "mm"]),
    ("kN", &["kip", "lbf"]),
    ("MPa", &["ksi", "psi", "bar"]),
    ("mm²", &["in²", "cm²"]),
    ("kg", &["lb", "t"]),
    ("l", &["gal", "m³"]),
];

/// A column of all records of a type.
type ColumnKey = (*const RecordInfo, usize);

/// The values of each column.
type Columns = HashMap<ColumnKey, ColumnValues>;

/// A value that looks as if it were in another unit.
struct Doubt {
    /// The unit that the number may be in.
    meant: &'static Unit,
    /// The unit in which it was taken then.
    taken: &'static Unit,
    /// The value, if it is so.
    then: f64,
    /// The values around it.
    others: Alike,
}

/// Values of a column that are alike.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Alike {
    low: f64,
    high: f64,
    median: f64,
}

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let columns = columns(context);
    let mut whole: Vec<_> = columns.values().filter_map(|column| whole(context, column)).collect();
    whole.sort_by(|one, other| one.column.first.cmp(&other.column.first));
    for doubt in &whole {
        outcomes.found(of_column(context, doubt));
    }
    let doubts = doubts(context, &columns, outcomes);
    visit(context, &doubts, &mut |field, value, doubt, place, whose| {
        outcomes.found(finding(context, field, value, doubt, place, whose));
    });
}

/// Fields whose values follow from others, by which other rules correct them; in another unit they would not.
const DERIVED: &[&str] = &["length_m", "steel_mass_kg"];

/// The value in the unit that may have been meant.
fn offer(context: &Context<'_>, offered: &mut Vec<Correction>) {
    let doubts = doubts(context, &columns(context), &mut Outcomes::default());
    visit(context, &doubts, &mut |field, value, doubt, place, whose| {
        if DERIVED.contains(&field.name) {
            return;
        }
        let reason = format!(
            "{{field}} of {{record}} is {{{}}}, far from nearly all others: it was \
             taken as {{taken}}, and the unit may be {{meant}}",
            field.name
        );
        let after = Some(Value::Number(doubt.then));
        offered.push(
            Correction::new(RULE.id, Class::Propose, place, after, reason)
                .fact(Fact::text("field", of_field(field.name).0.replace('_', " ")))
                .fact(Fact::text("record", whose))
                .fact(Fact::text("meant", doubt.meant.symbol))
                .fact(Fact::text("taken", doubt.taken.symbol))
                .fact(Fact::given(field.name, value, 3)),
        );
    });
}

/// Values in doubt by column, each with its position in it.
type Doubts = HashMap<ColumnKey, Vec<(usize, Doubt)>>;

fn doubts(context: &Context<'_>, columns: &Columns, outcomes: &mut Outcomes) -> Doubts {
    let mut doubts = Doubts::new();
    let (spread, least) = (context.limit(SPREAD).value, context.limit(LEAST).value);
    let mut any = false;
    #[expect(
        clippy::iter_over_hash_type,
        reason = "each column is judged for itself, and only counted here"
    )]
    for (key, column) in columns {
        // Columns whose values differ by nature say nothing.
        let Some(others) = alike(&column.values, spread, least) else {
            continue;
        };
        any = true;
        for (position, value) in column.values.iter().enumerate() {
            if let Some(doubt) = doubt(*value, column.unit, others, spread) {
                doubts.entry(*key).or_default().push((position, doubt));
            } else {
                outcomes.pass();
            }
        }
    }
    if !any {
        outcomes.not_evaluated("a column with enough values that are alike");
    }
    doubts
}

struct ColumnValues {
    field: &'static FieldInfo,
    unit: &'static Unit,
    /// The first of the values.
    first: Route,
    values: Vec<f64>,
}

/// The numbers of each column that has a unit and no sign, in the order in which records are visited.
///
/// Positions lie anywhere along the bridge, and are not compared.
fn columns(context: &Context<'_>) -> Columns {
    let mut columns: Vec<(ColumnKey, ColumnValues)> = Vec::new();
    // Which fields of a record type are judged is found once, and not for each record.
    let mut judged_of: Vec<Option<Vec<Judged>>> = Vec::new();
    walk(context.schedule, &mut |at| {
        let info = at.record.info();
        if judged_of.len() <= at.kind {
            judged_of.resize_with(at.kind + 1, || None);
        }
        for judged in judged_of[at.kind].get_or_insert_with(|| Judged::of(info)) {
            let View::Number(value) = at.record.field(judged.field).view() else {
                continue;
            };
            let column = *judged.column.get_or_insert_with(|| {
                let field = &info.fields[judged.field];
                let first = at.route().field(field.name);
                let values = ColumnValues { field, unit: judged.unit, first, values: Vec::new() };
                columns.push(((std::ptr::from_ref(info), judged.field), values));
                columns.len() - 1
            });
            columns[column].1.values.push(value);
        }
    });
    columns.into_iter().collect()
}

/// A field of a record type that is judged.
struct Judged {
    /// Its position among the fields of the record.
    field: usize,
    unit: &'static Unit,
    /// The position of its column, once a record states it.
    column: Option<usize>,
}

impl Judged {
    /// Those of a record type.
    fn of(info: &'static RecordInfo) -> Vec<Self> {
        let fields = info.fields.iter().enumerate();
        let judged = fields.filter_map(|(field, declared)| Some((field, judged(declared)?)));
        judged.map(|(field, unit)| Self { field, unit, column: None }).collect()
    }
}

/// The unit of a field that is judged: one of those that people mix up.
fn judged(field: &FieldInfo) -> Option<&'static Unit> {
    if !matches!(field.shape, Shape::Number) || matches!(field.range, Range::Signed) {
        return None;
    }
    let unit = of_field(field.name).1?;
    MIXED_UP.iter().any(|(symbol, _)| *symbol == unit.symbol).then_some(unit)
}

/// The values that are alike, if nearly all are.
fn alike(values: &[f64], spread: f64, least: f64) -> Option<Alike> {
    /// Of ten values, so many must be alike.
    const NEARLY_ALL: usize = 8;
    let mut stated: Vec<f64> = values.iter().copied().filter(|value| *value > 0.0).collect();
    #[expect(clippy::cast_precision_loss, reason = "a count of records")]
    if (stated.len() as f64) < least + 1.0 {
        return None;
    }
    let middle = stated.len() / 2;
    let (_, median, _) = stated.select_nth_unstable_by(middle, f64::total_cmp);
    let median = *median;
    let all = stated.len();
    stated.retain(|value| *value <= median * spread && *value >= median / spread);
    if stated.len() * 10 < all * NEARLY_ALL {
        return None;
    }
    let low = stated.iter().copied().reduce(f64::min)?;
    let high = stated.iter().copied().reduce(f64::max)?;
    Some(Alike { low, high, median })
}

/// Whether a value is far from the others, and would be among them if its number were in another unit.
fn doubt(value: f64, unit: &'static Unit, others: Alike, spread: f64) -> Option<Doubt> {
    let Alike { low, high, median } = others;
    // Twice the spread is far: within it a value is only unusual.
    if value <= 0.0 || (value >= low / spread && value <= high * spread) {
        return None;
    }
    let (_, units) = MIXED_UP.iter().find(|(symbol, _)| *symbol == unit.symbol)?;
    units.iter().find_map(|symbol| {
        let other = Unit::find(symbol, unit.dimension)?;
        // The number was typed in the other unit under a header of this one, or the reverse. It need not lie between
        // two others: of jacks with strokes of 200 mm one that is 8 in long would be like them.
        let (meant, taken, then) =
            [(other, unit, other.convert(value, unit)), (unit, other, unit.convert(value, other))]
                .into_iter()
                .find(|(_, _, then)| *then >= median / spread && *then <= median * spread)?;
        Some(Doubt { meant, taken, then, others })
    })
}

/// Finds the records of the values in doubt once more, for their routes are not kept for all.
fn visit(
    context: &Context<'_>,
    doubts: &Doubts,
    see: &mut dyn FnMut(&'static FieldInfo, f64, &Doubt, Route, String),
) {
    if doubts.is_empty() {
        return;
    }
    let mut positions: HashMap<ColumnKey, usize> = HashMap::new();
    walk(context.schedule, &mut |at| {
        let info = at.record.info();
        for (index, field) in info.fields.iter().enumerate() {
            let key = (std::ptr::from_ref(info), index);
            let Some(of_column) = doubts.get(&key) else {
                continue;
            };
            let View::Number(value) = at.record.field(index).view() else {
                continue;
            };
            let position = positions.entry(key).or_default();
            // Doubts lie in the order of their positions.
            let doubt = of_column.binary_search_by_key(position, |(at, _)| *at);
            if let Some((_, doubt)) = doubt.ok().and_then(|index| of_column.get(index)) {
                let place = at.route().field(field.name);
                let whose = call(context.schedule, at.steps);
                see(field, value, doubt, place, whose);
            }
            *position += 1;
        }
    });
}

fn finding(
    context: &Context<'_>,
    field: &FieldInfo,
    value: f64,
    doubt: &Doubt,
    place: Route,
    whose: String,
) -> Finding {
    let (label, unit) = of_field(field.name);
    let symbol = unit.map_or("", |unit| unit.symbol);
    let (least, most, then) = names(symbol);
    Finding::new(
        RULE.id,
        Kind::Inconsistent,
        place,
        format!(
            "{{field}} of {{record}} is {{{}}}, while nearly all others are from {{{least}}} to {{{most}}}: it \
             was taken as {{taken}}, and the unit may be {{meant}}",
            field.name
        ),
    )
    .help("Check the unit: write it in the cell, as 12 mm, or correct the value")
    .fact(Fact::text("field", label.replace('_', " ")))
    .fact(Fact::text("record", whose))
    .fact(Fact::text("meant", doubt.meant.symbol))
    .fact(Fact::text("taken", doubt.taken.symbol))
    .fact(Fact::given(field.name, value, 3))
    .fact(Fact::computed(least, doubt.others.low, 2))
    .fact(Fact::computed(most, doubt.others.high, 2))
    .fact(Fact::computed(then, doubt.then, 2))
    .fact(context.limit(SPREAD).fact(SPREAD, 2))
    .fact(context.limit(LEAST).fact(LEAST, 0))
    .severity(Severity::Warning)
    .remedy(format!("State {{{then}}}, if the unit is {{meant}}"))
}

/// Names of the facts about a value and its neighbours, in the unit of the column.
fn names(symbol: &str) -> (&'static str, &'static str, &'static str) {
    match symbol {
        "mm" => ("others_least_mm", "others_most_mm", "then_mm"),
        "m" => ("others_least_m", "others_most_m", "then_m"),
        "kN" => ("others_least_kn", "others_most_kn", "then_kn"),
        "MPa" => ("others_least_mpa", "others_most_mpa", "then_mpa"),
        "mm²" => ("others_least_mm2", "others_most_mm2", "then_mm2"),
        "kg" => ("others_least_kg", "others_most_kg", "then_kg"),
        "l" => ("others_least_l", "others_most_l", "then_l"),
        _ => ("others_least", "others_most", "then"),
    }
}

#[cfg(test)]
mod tests {
    use restrand_model::quantity::Dimension;

    use super::whole::names_of_column;
    use super::*;

    #[test]
    fn facts_are_named_in_the_unit_of_their_column() {
        for symbol in ["mm", "m", "kN", "MPa", "mm²", "kg", "l"] {
            for (of, [one, other, last]) in [
                (names(symbol), ["others_least", "others_most", "then"]),
                (names_of_column(symbol), ["least", "most", "usual"]),
            ] {
                for (found, name) in [(of.0, one), (of.1, other), (of.2, last)] {
                    let (label, unit) = of_field(found);
                    assert_eq!((label, unit.unwrap().symbol), (name, symbol));
                }
            }
        }
        assert_eq!(names(""), ("others_least", "others_most", "then"));
    }

    #[test]
    fn values_that_differ_by_nature_are_not_judged() {
        assert_eq!(
            alike(&[100.0, 105.0, 110.0, 98.0, 4.0], 1.5, 4.0),
            Some(Alike { low: 98.0, high: 110.0, median: 100.0 })
        );
        assert_eq!(alike(&[100.0, 105.0, 110.0, 4.0], 1.5, 4.0), None);
        assert_eq!(alike(&[1.0, 10.0, 100.0, 1000.0, 10_000.0], 1.5, 4.0), None);
        assert_eq!(alike(&[], 1.5, 4.0), None);
    }

    #[test]
    fn a_doubt_needs_a_unit_that_explains_it() {
        let mm = Unit::find("mm", Dimension::Length).unwrap();
        let others = Alike { low: 1800.0, high: 2000.0, median: 1900.0 };
        let meant = |value| {
            doubt(value, mm, others, 1.5).map(|doubt| (doubt.meant.symbol, doubt.taken.symbol))
        };
        assert_eq!(meant(75.0), Some(("in", "mm")));
        assert_eq!(meant(1.9), Some(("m", "mm")));
        // Millimetres that were typed where inches stand.
        assert_eq!(meant(1900.0 * 25.4), Some(("mm", "in")));
        assert_eq!(meant(190.0), Some(("cm", "mm")));
        // Like the others, if not between them.
        assert_eq!(meant(80.0), Some(("in", "mm")));
        // Only unusual: a third, or within the spread of the others.
        assert_eq!(meant(600.0), None);
        assert_eq!(meant(1200.0), None);
        assert_eq!(meant(3000.0), None);
        assert_eq!(meant(0.0), None);
    }
}
