//! A planned piece of the tendon does not get out through the openings.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;
use restrand_model::schedule::Status;

use super::rods::{Rods, Stuck, bays_along};
use super::{ends_in_bays, named, ways_or_said};
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};
use crate::ways::Ways;
use crate::works::{self, Along, StubPulls, Widest, Widths};

pub(crate) const RULE: Rule = Rule {
    id: "access/piece-does-not-pass",
    summary: "each piece between the cuts, with what stays on it, and the pieces of stubs, against the openings on the way out",
    kinds: &[Kind::Physical, Kind::Note],
    limits: &[],
    sources: &[Citation::new(
        "a rod fed straight through a wall, or askew through a slab, both rooms counted",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["access/no-way", "schedule/dangling-reference"],
    page: include_str!("piece_does_not_pass.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let Some(ways) = ways_or_said(context, outcomes) else { return };
    let mut rods = Rods::new();
    for at in context.tendons() {
        if at.stays() || !matches!(at.tendon.status, None | Some(Status::InUse)) {
            outcomes.not_applicable("no tendon that is to be replaced is in place");
            continue;
        }
        if let Err(field) = add_pieces(context, &ways, &at, &mut rods, outcomes) {
            outcomes.not_evaluated(field);
        }
    }
    for stuck in rods.stuck(&ways, outcomes) {
        outcomes.found(told(&ways, &stuck));
    }
    let mut stubs = Rods::new();
    for at in context.tendons() {
        if !at.stays() && matches!(at.tendon.status, None | Some(Status::InUse)) {
            add_stubs(context, &ways, &at, &mut stubs, outcomes);
        }
    }
    for stuck in stubs.stuck(&ways, outcomes) {
        outcomes.found(told_stub(&ways, &stuck));
    }
}

/// A piece of a tendon that is led out.
struct Piece {
    mark: String,
    route: Route,
    /// What makes it wider than its duct.
    by: Option<String>,
    /// Whether it lies between two cuts that are stated.
    is_cut: bool,
}

/// The pieces of the free lengths: those between the stated cuts, or, where none are stated, one of the stated length in
/// each bay, as wide as what sits on the tendon anywhere in it.
fn add_pieces(
    context: &Context<'_>,
    ways: &Ways<'_>,
    at: &TendonAt<'_>,
    rods: &mut Rods<Piece>,
    outcomes: &mut Outcomes,
) -> Result<(), &'static str> {
    let along = Along::of(context, at)?;
    let mut pieces: Vec<(f64, usize, [f64; 2])> = Vec::new();
    let is_cut = !at.tendon.cuts.is_empty();
    let route;
    if is_cut {
        route = at.route.field("cuts");
        for piece in works::cut_pieces(context, at)? {
            let middle_m = f64::midpoint(piece.stations_m[0], piece.stations_m[1]);
            let Some(bay) = ways.bay_over(middle_m) else {
                outcomes.not_evaluated("schedule.bays");
                continue;
            };
            pieces.push((piece.length_m() * 1000.0, bay, piece.along_m));
        }
    } else {
        route = at.route.field("replacement").field("piece_length_mm");
        let length_mm = at.tendon.replacement.as_deref().and_then(|own| own.piece_length_mm);
        let length_mm = length_mm.ok_or("replacement.piece_length_mm")?;
        for bay in bays_along(context, ways, at)? {
            let along_m = match ways.stations_m(bay) {
                Some(extent_m) => extent_m.map(|station_m| along.at_m(station_m)),
                None => [0.0, along.length_m()],
            };
            pieces.push((length_mm, bay, along_m));
        }
    }
    if pieces.is_empty() {
        outcomes.not_evaluated("schedule.bays");
    }
    // Of pieces of one bay and one width the longest decides.
    let widths = Widths::of(context, at)?;
    let mut longest: Vec<(f64, usize, Widest)> = Vec::new();
    for (length_mm, bay, along_m) in pieces {
        let widest = widths.over(along_m)?;
        #[expect(clippy::float_cmp, reason = "the same value of the same records")]
        let same = |one: &&mut (f64, usize, Widest)| {
            one.1 == bay && one.2.diameter_mm == widest.diameter_mm
        };
        match longest.iter_mut().find(same) {
            Some(one) => one.0 = one.0.max(length_mm),
            None => longest.push((length_mm, bay, widest)),
        }
    }
    for (length_mm, bay, Widest { diameter_mm, by, lacks }) in longest {
        let piece = Piece { mark: at.mark(), route: route.clone(), by, is_cut };
        rods.add(length_mm, diameter_mm, bay, piece);
        if let Some(field) = lacks {
            outcomes.not_evaluated(field);
        }
    }
    Ok(())
}

/// A piece of a stub, and what of it is not cut.
struct StubPiece {
    end: String,
    route: Route,
    whole_mm: f64,
}

/// The longest piece of the stub at each end: it lies behind the anchorage then, and has to leave.
fn add_stubs(
    context: &Context<'_>,
    ways: &Ways<'_>,
    at: &TendonAt<'_>,
    stubs: &mut Rods<StubPiece>,
    outcomes: &mut Outcomes,
) {
    for (end, bay) in ends_in_bays(context, ways, at, outcomes) {
        let known = works::planned_stub(context, at, &end).and_then(|stub| {
            let diameter_mm = works::bar_diameter_mm(context, at, &end, &stub)?;
            Ok((stub, diameter_mm))
        });
        let (stub, diameter_mm) = match known {
            Ok(known) => known,
            Err(field) => {
                outcomes.not_evaluated(field);
                continue;
            }
        };
        let length_mm = match works::pulls(&stub.plan) {
            StubPulls::One { .. } => stub.length_mm(),
            StubPulls::Several { piece_mm, .. } => piece_mm.max(stub.whole_mm),
            // That it does not come out at all is told by the rule on stubs.
            StubPulls::None { .. } => continue,
        };
        let piece = StubPiece {
            end: format!("end {} of {}", end.name, at.mark()),
            route: end.route.clone(),
            whole_mm: stub.whole_mm,
        };
        stubs.add(length_mm, diameter_mm, bay, piece);
    }
}

fn told_stub(ways: &Ways<'_>, stuck: &Stuck<StubPiece>) -> Finding {
    let ends: Vec<String> = stuck.items.iter().map(|piece| piece.end.clone()).collect();
    let whole_mm = stuck.items.iter().map(|piece| piece.whole_mm).fold(0.0, f64::max);
    // Once it is out it can be cut again, but for plates and trumpet.
    let may_be_cut = whole_mm <= stuck.longest_mm;
    let (kind, message) = match may_be_cut {
        true => (
            Kind::Note,
            "the stub at {ends} comes out in pieces of {length_mm}, and from bay {bay} at most {longest_mm} get through opening \
             {opening}: it has to be cut once more behind the anchorage",
        ),
        false => (
            Kind::Physical,
            "the stub at {ends} does not get from bay {bay} through opening {opening}: at most {longest_mm} do, and plates and \
             trumpet, which stay whole, are {whole_mm} long",
        ),
    };
    let finding = Finding::new(RULE.id, kind, stuck.items[0].route.clone(), message)
        .related(Route::to("openings", stuck.opening), "the opening that binds")
        .help("Plan the cut and the room for it, or take another way out")
        .fact(Fact::text("ends", named(&ends)))
        .fact(Fact::text("bay", ways.call_bay(stuck.bay)))
        .fact(Fact::text("opening", ways.call(stuck.opening)))
        .fact(Fact::computed("length_mm", stuck.length_mm, 0))
        .fact(Fact::computed("longest_mm", stuck.longest_mm, 0).at_most())
        .fact(Fact::computed("whole_mm", whole_mm, 0))
        .fact(Fact::computed("ratio", stuck.longest_mm / stuck.length_mm, 2));
    let finding = stuck.follows(ways, finding);
    match may_be_cut {
        true => finding.remedy("Cut the stub once more, into pieces of {longest_mm} at most"),
        false => finding,
    }
}

fn told(ways: &Ways<'_>, stuck: &Stuck<Piece>) -> Finding {
    let mut marks: Vec<String> = stuck.items.iter().map(|piece| piece.mark.clone()).collect();
    marks.dedup();
    let Piece { route, by, is_cut, .. } = &stuck.items[0];
    let length = match is_cut {
        true => Fact::computed("length_mm", stuck.length_mm, 0),
        false => Fact::given("length_mm", stuck.length_mm, 0),
    };
    let with = if by.is_some() { " with {by} on them" } else { "" };
    let mut finding = Finding::new(
        RULE.id,
        Kind::Physical,
        route.clone(),
        match stuck.longest_mm > 0.0 {
            true => {
                format!(
                    "pieces of {{length_mm}} of {{tendons}}, {{across_mm}} across{with}, do not get from bay {{bay}} through opening \
                     {{opening}}: at most {{longest_mm}} do"
                )
            }
            false => format!(
                "pieces of {{length_mm}} of {{tendons}} do not get from bay {{bay}} through opening {{opening}}: {{across_mm}} \
                 across{with}, they are too thick for it"
            ),
        },
    )
    .related(Route::to("openings", stuck.opening), "the opening that binds")
    .help("Cut shorter pieces, or take another way out")
    .fact(Fact::text("tendons", named(&marks)))
    .fact(Fact::text("bay", ways.call_bay(stuck.bay)))
    .fact(Fact::text("opening", ways.call(stuck.opening)))
    .fact(length)
    .fact(Fact::computed("across_mm", stuck.diameter_mm, 1))
    .fact(Fact::computed("longest_mm", stuck.longest_mm, 0).at_most())
    .fact(Fact::computed("ratio", stuck.longest_mm / stuck.length_mm, 2));
    if let Some(by) = by {
        finding = finding.fact(Fact::text("by", by.as_str()));
    }
    finding = stuck.follows(ways, finding);
    if stuck.longest_mm > 0.0 {
        finding = finding.remedy("Cut pieces of {longest_mm} at most");
    }
    finding
}
