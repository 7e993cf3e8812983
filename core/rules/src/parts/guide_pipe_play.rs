//! A guide pipe does not leave the tendon the angle that placement asks for.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::passing::{
    CONTACT_MM, Pivot, guide_play_rad, worst_bore_mm, worst_outer_mm,
};
use restrand_model::resolve::ResolvedPart;
use restrand_model::schedule::{Exit, Part, Permanence, Role};

use super::cannot_pass::{GAP, states_shape};
use super::tolerance_eats_gap::ASSUMED;
use crate::assembly::{Assembly, Axis, call};
use crate::beyond::short_of;
use crate::context::Context;
use crate::rule::{Check, Corrects, LimitKey, Rule};

const PLAY: LimitKey = LimitKey {
    name: "guide_play_least_rad",
    meaning: "angle that a tendon may stand to its guide pipe",
};
pub(crate) const RULE: Rule = Rule {
    id: "parts/guide-pipe-play",
    summary: "the angle that the gap in each guide pipe leaves, less the gap for drawing out, against what placement asks for",
    kinds: &[Kind::Margin],
    limits: &[PLAY, GAP, ASSUMED[0], ASSUMED[1], ASSUMED[2]],
    sources: &[Citation::new(
        "small angle in a straight pipe, about its middle",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("guide_pipe_play.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    for assembly in &context.assemblies {
        if assembly.stays {
            outcomes.not_applicable("no replaceable tendon uses it");
            continue;
        }
        if assembly.axis == Axis::Form {
            continue;
        }
        if assembly.parts.is_empty() {
            outcomes.not_evaluated(assembly.parts_field());
            continue;
        }
        let guides: Vec<_> = assembly
            .of(Permanence::Permanent)
            .filter(|part| part.part.role == Some(Role::GuidePipe))
            .collect();
        if guides.is_empty() {
            outcomes.not_applicable("it has no guide pipe");
        }
        for guide in guides {
            let (inside, lacks) = inside(context, assembly, guide);
            let is_own = |part: &ResolvedPart<'_>| states_shape(context, assembly, part);
            // What is wrong between two parts of the kind is said at the kind.
            if !is_own(guide) && !inside.as_ref().is_some_and(|inside| is_own(inside.part)) {
                continue;
            }
            let judged = match &inside {
                Some(inside) => judge(context, assembly, guide, inside, lacks),
                None => Err(lacks.unwrap_or("anchorage.parts")),
            };
            match judged {
                Ok(Judged::Found(finding)) => outcomes.found(*finding),
                Ok(Judged::Pass) => outcomes.pass(),
                Ok(Judged::ToldAsGap) => outcomes.not_applicable(TOLD_AS_GAP),
                Err(field) => outcomes.not_evaluated(field),
            }
        }
    }
}

/// Why a pair is left to the rules on the gap.
const TOLD_AS_GAP: &str = "the gap for drawing out is short, which is told of the same two parts";

enum Judged {
    Pass,
    ToldAsGap,
    Found(Box<Finding>),
}

/// What lies in a guide pipe.
struct Inside<'a> {
    part: &'a ResolvedPart<'a>,
    /// Its greatest outside, as stated and at worst, mm.
    outer_mm: f64,
    worst_mm: f64,
}

/// What lies in a guide pipe and is widest at worst, and a field without which something else may be wider.
fn inside<'a>(
    context: &Context<'_>,
    assembly: &'a Assembly<'a>,
    guide: &ResolvedPart<'_>,
) -> (Option<Inside<'a>>, Option<&'static str>) {
    let mut widest: Option<Inside<'_>> = None;
    let mut lacks = None;
    let Ok((from_mm, to_mm)) = assembly.axis.stretch(&guide.part) else {
        return (None, Some("part.from_mm"));
    };
    let [tolerance_mm, ovality_mm, _] = ASSUMED.map(|key| context.limit(key).value);
    let is_pipe =
        |part: &&ResolvedPart<'_>| matches!(part.part.role, Some(Role::AnchoragePipe | Role::Duct));
    for part in assembly.of(Permanence::Replaceable).filter(is_pipe) {
        match assembly.axis.stretch(&part.part) {
            Ok((from, to)) if from < to_mm && to > from_mm => {}
            Ok(_) => continue,
            // It may lie in the guide pipe, and be wider than what is known to.
            Err(field) => {
                lacks = Some(field);
                continue;
            }
        }
        let own = &part.part;
        // A flange or bead counts unless it is known to lie outside the guide pipe.
        let is_outside = own.greatest_outer_at_mm.is_some_and(|at_mm| {
            let at_mm = assembly.axis.position(at_mm);
            at_mm < from_mm || at_mm > to_mm
        });
        let greatest_mm = own.greatest_outer_mm.filter(|_| !is_outside);
        let outer = [own.rear_outer_mm, own.span_outer_mm, greatest_mm].into_iter().flatten();
        let known = outer.reduce(f64::max).and_then(|outer_mm| {
            let tolerance_mm = part.part.tolerance_mm.unwrap_or(tolerance_mm);
            let ovality_mm = part.part.ovality_mm.unwrap_or(ovality_mm);
            let worst_mm = worst_outer_mm(outer_mm, tolerance_mm, ovality_mm).ok()?;
            Some(Inside { part, outer_mm, worst_mm })
        });
        match known {
            Some(known)
                if widest.as_ref().is_none_or(|so_far| known.worst_mm > so_far.worst_mm) =>
            {
                widest = Some(known);
            }
            Some(_) => {}
            None => lacks = Some("part.rear_outer_mm"),
        }
    }
    (widest, lacks)
}

