//! More strands end at an anchorage than it takes.

use restrand_finding::{Citation, Class, Correction, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;
use restrand_model::schedule::{Anchorage, Status};
use restrand_model::value::Value;

use crate::context::{Context, EndAt, Found, TendonAt};
use crate::rule::{Check, Corrects, Rule};
use crate::works::{Capacity, capacity, listed_over_holes, most_strands};

pub(crate) const RULE: Rule = Rule {
    id: "strand/exceeds-capacity",
    summary: "strands anchored at each end against the anchorage's wedge-plate holes and listed counts",
    kinds: &[Kind::Physical],
    limits: &[],
    sources: &[Citation::new("one strand to one hole of the wedge plate", Evidence::Derived)],
    correction: Corrects::Offers(&[Class::Propose], offer),
    implied_by: &[],
    page: include_str!("exceeds_capacity.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    for (index, anchorage) in context.schedule.anchorages.iter().enumerate() {
        own_counts(anchorage, &Route::to("anchorages", index), outcomes);
    }
    for at in context.tendons() {
        tendon(context, &at, outcomes);
    }
}

/// The anchorage of the schedule that takes the strands with the fewest holes to spare, where just one does.
fn offer(context: &Context<'_>, offered: &mut Vec<Correction>) {
    for at in context.tendons().filter(|at| at.tendon.status != Some(Status::Removed)) {
        for end in at.ends() {
            // Where tendon and end state different numbers, nobody can tell for which to choose.
            let (Some(found), [stated]) = (context.anchorage(end.end), &*stated_counts(&at, &end))
            else {
                continue;
            };
            let count = stated.count;
            if !matches!(capacity(found.record, count), Capacity::Short(_)) {
                continue;
            }
            let Some((other, most)) = least_that_takes(context, count) else {
                continue;
            };
            let reason = "anchorage {anchorage} takes fewer than {strands} strands; of the others of the \
                          schedule {other} takes them with the fewest to spare, {most}";
            let value = Some(Value::Text(other.into()));
            offered.push(
                Correction::new(
                    RULE.id,
                    Class::Propose,
                    end.route.field("anchorage"),
                    value,
                    reason,
                )
                .fact(Fact::text("anchorage", name(found.record)))
                .fact(Fact::given("strands", f64::from(count), 0))
                .fact(Fact::text("other", other))
                .fact(Fact::given("most", f64::from(most), 0))
                .rests_on(stated.place.clone()),
            );
        }
    }
}

/// The anchorage that takes this many strands and no more than it must, with what it takes.
fn least_that_takes<'a>(context: &Context<'a>, count: u32) -> Option<(&'a str, u32)> {
    let all = context.schedule.anchorages.iter();
    let mut enough: Vec<_> = all
        .filter(|other| capacity(other, count) == Capacity::Enough)
        .filter_map(|other| Some((most_strands(other)?, other.id.as_deref()?)))
        .collect();
    enough.sort_unstable();
    match enough[..] {
        [(most, only)] => Some((only, most)),
        [(most, first), (next, _), ..] if most < next => Some((first, most)),
        _ => None,
    }
}

/// A number of strands that an anchorage has to take.
struct Stated {
    count: u32,
    /// Whose number it is: `tendon T1L`, or `end a of T1L`.
    of: String,
    place: Route,
}

/// The numbers of strands that are stated for an end: its own, and the tendon's where it is another.
fn stated_counts(at: &TendonAt<'_>, end: &EndAt<'_>) -> Vec<Stated> {
    let own = end.end.strand_count.map(|count| Stated {
        count,
        of: format!("end {} of {}", end.name, at.mark()),
        place: end.route.field("strand_count"),
    });
    let of_tendon = at.tendon.strand_count.filter(|count| end.end.strand_count != Some(*count));
    let of_tendon = of_tendon.map(|count| Stated {
        count,
        of: format!("tendon {}", at.mark()),
        place: at.route.field("strand_count"),
    });
    own.into_iter().chain(of_tendon).collect()
}

