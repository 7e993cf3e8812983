//! What a duct's other dimensions say for one that is wrong or absent.

use restrand_finding::{Class, Correction, Fact, Outcomes};
use restrand_mechanics::duct::{AVERAGE_WALL_FACTOR, Agreement, Dimension, Implied, Stated, agree};
use restrand_mechanics::tables::pipe::SteelPipe;
use restrand_model::route::Route;
use restrand_model::schedule::{Duct, DuctMaterial, InnerConvention};
use restrand_model::value::Value;

use super::likely::{held, most_likely_wrong, slot};
use super::names::{DIGITS, fact_name, field, implied_name, words};
use super::pipe::listed_pipe;
use super::{Exchanged, RULE, TOLERANCE, exchanged, one, stated};
use crate::context::Context;

/// The one value with which none of the others agree, from those; all others have to agree.
///
/// A wall or a bore follows from what the schedule states of the pipe, and is recomputed.
/// A dimension ratio and an outer diameter are what a pipe is sold by, and a wall by its schedule is the table's:
/// what follows for or from them is proposed.
pub(super) fn offer(context: &Context<'_>, offered: &mut Vec<Correction>) {
    let tolerance = context.limit(TOLERANCE);
    for (index, duct) in context.schedule.ducts.iter().enumerate() {
        let pipe = listed_pipe(duct);
        let stated = stated(duct, pipe);
        let mut outcomes = Outcomes::default();
        let route = Route::to("ducts", index);
        one(duct, &route, tolerance, &mut outcomes);
        let is_wider =
            duct.inner_mm.zip(duct.outer_mm).is_some_and(|(inner, outer)| inner >= outer);
        if is_wider
            && let Some(bore) = misprinted_bore(duct, &route, &stated, pipe, tolerance.value)
        {
            offered.push(bore);
            continue;
        }
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
    bore(duct, route, stated, "the inner diameter is not stated")
}

/// The bore that is stated no narrower than the pipe, from outer diameter and wall, where a third value says that those two
/// are right, and bore and outer diameter are not merely exchanged.
fn misprinted_bore(
    duct: &Duct,
    route: &Route,
    stated: &Stated,
    pipe: Option<&SteelPipe>,
    tolerance_mm: f64,
) -> Option<Correction> {
    let others = agree(&Stated { inner_mm: None, ..*stated }, tolerance_mm).ok()?;
    // A wall that agrees with that of a schedule says nothing of the outer diameter.
    let is_of_size = pipe
        .zip(stated.outer_mm)
        .is_none_or(|(pipe, outer_mm)| (pipe.outer_mm - outer_mm).abs() <= tolerance_mm);
    if others.comparisons == 0
        || !others.disagreements.is_empty()
        || !is_of_size
        || matches!(exchanged(stated, tolerance_mm), Exchanged::Agree)
    {
        return None;
    }
    let why = "the bore was stated as {inner_mm}, no narrower than the pipe itself";
    let correction = bore(duct, route, stated, why)?;
    let inner_mm = correction.edits.iter().find_map(|edit| match edit.after {
        Some(Value::Number(inner_mm)) => Some(inner_mm),
        _ => None,
    });
    let mended = agree(&Stated { inner_mm, ..*stated }, tolerance_mm).ok()?;
    if !mended.disagreements.is_empty() {
        return None;
    }
    Some(correction.fact(Fact::given(fact_name(Dimension::Inner), duct.inner_mm?, DIGITS)))
}

/// The bore that outer diameter and wall, or dimension ratio, give.
fn bore(duct: &Duct, route: &Route, stated: &Stated, why: &str) -> Option<Correction> {
    if matches!(duct.material?, DuctMaterial::CorrugatedMetal | DuctMaterial::CorrugatedPolymer) {
        return None;
    }
    let outer_mm = stated.outer_mm?;
    let (wall_mm, by) = match (stated.wall_mm, stated.dimension_ratio) {
        (Some(wall_mm), _) => (wall_mm, Dimension::Wall),
        (None, ratio) => (outer_mm / ratio?, Dimension::DimensionRatio),
    };
    let inner_mm = outer_mm - factor(duct)? * wall_mm;
    let inner_mm = (inner_mm * 100.0).round() / 100.0;
    if inner_mm <= 0.0 {
        return None;
    }
    let name = implied_name(Dimension::Inner, [Dimension::Outer, by]);
    let reason = format!("{why}; outer diameter and {} give {{{name}}}", words(by));
    let value = Some(Value::Number(inner_mm));
    let place = route.field(field(Dimension::Inner));
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
