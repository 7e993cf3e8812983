//! The new inner trumpet does not come in, in one piece, through the room behind the anchorage.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::resolve::ResolvedPart;
use restrand_model::schedule::{EndKind, Exit, Permanence, Role, Status};

use super::said;
use super::stub::MARGIN;
use crate::assembly::{Axis, call};
use crate::beyond::short_of;
use crate::context::{Context, EndAt, TendonAt};
use crate::ends::{clear_behind, radius_or_any, worst_radius_mm};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "space/new-trumpet",
    summary: "the length of each new inner trumpet against the room behind the bearing plate",
    kinds: &[Kind::Physical, Kind::Margin],
    limits: &[MARGIN],
    sources: &[Citation::new("geometry of a rigid cone on the axis", Evidence::Derived)],
    correction: Corrects::Nothing,
    // Where not even the plates with the old trumpet come out of the room behind, the new one is no further news.
    implied_by: &["space/stub"],
    page: include_str!("new_trumpet.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.stays() {
        return outcomes.not_applicable("the tendon need not be replaceable");
    }
    if at.tendon.status == Some(Status::Removed) {
        return outcomes.not_applicable("the tendon is removed");
    }
    for end in at.ends() {
        if end.end.kind == Some(EndKind::Embedded) {
            outcomes.not_applicable("the end is embedded");
            continue;
        }
        match judge(context, at, &end) {
            Ok(Judged::Pass) => outcomes.pass(),
            Ok(Judged::None) => outcomes.not_applicable("no inner trumpet comes in from the rear"),
            Ok(Judged::Found(finding)) => outcomes.found(*finding),
            Err(field) => outcomes.not_evaluated(field),
        }
    }
}

enum Judged {
    Pass,
    None,
    Found(Box<Finding>),
}

fn judge(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
) -> Result<Judged, &'static str> {
    let parts = context.end_parts(end);
    if parts.is_empty() {
        return Err(if end.end.anchorage.is_none() { "end.anchorage" } else { "anchorage.parts" });
    }
    let trumpets = parts.iter().filter(|resolved| {
        resolved.part.role == Some(Role::InnerTrumpet)
            && resolved.part.permanence != Some(Permanence::Permanent)
            && matches!(resolved.part.exit, Some(Exit::Rear) | None)
    });
    let mut longest: Option<(f64, &ResolvedPart<'_>)> = None;
    for resolved in trumpets {
        if resolved.part.exit.is_none() {
            return Err("part.exit");
        }
        let (from_mm, to_mm) = Axis::Anchorage.stretch(&resolved.part)?;
        let length_mm = to_mm - from_mm;
        if longest.is_none_or(|(so_far, _)| length_mm > so_far) {
            longest = Some((length_mm, resolved));
        }
    }
    let Some((length_mm, resolved)) = longest else { return Ok(Judged::None) };
    let radius_mm =
        radius_or_any(context, at, end, worst_radius_mm(&resolved.part), "part.rear_outer_mm")?;
    let clear = clear_behind(context, at, end, radius_mm)?;
    let limit = context.limit(MARGIN);
    let needed_mm = length_mm + limit.value;
    let kind = if short_of(clear.clear_mm, length_mm) {
        Kind::Physical
    } else if short_of(clear.clear_mm, needed_mm) {
        Kind::Margin
    } else {
        return Ok(Judged::Pass);
    };
    let message = match kind {
        Kind::Physical => {
            "the new {trumpet} at {end} of {tendon}, {length_mm} long, does not come into the axis: there are \
             {behind_mm} behind the bearing plate"
        }
        _ => {
            "the new {trumpet} at {end} of {tendon}, {length_mm} long, comes into the axis with {left_mm} left \
             behind it, less than {removal_margin_mm}: there are {behind_mm} behind the bearing plate"
        }
    };
    let finding = Finding::new(
        RULE.id,
        kind,
        clear.clear().route(end, "behind_mm"),
        message,
    )
    .related(resolved.route.clone(), "the trumpet")
    .rests_on([end.route.field("removal_space").field("behind_mm")])
    .help(
        "A trumpet is one piece and goes in along the axis: make the room, or ask the anchorage's supplier for one that \
         is joined in place",
    )
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("end", format!("end {}", end.name)))
    .fact(Fact::text("trumpet", call(&resolved.part)))
    .fact(Fact::computed("length_mm", length_mm, 1))
    .fact(clear.clear().fact("behind_mm", 1))
    .fact(Fact::computed("left_mm", clear.clear_mm - length_mm, 1))
    .fact(limit.fact(MARGIN, 0))
    .fact(Fact::computed("needed_mm", needed_mm, 1).at_least())
    .fact(Fact::computed("more_mm", needed_mm - clear.clear_mm, 1).at_least())
    .fact(Fact::computed("ratio", clear.clear_mm / needed_mm, 2));
    let by_room = "Make {more_mm} more room behind the bearing plate, {needed_mm} in all";
    let finding = said::remedy(finding, context, &clear, "trumpet", by_room);
    Ok(Judged::Found(Box::new(finding)))
}
