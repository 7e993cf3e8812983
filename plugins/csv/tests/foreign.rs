//! Files as people and other programs leave them.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod common;

use common::{archive, at, load, load_parts};
use restrand_csv::Csv;
use restrand_kit::{Budget, Bytes, Confidence, LoadError, Part, Parts, Plugin};
use restrand_model::reading::{Place, ProblemKind};
use restrand_model::value::Value;

#[test]
fn a_file_is_read_whatever_its_delimiter_and_line_ends() {
    for delimiter in [",", ";", "\t", "|"] {
        for end in ["\n", "\r\n", "\r"] {
            let text = [
                ["Left web", "", "", ""],
                ["", "", "", ""],
                ["Mark", "Strand count", "Length [m]", "Heat number"],
                ["T1", "19", "36.5", "0042"],
                ["T2", "19", "", ""],
                ["", "", "", ""],
                ["T3", "12", "7", "43"],
            ]
            .map(|row| row.join(delimiter))
            .join(end);
            let read = load("Tendons.csv", &text);
            let told: Vec<_> = read.problems.iter().map(|p| (p.kind, p.subject.as_str())).collect();
            let unknown = ["Tendons: Heat number", "Tendons: \"Left web\""]
                .map(|one| (ProblemKind::Unknown, one));
            assert_eq!(told, unknown, "{text:?}");
            assert_eq!(read.records.len(), 3, "{text:?}");
            assert_eq!(read.number(0, "length_m"), Some(36.5));
            assert_eq!(read.extra(0, "Heat number"), Some(&Value::from("0042")));
            assert_eq!(read.extra(2, "Heat number"), Some(&Value::Number(43.0)));
            assert_eq!(read.problems[0].place, at("Tendons.csv", "Tendons", 3, Some(3)));
        }
    }
}

#[test]
fn a_stated_delimiter_is_honoured() {
    let read = load("x.csv", "sep=^\r\nMark^Strand count^Spans\r\nT1^19^1; 2\r\n");
    assert!(read.problems.is_empty(), "{:?}", read.problems);
    assert_eq!(read.number(0, "strand_count"), Some(19.0));
    assert_eq!(read.tables[0].header_row, 1);
}

#[test]
fn an_encoding_that_is_not_stated_is_told() {
    let text = "Mark;Strand count;Length [m];Prüfer\r\nT1;19;36,5;Müller ½\r\n";
    let latin: Vec<u8> = text.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect();
    let read = load("Tendons.csv", &latin);
    let told = &read.problems[0];
    assert_eq!((told.kind, told.subject.as_str()), (ProblemKind::Assumed, "Tendons.csv"));
    assert!(told.why.contains("Windows-1252"), "{}", told.why);
    assert_eq!(read.extra(0, "Prüfer"), Some(&Value::from("Müller ½")));
    assert_eq!(read.number(0, "length_m"), Some(36.5));

    let wide = |mark: &[u8]| -> Vec<u8> {
        mark.iter().copied().chain(text.encode_utf16().flat_map(u16::to_le_bytes)).collect()
    };
    assert!(load("Tendons.csv", wide(b"")).problems[0].why.contains("UTF-16LE"));
    let marked = load("Tendons.csv", wide(b"\xff\xfe"));
    assert!(marked.problems.iter().all(|problem| problem.kind == ProblemKind::Unknown));
}

#[test]
fn a_column_tells_its_decimal_mark_or_is_asked_about_once() {
    let text = "Mark;Length [m];Steel mass [kg];Stressing jacking force [kN];Stressing mu\n\
                T1;36,125;1.234;3.600;0,12\n\
                T2;41,250;1.234,5;3.450;\n\
                T3;7;12;;0,125\n";
    let read = load("Tendons.csv", text);
    assert!(read.problems.is_empty(), "{:?}", read.problems);
    assert_eq!(read.number(0, "steel_mass_kg"), Some(1234.0));
    assert_eq!(read.number(1, "steel_mass_kg"), Some(1234.5));
    assert_eq!(read.number(2, "length_m"), Some(7.0));
    let [length, force] = read.questions.as_slice() else { panic!("{:?}", read.questions) };
    assert_eq!(length.place, at("Tendons.csv", "Tendons", 2, Some(1)));
    assert_eq!((length.header.as_str(), length.given.as_str()), ("Length [m]", "36,125"));
    assert_eq!(length.readings, ["36.125 m", "36125 m"]);
    assert_eq!(length.records.len(), 2);
    // The other columns show that the comma is the author's decimal mark.
    assert_eq!(force.readings, ["3.600 kN", "3600 kN"]);
    for record in 0..2 {
        assert_eq!(read.number(record, "length_m"), None);
    }
}

