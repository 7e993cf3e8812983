//! A tendon that is to be replaceable ends inside the concrete.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::{End, EndKind, Status};

use crate::context::{Context, EndAt, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "anchorage/dead-end-embedded",
    summary: "the kind of each end of a replaceable tendon: none is cast into the concrete",
    kinds: &[Kind::Physical],
    limits: &[],
    sources: &[Citation::new(
        "common practice, no source: what is cast in with its wedges or loops does not come out",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("dead_end_embedded.md"),
    check: Check::Tendons(check),
};

fn check(_context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.stays() {
        return outcomes.not_applicable("the tendon need not be replaceable");
    }
    if at.tendon.status == Some(Status::Removed) {
        return outcomes.not_applicable("the tendon is removed");
    }
    for end in at.ends() {
        match end.end.kind {
            Some(EndKind::Embedded) => outcomes.found(embedded(at, &end)),
            Some(EndKind::Stressing | EndKind::Dead) => outcomes.pass(),
            None if is_reached(end.end) => outcomes.pass(),
            None => outcomes.not_evaluated("end.kind"),
        }
    }
}

/// Whether a jack or room behind the plate is stated, which an end inside the concrete has not.
fn is_reached(end: &End) -> bool {
    end.jack.is_some() || behind_mm(end).is_some()
}

/// The room behind the plate, where some is stated.
fn behind_mm(end: &End) -> Option<f64> {
    end.removal_space
        .as_ref()
        .and_then(|space| space.behind_mm)
        .filter(|behind_mm| *behind_mm > 0.0)
}

fn embedded(at: &TendonAt<'_>, end: &EndAt<'_>) -> Finding {
    let mut finding = Finding::new(
        RULE.id,
        Kind::Physical,
        end.route.field("kind"),
        "{end} of {tendon} is embedded in concrete, so that neither the stub there comes out nor a new tendon is anchored",
    )
    .fact(Fact::text("end", format!("end {}", end.name)))
    .fact(Fact::text("tendon", at.mark()));
    if let Some(behind_mm) = behind_mm(end.end) {
        finding = finding
            .fact(Fact::given("behind_mm", behind_mm, 0))
            .related(
                end.route.field("removal_space").field("behind_mm"),
                "yet {behind_mm} of clear room are stated behind its plate",
            )
            .help("Concrete and clear room cannot both be behind the plate: see which of the two holds")
            .remedy("State that {end} is dead, if its plate and wedges are in sight");
    } else {
        finding = finding.help(
            "Grout or wax does not matter here: the strands are held by the concrete of the bridge itself",
        );
    }
    finding
        .remedy("Give {tendon} an anchorage there that people can reach")
        .remedy("State that {tendon} need not be replaceable, if the owner agrees")
}
