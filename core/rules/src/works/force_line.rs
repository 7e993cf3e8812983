//! Force along a tendon as a line to be drawn, before and after seating, with what limits it.

use restrand_mechanics::friction::{StressDiagram, force_kn};
use restrand_model::schedule::EndName;

use crate::book::Limit;
use crate::context::{Context, TendonAt};
use crate::rule::LimitKey;
use crate::stressing::recomputed::{Reading, Recomputed};
use crate::stressing::steel::Steel;
use crate::stressing::{anchorage_stress_high, jacked, jacking_stress_high, tendon_stress_high};

/// Force at a place of the tendon.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ForceAt {
    /// From end a along the tendon, m.
    pub at_m: f64,
    /// Force, kN.
    pub force_kn: f64,
}

/// What a limit of force is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limits {
    /// At the jack, before seating.
    Jacking,
    /// At an anchorage, just after seating.
    Anchorage,
    /// Anywhere along the tendon, just after seating.
    Tendon,
}

/// A limit of the rulebook as a force in all strands.
#[derive(Debug, Clone, PartialEq)]
pub struct ForceLimit<'a> {
    /// What it is about.
    pub of: Limits,
    /// The force, kN.
    pub force_kn: f64,
    /// Its name in the rulebook.
    pub key: &'static str,
    /// What it rests on.
    pub limit: &'a Limit,
}

/// Force along a tendon.
#[derive(Debug, Clone, PartialEq)]
pub struct ForceLine<'a> {
    /// Force at the jack, kN.
    pub jacking_kn: f64,
    /// The ends that are jacked, in their order.
    pub ends: &'static [EndName],
    /// At full force, before any end is seated.
    pub before: Vec<ForceAt>,
    /// Once it is seated; where both ends are pulled at once, a line for each order of seating.
    pub after: Vec<Vec<ForceAt>>,
    /// The lower of the limits on tensile strength and on yield stress, for each of what they are about; none where
    /// the strand states no strength.
    pub limits: Vec<ForceLimit<'a>>,
    /// Developed length, m.
    pub length_m: f64,
}

/// Force along a tendon under a jacking force, or under the one that the schedule states.
///
/// # Errors
/// The field without which it is not known.
pub fn force_line<'a>(
    context: &Context<'a>,
    at: &TendonAt<'_>,
    jacking_kn: Option<f64>,
) -> Result<ForceLine<'a>, &'static str> {
    let steel = Steel::of(context, at.tendon)?;
    let jacking_kn = match jacking_kn {
        Some(jacking_kn) => jacking_kn,
        None => jacked::jacking(at, &steel)?.force_kn,
    };
    let recomputed = Recomputed::of(context, at, Reading::AsStated)?;
    let line = |diagram: &StressDiagram| line(diagram, steel.area_mm2);
    let before = line(&recomputed.before_seating(jacking_kn)?)?;
    let seated = recomputed.seated(jacking_kn)?;
    let mut after = seated.iter().map(line).collect::<Result<Vec<_>, _>>()?;
    after.dedup();
    Ok(ForceLine {
        jacking_kn,
        ends: jacked::ends_of(at.tendon)?,
        before,
        after,
        limits: limits(context, &steel),
        length_m: recomputed.length_m(),
    })
}

/// What limits the force of a tendon, as far as the strand states its strength.
///
/// # Errors
/// The field without which its steel is not known.
pub fn force_limits<'a>(
    context: &Context<'a>,
    at: &TendonAt<'_>,
) -> Result<Vec<ForceLimit<'a>>, &'static str> {
    Ok(limits(context, &Steel::of(context, at.tendon)?))
}

/// Parts of a piece between two borders, within which the logarithm of stress is straight.
const PARTS: u32 = 6;

fn line(diagram: &StressDiagram, area_mm2: f64) -> Result<Vec<ForceAt>, &'static str> {
    let force = |at_m: f64, stress_mpa: f64| {
        let force_kn = force_kn(stress_mpa, area_mm2).map_err(|_| "strand.area_mm2")?;
        Ok::<_, &'static str>(ForceAt { at_m, force_kn })
    };
    let points = diagram.points();
    let mut line = Vec::with_capacity(points.len() * PARTS as usize);
    for pair in points.windows(2) {
        line.push(force(pair[0].at_m, pair[0].stress_mpa)?);
        let length_m = pair[1].at_m - pair[0].at_m;
        let growth = (pair[1].stress_mpa / pair[0].stress_mpa).ln();
        // A piece that is level, or a step, needs no more than its ends.
        if length_m > 0.0 && growth != 0.0 && growth.is_finite() {
            for part in 1..PARTS {
                let share = f64::from(part) / f64::from(PARTS);
                let stress_mpa = pair[0].stress_mpa * (growth * share).exp();
                line.push(force(pair[0].at_m + length_m * share, stress_mpa)?);
            }
        }
    }
    if let Some(last) = points.last() {
        line.push(force(last.at_m, last.stress_mpa)?);
    }
    Ok(line)
}

fn limits<'a>(context: &Context<'a>, steel: &Steel<'_>) -> Vec<ForceLimit<'a>> {
    let Ok(strength) = steel.strength() else { return Vec::new() };
    let lower = |of: Limits, of_fpu: LimitKey, of_fpy: LimitKey| {
        let one = |key: LimitKey, strength_mpa: f64| {
            let limit = context.limit(key);
            let force_kn = force_kn(limit.value * strength_mpa, steel.area_mm2).ok()?;
            Some(ForceLimit { of, force_kn, key: key.name, limit })
        };
        let both = [
            one(of_fpu, strength.fpu_mpa),
            strength.proof_mpa.and_then(|proof_mpa| one(of_fpy, proof_mpa)),
        ];
        both.into_iter().flatten().min_by(|one, other| one.force_kn.total_cmp(&other.force_kn))
    };
    [
        lower(Limits::Jacking, jacking_stress_high::OF_FPU, jacking_stress_high::OF_FPY),
        lower(Limits::Anchorage, anchorage_stress_high::OF_FPU, anchorage_stress_high::OF_FPY),
        lower(Limits::Tendon, tendon_stress_high::OF_FPU, tendon_stress_high::OF_FPY),
    ]
    .into_iter()
    .flatten()
    .collect()
}
