//! The tendons kept in reserve add less force than is asked for.

use restrand_finding::{Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::Status;

use crate::beyond::short_of;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::stressing::{jacked, steel::Steel};

const RESERVE: LimitKey = LimitKey {
    name: "reserve_share",
    meaning: "force of reserved tendons over that of the tendons in use",
};

pub(crate) const RULE: Rule = Rule {
    id: "replacement/reserve-low",
    summary: "the force of reserved and contingency tendons against that of the tendons in use",
    kinds: &[Kind::Margin],
    limits: &[RESERVE],
    sources: &[],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("reserve_low.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let of = |wanted: &dyn Fn(Option<Status>) -> bool| {
        context.tendons().filter(|at| wanted(at.tendon.status)).collect::<Vec<_>>()
    };
    let reserved = of(&|status| matches!(status, Some(Status::Reserved | Status::Contingency)));
    let Some(first) = reserved.first() else {
        return outcomes.not_applicable("no tendon is kept in reserve");
    };
    let in_use = of(&|status| matches!(status, None | Some(Status::InUse)));
    let sums = sum(context, &reserved).and_then(|reserve| Ok((reserve, sum(context, &in_use)?)));
    let (reserve_kn, in_use_kn) = match sums {
        Ok(sums) => sums,
        Err(field) => return outcomes.not_evaluated(field),
    };
    if in_use_kn <= 0.0 {
        return outcomes.not_evaluated("tendon.status");
    }
    let limit = context.limit(RESERVE);
    let share = reserve_kn / in_use_kn;
    if !short_of(share, limit.value) {
        return outcomes.pass();
    }
    outcomes.found(
        Finding::new(
            RULE.id,
            Kind::Margin,
            first.route.field("status"),
            match reserved.len() {
                1 => "one tendon in reserve adds {reserve_kn} to the {in_use_kn} in use, a share of {share}: less than {reserve_share}",
                _ => "{count} tendons in reserve add {reserve_kn} to the {in_use_kn} in use, a share of {share}: less than {reserve_share}",
            },
        )
        .help("Keep forms, ducts or bores for more tendons, or say which analysis covers less")
        .fact(Fact::computed("count", reserved.len() as f64, 0))
        .fact(Fact::computed("reserve_kn", reserve_kn, 0))
        .fact(Fact::computed("in_use_kn", in_use_kn, 0))
        .fact(Fact::computed("share", share, 3))
        .fact(limit.fact(RESERVE, 2))
        .fact(Fact::computed("ratio", share / limit.value, 2))
        .fact(Fact::computed("more_kn", limit.value * in_use_kn - reserve_kn, 0).at_least())
        .remedy("Provide for {more_kn} more"),
    );
}

/// The jacking forces of tendons, kN.
fn sum(context: &Context<'_>, tendons: &[TendonAt<'_>]) -> Result<f64, &'static str> {
    tendons
        .iter()
        .map(|at| {
            let stated = at.tendon.stressing.as_deref().and_then(|own| own.jacking_force_kn);
            match stated {
                Some(force_kn) => Ok(force_kn),
                None => Ok(jacked::jacking(at, &Steel::of(context, at.tendon)?)?.force_kn),
            }
        })
        .sum()
}
