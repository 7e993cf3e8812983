//! Outer diameter, wall, ratio or schedule, and bore of a duct cannot all be right.

use restrand_finding::{Citation, Class, Correction, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::Misfit;
use restrand_mechanics::duct::{
    AVERAGE_WALL_FACTOR, Agreement, Dimension, Implied, Material, Stated, agree,
};
use restrand_mechanics::tables::pipe::{Schedule, SteelPipe, steel_pipe};
use restrand_model::route::Route;
use restrand_model::schedule::{Duct, DuctMaterial, InnerConvention};

use restrand_model::value::Value;

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

/// The one value with which none of the others agree, from those; all others have to agree.
///
/// A wall or a bore follows from what the schedule states of the pipe, and is recomputed.
/// A dimension ratio and an outer diameter are what a pipe is sold by, and a wall by its schedule is the table's:
/// what follows for or from them is proposed.
fn offer(context: &Context<'_>, offered: &mut Vec<Correction>) {
    let tolerance = context.limit(TOLERANCE);
    for (index, duct) in context.schedule.ducts.iter().enumerate() {
        let pipe = listed_pipe(duct);
        let stated = stated(duct, pipe);
        let mut outcomes = Outcomes::default();
        let route = Route::to("ducts", index);
        one(duct, &route, tolerance, &mut outcomes);
        let Some(agreement) = agree(&stated, tolerance.value).ok() else {
            continue;
        };
        if outcomes.findings.is_empty() {
            offered.extend(absent_bore(context, duct, &route, &stated));
        }
        if outcomes.findings.is_empty() || agreement.disagreements.is_empty() {
            continue;
        }
        let (at, is_alone) = most_likely_wrong(&stated, &agreement, tolerance.value);
        if !is_alone {
            continue;
        }
        let Some(implied) = agreeing(duct, &stated, &agreement, at, tolerance.value) else {
            continue;
        };
        let is_stated = !implied.from.contains(&Dimension::ScheduleWall)
            && (at != Dimension::Inner || factor(duct).is_some());
        let class = match at {
            Dimension::Wall | Dimension::Inner if is_stated => Class::Recompute,
            Dimension::ScheduleWall => continue,
            _ => Class::Propose,
        };
        let [one, other] = implied.from.map(words);
        let reason = format!(
            "the {} stood alone as {{{}}}: {one} and {other} give {{{}}}, and all the others agree",
            words(at),
            fact_name(at),
            implied_name(at, implied.from),
        );
        let value = Some(Value::Number(implied.value));
        let Some(before) = held(&stated, at) else {
            continue;
        };
        let correction = Correction::new(RULE.id, class, route.field(field(at)), value, reason)
            .fact(Fact::given(fact_name(at), before, DIGITS))
            .fact(Fact::computed(implied_name(at, implied.from), implied.value, DIGITS));
        let basis = implied.from.map(|dimension| route.field(field(dimension)));
        offered.push(basis.into_iter().fold(correction, Correction::rests_on));
    }
}

/// The bore that the schedule lacks and asks for, from outer diameter and wall, where it is stated which of the
/// two conventions of polymer pipe holds.
fn absent_bore(
    context: &Context<'_>,
    duct: &Duct,
    route: &Route,
    stated: &Stated,
) -> Option<Correction> {
    let place = route.field(field(Dimension::Inner));
    if duct.inner_mm.is_some()
        || context.is_lost_at(&place)
        || !context.requires(duct, field(Dimension::Inner), context.stage())
    {
        return None;
    }
    let outer_mm = stated.outer_mm?;
    let (wall_mm, by) = match (stated.wall_mm, stated.dimension_ratio) {
        (Some(wall_mm), _) => (wall_mm, Dimension::Wall),
        (None, ratio) => (outer_mm / ratio?, Dimension::DimensionRatio),
    };
    if matches!(duct.material?, DuctMaterial::CorrugatedMetal | DuctMaterial::CorrugatedPolymer) {
        return None;
    }
    let inner_mm = outer_mm - factor(duct)? * wall_mm;
    let inner_mm = (inner_mm * 100.0).round() / 100.0;
    if inner_mm <= 0.0 {
        return None;
    }
    let name = implied_name(Dimension::Inner, [Dimension::Outer, by]);
    let reason = format!(
        "the inner diameter is not stated; outer diameter and {} give {{{name}}}",
        words(by)
    );
    let value = Some(Value::Number(inner_mm));
    let mut correction = Correction::new(RULE.id, Class::Recompute, place, value, reason)
        .fact(Fact::computed(name, inner_mm, DIGITS))
        .rests_on(route.field(field(Dimension::Outer)))
        .rests_on(route.field(field(by)))
        .rests_on(route.field("material"));
    if duct.inner_convention.is_some() {
        correction = correction.rests_on(route.field("inner_convention"));
    }
    Some(correction)
}

/// Walls between outer and inner diameter: two, or as many as the stated convention of polymer pipe counts.
fn factor(duct: &Duct) -> Option<f64> {
    match (duct.material, duct.inner_convention) {
        (_, Some(InnerConvention::MinimumWall)) | (Some(DuctMaterial::Steel), None) => Some(2.0),
        (_, Some(InnerConvention::AverageWall)) => Some(AVERAGE_WALL_FACTOR),
        (_, None | Some(InnerConvention::Measured)) => None,
    }
}

/// What two of the others give for the value that is alone, to the digits that pipe tables print, if all agree
/// with it.
///
/// Between outer and inner diameter the wall is known best: a dimension ratio is rounded, and gives it where
/// nothing states which of the two conventions holds.
fn agreeing(
    duct: &Duct,
    stated: &Stated,
    agreement: &Agreement,
    at: Dimension,
    tolerance_mm: f64,
) -> Option<Implied> {
    let between = || {
        let value = (stated.outer_mm? - stated.inner_mm?) / factor(duct)?;
        let from = [Dimension::Outer, Dimension::Inner];
        (at == Dimension::Wall).then_some(Implied { dimension: at, value, from })
    };
    let all = agreement.disagreements.iter().flat_map(|told| told.implied.iter().copied());
    let of_it = all.filter(|implied| implied.dimension == at);
    let is_known =
        |implied: &Implied| at != Dimension::Wall || !implied.from.contains(&Dimension::Inner);
    between().into_iter().chain(of_it.filter(is_known)).find_map(|implied| {
        let value = (implied.value * 100.0).round() / 100.0;
        let mut mended = *stated;
        *slot(&mut mended, at) = Some(value);
        let agrees = agree(&mended, tolerance_mm).is_ok_and(|it| it.disagreements.is_empty());
        agrees.then_some(Implied { value, ..implied })
    })
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

/// The pipe that nominal size and schedule name.
fn listed_pipe(duct: &Duct) -> Option<&'static SteelPipe> {
    // Schedules of polymer pipe are other tables.
    if !matches!(duct.material, None | Some(DuctMaterial::Steel)) {
        return None;
    }
    let size = nominal_size(duct.nominal_size.as_deref()?)?;
    steel_pipe(size, schedule(duct.pipe_schedule.as_deref()?)?).ok()?
}

/// Reads `4`, `NPS 3-1/2` or `3 1/2 in`.
fn nominal_size(text: &str) -> Option<f64> {
    let text = text.trim();
    let text = strip(text, "nps").unwrap_or(text).trim();
    let text = text.trim_end_matches(['"', '″']);
    let text = text.strip_suffix("in").unwrap_or(text).trim();
    let number =
        |text: &str| text.trim().parse::<f64>().ok().filter(|it| it.is_finite() && *it > 0.0);
    if let Some(size) = number(text) {
        return Some(size);
    }
    let (whole, fraction) = text.split_once(['-', ' '])?;
    let (above, below) = fraction.split_once('/')?;
    Some(number(whole)? + number(above)? / number(below)?)
}

/// Reads `40`, `Sch 40`, `schedule 80` or `S40`.
fn schedule(text: &str) -> Option<Schedule> {
    let text = text.trim();
    let digits = ["schedule", "sch.", "sch", "s"].iter().find_map(|word| strip(text, word));
    match digits.unwrap_or(text).trim() {
        "40" => Some(Schedule::S40),
        "80" => Some(Schedule::S80),
        _ => None,
    }
}

/// The text behind a word at its beginning, whatever the word's case.
fn strip<'t>(text: &'t str, word: &str) -> Option<&'t str> {
    let start = text.get(..word.len())?;
    start.eq_ignore_ascii_case(word).then(|| &text[word.len()..])
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

