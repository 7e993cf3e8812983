//! Limits that bound one stated value and nothing else.

use restrand_finding::Fact;
use restrand_model::System;
use restrand_model::quantity::of_field;
use restrand_rules::{Limit, Rulebook};

use super::facet::{
    Bound, Property, Requirement, Specification, Values, field_of, home_of, in_model,
};

/// A field between limits of the rulebook.
struct Band {
    /// The rule that holds it.
    rule: &'static str,
    record: &'static str,
    field: &'static str,
    least: Option<&'static str>,
    most: Option<&'static str>,
    /// A field and the words for which alone it holds.
    when: Option<(&'static str, &'static [&'static str])>,
    /// What the rule looks at beyond it.
    beyond: Option<&'static str>,
}

const BANDS: &[Band] = &[
    Band {
        rule: "stressing/set-unusual",
        record: "end",
        field: "set_mm",
        least: Some("set_least_mm"),
        most: Some("set_most_mm"),
        when: Some(("kind", &["stressing", "dead"])),
        beyond: Some("the set where the end's kind is absent, and measured sets"),
    },
    Band {
        rule: "stressing/set-unusual",
        record: "stressing",
        field: "set_mm",
        least: Some("set_least_mm"),
        most: Some("set_most_mm"),
        when: None,
        beyond: None,
    },
    Band {
        rule: "stressing/set-unusual",
        record: "stressing",
        field: "dead_end_seating_mm",
        least: Some("dead_end_seating_least_mm"),
        most: Some("dead_end_seating_most_mm"),
        when: None,
        beyond: None,
    },
    Band {
        rule: "anchorage/not-square",
        record: "end",
        field: "out_of_square_rad",
        least: None,
        most: Some("square_tolerance_rad"),
        when: None,
        beyond: Some("the angle that follows from the tendon's points and the stated axis"),
    },
    Band {
        rule: "strand/modulus-unusual",
        record: "strand",
        field: "e_mpa",
        least: Some("strand_e_least_mpa"),
        most: Some("strand_e_most_mpa"),
        when: None,
        beyond: None,
    },
    Band {
        rule: "filler/pressure-or-rate",
        record: "fill",
        field: "pressure_mpa",
        least: None,
        most: Some("injection_pressure_most_mpa"),
        when: None,
        beyond: Some("the speed of the grout's front, and the temperature of wax"),
    },
];

/// Whether a rule is said, at least in part.
pub(crate) fn is_said(rule: &str) -> bool {
    BANDS.iter().any(|band| band.rule == rule)
}

/// Adds a specification for each band of the book.
pub(crate) fn say(
    book: &Rulebook,
    specifications: &mut Vec<Specification>,
    unsaid: &mut Vec<String>,
) {
    for band in BANDS {
        specifications.extend(specification(book, band));
        if let Some(beyond) = band.beyond {
            unsaid.push(format!("{}: {beyond}", band.rule));
        }
    }
}

fn specification(book: &Rulebook, band: &Band) -> Option<Specification> {
    let (info, field) = field_of(band.record, band.field)?;
    let limit = |name: Option<&'static str>| -> Option<(&'static str, &Limit)> {
        let name = name?;
        Some((name, book.limits.get(name)?))
    };
    let bound = |found: Option<(&str, &Limit)>| {
        let (name, limit) = found?;
        let value = in_model(field, limit.value, of_field(name).1);
        Some(Bound { value, within: true })
    };
    let (least, most) = (limit(band.least), limit(band.most));
    let values = Values::Between { least: bound(least), most: bound(most) };
    let said: Vec<String> = [("at least", least), ("at most", most)]
        .into_iter()
        .filter_map(|(word, found)| {
            let (name, limit) = found?;
            let shown = Fact::limit(name, limit.value, DIGITS, limit.citation.clone());
            Some(format!("{word} {} ({})", shown.shown(System::Si), limit.citation))
        })
        .collect();
    if said.is_empty() {
        return None;
    }
    let when = match band.when {
        None => Vec::new(),
        Some((name, words)) => {
            let (info, field) = field_of(band.record, name)?;
            let words = words.iter().map(|word| (*word).to_owned()).collect();
            vec![Property::of(info, field)?.with(Values::Words(words))]
        }
    };
    let property = Property::of(info, field)?.with(values);
    Some(Specification {
        name: format!(
            "{}: {} within its limits",
            band.record.replace('_', " "),
            of_field(band.field).0.replace('_', " ")
        ),
        identifier: format!("limit-{}-{}", band.record, band.field),
        description: format!("Rule {}: {}", band.rule, said.join("; ")),
        at_least_one: false,
        home: home_of(band.record)?,
        when,
        requirements: vec![Requirement::Property { property, is_required: false }],
    })
}

/// Decimals of a limit that are shown.
const DIGITS: u8 = 4;

#[cfg(test)]
mod tests {
    use super::*;
    use restrand_rules::find;

    #[test]
    fn every_band_is_of_a_rule_a_field_and_limits_that_there_are() {
        for band in BANDS {
            let rule = find(band.rule).unwrap();
            for name in [band.least, band.most].into_iter().flatten() {
                assert!(rule.limits.iter().any(|limit| limit.name == name), "{name}");
            }
            let (info, field) = field_of(band.record, band.field).unwrap();
            assert!(Property::of(info, field).is_some() && home_of(band.record).is_some());
            if let Some((name, _)) = band.when {
                assert!(field_of(band.record, name).is_some(), "{name}");
            }
        }
    }
}
