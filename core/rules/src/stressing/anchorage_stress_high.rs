//! A tendon is left with more stress at an anchorage, once seated, than its strands may keep there.

use restrand_finding::{Fact, Kind, Outcomes};
use restrand_model::reflect::Choice;
use restrand_model::route::Route;
use restrand_model::schedule::{EndName, Status};

use super::recomputed::{Reading, Recomputed, end};
use super::share::{Limits, Verdict, judge};
use super::steel::Steel;
use super::{force_mismatch, jacked};
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

pub(crate) const OF_FPU: LimitKey = LimitKey {
    name: "anchorage_stress_fpu",
    meaning: "stress at an anchorage just after seating, over tensile strength",
};
pub(crate) const OF_FPY: LimitKey = LimitKey {
    name: "anchorage_stress_fpy",
    meaning: "stress at an anchorage just after seating, over yield stress",
};

pub(crate) const RULE: Rule = Rule {
    id: "stressing/anchorage-stress-high",
    summary: "stress at each anchorage after seating, stated, measured or recomputed, against shares of strength",
    kinds: &[Kind::Margin],
    limits: &[OF_FPU, OF_FPY],
    sources: &[],
    correction: Corrects::Nothing,
    implied_by: &["strand/area-mismatch", "stressing/set-unusual"],
    page: include_str!("anchorage_stress_high.md"),
    check: Check::Tendons(check),
};

/// A force at an anchorage.
struct Anchored {
    force_kn: f64,
    route: Route,
    end: Option<EndName>,
    how: &'static str,
    /// Whether it follows from friction and set, or is told by itself.
    is_recomputed: bool,
}

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.tendon.status == Some(Status::Removed) {
        return outcomes.not_applicable("the tendon is removed");
    }
    let steel = match Steel::of(context, at.tendon) {
        Ok(steel) => steel,
        Err(field) => return outcomes.not_evaluated(field),
    };
    let mut forces = Vec::new();
    for name in [EndName::A, EndName::B] {
        let known = stated(at, name).map_or_else(|| recomputed(context, at, name), Ok);
        match known {
            Ok(force) => forces.push(force),
            Err(field) => outcomes.not_evaluated(field),
        }
    }
    let replacement = at.tendon.replacement.as_deref().filter(|_| !at.stays());
    forces.extend(replacement.and_then(|planned| planned.target_seated_force_kn).map(|force_kn| {
        Anchored {
            force_kn,
            route: at.route.field("replacement").field("target_seated_force_kn"),
            end: None,
            how: "is to be replaced by one that keeps {force_kn} at its stressing end after seating",
            is_recomputed: false,
        }
    }));
    for force in forces {
        one(context, at, &steel, force, outcomes);
    }
}

/// The greater of what is stated and what was measured at an end.
fn stated(at: &TendonAt<'_>, name: EndName) -> Option<Anchored> {
    let stressing = at.tendon.stressing.as_deref();
    let (field, stated) = match name {
        EndName::A => ("seated_force_a_kn", stressing.and_then(|s| s.seated_force_a_kn)),
        EndName::B => ("seated_force_b_kn", stressing.and_then(|s| s.seated_force_b_kn)),
    };
    let stated = stated.map(|force_kn| Anchored {
        force_kn,
        route: at.route.field("stressing").field(field),
        end: Some(name),
        how: "is to keep {force_kn} at end {end} after seating",
        is_recomputed: false,
    });
    let list = at.route.field("measurements");
    let measured = at.tendon.measurements.iter().enumerate().filter_map(|(index, measured)| {
        Some(Anchored {
            force_kn: measured.lift_off_kn.filter(|_| measured.end == Some(name))?,
            route: list.item(index).field("lift_off_kn"),
            end: Some(name),
            how: "lifted off at end {end} at {force_kn}",
            is_recomputed: false,
        })
    });
    stated
        .into_iter()
        .chain(measured)
        .reduce(|one, other| if other.force_kn > one.force_kn { other } else { one })
}

/// What the stated friction and set leave at an end.
fn recomputed(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    name: EndName,
) -> Result<Anchored, &'static str> {
    // What follows from a jacking force that is in doubt is in doubt.
    if force_mismatch::contradicts(context, at) {
        return Err("stressing.jacking_force_kn");
    }
    let tendon = Recomputed::of(context, at, Reading::AsStated)?;
    let jacking = jacked::jacking(at, &tendon.steel)?;
    let seated = tendon.seated(jacking.force_kn)?;
    let forces = seated.iter().filter_map(|stress| tendon.end_kn(stress, name));
    Ok(Anchored {
        force_kn: forces.fold(0.0, f64::max),
        route: jacking.route,
        end: Some(name),
        how: "keeps {force_kn} at end {end} after seating, as recomputed",
        is_recomputed: true,
    })
}

/// The jacking force that leaves no more than this at an end, where it can be recomputed.
fn jacking_most_kn(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    name: EndName,
    most_mpa: f64,
) -> Option<f64> {
    let tendon = Recomputed::of(context, at, Reading::AsStated).ok()?;
    let jacking_kn = jacked::jacking(at, &tendon.steel).ok()?.force_kn;
    tendon.jacking_for(most_mpa, jacking_kn, |stress| stress.end_mpa(end(name)))
}

fn one(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    steel: &Steel<'_>,
    force: Anchored,
    outcomes: &mut Outcomes,
) {
    let Some(stress_mpa) = steel.stress_mpa(force.force_kn) else {
        return outcomes.not_evaluated("stressing.seated_force_a_kn");
    };
    let limits = Limits { of_fpu: OF_FPU, of_fpy: OF_FPY };
    let excess = match judge(context, limits, steel, stress_mpa) {
        Verdict::Within => return outcomes.pass(),
        Verdict::Unknown(field) => return outcomes.not_evaluated(field),
        Verdict::High(excess) => excess,
    };
    let what = format!("tendon {{tendon}} {}, or {{stress_mpa}}", force.how);
    let mut finding = excess
        .finding(context, RULE.id, force.route, &what, steel)
        .help(
            "Wedges bite there, and strand breaks where it is bitten and stressed at once: jack to less, or \
             let more in at the anchor; then recompute the forces along the tendon",
        )
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::given("force_kn", force.force_kn, 0));
    if !force.is_recomputed {
        // Of a force that is stated or was measured only the stress follows from another value.
        finding = finding.rests_on([steel.strand.route.field("area_mm2")]);
    }
    if let Some(end) = force.end {
        finding = finding.fact(Fact::text("end", end.word()));
    }
    let most_kn = force.end.and_then(|end| jacking_most_kn(context, at, end, excess.most_mpa));
    outcomes.found(match most_kn {
        Some(most_kn) => {
            finding.fact(Fact::computed("jacking_most_kn", most_kn, 0).at_most()).remedy(
                "Jack to {jacking_most_kn} at most: {most_force_kn} is then left at the anchor",
            )
        }
        None => finding.remedy("Leave {most_force_kn} at most at the anchor: jack to less"),
    });
}
