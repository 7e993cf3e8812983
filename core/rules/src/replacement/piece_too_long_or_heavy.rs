//! The stated cuts leave a piece that is longer or heavier than what the schedule allows.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::removal::{piece_mass_kg, pieces};
use restrand_model::route::Route;

use super::is_to_be_replaced;
use crate::beyond::beyond;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};
use crate::works::{self, Along};

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
struct Bound {
    length_m: f64,
    most_kg: Option<f64>,
    route: Route,
}

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if !is_to_be_replaced(at, outcomes) {
        return;
    }
    if at.tendon.cuts.is_empty() {
        return outcomes.not_applicable("no cut is stated");
    }
    let bounds = match bounds(context, at) {
        Ok(bounds) if bounds.is_empty() => {
            return outcomes.not_evaluated("replacement.piece_length_mm");
        }
        Ok(bounds) => bounds,
        Err(field) => return outcomes.not_evaluated(field),
    };
    let lengths = match lengths(context, at) {
        Ok(lengths) => lengths,
        Err(field) => return outcomes.not_evaluated(field),
    };
    let Some((from_m, to_m, length_m)) =
        lengths.into_iter().max_by(|one, other| one.2.total_cmp(&other.2))
    else {
        return outcomes.pass();
    };
    let written_m = context.limit(works::CUT_TOLERANCE).value / 1000.0;
    let tightest = bounds.into_iter().min_by(|one, other| one.length_m.total_cmp(&other.length_m));
    match tightest {
        Some(bound) if beyond(length_m, bound.length_m + written_m) => {
            outcomes.found(too_long(context, at, [from_m, to_m], length_m, &bound));
        }
        _ => outcomes.pass(),
    }
}

/// The lengths that a piece may have, by what the schedule states of them.
fn bounds(context: &Context<'_>, at: &TendonAt<'_>) -> Result<Vec<Bound>, &'static str> {
    let replacement = at.tendon.replacement.as_deref();
    let route = at.route.field("replacement");
    let mut bounds = Vec::new();
    if let Some(length_mm) = replacement.and_then(|replacement| replacement.piece_length_mm) {
        let route = route.field("piece_length_mm");
        bounds.push(Bound { length_m: length_mm / 1000.0, most_kg: None, route });
    }
    let project = context.schedule.project.as_deref();
    let own = replacement
        .and_then(|replacement| replacement.piece_mass_limit_kg)
        .map(|most_kg| (most_kg, route.field("piece_mass_limit_kg")));
    let carried = || {
        let most_kg = project?.hand_carry_kg?;
        Some((most_kg, Route::root().field("project").field("hand_carry_kg")))
    };
    // What people carry bounds a piece only where nothing is stated of pieces: there may be a trolley.
    let is_bare = bounds.is_empty();
    if let Some((most_kg, route)) = own.or_else(|| carried().filter(|_| is_bare)) {
        let per_m = works::mass(context, at)?.total_kg_per_m;
        bounds.push(Bound { length_m: most_kg / per_m, most_kg: Some(most_kg), route });
    }
    Ok(bounds)
}

/// The pieces of the free lengths, with their stations and lengths; what holds a form or a diaphragm is none.
fn lengths(context: &Context<'_>, at: &TendonAt<'_>) -> Result<Vec<(f64, f64, f64)>, &'static str> {
    let along = Along::of(context, at)?;
    let held = works::held(context, at)?;
    let mut stations: Vec<f64> = at
        .tendon
        .cuts
        .iter()
        .map(|cut| cut.station_m.ok_or("cut.station_m"))
        .collect::<Result<_, _>>()?;
    stations.sort_by(f64::total_cmp);
    let pieces = stations.windows(2).filter_map(|pair| {
        let [from_m, to_m] = [along.at_m(pair[0]), along.at_m(pair[1])];
        let holds = held.iter().any(|held| {
            let middle_m = f64::midpoint(held.along_m[0], held.along_m[1]);
            (from_m..=to_m).contains(&middle_m)
        });
        (!holds).then_some((pair[0], pair[1], to_m - from_m))
    });
    Ok(pieces.collect())
}

fn too_long(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    [from_m, to_m]: [f64; 2],
    length_m: f64,
    bound: &Bound,
) -> Finding {
    let message = match bound.most_kg {
        None => {
            "between stations {from_m} and {to_m} the stated cuts leave a piece of {tendon} of {piece_m}, longer than the \
             {allowed_m} that are stated for a piece"
        }
        Some(_) => {
            "between stations {from_m} and {to_m} the stated cuts leave a piece of {tendon} of {piece_m} and {piece_kg}, \
             heavier than the {allowed_kg} that are stated for a piece"
        }
    };
    let mut finding = Finding::new(RULE.id, Kind::Inconsistent, at.route.field("cuts"), message)
        .related(bound.route.clone(), "stated here")
        .help(
            "A piece that is too long or too heavy cannot be carried, turned or hoisted as planned",
        )
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::given("from_m", from_m, 3))
        .fact(Fact::given("to_m", to_m, 3))
        .fact(Fact::computed("piece_m", length_m, 3))
        .fact(Fact::computed("allowed_m", bound.length_m, 3))
        .fact(Fact::computed("ratio", length_m / bound.length_m, 2));
    if let Some(most_kg) = bound.most_kg {
        let piece_kg = works::mass(context, at)
            .ok()
            .and_then(|mass| piece_mass_kg(mass.total_kg_per_m, length_m, 0.0).ok());
        finding = finding.fact(Fact::given("allowed_kg", most_kg, 0));
        if let Some(piece_kg) = piece_kg {
            finding = finding.fact(Fact::computed("piece_kg", piece_kg, 0));
        }
    }
    match pieces(length_m, bound.length_m) {
        Ok(parts) if parts.count > 1 => finding
            .fact(Fact::computed("further_cuts", f64::from(parts.count - 1), 0))
            .fact(Fact::computed("each_m", parts.each_m, 3))
            .remedy("Make {further_cuts} more cuts in it: pieces of {each_m}"),
        _ => finding,
    }
}
