//! The formats that come with the program, and which of them a file is.

use std::path::Path;

use restrand_kit::{Confidence, Description, LoadError, Part, Parts, Plugin};
use restrand_model::reading::Place;

/// Every format, in the order in which they are asked.
static PLUGINS: &[&dyn Plugin] = &[&restrand_workbook::Workbook, &restrand_json::Json];

/// What each format is and where it came from.
pub(crate) fn descriptions() -> Vec<(Description, &'static str)> {
    PLUGINS.iter().map(|plugin| (plugin.describe(), "built in")).collect()
}

/// The format of this name.
pub(crate) fn named(id: &str) -> Result<&'static dyn Plugin, String> {
    PLUGINS.iter().copied().find(|plugin| plugin.describe().id == id).ok_or_else(|| {
        let ids: Vec<_> = PLUGINS.iter().map(|plugin| plugin.describe().id).collect();
        format!("no format is called \"{id}\"; there are {}", ids.join(", "))
    })
}

/// The format that the part is: the one that is sure, or else one whose ending fits.
pub(crate) fn of(part: &dyn Part) -> Result<&'static dyn Plugin, LoadError> {
    let parts: [&dyn Part; 1] = [part];
    let parts = Parts(&parts);
    let mut perhaps = None;
    for plugin in PLUGINS {
        match plugin.probe(parts) {
            Confidence::Sure => return Ok(*plugin),
            Confidence::Perhaps => perhaps = perhaps.or(Some(*plugin)),
            Confidence::No => {}
        }
    }
    perhaps.ok_or_else(|| LoadError::Unreadable {
        place: Place::Part { part: part.name().to_owned() },
        why: "it is of no format that is read".to_owned(),
        help: help(),
    })
}

/// The format that is written under this name, by its ending.
pub(crate) fn writer_of(path: &Path) -> Result<(&'static dyn Plugin, &'static str), String> {
    let given = path.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
    let endings = || {
        PLUGINS.iter().flat_map(|plugin| {
            plugin.describe().writes.iter().map(move |ending| (*plugin, *ending))
        })
    };
    endings().find(|(_, ending)| ending.eq_ignore_ascii_case(given)).ok_or_else(|| {
        let known: Vec<_> = endings().map(|(_, ending)| format!(".{ending}")).collect();
        format!("{} has no ending that is written; there are {}", path.display(), known.join(", "))
    })
}

/// What files are read.
pub(crate) fn help() -> String {
    let formats: Vec<_> = PLUGINS
        .iter()
        .map(|plugin| {
            let format = plugin.describe();
            let endings: Vec<_> = format.reads.iter().map(|ending| format!(".{ending}")).collect();
            format!("{} ({})", format.id, endings.join(" "))
        })
        .collect();
    format!(
        "Formats that are read: {}; save the schedule as one of them, or name its format with --from",
        formats.join(", ")
    )
}
