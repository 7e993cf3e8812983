//! The order of stressing pulls the bridge to one side.

use std::collections::BTreeMap;

use restrand_finding::{Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::{Status, Tendon};

use super::jacked;
use super::steel::Steel;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const ECCENTRICITY: LimitKey = LimitKey {
    name: "order_eccentricity",
    meaning: "moment to one side while tendons are stressed, over that of the one furthest out",
};

pub(crate) const RULE: Rule = Rule {
    id: "stressing/order-lopsided",
    summary: "moment to one side after each step of the order of stressing, span by span",
    kinds: &[Kind::Margin],
    limits: &[ECCENTRICITY],
    sources: &[],
    correction: Corrects::Nothing,
    implied_by: &["schedule/duplicate-mark"],
    page: include_str!("order_lopsided.md"),
    check: Check::Schedule(check),
};

/// A tendon that is stressed.
struct Pull<'a> {
    at: TendonAt<'a>,
    order: u32,
    force_kn: f64,
    lateral_m: f64,
}

impl Pull<'_> {
    /// Its moment about a line, kNm.
    fn moment_knm(&self, line_m: f64) -> f64 {
        self.force_kn * (self.lateral_m - line_m)
    }
}

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    // Tendons by the spans they run through, in the order of the schedule.
    let mut spans: BTreeMap<Vec<&str>, Vec<TendonAt<'_>>> = BTreeMap::new();
    for at in context.tendons() {
        match at.tendon.status {
            Some(Status::Removed) => outcomes.not_applicable("the tendon is removed"),
            Some(Status::Reserved | Status::Contingency) => {
                outcomes.not_applicable("the tendon is not in use");
            }
            Some(Status::InUse) | None if at.tendon.spans.is_empty() => {
                outcomes.not_evaluated("tendon.spans");
            }
            Some(Status::InUse) | None => {
                let key = at.tendon.spans.iter().map(|link| link.key()).collect();
                spans.entry(key).or_default().push(at);
            }
        }
    }
    for tendons in spans.into_values() {
        span(context, tendons, outcomes);
    }
}

fn span(context: &Context<'_>, tendons: Vec<TendonAt<'_>>, outcomes: &mut Outcomes) {
    if tendons.len() < 2 {
        return outcomes.not_applicable("there is one tendon in the span");
    }
    let mut pulls = Vec::with_capacity(tendons.len());
    for at in tendons {
        match pull(context, at) {
            Ok(pull) => pulls.push(pull),
            Err(field) => return outcomes.not_evaluated(field),
        }
    }
    // Once all are stressed the force lies on this line, so there is no moment about it at the end.
    let whole_kn: f64 = pulls.iter().map(|pull| pull.force_kn).sum();
    let line_m = pulls.iter().map(|pull| pull.force_kn * pull.lateral_m).sum::<f64>() / whole_kn;
    let furthest_knm = pulls.iter().map(|pull| pull.moment_knm(line_m).abs()).fold(0.0, f64::max);
    if !line_m.is_finite() || furthest_knm <= ROUNDING * whole_kn {
        return outcomes.not_applicable("all tendons of the span lie on one line");
    }
    pulls.sort_by_key(|pull| pull.order);
    let limit = context.limit(ECCENTRICITY);
    let allowed_knm = limit.value * furthest_knm * (1.0 + ROUNDING);
    let Some((index, moment_knm)) = first_beyond(&pulls, line_m, allowed_knm) else {
        return outcomes.pass();
    };
    let pull = &pulls[index];
    let mut finding = Finding::new(
        RULE.id,
        Kind::Margin,
        pull.at.route.field("order"),
        "once {tendon} is stressed, the tendons of {spans} pull to the {side} by {moment_share} times what the \
         one furthest out does alone; {order_eccentricity} is asked",
    )
    .help(
        "Tendons that run ahead on one side bend the bridge in plan and twist it: stress in pairs, and a \
         tendon of the other side next",
    )
    .fact(Fact::text("tendon", pull.at.mark()))
    .fact(Fact::text("spans", names(pull.at.tendon)))
    .fact(Fact::text("side", if moment_knm > 0.0 { "left" } else { "right" }))
    .fact(Fact::computed("moment_share", moment_knm.abs() / furthest_knm, 3))
    .fact(limit.fact(ECCENTRICITY, 2))
    .fact(Fact::computed("ratio", moment_knm.abs() / furthest_knm / limit.value, 3))
    .fact(Fact::computed("moment_knm", moment_knm.abs(), 0))
    .fact(Fact::computed("line_lateral_m", line_m, 3));
    if let Some(other) = balancing(&pulls, index, line_m, allowed_knm) {
        finding = finding
            .fact(Fact::text("next_tendon", other.at.mark()))
            .related(other.at.route.field("order"), "a tendon of the other side, stressed later")
            .remedy("Stress {next_tendon} before {tendon}");
    }
    if let Some(marks) = balanced(&pulls, line_m, allowed_knm) {
        finding = finding
            .fact(Fact::text("balanced_order", marks))
            .remedy("Stress in this order: {balanced_order}");
    }
    outcomes.found(finding);
}

