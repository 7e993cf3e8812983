//! The numbers of the records of the old binary format, of \[MS-XLS\] 2.3 (from memory).

pub(crate) const END: u16 = 0x000a;
pub(crate) const FILE_PASS: u16 = 0x002f;
pub(crate) const FONT: u16 = 0x0031;
pub(crate) const COLUMNS: u16 = 0x007d;
pub(crate) const SHEET: u16 = 0x0085;
pub(crate) const NUMBERS: u16 = 0x00bd;
pub(crate) const LOOK: u16 = 0x00e0;
pub(crate) const DIMENSIONS: u16 = 0x0200;
pub(crate) const ROW: u16 = 0x0208;
pub(crate) const FORMAT: u16 = 0x041e;
pub(crate) const BEGIN: u16 = 0x0809;
/// Of a cell: a formula, a rich text, a shared text, a number, a text, a flag, a short number.
pub(crate) const OF_ONE_CELL: [u16; 7] = [0x0006, 0x00d6, 0x00fd, 0x0203, 0x0204, 0x0205, 0x027e];
