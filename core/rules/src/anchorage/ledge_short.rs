//! The ring on which a wedge or shim plate bears is too narrow, or too hard pressed.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::anchorage::{Ledge, ledge};
use restrand_model::route::Route;
use restrand_model::schedule::{Anchorage, Part, Role};

use crate::assembly::call;
use crate::beyond::{beyond, short_of};
use crate::context::Context;
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::stressing::steel::Steel;

const LEAST: LimitKey =
    LimitKey { name: "ledge_least_mm", meaning: "ring on which a wedge or shim plate bears" };

pub(crate) const RULE: Rule = Rule {
    id: "anchorage/ledge-short",
    summary: "the ring that the bore leaves under the wedge plate and the shim plate, and the pressure on it",
    kinds: &[Kind::Physical, Kind::Margin, Kind::Inconsistent],
    limits: &[LEAST],
    sources: &[Citation::new(
        "geometry of a round plate over a round bore; mean pressure under the full force",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["parts/nesting-impossible"],
    page: include_str!("ledge_short.md"),
    check: Check::Schedule(check),
};

/// A plate and the bore over which it stands.
struct Seat {
    plate: String,
    plate_mm: f64,
    plate_tolerance_mm: f64,
    plate_route: Route,
    on: String,
    bore_mm: f64,
    bore_tolerance_mm: f64,
    bore_route: Route,
}

impl Seat {
    /// The plate at its least.
    fn least_plate_mm(&self) -> f64 {
        self.plate_mm - self.plate_tolerance_mm
    }

    /// The bore at its greatest.
    fn greatest_bore_mm(&self) -> f64 {
        self.bore_mm + self.bore_tolerance_mm
    }
}

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let forces = full_forces(context);
    for (index, anchorage) in context.schedule.anchorages.iter().enumerate() {
        let route = Route::to("anchorages", index);
        match seats(anchorage, &route) {
            Ok(seats) => {
                for seat in seats {
                    of_seat(context, anchorage, &route, &seat, forces[index], outcomes);
                }
            }
            Err(field) => outcomes.not_evaluated(field),
        }
    }
}

/// Each plate that leaves, with what it bears on.
fn seats(anchorage: &Anchorage, route: &Route) -> Result<Vec<Seat>, &'static str> {
    let list = route.field("parts");
    let of =
        |role: Role| anchorage.parts.iter().enumerate().find(|(_, part)| part.role == Some(role));
    let wedge = of(Role::WedgePlate);
    let shim = of(Role::ShimPlate);
    let bearing = of(Role::BearingPlate);
    let outer = |part: &Part| part.span_outer_mm.or(part.rear_outer_mm);
    let bore_of = |part: &Part| part.rear_inner_mm.or(part.span_inner_mm).filter(|mm| *mm > 0.0);
    let wedge_mm = wedge.and_then(|(_, part)| outer(part)).or(anchorage.wedge_plate_outer_mm);
    let wedge_route = match wedge {
        Some((index, part)) if outer(part).is_some() => list.item(index).field("span_outer_mm"),
        _ => route.field("wedge_plate_outer_mm"),
    };
    let bearing_mm = bearing.and_then(|(_, part)| bore_of(part)).or(anchorage.bearing_bore_mm);
    let bearing_route = match bearing {
        Some((index, part)) if bore_of(part).is_some() => list.item(index).field("rear_inner_mm"),
        _ => route.field("bearing_bore_mm"),
    };
    let tolerance =
        |part: Option<(usize, &Part)>| part.and_then(|(_, part)| part.tolerance_mm).unwrap_or(0.0);
    let name = |part: Option<(usize, &Part)>, role: &str| {
        part.map_or_else(|| role.to_owned(), |(_, part)| call(part))
    };
    let wedge_mm = wedge_mm.ok_or("anchorage.wedge_plate_outer_mm")?;
    let bearing_mm = bearing_mm.ok_or("anchorage.bearing_bore_mm")?;
    let bearing_seat =
        |plate: String, plate_mm: f64, plate_tolerance_mm: f64, plate_route: Route| Seat {
            plate,
            plate_mm,
            plate_tolerance_mm,
            plate_route,
            on: name(bearing, "bearing plate"),
            bore_mm: bearing_mm,
            bore_tolerance_mm: tolerance(bearing),
            bore_route: bearing_route.clone(),
        };
    let Some((at, part)) = shim else {
        let plate = name(wedge, "wedge plate");
        return Ok(vec![bearing_seat(plate, wedge_mm, tolerance(wedge), wedge_route)]);
    };
    let shim_route = list.item(at);
    let shim_mm = outer(part).ok_or("part.rear_outer_mm")?;
    let shim_bore_mm = bore_of(part).ok_or("part.rear_inner_mm")?;
    Ok(vec![
        Seat {
            plate: name(wedge, "wedge plate"),
            plate_mm: wedge_mm,
            plate_tolerance_mm: tolerance(wedge),
            plate_route: wedge_route,
            on: call(part),
            bore_mm: shim_bore_mm,
            bore_tolerance_mm: tolerance(shim),
            bore_route: shim_route.field("rear_inner_mm"),
        },
        bearing_seat(call(part), shim_mm, tolerance(shim), shim_route.field("span_outer_mm")),
    ])
}

