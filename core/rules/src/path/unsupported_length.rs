//! A free length is long between its supports, and nobody says that vibration was looked at.

use std::collections::HashMap;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes, Severity};
use restrand_mechanics::vibration::frequency_hz;
use restrand_model::route::Route;
use restrand_model::schedule::FormKind;

use crate::beyond::beyond;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::tendon_path::{DeviatorSpot, LaidTendon, external_or_said};
use crate::works::{Along, mass_over, stressed};

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
    /// How the longest swings, where that is known.
    swing: Option<Swing>,
}

/// How a free length swings as a taut string.
#[derive(Debug, Clone, Copy)]
struct Swing {
    frequency_hz: f64,
    /// The force in its middle, after seating.
    force_kn: f64,
    mass_kg_per_m: f64,
}

impl Swing {
    /// Nothing where force or mass do not follow from the schedule: the note is asked all the same.
    fn of(context: &Context<'_>, at: &TendonAt<'_>, free: &Free) -> Option<Self> {
        let along = Along::of(context, at).ok()?;
        let middle_m = f64::midpoint(along.at_m(free.from_m), along.at_m(free.to_m));
        let force_kn = stressed(context, at, None).ok()?.force_kn_at(middle_m);
        let mass_kg_per_m = mass_over(context, at, [free.from_m, free.to_m]).ok()?.mean_kg_per_m;
        let frequency_hz = frequency_hz(free.m, force_kn, mass_kg_per_m).ok()?;
        Some(Self { frequency_hz, force_kn, mass_kg_per_m })
    }
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
        swing: Swing::of(context, at, &longest),
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
;
    finding = noted(context, first, finding).remedy(match supports > 1.0 {
        true => "Hold this length at {supports} more places, evenly spaced",
        false => "Hold this length at its middle too",
    });
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

/// Asks for the note, with how the free length of the first tendon swings by the stated data.
fn noted(context: &Context<'_>, first: &Long, finding: Finding) -> Finding {
    let Some(swing) = first.swing else {
        return finding.remedy(
            "State in vibration_note which frequency was found, and how far it is from the bridge's",
        );
    };
    let finding = finding
        .fact(Fact::computed("string_frequency_hz", swing.frequency_hz, 2))
        .fact(Fact::computed("middle_force_kn", swing.force_kn, 0))
        .fact(Fact::computed("mass_kg_per_m", swing.mass_kg_per_m, 1));
    let project = context.schedule.project.as_deref();
    match project.and_then(|project| project.first_frequency_hz) {
        None => finding.remedy(
            "State in vibration_note which frequency was found, and how far it is from the bridge's: by the stated data a \
             taut string of {mass_kg_per_m} under {middle_force_kn} swings with {string_frequency_hz}",
        ),
        Some(bridge_hz) => finding
            .related(Route::root().field("project").field("first_frequency_hz"), "the bridge's")
            .fact(Fact::given("bridge_frequency_hz", bridge_hz, 2))
            .fact(Fact::computed("frequency_ratio", swing.frequency_hz / bridge_hz, 2))
            .remedy(
                "State in vibration_note which frequency was found, and how far it is from the bridge's: by the stated data \
                 a taut string of {mass_kg_per_m} under {middle_force_kn} swings with {string_frequency_hz}, \
                 {frequency_ratio} times the {bridge_frequency_hz} of the bridge",
            ),
    }
}

/// A free length, and the stations of the supports at its ends.
#[derive(Debug, Clone, Copy)]
struct Free {
    m: f64,
    from_m: f64,
    to_m: f64,
}

/// What holds the tendon on a leg that passes it straight, as shares of the leg: from its one end to the other.
fn support(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    deviator: usize,
    [from_m, to_m]: [f64; 2],
) -> Option<[f64; 2]> {
    let place = at.tendon.deviators[deviator].place.as_ref();
    let place_m = context.place(place)?.record.station_m?;
    let form = context.form_at(at, deviator);
    // A sleeve or a pipe holds it over all its length. A flared form that is passed straight is met in its throat alone.
    let half_m = form
        .and_then(|form| match form.kind? {
            FormKind::StraightSleeve | FormKind::BentPipe => form.length_mm,
            FormKind::Flared => form.throat_length_mm,
        })
        .map_or(0.0, |length_mm| length_mm / 2.0 / 1000.0);
    let share = |station_m: f64| (station_m - from_m) / (to_m - from_m);
    let held = [share(place_m - half_m), share(place_m + half_m)];
    (0.0..=1.0).contains(&share(place_m)).then_some(held.map(|share| share.clamp(0.0, 1.0)))
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
        let mut held: Vec<[f64; 2]> = laid
            .deviators
            .iter()
            .enumerate()
            .filter(|(_, spot)| **spot == DeviatorSpot::OnLeg(index))
            .filter_map(|(deviator, _)| support(context, at, deviator, [from_m, to_m]))
            .collect();
        held.sort_by(|one, other| one[0].total_cmp(&other[0]));
        let at_m = |share: f64| from_m + share * (to_m - from_m);
        let from = |share: f64| Free { m: 0.0, from_m: at_m(share), to_m };
        let to = |free: Free, done: f64, share: f64| Free {
            m: free.m + leg.straight_m * (share - done).max(0.0),
            to_m: at_m(share),
            ..free
        };
        let mut done = 0.0;
        for [begin, end] in held {
            lengths.push(to(open.take().unwrap_or(from(done)), done, begin));
            done = end.max(done);
        }
        let free = to(open.take().unwrap_or(from(done)), done, 1.0);
        let is_corner = index + 1 < laid.path.legs.len();
        let holds = !is_corner
            || laid.corners[index].deviator.is_some()
            || points[index + 1].place.is_some();
        match holds {
            true => lengths.push(free),
            false => open = Some(Free { m: free.m + laid.path.bends[index].arc_m, ..free }),
        }
    }
    lengths
}
