//! The points of a tendon, or the alignment they are laid on, cannot be as stated.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::path::Alignment;
use restrand_model::route::Route;
use restrand_model::schedule::{Status, TendonPoint};

use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::tendon_path::{DeviatorSpot, Impossible, NoPath, extent_m};

const TOLERANCE: LimitKey = LimitKey {
    name: "station_tolerance_mm",
    meaning: "how far a point may lie outside the concrete of the place it names, along the station line",
};

pub(crate) const RULE: Rule = Rule {
    id: "path/points-impossible",
    summary: "points in order, on the alignment, at the places they name, with bends that fit their legs",
    kinds: &[Kind::Inconsistent],
    limits: &[TOLERANCE],
    sources: &[Citation::new("geometry of a polygon with arcs at its corners", Evidence::Derived)],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("points_impossible.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    match context.alignment() {
        Err(NoPath::Impossible(why)) => outcomes.found(of_alignment(context, *why)),
        Ok(_) | Err(NoPath::Missing(_)) => {}
    }
    spans(context, outcomes);
    for at in context.tendons() {
        if at.tendon.status == Some(Status::Removed) {
            outcomes.not_applicable("the tendon is removed");
        } else {
            of_tendon(context, &at, outcomes);
        }
    }
}

/// Spans end beyond where they begin.
fn spans(context: &Context<'_>, outcomes: &mut Outcomes) {
    for (index, span) in context.schedule.spans.iter().enumerate() {
        let (Some(from_m), Some(to_m)) = (span.from_m, span.to_m) else {
            outcomes.not_evaluated(if span.from_m.is_none() { "span.from_m" } else { "span.to_m" });
            continue;
        };
        if to_m > from_m {
            outcomes.pass();
            continue;
        }
        let route = Route::to("spans", index);
        outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Inconsistent,
                route.field("to_m"),
                "span {span} ends at {to_m}, not beyond {from_m} where it begins",
            )
            .related(route.field("from_m"), "where it begins")
            .help("Stations rise along the bridge: correct the one that is wrong, or exchange the two")
            .fact(Fact::text("span", span.id.as_deref().unwrap_or("without a name")))
            .fact(Fact::given("from_m", from_m, 3))
            .fact(Fact::given("to_m", to_m, 3)),
        );
    }
}

/// The alignment, once for all tendons on it.
fn of_alignment(context: &Context<'_>, why: Impossible) -> Finding {
    let element = |index: usize| Route::to("alignment", index);
    match why {
        Impossible::StraightWithArc { element: index } => Finding::new(
            RULE.id,
            Kind::Inconsistent,
            Route::root().field("project").field("alignment_straight"),
            "the alignment is stated as straight over the whole bridge, but element {element} of it is an arc",
        )
        .related(element(index), "the arc")
        .help("Say that it is not straight, or take the arc out; stations, laterals and all angles hang on it")
        .fact(Fact::given("element", (index + 1) as f64, 0)),
        Impossible::BrokenAlignment { element: index, at_m } => {
            let stated = context.schedule.alignment.get(index);
            let from_m = stated.and_then(|stated| stated.from_m).unwrap_or(at_m);
            let to_m = stated.and_then(|stated| stated.to_m).unwrap_or(at_m);
            // One that rises, or reaches further than those before it, begins at the wrong place.
            let (field, message) = if to_m > from_m.min(at_m) {
                ("from_m", "element {element} of the alignment begins at {from_m}, where the one before it ends at {at_m}")
            } else {
                ("to_m", "element {element} of the alignment ends at {to_m}, not beyond {at_m} where it begins")
            };
            Finding::new(RULE.id, Kind::Inconsistent, element(index).field(field), message)
                .help("List the elements up-station, each from where the one before it ends")
                .fact(Fact::given("element", (index + 1) as f64, 0))
                .fact(Fact::given("from_m", from_m, 3))
                .fact(Fact::given("to_m", to_m, 3))
                .fact(Fact::computed("at_m", at_m, 3))
        }
        _ => unreachable!("only these two are of the alignment"),
    }
}

fn of_tendon(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    let mut blamed = None;
    match context.path(at) {
        Ok(laid) => {
            let mut is_fine = places(context, at, None, outcomes);
            for (index, spot) in laid.deviators.iter().enumerate() {
                if *spot == DeviatorSpot::OffPath {
                    outcomes.found(off_path(context, at, index));
                    is_fine = false;
                }
            }
            if is_fine {
                outcomes.pass();
            }
            return;
        }
        Err(NoPath::Missing(field)) => outcomes.not_evaluated(field),
        Err(none @ NoPath::Impossible(why)) => match of_points(context, at, *why) {
            Some((point, finding)) => {
                blamed = Some(point);
                outcomes.found(finding);
            }
            None => outcomes.not_evaluated(none.field()),
        },
    }
    places(context, at, blamed, outcomes);
}

