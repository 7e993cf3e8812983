//! Workbooks of binary parts, made by bytes.

use super::archive;

/// A record of the binary parts of an .xlsb workbook.
fn record(kind: u16, data: &[u8]) -> Vec<u8> {
    let mut bytes = Vec::new();
    if kind < 0x80 {
        bytes.push(kind as u8);
    } else {
        bytes.extend([(kind & 0x7f) as u8 | 0x80, (kind >> 7) as u8]);
    }
    assert!(data.len() < 128);
    bytes.push(data.len() as u8);
    bytes.extend(data);
    bytes
}

fn wide(text: &str) -> Vec<u8> {
    let letters: Vec<u16> = text.encode_utf16().collect();
    let mut bytes = (letters.len() as u32).to_le_bytes().to_vec();
    bytes.extend(letters.iter().flat_map(|letter| letter.to_le_bytes()));
    bytes
}

/// A sheet of one tendon, whose last cell is a formula that gives an error.
pub(crate) fn sheet() -> Vec<u8> {
    let cell = |column: u32, rest: &[u8]| [&column.to_le_bytes()[..], &[0; 4], rest].concat();
    let head = |row: u32| record(0, &[&row.to_le_bytes()[..], &[0; 12]].concat());
    let error = [&[0x17, 0, 0][..], &3_u32.to_le_bytes(), &[0x1e, 1, 0]].concat();
    [
        record(0x81, &[]),
        record(0x94, &[0; 16]),
        record(0x91, &[]),
        head(0),
        record(6, &cell(0, &wide("Mark"))),
        record(6, &cell(1, &wide("Strand count"))),
        record(6, &cell(2, &wide("Order"))),
        head(1),
        record(6, &cell(0, &wide("T1"))),
        record(5, &cell(1, &19_f64.to_le_bytes())),
        record(0x0b, &cell(2, &error)),
        record(0x92, &[]),
    ]
    .concat()
}

/// A workbook with this sheet.
pub(crate) fn workbook(sheet: &[u8]) -> Vec<u8> {
    let bundle = [&0_u32.to_le_bytes()[..], &1_u32.to_le_bytes(), &wide("r1"), &wide("Tendons")];
    let workbook = [record(0x9c, &bundle.concat()), record(0x90, &[]), record(0x9d, &[])].concat();
    archive(&[
        ("xl/workbook.bin", &workbook),
        (
            "xl/_rels/workbook.bin.rels",
            br#"<Relationships><Relationship Id="r1" Target="worksheets/sheet1.bin"/></Relationships>"#,
        ),
        ("xl/worksheets/sheet1.bin", sheet),
    ])
}
