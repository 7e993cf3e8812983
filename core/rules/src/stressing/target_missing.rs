//! A tendon that is built has no target force for the one that will replace it.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes, Severity};
use restrand_model::schedule::{Stage, Status};

use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "stressing/target-missing",
    summary: "a jacking force of its own for the tendon that replaces, from as built on",
    kinds: &[Kind::Missing],
    limits: &[],
    sources: &[Citation::new(
        "engineering default: losses, sections and loads of the day decide the new force, not the old sheet",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("target_missing.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    let tendon = at.tendon;
    match tendon.status {
        Some(Status::Removed) => return outcomes.not_applicable("the tendon is removed"),
        Some(Status::Reserved | Status::Contingency) => {
            return outcomes.not_applicable("the tendon is not in use");
        }
        Some(Status::InUse) | None => {}
    }
    let stage = context.stage_of(tendon);
    if stage < Stage::AsBuilt {
        return outcomes.not_applicable("the tendon is not built yet");
    }
    match tendon.replaceable {
        Some(false) => return outcomes.not_applicable("the tendon stays"),
        None => return outcomes.not_evaluated("tendon.replaceable"),
        Some(true) => {}
    }
    let replacement = tendon.replacement.as_deref();
    if replacement.is_some_and(|planned| planned.target_force_kn.is_some()) {
        return outcomes.pass();
    }
    let route = at.route.field("replacement");
    if context.is_lost_at(&route.field("target_force_kn")) {
        return outcomes.not_evaluated("replacement.target_force_kn");
    }
    let (message, severity) = if stage >= Stage::Replaced {
        (
            "tendon {tendon} is replaced, and no force is stated to which its strands were to be jacked",
            Severity::Error,
        )
    } else {
        (
            "no force is stated to which the tendon that replaces {tendon} is to be jacked",
            Severity::Note,
        )
    };
    let place = if replacement.is_some() { route } else { at.route.clone() };
    let mut finding = Finding::new(RULE.id, Kind::Missing, place, message)
        .severity(severity)
        .help(
            "Who replaces it decades later must not take the old jacking force unasked: state the target \
             force, from losses that have happened and the sections of the day",
        )
        .fact(Fact::text("tendon", at.mark()));
    let old_kn = tendon.stressing.as_deref().and_then(|stressing| stressing.jacking_force_kn);
    finding = match old_kn {
        Some(old_kn) => finding.fact(Fact::given("jacking_force_kn", old_kn, 0)).remedy(
            "State the target force; if the designer confirms that the old one still holds, \
             {jacking_force_kn}",
        ),
        None => finding.remedy("State the target force"),
    };
    outcomes.found(finding);
}
