//! A stated elongation is not what follows from the other stated values.

use restrand_finding::{Citation, Class, Correction, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::elongation::{Bar, Terms, bar_stretch_mm, elongation};
use restrand_model::reflect::Choice;
use restrand_model::route::Route;
use restrand_model::schedule::{EndName, Status, Stressing};

use super::recomputed::{Reading, Recomputed, index};
use super::{force_mismatch, jacked};
use crate::context::{Context, TendonAt};
use crate::mended::by_fact_and_basis;
use crate::rule::{Check, Corrects, LimitKey, Rule};

const TOLERANCE: LimitKey = LimitKey {
    name: "elongation_calculation_tolerance",
    meaning: "share by which a stated elongation may differ from the recomputed one",
};

pub(crate) const RULE: Rule = Rule {
    id: "stressing/elongation-mismatch",
    summary: "stated elongations of ends and steps against what forces, friction, path and strand give",
    kinds: &[Kind::Inconsistent],
    limits: &[TOLERANCE],
    sources: &[Citation::new("Hooke's law on the force along the tendon", Evidence::Derived)],
    correction: Corrects::Offers(&[Class::Propose], offer),
    implied_by: &[
        "strand/area-mismatch",
        "stressing/end-role-conflict",
        "stressing/friction-unusual",
        "stressing/force-mismatch",
        "schedule/duplicate-mark",
    ],
    page: include_str!("elongation_mismatch.md"),
    check: Check::Tendons(check),
};

/// An elongation that is stated.
struct Stated {
    end: EndName,
    elongation_mm: f64,
    route: Route,
    /// Of the full force; the table's steps have less.
    share: f64,
    /// The step of the table at which it stands.
    step: Option<Route>,
}

/// What an elongation at full force is made of.
struct Parts {
    elastic_mm: f64,
    in_jack_mm: Option<f64>,
    seating_mm: Option<f64>,
}

impl Parts {
    /// The elongations that may be meant: of the tendon alone, with the strand in the jack, with the draw-in at
    /// the dead end, with both.
    fn meant_mm(&self) -> Vec<f64> {
        let with = |in_jack_mm, dead_end_seating_mm| {
            let elastic_mm = self.elastic_mm;
            let terms = Terms { elastic_mm, in_jack_mm, dead_end_seating_mm, set_mm: 0.0 };
            elongation(&terms).ok().map(|told| told.at_jack_mm)
        };
        let jack = [Some(0.0), self.in_jack_mm];
        let seating = [Some(0.0), self.seating_mm];
        let pairs = jack.into_iter().flat_map(|j| seating.into_iter().map(move |s| (j, s)));
        pairs.filter_map(|(j, s)| with(j?, s?)).collect()
    }
}

/// The elongation that the other values give.
fn offer(context: &Context<'_>, offered: &mut Vec<Correction>) {
    const WHY: &str = "the stated force, friction, path and strand give {computed_mm}";
    for at in context.tendons() {
        let mend = (Class::Propose, "computed_mm", WHY);
        offered.extend(by_fact_and_basis(context, &at, check, mend));
    }
}

/// The values on which an elongation rests.
fn rests_on(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    tendon: &Recomputed<'_>,
    one: &Stated,
) -> Vec<Route> {
    let mut routes = tendon.rests_on(at);
    routes.extend(jacked::rests_on(at, &tendon.steel));
    routes.push(at.route.field("stressing").field("dead_end_seating_mm"));
    if let Some(end) = at.ends().find(|end| end.name == one.end) {
        routes.push(end.route.field("jack"));
        let jack = context.jack(end.end.jack.as_ref());
        routes.extend(jack.map(|jack| jack.route.field("gripped_length_mm")));
    }
    if let Some(step) = &one.step {
        routes.extend(["share", "force_kn"].map(|name| step.field(name)));
    }
    routes
}

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.tendon.status == Some(Status::Removed) {
        return outcomes.not_applicable("the tendon is removed");
    }
    let Some(stressing) = at.tendon.stressing.as_deref() else {
        return outcomes.not_evaluated("tendon.stressing");
    };
    let stated = stated(at, stressing);
    if stated.is_empty() {
        return outcomes.not_evaluated("stressing.elongation_a_mm");
    }
    let computed = || {
        // What follows from a jacking force that is in doubt is in doubt.
        if force_mismatch::contradicts(context, at) {
            return Err("stressing.jacking_force_kn");
        }
        let tendon = Recomputed::of(context, at, Reading::AsStated)?;
        let jacking_kn = jacked::jacking(at, &tendon.steel)?.force_kn;
        let elastic_mm = tendon.elastic_mm(jacking_kn)?;
        Ok((tendon, jacking_kn, elastic_mm))
    };
    let (tendon, jacking_kn, elastic_mm) = match computed() {
        Ok(computed) => computed,
        Err(field) => {
            for _ in &stated {
                outcomes.not_evaluated(field);
            }
            return;
        }
    };
    let mut is_told = [false; 2];
    for one in stated {
        let Some(elastic_mm) = elastic_mm[index(one.end)] else {
            // An end that is not pulled moves by the draw-in of its wedges at most: nothing to recompute.
            outcomes.not_applicable("the end is not pulled");
            continue;
        };
        let parts = parts(context, at, &tendon, jacking_kn, one.end, elastic_mm);
        let tolerance = context.limit(TOLERANCE);
        let nearest =
            parts.meant_mm().into_iter().map(|meant_mm| meant_mm * one.share).reduce(|a, b| {
                if (b - one.elongation_mm).abs() < (a - one.elongation_mm).abs() { b } else { a }
            });
        let Some(nearest_mm) = nearest else {
            outcomes.not_evaluated("stressing.jacking_force_kn");
            continue;
        };
        // What is printed to whole millimetres may be off by half of one.
        let rounding_mm = 1.0 / 2.0;
        let off_mm = (one.elongation_mm - nearest_mm).abs();
        if off_mm <= f64::max(tolerance.value * nearest_mm, rounding_mm) {
            outcomes.pass();
            continue;
        }
        // The steps of a table follow from its last: they are one finding, at the first that is off.
        if std::mem::replace(&mut is_told[index(one.end)], true) {
            continue;
        }
        let finding = finding(context, at, &tendon, jacking_kn, &one, &parts, nearest_mm);
        outcomes.found(finding);
    }
}

