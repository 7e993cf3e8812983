//! Old workbooks, made by bytes.

fn record(kind: u16, data: &[u8]) -> Vec<u8> {
    [&kind.to_le_bytes()[..], &(data.len() as u16).to_le_bytes(), data].concat()
}

pub(crate) fn text(row: u16, column: u16, text: &str) -> Vec<u8> {
    let data = [
        &row.to_le_bytes()[..],
        &column.to_le_bytes(),
        &[0, 0],
        &(text.len() as u16).to_le_bytes(),
        &[0],
        text.as_bytes(),
    ];
    record(0x0204, &data.concat())
}

pub(crate) fn number(row: u16, column: u16, value: f64) -> Vec<u8> {
    number_with(row, column, value, 0)
}

/// A number in the look of this position.
pub(crate) fn number_with(row: u16, column: u16, value: f64, look: u16) -> Vec<u8> {
    let places = [row, column, look].map(u16::to_le_bytes).concat();
    record(0x0203, &[&places[..], &value.to_le_bytes()].concat())
}

/// Looks of cells, each with its format of numbers, or none, and whether it is struck through; for before the sheets.
pub(crate) fn looks(looks: &[(&str, bool)]) -> Vec<u8> {
    let (mut formats, mut cells) = (Vec::new(), Vec::new());
    for (at, (code, is_struck)) in (164_u16..).zip(looks) {
        let code_at = if code.is_empty() { 0 } else { at };
        if !code.is_empty() {
            let head = [at, code.len() as u16].map(u16::to_le_bytes).concat();
            formats.extend(record(0x041e, &[&head[..], &[0], code.as_bytes()].concat()));
        }
        // The font of number 4 is none, so that 5 is the fifth.
        let font = if *is_struck { 5_u16 } else { 0 };
        let head = [font, code_at].map(u16::to_le_bytes).concat();
        cells.extend(record(0x00e0, &[&head[..], &[0; 16]].concat()));
    }
    let fonts: Vec<u8> = (0..5)
        .flat_map(|at| record(0x0031, &[[200, 0], [if at == 4 { 8 } else { 0 }, 0]].concat()))
        .collect();
    [fonts, formats, cells].concat()
}

/// A hidden row.
pub(crate) fn hidden_row(row: u16) -> Vec<u8> {
    record(0x0208, &[row, 0, 4, 255, 0, 0, 1 << 5, 0].map(u16::to_le_bytes).concat())
}

pub(crate) fn dimensions(rows: u32, columns: u16) -> Vec<u8> {
    let data = [
        &0_u32.to_le_bytes()[..],
        &rows.to_le_bytes(),
        &0_u16.to_le_bytes(),
        &columns.to_le_bytes(),
        &[0, 0],
    ];
    record(0x0200, &data.concat())
}

pub(crate) fn workbook(before: &[u8], cells: &[Vec<u8>]) -> Vec<u8> {
    let begin = |kind: u16| {
        record(0x0809, &[&0x0600_u16.to_le_bytes()[..], &kind.to_le_bytes(), &[0; 12]].concat())
    };
    let name = "Tendons";
    let sheet_at = |place: u32| {
        let data = [&place.to_le_bytes()[..], &[0, 0, name.len() as u8, 0], name.as_bytes()];
        record(0x0085, &data.concat())
    };
    let end = record(0x000a, &[]);
    let place = begin(5).len() + before.len() + sheet_at(0).len() + end.len();
    let mut stream = [&begin(5)[..], before, &sheet_at(place as u32), &end, &begin(0x10)].concat();
    stream.extend(cells.concat());
    stream.extend(&end);
    container("Workbook", &stream)
}

/// A compound file with one stream.
pub(crate) fn container(name: &str, stream: &[u8]) -> Vec<u8> {
    const END: u32 = 0xffff_fffe;
    const FREE: u32 = 0xffff_ffff;
    let mut stream = stream.to_vec();
    stream.resize(stream.len().next_multiple_of(512).max(4096), 0);
    let sectors = (stream.len() / 512) as u32;
    assert!(sectors < 126);
    let mut file = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1".to_vec();
    file.extend([0; 16]);
    for half in [0x3e_u16, 3, 0xfffe, 9, 6, 0, 0, 0] {
        file.extend(half.to_le_bytes());
    }
    // Directory sectors, tables, directory at 1, signature, cutoff, small table, list of tables.
    for word in [0, 1, 1, 0, 4096, END, 0, END, 0] {
        file.extend(u32::to_le_bytes(word));
    }
    file.extend(0_u32.to_le_bytes());
    file.resize(512, 0xff);
    let mut table = vec![0xffff_fffd, END];
    table.extend((0..sectors).map(|at| if at + 1 == sectors { END } else { at + 3 }));
    table.resize(128, FREE);
    file.extend(table.iter().flat_map(|next| next.to_le_bytes()));
    let entry = |name: &str, kind: u8, start: u32, length: u32| {
        let mut bytes: Vec<u8> = name.encode_utf16().flat_map(u16::to_le_bytes).collect();
        bytes.resize(64, 0);
        bytes.extend([(name.len() * 2 + 2) as u8, 0, kind, 1]);
        bytes.resize(116, 0xff);
        bytes.extend(start.to_le_bytes());
        bytes.extend(length.to_le_bytes());
        bytes.resize(128, 0);
        bytes
    };
    let directory =
        [entry("Root Entry", 5, END, 0), entry(name, 2, 2, stream.len() as u32)].concat();
    file.extend(&directory);
    file.resize(1536, 0);
    file.extend(stream);
    file
}
