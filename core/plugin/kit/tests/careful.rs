//! What is read says no more than the file does: a value of another meaning, end or tendon is worse than none.

mod recognised;

use recognised::{Read, plain, sheet, taken};
use restrand_kit::recognise::Mapping;
use restrand_model::Value;

fn states_points(read: &Read, field: &str) -> bool {
    read.of("Points").iter().any(|point| point.fields.get(field).is_some())
}

fn states_room(read: &Read) -> bool {
    read.of("Ends").iter().any(|end| end.fields.get("removal_space").is_some())
}

#[test]
fn tendons_that_are_called_as_ends_are_tendons() {
    let rooms: &[&[&str]] = &[
        &["Tendon", "Chainage", "Level"],
        &["T1", "0", "5"],
        &["T1", "60", "6"],
        &["T2", "0", "5"],
        &["T2", "60", "6"],
    ];
    let own: &[&[&str]] = &[
        &["Tendon", "Strands", "Jacking force (kN)"],
        &["T1A", "19", "3700"],
        &["T1B", "12", "2400"],
        &["T2A", "19", "3700"],
        &["T2B", "12", "2400"],
    ];
    let read = taken(vec![sheet("Profiles", rooms), sheet("Tendons", own)], &Mapping::default());
    for mark in ["T1A", "T1B", "T2A", "T2B"] {
        assert!(read.marks().contains(&mark), "{:?}", read.marks());
    }
    assert!(read.of("Ends").is_empty());
}

#[test]
fn a_caption_is_of_levels_only_where_all_its_words_are() {
    for (caption, is_of_levels) in [
        ("Tendon levels (m)", true),
        ("Table 2: Tendon levels at centre of duct (m)", true),
        ("Change in level under jacking (mm)", false),
        ("Tolerance on level (mm)", false),
        ("Level below road surface (m)", false),
        ("z-ordinates (mm), + = down", false),
        ("Water level in duct vents (m)", false),
        ("Height of vent pipe above tendon (mm)", false),
        ("Levels from intrados (mm)", false),
    ] {
        let tendons: &[&[&str]] = &[
            &["Tendon", "Strands", "Jacking force (kN)"],
            &["K1", "19", "3700"],
            &["K2", "19", "3700"],
        ];
        let matrix: &[&[&str]] =
            &[&[caption], &["Chainage (m)", "K1", "K2"], &["0", "9", "8"], &["12", "5", "6"]];
        let read = taken(vec![sheet("S", tendons), sheet("Levels", matrix)], &Mapping::default());
        assert_eq!(states_points(&read, "elevation_m"), is_of_levels, "{caption}");
    }
}

#[test]
fn the_name_of_a_sheet_says_nothing_below_another_caption() {
    let tendons: &[&[&str]] = &[&["Tendon", "Strands"], &["K1", "19"], &["K2", "19"]];
    let matrix: &[&[&str]] = &[
        &["Table 2: friction loss (%)", "Rev B"],
        &["Chainage (m)", "K1", "K2"],
        &["0", "9", "8"],
        &["12", "5", "6"],
    ];
    let read =
        taken(vec![sheet("S", tendons), sheet("Tendon levels (mm)", matrix)], &Mapping::default());
    assert!(!states_points(&read, "elevation_m"));
}

#[test]
fn room_behind_an_anchorage_is_named_as_such() {
    let read = plain(&[
        &["Tendon", "Strands", "Access A (mm)", "Access B (mm)"],
        &["T1", "19", "600", "800"],
        &["T2", "19", "600", "800"],
    ]);
    assert!(!states_room(&read));
    for caption in [
        "Access manholes (clear opening, mm)",
        "Access hatches, cover left and right (mm)",
        "Duct clearance to existing strand removal zone (mm)",
    ] {
        let read = plain(&[
            &[caption],
            &["Tendon", "End", "Behind", "Above", "Left", "Right"],
            &["T1", "A", "3000", "600", "500", "500"],
            &["T1", "B", "1400", "600", "500", "500"],
        ]);
        assert!(!states_room(&read), "{caption}");
    }
}

