//! A jack cannot give the force that is asked of it, or only without reserve.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::friction::{after_loss_kn, before_loss_kn};
use restrand_mechanics::jack::{force_by_area_kn, pressure_by_area_mpa};
use restrand_model::reflect::Choice;
use restrand_model::schedule::{Jack, Status};

use super::jacked::{self, StatedForce, greater};
use super::steel::Steel;
use crate::context::{Context, EndAt, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const RESERVE: LimitKey = LimitKey {
    name: "jack_reserve",
    meaning: "share of a jack's rated force or pressure that is not to be used",
};

pub(crate) const RULE: Rule = Rule {
    id: "stressing/jack-too-weak",
    summary: "force and pressure that a tendon asks of its jack, the jack's own loss included, against its rating",
    kinds: &[Kind::Physical, Kind::Margin],
    limits: &[RESERVE],
    sources: &[Citation::new(
        "definition of pressure: force over the piston's area",
        Evidence::Read,
    )],
    correction: Corrects::Nothing,
    implied_by: &["stressing/end-role-conflict", "stressing/jacking-stress-high"],
    page: include_str!("jack_too_weak.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.tendon.status == Some(Status::Removed) {
        return outcomes.not_applicable("the tendon is removed");
    }
    let ends = match jacked::ends_of(at.tendon) {
        Ok(ends) => ends,
        Err(field) => return outcomes.not_evaluated(field),
    };
    let force = match asked(context, at) {
        Ok(force) => force,
        Err(field) => return outcomes.not_evaluated(field),
    };
    for name in ends {
        match at.ends().find(|end| end.name == *name) {
            Some(end) => one(context, at, &end, &force, outcomes),
            None => outcomes.not_evaluated("end.jack"),
        }
    }
}

/// The greatest force that a tendon asks of its jack; the field without which it is not known.
fn asked(context: &Context<'_>, at: &TendonAt<'_>) -> Result<StatedForce, &'static str> {
    let stated = match Steel::of(context, at.tendon) {
        Ok(steel) => jacked::jacking(at, &steel),
        Err(field) => force_alone(at).ok_or(field),
    };
    let target = target(at);
    match (stated, jacked::greatest_step(at).into_iter().chain(target).reduce(greater)) {
        (Ok(stated), Some(further)) => Ok(greater(stated, further)),
        (Ok(stated), None) => Ok(stated),
        (Err(_), Some(further)) => Ok(further),
        (Err(field), None) => Err(field),
    }
}

/// Whether a jack gives what a tendon asks and keeps its reserve; nothing where that is not known.
pub(crate) fn is_strong_enough(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    jack: &Jack,
) -> Option<bool> {
    let force_kn = asked(context, at).ok()?.force_kn;
    keeps_reserve(context, jack, force_kn)
}

fn keeps_reserve(context: &Context<'_>, jack: &Jack, force_kn: f64) -> Option<bool> {
    let reserve = context.limit(RESERVE).value;
    let used = hardest(uses(jack, force_kn, jack.internal_loss?, reserve))?;
    Some(used.share() <= (1.0 - reserve) * (1.0 + ROUNDING))
}

/// The jacking force, where nothing else is needed to know it.
fn force_alone(at: &TendonAt<'_>) -> Option<StatedForce> {
    let force_kn = at.tendon.stressing.as_deref()?.jacking_force_kn?;
    let route = at.route.field("stressing").field("jacking_force_kn");
    Some(StatedForce { force_kn, route, verb: "is jacked to" })
}

/// The force of the tendon that replaces this one.
fn target(at: &TendonAt<'_>) -> Option<StatedForce> {
    let force_kn = at.tendon.replacement.as_deref()?.target_force_kn?;
    let route = at.route.field("replacement").field("target_force_kn");
    let verb = "is to be replaced by one that is jacked to";
    (!at.stays()).then_some(StatedForce { force_kn, route, verb })
}

/// What a jack is asked for against what it is rated for.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Use {
    /// What must be given, kN or MPa.
    needed: f64,
    /// What the jack is rated for, kN or MPa.
    rated: f64,
    /// The greatest force that the tendon may ask, with the reserve, kN.
    most_kn: f64,
    by: By,
}

/// By what a jack is rated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum By {
    Force,
    Pressure,
}

impl Use {
    fn share(&self) -> f64 {
        self.needed / self.rated
    }
}

/// A share of decimal fractions is not exact.
const ROUNDING: f64 = 1e-9;

/// The uses of a jack by its rated force and by its rated pressure, as far as they are stated.
fn uses(jack: &Jack, force_kn: f64, loss: f64, reserve: f64) -> Vec<Use> {
    let mut uses = Vec::new();
    if let Some(rated) = jack.rated_force_kn
        && let (Ok(needed), Ok(most_kn)) =
            (before_loss_kn(force_kn, loss), after_loss_kn(rated * (1.0 - reserve), loss))
    {
        uses.push(Use { needed, rated, most_kn, by: By::Force });
    }
    if let (Some(rated), Some(area_mm2)) = (jack.rated_pressure_mpa, jack.piston_area_mm2)
        && let (Ok(needed), Ok(most_kn)) = (
            pressure_by_area_mpa(force_kn, area_mm2, loss),
            force_by_area_kn(rated * (1.0 - reserve), area_mm2, loss),
        )
    {
        uses.push(Use { needed, rated, most_kn, by: By::Pressure });
    }
    uses
}

/// The hardest use.
fn hardest(uses: Vec<Use>) -> Option<Use> {
    uses.into_iter().reduce(|one, other| if other.share() > one.share() { other } else { one })
}

