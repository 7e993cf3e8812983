//! The schedule does not say by which code its tendons were designed.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;

use crate::code::Declared;
use crate::context::Context;
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "schedule/code-undeclared",
    summary: "design code and edition, and whether the rulebook in force is one for them",
    kinds: &[Kind::Note],
    limits: &[],
    sources: &[Citation::new("limits hold for an edition of a code", Evidence::Derived)],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("code_undeclared.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let Some(project) = context.schedule.project.as_deref() else {
        return outcomes.not_evaluated("schedule.project");
    };
    let route = Route::root().field("project");
    let note = |field: &'static str, message: &str| {
        Finding::new(RULE.id, Kind::Note, route.field(field), message)
            .fact(Fact::text("rulebook", context.book.name.clone()))
    };
    match Declared::of(project) {
        None => outcomes.found(
            note(
                "design_code",
                "no design code is declared; the limits of the rulebook {rulebook} are taken",
            )
            .help("State the code and its edition: its limits are then taken, where a rulebook has them"),
        ),
        Some(Declared { code, edition: None }) => outcomes.found(
            note(
                "design_code_edition",
                "the design code {code} is declared without its edition; the limits of the rulebook {rulebook} \
                 are taken",
            )
            .help("State the edition by its year: editions differ in their limits")
            .fact(Fact::text("code", code)),
        ),
        Some(Declared { code, edition: Some(edition) }) => {
            // An owner's book is chosen by a person, who knows what it is for.
            let is_default = context.book.chain.len() == 1 && context.book.codes.is_empty();
            if !is_default || context.book.is_for(&code, &edition) {
                return outcomes.pass();
            }
            outcomes.found(
                note(
                    "design_code",
                    "the rulebook {rulebook} is in force, which is none for the declared code {code}, {edition}",
                )
                .help(
                    "Name a rulebook for that code with --rulebook, or write the code as a built-in rulebook \
                     does: restrand rulebook show lists its codes",
                )
                .fact(Fact::text("code", code))
                .fact(Fact::text("edition", edition)),
            );
        }
    }
}
