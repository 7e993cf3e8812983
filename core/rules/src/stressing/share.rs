//! A stress held against shares of the strand's strengths: one judgement for every stage and place.

use restrand_finding::{Fact, Finding, Kind};
use restrand_mechanics::friction::force_kn;
use restrand_mechanics::stress::{Strength, shares};
use restrand_model::route::Route;

use super::steel::Steel;
use crate::context::Context;
use crate::rule::LimitKey;

/// The two limits of a stage and place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Limits {
    /// Share of the tensile strength.
    pub(super) of_fpu: LimitKey,
    /// Share of the yield stress.
    pub(super) of_fpy: LimitKey,
}

/// What is said of a stress.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Verdict {
    /// Within both limits.
    Within,
    /// It could not be told: this field is absent.
    Unknown(&'static str),
    /// Beyond a limit.
    High(Excess),
}

/// A stress beyond a limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Excess {
    /// The stress, MPa.
    pub(super) stress_mpa: f64,
    /// The limit that is missed by most.
    pub(super) key: LimitKey,
    /// Whether that limit speaks of the yield stress.
    of_yield: bool,
    /// The stress over the strength of that limit.
    share: f64,
    /// The stress over what is allowed.
    ratio: f64,
    /// The stress that keeps both limits, MPa.
    pub(super) most_mpa: f64,
}

/// A share of decimal fractions is not exact.
const ROUNDING: f64 = 1e-9;

/// Holds a stress against both limits.
pub(super) fn judge(
    context: &Context<'_>,
    limits: Limits,
    steel: &Steel<'_>,
    stress_mpa: f64,
) -> Verdict {
    let strength = match steel.strength() {
        Ok(strength) => strength,
        Err(field) => return Verdict::Unknown(field),
    };
    let Ok(shares) = shares(stress_mpa, &strength) else {
        return Verdict::Unknown("strand.fpu_mpa");
    };
    let Strength { fpu_mpa, proof_mpa } = strength;
    let of = |key: LimitKey, of_yield, share: f64, strength_mpa: f64| {
        let limit = context.limit(key).value;
        let most_mpa = limit * strength_mpa;
        Excess { stress_mpa, key, of_yield, share, ratio: stress_mpa / most_mpa, most_mpa }
    };
    let tensile = of(limits.of_fpu, false, shares.of_fpu, fpu_mpa);
    let proof = shares
        .of_proof
        .zip(proof_mpa)
        .map(|(share, proof_mpa)| of(limits.of_fpy, true, share, proof_mpa));
    let worst = match proof {
        Some(proof) if proof.ratio > tensile.ratio => proof,
        _ => tensile,
    };
    if worst.ratio > 1.0 + ROUNDING {
        Verdict::High(worst)
    } else if proof.is_none() {
        Verdict::Unknown("strand.yield_ratio")
    } else {
        Verdict::Within
    }
}

impl Excess {
    /// A finding at a place; `what` says in facts whose stress it is, as a clause that ends with the stress.
    pub(super) fn finding(
        &self,
        context: &Context<'_>,
        rule: &'static str,
        place: Route,
        what: &str,
        steel: &Steel<'_>,
    ) -> Finding {
        let strength = if self.of_yield { "yield stress" } else { "tensile strength" };
        let message = format!(
            "{what}: {{stress_share}} of the strand's {strength}, more than {{{}}}",
            self.key.name
        );
        let mut finding = Finding::new(rule, Kind::Margin, place, message)
            .related(steel.strand.route.field("area_mm2"), "the strand")
            .fact(Fact::computed("stress_mpa", self.stress_mpa, 0))
            .fact(Fact::computed("stress_share", self.share, self.digits(context)))
            .fact(context.limit(self.key).fact(self.key, self.digits(context)))
            .fact(Fact::computed("ratio", self.ratio, 3))
            .fact(Fact::given("strands", f64::from(steel.strands), 0))
            .fact(Fact::computed("steel_area_mm2", steel.area_mm2, 0))
            .fact(Fact::computed("most_stress_mpa", self.most_mpa, 0).at_most());
        if let Ok(most_kn) = force_kn(self.most_mpa, steel.area_mm2) {
            finding = finding.fact(Fact::computed("most_force_kn", most_kn, 0).at_most());
        }
        finding
    }

    /// The fewest strands that carry the same force within the limit, where they are more than there are.
    pub(super) fn strands_needed(&self, steel: &Steel<'_>) -> f64 {
        (f64::from(steel.strands) * self.ratio * (1.0 - ROUNDING)).ceil()
    }

    /// Decimals with which the share does not read like the limit it misses.
    fn digits(&self, context: &Context<'_>) -> u8 {
        let limit = context.limit(self.key).value;
        (3..6)
            .find(|digits| {
                let digits = usize::from(*digits);
                format!("{:.digits$}", self.share) != format!("{limit:.digits$}")
            })
            .unwrap_or(6)
    }
}