fn one(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    force: &StatedForce,
    outcomes: &mut Outcomes,
) {
    let Some(jack) = context.jack(end.end.jack.as_ref()) else {
        return outcomes.not_evaluated("end.jack");
    };
    let reserve = context.limit(RESERVE);
    let loss = jack.record.internal_loss;
    // Without its loss a jack is asked for the force alone, and more with it.
    let Some(hardest) =
        hardest(uses(jack.record, force.force_kn, loss.unwrap_or(0.0), reserve.value))
    else {
        return outcomes.not_evaluated(match jack.record.rated_pressure_mpa {
            Some(_) => "jack.piston_area_mm2",
            None => "jack.rated_force_kn",
        });
    };
    let share = hardest.share();
    if share <= (1.0 - reserve.value) * (1.0 + ROUNDING) {
        return match loss {
            Some(_) => outcomes.pass(),
            None => outcomes.not_evaluated("jack.internal_loss"),
        };
    }
    let (needed, rated, rating) = match hardest.by {
        By::Force => ("needed_force_kn", "rated_force_kn", "rated_force_kn"),
        By::Pressure => ("needed_pressure_mpa", "rated_pressure_mpa", "rated_pressure_mpa"),
    };
    let beyond = share > 1.0 + ROUNDING;
    let kind = if beyond { Kind::Physical } else { Kind::Margin };
    let message = if beyond {
        format!(
            "jack {{jack}} at end {{end}} of {{tendon}} must give {{{needed}}}, and is rated for \
             {{{rated}}}: the tendon {} {{force_kn}}",
            force.verb
        )
    } else {
        format!(
            "jack {{jack}} at end {{end}} of {{tendon}} must give {{{needed}}} of its {{{rated}}}, and keeps \
             less than the share of {{jack_reserve}} in reserve: the tendon {} {{force_kn}}, and {{most_force_kn}} may be \
             asked of it",
            force.verb
        )
    };
    let mut finding = Finding::new(RULE.id, kind, end.route.field("jack"), message)
        .related(force.route.clone(), "the force that is asked")
        .related(jack.route.field(rating), "what the jack is rated for")
        .help(
            "A jack near its rating leaves nothing for friction that is more than expected, and its seals \
             and hoses fail there: take a stronger jack, or a smaller force",
        )
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::text("end", end.name.word()))
        .fact(Fact::text("jack", jack.record.id.as_deref().unwrap_or("without a name")))
        .fact(Fact::given("force_kn", force.force_kn, 0))
        .fact(match hardest.by {
            By::Force => Fact::computed("needed_force_kn", hardest.needed, 0).at_least(),
            By::Pressure => Fact::computed("needed_pressure_mpa", hardest.needed, 1).at_least(),
        })
        .fact(match hardest.by {
            By::Force => Fact::given("rated_force_kn", hardest.rated, 0),
            By::Pressure => Fact::given("rated_pressure_mpa", hardest.rated, 1),
        })
        .fact(Fact::computed("ratio", share, 3))
        .fact(Fact::computed("most_force_kn", hardest.most_kn, 0).at_most());
    if let Some(loss) = loss {
        finding = finding.fact(Fact::given("internal_loss", loss, 3));
    }
    finding = finding.fact(reserve.fact(RESERVE, 2));
    if let Some((name, rated_kn)) = stronger(context, at, end, force.force_kn) {
        finding = finding
            .fact(Fact::text("other_jack", name))
            .fact(Fact::given("other_rated_force_kn", rated_kn, 0))
            .remedy("Take jack {other_jack}, listed for this anchorage and rated for {other_rated_force_kn}");
    }
    outcomes.found(finding.remedy("Ask for {most_force_kn} at most"));
}

/// The weakest jack listed for the anchorage that is strong enough: its name and rated force.
fn stronger(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    force_kn: f64,
) -> Option<(String, f64)> {
    let listed = &context.anchorage(end.end)?.record.jacks;
    let mut enough: Vec<(String, f64)> = listed
        .iter()
        .filter_map(|link| {
            let jack = context.jack(Some(link))?.record;
            let strands = &jack.strand_counts;
            let takes = strands.is_empty()
                || at.tendon.strand_count.is_some_and(|count| strands.contains(&count));
            (takes && keeps_reserve(context, jack, force_kn)?)
                .then_some((link.key().to_owned(), jack.rated_force_kn?))
        })
        .collect();
    enough.sort_by(|one, other| one.1.total_cmp(&other.1));
    enough.into_iter().next()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn share(force_kn: f64, loss: f64) -> f64 {
        let jack = Jack {
            rated_force_kn: Some(4500.0),
            rated_pressure_mpa: Some(50.0),
            piston_area_mm2: Some(100_000.0),
            ..Jack::default()
        };
        hardest(uses(&jack, force_kn, loss, 0.1)).unwrap().share()
    }

    #[test]
    fn the_jacks_own_loss_comes_on_top() {
        assert!((share(4050.0, 0.0) - 0.9).abs() < 1e-12);
        assert!((share(4050.0, 0.1) - 1.0).abs() < 1e-12);
        assert!(share(4049.9, 0.0) < 0.9 && share(4050.1, 0.0) > 0.9);
    }

    #[test]
    fn the_tighter_of_force_and_pressure_decides() {
        let weak_in_pressure = Jack {
            rated_force_kn: Some(6000.0),
            rated_pressure_mpa: Some(40.0),
            piston_area_mm2: Some(100_000.0),
            ..Jack::default()
        };
        let used = hardest(uses(&weak_in_pressure, 3900.0, 0.0, 0.1)).unwrap();
        assert_eq!(used.by, By::Pressure);
        assert!((used.share() - 0.975).abs() < 1e-12);
        assert!((used.most_kn - 3600.0).abs() < 1e-9);
    }
}
