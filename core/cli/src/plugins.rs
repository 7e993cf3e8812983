//! The formats that come with the program, and which of them a file is.

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

/// The format that writes files of this name, and the ending it stands for there; `to` names the format, if the
/// user did.
pub(crate) fn writer(
    to: Option<&str>,
    ending: Option<&str>,
) -> Result<(&'static dyn Plugin, Option<&'static str>), String> {
    let known = |plugin: &dyn Plugin| {
        let ending = ending?;
        plugin.describe().writes.iter().copied().find(|known| known.eq_ignore_ascii_case(ending))
    };
    if let Some(to) = to {
        let plugin = named(to)?;
        return match plugin.describe().writes {
            [] => Err(format!("the format {to} is read only")),
            _ => Ok((plugin, known(plugin))),
        };
    }
    let writes = |plugin: &&dyn Plugin| !plugin.describe().writes.is_empty();
    match PLUGINS.iter().find_map(|plugin| Some((*plugin, known(*plugin)?))) {
        Some((plugin, ending)) => Ok((plugin, Some(ending))),
        None => {
            let formats: Vec<_> = PLUGINS
                .iter()
                .filter(|plugin| writes(plugin))
                .map(|plugin| {
                    let format = plugin.describe();
                    let endings: Vec<_> =
                        format.writes.iter().map(|ending| format!(".{ending}")).collect();
                    format!("{} ({})", format.id, endings.join(" "))
                })
                .collect();
            Err(format!(
                "the name of the output does not tell its format; formats that are written: {}; name one with \
                 --to",
                formats.join(", ")
            ))
        }
    }
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
