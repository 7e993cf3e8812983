//! What fits behind an end as drawn does not fit once the joint there has closed.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::removal::{Stub, least_behind_for_any_mm, least_behind_mm};
use restrand_model::schedule::{EndKind, Place, PlaceKind, Status};

use super::jack_case::{ROOM, jack_at};
use super::said;
use super::stub::{self, MARGIN};
use crate::beyond::short_of;
use crate::context::{Context, EndAt, Found, TendonAt};
use crate::ends::{cap, clear_for_jack, head_rear_mm};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "space/movement-eats-room",
    summary: "the room behind each end at a joint once the joint has closed, against what cap, stub and jack need",
    kinds: &[Kind::Physical, Kind::Margin],
    limits: &[MARGIN, ROOM],
    sources: &[Citation::new(
        "geometry: the least room over the movement of the joint",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("movement_eats_room.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.stays() {
        return outcomes.not_applicable("the tendon need not be replaceable");
    }
    if at.tendon.status == Some(Status::Removed) {
        return outcomes.not_applicable("the tendon is removed");
    }
    for end in at.ends() {
        if end.end.kind == Some(EndKind::Embedded) {
            outcomes.not_applicable("the end is embedded");
            continue;
        }
        let Some(place) = context.place(end.end.place.as_ref()) else {
            outcomes.not_evaluated("end.place");
            continue;
        };
        let closing_mm = match (place.record.joint_closing_mm, place.record.kind) {
            (Some(closing_mm), _) if closing_mm > 0.0 => closing_mm,
            (Some(_), _) => {
                outcomes.pass();
                continue;
            }
            (None, Some(PlaceKind::ExpansionJoint | PlaceKind::Abutment) | None) => {
                outcomes.not_evaluated("place.joint_closing_mm");
                continue;
            }
            (None, Some(_)) => {
                outcomes.not_applicable("there is no joint at the place");
                continue;
            }
        };
        match judge(context, at, &end, &place, closing_mm) {
            Ok(None) => outcomes.pass(),
            Ok(Some(finding)) => outcomes.found(*finding),
            Err(field) => outcomes.not_evaluated(field),
        }
    }
}

/// What is needed behind the bearing plate.
struct Need {
    what: &'static str,
    /// With every allowance zero, mm.
    bare_mm: f64,
    /// With allowances, mm.
    whole_mm: f64,
}

impl Need {
    /// What must be there so that it does not clash, or is not near either.
    const fn of(&self, kind: Kind) -> f64 {
        match kind {
            Kind::Physical => self.bare_mm,
            _ => self.whole_mm,
        }
    }
}

fn judge(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    place: &Found<'_, Place>,
    closing_mm: f64,
) -> Result<Option<Box<Finding>>, &'static str> {
    let behind = context.room(at, end).behind()?;
    let behind_mm = behind.mm;
    let least_mm = (behind_mm - closing_mm).max(0.0);
    let mut unknown = None;
    let mut worst: Option<(Need, Kind)> = None;
    // What is done about the worst is to leave room for all.
    let (mut most_closing_mm, mut more_mm) = (f64::INFINITY, 0.0_f64);
    for need in
        [cap_need(context, at, end), stub_need(context, at, end), jack_need(context, at, end)]
    {
        let need = match need {
            Ok(Some(need)) => need,
            Ok(None) => continue,
            Err(field) => {
                unknown.get_or_insert(field);
                continue;
            }
        };
        if !short_of(behind_mm, need.bare_mm) {
            // Where it is near as drawn, a warmer day takes no more than that away.
            let is_near = short_of(behind_mm, need.whole_mm);
            let most_mm = if is_near { need.bare_mm } else { need.whole_mm };
            most_closing_mm = most_closing_mm.min(behind_mm - most_mm);
            more_mm = more_mm.max(need.whole_mm - least_mm);
        }
        let kind = if short_of(least_mm, need.bare_mm) { Kind::Physical } else { Kind::Margin };
        // What does not fit as drawn is said by the rule on it; what is only near then may clash once the joint has closed.
        let is_said = short_of(behind_mm, need.of(kind));
        if is_said || !short_of(least_mm, need.whole_mm) {
            continue;
        }
        let is_worse = |(so_far, so_far_kind): &(Need, Kind)| {
            (kind == Kind::Physical, need.of(kind))
                > (*so_far_kind == Kind::Physical, so_far.of(*so_far_kind))
        };
        if worst.as_ref().is_none_or(is_worse) {
            worst = Some((need, kind));
        }
    }
    let Some((need, kind)) = worst else {
        return unknown.map_or(Ok(None), Err);
    };
    let message = match kind {
        Kind::Physical => format!(
            "once the joint at {{place}} has closed by {{closing_mm}}, {{least_mm}} of the {{behind_mm}} are left \
             behind {{end}} of {{tendon}}, and {} takes {{bare_mm}}",
            need.what
        ),
        _ => format!(
            "once the joint at {{place}} has closed by {{closing_mm}}, {{least_mm}} of the {{behind_mm}} are left \
             behind {{end}} of {{tendon}}, and {} needs {{whole_mm}} with what is to be left free",
            need.what
        ),
    };
    let finding = Finding::new(
        RULE.id,
        kind,
        behind.route(end, "behind_mm"),
        message,
    )
    .related(place.route.field("joint_closing_mm"), "the movement of the joint")
    .help(
        "The work may fall on a hot day: room is what is left at the joint's least opening, or the work is tied to a \
         temperature",
    )
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("end", format!("end {}", end.name)))
    .fact(Fact::text("place", place.record.id.as_deref().unwrap_or("the place")))
    .fact(behind.fact("behind_mm", 1))
    .fact(Fact::given("closing_mm", closing_mm, 1))
    .fact(Fact::computed("least_mm", least_mm, 1))
    .fact(Fact::computed("bare_mm", need.bare_mm, 1))
    .fact(Fact::computed("whole_mm", need.whole_mm, 1))
    .fact(Fact::computed("more_mm", more_mm, 1).at_least())
    .fact(Fact::computed("most_closing_mm", most_closing_mm, 1).at_most())
    .fact(context.limit(MARGIN).fact(MARGIN, 0))
    .fact(context.limit(ROOM).fact(ROOM, 0))
    .remedy("Do the work while the joint has closed by no more than {most_closing_mm}, and say so in the plan")
    .remedy("Make {more_mm} more room behind the bearing plate");
    Ok(Some(Box::new(said::of_bay(finding, context, behind))))
}

