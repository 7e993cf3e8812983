//! A tendon is jacked to more than its strands may take.

use restrand_finding::{Fact, Kind, Outcomes};
use restrand_model::schedule::Status;

use super::jacked::{self, StatedForce, greater};
use super::share::{Limits, Verdict, judge};
use super::steel::Steel;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

pub(crate) const OF_FPU: LimitKey = LimitKey {
    name: "jacking_stress_fpu",
    meaning: "stress at the jack before seating, over tensile strength",
};
pub(crate) const OF_FPY: LimitKey = LimitKey {
    name: "jacking_stress_fpy",
    meaning: "stress at the jack before seating, over yield stress",
};

pub(crate) const RULE: Rule = Rule {
    id: "stressing/jacking-stress-high",
    summary: "stress of the strands at the jack, now and for the replacement, against shares of their strength",
    kinds: &[Kind::Margin],
    limits: &[OF_FPU, OF_FPY],
    sources: &[],
    correction: Corrects::Nothing,
    implied_by: &["strand/area-mismatch"],
    page: include_str!("jacking_stress_high.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.tendon.status == Some(Status::Removed) {
        return outcomes.not_applicable("the tendon is removed");
    }
    let steel = match Steel::of(context, at.tendon) {
        Ok(steel) => steel,
        Err(field) => return outcomes.not_evaluated(field),
    };
    let stated = jacked::jacking(at, &steel);
    let further = [jacked::greatest_step(at), jacked::greatest_measured(at)];
    let absent = stated.as_ref().err().copied();
    // One force of a tendon is said, the greatest; where several are the same, the jacking force.
    match (stated.ok().into_iter().chain(further.into_iter().flatten()).reduce(greater), absent) {
        (Some(force), _) => one(context, at, &steel, &force, outcomes),
        (None, Some(field)) => outcomes.not_evaluated(field),
        (None, None) => unreachable!("a force that is stated is one of those compared"),
    }
    let target = at.tendon.replacement.as_deref().and_then(|planned| planned.target_force_kn);
    if let Some(force_kn) = target.filter(|_| !at.stays()) {
        let route = at.route.field("replacement").field("target_force_kn");
        let verb = "is to be replaced by one that is jacked to";
        one(context, at, &steel, &StatedForce { force_kn, route, verb }, outcomes);
    }
}

fn one(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    steel: &Steel<'_>,
    force: &StatedForce,
    outcomes: &mut Outcomes,
) {
    let Some(stress_mpa) = steel.stress_mpa(force.force_kn) else {
        return outcomes.not_evaluated("stressing.jacking_force_kn");
    };
    let limits = Limits { of_fpu: OF_FPU, of_fpy: OF_FPY };
    let excess = match judge(context, limits, steel, stress_mpa) {
        Verdict::Within => return outcomes.pass(),
        Verdict::Unknown(field) => return outcomes.not_evaluated(field),
        Verdict::High(excess) => excess,
    };
    let what = format!("tendon {{tendon}} {} {{force_kn}}, or {{stress_mpa}}", force.verb);
    let needed = excess.strands_needed(steel);
    let mut finding = excess
        .finding(context, RULE.id, force.route.clone(), &what, steel)
        .help(
            "Strands may yield or break under the jack, beside the people who stress: lower the force, or \
             take more strands; then state the forces and elongations that follow",
        )
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::given("force_kn", force.force_kn, 0))
        .remedy("Jack to {most_force_kn} at most, if friction and set leave enough");
    if at.tendon.strand_capacity.is_some_and(|capacity| needed <= f64::from(capacity)) {
        finding = finding
            .fact(Fact::computed("strands_needed", needed, 0))
            .remedy("Keep the force and take {strands_needed} strands; forms and anchorages are laid out for them");
    }
    outcomes.found(finding);
}

#[cfg(test)]
mod tests {
    use restrand_finding::Severity;
    use restrand_model::reflect::{Date, Link};
    use restrand_model::schedule::{Schedule, Strand, Stressing, Tendon};

    use super::*;
    use crate::book::{Limit, Rulebook};
    use restrand_finding::{Citation, Evidence};

    fn outcomes(force_kn: f64, evidence: Evidence) -> Outcomes {
        let limit = |value| Limit {
            value,
            citation: Citation::new("a source", evidence),
            book: "test".to_owned(),
        };
        let limits = [(OF_FPU.name.to_owned(), limit(0.8)), (OF_FPY.name.to_owned(), limit(0.9))];
        let book = Rulebook { limits: limits.into(), ..Rulebook::default() };
        let schedule = Schedule {
            strands: vec![Strand {
                id: Some("S".into()),
                area_mm2: Some(150.0),
                fpu_mpa: Some(1860.0),
                yield_ratio: Some(0.9),
                ..Strand::default()
            }],
            tendons: vec![Tendon {
                strand: Some(Link::to("S")),
                strand_count: Some(10),
                stressing: Some(Box::new(Stressing {
                    jacking_force_kn: Some(force_kn),
                    ..Stressing::default()
                })),
                ..Tendon::default()
            }],
            ..Schedule::default()
        };
        let context = Context::new(&schedule, &[], &[], &book, Date::new(2031, 5, 7).unwrap());
        let mut outcomes = Outcomes::of(RULE.id);
        for at in context.tendons() {
            check(&context, &at, &mut outcomes);
        }
        outcomes
    }

    #[test]
    fn the_limit_itself_is_enough_and_more_is_not() {
        // 0.8 · 1860 MPa · 1500 mm² = 2232 kN; 0.9 of the yield stress, 0.81 of the strength, comes later.
        for within in [2231.99, 2232.0, 2232.0 * (1.0 + 1e-12)] {
            assert!(outcomes(within, Evidence::Read).findings.is_empty(), "{within}");
        }
        let beyond = outcomes(2232.01, Evidence::Read);
        assert_eq!(beyond.findings.len(), 1);
        assert_eq!(beyond.findings[0].severity, Severity::Error);
        assert_eq!(outcomes(2232.01, Evidence::Memory).findings[0].severity, Severity::Warning);
    }
}
