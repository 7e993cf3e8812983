//! A record names another one that is not there.

use std::collections::HashMap;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes, Where};
use restrand_model::Record;
use restrand_model::near::{Near, choice};
use restrand_model::reading::{Problem, ProblemKind};
use restrand_model::reflect::{Shape, View};
use restrand_model::route::Route;
use restrand_model::schedule::Schedule;

use super::walk::walk;
use crate::assembly::{Assembly, Axis, Owner, call};
use crate::context::Context;
use crate::rule::{Check, Correction, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "schedule/dangling-reference",
    summary: "each name of another record against the records that the schedule has",
    kinds: &[Kind::Inconsistent],
    limits: &[],
    sources: &[Citation::new(
        "a reference means something only if its record is there",
        Evidence::Derived,
    )],
    correction: Correction::Propose,
    implied_by: &[],
    page: include_str!("dangling_reference.md"),
    check: Check::Schedule(check),
};

/// References to one record that is not there: said once, at the first of them.
struct Dangling<'a> {
    list: &'static str,
    key: &'a str,
    routes: Vec<Route>,
}

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let mut near = Near::new();
    let mut dangling: Vec<Dangling<'_>> = Vec::new();
    let mut seen: HashMap<(&str, &str), usize> = HashMap::new();
    walk(context.schedule, &mut |at| {
        for reference in at.references() {
            let (list, key) = (reference.list, reference.key);
            if context.position(list, key).is_some() {
                outcomes.pass();
                continue;
            }
            let route = at.route().field(reference.field);
            let route = reference.item.map_or_else(|| route.clone(), |item| route.item(item));
            let position = *seen.entry((list, key)).or_insert(dangling.len());
            match dangling.get_mut(position) {
                Some(dangling) => dangling.routes.push(route),
                None => dangling.push(Dangling { list, key, routes: vec![route] }),
            }
        }
    });
    for dangling in dangling {
        outcomes.found(of_record(context.schedule, dangling, &mut near));
    }
    for assembly in &context.assemblies {
        parts(context, assembly, &mut near, outcomes);
    }
    owners(context, outcomes);
}

fn of_record(schedule: &Schedule, dangling: Dangling<'_>, near: &mut Near) -> Finding {
    let Dangling { list, key, routes } = dangling;
    let root: &dyn Record = schedule;
    let records = match root.get(list) {
        View::List(records) => Some(records),
        _ => None,
    };
    let count = records.map_or(0, |records| records.len());
    let keys = (0..count).filter_map(|index| match records?.item(index) {
        View::Record(record) => record.key(),
        _ => None,
    });
    let kind = match Schedule::INFO.field(list).map(|field| field.shape) {
        Some(Shape::Records(info)) => info().name,
        _ => list,
    };
    let message = if routes.len() > 1 {
        "the schedule has no {kind} \"{name}\", which is named {times} times"
    } else {
        "the schedule has no {kind} \"{name}\""
    };
    let help = if count == 0 {
        "The schedule lists no {kind} at all: add it, with its data"
    } else {
        "Correct the name, or add the {kind} with its data"
    };
    let times = routes.len();
    let mut routes = routes.into_iter();
    let place = routes.next().unwrap_or_default();
    let mut finding = Finding::new(RULE.id, Kind::Inconsistent, place, message)
        .help(help)
        .fact(Fact::text("kind", kind.replace('_', " ")))
        .fact(Fact::text("name", key));
    if times > 1 {
        #[expect(clippy::cast_precision_loss, reason = "a number of references is small")]
        let times = times as f64;
        finding = finding.fact(Fact::computed("times", times, 0));
    }
    for route in routes {
        finding = finding.related(route, "names it too");
    }
    suggested(finding, &near.find(key, keys))
}

fn suggested(finding: Finding, meant: &[&str]) -> Finding {
    if meant.is_empty() {
        return finding;
    }
    finding.fact(Fact::text("near", choice(meant))).remedy("Name {near}, if that is meant")
}