/// A sum of moments is not exact.
const ROUNDING: f64 = 1e-9;

fn pull<'a>(context: &Context<'_>, at: TendonAt<'a>) -> Result<Pull<'a>, &'static str> {
    let order = at.tendon.order.ok_or("tendon.order")?;
    let stated = at.tendon.stressing.as_deref().and_then(|stressing| stressing.jacking_force_kn);
    // A share of the strength needs the steel to be a force.
    let force_kn = match stated {
        Some(force_kn) => force_kn,
        None => {
            let steel = Steel::of(context, at.tendon);
            steel
                .and_then(|steel| jacked::jacking(&at, &steel))
                .map_err(|_| "stressing.jacking_force_kn")?
                .force_kn
        }
    };
    let lateral_m = mean_lateral_m(at.tendon)?;
    Ok(Pull { at, order, force_kn, lateral_m })
}

/// The mean lateral position along the station line, m.
fn mean_lateral_m(tendon: &Tendon) -> Result<f64, &'static str> {
    let mut points = Vec::with_capacity(tendon.points.len());
    for point in &tendon.points {
        let station_m = point.station_m.ok_or("tendon_point.station_m")?;
        points.push((station_m, point.lateral_m.ok_or("tendon_point.lateral_m")?));
    }
    let (mut length_m, mut area_m2) = (0.0, 0.0);
    for pair in points.windows(2) {
        let [(from_m, one_m), (to_m, other_m)] = [pair[0], pair[1]];
        length_m += to_m - from_m;
        area_m2 += (to_m - from_m) * f64::midpoint(one_m, other_m);
    }
    if length_m > 0.0 { Ok(area_m2 / length_m) } else { Err("tendon.points") }
}

/// The first step after which the moment is more than allowed: the last tendon of that step, and the moment.
fn first_beyond(pulls: &[Pull<'_>], line_m: f64, allowed_knm: f64) -> Option<(usize, f64)> {
    let mut moment_knm = 0.0;
    for (index, pull) in pulls.iter().enumerate() {
        moment_knm += pull.moment_knm(line_m);
        // Tendons of one number are stressed at once.
        let is_last = pulls.get(index + 1).is_none_or(|next| next.order != pull.order);
        if is_last && moment_knm.abs() > allowed_knm {
            return Some((index, moment_knm));
        }
    }
    None
}

/// The first later tendon that could be stressed before the one at `index` and keep the moment allowed there.
fn balancing<'p, 'a>(
    pulls: &'p [Pull<'a>],
    index: usize,
    line_m: f64,
    allowed_knm: f64,
) -> Option<&'p Pull<'a>> {
    let before: f64 = pulls[..index].iter().map(|pull| pull.moment_knm(line_m)).sum();
    let own = pulls[index].moment_knm(line_m);
    pulls[index + 1..].iter().find(|other| {
        let with_other = before + other.moment_knm(line_m);
        with_other.abs() <= allowed_knm && (with_other + own).abs() <= allowed_knm
    })
}

/// An order that keeps the moment allowed throughout, as near to the stated one as taking the next that fits gives.
fn balanced(pulls: &[Pull<'_>], line_m: f64, allowed_knm: f64) -> Option<String> {
    let mut rest: Vec<&Pull<'_>> = pulls.iter().collect();
    let mut moment_knm = 0.0;
    let mut marks = Vec::with_capacity(rest.len());
    while !rest.is_empty() {
        let fits = |pull: &&Pull<'_>| (moment_knm + pull.moment_knm(line_m)).abs() <= allowed_knm;
        let next = rest.remove(rest.iter().position(fits)?);
        moment_knm += next.moment_knm(line_m);
        marks.push(next.at.mark());
    }
    Some(marks.join(", "))
}

fn names(tendon: &Tendon) -> String {
    tendon.spans.iter().map(|link| link.key()).collect::<Vec<_>>().join(", ")
}
