//! The pipe that a duct's nominal size and schedule name.

use restrand_mechanics::tables::pipe::{Schedule, SteelPipe, steel_pipe};
use restrand_model::schedule::{Duct, DuctMaterial};

/// The pipe that nominal size and schedule name.
pub(super) fn listed_pipe(duct: &Duct) -> Option<&'static SteelPipe> {
    // Schedules of polymer pipe are other tables.
    if !matches!(duct.material, None | Some(DuctMaterial::Steel)) {
        return None;
    }
    let size = nominal_size(duct.nominal_size.as_deref()?)?;
    steel_pipe(size, schedule(duct.pipe_schedule.as_deref()?)?).ok()?
}

/// Reads `4`, `NPS 3-1/2` or `3 1/2 in`.
pub(super) fn nominal_size(text: &str) -> Option<f64> {
    let text = text.trim();
    let text = strip(text, "nps").unwrap_or(text).trim();
    let text = text.trim_end_matches(['"', '″']);
    let text = text.strip_suffix("in").unwrap_or(text).trim();
    let number =
        |text: &str| text.trim().parse::<f64>().ok().filter(|it| it.is_finite() && *it > 0.0);
    if let Some(size) = number(text) {
        return Some(size);
    }
    let (whole, fraction) = text.split_once(['-', ' '])?;
    let (above, below) = fraction.split_once('/')?;
    Some(number(whole)? + number(above)? / number(below)?)
}

/// Reads `40`, `Sch 40`, `schedule 80` or `S40`.
pub(super) fn schedule(text: &str) -> Option<Schedule> {
    let text = text.trim();
    let digits = ["schedule", "sch.", "sch", "s"].iter().find_map(|word| strip(text, word));
    match digits.unwrap_or(text).trim() {
        "40" => Some(Schedule::S40),
        "80" => Some(Schedule::S80),
        _ => None,
    }
}

/// The text behind a word at its beginning, whatever the word's case.
fn strip<'t>(text: &'t str, word: &str) -> Option<&'t str> {
    let start = text.get(..word.len())?;
    start.eq_ignore_ascii_case(word).then(|| &text[word.len()..])
}
