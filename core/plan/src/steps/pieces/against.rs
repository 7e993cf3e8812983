//! What stands against the cuts of a tendon: places where nobody can cut, and pieces that are too short or too long.

use restrand_finding::Fact;
use restrand_model::schedule::{CutPlace, EndName};
use restrand_rules::works::{self, Along};

use crate::cuts::{Between, CutPlan, Out};
use crate::plan::{Blocked, Line, Step};
use crate::tendon::Known;

/// Cuts where nobody can cut, each with the nearest place for it.
pub(super) fn misplaced(
    known: &Known<'_, '_>,
    plan: &CutPlan,
    along: &Along,
    step: &mut Step,
    blocked: &mut Vec<Blocked>,
) {
    for misplaced in &plan.misplaced {
        let cut = &misplaced.cut;
        let is_release = cut.purpose == CutPlace::Release;
        // A cut that no list states is that of an anchor's stub, given on its axis.
        let end =
            (cut.stated.is_none() && plan.is_stated).then(|| known.end(end_of(along, cut.along_m)));
        let axis_mm = end.flatten().map(|end| {
            let from_end_m = match end.name {
                EndName::A => misplaced.instead_along_m,
                EndName::B => along.length_m() - misplaced.instead_along_m,
            };
            (end, -from_end_m * 1000.0)
        });
        let facts = |line: Line| {
            let line = line
                .with(Fact::given("station_m", cut.station_m, 2))
                .with(Fact::text("place", misplaced.place.as_str()))
                .with(Fact::computed("clear_mm", misplaced.clear_mm, 0))
                .with(Fact::computed("least_mm", misplaced.least_mm, 0))
                .with(Fact::computed("instead_m", misplaced.instead_m, 3));
            match axis_mm {
                Some((_, axis_mm)) => line.with(Fact::computed("axis_mm", axis_mm, 0)),
                None => line,
            }
        };
        if misplaced.clear_mm >= 0.0 && !is_release {
            step.beware(facts(Line::from("The cut at station {station_m} is only {clear_mm} from {place}: at {instead_m} a saw has its room")));
            continue;
        }
        let constraint = match misplaced.clear_mm >= 0.0 {
            true => {
                "the release at station {station_m} is only {clear_mm} from {place}: window and clamps take {least_mm} on each side"
            }
            false => "the cut at station {station_m} lies inside {place}",
        };
        let remedy = match (is_release, axis_mm) {
            (true, _) => "release at station {instead_m}, where window and clamps have their room",
            (false, Some(_)) => "cut at station {instead_m}, {axis_mm} on the anchorage's axis",
            (false, None) => "cut at station {instead_m}",
        };
        let stated =
            axis_mm.map(|(end, _)| end.route.field("stub_cut_mm")).or_else(|| cut.stated.clone());
        blocked.push(Blocked {
            step: step.id,
            constraint: facts(Line::from(constraint)),
            remedy: facts(Line::from(remedy)),
            place: stated.unwrap_or_else(|| known.at.route.field("cuts")),
        });
    }
}

/// The end that is nearer to a place of the tendon.
fn end_of(along: &Along, along_m: f64) -> EndName {
    match along_m < along.length_m() / 2.0 {
        true => EndName::A,
        false => EndName::B,
    }
}

/// Cuts that leave a piece too short to be held on both sides of a saw.
pub(super) fn close_together(plan: &CutPlan, known: &Known<'_, '_>, step: &mut Step) {
    let clear_m = known.context.limit(works::CUT_CLEAR).value / 1000.0;
    let mut cuts: Vec<_> = plan.cuts.iter().collect();
    cuts.sort_by(|one, other| one.along_m.total_cmp(&other.along_m));
    for pair in cuts.windows(2) {
        let apart_m = pair[1].along_m - pair[0].along_m;
        if apart_m < clear_m && pair[0].station_m < pair[1].station_m {
            step.beware(
                Line::from("The cuts at stations {station_m} and {other_m} are only {apart_mm} apart: what lies between them cannot be held on both sides of the saw, and one of the two is enough")
                    .with(Fact::given("station_m", pair[0].station_m, 3))
                    .with(Fact::given("other_m", pair[1].station_m, 3))
                    .with(Fact::computed("apart_mm", apart_m * 1000.0, 0)),
            );
        }
    }
}

/// Pieces that are longer than what bounds them, where it is no opening: those are told with the way.
pub(super) fn too_long(
    known: &Known<'_, '_>,
    plan: &CutPlan,
    along: &Along,
    step: &Step,
    blocked: &mut Vec<Blocked>,
) {
    for (free_m, bound) in plan.free_m.iter().zip(&plan.bounds) {
        let Some(bound) = bound.as_ref().filter(|bound| !bound.is_way) else { continue };
        let within = |out: &&Out| {
            let middle_m = f64::midpoint(out.along_m[0], out.along_m[1]);
            out.between == Between::Piece && (free_m[0]..=free_m[1]).contains(&middle_m)
        };
        let pieces = plan.outs.iter().filter(within);
        let long: Vec<&Out> =
            pieces.filter(|out| out.length_m() > bound.longest_m + 0.01).collect();
        let longest = long.iter().max_by(|one, other| one.length_m().total_cmp(&other.length_m()));
        let (Some(longest), Some(first), Some(last)) = (longest, long.first(), long.last()) else {
            continue;
        };
        let further = |out: &&Out| (out.length_m() / bound.longest_m).ceil() - 1.0;
        let cuts: f64 = long.iter().map(further).sum();
        let needed_kg = bound
            .hoist_share
            .zip(known.mass.as_ref().ok())
            .map(|(share, mass)| mass.total_kg_per_m * longest.length_m() / share);
        let facts = |line: Line| {
            let mut line = line
                .with(Fact::computed("piece_m", longest.length_m(), 2))
                .with(Fact::computed("most_m", bound.longest_m, 2))
                .with(Fact::computed("from_m", along.station_m(longest.along_m[0]), 2))
                .with(Fact::computed("to_m", along.station_m(longest.along_m[1]), 2))
                .with(Fact::computed("first_m", along.station_m(first.along_m[0]), 2))
                .with(Fact::computed("last_m", along.station_m(last.along_m[1]), 2))
                .with(Fact::text("pieces", long.len().to_string()))
                .with(Fact::computed("further_cuts", cuts, 0));
            if let Some(needed_kg) = needed_kg {
                line = line.with(Fact::computed("needed_kg", needed_kg, 0));
            }
            line.facts.extend(bound.why.facts.iter().cloned());
            line
        };
        let constraint = match long.len() {
            1 => format!(
                "the cuts leave a piece of {{piece_m}} from station {{from_m}} to {{to_m}}, longer than the {{most_m}} that it may be: {}",
                bound.why.text
            ),
            _ => format!(
                "the cuts leave {{pieces}} pieces from station {{first_m}} to {{last_m}} that are longer than the {{most_m}} that they may be, the longest {{piece_m}}: {}",
                bound.why.text
            ),
        };
        let cuts = match cuts < 1.5 {
            true => "one more cut",
            false => "{further_cuts} more cuts in all",
        };
        let carries = match needed_kg {
            Some(_) => "a hoist for {needed_kg} at that opening",
            None => "pieces as long as that, with what carries them",
        };
        let remedy = format!(
            "{cuts} between stations {{first_m}} and {{last_m}}, so that no piece there is longer than {{most_m}}; or {carries}"
        );
        blocked.push(Blocked {
            step: step.id,
            constraint: facts(Line::from(constraint.as_str())),
            remedy: facts(Line::from(remedy.as_str())),
            place: known.at.route.field("cuts"),
        });
    }
}
