//! A stated force is not what follows from the other stated values.

use restrand_finding::{Citation, Class, Correction, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::stress::shares;
use restrand_model::reflect::Choice;
use restrand_model::route::Route;
use restrand_model::schedule::{EndName, Status};

use super::jacked;
use super::recomputed::{Reading, Recomputed};
use super::steel::Steel;
use crate::context::{Context, TendonAt};
use crate::mended::by_fact_and_basis;
use crate::rule::{Check, Corrects, LimitKey, Rule};

const TOLERANCE: LimitKey = LimitKey {
    name: "force_tolerance",
    meaning: "share by which a stated force may differ from the recomputed one",
};

pub(crate) const RULE: Rule = Rule {
    id: "stressing/force-mismatch",
    summary: "stated share, forces after seating and forces of steps against what the stated inputs give",
    kinds: &[Kind::Inconsistent],
    limits: &[TOLERANCE],
    sources: &[
        Citation::new("EN 1992-1-1:2023, (7.34)", Evidence::Read),
        Citation::new("AASHTO LRFD, articles 5.9.3.2.1 and 5.9.3.2.2", Evidence::Memory),
    ],
    correction: Corrects::Offers(&[Class::Propose], offer),
    implied_by: &["strand/area-mismatch", "stressing/end-role-conflict", "schedule/duplicate-mark"],
    page: include_str!("force_mismatch.md"),
    check: Check::Tendons(check),
};

/// The force of a step, or after seating, that the other values give.
fn offer(context: &Context<'_>, offered: &mut Vec<Correction>) {
    const WHY: &str = "the other values that are stated give {computed_kn}";
    for at in context.tendons() {
        let mend = (Class::Propose, "computed_kn", WHY);
        offered.extend(by_fact_and_basis(context, &at, one_is_meant, mend));
    }
}

/// What is found where one value alone could be meant: not where a wobble may stand in the wrong column. Of a share
/// and a force that contradict each other, either may be.
fn one_is_meant(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    check(context, at, outcomes);
    outcomes.findings.retain(|found| !found.remedies.iter().any(|remedy| remedy.text == EXCHANGED));
}

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.tendon.status == Some(Status::Removed) {
        return outcomes.not_applicable("the tendon is removed");
    }
    if at.tendon.stressing.is_none() {
        return outcomes.not_evaluated("tendon.stressing");
    }
    let mut any = false;
    let contradiction = share(context, at, &mut any, outcomes);
    steps(context, at, &mut any, outcomes);
    // What follows from a jacking force that is in doubt is in doubt.
    seated(context, at, contradiction, &mut any, outcomes);
    if !any {
        outcomes.not_evaluated("stressing.seated_force_a_kn");
    }
}

/// A share of a decimal fraction is not exact.
const ROUNDING: f64 = 1e-9;

/// Whether two forces differ by more than the share that is allowed.
fn differ(context: &Context<'_>, stated: f64, computed: f64) -> bool {
    let tolerance = context.limit(TOLERANCE).value + ROUNDING;
    (stated - computed).abs() > tolerance * computed.abs()
}

