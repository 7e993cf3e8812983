//! The stated deviation force is not what the tendon's forces on both sides of the deviator make.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::deviator::{deviation_force, equal_forces_kn};
use restrand_mechanics::path::Direction;
use restrand_model::schedule::Status;

use crate::beyond::beyond;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::stressing::bends::{self, When};
use crate::tendon_path::{DeviatorSpot, LaidTendon, external_or_said};

const TOLERANCE: LimitKey = LimitKey {
    name: "deviation_force_tolerance",
    meaning: "share by which a stated deviation force may differ from the computed one",
};

pub(crate) const RULE: Rule = Rule {
    id: "deviator/force-off",
    summary: "the stated force of each deviation against the vector of the forces on its two sides",
    kinds: &[Kind::Inconsistent],
    limits: &[TOLERANCE],
    sources: &[Citation::new(
        "equilibrium of the tendon between two cuts beside the deviator",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible", "path/angle-mismatch", "stressing/force-mismatch"],
    page: include_str!("force_off.md"),
    check: Check::Tendons(check),
};

/// A force at a deviator, and whose it is.
#[derive(Debug, Clone, Copy)]
struct Candidate {
    name: &'static str,
    force_kn: f64,
    /// Its upright part, where it is known.
    upright_kn: Option<f64>,
    /// The forces of the tendon on its two sides.
    sides_kn: [f64; 2],
}

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.tendon.deviators.is_empty() {
        return outcomes.not_applicable("the tendon has no deviator");
    }
    if at.tendon.status == Some(Status::Reserved)
        && at.tendon.deviators.iter().all(|deviator| deviator.force_kn.is_none())
    {
        return outcomes.not_applicable("the tendon is reserved");
    }
    let Some(laid) = external_or_said(context, at, outcomes) else { return };
    let forces = bends::of(context, at, laid);
    for (index, deviator) in at.tendon.deviators.iter().enumerate() {
        let Some(stated_kn) = deviator.force_kn else {
            outcomes.not_evaluated("deviator.force_kn");
            continue;
        };
        let bend = match laid.deviators[index] {
            DeviatorSpot::Corner(bend) => bend,
            DeviatorSpot::OnLeg(_) => {
                outcomes.not_applicable("the tendon passes it straight");
                continue;
            }
            DeviatorSpot::OffPath => {
                outcomes.not_evaluated("deviator.place");
                continue;
            }
            DeviatorSpot::Unknown(field) => {
                outcomes.not_evaluated(field);
                continue;
            }
        };
        match judge(context, at, laid, index, (bend, stated_kn), &forces) {
            Ok(None) => outcomes.pass(),
            Ok(Some(finding)) => outcomes.found(finding),
            Err(field) => outcomes.not_evaluated(field),
        }
    }
}

fn judge(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    laid: &LaidTendon,
    index: usize,
    (bend, stated_kn): (usize, f64),
    forces: &Result<Vec<bends::BendForces>, &'static str>,
) -> Result<Option<Finding>, &'static str> {
    let limit = context.limit(TOLERANCE);
    let legs = laid.directions_at(index).ok_or("deviator.place")?;
    let mut candidates = Vec::new();
    // After all losses there is one force along the tendon, as friction has evened out.
    let service_kn =
        at.tendon.stressing.as_deref().and_then(|stressing| stressing.service_force_kn);
    if let Some(service_kn) = service_kn {
        let angle_rad = laid.path.bends[bend].angle_rad;
        let force_kn =
            equal_forces_kn(service_kn, angle_rad).map_err(|_| "stressing.service_force_kn")?;
        let sides_kn = [service_kn, service_kn];
        candidates.push(Candidate { name: "service_kn", force_kn, upright_kn: None, sides_kn });
    }
    if let Ok(forces) = forces {
        for forces in forces {
            candidates.push(at_bend(legs, forces.when, forces.sides_kn[bend])?);
        }
    }
    let agrees =
        |one: &Candidate| !beyond((stated_kn - one.force_kn).abs(), limit.value * one.force_kn);
    if candidates.iter().any(agrees) {
        return Ok(None);
    }
    // What agrees with none of those that are known may agree with the one that is not.
    if let Err(field) = forces {
        return Err(field);
    }
    Ok(Some(finding(context, at, index, stated_kn, &candidates)))
}

fn at_bend(
    [before, after]: [Direction; 2],
    when: When,
    sides_kn: [f64; 2],
) -> Result<Candidate, &'static str> {
    let force = deviation_force(before, after, sides_kn[0], sides_kn[1])
        .map_err(|_| "stressing.jacking_force_kn")?;
    Ok(Candidate {
        name: match when {
            When::Jacked => "jacked_kn",
            When::Seated => "seated_kn",
        },
        force_kn: force.magnitude_kn,
        upright_kn: Some(force.z_kn.abs()),
        sides_kn,
    })
}

fn finding(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    index: usize,
    stated_kn: f64,
    candidates: &[Candidate],
) -> Finding {
    let limit = context.limit(TOLERANCE);
    let deviator = &at.tendon.deviators[index];
    let mut finding = Finding::new(
        RULE.id,
        Kind::Inconsistent,
        at.route.field("deviators").item(index).field("force_kn"),
        "at {place} {tendon} is stated to press with {stated_kn}; by its own forces it is {jacked_kn} while jacked and \
         {seated_kn} once seated",
    )
    .related(at.route.field("stressing"), "the stressing that the forces follow from")
    .help(
        "The deviator and its reinforcement are designed for this force: state the vector of the forces on both sides, \
         and of which state it is",
    )
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("place", deviator.place.as_ref().map_or("a deviator", |place| place.key())))
    .fact(Fact::given("stated_kn", stated_kn, 0));
    for candidate in candidates {
        // Of two orders of seating the first is told.
        if finding.facts.iter().all(|fact| fact.name != candidate.name) {
            finding = finding.fact(Fact::computed(candidate.name, candidate.force_kn, 0));
        }
    }
    let seated = candidates.iter().find(|candidate| candidate.name == "seated_kn");
    if let Some(seated) = seated {
        finding = finding
            .fact(Fact::computed("side_down_kn", seated.sides_kn[0], 0))
            .fact(Fact::computed("side_up_kn", seated.sides_kn[1], 0))
            .fact(Fact::computed("ratio", stated_kn / seated.force_kn, 3));
    }
    finding = finding.fact(limit.fact(TOLERANCE, 3)).remedy(
        "State {seated_kn}, with {side_down_kn} and {side_up_kn} in the legs once the tendon is seated",
    );
    let is = |other_kn: f64| !beyond((stated_kn - other_kn).abs(), limit.value * other_kn);
    let upright = candidates.iter().filter_map(|candidate| candidate.upright_kn).find(|kn| is(*kn));
    if let Some(upright_kn) = upright {
        return finding.fact(Fact::computed("upright_kn", upright_kn, 0)).remedy(
            "What is stated is the upright part of the force, {upright_kn}: state the whole",
        );
    }
    // Half the angle taken for the whole, or the force of one side alone.
    match candidates.iter().any(|candidate| is(candidate.force_kn / 2.0)) {
        true => finding.remedy("What is stated is half the force, as with half the angle"),
        false => finding,
    }
}