/// The point and the finding on it; nothing if it is the alignment's.
fn of_points(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    why: Impossible,
) -> Option<(usize, Finding)> {
    let points = at.route.field("points");
    let finding = |point: usize, field: Option<&'static str>, message: &'static str| {
        let record = points.item(point);
        let route = field.map_or(record.clone(), |field| context.value_of(&record, field));
        Finding::new(RULE.id, Kind::Inconsistent, route, message)
            .fact(Fact::text("tendon", at.mark()))
            .fact(Fact::given("point", (point + 1) as f64, 0))
    };
    let with_stations = |point: usize, finding: Finding| {
        let station_m =
            |index: usize| at.tendon.points.get(index).and_then(|point| point.station_m);
        let mut finding = finding;
        if let Some(station_m) = station_m(point) {
            finding = finding.fact(Fact::given("station_m", station_m, 3));
        }
        finding
    };
    let (point, mut found) = match why {
        Impossible::Repeated { point } => {
            let found = finding(
                point,
                None,
                "point {point} of {tendon} stands where the point before it stands: between them the tendon has \
                 no direction",
            )
            .related(points.item(point - 1), "the point before it")
            .help("Delete one of the two, or correct the one that was typed twice");
            (point, found)
        }
        Impossible::Backward { point } => {
            // Of two points out of order, the one that is not at its own place is the wrong one.
            let blamed = if off_place(context, at, point).is_none()
                && off_place(context, at, point - 1).is_some()
            {
                point - 1
            } else {
                point
            };
            let found = finding(
                blamed,
                Some("station_m"),
                "the points of {tendon} run back: point {later} stands down-station of the point before it",
            )
            .fact(Fact::given("later", (point + 1) as f64, 0))
            .related(points.item(point - 1), "the point before it")
            .help("List the points along the tendon, from either end, and correct a station that was mistyped");
            (blamed, found)
        }
        Impossible::OffAlignment { point } => (point, off_alignment(context, at, point, &finding)),
        Impossible::BendsOverlap { leg, tangents_m, length_m } => {
            // The bend with the larger radius takes most of the leg.
            let radius = |point: usize| {
                at.tendon.points.get(point).and_then(|point| point.radius_m).unwrap_or(0.0)
            };
            let last = at.tendon.points.len() - 1;
            let point = match (leg == 0, leg + 1 == last) {
                (true, _) => leg + 1,
                (_, true) => leg,
                _ if radius(leg + 1) > radius(leg) => leg + 1,
                _ => leg,
            };
            let found = finding(
                point,
                Some("radius_m"),
                "the leg of {tendon} between points {point_before} and {point_after} is {leg_length_m} long, and the \
                 bends at its ends need {tangents_m} of it",
            )
            .fact(Fact::given("point_before", (leg + 1) as f64, 0))
            .fact(Fact::given("point_after", (leg + 2) as f64, 0))
            .fact(Fact::computed("leg_length_m", length_m, 3))
            .fact(Fact::computed("tangents_m", tangents_m, 3))
            .help("Correct the radius: it is the tendon's axis', in metres; or the points, if one is misplaced");
            (point, found)
        }
        Impossible::Number { point } => {
            let found = finding(
                point,
                None,
                "point {point} of {tendon} has a number that no bridge has",
            )
            .help("Correct the number; stations, laterals, elevations and radii are in metres");
            (point, found)
        }
        Impossible::StraightWithArc { .. } | Impossible::BrokenAlignment { .. } => return None,
    };
    found = with_stations(point, found);
    if let Some(off) = off_place(context, at, point) {
        found = found
            .fact(Fact::text("place", off.place))
            .fact(Fact::given("place_station_m", off.station_m, 3))
            .related(off.route, "the place that the point names")
            .remedy("State a station within {place}, whose middle is at {place_station_m}");
    }
    Some((point, found))
}

