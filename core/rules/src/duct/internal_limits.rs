//! A duct inside the concrete is wide for its web or slab, or near to another.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::route::Route;
use restrand_model::schedule::{Situation, Status};

use super::used;
use crate::beyond::beyond;
use crate::context::{Context, TendonAt};
use crate::path::lines::{Line, even_so, stretches};
use crate::path::near_concrete_or_neighbour::sweep::{Beside, nearest};
use crate::rule::{Check, Corrects, LimitKey, Rule};

const SHARE: LimitKey = LimitKey {
    name: "internal_duct_share",
    meaning: "outside of a duct as a share of the thickness of the concrete in which it lies",
};
const SPACING: LimitKey = LimitKey {
    name: "internal_duct_clear_mm",
    meaning: "clear distance between two ducts inside the concrete",
};

pub(crate) const RULE: Rule = Rule {
    id: "duct/internal-limits",
    summary: "ducts inside the concrete against its thickness and against each other",
    kinds: &[Kind::Physical, Kind::Margin],
    limits: &[SHARE, SPACING],
    sources: &[Citation::new("AASHTO LRFD 5.4.6.2 and 5.9.5.1", Evidence::Memory)],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible", "schedule/duplicate-mark"],
    page: include_str!("internal_limits.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let mut lines = Vec::new();
    for at in context.tendons() {
        match at.tendon.situation {
            _ if at.tendon.status == Some(Status::Removed) => {
                outcomes.not_applicable("the tendon is removed");
                continue;
            }
            Some(Situation::Internal) => {}
            Some(Situation::External) => {
                outcomes.not_applicable("the tendon lies outside the concrete");
                continue;
            }
            None => {
                outcomes.not_evaluated("tendon.situation");
                continue;
            }
        }
        thickness(context, &at, outcomes);
        match Line::of(context, at, |duct| duct.outer_mm.ok_or("duct.outer_mm")) {
            Ok(line) => lines.push(line),
            Err(field) => outcomes.not_evaluated(field),
        }
    }
    spacing(context, &lines, outcomes);
}

/// The duct at each point against the concrete there: of several points the worst is told.
fn thickness(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    let limit = context.limit(SHARE);
    let mut worst: Option<(f64, usize)> = None;
    let mut unknown = None;
    for (index, point) in at.tendon.points.iter().enumerate() {
        let known = point.concrete_thickness_mm.ok_or("tendon_point.concrete_thickness_mm");
        let share = known.and_then(|thickness_mm| {
            let station_m = point.station_m.ok_or("tendon_point.station_m")?;
            let duct = context.duct_at(at.tendon, station_m).ok_or("tendon.duct")?;
            Ok(duct.record.outer_mm.ok_or("duct.outer_mm")? / thickness_mm)
        });
        match share {
            Ok(share) if worst.is_none_or(|(so_far, _)| share > so_far) => {
                worst = Some((share, index));
            }
            Ok(_) => {}
            Err(field) => {
                unknown.get_or_insert(field);
            }
        }
    }
    match worst {
        Some((share, index)) if beyond(share, limit.value) => {
            outcomes.found(wide(context, at, index, share));
        }
        // What is not known at one point may be worse there.
        _ => match unknown.or(worst.is_none().then_some("tendon.points")) {
            Some(field) => outcomes.not_evaluated(field),
            None => outcomes.pass(),
        },
    }
}

fn wide(context: &Context<'_>, at: &TendonAt<'_>, index: usize, share: f64) -> Finding {
    let limit = context.limit(SHARE);
    let point = &at.tendon.points[index];
    let duct = context.duct_at(at.tendon, point.station_m.unwrap_or_default());
    let thickness_mm = point.concrete_thickness_mm.unwrap_or_default();
    let outer_mm = share * thickness_mm;
    let is_in = share < 1.0;
    let message = match is_in {
        true => {
            "duct {duct} of {tendon} is {outer_mm} wide in {thickness_mm} of concrete at station {station_m}: {share} of it, more \
             than {internal_duct_share}"
        }
        false => {
            "duct {duct} of {tendon}, {outer_mm} wide, does not lie inside {thickness_mm} of concrete at station {station_m}"
        }
    };
    let kind = if is_in { Kind::Margin } else { Kind::Physical };
    let place = at.route.field("points").item(index).field("concrete_thickness_mm");
    let mut finding = Finding::new(RULE.id, kind, place, message)
        .help("A duct takes away the concrete that carries shear beside it: choose a smaller one, or a thicker web")
        .fact(Fact::text("tendon", at.mark()))
        .fact(Fact::given("thickness_mm", thickness_mm, 0))
        .fact(Fact::computed("outer_mm", outer_mm, 1))
        .fact(Fact::given("station_m", point.station_m.unwrap_or_default(), 2))
        .fact(Fact::computed("share", share, 3))
        .fact(limit.fact(SHARE, 2))
        .fact(Fact::computed("ratio", share / limit.value, 2))
        .fact(Fact::computed("least_mm", outer_mm / limit.value, 0).at_least());
    if let Some(duct) = duct {
        finding = finding
            .related(duct.route.field("outer_mm"), "the duct's outside")
            .fact(Fact::text("duct", used::name(duct.record)));
    }
    finding.remedy("Concrete of {least_mm} takes this duct")
}

/// Ducts against each other, along their legs.
fn spacing(context: &Context<'_>, lines: &[Line<'_, '_>], outcomes: &mut Outcomes) {
    let limit = context.limit(SPACING);
    for (line, beside) in lines.iter().zip(nearest(&stretches(lines), lines.len(), limit.value)) {
        match beside {
            Some(beside) => {
                let other = &lines[beside.other];
                outcomes.found(even_so(near(context, line, other, &beside), &[line, other]));
            }
            None => line.is_clear(outcomes),
        }
    }
}

fn near(
    context: &Context<'_>,
    line: &Line<'_, '_>,
    other: &Line<'_, '_>,
    beside: &Beside,
) -> Finding {
    let limit = context.limit(SPACING);
    let point =
        |line: &Line<'_, '_>, leg: usize| -> Route { line.at.route.field("points").item(leg) };
    let overlaps = beside.gap_mm < 0.0;
    let message = match overlaps {
        true => {
            "the ducts of {tendon} and {neighbour} run into each other inside the concrete at station {station_m}, by {overlap_mm}"
        }
        false => {
            "the ducts of {tendon} and {neighbour} leave {gap_mm} of concrete between them at station {station_m}, less than \
             {internal_duct_clear_mm}"
        }
    };
    let kind = if overlaps { Kind::Physical } else { Kind::Margin };
    let mut finding = Finding::new(RULE.id, kind, point(line, beside.leg), message)
        .related(point(other, beside.other_leg), "the other tendon")
        .help(
            "Concrete has to flow between ducts and be compacted there, and grout of one leaks into the other where it is not: \
             move one of them, or ask whether they may be bundled",
        )
        .fact(Fact::text("tendon", line.at.mark()))
        .fact(Fact::text("neighbour", other.at.mark()))
        .fact(Fact::computed("station_m", beside.station_m, 2))
        .fact(Fact::computed("gap_mm", beside.gap_mm, 1))
        .fact(Fact::computed("axes_mm", beside.axes_mm, 1))
        .fact(limit.fact(SPACING, 1))
        .fact(Fact::computed("ratio", beside.gap_mm / limit.value, 2))
        .fact(Fact::computed("short_mm", limit.value - beside.gap_mm, 1).at_least());
    if overlaps {
        finding = finding.fact(Fact::computed("overlap_mm", -beside.gap_mm, 1));
    }
    if beside.near > 1 {
        finding = finding.fact(Fact::computed("near_tendons", beside.near as f64, 0));
    }
    finding.remedy("Move one of them {short_mm} away from the other there")
}
