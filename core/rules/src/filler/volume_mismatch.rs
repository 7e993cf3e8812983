//! The stated volume of filler is not what the tendon takes up.

use restrand_finding::{Citation, Class, Correction, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::{Filler, Status};

use super::inside;
use crate::context::{Context, TendonAt};
use crate::mended::by_fact;
use crate::rule::{Check, Corrects, LimitKey, Rule};

const TOLERANCE: LimitKey = LimitKey {
    name: "volume_tolerance",
    meaning: "share by which a stated volume of filler may differ from the room for it",
};

pub(crate) const RULE: Rule = Rule {
    id: "filler/volume-mismatch",
    summary: "stated volume of filler against the room in duct, trumpets and caps beside the steel",
    kinds: &[Kind::Inconsistent],
    limits: &[TOLERANCE],
    sources: &[Citation::new("geometry", Evidence::Derived)],
    correction: Corrects::Offers(&[Class::Recompute], offer),
    implied_by: &["duct/dimensions-inconsistent", "path/points-impossible"],
    page: include_str!("volume_mismatch.md"),
    check: Check::Tendons(check),
};

/// The room from cap to cap, where the stated volume is neither that nor the one with hoses and waste.
fn offer(context: &Context<'_>, offered: &mut Vec<Correction>) {
    const WHY: &str = "duct, trumpets and caps have room for {room_l} beside the steel, from dimensions as stated";
    for at in context.tendons() {
        let mend = (Class::Recompute, "room_l", WHY);
        offered.extend(by_fact(context, &at, check, mend, &[]));
    }
}

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    let tendon = at.tendon;
    if matches!(tendon.status, Some(Status::Removed | Status::Reserved)) {
        return outcomes.not_applicable("there is no tendon to fill");
    }
    if tendon.filler == Some(Filler::None) {
        return outcomes.not_applicable("the tendon has no filler");
    }
    let Some(fill) = tendon.fill.as_deref() else {
        return outcomes.not_applicable("no volume of filler is stated");
    };
    let Some(stated_l) = fill.volume_l else {
        return outcomes.not_applicable("no volume of filler is stated");
    };
    let inside = match inside::of(context, at) {
        Ok(inside) => inside,
        Err(field) => return outcomes.not_evaluated(field),
    };
    let tolerance = context.limit(TOLERANCE);
    let waste_l = fill.waste_volume_l.unwrap_or(0.0);
    // Whether a stated volume counts hoses and waste is for its author to say: both are right.
    let (least_l, most_l) = (inside.net_l, inside.net_l + waste_l);
    let slack = 1e-9 * most_l;
    if stated_l >= least_l * (1.0 - tolerance.value) - slack
        && stated_l <= most_l * (1.0 + tolerance.value) + slack
    {
        return outcomes.pass();
    }
    let expected_l = if stated_l < least_l { least_l } else { most_l };
    let help = if stated_l > most_l {
        "More filler than there is room for it fills something else: the annulus of a guide pipe or a form, which \
         then bonds what should come out. Correct the volume, or say what else is filled"
    } else {
        "With less filler than room there are voids: correct the volume, or the dimensions it was taken from"
    };
    let finding = Finding::new(
        RULE.id,
        Kind::Inconsistent,
        at.route.field("fill").field("volume_l"),
        "the filler of tendon {tendon} is stated as {volume_l}; beside the steel there is room for {room_l} from cap \
         to cap, and with waste and tolerance it may be from {least_volume_l} to {most_volume_l}",
    )
    .help(help)
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::given("volume_l", stated_l, 1))
    .fact(Fact::computed("room_l", inside.net_l, 1))
    .fact(Fact::computed("least_volume_l", least_l * (1.0 - tolerance.value), 1).at_least())
    .fact(Fact::computed("most_volume_l", most_l * (1.0 + tolerance.value), 1).at_most())
    .fact(Fact::given("waste_l", waste_l, 1))
    .fact(Fact::computed("length_m", inside.length_m, 3))
    .fact(Fact::computed("deviation", (stated_l - expected_l).abs() / expected_l, 4))
    .fact(tolerance.fact(TOLERANCE, 3))
    .remedy("State {room_l}, and what hoses and waste take apart from it");
    outcomes.found(finding);
}
