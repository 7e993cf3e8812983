//! The layout that a format gets which shows models.

use restrand_kit::{Layout, Plugin};
use restrand_model::schedule::Schedule;

use crate::fault::Fault;
use crate::rulebook::{ByCode, Chosen};

/// What follows in space from a schedule, for a format that asks for it; margins and gear are those of the rulebook
/// that was chosen, else of the one for the declared design code.
pub(crate) fn of(
    plugin: &dyn Plugin,
    schedule: &Schedule,
    chosen: Option<&Chosen>,
) -> Result<Option<Layout>, Fault> {
    if !plugin.takes_layout() {
        return Ok(None);
    }
    let by_code;
    let book = match chosen {
        Some(chosen) => &chosen.book,
        None => {
            by_code = ByCode::default().choose(schedule)?;
            &by_code.book
        }
    };
    Ok(Some(restrand_check::layout(schedule, book)))
}
