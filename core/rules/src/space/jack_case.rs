//! A jack in its three cases against the room behind the bearing plate: what the rules on them share.
//!
//! One jack at one end is said once: by a clash before a short margin, and of several by the first in time.

use restrand_finding::{Fact, Finding, Kind, Outcomes};
use restrand_mechanics::room::{JackCase, wall_gap_mm};
use restrand_model::schedule::{EndKind, Jack, JackKind, Status};

use super::said;
use crate::beyond::short_of;
use crate::context::{Context, EndAt, Found, TendonAt};
use crate::ends::{ClearBehind, JackBody, JackNeeds, clear_for_jack};
use crate::rule::LimitKey;
use crate::stressing::jack_too_weak::is_strong_enough;
pub(super) use crate::works::JACK_ROOM as ROOM;

pub(super) const SIDE: LimitKey =
    LimitKey { name: "jack_side_mm", meaning: "clear distance beside a jack" };

/// Why an end is not looked at.
pub(super) enum Skip {
    NotApplicable(&'static str),
    NotEvaluated(&'static str),
}

/// The jack that a new tendon will be stressed with at an end.
pub(super) fn jack_at<'a>(
    context: &Context<'a>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
) -> Result<Found<'a, Jack>, Skip> {
    if at.tendon.status == Some(Status::Removed) {
        return Err(Skip::NotApplicable("the tendon is removed"));
    }
    if at.stays() {
        return Err(Skip::NotApplicable("the tendon need not be replaceable"));
    }
    match (end.end.kind, &end.end.jack) {
        (Some(EndKind::Dead | EndKind::Embedded), _) => {
            Err(Skip::NotApplicable("the end is not stressed"))
        }
        (None, None) => Err(Skip::NotEvaluated("end.kind")),
        (_, jack) => context.jack(jack.as_ref()).ok_or(Skip::NotEvaluated("end.jack")),
    }
}

impl Skip {
    pub(super) fn say(self, outcomes: &mut Outcomes) {
        match self {
            Self::NotApplicable(reason) => outcomes.not_applicable(reason),
            Self::NotEvaluated(field) => outcomes.not_evaluated(field),
        }
    }
}

/// How a need fits a clear length.
fn short(clear_mm: f64, need_mm: f64, hand_mm: f64) -> Option<Kind> {
    if short_of(clear_mm, need_mm) {
        Some(Kind::Physical)
    } else if short_of(clear_mm, need_mm + hand_mm) {
        Some(Kind::Margin)
    } else {
        None
    }
}

