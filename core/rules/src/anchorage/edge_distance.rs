//! An anchorage is nearer to an edge or to its neighbour than its kind asks for.

use std::collections::BTreeMap;

use restrand_finding::{Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::{EndName, FaceName, Status};

use crate::beyond::short_of;
use crate::context::{Context, EndAt, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "anchorage/edge-distance",
    summary: "distances from an anchorage to the edge and to its neighbours on the same face, against those of its kind",
    kinds: &[Kind::Margin],
    limits: &[],
    sources: &[restrand_finding::Citation::new(
        "distances between axes at the bearing plates; the least ones are the anchorage's own",
        restrand_finding::Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible", "schedule/duplicate-mark"],
    page: include_str!("edge_distance.md"),
    check: Check::Schedule(check),
};

/// An anchorage on a face.
struct Seat<'a> {
    mark: String,
    end: EndAt<'a>,
    lateral_m: f64,
    elevation_m: f64,
    centre_mm: Option<f64>,
    kind: String,
}

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let mut faces: BTreeMap<(&str, FaceName), Vec<Seat<'_>>> = BTreeMap::new();
    for at in context.tendons() {
        if at.tendon.status == Some(Status::Removed) {
            outcomes.not_applicable("the tendon is removed");
            continue;
        }
        for end in at.ends() {
            edge(context, &at, &end, outcomes);
            let Some(place) = end.end.place.as_ref().map(|link| link.key()) else {
                outcomes.not_evaluated("end.place");
                continue;
            };
            match seat(context, &at, &end) {
                Ok(seat) => faces.entry((place, face(&end))).or_default().push(seat),
                Err(field) => outcomes.not_evaluated(field),
            }
        }
    }
    for seats in faces.into_values() {
        neighbours(seats, outcomes);
    }
}

/// The face on which a bearing plate sits: as stated, or that which looks away from the span.
fn face(end: &EndAt<'_>) -> FaceName {
    end.end.face.unwrap_or(match end.name {
        EndName::A => FaceName::Down,
        EndName::B => FaceName::Up,
    })
}

fn edge(context: &Context<'_>, at: &TendonAt<'_>, end: &EndAt<'_>, outcomes: &mut Outcomes) {
    let Some(kind) = context.anchorage(end.end) else {
        return outcomes.not_evaluated("end.anchorage");
    };
    let Some(least_mm) = kind.record.edge_distance_mm else {
        return outcomes.not_evaluated("anchorage.edge_distance_mm");
    };
    let Some(edge_mm) = end.end.edge_distance_mm else {
        return outcomes.not_evaluated("end.edge_distance_mm");
    };
    if !short_of(edge_mm, least_mm) {
        return outcomes.pass();
    }
    outcomes.found(
        Finding::new(
            RULE.id,
            Kind::Margin,
            end.route.field("edge_distance_mm"),
            "{end} of {tendon} is {edge_mm} from the edge of the concrete, less than the {least_mm} that anchorage {anchorage} asks for",
        )
        .related(kind.route.field("edge_distance_mm"), "asked for here")
        // It is as stated, wherever the tendon's points lie.
        .rests_on([])
        .help("The concrete in front of the plate bursts sideways: move the anchorage, or have the reinforcement there designed for it by those who tested the anchorage")
        .fact(Fact::text("end", format!("end {}", end.name)))
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::text("anchorage", kind.record.id.as_deref().unwrap_or("there")))
        .fact(Fact::given("edge_mm", edge_mm, 0))
        .fact(Fact::given("least_mm", least_mm, 0))
        .fact(Fact::computed("ratio", edge_mm / least_mm, 2))
        .fact(Fact::computed("more_mm", least_mm - edge_mm, 0).at_least())
        .remedy("Move it {more_mm} away from the edge"),
    );
}

