//! A cast-in part has no record of being gauged as built.

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::passing::{ABUTTING_MM, Body, worst_outer_mm};
use restrand_model::resolve::ResolvedPart;
use restrand_model::route::Route;
use restrand_model::schedule::{Exit, Part, Permanence, Role, Stage, Status};

use super::tolerance_eats_gap::ASSUMED;
use crate::assembly::{Axis, call};
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
    // A part that should leave is not gauged for good.
    implied_by: &["parts/permanence-unexpected"],
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
        let permanence = ungauged.route.field("permanence");
        outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Missing,
                ungauged.route,
                "{part} is cast in, and has no record of {lacks} as built, at {at}",
            )
            .rests_on([permanence])
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
        let name = format!("end {} of {}", end.name, at.mark());
        let drawn = Drawn { axis: Axis::Anchorage, cut_mm: end.end.stub_cut_mm };
        places.push((name, drawn, context.end_parts(&end)));
    }
    for (index, deviator) in at.tendon.deviators.iter().enumerate() {
        let place = deviator.place.as_ref().map_or("a deviator", |place| place.key());
        let name = format!("{place} of {}", at.mark());
        let drawn = Drawn { axis: Axis::Form, cut_mm: None };
        places.push((name, drawn, context.deviator_parts(at, index)));
    }
    for (place, drawn, parts) in places {
        if parts.is_empty() {
            outcomes.not_evaluated("part.permanence");
        }
        for resolved in parts {
            if let Some(finding) = narrow(context, drawn, resolved, parts, &place) {
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

/// A body that is drawn out through a cast-in part, with what is assumed where a tolerance is not stated.
struct Leaving {
    body: Body,
    /// Where it ends on the span side.
    cut_mm: f64,
}

/// On which axis parts are drawn out, and where they are cut on the span side.
#[derive(Clone, Copy)]
struct Drawn {
    axis: Axis,
    cut_mm: Option<f64>,
}

impl Leaving {
    /// How wide it is at worst where it is widest, of what lies on one side of a place and comes past it, mm.
    fn widest_past_mm(&self, at_mm: f64, exit: Exit) -> Option<f64> {
        let body = &self.body;
        let (low_mm, high_mm) = match exit {
            Exit::Span => (at_mm.max(body.from_mm), body.to_mm),
            _ => (body.from_mm.max(self.cut_mm), at_mm.min(body.to_mm)),
        };
        if high_mm - low_mm <= ABUTTING_MM {
            return None;
        }
        let length_mm = body.to_mm - body.from_mm;
        let outer = |at_mm: f64| {
            let share = (at_mm - body.from_mm) / length_mm;
            body.span_outer_mm + (body.rear_outer_mm - body.span_outer_mm) * share
        };
        let flange = body.greatest_outer_mm.filter(|_| {
            body.greatest_outer_at_mm.is_none_or(|at_mm| (low_mm..=high_mm).contains(&at_mm))
        });
        let outer_mm = [Some(outer(low_mm)), Some(outer(high_mm)), flange]
            .into_iter()
            .flatten()
            .reduce(f64::max)?;
        worst_outer_mm(outer_mm, body.tolerance_mm, body.ovality_mm).ok()
    }
}

/// Where a mandrel is held against what passes: the narrowest place of a bore that narrows, as no wider one goes
/// through it; else that mouth by which all leaves.
fn gauged_at_mm(part: &Part, (span_mm, rear_mm): (f64, f64), exit: Exit) -> f64 {
    let narrows = match (part.span_inner_mm, part.rear_inner_mm) {
        (Some(span), Some(rear)) if (span - rear).abs() > ABUTTING_MM => Some(span < rear),
        _ => None,
    };
    match (narrows, exit) {
        (Some(true), _) | (None, Exit::Span) => span_mm,
        (Some(false), _) | (None, _) => rear_mm,
    }
}

/// A mandrel that passed a cast-in part, and is narrower than what has to leave through it.
///
/// What has to leave is the widest that comes past at worst; nothing is known of what has no diameters.
fn narrow(
    context: &Context<'_>,
    drawn: Drawn,
    resolved: &ResolvedPart<'_>,
    parts: &[ResolvedPart<'_>],
    place: &str,
) -> Option<Finding> {
    let part = resolved.part.as_ref();
    if part.permanence != Some(Permanence::Permanent) || part.role == Some(Role::Tube) {
        return None;
    }
    let mandrel_mm = part.gauge_mandrel_mm?;
    let stretch = drawn.axis.stretch(part).ok()?;
    let assumed = ASSUMED.map(|key| (key, context.limit(key)));
    let leaving = |resolved: &'_ ResolvedPart<'_>, exit| {
        let part = resolved.part.as_ref();
        let mut body = drawn.axis.body(part).ok()?;
        // What is cut off on the span side leaves with the free length.
        let cut_mm = drawn.cut_mm.filter(|_| exit == Exit::Rear).unwrap_or(body.from_mm);
        body.tolerance_mm = part.tolerance_mm.unwrap_or(assumed[0].1.value);
        body.ovality_mm = part.ovality_mm.unwrap_or(assumed[1].1.value);
        Some(Leaving { body, cut_mm })
    };
    let replaceable = parts.iter().filter(|other| {
        other.part.permanence == Some(Permanence::Replaceable)
            && !matches!(other.part.role, Some(Role::Tube | Role::Seal))
    });
    let past = replaceable.filter_map(|other| {
        // What does not say by which way it leaves may leave by either, and lies in the bore at least.
        let exit = other.part.exit.unwrap_or(Exit::Rear);
        let leaving = leaving(other, exit).filter(|_| exit != Exit::StrippedInPlace)?;
        let worst_mm = leaving.widest_past_mm(gauged_at_mm(part, stretch, exit), exit)?;
        Some((worst_mm, other))
    });
    let (worst_mm, other) = past.max_by(|(one, _), (other, _)| one.total_cmp(other))?;
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
            .rests_on([resolved, other].map(|part| part.route.field("permanence")))
            .related(other.route.clone(), "what has to leave through it")
            .help("Pass a mandrel of the worst diameter that has to leave, and record it")
            .fact(Fact::text("part", call(part)))
            .fact(Fact::text("other", call(&other.part)))
            .fact(Fact::text("at", place))
            .fact(Fact::given("mandrel_mm", mandrel_mm, 1))
            .fact(Fact::computed("worst_mm", worst_mm, 1).at_least())
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

#[cfg(test)]
mod tests {
    use super::*;

    fn bore(span_mm: f64, rear_mm: f64) -> Part {
        Part { span_inner_mm: Some(span_mm), rear_inner_mm: Some(rear_mm), ..Part::default() }
    }

    #[test]
    fn a_mandrel_is_held_against_what_passes_the_narrow_mouth() {
        let at = |part: &Part, exit| gauged_at_mm(part, (-900.0, -60.0), exit);
        for exit in [Exit::Rear, Exit::Span] {
            assert_eq!(at(&bore(180.0, 200.0), exit), -900.0);
            assert_eq!(at(&bore(200.0, 180.0), exit), -60.0);
        }
        // Of a plain bore, the mouth by which all leaves; of one that narrows by next to nothing, too.
        for part in [bore(200.0, 200.0), bore(200.0 - ABUTTING_MM, 200.0), Part::default()] {
            assert_eq!(at(&part, Exit::Rear), -60.0);
            assert_eq!(at(&part, Exit::Span), -900.0);
        }
    }

    #[test]
    fn what_comes_past_a_place_is_as_wide_as_its_widest_beyond_it() {
        // From 100 mm wide at the span end to 200 at the rear, with a flange of 230 in the middle.
        let body = Body {
            from_mm: -1000.0,
            to_mm: 0.0,
            span_outer_mm: 100.0,
            rear_outer_mm: 200.0,
            greatest_outer_mm: Some(230.0),
            greatest_outer_at_mm: Some(-500.0),
            tolerance_mm: 1.0,
            ovality_mm: 4.0,
        };
        // Worst: a diameter, its tolerance, and half of the ovality.
        let worst = |outer_mm| worst_outer_mm(outer_mm, 1.0, 4.0).ok();
        let past = |cut_mm, at_mm, exit| Leaving { body, cut_mm }.widest_past_mm(at_mm, exit);
        // Rearward comes what lies on the span side: up to -600 mm it is 140 mm wide.
        assert_eq!(past(-1000.0, -600.0, Exit::Rear), worst(140.0));
        assert_eq!(past(-1000.0, -400.0, Exit::Rear), worst(230.0));
        assert_eq!(past(-1000.0, 500.0, Exit::Rear), worst(230.0));
        // Cut behind the flange, the flange stays.
        assert_eq!(past(-450.0, -250.0, Exit::Rear), worst(175.0));
        assert_eq!(past(-600.0, -600.0, Exit::Rear), None);
        assert_eq!(past(-600.0 - ABUTTING_MM, -600.0, Exit::Rear), None);
        // Into the span comes what lies on the rear side.
        assert_eq!(past(-1000.0, -400.0, Exit::Span), worst(200.0));
        assert_eq!(past(-1000.0, -600.0, Exit::Span), worst(230.0));
        assert_eq!(past(-1000.0, -2000.0, Exit::Span), worst(230.0));
        assert_eq!(past(-1000.0, 0.0, Exit::Span), None);
        let anywhere = Body { greatest_outer_at_mm: None, ..body };
        let anywhere = Leaving { body: anywhere, cut_mm: -1000.0 };
        assert_eq!(anywhere.widest_past_mm(-900.0, Exit::Rear), worst(230.0));
    }
}