const fn field(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Outer => "outer_mm",
        Dimension::Wall => "wall_mm",
        Dimension::Inner => "inner_mm",
        Dimension::DimensionRatio => "dimension_ratio",
        Dimension::ScheduleWall => "pipe_schedule",
    }
}

const fn words(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Outer => "outer diameter",
        Dimension::Wall => "wall",
        Dimension::Inner => "inner diameter",
        Dimension::DimensionRatio => "dimension ratio",
        Dimension::ScheduleWall => "wall of the schedule",
    }
}

/// The name of a stated dimension as a fact, with the decimals that are shown.
const fn fact_name(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::ScheduleWall => "schedule_wall_mm",
        other => field(other),
    }
}

/// The name of what two dimensions imply for a third, as a fact.
const fn implied_name(dimension: Dimension, from: [Dimension; 2]) -> &'static str {
    use Dimension::{DimensionRatio, Inner, Outer, ScheduleWall, Wall};
    // Of the pair, what is neither an outer nor an inner diameter tells best by what it was found.
    match (dimension, from) {
        (Outer, [_, Wall] | [Wall, _]) => "outer_by_wall_mm",
        (Outer, [_, DimensionRatio] | [DimensionRatio, _]) => "outer_by_ratio_mm",
        (Outer, _) => "outer_by_schedule_mm",
        (Inner, [_, Wall] | [Wall, _]) => "inner_by_wall_mm",
        (Inner, [_, DimensionRatio] | [DimensionRatio, _]) => "inner_by_ratio_mm",
        (Inner, _) => "inner_by_schedule_mm",
        (Wall, [_, Inner] | [Inner, _]) => "wall_by_bore_mm",
        (Wall, [_, DimensionRatio] | [DimensionRatio, _]) => "wall_by_ratio_mm",
        (Wall, _) => "wall_by_schedule_mm",
        (DimensionRatio, [_, Inner] | [Inner, _]) => "ratio_by_bore",
        (DimensionRatio, [_, Wall] | [Wall, _]) => "ratio_by_wall",
        (DimensionRatio, _) => "ratio_by_schedule",
        (ScheduleWall, [_, Inner] | [Inner, _]) => "schedule_wall_by_bore_mm",
        (ScheduleWall, [_, DimensionRatio] | [DimensionRatio, _]) => "schedule_wall_by_ratio_mm",
        (ScheduleWall, _) => "schedule_wall_by_wall_mm",
    }
}

