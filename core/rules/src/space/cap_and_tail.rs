//! A cap does not come off over plate and tails, or is shorter than the tails in it.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::{EndKind, Status};

use super::said;
use super::stub::MARGIN;
use super::tail_short::is_stressed_again;
use crate::beyond::{beyond, short_of};
use crate::context::{Context, EndAt, TendonAt};
use crate::ends::{CapBody, cap, clear_behind, head_rear_mm, radius_or_any};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const TAIL: LimitKey = LimitKey {
    name: "tail_least_mm",
    meaning: "least tail left behind the wedge plate by cutting",
};

pub(crate) const RULE: Rule = Rule {
    id: "space/cap-and-tail",
    summary: "the room in which each cap slides off over plate and tails, and the tails against the cap",
    kinds: &[Kind::Physical, Kind::Margin, Kind::Inconsistent],
    limits: &[MARGIN, TAIL],
    sources: &[Citation::new(
        "geometry of a cap that slides off along the axis",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("cap_and_tail.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.stays() {
        return outcomes.not_applicable("the tendon need not be replaceable");
    }
    if !matches!(at.tendon.status, None | Some(Status::InUse)) {
        return outcomes.not_applicable("the tendon is not in place");
    }
    for end in at.ends() {
        if end.end.kind == Some(EndKind::Embedded) {
            outcomes.not_applicable("the end is embedded");
            continue;
        }
        match judge(context, at, &end) {
            Ok(Judged::Pass) => outcomes.pass(),
            Ok(Judged::PourBack) => outcomes.not_applicable("a pour-back is broken out"),
            Ok(Judged::Found(finding)) => outcomes.found(*finding),
            Err(field) => outcomes.not_evaluated(field),
        }
    }
}

enum Judged {
    Pass,
    PourBack,
    Found(Box<Finding>),
}

fn judge(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
) -> Result<Judged, &'static str> {
    let parts = context.end_parts(end);
    let anchorage = context.anchorage(end.end);
    let Some(cap) = cap(anchorage.as_ref(), parts)? else { return Ok(Judged::PourBack) };
    let tail_mm = end.end.tail_mm.ok_or("end.tail_mm")?;
    let inside_mm = head_rear_mm(anchorage.map(|found| found.record), parts)? + tail_mm;
    if beyond(inside_mm, cap.rear_mm) {
        let too_long = too_long(context, at, end, &cap, inside_mm, tail_mm);
        return Ok(Judged::Found(Box::new(too_long)));
    }
    let limit = context.limit(MARGIN);
    let (bare_mm, needed_mm) = (cap.room_mm(inside_mm, 0.0)?, cap.room_mm(inside_mm, limit.value)?);
    let radius_mm = radius_or_any(context, at, end, cap.radius_mm, "part.rear_outer_mm")?;
    let clear = clear_behind(context, at, end, radius_mm)?;
    let kind = if short_of(clear.clear_mm, bare_mm) {
        Kind::Physical
    } else if short_of(clear.clear_mm, needed_mm) {
        Kind::Margin
    } else {
        return Ok(Judged::Pass);
    };
    let message = match kind {
        Kind::Physical => {
            "the cap at {end} of {tendon} does not come off: it takes {bare_mm} until it is past plate and tails, \
             and there are {behind_mm} behind the bearing plate"
        }
        _ => {
            "the cap at {end} of {tendon} comes off with {left_mm} left behind it, less than \
             {removal_margin_mm}: of {behind_mm} behind the bearing plate it takes {bare_mm}"
        }
    };
    let finding = Finding::new(
        RULE.id,
        kind,
        clear.clear().route(end, "behind_mm"),
        message,
    )
    .related(cap.route.clone(), "the cap")
    .related(end.route.field("tail_mm"), "the tails in it")
    .help("A cap is drawn back over the tails before it can be moved aside: nothing else at the end starts without that")
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("end", format!("end {}", end.name)))
    .fact(Fact::computed("cap_rear_mm", cap.rear_mm, 1))
    .fact(Fact::computed("inside_mm", inside_mm, 1))
    .fact(clear.clear().fact("behind_mm", 1))
    .fact(Fact::computed("bare_mm", bare_mm, 1))
    .fact(Fact::computed("left_mm", clear.clear_mm - bare_mm, 1))
    .fact(limit.fact(MARGIN, 0))
    .fact(Fact::computed("needed_mm", needed_mm, 1).at_least())
    .fact(Fact::computed("more_mm", needed_mm - clear.clear_mm, 1).at_least())
    .fact(Fact::computed("ratio", clear.clear_mm / needed_mm, 2));
    let by_room = "Make {more_mm} more room behind the bearing plate, {needed_mm} in all";
    let finding = said::remedy(finding, context, &clear, "cap", by_room);
    Ok(Judged::Found(Box::new(finding)))
}

