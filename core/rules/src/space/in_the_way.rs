//! How more room behind an end is asked for: from the wall, or from the obstacle that ends the room.

use restrand_finding::{Fact, Finding};

use crate::context::EndAt;
use crate::ends::ClearBehind;

/// Adds the remedy that makes `{more_mm}` more room for `what`: `by_room`, or the obstacle's move.
pub(super) fn remedy(
    finding: Finding,
    end: &EndAt<'_>,
    clear: &ClearBehind,
    what: &str,
    by_room: &str,
) -> Finding {
    let Some(index) = clear.obstacle else { return finding.remedy(by_room) };
    let name = end.end.obstacles[index].name.as_deref();
    finding
        .fact(Fact::text("obstacle", name.unwrap_or("an obstacle")))
        .related(
            end.route.field("obstacles").item(index),
            format!("{{obstacle}} is in the way of the {what}: the room ends there"),
        )
        .remedy(format!("Move {{obstacle}} out of the {what}'s way, or {{more_mm}} further back"))
}
