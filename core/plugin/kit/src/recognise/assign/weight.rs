//! How much a target counts under a header, and what speaks against it.

use restrand_model::quantity::{Dimension, Unit};
use restrand_model::reflect::Shape;
use restrand_model::sheet::Column;

use super::super::header::HeaderText;
use super::super::scope::Scope;
use super::super::unit::most;
use super::super::vocabulary::Target;
use super::{Candidate, Rows};
use crate::sheet::Cell;

/// Whether what a target counts or names is said to be measured, as the metres of `Total strand (m)`, or what is a bare
/// number to be a stress or a force, as the strength under `fpu [MPa]`, which is no share of it.
pub(super) fn counts_a_measure(
    column: &Candidate<'_>,
    header: &HeaderText,
    target: Target,
) -> bool {
    let Some(Column::Value { field, unit: None, .. }) = target.column() else { return false };
    let is_counted = matches!(
        field.0.shape,
        Shape::Count
            | Shape::Counts
            | Shape::Choice(_)
            | Shape::Choices(_)
            | Shape::Flag
            | Shape::Date
    );
    let is_number = matches!(field.0.shape, Shape::Number);
    let mut units = header.units.iter().chain(&column.below);
    units.any(|unit| {
        let unit = unit.trim_end_matches('.');
        let stated = Unit::find_any(unit).filter(|_| !matches!(unit, "T" | "t" | "n"));
        stated.is_some_and(|stated| {
            is_counted
                || is_number && matches!(stated.dimension, Dimension::Stress | Dimension::Force)
        })
    })
}

/// Whether a unit is stated that is of no size of strand or duct.
pub(super) fn measures_other(column: &Candidate<'_>, header: &HeaderText) -> bool {
    header.units.iter().chain(&column.below).any(|unit| {
        let unit = unit.trim_end_matches('.');
        !matches!(unit, "T" | "t" | "mm" | "in" | "inch" | "inches")
            && Unit::find_any(unit).is_some()
    })
}

/// Whether what fills is said to be weighed, or told for each length, and not by its volume: `Wax quantity (kg)`.
///
/// What is called a volume is one, whatever unit stands there.
pub(super) fn is_no_volume(column: &Candidate<'_>, header: &HeaderText, target: Target) -> bool {
    let mut units = header.units.iter().chain(&column.below);
    target.name() == "tendon.fill.volume_l"
        && !header.words.iter().any(|word| word == "volume")
        && units.any(|unit| {
            Unit::find_any(unit).is_some() && Unit::find(unit, Dimension::Volume).is_none()
        })
}

/// Whether a header states a unit of what the target measures.
pub(super) fn states_unit(header: &HeaderText, target: Target) -> bool {
    let Some(Column::Value { unit: Some(own), .. }) = target.column() else { return false };
    header.units.iter().any(|unit| Unit::find(unit, own.dimension).is_some())
}

/// Whether the values of a column are more than one strand can have: they are those of the whole tendon.
pub(super) fn is_of_all_strands(
    rows: Rows,
    column: &Candidate<'_>,
    header: &HeaderText,
    target: Target,
) -> bool {
    let Some(Column::Value { field, unit: Some(own), .. }) = target.column() else { return false };
    if rows.list != "Tendons" || target.list() != Some("Strands") {
        return false;
    }
    let mut units = header.units.iter().chain(&column.below);
    let Some(unit) = units.find_map(|unit| Unit::find(unit, own.dimension)) else { return false };
    let mut numbers: Vec<f64> = column
        .values
        .iter()
        .filter_map(|cell| match cell {
            Cell::Number(number) => Some(*number),
            Cell::Text(text) => text.trim().parse().ok(),
            _ => None,
        })
        .map(|number| unit.convert(number, own))
        .collect();
    numbers.sort_by(f64::total_cmp);
    let middle = numbers.get(numbers.len() / 2).copied();
    middle.is_some_and(|middle| most(field.0).is_some_and(|most| middle > most))
}

