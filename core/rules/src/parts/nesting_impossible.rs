//! Parts that cannot be one inside the other as stated.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::resolve::ResolvedPart;
use restrand_model::route::Route;
use restrand_model::schedule::{Part, Permanence, Role};

use crate::assembly::{Assembly, Owner, call};
use crate::beyond::beyond;
use crate::context::Context;
use crate::rule::{Check, Corrects, LimitKey, Rule};

const AGREE: LimitKey =
    LimitKey { name: "bore_tolerance_mm", meaning: "how far a bore stated twice may differ" };
const OVERLAP: LimitKey = LimitKey {
    name: "nest_overlap_mm",
    meaning: "how far parts that abut may reach into each other",
};

pub(crate) const RULE: Rule = Rule {
    id: "parts/nesting-impossible",
    summary: "each part's bore against its outside, cones' ends, what lies in what, and bores that are stated twice",
    kinds: &[Kind::Inconsistent],
    limits: &[AGREE, OVERLAP],
    sources: &[Citation::new("geometry of coaxial bodies", Evidence::Derived)],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("nesting_impossible.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    for assembly in &context.assemblies {
        if assembly.parts.is_empty() {
            outcomes.not_evaluated(assembly.parts_field());
            continue;
        }
        for part in assembly.parts.iter().filter(|part| assembly.states(part)) {
            let found = of_part(context, assembly, part);
            if found.is_empty() {
                outcomes.pass();
            }
            found.into_iter().for_each(|finding| outcomes.found(finding));
        }
        if assembly.owner == Owner::Kind {
            stated_twice(context, assembly, outcomes);
        }
    }
}

/// What is wrong with a part: a body that is none, or whose ends are exchanged, stands nowhere.
fn of_part(
    context: &Context<'_>,
    assembly: &Assembly<'_>,
    part: &ResolvedPart<'_>,
) -> Vec<Finding> {
    let is_none = hollow(assembly, part).or_else(|| without_length(assembly, part));
    if let Some(finding) = is_none {
        return vec![finding];
    }
    let mut found: Vec<Finding> = permanent_inside(assembly, part).into_iter().collect();
    match swapped(assembly, part) {
        Some(finding) => found.push(finding),
        None => found.extend(in_one_place(context, assembly, part)),
    }
    found
}

fn told(assembly: &Assembly<'_>, part: &ResolvedPart<'_>, route: Route, message: &str) -> Finding {
    Finding::new(RULE.id, Kind::Inconsistent, route, message)
        .fact(Fact::text("part", call(&part.part)))
        .fact(Fact::text("owner", assembly.name.as_str()))
}

/// A bore that is not smaller than the outside around it.
fn hollow(assembly: &Assembly<'_>, part: &ResolvedPart<'_>) -> Option<Finding> {
    let at = &part.part;
    let ends = [
        (at.rear_inner_mm, at.rear_outer_mm, "rear_inner_mm", "rear"),
        (at.span_inner_mm, at.span_outer_mm, "span_inner_mm", "span"),
    ];
    let (inner_mm, outer_mm, field, end) =
        ends.into_iter().find_map(|(inner, outer, field, end)| {
            let (inner_mm, outer_mm) = (inner?, outer?);
            (inner_mm >= outer_mm).then_some((inner_mm, outer_mm, field, end))
        })?;
    Some(
        told(
            assembly,
            part,
            part.route.field(field),
            "{part} of {owner} has no wall: at its {end_of_it} end its bore of {inner_mm} is not smaller than its outside of {outer_mm}",
        )
        .help("Correct bore or outside: they may be exchanged, or one of them a radius")
        .fact(Fact::text("end_of_it", end))
        .fact(Fact::given("inner_mm", inner_mm, 1))
        .fact(Fact::given("outer_mm", outer_mm, 1)),
    )
}

/// A part from and to the same position.
fn without_length(assembly: &Assembly<'_>, part: &ResolvedPart<'_>) -> Option<Finding> {
    let (from_mm, to_mm) = assembly.axis.stretch(&part.part).ok()?;
    #[expect(clippy::float_cmp, reason = "both are as typed")]
    let is_point = from_mm == to_mm;
    is_point.then(|| {
        told(
            assembly,
            part,
            part.route.field("to_mm"),
            "{part} of {owner} begins and ends at {at_mm}: it has no length",
        )
        .help("Correct one of its positions")
        .fact(Fact::given("at_mm", assembly.axis.position(from_mm), 1))
    })
}

