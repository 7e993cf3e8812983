//! What makes a duct wide enough.

use restrand_finding::{Fact, Finding};
use restrand_mechanics::duct::{
    inner_at_average_wall_mm, inner_at_minimum_wall_mm, least_inner_mm,
};
use restrand_mechanics::tables::pipe::{
    OuterSystem, POLYMER_OUTERS, Schedule, next_steel_pipe, polymer_outer,
};
use restrand_model::schedule::{Duct, DuctMaterial, InnerConvention};

use super::{Bundle, PUSH, push_is_enough};
use crate::book::Limit;
use crate::context::Context;
use crate::duct::used;

pub(super) fn remedies(
    context: &Context<'_>,
    bundle: &Bundle<'_>,
    limit: &Limit,
    mut finding: Finding,
) -> Finding {
    let Bundle { duct, count, area_mm2, .. } = bundle;
    let push = context.limit(PUSH);
    if push_is_enough(context, bundle) {
        // What the remedy needs is not what was missed, and says nothing of how surely it was.
        let severity = finding.severity;
        finding = finding.fact(push.fact(PUSH, 2)).severity(severity).remedy(
            "Push the strands in one by one, where path and length allow it: {area_ratio_push} is then \
             enough",
        );
    }
    let Ok(least_mm) = least_inner_mm(limit.value, *count, *area_mm2) else {
        return finding;
    };
    finding = finding.fact(Fact::computed("least_inner_mm", least_mm, 2).at_least());
    let duct = duct.record;
    if let Some(wall_mm) = thinner_wall(duct, least_mm) {
        finding = finding.fact(Fact::computed("most_wall_mm", wall_mm, 2).at_most());
        // What the duct states of its wall in other words changes with it.
        let ratio = duct.dimension_ratio.and_then(|_| Some(duct.outer_mm? / wall_mm));
        finding = match ratio {
            Some(ratio) => finding.fact(Fact::computed("thin_ratio", ratio, 2).at_least()).remedy(
                "Keep the outer diameter and make the wall {most_wall_mm} at most, if the pipe's class allows it; with it go \
                 the bore, {least_inner_mm}, and the dimension ratio, {thin_ratio}",
            ),
            None => finding.remedy(
                "Keep the outer diameter and make the wall {most_wall_mm} at most, if the pipe's class allows it; with it \
                 goes the bore, {least_inner_mm}",
            ),
        };
    }
    match next_pipe(duct, least_mm) {
        Some((name, inner_mm)) => finding
            .fact(Fact::text("next_pipe", name))
            .fact(Fact::computed("next_inner_mm", inner_mm, 2))
            .remedy(
                "Take the next listed pipe that is wide enough: {next_pipe}, with a bore of \
                 {next_inner_mm}",
            ),
        None => finding.remedy("Take a duct with a bore of at least {least_inner_mm}"),
    }
}

fn is_average(duct: &Duct) -> bool {
    duct.inner_convention == Some(InnerConvention::AverageWall)
}

/// The wall of a pipe of the same outer diameter with the bore that is needed.
fn thinner_wall(duct: &Duct, least_mm: f64) -> Option<f64> {
    if !used::is_polymer(duct) {
        return None;
    }
    let factor = if is_average(duct) { restrand_mechanics::duct::AVERAGE_WALL_FACTOR } else { 2.0 };
    let wall_mm = (duct.outer_mm? - least_mm) / factor;
    (wall_mm > 0.0).then_some(wall_mm)
}

/// The smallest listed pipe of the duct's kind whose bore is wide enough, and the bore.
fn next_pipe(duct: &Duct, least_mm: f64) -> Option<(String, f64)> {
    match duct.material? {
        DuctMaterial::Steel => {
            let pipe = next_steel_pipe(least_mm, Schedule::S40).ok()??;
            Some((format!("nominal size {}, schedule 40", pipe.nominal_size), pipe.inner_mm))
        }
        DuctMaterial::Polyethylene | DuctMaterial::Polypropylene => {
            let outer_mm = duct.outer_mm?;
            let wall_mm = duct.wall_mm.or_else(|| Some(outer_mm / duct.dimension_ratio?))?;
            let ratio = duct.dimension_ratio.unwrap_or(outer_mm / wall_mm);
            let system = polymer_outer(None, outer_mm).ok()?.map(|size| size.system)?;
            POLYMER_OUTERS.iter().filter(|size| size.system == system).find_map(|size| {
                let wall_mm = size.outer_mm / ratio;
                let inner_mm = if is_average(duct) {
                    inner_at_average_wall_mm(size.outer_mm, wall_mm)
                } else {
                    inner_at_minimum_wall_mm(size.outer_mm, wall_mm)
                };
                let inner_mm = inner_mm.ok().filter(|inner| *inner >= least_mm)?;
                let name = match system {
                    OuterSystem::Ips => format!("iron-pipe size {}", size.nominal_size),
                    OuterSystem::Metric => format!("size {}", size.nominal_size),
                };
                Some((format!("{name}, dimension ratio {}", rounded(ratio)), inner_mm))
            })
        }
        DuctMaterial::CorrugatedPolymer | DuctMaterial::CorrugatedMetal => None,
    }
}

/// A dimension ratio as it is written: to one decimal at most.
fn rounded(ratio: f64) -> String {
    let text = format!("{ratio:.1}");
    text.strip_suffix(".0").map(str::to_owned).unwrap_or(text)
}
