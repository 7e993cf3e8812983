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

/// A list of tendons that is not in the schedule's own layout: the second row is struck, the third and the last column
/// are hidden, the web of the first is merged with the cell below, and forces have their unit in the number format.
///
/// Records and their numbers are those of [MS-XLSB], 2.4 and 2.3.2.
pub(crate) fn list() -> Vec<u8> {
    let long = |number: u32| number.to_le_bytes();
    let head =
        |row: u32, flags: u8| record(0, &[&long(row)[..], &[0; 7], &[flags, 0], &long(0)].concat());
    let place = |column: u32, look: u8| [&long(column)[..], &[look, 0, 0, 0]].concat();
    let text =
        |column: u32, text: &str, look: u8| record(6, &[place(column, look), wide(text)].concat());
    let number = |column: u32, number: f64, look: u8| {
        record(5, &[place(column, look), number.to_le_bytes().to_vec()].concat())
    };
    let row = |row: u32, mark: &str, web: &str, struck: u8, hidden: u8| {
        let web = if web.is_empty() { Vec::new() } else { text(3, web, struck) };
        [
            head(row, hidden),
            text(0, mark, struck),
            number(1, 19.0, struck),
            number(2, 3900.0, 2 + struck),
            web,
            text(4, "H 1", struck),
        ]
        .concat()
    };
    let headers = ["Tendon No.", "Strands", "Jacking force", "Web", "Heat No."];
    let headers: Vec<u8> =
        (0..).zip(headers).flat_map(|(column, header)| text(column, header, 0)).collect();
    [
        record(0x81, &[]),
        record(0x94, &[0; 16]),
        record(390, &[]),
        record(60, &[&long(4)[..], &long(4), &[0; 8], &[1, 0]].concat()),
        record(391, &[]),
        record(0x91, &[]),
        head(0, 0),
        headers,
        row(1, "T1", "Left", 0, 0),
        row(2, "T2", "", 0, 0),
        row(3, "T3", "Right", 1, 0),
        row(4, "T4", "Right", 0, 1 << 4),
        record(0x92, &[]),
        record(177, &long(1)),
        record(176, &[long(1), long(2), long(3), long(3)].concat()),
        record(178, &[]),
        record(0x82, &[]),
    ]
    .concat()
}

/// The looks to which the cells of the list point: plain, struck, and both with a unit behind the number.
pub(crate) fn styles() -> Vec<u8> {
    let short = |numbers: &[u16]| -> Vec<u8> {
        numbers.iter().flat_map(|number| number.to_le_bytes()).collect()
    };
    let font = |flags: u16| record(43, &short(&[220, flags, 400, 0]));
    let look = |format: u16, font: u16| record(47, &short(&[0, format, font, 0, 0, 0, 0, 0]));
    [
        record(615, &1_u32.to_le_bytes()),
        record(44, &[short(&[164]), wide("#,##0\" kN\"")].concat()),
        record(616, &[]),
        font(0),
        font(1 << 3),
        // The look of a named style, which is none of a cell.
        look(0, 1),
        record(617, &4_u32.to_le_bytes()),
        look(0, 0),
        look(0, 1),
        look(164, 0),
        look(164, 1),
        record(618, &[]),
    ]
    .concat()
}

/// A workbook with this sheet.
pub(crate) fn workbook(sheet: &[u8]) -> Vec<u8> {
    book("Tendons", sheet, &[])
}

/// A workbook with a sheet of this name, and the looks of its cells.
pub(crate) fn book(name: &str, sheet: &[u8], styles: &[u8]) -> Vec<u8> {
    let bundle = [&0_u32.to_le_bytes()[..], &1_u32.to_le_bytes(), &wide("r1"), &wide(name)];
    let workbook = [record(0x9c, &bundle.concat()), record(0x90, &[]), record(0x9d, &[])].concat();
    let mut parts = vec![
        ("xl/workbook.bin", &workbook[..]),
        (
            "xl/_rels/workbook.bin.rels",
            br#"<Relationships><Relationship Id="r1" Target="worksheets/sheet1.bin"/></Relationships>"#,
        ),
        ("xl/worksheets/sheet1.bin", sheet),
    ];
    if !styles.is_empty() {
        parts.push(("xl/styles.bin", styles));
    }
    archive(&parts)
}
