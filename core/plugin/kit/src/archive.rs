//! Zip archives of formats that are files in one, looked over before anything is unpacked.
//!
//! An archive's stated sizes hold: the zip crate stops with an error where a file outgrows its size.
//! So what the list at its end states is enough to refuse what would not be bearable.

use std::io::{self, BufReader};

use zip::result::ZipError;
use zip::{CompressionMethod, ZipArchive};

use crate::part::{Part, PartReader};
use crate::plugin::Budget;

/// A part as readers of archives want it.
pub type Source<'a> = BufReader<PartReader<'a>>;

/// A file of an archive, as the archive's list states it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// Its position in the list.
    pub index: usize,
    /// Its name as given, with forward slashes.
    pub name: String,
    /// Bytes that it takes in the archive.
    pub packed: u64,
    /// Bytes that it has unpacked.
    pub unpacked: u64,
    /// Whether it is locked with a password.
    pub encrypted: bool,
    /// Whether it is packed in a way that can be read.
    pub readable: bool,
}

/// A file smaller than this is no bomb, however well it is packed.
const SUSPECT_BYTES: u64 = 50_000_000;
/// Rows of a real sheet pack ten to forty times; zeros a thousand times.
const SUSPECT_RATIO: u64 = 200;

/// What to do about an archive that would take too much unpacked.
pub const TAKE_OUT: &str =
    "if the file is to be trusted, take out what is not the schedule and save it again";

/// Whether a part begins as an archive does.
#[must_use]
pub fn is_archive(head: &[u8]) -> bool {
    head.starts_with(b"PK\x03\x04") || head.starts_with(b"PK\x05\x06")
}

/// A reader of the part as a file.
#[must_use]
pub fn source(part: &dyn Part) -> Source<'_> {
    BufReader::with_capacity(64 * 1024, PartReader::new(part))
}

/// The files of an archive.
///
/// # Errors
/// What the list says of a file does not fit the archive.
pub fn entries(archive: &ZipArchive<Source<'_>>) -> Result<Vec<Entry>, ZipError> {
    (0..archive.len())
        .map(|index| {
            let entry = archive.by_index_data(index)?;
            Ok(Entry {
                index,
                name: String::from_utf8_lossy(entry.name_raw()).replace('\\', "/"),
                packed: entry.compressed_size(),
                unpacked: entry.size(),
                encrypted: entry.encrypted(),
                readable: matches!(
                    entry.compression(),
                    CompressionMethod::Stored | CompressionMethod::Deflated
                ),
            })
        })
        .collect()
}

/// Why files of an archive are not to be unpacked, if they would take more than the budget or more than their
/// kind ever does.
#[must_use]
pub fn unbearable(entries: &[Entry], budget: Budget) -> Option<String> {
    let total = entries.iter().fold(0_u64, |sum, entry| sum.saturating_add(entry.unpacked));
    if total > budget.unpacked_bytes {
        return Some(format!(
            "unpacked it would take {}, more than the {} that are allowed",
            megabytes(total),
            megabytes(budget.unpacked_bytes)
        ));
    }
    entries
        .iter()
        .find(|entry| {
            entry.unpacked > SUSPECT_BYTES && entry.unpacked / SUSPECT_RATIO > entry.packed
        })
        .map(|entry| {
            format!(
                "its part {} would unpack from {} to {}, as no real sheet does",
                entry.name,
                megabytes(entry.packed),
                megabytes(entry.unpacked)
            )
        })
}

/// Bytes for people.
#[must_use]
pub fn megabytes(bytes: u64) -> String {
    if bytes < 1_000_000 { format!("{bytes} bytes") } else { format!("{} MB", bytes / 1_000_000) }
}

/// Whether the medium failed, and not the content.
#[must_use]
pub fn is_of_the_medium(error: &io::Error) -> bool {
    use io::ErrorKind::{InvalidData, InvalidInput, Other, UnexpectedEof};
    !matches!(error.kind(), InvalidData | InvalidInput | UnexpectedEof | Other)
}
