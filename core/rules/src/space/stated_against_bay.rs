//! The stated room at an end is more than its bay has.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;
use restrand_model::schedule::RemovalSpace;

use crate::beyond::beyond;
use crate::context::{Context, EndAt, TendonAt};
use crate::ends::BayRoom;
use crate::rule::{Check, Corrects, LimitKey, Rule};

const TOLERANCE: LimitKey = LimitKey {
    name: "space_tolerance_mm",
    meaning: "how far a stated room may be more than its bay gives",
};

const SLIP: LimitKey = LimitKey {
    name: "unit_slip_share",
    meaning: "how near the ratio of two lengths is to that of two units where one is taken for the other",
};

pub(crate) const RULE: Rule = Rule {
    id: "space/stated-against-bay",
    summary: "the stated room behind and beside each anchorage against the bay in which it lies",
    kinds: &[Kind::Inconsistent],
    limits: &[TOLERANCE, SLIP],
    sources: &[Citation::new(
        "distances from the anchorage's axis to the ends, walls, floor and ceiling of its bay",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible"],
    page: include_str!("stated_against_bay.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    if context.ways().bays.is_empty() {
        return outcomes.not_evaluated("schedule.bays");
    }
    for at in context.tendons() {
        for end in at.ends() {
            let Some(space) = end.end.removal_space.as_deref() else {
                outcomes.not_applicable("no room is stated");
                continue;
            };
            match gives(context, &at, &end, space) {
                Ok((bay, sides)) => judge(context, &at, &end, bay, &sides, outcomes),
                Err(field) => outcomes.not_evaluated(field),
            }
        }
    }
}

/// A side of the room: its field, how people call it, what is stated of it, and what the bay gives, mm.
struct Side {
    field: &'static str,
    word: &'static str,
    stated_mm: f64,
    given_mm: f64,
}

/// What the bay gives on each side of which the schedule states something, and which bay it is.
fn gives(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    space: &RemovalSpace,
) -> Result<(usize, Vec<Side>), &'static str> {
    let given = BayRoom::of(context, at, end)?.ok_or("schedule.bays")?;
    let mut sides = Vec::new();
    if let Some(stated_mm) = space.behind_mm {
        let given_mm = given.behind_mm.ok_or("bay.from_m")?;
        sides.push(Side { field: "behind_mm", word: "behind", stated_mm, given_mm });
    }
    // Where nobody says how far back the room reaches, only the place of the plate counts.
    let beside_mm = given.sides_mm(space.behind_mm.unwrap_or(0.0));
    for (side, given_mm) in context.room(at, end).sides.iter().zip(beside_mm) {
        let stated = side.clear.filter(|clear| clear.bay.is_none());
        if let (Some(stated), Some(given_mm)) = (stated, given_mm) {
            let (field, word, stated_mm) = (side.field, side.word, stated.mm);
            sides.push(Side { field, word, stated_mm, given_mm });
        }
    }
    match sides.is_empty() {
        true => Err("removal_space.behind_mm"),
        false => Ok((given.bay, sides)),
    }
}

fn judge(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    bay: usize,
    sides: &[Side],
    outcomes: &mut Outcomes,
) {
    let limit = context.limit(TOLERANCE);
    let worst = sides
        .iter()
        .filter(|side| beyond(side.stated_mm - side.given_mm, limit.value))
        .max_by(|one, other| {
            (one.stated_mm - one.given_mm).total_cmp(&(other.stated_mm - other.given_mm))
        });
    let Some(side) = worst else { return outcomes.pass() };
    let mut help =
        "The stated room holds, and everything is checked against it: measure it, or correct it"
            .to_owned();
    if let Some(slip) = slip(side.stated_mm, side.given_mm, context.limit(SLIP).value) {
        help.push_str(&format!("; {slip}"));
    }
    outcomes.found(
        Finding::new(
            RULE.id,
            Kind::Inconsistent,
            end.route.field("removal_space").field(side.field),
            format!(
                "{{stated_mm}} are stated {} the axis at {{end}} of {{tendon}}, but bay {{bay}} gives {{given_mm}}",
                if side.field == "behind_mm" { "behind the plate along" } else { side.word }
            ),
        )
        .related(Route::to("bays", bay), "the bay")
        .help(help)
        .fact(Fact::text("end", format!("end {}", end.name)))
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::text("bay", context.ways().call_bay(bay)))
        .fact(Fact::given("stated_mm", side.stated_mm, 0))
        .fact(Fact::computed("given_mm", side.given_mm, 0))
        .fact(limit.fact(TOLERANCE, 0))
        .fact(Fact::computed("ratio", side.stated_mm / side.given_mm, 2)),
    );
}

/// Which slip of units would make the one of the other.
fn slip(stated_mm: f64, given_mm: f64, near_share: f64) -> Option<&'static str> {
    use restrand_model::quantity::{Dimension, Unit};
    if given_mm <= 0.0 {
        return None;
    }
    let ratio = stated_mm / given_mm;
    let of = |symbol| Unit::find(symbol, Dimension::Length).map(|unit| unit.factor);
    let (inch, foot, metre) = (of("in")?, of("ft")?, of("m")?);
    [
        (metre, "millimetres may have been read as metres"),
        (foot, "inches or millimetres may have been read as feet"),
        (inch, "millimetres may have been read as inches"),
        (foot / inch, "inches may have been read as feet"),
    ]
    .into_iter()
    .find(|(factor, _)| (ratio / factor - 1.0).abs() < near_share)
    .map(|(_, why)| why)
}