#[test]
fn a_point_is_the_decimal_mark_where_no_column_has_commas() {
    let text = "Mark,Length [m],Spans,Stressing jacking force [kN]\n\
                T1,36.125,\"1, 2\",\"3,600.5\"\n\
                T2,41.250,1,\"3,450\"\n";
    let read = load("Tendons.csv", text);
    assert!(read.problems.is_empty() && read.questions.is_empty(), "{:?}", read.questions);
    assert_eq!(read.number(0, "length_m"), Some(36.125));
    assert_eq!(read.number(1, "length_m"), Some(41.25));
    let force = |record: usize| {
        read.value(record, "stressing")
            .unwrap()
            .as_fields()
            .unwrap()
            .get("jacking_force_kn")
            .cloned()
    };
    assert_eq!(force(1), Some(Value::Number(3450.0)));
    // What says no more than its number is not kept beside it; "41.250" says more.
    assert!(read.records[0].texts.iter().all(|(column, _)| *column != 1));
    assert!(read.records[1].texts.iter().any(|(_, text)| &**text == "41.250"));
}

#[test]
fn a_line_with_more_values_than_headers_is_lost_and_said() {
    let text = "Mark,Strand count,Length [m]\nT1,19,36,5\nT2,19,7,,\nT3\n";
    let read = load("Tendons.csv", text);
    let [problem] = read.problems.as_slice() else { panic!("{:?}", read.problems) };
    assert_eq!(problem.kind, ProblemKind::RecordLost);
    assert_eq!(problem.place, at("Tendons.csv", "Tendons", 2, Some(3)));
    assert!(problem.why.contains("4 values") && problem.help.contains("\",\""), "{problem:?}");
    assert_eq!((read.text(0, "mark"), read.text(1, "mark")), (Some("T2"), Some("T3")));
}

#[test]
fn an_open_quote_costs_its_line_and_lines_keep_their_numbers() {
    let text = "Mark,Strand count,Vibration note\n\
                T1,19,\"two\r\nlines\"\n\
                T2,19,\"open\n\
                T3,x,\n";
    let read = load("Tendons.csv", text);
    let places: Vec<_> = read.problems.iter().map(|p| (p.kind, p.place.clone())).collect();
    assert_eq!(
        places,
        [
            (ProblemKind::RecordLost, at("Tendons.csv", "Tendons", 4, None)),
            (ProblemKind::ValueLost, at("Tendons.csv", "Tendons", 5, Some(1))),
        ]
    );
    assert_eq!(read.text(0, "vibration_note"), Some("two\r\nlines"));
    assert_eq!(read.text(1, "mark"), Some("T3"));
}

#[test]
fn files_that_are_no_sheet_cost_nothing_but_a_note() {
    let files = [
        ("f/About.csv", b"Field,Meaning".to_vec()),
        ("f/Bays.csv", Vec::new()),
        ("f/Ends.csv", b"x,y\n1,2\n".to_vec()),
        ("f/old/", Vec::new()),
        ("f/photo.jpg", b"\xff\xd8".to_vec()),
        ("f/prices.csv", b"a,b\n1,2\n".to_vec()),
        ("f/web-left-Tendons.csv", b"Mark\nT1\n".to_vec()),
        ("f/web-right.tsv", b"Mark\tStrand\tSpans\nT2\tS\t1\n".to_vec()),
    ];
    let read = load_parts(&files, Budget::default()).unwrap();
    let told: Vec<_> = read.problems.iter().map(|p| (p.kind, p.place.part())).collect();
    assert_eq!(
        told,
        [
            (ProblemKind::SheetLost, "f/Ends.csv"),
            (ProblemKind::SheetUnknown, "f/prices.csv"),
            (ProblemKind::SheetUnknown, "f/old/"),
            (ProblemKind::SheetUnknown, "f/photo.jpg"),
        ]
    );
    let marks: Vec<_> = (0..2).map(|record| read.text(record, "mark").unwrap()).collect();
    assert_eq!(marks, ["T1", "T2"]);
    assert!(read.problems[2].why.contains("a folder"));
}

#[test]
fn an_archive_is_read_as_its_folder_is() {
    let bytes = archive(&[
        ("bridge/Tendons.csv", b"Mark,Strand count\nT1,x\n"),
        ("__MACOSX/._Tendons.csv", b"\0\x05\x16\x07"),
        ("bridge/.hidden.csv", b"Mark"),
        ("bridge/readme.md", b"#"),
    ]);
    let read = load_parts(&[("d/s.zip", bytes)], Budget::default()).unwrap();
    assert_eq!(read.problems[0].place, at("d/s.zip/bridge/Tendons.csv", "Tendons", 2, Some(1)));
    assert_eq!(read.problems[1].place, Place::Part { part: "d/s.zip/bridge/readme.md".into() });
    assert_eq!((read.records.len(), read.problems.len()), (1, 2));
}