/// A trumpet that narrows towards the wedge plate, where strands spread.
fn swapped(assembly: &Assembly<'_>, part: &ResolvedPart<'_>) -> Option<Finding> {
    let at = &part.part;
    if !matches!(at.role, Some(Role::InnerTrumpet | Role::OuterTrumpet)) {
        return None;
    }
    let (rear_mm, span_mm) = (at.rear_inner_mm?, at.span_inner_mm?);
    if rear_mm >= span_mm || rear_mm <= 0.0 {
        return None;
    }
    Some(
        told(
            assembly,
            part,
            part.route.field("rear_inner_mm"),
            "{part} of {owner} narrows towards the wedge plate, from {span_mm} to {rear_mm}, where its strands spread: its ends may \
             be exchanged",
        )
        .help("The rear end is the one away from the span, at the wedge plate: exchange the diameters of rear and span end")
        .fact(Fact::given("rear_mm", rear_mm, 1))
        .fact(Fact::given("span_mm", span_mm, 1)),
    )
}

/// What is cast in does not lie inside what leaves.
fn permanent_inside(assembly: &Assembly<'_>, part: &ResolvedPart<'_>) -> Option<Finding> {
    let at = &part.part;
    if at.permanence != Some(Permanence::Permanent) {
        return None;
    }
    let inside = at.inside.as_deref()?;
    let holder = assembly.parts.iter().find(|other| {
        other.part.id.as_deref() == Some(inside)
            && other.part.permanence == Some(Permanence::Replaceable)
    })?;
    Some(
        told(
            assembly,
            part,
            part.route.field("inside"),
            "{part} of {owner} stays for good, but is said to sit inside {holder}, which leaves",
        )
        .related(holder.route.clone(), "what leaves")
        .help("What is cast in lies outside what leaves: correct which part sits in which, or which of them is permanent")
        .fact(Fact::text("holder", call(&holder.part))),
    )
}

/// A ring of a part: where its wall stands at a position.
fn ring_at(assembly: &Assembly<'_>, part: &Part, at_mm: f64) -> Option<[f64; 2]> {
    let (from_mm, to_mm) = assembly.axis.stretch(part).ok()?;
    let share = if to_mm > from_mm { (at_mm - from_mm) / (to_mm - from_mm) } else { 0.0 };
    // The span end has the smaller position.
    let between = |span_mm: f64, rear_mm: f64| span_mm + (rear_mm - span_mm) * share;
    let outer_mm = between(part.span_outer_mm?, part.rear_outer_mm?);
    let inner_mm = between(part.span_inner_mm?, part.rear_inner_mm?);
    Some([inner_mm, outer_mm])
}

/// Soft, split or inside another by their nature, and what is curved is no cone.
fn is_body(part: &Part) -> bool {
    !matches!(
        part.role,
        None | Some(
            Role::Seal
                | Role::ShrinkSleeve
                | Role::DuctJoint
                | Role::Tube
                | Role::Wedges
                | Role::Liner
                | Role::TendonCoupler
        )
    ) && part.wall_radius_mm.is_none()
}

/// Two walls in one place: each pair once, at the part that is listed later.
fn in_one_place(
    context: &Context<'_>,
    assembly: &Assembly<'_>,
    part: &ResolvedPart<'_>,
) -> Vec<Finding> {
    let position = assembly.parts.iter().position(|other| other.route == part.route);
    let earlier = position.map_or(&[][..], |position| &assembly.parts[..position]);
    let pairs = earlier.iter().filter(|other| is_body(&part.part) && is_body(&other.part));
    let found = pairs.filter_map(|other| {
        let deep_mm = context.limit(AGREE).value;
        let [from_mm, to_mm] = meet_mm(assembly, &part.part, &other.part, deep_mm)?;
        beyond(to_mm - from_mm, context.limit(OVERLAP).value).then(|| {
            told(
                assembly,
                part,
                part.route.clone(),
                "{part} and {other} of {owner} stand in the same place: their walls meet over {overlap_mm} of the axis",
            )
            .related(other.route.clone(), "the other one")
            .help("Correct the positions or the diameters of one of them")
            .fact(Fact::text("other", call(&other.part)))
            .fact(Fact::computed("overlap_mm", to_mm - from_mm, 0))
        })
    });
    found.collect()
}

