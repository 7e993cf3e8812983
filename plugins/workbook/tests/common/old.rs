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
    let data = [&row.to_le_bytes()[..], &column.to_le_bytes(), &[0, 0], &value.to_le_bytes()];
    record(0x0203, &data.concat())
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
