//! The radius stated at a point is not the one to which the form there bends the tendon.

use restrand_finding::{Citation, Class, Correction, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::{Form, FormKind};

use crate::beyond::beyond;
use crate::context::{Context, TendonAt};
use crate::mended;
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::tendon_path::{external_or_said, form_radius_m};

const TOLERANCE: LimitKey = LimitKey {
    name: "radius_tolerance",
    meaning: "share by which a stated radius may differ from the one that the form gives",
};

pub(crate) const RULE: Rule = Rule {
    id: "path/radius-mismatch",
    summary: "the radius stated at each point against that of the form's wall and half the duct",
    kinds: &[Kind::Inconsistent],
    limits: &[TOLERANCE],
    sources: &[Citation::new(
        "geometry: a duct that lies on a wall of radius R has its axis at R and half its diameter",
        Evidence::Derived,
    )],
    correction: Corrects::Offers(&[Class::Propose], offer),
    implied_by: &["path/points-impossible"],
    page: include_str!("radius_mismatch.md"),
    check: Check::Tendons(check),
};

/// The form's radius at the point.
fn offer(context: &Context<'_>, offered: &mut Vec<Correction>) {
    for at in context.tendons() {
        let mend = (Class::Propose, "formed_radius_m", REASON);
        offered.extend(mended::by_fact(context, &at, check, mend, &[at.route.field("points")]));
    }
}

const REASON: &str =
    "form {form} bends {tendon} to {formed_radius_m}, and the point states {radius_m}";

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    let Some(laid) = external_or_said(context, at, outcomes) else { return };
    if laid.corners.is_empty() {
        return outcomes.not_applicable("the tendon is straight");
    }
    for (index, corner) in laid.corners.iter().enumerate() {
        let Some(deviator) = corner.deviator else {
            outcomes.not_applicable("no deviator stands there");
            continue;
        };
        let point = &at.tendon.points[index + 1];
        let Some(stated_m) = point.radius_m else {
            outcomes.not_applicable("the point states no radius: the form's holds");
            continue;
        };
        let Some(form) = context.form_at(at, deviator) else {
            outcomes.not_evaluated("deviator.form");
            continue;
        };
        if form.kind == Some(FormKind::StraightSleeve) {
            outcomes.not_applicable("a straight sleeve bends nothing");
            continue;
        }
        let duct = context.duct_at(at.tendon, point.station_m.unwrap_or(0.0));
        let outer_mm = duct.and_then(|duct| duct.record.outer_mm);
        let Some(formed_m) = form_radius_m(form, outer_mm) else {
            outcomes.not_evaluated(absent(form, outer_mm));
            continue;
        };
        if beyond((stated_m - formed_m).abs(), context.limit(TOLERANCE).value * formed_m) {
            outcomes.found(finding(context, at, index, form, [stated_m, formed_m]));
        } else {
            outcomes.pass();
        }
    }
}

/// The field without which a form gives no radius.
fn absent(form: &Form, outer_mm: Option<f64>) -> &'static str {
    match form.kind {
        Some(FormKind::BentPipe) => "form.axis_radius_mm",
        _ if form.wall_radius_mm.is_some() && outer_mm.is_none() => "duct.outer_mm",
        _ => "form.wall_radius_mm",
    }
}

fn finding(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    index: usize,
    form: &Form,
    [stated_m, formed_m]: [f64; 2],
) -> Finding {
    let limit = context.limit(TOLERANCE);
    let mut finding = Finding::new(
        RULE.id,
        Kind::Inconsistent,
        at.route.field("points").item(index + 1).field("radius_m"),
        "at point {point} {tendon} is stated to be bent to {radius_m}, but form {form} bends it to {formed_radius_m}",
    )
    .help("The radius of a point is the tendon axis', that of a form is its wall's: correct the one that is wrong")
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::given("point", (index + 2) as f64, 0))
    .fact(Fact::text("form", form.id.as_deref().unwrap_or("without a name")))
    .fact(Fact::given("radius_m", stated_m, 3))
    .fact(Fact::computed("formed_radius_m", formed_m, 3))
    .fact(Fact::computed("ratio", stated_m / formed_m, 3))
    .fact(limit.fact(TOLERANCE, 3));
    let field = match form.kind {
        Some(FormKind::BentPipe) => "axis_radius_mm",
        _ => "wall_radius_mm",
    };
    let corner = context.path(at).ok().and_then(|laid| laid.corners[index].deviator);
    if let Some(found) = corner.and_then(|position| context.form(&at.tendon.deviators[position])) {
        finding = finding.related(context.value_of(&found.route, field), "the form's radius");
    }
    finding = finding.remedy("State {formed_radius_m} at the point");
    let is = |other_m: f64| !beyond((stated_m - other_m).abs(), limit.value * other_m);
    // A diameter is twice the wall's radius, or twice the axis'.
    let wall_m = form.wall_radius_mm.map_or(formed_m, |wall_mm| wall_mm / 1000.0);
    if is(2.0 * formed_m) || is(2.0 * wall_m) {
        finding.remedy("What is stated at the point is about twice as much, as a diameter is: state half of it")
    } else if is(formed_m / 2.0) || is(wall_m / 2.0) {
        finding.remedy(
            "What the form gives is about twice as much, as a diameter is: if it is, state half of it at the form",
        )
    } else {
        finding
    }
}
