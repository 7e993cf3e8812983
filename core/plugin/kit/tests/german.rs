//! Schedules in German: the words of headers, of their cells, and of the sides of the line.

mod recognised;

use recognised::{Read, plain, sheet, taken};
use restrand_kit::recognise::Mapping;
use restrand_model::Value;

const ROWS: &[&[&str]] = &[
    &["Büro Kolbe + Partner"],
    &["Bauwerk:", "Talbrücke", "", "", "Plan-Nr.:", "SP-07", "", "Index:", "b"],
    &["Externe Spannglieder - Verankerungen"],
    &[
        "Spannglied",
        "Ende",
        "Anker",
        "Litzen",
        "Litze",
        "Hüllrohr PE",
        "Station",
        "Höhe",
        "Abstand zur Achse",
        "Freiraum dahinter",
        "Spannkraft",
        "Spannweg",
        "Verfüllung",
    ],
    &["", "", "", "Anz.", "", "", "[m]", "[m ü. NN]", "[m]", "[cm]", "[kN]", "[mm]", ""],
    &[
        "S1",
        "A",
        "Spannanker",
        "15",
        "15,7 mm / 150 mm²",
        "110 x 6,6",
        "200,5",
        "310,25",
        "2,40 li",
        "180",
        "3100",
        "350",
        "Wachs",
    ],
    &["", "B", "Festanker", "", "", "", "262,0", "311,10", "2,40 li", "90", "", ""],
    &[
        "S2",
        "A",
        "Festende",
        "12",
        "15,7 mm / 150 mm²",
        "90 x 5,4",
        "201,0",
        "309,80",
        "1,90 re",
        "110",
        "2480",
        "",
        "Wachs",
    ],
    &["", "B", "Spannende", "", "", "", "261,25", "310,70", "1,90 re", "165", "2480", "341"],
    &["Summe", "", "", "27"],
];

fn text<'r>(read: &'r Read, list: &str, at: usize, field: &str) -> Option<&'r str> {
    read.of(list)[at].fields.get(field).and_then(Value::as_text)
}

#[test]
fn a_german_schedule_with_a_title_right_above_it_is_read() {
    let read = taken(vec![sheet("Spannglieder", ROWS)], &Mapping::default());
    assert!(read.questions.is_empty(), "{:?}", read.questions);
    assert_eq!(read.marks(), ["S1", "S2"]);
    assert_eq!(read.number("Tendons", 0, &["strand_count"]), Some(15.0));
    assert_eq!(read.number("Tendons", 0, &["stressing", "jacking_force_kn"]), Some(3100.0));
    assert_eq!(read.number("Tendons", 0, &["stressing", "elongation_a_mm"]), Some(350.0));
    assert_eq!(read.number("Tendons", 1, &["stressing", "elongation_b_mm"]), Some(341.0));
    assert_eq!(text(&read, "Tendons", 1, "filler"), Some("wax"));
    assert_eq!(read.number("Strands", 0, &["diameter_mm"]), Some(15.7));
    assert_eq!(read.number("Strands", 0, &["area_mm2"]), Some(150.0));
    assert_eq!(read.number("Ducts", 0, &["wall_mm"]), Some(6.6));
    let kinds: Vec<_> = (0..4).filter_map(|at| text(&read, "Ends", at, "kind")).collect();
    assert_eq!(kinds, ["stressing", "dead", "dead", "stressing"]);
    let room = |at| read.number("Ends", at, &["removal_space", "behind_mm"]);
    assert_eq!([room(0), room(1), room(2)], [1800.0, 900.0, 1100.0].map(Some));
    let point = |at, field| read.number("Points", at, &[field]);
    assert_eq!([point(0, "station_m"), point(1, "station_m")], [200.5, 262.0].map(Some));
    assert_eq!([point(0, "elevation_m"), point(1, "elevation_m")], [310.25, 311.1].map(Some));
    assert_eq!([point(0, "lateral_m"), point(2, "lateral_m")], [2.4, -1.9].map(Some));
    // The title is none of the headers, and says what it says.
    assert_eq!(text(&read, "Project", 0, "revision"), Some("b"));
    let header = &read.understood[0].tables[0].columns[0].header;
    assert_eq!(header, "Spannglied");
}

#[test]
fn the_room_that_is_needed_is_not_the_room_that_there_is() {
    let read = taken(
        vec![sheet(
            "S",
            &[
                &["Spannglied", "Litzen", "Länge (m)", "Platzbedarf hinter Spannanker (mm)"],
                &["S1", "15", "61,5", "1800"],
                &["S2", "15", "61,5", "1750"],
            ],
        )],
        &Mapping::default(),
    );
    assert_eq!(read.questions.len(), 1, "{:?}", read.questions);
    assert!(read.questions[0].readings.contains(&"end.removal_space.behind_mm".to_owned()));
    assert!(read.of("Ends").iter().all(|end| end.fields.get("removal_space").is_none()));
}

#[test]
fn ducts_say_in_german_which_diameter_is_meant() {
    for (header, field) in [
        ("Hüllrohr Ø außen [mm]", "outer_mm"),
        ("Hüllrohr Da [mm]", "outer_mm"),
        ("Hüllrohr AD [mm]", "outer_mm"),
        ("Hüllrohr Ø innen [mm]", "inner_mm"),
    ] {
        let read = plain(&[
            &[
                "Spannglied",
                "Anzahl Litzen",
                header,
                "Spannanker",
                "Dehnweg A [mm]",
                "Dehnweg B [mm]",
            ],
            &["1L", "15", "140", "A und B", "220", "187"],
            &["2L", "15", "140", "A", "312", "-"],
        ]);
        assert!(read.questions.is_empty(), "{header}: {:?}", read.questions);
        assert_eq!(read.number("Ducts", 0, &[field]), Some(140.0), "{header}");
        let from = |at: usize| {
            let stressing = read.of("Tendons")[at].fields.get("stressing").unwrap().as_fields();
            stressing.and_then(|one| one.get("from")).and_then(Value::as_text).map(str::to_owned)
        };
        assert_eq!([from(0), from(1)], ["both", "a"].map(|end| Some(end.to_owned())));
    }
}