/// The name of how far a stated dimension is from what the others give for it, as a fact.
const fn off_name(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Outer => "outer_off_by_mm",
        Dimension::Wall => "wall_off_by_mm",
        Dimension::Inner => "inner_off_by_mm",
        Dimension::DimensionRatio => "ratio_off_by",
        Dimension::ScheduleWall => "schedule_wall_off_by_mm",
    }
}

const DIGITS: u8 = 2;

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
    for fact in facts {
        if is_alone {
            finding = finding.remedy(format!("State the {} as {{{}}}", words(at), fact.name));
        }
        finding = finding.fact(fact);
    }
    finding
}

const fn article(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Outer => "an outer diameter of",
        Dimension::Wall | Dimension::ScheduleWall => "a wall of",
        Dimension::Inner => "an inner diameter of",
        Dimension::DimensionRatio => "a dimension ratio of",
    }
}

const fn slot(stated: &mut Stated, dimension: Dimension) -> &mut Option<f64> {
    match dimension {
        Dimension::Outer => &mut stated.outer_mm,
        Dimension::Wall => &mut stated.wall_mm,
        Dimension::Inner => &mut stated.inner_mm,
        Dimension::DimensionRatio => &mut stated.dimension_ratio,
        Dimension::ScheduleWall => &mut stated.schedule_wall_mm,
    }
}

