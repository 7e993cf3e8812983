//! How more room behind an end is asked for: from the wall, or from the obstacle that ends the room.

use restrand_finding::{Fact, Finding};

use crate::ends::ClearBehind;

/// Adds the remedy that makes `{more_mm}` more room for `what`: `by_room`, or the obstacle's move.
pub(super) fn remedy(finding: Finding, clear: &ClearBehind, what: &str, by_room: &str) -> Finding {
    let Some(obstacle) = &clear.obstacle else { return finding.remedy(by_room) };
    finding
        .fact(Fact::text("obstacle", obstacle.name.as_str()))
        .related(
            obstacle.route.clone(),
            format!("{{obstacle}} is in the way of the {what}: the room ends there"),
        )
        .remedy(format!("Move {{obstacle}} out of the {what}'s way, or {{more_mm}} further back"))
}
