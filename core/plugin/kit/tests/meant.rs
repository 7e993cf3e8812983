//! What is said of some is taken of them alone: codes with their legends, notes with exceptions, rows that are deleted.

mod recognised;

use recognised::{Read, plain, sheet, taken};
use restrand_kit::recognise::{ColumnMapping, Mapping, TableMapping};
use restrand_model::Value;

/// What each tendon is filled with.
fn fillers(read: &Read) -> Vec<Option<&str>> {
    let of = read.of("Tendons");
    of.iter().map(|one| one.fields.get("filler").and_then(Value::as_text)).collect()
}

#[test]
fn a_code_means_what_its_legend_says_on_whatever_sheet() {
    let register: &[&[&str]] =
        &[&["Tendon", "Strands", "Filler"], &["T1", "19", "W"], &["T2", "22", "CG"]];
    let wax_and_grout = [Some("wax"), Some("cement_grout")];
    for legend in [
        &[&["Code", "Meaning"][..], &["W", "wax"], &["CG", "cement grout"]][..],
        &[&["W", "wax"], &["CG", "cement grout"]],
        &[&["Filler codes"], &["W = wax"], &["CG = cement grout"]],
    ] {
        let read =
            taken(vec![sheet("Register", register), sheet("Legend", legend)], &Mapping::default());
        assert_eq!(fillers(&read), wax_and_grout, "{legend:?}");
    }
    for below in [
        &[&["Legend:"][..], &["W", "wax"], &["CG", "cement grout"]][..],
        &[&["W", "wax"], &["CG", "cement grout"]],
        &[&["W = wax, CG = cement grout"]],
        &[&["Code", "Meaning"], &["W", "wax"], &["CG", "cement grout"]],
    ] {
        let rows = [register, &[&[]], below].concat();
        let read = plain(&rows);
        assert_eq!(fillers(&read), wax_and_grout, "{below:?}");
        assert_eq!(read.marks(), ["T1", "T2"], "{below:?}");
    }
}

#[test]
fn a_legend_says_nothing_of_tendons() {
    let register: &[&[&str]] = &[&["Tendon", "Strands"], &["T1", "19"], &["T2", "22"]];
    for legend in [
        &[&["Code", "Meaning"][..], &["CG", "cement grout"]][..],
        &[&["CG", "duct filled with cement grout"]],
    ] {
        let read =
            taken(vec![sheet("Register", register), sheet("Legend", legend)], &Mapping::default());
        assert_eq!(fillers(&read), [None, None], "{legend:?}");
    }
    let read = plain(&[register, &[&[], &["CG = duct filled with cement grout"]]].concat());
    assert_eq!(fillers(&read), [None, None]);
}

#[test]
fn a_legend_goes_before_what_the_trade_means_by_a_code() {
    // Two sheets that explain a code differently explain nothing.
    let rows: &[&[&str]] = &[
        &["Mark", "Strands", "Kind A", "Kind B"],
        &["T1", "19", "L", "D"],
        &["T2", "19", "D", "L"],
    ];
    let kinds = |read: &Read| -> Vec<Option<String>> {
        let ends = read.of("Ends");
        let kind = |fields: &restrand_model::Fields| {
            fields.get("kind").and_then(Value::as_text).map(str::to_owned)
        };
        ends.iter().map(|end| kind(&end.fields)).collect()
    };
    let with = |legend: &[&[&str]]| {
        taken(vec![sheet("S", rows), sheet("Key", legend)], &Mapping::default())
    };
    let usual = plain(rows);
    assert_eq!(kinds(&usual)[0].as_deref(), Some("stressing"));
    let turned = with(&[&["L", "locked (dead) end"], &["D", "drawn"]]);
    assert!(kinds(&turned).iter().all(Option::is_none), "{:?}", kinds(&turned));
    let other = with(&[&["L", "dead end"], &["D", "live end"]]);
    assert_eq!(kinds(&other)[0].as_deref(), Some("dead"));
    // That of another list leaves it as it is.
    let left = with(&[&["L", "left"], &["D", "dead end"]]);
    assert_eq!(kinds(&left)[0].as_deref(), Some("stressing"));
}

