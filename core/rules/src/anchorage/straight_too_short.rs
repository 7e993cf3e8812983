//! The tendon bends within the stub that is to be drawn out, or too near to its anchorage.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::EndName;

use crate::beyond::short_of;
use crate::context::{Context, EndAt, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::tendon_path::or_said;
use crate::works;

const TANGENT: LimitKey = LimitKey {
    name: "tangent_anchorage_m",
    meaning: "straight length of a tendon from its anchorage",
};

pub(crate) const RULE: Rule = Rule {
    id: "anchorage/straight-too-short",
    summary: "the straight length from each anchorage against the stub drawn out there, and against the code's tangent",
    kinds: &[Kind::Physical, Kind::Margin],
    limits: &[TANGENT],
    sources: &[Citation::new(
        "a stub leaves as one rigid bar along the anchorage's axis",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible"],
    page: include_str!("straight_too_short.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    let Some(laid) = or_said(context, at, outcomes) else { return };
    for end in at.ends() {
        let leg = match end.name {
            EndName::A => laid.path.legs.first(),
            EndName::B => laid.path.legs.last(),
        };
        let Some(leg) = leg else {
            outcomes.not_evaluated("tendon.points");
            continue;
        };
        of_end(context, at, &end, leg.straight_m, outcomes);
    }
}

fn of_end(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    straight_m: f64,
    outcomes: &mut Outcomes,
) {
    let facts = |finding: Finding| {
        finding
            .fact(Fact::text("end", format!("end {}", end.name)))
            .fact(Fact::text("tendon", at.mark()))
            .fact(Fact::computed("straight_m", straight_m, 3))
            .related(at.route.field("points"), "the points between which it runs")
    };
    // A stub whose room is not known is as long all the same, and one of which no parts are known is cut where that is
    // said.
    let stub = works::stub_cut_mm(context, end).map(|cut_mm| -cut_mm / 1000.0);
    if let Ok(stub_m) = stub
        && !at.stays()
        && short_of(straight_m, stub_m)
    {
        let finding = facts(
            Finding::new(
                RULE.id,
                Kind::Physical,
                context.value_of(&end.route, "stub_cut_mm"),
                "the stub at {end} of {tendon} is drawn out over {stub_m} from the bearing plate, but the tendon is straight over \
                 {straight_m} only: a bent bar jams in the bores",
            )
            .help("Cut the stub before the bend, or move the bend further from the anchorage"),
        )
        .fact(Fact::computed("stub_m", stub_m, 3))
        .fact(Fact::computed("ratio", straight_m / stub_m, 2))
        .fact(Fact::computed("cut_at_mm", -straight_m * 1000.0, 0));
        // Nobody saws inside what is cast in.
        outcomes.found(match works::mouth_mm(context, end) {
            Some((mouth_mm, mouth)) if mouth_mm < -straight_m * 1000.0 => finding
                .fact(Fact::text("mouth", mouth))
                .fact(Fact::computed("mouth_mm", mouth_mm, 0))
                .remedy(
                    "Move the bend further into the span than {mouth_mm} on the anchorage's axis, to where {mouth} reaches: a cut \
                     before the bend would lie inside it",
                ),
            _ => finding.remedy(
                "Cut nearer to the plate than {cut_at_mm} on the anchorage's axis, where the bend begins",
            ),
        });
        return;
    }
    let limit = context.limit(TANGENT);
    if short_of(straight_m, limit.value) {
        outcomes.found(
            facts(
                Finding::new(
                    RULE.id,
                    Kind::Margin,
                    end.route.clone(),
                    "{tendon} runs straight over {straight_m} from {end}, less than {tangent_anchorage_m}",
                )
                .help("Strands fan out behind the wedge plate and must reach it in line: move the bend further away"),
            )
            .fact(limit.fact(TANGENT, 2))
            .fact(Fact::computed("ratio", straight_m / limit.value, 2)),
        );
        return;
    }
    match stub {
        Err(field) if !at.stays() => outcomes.not_evaluated(field),
        _ => outcomes.pass(),
    }
}
