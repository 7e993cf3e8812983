//! The new strands come in.

use restrand_finding::Fact;
use restrand_mechanics::jack::{StrandLength, strand_length_m};
use restrand_model::schedule::{EndKind, EndName, Installation, Part, Role};
use restrand_rules::works;

use super::takes::contradictions;
use crate::plan::{Blocked, Line, Step};
use crate::tendon::Known;

pub(super) fn write(known: &Known<'_, '_>, step: &mut Step, _: &mut Vec<Blocked>) {
    // What stands against the plan is told with the new parts.
    for one in contradictions(known) {
        let why = one.line();
        step.stops.push(Line {
            text: format!("No strand is ordered or goes in before this is settled: {}", why.text),
            facts: why.facts,
        });
    }
    let installation = known.tendon.replacement_installation.or(known.tendon.installation);
    match installation {
        Some(Installation::Push) => step.say("Strands are pushed in one by one, each with a rounded nose"),
        Some(Installation::Pull) => step.say("Strands are pulled in together by a winch, behind a nose that is smaller than the throat"),
        Some(Installation::Place) => step.say("Strands lie in the duct before it is closed: with forms and anchorages in place this works only where the duct is closed around them"),
        None => step.lacks("tendon.replacement_installation", None, "how the new strands come in"),
    }
    let rooms: Vec<_> = known
        .ends
        .iter()
        .filter_map(|end| Some((end.call(), end, end.end.strand_equipment_room_mm?)))
        .collect();
    if rooms.is_empty() {
        step.lacks("end.strand_equipment_room_mm", None, "where dispenser, pusher or winch stand");
    }
    for (call, end, room_mm) in rooms {
        step.say(
            Line::from("Room for dispenser, pusher or winch behind {end}: {strand_room_mm}")
                .with(Fact::text("end", call))
                .with(Fact::given("strand_room_mm", room_mm, 0)),
        );
        step.rests_on(end.route.field("strand_equipment_room_mm"));
    }
    let Some(length_m) = step.known(length_m(known), None, "the length of a strand") else {
        return;
    };
    let Some(count) = known.tendon.strand_count else {
        step.lacks("tendon.strand_count", None, "how much strand is needed");
        return;
    };
    let mut line = Line::from("{strands} strands of {strand_m} each, between the tails that jack and cap need; handling and waste come on top")
        .with(Fact::given("strands", f64::from(count), 0))
        .with(Fact::computed("strand_m", length_m, 2));
    if let Some(kg_per_m) =
        known.context.strand(known.tendon).and_then(|strand| strand.record.mass_kg_per_m)
    {
        line.text.push_str("; {steel_kg} in all");
        line = line.with(Fact::computed("steel_kg", length_m * kg_per_m * f64::from(count), 0));
    }
    step.say(line);
    if known.is_sheathed() {
        step.say("Sheaths are taken off over the length that wedges, plates and jack need, and no further: how far is the anchorage supplier's to say");
        step.beware("A sheath that is torn in a form lets grease out and water in: noses are smooth, and nothing is forced");
    }
    step.takes("A dispenser for the coils; a pusher, or a winch with its rope, where the room above is; a guide to the first mouth");
    step.hold(
        "Every strand has passed both wedge plates in its own hole, none crossed over another",
    );
    step.beware("Coils spring open: they are opened in a dispenser only");
}

/// The length of a strand from tail to tail, m.
fn length_m(known: &Known<'_, '_>) -> Result<f64, &'static str> {
    let developed_m =
        known.context.path(known.at).map_err(|none| none.field())?.path.developed_length_m;
    let at = |name: EndName| -> Result<(f64, f64), &'static str> {
        let end = known.end(name).ok_or("tendon.ends")?;
        let rear = |part: &Part| part.from_mm.zip(part.to_mm).map(|(one, other)| one.max(other));
        let parts = known.context.end_parts(end);
        let plates_mm = parts
            .iter()
            .map(|part| part.part.as_ref())
            .filter(|part| part.role == Some(Role::WedgePlate))
            .find_map(rear)
            .ok_or("anchorage.parts")?;
        let tail_mm = match known.context.jack(end.end.jack.as_ref()) {
            Some(jack) => jack.record.tail_mm.ok_or("jack.tail_mm")?,
            // The tail that a cap leaves is nothing that a jack can grip.
            None if is_jacked(known, name)? => return Err("end.jack"),
            None => end.end.tail_mm.ok_or("end.tail_mm")?,
        };
        Ok((plates_mm, tail_mm))
    };
    let (plates_a_mm, tail_a_mm) = at(EndName::A)?;
    let (plates_b_mm, tail_b_mm) = at(EndName::B)?;
    strand_length_m(&StrandLength { developed_m, plates_a_mm, plates_b_mm, tail_a_mm, tail_b_mm })
        .map_err(|_| "end.tail_mm")
}

/// Whether an end is jacked; an end is taken for what its kind says where no order of stressing is stated.
fn is_jacked(known: &Known<'_, '_>, name: EndName) -> Result<bool, &'static str> {
    let kind = known.end(name).and_then(|end| end.end.kind);
    match (works::jacked_ends(known.tendon), kind) {
        (Ok(ends), _) => Ok(ends.contains(&name)),
        (Err(_), Some(EndKind::Stressing)) => Ok(true),
        (Err(_), Some(EndKind::Dead | EndKind::Embedded)) => Ok(false),
        (Err(_), None) => Err("stressing.from"),
    }
}