/// What parts say of other parts of their owner.
fn parts(context: &Context<'_>, assembly: &Assembly<'_>, near: &mut Near, outcomes: &mut Outcomes) {
    let unknown_kind = kind_that_is_not_there(context, assembly);
    let names: Vec<&str> =
        assembly.parts.iter().filter_map(|resolved| resolved.part.id.as_deref()).collect();
    for resolved in &assembly.parts {
        // What the kind states is looked at once, at the kind.
        if !assembly.states(resolved) {
            continue;
        }
        let View::Record(stated) = resolved.route.view(context.schedule) else {
            continue;
        };
        for field in ["inside", "bonded_to"] {
            let View::Text(name) = stated.get(field) else {
                continue;
            };
            if ["concrete", "none"].iter().any(|word| name.eq_ignore_ascii_case(word))
                || names.contains(&name)
            {
                outcomes.pass();
                continue;
            }
            if let Some(field) = unknown_kind {
                outcomes.not_evaluated(field);
                continue;
            }
            let message = if field == "inside" {
                "{part} is said to sit in \"{name}\", but {owner} has no part of this name"
            } else {
                "{part} is said to be bonded to \"{name}\", but {owner} has no part of this name"
            };
            let place = resolved.route.field(field);
            let finding = Finding::new(RULE.id, Kind::Inconsistent, place, message)
                .help("Name a part of {owner} as its list names it, or \"concrete\", or \"none\"")
                .fact(Fact::text("part", call(&resolved.part)))
                .fact(Fact::text("name", name))
                .fact(Fact::text("owner", assembly.name.clone()));
            let own = resolved.part.id.as_deref();
            let others = names.iter().copied().filter(|other| Some(*other) != own);
            outcomes.found(suggested(finding, &near.find(name, others)));
        }
    }
}

/// The field that names the kind whose parts an end or deviator takes, if that kind is not there: then its
/// parts are not known, and the kind's name is what is reported.
fn kind_that_is_not_there(context: &Context<'_>, assembly: &Assembly<'_>) -> Option<&'static str> {
    if assembly.owner == Owner::Kind {
        return None;
    }
    let View::Record(owner) = assembly.route.view(context.schedule) else {
        return None;
    };
    let (field, list, told) = match assembly.axis {
        Axis::Anchorage => ("anchorage", "anchorages", "end.anchorage"),
        Axis::Form => ("form", "forms", "deviator.form"),
    };
    match owner.get(field) {
        View::Text(key) if context.position(list, key).is_none() => Some(told),
        _ => None,
    }
}

/// Rows that name an owner which is not there, so that nothing of them is checked.
fn owners(context: &Context<'_>, outcomes: &mut Outcomes) {
    let mut alike: Vec<(&Problem, Vec<&Problem>)> = Vec::new();
    let mut seen: HashMap<(&str, &str, Option<&str>), usize> = HashMap::new();
    for problem in context.problems.iter().filter(|p| p.kind == ProblemKind::OwnerMissing) {
        let key = (problem.subject.as_str(), problem.why.as_str(), problem.given.as_deref());
        let position = *seen.entry(key).or_insert(alike.len());
        match alike.get_mut(position) {
            Some((_, further)) => further.push(problem),
            None => alike.push((problem, Vec::new())),
        }
    }
    for (problem, further) in alike {
        let place = Where::File(problem.place.clone());
        let message = format!("a row of {{record}} is not checked: {}", problem.why);
        let mut finding = Finding::new(RULE.id, Kind::Inconsistent, place, message)
            .help(problem.help.clone())
            .fact(Fact::text("subject", problem.subject.clone()))
            .fact(Fact::text("record", problem.subject.replace('_', " ")));
        if let Some(given) = &problem.given {
            finding = finding.fact(Fact::text("given", given.clone()));
        }
        for problem in further {
            finding = finding.related(Where::File(problem.place.clone()), "names it too");
        }
        outcomes.found(finding);
    }
}