/// A point that has no place on the alignment.
fn off_alignment(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    point: usize,
    finding: &dyn Fn(usize, Option<&'static str>, &'static str) -> Finding,
) -> Finding {
    let stated = at.tendon.points.get(point);
    if let Ok(Alignment::Curved { start, elements }) = context.alignment() {
        let from_m = start.station_m;
        let to_m = from_m + elements.iter().map(|element| element.length_m).sum::<f64>();
        let station_m = stated.and_then(|point| point.station_m).unwrap_or(from_m);
        if !(from_m..=to_m).contains(&station_m) {
            let message = "point {point} of {tendon} lies at station {station_m}, beyond the alignment, which runs \
                           from {alignment_from_m} to {alignment_to_m}";
            return finding(point, Some("station_m"), message)
                .fact(Fact::computed("alignment_from_m", from_m, 3))
                .fact(Fact::computed("alignment_to_m", to_m, 3))
                .related(Route::root().field("alignment"), "the alignment")
                .help("Correct the station, or list the alignment as far as the tendons reach");
        }
    }
    finding(
        point,
        Some("lateral_m"),
        "point {point} of {tendon} has no place on the alignment: its numbers lead beyond the centre of an arc, or \
         are none that a bridge has",
    )
    .help("Correct the lateral, which is measured square to the alignment, positive to the left, in metres")
}

/// The place that a point names and does not lie in.
struct OffPlace {
    place: String,
    station_m: f64,
    off_mm: f64,
    route: Route,
}

fn off_place(context: &Context<'_>, at: &TendonAt<'_>, point: usize) -> Option<OffPlace> {
    let point: &TendonPoint = at.tendon.points.get(point)?;
    let place = context.place(point.place.as_ref())?;
    let station_m = point.station_m?;
    let [down_m, up_m] = extent_m(place.record, point.lateral_m.unwrap_or(0.0))?;
    let off_m = (down_m - station_m).max(station_m - up_m);
    let tolerance_mm = context.limit(TOLERANCE).value;
    (off_m * 1000.0 > tolerance_mm + 1e-6).then(|| OffPlace {
        place: place.record.id.as_deref().unwrap_or_default().to_owned(),
        station_m: place.record.station_m.unwrap_or(f64::midpoint(down_m, up_m)),
        off_mm: off_m * 1000.0,
        route: place.route,
    })
}

/// Points that do not lie in the places they name; whether there is none.
fn places(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    blamed: Option<usize>,
    outcomes: &mut Outcomes,
) -> bool {
    let mut is_fine = true;
    for (index, point) in at.tendon.points.iter().enumerate() {
        if blamed == Some(index) {
            continue;
        }
        let (Some(off), Some(station_m)) = (off_place(context, at, index), point.station_m) else {
            continue;
        };
        is_fine = false;
        let finding = Finding::new(
            RULE.id,
            Kind::Inconsistent,
            at.route.field("points").item(index).field("station_m"),
            "point {point} of {tendon} lies at station {station_m}, but names {place}, whose concrete it misses by \
             {off_mm}",
        )
        .related(off.route, "the place that the point names")
        .help("Correct the station, or name the place at which the point lies")
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::given("point", (index + 1) as f64, 0))
        .fact(Fact::given("station_m", station_m, 3))
        .fact(Fact::text("place", off.place))
        .fact(Fact::given("place_station_m", off.station_m, 3))
        .fact(Fact::computed("off_mm", off.off_mm, 0))
        .fact(context.limit(TOLERANCE).fact(TOLERANCE, 0))
        .remedy("State a station within {place}, whose middle is at {place_station_m}");
        outcomes.found(finding);
    }
    is_fine
}

/// A deviator at a place that the tendon does not reach.
fn off_path(context: &Context<'_>, at: &TendonAt<'_>, index: usize) -> Finding {
    let deviator = &at.tendon.deviators[index];
    let station_m = |point: Option<&TendonPoint>| point.and_then(|point| point.station_m);
    let place = context.place(deviator.place.as_ref());
    let mut finding = Finding::new(
        RULE.id,
        Kind::Inconsistent,
        at.route.field("deviators").item(index).field("place"),
        "{tendon} is listed with a deviator at {place}, station {place_station_m}, but runs from {from_m} to {to_m} \
         only",
    )
    .help("Name the place at which the deviator stands, or correct the points of the tendon")
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("place", deviator.place.as_ref().map_or("", |place| place.key())));
    for (name, station_m) in [
        ("place_station_m", place.as_ref().and_then(|place| place.record.station_m)),
        ("from_m", station_m(at.tendon.points.first())),
        ("to_m", station_m(at.tendon.points.last())),
    ] {
        if let Some(station_m) = station_m {
            finding = finding.fact(Fact::given(name, station_m, 3));
        }
    }
    match place {
        Some(place) => finding.related(place.route, "the place"),
        None => finding,
    }
}
