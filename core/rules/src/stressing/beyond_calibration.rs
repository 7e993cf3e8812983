//! A force or a gauge reading lies beyond what the jack was calibrated for.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::jack::{CalibrationPoint, force_by_calibration_kn};
use restrand_model::reflect::Choice;
use restrand_model::route::Route;
use restrand_model::schedule::{EndName, Jack, Status};

use super::calibration;
use super::jacked::{self, StatedForce, greater};
use super::steel::Steel;
use crate::context::{Context, EndAt, Found, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "stressing/beyond-calibration",
    summary: "forces of a tendon, and of its table of steps, against the range of the jack's calibration",
    kinds: &[Kind::Margin, Kind::Inconsistent],
    limits: &[],
    sources: &[Citation::new(
        "the jack's own calibration: between its points it is read, beyond them nothing is known",
        Evidence::Stated,
    )],
    correction: Corrects::Nothing,
    implied_by: &["stressing/end-role-conflict", "stressing/jack-too-weak"],
    page: include_str!("beyond_calibration.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let mut curves = Vec::new();
    for (index, jack) in context.schedule.jacks.iter().enumerate() {
        let curve = calibration::points(jack);
        if let (Ok(points), false) = (&curve, jack.calibration.is_empty())
            && let Some(at) = bend(points)
        {
            outcomes.found(no_curve(jack, &Route::to("jacks", index), at));
            curves.push(Err("jack.calibration"));
            continue;
        }
        curves.push(curve);
    }
    for at in context.tendons() {
        tendon(context, &at, &curves, outcomes);
    }
}

/// The first point at which a calibration does not grow; of a single point, that point.
fn bend(points: &[CalibrationPoint]) -> Option<usize> {
    if points.len() < 2 {
        return Some(0);
    }
    // Mechanics says what a curve is; a force that the first of its points gives is within it.
    if force_by_calibration_kn(points, points[0].pressure_mpa).is_ok() {
        return None;
    }
    let bent = points.windows(2).position(|pair| {
        pair[1].pressure_mpa <= pair[0].pressure_mpa || pair[1].force_kn <= pair[0].force_kn
    });
    Some(bent.map_or(0, |before| before + 1))
}

fn no_curve(jack: &Jack, route: &Route, at: usize) -> Finding {
    let point = &jack.calibration[at];
    let message = if jack.calibration.len() < 2 {
        "the calibration of jack {jack} has one point, between which and nothing no force can be read"
    } else {
        "the calibration of jack {jack} does not grow at its point {point}: {force_kn} at {gauge_mpa}"
    };
    let mut finding = Finding::new(
        RULE.id,
        Kind::Inconsistent,
        route.field("calibration").item(at),
        message,
    )
    .help("List the points from the least force to the greatest, each with its gauge reading; see that no \
           two columns are exchanged")
    .fact(Fact::text("jack", jack.id.as_deref().unwrap_or("without a name")))
    .fact(Fact::text("point", (at + 1).to_string()));
    if let (Some(force_kn), Some(gauge_mpa)) = (point.force_kn, point.gauge_mpa) {
        finding = finding.fact(Fact::given("force_kn", force_kn, 0)).fact(Fact::given(
            "gauge_mpa",
            gauge_mpa,
            2,
        ));
    }
    finding.remedy("State the table as it stands in the certificate")
}

fn tendon(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    curves: &[Result<Vec<CalibrationPoint>, &'static str>],
    outcomes: &mut Outcomes,
) {
    if at.tendon.status == Some(Status::Removed) {
        return outcomes.not_applicable("the tendon is removed");
    }
    let ends = match jacked::ends_of(at.tendon) {
        Ok(ends) => ends,
        Err(field) => return outcomes.not_evaluated(field),
    };
    for name in ends {
        let end = at.ends().find(|end| end.name == *name);
        let found = end.and_then(|end| Some((context.jack(end.end.jack.as_ref())?, end)));
        let Some((jack, end)) = found else {
            outcomes.not_evaluated("end.jack");
            continue;
        };
        let key = end.end.jack.as_ref().map(|link| link.key()).unwrap_or_default();
        let curve = context.position("jacks", key).and_then(|position| curves.get(position));
        match curve {
            Some(Ok(points)) => one(context, at, &end, &jack, points, outcomes),
            Some(Err(field)) => outcomes.not_evaluated(field),
            None => outcomes.not_evaluated("end.jack"),
        }
    }
}

fn one(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    jack: &Found<'_, Jack>,
    points: &[CalibrationPoint],
    outcomes: &mut Outcomes,
) {
    let stated = Steel::of(context, at.tendon).and_then(|steel| jacked::jacking(at, &steel)).ok();
    let alone = || {
        let force_kn = at.tendon.stressing.as_deref()?.jacking_force_kn?;
        let route = at.route.field("stressing").field("jacking_force_kn");
        Some(StatedForce { force_kn, route, verb: "is jacked to" })
    };
    let steps = steps(at, end.name);
    let mut forces: Vec<StatedForce> = stated.or_else(alone).into_iter().collect();
    forces.extend(steps.iter().cloned());
    let Some(greatest) = forces.iter().cloned().reduce(greater) else {
        return outcomes.not_evaluated("stressing.jacking_force_kn");
    };
    let least = steps.into_iter().reduce(
        |one, other| {
            if other.force_kn < one.force_kn { other } else { one }
        },
    );
    let (first, last) = (points[0].force_kn, points[points.len() - 1].force_kn);
    if greatest.force_kn > last {
        let what =
            "more than the greatest force for which jack {jack} is calibrated, {calibrated_to_kn}";
        outcomes.found(finding(at, end, jack, &greatest, [first, last], what));
    } else if let Some(least) = least.filter(|least| least.force_kn < first) {
        let what =
            "less than the least force for which jack {jack} is calibrated, {calibrated_from_kn}";
        outcomes.found(finding(at, end, jack, &least, [first, last], what));
    } else {
        outcomes.pass();
    }
}

/// The forces of the steps at an end.
fn steps(at: &TendonAt<'_>, end: EndName) -> Vec<StatedForce> {
    let list = at.route.field("stressing_steps");
    at.tendon
        .stressing_steps
        .iter()
        .enumerate()
        .filter(|(_, step)| step.end.is_none_or(|name| name == end))
        .filter_map(|(index, step)| {
            let route = list.item(index).field("force_kn");
            Some(StatedForce {
                force_kn: step.force_kn?,
                route,
                verb: "has a step of its table at",
            })
        })
        .collect()
}

fn finding(
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    jack: &Found<'_, Jack>,
    force: &StatedForce,
    [first, last]: [f64; 2],
    what: &str,
) -> Finding {
    let message = format!("tendon {{tendon}} {} {{force_kn}}, {what}", force.verb);
    let beyond = force.force_kn > last;
    let bound_kn = if beyond { last } else { first };
    Finding::new(RULE.id, Kind::Margin, force.route.clone(), message)
        .related(jack.route.field("calibration"), "the calibration")
        .related(end.route.field("jack"), "the jack")
        .help(
            "Beyond its calibration nobody knows what force a gauge reading stands for: have jack and gauge \
             calibrated over the whole range that is used",
        )
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::text("end", end.name.word()))
        .fact(Fact::text("jack", jack.record.id.as_deref().unwrap_or("without a name")))
        .fact(Fact::given("force_kn", force.force_kn, 0))
        .fact(Fact::given("calibrated_from_kn", first, 0))
        .fact(Fact::given("calibrated_to_kn", last, 0))
        .fact(Fact::computed("ratio", force.force_kn / bound_kn, 3))
        .fact(Fact::computed("off_kn", (force.force_kn - bound_kn).abs(), 0))
        .remedy(if beyond {
            "Calibrate {off_kn} further, up to {force_kn} at least"
        } else {
            "Begin {off_kn} higher, at {calibrated_from_kn}, or calibrate from {force_kn} on"
        })
}
