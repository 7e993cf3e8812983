//! A planned piece of the tendon does not get out through the openings.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;
use restrand_model::schedule::Status;

use super::rods::{Rods, Stuck, bays_along};
use super::{ducts_in_bay, ends_in_bays, named, ways_or_said};
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};
use crate::ways::Ways;
use crate::works::{self, StubPulls};

pub(crate) const RULE: Rule = Rule {
    id: "access/piece-does-not-pass",
    summary: "the stated length of a piece, and the pieces of stubs, against the openings on its way out",
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
        let length_mm = at.tendon.replacement.as_deref().and_then(|own| own.piece_length_mm);
        let Some(length_mm) = length_mm else {
            outcomes.not_evaluated("replacement.piece_length_mm");
            continue;
        };
        let bays = match bays_along(context, &ways, &at) {
            Ok(bays) => bays,
            Err(field) => {
                outcomes.not_evaluated(field);
                continue;
            }
        };
        if bays.is_empty() {
            outcomes.not_evaluated("schedule.bays");
        }
        for bay in bays {
            match widest_mm(context, &ways, &at, bay) {
                Ok(outer_mm) => {
                    let route = at.route.field("replacement").field("piece_length_mm");
                    rods.add(length_mm, outer_mm, bay, (at.mark(), route));
                }
                Err(field) => outcomes.not_evaluated(field),
            }
        }
    }
    for stuck in rods.stuck(context, &ways, outcomes) {
        outcomes.found(told(&ways, &stuck));
    }
    let mut stubs = Rods::new();
    for at in context.tendons() {
        if !at.stays() && matches!(at.tendon.status, None | Some(Status::InUse)) {
            add_stubs(context, &ways, &at, &mut stubs, outcomes);
        }
    }
    for stuck in stubs.stuck(context, &ways, outcomes) {
        outcomes.found(told_stub(&ways, &stuck));
    }
}

/// The outer diameter of the widest duct of a tendon in a bay, mm.
fn widest_mm(
    context: &Context<'_>,
    ways: &Ways<'_>,
    at: &TendonAt<'_>,
    bay: usize,
) -> Result<f64, &'static str> {
    let ducts = ducts_in_bay(context, ways, at, bay)?;
    let outer = ducts.iter().map(|duct| duct.record.outer_mm.ok_or("duct.outer_mm"));
    let outer_mm: Vec<f64> = outer.collect::<Result<_, _>>()?;
    outer_mm.into_iter().reduce(f64::max).ok_or("duct.outer_mm")
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
            let duct = context.duct_behind_end(at, end.name, -stub.cut_mm)?;
            Ok((stub, duct.record.outer_mm.ok_or("duct.outer_mm")?))
        });
        let (stub, outer_mm) = match known {
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
        // Plates at one end are wider; the bar counts as wide as its duct.
        stubs.add(length_mm, outer_mm, bay, piece);
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

fn told(ways: &Ways<'_>, stuck: &Stuck<(String, Route)>) -> Finding {
    let marks: Vec<String> = stuck.items.iter().map(|(mark, _)| mark.clone()).collect();
    let (_, route) = &stuck.items[0];
    let mut finding = Finding::new(
        RULE.id,
        Kind::Physical,
        route.clone(),
        match stuck.longest_mm > 0.0 {
            true => {
                "pieces of {length_mm} of {tendons} do not get from bay {bay} through opening {opening}: at most {longest_mm} do"
            }
            false => {
                "pieces of {length_mm} of {tendons} do not get from bay {bay} through opening {opening}: {across_mm} across, they are \
                 too thick for it"
            }
        },
    )
    .related(Route::to("openings", stuck.opening), "the opening that binds")
    .help("Cut shorter pieces, or take another way out")
    .fact(Fact::text("tendons", named(&marks)))
    .fact(Fact::text("bay", ways.call_bay(stuck.bay)))
    .fact(Fact::text("opening", ways.call(stuck.opening)))
    .fact(Fact::given("length_mm", stuck.length_mm, 0))
    .fact(Fact::computed("across_mm", stuck.diameter_mm, 1))
    .fact(Fact::computed("longest_mm", stuck.longest_mm, 0).at_most())
    .fact(Fact::computed("ratio", stuck.longest_mm / stuck.length_mm, 2));
    finding = stuck.follows(ways, finding);
    if stuck.longest_mm > 0.0 {
        finding = finding.remedy("Cut pieces of {longest_mm} at most");
    }
    finding
}
