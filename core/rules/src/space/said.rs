//! What the rules on the room at an end say alike: which bay gives a distance that none states, and how more of it is
//! asked for.

use restrand_finding::{Fact, Finding};
use restrand_model::route::Route;

use crate::context::Context;
use crate::ends::{Clear, ClearBehind};

/// Adds which bay gives a distance that the end does not state.
pub(super) fn of_bay(finding: Finding, context: &Context<'_>, clear: Clear) -> Finding {
    let Some(bay) = clear.bay else { return finding };
    finding.fact(Fact::text("room_bay", context.ways().call_bay(bay))).related(
        Route::to("bays", bay),
        "no such distance is stated at the end: it is what bay {room_bay} gives",
    )
}

/// Adds the remedy that makes `{more_mm}` more room for `what`: `by_room`, or the obstacle's move.
pub(super) fn remedy(
    finding: Finding,
    context: &Context<'_>,
    clear: &ClearBehind,
    what: &str,
    by_room: &str,
) -> Finding {
    let Some(obstacle) = &clear.obstacle else {
        return of_bay(finding, context, clear.clear()).remedy(by_room);
    };
    finding
        .fact(Fact::text("obstacle", obstacle.name.as_str()))
        .related(
            obstacle.route.clone(),
            format!("{{obstacle}} is in the way of the {what}: the room ends there"),
        )
        .remedy(format!("Move {{obstacle}} out of the {what}'s way, or {{more_mm}} further back"))
}
