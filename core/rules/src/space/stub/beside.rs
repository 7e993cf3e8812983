//! The room beside the axis, against the widest of what is drawn out there.

use restrand_finding::{Fact, Finding, Kind, Outcomes};
use restrand_mechanics::passing::ABUTTING_MM;
use restrand_model::resolve::ResolvedPart;
use restrand_model::schedule::Role;

use super::RULE;
use super::geometry::is_drawn;
use crate::assembly::call;
use crate::context::{Context, EndAt, TendonAt};
use crate::ends::worst_radius_mm;
use crate::space::said;

/// The room beside the axis, against the widest of what is drawn out there; the cap is, before the stub.
pub(super) fn check(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    parts: &[ResolvedPart<'_>],
    outcomes: &mut Outcomes,
) {
    let sides = &context.room(at, end).sides;
    let drawn = parts.iter().map(|resolved| (resolved.part.as_ref(), &resolved.route));
    let drawn = drawn
        .filter(|(part, _)| is_drawn(part) && !matches!(part.role, Some(Role::Seal | Role::Tube)));
    let widest = drawn
        .filter_map(|(part, route)| Some((worst_radius_mm(part)?, part, route)))
        .max_by(|(one, ..), (other, ..)| one.total_cmp(other));
    let Some((radius_mm, part, part_route)) = widest else {
        return outcomes.not_evaluated("part.rear_outer_mm");
    };
    let narrow: Vec<_> = sides
        .iter()
        .filter_map(|side| Some((side.field, side.word, side.clear?)))
        .filter(|(_, _, clear)| clear.mm < radius_mm - ABUTTING_MM)
        .collect();
    let Some((first, word, clear)) =
        narrow.iter().copied().min_by(|(.., one), (.., other)| one.mm.total_cmp(&other.mm))
    else {
        return match sides.iter().any(|side| side.clear.is_none()) {
            true => outcomes.not_evaluated("removal_space.up_mm"),
            false => outcomes.pass(),
        };
    };
    let mut finding = Finding::new(
        RULE.id,
        Kind::Physical,
        clear.route(end, first),
        format!(
            "{{widest}} at {{end}} of {{tendon}} cannot be drawn out: there are {{clear_mm}} {word} the axis, \
             less than its radius of {{radius_mm}} at worst"
        ),
    )
    .fact(Fact::text("end", format!("end {}", end.name)))
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("widest", call(part)))
    .fact(clear.fact("clear_mm", 1))
    .fact(Fact::computed("radius_mm", radius_mm, 1))
    .related(part_route.clone(), "the widest of what is drawn out there")
    .help(
        "Clear distances are from the anchorage's axis to what stands there: check the value and its unit, or \
         make the room",
    );
    finding = said::of_bay(finding, context, clear);
    for (field, word, clear) in narrow.iter().filter(|(field, ..)| *field != first) {
        finding =
            finding.related(clear.route(end, field), format!("too near {word} the axis as well"));
    }
    outcomes.found(finding);
}
