//! A coupler from strands to strands sits in a tendon that is to be replaceable.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::Role;

use crate::assembly::call;
use crate::context::Context;
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "parts/tendon-coupler",
    summary: "parts that couple strands to strands in tendons that are to be replaceable",
    kinds: &[Kind::Physical],
    limits: &[],
    sources: &[Citation::new(
        "common practice, no source: a coupler is wider than every bore beside it, and holds two tendons in one",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("tendon_coupler.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    for assembly in &context.assemblies {
        if assembly.stays {
            outcomes.not_applicable("no replaceable tendon uses it");
            continue;
        }
        if assembly.parts.is_empty() {
            outcomes.not_evaluated(assembly.parts_field());
            continue;
        }
        let stated = assembly.parts.iter().filter(|part| assembly.states(part));
        let couplers: Vec<_> =
            stated.filter(|part| part.part.role == Some(Role::TendonCoupler)).collect();
        if couplers.is_empty() {
            outcomes.pass();
        }
        for coupler in couplers {
            outcomes.found(
                Finding::new(
                    RULE.id,
                    Kind::Physical,
                    coupler.route.clone(),
                    "{part} of {owner} couples strands to strands: neither tendon leaves without the other",
                )
                .help("Anchor both tendons for themselves, side by side, or state that they need not be replaceable")
                .fact(Fact::text("part", call(&coupler.part)))
                .fact(Fact::text("owner", assembly.name.as_str())),
            );
        }
    }
}
