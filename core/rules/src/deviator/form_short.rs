//! A flared form is shorter than its two flares have to be.

use restrand_finding::{Citation, Evidence, Fact, Kind};
use restrand_mechanics::deviator::least_length_mm;
use restrand_model::schedule::FormKind;

use super::guided::{Guided, Judged, TOLERANCE, each};
use crate::beyond::short_of;
use crate::context::Context;
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "deviator/form-short",
    summary: "the length of each flared form against what its wall's radius and the angles of its legs need",
    kinds: &[Kind::Physical, Kind::Margin],
    limits: &[TOLERANCE],
    sources: &[Citation::new(
        "geometry of an arc that begins along the form's axis",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible", "path/radius-mismatch", "deviator/angle-reserve"],
    page: include_str!("form_short.md"),
    check: Check::Tendons(|context, at, outcomes| {
        each(context, at, outcomes, |guided| {
            judge(context, guided).unwrap_or_else(Judged::NotEvaluated)
        });
    }),
};

fn judge(context: &Context<'_>, guided: &Guided<'_>) -> Result<Judged, &'static str> {
    let form = &guided.form;
    if form.kind.ok_or("form.kind")? != FormKind::Flared {
        return Ok(Judged::NotApplicable("the form is not flared"));
    }
    let length_mm = form.length_mm.ok_or("form.length_mm")?;
    let wall_mm = form.wall_radius_mm.ok_or("form.wall_radius_mm")?;
    // What is not stated of the throat makes the form only longer.
    let throat_mm = form.throat_length_mm.unwrap_or(0.0);
    let least = |[rear, span]: [f64; 2]| {
        least_length_mm(wall_mm, throat_mm, rear, span).map_err(|_| "form.wall_radius_mm")
    };
    let sides = guided.sides_rad(true)?;
    let least_mm = least(sides)?;
    if !short_of(length_mm, least_mm) {
        return Ok(match form.throat_length_mm {
            Some(_) => Judged::Pass,
            None => Judged::NotEvaluated("form.throat_length_mm"),
        });
    }
    let bare_mm = least(guided.sides_rad(false)?)?;
    let kind = if short_of(length_mm, bare_mm) { Kind::Physical } else { Kind::Margin };
    let message = format!(
        "at {{place}} {{form}} is {{length_mm}} long, but with a wall of radius {{wall_radius_mm}} and {} of tolerance the \
         legs of {{tendon}} need {{least_length_mm}}: the duct bears on its edge",
        guided.tolerance.name()
    );
    let mut finding = guided
        .finding(RULE.id, kind, context.value_of(&guided.route, "length_mm"), message)
        .related(context.value_of(&guided.form_route, "length_mm"), "the form's length")
        .help(
            "Make the form longer, or the radius of its wall smaller as far as the tendon takes it; a wall radius that \
             is twice the usual may be a diameter",
        )
        .fact(Fact::given("length_mm", length_mm, 0))
        .fact(Fact::given("wall_radius_mm", wall_mm, 0))
        .fact(Fact::computed("guided_down_rad", sides[0], 4))
        .fact(Fact::computed("guided_up_rad", sides[1], 4))
        .fact(Fact::computed("least_length_mm", least_mm, 0).at_least())
        .fact(Fact::computed("short_mm", least_mm - length_mm, 0).at_least())
        .fact(Fact::computed("ratio", length_mm / least_mm, 2));
    if let Some(throat_mm) = form.throat_length_mm {
        finding = finding.fact(Fact::given("throat_length_mm", throat_mm, 0));
    }
    finding = finding.remedy("Make the form {short_mm} longer, {least_length_mm} in all");
    // The wall's radius that just fits into the length.
    let most_wall_mm = (length_mm - throat_mm) / ((least_mm - throat_mm) / wall_mm);
    if most_wall_mm > 0.0 {
        finding = finding.fact(Fact::computed("most_wall_radius_mm", most_wall_mm, 0).at_most()).remedy(
            "Keep the length and take a wall radius of {most_wall_radius_mm} at most, if the tendon may be bent so far",
        );
    }
    Ok(Judged::Found(Box::new(finding)))
}
