//! Nothing is said of traffic or other measures while a tendon is out.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes, Severity};
use restrand_model::route::Route;
use restrand_model::schedule::Stage;

use super::is_to_be_replaced;
use crate::context::Context;
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "replacement/restriction-missing",
    summary: "what is stated of traffic and other measures while a tendon is out",
    kinds: &[Kind::Missing],
    limits: &[],
    sources: &[Citation::new(
        "common practice, no source: the owner says what may be on the bridge while a tendon is out",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("restriction_missing.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let project = context.schedule.project.as_deref();
    let is_said = project.is_some_and(|project| {
        project.live_load_restriction.is_some() || project.measures_while_out.is_some()
    });
    let mut lacking = Vec::new();
    for at in context.tendons() {
        if !is_to_be_replaced(&at, outcomes) {
            continue;
        }
        // At tender nobody has laid out the replacement yet.
        if context.stage_of(at.tendon) < Stage::ShopDrawing {
            outcomes.not_applicable("the tendon is at tender");
            continue;
        }
        let own = at.tendon.replacement.as_deref();
        let says = own.is_some_and(|own| {
            own.live_load_restriction.is_some() || own.measures_while_out.is_some()
        });
        if is_said || says {
            outcomes.pass();
        } else {
            lacking.push(at);
        }
    }
    let Some(first) = lacking.first() else { return };
    let stated = Route::root().field("project").field("live_load_restriction");
    if project.is_some() && context.is_lost_at(&stated) {
        return outcomes.not_evaluated("project.live_load_restriction");
    }
    // Said of the project once, however many tendons it is for.
    let place = match project {
        Some(_) => stated,
        None => first.route.field("replacement").field("live_load_restriction"),
    };
    let stage = lacking.iter().map(|at| context.stage_of(at.tendon)).max();
    let severity = match stage {
        Some(Stage::Replaced) => Severity::Error,
        _ => Severity::Note,
    };
    let marks: Vec<_> = lacking.iter().take(SHOWN).map(crate::context::TendonAt::mark).collect();
    let mut tendons = marks.join(", ");
    if lacking.len() > SHOWN {
        tendons.push_str(&format!(" and {} more", lacking.len() - SHOWN));
    }
    outcomes.found(
        Finding::new(
            RULE.id,
            Kind::Missing,
            place,
            "nothing is stated of traffic or other measures while a tendon is out: {tendons}",
        )
        .severity(severity)
        .help(
            "State what may be on the bridge while a tendon is out, and what is done meanwhile, for the project or for each \
             tendon; where nothing is needed, say so and who says it",
        )
        .fact(Fact::text("tendons", tendons)),
    );
}

/// Tendons that are named.
const SHOWN: usize = 6;
