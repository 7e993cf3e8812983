//! A flared form is narrower at its exit than its flare has to be.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind};
use restrand_mechanics::deviator::exit_bore_mm;
use restrand_model::schedule::FormKind;

use super::guided::{Guided, Judged, SIDES, TOLERANCE, each};
use crate::beyond::short_of;
use crate::context::Context;
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "deviator/exit-narrow",
    summary: "the bore of each exit of a flared form against throat, wall's radius and the angle of the leg there",
    kinds: &[Kind::Physical, Kind::Margin],
    limits: &[TOLERANCE],
    sources: &[Citation::new(
        "geometry: the rise of an arc that begins along the form's axis",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible", "path/radius-mismatch", "deviator/angle-reserve"],
    page: include_str!("exit_narrow.md"),
    check: Check::Tendons(|context, at, outcomes| {
        each(context, at, outcomes, |guided| {
            judge(context, guided).unwrap_or_else(Judged::NotEvaluated)
        });
    }),
};

/// The fields of the two exits.
const EXITS: [&str; 2] = ["exit_rear_mm", "exit_span_mm"];

fn judge(context: &Context<'_>, guided: &Guided<'_>) -> Result<Judged, &'static str> {
    let form = &guided.form;
    if form.kind.ok_or("form.kind")? != FormKind::Flared {
        return Ok(Judged::NotApplicable("the form is not flared"));
    }
    let wall_mm = form.wall_radius_mm.ok_or("form.wall_radius_mm")?;
    let throat_mm = form.throat_mm.ok_or("form.throat_mm")?;
    let exits = [form.exit_rear_mm, form.exit_span_mm];
    let (sides, bare) = (guided.sides_rad(true)?, guided.sides_rad(false)?);
    let need = |side_rad| exit_bore_mm(throat_mm, wall_mm, side_rad).map_err(|_| "form.throat_mm");
    // The side that lacks most, if one does; what the other lacks is told with it.
    let mut worst: Option<(usize, f64, f64)> = None;
    for side in 0..SIDES.len() {
        let Some(exit_mm) = exits[side] else { continue };
        let needed_mm = need(sides[side])?;
        let lacks_mm = needed_mm - exit_mm;
        if short_of(exit_mm, needed_mm) && worst.is_none_or(|(_, _, so_far)| lacks_mm > so_far) {
            worst = Some((side, needed_mm, lacks_mm));
        }
    }
    let Some((side, needed_mm, lacks_mm)) = worst else {
        return match exits {
            [Some(_), Some(_)] => Ok(Judged::Pass),
            [None, _] => Err("form.exit_rear_mm"),
            [_, None] => Err("form.exit_span_mm"),
        };
    };
    let exit_mm = needed_mm - lacks_mm;
    let kind = match short_of(exit_mm, need(bare[side])?) {
        true => Kind::Physical,
        false => Kind::Margin,
    };
    let message = format!(
        "at {{place}} the exit of {{form}} {{side}} is {{exit_mm}} wide, but with {} of tolerance the leg of {{tendon}} needs \
         {{needed_mm}}: the duct bears on its edge",
        guided.tolerance.name()
    );
    let mut finding = guided
        .finding(RULE.id, kind, context.value_of(&guided.route, EXITS[side]), message)
        .related(context.value_of(&guided.form_route, EXITS[side]), "the form's exit")
        .help("Open the form further on that side, or turn its axis between the legs")
        .fact(Fact::text("side", SIDES[side]))
        .fact(Fact::given("exit_mm", exit_mm, 1))
        .fact(Fact::given("throat_mm", throat_mm, 1))
        .fact(Fact::given("wall_radius_mm", wall_mm, 0))
        .fact(Fact::computed("guided_rad", sides[side], 4))
        .fact(Fact::computed("needed_mm", needed_mm, 1).at_least())
        .fact(Fact::computed("lacks_mm", lacks_mm, 1).at_least())
        .fact(Fact::computed("ratio", exit_mm / needed_mm, 2));
    finding = turned(guided, exits, &need, finding);
    let other = 1 - side;
    let other_needed_mm = need(sides[other])?;
    let finding = match exits[other] {
        Some(other_mm) if short_of(other_mm, other_needed_mm) => finding
            .related(context.value_of(&guided.form_route, EXITS[other]), "the other exit is narrow as well")
            .fact(Fact::text("other_side", SIDES[other]))
            .fact(Fact::computed("other_needed_mm", other_needed_mm, 1).at_least())
            .fact(Fact::computed("other_lacks_mm", other_needed_mm - other_mm, 1).at_least())
            .remedy(
                "Make the exit {side} {lacks_mm} wider, {needed_mm} in all, and the one {other_side} {other_lacks_mm} \
                 wider, {other_needed_mm} in all",
            ),
        _ => finding.remedy("Make the exit {lacks_mm} wider, {needed_mm} in all"),
    };
    Ok(Judged::Found(Box::new(finding)))
}

/// Whether an axis between the legs would be enough for both exits.
fn turned(
    guided: &Guided<'_>,
    exits: [Option<f64>; 2],
    need: &dyn Fn(f64) -> Result<f64, &'static str>,
    finding: Finding,
) -> Finding {
    let needed = guided.bisected_rad().and_then(|bisected| need(bisected).ok());
    let is_enough = needed.is_some_and(|needed_mm| {
        exits.into_iter().all(|exit| exit.is_some_and(|exit_mm| !short_of(exit_mm, needed_mm)))
    });
    guided.turned_axis(finding, is_enough)
}
