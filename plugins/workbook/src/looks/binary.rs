//! Looks in workbooks of binary parts.
//!
//! Records and their fields are those of [MS-XLSB], 2.4 (records) and 2.3.2 (their numbers).

use std::collections::BTreeMap;
use std::io::{self, BufReader, Read, Seek};

use restrand_kit::Part;
use restrand_kit::archive::source;
use restrand_kit::recognise::{Look, Merged, Sheet, look_of_built_in, look_of_format};
use zip::ZipArchive;

use super::xml::{attribute, each};
use crate::reading::{COLUMNS, ROWS};

/// The numbers of the records that are looked at.
mod kind {
    pub(super) const ROW: u16 = 0;
    /// Cells, from the blank one to the last of those with formulas.
    pub(super) const FIRST_CELL: u16 = 1;
    pub(super) const LAST_CELL: u16 = 11;
    pub(super) const FONT: u16 = 43;
    pub(super) const FORMAT: u16 = 44;
    pub(super) const LOOK: u16 = 47;
    pub(super) const COLUMNS: u16 = 60;
    /// A cell whose text has parts of different looks.
    pub(super) const RICH_CELL: u16 = 62;
    pub(super) const SHEET: u16 = 156;
    pub(super) const MERGED: u16 = 176;
    pub(super) const CELL_LOOKS: u16 = 617;
    pub(super) const END_OF_CELL_LOOKS: u16 = 618;
}

/// Bytes of a record that are looked at; a name or a format of a number is shorter.
const LOOKED_AT: usize = 4_096;
/// Ranges of merged cells that are looked at.
const MOST_MERGED: usize = 100_000;
/// Fonts, formats and looks that the format of the file knows; more are none.
const MOST_STYLES: usize = 70_000;

/// Tells a sheet what its cells do not say.
pub(crate) fn of_xlsb(part: &dyn Part, sheet: &mut Sheet) {
    let Ok(mut archive) = ZipArchive::new(source(part)) else { return };
    let Some(path) = path_of(&mut archive, &sheet.name) else { return };
    let looks = looks(&mut archive);
    let mut row = None;
    records(&mut archive, &path, &mut |number, fields| {
        of_record(sheet, &looks, &mut row, number, fields).unwrap_or(());
    });
}

/// Takes what a record of a sheet says; nothing if it is too short.
fn of_record(
    sheet: &mut Sheet,
    looks: &[Look],
    row: &mut Option<u32>,
    number: u16,
    fields: Fields<'_>,
) -> Option<()> {
    match number {
        kind::ROW => {
            /// The row is hidden.
            const HIDDEN: u8 = 1 << 4;
            let number = fields.long(0)?;
            *row = Some(number).filter(|number| *number < ROWS);
            if fields.byte(11)? & HIDDEN != 0 && number < ROWS {
                sheet.hide_row(number);
            }
        }
        kind::COLUMNS => {
            /// The columns are hidden.
            const HIDDEN: u8 = 1;
            let (first, last) = (fields.long(0)?, fields.long(4)?);
            if fields.byte(16)? & HIDDEN != 0 {
                sheet.hidden_columns.extend(first..=last.min(COLUMNS - 1));
            }
        }
        kind::MERGED if sheet.merged.len() < MOST_MERGED => {
            let [first_row, last_row, first, last] =
                [fields.long(0)?, fields.long(4)?, fields.long(8)?, fields.long(12)?];
            sheet.merged.push(Merged { first: (first_row, first), last: (last_row, last) });
        }
        kind::FIRST_CELL..=kind::LAST_CELL | kind::RICH_CELL => {
            // The number of the look takes three bytes.
            let (column, look) = (fields.long(0)?, fields.long(4)? & 0x00ff_ffff);
            let look = looks.get(usize::try_from(look).ok()?)?;
            if let Some(row) = *row
                && *look != Look::default()
            {
                sheet.set_look(row, column, *look);
            }
        }
        _ => {}
    }
    Some(())
}