fn refused(name: &str, bytes: Vec<u8>, budget: Budget) -> String {
    match load_parts(&[(name, bytes)], budget) {
        Err(LoadError::Unreadable { why, help, .. }) => format!("{why}; {help}"),
        Err(other) => panic!("{other:?}"),
        Ok(read) => panic!("{} records", read.records.len()),
    }
}

#[test]
fn archives_that_cannot_be_borne_are_refused() {
    let small = Budget { unpacked_bytes: 1000, ..Budget::default() };
    let bytes = archive(&[("Tendons.csv", "Mark\n".repeat(1000).as_bytes())]);
    assert!(refused("x.zip", bytes.clone(), small).contains("5000 bytes"), "by budget");
    let bomb = archive(&[("Tendons.csv", &vec![b' '; 60_000_000])]);
    assert!(refused("x.zip", bomb, Budget::default()).contains("as no real sheet does"));
    assert!(
        refused("x.zip", archive(&[("a.xml", b"")]), Budget::default()).contains("without a CSV")
    );
    let mut cut = bytes;
    cut.truncate(cut.len() / 2);
    assert!(refused("x.zip", cut, Budget::default()).contains("cut short"));
    let names: Vec<String> = (0..300).map(|number| format!("{number}.csv")).collect();
    let many: Vec<(&str, &[u8])> = names.iter().map(|name| (name.as_str(), &b"x"[..])).collect();
    assert!(refused("x.zip", archive(&many), Budget::default()).contains("more than 256"));
}

fn probed(name: &str, bytes: &[u8]) -> Confidence {
    let part = Bytes::new(name, bytes.to_vec());
    Csv.probe(Parts(&[&part as &dyn Part]))
}

#[test]
fn what_is_csv_is_known_by_its_content() {
    use Confidence::{No, Perhaps, Sure};
    let text = b"Mark;Strand;Spans\nT1;S;1\n";
    assert_eq!(probed("stdin", text), Sure);
    assert_eq!(probed("Tendons.csv", text), Sure);
    assert_eq!(probed("notes.csv", b"Dear colleague,\n"), Perhaps);
    assert_eq!(probed("notes.txt", b"Dear colleague,\n"), No);
    assert_eq!(probed("a.json", b"{\"tendons\": [{\"mark\": \"T1\",\n\"strand\": \"S\"}]}"), No);
    assert_eq!(probed("x.zip", &archive(&[("Tendons.csv", text)])), Sure);
    assert_eq!(probed("x.bin", &archive(&[("Tendons.csv", text)])), Sure);
    assert_eq!(probed("x.zip", &archive(&[("x.xml", b"")])), Perhaps);
    // A workbook may carry a text.
    let book = archive(&[("[Content_Types].xml", b""), ("Tendons.csv", text)]);
    assert_eq!(probed("x.xlsx", &book), No);
    assert_eq!(Csv.probe(Parts(&[])), No);
}

#[test]
fn hostile_texts_are_read_or_said() {
    for text in [
        "",
        "\u{feff}",
        "\n\n\r\r\n",
        "Mark,Strand count",
        "Mark,Mark,Mark\nT1,T2,T3\n",
        "Mark,Strand count,,,\nT1,19,,,\n",
        "Mark,Strand count\nT1\0,1\09\n",
        "Mark,Strand count\nTotal,228\n",
        "\"",
        "sep=",
        "Mark,Strand count\n\"T1\",\"",
    ] {
        let _ = load("Tendons.csv", text);
    }
    let long = format!("Mark,Vibration note\nT1,\"{}\"\n", "x\n".repeat(400));
    assert_eq!(load("Tendons.csv", long).text(0, "vibration_note").unwrap().len(), 799);
    let long = format!("Mark,Vibration note\nT1,{}\n", "x".repeat(200_000));
    assert_eq!(load("Tendons.csv", long).text(0, "vibration_note").unwrap().len(), 200_000);

    let wide =
        format!("Mark,Strand count{}\nT1,19{}\n", ",a".repeat(1_000_000), ",1".repeat(1_000_000));
    let read = load("Tendons.csv", wide);
    assert_eq!(read.number(0, "strand_count"), Some(19.0));
    assert!(read.problems.iter().any(|problem| problem.why.contains("1000002 columns")));
}
