//! What a sheet leaves in doubt: it is asked once and clearly, and what its words settle is not asked.

mod recognised;

use recognised::{Read, plain, sheet, taken};
use restrand_kit::recognise::{Look, Mapping, Merged, Sheet, starter};
use restrand_kit::sheet::Cell;
use restrand_model::reading::Grid;

fn asked(read: &Read) -> Vec<(&str, usize)> {
    read.questions.iter().map(|one| (one.header.as_str(), one.records.len())).collect()
}

#[test]
fn deviators_with_grouped_headers_below_a_table_are_a_table_of_their_own() {
    for caption in [true, false] {
        let group = ["Tendon", "DEVIATOR D1", "", "DEVIATOR D2"];
        let headers = ["", "Chainage (m)", "Level (m)", "Chainage (m)", "Level (m)"];
        let mut rows: Vec<&[&str]> = vec![
            &["Tendon", "END A", "", "END B"],
            &headers,
            &["T1L", "499.35", "21.4", "537", "21.7"],
            &["T1R", "499.35", "21.4", "537", "21.7"],
            &[],
        ];
        if caption {
            rows.push(&["DEVIATORS"]);
        }
        let at = u32::try_from(rows.len()).unwrap();
        rows.extend([
            &group as &[&str],
            &headers,
            &["T1L", "512", "20.4", "524", "20.5"],
            &["T1R", "512", "20.4", "524", "20.5"],
        ]);
        let mut sheet = sheet("PT", &rows);
        for row in [0, at] {
            for column in [1, 3] {
                sheet.merged.push(Merged { first: (row, column), last: (row, column + 1) });
            }
        }
        let read = taken(vec![sheet], &Mapping::default());
        let marks: Vec<_> =
            read.of("Tendons").iter().map(|one| one.fields.get("mark").cloned()).collect();
        assert_eq!(marks.len(), 2, "{marks:?}");
        assert!(read.problems.is_empty() && read.questions.is_empty(), "{:?}", read.problems);
        let stations: Vec<_> =
            (0..4).map(|at| read.number("Points", at, &["station_m"]).unwrap()).collect();
        assert_eq!(stations, [499.35, 512.0, 524.0, 537.0]);
    }
}

#[test]
fn each_clause_of_a_note_holds_for_what_it_names() {
    let read = plain(&[
        &["All dimensions in mm unless noted; chainages and levels in m."],
        &["Offsets positive to the left."],
        &["Tendon", "Strands", "Ch. A", "Offset A", "Level A", "Ch. B", "Offset B", "Level B"],
        &["T1", "19", "499.35", "750", "21.4", "537", "750", "21.7"],
        &["T2", "19", "499.35", "-750", "21.4", "537", "-750", "21.7"],
    ]);
    assert!(read.questions.is_empty(), "{:?}", asked(&read));
    assert_eq!(read.number("Points", 0, &["lateral_m"]), Some(0.75));
    assert_eq!(read.number("Points", 0, &["station_m"]), Some(499.35));
    assert_eq!(read.number("Points", 0, &["elevation_m"]), Some(21.4));
}

#[test]
fn what_is_in_doubt_in_several_columns_is_asked_once() {
    let read = plain(&[
        &["Tendon", "Strands", "Station A (m)", "Level A", "Level D1", "Station B (m)", "Level B"],
        &["T1", "19", "499", "21.4", "20.1", "537", "21.7"],
        &["T2", "19", "499", "21.4", "20.1", "537", "21.7"],
    ]);
    assert_eq!(asked(&read), [("Level A; Level D1; Level B", 6)]);
    // A mapping file to begin with says it at each of the columns.
    let begun = starter(&read.understood, &read.questions);
    assert_eq!(begun.matches("# one of these units:").count(), 3, "{begun}");
}

#[test]
fn a_station_is_not_read_in_millimetres_because_a_note_is_about_dimensions() {
    let read = plain(&[
        &["All dimensions in mm"],
        &["Tendon", "Strands", "Station A", "Station B"],
        &["T1", "19", "512", "524"],
        &["T2", "19", "512", "524"],
    ]);
    assert_eq!(asked(&read), [("Station A; Station B", 4)]);
}

