//! A record names another one that is not there.

use std::collections::HashMap;

use restrand_finding::{
    Citation, Class, Correction, Evidence, Fact, Finding, Kind, Outcomes, Where,
};
use restrand_model::Record;
use restrand_model::near::{Near, choice, is_same_but_for_case, short_list};
use restrand_model::reading::{Problem, ProblemKind};
use restrand_model::reflect::{Shape, View};
use restrand_model::resolve::ResolvedPart;
use restrand_model::route::Route;
use restrand_model::schedule::Schedule;
use restrand_model::value::Value;

use super::walk::walk;
use crate::assembly::{Assembly, Axis, Owner, call};
use crate::context::Context;
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "schedule/dangling-reference",
    summary: "each name of another record against the records that the schedule has",
    kinds: &[Kind::Inconsistent],
    limits: &[],
    sources: &[Citation::new(
        "a reference means something only if its record is there",
        Evidence::Derived,
    )],
    correction: Corrects::Offers(&[Class::Restate, Class::Propose], offer),
    implied_by: &[],
    page: include_str!("dangling_reference.md"),
    check: Check::Schedule(check),
};

/// References to one record that is not there: said once, at the first of them.
struct Dangling<'a> {
    list: &'static str,
    key: &'a str,
    routes: Vec<Route>,
    /// What the records that name it name of the same list besides, and what they are called themselves there: a
    /// record that leads from one to the same one, or is its own twin, means neither.
    taken: Vec<&'a str>,
}

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let mut near = Near::new();
    for dangling in dangling(context, outcomes) {
        outcomes.found(of_record(context.schedule, dangling, &mut near));
    }
    for assembly in &context.assemblies {
        parts(context, assembly, &mut near, outcomes);
    }
    owners(context, outcomes);
}

/// The names that no record has; a name that one has passes.
fn dangling<'a>(context: &Context<'a>, outcomes: &mut Outcomes) -> Vec<Dangling<'a>> {
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
            let beside = at.references().filter(|other| other.list == list && other.key != key);
            let own = at.record.key().filter(|_| is_of(at.record, list));
            let taken = beside.map(|other| other.key).chain(own);
            match dangling.get_mut(position) {
                Some(dangling) => {
                    dangling.routes.push(route);
                    dangling.taken.extend(taken);
                }
                None => dangling.push(Dangling {
                    list,
                    key,
                    routes: vec![route],
                    taken: taken.collect(),
                }),
            }
        }
    });
    dangling
}

/// Whether a record is of the type that a list of the schedule holds.
fn is_of(record: &dyn Record, list: &str) -> bool {
    match Schedule::INFO.field(list).map(|field| field.shape) {
        Some(Shape::Records(info)) => info().name == record.info().name,
        _ => false,
    }
}

impl Dangling<'_> {
    /// Of the names of the list those that can be meant.
    fn others<'n>(&self, keys: Vec<&'n str>) -> Vec<&'n str> {
        keys.into_iter().filter(|key| !self.taken.contains(key)).collect()
    }
}

/// The name that is meant, where just one is: the same but for case and spaces, or else the nearest.
fn offer(context: &Context<'_>, offered: &mut Vec<Correction>) {
    let mut near = Near::new();
    for dangling in dangling(context, &mut Outcomes::default()) {
        let keys = dangling.others(keys(context.schedule, dangling.list));
        let Some((class, key)) = meant(dangling.key, &keys, &mut near) else {
            continue;
        };
        let named = context.position(dangling.list, key).zip(key_field(dangling.list));
        let basis = named.map(|(position, field)| Route::to(dangling.list, position).field(field));
        offered.extend(renamed(class, dangling.routes, dangling.key, key, basis));
    }
    for assembly in &context.assemblies {
        if kind_that_is_not_there(context, assembly).is_some() {
            continue;
        }
        for named in named_parts(context, assembly).into_iter().filter(|named| !named.is_there) {
            if let Some((class, key)) =
                meant(named.name, &others(assembly, named.resolved), &mut near)
            {
                let part = assembly.parts.iter().find(|part| part.part.id.as_deref() == Some(key));
                let basis = part.map(|part| part.route.field("id"));
                let route = named.resolved.route.field(named.field);
                offered.extend(renamed(class, vec![route], named.name, key, basis));
            }
        }
    }
}