/// Whether a header counts tendons, as `No. of tendons` does; `Tendon No.` names one.
pub(super) fn counts_tendons(header: &HeaderText) -> bool {
    let lower = header.given.to_lowercase();
    // `No. off strands` counts these.
    let counts_others = header.words.iter().any(|word| matches!(word.as_str(), "strand" | "wire"));
    !counts_others
        && ["of tendons", "of cables", "tendons off", "no. off"]
            .iter()
            .any(|words| lower.contains(words))
}

/// Whether the unit of a header lets `grade` be this target: that of a road is an angle, that of strand in a stress is
/// its strength, and without a unit it is a name.
fn suits_grade(name: &str, header: &HeaderText) -> bool {
    let is_grade = || header.words.iter().any(|word| word == "grade");
    let states = |dimension| header.units.iter().any(|unit| Unit::find(unit, dimension).is_some());
    match name {
        "end.pitch_rad" => !is_grade() || !header.units.is_empty() && !states(Dimension::Stress),
        "strand.grade" => !states(Dimension::Stress),
        "strand.fpu_mpa" => !is_grade() || states(Dimension::Stress),
        _ => true,
    }
}

/// Whether a target is the form or a size of it in a deviator, beside whose name the header stands. A length in metres or
/// feet may as well be that of the tendon as far as there.
fn is_of_form(name: &str, header: &HeaderText) -> bool {
    let has = |words: &[&str]| header.words.iter().any(|word| words.contains(&word.as_str()));
    match name {
        "deviator.form" => has(&["pipe", "form", "saddle", "diabolo"]) && header.units.is_empty(),
        "deviator.throat_mm" | "deviator.exit_rear_mm" | "deviator.exit_span_mm" => true,
        "deviator.length_mm" => {
            has(&["pipe", "deviator", "form", "saddle"])
                || header.units.iter().any(|unit| matches!(unit.as_str(), "mm" | "in"))
        }
        _ => false,
    }
}

