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
        // That there is none at all is said with whatever else the tendon lacks.
        return outcomes.not_evaluated("tendon.history");
    }
    if let Some((index, _)) =
        history.iter().enumerate().find(|(_, entry)| entry.on.is_none() || entry.event.is_none())
    {
        let field = if history[index].on.is_none() { "on" } else { "event" };
        outcomes.found(
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
            .fact(Fact::text("what", if field == "on" { "when it was" } else { "what happened" })),
        );
        return;
    }
    let out = history.iter().rev().find(|entry| entry.event == Some(Event::Removed));
    let after: Vec<_> = history
        .iter()
        .filter(|entry| out.is_none_or(|out| entry.on >= out.on))
        .filter_map(|entry| entry.event)
        .collect();
    let lacking: Vec<String> = EVENTS
        .iter()
        .filter(|event| {
            // Put in anew and replaced say the same.
            let says_the_same = **event == Event::Replaced && after.contains(&Event::Installed);
            !after.contains(event) && !says_the_same
        })
        .map(ToString::to_string)
        .collect();
    if !lacking.is_empty() {
        outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Missing,
                route,
                "{tendon} is replaced, but its history does not say since it was taken out: {events}",
            )
            .help("Enter the day of each, and who did it: the next replacement starts from here")
            .fact(Fact::text("tendon", at.mark()))
            .fact(Fact::text("events", lacking.join(", "))),
        );
        return;
    }
    if let Some((event, day, before)) = out_of_order(at) {
        outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Inconsistent,
                route,
                "by its history {tendon} was {event} on {day}, before it was {before}",
            )
            .help("Correct the days")
            .fact(Fact::text("tendon", at.mark()))
            .fact(Fact::text("event", event))
            .fact(Fact::text("day", day))
            .fact(Fact::text("before", before)),
        );
        return;
    }
    outcomes.pass();
}

/// Filled before stressed, since the last time it was taken out.
fn out_of_order(at: &TendonAt<'_>) -> Option<(String, String, String)> {
    let day = |event: Event| {
        let last = at.tendon.history.iter().filter(|entry| entry.event == Some(event));
        last.filter_map(|entry| entry.on).max()
    };
    let pairs = [(Event::Stressed, Event::Removed), (Event::Filled, Event::Stressed)];
    pairs.into_iter().find_map(|(later, earlier)| {
        let (later_on, earlier_on) = (day(later)?, day(earlier)?);
        (later_on < earlier_on)
            .then(|| (later.to_string(), later_on.to_string(), earlier.to_string()))
    })
}