#[test]
fn a_note_with_an_exception_is_of_those_it_means() {
    for (notes, expected) in [
        (
            &["NOTE: duct filler: wax for T1 only; all others cement grout"][..],
            [Some("wax"), Some("cement_grout")],
        ),
        (
            &["All ducts filled with cement grout.", "T1 filled with wax."],
            [Some("wax"), Some("cement_grout")],
        ),
        (&["All ducts filled with wax except T1"], [None, Some("wax")]),
        (&["All ducts filled with wax", "Ducts of spare tendons: cement grout"], [None, None]),
        (&["Filled with wax (T1) and cement grout (others)"], [Some("wax"), Some("cement_grout")]),
        (&["Remaining ducts filled with wax"], [None, None]),
        (&["Caps filled with grease", "All ducts filled with wax"], [Some("wax"), Some("wax")]),
    ] {
        let mut rows: Vec<&[&str]> = notes.iter().map(std::slice::from_ref).collect();
        rows.extend([&["Tendon", "Strands"][..], &["T1", "19"], &["T2", "22"]]);
        let read = plain(&rows);
        assert_eq!(fillers(&read), expected, "{notes:?}");
    }
}

#[test]
fn a_range_of_tendons_is_each_of_them() {
    let rows: &[&[&str]] = &[
        &["mu = 0.12 for T1-T3"],
        &["Tendon", "Strands"],
        &["T1", "19"],
        &["T2", "22"],
        &["T3", "22"],
        &["T4", "22"],
    ];
    let read = plain(rows);
    let mu: Vec<Option<f64>> =
        (0..4).map(|at| read.number("Tendons", at, &["stressing", "mu"])).collect();
    assert_eq!(mu, [Some(0.12), Some(0.12), Some(0.12), None]);
    // Each range in a sentence has its own.
    let rows = [&[&["mu = 0.12 (T1-T2), mu = 0.18 (T3)"][..]][..], &rows[1..]].concat();
    let read = plain(&rows);
    let mu: Vec<Option<f64>> =
        (0..4).map(|at| read.number("Tendons", at, &["stressing", "mu"])).collect();
    assert_eq!(mu, [Some(0.12), Some(0.12), Some(0.18), None]);
}

#[test]
fn a_row_is_left_out_where_it_says_so_itself() {
    let read = plain(&[
        &["Tendon", "Strands", "Force (kN)", "Remarks"],
        &["T1", "19", "3900", ""],
        &["T2", "19", "3900", "Deleted Rev C"],
        &["T3", "19", "3900", "deleted 2 vents"],
        &["T4 (deleted)", "19", "3900", ""],
        &["T5", "DELETED", "", ""],
        &["T6", "19", "3900", "Tendon removed 2020"],
    ]);
    assert_eq!(read.marks(), ["T1", "T3"]);
    let said = |text: &str| read.problems.iter().any(|one| one.why.contains(text));
    for text in ["Deleted Rev C", "T4 (deleted)", "DELETED", "Tendon removed 2020"] {
        assert!(said(text), "{text}: {:?}", read.problems);
    }
}

#[test]
fn what_may_be_said_of_a_part_leaves_no_row_out_and_is_asked() {
    for (header, text, is_asked) in [
        ("Condition", "removed 2020", true),
        ("Condition", "deleted from watch list", false),
        ("Dev. 2", "not used", true),
        ("Grout cap", "omitted", true),
        ("Remarks", "Omitted: 2 vents", true),
        ("Remarks", "Removed cap to be kept", false),
        ("Duct OD (mm)", "void", true),
    ] {
        let read = plain(&[
            &["Tendon", "Strands", "Force (kN)", header],
            &["T1", "19", "3900", "125"],
            &["T2", "22", "4500", text],
        ]);
        assert_eq!(read.marks(), ["T1", "T2"], "{header}: {text}");
        let asks = read.questions.iter().any(|one| one.given == text && one.subject == "T2");
        assert_eq!(asks, is_asked, "{header}: {text}: {:?}", read.questions);
    }
}

#[test]
fn a_row_whose_status_is_removed_is_not_asked() {
    let read = plain(&[
        &["Tendon", "Strands", "Status", "Condition"],
        &["T1", "19", "in use", "2 Fair"],
        &["T2", "22", "removed", "removed 2020"],
    ]);
    assert_eq!(read.marks(), ["T1", "T2"]);
    assert!(read.questions.is_empty(), "{:?}", read.questions);
}

#[test]
fn what_a_heading_of_notes_or_codes_stands_over_is_no_tendon() {
    for below in [
        &[&["Legend"][..], &["L", "", "live"], &["D", "", "dead"]][..],
        &[&["Key"], &["1", "stressing end first"], &["2", "dead end first"]],
        &[&["Notes:"], &["1", "All dimensions in mm"], &["2", "Wax to follow"]],
    ] {
        let table: &[&[&str]] = &[
            &["Tendon", "Strands", "Jacking force (kN)"],
            &["T1", "19", "3900"],
            &["T2", "22", "4500"],
        ];
        let read = plain(&[table, below].concat());
        assert_eq!(read.marks(), ["T1", "T2"], "{below:?}");
    }
}