/// Judges one case at the ends of a tendon.
pub(super) fn check(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    (rule, case): (&'static str, JackCase),
    outcomes: &mut Outcomes,
) {
    for end in at.ends() {
        let jack = match jack_at(context, at, &end) {
            Ok(jack) => jack,
            Err(skip) => {
                skip.say(outcomes);
                continue;
            }
        };
        match judge(context, at, &end, &jack, (rule, case)) {
            Ok(Judged::Pass) => outcomes.pass(),
            Ok(Judged::SaidElsewhere) => {
                outcomes.not_applicable("another case of the same jack is short, and says so");
            }
            Ok(Judged::Found(finding)) => outcomes.found(*finding),
            Err(field) => outcomes.not_evaluated(field),
        }
    }
}

enum Judged {
    Pass,
    SaidElsewhere,
    Found(Box<Finding>),
}

fn judge(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    jack: &Found<'_, Jack>,
    (rule, case): (&'static str, JackCase),
) -> Result<Judged, &'static str> {
    let needs = context.jack_needs(at, end)?;
    let clear = clear_for_jack(context, at, end, jack.record)?;
    let hand_mm = context.limit(ROOM).value;
    let mut cases = vec![(JackCase::Threading, needs.threading_mm)];
    if let Ok(stroke) = needs.stroke {
        cases.push((JackCase::Stressing, stroke.stressing_mm));
        cases.push((JackCase::TakingOff, stroke.taking_off_mm));
    }
    let Some((_, need_mm)) = cases.iter().copied().find(|(one, _)| *one == case) else {
        return needs.stroke.map(|_| Judged::Pass);
    };
    let Some(kind) = short(clear.clear_mm, need_mm, hand_mm) else { return Ok(Judged::Pass) };
    let is_short = |kind: Kind| {
        let cases = cases.iter();
        cases.filter(move |(_, need_mm)| short(clear.clear_mm, *need_mm, hand_mm) == Some(kind))
    };
    let worst = is_short(Kind::Physical).chain(is_short(Kind::Margin)).next();
    if worst.is_some_and(|(said, _)| *said != case) {
        return Ok(Judged::SaidElsewhere);
    }
    let case = Case { context, at, end, jack, needs, clear, case, need_mm, kind };
    Ok(Judged::Found(Box::new(case.finding(rule))))
}

/// One case that is short.
struct Case<'c, 'a> {
    context: &'c Context<'a>,
    at: &'c TendonAt<'c>,
    end: &'c EndAt<'c>,
    jack: &'c Found<'c, Jack>,
    needs: JackNeeds,
    clear: ClearBehind,
    case: JackCase,
    need_mm: f64,
    kind: Kind,
}

impl Case<'_, '_> {
    fn finding(&self, rule: &'static str) -> Finding {
        let (act, takes) = match self.case {
            JackCase::Threading => {
                ("threaded on", "the tail of {jack_tail_mm} and the jack take {bare_mm}")
            }
            JackCase::Stressing => {
                ("brought to its full stroke", "jack, stroke and tail take {bare_mm}")
            }
            JackCase::TakingOff => {
                ("taken off", "the tail, grown by {grown_mm}, and the jack take {bare_mm}")
            }
        };
        let message = match self.kind {
            Kind::Physical => format!(
                "jack {{jack}} cannot be {act} at {{end}} of {{tendon}}: {takes} from the bearing plate, and \
                 there are {{behind_mm}} behind it"
            ),
            _ => format!(
                "jack {{jack}} at {{end}} of {{tendon}} can be {act} only with {{left_mm}} left for hands and \
                 hoses, less than {{jack_room_mm}}: {takes} from the bearing plate, of {{behind_mm}} behind it"
            ),
        };
        let limit = self.context.limit(ROOM);
        let clear_mm = self.clear.clear_mm;
        let all_mm = self.needs.most_mm() + limit.value;
        let mut finding = Finding::new(
            rule,
            self.kind,
            self.clear.clear().route(self.end, "behind_mm"),
            message,
        )
        .related(self.jack.route.field("retracted_mm"), "the jack's length")
        .help(
            "A jack goes on and off along the axis, over the whole tail: bring a shorter one that is listed for the \
             anchorage, or make the room",
        )
        .fact(Fact::text("tendon", self.at.mark()))
        .fact(Fact::text("end", format!("end {}", self.end.name)))
        .fact(Fact::text("jack", self.jack.record.id.as_deref().unwrap_or("without a name")))
        .fact(self.clear.clear().fact("behind_mm", 1))
        .fact(Fact::computed("bare_mm", self.need_mm, 1))
        .fact(Fact::computed("left_mm", clear_mm - self.need_mm, 1))
        .fact(Fact::computed("needed_mm", self.need_mm + limit.value, 1))
        .fact(Fact::computed("head_rear_mm", self.needs.head_rear_mm, 1))
        .fact(Fact::given("jack_tail_mm", self.needs.tail_mm, 1))
        .fact(Fact::given("retracted_mm", self.needs.retracted_mm, 1));
        if let Ok(stroke) = self.needs.stroke {
            finding = finding
                .fact(Fact::computed("stroke_mm", stroke.stroke_mm, 1))
                .fact(Fact::computed("drawn_out_mm", stroke.drawn_mm, 1))
                .fact(Fact::computed("grown_mm", stroke.grown_mm, 1));
        }
        finding = finding
            .fact(limit.fact(ROOM, 0))
            .fact(Fact::computed("ratio", clear_mm / (self.need_mm + limit.value), 2))
            .fact(Fact::computed("in_all_mm", all_mm, 1).at_least())
            .fact(Fact::computed("more_mm", all_mm - clear_mm, 1).at_least());
        if let Some((name, need_mm)) =
            another_listed(self.context, self.at, self.end, self.jack, &|_| true)
        {
            finding = finding
                .fact(Fact::text("other_jack", name))
                .fact(Fact::computed("other_needed_mm", need_mm + limit.value, 1).at_least())
                .remedy(
                    "Take jack {other_jack}, listed for this anchorage, which needs {other_needed_mm} in all its cases",
                );
        }
        let by_room = if self.needs.stroke.is_ok() {
            "Make {more_mm} more room behind the bearing plate, {in_all_mm} in all: that is enough to thread the jack on, \
             to stress and to take it off"
        } else {
            "Make {more_mm} more room behind the bearing plate, {in_all_mm} in all, to thread the jack on; to take it off \
             takes as much more as the tail grows, which is not known"
        };
        said::remedy(finding, self.context, &self.clear, "jack", by_room)
    }
}

/// Another jack listed for the anchorage that fits in all its cases, is strong enough and takes the strands, with what
/// it needs without hand room: of several the one that needs least, of those for which `also` holds. A jack that pulls
/// one strand is never offered.
pub(super) fn another_listed(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    jack: &Found<'_, Jack>,
    also: &dyn Fn(&JackBody) -> bool,
) -> Option<(String, f64)> {
    let anchorage = context.anchorage(end.end)?.record;
    let hand_mm = context.limit(ROOM).value;
    let side_mm = context.limit(SIDE).value;
    let fitting = anchorage.jacks.iter().filter_map(|link| {
        let other = context.jack(Some(link))?;
        let strands = &other.record.strand_counts;
        let takes = strands.is_empty()
            || at.tendon.strand_count.is_some_and(|count| strands.contains(&count));
        if other.route == jack.route
            || other.record.kind != Some(JackKind::MultiStrand)
            || !takes
            || is_strong_enough(context, at, other.record) != Some(true)
        {
            return None;
        }
        let needs = JackNeeds::of(context, at, end, other.record).ok()?;
        needs.stroke.ok()?;
        let clear = clear_for_jack(context, at, end, other.record).ok()?;
        let need_mm = needs.most_mm();
        let body = JackBody::of(other.record, Some(anchorage)).ok()?;
        let is_beside = context.room(at, end).sides.iter().all(|side| {
            side.clear_mm().is_none_or(|clear_mm| {
                wall_gap_mm(&body.envelope(), side.side, clear_mm)
                    .is_ok_and(|gap_mm| !short_of(gap_mm, side_mm))
            })
        });
        (is_beside && short(clear.clear_mm, need_mm, hand_mm).is_none() && also(&body))
            .then(|| (link.key().to_owned(), need_mm))
    });
    fitting.min_by(|one, other| one.1.total_cmp(&other.1))
}