/// An anchorage that lists more strands than its wedge plate has holes is said once, at the anchorage.
fn own_counts(anchorage: &Anchorage, route: &Route, outcomes: &mut Outcomes) {
    let Some(listed) = listed_over_holes(anchorage) else {
        return;
    };
    let Some(holes) = anchorage.wedge_plate_holes else {
        return;
    };
    let finding = Finding::new(
        RULE.id,
        Kind::Physical,
        route.field("wedge_plate_holes"),
        "anchorage {anchorage} is listed for {listed} strands, but its wedge plate has {holes} holes",
    )
    .related(route.field("strand_counts"), "the numbers of strands listed for it")
    .help(
        "One of the two is wrong, and only the anchorage's supplier can say which: correct it to the \
         supplier's list",
    )
    .fact(Fact::text("anchorage", name(anchorage)))
    .fact(Fact::given("listed", f64::from(listed), 0))
    .fact(Fact::given("holes", f64::from(holes), 0));
    outcomes.found(finding);
}

fn name(anchorage: &Anchorage) -> String {
    anchorage.id.as_deref().unwrap_or("without a name").to_owned()
}

fn tendon(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.tendon.status == Some(Status::Removed) {
        return outcomes.not_applicable("the tendon is removed");
    }
    // Both ends of a tendon often have one count and one anchorage: that is one slip, said once.
    let mut told: Vec<(Route, &str)> = Vec::new();
    for end in at.ends() {
        let Some(found) = context.anchorage(end.end) else {
            outcomes.not_evaluated("end.anchorage");
            continue;
        };
        let counts = stated_counts(at, &end);
        if counts.is_empty() {
            if at.tendon.status == Some(Status::Reserved) {
                outcomes.not_applicable("the tendon is reserved and has no strands");
            } else {
                outcomes.not_evaluated("tendon.strand_count");
            }
        }
        for stated in counts {
            match capacity(found.record, stated.count) {
                Capacity::Unknown => outcomes.not_evaluated("anchorage.wedge_plate_holes"),
                Capacity::Enough => outcomes.pass(),
                Capacity::Contradicts { .. } => {
                    outcomes.not_applicable("reported at the anchorage")
                }
                Capacity::Short(most) => {
                    let anchorage = found.record.id.as_deref().unwrap_or_default();
                    let is_told = |(route, other): &(Route, &str)| {
                        *route == stated.place && *other == anchorage
                    };
                    if told.iter().any(is_told) {
                        continue;
                    }
                    told.push((stated.place.clone(), anchorage));
                    outcomes.found(finding(context, at, &found, stated, most));
                }
            }
        }
    }
}

fn finding(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    found: &Found<'_, Anchorage>,
    stated: Stated,
    most: u32,
) -> Finding {
    let Stated { count, of, place } = stated;
    let anchorage = found.record;
    let by_holes = anchorage.wedge_plate_holes == Some(most);
    let (message, field) = if by_holes {
        (
            "{of} has {strands} strands, but the wedge plate of anchorage {anchorage} has {most} holes",
            "wedge_plate_holes",
        )
    } else {
        (
            "{of} has {strands} strands, but anchorage {anchorage} is listed for no more than {most}",
            "strand_counts",
        )
    };
    let mut finding = Finding::new(RULE.id, Kind::Physical, place, message)
        .related(found.route.field(field), "what the anchorage takes")
        .help("Correct the number of strands, or choose an anchorage that takes them")
        .fact(Fact::text("of", of))
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::text("anchorage", name(anchorage)))
        .fact(Fact::given("strands", f64::from(count), 0))
        .fact(Fact::given("most", f64::from(most), 0));
    let others: Vec<_> = context
        .schedule
        .anchorages
        .iter()
        .filter(|other| capacity(other, count) == Capacity::Enough)
        .filter_map(|other| other.id.as_deref())
        .collect();
    if !others.is_empty() {
        finding = finding
            .fact(Fact::text("others", others.join(", ")))
            .remedy("Choose an anchorage of the schedule that takes {strands} strands: {others}");
    }
    finding
}