/// Holds the stated share of the tensile strength against the jacking force; true if they contradict each other.
fn share(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    any: &mut bool,
    outcomes: &mut Outcomes,
) -> bool {
    let stressing = at.tendon.stressing.as_deref();
    let stated = stressing.and_then(|s| Some((s.jacking_share?, s.jacking_force_kn?)));
    let Some((stated, force_kn)) = stated else { return false };
    *any = true;
    let computed = || {
        let steel = Steel::of(context, at.tendon)?;
        let strength = steel.strength()?;
        let stress_mpa = steel.stress_mpa(force_kn).ok_or("stressing.jacking_force_kn")?;
        let shares = shares(stress_mpa, &strength).map_err(|_| "strand.fpu_mpa")?;
        Ok((steel, stress_mpa, shares.of_fpu))
    };
    let (steel, stress_mpa, computed) = match computed() {
        Ok(computed) => computed,
        Err(field) => {
            outcomes.not_evaluated(field);
            return false;
        }
    };
    if !differ(context, stated, computed) {
        outcomes.pass();
        return false;
    }
    let route = at.route.field("stressing");
    let force = restrand_mechanics::friction::force_kn;
    let by_share_kn = force(stress_mpa / computed * stated, steel.area_mm2).unwrap_or(force_kn);
    outcomes.found(
        Finding::new(
            RULE.id,
            Kind::Inconsistent,
            route.field("jacking_share"),
            "tendon {tendon} is to be jacked to {jacking_share} of its strength, but its jacking force of \
             {jacking_force_kn} is {computed_share}",
        )
        .related(route.field("jacking_force_kn"), "the force")
        .related(steel.strand.route.field("area_mm2"), "the strand")
        .help("Share, force, strands and strength say the same thing: find which of them is wrong")
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::given("jacking_share", stated, 4))
        .fact(Fact::given("jacking_force_kn", force_kn, 0))
        .fact(Fact::given("strands", f64::from(steel.strands), 0))
        .fact(Fact::computed("computed_share", computed, 4))
        .fact(Fact::computed("by_share_kn", by_share_kn, 0))
        .fact(Fact::computed("deviation", (stated - computed).abs() / computed, 4))
        .fact(context.limit(TOLERANCE).fact(TOLERANCE, 3))
        .remedy("If the force is right, state the share {computed_share}")
        .remedy("If the share is right, state the force {by_share_kn}"),
    );
    true
}

/// Holds the force of each step against its share of the jacking force.
fn steps(context: &Context<'_>, at: &TendonAt<'_>, any: &mut bool, outcomes: &mut Outcomes) {
    let list = at.route.field("stressing_steps");
    let jacking_kn = at.tendon.stressing.as_deref().and_then(|s| s.jacking_force_kn);
    for (index, step) in at.tendon.stressing_steps.iter().enumerate() {
        let Some((share, force_kn)) = step.share.zip(step.force_kn) else { continue };
        *any = true;
        let Some(jacking_kn) = jacking_kn else {
            outcomes.not_evaluated("stressing.jacking_force_kn");
            continue;
        };
        let computed_kn = share * jacking_kn;
        if !differ(context, force_kn, computed_kn) {
            outcomes.pass();
            continue;
        }
        outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Inconsistent,
                list.item(index).field("force_kn"),
                "a step of tendon {tendon} at {share} of its jacking force is stated as {force_kn}; it is \
                 {computed_kn}",
            )
            .related(at.route.field("stressing").field("jacking_force_kn"), "the jacking force")
            .help("Whoever stresses goes by the table: state force and gauge reading that belong together")
            .fact(Fact::text("tendon", at.mark()))
            .fact(Fact::given("share", share, 3))
            .fact(Fact::given("force_kn", force_kn, 0))
            .fact(Fact::given("jacking_force_kn", jacking_kn, 0))
            .fact(Fact::computed("computed_kn", computed_kn, 1))
            .fact(Fact::computed("deviation", deviation(force_kn, computed_kn), 4))
            .fact(context.limit(TOLERANCE).fact(TOLERANCE, 3))
            .remedy("State {computed_kn}"),
        );
    }
}

/// Whether a tendon's jacking force and its share of the strength contradict each other.
pub(super) fn contradicts(context: &Context<'_>, at: &TendonAt<'_>) -> bool {
    share(context, at, &mut false, &mut Outcomes::of(RULE.id))
}

fn deviation(stated: f64, computed: f64) -> f64 {
    (stated - computed).abs() / computed
}

/// A force after seating that is stated.
struct Stated {
    end: EndName,
    force_kn: f64,
    route: Route,
}

