//! Guide pipes or forms of two tendons meet inside one diaphragm.

mod cast;
mod groups;

use std::collections::BTreeMap;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::SMALLEST;
use restrand_model::schedule::Status;

use self::cast::{Cast, Flares, cast_in};
use self::groups::{Clash, Group, groups};
use crate::context::Context;
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "parts/forms-clash",
    summary: "what is cast in for one tendon against what is cast in for another in the same concrete",
    kinds: &[Kind::Physical],
    limits: &[],
    sources: &[Citation::new(
        "nearest places of two straight cylinders or cones",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible", "schedule/duplicate-mark"],
    page: include_str!("forms_clash.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let mut places: BTreeMap<String, Vec<Cast>> = BTreeMap::new();
    let mut flares = Flares::default();
    for at in context.tendons() {
        if at.tendon.status == Some(Status::Removed) {
            outcomes.not_applicable("the tendon is removed");
            continue;
        }
        match cast_in(context, &at, &mut flares) {
            Ok((casts, None)) if casts.is_empty() => {
                outcomes.not_applicable("nothing is cast in for the tendon");
            }
            Ok((casts, unknown)) => {
                if let Some(field) = unknown {
                    outcomes.not_evaluated(field);
                }
                for cast in casts {
                    places.entry(cast.place.clone()).or_default().push(cast);
                }
            }
            Err(field) => outcomes.not_evaluated(field),
        }
    }
    for casts in places.into_values() {
        sweep(casts, outcomes);
    }
}

/// Compares what is cast in in one place, from right to left; only what overlaps across is looked at.
fn sweep(mut casts: Vec<Cast>, outcomes: &mut Outcomes) {
    casts.sort_by(|one, other| one.across_mm()[0].total_cmp(&other.across_mm()[0]));
    let mut is_clear = vec![true; casts.len()];
    // Of two tendons the deepest clash is told.
    let mut deepest: BTreeMap<[usize; 2], Clash<'_>> = BTreeMap::new();
    for (index, one) in casts.iter().enumerate() {
        for (after, other) in casts[index + 1..].iter().enumerate() {
            if other.across_mm()[0] >= one.across_mm()[1] {
                break;
            }
            // Two records of one mark may be one tendon that is listed twice.
            if other.mark == one.mark {
                continue;
            }
            let Some(near) = one.overlap(other) else { continue };
            (is_clear[index], is_clear[index + 1 + after]) = (false, false);
            let mut pair = [one.tendon, other.tendon];
            pair.sort_unstable();
            let clash = Clash { near, casts: [one, other] };
            let known = deepest.entry(pair).or_insert(clash);
            if near.gap_mm < known.near.gap_mm {
                *known = clash;
            }
        }
    }
    for (_, is_clear) in casts.iter().zip(is_clear).filter(|(cast, _)| cast.is_whole) {
        if is_clear {
            outcomes.pass();
        }
    }
    for group in groups(deepest.into_values().collect()) {
        outcomes.found(finding(&group));
    }
}

/// What hangs together is one finding: at the tendon that takes part in all of it, else where it is worst. That one is
/// named as what to look at where moving it alone can mend all.
fn finding(group: &Group<'_>) -> Finding {
    let common = group.common();
    let at_fault = common.filter(|tendon| group.is_at_fault(*tendon));
    let deepest = group.deepest();
    let [one, other] = match deepest.casts {
        [one, other] if Some(other.tendon) == common => [other, one],
        casts => casts,
    };
    let (is_one, axes_mm) = (group.clashes.len() == 1, deepest.near.axes_mm);
    // Axes that cross are none apart, whatever rounding leaves.
    let axes_mm = if axes_mm < SMALLEST { 0.0 } else { axes_mm };
    let needed_mm = group.clashes.iter().map(Clash::needed_mm).fold(0.0, f64::max);
    let message = match at_fault {
        _ if is_one => {
            "in the concrete of {place} what is cast in for {tendon} and for {other} overlaps by {overlap_mm}: the axes come within \
             {axes_mm}"
        }
        Some(_) => {
            "in the concrete of {place} what is cast in for {tendon} overlaps with what is cast in for {others}; most with that \
             for {other}, by {overlap_mm}, where the axes come within {axes_mm}"
        }
        None => {
            "in the concrete of {place} what is cast in for {tendons} overlaps, from one to the next in {clashes} places; most for \
             {tendon} and {other}, by {overlap_mm}, where the axes come within {axes_mm}"
        }
    };
    let help = match at_fault {
        _ if is_one => {
            "Move one of the tendons, or correct its points: both pipes cannot be cast where they are stated"
        }
        Some(_) => {
            "Look at the points of {tendon} first: the others overlap with it, and not with one another"
        }
        None => {
            "Look at the spacing of them all before one of them is moved: it would only overlap with the next"
        }
    };
    let mut finding = Finding::new(RULE.id, Kind::Physical, one.route.clone(), message)
        .help(help)
        .fact(Fact::text("place", one.place.as_str()))
        .fact(Fact::text("tendon", one.mark.as_str()))
        .fact(Fact::text("other", other.mark.as_str()))
        .fact(Fact::computed("axes_mm", axes_mm, 0))
        .fact(Fact::computed("overlap_mm", -deepest.near.gap_mm, 0))
        .fact(Fact::computed("needed_mm", needed_mm, 0).at_least());
    let members = group.members();
    let marks = |of: &dyn Fn(usize) -> bool| {
        let mut marks: Vec<&str> = members
            .iter()
            .filter(|(cast, _)| of(cast.tendon))
            .map(|(cast, _)| cast.mark.as_str())
            .collect();
        marks.dedup();
        marks.join(", ")
    };
    if !is_one {
        finding = finding.fact(Fact::text("tendons", marks(&|_| true))).fact(Fact::computed(
            "clashes",
            group.clashes.len() as f64,
            0,
        ));
    }
    if at_fault.is_some() {
        finding = finding.fact(Fact::text("others", marks(&|tendon| Some(tendon) != at_fault)));
    }
    for (cast, beside) in members.iter().filter(|(cast, _)| cast.route != one.route) {
        let text = match is_one {
            true => "the other one".to_owned(),
            false => format!("overlaps with {}", beside.join(", ")),
        };
        finding = finding.related(cast.route.clone(), text);
    }
    for pair in group.pairs() {
        finding = finding.pair(pair);
    }
    // All of it follows from the points of one tendon only where that one takes part in all.
    let roots = members.iter().filter(|(cast, _)| is_one || Some(cast.tendon) == common);
    finding = finding.rests_on(roots.flat_map(|(cast, _)| {
        let tendon = cast.route.up_to(2);
        [tendon.field("points"), tendon.field("mark")]
    }));
    finding.remedy(match at_fault {
        Some(_) if !is_one => {
            "Keep the axis of {tendon} {needed_mm} apart at least from those of the others"
        }
        _ => "Keep the axes {needed_mm} apart at least",
    })
}
