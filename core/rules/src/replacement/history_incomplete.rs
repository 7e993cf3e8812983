//! The history of a replaced tendon does not say what happened, or not in an order that can be.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::schedule::{Event, Stage};

use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "replacement/history-incomplete",
    summary: "the history of a tendon that was replaced: out, in, stressed, filled, each with its day",
    kinds: &[Kind::Missing, Kind::Inconsistent],
    limits: &[],
    sources: &[Citation::new(
        "common practice, no source: what the next replacement must know of the last",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("history_incomplete.md"),
    check: Check::Tendons(check),
};

/// What happens when a tendon is replaced, in its order.
const EVENTS: [Event; 4] = [Event::Removed, Event::Replaced, Event::Stressed, Event::Filled];

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if context.stage_of(at.tendon) != Stage::Replaced {
        return outcomes.not_applicable("the tendon is not replaced yet");
    }
    let history = &at.tendon.history;
    let route = at.route.field("history");
    if history.is_empty() {
        if context.is_lost_at(&route) {
            return outcomes.not_evaluated("tendon.history");
        }
        return outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Missing,
                route,
                "{tendon} is replaced, and has no history: nothing says when it was taken out, put in anew, stressed and filled",
            )
            .help(HELP)
            .fact(Fact::text("tendon", at.mark())),
        );
    }
    let mut faults = entries(at);
    // An entry that lacks its event may be the one that is sought, and one without a day may lie on either side.
    let is_whole = faults.is_empty();
    let lacks = if is_whole { lacking(at) } else { Vec::new() };
    faults.extend(told_as_lacking(at, &lacks));
    faults.extend(out_of_order(at, &lacks));
    if faults.is_empty() {
        return outcomes.pass();
    }
    faults.into_iter().for_each(|finding| outcomes.found(finding));
}

const HELP: &str = "Enter the day of each, and who did it: the next replacement starts from here";

/// Entries without a day or without an event.
fn entries(at: &TendonAt<'_>) -> Vec<Finding> {
    let route = at.route.field("history");
    let mut faults = Vec::new();
    for (index, entry) in at.tendon.history.iter().enumerate() {
        let (field, what) = match (entry.on, entry.event) {
            (Some(_), Some(_)) => continue,
            (None, Some(_)) => ("on", "when it was"),
            (Some(_), None) => ("event", "what happened"),
            (None, None) => ("on", "when it was and what happened"),
        };
        faults.push(
            Finding::new(
                RULE.id,
                Kind::Missing,
                route.item(index).field(field),
                "entry {entry} of the history of {tendon} does not say {what}",
            )
            .help(
                "State day and event of each entry; what is not known is worth a note that says so",
            )
            .fact(Fact::text("tendon", at.mark()))
            .fact(Fact::given("entry", (index + 1) as f64, 0))
            .fact(Fact::text("what", what)),
        );
    }
    faults
}

/// What the history does not say since the tendon was last taken out.
fn lacking(at: &TendonAt<'_>) -> Vec<Event> {
    let history = &at.tendon.history;
    // A history may be listed from its last day back.
    let removals = history.iter().filter(|entry| entry.event == Some(Event::Removed));
    let out = removals.max_by_key(|entry| entry.on);
    let after: Vec<_> = history
        .iter()
        .filter(|entry| out.is_none_or(|out| entry.on >= out.on))
        .filter_map(|entry| entry.event)
        .collect();
    let lacks = EVENTS.into_iter().filter(|event| {
        // Put in anew and replaced say the same.
        let says_the_same = *event == Event::Replaced && after.contains(&Event::Installed);
        !after.contains(event) && !says_the_same
    });
    lacks.collect()
}

fn told_as_lacking(at: &TendonAt<'_>, lacks: &[Event]) -> Option<Finding> {
    let events: Vec<String> = lacks.iter().map(ToString::to_string).collect();
    (!events.is_empty()).then(|| {
        Finding::new(
            RULE.id,
            Kind::Missing,
            at.route.field("history"),
            "{tendon} is replaced, but its history does not say since it was taken out: {events}",
        )
        .help(HELP)
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::text("events", events.join(", ")))
    })
}

/// Stressed before it was taken out, or filled before it was stressed, by the last day of each.
///
/// What lacks since the removal, for it was before, is told as that.
fn out_of_order(at: &TendonAt<'_>, lacks: &[Event]) -> Vec<Finding> {
    let day = |event: Event| {
        let last = at.tendon.history.iter().filter(|entry| entry.event == Some(event));
        last.filter_map(|entry| entry.on).max()
    };
    let pairs = [(Event::Stressed, Event::Removed), (Event::Filled, Event::Stressed)];
    let pairs = pairs.into_iter().filter(|(later, _)| !lacks.contains(later));
    let found = pairs.filter_map(|(later, earlier)| {
        let (later_on, earlier_on) = (day(later)?, day(earlier)?);
        (later_on < earlier_on).then(|| {
            Finding::new(
                RULE.id,
                Kind::Inconsistent,
                at.route.field("history"),
                "by its history {tendon} was {event} on {day}, before it was {before}",
            )
            .help("Correct the days")
            .fact(Fact::text("tendon", at.mark()))
            .fact(Fact::text("event", later.to_string()))
            .fact(Fact::text("day", later_on.to_string()))
            .fact(Fact::text("before", earlier.to_string()))
        })
    });
    found.collect()
}
