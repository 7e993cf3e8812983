//! A cast-in part has no record of being gauged as built.

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::passing::worst_outer_mm;
use restrand_model::resolve::ResolvedPart;
use restrand_model::route::Route;
use restrand_model::schedule::{Part, Permanence, Role, Stage, Status};

use super::tolerance_eats_gap::ASSUMED;
use crate::assembly::call;
use crate::beyond::short_of;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "parts/not-gauged",
    summary: "a date of gauging and a wide enough mandrel for each cast-in part, from the stage as built on",
    kinds: &[Kind::Missing],
    limits: &[ASSUMED[0], ASSUMED[1]],
    sources: &[Citation::new(
        "engineering default: what was cast is not what was drawn until a mandrel has passed",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("not_gauged.md"),
    check: Check::Schedule(check),
};

/// A part without a record, with the ends and deviators at which it has none.
struct Ungauged {
    route: Route,
    name: String,
    lacks: &'static str,
    at: Vec<String>,
}

/// The parts without a record, in the order of the tendons.
#[derive(Default)]
struct All {
    list: Vec<Ungauged>,
    known: HashMap<(Route, &'static str), usize>,
}

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let mut ungauged = All::default();
    for at in context.tendons() {
        if at.stays() {
            outcomes.not_applicable("the tendon need not be replaceable");
            continue;
        }
        if at.tendon.status == Some(Status::Removed) {
            outcomes.not_applicable("the tendon is removed");
            continue;
        }
        if context.stage_of(at.tendon) < Stage::AsBuilt {
            outcomes.not_applicable("it is not built yet");
            continue;
        }
        of_tendon(context, &at, &mut ungauged, outcomes);
    }
    for ungauged in ungauged.list {
        outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Missing,
                ungauged.route,
                "{part} is cast in, and has no record of {lacks} as built, at {at}",
            )
            .help(
                "Pass a mandrel of the worst diameter that has to leave, and record date and mandrel at the part of the \
                 end or deviator; a part that was crushed or tilted while casting is found while it can still be mended",
            )
            .fact(Fact::text("part", ungauged.name))
            .fact(Fact::text("lacks", ungauged.lacks))
            .fact(Fact::computed("count", ungauged.at.len() as f64, 0))
            .fact(Fact::text("at", ungauged.at.join(", "))),
        );
    }
}

fn of_tendon(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    ungauged: &mut All,
    outcomes: &mut Outcomes,
) {
    let mut places = Vec::new();
    for end in at.ends() {
        places.push((format!("end {} of {}", end.name, at.mark()), context.end_parts(&end)));
    }
    for (index, deviator) in at.tendon.deviators.iter().enumerate() {
        let route = at.route.field("deviators").item(index);
        let place = deviator.place.as_ref().map_or("a deviator", |place| place.key());
        places
            .push((format!("{place} of {}", at.mark()), context.deviator_parts(deviator, &route)));
    }
    for (place, parts) in places {
        if parts.is_empty() {
            outcomes.not_evaluated("part.permanence");
        }
        for resolved in &parts {
            if let Some(finding) = narrow(context, resolved, &parts, &place) {
                outcomes.found(finding);
                continue;
            }
            let Some(lacks) = lacks(context, resolved, outcomes) else { continue };
            let position = match ungauged.known.entry((resolved.route.clone(), lacks)) {
                Entry::Occupied(position) => *position.get(),
                Entry::Vacant(entry) => {
                    let position = *entry.insert(ungauged.list.len());
                    ungauged.list.push(Ungauged {
                        route: resolved.route.clone(),
                        name: call(&resolved.part),
                        lacks,
                        at: Vec::new(),
                    });
                    position
                }
            };
            ungauged.list[position].at.push(place.clone());
        }
    }
}