/// Holds the stated forces after seating against those that friction and set leave.
fn seated(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    contradiction: bool,
    any: &mut bool,
    outcomes: &mut Outcomes,
) {
    let Some(stressing) = at.tendon.stressing.as_deref() else { return };
    let route = at.route.field("stressing");
    let now: Vec<Stated> = [
        (EndName::A, stressing.seated_force_a_kn, "seated_force_a_kn"),
        (EndName::B, stressing.seated_force_b_kn, "seated_force_b_kn"),
    ]
    .into_iter()
    .filter_map(|(end, force_kn, field)| {
        Some(Stated { end, force_kn: force_kn?, route: route.field(field) })
    })
    .collect();
    let jacking = || {
        let steel = Steel::of(context, at.tendon)?;
        Ok((jacked::jacking(at, &steel)?.force_kn, jacked::ends_of(at.tendon)?))
    };
    compare(
        context,
        at,
        contradiction,
        now,
        jacking().map(|(force_kn, _)| force_kn),
        any,
        outcomes,
    );
    let Some(replacement) = at.tendon.replacement.as_deref().filter(|_| !at.stays()) else {
        return;
    };
    let Some(force_kn) = replacement.target_seated_force_kn else { return };
    // The replacement is stressed as the tendon is: at its stressing end, or its first.
    let target = jacking().ok().and_then(|(_, ends)| {
        let route = at.route.field("replacement").field("target_seated_force_kn");
        Some(vec![Stated { end: *ends.first()?, force_kn, route }])
    });
    let target_kn = replacement.target_force_kn.ok_or("replacement.target_force_kn");
    match target {
        Some(target) => compare(context, at, false, target, target_kn, any, outcomes),
        None => outcomes.not_evaluated("stressing.from"),
    }
}

/// The forces that a jacking force can leave at all; one that is more than it is told, whatever friction and set are.
fn possible(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    stated: Vec<Stated>,
    jacking_kn: f64,
    outcomes: &mut Outcomes,
) -> Vec<Stated> {
    let (more, possible): (Vec<_>, Vec<_>) = stated
        .into_iter()
        .partition(|one| one.force_kn > jacking_kn && differ(context, one.force_kn, jacking_kn));
    for one in more {
        let replacement = at.route.field("replacement");
        let jacked = match one.route.is_within(&replacement) {
            true => replacement.field("target_force_kn"),
            false => context.value_of(&at.route.field("stressing"), "jacking_force_kn"),
        };
        outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Inconsistent,
                one.route.clone(),
                "tendon {tendon} is to keep {seated_force_kn} at end {end} after seating, and is jacked to \
                 {jacking_force_kn} only: friction and set take from that, and nothing adds to it",
            )
            .related(jacked.clone(), "the jacking force")
            .rests_on([one.route, jacked])
            .help("Correct the force after seating, or the jacking force")
            .fact(Fact::text("tendon", at.mark()))
            .fact(Fact::text("end", one.end.word()))
            .fact(Fact::given("seated_force_kn", one.force_kn, 0))
            .fact(Fact::given("jacking_force_kn", jacking_kn, 0))
            .fact(Fact::computed("over_kn", one.force_kn - jacking_kn, 0))
            .fact(Fact::computed("ratio", one.force_kn / jacking_kn, 3)),
        );
    }
    possible
}