#[test]
fn a_sign_that_is_left_or_right_is_asked() {
    for header in
        ["Offset A (m) + outward", "Offset A (m), +ve towards median", "Offset A (m) (+ east)"]
    {
        let read = plain(&[
            &["Tendon", "Strands", header, "Station A (m)", "Station B (m)"],
            &["T1", "19", "1.2", "100", "140"],
            &["T2", "19", "-1.2", "100", "140"],
        ]);
        assert_eq!(read.questions.len(), 1, "{header}");
        assert_eq!(read.questions[0].subject, "tendon_point.lateral_m");
        assert_eq!(read.questions[0].readings, ["positive to the left", "positive to the right"]);
        assert_eq!(read.number("Points", 0, &["lateral_m"]), None, "{header}");
    }
}

#[test]
fn headers_as_offices_shorten_them_are_read() {
    let read = plain(&[
        &[
            "Tendon",
            "Strands (n)",
            "Strand",
            "Duct OD (mm)",
            "wall t (mm)",
            "JACKING END",
            "Ext. (mm)",
            "Station A (m)",
            "Station E (m)",
        ],
        &["T1", "19", "Y1860S7-15.7", "125", "7.4", "A", "245", "100", "140"],
        &["T2", "19", "Y1860S7-15.7", "125", "7.4", "B", "246", "100", "140"],
    ]);
    assert!(read.questions.is_empty(), "{:?}", asked(&read));
    assert_eq!(read.number("Tendons", 0, &["strand_count"]), Some(19.0));
    assert_eq!(read.number("Ducts", 0, &["wall_mm"]), Some(7.4));
    assert_eq!(read.number("Points", 1, &["station_m"]), Some(140.0));
    // What is stretched is at the end that is jacked.
    assert_eq!(read.number("Tendons", 0, &["stressing", "elongation_a_mm"]), Some(245.0));
    assert_eq!(read.number("Tendons", 1, &["stressing", "elongation_b_mm"]), Some(246.0));
    assert_eq!(read.number("Tendons", 1, &["stressing", "elongation_a_mm"]), None);
}

#[test]
fn an_end_that_no_column_names_is_asked() {
    let read = plain(&[
        &["Tendon", "Strands", "Jacking end", "Elongation (mm)"],
        &["T1", "19", "Live end", "245"],
        &["T2", "19", "both", "246"],
    ]);
    assert_eq!(asked(&read), [("Jacking end", 1), ("Elongation (mm)", 2)]);
    assert_eq!(read.questions[0].readings, ["end a", "end b", "both ends"]);
}

#[test]
fn two_columns_that_state_the_same_are_one_question() {
    let read = plain(&[
        &["Tendon", "Strands", "D1 ch. (m)", "D1 level (m)", "D1 level (m)"],
        &["T1", "19", "512", "20.4", "20.5"],
        &["T2", "19", "512", "20.4", "20.5"],
    ]);
    assert_eq!(asked(&read), [("D1 level (m)", 4)]);
    let question = &read.questions[0];
    assert_eq!(question.subject, "tendon_point.elevation_m");
    assert_eq!(question.readings, ["column D, \"D1 level (m)\"", "column E, \"D1 level (m)\""]);
    assert!(question.why.starts_with("2 columns state it;"), "{}", question.why);
}

#[test]
fn texts_that_are_numbers_are_counts() {
    let mut sheet = Sheet::new("a.xlsx", "S", Grid::Cells);
    let rows = [
        ["Mark", "Strands", "Strand", "Length"],
        ["T1", "19", "0.6\"", "40 m"],
        ["T2", "19", "0.6\"", "40 m"],
    ];
    for (row, cells) in (0..).zip(rows) {
        for (column, text) in (0..).zip(cells) {
            sheet.push(row, column, &Cell::Text(text.into()), Look::default());
        }
    }
    let read = taken(vec![sheet], &Mapping::default());
    assert!(read.questions.is_empty(), "{:?}", asked(&read));
    assert_eq!(read.number("Tendons", 0, &["strand_count"]), Some(19.0));
}