/// The stretch over which two walls meet by more than a depth on diameter.
///
/// Each wall runs straight from end to end, so that how deep they meet does so too: the stretch has no gaps.
fn meet_mm(assembly: &Assembly<'_>, one: &Part, other: &Part, deep_mm: f64) -> Option<[f64; 2]> {
    let (one_at, other_at) = (assembly.axis.stretch(one).ok()?, assembly.axis.stretch(other).ok()?);
    let (begin_mm, end_mm) = (one_at.0.max(other_at.0), one_at.1.min(other_at.1));
    if begin_mm >= end_mm {
        return None;
    }
    // How much deeper the outside of each reaches than the bore of the other.
    let deep = |at_mm: f64| {
        let ([inner, outer], [other_inner, other_outer]) =
            (ring_at(assembly, one, at_mm)?, ring_at(assembly, other, at_mm)?);
        Some([other_outer - inner - deep_mm, outer - other_inner - deep_mm])
    };
    let (at_begin, at_end) = (deep(begin_mm)?, deep(end_mm)?);
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (begin, end) in at_begin.into_iter().zip(at_end) {
        let crosses = begin / (begin - end);
        match (begin > 0.0, end > 0.0) {
            (true, true) => {}
            (true, false) => to = to.min(crosses),
            (false, true) => from = from.max(crosses),
            (false, false) => return None,
        }
    }
    let at = |share: f64| begin_mm + (end_mm - begin_mm) * share;
    (from < to).then(|| [at(from), at(to)])
}

/// A bore that the owner's own record states, and a part as well.
fn stated_twice(context: &Context<'_>, assembly: &Assembly<'_>, outcomes: &mut Outcomes) {
    let restrand_model::reflect::View::Record(record) = assembly.route.view(context.schedule)
    else {
        return;
    };
    let tolerance_mm = context.limit(AGREE).value;
    let stated = |field: &str| match record.get(field) {
        restrand_model::reflect::View::Number(value) => Some(value),
        _ => None,
    };
    let least = |part: &Part| Some(part.rear_inner_mm?.min(part.span_inner_mm?));
    let permanent = assembly.of(Permanence::Permanent);
    let (field, of_parts) = match assembly.axis {
        crate::assembly::Axis::Anchorage => (
            "bearing_bore_mm",
            permanent
                .filter(|part| part.part.role == Some(Role::BearingPlate))
                .find_map(|part| Some((least(&part.part)?, part.route.clone()))),
        ),
        crate::assembly::Axis::Form => (
            "throat_mm",
            permanent
                .filter_map(|part| Some((least(&part.part)?, part.route.clone())))
                .min_by(|(one, _), (other, _)| one.total_cmp(other)),
        ),
    };
    let (Some(stated_mm), Some((part_mm, route))) = (stated(field), of_parts) else { return };
    if !beyond((stated_mm - part_mm).abs(), tolerance_mm) {
        return outcomes.pass();
    }
    outcomes.found(
        Finding::new(
            RULE.id,
            Kind::Inconsistent,
            assembly.route.field(match assembly.axis {
                crate::assembly::Axis::Anchorage => "bearing_bore_mm",
                crate::assembly::Axis::Form => "throat_mm",
            }),
            "{owner} states its least bore as {stated_mm}, and its parts leave {part_mm}",
        )
        .related(route, "the bore among its parts")
        .help("Correct one of the two; what is drawn out is held against the narrower one")
        .fact(Fact::text("owner", assembly.name.as_str()))
        .fact(Fact::given("stated_mm", stated_mm, 1))
        .fact(Fact::given("part_mm", part_mm, 1))
        .fact(Context::limit(context, AGREE).fact(AGREE, 1)),
    );
}