/// Holds the angle that a guide pipe leaves what lies in it against the one that is asked for.
fn judge(
    context: &Context<'_>,
    assembly: &Assembly<'_>,
    guide: &ResolvedPart<'_>,
    &Inside { part: inside, outer_mm: outer, worst_mm: outer_mm }: &Inside<'_>,
    lacks: Option<&'static str>,
) -> Result<Judged, &'static str> {
    let (from_mm, to_mm) = assembly.axis.stretch(&guide.part)?;
    let assumed = ASSUMED.map(|key| (key, context.limit(key)));
    let [tolerance, ovality, seam] = assumed.map(|(_, limit)| limit.value);
    let unstated = unstated(&guide.part, &inside.part);
    let least = |one: Option<f64>, other: Option<f64>| Some(one?.min(other?));
    let bore =
        least(guide.part.rear_inner_mm, guide.part.span_inner_mm).ok_or("part.rear_inner_mm")?;
    let bore_mm = worst_bore_mm(
        bore,
        guide.part.tolerance_mm.unwrap_or(tolerance),
        guide.part.ovality_mm.unwrap_or(ovality),
        guide.part.seam_mm.unwrap_or(seam),
    )
    .map_err(|_| "part.rear_inner_mm")?;
    let gap_limit = context.limit(GAP);
    let left_mm = (bore_mm - outer_mm) / 2.0 - gap_limit.value;
    let length_mm = to_mm - from_mm;
    // Where less than the gap for drawing out is left, the angle is short of none by as much.
    let play_rad = guide_play_rad(left_mm.abs(), Pivot::Middle { length_mm })
        .map_err(|_| "part.from_mm")?
        .copysign(left_mm);
    let limit = context.limit(PLAY);
    if !short_of(play_rad, limit.value) {
        // What leaves the angle with tolerances that nobody stated is not shown to leave it.
        return unstated.or(lacks).map_or(Ok(Judged::Pass), Err);
    }
    // With what is stated alone the gap is short, or with what is assumed there is none: of parts whose way out is known
    // that is told by what cannot pass, or by what tolerances eat.
    let stated_mm = gap_as_stated_mm(&guide.part, &inside.part, bore, outer);
    let is_drawn = matches!(inside.part.exit, Some(Exit::Rear | Exit::Span));
    let gap_mm = left_mm + gap_limit.value;
    if is_drawn && (short_of(stated_mm, gap_limit.value) || gap_mm < -CONTACT_MM) {
        return Ok(Judged::ToldAsGap);
    }
    let need_mm = 2.0 * (limit.value * length_mm / 2.0 + gap_limit.value) + outer_mm;
    let message = match unstated {
        None => {
            "{guide} of {owner}, {length_mm} long, leaves {part} an angle of {play_rad} beside the gap for drawing it out, less \
             than {guide_play_least_rad}"
        }
        Some(_) => {
            "{guide} of {owner}, {length_mm} long, leaves {part} an angle of {play_rad} beside the gap for drawing it out, less \
             than {guide_play_least_rad}; not all tolerances are stated, and those that are assumed in their place count"
        }
    };
    // An end that states another pipe of its own has that one as its place.
    let (place, other, what) = match states_shape(context, assembly, guide) {
        true => (context.value_of(&guide.route, "rear_inner_mm"), inside, "what lies in it"),
        false => (context.value_of(&inside.route, "rear_outer_mm"), guide, "in which it lies"),
    };
    let mut finding =
        Finding::new(
            RULE.id,
            Kind::Margin,
            place,
            message,
        )
        .related(other.route.clone(), what)
        .help("Anchorage and guide pipe are never cast in exactly in line: make the pipe wider or shorter, or tighten the placing")
        .fact(Fact::text("guide", call(&guide.part)))
        .fact(Fact::text("part", call(&inside.part)))
        .fact(Fact::text("owner", assembly.name.as_str()))
        .fact(Fact::computed("length_mm", length_mm, 0))
        .fact(Fact::computed("bore_mm", bore_mm, 1))
        .fact(Fact::computed("outer_mm", outer_mm, 1))
        .fact(Fact::computed("play_rad", play_rad, 4))
        .fact(limit.fact(PLAY, 3))
        .fact(Fact::computed("ratio", play_rad / limit.value, 2))
        .fact(Fact::computed("need_mm", need_mm, 1).at_least())
        .fact(Fact::computed("need_stated_mm", need_mm + (bore - bore_mm), 1).at_least())
        .remedy("A bore of {need_mm} at worst tolerance leaves the angle: {need_stated_mm} as it is stated");
    if unstated.is_some() {
        for (key, limit) in assumed {
            finding = finding.fact(limit.fact(key, 1));
        }
        finding = finding.remedy("State tolerance and ovality of both, and the seam of the pipe");
    }
    Ok(Judged::Found(Box::new(finding)))
}

/// The gap at worst, with what is stated alone, mm.
fn gap_as_stated_mm(guide: &Part, inside: &Part, bore_mm: f64, outer_mm: f64) -> f64 {
    let taken_mm =
        |part: &Part| part.tolerance_mm.unwrap_or(0.0) + part.ovality_mm.unwrap_or(0.0) / 2.0;
    let seam_mm = guide.seam_mm.unwrap_or(0.0);
    (bore_mm - outer_mm - taken_mm(guide) - taken_mm(inside) - seam_mm) / 2.0
}

/// The first tolerance that is not stated of a guide pipe and of what lies in it.
fn unstated(guide: &Part, inside: &Part) -> Option<&'static str> {
    if guide.tolerance_mm.is_none() || inside.tolerance_mm.is_none() {
        Some("part.tolerance_mm")
    } else if guide.ovality_mm.is_none() || inside.ovality_mm.is_none() {
        Some("part.ovality_mm")
    } else {
        guide.seam_mm.is_none().then_some("part.seam_mm")
    }
}
