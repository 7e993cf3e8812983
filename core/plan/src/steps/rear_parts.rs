//! New parts that come in from behind an anchorage: their way in, and the room in which they are held in line.

use restrand_finding::Fact;
use restrand_model::schedule::{Exit, Part, Permanence, Role};
use restrand_rules::EndAt;
use restrand_rules::ends::{Clear, EndAxis, OnAxis, clear_behind, worst_radius_mm};

use crate::plan::{Blocked, Line, Step};
use crate::tendon::Known;
use crate::way;

/// A part that comes in from behind an anchorage, along its axis.
pub(super) struct RearPart {
    name: String,
    length_mm: f64,
    /// At worst tolerance, mm.
    diameter_mm: f64,
}

impl RearPart {
    pub(super) fn of(part: &Part) -> Option<Self> {
        let (one_mm, other_mm) = part.from_mm.zip(part.to_mm)?;
        (part.exit == Some(Exit::Rear)).then_some(())?;
        Some(Self {
            name: restrand_rules::call(part),
            length_mm: (one_mm - other_mm).abs(),
            diameter_mm: 2.0 * worst_radius_mm(part)?,
        })
    }
}

/// The way in of all parts from behind: the longest as wide as the widest where that passes, and else each for itself.
pub(super) fn ways_in(
    known: &Known<'_, '_>,
    call: &str,
    parts: &[RearPart],
    mass_kg: Option<f64>,
    bay: usize,
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
) {
    let most = |of: &dyn Fn(&RearPart) -> f64| parts.iter().map(of).fold(0.0, f64::max);
    let (length_mm, diameter_mm) = (most(&|part| part.length_mm), most(&|part| part.diameter_mm));
    let passes = |length_mm: f64, diameter_mm: f64| {
        let way = known.rods(diameter_mm).to(&known.ways, bay);
        way.is_none_or(|way| way.longest_mm >= length_mm)
    };
    let longest = parts.iter().max_by(|one, other| one.length_mm.total_cmp(&other.length_mm));
    let Some(longest) = longest else { return };
    let mut carry = |what: String, length_mm: f64, diameter_mm: f64| {
        let load = way::Load { what, length_mm, diameter_mm, mass_kg };
        way::carried(known, &load, way::Bound::In, bay, step, blocked);
    };
    if passes(length_mm, diameter_mm) {
        let what =
            format!("parts for {call} from behind, of which {} is the longest", longest.name);
        return carry(what, length_mm, diameter_mm);
    }
    for part in parts {
        let RearPart { name, length_mm, diameter_mm } = part;
        if std::ptr::eq(part, longest) || !passes(*length_mm, *diameter_mm) {
            carry(
                format!("parts for {call} from behind, {name} among them"),
                *length_mm,
                *diameter_mm,
            );
        }
    }
}