#[test]
fn names_of_rows_and_stretches_are_no_groups() {
    let with_points = |names: [&str; 4]| {
        let own = names.map(|name| [name, "19", "3700"]);
        let own: Vec<&[&str]> = [&["Tendon", "Strands", "Jacking force (kN)"][..]]
            .into_iter()
            .chain(own.iter().map(|row| &row[..]))
            .collect();
        let points: &[&[&str]] = &[
            &["Tendon", "Chainage (m)"],
            &["A1", "0"],
            &["A2", "60"],
            &["A3", "80"],
            &["A4", "9"],
        ];
        taken(vec![sheet("S", &own), sheet("Points", points)], &Mapping::default())
    };
    // The first and the second of a row.
    let read = with_points(["A1/1", "A1/2", "A2/1", "A2/2"]);
    for mark in ["A1/1", "A1/2", "A2/1", "A2/2"] {
        assert_eq!(read.marks().iter().filter(|own| **own == mark).count(), 1, "{mark}");
    }
    // From one to the next.
    let read = with_points(["A1-A2", "A2-A3", "A3-A4", "A4-A5"]);
    assert!(!read.questions.is_empty());
    assert!(read.marks().iter().all(|mark| mark.contains('-')), "{:?}", read.marks());
    // A running number does not say how many a row is of.
    let read = plain(&[
        &["No.", "Tendon", "Strands", "Jacking force (kN)"],
        &["1", "P1-P2", "19", "3700"],
        &["2", "P3-P4", "19", "3700"],
    ]);
    assert!(!read.marks().contains(&"P3"), "{:?}", read.marks());
}

#[test]
fn a_distance_lies_on_the_side_that_its_row_names() {
    let read = plain(&[
        &["Tendon", "Side", "Strands", "Chainage A (m)", "Distance from CL A (mm)"],
        &["K1", "R", "19", "0", "1700"],
        &["K2", "L", "19", "0", "1600"],
        &["K3", "R", "19", "0", "-1500"],
        &["K4", "", "19", "0", "1400"],
        &["K5", "L", "19", "0", "1300 R"],
    ]);
    let lateral: Vec<Option<f64>> =
        (0..5).map(|at| read.number("Points", at, &["lateral_m"])).collect();
    assert_eq!(lateral, [Some(-1.7), Some(1.6), None, None, None]);
    let unread =
        |text: &str| read.problems.iter().any(|problem| problem.given.as_deref() == Some(text));
    assert!(unread("-1500") && unread("1400") && unread("1300 R"), "{:?}", read.problems);
}

#[test]
fn the_brackets_of_a_caption_are_of_its_last_words() {
    for (caption, is_unit) in
        [("Tendon schedule (ft)", true), ("Tendon schedule, girder spacing (ft)", false)]
    {
        let read = plain(&[
            &[caption],
            &["Tendon", "Strands", "Chainage A", "Level A"],
            &["T1", "19", "10", "20"],
            &["T2", "12", "10", "20"],
        ]);
        let level =
            read.of("Points").first().and_then(|_| read.number("Points", 0, &["elevation_m"]));
        assert_eq!(level.is_some(), is_unit, "{caption}");
    }
}

#[test]
fn a_capacity_in_kilonewtons_is_no_count() {
    let read = plain(&[
        &["Tendon", "No. of strands", "Strand capacity"],
        &["T1", "19", "279"],
        &["T2", "12", "279"],
    ]);
    assert!(read.of("Tendons").iter().all(|one| one.fields.get("strand_capacity").is_none()));
}

#[test]
fn what_is_to_be_removed_later_is_still_there() {
    let read = plain(&[
        &["Tendon", "Strands", "Status"],
        &["T1", "19", "removed 2031"],
        &["T2", "19", "in use"],
    ]);
    let status = |at: usize| read.of("Tendons")[at].fields.get("status").and_then(Value::as_text);
    assert_eq!((status(0), status(1)), (None, Some("in_use")));
}

#[test]
fn a_captioned_table_below_is_no_tendon() {
    let read = plain(&[
        &["Tendon", "Strands", "Jacking force (kN)"],
        &["K1", "19", "3700"],
        &["K2", "19", "3700"],
        &[],
        &["Friction loss (kN)"],
        &["Chainage (m)", "K1", "K2"],
        &["0", "10", "10"],
        &["12", "5", "5"],
    ]);
    assert_eq!(read.marks(), ["K1", "K2"]);
    // Headers that come again below a caption go on with the table.
    let read = plain(&[
        &["Tendon", "Strands", "Jacking force (kN)"],
        &["K1", "19", "3700"],
        &[],
        &["Sheet 2"],
        &["Tendon", "Strands", "Jacking force (kN)"],
        &["K2", "19", "3700"],
    ]);
    assert_eq!(read.marks(), ["K1", "K2"]);
}

#[test]
fn a_note_on_some_tendons_is_not_of_all() {
    for (note, is_of_all) in [
        ("All tendons are stressed from end A.", true),
        ("4. E2 tendons are stressed from end A only.", false),
        ("All tendons in span 1 are stressed from end A.", false),
    ] {
        let read = plain(&[
            &["Tendon", "Strands", "Jacking force (kN)"],
            &["E1", "19", "3700"],
            &["E2", "19", "3700"],
            &[],
            &[note],
        ]);
        let from = |at: usize| {
            let stressing = read.of("Tendons")[at].fields.get("stressing")?.as_fields()?;
            stressing.get("from").and_then(Value::as_text).map(str::to_owned)
        };
        assert_eq!(from(0).is_some(), is_of_all, "{note}");
    }
}