/// The looks of cells, in the order of their numbers.
fn looks<R: Read + Seek>(archive: &mut ZipArchive<R>) -> Vec<Look> {
    /// The text is struck through.
    const STRUCK: u8 = 1 << 3;
    let mut formats = BTreeMap::new();
    let mut fonts = Vec::new();
    let mut looks = Vec::new();
    let mut is_of_cells = false;
    records(archive, "xl/styles.bin", &mut |number, fields| {
        let has_room = |count: usize| count < MOST_STYLES;
        match number {
            kind::FONT if has_room(fonts.len()) => {
                fonts.push(fields.byte(2).is_some_and(|flags| flags & STRUCK != 0));
            }
            kind::FORMAT if has_room(formats.len()) => {
                if let Some((number, code)) = fields.short(0).zip(fields.text(2)) {
                    formats.insert(number, look_of_format(&code));
                }
            }
            kind::CELL_LOOKS => is_of_cells = true,
            kind::END_OF_CELL_LOOKS => is_of_cells = false,
            kind::LOOK if is_of_cells && has_room(looks.len()) => {
                let format = fields.short(2).map(|number| {
                    formats.get(&number).copied().unwrap_or_else(|| look_of_built_in(number))
                });
                let font = fields.short(4).and_then(|number| fonts.get(usize::from(number)));
                looks.push(Look {
                    struck: font.copied().unwrap_or(false),
                    ..format.unwrap_or_default()
                });
            }
            _ => {}
        }
    });
    looks
}

/// The part of the sheet of this name.
fn path_of<R: Read + Seek>(archive: &mut ZipArchive<R>, name: &str) -> Option<String> {
    let mut id = None;
    records(archive, "xl/workbook.bin", &mut |number, fields| {
        if number == kind::SHEET && id.is_none() {
            let relation = fields.text(8);
            let behind = relation.as_ref().map(|text| 12 + 2 * text.encode_utf16().count());
            if behind.and_then(|at| fields.text(at)).as_deref() == Some(name) {
                id = relation;
            }
        }
    });
    let id = id?;
    let mut target = None;
    each(archive, "xl/_rels/workbook.bin.rels", &mut |start| {
        if attribute(start, "Id").as_deref() == Some(&id) {
            target = attribute(start, "Target");
        }
    })?;
    Some(format!("xl/{}", target?))
}

/// The fields of a record, little-endian.
#[derive(Clone, Copy)]
struct Fields<'b>(&'b [u8]);

impl Fields<'_> {
    fn byte(self, at: usize) -> Option<u8> {
        self.0.get(at).copied()
    }

    fn short(self, at: usize) -> Option<u16> {
        Some(u16::from_le_bytes(self.0.get(at..at + 2)?.try_into().ok()?))
    }

    fn long(self, at: usize) -> Option<u32> {
        Some(u32::from_le_bytes(self.0.get(at..at + 4)?.try_into().ok()?))
    }

    /// A text with the count of its letters before it.
    fn text(self, at: usize) -> Option<String> {
        let count = usize::try_from(self.long(at)?).ok()?;
        let bytes = self.0.get(at + 4..)?.get(..count.checked_mul(2)?)?;
        let letters = bytes.chunks_exact(2).map(|pair| u16::from_le_bytes([pair[0], pair[1]]));
        char::decode_utf16(letters).collect::<Result<String, _>>().ok()
    }
}

/// Shows the records of a part with the beginning of their fields, as far as it can be read.
fn records<R: Read + Seek>(
    archive: &mut ZipArchive<R>,
    path: &str,
    show: &mut dyn FnMut(u16, Fields<'_>),
) {
    let Ok(part) = archive.by_name(path) else { return };
    let mut part = BufReader::with_capacity(64 * 1024, part);
    let mut fields = Vec::new();
    while let Ok(Some((number, length))) = head(&mut part) {
        let looked_at = length.min(LOOKED_AT as u64);
        fields.clear();
        let read = part.by_ref().take(looked_at).read_to_end(&mut fields);
        if read.ok().is_none_or(|count| (count as u64) < looked_at) {
            return;
        }
        show(number, Fields(&fields));
        let rest = length - looked_at;
        let passed = io::copy(&mut part.by_ref().take(rest), &mut io::sink());
        if passed.ok().is_none_or(|count| count < rest) {
            return;
        }
    }
}

/// The number of the next record and the bytes of its fields; nothing at the end.
///
/// Both are written in bytes of seven bits, the lowest first, each with its highest bit set if another follows.
fn head(part: &mut impl Read) -> io::Result<Option<(u16, u64)>> {
    let mut byte = [0_u8];
    let mut groups = |most: u32| -> io::Result<Option<u64>> {
        let mut value = 0;
        for group in 0..most {
            if part.read(&mut byte)? == 0 {
                return Ok(None);
            }
            value |= u64::from(byte[0] & 0x7f) << (7 * group);
            if byte[0] & 0x80 == 0 {
                break;
            }
        }
        Ok(Some(value))
    };
    let (Some(number), Some(length)) = (groups(2)?, groups(4)?) else { return Ok(None) };
    Ok(u16::try_from(number).ok().map(|number| (number, length)))
}