/// What is in the room behind an end, against a part that comes in there along the axis: the first obstacle in its way,
/// and tendons and caps that stay.
pub(super) fn room(
    known: &Known<'_, '_>,
    end: &EndAt<'_>,
    call: &str,
    part: &RearPart,
    margin_mm: f64,
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
) {
    let RearPart { name, length_mm, diameter_mm } = part;
    let clear = clear_behind(known.context, known.at, end, diameter_mm / 2.0);
    let Some(clear) =
        step.known(clear, Some(call), "whether new parts can be brought in from behind")
    else {
        return;
    };
    let behind = clear.clear();
    let as_far = if clear.obstacle.is_some() { ", as far as {obstacle}" } else { "" };
    let facts = |line: Line| {
        let line = line
            .with(Fact::text("part", name.as_str()))
            .with(Fact::text("end", call))
            .with(Fact::computed("length_mm", *length_mm, 0))
            .with(Fact::given("margin_mm", margin_mm, 0))
            .with(behind.fact("behind_mm", 0))
            .with(Fact::computed("more_mm", length_mm + margin_mm - behind.mm, 0));
        match &clear.obstacle {
            Some(obstacle) => line.with(Fact::text("obstacle", obstacle.name.as_str())),
            None => line,
        }
    };
    if *length_mm > behind.mm {
        let remedy = match clear.obstacle {
            Some(_) => {
                "{obstacle} taken away or {more_mm} further back, or the part in lengths that are joined where they can be looked at; ask the anchorage's supplier"
            }
            None => {
                "{more_mm} more room behind the bearing plate, or the part in lengths that are joined where they can be looked at; ask the anchorage's supplier"
            }
        };
        blocked.push(Blocked {
            step: step.id,
            constraint: facts(Line::from(format!("the new {{part}} of {{end}} is {{length_mm}} long, and does not go into the {{behind_mm}} behind the bearing plate{as_far}").as_str())),
            remedy: facts(Line::from(remedy)),
            place: match &clear.obstacle {
                Some(obstacle) => obstacle.route.clone(),
                None => behind.route(end, "behind_mm"),
            },
        });
    } else if length_mm + margin_mm > behind.mm {
        step.beware(facts(Line::from(format!("The new {{part}} of {{end}}, {{length_mm}} long, has less than {{margin_mm}} to spare behind the bearing plate{as_far}").as_str())));
    }
    let Ok(axis) = EndAxis::of(known.context, known.at, end) else { return };
    // It is held in line with the axis, its whole length behind the plate, before it goes in.
    let held =
        OnAxis { from_mm: 0.0, to_mm: length_mm.min(behind.mm), radius_mm: diameter_mm / 2.0 };
    let standing = known.context.standing();
    let Some(nearest) = standing.nearest(known.at.position, &axis, held, 0.0) else { return };
    let facts =
        |line: Line| {
            facts(line)
                .with(Fact::text("what", way::live_body(known, &nearest)))
                .with(Fact::computed("overlap_mm", -nearest.gap_mm, 0))
        };
    blocked.push(Blocked {
        step: step.id,
        constraint: facts(Line::from("the new {part} of {end} runs into {what}, by {overlap_mm}, before it is in")),
        remedy: facts(Line::from("the part in lengths that are joined where they can be looked at, or {overlap_mm} more between the two tendons; ask the anchorage's supplier")),
        place: end.route.clone(),
    });
}

/// Trumpet and pipe that meet end to end, and the room that they take where they come joined in one.
pub(super) fn joined(
    known: &Known<'_, '_>,
    end: &EndAt<'_>,
    call: &str,
    room: Option<(Clear, f64)>,
    step: &mut Step,
) {
    /// Ends that are written as one may differ by their rounding, mm.
    const MEET_MM: f64 = 1.0;
    let parts = known.context.end_parts(end);
    let mut bars: Vec<(f64, f64, String)> = parts
        .iter()
        .map(|part| part.part.as_ref())
        .filter(|part| {
            part.permanence == Some(Permanence::Replaceable)
                && part.exit == Some(Exit::Rear)
                && matches!(part.role, Some(Role::InnerTrumpet | Role::AnchoragePipe))
        })
        .filter_map(|part| {
            let (from_mm, to_mm) = (part.from_mm?, part.to_mm?);
            Some((from_mm.max(to_mm), from_mm.min(to_mm), restrand_rules::call(part)))
        })
        .collect();
    bars.sort_by(|one, other| other.0.total_cmp(&one.0));
    let Some(((rear_mm, span_mm, first), rest)) = bars.split_first() else { return };
    let mut reach_mm = *span_mm;
    let mut names = vec![first.as_str()];
    for (next_mm, span_mm, name) in rest {
        if *next_mm < reach_mm - MEET_MM {
            break;
        }
        reach_mm = reach_mm.min(*span_mm);
        names.push(name);
    }
    let (Some((behind, margin_mm)), true) = (room, names.len() > 1) else { return };
    let joined_mm = rear_mm - reach_mm;
    let need_mm = joined_mm + margin_mm;
    let text = match need_mm <= behind.mm {
        true => {
            "At {end} {parts} meet end to end: joined in one before they go in they are {joined_mm} long, and take {need_mm} of the {behind_mm} behind the bearing plate"
        }
        false => {
            "At {end} {parts} meet end to end: joined in one they would be {joined_mm} long, and take {need_mm} where there are {behind_mm} behind the bearing plate; they go in one after the other, and the joint is made where it can be looked at"
        }
    };
    step.say(
        Line::from(text)
            .with(Fact::text("end", call))
            .with(Fact::text("parts", names.join(" and ")))
            .with(Fact::computed("joined_mm", joined_mm, 0))
            .with(Fact::computed("need_mm", need_mm, 0))
            .with(behind.fact("behind_mm", 0)),
    );
}
