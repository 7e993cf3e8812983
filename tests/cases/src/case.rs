//! Cases: an input, and what a rule is to say of it.

use std::collections::BTreeMap;
use std::path::Path;

use restrand_check::LocatedFinding;
use restrand_finding::{Fact, FactValue, Group, Tally, fill_in};
use restrand_model::quantity::System;
use restrand_model::value::Value;
use restrand_rules::find;

use crate::expectation::{
    Expectation, Expected, ExpectedOffer, FactSaid, Outcome, Reasons, RemediesSaid, ValueSaid,
};
use crate::run::{Offer, Said, line, place, run, today};
use crate::{Named, entries, name, root, text};

/// What the name of a case begins with.
pub(crate) const FAILING: &str = "failing-";
/// What the name of a case begins with.
pub(crate) const PASSING: &str = "passing-";
/// What the name of a case begins with.
pub(crate) const NOT_EVALUATED: &str = "not-evaluated-";

/// What the input of a case is called.
const INPUTS: [&str; 2] = ["input.json", "input.csv"];

/// Every case, each as a test of its own; what is no case is a test that fails.
pub fn cases() -> Result<Vec<Named>, String> {
    let mut tests = Vec::new();
    for family in entries(&root().join("fixtures/cases"))? {
        for rule in entries(&family)? {
            let id = format!("{}/{}", name(&family), name(&rule));
            if find(&id).is_none() {
                let why = format!("{}: no rule is called \"{id}\"", rule.display());
                tests.push(Named::new(id, move || Err(why)));
                continue;
            }
            for case in entries(&rule)? {
                let test_name = format!("{id}/{}", name(&case));
                let id = id.clone();
                tests.push(Named::new(test_name, move || hold(&id, &case)));
            }
        }
        if !family.is_dir() {
            let why = format!("{}: only folders stand here", family.display());
            tests.push(Named::new(name(&family), move || Err(why)));
        }
    }
    Ok(tests)
}

fn hold(rule: &str, case: &Path) -> Result<(), String> {
    let mut inputs = Vec::new();
    for entry in entries(case)? {
        match name(&entry).as_str() {
            "expect.toml" => {}
            file if INPUTS.contains(&file) => inputs.push(entry),
            _ => return Err(format!("{}: nothing of this name stands in a case", entry.display())),
        }
    }
    let [input] = inputs.as_slice() else {
        return Err(format!("a case has one input, which is called {}", INPUTS.join(" or ")));
    };
    let expectation: Expectation = toml::from_str(&text(&case.join("expect.toml"))?)
        .map_err(|error| format!("expect.toml: {error}"))?;
    fits_its_name(&name(case), &expectation)?;
    let bytes = std::fs::read(input).map_err(|error| format!("{}: {error}", input.display()))?;
    let as_of = match &expectation.as_of {
        Some(date) => date.parse().map_err(|_| format!("as_of = {date} is no date"))?,
        None => today(),
    };
    let said = run(&name(input), bytes, expectation.rulebook.as_deref(), as_of)?;
    let mut wrong = compare(&expectation.findings, &said.of(rule));
    if expectation.only {
        let others = said.findings.iter().filter(|found| found.finding.rule != rule);
        wrong.extend(others.map(|found| format!("finding of another rule: {}", line(found))));
    }
    if let Some(expected) = &expectation.offers {
        wrong.extend(compare_offers(expected, said.offers.iter().filter(|one| one.is_of(rule))));
    }
    wrong.extend(compare_outcome(rule, &expectation.outcome, &said));
    for (other, outcome) in &expectation.other {
        match find(other) {
            Some(_) => wrong.extend(compare_outcome(other, outcome, &said)),
            None => wrong.push(format!("no rule is called \"{other}\"")),
        }
    }
    if wrong.is_empty() { Ok(()) } else { Err(wrong.join("\n")) }
}