/// The elongations that are stated, at the ends and then step by step.
fn stated(at: &TendonAt<'_>, stressing: &Stressing) -> Vec<Stated> {
    let route = at.route.field("stressing");
    let ends = [
        (EndName::A, stressing.elongation_a_mm, "elongation_a_mm"),
        (EndName::B, stressing.elongation_b_mm, "elongation_b_mm"),
    ];
    let mut stated: Vec<Stated> = ends
        .into_iter()
        .filter_map(|(end, elongation_mm, field)| {
            Some(Stated {
                end,
                elongation_mm: elongation_mm?,
                route: route.field(field),
                share: 1.0,
                step: None,
            })
        })
        .collect();
    let is_one_pull = jacked::ends_of(at.tendon).is_ok_and(|ends| ends.len() == 1);
    let list = at.route.field("stressing_steps");
    for (index, step) in at.tendon.stressing_steps.iter().enumerate() {
        let by_force = || Some(step.force_kn? / stressing.jacking_force_kn?);
        let share = step.share.or_else(by_force);
        // Only while one end is pulled, or both in step, is everything in proportion to the force.
        let proportional = is_one_pull
            || stressing.from == Some(restrand_model::schedule::StressingFrom::Both)
            || share == Some(1.0);
        if let (Some(end), Some(elongation_mm), Some(share)) = (step.end, step.elongation_mm, share)
            && proportional
        {
            let step = list.item(index);
            let route = step.field("elongation_mm");
            stated.push(Stated { end, elongation_mm, route, share, step: Some(step) });
        }
    }
    stated
}

fn parts(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    tendon: &Recomputed<'_>,
    jacking_kn: f64,
    name: EndName,
    elastic_mm: f64,
) -> Parts {
    let end = at.ends().find(|end| end.name == name);
    let jack = end.and_then(|end| context.jack(end.end.jack.as_ref()));
    let in_jack_mm = jack.and_then(|jack| jack.record.gripped_length_mm).and_then(|length_mm| {
        bar_stretch_mm(&Bar {
            force_kn: jacking_kn,
            length_mm,
            area_mm2: tendon.steel.area_mm2,
            e_mpa: tendon.e_mpa(),
        })
        .ok()
    });
    let one_end = jacked::ends_of(at.tendon).is_ok_and(|ends| ends.len() == 1);
    let stressing = at.tendon.stressing.as_deref();
    let seating_mm = stressing.and_then(|s| s.dead_end_seating_mm).filter(|_| one_end);
    Parts { elastic_mm, in_jack_mm, seating_mm }
}

fn finding(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    tendon: &Recomputed<'_>,
    jacking_kn: f64,
    one: &Stated,
    parts: &Parts,
    nearest_mm: f64,
) -> Finding {
    let message = if one.share < 1.0 {
        "a step of tendon {tendon} at end {end} and {share} of the force is stated to draw {elongation_mm} out; \
         the stated force, friction, path and strand give {computed_mm}"
    } else {
        "tendon {tendon} is stated to be drawn out by {elongation_mm} at end {end}; the stated force, friction, \
         path and strand give {computed_mm}"
    };
    let tolerance = context.limit(TOLERANCE);
    let route = at.route.field("stressing");
    let mut finding = Finding::new(RULE.id, Kind::Inconsistent, one.route.clone(), message)
        .rests_on(rests_on(context, at, tendon, one))
        .help(
            "The elongation is what the force in the tendon is checked by on the day: a wrong one lets a jam \
             pass, or stops good work. Find which input was changed without it, and recompute",
        )
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::text("end", one.end.word()))
        .fact(Fact::given("elongation_mm", one.elongation_mm, 1))
        .fact(Fact::computed("computed_mm", nearest_mm, 1))
        .fact(Fact::computed("elastic_mm", parts.elastic_mm, 1))
        .fact(Fact::given("jacking_force_kn", jacking_kn, 0))
        .fact(Fact::computed("developed_length_m", tendon.length_m(), 3))
        .fact(Fact::given("e_mpa", tendon.e_mpa(), 0))
        .fact(Fact::computed("deviation", (one.elongation_mm - nearest_mm).abs() / nearest_mm, 4))
        .fact(tolerance.fact(TOLERANCE, 3))
        .fact(Fact::given("share", one.share, 3));
    for (route, what) in tendon.shown(at) {
        finding = finding.related(route, what);
    }
    let stressing = at.tendon.stressing.as_deref();
    let seated = [
        (stressing.and_then(|s| s.seated_force_a_kn), "seated_force_a_kn"),
        (stressing.and_then(|s| s.seated_force_b_kn), "seated_force_b_kn"),
    ];
    for (_, field) in seated.into_iter().filter(|(force, _)| force.is_some()) {
        finding = finding.related(route.field(field), "a force that hangs on the same inputs");
    }
    if let Some(in_jack_mm) = parts.in_jack_mm {
        finding = finding.fact(Fact::computed("in_jack_mm", in_jack_mm, 1));
    }
    if let Some(seating_mm) = parts.seating_mm {
        finding = finding.fact(Fact::given("dead_end_seating_mm", seating_mm, 1));
    }
    finding.remedy("If all inputs are right, state {computed_mm}")
}
