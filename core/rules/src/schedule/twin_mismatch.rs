//! Two tendons that mirror each other differ in more than their side.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::Record;
use restrand_model::route::Route;
use restrand_model::schedule::{Tendon, TendonPoint};

use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const TOLERANCE: LimitKey = LimitKey {
    name: "twin_tolerance_mm",
    meaning: "distance by which points of mirrored tendons may differ",
};

pub(crate) const RULE: Rule = Rule {
    id: "schedule/twin-mismatch",
    summary: "tendons that are stated to mirror each other, field by field and point by point",
    kinds: &[Kind::Inconsistent],
    limits: &[TOLERANCE],
    sources: &[Citation::new("mirrored tendons differ in the sign of lateral", Evidence::Derived)],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("twin_mismatch.md"),
    check: Check::Schedule(check),
};

/// What twins have in common, besides points, deviators and ends.
const FIELDS: &[&str] = &[
    "spans",
    "situation",
    "replaceable",
    "status",
    "strand",
    "strand_count",
    "strand_capacity",
    "duct",
    "filler",
    "installation",
    "replacement_installation",
];
/// What ends of twins have in common.
const END_FIELDS: &[&str] = &["place", "face", "kind", "anchorage", "jack"];

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    for (index, at) in context.tendons().enumerate() {
        let Some(link) = at.tendon.twin.as_ref() else {
            outcomes.not_applicable("no twin is stated");
            continue;
        };
        let Some(position) = context.position("tendons", link.key()) else {
            outcomes.not_evaluated("tendon.twin");
            continue;
        };
        let twin = &context.schedule.tendons[position];
        if position == index {
            outcomes.found(to_itself(&at));
            continue;
        }
        let back = twin.twin.as_ref().and_then(|link| context.position("tendons", link.key()));
        match back {
            // The pair is compared once, at its second tendon.
            Some(back) if back == index && index < position => continue,
            Some(back) if back != index => {
                outcomes.found(not_mutual(&at, link.key(), twin, position));
                continue;
            }
            _ => {}
        }
        compare(context, &at, twin, position, outcomes);
    }
}

fn to_itself(at: &TendonAt<'_>) -> Finding {
    Finding::new(
        RULE.id,
        Kind::Inconsistent,
        at.route.field("twin"),
        "tendon {tendon} is stated to mirror itself",
    )
    .help("Name the tendon on the other side, or nothing for one in the middle")
    .fact(Fact::text("tendon", at.mark()))
}

fn not_mutual(at: &TendonAt<'_>, named: &str, twin: &Tendon, position: usize) -> Finding {
    let other = twin.twin.as_ref().map_or("", |link| link.key());
    Finding::new(
        RULE.id,
        Kind::Inconsistent,
        at.route.field("twin"),
        "tendon {tendon} is stated to mirror {twin}, which is stated to mirror {other}",
    )
    .related(Route::to("tendons", position).field("twin"), "the other one")
    .help("A tendon has one twin: correct the one that is wrong")
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("twin", named))
    .fact(Fact::text("other", other))
}

fn compare(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    twin: &Tendon,
    position: usize,
    outcomes: &mut Outcomes,
) {
    let tendon = at.tendon;
    let mut differing: Vec<(String, Route)> = Vec::new();
    for name in FIELDS {
        if differs(tendon, twin, name) {
            differing.push((name.replace('_', " "), at.route.field(name)));
        }
    }
    let places = |tendon: &Tendon| -> Vec<Option<String>> {
        let key = |deviator: &restrand_model::schedule::Deviator| {
            let form = deviator.form.as_ref().map_or("", |link| link.key());
            deviator.place.as_ref().map(|place| format!("{} {form}", place.key()))
        };
        tendon.deviators.iter().map(key).collect()
    };
    let both_deviated = !tendon.deviators.is_empty() && !twin.deviators.is_empty();
    if both_deviated && places(tendon) != places(twin) {
        differing.push(("deviators".to_owned(), at.route.field("deviators")));
    }
    for (name, end) in tendon.stated_ends() {
        // An end that only one of them states is missing, not different.
        let Some((_, other)) = twin.stated_ends().find(|(other, _)| *other == name) else {
            continue;
        };
        let route = at.route.field("ends").field(restrand_model::reflect::Choice::word(name));
        for field in END_FIELDS {
            if differs(end, other, field) {
                differing.push((
                    format!("{} of end {name}", field.replace('_', " ")),
                    route.field(field),
                ));
            }
        }
    }
    let tolerance = context.limit(TOLERANCE);
    let off_mm = points_off_mm(&tendon.points, &twin.points);
    let points_differ = off_mm.is_none_or(|off_mm| off_mm > tolerance.value + 1e-6);
    if points_differ {
        differing.push(("points".to_owned(), at.route.field("points")));
    }
    let Some((_, first)) = differing.first() else {
        return outcomes.pass();
    };
    let names: Vec<_> = differing.iter().map(|(name, _)| name.as_str()).collect();
    let mut finding = Finding::new(
        RULE.id,
        Kind::Inconsistent,
        first.clone(),
        "tendon {tendon} is stated to mirror {twin}, and differs from it in: {fields}",
    )
    .related(Route::to("tendons", position), "its twin")
    .help("Correct what is a slip; if the two do differ, they are no twins")
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("twin", twin.mark.as_deref().unwrap_or_default()))
    .fact(Fact::text("fields", names.join(", ")));
    if points_differ && let Some(off_mm) = off_mm {
        finding = finding
            .fact(Fact::computed("off_mm", off_mm, 1))
            .related(at.route.field("points"), "points that are off by {off_mm}");
        // Only where nothing else differs does the finding hang on the tolerance.
        if differing.len() == 1 {
            finding = finding.fact(tolerance.fact(TOLERANCE, 1));
        }
    }
    outcomes.found(finding);
}

/// Whether both state a field, and not the same; what only one states is missing, not different.
fn differs(one: &dyn Record, other: &dyn Record, field: &str) -> bool {
    let (one, other) = (one.get(field), other.get(field));
    !one.is_absent() && !other.is_absent() && one.to_value() != other.to_value()
}

/// The greatest distance of a point from the mirror of its twin's, mm; none where they cannot be compared.
///
/// A coordinate that is absent says nothing.
fn points_off_mm(points: &[TendonPoint], twins: &[TendonPoint]) -> Option<f64> {
    if points.is_empty() || twins.is_empty() {
        return Some(0.0);
    }
    if points.len() != twins.len() {
        return None;
    }
    let mut greatest = 0.0_f64;
    for (point, twin) in points.iter().zip(twins) {
        for (one, other) in [
            (point.station_m, twin.station_m),
            (point.lateral_m, twin.lateral_m.map(|lateral| -lateral)),
            (point.elevation_m, twin.elevation_m),
        ] {
            // What only one states is missing, not different.
            if let (Some(one), Some(other)) = (one, other) {
                greatest = greatest.max((one - other).abs() * 1000.0);
            }
        }
    }
    Some(greatest)
}
