//! What kind of file a part is, by its first bytes.

use std::io;

use restrand_kit::archive::is_archive;
use restrand_kit::{Confidence, LoadError, Part};

use crate::compound;
use crate::envelope;
use crate::refusal::{Refusal, SAVE_AGAIN};

/// The container of a workbook.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// A zip archive: .xlsx, .xlsm, .xlsb, .ods.
    Archive,
    /// A compound file: .xls, and any encrypted workbook of the newer formats.
    Compound,
}

/// Bytes that are looked at to tell what a file is.
const HEAD: usize = 512;

/// Reads as much of the beginning as the buffer takes.
pub(crate) fn read_head(part: &dyn Part, buffer: &mut [u8]) -> io::Result<usize> {
    let mut filled = 0;
    while filled < buffer.len() {
        let count = part.read_at(filled as u64, &mut buffer[filled..])?;
        if count == 0 {
            break;
        }
        filled += count;
    }
    Ok(filled)
}

/// How sure it is that a part is a workbook.
pub(crate) fn probe(part: &dyn Part, endings: &[&str]) -> Confidence {
    let by_name =
        if has_ending(part.name(), endings) { Confidence::Perhaps } else { Confidence::No };
    let mut head = [0; HEAD];
    let Ok(count) = read_head(part, &mut head) else { return by_name };
    let sure = match container(&head[..count]) {
        Some(Kind::Archive) => envelope::is_workbook(part),
        // A locked workbook shows nothing of what it is, so there the name must do.
        Some(Kind::Compound) => compound::is_workbook(part),
        None => false,
    };
    if sure { Confidence::Sure } else { by_name }
}

fn has_ending(name: &str, endings: &[&str]) -> bool {
    name.rsplit_once('.')
        .is_some_and(|(_, ending)| endings.iter().any(|one| one.eq_ignore_ascii_case(ending)))
}

fn container(head: &[u8]) -> Option<Kind> {
    if is_archive(head) {
        Some(Kind::Archive)
    } else if head.starts_with(compound::SIGNATURE) {
        Some(Kind::Compound)
    } else {
        None
    }
}

/// The container of a part that is to be read.
pub(crate) fn kind(part: &dyn Part, refusal: &Refusal<'_>) -> Result<Kind, LoadError> {
    let mut head = [0; HEAD];
    let count = read_head(part, &mut head)?;
    let head = &head[..count];
    if head.is_empty() {
        return Err(refusal.error("the file is empty", "ask for the file once more"));
    }
    container(head).ok_or_else(|| {
        let seems = seems(head);
        refusal.error(
            format!("this is not a workbook: it seems to be {}", seems.unwrap_or("something else")),
            match seems {
                Some(_) => "open it in the program it was made with and save it as .xlsx",
                None => SAVE_AGAIN,
            },
        )
    })
}

/// What a file that is no workbook seems to be.
fn seems(head: &[u8]) -> Option<&'static str> {
    const BEGINNINGS: &[(&[u8], &str)] = &[
        (b"%PDF", "a PDF document"),
        (b"\x89PNG", "an image"),
        (b"\xff\xd8\xff", "an image"),
        (b"GIF8", "an image"),
        (b"II*\0", "an image"),
        (b"MM\0*", "an image"),
        (b"BM", "an image"),
        (b"AC10", "a drawing"),
        (b"ISO-10303-21", "a building model in STEP form"),
        (b"{\\rtf", "a formatted text"),
        (b"\x1f\x8b", "a compressed file"),
        (b"7z\xbc\xaf", "a compressed archive"),
        (b"Rar!", "a compressed archive"),
        (b"\x09\x00\x04\x00", "a workbook of a format older than .xls of 1993"),
        (b"\x09\x02\x06\x00", "a workbook of a format older than .xls of 1993"),
        (b"\x09\x04\x06\x00", "a workbook of a format older than .xls of 1993"),
        (b"\x09\x08", "an .xls workbook without its container"),
    ];
    if let Some((_, what)) = BEGINNINGS.iter().find(|(beginning, _)| head.starts_with(beginning)) {
        return Some(what);
    }
    let text = head.strip_prefix(b"\xef\xbb\xbf").unwrap_or(head);
    let text = match std::str::from_utf8(text) {
        Ok(text) => text,
        // The head may end within a letter.
        Err(error) if error.error_len().is_none() => {
            std::str::from_utf8(&text[..error.valid_up_to()]).ok()?
        }
        Err(_) => return None,
    };
    if text.contains('\0') {
        return None;
    }
    let text = text.trim_start().to_ascii_lowercase();
    Some(if text.starts_with("<!doctype html") || text.starts_with("<html") {
        "a web page (some programs name those .xls)"
    } else if text.starts_with('<') {
        "an XML document"
    } else if text.starts_with(['{', '[']) {
        "a JSON document"
    } else {
        "a plain text, perhaps CSV"
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_of_other_programs_are_called_by_their_kind() {
        for (head, what) in [
            (&b"%PDF-1.7"[..], "a PDF document"),
            (b"\x89PNG\r\n", "an image"),
            (b"ISO-10303-21;\nHEADER;", "a building model in STEP form"),
            (b"\xef\xbb\xbf  <html>", "a web page (some programs name those .xls)"),
            (b"<?xml version", "an XML document"),
            (b"{\"restrand\": 1}", "a JSON document"),
            (b"Id;Strand\nT1;S1\n", "a plain text, perhaps CSV"),
        ] {
            assert_eq!(seems(head), Some(what));
        }
        assert_eq!(seems(b"\x01\x02\x00\x03"), None);
    }

    #[test]
    fn a_letter_cut_in_two_at_the_end_of_the_head_is_still_text() {
        assert_eq!(seems(b"Breite \xc3"), Some("a plain text, perhaps CSV"));
    }
}
