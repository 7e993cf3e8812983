//! What leaves is bonded to what stays where people can reach it: what has to be broken out.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::resolve::ResolvedPart;
use restrand_model::route::Route;
use restrand_model::schedule::{Bond, CapKind, Permanence};

use crate::assembly::{Assembly, Axis, Owner, call};
use crate::context::Context;
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "parts/breakout-needed",
    summary: "bonds between what leaves and what stays that can be reached, and have to be broken out",
    kinds: &[Kind::Note],
    limits: &[],
    sources: &[Citation::new(
        "FHWA-HIF-19-067 (2019), abstract: bonds at anchorages and deviators make replacement complex and slow",
        Evidence::Read,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("breakout_needed.md"),
    check: Check::Schedule(check),
};

/// The words in `bonded_to` for nothing and for concrete.
const NOTHING: &str = "none";
const CONCRETE: &str = "concrete";

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    for assembly in &context.assemblies {
        if assembly.stays {
            outcomes.not_applicable("no replaceable tendon uses it");
            continue;
        }
        let mut places: Vec<(Route, String)> = Vec::new();
        for resolved in assembly.parts.iter().filter(|part| assembly.states(part)) {
            match of_part(assembly, resolved) {
                Judged::Pass => outcomes.pass(),
                Judged::NotApplicable(why) => outcomes.not_applicable(why),
                Judged::NotEvaluated(field) => outcomes.not_evaluated(field),
                Judged::Breakout(what) => {
                    places.push((context.value_of(&resolved.route, "bonded_to"), what));
                }
            }
        }
        if let Some(place) = pour_back(context, assembly) {
            places.push((place, "the pour-back over the anchorage".to_owned()));
        }
        let Some(((first, _), further)) = places.split_first() else { continue };
        let list: Vec<_> = places.iter().map(|(_, what)| what.as_str()).collect();
        let mut finding = Finding::new(
            RULE.id,
            Kind::Note,
            first.clone(),
            "before the tendon leaves {owner}, this has to be broken out: {list}",
        )
        .help("Count the time and the room that it takes, and what of it is made anew; nothing that stays may be cut into")
        .fact(Fact::text("owner", assembly.name.as_str()))
        .fact(Fact::text("list", list.join("; ")));
        for (route, _) in further {
            finding = finding.related(route.clone(), "to be broken out as well");
        }
        outcomes.found(finding);
    }
}

enum Judged {
    Pass,
    NotApplicable(&'static str),
    NotEvaluated(&'static str),
    Breakout(String),
}

fn of_part(assembly: &Assembly<'_>, resolved: &ResolvedPart<'_>) -> Judged {
    let part = resolved.part.as_ref();
    if assembly.changes(resolved) && part.bonded_to.is_none() {
        return Judged::NotApplicable("it changes a part of a kind, which has to say it");
    }
    match part.permanence {
        None => return Judged::NotEvaluated("part.permanence"),
        Some(Permanence::Permanent) => return Judged::NotApplicable("it stays"),
        Some(Permanence::Replaceable) => {}
    }
    if matches!(part.bond, Some(Bond::None | Bond::Wax)) {
        return Judged::Pass;
    }
    let name = match part.bonded_to.as_deref().map(str::trim) {
        Some(name) if name.eq_ignore_ascii_case(NOTHING) => return Judged::Pass,
        Some(name) => name,
        None if part.bond == Some(Bond::Concrete) => CONCRETE,
        None => return Judged::NotEvaluated("part.bonded_to"),
    };
    let other = assembly.parts.iter().find(|other| {
        other.part.id.as_deref().is_some_and(|id| id.trim().eq_ignore_ascii_case(name))
    });
    match other.map(|other| other.part.permanence) {
        Some(Some(Permanence::Replaceable)) => {
            return Judged::NotApplicable("it leaves with what it is bonded to");
        }
        Some(None) => return Judged::NotEvaluated("part.permanence"),
        None if !name.eq_ignore_ascii_case(CONCRETE) => {
            return Judged::NotApplicable("it names no part, which another rule tells");
        }
        _ => {}
    }
    match part.bond_accessible {
        None => Judged::NotEvaluated("part.bond_accessible"),
        Some(false) => Judged::NotApplicable("nobody can reach the bond, which another rule tells"),
        Some(true) => {
            let bond = part.bond.map_or_else(|| "what bonds".to_owned(), |bond| bond.to_string());
            Judged::Breakout(format!("the {bond} between {} and {name}", call(part)))
        }
    }
}

/// Where a kind of anchorage is covered by concrete.
fn pour_back(context: &Context<'_>, assembly: &Assembly<'_>) -> Option<Route> {
    if assembly.owner != Owner::Kind || assembly.axis != Axis::Anchorage {
        return None;
    }
    let route = &assembly.route;
    let is_poured = context.schedule.anchorages.iter().enumerate().any(|(index, one)| {
        Route::to("anchorages", index) == *route && one.cap_kind == Some(CapKind::PourBack)
    });
    is_poured.then(|| route.field("cap_kind"))
}
