//! Files that cannot be read as a whole: each is refused with what is wrong and what to do.

mod common;

use std::io::{Cursor, Write};

use common::{Made, archive, load, load_with, refused, row, tendons};
use restrand_kit::{Budget, Bytes, Confidence, LoadError, Part, Parts, Plugin};
use restrand_model::reading::Place;
use restrand_workbook::Workbook;
use zip::write::SimpleFileOptions;

const ODS_TYPE: &[u8] = b"application/vnd.oasis.opendocument.spreadsheet";

fn good() -> Vec<u8> {
    let data = row(1, &["Mark", "Strand count"]) + &row(2, &["T1", "19"]);
    Made::new(&[("Tendons", &data)]).bytes()
}

fn why(name: &str, bytes: &[u8]) -> String {
    let (place, why, help) = refused(name, bytes);
    assert_eq!(place.part(), name);
    assert!(!help.is_empty());
    why
}

#[test]
fn files_that_are_no_workbook_are_called_by_what_they_seem() {
    for (bytes, part_of_why) in [
        (&b""[..], "the file is empty"),
        (b"Mark;Strands\nT1;19\n", "plain text"),
        (b"%PDF-1.7\n", "a PDF document"),
        (b"\x89PNG\r\n\x1a\n", "an image"),
        (b"<html><table>", "a web page"),
        (b"<?xml version=\"1.0\"?><a/>", "an XML document"),
        (b"\x00\x01\x02\x03", "something else"),
        (b"PK\x03\x04 and no more", "cut short"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 and no more", "cut short"),
    ] {
        assert!(why("schedule.xlsx", bytes).contains(part_of_why), "{bytes:?}");
    }
}

#[test]
fn archives_of_other_kinds_are_refused() {
    for (parts, part_of_why) in [
        (&[("readme.txt", &b"x"[..])][..], "without a workbook"),
        (&[("word/document.xml", b"x")], "a text document"),
        (&[("ppt/presentation.xml", b"x")], "a presentation"),
        (&[("mimetype", b"application/vnd.oasis.opendocument.text")], "a text document"),
        (&[("mimetype", ODS_TYPE)], "content.xml is missing"),
        (&[("xl/workbook.xml", b"<workbook/>")], "_rels/.rels is missing"),
        (&[("xl/workbook.bin", b"\x90\x01\x00")], "is damaged"),
    ] {
        assert!(why("x.xlsx", &archive(parts)).contains(part_of_why), "{parts:?}");
    }
}

#[test]
fn a_workbook_cut_short_is_refused_at_every_length() {
    let bytes = good();
    for length in (0..bytes.len()).step_by(7) {
        why("x.xlsx", &bytes[..length]);
    }
}

/// The archive with another checksum for one of its parts, in the list of its parts.
fn with_wrong_sum(mut bytes: Vec<u8>, part: &str) -> Vec<u8> {
    /// Where an entry of the list holds the checksum, and where the name, by the zip format (ISO/IEC 21320-1).
    const SUM: usize = 16;
    const NAME: usize = 46;
    let entry = bytes
        .windows(NAME + part.len())
        .position(|window| window.starts_with(b"PK\x01\x02") && window.ends_with(part.as_bytes()))
        .expect("the part is in the list");
    bytes[entry + SUM] ^= 1;
    bytes
}

#[test]
fn a_part_that_does_not_agree_with_its_checksum_is_refused_though_its_cells_can_be_read() {
    let bytes = good();
    for part in ["xl/worksheets/sheet0.xml", "xl/workbook.xml"] {
        let why = why("x.xlsx", &with_wrong_sum(bytes.clone(), part));
        assert!(why.contains(&format!("its part {part} is not whole")), "{why}");
    }
}

#[test]
fn encrypted_open_documents_are_refused() {
    let manifest = b"<manifest:manifest><manifest:file-entry><manifest:encryption-data/></manifest:file-entry></manifest:manifest>";
    let bytes = archive(&[
        ("mimetype", ODS_TYPE),
        ("META-INF/manifest.xml", manifest),
        ("content.xml", b"\x01\x02"),
    ]);
    let (_, why, help) = refused("x.ods", &bytes);
    assert!(why.contains("encrypted") && help.contains("remove the password"));
}

#[test]
fn a_broken_sheet_is_named() {
    for data in [
        "<row r=\"1\"><c r=\"A1\"><v>1</v></c><c",
        "<row><c r=\"A1\"><x/></c></row>",
        "<row r=\"1\">&",
    ] {
        let bytes = Made::new(&[("Tendons", data)]).bytes();
        let result = load_with("x.xlsx", &bytes, Budget::default());
        let Err(LoadError::Unreadable { place, why, .. }) = result else {
            panic!("{data}: {result:?}")
        };
        assert_eq!(place, Place::Sheet { part: "x.xlsx".into(), sheet: "Tendons".into() });
        assert!(why.contains("the sheet \"Tendons\" is damaged"), "{why}");
    }
}

#[test]
fn a_sheet_named_in_the_list_and_not_there_is_refused() {
    let mut zip = zip::ZipArchive::new(Cursor::new(good())).unwrap();
    let mut parts = Vec::new();
    for index in 0..zip.len() {
        let mut part = zip.by_index(index).unwrap();
        let name = part.name().unwrap().into_owned();
        let mut bytes = Vec::new();
        std::io::Read::read_to_end(&mut part, &mut bytes).unwrap();
        if !name.contains("worksheets") {
            parts.push((name, bytes));
        }
    }
    let parts: Vec<(&str, &[u8])> =
        parts.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
    assert!(why("x.xlsx", &archive(&parts)).contains("its part is missing"));
}

#[test]
fn counts_that_would_exhaust_memory_are_refused() {
    for stated in ["1000000000000", "99999999999999999999999", " 500"] {
        let texts = format!(
            "<!-- <sst> --><sst count=\"1\" uniqueCount=\"{stated}\"><si><t>x</t></si></sst>"
        );
        let bytes = Made { texts: Some(&texts), ..Made::new(&[("Tendons", "")]) }.bytes();
        let read = load_with("x.xlsx", &bytes, Budget::default());
        if let Err(LoadError::Unreadable { why, .. }) = &read {
            assert!(why.contains("more texts than it can hold"), "{why}");
        } else {
            // More digits than a number takes are no number for the reader either.
            assert!(stated.len() > 20, "{read:?}");
        }
    }
    let styles = format!("<styleSheet><cellXfs>{}</cellXfs></styleSheet>", "<xf/>".repeat(200_001));
    let bytes = Made { styles: Some(&styles), ..Made::new(&[("Tendons", "")]) }.bytes();
    assert!(why("x.xlsx", &bytes).contains("cell styles"));
}

#[test]
fn more_than_the_budget_is_refused_before_it_is_unpacked() {
    let budget = Budget { unpacked_bytes: 500, ..Budget::default() };
    let Err(LoadError::Unreadable { why, .. }) = load_with("x.xlsx", &good(), budget) else {
        panic!()
    };
    assert!(why.contains("500 bytes that are allowed"), "{why}");

    let zeros = vec![b' '; 51_000_000];
    let bytes = archive(&[("xl/workbook.xml", b"<workbook/>"), ("xl/media/image.bin", &zeros)]);
    assert!(why_of_bomb(&bytes).contains("as no real sheet does"));
    let bytes = archive(&[("xl/workbook.xml", b"<workbook/>"), ("xl/sharedStrings.xml", &zeros)]);
    let budget = Budget { unpacked_bytes: 100_000_000, ..Budget::default() };
    assert!(matches!(load_with("x.xlsx", &bytes, budget), Err(LoadError::Unreadable { .. })));
}

fn why_of_bomb(bytes: &[u8]) -> String {
    why("x.xlsx", bytes)
}

/// An archive whose list states 100 bytes less than a part holds.
#[test]
fn a_part_that_holds_more_than_it_states_is_refused() {
    let data = row(1, &["Mark", "Strand count"])
        + &(2..4_000).map(|number| row(number, &["T", "19"])).collect::<String>();
    let bytes = Made::new(&[("Tendons", &data)]).bytes();
    assert_eq!(load(&bytes).records.len(), 3_998);
    // Both statements of the size of the sheet's part: in its own header and in the list at the end.
    let mut zip = zip::ZipArchive::new(Cursor::new(bytes.clone())).unwrap();
    let size = u32::try_from(zip.by_index(0).unwrap().size()).unwrap().to_le_bytes();
    let mut lying = bytes;
    let places: Vec<usize> =
        (0..lying.len() - 4).filter(|at| lying[*at..*at + 4] == size).collect();
    assert!(!places.is_empty());
    for at in places {
        lying[at..at + 4].copy_from_slice(&1_000_u32.to_le_bytes());
    }
    assert!(why("x.xlsx", &lying).contains("Tendons"));
}

#[test]
fn open_documents_that_repeat_without_end_are_refused() {
    let content = r#"<a><table:table table:name="Tendons"><table:table-row table:number-rows-repeated="1048576">
        <table:table-cell office:value-type="float" office:value="1" table:number-columns-repeated="16384"/>
        </table:table-row></table:table></a>"#;
    let bytes = archive(&[("mimetype", ODS_TYPE), ("content.xml", content.as_bytes())]);
    assert!(why("x.ods", &bytes).contains("repeat filled cells"));
    let deep = format!("{}{}", "<a>".repeat(1_000), "</a>".repeat(1_000));
    let bytes = archive(&[("mimetype", ODS_TYPE), ("content.xml", deep.as_bytes())]);
    assert!(why("x.ods", &bytes).contains("nested too deep"));
    let bytes = archive(&[
        ("mimetype", ODS_TYPE),
        ("content.xml", b"<!DOCTYPE a [<!ENTITY b \"c\">]><a/>"),
    ]);
    assert!(why("x.ods", &bytes).contains("declares entities"));
}

#[test]
fn the_content_tells_a_workbook_and_the_name_only_perhaps() {
    let probe = |name: &str, bytes: &[u8]| {
        let part = Bytes::new(name, bytes.to_vec());
        let parts: [&dyn Part; 1] = [&part];
        Workbook.probe(Parts(&parts))
    };
    assert_eq!(probe("x.bin", &good()), Confidence::Sure);
    assert_eq!(probe("x", &archive(&[("mimetype", ODS_TYPE)])), Confidence::Sure);
    assert_eq!(probe("x.XLSX", b"%PDF"), Confidence::Perhaps);
    assert_eq!(probe("x.ods", b""), Confidence::Perhaps);
    assert_eq!(probe("x.csv", b"Mark;Strands"), Confidence::No);
    assert_eq!(probe("x.zip", &archive(&[("a.csv", b"x")])), Confidence::No);
    assert_eq!(Workbook.probe(Parts(&[])), Confidence::No);
}

#[test]
fn a_part_packed_in_an_unusual_way_is_refused() {
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    zip.start_file("xl/workbook.xml", SimpleFileOptions::default()).unwrap();
    zip.write_all(b"<workbook/>").unwrap();
    let mut bytes = zip.finish().unwrap().into_inner();
    // The method stands at 8 in the part's header, and at 10 in the list.
    let list = bytes.windows(4).position(|four| four == b"PK\x01\x02").unwrap();
    bytes[8] = 12;
    bytes[list + 10] = 12;
    assert!(why("x.xlsx", &bytes).contains("packed in a way"));
}

#[test]
fn a_value_that_would_be_read_in_part_is_refused() {
    for value in ["19<!-- of 22 -->00", "<![CDATA[1900]]>"] {
        let below = format!(
            r#"<row r="2"><c r="A2" t="str"><v>T1</v></c><c r="B2"><v>{value}</v></c></row>"#
        );
        let (_, why, help) = refused("schedule.xlsx", &tendons(&["Mark", "Strand count"], &below));
        assert!(why.contains("inside the value of a cell"), "{why}");
        assert!(help.contains("save"), "{help}");
    }
    // Comments between cells change nothing.
    let below = r#"<!-- row --><row r="2"><c r="A2" t="str"><v>T1</v></c><!-- ! --><c r="B2"><v>19</v></c></row>"#;
    assert_eq!(
        load(&tendons(&["Mark", "Strand count"], below)).number(0, "strand_count"),
        Some(19.0)
    );
}
