//! Two records of one list have the same name.

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::Record;
use restrand_model::reflect::{Shape, View};

use super::walk::{At, ListAt, call, walk};
use crate::context::Context;
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "schedule/duplicate-mark",
    summary: "the name of each record against those of the same list",
    kinds: &[Kind::Inconsistent],
    limits: &[],
    sources: &[Citation::new(
        "a name by which others refer names one record only",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("duplicate_mark.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    walk(context.schedule, &mut |at| {
        for list in at.lists() {
            if let Some(key) = list.info.key {
                within(context, at, &list, key, outcomes);
            }
        }
    });
}

fn within(
    context: &Context<'_>,
    at: &At<'_, '_>,
    list: &ListAt<'_>,
    key: &'static str,
    outcomes: &mut Outcomes,
) {
    let mut seen: HashMap<&str, (usize, &dyn Record)> = HashMap::with_capacity(list.list.len());
    for index in 0..list.list.len() {
        let View::Record(record) = list.list.item(index) else {
            continue;
        };
        let Some(name) = record.key() else {
            outcomes.not_evaluated(key);
            continue;
        };
        match seen.entry(name) {
            Entry::Vacant(entry) => {
                entry.insert((index, record));
                outcomes.pass();
            }
            Entry::Occupied(entry) => {
                let (first, other) = *entry.get();
                let route = at.route().field(list.name);
                let called = call(context.schedule, route.item(index).steps());
                let place = route.item(index).field(key);
                outcomes.found(finding(place, called, record, other, name).related(
                    route.item(first).field(key),
                    "the first of this name, to which references and rows go",
                ));
            }
        }
    }
}

fn finding(
    place: restrand_model::Route,
    called: String,
    record: &dyn Record,
    first: &dyn Record,
    name: &str,
) -> Finding {
    let differing = differing(record, first);
    let (message, help) = if differing.is_empty() {
        ("{called} stands more than once; the two are identical", "Take one of the two out")
    } else {
        (
            "{called} stands more than once; the two differ in {differ_in}",
            "Give one of the two a name of its own, or take out the one that is out of date",
        )
    };
    let mut finding = Finding::new(RULE.id, Kind::Inconsistent, place, message)
        .help(help)
        .fact(Fact::text("called", called))
        .fact(Fact::text("record", record.info().name.replace('_', " ")))
        .fact(Fact::text("name", name));
    if !differing.is_empty() {
        finding = finding.fact(Fact::text("differ_in", listed(&differing)));
    }
    finding
}

/// The labels of what the two records state differently.
fn differing(one: &dyn Record, other: &dyn Record) -> Vec<String> {
    let mut labels = Vec::new();
    for (index, field) in one.info().fields.iter().enumerate() {
        let (a, b) = (one.field(index).view(), other.field(index).view());
        // Rows of other sheets all go to the first of a name, so that the second has none of its own.
        let is_held = matches!(field.shape, Shape::Record(_) | Shape::Records(_));
        if is_held && (a.is_absent() || b.is_absent()) {
            continue;
        }
        if a.is_absent() != b.is_absent() || (!a.is_absent() && a.to_value() != b.to_value()) {
            labels.push(field.label());
        }
    }
    let (one, other) = (one.extra(), other.extra());
    let differs = |name: &str| one.get(name) != other.get(name);
    for (name, _) in one {
        if differs(name.as_str()) {
            labels.push(name.to_string());
        }
    }
    for (name, _) in other {
        if one.get(name.as_str()).is_none() {
            labels.push(name.to_string());
        }
    }
    labels
}

fn listed(labels: &[String]) -> String {
    /// Labels that a message names.
    const NAMED: usize = 3;
    let named = labels.iter().take(NAMED).map(String::as_str).collect::<Vec<_>>().join(", ");
    match labels.len().checked_sub(NAMED) {
        Some(more @ 1..) => format!("{named} and {more} more"),
        _ => named,
    }
}
