//! Ends that are told by the places where they lie, and totals of several tendons.

mod recognised;

use recognised::{Read, plain, sheet, taken};
use restrand_kit::recognise::Mapping;
use restrand_model::Value;
use restrand_model::reading::ProblemKind;

fn room(read: &Read, at: usize) -> Option<f64> {
    read.number("Ends", at, &["removal_space", "behind_mm"])
}

#[test]
fn two_places_in_headers_are_the_two_ends() {
    for [first, second] in [
        ["Clear behind (mm), Pier 3", "Clear behind (mm), Pier 4"],
        ["Clear behind N anchorage (mm)", "Clear behind S anchorage (mm)"],
        ["Abut. 1 clear behind (mm)", "Pier 2 clear behind (mm)"],
    ] {
        let read = plain(&[
            &["Mark", "Strands", first, second],
            &["R1", "19", "1500", "800"],
            &["R2", "19", "1450", "850"],
        ]);
        assert_eq!([room(&read, 0), room(&read, 1)], [1500.0, 800.0].map(Some), "{first}");
        // Nothing tells that the first is the lower, and this is said.
        let said = read.problems.iter().filter(|one| one.kind == ProblemKind::Assumed);
        assert!(said.clone().any(|one| one.why.contains("comes first")), "{first}");
    }
}

#[test]
fn places_whose_numbers_fall_or_that_are_three_are_no_ends() {
    for headers in [
        &["Tendon", "Strands", "Clear behind (mm), Pier 4", "Clear behind (mm), Pier 3"][..],
        &["Tendon", "Strands", "Clear behind (mm), N", "Clear behind (mm), E"],
        &[
            "Tendon",
            "Strands",
            "Clear behind (mm), Pier 1",
            "Clear behind (mm), Pier 2",
            "Clear behind (mm), Pier 3",
        ],
    ] {
        let read = plain(&[
            headers,
            &["R1", "19", "1500", "800", "700"],
            &["R2", "19", "1450", "850", "700"],
        ]);
        let ends = read.of("Ends");
        assert!(ends.iter().all(|end| end.fields.get("removal_space").is_none()), "{headers:?}");
    }
}

#[test]
fn what_is_stressed_from_a_place_is_stressed_from_its_end() {
    let read = plain(&[
        &[
            "Tendon",
            "Strands",
            "Stressed from",
            "Elongation (mm)",
            "Clear behind W (mm)",
            "Clear behind E (mm)",
        ],
        &["T1", "19", "W", "400", "1600", "1200"],
        &["T2", "22", "E", "380", "1400", "1300"],
    ]);
    let of = |at, field| read.number("Tendons", at, &["stressing", field]);
    assert_eq!([of(0, "elongation_a_mm"), of(1, "elongation_b_mm")], [400.0, 380.0].map(Some));
    let stressing = read.of("Tendons")[1].fields.get("stressing").and_then(Value::as_fields);
    assert_eq!(stressing.and_then(|one| one.get("from")).and_then(Value::as_text), Some("b"));
}

#[test]
fn a_total_beside_a_number_of_tendons_is_not_that_of_each() {
    let read = plain(&[
        &[
            "Tendon",
            "No. of tendons",
            "Strands per tendon",
            "Total strands",
            "Force per strand (kN)",
            "Total force (kN)",
        ],
        &["T1", "2", "19", "38", "205", "3900"],
        &["T2", "2", "22", "44", "205", "4510"],
    ]);
    assert_eq!(read.marks(), ["T1", "T2"]);
    assert_eq!(read.number("Tendons", 0, &["strand_count"]), Some(19.0));
    assert_eq!(read.number("Tendons", 0, &["stressing", "jacking_force_kn"]), None);
    let asked: Vec<_> = read.questions.iter().map(|one| one.header.as_str()).collect();
    assert_eq!(asked, ["Total force (kN)"]);
}

#[test]
fn a_distance_from_the_line_without_a_side_is_asked() {
    let read = plain(&[
        &["Tendon", "Deviator", "Distance from CL (m)", "Level (m)"],
        &["T1L", "D1", "2.4", "19.4"],
        &["T1R", "D1", "2.4", "19.4"],
    ]);
    let asked: Vec<_> = read.questions.iter().map(|one| one.header.as_str()).collect();
    assert_eq!(asked, ["Distance from CL (m)"]);
    assert_eq!(read.questions[0].readings, ["to the left", "to the right"]);
    assert!(read.of("Points").iter().all(|point| point.fields.get("lateral_m").is_none()));
    assert_eq!(read.number("Points", 1, &["elevation_m"]), Some(19.4));
    // A sign, or the side behind the number, tells it.
    let read = plain(&[
        &["Tendon", "Deviator", "Distance from CL (m)", "Level (m)"],
        &["T1L", "D1", "2.4", "19.4"],
        &["T1R", "D1", "-2.4", "19.4"],
    ]);
    assert_eq!(read.number("Points", 1, &["lateral_m"]), Some(-2.4));
}