fn renamed(
    class: Class,
    routes: Vec<Route>,
    name: &str,
    key: &str,
    basis: Option<Route>,
) -> Option<Correction> {
    let reason = match class {
        Class::Restate => "\"{name}\" is there as \"{near}\": only case or spaces differ",
        _ => "nothing is called \"{name}\"; \"{near}\" is the one name that is near",
    };
    let value = || Some(Value::Text(key.into()));
    let mut routes = routes.into_iter();
    let first = Correction::new(RULE.id, class, routes.next()?, value(), reason)
        .fact(Fact::text("name", name))
        .fact(Fact::text("near", key));
    let all = routes.fold(first, |correction, route| correction.edit(route, value()));
    Some(basis.into_iter().fold(all, Correction::rests_on))
}

/// The one name that is meant by another, and whether it is the same but for case and spaces.
fn meant<'n>(name: &str, names: &[&'n str], near: &mut Near) -> Option<(Class, &'n str)> {
    let mut same: Vec<&str> =
        names.iter().copied().filter(|one| is_same_but_for_case(name, one)).collect();
    same.sort_unstable();
    same.dedup();
    match same[..] {
        [only] => Some((Class::Restate, only)),
        [] => match near.find(name, names.iter().copied())[..] {
            [only] => Some((Class::Propose, only)),
            _ => None,
        },
        // Two names that differ in case alone: which is meant cannot be told.
        _ => None,
    }
}

/// The names of the records of one of the schedule's lists.
fn keys<'a>(schedule: &'a Schedule, list: &str) -> Vec<&'a str> {
    let root: &dyn Record = schedule;
    let View::List(records) = root.get(list) else {
        return Vec::new();
    };
    let key = |index| match records.item(index) {
        View::Record(record) => record.key(),
        _ => None,
    };
    (0..records.len()).filter_map(key).collect()
}

fn key_field(list: &str) -> Option<&'static str> {
    match Schedule::INFO.field(list)?.shape {
        Shape::Records(info) => info().key,
        _ => None,
    }
}

fn of_record(schedule: &Schedule, dangling: Dangling<'_>, near: &mut Near) -> Finding {
    let keys = dangling.others(keys(schedule, dangling.list));
    let Dangling { list, key, routes, .. } = dangling;
    let root: &dyn Record = schedule;
    let count = match root.get(list) {
        View::List(records) => records.len(),
        _ => 0,
    };
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
    suggested(finding, &near.find(key, keys.iter().copied()), &keys)
}

/// The name that was most likely meant; where none is near, the names that there are, if they are few.
fn suggested(finding: Finding, meant: &[&str], all: &[&str]) -> Finding {
    if meant.is_empty() {
        return match short_list(all) {
            Some(names) => finding.fact(Fact::text("names", names)).remedy("Name one of: {names}"),
            None => finding,
        };
    }
    finding.fact(Fact::text("near", choice(meant))).remedy("Name {near}, if that is meant")
}

/// What parts say of other parts of their owner.
fn parts(context: &Context<'_>, assembly: &Assembly<'_>, near: &mut Near, outcomes: &mut Outcomes) {
    let unknown_kind = kind_that_is_not_there(context, assembly);
    for NamedPart { resolved, field, name, is_there } in named_parts(context, assembly) {
        if is_there {
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
        let others = others(assembly, resolved);
        outcomes.found(suggested(finding, &near.find(name, others.iter().copied()), &others));
    }
}

/// A part that another one names.
struct NamedPart<'c> {
    /// The part that names it.
    resolved: &'c ResolvedPart<'c>,
    /// The field that does.
    field: &'static str,
    name: &'c str,
    /// Whether the owner has a part of this name.
    is_there: bool,
}

/// The parts that parts of an owner name; what its kind states is looked at once, at the kind.
fn named_parts<'c>(context: &'c Context<'_>, assembly: &'c Assembly<'c>) -> Vec<NamedPart<'c>> {
    let mut named = Vec::new();
    for resolved in assembly.parts.iter().filter(|part| assembly.states(part)) {
        let View::Record(stated) = resolved.route.view(context.schedule) else {
            continue;
        };
        for field in ["inside", "bonded_to"] {
            if let View::Text(name) = stated.get(field) {
                let is_none =
                    ["concrete", "none"].iter().any(|word| name.eq_ignore_ascii_case(word));
                let has = |part: &ResolvedPart<'_>| part.part.id.as_deref() == Some(name);
                let is_there = is_none || assembly.parts.iter().any(has);
                named.push(NamedPart { resolved, field, name, is_there });
            }
        }
    }
    named
}

/// The names of the parts beside one.
fn others<'c>(assembly: &'c Assembly<'_>, part: &ResolvedPart<'_>) -> Vec<&'c str> {
    let own = part.part.id.as_deref();
    let names = assembly.parts.iter().filter_map(|resolved| resolved.part.id.as_deref());
    names.filter(|other| Some(*other) != own).collect()
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
