//! A stated cut lies in concrete or in a form, or too near to one.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::CutPlace;

use super::is_to_be_replaced;
use crate::beyond::short_of;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};
use crate::works::{self, Along, CUT_CLEAR, CUT_TOLERANCE, Held, RELEASE_CLEAR};

pub(crate) const RULE: Rule = Rule {
    id: "replacement/cut-in-form",
    summary: "each stated cut against the forms, diaphragms and anchorages along the tendon",
    kinds: &[Kind::Physical, Kind::Margin],
    limits: &[CUT_CLEAR, RELEASE_CLEAR, CUT_TOLERANCE],
    sources: &[Citation::new("geometry along the tendon", Evidence::Derived)],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible"],
    page: include_str!("cut_in_form.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if !is_to_be_replaced(at, outcomes) {
        return;
    }
    if at.tendon.cuts.is_empty() {
        return outcomes.not_applicable("no cut is stated");
    }
    let known = Along::of(context, at).and_then(|along| Ok((along, context.held(at)?)));
    let (along, held) = match known {
        Ok(known) => known,
        Err(field) => return outcomes.not_evaluated(field),
    };
    for (index, cut) in at.tendon.cuts.iter().enumerate() {
        let Some(station_m) = cut.station_m else {
            outcomes.not_evaluated("cut.station_m");
            continue;
        };
        let [first_m, last_m] = along.stations_m();
        if !(first_m..=last_m).contains(&station_m) {
            outcomes.found(off_the_tendon(at, index, station_m, [first_m, last_m]));
            continue;
        }
        let near = held
            .iter()
            .map(|one| (one.clear_m(along.at_m(station_m)), one))
            .min_by(|(one, _), (other, _)| one.total_cmp(other));
        match near.and_then(|near| judge(context, at, &along, index, near, held)) {
            Some(finding) => outcomes.found(finding),
            None => outcomes.pass(),
        }
    }
}

fn off_the_tendon(at: &TendonAt<'_>, index: usize, station_m: f64, ends_m: [f64; 2]) -> Finding {
    let route = at.route.field("cuts").item(index).field("station_m");
    Finding::new(
        RULE.id,
        Kind::Physical,
        route,
        "the cut of {tendon} at station {station_m} lies beyond the tendon, which runs from {from_m} to {to_m}",
    )
    .help("Correct the station of the cut, or its unit")
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::given("station_m", station_m, 3))
    .fact(Fact::computed("from_m", ends_m[0], 3))
    .fact(Fact::computed("to_m", ends_m[1], 3))
}

fn judge(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    along: &Along,
    index: usize,
    (clear_m, near): (f64, &Held),
    held: &[Held],
) -> Option<Finding> {
    // A cut at a face is not inside it.
    let written_m = context.limit(CUT_TOLERANCE).value / 1000.0;
    let releases = at.tendon.cuts[index].purpose == Some(CutPlace::Release);
    let key = if releases { RELEASE_CLEAR } else { CUT_CLEAR };
    let limit = context.limit(key);
    let is_inside = clear_m < -written_m;
    if !is_inside && !short_of(clear_m + written_m, limit.value / 1000.0) {
        return None;
    }
    let station_m = at.tendon.cuts[index].station_m?;
    let route = at.route.field("cuts").item(index).field("station_m");
    let (kind, message) = match is_inside {
        true => (
            Kind::Physical,
            "the cut of {tendon} at station {station_m} lies inside {place}, where nobody can saw: {inside_mm} from its nearest face",
        ),
        false if releases => (
            Kind::Margin,
            "the release of {tendon} at station {station_m} lies {clear_mm} from {place}: less than the {release_clear_mm} for window and clamp",
        ),
        false => (
            Kind::Margin,
            "the cut of {tendon} at station {station_m} lies {clear_mm} from {place}: less than {cut_clear_mm}",
        ),
    };
    let mut finding = Finding::new(RULE.id, kind, route, message)
        .help("A saw needs room beside a face, and what lies in a form comes out whole")
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::text("place", near.place.as_str()))
        .fact(Fact::given("station_m", station_m, 3));
    let off_m = limit.value / 1000.0;
    let free = works::nearest_free(held, along.length_m(), along.at_m(station_m), off_m);
    if let Some(free) = free {
        let instead = Fact::computed("instead_m", along.station_m(free.along_m), 3);
        finding = finding
            .fact(if free.is_after { instead.at_least() } else { instead.at_most() })
            .remedy("Cut at station {instead_m}");
    }
    if is_inside {
        finding = finding.fact(Fact::computed("inside_mm", -clear_m * 1000.0, 0));
    } else {
        finding = finding
            .fact(Fact::computed("clear_mm", clear_m.max(0.0) * 1000.0, 0))
            .fact(limit.fact(key, 0));
    }
    Some(finding)
}
