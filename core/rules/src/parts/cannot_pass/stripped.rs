//! A part that is to be taken off where it sits, and sits where nobody can reach it.

use restrand_finding::{Fact, Finding, Kind, Outcomes};
use restrand_mechanics::passing::ABUTTING_MM;
use restrand_model::resolve::ResolvedPart;
use restrand_model::schedule::Permanence;

use super::{RULE, coaxial, states_shape};
use crate::assembly::{Assembly, Axis, call};
use crate::context::Context;

/// What is taken off where it sits must lie where somebody can reach it.
pub(super) fn check(
    context: &Context<'_>,
    assembly: &Assembly<'_>,
    resolved: &ResolvedPart<'_>,
    outcomes: &mut Outcomes,
) {
    let stretch = assembly.axis.stretch(&resolved.part);
    let staying: Vec<_> = coaxial(assembly, Permanence::Permanent)
        .filter_map(|part| Some((part, assembly.axis.stretch(&part.part).ok()?)))
        .collect();
    let Ok((span_mm, rear_mm)) = stretch else {
        return outcomes.not_evaluated("part.from_mm");
    };
    let least = staying.iter().map(|(_, stay)| stay.0).reduce(f64::min);
    let most = staying.iter().map(|(_, stay)| stay.1).reduce(f64::max);
    let (Some(least), Some(most)) = (least, most) else {
        return outcomes.not_applicable("it is taken off where it sits");
    };
    // What sits behind the bearing plate's face is in the open, whatever is recorded as permanent there.
    let most = if assembly.axis == Axis::Anchorage { most.min(0.0) } else { most };
    if span_mm < least + ABUTTING_MM || rear_mm > most - ABUTTING_MM {
        return outcomes.not_applicable("it is taken off where it sits");
    }
    if !states_shape(context, assembly, resolved) {
        return outcomes.not_applicable("its kind has the finding");
    }
    let round = staying.iter().find(|(_, stay)| stay.0 < rear_mm && stay.1 > span_mm);
    let mut finding = Finding::new(
        RULE.id,
        Kind::Physical,
        context.value_of(&resolved.route, "exit"),
        "{part} of {owner} is to be taken off where it sits, but it sits wholly inside what is cast in, where \
         nobody can reach it",
    )
    .help("State the way by which it is drawn out, or let it end outside the concrete")
    .fact(Fact::text("part", call(&resolved.part)))
    .fact(Fact::text("owner", assembly.name.as_str()));
    if let Some((other, _)) = round {
        finding = finding
            .fact(Fact::text("bore", call(&other.part)))
            .related(other.route.clone(), "{bore} stays round it");
    }
    outcomes.found(finding);
}
