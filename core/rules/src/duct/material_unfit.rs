//! A duct is corrugated where a replaceable tendon needs a smooth one, or bears no daylight.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes, Severity};
use restrand_model::route::Route;
use restrand_model::schedule::{Duct, DuctMaterial, Situation};

use super::used;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "duct/material-unfit",
    summary: "smooth or corrugated duct, by where the tendon lies and whether it is replaceable; daylight",
    kinds: &[Kind::Margin],
    limits: &[],
    sources: &[
        Citation::new(SMOOTH, Evidence::Derived),
        Citation::new(STABILISED, Evidence::Memory),
    ],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("material_unfit.md"),
    check: Check::Tendons(check),
};

const SMOOTH: &str =
    "common practice: external tendons have smooth pipe, which is drawn out of its forms";
const STABILISED: &str =
    "ASTM D3350, code letter for colour and stabiliser against ultraviolet light";

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.tendon.situation == Some(Situation::Internal) {
        return outcomes.not_applicable("the tendon lies inside the concrete");
    }
    if at.stays() {
        return outcomes.not_applicable("the tendon need not be replaceable");
    }
    let named = used::named(at);
    if named.is_empty() {
        return outcomes.not_evaluated("tendon.duct");
    }
    for (link, place) in named {
        let Some(duct) = context.duct(Some(link)) else {
            outcomes.not_evaluated("tendon.duct");
            continue;
        };
        match duct.record.material {
            None => outcomes.not_evaluated("duct.material"),
            Some(DuctMaterial::CorrugatedMetal | DuctMaterial::CorrugatedPolymer) => {
                outcomes.found(corrugated(at, duct.record, &duct.route, place));
            }
            Some(_) => match duct.record.uv_class.as_deref().filter(|class| is_unstabilised(class))
            {
                Some(class) if used::is_polymer(duct.record) => {
                    outcomes.found(unstabilised(at, duct.record, class, &duct.route, place));
                }
                _ => outcomes.pass(),
            },
        }
    }
}

fn corrugated(at: &TendonAt<'_>, duct: &Duct, route: &Route, place: Route) -> Finding {
    Finding::new(
        RULE.id,
        Kind::Margin,
        place,
        "duct {duct} of the external tendon {tendon} is corrugated",
    )
    .related(route.field("material"), "its material")
    .help(
        "A corrugated duct catches at every mouth when it is drawn out, and its ribs hold filler and grout fast: \
         external tendons that are to come out have smooth pipe",
    )
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("duct", used::name(duct)))
    .cites(SMOOTH, Evidence::Derived)
    .severity(Severity::Warning)
}

/// Whether a class says that nothing in the pipe holds daylight off: the letters A, natural, and B, coloured, alone or
/// at the end of the cell classification of the pipe's polyethylene, as `PE445574A`.
fn is_unstabilised(class: &str) -> bool {
    let class = class.trim();
    if ["none", "no"].iter().any(|word| class.eq_ignore_ascii_case(word)) {
        return true;
    }
    let Some(letter) = class.chars().next_back() else {
        return false;
    };
    let cell = class.strip_suffix(letter).unwrap_or_default();
    let cell = cell.strip_prefix("PE").unwrap_or(cell).trim();
    matches!(letter, 'A' | 'B')
        && (cell.is_empty() || cell.len() == 6 && cell.bytes().all(|byte| byte.is_ascii_digit()))
}

fn unstabilised(
    at: &TendonAt<'_>,
    duct: &Duct,
    class: &str,
    route: &Route,
    place: Route,
) -> Finding {
    Finding::new(
        RULE.id,
        Kind::Margin,
        place,
        "duct {duct} of the external tendon {tendon} is not stabilised against daylight: its class is {class}",
    )
    .related(route.field("uv_class"), "its class")
    .help(
        "Where a length of it lies in daylight, as on site before it is built in or beside an open end, take pipe that \
         is black or stabilised, or keep it covered",
    )
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("duct", used::name(duct)))
    .fact(Fact::text("class", class))
    .cites(STABILISED, Evidence::Memory)
    .severity(Severity::Note)
}