#[test]
fn a_legend_of_ends_states_nothing_of_tendons() {
    let read = plain(&[
        &["Mark", "Strands", "End 1", "End 2", "Jacking force (kN)"],
        &["W1", "19", "LE", "DE", "3900"],
        &["W2", "19", "LE", "DE", "3900"],
        &[],
        &["LEGEND"],
        &["LE", "live end anchorage"],
        &["DE", "dead end anchorage"],
    ]);
    assert!(read.of("Ends").iter().all(|end| end.fields.get("anchorage").is_none()));
}

#[test]
fn a_lettered_support_beside_a_numbered_one_is_the_end_at_which_it_stands() {
    for (first, second) in [
        ("Abut. A", "Pier 1"),
        ("Pier 1", "Abut. A"),
        ("Pier B", "Pier 1"),
        ("Abut. A", "Pier 2"),
        ("Abut. A", "Abut. B"),
    ] {
        let read = plain(&[
            &["Tendon", "Strands", first, "", "", second, "", ""],
            &[
                "",
                "",
                "Ch. (m)",
                "Level (m)",
                "Clear room behind (mm)",
                "Ch. (m)",
                "Level (m)",
                "Clear room behind (mm)",
            ],
            &["R1", "19", "100", "10.2", "1500", "160", "11.1", "800"],
            &["R2", "19", "100", "10.4", "1500", "160", "11.3", "800"],
        ]);
        let points = read.of("Points");
        let of_first: Vec<(Option<f64>, Option<f64>)> = (0..points.len())
            .filter(|at| points[*at].links.first().and_then(Option::as_deref) == Some("R1"))
            .map(|at| {
                (
                    read.number("Points", at, &["station_m"]),
                    read.number("Points", at, &["elevation_m"]),
                )
            })
            .collect();
        assert_eq!(
            of_first,
            [(Some(100.0), Some(10.2)), (Some(160.0), Some(11.1))],
            "{first}, {second}"
        );
        let rooms: Vec<Option<f64>> =
            (0..2).map(|at| read.number("Ends", at, &["removal_space", "behind_mm"])).collect();
        assert_eq!(rooms, [Some(1500.0), Some(800.0)], "{first}, {second}");
        let read = plain(&[
            &["Tendon", "Strands", first, second],
            &["", "", "Clear room behind (mm)", "Clear room behind (mm)"],
            &["R1", "19", "1500", "800"],
        ]);
        let rooms: Vec<Option<f64>> =
            (0..2).map(|at| read.number("Ends", at, &["removal_space", "behind_mm"])).collect();
        assert_eq!(rooms, [Some(1500.0), Some(800.0)], "{first}, {second}");
    }
}

#[test]
fn a_legend_below_is_no_tendon() {
    for heading in [&["Legend:"][..], &[]] {
        let mut rows: Vec<&[&str]> =
            vec![&["Tendon", "Strands", "Filler"], &["T1", "19", "W"], &["T2", "22", "CG"], &[]];
        rows.extend((!heading.is_empty()).then_some(heading));
        rows.extend([&["W", "wax"][..], &["CG", "cement grout"]]);
        let read = plain(&rows);
        assert_eq!(read.marks(), ["T1", "T2"]);
        assert_eq!(read.number("Tendons", 0, &["strand_count"]), Some(19.0));
    }
}

#[test]
fn the_live_end_of_each_row_is_the_one_that_its_column_names() {
    let read = plain(&[
        &[
            "Tendon",
            "Strands",
            "Live end",
            "Clear behind live end (mm)",
            "Clear behind dead end (mm)",
        ],
        &["T1", "19", "A", "1800", "900"],
        &["T2", "19", "B", "1700", "850"],
    ]);
    let ends: Vec<(Vec<&str>, Option<f64>)> = read
        .of("Ends")
        .iter()
        .enumerate()
        .map(|(at, end)| {
            let links = end.links.iter().flatten().map(|link| &**link).collect();
            (links, read.number("Ends", at, &["removal_space", "behind_mm"]))
        })
        .collect();
    for (tendon, end, room) in
        [("T1", "a", 1800.0), ("T1", "b", 900.0), ("T2", "b", 1700.0), ("T2", "a", 850.0)]
    {
        assert!(ends.contains(&(vec![tendon, end], Some(room))), "{tendon} {end}: {ends:?}");
    }
}
