//! A free length is long between its supports, and nobody says that vibration was looked at.

use std::collections::HashMap;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes, Severity};
use restrand_model::route::Route;

use crate::beyond::beyond;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::tendon_path::{DeviatorSpot, LaidTendon, external_or_said};

const LENGTH: LimitKey = LimitKey {
    name: "unsupported_length_m",
    meaning: "free length between supports above which vibration has to be looked at",
};

pub(crate) const RULE: Rule = Rule {
    id: "path/unsupported-length",
    summary: "each free length between supports against the length above which a note on vibration is asked",
    kinds: &[Kind::Margin],
    limits: &[LENGTH],
    sources: &[Citation::new("geometry of a polygon with arcs at its corners", Evidence::Derived)],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible"],
    page: include_str!("unsupported_length.md"),
    check: Check::Schedule(check),
};

/// A tendon whose longest free length is too long.
struct Long {
    mark: String,
    place: Route,
    longest: Free,
    /// How many of its free lengths are too long.
    count: usize,
}

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    // Tendons side by side run free between the same supports: that is said once.
    let mut groups: Vec<Vec<Long>> = Vec::new();
    let mut known: HashMap<[u64; 2], usize> = HashMap::new();
    for at in context.tendons() {
        let Some(long) = of_tendon(context, &at, outcomes) else { continue };
        let between = [long.longest.from_m, long.longest.to_m].map(f64::to_bits);
        let position = *known.entry(between).or_insert(groups.len());
        match groups.get_mut(position) {
            Some(group) => group.push(long),
            None => groups.push(vec![long]),
        }
    }
    for group in groups {
        outcomes.found(finding(context, &group));
    }
}

/// What is too long of a tendon; nothing where the outcome is told already.
fn of_tendon(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) -> Option<Long> {
    let laid = external_or_said(context, at, outcomes)?;
    let lengths = free_lengths(context, at, laid);
    let limit = context.limit(LENGTH);
    let longest =
        lengths.iter().copied().reduce(|one, other| if other.m > one.m { other } else { one });
    let Some(longest) = longest.filter(|longest| beyond(longest.m, limit.value)) else {
        outcomes.pass();
        return None;
    };
    if at.tendon.vibration_note.is_some() {
        outcomes.pass();
        return None;
    }
    if context.is_lost_at(&at.route.field("vibration_note")) {
        outcomes.not_evaluated("tendon.vibration_note");
        return None;
    }
    // A deviator that stands nobody knows where may hold it.
    let unknown = laid.deviators.iter().find_map(|spot| match spot {
        DeviatorSpot::Unknown(field) => Some(*field),
        _ => None,
    });
    if let Some(field) = unknown {
        outcomes.not_evaluated(field);
        return None;
    }
    Some(Long {
        mark: at.mark(),
        place: context.value_of(&at.route, "vibration_note"),
        longest,
        count: lengths.iter().filter(|length| beyond(length.m, limit.value)).count(),
    })
}

/// The finding of tendons that run free between the same stations, at the first of them; its numbers are those of the
/// longest.
fn finding(context: &Context<'_>, group: &[Long]) -> Finding {
    let limit = context.limit(LENGTH);
    let (first, others) = match group {
        [first, others @ ..] => (first, others),
        [] => unreachable!("a group begins with a tendon"),
    };
    let longest = group.iter().map(|long| long.longest.m).fold(first.longest.m, f64::max);
    let supports = (longest / limit.value * (1.0 - 1e-9)).floor();
    let message = match others.is_empty() {
        true => {
            "{tendon} runs free over {free_length_m} from station {from_m} to {to_m}, more than {unsupported_length_m}, and \
             no note on vibration is stated"
        }
        false => {
            "{tendon}, and likewise {other_tendons}, run free over {free_length_m} from station {from_m} to {to_m}, more \
             than {unsupported_length_m}, and no note on vibration is stated"
        }
    };
    let mut finding = Finding::new(RULE.id, Kind::Margin, first.place.clone(), message)
        .help(
            "A long free length may swing with the bridge: state the analysis or the measured frequency, or hold the \
             tendon in between, with what can be taken off",
        )
        .fact(Fact::text("tendon", first.mark.as_str()))
        .fact(Fact::computed("free_length_m", longest, 3))
        .fact(Fact::given("from_m", first.longest.from_m, 3))
        .fact(Fact::given("to_m", first.longest.to_m, 3))
        .fact(Fact::computed("long_lengths", first.count as f64, 0))
        .fact(Fact::computed("supports", supports, 0))
        .fact(limit.fact(LENGTH, 2))
        .fact(Fact::computed("ratio", longest / limit.value, 2))
        .remedy("State in vibration_note which frequency was found, and how far it is from the bridge's")
        .remedy("Hold this length at {supports} more places, evenly spaced");
    if !others.is_empty() {
        let marks: Vec<_> = others.iter().map(|long| long.mark.as_str()).collect();
        finding = finding.fact(Fact::text("other_tendons", marks.join(", ")));
    }
    for other in others {
        finding = finding.related(other.place.clone(), format!("the same of {}", other.mark));
    }
    // An owner's own length asks for the note too, and for no more.
    let severity = finding.severity.min(Severity::Warning);
    finding.severity(severity)
}

/// A free length, and the stations of the supports at its ends.
#[derive(Debug, Clone, Copy)]
struct Free {
    m: f64,
    from_m: f64,
    to_m: f64,
}

/// The lengths between ends, corners that a deviator or a place makes, and forms that are passed straight.
///
/// A corner that nothing makes holds nothing: the lengths at its sides are one.
fn free_lengths(context: &Context<'_>, at: &TendonAt<'_>, laid: &LaidTendon) -> Vec<Free> {
    let points = &at.tendon.points;
    let station_m = |point: usize| points[point].station_m.unwrap_or(0.0);
    let mut lengths = Vec::new();
    let mut open: Option<Free> = None;
    for (index, leg) in laid.path.legs.iter().enumerate() {
        let (from_m, to_m) = (station_m(index), station_m(index + 1));
        // Supports on the leg, as shares of it.
        let mut shares: Vec<f64> = laid
            .deviators
            .iter()
            .zip(&at.tendon.deviators)
            .filter(|(spot, _)| **spot == DeviatorSpot::OnLeg(index))
            .filter_map(|(_, deviator)| {
                let place_m = context.place(deviator.place.as_ref())?.record.station_m?;
                Some((place_m - from_m) / (to_m - from_m))
            })
            .filter(|share| (0.0..=1.0).contains(share))
            .collect();
        shares.sort_by(f64::total_cmp);
        shares.push(1.0);
        let mut done = 0.0;
        for share in shares {
            let end_m = from_m + share * (to_m - from_m);
            let length_m = leg.straight_m * (share - done);
            let so_far = open.take().unwrap_or(Free {
                m: 0.0,
                from_m: from_m + done * (to_m - from_m),
                to_m,
            });
            let free = Free { m: so_far.m + length_m, to_m: end_m, ..so_far };
            done = share;
            let is_corner = share >= 1.0 && index + 1 < laid.path.legs.len();
            let holds = !is_corner
                || laid.corners[index].deviator.is_some()
                || points[index + 1].place.is_some();
            if holds {
                lengths.push(free);
            } else {
                open = Some(Free { m: free.m + laid.path.bends[index].arc_m, ..free });
            }
        }
    }
    lengths
}
