//! A tendon is left with more stress in service than its strands may keep.

use restrand_finding::{Fact, Kind, Outcomes};
use restrand_model::schedule::Status;

use super::share::{Limits, Verdict, judge};
use super::steel::Steel;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const OF_FPU: LimitKey = LimitKey {
    name: "service_stress_fpu",
    meaning: "stress after all losses, over tensile strength",
};
const OF_FPY: LimitKey =
    LimitKey { name: "service_stress_fpy", meaning: "stress after all losses, over yield stress" };

pub(crate) const RULE: Rule = Rule {
    id: "stressing/service-stress-high",
    summary: "stress of the strands after all losses against shares of their strength",
    kinds: &[Kind::Margin],
    limits: &[OF_FPU, OF_FPY],
    sources: &[],
    correction: Corrects::Nothing,
    implied_by: &["strand/area-mismatch"],
    page: include_str!("service_stress_high.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.tendon.status == Some(Status::Removed) {
        return outcomes.not_applicable("the tendon is removed");
    }
    let stated = at.tendon.stressing.as_deref().and_then(|stressing| stressing.service_force_kn);
    let Some(force_kn) = stated else {
        return outcomes.not_evaluated("stressing.service_force_kn");
    };
    let steel = match Steel::of(context, at.tendon) {
        Ok(steel) => steel,
        Err(field) => return outcomes.not_evaluated(field),
    };
    let Some(stress_mpa) = steel.stress_mpa(force_kn) else {
        return outcomes.not_evaluated("stressing.service_force_kn");
    };
    let limits = Limits { of_fpu: OF_FPU, of_fpy: OF_FPY };
    let excess = match judge(context, limits, &steel, stress_mpa) {
        Verdict::Within => return outcomes.pass(),
        Verdict::Unknown(field) => return outcomes.not_evaluated(field),
        Verdict::High(excess) => excess,
    };
    let what = "tendon {tendon} keeps {service_force_kn} after all losses, or {stress_mpa}";
    let route = at.route.field("stressing").field("service_force_kn");
    let needed = excess.strands_needed(&steel);
    let mut finding = excess
        .finding(context, RULE.id, route, what, &steel)
        .help(
            "Traffic adds to this stress, and strand under much stress relaxes and corrodes sooner: lower \
             the force, or take more strands; see whether all losses are counted",
        )
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::given("service_force_kn", force_kn, 0))
        .remedy("Keep {most_force_kn} at most after all losses");
    if at.tendon.strand_capacity.is_some_and(|capacity| needed <= f64::from(capacity)) {
        finding = finding
            .fact(Fact::computed("strands_needed", needed, 0))
            .remedy("Keep the force and take {strands_needed} strands; forms and anchorages are laid out for them");
    }
    outcomes.found(finding);
}
