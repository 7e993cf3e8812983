//! A tendon is turned at a place, and the schedule has no form there.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes, Severity};
use restrand_model::schedule::Deviator;

use crate::beyond::beyond;
use crate::context::{Context, TendonAt};
use crate::path::kink_without_deviator::KINK;
use crate::rule::{Check, Corrects, Rule};
use crate::tendon_path::{LaidTendon, external_or_said};

pub(crate) const RULE: Rule = Rule {
    id: "deviator/form-missing",
    summary: "each place at which a tendon turns has a deviator, and the deviator a form",
    kinds: &[Kind::Missing],
    limits: &[KINK],
    sources: &[Citation::new(
        "engineering practice: what turns a tendon decides whether the tendon can leave",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible"],
    page: include_str!("form_missing.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    let Some(laid) = external_or_said(context, at, outcomes) else { return };
    if laid.corners.is_empty() {
        return outcomes.not_applicable("the tendon is straight");
    }
    for index in 0..laid.corners.len() {
        of_corner(context, at, laid, index, outcomes);
    }
}

fn of_corner(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    laid: &LaidTendon,
    index: usize,
    outcomes: &mut Outcomes,
) {
    let angle_rad = laid.path.bends[index].angle_rad;
    if !beyond(angle_rad, context.limit(KINK).value) {
        return outcomes.not_applicable("the tendon hardly turns there");
    }
    let is_required = context.requires(&Deviator::default(), "form", context.stage_of(at.tendon));
    match laid.corners[index].deviator {
        Some(position) => {
            let deviator = &at.tendon.deviators[position];
            let route = at.route.field("deviators").item(position);
            if context.form(deviator).is_some() {
                outcomes.pass();
            } else if deviator.form.is_some()
                || is_required
                || context.is_lost_at(&route.field("form"))
            {
                // A name that leads nowhere, and a field that the stage requires, are told as such.
                outcomes.not_evaluated("deviator.form");
            } else {
                let message =
                    "{tendon} turns by {angle_rad} at {place}, and the form there is not stated";
                let finding =
                    Finding::new(RULE.id, Kind::Missing, route, message).severity(Severity::Note);
                outcomes.found(facts(context, at, index, angle_rad, finding));
            }
        }
        None if at.tendon.points[index + 1].place.is_none() => {
            outcomes.not_applicable("the point is at no place");
        }
        None if laid.deviators.iter().any(|spot| spot.is_unknown()) => {
            outcomes.not_evaluated("deviator.place");
        }
        None => {
            let message = "{tendon} turns by {angle_rad} at {place}, where the schedule lists no deviator of it";
            let severity = if is_required { Severity::Error } else { Severity::Note };
            let place = at.route.field("points").item(index + 1).field("place");
            let finding = Finding::new(RULE.id, Kind::Missing, place, message).severity(severity);
            outcomes.found(facts(context, at, index, angle_rad, finding));
        }
    }
}

fn facts(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    index: usize,
    angle_rad: f64,
    finding: Finding,
) -> Finding {
    let place = at.tendon.points[index + 1].place.as_ref();
    let severity = finding.severity;
    let finding = finding
        .help(
            "List the deviator with its form: whether duct and tendon can leave there, and how, cannot be checked \
             without it",
        )
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::text("place", place.map_or("a deviator", |place| place.key())))
        .fact(Fact::computed("angle_rad", angle_rad, 4))
        .fact(context.limit(KINK).fact(KINK, 4))
        .severity(severity);
    match forms_beside(context, place.map(|place| place.key())) {
        Some(form) => finding.fact(Fact::text("usual_form", form)).remedy(
            "Other tendons pass {place} in form {usual_form}: list it here if it is the same",
        ),
        None => finding.remedy("List a deviator at {place} with the form that turns the tendon"),
    }
}

/// The form in which other tendons pass a place, if all pass it in one.
fn forms_beside(context: &Context<'_>, place: Option<&str>) -> Option<String> {
    let place = place?;
    let mut forms = context.tendons().flat_map(|at| {
        at.tendon
            .deviators
            .iter()
            .filter(|deviator| deviator.place.as_ref().is_some_and(|link| link.key() == place))
            .filter_map(|deviator| deviator.form.as_ref().map(|form| form.key()))
    });
    let first = forms.next()?;
    forms.all(|form| form == first).then(|| first.to_owned())
}
