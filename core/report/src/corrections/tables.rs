//! What a corrected file says of itself: the values that were changed, what was corrected, what is open.

use std::collections::BTreeMap;

use restrand_check::Offered;
use restrand_finding::{Where, fill_in};
use restrand_kit::{Change, SideCell, SideTable};
use restrand_model::route::Route;
use restrand_model::value::Value;

use super::text::{HELD, LEFT};
use super::{Corrections, after, before, reason, stood, unmade};

/// The values that were changed, each once, with what stood there first and what stands there now.
#[must_use]
pub fn changes(corrections: &Corrections<'_>) -> Vec<Change> {
    let mut changes: BTreeMap<Route, Change> = BTreeMap::new();
    for offered in &corrections.corrected.made {
        let correction = &offered.correction;
        let why = format!(
            "{}, {}: {}",
            correction.class.word(),
            correction.rule,
            reason(correction, corrections.checked.system)
        );
        for change in &offered.changes {
            match changes.get_mut(&change.route) {
                Some(earlier) => {
                    earlier.after.clone_from(&change.after);
                    earlier.why.push_str("; then ");
                    earlier.why.push_str(&why);
                }
                None => {
                    let reading = corrections.checked.reading;
                    let before = reading.and_then(|reading| stood(change, reading));
                    let after = change.after.clone();
                    let route = change.route.clone();
                    let why = why.clone();
                    changes.insert(route.clone(), Change { route, before, after, why });
                }
            }
        }
    }
    changes.into_values().collect()
}

/// The sheets `Corrections` and `Open findings`.
#[must_use]
pub fn tables(corrections: &Corrections<'_>) -> Vec<SideTable> {
    vec![corrections_table(corrections), open_findings(corrections)]
}

fn text(text: impl Into<Box<str>>) -> SideCell {
    SideCell { value: Some(Value::Text(text.into())), leads_to: None }
}

fn headers(names: &[&str]) -> Vec<String> {
    names.iter().map(|name| (*name).to_owned()).collect()
}

fn corrections_table(corrections: &Corrections<'_>) -> SideTable {
    let corrected = corrections.corrected;
    let mut rows = Vec::new();
    let mut add = |offered: &Offered, state: String| {
        let correction = &offered.correction;
        for change in &offered.changes {
            rows.push(vec![
                text(state.as_str()),
                text(correction.class.word()),
                text(correction.rule),
                SideCell {
                    value: Some(Value::Text(change.name.as_str().into())),
                    leads_to: Some(change.route.clone()),
                },
                text(before(change, corrections.checked.system)),
                text(after(change, corrections.checked.system)),
                text(reason(correction, corrections.checked.system)),
            ]);
        }
    };
    for offered in &corrected.made {
        add(offered, "made".to_owned());
    }
    for withdrawn in &corrected.withdrawn {
        add(&withdrawn.offered, format!("withdrawn: {}", unmade(&withdrawn.why)));
    }
    for offered in &corrected.held {
        add(offered, format!("held back: {HELD}"));
    }
    for offered in &corrected.left {
        add(offered, format!("left: {LEFT}"));
    }
    for offered in &corrected.proposed {
        add(offered, format!("not accepted; --accept {} writes it", offered.correction.rule));
    }
    SideTable {
        name: "Corrections".to_owned(),
        about: format!(
            "What restrand changed of {}, and what it would change; a choice is written only where it was accepted.",
            corrections.checked.file
        ),
        headers: headers(&["State", "Class", "Rule", "Value", "Before", "After", "Why"]),
        rows,
    }
}

fn open_findings(corrections: &Corrections<'_>) -> SideTable {
    let system = corrections.checked.system;
    let rows = corrections
        .corrected
        .after
        .findings
        .iter()
        .map(|found| {
            let finding = &found.finding;
            let filled = |template: &str| fill_in(template, &finding.facts, system);
            let remedies: Vec<_> = finding
                .remedies
                .iter()
                .enumerate()
                .map(|(number, remedy)| format!("{}. {}", number + 1, filled(&remedy.text)))
                .collect();
            let leads_to = match &finding.place {
                Where::Route(route) => Some(route.clone()),
                Where::File(_) | Where::Limit(_) => None,
            };
            let at = found.route.clone().unwrap_or_default();
            vec![
                text(finding.severity.word()),
                text(finding.rule),
                SideCell { value: Some(Value::Text(at.into())), leads_to },
                text(filled(&finding.message)),
                text(filled(&finding.help)),
                text(remedies.join(" ")),
            ]
        })
        .collect();
    SideTable {
        name: "Open findings".to_owned(),
        about: format!("What is found of the corrected schedule. {}", crate::coverage::CLOSING),
        headers: headers(&["Severity", "Rule", "Value", "Finding", "What to do", "Remedies"]),
        rows,
    }
}
