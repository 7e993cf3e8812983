//! No bytes make a reading panic: workbooks are written, bent in a seeded way, and read.

mod common;

use common::{Made, archive, binary, load_with, old, row};
use restrand_kit::Budget;

/// A small generator of numbers (xorshift), so that each run bends the same bytes.
struct Numbers(u64);

impl Numbers {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn below(&mut self, end: usize) -> usize {
        usize::try_from(self.next() % end as u64).unwrap_or(0)
    }

    /// Flips, overwrites, doubles or cuts some bytes.
    fn bend(&mut self, bytes: &mut Vec<u8>) {
        for _ in 0..=self.below(4) {
            if bytes.is_empty() {
                return;
            }
            let at = self.below(bytes.len());
            match self.below(8) {
                0 => bytes.truncate(at),
                1 => bytes[at] = 0xff,
                2 => bytes[at] = 0,
                3 => {
                    let end = (at + 1 + self.below(16)).min(bytes.len());
                    let piece = bytes[at..end].to_vec();
                    bytes.splice(at..at, piece);
                }
                _ => bytes[at] ^= 1 << self.below(8),
            }
        }
    }
}

fn data() -> String {
    row(1, &["Mark", "Strand count", "Length [m]"])
        + &(2..40).map(|number| row(number, &["T1", "19", "4'-6 1/2\""])).collect::<String>()
}

#[test]
fn bent_archives_are_read_or_refused() {
    let data = data();
    let good = Made::new(&[("Tendons", &data), ("Points", &data)]).bytes();
    let mut numbers = Numbers(0x9e37_79b9_7f4a_7c15);
    for _ in 0..500 {
        let mut bytes = good.clone();
        numbers.bend(&mut bytes);
        let _ = load_with("x.xlsx", &bytes, Budget::default());
    }
}

/// Behind the checksum of the archive: the parts themselves are bent.
#[test]
fn bent_sheets_are_read_or_refused() {
    let data = data();
    let mut numbers = Numbers(0x2545_f491_4f6c_dd1d);
    for _ in 0..500 {
        let mut bytes = data.clone().into_bytes();
        numbers.bend(&mut bytes);
        let bent = String::from_utf8_lossy(&bytes).into_owned();
        let bytes = Made::new(&[("Tendons", &bent)]).bytes();
        let _ = load_with("x.xlsx", &bytes, Budget::default());
    }
}

#[test]
fn bent_open_documents_are_read_or_refused() {
    let rows: String = (0..20)
        .map(|number| {
            format!(
                "<table:table-row><table:table-cell office:value-type=\"string\"><text:p>Mark</text:p>\
                 </table:table-cell><table:table-cell office:value-type=\"float\" office:value=\"{number}\"/>\
                 </table:table-row>"
            )
        })
        .collect();
    let content = format!("<a><table:table table:name=\"Tendons\">{rows}</table:table></a>");
    let mut numbers = Numbers(0x1234_5678_9abc_def1);
    for _ in 0..500 {
        let mut bytes = content.clone().into_bytes();
        numbers.bend(&mut bytes);
        let bytes = archive(&[
            ("mimetype", b"application/vnd.oasis.opendocument.spreadsheet"),
            ("content.xml", &bytes),
        ]);
        let _ = load_with("x.ods", &bytes, Budget::default());
    }
}

#[test]
fn bent_old_workbooks_are_read_or_refused() {
    let mut cells = vec![old::dimensions(40, 2), old::text(0, 0, "Mark"), old::text(0, 1, "Order")];
    for row in 1..40 {
        cells.extend([old::text(row, 0, "T1"), old::number(row, 1, 19.0)]);
    }
    let good = old::workbook(&[], &cells);
    let mut numbers = Numbers(0x0123_4567_89ab_cdef);
    for _ in 0..1_500 {
        let mut bytes = good.clone();
        numbers.bend(&mut bytes);
        let _ = load_with("x.xls", &bytes, Budget::default());
    }
}

#[test]
fn bent_binary_sheets_are_read_or_refused() {
    let good = binary::sheet();
    let mut numbers = Numbers(0xfedc_ba98_7654_3211);
    for _ in 0..500 {
        let mut bytes = good.clone();
        numbers.bend(&mut bytes);
        let _ = load_with("x.xlsb", &binary::workbook(&bytes), Budget::default());
    }
}

#[test]
fn bent_looks_of_binary_sheets_are_read_or_refused() {
    let (sheet, styles) = (binary::list(), binary::styles());
    let mut numbers = Numbers(0x0bad_cafe_1234_5679);
    for round in 0..600 {
        let (mut sheet, mut styles) = (sheet.clone(), styles.clone());
        numbers.bend(if round % 2 == 0 { &mut sheet } else { &mut styles });
        let bytes = binary::book("List", &sheet, &styles);
        let _ = load_with("x.xlsb", &bytes, Budget::default());
    }
}
