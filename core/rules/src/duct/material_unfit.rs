//! A duct is corrugated where a replaceable tendon needs a smooth one.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::{DuctMaterial, Situation};

use super::used;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "duct/material-unfit",
    summary: "smooth or corrugated duct, by where the tendon lies and whether it is replaceable",
    kinds: &[Kind::Margin],
    limits: &[],
    sources: &[Citation::new(
        "common practice: external tendons have smooth pipe, which is drawn out of its forms",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("material_unfit.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.tendon.situation == Some(Situation::Internal) {
        return outcomes.not_applicable("the tendon lies inside the concrete");
    }
    if at.stays() {
        return outcomes.not_applicable("the tendon need not be replaceable");
    }
    let named = used::named(at);
    if named.is_empty() {
        return outcomes.not_evaluated("tendon.duct");
    }
    for (link, place) in named {
        let Some(duct) = context.duct(Some(link)) else {
            outcomes.not_evaluated("tendon.duct");
            continue;
        };
        match duct.record.material {
            None => outcomes.not_evaluated("duct.material"),
            Some(DuctMaterial::CorrugatedMetal | DuctMaterial::CorrugatedPolymer) => {
                let finding = Finding::new(
                    RULE.id,
                    Kind::Margin,
                    place,
                    "duct {duct} of the external tendon {tendon} is corrugated",
                )
                .related(duct.route.field("material"), "its material")
                .help(
                    "A corrugated duct catches at every mouth when it is drawn out, and its ribs hold filler and \
                     grout fast: external tendons that are to come out have smooth pipe",
                )
                .fact(Fact::text("tendon", at.mark()))
                .fact(Fact::text("duct", used::name(duct.record)))
                .cites(
                    "common practice: external tendons have smooth pipe, which is drawn out of its forms",
                    Evidence::Derived,
                )
                .severity(restrand_finding::Severity::Warning);
                outcomes.found(finding);
            }
            Some(_) => outcomes.pass(),
        }
    }
}
