//! The parts of a workbook, unpacked whole.

use std::io::{Cursor, Read as _, Write as _};

use restrand_kit::archive::{Entry, Source, is_of_the_medium, source};
use restrand_kit::{Bytes, LoadError, Part};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

use super::cut::Values;
use super::entries;
use crate::refusal::{Refusal, SAVE_AGAIN};

/// Unpacks every part to its end, where its checksum stands, and looks for values that are not read whole.
///
/// The readers stop where the last cell does and never come to the end. Of a value with a comment or a
/// section of raw text in it the reader gives a piece or nothing, and does not say so.
pub(crate) fn check_sums(part: &dyn Part, refusal: &Refusal<'_>) -> Result<(), LoadError> {
    let mut archive = ZipArchive::new(source(part)).map_err(|error| refusal.damaged(error))?;
    let entries = entries(&archive).map_err(|error| refusal.damaged(error))?;
    let looked_through: Vec<&Entry> =
        entries.iter().filter(|entry| is_looked_through(entry)).collect();
    unpack(&mut archive, &looked_through, refusal, &mut |_| {})
}

/// The same workbook with its parts unpacked, if it is small and whole; so many threads unpack it.
///
/// Most of it is wanted by several readers, and its sums are checked on the way: what is unpacked once serves them
/// all. Where something is wrong with it nothing is given, and whoever reads it the other way finds what.
pub(crate) fn unpacked(part: &dyn Part, threads: usize, refusal: &Refusal<'_>) -> Option<Bytes> {
    /// Above this it is worth more that it is read while it is unpacked.
    const SMALL: u64 = 4_000_000;
    let mut archive = ZipArchive::new(source(part)).ok()?;
    let entries = entries(&archive).ok()?;
    let total = entries.iter().map(|entry| entry.unpacked).fold(0, u64::saturating_add);
    if total > SMALL {
        return None;
    }
    // What is not looked through stays packed, and each part has its lines in the archive and its list.
    let room = usize::try_from(total).ok()? + archive.len() * 256;
    let mut whole = contents(part, &entries, threads, room, refusal)?;
    // A part may have any name, so what is not unpacked is there for whoever looks for it.
    for entry in entries.iter().filter(|entry| !is_looked_through(entry)) {
        whole.raw_copy_file(archive.by_index_raw(entry.index).ok()?).ok()?;
    }
    Some(Bytes::new(part.name(), whole.finish().ok()?.into_inner()))
}

/// An archive in memory that grows.
type Growing = ZipWriter<Cursor<Vec<u8>>>;

/// The parts that are looked through, unpacked by so many threads; there is room for what else belongs to them.
fn contents(
    part: &dyn Part,
    entries: &[Entry],
    threads: usize,
    room: usize,
    refusal: &Refusal<'_>,
) -> Option<Growing> {
    let of_share = |share: &[&Entry], room: usize| {
        let as_it_is = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
        let mut archive = ZipArchive::new(source(part)).ok()?;
        let mut whole = ZipWriter::new(Cursor::new(Vec::with_capacity(room)));
        let mut is_well = true;
        unpack(&mut archive, share, refusal, &mut |piece| {
            is_well &= match piece {
                Piece::Begin(name) => whole.start_file(name, as_it_is).is_ok(),
                Piece::More(bytes) => whole.write_all(bytes).is_ok(),
            };
        })
        .ok()?;
        is_well.then_some(whole)
    };
    let of_share = &of_share;
    let looked_through: Vec<&Entry> =
        entries.iter().filter(|entry| is_looked_through(entry)).collect();
    let mut shares = shares(&looked_through, threads).into_iter();
    let first = shares.next()?;
    std::thread::scope(|scope| {
        let others: Vec<_> =
            shares.map(|share| scope.spawn(move || of_share(share, bytes(share)))).collect();
        let mut whole = of_share(first, room)?;
        for other in others {
            // Whatever makes it panic is met by whoever reads it the other way.
            let other = other.join().ok()??;
            whole.merge_archive(other.finish_into_readable().ok()?).ok()?;
        }
        Some(whole)
    })
}

/// Room for the entries of a share, unpacked.
fn bytes(share: &[&Entry]) -> usize {
    let unpacked = share.iter().map(|entry| entry.unpacked).fold(0, u64::saturating_add);
    usize::try_from(unpacked).unwrap_or(usize::MAX).saturating_add(share.len() * 256)
}

/// The entries in so many shares, of about as many bytes each.
fn shares<'s, 'e>(entries: &'s [&'e Entry], count: usize) -> Vec<&'s [&'e Entry]> {
    let total = entries.iter().map(|entry| entry.unpacked).fold(0, u64::saturating_add);
    let each = total / count.max(1) as u64 + 1;
    let mut before = 0_u64;
    entries
        .chunk_by(|entry, _| {
            let share = before / each;
            before = before.saturating_add(entry.unpacked);
            before / each == share
        })
        .collect()
}

/// Whether a part is unpacked to its end: pictures and the like are not read, so they may be what they are.
fn is_looked_through(entry: &Entry) -> bool {
    [".xml", ".rels", ".bin"].iter().any(|ending| entry.name.ends_with(ending))
}

/// What comes of a part that is unpacked.
enum Piece<'b> {
    /// The one of this name begins.
    Begin(&'b str),
    /// These bytes of it.
    More(&'b [u8]),
}

/// Unpacks parts to their ends, and gives each to `take` piece by piece.
fn unpack(
    archive: &mut ZipArchive<Source<'_>>,
    entries: &[&Entry],
    refusal: &Refusal<'_>,
    take: &mut dyn FnMut(Piece<'_>),
) -> Result<(), LoadError> {
    let mut chunk = vec![0; 32 * 1024];
    for entry in entries {
        let mut part = archive.by_index(entry.index).map_err(|error| refusal.damaged(error))?;
        let name = part.name().map_err(|error| refusal.damaged(error))?.into_owned();
        take(Piece::Begin(&name));
        let mut values = entry.name.ends_with(".xml").then(Values::default);
        loop {
            match part.read(&mut chunk) {
                Ok(0) => break,
                Ok(count) => {
                    if values.as_mut().is_some_and(|values| values.is_cut(&chunk[..count])) {
                        return Err(refusal.error(
                            format!(
                                "its part {} has a comment or a section of raw text (CDATA) inside the value of \
                                 a cell, of which only a piece would be read",
                                entry.name
                            ),
                            SAVE_AGAIN,
                        ));
                    }
                    take(Piece::More(&chunk[..count]));
                }
                Err(error) if is_of_the_medium(&error) => return Err(error.into()),
                Err(error) => {
                    return Err(
                        refusal.damaged(format!("its part {} is not whole ({error})", entry.name))
                    );
                }
            }
        }
    }
    Ok(())
}