fn compare(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    contradiction: bool,
    stated: Vec<Stated>,
    jacking_kn: Result<f64, &'static str>,
    any: &mut bool,
    outcomes: &mut Outcomes,
) {
    if stated.is_empty() {
        return;
    }
    *any = true;
    let stated = match jacking_kn {
        Ok(jacking_kn) if !contradiction => possible(context, at, stated, jacking_kn, outcomes),
        _ => stated,
    };
    if stated.is_empty() {
        return;
    }
    let computed = || {
        if contradiction {
            return Err("stressing.jacking_force_kn");
        }
        let jacking_kn = jacking_kn?;
        let tendon = Recomputed::of(context, at, Reading::AsStated)?;
        let seated = tendon.seated(jacking_kn)?;
        Ok((tendon, seated, jacking_kn))
    };
    let (tendon, seated, jacking_kn) = match computed() {
        Ok(computed) => computed,
        Err(field) => {
            for _ in &stated {
                outcomes.not_evaluated(field);
            }
            return;
        }
    };
    // Of the orders of seating that may be meant, the one that is nearest to what is stated.
    let worst = |stress| {
        let far = |stated: &Stated| {
            let computed_kn = tendon.end_kn(stress, stated.end).unwrap_or(0.0);
            deviation(stated.force_kn, computed_kn)
        };
        stated.iter().map(far).fold(0.0, f64::max)
    };
    let nearest =
        seated.iter().reduce(|one, other| if worst(other) < worst(one) { other } else { one });
    let Some(nearest) = nearest else { return };
    let mut off = Vec::new();
    for one in stated {
        let computed_kn = tendon.end_kn(nearest, one.end).unwrap_or(0.0);
        if differ(context, one.force_kn, computed_kn) {
            off.push((one, computed_kn));
        } else {
            outcomes.pass();
        }
    }
    // One cause mostly puts both ends off: they are one finding, at the end that is clearly off by more.
    let by = |(one, computed_kn): &(Stated, f64)| deviation(one.force_kn, *computed_kn);
    if let [first, second] = off.as_slice()
        && by(second) > by(first) * (1.0 + ROUNDING)
    {
        off.reverse();
    }
    let mut off = off.into_iter();
    let Some((one, computed_kn)) = off.next() else { return };
    let mut finding = Finding::new(
        RULE.id,
        Kind::Inconsistent,
        one.route.clone(),
        "tendon {tendon} is to keep {seated_force_kn} at end {end} after seating; jacked to \
         {jacking_force_kn}, the stated friction and set leave {computed_kn}",
    )
    .rests_on(tendon.rests_on(at))
    .rests_on(jacked_by(at, &one, &tendon.steel))
    .help(
        "Force, friction, set, angles and strand do not belong together as stated: find which of them was \
         changed without the others, and recompute",
    )
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("end", one.end.word()))
    .fact(Fact::given("seated_force_kn", one.force_kn, 0))
    .fact(Fact::given("jacking_force_kn", jacking_kn, 0))
    .fact(Fact::computed("computed_kn", computed_kn, 0))
    .fact(Fact::computed("deviation", deviation(one.force_kn, computed_kn), 4))
    .fact(context.limit(TOLERANCE).fact(TOLERANCE, 3));
    for (route, what) in tendon.shown(at) {
        finding = finding.related(route, what);
    }
    if let Some((other, other_kn)) = off.next() {
        finding = finding
            .fact(Fact::computed("other_computed_kn", other_kn, 0))
            .related(other.route, "the force at the other end, where {other_computed_kn} are left");
    }
    if let Some(remedy) = cause(context, at, &tendon, &one, jacking_kn) {
        finding = finding.remedy(remedy);
    }
    outcomes.found(finding.remedy("If all inputs are right, state {computed_kn}"));
}

/// The values on which the jacking force rests that is to leave a stated one.
fn jacked_by(at: &TendonAt<'_>, one: &Stated, steel: &Steel<'_>) -> Vec<Route> {
    let replacement = at.route.field("replacement");
    match one.route.is_within(&replacement) {
        true => vec![replacement.field("target_force_kn")],
        false => jacked::rests_on(at, steel).to_vec(),
    }
}

/// The remedy where K and k are mixed up.
const EXCHANGED: &str = "It agrees with the force if K is taken for k, or k for K: state the wobble in the column of \
                         its own convention";

/// What the stated force would agree with, if it agrees with something.
fn cause(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    tendon: &Recomputed<'_>,
    one: &Stated,
    jacking_kn: f64,
) -> Option<&'static str> {
    let agrees = |computed_kn: Option<f64>| {
        computed_kn.is_some_and(|computed_kn| !differ(context, one.force_kn, computed_kn))
    };
    let before = tendon.before_seating(jacking_kn).ok()?;
    if agrees(tendon.end_kn(&before, one.end)) {
        return Some("It agrees with the force before seating: take the set into account");
    }
    if tendon.by_rule(jacking_kn).is_some_and(|stress| agrees(tendon.end_kn(&stress, one.end))) {
        return Some(
            "It agrees with the rule that takes the larger of what each end alone leaves; where the sets of both \
             ends overlap there is less",
        );
    }
    let other_reading = |reading| {
        let tendon = Recomputed::of(context, at, reading).ok()?;
        let seated = tendon.seated(jacking_kn).ok()?;
        seated.iter().map(|stress| tendon.end_kn(stress, one.end)).find(|force| agrees(*force))
    };
    if other_reading(Reading::WithoutAddedAngle).is_some() {
        return Some(
            "It agrees with the force without the angle added at deviators: count that angle too",
        );
    }
    if other_reading(Reading::WobbleExchanged).is_some() {
        return Some(EXCHANGED);
    }
    None
}
