//! A tendon is grouted straight into a bent pipe that stays.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::{Deviator, Filler, FormKind, Permanence, Role, Status, Tendon};

use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "deviator/not-replaceable",
    summary: "a duct leads through each bent pipe that a replaceable tendon passes, and nothing bonds the two",
    kinds: &[Kind::Physical],
    limits: &[],
    sources: &[Citation::new(
        "FHWA-HIF-19-067 (2019), abstract: tendons bonded at anchorages and deviators are hard to replace",
        Evidence::Read,
    )],
    correction: Corrects::Nothing,
    implied_by: &["parts/bonded-inaccessibly"],
    page: include_str!("not_replaceable.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.stays() {
        return outcomes.not_applicable("the tendon need not be replaceable");
    }
    if !matches!(at.tendon.status, None | Some(Status::InUse)) {
        return outcomes.not_applicable("the tendon is not in place");
    }
    if at.tendon.deviators.is_empty() {
        return outcomes.not_applicable("the tendon has no deviator");
    }
    for index in 0..at.tendon.deviators.len() {
        of_deviator(context, at, index, outcomes);
    }
}

/// Whether a conduit that leaves leads the tendon through a deviator.
enum Duct {
    Leads,
    Missing,
    /// Nothing says so: the field that would.
    Unknown(&'static str),
}

fn of_deviator(context: &Context<'_>, at: &TendonAt<'_>, index: usize, outcomes: &mut Outcomes) {
    let deviator = &at.tendon.deviators[index];
    let Some(form) = context.form(deviator) else {
        return outcomes.not_evaluated("deviator.form");
    };
    match form.record.kind {
        Some(FormKind::BentPipe) => {}
        Some(_) => return outcomes.not_applicable("the form is no bent pipe"),
        None => return outcomes.not_evaluated("form.kind"),
    }
    let route = at.route.field("deviators").item(index);
    match duct(context, at, deviator, index) {
        Duct::Leads => return outcomes.pass(),
        Duct::Unknown(field) => return outcomes.not_evaluated(field),
        Duct::Missing => {}
    }
    match at.tendon.filler {
        // What stays soft lets the strands go.
        Some(Filler::Wax | Filler::Grease) => return outcomes.pass(),
        // What is not known may have hardened.
        Some(Filler::CementGrout | Filler::Unknown) => {}
        Some(Filler::None) => return outcomes.not_applicable("there is no filler to bond it"),
        None => return outcomes.not_evaluated("tendon.filler"),
    }
    let place = deviator.place.as_ref().map_or("a deviator", |place| place.key());
    let finding = Finding::new(
        RULE.id,
        Kind::Physical,
        route.field("form"),
        "at {place} no duct leads {tendon} through the bent pipe {form}, so that the filler bonds its strands to the \
         pipe for good",
    )
    .related(form.route, "the bent pipe, which stays")
    .help(
        "A tendon that is grouted into a cast-in pipe does not come out: lead the duct through unbroken, or choose a \
         filler that stays soft",
    )
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("place", place))
    .fact(Fact::text("form", form.record.id.as_deref().unwrap_or("without a name")))
    .remedy("Let one length of duct run through {place}, and list it")
    .remedy("Fill the tendon with wax or grease instead of grout")
    .remedy("State that the tendon need not be replaceable, if the owner agrees");
    outcomes.found(finding);
}

fn duct(context: &Context<'_>, at: &TendonAt<'_>, deviator: &Deviator, index: usize) -> Duct {
    let parts = context.deviator_parts(at, index);
    let carries = |role: Option<Role>| {
        matches!(role, Some(Role::Duct | Role::DeviatorPipe | Role::AnchoragePipe | Role::Liner))
    };
    if parts.iter().any(|resolved| {
        carries(resolved.part.role) && resolved.part.permanence == Some(Permanence::Replaceable)
    }) {
        return Duct::Leads;
    }
    if !at.tendon.duct_runs.is_empty() {
        let place = context.place(deviator.place.as_ref());
        let Some(station_m) = place.and_then(|place| place.record.station_m) else {
            return Duct::Unknown("place.station_m");
        };
        return runs_over(at.tendon, station_m);
    }
    match at.tendon.replacement.as_deref().and_then(|replacement| replacement.unbonded) {
        Some(true) => Duct::Leads,
        Some(false) => bonded_there(context, at.tendon, deviator),
        None => Duct::Unknown("replacement.unbonded"),
    }
}

/// Of a tendon that is bonded somewhere: whether it is at a deviator, by the points that it lists.
fn bonded_there(context: &Context<'_>, tendon: &Tendon, deviator: &Deviator) -> Duct {
    if tendon.bonded_points.is_empty() {
        return Duct::Unknown("tendon.bonded_points");
    }
    let Some(place) = context.place(deviator.place.as_ref()) else {
        return Duct::Unknown("deviator.place");
    };
    let mut found = Duct::Leads;
    for point in &tendon.bonded_points {
        match context.place(point.place.as_ref()) {
            Some(other) if std::ptr::eq(other.record, place.record) => return Duct::Missing,
            Some(_) => {}
            None => found = Duct::Unknown("bonded_point.place"),
        }
    }
    found
}

/// Whether one of the stated lengths of duct runs over a station.
fn runs_over(tendon: &Tendon, station_m: f64) -> Duct {
    let mut unknown = None;
    for run in &tendon.duct_runs {
        match (run.from_m, run.to_m) {
            (Some(from_m), Some(to_m)) => {
                if from_m.min(to_m) < station_m && station_m < from_m.max(to_m) {
                    return Duct::Leads;
                }
            }
            (None, _) => unknown = Some("duct_run.from_m"),
            (_, None) => unknown = Some("duct_run.to_m"),
        }
    }
    unknown.map_or(Duct::Missing, Duct::Unknown)
}
