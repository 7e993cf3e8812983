//! Zip archives of formats that are files in one, looked over before anything is unpacked.
//!
//! An archive's stated sizes hold: the zip crate stops with an error where a file outgrows its size.
//! So what the list at its end states is enough to refuse what would not be bearable.

use std::io::{self, Read, Seek, SeekFrom};

use zip::result::ZipError;
use zip::{CompressionMethod, ZipArchive};

use crate::part::{Part, PartReader, before_the_beginning};
use crate::plugin::Budget;

/// Bytes of a part that are kept at hand.
const WINDOW: usize = 64 * 1024;

/// A part as readers of archives want it: they go back and forth between the list at the end and files of a
/// few bytes, so what was read last stays at hand wherever they go; of a part in memory everything is.
pub struct Source<'a> {
    part: PartReader<'a>,
    whole: Option<&'a [u8]>,
    length: u64,
    position: u64,
    window: Vec<u8>,
    window_begins: u64,
}

impl Source<'_> {
    /// What is at hand from the position on.
    fn at_hand(&self) -> &[u8] {
        let (stretch, begins) = match self.whole {
            Some(whole) => (whole, 0),
            None => (&*self.window, self.window_begins),
        };
        self.position
            .checked_sub(begins)
            .and_then(|offset| stretch.get(usize::try_from(offset).ok()?..))
            .unwrap_or_default()
    }

    /// Brings the stretch of the part in which the position stands to hand.
    fn bring(&mut self) -> io::Result<()> {
        self.window_begins = self.position - self.position % WINDOW as u64;
        self.window.clear();
        self.window.reserve_exact(WINDOW);
        self.part.seek(SeekFrom::Start(self.window_begins))?;
        self.part.by_ref().take(WINDOW as u64).read_to_end(&mut self.window)?;
        Ok(())
    }
}

impl Read for Source<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        if self.at_hand().is_empty() && self.position < self.length {
            self.bring()?;
        }
        let count = self.at_hand().read(buffer)?;
        self.position += count as u64;
        Ok(count)
    }
}

impl Seek for Source<'_> {
    fn seek(&mut self, target: SeekFrom) -> io::Result<u64> {
        let position = match target {
            SeekFrom::Start(offset) => Some(offset),
            SeekFrom::End(offset) => self.length.checked_add_signed(offset),
            SeekFrom::Current(offset) => self.position.checked_add_signed(offset),
        };
        self.position = position.ok_or_else(before_the_beginning)?;
        Ok(self.position)
    }
}

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

/// Files of an archive: ten for each sheet that a workbook may have. What is known of each takes memory, several
/// times over.
const MOST_FILES: usize = 100_000;

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
    Source {
        part: PartReader::new(part),
        whole: part.slice(),
        length: part.len(),
        position: 0,
        window: Vec::new(),
        window_begins: 0,
    }
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
    if entries.len() > MOST_FILES {
        return Some(format!("it has {} parts, more than {MOST_FILES}", entries.len()));
    }
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

#[cfg(test)]
mod tests {
    use std::io::{Read, Seek, SeekFrom};
    use std::sync::atomic::{AtomicUsize, Ordering};

    use super::*;

    /// Counts how often it is read; it gives at most 10,000 bytes at a time, as a medium may.
    struct Counted(Vec<u8>, AtomicUsize);

    impl Part for Counted {
        fn name(&self) -> &str {
            "counted.zip"
        }

        fn len(&self) -> u64 {
            self.0.len() as u64
        }

        fn read_at(&self, offset: u64, buffer: &mut [u8]) -> io::Result<usize> {
            self.1.fetch_add(1, Ordering::Relaxed);
            let at = usize::try_from(offset).expect("small").min(self.0.len());
            let count = buffer.len().min(self.0.len() - at).min(10_000);
            buffer[..count].copy_from_slice(&self.0[at..at + count]);
            Ok(count)
        }
    }

    #[test]
    fn a_source_reads_what_the_part_holds_wherever_it_goes() {
        let bytes: Vec<u8> = (0..200_000_u32).map(|index| (index % 251) as u8).collect();
        let part = Counted(bytes.clone(), AtomicUsize::new(0));
        let mut whole = Vec::new();
        source(&part).read_to_end(&mut whole).expect("it is there");
        assert_eq!(whole, bytes);
        let mut source = source(&part);
        for (target, at) in [
            (SeekFrom::End(-22), 199_978),
            (SeekFrom::Start(65_530), 65_530),
            (SeekFrom::Current(-65_000), 542),
            (SeekFrom::End(0), 200_000),
            (SeekFrom::Start(300_000), 300_000),
            (SeekFrom::Start(131_071), 131_071),
        ] {
            assert_eq!(source.seek(target).expect("it is in the part"), at as u64);
            let mut some = Vec::new();
            source.by_ref().take(12).read_to_end(&mut some).expect("it is there");
            assert_eq!(some, bytes[at.min(200_000)..(at + 12).min(200_000)], "{target:?}");
        }
        assert!(source.seek(SeekFrom::Current(-200_000)).is_err());
    }

    #[test]
    fn an_archive_of_more_files_than_any_has_is_unbearable() {
        let entry = Entry {
            index: 0,
            name: String::new(),
            packed: 0,
            unpacked: 0,
            encrypted: false,
            readable: true,
        };
        let why = |count| unbearable(&vec![entry.clone(); count], Budget::default());
        assert_eq!(why(MOST_FILES), None);
        assert!(why(MOST_FILES + 1).is_some_and(|why| why.contains("100001 parts")));
    }

    #[test]
    fn what_is_at_hand_is_not_read_once_more() {
        let part = Counted(vec![7; 60_000], AtomicUsize::new(0));
        let mut source = source(&part);
        let mut some = [0; 30];
        let mut read = Vec::new();
        for at in [59_000, 100, 30_000, 0, 59_960] {
            source.seek(SeekFrom::Start(at)).expect("it is in the part");
            source.read_exact(&mut some).expect("it is there");
            read.push(part.1.load(Ordering::Relaxed));
        }
        assert!(read[0] > 0 && read.iter().all(|count| *count == read[0]), "{read:?}");
    }
}