fn held(stated: &Stated, dimension: Dimension) -> Option<f64> {
    *slot(&mut { *stated }, dimension)
}

/// The dimension without which the others agree, and whether there is just that one; else the one that stands
/// in most disagreements, the outer diameter last, for that is what a pipe is sold by.
fn most_likely_wrong(
    stated: &Stated,
    agreement: &Agreement,
    tolerance_mm: f64,
) -> (Dimension, bool) {
    use Dimension::{DimensionRatio, Inner, Outer, ScheduleWall, Wall};
    let all = [Inner, Wall, DimensionRatio, ScheduleWall, Outer];
    let mends = |dimension: Dimension| {
        let mut rest = *stated;
        slot(&mut rest, dimension).take().is_some()
            && agree(&rest, tolerance_mm)
                .is_ok_and(|it| it.comparisons > 0 && it.disagreements.is_empty())
    };
    let alone: Vec<_> = all.into_iter().filter(|dimension| mends(*dimension)).collect();
    if let [only] = alone[..] {
        return (only, true);
    }
    let times = |dimension: &Dimension| {
        agreement.disagreements.iter().filter(|told| told.between.contains(dimension)).count()
    };
    let most = all.iter().map(times).max().unwrap_or(0);
    (all.into_iter().find(|dimension| times(dimension) == most).unwrap_or(Inner), false)
}

#[cfg(test)]
mod tests {
    use super::*;

    const NOTHING: Stated = Stated {
        material: Material::Polymer,
        outer_mm: None,
        wall_mm: None,
        inner_mm: None,
        dimension_ratio: None,
        schedule_wall_mm: None,
    };

    #[test]
    fn a_difference_up_to_the_tolerance_is_rounding() {
        let duct = |inner_mm| Stated {
            material: Material::Steel,
            outer_mm: Some(114.3),
            wall_mm: Some(6.0),
            inner_mm: Some(inner_mm),
            ..NOTHING
        };
        for (inner_mm, told) in [(102.3, 0), (102.59, 0), (102.6, 0), (102.61, 1), (101.99, 1)] {
            let agreement = agree(&duct(inner_mm), 0.3).unwrap();
            assert_eq!(agreement.disagreements.len(), told, "{inner_mm}");
        }
    }

    #[test]
    fn diameters_that_agree_the_other_way_round_seem_to_be_swapped() {
        let swapped =
            |wall_mm| Stated { outer_mm: Some(110.2), wall_mm, inner_mm: Some(125.0), ..NOTHING };
        assert!(matches!(exchanged(&swapped(Some(7.4)), 0.3), Exchanged::Agree));
        assert!(matches!(exchanged(&swapped(Some(6.0)), 0.3), Exchanged::Disagree));
        assert!(matches!(exchanged(&swapped(None), 0.3), Exchanged::Alone));
    }

    #[test]
    fn a_value_that_three_others_contradict_is_the_one() {
        let stated = Stated {
            outer_mm: Some(125.0),
            wall_mm: Some(9.2),
            inner_mm: Some(110.2),
            dimension_ratio: Some(17.0),
            ..NOTHING
        };
        let agreement = agree(&stated, 0.3).unwrap();
        assert_eq!(most_likely_wrong(&stated, &agreement, 0.3), (Dimension::Wall, true));
    }

    #[test]
    fn sizes_and_schedules_are_read_as_people_write_them() {
        for text in ["3.5", "3-1/2", "NPS 3 1/2", "3 1/2 in", "3-1/2\""] {
            assert_eq!(nominal_size(text), Some(3.5), "{text}");
        }
        for text in ["", "PE125", "-4", "4/0", "nan"] {
            assert_eq!(nominal_size(text), None, "{text}");
        }
        for text in ["40", "Sch 40", "SCH. 40", "schedule 40", "S40"] {
            assert_eq!(schedule(text), Some(Schedule::S40), "{text}");
        }
        assert_eq!(schedule("10S"), None);
    }
}
