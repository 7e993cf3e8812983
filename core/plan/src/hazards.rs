//! What can hurt people while a tendon is replaced: each kind once, with its place, its size and its steps.

use restrand_finding::Fact;
use restrand_mechanics::removal::release_energy_kj;
use restrand_model::route::Route;
use restrand_model::schedule::{Filler, OpeningPlane};
use restrand_rules::ways::Room;
use restrand_rules::{TendonAt, works};

use crate::about;
use crate::cuts::Between;
use crate::energy;
use crate::plan::{Hazard, HazardKind, Line, Step, StepId, Table};
use crate::tendon::Known;

pub(crate) fn of(known: &Known<'_, '_>, steps: &[Step]) -> Vec<Hazard> {
    let mut hazards = Vec::new();
    let is_planned = |id: StepId| steps.iter().any(|step| step.id == id);
    let mut add = |kind: HazardKind, line: Line, met: &[StepId]| {
        let steps: Vec<StepId> = met.iter().copied().filter(|id| is_planned(*id)).collect();
        if !steps.is_empty() {
            hazards.push(Hazard { kind, line, steps });
        }
    };
    let is_in_place = is_planned(StepId::Release);
    if is_in_place {
        add(
            HazardKind::StoredEnergy,
            stored(known, steps),
            &[StepId::Survey, StepId::Restraints, StepId::Release, StepId::ZeroForce],
        );
    }
    if let Some(line) = new_energy(known) {
        add(HazardKind::StoredEnergy, line, &[StepId::Stressing, StepId::TailsAndCaps]);
    }
    add(
        HazardKind::Ejection,
        behind(known),
        &[
            StepId::Survey,
            StepId::Restraints,
            StepId::Release,
            StepId::ZeroForce,
            StepId::AnchorStubs,
            StepId::Stressing,
            StepId::TailsAndCaps,
            StepId::Filling,
        ],
    );
    add(
        HazardKind::Jacking,
        Line::from(
            "In line with the jack and beside its hoses, and along the whole new tendon while it is stressed; pumps and hoses while it is filled",
        ),
        &[StepId::Stressing, StepId::Filling],
    );
    add(
        HazardKind::LiveNeighbours,
        neighbours(known),
        &[
            StepId::Survey,
            StepId::Release,
            StepId::Pieces,
            StepId::AnchorStubs,
            StepId::TailsAndCaps,
        ],
    );
    add(
        HazardKind::FallingPieces,
        pieces(known, steps, is_in_place),
        &[
            StepId::Pieces,
            StepId::DeviatorStubs,
            StepId::AnchorStubs,
            StepId::NewParts,
            StepId::JackIn,
        ],
    );
    add(
        HazardKind::Fire,
        fire(known),
        &[
            StepId::Survey,
            StepId::Release,
            StepId::Pieces,
            StepId::DeviatorStubs,
            StepId::AnchorStubs,
            StepId::NewParts,
            StepId::TailsAndCaps,
            StepId::Filling,
        ],
    );
    if matches!(known.tendon.filler, Some(Filler::CementGrout | Filler::Unknown) | None) {
        add(
            HazardKind::Dust,
            Line::from(
                "Grout, or what may be grout, wherever it is broken or sawn: dust that harms lungs stays in a closed box",
            ),
            &[
                StepId::Survey,
                StepId::Release,
                StepId::Pieces,
                StepId::DeviatorStubs,
                StepId::AnchorStubs,
            ],
        );
    }
    if let Some(text) = skin(known) {
        add(HazardKind::HotOrCaustic, Line::from(text), &[StepId::Filling]);
    }
    add(
        HazardKind::ConfinedSpace,
        confined(known),
        &[
            StepId::Survey,
            StepId::Release,
            StepId::Pieces,
            StepId::DeviatorStubs,
            StepId::AnchorStubs,
            StepId::Gauging,
            StepId::NewParts,
            StepId::JackIn,
            StepId::Stressing,
            StepId::Filling,
        ],
    );
    add(
        HazardKind::LoadsAbove,
        above(known, steps),
        &[
            StepId::Pieces,
            StepId::DeviatorStubs,
            StepId::AnchorStubs,
            StepId::NewParts,
            StepId::JackIn,
        ],
    );
    hazards
}

