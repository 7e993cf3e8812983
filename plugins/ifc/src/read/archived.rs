//! Models in archives (`.ifczip`): exactly one, as a STEP file or as XML.

use std::io::Read;

use restrand_kit::archive::{self, TAKE_OUT, entries, is_of_the_medium, unbearable};
use restrand_kit::{Budget, LoadError, Part};
use restrand_model::reading::Place;
use zip::ZipArchive;
use zip::result::ZipError;

/// The endings of models in an archive.
const ENDINGS: [&str; 2] = ["ifc", "ifcxml"];

/// Whether a name has this ending, in any case.
#[must_use]
pub fn has_ending(name: &str, ending: &str) -> bool {
    name.rsplit_once('.').is_some_and(|(_, last)| last.eq_ignore_ascii_case(ending))
}

/// The endings of the models that an archive holds; nothing if it cannot be opened.
#[must_use]
pub fn endings(part: &dyn Part) -> Option<Vec<&'static str>> {
    let zip = ZipArchive::new(archive::source(part)).ok()?;
    let entries = entries(&zip).ok()?;
    let holds = |ending: &&str| entries.iter().any(|entry| has_ending(&entry.name, ending));
    Some(ENDINGS.into_iter().filter(holds).collect())
}

/// The one model of an archive, unpacked, with its name; `ending` is that of the format.
///
/// # Errors
/// The archive cannot be read, unpacks to more than the budget allows, or does not hold exactly one model.
pub fn unpack(
    part: &dyn Part,
    ending: &str,
    budget: Budget,
) -> Result<(String, Vec<u8>), LoadError> {
    let refused = |why: String, help: &str| LoadError::Unreadable {
        place: Place::Part { part: part.name().to_owned() },
        why,
        help: help.to_owned(),
    };
    let broken = |error: ZipError| match error {
        ZipError::Io(error) if is_of_the_medium(&error) => LoadError::Medium(error),
        error => refused(
            format!("the archive cannot be opened: {error}"),
            "save or send the file once more",
        ),
    };
    let mut zip = ZipArchive::new(archive::source(part)).map_err(broken)?;
    let entries = entries(&zip).map_err(broken)?;
    if let Some(why) = unbearable(&entries, budget) {
        return Err(refused(why, TAKE_OUT));
    }
    let mut models =
        entries.iter().filter(|entry| ENDINGS.iter().any(|known| has_ending(&entry.name, known)));
    let (Some(entry), None) = (models.next(), models.next()) else {
        return Err(refused(
            "it does not hold exactly one model, as .ifc or .ifcxml".to_owned(),
            "put exactly one model into the archive",
        ));
    };
    if !has_ending(&entry.name, ending) {
        return Err(refused(
            format!("the model in it, {}, is no .{ending}", entry.name),
            "leave the format open, or name the one of the model",
        ));
    }
    if entry.encrypted || !entry.readable {
        return Err(refused(
            format!("{} is locked with a password, or packed in another way", entry.name),
            "save it without a password, packed as zip does by default",
        ));
    }
    let mut bytes = Vec::new();
    let file = zip.by_index(entry.index).map_err(broken)?;
    // What an archive states of a size is no promise.
    let mut file = file.take(budget.unpacked_bytes.saturating_add(1));
    file.read_to_end(&mut bytes).map_err(|error| broken(ZipError::Io(error)))?;
    if bytes.len() as u64 > budget.unpacked_bytes {
        let why = format!("{} unpacks to more than it states, and than is read", entry.name);
        return Err(refused(why, TAKE_OUT));
    }
    Ok((format!("{}/{}", part.name(), entry.name), bytes))
}
