//! Somewhere along a tendon, once seated, there is more stress than its strands may keep.

use restrand_finding::{Fact, Kind, Outcomes};
use restrand_mechanics::stress::shares_after_seating;
use restrand_model::schedule::Status;

use super::jacked;
use super::recomputed::{Reading, Recomputed};
use super::share::{Limits, Verdict, judge};
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

pub(crate) const OF_FPU: LimitKey = LimitKey {
    name: "tendon_stress_fpu",
    meaning: "greatest stress along a tendon just after seating, over tensile strength",
};
pub(crate) const OF_FPY: LimitKey = LimitKey {
    name: "tendon_stress_fpy",
    meaning: "greatest stress along a tendon just after seating, over yield stress",
};

pub(crate) const RULE: Rule = Rule {
    id: "stressing/tendon-stress-high",
    summary: "greatest stress along a tendon after seating, recomputed, against shares of the strand's strength",
    kinds: &[Kind::Margin],
    limits: &[OF_FPU, OF_FPY],
    sources: &[],
    correction: Corrects::Nothing,
    implied_by: &[
        "strand/area-mismatch",
        "stressing/friction-unusual",
        "stressing/anchorage-stress-high",
        "stressing/jacking-stress-high",
    ],
    page: include_str!("tendon_stress_high.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.tendon.status == Some(Status::Removed) {
        return outcomes.not_applicable("the tendon is removed");
    }
    if let Err(field) = one(context, at, outcomes) {
        outcomes.not_evaluated(field);
    }
}

fn one(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    outcomes: &mut Outcomes,
) -> Result<(), &'static str> {
    let tendon = Recomputed::of(context, at, Reading::AsStated)?;
    let jacking = jacked::jacking(at, &tendon.steel)?;
    let strength = tendon.steel.strength()?;
    let seated = tendon.seated(jacking.force_kn)?;
    let greatest = seated
        .iter()
        .filter_map(|stress| shares_after_seating(stress, &strength).ok())
        .map(|shares| shares.greatest_at)
        .reduce(|one, other| if other.stress_mpa > one.stress_mpa { other } else { one })
        .ok_or("strand.fpu_mpa")?;
    let limits = Limits { of_fpu: OF_FPU, of_fpy: OF_FPY };
    let excess = match judge(context, limits, &tendon.steel, greatest.stress_mpa) {
        Verdict::Within => {
            outcomes.pass();
            return Ok(());
        }
        Verdict::Unknown(field) => return Err(field),
        Verdict::High(excess) => excess,
    };
    let what = "tendon {tendon}, jacked to {force_kn}, keeps {stress_mpa} at {from_m} from end a after seating";
    let jacking_most_kn = tendon
        .jacking_for(excess.most_mpa, jacking.force_kn, |stress| stress.greatest().stress_mpa);
    let mut finding =
        excess
            .finding(context, RULE.id, jacking.route, what, &tendon.steel)
            .related(at.route.field("stressing").field("mu"), "the friction that it is recomputed with")
            .help(
                "Where the set no longer reaches, the tendon keeps what the jack gave it, less friction: jack \
                 to less, or see whether friction and set are as stated",
            )
            .fact(Fact::text("tendon", at.mark()))
            .fact(Fact::given("force_kn", jacking.force_kn, 0))
            .fact(Fact::computed("from_m", greatest.from_m, 2))
            .fact(Fact::computed("to_m", greatest.to_m, 2));
    finding = match jacking_most_kn {
        Some(most_kn) => finding.fact(Fact::computed("jacking_most_kn", most_kn, 0).at_most()).remedy(
            "Jack to {jacking_most_kn} at most: {most_force_kn} is then left where most is left",
        ),
        None => finding
            .remedy("Jack to less, so that {most_force_kn} at most is left where most is left"),
    };
    outcomes.found(finding);
    Ok(())
}