/// The name says what the case shows.
fn fits_its_name(case: &str, expectation: &Expectation) -> Result<(), String> {
    let finds = !expectation.findings.is_empty();
    let skips = expectation.outcome.not_evaluated.as_ref().is_some_and(|fields| !fields.is_empty());
    let fits = if case.starts_with(FAILING) {
        finds
    } else if case.starts_with(PASSING) {
        !finds
    } else if case.starts_with(NOT_EVALUATED) {
        skips
    } else {
        return Err(format!("a case is called {FAILING}…, {PASSING}… or {NOT_EVALUATED}…"));
    };
    if fits { Ok(()) } else { Err("the case expects other than its name says".to_owned()) }
}

fn compare(expected: &[Expected], found: &[&LocatedFinding]) -> Vec<String> {
    let mut wrong = Vec::new();
    for (index, expected) in expected.iter().enumerate() {
        match found.get(index) {
            Some(found) => {
                let differences = differences(expected, found);
                if !differences.is_empty() {
                    wrong.push(format!(
                        "finding {}: {}\n  in {}",
                        index + 1,
                        differences.join("; "),
                        line(found)
                    ));
                }
            }
            None => wrong.push(format!("finding {} is missing: {expected:?}", index + 1)),
        }
    }
    for extra in found.iter().skip(expected.len()) {
        wrong.push(format!("extra finding: {}", line(extra)));
    }
    wrong
}

fn differences(expected: &Expected, found: &LocatedFinding) -> Vec<String> {
    let finding = &found.finding;
    let mut differences = Vec::new();
    let mut same = |what: &str, expected: &str, found: &str| {
        if expected != found {
            differences.push(format!("{what} is {found}, not {expected}"));
        }
    };
    same("severity", &expected.severity, finding.severity.word());
    same("kind", &expected.kind, finding.kind.word());
    match (&expected.route, &expected.place) {
        (Some(_), Some(_)) | (None, None) => {
            differences.push("expect.toml states neither route nor place, or both".to_owned());
        }
        (Some(route), None) => same("route", route, found.route.as_deref().unwrap_or("absent")),
        (None, Some(expected)) if found.route.is_none() => {
            same("place", expected, &place(&found.place));
        }
        (None, Some(_)) => differences.push("it has a route".to_owned()),
    }
    if let Some(expected) = &expected.related {
        let related = found.related.iter().map(|related| related.name.as_deref());
        let related: Vec<_> = related.map(|name| name.unwrap_or("absent")).collect();
        if *expected != related {
            differences.push(format!("its further places are {related:?}, not {expected:?}"));
        }
    }
    let message = fill_in(&finding.message, &finding.facts, System::Si);
    if let Some(says) = &expected.says
        && !message.contains(says)
    {
        differences.push(format!("its message has not the words \"{says}\""));
    }
    let help = fill_in(&finding.help, &finding.facts, System::Si);
    if expected.help.as_ref().is_some_and(|words| !help.contains(words)) {
        differences.push(format!("its help is \"{help}\", not {:?}", expected.help));
    }
    if let Some(expected) = &expected.cites {
        let cites: Vec<_> = finding.citations.iter().map(|one| &one.source).collect();
        let are_so = cites.len() == expected.len()
            && cites.iter().zip(expected).all(|(source, words)| source.contains(words.as_str()));
        if !are_so {
            differences.push(format!("it cites {cites:?}, not {expected:?}"));
        }
    }
    for (name, expected) in &expected.facts {
        match finding.facts.iter().find(|fact| fact.name == name) {
            Some(fact) if agrees(fact, expected) => {}
            Some(fact) => differences.push(format!("{name} is {:?}, not {expected:?}", fact.value)),
            None => differences.push(format!("there is no fact {name}")),
        }
    }
    let remedy = |text: &str| fill_in(text, &finding.facts, System::Si);
    let remedies: Vec<_> = finding.remedies.iter().map(|one| remedy(&one.text)).collect();
    let are_said = match &expected.remedies {
        None => true,
        Some(RemediesSaid::Count(count)) => *count == remedies.len(),
        Some(RemediesSaid::Words(words)) => {
            words.len() == remedies.len()
                && words.iter().zip(&remedies).all(|(words, remedy)| remedy.contains(words))
        }
    };
    if !are_said {
        differences.push(format!("its remedies are {remedies:?}, not {:?}", expected.remedies));
    }
    differences
}