/// The breaking force of the strongest tendon at each kind of anchorage, kN.
fn full_forces(context: &Context<'_>) -> Vec<Option<f64>> {
    let mut forces: Vec<Option<f64>> = vec![None; context.schedule.anchorages.len()];
    for at in context.tendons() {
        let full_kn = Steel::of(context, at.tendon)
            .ok()
            .and_then(|steel| Some(steel.strength().ok()?.fpu_mpa * steel.area_mm2 / 1000.0));
        for end in at.ends() {
            let position = end
                .end
                .anchorage
                .as_ref()
                .and_then(|link| context.position("anchorages", link.key()));
            if let (Some(position), Some(full_kn)) = (position, full_kn) {
                let held = forces[position].get_or_insert(full_kn);
                *held = held.max(full_kn);
            }
        }
    }
    forces
}

fn of_seat(
    context: &Context<'_>,
    anchorage: &Anchorage,
    route: &Route,
    seat: &Seat,
    full_kn: Option<f64>,
    outcomes: &mut Outcomes,
) {
    let facts = |finding: Finding| {
        finding
            .fact(Fact::text("anchorage", anchorage.id.as_deref().unwrap_or("without a name")))
            .fact(Fact::text("plate", seat.plate.as_str()))
            .fact(Fact::text("on", seat.on.as_str()))
            .fact(Fact::computed("plate_mm", seat.least_plate_mm(), 1))
            .fact(Fact::computed("bore_mm", seat.greatest_bore_mm(), 1))
            .related(seat.bore_route.clone(), "the bore under it")
            .rests_on([seat.plate_route.clone(), seat.bore_route.clone()])
    };
    let ring = ledge(seat.least_plate_mm(), seat.greatest_bore_mm(), full_kn.unwrap_or(0.0));
    let Ok(Ledge { width_mm, pressure_mpa, .. }) = ring else {
        outcomes.found(facts(Finding::new(
            RULE.id,
            Kind::Physical,
            seat.plate_route.clone(),
            "of anchorage {anchorage} {plate}, at its least {plate_mm} wide, does not bear on {on}: the bore there is up to {bore_mm}",
        ))
        .help("A plate that carries the tendon must be wider than the bore under it: correct the sizes, or ask the anchorage's supplier"));
        return;
    };
    // Width and pressure are two things, and what is stated of the ring is a third: none stands for another.
    let limit = context.limit(LEAST);
    if let Some(stated_mm) = anchorage.bearing_ledge_mm
        && seat.bore_route == bearing_route(anchorage, route)
        && beyond(stated_mm, (seat.plate_mm - seat.bore_mm) / 2.0 + limit.value / 2.0)
    {
        outcomes.found(facts(Finding::new(
            RULE.id,
            Kind::Inconsistent,
            route.field("bearing_ledge_mm"),
            "anchorage {anchorage} states a ring of {stated_mm} under {plate}, but plate and bore leave {width_mm}",
        ))
        .fact(Fact::given("stated_mm", stated_mm, 1))
        .fact(Fact::computed("width_mm", width_mm, 1))
        .help("Correct the ring, the plate or the bore: a diameter may be meant as a radius"));
    }
    if short_of(width_mm, limit.value) {
        outcomes.found(facts(Finding::new(
            RULE.id,
            Kind::Margin,
            seat.plate_route.clone(),
            "of anchorage {anchorage} {plate} bears on {on} with a ring of {width_mm}, less than {ledge_least_mm}",
        ))
        .help("A bore that was widened so that parts can be drawn out takes the ring away: ask the anchorage's supplier whether this combination was tested")
        .fact(Fact::computed("width_mm", width_mm, 2))
        .fact(limit.fact(LEAST, 0))
        .fact(Fact::computed("ratio", width_mm / limit.value, 2)));
    } else {
        outcomes.pass();
    }
    match (anchorage.allowed_ring_pressure_mpa, full_kn) {
        (None, _) => outcomes.not_evaluated("anchorage.allowed_ring_pressure_mpa"),
        (_, None) => outcomes.not_evaluated("strand.fpu_mpa"),
        (Some(allowed_mpa), Some(full_kn)) if beyond(pressure_mpa, allowed_mpa) => {
            outcomes.found(facts(Finding::new(
                RULE.id,
                Kind::Margin,
                route.field("allowed_ring_pressure_mpa"),
                "under the breaking force of its strands, {full_kn}, {plate} of anchorage {anchorage} presses on {on} with \
                 {pressure_mpa}, more than the {allowed_mpa} that are allowed",
            ))
            .help("The ring is too narrow for the strands: ask the anchorage's supplier for the tested combination")
            .fact(Fact::computed("full_kn", full_kn, 0))
            .fact(Fact::computed("pressure_mpa", pressure_mpa, 1))
            .fact(Fact::given("allowed_mpa", allowed_mpa, 1))
            .fact(Fact::computed("width_mm", width_mm, 2))
            .fact(Fact::computed("ratio", pressure_mpa / allowed_mpa, 2)));
        }
        _ => outcomes.pass(),
    }
}

/// Where the bore of the bearing plate is stated.
fn bearing_route(anchorage: &Anchorage, route: &Route) -> Route {
    let part = anchorage.parts.iter().position(|part| {
        part.role == Some(Role::BearingPlate) && part.rear_inner_mm.is_some_and(|mm| mm > 0.0)
    });
    match part {
        Some(index) => route.field("parts").item(index).field("rear_inner_mm"),
        None => route.field("bearing_bore_mm"),
    }
}
