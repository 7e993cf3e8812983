//! The stated length of a tendon is not that of its points.

use restrand_finding::{Citation, Class, Correction, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::{Situation, TendonPoint};

use crate::beyond::beyond;
use crate::context::{Context, TendonAt};
use crate::mended;
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::tendon_path::{LaidTendon, RadiusFrom, or_said};

const SHARE: LimitKey = LimitKey {
    name: "length_tolerance",
    meaning: "share by which a stated length may differ from the developed one",
};
const LEAST: LimitKey = LimitKey {
    name: "length_tolerance_mm",
    meaning: "by how much a stated length may differ in any case",
};

pub(crate) const RULE: Rule = Rule {
    id: "path/length-mismatch",
    summary: "the stated length of each tendon against the developed length of its points and bends",
    kinds: &[Kind::Inconsistent],
    limits: &[SHARE, LEAST],
    sources: &[Citation::new("geometry of a polygon with arcs at its corners", Evidence::Derived)],
    correction: Corrects::Offers(&[Class::Recompute], offer),
    implied_by: &["path/points-impossible"],
    page: include_str!("length_mismatch.md"),
    check: Check::Tendons(check),
};

/// The developed length, where every bend states its radius.
fn offer(context: &Context<'_>, offered: &mut Vec<Correction>) {
    for at in context.tendons() {
        let is_bent_by_nothing = |laid: &LaidTendon| {
            laid.corners.iter().any(|corner| corner.radius == RadiusFrom::Nothing)
        };
        if context.path(&at).is_ok_and(is_bent_by_nothing) {
            continue;
        }
        let mend = (Class::Recompute, "developed_length_m", REASON);
        offered.extend(mended::by_fact(context, &at, check, mend, &[at.route.field("points")]));
    }
}

const REASON: &str =
    "{tendon} was stated as {length_m} long; its points and bends make {developed_length_m}";

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    let Some(stated_m) = at.tendon.length_m else {
        return outcomes.not_evaluated("tendon.length_m");
    };
    let Some(laid) = or_said(context, at, outcomes) else { return };
    // Inside the concrete the tendon lies on curves: without their radii a polygon is no length.
    if at.tendon.situation == Some(Situation::Internal)
        && laid.corners.iter().any(|corner| corner.radius == RadiusFrom::Nothing)
    {
        return outcomes.not_evaluated("tendon_point.radius_m");
    }
    let developed_m = laid.path.developed_length_m;
    let difference_mm = (stated_m - developed_m) * 1000.0;
    let (share, least) = (context.limit(SHARE), context.limit(LEAST));
    let by_share_mm = share.value * developed_m * 1000.0;
    let allowed_mm = by_share_mm.max(least.value);
    if !beyond(difference_mm.abs(), allowed_mm) {
        return outcomes.pass();
    }
    let message = match difference_mm > 0.0 {
        true => {
            "{tendon} is stated as {length_m} long, {difference_mm} more than its points and bends make: \
                 {developed_length_m}"
        }
        false => {
            "{tendon} is stated as {length_m} long, {difference_mm} less than its points and bends make: \
                  {developed_length_m}"
        }
    };
    let mut finding = Finding::new(
        RULE.id,
        Kind::Inconsistent,
        at.route.field("length_m"),
        message,
    )
    .related(at.route.field("points"), "the points")
    .help("Strand is ordered and elongation computed by this length: correct it, or the point that is wrong")
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::given("length_m", stated_m, 3))
    .fact(Fact::computed("developed_length_m", developed_m, 3))
    .fact(Fact::computed("difference_mm", difference_mm.abs(), 0))
    .fact(Fact::computed("allowed_mm", allowed_mm, 0))
    .fact(Fact::computed("ratio", difference_mm.abs() / allowed_mm, 2));
    finding = match by_share_mm > least.value {
        true => finding.fact(share.fact(SHARE, 4)),
        false => finding.fact(least.fact(LEAST, 0)),
    };
    finding = finding.remedy("State {developed_length_m}");
    if let Some((name, text, other_m)) = meant(at, laid, stated_m, least.value) {
        finding = finding.fact(Fact::computed(name, other_m, 3)).remedy(text);
    }
    outcomes.found(finding);
}

/// What else the stated length is the length of.
fn meant(
    at: &TendonAt<'_>,
    laid: &LaidTendon,
    stated_m: f64,
    least_mm: f64,
) -> Option<(&'static str, &'static str, f64)> {
    let station_m = |point: Option<&TendonPoint>| point.and_then(|point| point.station_m);
    let along_m = station_m(at.tendon.points.last())? - station_m(at.tendon.points.first())?;
    let tails_m = at.ends().map(|end| end.end.tail_mm.unwrap_or(0.0)).sum::<f64>() / 1000.0;
    let with_tails_m = laid.path.developed_length_m + tails_m;
    [
        (
            "station_length_m",
            "What is stated is the distance along the stations, {station_length_m}: measure along the tendon",
            along_m,
        ),
        (
            "length_with_tails_m",
            "What is stated is the length with the tails, {length_with_tails_m}: state it from bearing plate to \
             bearing plate",
            with_tails_m,
        ),
    ]
    .into_iter()
    .find(|(_, _, other_m)| {
        (stated_m - other_m).abs() * 1000.0 < least_mm.min((stated_m - laid.path.developed_length_m).abs() * 1000.0)
    })
}
