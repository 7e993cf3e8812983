//! The head of a plan: what tendon it is, and what the plan comes to.

use restrand_finding::Fact;
use restrand_mechanics::removal::StubVerdict;
use restrand_model::reflect::Choice;
use restrand_model::schedule::EndKind;
use restrand_rules::works::PlannedStub;

use crate::cuts::{Between, Out};
use crate::plan::{Cell, Line, Step, StepId};
use crate::steps::release::is_at_anchorage;
use crate::steps::stressing::at_full;
use crate::tendon::Known;

pub(crate) fn of(known: &Known<'_, '_>, steps: &[Step]) -> Vec<Line> {
    let mut about = vec![tendon(known)];
    about.extend(run(known));
    let has = |id: StepId| steps.iter().position(|step| step.id == id).map(|index| index + 1);
    if let Some(number) = has(StepId::Release) {
        about.push(first_off(known, number));
    }
    if let Some(number) = has(StepId::Pieces) {
        about.extend(longest(known, number));
    }
    if let Some(number) = has(StepId::AnchorStubs) {
        about.extend(bar(known, number, steps));
    }
    if let Some(number) = has(StepId::Stressing) {
        about.extend(stressed(known, number));
    }
    about
}

/// What is in it, as far as that is stated.
fn tendon(known: &Known<'_, '_>) -> Line {
    let tendon = known.tendon;
    let mut parts: Vec<String> = Vec::new();
    if let Some(situation) = tendon.situation {
        parts.push(situation.to_string());
    }
    let spans: Vec<&str> = tendon.spans.iter().map(|span| span.key()).collect();
    if !spans.is_empty() {
        parts.push(format!("in {}", spans.join(", ")));
    }
    if let Some(side) = tendon.side {
        parts.push(side.to_string());
    }
    if let (Some(count), Some(strand)) = (tendon.strand_count, &tendon.strand) {
        let sheathed =
            if known.is_sheathed() { ", each greased in a sheath of its own" } else { "" };
        parts.push(format!("{count} strands {}{sheathed}", strand.key()));
    }
    if let Some(duct) = &tendon.duct {
        parts.push(format!("duct {}", duct.key()));
    }
    if let Some(filler) = tendon.filler {
        parts.push(format!("filler {filler}"));
    }
    match parts.is_empty() {
        true => Line::from("The schedule says nothing of what the tendon is"),
        false => Line::from("The tendon: {tendon}").with(Fact::text("tendon", parts.join(" · "))),
    }
}

/// From where to where it runs.
fn run(known: &Known<'_, '_>) -> Option<Line> {
    let ends: Vec<String> = known
        .ends
        .iter()
        .map(|end| match end.end.kind {
            Some(kind) => format!("{}, {}", end.call(), spaced(kind)),
            None => end.call(),
        })
        .collect();
    if ends.is_empty() {
        return None;
    }
    let mut line = Line::from("It runs from {ends}").with(Fact::text("ends", ends.join(", to ")));
    let places: Vec<&str> = known
        .tendon
        .deviators
        .iter()
        .filter_map(|deviator| deviator.place.as_ref())
        .map(|place| place.key())
        .collect();
    if !places.is_empty() {
        line.text.push_str(", through {places}");
        line = line.with(Fact::text("places", places.join(", ")));
    }
    if let Ok(along) = &known.along {
        line.text.push_str(", {length_m} along its axis");
        line = line.with(Fact::computed("length_m", along.length_m(), 3));
    }
    line.text.push_str(
        ". Behind an end is away from the span, and the release and the cuts are told by station",
    );
    Some(line)
}

fn spaced(kind: EndKind) -> String {
    kind.word().replace('_', " ")
}

/// What comes off first.
fn first_off(known: &Known<'_, '_>, number: usize) -> Line {
    let is_stated = known.replacement().is_some_and(|own| own.release.is_some());
    let text = match is_at_anchorage(known) {
        _ if !is_stated => {
            "First the force comes off (step {number}); how and where is not stated. Caps, plates and wedges are what is thrown out rearward: they come off only once the force is shown to be zero"
        }
        true => {
            "First the force comes off (step {number}), at the anchorage, behind what takes the cap's place there; the other cap stays on until the force is shown to be zero, for a part that is thrown out goes rearward"
        }
        false => {
            "First the force comes off (step {number}), in the free length, with both caps on: caps, plates and wedges are what is thrown out rearward, and they come off only once the force is shown to be zero"
        }
    };
    Line::from(text).with(Fact::text("number", number.to_string()))
}

/// The longest piece, and how it leaves.
fn longest(known: &Known<'_, '_>, number: usize) -> Option<Line> {
    let (Ok(plan), Ok(along)) = (&known.cuts, &known.along) else { return None };
    let pieces = plan.outs.iter().filter(|out| out.between == Between::Piece);
    let out = pieces.max_by(|one, other| one.length_m().total_cmp(&other.length_m()))?;
    let Out { along_m, .. } = out;
    let station_m = along.station_m(f64::midpoint(along_m[0], along_m[1]));
    let mut line = Line::from(
        "The longest piece of the free lengths (step {number}) is {longest_piece_m} long",
    )
    .with(Fact::text("number", number.to_string()))
    .with(Fact::computed("longest_piece_m", out.length_m(), 3));
    let Some(bay) = known.bay_at(station_m) else { return Some(line) };
    line.text.push_str(", in {bay}");
    line = line.with(Fact::text("bay", known.ways.call_bay(bay)));
    let widest = known.widest(out.along_m).ok();
    if let Some(way) = widest.and_then(|widest| known.rods(widest.diameter_mm).to(&known.ways, bay))
        && way.longest_mm >= out.length_m() * 1000.0
    {
        let names = way.openings.iter().rev().map(|opening| known.ways.call(*opening));
        line.text.push_str(", and leaves by {way}");
        line = line.with(Fact::text("way", names.collect::<Vec<_>>().join(", then ")));
    }
    Some(line)
}

