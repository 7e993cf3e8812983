//! The file: by itself, or in an archive.

use std::io::Read;

use restrand_ifc::read::{Mapping, Stand, place, schedule};
use restrand_kit::archive::{self, TAKE_OUT, entries, is_archive, is_of_the_medium, unbearable};
use restrand_kit::{Budget, Confidence, Frames, LoadError, Part, PartReader, Parts};
use restrand_model::reading::{Place, Span};
use zip::ZipArchive;
use zip::result::ZipError;

use super::scan::{Lines, NotOne, Scanned};

/// How sure it is that a part is of the format.
pub(crate) fn probe(part: &dyn Part) -> Confidence {
    /// Bytes that are looked at.
    const HEAD: usize = 4096;
    let by_name = if has_ending(part.name(), "ifc") || has_ending(part.name(), "ifczip") {
        Confidence::Perhaps
    } else {
        Confidence::No
    };
    let mut head = Vec::new();
    if PartReader::new(part).take(HEAD as u64).read_to_end(&mut head).is_err() {
        return by_name;
    }
    if is_archive(&head) {
        let names = ZipArchive::new(archive::source(part)).ok().and_then(|zip| entries(&zip).ok());
        let holds = names.is_some_and(|names| names.iter().any(|e| has_ending(&e.name, "ifc")));
        return if holds { Confidence::Sure } else { by_name };
    }
    let text = head.strip_prefix(b"\xef\xbb\xbf").unwrap_or(&head).trim_ascii_start();
    let begins = text.get(..12).is_some_and(|begin| begin.eq_ignore_ascii_case(b"ISO-10303-21"));
    if begins { Confidence::Sure } else { by_name }
}

/// Reads a model, alone or with a mapping file.
pub(crate) fn load(
    parts: Parts<'_>,
    budget: Budget,
    frames: &mut dyn Frames,
) -> Result<(), LoadError> {
    let (part, mapping) = Mapping::beside(parts)?;
    let held;
    let bytes = match part.slice() {
        Some(bytes) => bytes,
        None => {
            held = read_all(part)?;
            &held
        }
    };
    if is_archive(bytes) {
        let (name, unpacked) = unpack(part, budget)?;
        let starts = memchr::memchr_iter(b'\n', &unpacked).map(|at| at as u64 + 1).collect();
        return model(name, &unpacked, Lines::Starts(starts), budget, &mapping, frames);
    }
    model(part.name().to_owned(), bytes, Lines::Bytes, budget, &mapping, frames)
}

fn model(
    name: String,
    bytes: &[u8],
    lines: Lines,
    budget: Budget,
    mapping: &Mapping,
    frames: &mut dyn Frames,
) -> Result<(), LoadError> {
    let by_bytes = matches!(lines, Lines::Bytes);
    let scanned = Scanned::of(name.clone(), bytes, lines, budget.depth).map_err(
        |NotOne { at, why, help }| {
            let at = at as u64;
            let stand =
                if by_bytes { Stand::Span(Span { start: at, end: at }) } else { Stand::Line(0) };
            LoadError::Unreadable { place: place(&name, stand), why, help }
        },
    )?;
    schedule(&scanned, mapping, frames)
}

/// The one model of an archive, with its name, unpacked.
fn unpack(part: &dyn Part, budget: Budget) -> Result<(String, Vec<u8>), LoadError> {
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
    let mut models = entries.iter().filter(|entry| has_ending(&entry.name, "ifc"));
    let (Some(entry), None) = (models.next(), models.next()) else {
        let as_xml = entries.iter().any(|entry| has_ending(&entry.name, "ifcxml"));
        return Err(if as_xml {
            refused(
                "it holds a model as XML".to_owned(),
                "take the .ifcxml out of the archive and check it by itself",
            )
        } else {
            refused(
                "it does not hold one file .ifc".to_owned(),
                "put exactly one model into the archive",
            )
        });
    };
    if entry.encrypted || !entry.readable {
        return Err(refused(
            format!("{} is locked with a password, or packed in another way", entry.name),
            "save it without a password, packed as zip does by default",
        ));
    }
    let mut bytes = Vec::new();
    let mut file = zip.by_index(entry.index).map_err(broken)?;
    file.read_to_end(&mut bytes).map_err(|error| broken(ZipError::Io(error)))?;
    Ok((format!("{}/{}", part.name(), entry.name), bytes))
}

fn read_all(part: &dyn Part) -> Result<Vec<u8>, LoadError> {
    let length = usize::try_from(part.len()).unwrap_or(usize::MAX);
    // A stated length is no promise: what does not fit at once is read as it comes.
    let mut bytes = Vec::new();
    let _ = bytes.try_reserve_exact(length.min(1 << 30));
    PartReader::new(part).read_to_end(&mut bytes)?;
    Ok(bytes)
}

fn has_ending(name: &str, ending: &str) -> bool {
    name.rsplit_once('.').is_some_and(|(_, last)| last.eq_ignore_ascii_case(ending))
}