fn compare_offers<'a>(
    expected: &[ExpectedOffer],
    offered: impl Iterator<Item = &'a Offer>,
) -> Vec<String> {
    let mut wrong = Vec::new();
    let offered: Vec<_> = offered.collect();
    for (index, expected) in expected.iter().enumerate() {
        match offered.get(index) {
            Some(offer) if is_as_said(offer, expected) => {}
            Some(offer) => wrong.push(format!("offer {}: {offer}, not {expected:?}", index + 1)),
            None => wrong.push(format!("offer {} is missing: {expected:?}", index + 1)),
        }
    }
    for extra in offered.iter().skip(expected.len()) {
        wrong.push(format!("extra offer: {extra}"));
    }
    wrong
}

fn is_as_said(offer: &Offer, expected: &ExpectedOffer) -> bool {
    let is_after =
        |(route, after): &(String, Option<Value>)| match (after, expected.after.get(route)) {
            (Some(Value::Flag(found)), Some(ValueSaid::Flag(expected))) => found == expected,
            (Some(Value::Number(found)), Some(ValueSaid::Number(expected))) => {
                near(*found, *expected)
            }
            (Some(Value::Text(found)), Some(ValueSaid::Text(expected))) => **found == **expected,
            (None, None) => expected.removed.contains(route),
            _ => false,
        };
    let fact = |name: &String| offer.correction.facts.iter().find(|fact| fact.name == name);
    offer.correction.class.word() == expected.class
        && offer.edits.len() == expected.after.len() + expected.removed.len()
        && offer.edits.iter().all(is_after)
        && expected.rests_on.as_ref().is_none_or(|routes| *routes == offer.rests_on)
        && expected
            .facts
            .iter()
            .all(|(name, said)| fact(name).is_some_and(|fact| agrees(fact, said)))
}

fn agrees(fact: &Fact, expected: &FactSaid) -> bool {
    match (&fact.value, expected) {
        (FactValue::Number(found), FactSaid::Number(expected)) => near(*found, *expected),
        (FactValue::Text(found), FactSaid::Text(expected)) => found == expected,
        _ => false,
    }
}

fn near(found: f64, expected: f64) -> bool {
    /// The share by which a number may differ.
    const SHARE: f64 = 1e-6;
    (found - expected).abs() <= SHARE * expected.abs().max(SHARE)
}

fn compare_outcome(rule: &str, expected: &Outcome, said: &Said) -> Vec<String> {
    let mut wrong = Vec::new();
    let mut same = |what: &str, expected: &Option<Reasons>, found: &BTreeMap<Group, usize>| {
        let found = found.iter().filter(|(group, _)| group.rule == rule);
        let found: BTreeMap<_, _> =
            found.map(|(group, of)| (group.reason.to_owned(), *of)).collect();
        let is_same = match expected {
            None => true,
            Some(Reasons::Named(expected)) => expected.iter().eq(found.keys()),
            Some(Reasons::Counted(expected)) => *expected == found,
        };
        if !is_same {
            wrong.push(format!("{rule}, {what}: {found:?}, not {expected:?}"));
        }
    };
    let outcomes = &said.outcomes;
    same("not evaluated", &expected.not_evaluated, &outcomes.not_evaluated);
    same("not applicable", &expected.not_applicable, &outcomes.not_applicable);
    let Tally { pass, found, .. } = outcomes.tallies.get(rule).copied().unwrap_or_default();
    for (what, expected, counted) in
        [("passed", expected.pass, pass), ("found", expected.found, found)]
    {
        if expected.is_some_and(|expected| expected != counted) {
            wrong.push(format!("{rule}, {what}: {counted}, not {expected:?}"));
        }
    }
    wrong
}
