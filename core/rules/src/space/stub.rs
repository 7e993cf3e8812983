//! The stub at an end does not come out of the room behind it, or only in pulls that nobody has planned.

mod beside;
mod forgetful;
mod geometry;
mod misplaced;
mod pulls;

use std::collections::BTreeMap;

use restrand_finding::{Citation, Evidence, Finding, Kind, Outcomes};
use restrand_mechanics::removal::{Stub, StubVerdict, stub_plan};
use restrand_model::schedule::{EndKind, Status};

use self::forgetful::Forgetful;
pub(crate) use self::geometry::Geometry;
use self::misplaced::misplaced;
use self::pulls::Case;
use crate::book::Limit;
use crate::context::{Context, EndAt, TendonAt};
use crate::ends::clear_behind;
use crate::rule::{Check, Corrects, LimitKey, Rule};

pub(super) const MARGIN: LimitKey =
    LimitKey { name: "removal_margin_mm", meaning: "room left free behind what is drawn out" };
const GRIP: LimitKey = LimitKey { name: "grip_mm", meaning: "room that the pulling gear takes" };
const STANDOFF: LimitKey =
    LimitKey { name: "saw_standoff_mm", meaning: "from the bearing plate to the nearest saw cut" };
const PIECE: LimitKey =
    LimitKey { name: "stub_piece_min_mm", meaning: "shortest piece that is cut off a stub" };

pub(crate) const RULE: Rule = Rule {
    id: "space/stub",
    summary: "the stub at each end against the room behind and beside it: pulls, cuts, pieces",
    kinds: &[Kind::Physical, Kind::Margin, Kind::Inconsistent, Kind::Note],
    limits: &[MARGIN, GRIP, STANDOFF, PIECE],
    sources: &[Citation::new(
        "geometry of a rigid bar that is drawn and cut; no published procedure could be read",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("stub.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    // One slip in an anchorage is said once, with the end at which it shows most.
    let mut forgetful: BTreeMap<usize, Forgetful> = BTreeMap::new();
    for at in context.tendons() {
        if at.stays() {
            outcomes.not_applicable("the tendon need not be replaceable");
            continue;
        }
        if !matches!(at.tendon.status, None | Some(Status::InUse)) {
            outcomes.not_applicable("the tendon is not in place");
            continue;
        }
        for end in at.ends() {
            if end.end.kind == Some(EndKind::Embedded) {
                outcomes.not_applicable("the end is embedded");
                continue;
            }
            let parts = context.end_parts(&end);
            // Without parts there is nothing to hold against any room, which is said once.
            if !parts.is_empty() {
                beside::check(context, &at, &end, parts, outcomes);
            }
            let anchorage = context.anchorage(end.end);
            let stated = anchorage.as_ref().map(|found| found.record);
            let judged = Geometry::of(stated, end.end, parts).and_then(|geometry| {
                if let Some(found) = &anchorage
                    && let Some(one) = Forgetful::of(found, &at, &end, &geometry)
                    && let Some(position) = end
                        .end
                        .anchorage
                        .as_ref()
                        .and_then(|link| context.position("anchorages", link.key()))
                {
                    let known = forgetful.remove(&position);
                    let most = known.filter(|known| known.of_parts_mm >= one.of_parts_mm);
                    forgetful.insert(position, most.unwrap_or(one));
                }
                of_end(context, &at, &end, &geometry)
            });
            match judged {
                Ok(None) => outcomes.pass(),
                Ok(Some(finding)) => outcomes.found(finding),
                Err(field) => outcomes.not_evaluated(field),
            }
        }
    }
    for one in forgetful.into_values() {
        outcomes.found(one.finding());
    }
}

/// What of the stub at an end does not depend on the room behind it.
pub(crate) fn geometry(context: &Context<'_>, end: &EndAt<'_>) -> Result<Geometry, &'static str> {
    let parts = context.end_parts(end);
    let anchorage = context.anchorage(end.end);
    Geometry::of(anchorage.map(|found| found.record), end.end, parts)
}

/// The stub at an end, with the allowances of the rulebook and the room as far as the first obstacle.
pub(crate) fn of(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
) -> Result<(Geometry, Stub), &'static str> {
    let geometry = geometry(context, end)?;
    let behind_mm = clear_behind(context, at, end, geometry.radius_mm)?.clear_mm;
    let stub = Limits::of(context).stub(&geometry, behind_mm);
    Ok((geometry, stub))
}

struct Limits<'a> {
    margin: &'a Limit,
    grip: &'a Limit,
    standoff: &'a Limit,
    piece: &'a Limit,
}

impl<'a> Limits<'a> {
    fn of(context: &Context<'a>) -> Self {
        Self {
            margin: context.limit(MARGIN),
            grip: context.limit(GRIP),
            standoff: context.limit(STANDOFF),
            piece: context.limit(PIECE),
        }
    }

    /// The stub with the allowances of the rulebook.
    fn stub(&self, geometry: &Geometry, behind_mm: f64) -> Stub {
        Stub {
            margin_mm: self.margin.value,
            grip_mm: self.grip.value,
            saw_standoff_mm: self.standoff.value,
            // No piece is shorter than what must stay whole.
            piece_min_mm: self.piece.value.max(geometry.whole_mm),
            ..bare(geometry, behind_mm)
        }
    }
}

/// The stub with every allowance zero.
pub(crate) fn bare(geometry: &Geometry, behind_mm: f64) -> Stub {
    Stub {
        length_mm: geometry.length_mm(),
        behind_mm,
        margin_mm: 0.0,
        grip_mm: 0.0,
        saw_standoff_mm: 0.0,
        piece_min_mm: geometry.whole_mm,
        whole_mm: geometry.whole_mm,
    }
}

fn of_end(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    geometry: &Geometry,
) -> Result<Option<Finding>, &'static str> {
    if geometry.assumed_at.is_none()
        && let Some(finding) = misplaced(at, end, geometry)
    {
        return Ok(Some(finding));
    }
    let behind = clear_behind(context, at, end, geometry.radius_mm)?;
    let behind_mm = behind.clear_mm;
    let limits = Limits::of(context);
    let stub = limits.stub(geometry, behind_mm);
    // Only lengths that cannot be right are refused, and of these the cut is the one that is easily mistaken.
    let plan = stub_plan(&stub).map_err(|_| "end.stub_cut_mm")?;
    let case = Case { context, at, end, geometry, behind, limits: &limits, stub, plan };
    match plan.verdict {
        StubVerdict::InOne { .. } => case.planned(1, 0),
        StubVerdict::InPieces { pulls, cuts, .. } => case.planned(pulls, cuts),
        StubVerdict::PieceTooShort { .. } => {
            let bare = stub_plan(&bare(geometry, behind_mm)).map_err(|_| "end.stub_cut_mm")?;
            let kind = match bare.verdict {
                StubVerdict::PieceTooShort { .. } => Kind::Physical,
                _ => Kind::Margin,
            };
            case.too_short(kind).map(Some)
        }
    }
}

#[cfg(test)]
mod tests;
