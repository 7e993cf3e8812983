//! Small workbooks are unpacked at once and large ones part by part: both say the same.

mod common;

use std::io::{Cursor, Read as _, Write};
use std::path::Path;

use common::{Made, load_with, refused, row};
use restrand_kit::Budget;
use zip::write::SimpleFileOptions;
use zip::{ZipArchive, ZipWriter};

/// Bytes of a part that make any workbook a large one.
const LARGE: usize = 5_000_000;

/// The workbook with a large part that nobody reads.
fn made_large(bytes: &[u8]) -> Vec<u8> {
    let mut archive = ZipWriter::new_append(Cursor::new(bytes.to_vec())).expect("an archive");
    archive.start_file("docProps/aside.xml", SimpleFileOptions::default()).expect("a new part");
    archive.write_all(&[b' '; LARGE]).expect("into memory");
    archive.finish().expect("into memory").into_inner()
}

fn read(name: &str, bytes: &[u8]) -> String {
    format!("{:#?}", load_with(name, bytes, Budget::default()).expect("it is read"))
}

#[test]
fn the_same_is_read_of_a_workbook_whether_it_is_small_or_large() {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/demo");
    let own = ["quillmere.xlsx", "quillmere-us.xlsx", "quillmere-faulty.xlsx"]
        .map(|name| std::fs::read(demo.join(name)).expect("it is there"));
    let data = row(1, &["Tendon no.", "No. of strands", "Duct O.D. (mm)"])
        + &row(2, &["T1", "19", "125"])
        + "<row r=\"3\" hidden=\"1\"><c r=\"A3\" t=\"inlineStr\"><is><t>T2</t></is></c></row>";
    let foreign = Made::new(&[("PT list", &data)]).bytes();
    for bytes in own.iter().chain([&foreign]) {
        let small = read("x.xlsx", bytes);
        assert!(small.contains("strand_count"), "{small}");
        assert_eq!(small, read("x.xlsx", &made_large(bytes)));
    }
}

/// The workbook with its sheets under another name: a part may have any (ISO/IEC 29500-2).
fn with_other_names(bytes: &[u8]) -> Vec<u8> {
    let mut archive = ZipArchive::new(Cursor::new(bytes)).expect("an archive");
    let mut renamed = ZipWriter::new(Cursor::new(Vec::new()));
    for index in 0..archive.len() {
        let mut part = archive.by_index(index).expect("it is there");
        let name = part.name().expect("it is text").replace("/sheet0.xml", "/first.part");
        let mut text = String::new();
        part.read_to_string(&mut text).expect("it is text");
        let text = text.replace("sheet0.xml", "first.part");
        renamed.start_file(name, SimpleFileOptions::default()).expect("a new part");
        renamed.write_all(text.as_bytes()).expect("into memory");
    }
    renamed.finish().expect("into memory").into_inner()
}

#[test]
fn a_sheet_is_found_whatever_its_part_is_called() {
    let data = row(1, &["Mark", "Strand count"]) + &row(2, &["T1", "19"]);
    let bytes = with_other_names(&Made::new(&[("Tendons", &data)]).bytes());
    let small = read("x.xlsx", &bytes);
    assert!(small.contains("strand_count"), "{small}");
    assert_eq!(small, read("x.xlsx", &made_large(&bytes)));
}

#[test]
fn what_is_wrong_with_a_workbook_is_said_alike_whether_it_is_small_or_large() {
    let data =
        row(1, &["Mark", "Strand count"]) + "<row r=\"2\"><c r=\"A2\"><v>1<!-- --></v></c></row>";
    let cut = Made::new(&[("Tendons", &data)]).bytes();
    let whys = [cut.clone(), made_large(&cut)].map(|bytes| refused("x.xlsx", &bytes));
    assert_eq!(whys[0], whys[1]);
    assert!(whys[0].1.contains("a comment"), "{}", whys[0].1);
}