#[test]
fn two_fields_with_a_stroke_between_them_are_asked() {
    let read = plain(&[
        &["Tendon", "Strands", "Service / Jacking force (kN)"],
        &["T1", "19", "3900"],
        &["T2", "22", "4510"],
    ]);
    let asked: Vec<_> = read.questions.iter().map(|one| one.header.as_str()).collect();
    assert_eq!(asked, ["Service / Jacking force (kN)"]);
    assert_eq!(read.number("Tendons", 0, &["stressing", "jacking_force_kn"]), None);
}

#[test]
fn the_bare_size_of_a_duct_is_asked() {
    let read =
        plain(&[&["Tendon", "Strands", "Duct (mm)"], &["T1", "19", "125"], &["T2", "22", "140"]]);
    assert_eq!(read.questions.len(), 1, "{:?}", read.questions);
    assert_eq!(read.questions[0].readings, ["duct.outer_mm", "duct.inner_mm"]);
    assert!(read.of("Tendons").iter().all(|one| one.fields.get("duct").is_none()));
}

#[test]
fn opposite_words_behind_the_field_name_the_two_ends() {
    let read = plain(&[
        &["Tendon", "Strands", "Jack from", "Elong. at begin (mm)", "Elong. at end (mm)"],
        &["T1", "19", "both ends", "190", "98"],
        &["T2", "19", "begin", "285", ""],
    ]);
    assert!(read.questions.is_empty(), "{:?}", read.questions);
    assert_eq!(read.number("Tendons", 0, &["stressing", "elongation_a_mm"]), Some(190.0));
    assert_eq!(read.number("Tendons", 0, &["stressing", "elongation_b_mm"]), Some(98.0));
    // The end that comes first tells its end by its place; what stands beside it is not both.
    let read = plain(&[
        &["Tendon", "Strands", "Begin elong. (mm)", "End elong. (mm)"],
        &["T1", "19", "190", "98"],
    ]);
    assert_eq!(read.number("Tendons", 0, &["stressing", "elongation_a_mm"]), Some(190.0));
    assert_eq!(read.number("Tendons", 0, &["stressing", "elongation_b_mm"]), Some(98.0));
    // Room to the left is none of the left end.
    let read = plain(&[
        &["Tendon", "End", "Clear L (mm)", "Clear R (mm)"],
        &["T1", "A", "700", "1300"],
        &["T1", "B", "700", "1300"],
    ]);
    let ends = format!("{:?}", read.of("Ends"));
    assert!(!ends.contains("behind_mm"), "{ends}");
    // A left and a right tendon may share a row, of which only stations are in common.
    let read = plain(&[
        &[
            "Tendon",
            "Strands",
            "Length (m)",
            "Filler",
            "Level L (m)",
            "Level R (m)",
            "Elongation L (mm)",
            "Elongation R (mm)",
        ],
        &["T1", "19", "40.2", "wax", "12.3", "12.4", "281", "283"],
        &["T2", "19", "40.4", "wax", "12.9", "13", "281", "283"],
    ]);
    assert!(read.of("Points").is_empty());
    assert_eq!(read.number("Tendons", 0, &["stressing", "elongation_a_mm"]), None);
}

#[test]
fn letters_of_two_tongues_name_the_two_ends() {
    let read = plain(&[
        &[
            "Câble / Cable",
            "PK about G (m)",
            "Cote about G (m)",
            "PK about D (m)",
            "Cote about D (m)",
            "PK dév. 1 (m)",
            "Cote dév. 1 (m)",
            "Mise en tension / Stressing",
            "Allongement G / Elongation L (mm)",
            "Allongement D / Elongation R (mm)",
            "Recul libre G / Free length behind L (mm)",
            "Recul libre D / Free length behind R (mm)",
            "Injection / Filling",
        ],
        &[
            "C1",
            "4",
            "12.3",
            "49",
            "13.1",
            "27",
            "9",
            "1 extr. (G)",
            "284",
            "",
            "1700",
            "1000",
            "cire",
        ],
        &[
            "C2",
            "4",
            "12.9",
            "49",
            "13.6",
            "27",
            "9.4",
            "2 extr.",
            "246",
            "201",
            "2000",
            "2000",
            "coulis de ciment",
        ],
    ]);
    assert!(read.questions.is_empty(), "{:?}", read.questions);
    let text = |at: usize, path: [&str; 2]| {
        let value = read.of("Tendons")[at].fields.get(path[0]).and_then(Value::as_fields);
        value.and_then(|fields| fields.get(path[1])).and_then(Value::as_text).map(str::to_owned)
    };
    assert_eq!(text(0, ["stressing", "from"]).as_deref(), Some("a"));
    assert_eq!(text(1, ["stressing", "from"]).as_deref(), Some("both"));
    assert_eq!(read.number("Tendons", 0, &["stressing", "elongation_a_mm"]), Some(284.0));
    assert_eq!(read.number("Tendons", 1, &["stressing", "elongation_b_mm"]), Some(201.0));
    let filler = read.of("Tendons")[1].fields.get("filler").and_then(Value::as_text);
    assert_eq!(filler, Some("cement_grout"));
    let stations: Vec<_> = (0..3).map(|at| read.number("Points", at, &["station_m"])).collect();
    assert_eq!(stations, [Some(4.0), Some(27.0), Some(49.0)]);
    assert_eq!(read.number("Ends", 0, &["removal_space", "behind_mm"]), Some(1700.0));
    assert_eq!(read.number("Ends", 1, &["removal_space", "behind_mm"]), Some(1000.0));
}

