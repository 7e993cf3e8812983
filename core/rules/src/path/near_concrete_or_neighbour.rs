//! A free length comes near to concrete, to an obstacle, or to another tendon.

mod room;
pub(crate) mod sweep;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;
use restrand_model::schedule::{Situation, Status};

use crate::beyond::short_of;
use crate::book::Limit;
use crate::context::Context;
use crate::path::lines::{Line, even_so, stretches};
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::works::worst_duct_mm;
use room::{Near, Rooms, Side};
use sweep::Beside;

const CONCRETE: LimitKey = LimitKey {
    name: "clear_concrete_mm",
    meaning: "clear distance from a duct in the open to concrete and to what is in the way",
};
const NEIGHBOUR: LimitKey =
    LimitKey { name: "clear_neighbour_mm", meaning: "clear distance between two ducts" };

pub(crate) const RULE: Rule = Rule {
    id: "path/near-concrete-or-neighbour",
    summary: "the clear distance from each duct in the open to walls, slabs and obstacles, and to other ducts",
    kinds: &[Kind::Physical, Kind::Margin],
    limits: &[CONCRETE, NEIGHBOUR],
    sources: &[Citation::new(
        "geometry of straight legs in a clear section; no published distance could be read",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible"],
    page: include_str!("near_concrete_or_neighbour.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let mut lines = Vec::new();
    for at in context.tendons() {
        if at.tendon.status == Some(Status::Removed) {
            outcomes.not_applicable("the tendon is removed");
        } else if at.tendon.situation == Some(Situation::Internal) {
            outcomes.not_applicable("the tendon lies inside the concrete");
        } else {
            match Line::of(context, at, worst_duct_mm) {
                Ok(line) => lines.push(line),
                Err(field) => outcomes.not_evaluated(field),
            }
        }
    }
    let rooms = Rooms::of(context);
    let concrete = context.limit(CONCRETE);
    for line in &lines {
        match rooms.nearest(context, line.laid, &line.ducts, concrete.value) {
            Err(field) => outcomes.not_evaluated(field),
            Ok(near) if short_of(near.gap_mm, concrete.value) => {
                outcomes.found(even_so(to_concrete(line, &near, concrete), &[line]));
            }
            Ok(_) => line.is_clear(outcomes),
        }
    }
    let limit = context.limit(NEIGHBOUR);
    for (line, beside) in
        lines.iter().zip(sweep::nearest(&stretches(&lines), lines.len(), limit.value))
    {
        match beside {
            Some(beside) => {
                let other = &lines[beside.other];
                let finding = to_neighbour(line, other, &beside, limit);
                outcomes.found(even_so(finding, &[line, other]));
            }
            None => line.is_clear(outcomes),
        }
    }
}

fn kind_of(gap_mm: f64) -> Kind {
    if gap_mm < 0.0 { Kind::Physical } else { Kind::Margin }
}

/// The point of a tendon that is nearer to a station on one of its legs.
fn nearer_point(line: &Line<'_, '_>, leg: usize, station_m: f64) -> (usize, Route) {
    let away = |point: usize| {
        line.at.tendon.points[point].station_m.map_or(f64::INFINITY, |at| (at - station_m).abs())
    };
    let point = if away(leg + 1) < away(leg) { leg + 1 } else { leg };
    (point, line.at.route.field("points").item(point))
}

fn to_concrete(line: &Line<'_, '_>, near: &Near, limit: &Limit) -> Finding {
    let (_, point) = nearer_point(line, near.leg, near.station_m);
    let kind = kind_of(near.gap_mm);
    let message = match kind {
        Kind::Physical => {
            "the duct of {tendon} runs into {what} of bay {bay} at station {station_m}, by {overlap_mm}"
        }
        _ => {
            "the duct of {tendon} leaves {gap_mm} to {what} of bay {bay} at station {station_m}, less than \
             {clear_concrete_mm}"
        }
    };
    let field = match near.side {
        Side::Floor | Side::Ceiling => "elevation_m",
        Side::Left | Side::Right => "lateral_m",
        Side::Outline | Side::Obstacle(_) => "station_m",
    };
    let short_mm = limit.value - near.gap_mm;
    let place = match near.side {
        Side::Outline | Side::Obstacle(_) => point,
        _ => point.field(field),
    };
    let mut finding = Finding::new(RULE.id, kind, place, message)
        .related(near.room.clone(), "what it comes near to")
        .help(
            "A duct that touches wears, and cannot be got at for cutting and joining: move the tendon, or what is in \
             its way",
        )
        .fact(Fact::text("tendon", line.at.mark()))
        .fact(Fact::text("what", near.what.as_str()))
        .fact(Fact::text("bay", near.bay.as_str()))
        .fact(Fact::computed("station_m", near.station_m, 2))
        .fact(Fact::computed("gap_mm", near.gap_mm, 1))
        .fact(limit.fact(CONCRETE, 1))
        .fact(Fact::computed("ratio", near.gap_mm / limit.value, 2))
        .fact(Fact::computed("short_mm", short_mm, 1).at_least());
    if kind == Kind::Physical {
        finding = finding.fact(Fact::computed("overlap_mm", -near.gap_mm, 1));
    }
    finding.remedy(match near.side {
        Side::Floor => "Raise the tendon by {short_mm} there",
        Side::Ceiling => "Lower the tendon by {short_mm} there",
        Side::Left => "Move the tendon {short_mm} to the right there",
        Side::Right => "Move the tendon {short_mm} to the left there",
        Side::Outline => "Move the tendon {short_mm} away from the concrete there",
        Side::Obstacle(_) => "Move {what} {short_mm} away, or the tendon",
    })
}

fn to_neighbour(
    line: &Line<'_, '_>,
    other: &Line<'_, '_>,
    beside: &Beside,
    limit: &Limit,
) -> Finding {
    let (_, point) = nearer_point(line, beside.leg, beside.station_m);
    let (_, other_point) = nearer_point(other, beside.other_leg, beside.station_m);
    let kind = kind_of(beside.gap_mm);
    let message = match kind {
        Kind::Physical => {
            "the ducts of {tendon} and {neighbour} run into each other at station {station_m}, by {overlap_mm}"
        }
        _ => {
            "the ducts of {tendon} and {neighbour} leave {gap_mm} between them at station {station_m}, less than \
             {clear_neighbour_mm}"
        }
    };
    let mut finding = Finding::new(RULE.id, kind, point, message)
        .related(other_point, "the other tendon")
        .help(
            "Ducts that touch wear, and one cannot be cut without nicking the other: move one of them, or lead one \
             through a form",
        )
        .fact(Fact::text("tendon", line.at.mark()))
        .fact(Fact::text("neighbour", other.at.mark()))
        .fact(Fact::computed("station_m", beside.station_m, 2))
        .fact(Fact::computed("gap_mm", beside.gap_mm, 1))
        .fact(Fact::computed("axes_mm", beside.axes_mm, 1))
        .fact(limit.fact(NEIGHBOUR, 1))
        .fact(Fact::computed("ratio", beside.gap_mm / limit.value, 2))
        .fact(Fact::computed("short_mm", limit.value - beside.gap_mm, 1).at_least());
    if kind == Kind::Physical {
        finding = finding.fact(Fact::computed("overlap_mm", -beside.gap_mm, 1));
    }
    if beside.near > 1 {
        finding = finding.fact(Fact::computed("near_tendons", beside.near as f64, 0));
    }
    finding.remedy("Move one of them {short_mm} away from the other there")
}
