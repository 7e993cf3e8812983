//! A jack does not get through an opening on any way to an end that it stresses.

use std::collections::BTreeMap;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;
use restrand_model::schedule::OpeningPlane;

use super::{jacks_by_bay, named, ways_or_said};
use crate::context::Context;
use crate::rule::{Check, Corrects, Rule};
use crate::ways::{Body, Door, Passing, Room, Spares, Ways};

pub(crate) const RULE: Rule = Rule {
    id: "access/jack-does-not-pass",
    summary: "each jack in the attitudes in which it may hang against the openings on its way to each end",
    kinds: &[Kind::Physical],
    limits: &[],
    sources: &[Citation::new("a box through an opening; no allowance is in it", Evidence::Derived)],
    correction: Corrects::Nothing,
    implied_by: &["access/no-way", "schedule/dangling-reference"],
    page: include_str!("jack_does_not_pass.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let Some(ways) = ways_or_said(context, outcomes) else { return };
    // The ways of a jack are the same to all its bays.
    let mut reached_by = BTreeMap::new();
    for ((jack, bay), ends) in jacks_by_bay(context, &ways, outcomes) {
        let body = match Body::jack(&context.schedule.jacks[jack]) {
            Ok(body) => body,
            Err(field) => {
                outcomes.not_evaluated(field);
                continue;
            }
        };
        let reached = reached_by
            .entry(jack)
            .or_insert_with(|| ways.best(|_, door| body.spare_mm(&ways, door)));
        match reached[bay] {
            Ok(Some(reach)) if reach.spare_mm >= 0.0 => {
                let length_mm = ways.length_mm(context, bay);
                match body.too_long_mm(length_mm, &ways.bays[bay]) {
                    Some(more_mm) => {
                        outcomes.found(too_long(context, &ways, jack, bay, more_mm, &ends));
                    }
                    None => outcomes.pass(),
                }
            }
            Ok(Some(reach)) => {
                let door = &ways.doors[reach.binds];
                match body.passing(&ways, door) {
                    Ok(passing) => {
                        let would_pass = ways.would_pass(bay, reached, |door| {
                            body.spare_mm(&ways, door).is_ok_and(|spare_mm| spare_mm >= 0.0)
                        });
                        outcomes.found(
                            stuck(context, &ways, jack, bay, door, &passing, &ends)
                                .rests_on(would_pass),
                        );
                    }
                    Err(field) => outcomes.not_evaluated(field),
                }
            }
            // That no way leads there is told by the rule on ways.
            Ok(None) => outcomes.not_evaluated("schedule.openings"),
            Err(field) => outcomes.not_evaluated(field),
        }
    }
}

/// A jack that lies and stands nowhere in the bay in which it is to work.
fn too_long(
    context: &Context<'_>,
    ways: &Ways<'_>,
    jack: usize,
    bay: usize,
    more_mm: f64,
    ends: &[String],
) -> Finding {
    let record = &context.schedule.jacks[jack];
    let mut finding = Finding::new(
        RULE.id,
        Kind::Physical,
        Route::to("jacks", jack).field("retracted_mm"),
        "jack {jack} is {more_mm} longer than bay {bay}, in which it is to work at {ends}, has room for",
    )
    .related(Route::to("bays", bay), "the bay")
    .rests_on([Route::to("bays", bay).field("to_m")])
    .help("Check the length and its unit; else a shorter jack that is listed for the anchorage")
    .fact(Fact::text("jack", record.id.as_deref().unwrap_or("without a name")))
    .fact(Fact::text("bay", ways.call_bay(bay)))
    .fact(Fact::text("ends", named(ends)))
    .fact(Fact::computed("more_mm", more_mm, 0).at_least());
    if let Some(length_mm) = record.retracted_mm {
        finding = finding.fact(Fact::given("length_mm", length_mm, 0));
    }
    finding
}

fn stuck(
    context: &Context<'_>,
    ways: &Ways<'_>,
    jack: usize,
    bay: usize,
    door: &Door,
    passing: &Passing,
    ends: &[String],
) -> Finding {
    let record = &context.schedule.jacks[jack];
    let opening = door.opening;
    let short = short(ways, door, passing);
    let worst = short.iter().min_by(|one, other| one.spare_mm.total_cmp(&other.spare_mm));
    let place = worst.map_or_else(|| Route::to("openings", opening), |short| short.route.clone());
    let mut finding = Finding::new(
        RULE.id,
        Kind::Physical,
        place,
        "jack {jack} does not get through opening {opening} on the best way to bay {bay}, however it may hang: {short_mm} are \
         missing {where}",
    )
    .related(Route::to("jacks", jack), "the jack")
    .help(
        "Another jack that is listed for the anchorage, a wider opening, or another way; the jack counts retracted, with its \
         sling above it",
    )
    .fact(Fact::text("jack", record.id.as_deref().unwrap_or("without a name")))
    .fact(Fact::text("opening", ways.call(opening)))
    .fact(Fact::text("bay", ways.call_bay(bay)))
    .fact(Fact::text("ends", named(ends)))
    .fact(Fact::computed("short_mm", -passing.spare_mm, 0).at_least())
    .fact(Fact::text("where", worst.map_or("across", |short| short.place)));
    for (name, value) in [("length_mm", record.retracted_mm), ("diameter_mm", record.diameter_mm)] {
        if let Some(value) = value {
            finding = finding.fact(Fact::given(name, value, 0));
        }
    }
    if passing.sling_mm > 0.0 {
        finding = finding.fact(Fact::given("sling_mm", passing.sling_mm, 0));
    }
    // Where it is short in several directions, all of them have to be mended.
    let mut changes = Vec::new();
    for short in &short {
        finding = finding.fact(Fact::computed(short.name, -short.spare_mm, 0).at_least());
        changes.push(short.change);
    }
    let upright = short.iter().filter(|short| short.with_sling).map(|short| -short.spare_mm);
    let upright_mm = upright.reduce(f64::max);
    if !changes.is_empty() {
        let all = changes.join(", and ");
        let first = all.get(..1).map(str::to_uppercase).unwrap_or_default();
        finding = finding.remedy(format!("{first}{}", all.get(1..).unwrap_or_default()));
    }
    match upright_mm {
        // A shorter sling is enough where only the height lacks.
        Some(sling_mm)
            if sling_mm <= passing.sling_mm && short.iter().all(|short| short.with_sling) =>
        {
            finding
                .fact(Fact::computed("shorter_mm", sling_mm, 0).at_least())
                .remedy("Hang the jack by a sling that is {shorter_mm} shorter than {sling_mm}")
        }
        _ => finding,
    }
}

/// A direction in which the jack does not fit.
struct Short {
    spare_mm: f64,
    /// The value that is to be looked at.
    route: Route,
    place: &'static str,
    /// The name of the fact.
    name: &'static str,
    change: &'static str,
    with_sling: bool,
}

/// The directions in which an opening is too small, or the room beside it.
fn short(ways: &Ways<'_>, door: &Door, passing: &Passing) -> Vec<Short> {
    let opening = &ways.openings[door.opening];
    let route = Route::to("openings", door.opening);
    let over = door.rooms.iter().find_map(|room| match room {
        Room::Bay(bay) if ways.bays[*bay].height_mm.is_some() => {
            Some(Route::to("bays", *bay).field("height_mm"))
        }
        _ => None,
    });
    let Spares { width_mm, height_mm, lift_mm, above_mm, in_line_mm } = passing.spares;
    let is_floor = opening.plane != Some(OpeningPlane::Wall);
    let (field, change) = match opening.diameter_mm {
        Some(_) => ("diameter_mm", "make opening {opening} {wider_mm} wider on diameter"),
        None => ("width_mm", "make opening {opening} {wider_mm} wider"),
    };
    let height = match is_floor {
        true => ("along it", "make opening {opening} {higher_mm} longer along the bridge"),
        false => ("in its height", "make opening {opening} {higher_mm} higher"),
    };
    let all = [
        Some((width_mm, route.field(field), "across", "wider_mm", change, false)),
        height_mm
            .map(|mm| (mm, route.field("height_mm"), height.0, "higher_mm", height.1, !is_floor)),
        lift_mm.map(|mm| {
            let change = "lower the sill of opening {opening} by {lower_mm}";
            (
                mm,
                route.field("sill_mm"),
                "between its sill and the ceiling",
                "lower_mm",
                change,
                true,
            )
        }),
        above_mm.map(|mm| {
            let change = "make the room over opening {opening} {above_mm} higher";
            let over = over.unwrap_or_else(|| route.field("clear_before_mm"));
            (mm, over, "in the height of the room over it", "above_mm", change, true)
        }),
        in_line_mm.map(|mm| {
            let change = "clear {in_line_mm} more in line with opening {opening}";
            // The side with less room.
            let sides = [opening.clear_before_mm, opening.clear_beyond_mm];
            let field = match sides {
                [Some(before_mm), Some(beyond_mm)] if beyond_mm < before_mm => "clear_beyond_mm",
                [None, Some(_)] => "clear_beyond_mm",
                _ => "clear_before_mm",
            };
            (mm, route.field(field), "in line with it", "in_line_mm", change, false)
        }),
    ];
    let short = all.into_iter().flatten().filter(|(spare_mm, ..)| *spare_mm < 0.0);
    short
        .map(|(spare_mm, route, place, name, change, with_sling)| Short {
            spare_mm,
            route,
            place,
            name,
            change,
            with_sling,
        })
        .collect()
}
