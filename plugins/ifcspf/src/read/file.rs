//! The file: by itself, or in an archive.

use std::io::{self, Read, Seek, SeekFrom};

use restrand_ifc::read::{Mapping, Stand, archived, mapping_for, only, place, schedule};
use restrand_kit::archive::is_archive;
use restrand_kit::recognise;
use restrand_kit::{Budget, Confidence, Frames, LoadError, Part, PartReader, Parts};
use restrand_model::reading::Span;

use super::parse::DEEPEST;
use super::pieces::threads_for;
use super::scan::{Lines, NotOne, Scanned};

/// How sure it is that a part is of the format.
pub(crate) fn probe(part: &dyn Part) -> Confidence {
    /// Bytes that are looked at.
    const HEAD: usize = 4096;
    let by_name = if archived::has_ending(part.name(), "ifc")
        || archived::has_ending(part.name(), "ifczip")
    {
        Confidence::Perhaps
    } else {
        Confidence::No
    };
    let mut head = Vec::new();
    if PartReader::new(part).take(HEAD as u64).read_to_end(&mut head).is_err() {
        return by_name;
    }
    if is_archive(&head) {
        return match archived::endings(part) {
            Some(endings) if endings.contains(&"ifc") => Confidence::Sure,
            // The other format of models is for another plugin.
            Some(endings) if !endings.is_empty() => Confidence::No,
            _ => by_name,
        };
    }
    let text = head.strip_prefix(b"\xef\xbb\xbf").unwrap_or(&head).trim_ascii_start();
    let begins = text.get(..12).is_some_and(|begin| begin.eq_ignore_ascii_case(b"ISO-10303-21"));
    if begins { Confidence::Sure } else { by_name }
}

/// Reads a model, with what a mapping file says of its property sets.
pub(crate) fn load(
    parts: Parts<'_>,
    budget: Budget,
    mapping: &recognise::Mapping,
    frames: &mut dyn Frames,
) -> Result<(), LoadError> {
    let part = only(parts)?;
    let mapping = mapping_for(part.name(), mapping)?;
    let held;
    let bytes = match part.slice() {
        Some(bytes) => bytes,
        None => {
            held = read_all(part)?;
            &held
        }
    };
    if is_archive(bytes) {
        let (name, unpacked) = archived::unpack(part, "ifc", budget)?;
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

/// What is made of a file by itself whose instances are known; nothing of an archive, or of what is no such file.
pub(crate) fn with_scanned<T>(
    parts: Parts<'_>,
    make: impl FnOnce(&Scanned<'_>) -> T,
) -> io::Result<Option<T>> {
    let Some(part) = parts.only() else { return Ok(None) };
    let mut bytes = Vec::new();
    PartReader::new(part).read_to_end(&mut bytes)?;
    if is_archive(&bytes) {
        return Ok(None);
    }
    let scanned = Scanned::of(part.name().to_owned(), &bytes, Lines::Bytes, DEEPEST);
    Ok(scanned.ok().map(|scanned| make(&scanned)))
}

fn read_all(part: &dyn Part) -> Result<Vec<u8>, LoadError> {
    let length = usize::try_from(part.len()).unwrap_or(usize::MAX);
    let mut bytes = side_by_side(part, length)?;
    // A stated length is no promise: what does not fit at once is read as it comes.
    let _ = bytes.try_reserve_exact(length.min(1 << 30) - bytes.len().min(length));
    let mut rest = PartReader::new(part);
    rest.seek(SeekFrom::Start(bytes.len() as u64))?;
    rest.read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// The first bytes of a part, of which each thread fetches a stretch; none where that does not pay.
fn side_by_side(part: &dyn Part, length: usize) -> Result<Vec<u8>, LoadError> {
    /// Bytes that are taken at once on the word of the part.
    const MOST: usize = 1 << 28;
    let threads = threads_for(length);
    if threads < 2 || length > MOST {
        return Ok(Vec::new());
    }
    let mut bytes = vec![0; length];
    let stretch = length.div_ceil(threads);
    let fetched: Vec<std::io::Result<usize>> = std::thread::scope(|scope| {
        let stretches: Vec<_> = bytes
            .chunks_mut(stretch)
            .enumerate()
            .map(|(position, bytes)| scope.spawn(move || fetch(part, position * stretch, bytes)))
            .collect();
        stretches.into_iter().map(|one| one.join().unwrap_or(Ok(0))).collect()
    });
    // What lies behind a stretch that is not whole is fetched once more.
    let mut whole = 0;
    for (position, fetched) in fetched.into_iter().enumerate() {
        whole += fetched?;
        if whole < ((position + 1) * stretch).min(length) {
            break;
        }
    }
    bytes.truncate(whole);
    Ok(bytes)
}

/// Fetches bytes of a part from an offset on; how many there were.
fn fetch(part: &dyn Part, offset: usize, bytes: &mut [u8]) -> std::io::Result<usize> {
    let mut filled = 0;
    while filled < bytes.len() {
        match part.read_at((offset + filled) as u64, &mut bytes[filled..])? {
            0 => break,
            count => filled += count,
        }
    }
    Ok(filled)
}
