//! The zip archive round a workbook, looked over before anything is unpacked for good.
//!
//! The readers set no bound to what they unpack and believe the counts that a file states, so both are
//! checked here.
//! An archive's stated sizes hold: the zip crate stops with an error where a part outgrows its size (a test
//! of this crate keeps watch).
//! Only this module, its own ones and [`crate::ods`] know the zip crate, whose interface changes often.

mod cut;
mod unpack;

use std::io::{self, BufReader, Read};

use quick_xml::events::Event;
use restrand_kit::archive::{self, Entry, Source, TAKE_OUT, megabytes, source};
use restrand_kit::{Budget, LoadError, Part};
use zip::ZipArchive;
use zip::result::ZipError;

pub(crate) use self::unpack::{check_sums, unpacked};
use crate::refusal::{Refusal, SAVE_AGAIN};

/// What kind of workbook an archive holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Content {
    /// XML parts: .xlsx, .xlsm.
    Xlsx,
    /// Binary parts: .xlsb.
    Xlsb,
    /// `OpenDocument`.
    Ods,
}

/// An archive that was looked over.
pub(crate) struct Envelope<'a> {
    pub(crate) content: Content,
    pub(crate) archive: ZipArchive<Source<'a>>,
    /// Bytes of the list of texts that cells share, unpacked.
    pub(crate) shared_texts: u64,
}

/// What the parts beside sheets and texts may hold: a list of sheets or styles of this size is none.
const ASIDE_BYTES: u64 = 64_000_000;
/// Bytes of memory that a byte of the list of shared texts can take (five bytes make an empty text).
const TEXT_WEIGHT: u64 = 8;
/// The formats know 65,490 cell styles; each one takes much more memory than text.
const MAX_STYLES: u64 = 200_000;
/// Elements of the part of styles.
const MAX_STYLE_ELEMENTS: u64 = 1_000_000;

/// Whether the archive's list of parts is that of a workbook.
pub(crate) fn is_workbook(part: &dyn Part) -> bool {
    let Ok(mut archive) = ZipArchive::new(source(part)) else { return false };
    let Ok(entries) = entries(&archive) else { return false };
    matches!(content(&mut archive, &entries), Some(Ok(_)))
}

/// The parts of the archive, their names in lower case: programs do not agree on it.
fn entries(archive: &ZipArchive<Source<'_>>) -> Result<Vec<Entry>, ZipError> {
    let mut entries = archive::entries(archive)?;
    for entry in &mut entries {
        entry.name.make_ascii_lowercase();
    }
    Ok(entries)
}

/// What the archive holds: a workbook, something else that can be named, or nothing known.
fn content(
    archive: &mut ZipArchive<Source<'_>>,
    entries: &[Entry],
) -> Option<Result<Content, &'static str>> {
    const OPEN: &str = "application/vnd.oasis.opendocument.";
    if let Some(entry) = entries.iter().find(|entry| entry.name == "mimetype") {
        let mut kind = String::new();
        let part = archive.by_index(entry.index).ok()?;
        // The longest of these names has 60 letters.
        part.take(80).read_to_string(&mut kind).ok()?;
        let kind = kind.trim();
        return match kind.strip_prefix(OPEN) {
            Some("spreadsheet" | "spreadsheet-template") => Some(Ok(Content::Ods)),
            Some(kind) if kind.starts_with("text") => Some(Err("a text document")),
            Some(kind) if kind.starts_with("presentation") => Some(Err("a presentation")),
            Some(kind) if kind.starts_with("graphics") => Some(Err("a drawing")),
            _ => None,
        };
    }
    let named = |file: &str| {
        entries.iter().any(|entry| entry.name.rsplit('/').next().is_some_and(|last| last == file))
    };
    let under = |folder: &str| entries.iter().any(|entry| entry.name.starts_with(folder));
    if named("workbook.xml") {
        Some(Ok(Content::Xlsx))
    } else if named("workbook.bin") {
        Some(Ok(Content::Xlsb))
    } else if under("word/") {
        Some(Err("a text document"))
    } else if under("ppt/") {
        Some(Err("a presentation"))
    } else if under("xl/") {
        // The workbook's own part may have any name; the reader finds it through the relations.
        Some(Ok(Content::Xlsx))
    } else {
        None
    }
}

/// Opens the archive of a workbook, once it is known to be bearable.
pub(crate) fn open<'a>(
    part: &'a dyn Part,
    budget: Budget,
    refusal: &Refusal<'_>,
) -> Result<Envelope<'a>, LoadError> {
    let mut archive = ZipArchive::new(source(part)).map_err(|error| match error {
        ZipError::Io(error) if error.kind() != io::ErrorKind::UnexpectedEof => error.into(),
        _ => refusal.error(
            "the file is cut short or damaged: the list of its parts, which stands at its end, is \
             missing",
            "copy or download the file once more",
        ),
    })?;
    let entries = entries(&archive).map_err(|error| refusal.damaged(error))?;
    let content = match content(&mut archive, &entries) {
        Some(Ok(content)) => content,
        Some(Err(other)) => {
            return Err(refusal.error(
                format!("this is not a workbook but {other}"),
                "name a workbook with the schedule",
            ));
        }
        None => {
            return Err(refusal.error(
                "this is a zip archive without a workbook in it",
                "unpack it and name the workbook inside, if there is one",
            ));
        }
    };
    if entries.iter().any(|entry| entry.encrypted) {
        return Err(refusal.encrypted());
    }
    if let Some(entry) = entries.iter().find(|entry| !entry.readable) {
        return Err(refusal.error(
            format!("its part {} is packed in a way that workbooks do not use", entry.name),
            SAVE_AGAIN,
        ));
    }
    check_sizes(&entries, content, budget, refusal)?;
    for entry in &entries {
        match entry.name.rsplit('/').next() {
            Some("sharedstrings.xml") => check_shared_texts(&mut archive, entry, refusal)?,
            Some("styles.xml") if content == Content::Xlsx => {
                check_styles(&mut archive, entry, refusal)?;
            }
            _ => {}
        }
    }
    let shared_texts = entries
        .iter()
        .filter(|entry| entry.name.ends_with("sharedstrings.xml"))
        .map(|entry| entry.unpacked)
        .fold(0, u64::saturating_add);
    Ok(Envelope { content, archive, shared_texts })
}