/// A mandrel that passed a cast-in part, and is narrower than what has to leave through it.
///
/// What has to leave is the widest of the replaceable parts that lie in it, at worst; nothing is known of one whose
/// diameters are not stated.
fn narrow(
    context: &Context<'_>,
    resolved: &ResolvedPart<'_>,
    parts: &[ResolvedPart<'_>],
    place: &str,
) -> Option<Finding> {
    let part = resolved.part.as_ref();
    if part.permanence != Some(Permanence::Permanent) || part.role == Some(Role::Tube) {
        return None;
    }
    let mandrel_mm = part.gauge_mandrel_mm?;
    let stretch = |part: &Part| {
        let (from_mm, to_mm) = (part.from_mm?, part.to_mm?);
        Some((from_mm.min(to_mm), from_mm.max(to_mm)))
    };
    let (low_mm, high_mm) = stretch(part)?;
    let assumed = ASSUMED.map(|key| (key, context.limit(key)));
    let lies_in = |other: &&ResolvedPart<'_>| {
        other.part.permanence == Some(Permanence::Replaceable)
            && !matches!(other.part.role, Some(Role::Tube | Role::Seal))
            && stretch(&other.part).is_some_and(|(low, high)| low < high_mm && high > low_mm)
    };
    let worst = |other: &ResolvedPart<'_>| {
        let own = other.part.as_ref();
        let outer_mm = [own.rear_outer_mm, own.span_outer_mm].into_iter().flatten();
        let outer_mm = outer_mm.reduce(f64::min)?;
        worst_outer_mm(
            outer_mm,
            own.tolerance_mm.unwrap_or(assumed[0].1.value),
            own.ovality_mm.unwrap_or(assumed[1].1.value),
        )
        .ok()
    };
    let leaves = parts.iter().filter(lies_in);
    let (worst_mm, other) = leaves
        .filter_map(|other| Some((worst(other)?, other)))
        .max_by(|(one, _), (other, _)| one.total_cmp(other))?;
    if !short_of(mandrel_mm, worst_mm) {
        return None;
    }
    let is_assumed = other.part.tolerance_mm.is_none() || other.part.ovality_mm.is_none();
    let message = match is_assumed {
        false => {
            "the mandrel that passed {part} at {at} is {mandrel_mm} wide, less than {other}, which has to leave through it and is \
             {worst_mm} wide at worst: it shows nothing"
        }
        true => {
            "the mandrel that passed {part} at {at} is {mandrel_mm} wide, less than {other}, which has to leave through it and is \
             {worst_mm} wide with the tolerances that are assumed where none are stated: it shows nothing"
        }
    };
    let mut finding =
        Finding::new(RULE.id, Kind::Missing, resolved.route.field("gauge_mandrel_mm"), message)
            .related(other.route.clone(), "what has to leave through it")
            .help("Pass a mandrel of the worst diameter that has to leave, and record it")
            .fact(Fact::text("part", call(part)))
            .fact(Fact::text("other", call(&other.part)))
            .fact(Fact::text("at", place))
            .fact(Fact::given("mandrel_mm", mandrel_mm, 1))
            .fact(Fact::computed("worst_mm", worst_mm, 1))
            .fact(Fact::computed("ratio", mandrel_mm / worst_mm, 2));
    if is_assumed {
        for (key, limit) in &assumed[..2] {
            finding = finding.fact(limit.fact(*key, 1));
        }
    }
    Some(finding.remedy("Pass a mandrel of {worst_mm}"))
}

/// What the record of a cast-in part lacks.
fn lacks(
    context: &Context<'_>,
    resolved: &ResolvedPart<'_>,
    outcomes: &mut Outcomes,
) -> Option<&'static str> {
    let part = resolved.part.as_ref();
    match part.permanence {
        None => {
            outcomes.not_evaluated("part.permanence");
            return None;
        }
        Some(Permanence::Replaceable) => return None,
        Some(Permanence::Permanent) if part.role == Some(Role::Tube) => return None,
        Some(Permanence::Permanent) => {}
    }
    let absent = |field| {
        let route = resolved.route.field(field);
        !context.is_lost_at(&route)
    };
    let lacks = match (part.gauged_on.is_some(), part.gauge_mandrel_mm.is_some()) {
        (true, true) => {
            outcomes.pass();
            return None;
        }
        (false, true) if absent("gauged_on") => "the date of gauging",
        (true, false) if absent("gauge_mandrel_mm") => "the mandrel that passed",
        (false, false) if absent("gauged_on") => "being gauged",
        _ => {
            outcomes.not_evaluated("part.gauged_on");
            return None;
        }
    };
    Some(lacks)
}
