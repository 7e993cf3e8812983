//! Which cells of a workbook of XML parts hold formulas.
//!
//! Most sheets of a schedule hold none, which their bytes tell sooner than their cells: only the others are read.

use std::io::Read;

use calamine::{Reader as _, SheetType, Xlsx};
use restrand_kit::archive::{Source, source};
use restrand_kit::{LoadError, Part};
use zip::ZipArchive;

use crate::Cells;
use crate::looks;
use crate::refusal::{Refusal, guarded};
use crate::xlsx::{MAX_LOST, lost_cell, unreadable};

/// The cells of each sheet that hold formulas.
pub(crate) fn of_xlsx(part: &dyn Part, refusal: &Refusal<'_>) -> Result<Cells, LoadError> {
    let names = match with_formulas(part) {
        Some(names) if names.is_empty() => return Ok(Cells::new()),
        names => names,
    };
    let mut workbook = guarded(|| Xlsx::new(source(part)))
        .map_err(|panicked| refusal.damaged(panicked))?
        .map_err(|error| unreadable(&error, refusal))?;
    let sheets: Vec<String> = workbook
        .sheets_metadata()
        .iter()
        .filter(|sheet| sheet.typ == SheetType::WorkSheet)
        .filter(|sheet| names.as_ref().is_none_or(|names| names.contains(&sheet.name)))
        .map(|sheet| sheet.name.clone())
        .collect();
    let mut of_sheet = |name: String| {
        let cells = cells(&mut workbook, &name);
        (name, cells)
    };
    Ok(sheets.into_iter().map(&mut of_sheet).collect())
}

/// The places of the formulas of a sheet, as far as it can be read: what cannot has been told of when its values
/// were.
fn cells(workbook: &mut Xlsx<Source<'_>>, name: &str) -> Vec<(u32, u32)> {
    let mut cells = Vec::new();
    let Ok(Ok(mut reader)) = guarded(|| workbook.worksheet_cells_reader(name)) else {
        return cells;
    };
    let mut unread = 0;
    while unread < MAX_LOST {
        match guarded(|| reader.next_cell_with_formula_metadata()) {
            Ok(Ok(Some(cell))) => cells.extend(cell.formula.map(|_| cell.pos)),
            Ok(Ok(None)) | Err(_) => break,
            Ok(Err(error)) if lost_cell(&error).is_some() => unread += 1,
            Ok(Err(_)) => break,
        }
    }
    cells
}

/// The names of the sheets whose parts have an element that may be a formula; nothing where that cannot be told.
fn with_formulas(part: &dyn Part) -> Option<Vec<String>> {
    let mut archive = ZipArchive::new(source(part)).ok()?;
    let mut names = Vec::new();
    let mut chunk = vec![0; 64 * 1024];
    for (name, path) in looks::sheets(&mut archive)? {
        let mut content = archive.by_name(&path?).ok()?;
        let mut tags = Tags::default();
        loop {
            match content.read(&mut chunk).ok()? {
                0 => break,
                count if tags.may_be_formula(&chunk[..count]) => {
                    names.push(name);
                    break;
                }
                _ => {}
            }
        }
    }
    Some(names)
}

/// Looks for the beginning of a formula's element, in a text that comes by the chunk.
#[derive(Default)]
struct Tags {
    /// The end of the chunk before, which may begin such a tag.
    before: Vec<u8>,
}

impl Tags {
    /// Whether an element `f` begins in it, of any prefix; `chunk` follows the one before.
    ///
    /// In a text whose letters take several bytes it is not looked for, and may be anywhere.
    fn may_be_formula(&mut self, chunk: &[u8]) -> bool {
        self.before.extend(chunk.iter().take(2));
        let found = has_formula(&self.before) || has_formula(chunk);
        self.before.extend(chunk.iter().skip(2).skip(chunk.len().saturating_sub(4)));
        self.before.drain(..self.before.len().saturating_sub(2));
        found
    }
}

fn has_formula(bytes: &[u8]) -> bool {
    let is_tag = |at: usize| {
        let before = at.checked_sub(1).and_then(|before| bytes.get(before));
        let behind = bytes.get(at + 1);
        matches!(before, Some(b'<' | b':'))
            && matches!(behind, Some(b'>' | b'/' | b' ' | b'\t' | b'\r' | b'\n'))
    };
    memchr::memchr_iter(b'f', bytes).any(is_tag) || memchr::memchr(0, bytes).is_some()
}

#[cfg(test)]
mod tests {
    use super::Tags;

    #[test]
    fn a_formula_is_found_wherever_the_chunks_end() {
        for (text, is_found) in [
            ("<c r=\"A1\"><f>SUM(B1:B2)</f><v>1</v></c>", true),
            ("<c r=\"A1\"><f t=\"shared\" si=\"0\"/><v>1</v></c>", true),
            ("<x:c r=\"A1\"><x:f\n>1</x:f></x:c>", true),
            ("<\0f\0>\0", true),
            ("<formula1>Lists!A1:A9</formula1><filters/><c><v>f</v></c>", false),
            ("<sheetPr codeName=\"<f\"/>", false),
            ("", false),
        ] {
            for size in 1..=text.len().max(1) {
                let mut tags = Tags::default();
                let found = text.as_bytes().chunks(size).any(|chunk| tags.may_be_formula(chunk));
                assert_eq!(found, is_found, "{text} by {size}");
            }
        }
    }
}