#[test]
fn quarters_that_one_table_tells_are_those_of_another() {
    let data = sheet(
        "Data",
        &[
            &["Tendon", "South anchorage ch. (m)", "North anchorage ch. (m)"],
            &["K1", "12.6", "66.2"],
            &["K2", "12.6", "66.2"],
        ],
    );
    let record = sheet(
        "Record",
        &[
            &["Tendon", "Strands", "Stressing end", "Elongation (mm)"],
            &["K1", "19", "South", "281"],
            &["K2", "19", "North", "278"],
        ],
    );
    let read = taken(vec![record, data], &Mapping::default());
    assert!(read.questions.is_empty(), "{:?}", read.questions);
    assert_eq!(read.number("Tendons", 0, &["stressing", "elongation_a_mm"]), Some(281.0));
    assert_eq!(read.number("Tendons", 1, &["stressing", "elongation_b_mm"]), Some(278.0));
}

#[test]
fn words_that_have_opposites_may_say_other_things() {
    let elongations = |rows: &[&[&str]]| {
        let read = plain(rows);
        ["elongation_a_mm", "elongation_b_mm"]
            .map(|name| read.number("Tendons", 0, &["stressing", name]))
    };
    // Live and dead.
    let read = plain(&[
        &["Tendon", "Strands", "Filler", "Stressed from", "Set L (mm)", "Set D (mm)"],
        &["T1", "19", "wax", "B", "6", "0"],
        &["T2", "19", "wax", "B", "6", "0"],
    ]);
    assert!(read.of("Ends").iter().all(|end| end.fields.get("set_mm").is_none()));
    // The left and the right tendon of a pair, whose ends are named otherwise.
    let read = plain(&[
        &[
            "Tendon",
            "Strands",
            "Ch. A (m)",
            "Ch. B (m)",
            "Anchorage offset L (m)",
            "Anchorage offset R (m)",
        ],
        &["T1", "19", "0", "40", "2.5", "-2.5"],
        &["T2", "19", "40", "80", "2.5", "-2.5"],
    ]);
    assert!(read.of("Points").iter().all(|point| point.fields.get("lateral_m").is_none()));
    // The beginning and the end of the work.
    let started = &[
        &[
            "Tendon",
            "Strands",
            "Filler",
            "Jack from",
            "Elongation start (mm)",
            "Elongation end (mm)",
        ][..],
        &["T1", "19", "wax", "A", "20", "300"],
        &["T2", "19", "wax", "A", "22", "305"],
    ];
    assert_eq!(elongations(started), [None, None]);
    // What wedges are drawn in by, and the room behind.
    let read = plain(&[
        &["Câble", "Nb torons", "Injection", "Recul d'ancrage (mm)"],
        &["C1", "19", "cire", "6"],
        &["C2", "19", "cire", "6"],
    ]);
    assert!(!format!("{:?}", read.records).contains("behind_mm"));
}

#[test]
fn bearings_tell_no_ends_of_tendons() {
    let bearings = sheet(
        "Bearings",
        &[&["Pier", "North bearing (m)", "South bearing (m)"], &["P1", "12.6", "13.4"]],
    );
    let tendons = sheet(
        "Tendons",
        &[
            &["Tendon", "Strands", "Stressed from", "Filler"],
            &["K1", "19", "S", "wax"],
            &["K2", "19", "N", "wax"],
        ],
    );
    let read = taken(vec![bearings, tendons], &Mapping::default());
    let from = |tendon: &restrand_kit::RecordFrame| {
        tendon
            .fields
            .get("stressing")
            .and_then(Value::as_fields)
            .is_some_and(|it| it.get("from").is_some())
    };
    assert!(!read.of("Tendons").into_iter().any(from));
}

