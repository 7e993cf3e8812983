//! A mouth of what is cast in has no seal, or the gap behind it no drain.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes, Severity};
use restrand_model::resolve::ResolvedPart;
use restrand_model::route::Route;
use restrand_model::schedule::{Part, Permanence, Role};

use crate::assembly::{Assembly, Axis, call};
use crate::context::Context;
use crate::rule::{Check, Corrects, LimitKey, Rule};

const REACH: LimitKey = LimitKey {
    name: "seal_reach_mm",
    meaning: "from the mouth of a permanent part to the seal that closes it",
};

pub(crate) const RULE: Rule = Rule {
    id: "parts/seal-missing",
    summary: "a seal at each mouth of what is cast in, and a drain of the gap between",
    kinds: &[Kind::Margin],
    limits: &[REACH],
    sources: &[Citation::new(
        "common practice, no source: the gap between what stays and what leaves is kept empty and drains",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["parts/permanence-missing"],
    page: include_str!("seal_missing.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    for assembly in &context.assemblies {
        if assembly.stays {
            outcomes.not_applicable("no replaceable tendon uses it");
            continue;
        }
        match mouths(assembly) {
            Ok(None) => outcomes.not_applicable("nothing is drawn out of it"),
            Ok(Some(mouths)) => {
                of(context, assembly, mouths, outcomes);
            }
            Err(field) => outcomes.not_evaluated(field),
        }
    }
}

/// The span and the rear mouth of what is cast in round what leaves, on an axis whose rear has the larger position.
fn mouths(assembly: &Assembly<'_>) -> Result<Option<[f64; 2]>, &'static str> {
    if assembly.parts.is_empty() {
        return Err(assembly.parts_field());
    }
    if !assembly.of(Permanence::Replaceable).any(|part| is_coaxial(&part.part)) {
        return Ok(None);
    }
    let mut span_mm = f64::INFINITY;
    let mut rear_mm = f64::NEG_INFINITY;
    for part in assembly.of(Permanence::Permanent).filter(|part| is_coaxial(&part.part)) {
        let (from_mm, to_mm) = assembly.axis.stretch(&part.part)?;
        span_mm = span_mm.min(from_mm);
        rear_mm = rear_mm.max(to_mm);
    }
    Ok((span_mm <= rear_mm).then_some([span_mm, rear_mm]))
}

/// Where a part does not say whether it stays, and would move a mouth if it did.
fn may_move_mouth(assembly: &Assembly<'_>, [span_mm, rear_mm]: [f64; 2]) -> Vec<Route> {
    let undecided = assembly
        .parts
        .iter()
        .filter(|part| part.part.permanence.is_none() && is_coaxial(&part.part));
    let moves = undecided.filter(|part| {
        assembly
            .axis
            .stretch(&part.part)
            .map_or(true, |(from_mm, to_mm)| from_mm < span_mm || to_mm > rear_mm)
    });
    moves.map(|part| part.route.field("permanence")).collect()
}

fn is_coaxial(part: &Part) -> bool {
    !matches!(part.role, Some(Role::Tube | Role::Seal))
}

fn of(context: &Context<'_>, assembly: &Assembly<'_>, mouths: [f64; 2], outcomes: &mut Outcomes) {
    let reach_mm = context.limit(REACH).value;
    let seals: Vec<&ResolvedPart<'_>> = assembly
        .parts
        .iter()
        .filter(|part| {
            matches!(part.part.role, Some(Role::Seal | Role::ShrinkSleeve))
                || part.part.seal.is_some()
        })
        .collect();
    let closes = |mouth_mm: f64| {
        seals.iter().any(|seal| match assembly.axis.stretch(&seal.part) {
            Ok((from_mm, to_mm)) => from_mm - reach_mm <= mouth_mm && mouth_mm <= to_mm + reach_mm,
            // A seal without a place closes the mouth that its maker meant.
            Err(_) => true,
        })
    };
    let names = match assembly.axis {
        Axis::Anchorage => ["span", "rear"],
        Axis::Form => ["up-station", "down-station"],
    };
    let open: Vec<_> =
        mouths.iter().zip(names).filter(|(mouth_mm, _)| !closes(**mouth_mm)).collect();
    if !open.is_empty() {
        let at: Vec<_> = open.iter().map(|(_, name)| *name).collect();
        outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Margin,
                assembly.route.clone(),
                "{owner} has no seal at the {mouths} mouth of what is cast in: filler and water get into the gap",
            )
            .rests_on(may_move_mouth(assembly, mouths))
            .severity(Severity::Warning)
            .help("List the seal at each mouth, with its position; what closes the gap by itself is a seal as well")
            .fact(Fact::text("owner", assembly.name.as_str()))
            .fact(Fact::text("mouths", at.join(" and the ")))
            .fact(Fact::computed("mouth_mm", assembly.axis.position(*open[0].0), 0)),
        );
    }
    match assembly.parts.iter().filter_map(|part| part.part.drains_annulus).max() {
        // The seal is another thing, and is found.
        Some(true) if !open.is_empty() => {}
        Some(true) => outcomes.pass(),
        None => outcomes.not_evaluated("part.drains_annulus"),
        Some(false) => outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Margin,
                assembly.route.clone(),
                "the gap of {owner} between what stays and what leaves does not drain",
            )
            .rests_on([])
            .severity(Severity::Warning)
            .help("Give the lowest seal a drain hole, and state it: water that stands in the gap freezes and corrodes")
            .fact(Fact::text("owner", assembly.name.as_str()))
            .fact(Fact::text(
                "seals",
                seals.iter().map(|seal| call(&seal.part)).collect::<Vec<_>>().join(", "),
            )),
        ),
    }
}