/// The energy for which restraints are laid out; what each bonded length holds of it is in the table of the release.
fn stored(known: &Known<'_, '_>, steps: &[Step]) -> Line {
    let Ok(design) = energy::design(known) else {
        return Line::from(
            "Not known, and so the worst: what the energy follows from is not stated",
        );
    };
    let mut line = Line::from(match design.is_by_forces {
        true => "Up to {energy_kj}, as if its greatest force, {force_kn}, were in it all along: restraints, clamps and covers are laid out for that",
        false => "Up to {energy_kj}, as if the {force_kn} of the jack were in it all along: restraints, clamps and covers are laid out for that",
    })
    .with(Fact::computed("energy_kj", design.kj, 0))
    .with(Fact::computed("force_kn", design.force_kn, 0));
    let release = steps.iter().position(|step| step.id == StepId::Release);
    let rows = release.map(|index| {
        let tables = steps[index].tables.iter();
        let of_energy = |table: &&Table| table.columns.iter().any(|one| one.name == "energy_kj");
        tables.filter(of_energy).map(|table| table.rows.len()).sum::<usize>()
    });
    match (release, rows) {
        (Some(index), Some(rows)) if rows > 1 => {
            line.text.push_str("; it is set free in {lengths} bonded lengths, each for itself (table of step {number})");
            line = line
                .with(Fact::text("lengths", rows.to_string()))
                .with(Fact::text("number", (index + 1).to_string()));
        }
        _ => {}
    }
    line
}

/// The energy of the tendon that comes in, under its full force and held by nothing along it.
fn new_energy(known: &Known<'_, '_>) -> Option<Line> {
    let pull = known.pull.as_ref().ok()?;
    let steel = works::jacking(known.context, known.at).ok()?;
    let length_m = known.along.as_ref().ok()?.length_m();
    let energy_kj =
        release_energy_kj(pull.jacking_kn, length_m, steel.area_mm2, steel.e_mpa).ok()?;
    Some(
        Line::from("The new tendon holds up to {energy_kj} under the full force of {force_kn}, and nothing bonds it before it is filled")
            .with(Fact::computed("energy_kj", energy_kj, 0))
            .with(Fact::computed("force_kn", pull.jacking_kn, 0)),
    )
}

fn behind(known: &Known<'_, '_>) -> Line {
    let places: Vec<String> = known
        .ends
        .iter()
        .map(|end| match known.bay_behind(end) {
            Some(bay) => format!("behind {} in {bay}", end.call()),
            None => format!("behind {}", end.call()),
        })
        .collect();
    if places.is_empty() {
        return Line::from(
            "Wedges, plates and strands go rearward behind both anchorages: nobody is in line there while there is force; what has to be done there under force is done from beside the axis, behind a screen",
        );
    }
    Line::from("Wedges, plates and strands go rearward: nobody is in line {places} while there is force. What has to be done there under force, as reading marks, cutting tails and putting caps on, is done from beside the axis, behind a screen")
        .with(Fact::text("places", places.join(" or ")))
}

fn neighbours(known: &Known<'_, '_>) -> Line {
    let Ok((near, unknown)) = works::beside(known.context, known.at) else {
        return Line::from(
            "Which live tendons run beside it does not follow from the schedule: every one in reach is covered",
        );
    };
    let mark = |position: usize| known.context.tendons().nth(position).map(|at| at.mark());
    let named: Vec<String> = near.iter().filter_map(|beside| mark(beside.tendon)).collect();
    let mut line = match near.first() {
        Some(nearest) => Line::from(if nearest.may_be_more {
            "The nearest live duct is {gap_mm} or more from its own, at station {nearest_m}, by the widest of the lengths of which it is not stated where they lie; in its stretch of the bridge run {marks}: covered, and none of their strands nicked"
        } else {
            "The nearest live duct is {gap_mm} from its own, at station {nearest_m}; in its stretch of the bridge run {marks}: covered, and none of their strands nicked"
        })
            .with(Fact::computed("gap_mm", nearest.gap_mm, 0))
            .with(Fact::computed("nearest_m", nearest.station_m, 2))
            .with(Fact::text("marks", named.join(", "))),
        None => Line::from("No other external tendon in use runs beside it"),
    };
    if !unknown.is_empty() {
        let marks: Vec<String> = unknown.iter().filter_map(|at| mark(*at)).collect();
        line.text.push_str("; how near others run does not follow from the schedule: {unknown}");
        line = line.with(Fact::text("unknown", marks.join(", ")));
    }
    line
}

fn pieces(known: &Known<'_, '_>, steps: &[Step], is_in_place: bool) -> Line {
    if !is_in_place {
        return Line::from(
            "Parts, lengths of duct and coils fall or slide while they are brought in and lifted",
        );
    }
    let heaviest_kg = match (&known.cuts, &known.mass) {
        (Ok(plan), Ok(mass)) => {
            plan.outs.iter().map(|out| mass.total_kg_per_m * out.length_m()).reduce(f64::max)
        }
        _ => None,
    };
    let stub_kg = about::heaviest_bar_kg(steps);
    let has_pieces = known
        .cuts
        .as_ref()
        .is_ok_and(|plan| plan.outs.iter().any(|out| out.between == Between::Piece));
    let mut line = match heaviest_kg.filter(|_| has_pieces) {
        Some(mass_kg) => Line::from("Pieces of up to {piece_kg} between the anchorages fall at the cut and slide on a slope")
            .with(Fact::computed("piece_kg", mass_kg, 0)),
        None => Line::from("Pieces fall at the cut and slide on a slope"),
    };
    if let Some(stub_kg) = stub_kg {
        line.text.push_str(
            "; bars of up to {bar_kg} come out of the anchorages at once when they are free",
        );
        line = line.with(Fact::computed("bar_kg", stub_kg, 0));
    }
    let unknown = about::bars_not_known(known);
    if !unknown.is_empty() {
        line.text.push_str("; what comes out of {unknown} is not known");
        line = line.with(Fact::text("unknown", unknown.join(" and ")));
    }
    line
}