#[test]
fn two_quarters_in_one_header_name_its_two_values() {
    let read = plain(&[
        &[
            "Tendon",
            "Strands",
            "Ch. South anch. (m)",
            "Ch. North anch. (m)",
            "Extension S / N (mm)",
        ],
        &["V1", "19", "100.5", "146.5", "285 / -"],
        &["V2", "22", "146", "206", "231 / 176"],
        &["V3", "22", "206", "250", "- / 288"],
    ]);
    assert!(read.questions.is_empty(), "{:?}", read.questions);
    let of = |at: usize, end: &str| read.number("Tendons", at, &["stressing", end]);
    let of = |at: usize| (of(at, "elongation_a_mm"), of(at, "elongation_b_mm"));
    assert_eq!(of(0), (Some(285.0), None));
    assert_eq!(of(1), (Some(231.0), Some(176.0)));
    assert_eq!(of(2), (None, Some(288.0)));
}

fn places(read: &Read) -> Vec<Option<&str>> {
    let of = read.of("Ends");
    of.iter().map(|end| end.fields.get("place").and_then(Value::as_text)).collect()
}

#[test]
fn a_quarter_is_no_place_unless_places_are_called_so() {
    let tendons: &[&[&str]] = &[
        &["Tendon", "Strands", "Clear behind West (mm)", "Clear behind East (mm)"],
        &["T1", "19", "1500", "1100"],
        &["T2", "22", "1600", "1200"],
    ];
    let read = plain(tendons);
    assert_eq!((room(&read, 0), room(&read, 1)), (Some(1500.0), Some(1100.0)));
    assert_eq!(places(&read), [None; 4]);
    let listed: &[&[&str]] = &[
        &["Place", "Station (m)", "Thickness (mm)"],
        &["West", "10", "900"],
        &["East", "60", "900"],
    ];
    let both = taken(vec![sheet("Tendons", tendons), sheet("Places", listed)], &Mapping::default());
    assert_eq!(places(&both)[..2], [Some("West"), Some("East")]);
}

#[test]
fn the_place_of_a_group_stands_in_its_brackets() {
    let read = plain(&[
        &[
            "Tendon",
            "Strands",
            "BEGIN ANCHORAGE (PIER 6)",
            "BEGIN ANCHORAGE (PIER 6)",
            "END ANCHORAGE (PIER 7)",
            "END ANCHORAGE (PIER 7)",
        ],
        &["", "", "STA. (m)", "CLR. BEHIND (mm)", "STA. (m)", "CLR. BEHIND (mm)"],
        &["T1", "19", "100", "1500", "140", "1100"],
        &["T2", "22", "100", "1600", "140", "1200"],
    ]);
    assert_eq!(places(&read)[..2], [Some("PIER 6"), Some("PIER 7")]);
}

#[test]
fn quarters_in_which_webs_lie_are_no_ends() {
    let of = |web: [&str; 3]| {
        let table = [
            &[
                "Tendon",
                "Strands",
                web[0],
                "Elongation S (mm)",
                "Elongation N (mm)",
                "South anchorage ch. (m)",
                "North anchorage ch. (m)",
            ][..],
            &["K1", "19", web[1], "200", "210", "12.6", "66.2"],
            &["K2", "19", web[2], "200", "210", "12.6", "66.2"],
        ];
        let others: &[&[&str]] = &[
            &["Tendon", "Strands", "Stressing end", "Elongation (mm)"],
            &["K7", "19", "South", "281"],
            &["K8", "19", "North", "278"],
        ];
        taken(vec![sheet("Data", &table), sheet("Record", others)], &Mapping::default())
    };
    let elongation = |read: &Read, at: usize, end: &str| {
        read.number("Tendons", at, &["stressing", &format!("elongation_{end}_mm")])
    };
    for web in [["Web", "S", "N"], ["Girder", "North", "South"], ["Side", "N", "N"]] {
        let read = of(web);
        for at in 0..2 {
            assert_eq!(["a", "b"].map(|end| elongation(&read, at, end)), [None, None], "{web:?}");
        }
        let asked = |header: &str| read.questions.iter().any(|one| one.header == header);
        assert!(asked("Elongation S (mm)") && asked("Elongation N (mm)"), "{:?}", read.questions);
        // The anchorages of a tendon are at its ends, wherever it lies.
        assert_eq!(read.number("Points", 0, &["station_m"]), Some(12.6), "{web:?}");
        assert_eq!(elongation(&read, 2, "a"), Some(281.0), "{web:?}");
    }
    // Beside webs that are called otherwise they are ends.
    let read = of(["Web", "1", "2"]);
    assert_eq!(read.number("Tendons", 0, &["stressing", "elongation_a_mm"]), Some(200.0));
    assert_eq!(read.number("Tendons", 2, &["stressing", "elongation_a_mm"]), Some(281.0));
}
