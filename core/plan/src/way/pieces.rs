//! The way out of the pieces of a bay.

use restrand_finding::Fact;
use restrand_model::route::Route;
use restrand_rules::works::Widest;

use super::hoist::by_hand;
use super::{Carried, WayTaken, below, rests_on, sills};
use crate::plan::{Blocked, Line, Step};
use crate::tendon::Known;

/// A piece of the free length in a bay: its length, mm, and how wide it is.
pub(crate) type LedPiece = (f64, Widest);

/// The way out of the pieces of a bay, from the bay in which they lie: the longest as wide as the widest, where that
/// passes, and else each width with its own longest.
pub(crate) fn of_pieces(
    known: &Known<'_, '_>,
    at: usize,
    pieces: &[LedPiece],
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
) {
    let widths =
        |one: &LedPiece, other: &LedPiece| one.1.diameter_mm.total_cmp(&other.1.diameter_mm);
    let Some((_, widest)) = pieces.iter().max_by(|one, other| widths(one, other)) else { return };
    let longest_mm = |of: &dyn Fn(&Widest) -> bool| {
        let lengths =
            pieces.iter().filter(|(_, widest)| of(widest)).map(|(length_mm, _)| *length_mm);
        lengths.fold(0.0, f64::max)
    };
    for (_, widest) in pieces {
        if let Some(field) = widest.lacks {
            let bay = known.ways.call_bay(at);
            step.lacks(field, Some(bay), "how wide a piece is on its way out");
        }
    }
    let all_mm = longest_mm(&|_| true);
    let way = known.rods(widest.diameter_mm).to(&known.ways, at);
    if way.is_none_or(|way| way.longest_mm >= all_mm) {
        return of_piece(known, at, &(all_mm, widest.clone()), step, blocked);
    }
    let mut told: Vec<f64> = Vec::new();
    for (_, widest) in pieces {
        if told.contains(&widest.diameter_mm) {
            continue;
        }
        told.push(widest.diameter_mm);
        #[expect(clippy::float_cmp, reason = "the same value of the same records")]
        let own_mm = longest_mm(&|other| other.diameter_mm == widest.diameter_mm);
        of_piece(known, at, &(own_mm, widest.clone()), step, blocked);
    }
}

/// The way out of a piece, from the bay in which it lies.
fn of_piece(
    known: &Known<'_, '_>,
    at: usize,
    (length_mm, widest): &LedPiece,
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
) {
    let length_mm = *length_mm;
    let ways = &known.ways;
    let bay = ways.call_bay(at);
    let Some(mut way) = known.rods(widest.diameter_mm).to(ways, at) else {
        step.lacks("schedule.openings", Some(bay), "the way out of a piece");
        return;
    };
    way.openings.reverse();
    rests_on(&way.openings, step);
    let names: Vec<String> = way.openings.iter().map(|opening| ways.call(*opening)).collect();
    let with = match widest.by {
        Some(_) => " with {by} on it",
        None => "",
    };
    let facts = |line: Line| {
        line.with(Fact::computed("piece_mm", length_mm, 0))
            .with(Fact::computed("across_mm", widest.diameter_mm, 1))
            .with(Fact::text("by", widest.by.as_deref().unwrap_or_default()))
            .with(Fact::text("bay", bay.as_str()))
            .with(Fact::text("way", names.join(", then ")))
            .with(Fact::text("opening", ways.call(way.binds)))
            .with(Fact::computed("longest_mm", way.longest_mm, 0))
    };
    let fits = way.longest_mm >= length_mm;
    let (place, longest_mm) = (Route::to("openings", way.binds), way.longest_mm);
    if fits {
        let line = facts(Line::from(
            format!("Pieces from {{bay}}, up to {{piece_mm}} long and {{across_mm}} across{with}, leave by {{way}}; the way takes {{longest_mm}} of that width, and {{opening}} binds").as_str(),
        ));
        step.say(sills(ways, &way.openings, line));
        let mass_kg = known.mass.as_ref().ok().map(|mass| mass.total_kg_per_m * length_mm / 1000.0);
        by_hand(known, &format!("the heaviest of the pieces of {bay}"), mass_kg, step);
        below(ways, &way.openings, step);
    } else {
        let remedy = match longest_mm > 0.0 {
            true => "cut pieces of {longest_mm} at most there, or list another way",
            false => {
                "list another way out of {bay}, or widen the opening: nothing of this width passes it"
            }
        };
        blocked.push(Blocked {
            step: step.id,
            constraint: facts(Line::from(format!("the longest piece in {{bay}}, {{piece_mm}} and {{across_mm}} across{with}, does not get out through opening {{opening}}: at most {{longest_mm}} do").as_str())),
            remedy: facts(Line::from(remedy)),
            place,
        });
    }
    step.ways.push(WayTaken {
        what: Carried::Piece { bay, diameter_mm: widest.diameter_mm, length_mm },
        openings: way.openings,
        binds: way.binds,
    });
}
