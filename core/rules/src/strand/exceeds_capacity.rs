//! More strands end at an anchorage than it takes.

use restrand_finding::{Citation, Class, Correction, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;
use restrand_model::schedule::{Anchorage, Status};
use restrand_model::value::Value;

use crate::context::{Context, EndAt, Found, TendonAt};
use crate::rule::{Check, Corrects, Rule};

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
            if !matches!(room(found.record, count), Room::Short(_)) {
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
        .filter(|other| room(other, count) == Room::Enough)
        .filter_map(|other| Some((most(other)?, other.id.as_deref()?)))
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

/// The largest listed count, if it is more than the wedge plate's holes.
fn listed_over_holes(anchorage: &Anchorage) -> Option<u32> {
    let most = anchorage.strand_counts.iter().copied().max()?;
    (most > anchorage.wedge_plate_holes?).then_some(most)
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
            match room(found.record, stated.count) {
                Room::Unknown => outcomes.not_evaluated("anchorage.wedge_plate_holes"),
                Room::Enough => outcomes.pass(),
                Room::ToldAtAnchorage => outcomes.not_applicable("reported at the anchorage"),
                Room::Short(most) => {
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

#[derive(Debug, PartialEq, Eq)]
enum Room {
    /// The anchorage states neither holes nor counts.
    Unknown,
    Enough,
    /// The anchorage contradicts itself about this count.
    ToldAtAnchorage,
    /// It takes no more than this.
    Short(u32),
}

/// The most strands that an anchorage takes, as far as it is stated.
fn most(anchorage: &Anchorage) -> Option<u32> {
    let listed = anchorage.strand_counts.iter().copied().max();
    anchorage.wedge_plate_holes.into_iter().chain(listed).min()
}

/// Whether an anchorage takes this many strands; fewer than it is listed for always fit.
fn room(anchorage: &Anchorage, count: u32) -> Room {
    let Some(most) = most(anchorage) else {
        return Room::Unknown;
    };
    if count <= most {
        Room::Enough
    } else if listed_over_holes(anchorage).is_some_and(|listed| count <= listed) {
        Room::ToldAtAnchorage
    } else {
        Room::Short(most)
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
        .filter(|other| room(other, count) == Room::Enough)
        .filter_map(|other| other.id.as_deref())
        .collect();
    if !others.is_empty() {
        finding = finding
            .fact(Fact::text("others", others.join(", ")))
            .remedy("Choose an anchorage of the schedule that takes {strands} strands: {others}");
    }
    finding
}

#[cfg(test)]
mod tests {
    use super::*;

    fn anchorage(holes: Option<u32>, counts: &[u32]) -> Anchorage {
        Anchorage {
            wedge_plate_holes: holes,
            strand_counts: counts.to_vec(),
            ..Anchorage::default()
        }
    }

    #[test]
    fn as_many_strands_as_holes_fit_and_one_more_does_not() {
        let nineteen = anchorage(Some(19), &[15, 19]);
        assert_eq!(room(&nineteen, 18), Room::Enough);
        assert_eq!(room(&nineteen, 19), Room::Enough);
        assert_eq!(room(&nineteen, 20), Room::Short(19));
        assert_eq!(room(&anchorage(Some(19), &[15]), 16), Room::Short(15));
        assert_eq!(room(&anchorage(None, &[]), 1), Room::Unknown);
    }

    #[test]
    fn a_count_that_the_anchorage_lists_over_its_holes_is_the_anchorages_fault() {
        let slip = anchorage(Some(18), &[15, 19]);
        assert_eq!(room(&slip, 18), Room::Enough);
        assert_eq!(room(&slip, 19), Room::ToldAtAnchorage);
        assert_eq!(room(&slip, 20), Room::Short(18));
    }
}
