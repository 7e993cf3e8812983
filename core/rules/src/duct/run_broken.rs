//! The lengths of duct do not follow one another.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;
use restrand_model::schedule::EndName;

use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const TOLERANCE: LimitKey = LimitKey {
    name: "joint_tolerance_mm",
    meaning: "distance by which lengths of duct may gape or overlap at a joint",
};

pub(crate) const RULE: Rule = Rule {
    id: "duct/run-broken",
    summary: "lengths of duct against one another, the tendon's ends and its forms",
    kinds: &[Kind::Inconsistent],
    limits: &[TOLERANCE],
    sources: &[Citation::new(
        "the duct reaches from anchorage to anchorage without a gap",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible"],
    page: include_str!("run_broken.md"),
    check: Check::Tendons(check),
};

/// A length of duct with its stations in order.
struct Length {
    from_m: f64,
    to_m: f64,
    route: Route,
}

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.tendon.duct_runs.is_empty() {
        return outcomes.not_applicable("the tendon has one kind of duct");
    }
    let runs = at.route.field("duct_runs");
    let mut lengths = Vec::new();
    for (index, run) in at.tendon.duct_runs.iter().enumerate() {
        let route = runs.item(index);
        match (run.from_m, run.to_m) {
            (Some(one), Some(other)) => {
                lengths.push(Length { from_m: one.min(other), to_m: one.max(other), route })
            }
            (None, _) => return outcomes.not_evaluated("duct_run.from_m"),
            (_, None) => return outcomes.not_evaluated("duct_run.to_m"),
        }
    }
    lengths.sort_by(|a, b| a.from_m.total_cmp(&b.from_m));
    let tolerance_m = context.limit(TOLERANCE).value / 1000.0;
    let before = outcomes.findings.len();
    for pair in lengths.windows(2) {
        let gap_m = pair[1].from_m - pair[0].to_m;
        if gap_m.abs() > tolerance_m + 1e-9 {
            outcomes.found(gap(context, at, &pair[0], &pair[1], gap_m));
        }
        in_a_form(context, at, &pair[1], outcomes);
    }
    reach(context, at, &lengths, tolerance_m, outcomes);
    if outcomes.findings.len() == before {
        outcomes.pass();
    }
}

fn gap(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    one: &Length,
    other: &Length,
    gap_m: f64,
) -> Finding {
    let message = if gap_m > 0.0 {
        "between two lengths of the duct of tendon {tendon}, from {from_m} to {to_m}, there is none for {off_mm}, more than \
         {joint_tolerance_mm}"
    } else {
        "two lengths of the duct of tendon {tendon} overlap from {from_m} to {to_m}, by {off_mm}, more than \
         {joint_tolerance_mm}"
    };
    let limit = context.limit(TOLERANCE);
    let (from_m, to_m) = (one.to_m.min(other.from_m), one.to_m.max(other.from_m));
    Finding::new(RULE.id, Kind::Inconsistent, other.route.field("from_m"), message)
        .related(one.route.field("to_m"), "where the length before it ends")
        .help("A duct reaches from anchorage to anchorage: correct the stations, or add the length that lacks")
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::given("from_m", from_m, 3))
        .fact(Fact::given("to_m", to_m, 3))
        .fact(Fact::computed("off_mm", gap_m.abs() * 1000.0, 1))
        .fact(limit.fact(TOLERANCE, 1))
}

/// Where two lengths meet there is a joint, and nobody reaches it inside a form.
fn in_a_form(context: &Context<'_>, at: &TendonAt<'_>, later: &Length, outcomes: &mut Outcomes) {
    for (index, deviator) in at.tendon.deviators.iter().enumerate() {
        let Some(station_m) =
            context.place(deviator.place.as_ref()).and_then(|found| found.record.station_m)
        else {
            continue;
        };
        let Some(length_mm) = context.form_at(at, index).and_then(|form| form.length_mm) else {
            continue;
        };
        let half_m = length_mm / 1000.0 / 2.0;
        if (later.from_m - station_m).abs() >= half_m {
            continue;
        }
        let place = deviator.place.as_ref().map_or("", |link| link.key());
        outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Inconsistent,
                later.route.field("from_m"),
                "two lengths of the duct of tendon {tendon} meet at {from_m}, inside the form at {place}",
            )
            .help("The collar of a joint does not come out of a form: let the lengths meet in the open")
            .fact(Fact::text("tendon", at.mark()))
            .fact(Fact::text("place", place))
            .fact(Fact::given("from_m", later.from_m, 3))
            .fact(Fact::computed("form_from_m", station_m - half_m, 3))
            .fact(Fact::computed("form_to_m", station_m + half_m, 3)),
        );
    }
}

/// The lengths reach to the parts of the anchorages: a length that begins further in than any of them lacks one.
fn reach(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    lengths: &[Length],
    tolerance_m: f64,
    outcomes: &mut Outcomes,
) {
    let (Some(first), Some(last)) = (lengths.first(), lengths.last()) else {
        return;
    };
    let points = &at.tendon.points;
    let (Some(start_m), Some(stop_m)) = (
        points.first().and_then(|point| point.station_m),
        points.last().and_then(|point| point.station_m),
    ) else {
        return outcomes.not_evaluated("tendon_point.station_m");
    };
    let depth_m = |name: EndName| {
        let end = at.ends().find(|end| end.name == name)?;
        let parts = context.end_parts(&end);
        let deepest_mm =
            parts.iter().filter_map(|part| part.part.from_mm).min_by(f64::total_cmp)?;
        Some(-deepest_mm / 1000.0)
    };
    let checks = [
        (first, first.from_m - start_m, depth_m(EndName::A), "from_m", "begins", "end a"),
        (last, stop_m - last.to_m, depth_m(EndName::B), "to_m", "ends", "end b"),
    ];
    for (length, short_m, depth_m, field, word, end) in checks {
        let Some(depth_m) = depth_m else {
            outcomes.not_evaluated("part.from_mm");
            continue;
        };
        if short_m <= depth_m + tolerance_m + 1e-9 {
            continue;
        }
        let limit = context.limit(TOLERANCE);
        outcomes.found(
            Finding::new(
                RULE.id,
                Kind::Inconsistent,
                length.route.field(field),
                "the duct of tendon {tendon} {word} {short_m} from the bearing plate of {end}, and the parts of the anchorage \
                 there reach only {depth_m} in",
            )
            .help("State the length of duct that joins the anchorage, or correct the station")
            .fact(Fact::text("tendon", at.mark()))
            .fact(Fact::text("word", word))
            .fact(Fact::text("end", end))
            .fact(Fact::computed("short_m", short_m, 3).at_least())
            .fact(Fact::computed("depth_m", depth_m, 3))
            .fact(limit.fact(TOLERANCE, 1)),
        );
    }
}
