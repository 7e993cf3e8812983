//! What is drawn out clears at nominal, and clashes at worst tolerance.

use restrand_finding::{Citation, Evidence, Kind, Outcomes};

use super::cannot_pass::{Asks, over};
use crate::context::Context;
use crate::rule::{Check, Corrects, LimitKey, Rule};

/// What counts where a tolerance, an ovality or a seam is not stated, in this order.
pub(super) const ASSUMED: [LimitKey; 3] = [
    LimitKey {
        name: "assumed_tolerance_mm",
        meaning: "tolerance of a diameter that counts where none is stated",
    },
    LimitKey { name: "assumed_ovality_mm", meaning: "ovality that counts where none is stated" },
    LimitKey {
        name: "assumed_seam_mm",
        meaning: "height of a seam inside a bore that counts where none is stated",
    },
];

pub(crate) const RULE: Rule = Rule {
    id: "parts/tolerance-eats-gap",
    summary: "what clears at nominal when drawn out, against every permanent bore at worst tolerance",
    kinds: &[Kind::Physical, Kind::Margin],
    limits: &ASSUMED,
    sources: &[Citation::new(
        "geometry of coaxial bodies; tolerances are no allowance",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("tolerance_eats_gap.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    over(context, Asks::ToleranceEatsGap, outcomes);
}