/// How much a target counts under a header in a table of this list; nothing if it cannot be meant.
pub(super) fn weight(rows: Rows, target: Target, header: &HeaderText, drop_scope: bool) -> f64 {
    let Rows { list, per_end, one_is_jacked, has_points, .. } = rows;
    let Some(own) = target.list() else {
        let described = matches!(list, "Tendons")
            && !matches!(target, Target::Column(..))
            && header.scope.is_none();
        return if described { 1.0 } else { 0.0 };
    };
    let scope = if drop_scope { None } else { header.scope };
    let name = target.name();
    let has = |word: &str| header.words.iter().any(|other| other == word);
    let is_of_deviator =
        own == "Deviators" && matches!(name.as_str(), "deviator.angle_rad" | "deviator.force_kn");
    if list != "Tendons" {
        return match own == list {
            true => 1.0,
            // What a deviator does stands beside the point at which it is.
            false if list == "Points" && is_of_deviator && rows.has_deviators => 0.97,
            false if list == "Points" && rows.lists_deviators && is_of_form(&name, header) => 0.97,
            false => 0.0,
        };
    }
    // What is said of one strand is not the tendon's.
    let lower = header.given.to_lowercase();
    if matches!(own, "Tendons")
        && name.ends_with("_kn")
        && ["per strand", "each strand", "/strand", "/ strand", "one strand", "single strand"]
            .iter()
            .any(|words| lower.contains(words))
    {
        return 0.0;
    }
    if name == "tendon.mark" && counts_tendons(header) {
        return 0.0;
    }
    if !suits_grade(&name, header) {
        return 0.0;
    }
    match own {
        // Where each end has a row of its own, the set is that end's.
        "Tendons" if per_end && name == "tendon.stressing.set_mm" => 0.85,
        // It goes to the end that is jacked, whose name the rows or the stations tell.
        "Tendons"
            if one_is_jacked
                && !drop_scope
                && matches!(
                    name.as_str(),
                    "tendon.stressing.elongation_b_mm" | "tendon.stressing.seated_force_b_kn"
                ) =>
        {
            0.0
        }
        // That of the end that is jacked, which each row names.
        "Tendons"
            if one_is_jacked
                && !drop_scope
                && header.scope == Some(Scope::Stressing)
                && name == "tendon.stressing.seated_force_a_kn" =>
        {
            1.0
        }
        // Nothing tells the end at which it was left.
        "Tendons" if !per_end && !drop_scope && name == "tendon.stressing.seated_force_a_kn" => 0.4,
        "Tendons" if !drop_scope && name == "tendon.stressing.seated_force_b_kn" => 0.4,
        "Tendons" if !drop_scope && name == "tendon.stressing.elongation_a_mm" => {
            if matches!(header.scope, None | Some(Scope::Stressing)) { 1.0 } else { 0.4 }
        }
        "Tendons" => match scope {
            None => 1.0,
            Some(_) => 0.4,
        },
        "Ends" if name == "end, tendon" => 0.0,
        "Ends" if name == "end, end" && scope.is_some() => 0.0,
        "Ends" if name == "end, end" => 1.0,
        "Ends" if scope.is_some_and(|scope| !scope.is_end()) => 0.0,
        // One slope of a row is hardly that of both ends, nor one function that of both anchorages.
        "Ends"
            if scope.is_none()
                && !per_end
                && (matches!(name.as_str(), "end.pitch_rad" | "end.yaw_rad")
                    || name == "end.kind" && has("function")) =>
        {
            0.0
        }
        "Ends" => match (scope, per_end) {
            (Some(_), _) => 1.0,
            // The number of strands is that of the tendon.
            (None, true) if name == "end.strand_count" => 0.85,
            (None, true) => 1.0,
            (None, false) if name == "end.kind" => 0.9,
            (None, false) => 0.8,
        },
        "Points" if name == "tendon_point, tendon" || name == "tendon_point.id" => 0.0,
        // The point at an end has the place of the end.
        "Points" if name == "tendon_point.place" => 0.0,
        "Points" => match (scope, per_end) {
            (Some(_), _) | (None, true) => 0.97,
            // One offset or level holds for all points of the row.
            (None, false)
                if has_points
                    && matches!(
                        name.as_str(),
                        "tendon_point.lateral_m" | "tendon_point.elevation_m"
                    ) =>
            {
                0.95
            }
            (None, false) => 0.0,
        },
        // What is measured on a tendon once, on a day of its own.
        "Measurements" if !per_end && scope.is_none() => {
            let is_measured = match name.as_str() {
                "measurement.lift_off_kn" | "measurement.on" => has("lift"),
                "measurement.force_kn" | "measurement.elongation_mm" | "measurement.set_mm" => {
                    ["measured", "actual", "recorded", "achieved"].into_iter().any(has)
                }
                _ => false,
            };
            if is_measured { 0.96 } else { 0.0 }
        }
        "Deviators"
            if (is_of_deviator || is_of_form(&name, header))
                && matches!(scope, Some(Scope::Between(_))) =>
        {
            0.97
        }
        "Strands" if name == "strand.id" => 0.0,
        "Strands" => {
            let is_telling = has("strand")
                || matches!(
                    name.as_str(),
                    "strand.grade"
                        | "strand.fpu_mpa"
                        | "strand.breaking_force_kn"
                        | "strand.relaxation"
                );
            if is_telling && scope.is_none() { 0.96 } else { 0.0 }
        }
        "Ducts" if name == "duct.id" => 0.0,
        // The duct of a tendon is as long as its free lengths are; its sticks are said to be such.
        "Ducts" if name == "duct.stick_length_mm" && !has("stick") => 0.0,
        "Ducts" => {
            let is_telling =
                has("duct") || has("pipe") || has("wall") || name == "duct.dimension_ratio";
            if is_telling && scope.is_none() { 0.96 } else { 0.0 }
        }
        _ => 0.0,
    }
}