#[test]
fn tendons_across_below_a_corner_with_groups_and_units_are_read() {
    for (corner, unit, merged) in [
        ("Tendon", "", true),
        ("Tendon", "Unit", true),
        ("Item", "", false),
        ("Item", "Unit", false),
        ("Item", "Unit", true),
    ] {
        let rows: &[&[&str]] = &[
            &[corner, "", unit, "N1", "N2"],
            &["General", "Number of strands", "-", "22", "22"],
            &["", "Tendon length", "m", "88.4", "88.1"],
            &["Stressing", "Jacking force", "MN", "4.4", "4.38"],
            &["End A", "Station", "m", "20.5", "20.5"],
            &["", "Level", "m", "104.2", "103.6"],
            &["End B", "Station", "m", "108.6", "108.4"],
            &["", "Level", "m", "105.1", "104.5"],
        ];
        let mut sheet = sheet("Data", rows);
        if merged {
            for (first, last) in [(1, 2), (4, 5), (6, 7)] {
                sheet.merged.push(Merged { first: (first, 0), last: (last, 0) });
            }
        }
        let read = taken(vec![sheet], &Mapping::default());
        let why = format!("{corner} {unit} {merged}: {:#?}", read.understood);
        assert!(read.questions.is_empty() && read.problems.is_empty(), "{why}");
        assert_eq!(read.of("Tendons").len(), 2, "{why}");
        assert_eq!(read.number("Tendons", 1, &["strand_count"]), Some(22.0), "{why}");
        assert_eq!(read.number("Tendons", 1, &["length_m"]), Some(88.1));
        let force = read.number("Tendons", 1, &["stressing", "jacking_force_kn"]).unwrap();
        assert!((force - 4380.0).abs() < 1e-9, "{why}");
        assert_eq!(read.number("Points", 3, &["elevation_m"]), Some(104.5), "{why}");
    }
}

#[test]
fn ends_below_a_caption_state_what_it_says() {
    let read = plain(&[
        &["Table 3: Room behind anchorages (mm)"],
        &["Tendon", "End A", "End B"],
        &["K1", "2000", "1500"],
        &["K2", "1900", "1400"],
    ]);
    assert!(read.questions.is_empty(), "{:?}", asked(&read));
    assert_eq!(read.number("Ends", 1, &["removal_space", "behind_mm"]), Some(1500.0));
    assert_eq!(read.number("Ends", 2, &["removal_space", "behind_mm"]), Some(1900.0));
}

#[test]
fn a_caption_states_the_units_of_its_own_table() {
    let read = plain(&[
        &["Table 1: Tendons (lengths in m, forces in kN, diameters in mm)"],
        &["Tendon", "Strands", "Length", "Pj", "Duct OD"],
        &["K1", "12", "60.5", "2500", "110"],
        &["K2", "12", "60.5", "2500", "110"],
        &[""],
        &["Table 2: Deviators (all in ft)"],
        &["Tendon", "Deviator", "Station", "Level"],
        &["K1", "D1", "18", "7.25"],
        &["K2", "D1", "18", "7.25"],
    ]);
    assert!(read.questions.is_empty(), "{:?}", asked(&read));
    assert_eq!(read.number("Tendons", 0, &["length_m"]), Some(60.5));
    let station = read.number("Points", 0, &["station_m"]).unwrap();
    assert!((station - 5.4864).abs() < 1e-9, "{station}");
}

#[test]
fn a_legend_tells_what_codes_mean() {
    let read = plain(&[
        &["Tendon", "Strands", "Filler", "End A", "End B", "Length (m)"],
        &["W1", "19", "W", "LE", "DE", "40.5"],
        &["W2", "19", "G", "LE", "XE", "40.5"],
        &[""],
        &["LEGEND"],
        &["LE", "live end anchorage"],
        &["DE", "dead end anchorage"],
        &["XE", "dead end anchorage"],
        &["W", "petroleum wax"],
        &["G", "cement grout"],
    ]);
    assert!(read.questions.is_empty(), "{:?}", asked(&read));
    let text = |list: &str, at: usize, field: &str| {
        read.of(list)[at]
            .fields
            .get(field)
            .and_then(restrand_model::Value::as_text)
            .map(str::to_owned)
    };
    assert_eq!(text("Tendons", 0, "filler").as_deref(), Some("wax"));
    assert_eq!(text("Tendons", 1, "filler").as_deref(), Some("cement_grout"));
    let kinds: Vec<_> = (0..4).filter_map(|at| text("Ends", at, "kind")).collect();
    assert_eq!(kinds, ["stressing", "dead", "stressing", "dead"]);
    // Without a legend the code is told.
    let read = plain(&[
        &["Tendon", "Strands", "Filler", "Length (m)"],
        &["W1", "19", "wax", "40.5"],
        &["W2", "19", "Q", "40.5"],
    ]);
    assert!(
        read.problems.iter().any(|one| one.given.as_deref() == Some("Q")),
        "{:?}",
        read.problems
    );
}
