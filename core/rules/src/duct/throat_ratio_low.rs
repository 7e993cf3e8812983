//! Somewhere on the strands' way the bore is too small for their number.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::duct::{area_ratio, least_inner_mm};
use restrand_model::route::Route;
use restrand_model::schedule::{Role, Status};

use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const THROAT: LimitKey = LimitKey {
    name: "throat_ratio",
    meaning: "least ratio of bore area to steel area at trumpets and joints",
};

pub(crate) const RULE: Rule = Rule {
    id: "duct/throat-ratio-low",
    summary: "bore area over steel area at the narrowest of trumpets and joints on the strands' way",
    kinds: &[Kind::Margin],
    limits: &[THROAT],
    sources: &[Citation::new("FP-96 (US Federal Lands Highway), section 553(a)", Evidence::Read)],
    correction: Corrects::Nothing,
    implied_by: &["duct/area-ratio-low"],
    page: include_str!("throat_ratio_low.md"),
    check: Check::Tendons(check),
};

/// A bore that the strands pass, besides the duct's own.
struct Bore {
    inner_mm: f64,
    what: String,
    route: Route,
}

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    let tendon = at.tendon;
    if tendon.status == Some(Status::Removed) {
        return outcomes.not_applicable("the tendon is removed");
    }
    let bores = bores(context, at);
    let Some(narrowest) = bores.iter().min_by(|a, b| a.inner_mm.total_cmp(&b.inner_mm)) else {
        return outcomes.not_applicable("no bore of a trumpet or a joint is stated");
    };
    let count = match tendon.strand_count {
        Some(count @ 1..) => count,
        _ if tendon.status == Some(Status::Reserved) => {
            return outcomes.not_applicable("the tendon is reserved and has no strands");
        }
        _ => return outcomes.not_evaluated("tendon.strand_count"),
    };
    let Some(area_mm2) = context.strand(tendon).and_then(|found| found.record.area_mm2) else {
        return outcomes.not_evaluated("strand.area_mm2");
    };
    let Ok(ratio) = area_ratio(narrowest.inner_mm, count, area_mm2) else {
        return outcomes.not_evaluated("part.span_inner_mm");
    };
    let limit = context.limit(THROAT);
    // A ratio of decimal fractions is not exact.
    if ratio >= limit.value * (1.0 - 1e-9) {
        return outcomes.pass();
    }
    let mut finding = Finding::new(
        RULE.id,
        Kind::Margin,
        narrowest.route.clone(),
        "on the way of the {strands} strands of tendon {tendon} {what} has a bore of {inner_mm}: {throat_ratio_there} \
         times the area of the strands, less than {throat_ratio}",
    )
    .related(at.route.clone(), "the tendon")
    .help(
        "Strands gather in a trumpet and jam at a joint's bead before they jam in the duct: choose a wider \
         trumpet or joint, or fewer strands",
    )
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("what", narrowest.what.clone()))
    .fact(Fact::given("strands", f64::from(count), 0))
    .fact(Fact::given("inner_mm", narrowest.inner_mm, 2))
    .fact(Fact::computed("throat_ratio_there", ratio, 3))
    .fact(limit.fact(THROAT, 2));
    if let Ok(least_mm) = least_inner_mm(limit.value, count, area_mm2) {
        finding = finding.fact(Fact::computed("least_inner_mm", least_mm, 2).at_least()).remedy(
            "A bore of {least_inner_mm} there is enough; of a tested anchorage ask its supplier",
        );
    }
    outcomes.found(finding);
}

/// Narrow ends of the trumpets that hold the strands, and the insides of joints.
fn bores(context: &Context<'_>, at: &TendonAt<'_>) -> Vec<Bore> {
    let mut bores = Vec::new();
    for end in at.ends() {
        let parts = context.end_parts(&end);
        // Where there is an inner trumpet the strands never touch the outer one.
        let role = [Role::InnerTrumpet, Role::OuterTrumpet]
            .into_iter()
            .find(|role| parts.iter().any(|part| part.part.role == Some(*role)));
        for part in parts.iter().filter(|part| part.part.role.is_some() && part.part.role == role) {
            let ends = [
                ("span_inner_mm", part.part.span_inner_mm),
                ("rear_inner_mm", part.part.rear_inner_mm),
            ];
            let narrow = ends
                .into_iter()
                .filter_map(|(field, inner)| Some((field, inner?)))
                .min_by(|a, b| a.1.total_cmp(&b.1));
            if let Some((field, inner_mm)) = narrow {
                bores.push(Bore {
                    inner_mm,
                    what: format!("the trumpet at end {}", end.name),
                    route: context.value_of(&part.route, field),
                });
            }
        }
    }
    let joints = at.route.field("duct_joints");
    for (index, joint) in at.tendon.duct_joints.iter().enumerate() {
        if let Some(inner_mm) = joint.inner_mm {
            bores.push(Bore {
                inner_mm,
                what: "a joint of the duct".to_owned(),
                route: joints.item(index).field("inner_mm"),
            });
        }
    }
    bores
}
