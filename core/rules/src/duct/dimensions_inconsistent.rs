//! Outer diameter, wall, ratio or schedule, and bore of a duct cannot all be right.

mod likely;
mod names;
mod offer;
mod pipe;

use restrand_finding::{Citation, Class, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::Misfit;
use restrand_mechanics::duct::{Agreement, Dimension, Implied, Material, Stated, agree};
use restrand_mechanics::tables::pipe::SteelPipe;
use restrand_model::quantity::System;
use restrand_model::route::Route;
use restrand_model::schedule::{Duct, DuctMaterial, InnerConvention};

use self::likely::{held, most_likely_wrong};
use self::names::{DIGITS, article, fact_name, field, implied_name, off_name, words};
use self::offer::offer;
use self::pipe::listed_pipe;
use crate::book::Limit;
use crate::context::Context;
use crate::rule::{Check, Corrects, LimitKey, Rule};

const TOLERANCE: LimitKey = LimitKey {
    name: "pipe_tolerance_mm",
    meaning: "difference of stated pipe dimensions that rounding explains",
};

pub(crate) const RULE: Rule = Rule {
    id: "duct/dimensions-inconsistent",
    summary: "outer diameter, wall, dimension ratio or schedule, and bore of a duct against each other",
    kinds: &[Kind::Inconsistent],
    limits: &[TOLERANCE],
    sources: &[
        Citation::new("ASTM D3035, definition of the dimension ratio", Evidence::Read),
        Citation::new("ASME B36.10M and ASTM A53, walls of pipe schedules", Evidence::Secondary),
        Citation::new("geometry of a pipe", Evidence::Derived),
    ],
    correction: Corrects::Offers(&[Class::Recompute, Class::Propose], offer),
    implied_by: &[],
    page: include_str!("dimensions_inconsistent.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let tolerance = context.limit(TOLERANCE);
    for (index, duct) in context.schedule.ducts.iter().enumerate() {
        one(duct, &Route::to("ducts", index), tolerance, outcomes);
    }
}

fn one(duct: &Duct, route: &Route, tolerance: &Limit, outcomes: &mut Outcomes) {
    let pipe = listed_pipe(duct);
    let stated = stated(duct, pipe);
    if let (Some(outer), Some(inner)) = (duct.outer_mm, duct.inner_mm)
        && inner >= outer
    {
        return outcomes.found(wider_than_pipe(duct, route, &stated, tolerance));
    }
    if matches!(
        duct.material,
        Some(DuctMaterial::CorrugatedMetal | DuctMaterial::CorrugatedPolymer)
    ) {
        return outcomes.not_applicable("a corrugated duct has no plain wall");
    }
    let agreement = match agree(&stated, tolerance.value) {
        Ok(agreement) => agreement,
        Err(misfit) => return outcomes.found(solid(duct, route, &stated, &misfit)),
    };
    if let (Some(pipe), Some(outer)) = (pipe, duct.outer_mm)
        && (pipe.outer_mm - outer).abs() > tolerance.value + 1e-9
    {
        return outcomes.found(other_size(duct, route, pipe, outer, tolerance));
    }
    if agreement.comparisons == 0 {
        return outcomes.not_evaluated(lacking(&stated));
    }
    if agreement.disagreements.is_empty() {
        return outcomes.pass();
    }
    outcomes.found(disagreement(duct, route, &stated, &agreement, tolerance));
}

fn stated(duct: &Duct, pipe: Option<&SteelPipe>) -> Stated {
    let material = match duct.material {
        Some(DuctMaterial::Steel) => Material::Steel,
        // A pipe of a steel schedule has one bore; of any other both conventions are tried.
        None if pipe.is_some() => Material::Steel,
        _ => Material::Polymer,
    };
    Stated {
        material,
        outer_mm: duct.outer_mm,
        wall_mm: duct.wall_mm,
        // A measured bore differs from the nominal one by the pipe's own tolerances.
        inner_mm: duct
            .inner_mm
            .filter(|_| duct.inner_convention != Some(InnerConvention::Measured)),
        dimension_ratio: duct.dimension_ratio,
        schedule_wall_mm: pipe.map(|pipe| pipe.wall_mm),
    }
}

/// The field for want of which nothing could be compared.
fn lacking(stated: &Stated) -> &'static str {
    let has_wall = stated.wall_mm.or(stated.dimension_ratio).or(stated.schedule_wall_mm).is_some();
    match (stated.outer_mm, has_wall) {
        (None, _) => "duct.outer_mm",
        (_, false) => "duct.wall_mm",
        _ => "duct.inner_mm",
    }
}

/// A finding with the stated dimensions as facts and, but for the first, as related places.
fn begin(
    duct: &Duct,
    route: &Route,
    stated: &Stated,
    at: Dimension,
    message: impl Into<String>,
) -> Finding {
    use Dimension::{DimensionRatio, Inner, Outer, ScheduleWall, Wall};
    let mut finding = Finding::new(RULE.id, Kind::Inconsistent, route.field(field(at)), message)
        .fact(Fact::text("duct", duct.id.as_deref().unwrap_or("without a name")));
    for (dimension, value) in [
        (Outer, stated.outer_mm),
        (Wall, stated.wall_mm),
        (Inner, duct.inner_mm),
        (DimensionRatio, stated.dimension_ratio),
        (ScheduleWall, stated.schedule_wall_mm),
    ] {
        let Some(value) = value else {
            continue;
        };
        finding = finding.fact(Fact::given(fact_name(dimension), value, DIGITS));
        if dimension != at {
            finding =
                finding.related(route.field(field(dimension)), format!("the {}", words(dimension)));
        }
    }
    finding
}

/// What outer and inner diameter look like where they are exchanged.
enum Exchanged {
    /// All the others agree with them.
    Agree,
    /// There is nothing to hold them against.
    Alone,
    /// They do not agree either.
    Disagree,
}

fn exchanged(stated: &Stated, tolerance_mm: f64) -> Exchanged {
    let exchanged = Stated { outer_mm: stated.inner_mm, inner_mm: stated.outer_mm, ..*stated };
    match agree(&exchanged, tolerance_mm) {
        Ok(agreement) if agreement.comparisons == 0 => Exchanged::Alone,
        Ok(agreement) if agreement.disagreements.is_empty() => Exchanged::Agree,
        _ => Exchanged::Disagree,
    }
}

fn wider_than_pipe(duct: &Duct, route: &Route, stated: &Stated, tolerance: &Limit) -> Finding {
    let finding = begin(
        duct,
        route,
        stated,
        Dimension::Inner,
        "the bore of duct {duct} is stated as {inner_mm}, wider than the pipe itself, which is {outer_mm}",
    );
    let finding = match exchanged(stated, tolerance.value) {
        Exchanged::Agree => {
            return finding
                .help("Outer and inner diameter seem to be swapped: the other way round, the others agree")
                .remedy("State an outer diameter of {inner_mm} and a bore of {outer_mm}");
        }
        Exchanged::Alone => finding.help("Outer and inner diameter may be swapped; correct them"),
        Exchanged::Disagree => {
            finding.help("Correct the inner diameter; a table may have misprinted it")
        }
    };
    let wall = stated.wall_mm.or(stated.schedule_wall_mm);
    let wall = wall.or_else(|| Some(stated.outer_mm? / stated.dimension_ratio?));
    match (stated.outer_mm, wall) {
        (Some(outer), Some(wall)) if outer > 2.0 * wall => finding
            .fact(Fact::computed("inner_by_wall_mm", outer - 2.0 * wall, DIGITS))
            .remedy("State a bore of {inner_by_wall_mm}, the outer diameter less both walls"),
        _ => finding,
    }
}

/// The walls leave no bore.
fn solid(duct: &Duct, route: &Route, stated: &Stated, misfit: &Misfit) -> Finding {
    let fills = |wall: Option<f64>| {
        wall.zip(stated.outer_mm).is_some_and(|(wall, outer)| 2.0 * wall >= outer)
    };
    let (at, message) = if fills(stated.wall_mm) {
        (
            Dimension::Wall,
            "two walls of {wall_mm} fill duct {duct}, whose outer diameter is {outer_mm}"
                .to_owned(),
        )
    } else if fills(stated.schedule_wall_mm) {
        (
            Dimension::ScheduleWall,
            "two walls of {schedule_wall_mm}, as its schedule has them, fill duct {duct}, whose outer diameter \
             is {outer_mm}"
                .to_owned(),
        )
    } else if stated.dimension_ratio.is_some_and(|ratio| ratio <= 2.0) {
        (
            Dimension::DimensionRatio,
            "a dimension ratio of {dimension_ratio} leaves no bore in duct {duct}: it is outer diameter over \
             one wall"
                .to_owned(),
        )
    } else {
        (
            Dimension::Outer,
            format!("the dimensions of duct {{duct}} are those of no pipe: {misfit}"),
        )
    };
    begin(duct, route, stated, at, message)
        .help("Check the value and its unit against the pipe's standard")
}

fn other_size(
    duct: &Duct,
    route: &Route,
    pipe: &SteelPipe,
    outer_mm: f64,
    tolerance: &Limit,
) -> Finding {
    Finding::new(
        RULE.id,
        Kind::Inconsistent,
        route.field("nominal_size"),
        "duct {duct} is stated as nominal size {nominal_size}, whose outer diameter is {listed_outer_mm}, but \
         its outer diameter as {outer_mm}",
    )
    .related(route.field("outer_mm"), "the outer diameter")
    .help("Correct nominal size or outer diameter; a nominal size is a name, not a length")
    .fact(Fact::text("duct", duct.id.as_deref().unwrap_or("without a name")))
    .fact(Fact::text("nominal_size", duct.nominal_size.as_deref().unwrap_or_default()))
    .fact(Fact::given("outer_mm", outer_mm, DIGITS))
    .fact(Fact::computed("listed_outer_mm", pipe.outer_mm, DIGITS))
    .fact(tolerance.fact(TOLERANCE, DIGITS))
}

fn disagreement(
    duct: &Duct,
    route: &Route,
    stated: &Stated,
    agreement: &Agreement,
    tolerance: &Limit,
) -> Finding {
    let (at, is_alone) = most_likely_wrong(stated, agreement, tolerance.value);
    let mut sentences = Vec::new();
    let mut facts: Vec<Fact> = Vec::new();
    let all = agreement.disagreements.iter().flat_map(|told| &told.implied);
    // First what the others say of the value that is likely wrong, then the rest.
    let (of_it, of_others): (Vec<&Implied>, Vec<&Implied>) = all.partition(|it| it.dimension == at);
    let of_others = if is_alone { Vec::new() } else { of_others };
    for implied in of_it.iter().chain(&of_others) {
        let name = implied_name(implied.dimension, implied.from);
        if facts.iter().any(|fact| fact.name == name) {
            continue;
        }
        facts.push(Fact::computed(name, implied.value, DIGITS));
        let [one, other] = implied.from.map(words);
        sentences.push(format!("{one} and {other} give {} {{{name}}}", article(implied.dimension)));
    }
    if sentences.is_empty() {
        // Two walls that were given apart: the values say it.
        let walls = agreement.disagreements.iter().flat_map(|told| &told.between);
        let walls = walls.map(|wall| format!("the {} is {{{}}}", words(*wall), fact_name(*wall)));
        sentences.extend(walls);
    }
    let message = if is_alone {
        format!(
            "the {} of duct {{duct}} is stated as {{{}}}, but {}",
            words(at),
            fact_name(at),
            sentences.join(", and ")
        )
    } else {
        format!("the dimensions of duct {{duct}} do not agree: {}", sentences.join("; "))
    };
    let help = if is_alone {
        format!("Correct the {}, with which none of the others agree", words(at))
    } else {
        "Correct the one that is wrong; a further value, as a dimension ratio, would show which it is"
            .to_owned()
    };
    let mut finding = begin(duct, route, stated, at, message).help(help);
    let meant = of_it.first().map(|implied| implied.value);
    let meant = meant.or_else(|| {
        // Two walls that were given apart.
        let walls = agreement.disagreements.iter().flat_map(|told| told.between.iter());
        let other = walls.copied().find(|wall| *wall != at)?;
        held(stated, other)
    });
    if let (Some(value), Some(meant)) = (held(stated, at), meant) {
        finding = finding.fact(Fact::computed(off_name(at), (value - meant).abs(), DIGITS));
    }
    finding = finding.fact(tolerance.fact(TOLERANCE, DIGITS));
    // Pairs of values that give the same one call for one remedy.
    let mut told: Vec<String> = Vec::new();
    for fact in facts {
        let shown = fact.shown(System::Si);
        if is_alone && !told.contains(&shown) {
            told.push(shown);
            finding = finding.remedy(format!("State the {} as {{{}}}", words(at), fact.name));
        }
        finding = finding.fact(fact);
    }
    finding
}

#[cfg(test)]
mod tests;
