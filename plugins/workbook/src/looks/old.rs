//! Looks in workbooks of the old binary format.
//!
//! Records and their fields are those of \[MS-XLS\] 2.4 (from memory): fonts, formats of numbers, the looks of cells by
//! their position, and in each sheet its rows, columns and cells.

use std::collections::{BTreeMap, HashMap};

use restrand_kit::Part;
use restrand_kit::recognise::{Look, Sheet, look_of_built_in, look_of_format};

use crate::biff;
use crate::compound::{Records, u16_at, u32_at, workbook_stream};

/// The version of the format whose records these are; older ones have others.
const VERSION: u16 = 0x0600;

/// Tells sheets what their cells do not say.
pub(crate) fn of_xls<'s>(part: &dyn Part, sheets: impl Iterator<Item = &'s mut Sheet>) {
    let mut sheets = sheets.peekable();
    if sheets.peek().is_none() {
        return;
    }
    let Some(stream) = workbook_stream(part) else { return };
    let Some(globals) = Globals::of(&stream) else { return };
    for sheet in sheets {
        let Some((place, is_hidden)) = globals.sheets.get(&sheet.name) else { continue };
        sheet.hidden = *is_hidden;
        let records = stream.get(*place..).unwrap_or_default();
        let mut depth = 0_u32;
        for (number, fields) in (Records { stream: records }) {
            match number {
                biff::BEGIN => depth += 1,
                biff::END if depth <= 1 => break,
                biff::END => depth -= 1,
                // Charts in a sheet have records of their own.
                _ if depth == 1 => of_record(sheet, &globals.looks, number, fields).unwrap_or(()),
                _ => {}
            }
        }
    }
}

/// What holds for the whole workbook.
#[derive(Default)]
struct Globals {
    /// The looks of cells, in the order of their numbers.
    looks: Vec<Look>,
    /// Where each sheet begins in the stream, and whether it is hidden.
    sheets: HashMap<String, (usize, bool)>,
}

impl Globals {
    fn of(stream: &[u8]) -> Option<Self> {
        /// The text is struck through.
        const STRUCK: u16 = 1 << 3;
        /// A font of this number was never written.
        const NO_FONT: u16 = 4;
        let mut records = Records { stream };
        let (_, begin) = records.next().filter(|(number, _)| *number == biff::BEGIN)?;
        if u16_at(begin, 0)? != VERSION {
            return None;
        }
        let mut globals = Self::default();
        let mut formats = BTreeMap::new();
        let mut fonts = Vec::new();
        for (number, fields) in records {
            match number {
                biff::END => break,
                biff::FONT => {
                    fonts.push(u16_at(fields, 2).is_some_and(|flags| flags & STRUCK != 0))
                }
                biff::FORMAT => {
                    let code = text(fields.get(4..)?, usize::from(u16_at(fields, 2)?));
                    formats.insert(
                        u16_at(fields, 0)?,
                        code.as_deref().map(look_of_format).unwrap_or_default(),
                    );
                }
                biff::LOOK => {
                    let font = u16_at(fields, 0)?;
                    let font = font - u16::from(font > NO_FONT);
                    let number_of_format = u16_at(fields, 2)?;
                    let format = formats.get(&number_of_format).copied();
                    globals.looks.push(Look {
                        struck: fonts.get(usize::from(font)).copied().unwrap_or(false),
                        ..format.unwrap_or_else(|| look_of_built_in(number_of_format))
                    });
                }
                biff::SHEET => {
                    let place = usize::try_from(u32_at(fields, 0)?).ok()?;
                    let is_hidden = fields.get(4)? & 3 != 0;
                    if let Some(name) = text(fields.get(7..)?, usize::from(*fields.get(6)?)) {
                        globals.sheets.entry(name).or_insert((place, is_hidden));
                    }
                }
                _ => {}
            }
        }
        Some(globals)
    }
}

/// Takes what a record of a sheet says; nothing if it is too short.
fn of_record(sheet: &mut Sheet, looks: &[Look], number: u16, fields: &[u8]) -> Option<()> {
    let mut set = |row: u16, column: u16, look: u16| {
        let look = looks.get(usize::from(look)).filter(|look| **look != Look::default());
        if let Some(look) = look {
            sheet.set_look(row.into(), column.into(), *look);
        }
    };
    match number {
        one if biff::OF_ONE_CELL.contains(&one) => {
            set(u16_at(fields, 0)?, u16_at(fields, 2)?, u16_at(fields, 4)?);
        }
        biff::NUMBERS => {
            let (row, first) = (u16_at(fields, 0)?, u16_at(fields, 2)?);
            // Behind the last number stands its column.
            let numbers = fields.get(4..fields.len().checked_sub(2)?)?.chunks_exact(6);
            for (column, one) in (u32::from(first)..).zip(numbers) {
                // A sheet has no columns beyond.
                set(row, u16::try_from(column).ok()?, u16_at(one, 0)?);
            }
        }
        biff::ROW => {
            /// The row is hidden.
            const HIDDEN: u16 = 1 << 5;
            if u16_at(fields, 12)? & HIDDEN != 0 {
                sheet.hide_row(u16_at(fields, 0)?.into());
            }
        }
        biff::COLUMNS => {
            /// The columns are hidden.
            const HIDDEN: u16 = 1;
            if u16_at(fields, 8)? & HIDDEN != 0 {
                let last = u16_at(fields, 2)?.min(0xff);
                sheet.hidden_columns.extend(u32::from(u16_at(fields, 0)?)..=u32::from(last));
            }
        }
        _ => {}
    }
    Some(())
}

/// A text of so many letters, behind the byte that says how they are written.
fn text(bytes: &[u8], count: usize) -> Option<String> {
    /// Each letter takes two bytes.
    const WIDE: u8 = 1;
    let (how, letters) = bytes.split_first()?;
    if how & WIDE == 0 {
        return Some(letters.get(..count)?.iter().map(|letter| char::from(*letter)).collect());
    }
    let letters = letters.get(..count.checked_mul(2)?)?.chunks_exact(2);
    let letters = letters.map(|pair| u16::from_le_bytes([pair[0], pair[1]]));
    char::decode_utf16(letters).collect::<Result<String, _>>().ok()
}
