//! Corrections that a finding already has: one of its facts is what its value should be.

use restrand_finding::{Class, Correction, Fact, FactValue, Finding, Outcomes, Related, Where};
use restrand_model::route::Route;
use restrand_model::value::Value;

use crate::context::{Context, TendonAt};

/// The values of one tendon that its findings mend by the fact of this name, to the digits that the fact is
/// shown with; they rest on the routes in `basis`.
pub(crate) fn by_fact(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    check: fn(&Context<'_>, &TendonAt<'_>, &mut Outcomes),
    mend: (Class, &'static str, &'static str),
    basis: &[Route],
) -> Vec<Correction> {
    mended(context, at, check, mend, |_| basis.to_vec())
}

/// As [`by_fact`], where a finding itself names the values that the right one follows from: those that it rests on, or
/// its related places.
pub(crate) fn by_fact_and_basis(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    check: fn(&Context<'_>, &TendonAt<'_>, &mut Outcomes),
    mend: (Class, &'static str, &'static str),
) -> Vec<Correction> {
    mended(context, at, check, mend, |finding| {
        let route = |related: &Related| match &related.place {
            Where::Route(route) => Some(route.clone()),
            _ => None,
        };
        let related = || finding.related.iter().filter_map(route).collect();
        finding.rests_on.clone().unwrap_or_else(related)
    })
}

fn mended(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    check: fn(&Context<'_>, &TendonAt<'_>, &mut Outcomes),
    (class, name, reason): (Class, &'static str, &'static str),
    basis: impl Fn(&Finding) -> Vec<Route>,
) -> Vec<Correction> {
    let mut outcomes = Outcomes::default();
    check(context, at, &mut outcomes);
    let mut corrections = Vec::new();
    for finding in outcomes.findings {
        let basis = basis(&finding);
        let fact = finding.facts.iter().find(|fact| fact.name == name);
        let (Where::Route(route), Some(Fact { value: FactValue::Number(number), digits, .. })) =
            (finding.place, fact)
        else {
            continue;
        };
        let Ok(number) = format!("{number:.*}", usize::from(*digits)).parse() else {
            continue;
        };
        let mut correction =
            Correction::new(finding.rule, class, route, Some(Value::Number(number)), reason);
        correction.facts = finding.facts;
        correction.basis = basis;
        corrections.push(correction);
    }
    corrections
}