fn fire(known: &Known<'_, '_>) -> Line {
    let own = match (known.is_sheathed(), known.tendon.filler) {
        (true, _) => "Grease, sheaths and polymer duct burn",
        (_, Some(Filler::Wax)) => "Wax and polymer duct burn",
        (_, Some(Filler::Grease)) => "Grease and polymer duct burn",
        (_, Some(Filler::CementGrout | Filler::None)) => "Polymer duct and seals burn",
        (_, Some(Filler::Unknown) | None) => "Polymer duct burns, and what fills it may",
    };
    let beside: Vec<TendonAt<'_>> = match works::beside(known.context, known.at) {
        Ok((near, _)) => {
            near.iter().filter_map(|beside| known.context.tendons().nth(beside.tendon)).collect()
        }
        Err(_) => Vec::new(),
    };
    let marks = |is_one: fn(Option<Filler>) -> bool| -> Vec<String> {
        beside.iter().filter(|at| is_one(at.tendon.filler)).map(TendonAt::mark).collect()
    };
    let waxed = marks(|filler| matches!(filler, Some(Filler::Wax | Filler::Grease)));
    let unknown = marks(|filler| matches!(filler, Some(Filler::Unknown) | None));
    let mut line = Line::from(
        format!("{own}: sparks of saws and discs are caught, with a fire watch").as_str(),
    );
    if !waxed.is_empty() {
        line.text.push_str("; full of wax or grease beside it: {waxed}");
        line = line.with(Fact::text("waxed", waxed.join(", ")));
    }
    if !unknown.is_empty() {
        line.text.push_str("; of a filler that is not known, and counts as wax: {unknown}");
        line = line.with(Fact::text("unknown", unknown.join(", ")));
    }
    line
}

fn skin(known: &Known<'_, '_>) -> Option<&'static str> {
    match known.tendon.filler {
        Some(Filler::CementGrout) => {
            Some("Fresh grout burns eyes and skin, and jets from a vent that is blocked")
        }
        Some(Filler::Wax) => Some("Hot wax scalds, and finds its way through every opening"),
        Some(Filler::Unknown) | None => {
            Some("What will fill the tendon is not known: hot, or caustic")
        }
        Some(Filler::Grease | Filler::None) => None,
    }
}

/// Bays in which somebody works and from which one way leads out.
fn confined(known: &Known<'_, '_>) -> Line {
    let ways = &known.ways;
    let doors =
        |bay: usize| ways.doors.iter().filter(|door| door.rooms.contains(&Room::Bay(bay))).count();
    let single: Vec<String> = known
        .worked_in()
        .into_iter()
        .filter(|bay| doors(*bay) == 1)
        .map(|bay| ways.call_bay(bay))
        .collect();
    let mut line = Line::from("Boxes and chambers: bad air, and pieces that block the way out");
    if !single.is_empty() {
        line.text.push_str("; one way leads out of {single}, and it stays clear");
        line = line.with(Fact::text("single", single.join(", ")));
    }
    line
}

/// What lies under the openings through which something is lifted.
fn above(known: &Known<'_, '_>, steps: &[Step]) -> Line {
    let mut below: Vec<String> = Vec::new();
    for (opening, record) in known.ways.openings.iter().enumerate() {
        let route = Route::to("openings", opening);
        if !steps.iter().any(|step| step.rests_on.contains(&route)) {
            continue;
        }
        if !matches!(record.plane, Some(OpeningPlane::Floor | OpeningPlane::Roof)) {
            continue;
        }
        let name = known.ways.call(opening);
        let told = match record.below.as_deref() {
            Some(text) => format!("under {name}: {text}"),
            None => format!("what lies under {name} is not stated"),
        };
        if !below.contains(&told) {
            below.push(told);
        }
    }
    match below.is_empty() {
        true => Line::from("Nothing is lifted over traffic or over people"),
        false => Line::from("Nothing is lifted over traffic or over people: what lies below is closed off while anything hangs above it; {below}")
            .with(Fact::text("below", below.join("; "))),
    }
}