#[test]
fn a_word_among_numbered_marks_is_a_heading() {
    let read = plain(&[
        &["Tendon", "Strands", "Force (kN)"],
        &["T1", "19", "3900"],
        &["T2", "22", "4500"],
        &["Spare", "", ""],
        &["T9", "12", "2500"],
    ]);
    assert_eq!(read.marks(), ["T1", "T2", "T9"]);
    assert!(read.problems.iter().any(|one| one.given.as_deref() == Some("Spare")));
    // Where tendons are called by words, it may be one.
    let read = plain(&[
        &["Tendon", "Strands", "Force (kN)"],
        &["North", "19", "3900"],
        &["South", "22", "4500"],
        &["Spare", "", ""],
    ]);
    assert_eq!(read.marks(), ["North", "South", "Spare"]);
}

#[test]
fn a_column_that_a_mapping_calls_the_end_makes_each_row_one() {
    let column = |header: &str, field: &str, unit: Option<&str>| ColumnMapping {
        header: header.to_owned(),
        field: Some(field.to_owned()),
        unit: unit.map(str::to_owned),
        ..ColumnMapping::default()
    };
    let table = TableMapping {
        headers: Some([1, 1]),
        record: Some("tendon".to_owned()),
        columns: vec![
            column("Ref", "tendon.mark", None),
            column("Seite", "end.end", None),
            column("Platz", "end.removal_space.behind_mm", Some("mm")),
        ],
        ..TableMapping::default()
    };
    let mapping = Mapping { tables: vec![table], ..Mapping::default() };
    let rows: &[&[&str]] = &[&["Ref", "Seite", "Platz"], &["S1", "A", "1800"], &["S1", "B", "900"]];
    let read = taken(vec![sheet("S", rows)], &mapping);
    let ends: Vec<(Option<&str>, Option<f64>)> = read
        .of("Ends")
        .iter()
        .enumerate()
        .map(|(at, end)| {
            (end.links[1].as_deref(), read.number("Ends", at, &["removal_space", "behind_mm"]))
        })
        .collect();
    assert_eq!(ends, [(Some("a"), Some(1800.0)), (Some("b"), Some(900.0))]);
}

#[test]
fn a_footnote_or_the_name_of_a_kind_is_not_of_all() {
    for (mark, note) in [("T1*", "* filled with wax"), ("T1 (1)", "(1) filled with wax")] {
        let read = plain(&[
            &["Tendon", "Strands", "Force (kN)"],
            &[mark, "19", "3900"],
            &["T2", "22", "4500"],
            &[],
            &[note],
        ]);
        assert_eq!(fillers(&read)[1], None, "{note}");
    }
    let rows: &[&[&str]] =
        &[&["Tendon", "Strands", "Filler"], &["T1", "19", "F1"], &["T2", "22", "F2"]];
    let notes: &[&[&str]] = &[&["F1: cement grout"], &["F2: petroleum wax"]];
    let read = taken(vec![sheet("S", rows), sheet("Notes", notes)], &Mapping::default());
    assert_eq!(fillers(&read), [Some("cement_grout"), Some("wax")]);
    // A note that is numbered with a letter speaks of all where it says so.
    for (note, filler) in
        [("N3: all ducts filled with wax", Some("wax")), ("F3: grout with wax", None)]
    {
        let read =
            plain(&[&["Tendon", "Strands", "Force (kN)"], &["T1", "19", "3900"], &[], &[note]]);
        assert_eq!(fillers(&read), [filler], "{note}");
    }
}