fn check_sizes(
    entries: &[Entry],
    content: Content,
    budget: Budget,
    refusal: &Refusal<'_>,
) -> Result<(), LoadError> {
    if let Some(why) = archive::unbearable(entries, budget) {
        return Err(refusal.error(why, TAKE_OUT));
    }
    for entry in entries {
        let Entry { name, unpacked, .. } = entry;
        let last = name.rsplit('/').next().unwrap_or(name);
        let bearable = if last.starts_with("sharedstrings.") {
            budget.unpacked_bytes / TEXT_WEIGHT
        } else if matches!(last, "workbook.xml" | "workbook.bin" | "styles.xml" | "styles.bin")
            || last.ends_with(".rels")
            || last.starts_with("theme")
            || (content == Content::Ods && last != "content.xml")
        {
            // Pictures of an OpenDocument file are never unpacked, but none is so large.
            ASIDE_BYTES.min(budget.unpacked_bytes)
        } else {
            budget.unpacked_bytes
        };
        if *unpacked > bearable {
            return Err(refusal.error(
                format!(
                    "its part {name} would take {} unpacked, more than the {} that are allowed for it",
                    megabytes(*unpacked),
                    megabytes(bearable)
                ),
                TAKE_OUT,
            ));
        }
    }
    Ok(())
}

/// The reader makes room for as many shared texts as the list states before it reads one; a false number
/// would end the process.
fn check_shared_texts(
    archive: &mut ZipArchive<Source<'_>>,
    entry: &Entry,
    refusal: &Refusal<'_>,
) -> Result<(), LoadError> {
    /// The element that states the count is the first one.
    const HEAD: u64 = 1024 * 1024;
    /// Bytes of the shortest text, `<si/>`.
    const SHORTEST: u64 = 5;
    let part = archive.by_index(entry.index).map_err(|error| refusal.damaged(error))?;
    let mut xml = quick_xml::Reader::from_reader(BufReader::new(part.take(HEAD)));
    let config = xml.config_mut();
    config.expand_empty_elements = true;
    config.check_end_names = false;
    let mut buffer = Vec::new();
    loop {
        buffer.clear();
        match xml.read_event_into(&mut buffer) {
            Ok(Event::Start(element)) if element.local_name().as_ref() == "sst" => {
                let stated = element
                    .attributes()
                    .with_checks(false)
                    .flatten()
                    .filter(|attribute| attribute.key.as_ref() == "uniqueCount")
                    .map(|attribute| attribute.value.trim().parse().unwrap_or(0))
                    .max();
                return match stated {
                    Some(count) if count > entry.unpacked / SHORTEST => {
                        Err(refusal
                            .damaged("the list of its texts states more texts than it can hold"))
                    }
                    _ => Ok(()),
                };
            }
            Ok(Event::Eof) => {
                return Err(refusal.damaged("the list of its texts does not begin as one"));
            }
            Ok(_) => {}
            Err(error) => {
                return Err(refusal.damaged(format!("the list of its texts is broken ({error})")));
            }
        }
    }
}

/// The reader keeps a full description of every style, a hundred times the bytes of the shortest one.
fn check_styles(
    archive: &mut ZipArchive<Source<'_>>,
    entry: &Entry,
    refusal: &Refusal<'_>,
) -> Result<(), LoadError> {
    let mut part = archive.by_index(entry.index).map_err(|error| refusal.damaged(error))?;
    let mut chunk = vec![0; 64 * 1024];
    let (mut elements, mut styles) = (0_u64, 0_u64);
    let mut before = [0_u8; 2];
    loop {
        let count = part.read(&mut chunk).map_err(|error| refusal.damaged(error))?;
        if count == 0 {
            break;
        }
        for byte in &chunk[..count] {
            match (before, byte) {
                (_, b'<') => elements += 1,
                // `<xf` or, with a prefix, `:xf`.
                ([b'<' | b':', b'x'], b'f') => styles += 1,
                _ => {}
            }
            before = [before[1], *byte];
        }
    }
    if styles > MAX_STYLES || elements > MAX_STYLE_ELEMENTS {
        return Err(refusal.error(
            format!("it holds {styles} cell styles, more than any spreadsheet program keeps"),
            "copy the sheets of the schedule into a new workbook",
        ));
    }
    Ok(())
}
