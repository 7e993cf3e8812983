//! A pipe has a diameter that no table of sizes lists.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::tables::pipe::{POLYMER_OUTERS, STEEL_PIPES, polymer_outer};
use restrand_model::route::Route;
use restrand_model::schedule::{Duct, DuctMaterial};

use super::used;
use crate::context::Context;
use crate::rule::{Check, Corrects, LimitKey, Rule};

/// The limit of `duct/dimensions-inconsistent`, by which a diameter is that of a listed pipe.
const TOLERANCE: LimitKey = LimitKey {
    name: "pipe_tolerance_mm",
    meaning: "difference by which a pipe's stated dimensions may contradict each other",
};

pub(crate) const RULE: Rule = Rule {
    id: "duct/size-unlisted",
    summary: "outer diameter of smooth pipes against the tables of sizes",
    kinds: &[Kind::Note],
    limits: &[TOLERANCE],
    sources: &[
        Citation::new(
            "ASTM F714 and D3035, iron-pipe sizes; ISO 161-1, metric sizes",
            Evidence::Memory,
        ),
        Citation::new("ASTM A53, ASME B36.10M", Evidence::Read),
    ],
    correction: Corrects::Nothing,
    implied_by: &["duct/dimensions-inconsistent"],
    page: include_str!("size_unlisted.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    for (index, duct) in context.schedule.ducts.iter().enumerate() {
        one(context, duct, &Route::to("ducts", index), outcomes);
    }
}

fn one(context: &Context<'_>, duct: &Duct, route: &Route, outcomes: &mut Outcomes) {
    let Some(material) = duct.material else {
        return outcomes.not_evaluated("duct.material");
    };
    let Some(outer_mm) = duct.outer_mm else {
        return outcomes.not_evaluated("duct.outer_mm");
    };
    let tolerance_mm = context.limit(TOLERANCE).value;
    let (is_listed, listed): (bool, Vec<(f64, String)>) = match material {
        DuctMaterial::Polyethylene | DuctMaterial::Polypropylene => (
            polymer_outer(None, outer_mm).is_ok_and(|size| size.is_some()),
            POLYMER_OUTERS
                .iter()
                .map(|size| (size.outer_mm, format!("{}", size.nominal_size)))
                .collect(),
        ),
        DuctMaterial::Steel => (
            STEEL_PIPES.iter().any(|pipe| (pipe.outer_mm - outer_mm).abs() <= tolerance_mm + 1e-9),
            STEEL_PIPES
                .iter()
                .map(|pipe| (pipe.outer_mm, format!("nominal size {}", pipe.nominal_size)))
                .collect(),
        ),
        DuctMaterial::CorrugatedPolymer | DuctMaterial::CorrugatedMetal => {
            return outcomes.not_applicable("corrugated ducts have no listed diameters");
        }
    };
    if is_listed {
        return outcomes.pass();
    }
    if listed.iter().all(|(listed_mm, _)| *listed_mm < outer_mm) {
        return outcomes.not_applicable("the tables end below this diameter");
    }
    let mut finding = Finding::new(
        RULE.id,
        Kind::Note,
        route.field("outer_mm"),
        "no table of sizes lists a pipe of {outer_mm} as duct {duct} has it",
    )
    .help(
        "A size that is not made cannot be bought again in decades: check the diameter, and name the standard \
         and the nominal size",
    )
    .fact(Fact::text("duct", used::name(duct)))
    .fact(Fact::given("outer_mm", outer_mm, 2));
    let nearest = listed
        .iter()
        .min_by(|(a, _), (b, _)| (a - outer_mm).abs().total_cmp(&(b - outer_mm).abs()));
    if let Some((nearest_mm, name)) = nearest {
        finding = finding
            .fact(Fact::computed("nearest_outer_mm", *nearest_mm, 2))
            .fact(Fact::text("size", name.clone()))
            .remedy("The nearest listed size is {size}, with {nearest_outer_mm} outside");
    }
    outcomes.found(finding);
}
