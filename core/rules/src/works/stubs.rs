//! The stub at an end, and how it comes out.

use restrand_mechanics::removal::{StubPlan, StubVerdict, least_behind_for_any_mm, stub_plan};
use restrand_model::schedule::{Permanence, Role};

use crate::assembly::{Axis, call};
use crate::context::{Context, EndAt, TendonAt};
use crate::ends::Clear;
use crate::space::stub;

/// The stub at an end and how it comes out.
#[derive(Debug, Clone, PartialEq)]
pub struct PlannedStub {
    /// The rearmost point of tails or parts, on the anchorage's axis, mm.
    pub rearmost_mm: f64,
    /// Where it is cut on the span side, on the anchorage's axis, mm.
    pub cut_mm: f64,
    /// The part at whose span end the cut is taken, if the schedule states none.
    pub assumed_at: Option<String>,
    /// What must not be sawn, from the rearmost point, mm.
    pub whole_mm: f64,
    /// Radius of what is drawn out, plates included, mm; next to nothing where no diameter is stated.
    pub radius_mm: f64,
    /// Clear length behind the bearing plate, as far as the first obstacle.
    pub behind: Clear,
    /// Pulls and cuts.
    pub plan: StubPlan,
    /// The least room behind the bearing plate in which it comes out at all, mm.
    pub least_behind_mm: Option<f64>,
}

impl PlannedStub {
    /// Its length, mm.
    #[must_use]
    pub fn length_mm(&self) -> f64 {
        self.rearmost_mm - self.cut_mm
    }
}

/// The stub at an end.
///
/// # Errors
/// The field without which it is not known.
pub fn planned_stub(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
) -> Result<PlannedStub, &'static str> {
    let (geometry, stub) = stub::of(context, at, end)?;
    let plan = stub_plan(&stub).map_err(|_| "end.stub_cut_mm")?;
    Ok(PlannedStub {
        rearmost_mm: geometry.rearmost_mm,
        cut_mm: geometry.cut_mm,
        assumed_at: geometry.assumed_at,
        whole_mm: geometry.whole_mm,
        radius_mm: geometry.radius_mm,
        behind: Clear { mm: stub.behind_mm, ..context.room(at, end).behind()? },
        plan,
        least_behind_mm: least_behind_for_any_mm(&stub).ok(),
    })
}

/// Where the stub at an end is cut on the span side, on the anchorage's axis, mm: whatever room there is behind it.
///
/// # Errors
/// The field without which it is not known.
pub fn stub_cut_mm(context: &Context<'_>, end: &EndAt<'_>) -> Result<f64, &'static str> {
    match end.end.stub_cut_mm {
        Some(cut_mm) => Ok(cut_mm),
        None => stub::geometry(context, end).map(|geometry| geometry.cut_mm),
    }
}

/// Where the part that is cast in furthest into the span ends, on the anchorage's axis, mm, and how it is called.
pub(crate) fn mouth_mm(context: &Context<'_>, end: &EndAt<'_>) -> Option<(f64, String)> {
    let parts = context.end_parts(end);
    let cast_in = parts.iter().map(|resolved| resolved.part.as_ref()).filter(|part| {
        part.permanence == Some(Permanence::Permanent)
            && !matches!(part.role, Some(Role::Cap | Role::Seal | Role::Tube))
    });
    cast_in
        .filter_map(|part| Some((Axis::Anchorage.stretch(part).ok()?.0, call(part))))
        .min_by(|(one, _), (other, _)| one.total_cmp(other))
}

/// How a stub comes out, in the numbers that people need.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StubPulls {
    /// In one pull.
    One {
        /// What is left of the room, mm.
        spare_mm: f64,
    },
    /// In several, with a cut between each two.
    Several {
        /// How many.
        pulls: u32,
        /// Length of each piece but the last, mm.
        piece_mm: f64,
    },
    /// Not at all in this room.
    None {
        /// How much more room makes some plan possible, mm.
        more_mm: f64,
    },
}

/// How a stub comes out.
#[must_use]
pub const fn pulls(plan: &StubPlan) -> StubPulls {
    match plan.verdict {
        StubVerdict::InOne { spare_mm } => StubPulls::One { spare_mm },
        StubVerdict::InPieces { pulls, piece_mm, .. } => StubPulls::Several { pulls, piece_mm },
        StubVerdict::PieceTooShort { shortfall_of_room_mm, .. } => {
            StubPulls::None { more_mm: shortfall_of_room_mm }
        }
    }
}