fn seat<'a>(
    context: &Context<'a>,
    at: &TendonAt<'a>,
    end: &EndAt<'a>,
) -> Result<Seat<'a>, &'static str> {
    let points = &at.tendon.points;
    let point = match end.name {
        EndName::A => points.first(),
        EndName::B => points.last(),
    };
    let point = point.ok_or("tendon.points")?;
    let kind = context.anchorage(end.end).ok_or("end.anchorage")?;
    Ok(Seat {
        mark: at.mark(),
        end: end.clone(),
        lateral_m: point.lateral_m.ok_or("tendon_point.lateral_m")?,
        elevation_m: point.elevation_m.ok_or("tendon_point.elevation_m")?,
        centre_mm: kind.record.centre_distance_mm,
        kind: kind.record.id.as_deref().unwrap_or("there").to_owned(),
    })
}

/// Neighbours on one face, from right to left: only those within the greatest distance asked for are compared.
fn neighbours(mut seats: Vec<Seat<'_>>, outcomes: &mut Outcomes) {
    let Some(most_mm) = seats.iter().filter_map(|seat| seat.centre_mm).reduce(f64::max) else {
        for _ in &seats {
            outcomes.not_evaluated("anchorage.centre_distance_mm");
        }
        return;
    };
    seats.sort_by(|one, other| one.lateral_m.total_cmp(&other.lateral_m));
    for (index, one) in seats.iter().enumerate() {
        let mut nearest: Option<(f64, f64, &Seat<'_>)> = None;
        for other in &seats[index + 1..] {
            let across_mm = (other.lateral_m - one.lateral_m) * 1000.0;
            if across_mm > most_mm {
                break;
            }
            let least_mm = match (one.centre_mm, other.centre_mm) {
                (Some(one_mm), Some(other_mm)) => one_mm.max(other_mm),
                (Some(mm), None) | (None, Some(mm)) => mm,
                (None, None) => continue,
            };
            let apart_mm = across_mm.hypot((other.elevation_m - one.elevation_m) * 1000.0);
            if short_of(apart_mm, least_mm) && nearest.is_none_or(|(so_far, ..)| apart_mm < so_far)
            {
                nearest = Some((apart_mm, least_mm, other));
            }
        }
        match nearest {
            Some((apart_mm, least_mm, other)) => {
                outcomes.found(too_near(one, other, apart_mm, least_mm));
            }
            // What it asks for itself may be more than any neighbour does.
            None if one.centre_mm.is_none() => {
                outcomes.not_evaluated("anchorage.centre_distance_mm");
            }
            None => outcomes.pass(),
        }
    }
}

fn too_near(one: &Seat<'_>, other: &Seat<'_>, apart_mm: f64, least_mm: f64) -> Finding {
    Finding::new(
        RULE.id,
        Kind::Margin,
        one.end.route.field("place"),
        "{end} of {tendon} and {other} are {apart_mm} apart from axis to axis on the same face, less than the {least_mm} that \
         anchorage {anchorage} asks for",
    )
    .related(other.end.route.field("place"), "the other one")
    .rests_on([&one.end.route, &other.end.route].into_iter().flat_map(|end| {
        let tendon = end.up_to(2);
        [tendon.field("points"), tendon.field("mark")]
    }))
    .help("Plates, local reinforcement and jacks need their room: move one of them, or correct the points")
    .fact(Fact::text("end", format!("end {}", one.end.name)))
    .fact(Fact::text("tendon", one.mark.as_str()))
    .fact(Fact::text("other", format!("end {} of {}", other.end.name, other.mark)))
    .fact(Fact::text("anchorage", one.kind.as_str()))
    .fact(Fact::computed("apart_mm", apart_mm, 0))
    .fact(Fact::given("least_mm", least_mm, 0))
    .fact(Fact::computed("ratio", apart_mm / least_mm, 2))
    .fact(Fact::computed("more_mm", least_mm - apart_mm, 0).at_least())
    .remedy("Move them {more_mm} further apart")
}
