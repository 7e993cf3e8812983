//! The wall of a duct or of a deviator's pipe is thin.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;
use restrand_model::schedule::{Duct, DuctMaterial, Role, Situation};

use super::used;
use crate::context::Context;
use crate::rule::{Check, Corrects, LimitKey, Rule};

const MOST_RATIO: LimitKey = LimitKey {
    name: "duct_dimension_ratio_most",
    meaning: "greatest outer diameter over wall of an external polymer duct",
};
const STEEL_WALL: LimitKey = LimitKey {
    name: "deviator_wall_least_mm",
    meaning: "least wall of a steel pipe in a deviator",
};

pub(crate) const RULE: Rule = Rule {
    id: "duct/wall-thin",
    summary: "outer diameter over wall of external polymer ducts, and the wall of steel pipes in deviators",
    kinds: &[Kind::Margin],
    limits: &[MOST_RATIO, STEEL_WALL],
    sources: &[
        Citation::new(
            "Ontario OPSS 910, draft, as quoted in a public comment",
            Evidence::Secondary,
        ),
        Citation::new("AASHTO LRFD 5.4.6.3", Evidence::Memory),
    ],
    correction: Corrects::Nothing,
    implied_by: &["duct/dimensions-inconsistent"],
    page: include_str!("wall_thin.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let external = external_ducts(context);
    for (index, duct) in context.schedule.ducts.iter().enumerate() {
        if external.get(index).copied().unwrap_or(false) {
            polymer(context, duct, &Route::to("ducts", index), outcomes);
        } else {
            outcomes.not_applicable("no external tendon has the duct");
        }
    }
    for (index, form) in context.schedule.forms.iter().enumerate() {
        let parts = Route::to("forms", index).field("parts");
        for (position, part) in form.parts.iter().enumerate() {
            if part.role != Some(Role::DeviatorPipe) || !is_steel(part.material.as_deref()) {
                continue;
            }
            let walls = [
                (part.rear_outer_mm, part.rear_inner_mm),
                (part.span_outer_mm, part.span_inner_mm),
            ];
            let least = walls
                .into_iter()
                .filter_map(|(outer, inner)| Some((outer? - inner?) / 2.0))
                .min_by(f64::total_cmp);
            match least {
                None => outcomes.not_evaluated("part.rear_inner_mm"),
                Some(wall_mm) => {
                    let name = part.id.as_deref().unwrap_or("deviator pipe").to_owned();
                    steel(context, wall_mm, name, parts.item(position), outcomes);
                }
            }
        }
    }
}

/// Of each duct of the schedule, whether an external tendon has it; a tendon that does not say is external.
fn external_ducts(context: &Context<'_>) -> Vec<bool> {
    let mut external = vec![false; context.schedule.ducts.len()];
    for at in context.tendons() {
        if at.tendon.situation == Some(Situation::Internal) {
            continue;
        }
        for (link, _) in used::named(&at) {
            if let Some(position) = context.position("ducts", link.key()) {
                external[position] = true;
            }
        }
    }
    external
}

fn is_steel(material: Option<&str>) -> bool {
    material.is_some_and(|material| material.to_lowercase().contains("steel"))
}

fn polymer(context: &Context<'_>, duct: &Duct, route: &Route, outcomes: &mut Outcomes) {
    match duct.material {
        None => return outcomes.not_evaluated("duct.material"),
        Some(DuctMaterial::Polyethylene | DuctMaterial::Polypropylene) => {}
        Some(_) => return outcomes.not_applicable("it is no smooth polymer pipe"),
    }
    let stated = duct.dimension_ratio.map(|ratio| (ratio, "dimension_ratio"));
    let by_wall = duct.outer_mm.zip(duct.wall_mm).map(|(outer, wall)| (outer / wall, "wall_mm"));
    let Some((ratio, field)) = by_wall.or(stated) else {
        return outcomes.not_evaluated("duct.wall_mm");
    };
    let limit = context.limit(MOST_RATIO);
    // Walls are stated to a tenth of a millimetre: 125 mm over 7.4 mm is meant to be 17.
    let rounded = ratio.min(stated.map_or(ratio, |(stated, _)| stated));
    if rounded <= limit.value * (1.0 + 1e-9) {
        return outcomes.pass();
    }
    let mut finding = Finding::new(
        RULE.id,
        Kind::Margin,
        route.field(field),
        "the wall of duct {duct} is thin: its outer diameter is {ratio} times its wall, more than \
         {duct_dimension_ratio_most}",
    )
    .help("A thin wall is pressed oval by filling and cut through at deviators: take a thicker one")
    .fact(Fact::text("duct", used::name(duct)))
    .fact(Fact::computed("ratio", ratio, 2))
    .fact(limit.fact(MOST_RATIO, 1));
    if let Some(outer_mm) = duct.outer_mm {
        finding = finding
            .fact(Fact::given("outer_mm", outer_mm, 2))
            .fact(Fact::computed("least_wall_mm", outer_mm / limit.value, 2).at_least())
            .remedy("A wall of {least_wall_mm} is enough; check that the bore still is");
    }
    outcomes.found(finding);
}

fn steel(context: &Context<'_>, wall_mm: f64, name: String, route: Route, outcomes: &mut Outcomes) {
    let limit = context.limit(STEEL_WALL);
    // A difference of decimal fractions is not exact.
    if wall_mm >= limit.value - 1e-9 {
        return outcomes.pass();
    }
    let finding = Finding::new(
        RULE.id,
        Kind::Margin,
        route,
        "the wall of {part} is {wall_mm}, less than {deviator_wall_least_mm}",
    )
    .help("Strands press their way into a thin pipe where they bend: take a thicker one")
    .fact(Fact::text("part", name))
    .fact(Fact::computed("wall_mm", wall_mm, 2))
    .fact(limit.fact(STEEL_WALL, 2))
    .remedy("Take a pipe with a wall of at least {deviator_wall_least_mm}");
    outcomes.found(finding);
}
