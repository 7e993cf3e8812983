//! The stated cuts leave a piece that is longer or heavier than what the schedule allows.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::removal::{piece_mass_kg, pieces};
use restrand_model::route::Route;

use super::is_to_be_replaced;
use crate::beyond::beyond;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};
use crate::works::{self, CutPiece};

pub(crate) const RULE: Rule = Rule {
    id: "replacement/piece-too-long-or-heavy",
    summary: "each piece between the stated cuts against the stated length and mass of a piece",
    kinds: &[Kind::Inconsistent],
    limits: &[works::CUT_TOLERANCE, works::GROUT, works::WAX, works::POLYMER],
    sources: &[Citation::new(
        "length between cuts, mass of strands, filler and duct",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["replacement/cut-in-form", "path/points-impossible"],
    page: include_str!("piece_too_long_or_heavy.md"),
    check: Check::Tendons(check),
};

/// What bounds a piece, and where that is stated.
#[derive(Clone)]
struct Bound {
    length_m: f64,
    by: By,
    route: Route,
}

/// What is stated of a piece.
#[derive(Clone, Copy, PartialEq)]
enum By {
    Length,
    /// The mass of a piece, kg.
    Mass(f64),
    /// What people carry by hand, kg.
    Hands(f64),
}

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if !is_to_be_replaced(at, outcomes) {
        return;
    }
    if at.tendon.cuts.is_empty() {
        return outcomes.not_applicable("no cut is stated");
    }
    let bounds = [by_length(at), by_mass(context, at, [f64::NEG_INFINITY, f64::INFINITY])];
    if bounds.iter().all(|bound| matches!(bound, Ok(None))) {
        return outcomes.not_evaluated("replacement.piece_length_mm");
    }
    let pieces = match works::cut_pieces(context, at) {
        Ok(pieces) => pieces,
        Err(field) => return outcomes.not_evaluated(field),
    };
    // A bound that does not follow leaves the other one standing.
    for bound in &bounds {
        if let Err(field) = bound {
            outcomes.not_evaluated(field);
        }
    }
    if !bounds.iter().any(|bound| matches!(bound, Ok(Some(_)))) {
        return;
    }
    let written_m = context.limit(works::CUT_TOLERANCE).value / 1000.0;
    // Where the duct changes, the heaviest piece need not be the longest.
    let worst = pieces
        .into_iter()
        .filter_map(|piece| Some((tightest(context, at, &piece, &bounds)?, piece)))
        .max_by(|one, other| share(one).total_cmp(&share(other)));
    match worst {
        Some((bound, piece)) if beyond(piece.length_m(), bound.length_m + written_m) => {
            outcomes.found(too_long(context, at, &piece, &bound));
        }
        _ => outcomes.pass(),
    }
}

/// What of its bound a piece takes.
fn share((bound, piece): &(Bound, CutPiece)) -> f64 {
    piece.length_m() / bound.length_m
}

/// What bounds a piece most, with the bounds of length and of mass over the whole tendon.
fn tightest(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    piece: &CutPiece,
    [by_length, by_mass_of_all]: &[Known; 2],
) -> Option<Bound> {
    // Where the duct is the same throughout, each piece weighs what all do.
    let own = (!at.tendon.duct_runs.is_empty()).then(|| by_mass(context, at, piece.stations_m));
    let bounds = [by_length, own.as_ref().unwrap_or(by_mass_of_all)];
    let known = bounds.into_iter().filter_map(|bound| bound.as_ref().ok()?.as_ref());
    known.min_by(|one, other| one.length_m.total_cmp(&other.length_m)).cloned()
}

/// A bound where one is stated, or the field without which it does not follow.
type Known = Result<Option<Bound>, &'static str>;

/// The length that is stated of a piece.
fn by_length(at: &TendonAt<'_>) -> Known {
    let stated_mm = at.tendon.replacement.as_deref().and_then(|own| own.piece_length_mm);
    Ok(stated_mm.map(|length_mm| Bound {
        length_m: length_mm / 1000.0,
        by: By::Length,
        route: at.route.field("replacement").field("piece_length_mm"),
    }))
}

/// The length at which a piece between two stations has the mass that is stated of one, or else of what people carry by
/// hand.
fn by_mass(context: &Context<'_>, at: &TendonAt<'_>, stations_m: [f64; 2]) -> Known {
    let own = at.tendon.replacement.as_deref().and_then(|own| own.piece_mass_limit_kg);
    let carried = context.schedule.project.as_deref().and_then(|project| project.hand_carry_kg);
    let (most_kg, by, route) = match (own, carried) {
        (Some(most_kg), _) => {
            let route = at.route.field("replacement").field("piece_mass_limit_kg");
            (most_kg, By::Mass(most_kg), route)
        }
        (None, Some(most_kg)) => {
            let route = Route::root().field("project").field("hand_carry_kg");
            (most_kg, By::Hands(most_kg), route)
        }
        (None, None) => return Ok(None),
    };
    let per_m = works::mass_over(context, at, stations_m)?.mean_kg_per_m;
    Ok(Some(Bound { length_m: most_kg / per_m, by, route }))
}

fn too_long(context: &Context<'_>, at: &TendonAt<'_>, piece: &CutPiece, bound: &Bound) -> Finding {
    let CutPiece { cuts, stations_m: [from_m, to_m], .. } = *piece;
    let length_m = piece.length_m();
    let list = at.route.field("cuts");
    // A cut that is mended for another reason changes the piece; one elsewhere does not.
    let cuts = cuts.into_iter().flatten().map(|cut| list.item(cut));
    let rests_on = cuts.chain([at.route.field("points")]);
    let message = match bound.by {
        By::Length => {
            "between stations {from_m} and {to_m} the stated cuts leave a piece of {tendon} of {piece_m}, longer than the \
             {allowed_m} that are stated for a piece"
        }
        By::Mass(_) => {
            "between stations {from_m} and {to_m} the stated cuts leave a piece of {tendon} of {piece_m} and {piece_kg}, \
             heavier than the {allowed_kg} that are stated for a piece"
        }
        By::Hands(_) => {
            "between stations {from_m} and {to_m} the stated cuts leave a piece of {tendon} of {piece_m} and {piece_kg}, \
             heavier than the {allowed_kg} that the project states for carrying by hand, and no other mass is stated for a \
             piece"
        }
    };
    let mut finding = Finding::new(RULE.id, Kind::Inconsistent, list.clone(), message)
        .related(bound.route.clone(), "stated here")
        .rests_on(rests_on)
        .help(
            "A piece that is too long or too heavy cannot be carried, turned or hoisted as planned",
        )
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::given("from_m", from_m, 3))
        .fact(Fact::given("to_m", to_m, 3))
        .fact(Fact::computed("piece_m", length_m, 3))
        .fact(Fact::computed("allowed_m", bound.length_m, 3))
        .fact(Fact::computed("ratio", length_m / bound.length_m, 2));
    if let By::Mass(most_kg) | By::Hands(most_kg) = bound.by {
        let piece_kg = works::mass_over(context, at, piece.stations_m)
            .ok()
            .and_then(|mass| piece_mass_kg(mass.mean_kg_per_m, length_m, 0.0).ok());
        finding = finding.fact(Fact::given("allowed_kg", most_kg, 0));
        if let Some(piece_kg) = piece_kg {
            finding = finding.fact(Fact::computed("piece_kg", piece_kg, 0));
        }
    }
    if matches!(bound.by, By::Hands(_)) {
        finding = finding.remedy(
            "State in piece_mass_limit_kg what a trolley or a hoist carries, if pieces are not carried by hand",
        );
    }
    match pieces(length_m, bound.length_m) {
        Ok(parts) if parts.count > 1 => finding
            .fact(Fact::computed("further_cuts", f64::from(parts.count - 1), 0))
            .fact(Fact::computed("each_m", parts.each_m, 3))
            .remedy(match parts.count {
                2 => "Make one more cut in it: pieces of {each_m}",
                _ => "Make {further_cuts} more cuts in it: pieces of {each_m}",
            }),
        _ => finding,
    }
}