#[test]
fn a_note_of_several_numbers_or_ends_is_of_none_or_of_its_own() {
    let of = |notes: &[&str]| {
        let mut rows: Vec<&[&str]> = notes.iter().map(std::slice::from_ref).collect();
        rows.extend([&["Tendon", "Strands"][..], &["T1", "19"], &["T2", "22"]]);
        plain(&rows)
    };
    let read = of(&["Anchor set: 6 mm (T1), 8 mm (T2)"]);
    let set = |at| read.number("Tendons", at, &["stressing", "set_mm"]);
    assert_eq!((set(0), set(1)), (Some(6.0), Some(8.0)));
    let from = |read: &Read, at: usize| {
        let stressing = read.of("Tendons")[at].fields.get("stressing")?.as_fields()?;
        stressing.get("from").and_then(Value::as_text).map(str::to_owned)
    };
    let read = of(&["All tendons stressed from end A.", "T2 stressed from end B."]);
    assert_eq!((from(&read, 0).as_deref(), from(&read, 1).as_deref()), (Some("a"), Some("b")));
    let read = of(&["All tendons stressed from end A.", "Tendons of span 2 stressed from end B."]);
    assert_eq!((from(&read, 0), from(&read, 1)), (None, None));
    let read = of(&["T2 deleted at Rev C"]);
    let said = |text: &str| read.problems.iter().any(|one| one.why.contains(text));
    assert!(said("T2 is no longer there"), "{:?}", read.problems);
}

#[test]
fn a_row_that_names_its_end_states_that_one_alone() {
    let read = plain(&[
        &["Tendon", "End", "Clear behind (mm)", "Strands"],
        &["T1", "A", "1800", "19"],
        &["T2", "B", "900", "19"],
        &["T3", "", "700", "19"],
    ]);
    let rooms: Vec<(Option<&str>, Option<&str>, Option<f64>)> = read
        .of("Ends")
        .iter()
        .enumerate()
        .map(|(at, end)| {
            let room = read.number("Ends", at, &["removal_space", "behind_mm"]);
            (end.links[0].as_deref(), end.links[1].as_deref(), room)
        })
        .filter(|(_, _, room)| room.is_some())
        .collect();
    assert_eq!(
        rooms,
        [(Some("T1"), Some("a"), Some(1800.0)), (Some("T2"), Some("b"), Some(900.0))]
    );
}

#[test]
fn a_column_that_another_revises_is_asked() {
    for header in ["Revised force (kN)", "Rev. B force (kN)"] {
        let read = plain(&[
            &["Tendon", "Strands", "Force (kN)", header],
            &["T1", "19", "3900", "4500"],
            &["T2", "22", "4500", "4800"],
        ]);
        assert_eq!(read.number("Tendons", 0, &["stressing", "jacking_force_kn"]), None, "{header}");
        assert!(!read.questions.is_empty(), "{header}");
    }
}

#[test]
fn a_note_that_numbers_are_others_makes_their_column_a_question() {
    for (note, headers, list, path) in [
        (
            "Levels are to duct invert",
            ["Level A (m)", "Level B (m)"],
            "Points",
            &["elevation_m"][..],
        ),
        (
            "Jacking forces are per pair of tendons",
            ["Jacking force (kN)", "Length (m)"],
            "Tendons",
            &["stressing", "jacking_force_kn"],
        ),
    ] {
        let rows: [&[&str]; 4] = [
            &[note],
            &["Tendon", "Strands", headers[0], headers[1]],
            &["T1", "19", "39", "40"],
            &["T2", "22", "45", "40"],
        ];
        let states =
            |read: &Read| (0..read.of(list).len()).any(|at| read.number(list, at, path).is_some());
        let read = plain(&rows);
        assert!(!states(&read), "{note}");
        assert!(read.questions.iter().any(|one| one.why.contains(note)), "{:?}", read.questions);
        assert!(states(&plain(&rows[1..])), "{note}");
    }
}

#[test]
fn a_label_that_names_some_keeps_another_from_being_of_all() {
    let table: &[&[&str]] = &[&[], &["Tendon", "Strands"], &["T1", "19"], &["T2", "22"]];
    let read = plain(&[&[&["Filler", "wax"][..]], table].concat());
    assert_eq!(fillers(&read), [Some("wax"), Some("wax")]);
    let read = plain(&[&[&["Filler", "wax"][..], &["Filler T2", "cement grout"]], table].concat());
    assert_eq!(fillers(&read), [None, Some("cement_grout")]);
    let read =
        plain(&[&[&["Filler", "wax"][..], &["Filler spare", "cement grout"]], table].concat());
    assert_eq!(fillers(&read), [None, None]);
}

#[test]
fn a_table_of_tendons_that_may_not_hold_is_told() {
    let rows: &[&[&str]] = &[
        &["TEMPORARY TENDONS (to be removed)"],
        &["Tendon", "Strands", "Force (kN)"],
        &["T1", "19", "3900"],
        &["T2", "22", "4500"],
    ];
    let tells = |read: &Read| read.problems.iter().any(|one| one.why.contains("not yet, in use"));
    assert!(tells(&plain(rows)));
    assert!(!tells(&plain(&rows[1..])));
}