fn is_in_place(at: &TendonAt<'_>) -> bool {
    matches!(at.tendon.status, None | Some(Status::InUse))
}

fn cap_need(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
) -> Result<Option<Need>, &'static str> {
    if !is_in_place(at) {
        return Ok(None);
    }
    let parts = context.end_parts(end);
    let anchorage = context.anchorage(end.end);
    let Some(cap) = cap(anchorage.as_ref(), parts)? else { return Ok(None) };
    let tail_mm = end.end.tail_mm.ok_or("end.tail_mm")?;
    let inside_mm = head_rear_mm(anchorage.map(|found| found.record), parts)? + tail_mm;
    Ok(Some(Need {
        what: "the cap",
        bare_mm: cap.room_mm(inside_mm, 0.0)?,
        whole_mm: cap.room_mm(inside_mm, context.limit(MARGIN).value)?,
    }))
}

fn stub_need(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
) -> Result<Option<Need>, &'static str> {
    if !is_in_place(at) {
        return Ok(None);
    }
    let (geometry, stub) = stub::of(context, at, end)?;
    // In the pulls that are planned, or else in any number of them.
    let least = |stub: &Stub| match end.end.stub_pulls {
        Some(pulls) if pulls > 0 => least_behind_mm(stub, pulls),
        _ => least_behind_for_any_mm(stub),
    };
    let least = |stub: &Stub| least(stub).map_err(|_| "end.stub_cut_mm");
    Ok(Some(Need {
        what: "the stub",
        bare_mm: least(&stub::bare(&geometry, stub.behind_mm))?,
        whole_mm: least(&stub)?,
    }))
}

fn jack_need(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
) -> Result<Option<Need>, &'static str> {
    let Ok(jack) = jack_at(context, at, end) else { return Ok(None) };
    // An obstacle moves with its own side of the joint, which nobody states.
    if clear_for_jack(context, at, end, jack.record)?.obstacle.is_some() {
        return Ok(None);
    }
    let needs = context.jack_needs(at, end)?;
    needs.stroke?;
    let bare_mm = needs.most_mm();
    Ok(Some(Need { what: "the jack", bare_mm, whole_mm: bare_mm + context.limit(ROOM).value }))
}