/// What frees an end whose tails are longer than the cap.
enum Way {
    /// The tails are cut as short as the cap asks.
    Cut,
    /// A longer cap: cut to fit this one, the tails would be less than may be left of them.
    LongerCap,
    /// A longer cap, as the tails are kept to be stressed again, by a jack that needs more than the cap holds, mm;
    /// nothing where nobody states how much.
    KeptForStressing(Option<f64>),
}

impl Way {
    fn of(context: &Context<'_>, end: &EndAt<'_>, left_mm: f64, least_mm: f64) -> Self {
        if context.anchorage(end.end).is_some_and(|found| is_stressed_again(found.record)) {
            let needed_mm =
                context.jack(end.end.jack.as_ref()).and_then(|jack| jack.record.tail_mm);
            if needed_mm.is_none_or(|needed_mm| short_of(left_mm, needed_mm)) {
                return Self::KeptForStressing(needed_mm);
            }
        }
        if short_of(left_mm, least_mm) { Self::LongerCap } else { Self::Cut }
    }
}

fn too_long(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    cap: &CapBody,
    inside_mm: f64,
    tail_mm: f64,
) -> Finding {
    let limit = context.limit(TAIL);
    let over_mm = inside_mm - cap.rear_mm;
    // What this cap leaves of the tails; negative where it does not even hold the wedge plate.
    let left_mm = tail_mm - over_mm;
    let finding = Finding::new(
        RULE.id,
        Kind::Inconsistent,
        end.route.field("tail_mm"),
        "the tails at {end} of {tendon} reach to {inside_mm} behind the bearing plate, beyond the cap, which ends at \
         {cap_rear_mm}",
    )
    .related(cap.route.clone(), "the cap")
    .help("State the tail that is left behind the wedge plate under the cap, not the one that is stressed with")
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("end", format!("end {}", end.name)))
    .fact(Fact::computed("inside_mm", inside_mm, 1))
    .fact(Fact::computed("cap_rear_mm", cap.rear_mm, 1))
    .fact(Fact::computed("over_mm", over_mm, 1).at_least())
    .fact(Fact::computed("left_mm", left_mm, 1))
    .fact_of_remedy(limit.fact(TAIL, 1));
    match Way::of(context, end, left_mm, limit.value) {
        Way::Cut => finding.remedy("Cut the tails {over_mm} shorter"),
        Way::LongerCap if beyond(tail_mm, limit.value) => {
            finding.fact(Fact::computed("longer_mm", limit.value - left_mm, 1).at_least()).remedy(
                "Take a cap that is {longer_mm} longer, and its room, and cut the tails to {tail_least_mm}: shorter ones \
                 are not left behind the wedge plate",
            )
        }
        Way::LongerCap => finding.remedy(
            "Take a cap that is {over_mm} longer, and its room, or correct its length: the tails are too short to be \
             cut",
        ),
        Way::KeptForStressing(Some(needed_mm)) => {
            finding.fact(Fact::given("jack_tail_mm", needed_mm, 1)).remedy(
                "Take a cap that is {over_mm} longer, and its room: the tails are kept to be stressed again, and the jack \
                 needs {jack_tail_mm} of them",
            )
        }
        Way::KeptForStressing(None) => finding.remedy(
            "Take a cap that is {over_mm} longer, and its room: the tails are kept to be stressed again",
        ),
    }
}
