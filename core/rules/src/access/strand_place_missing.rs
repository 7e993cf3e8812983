//! Nowhere is there room for what brings new strands in.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes, Severity};
use restrand_model::schedule::Stage;

use super::is_worked_on;
use crate::beyond::short_of;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const ROOM: LimitKey = LimitKey {
    name: "strand_room_least_mm",
    meaning: "room behind an anchorage for a strand pusher, winch or dispenser",
};

pub(crate) const RULE: Rule = Rule {
    id: "access/strand-place-missing",
    summary: "room for dispenser, pusher or winch behind one of a tendon's ends",
    kinds: &[Kind::Margin, Kind::Missing],
    limits: &[ROOM],
    sources: &[Citation::new(
        "common practice, no source: strands come in from one end at least",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("strand_place_missing.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if !is_worked_on(at) {
        return outcomes.not_applicable("no new tendon comes in");
    }
    if context.stage_of(at.tendon) < Stage::ShopDrawing {
        return outcomes.not_applicable("the tendon is at tender");
    }
    let rooms: Vec<_> =
        at.ends().filter_map(|end| Some((end.end.strand_equipment_room_mm?, end))).collect();
    let widest = rooms.into_iter().max_by(|(one, _), (other, _)| one.total_cmp(other));
    let Some((room_mm, end)) = widest else {
        let lost =
            at.ends().any(|end| context.is_lost_at(&end.route.field("strand_equipment_room_mm")));
        if lost {
            return outcomes.not_evaluated("end.strand_equipment_room_mm");
        }
        outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Missing,
                at.route.field("ends"),
                "at neither end of {tendon} is room stated for dispenser, pusher or winch",
            )
            .severity(Severity::Note)
            .help("State the room behind the end from which strands come in (strand_equipment_room_mm)")
            .fact(Fact::text("tendon", at.mark())),
        );
        return;
    };
    let limit = context.limit(ROOM);
    if !short_of(room_mm, limit.value) {
        return outcomes.pass();
    }
    outcomes.found(
        Finding::new(
            RULE.id,
            Kind::Margin,
            end.route.field("strand_equipment_room_mm"),
            "the most room for dispenser, pusher or winch at {tendon} is {room_mm} behind {end}, less than {strand_room_least_mm}",
        )
        .help("Bring strands in through an opening in line with the tendon, or with smaller gear: no stated end has more room")
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::text("end", format!("end {}", end.name)))
        .fact(Fact::given("room_mm", room_mm, 0))
        .fact(limit.fact(ROOM, 0))
        .fact(Fact::computed("ratio", room_mm / limit.value, 2)),
    );
}