/// The longest bar that comes out of an anchorage: it may be longer than any piece.
fn bar(known: &Known<'_, '_>, number: usize, steps: &[Step]) -> Option<Line> {
    let bars = known.ends.iter().zip(&known.stubs).filter_map(|(end, stub)| {
        let stub = stub.as_ref().ok()?;
        match stub.plan.verdict {
            StubVerdict::InOne { .. } => Some((end, stub.length_mm())),
            StubVerdict::InPieces { piece_mm, last_piece_mm, .. } => {
                Some((end, piece_mm.max(last_piece_mm)))
            }
            StubVerdict::PieceTooShort { .. } => None,
        }
    });
    let longest = bars.max_by(|one, other| one.1.total_cmp(&other.1));
    let unknown = bars_not_known(known);
    let mut line = match longest {
        Some((end, bar_mm)) => Line::from("The longest bar out of an anchorage (step {number}) is {bar_mm} long, rearward out of {end}")
            .with(Fact::text("number", number.to_string()))
            .with(Fact::computed("bar_mm", bar_mm, 0))
            .with(Fact::text("end", end.call())),
        None if unknown.is_empty() => return None,
        None => Line::from("Which bars come out of the anchorages (step {number}) is not known")
            .with(Fact::text("number", number.to_string())),
    };
    if let Some(heaviest_kg) = heaviest_bar_kg(steps) {
        line.text.push_str("; the heaviest weighs {bar_kg}");
        line = line.with(Fact::computed("bar_kg", heaviest_kg, 0));
    }
    if longest.is_some() && !unknown.is_empty() {
        line.text
            .push_str("; what comes out of {unknown} is not known, and may be longer and heavier");
        line = line.with(Fact::text("unknown", unknown.join(" and ")));
    }
    Some(line)
}

/// The heaviest bar among the pulls of the step, kg.
pub(crate) fn heaviest_bar_kg(steps: &[Step]) -> Option<f64> {
    let tables = steps.iter().filter(|step| step.id == StepId::AnchorStubs);
    let tables = tables.flat_map(|step| &step.tables);
    let masses = tables.filter_map(|table| {
        let index = table.columns.iter().position(|column| column.name == "mass_kg")?;
        let masses = table.rows.iter().filter_map(|row| match row[index] {
            Cell::Number(mass_kg) => Some(mass_kg),
            _ => None,
        });
        masses.reduce(f64::max)
    });
    masses.reduce(f64::max)
}

/// The ends of which it is not known what comes out, or from which nothing can.
pub(crate) fn bars_not_known(known: &Known<'_, '_>) -> Vec<String> {
    let is_known = |stub: &Result<PlannedStub, &'static str>| {
        stub.as_ref()
            .is_ok_and(|stub| !matches!(stub.plan.verdict, StubVerdict::PieceTooShort { .. }))
    };
    let ends = known.ends.iter().zip(&known.stubs).filter(|(_, stub)| !is_known(stub));
    ends.map(|(end, _)| end.call()).collect()
}

/// What is read at the full force.
fn stressed(known: &Known<'_, '_>, number: usize) -> Option<Line> {
    let full = at_full(known)?;
    let is_target = known.replacement().is_some_and(|own| own.target_force_kn.is_some());
    let facts = |line: Line| {
        line.with(Fact::text("number", number.to_string()))
            .with(Fact::text("end", full.end.as_str()))
            .with(Fact::computed("force_kn", full.force_kn, 0))
    };
    if let Some((most_kn, bound)) = full.exceeds {
        return Some(
            facts(Line::from("{force_kn} are asked for at {end} (step {number}), and {most_kn} is the most: {bound} binds. The tendon is not jacked to that"))
                .with(Fact::computed("most_kn", most_kn, 0))
                .with(Fact::text("bound", bound)),
        );
    }
    let mut line = facts(Line::from(match is_target {
        true => "The new tendon is jacked to {force_kn} at {end} (step {number})",
        false => {
            "No force is stated for the new tendon; the old one was jacked to {force_kn} at {end} (step {number})"
        }
    }));
    if let Some(gauge_mpa) = full.gauge_mpa {
        line.text.push_str(", {gauge_mpa} on the gauge {by}");
        line = line
            .with(Fact::computed("gauge_mpa", gauge_mpa, 2))
            .with(Fact::text("by", full.by.as_str()));
    }
    if let Some(above_mm) = full.above_mm {
        line.text.push_str(", {above_mm} above the baseline");
        line = line.with(Fact::computed("above_mm", above_mm, 1));
    }
    if let Some((baseline_kn, gauge_mpa)) = full.baseline.filter(|_| full.above_mm.is_some()) {
        line.text.push_str(", which is {baseline_kn}");
        line = line.with(Fact::given("baseline_kn", baseline_kn, 0));
        if let Some(gauge_mpa) = gauge_mpa {
            line.text.push_str(" or {gauge_baseline_mpa}");
            line = line.with(Fact::computed("gauge_baseline_mpa", gauge_mpa, 2));
        }
    }
    if !full.has_jack {
        line.text.push_str("; with which jack is not known, nor what its gauge reads");
    }
    Some(line)
}
