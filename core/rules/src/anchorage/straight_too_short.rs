//! The tendon bends within the stub that is to be drawn out, or too near to its anchorage.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::EndName;

use crate::beyond::{beyond, short_of};
use crate::context::{Context, EndAt, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::tendon_path::{RadiusFrom, or_said};
use crate::works;

const TANGENT: LimitKey = LimitKey {
    name: "tangent_anchorage_m",
    meaning: "straight length of a tendon from its anchorage",
};

const LENGTH: LimitKey = LimitKey {
    name: "length_tolerance_mm",
    meaning: "by how much a stated length may differ in any case",
};

pub(crate) const RULE: Rule = Rule {
    id: "anchorage/straight-too-short",
    summary: "the straight length from each anchorage against the stub drawn out there, the code's tangent, and what the end states",
    kinds: &[Kind::Physical, Kind::Margin, Kind::Inconsistent],
    limits: &[TANGENT, LENGTH],
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
        let corner = match end.name {
            EndName::A => laid.corners.first(),
            EndName::B => laid.corners.last(),
        };
        // Where nobody says how round the bend is, it begins somewhere before its corner.
        let is_sharp = corner.is_some_and(|corner| corner.radius == RadiusFrom::Nothing);
        stated(context, at, &end, (leg.straight_m, is_sharp), outcomes);
    }
}

/// The straight length that an end states, against that of its points.
fn stated(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    (straight_m, is_sharp): (f64, bool),
    outcomes: &mut Outcomes,
) {
    let Some(stated_m) = end.end.straight_length_m else { return };
    let limit = context.limit(LENGTH);
    let difference_mm = (stated_m - straight_m) * 1000.0;
    if !beyond(difference_mm.abs(), limit.value) {
        return outcomes.pass();
    }
    if is_sharp && difference_mm < 0.0 {
        return outcomes.not_evaluated("tendon_point.radius_m");
    }
    let more_or_less = if difference_mm > 0.0 { "more" } else { "less" };
    outcomes.found(
        Finding::new(
            RULE.id,
            Kind::Inconsistent,
            end.route.field("straight_length_m"),
            format!(
                "{{end}} of {{tendon}} is stated to be straight over {{stated_m}}, {{difference_mm}} {more_or_less} than its \
                 points and radii make: {{straight_m}}"
            ),
        )
        .related(at.route.field("points"), "the points between which it runs")
        .help("The stub that is drawn out there has to be straight: correct the length, or the point or radius that is wrong")
        .fact(Fact::text("end", format!("end {}", end.name)))
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::given("stated_m", stated_m, 3))
        .fact(Fact::computed("straight_m", straight_m, 3))
        .fact(Fact::computed("difference_mm", difference_mm.abs(), 0))
        .fact(Fact::computed("ratio", difference_mm.abs() / limit.value, 2))
        .fact(limit.fact(LENGTH, 0))
        .remedy("State {straight_m}"),
    );
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
