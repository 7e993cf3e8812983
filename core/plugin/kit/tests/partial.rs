//! What is known in part is read in part: one unknown word costs its own column, and several tables tell together what
//! none of them says alone.

mod recognised;

use std::collections::BTreeMap;

use recognised::{Read, plain, sheet, taken};
use restrand_kit::recognise::{
    ColumnMapping, Mapping, MappingSource, Merged, TableMapping, starter,
};
use restrand_model::Value;
use restrand_model::reading::ProblemKind;

fn asked(read: &Read) -> Vec<&str> {
    read.questions.iter().map(|one| one.header.as_str()).collect()
}

/// What the points of each tendon state of a field, by its mark.
fn points<'r>(read: &'r Read, field: &str) -> BTreeMap<&'r str, Vec<f64>> {
    let mut of: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
    for point in read.of("Points") {
        let tendon = point.links.first().and_then(Option::as_deref).unwrap_or_default();
        of.entry(tendon).or_default().extend(point.fields.get(field).and_then(Value::as_number));
    }
    of
}

#[test]
fn a_unit_above_a_datum_is_that_unit() {
    for unit in ["mAOD", "[m ü. NN]", "m a.s.l.", "m"] {
        let read = plain(&[
            &["Tendon", "Strands", "Level A", "Chainage A", "Jacking force"],
            &["", "", unit, "m", "kN"],
            &["T1", "19", "12.3", "5", "3900"],
            &["T2", "12", "12.3", "5", "2460"],
        ]);
        assert_eq!(read.marks(), ["T1", "T2"], "{unit}");
        assert_eq!(read.number("Points", 0, &["elevation_m"]), Some(12.3), "{unit}");
        assert!(read.questions.is_empty(), "{unit}: {:?}", asked(&read));
    }
    let read = plain(&[
        &["Tendon", "Strands", "Elev. A (ft NAVD 88)", "Sta. A (ft)"],
        &["T1", "19", "100", "50"],
        &["T2", "12", "100", "50"],
    ]);
    assert_eq!(read.number("Points", 0, &["elevation_m"]), Some(30.48));
}

#[test]
fn an_unknown_word_among_units_costs_its_own_column() {
    let read = plain(&[
        &["Tendon", "Strands", "Length", "Chainage A", "Jacking force"],
        &["", "", "vara", "m", "kN"],
        &["T1", "19", "40.3", "5", "3900"],
        &["T2", "12", "40.3", "5", "2460"],
    ]);
    assert_eq!(read.marks(), ["T1", "T2"]);
    assert_eq!(asked(&read), ["Length"]);
    assert!(read.questions[0].why.contains("\"vara\""), "{}", read.questions[0].why);
    assert_eq!(read.number("Tendons", 0, &["stressing", "jacking_force_kn"]), Some(3900.0));
    assert_eq!(read.number("Points", 0, &["station_m"]), Some(5.0));
}

#[test]
fn a_header_that_is_merged_over_the_row_of_units_is_no_tendon() {
    let mut sheet = sheet(
        "S",
        &[
            &["Tendon", "No. of strands", "Jacking force"],
            &["", "-", "kN"],
            &["T1", "19", "3900"],
            &["T2", "12", "2460"],
        ],
    );
    sheet.merged.push(Merged { first: (0, 0), last: (1, 0) });
    let read = taken(vec![sheet], &Mapping::default());
    assert_eq!(read.marks(), ["T1", "T2"]);
    assert_eq!(read.number("Tendons", 0, &["stressing", "jacking_force_kn"]), Some(3900.0));
}

#[test]
fn what_is_known_of_a_register_is_read_however_much_is_not() {
    let read = plain(&[
        &["Tendon", "No. of strands", "Make", "Colour", "Reel", "Parcel", "Check", "Pj (kN)"],
        &["T1", "19", "a", "b", "c", "d", "e", "3900"],
        &["T2", "12", "a", "b", "c", "d", "e", "2460"],
    ]);
    assert_eq!(read.marks(), ["T1", "T2"]);
    assert_eq!(read.number("Tendons", 1, &["strand_count"]), Some(12.0));
    let further = read.of("Tendons")[0].fields.get("extra").and_then(Value::as_fields).cloned();
    assert_eq!(further.map(|further| further.len()), Some(5));
}

#[test]
fn a_row_for_several_tendons_states_each_of_them() {
    let read = plain(&[
        &["Tendon", "No. of strands", "Jacking force (kN)"],
        &["T1, T2", "19", "3900"],
        &["T3 & T4", "12", "2460"],
    ]);
    assert_eq!(read.marks(), ["T1", "T2", "T3", "T4"]);
    assert_eq!(read.number("Tendons", 3, &["strand_count"]), Some(12.0));
    assert!(read.problems.iter().any(|one| one.why.contains("several tendons at once")));
}

#[test]
fn a_mark_that_may_be_a_name_is_asked_unless_another_table_settles_it() {
    let first = || {
        sheet(
            "A",
            &[
                &["Tendon", "No. of strands", "Jacking force (kN)"],
                &["T1-T3", "19", "3900"],
                &["T4/T5", "12", "2460"],
            ],
        )
    };
    let read = taken(vec![first()], &Mapping::default());
    assert_eq!((read.marks().len(), asked(&read)), (0, vec!["Tendon"]));
    let list = |rows: &[&[&str]]| sheet("B", rows);
    let header: &[&str] = &["Tendon", "Length (m)", "Elongation A (mm)"];
    let single: Vec<[&str; 3]> =
        ["T1", "T2", "T3", "T4", "T5"].iter().map(|mark| [*mark, "40", "300"]).collect();
    let mut rows = vec![header];
    rows.extend(single.iter().map(|row| &row[..]));
    let read = taken(vec![first(), list(&rows)], &Mapping::default());
    assert_eq!(read.marks(), ["T1", "T2", "T3", "T4", "T5"]);
    assert!(read.questions.is_empty(), "{:?}", asked(&read));
    assert_eq!(read.number("Tendons", 2, &["strand_count"]), Some(19.0));
}

#[test]
fn a_column_for_each_tendon_states_its_points() {
    let tendons = sheet(
        "Tendons in brief",
        &[&["Tendon", "Strands", "Pj (kN)"], &["K1", "19", "3700"], &["K2", "19", "3700"]],
    );
    let mut levels = sheet(
        "Vertical",
        &[
            &["Tendon levels (m)"],
            &["Chainage (m)", "Location", "Tendon"],
            &["", "", "K1", "K2"],
            &["0", "Abutment", "8.4", "8.0"],
            &["12", "Deviator 1", "6.1", "6.3"],
            &["36", "Pier", "8.6", "8.2"],
        ],
    );
    levels.merged.push(Merged { first: (1, 2), last: (1, 3) });
    let offsets = sheet(
        "Horizontal",
        &[
            &["Tendon offsets (mm), + = right"],
            &["Chainage (m)", "K1", "K2"],
            &["0", "-1500", "1500"],
            &["12", "-1400", "1400"],
            &["36", "-1500", "1500"],
        ],
    );
    let heights = sheet(
        "Heights",
        &[&["Height above soffit (mm)"], &["Chainage (m)", "K1", "K2"], &["0", "900", "950"]],
    );
    let read = taken(vec![tendons, levels, offsets, heights], &Mapping::default());
    assert_eq!(points(&read, "station_m")["K1"], [0.0, 12.0, 36.0]);
    assert_eq!(points(&read, "elevation_m")["K1"], [8.4, 6.1, 8.6]);
    assert_eq!(points(&read, "lateral_m")["K1"], [1.5, 1.4, 1.5]);
    assert_eq!(points(&read, "elevation_m")["K2"], [8.0, 6.3, 8.2]);
    assert_eq!(points(&read, "lateral_m")["K2"], [-1.5, -1.4, -1.5]);
}

#[test]
fn rooms_of_ends_that_are_named_with_their_tendons_are_those_of_the_ends() {
    let tendons = sheet(
        "S",
        &[&["Tendon", "Strands", "Pj (kN)"], &["T1", "19", "3700"], &["T2", "19", "3700"]],
    );
    let rooms = sheet(
        "Access",
        &[
            &["ACCESS FOR REMOVAL (clear distance, mm)"],
            &["Anchorage", "Behind", "Above", "Left"],
            &["T1A", "3000", "600", "500"],
            &["T1B", "1400", "600", "500"],
            &["T2A", "3000", "600", "500"],
            &["T2B", "1400", "600", "500"],
        ],
    );
    let read = taken(vec![tendons, rooms], &Mapping::default());
    assert_eq!(read.marks(), ["T1", "T2"]);
    let ends = read.of("Ends");
    let named =
        |at: usize| -> Vec<&str> { ends[at].links.iter().flatten().map(|one| &**one).collect() };
    assert_eq!((named(0), named(1)), (vec!["T1", "a"], vec!["T1", "b"]));
    assert_eq!(read.number("Ends", 0, &["removal_space", "behind_mm"]), Some(3000.0));
    assert_eq!(read.number("Ends", 1, &["removal_space", "behind_mm"]), Some(1400.0));
    assert_eq!(read.number("Ends", 0, &["removal_space", "up_mm"]), Some(600.0));
    assert_eq!(read.number("Ends", 0, &["removal_space", "left_mm"]), Some(500.0));
}

#[test]
fn of_two_tongues_the_known_one_is_taken() {
    let read = plain(&[
        &[
            "Câble / Tendon",
            "Anzahl Litzen / No. of strands",
            "PK A / Chainage A (m)",
            "Cote A / Level A (m)",
        ],
        &["T1", "19", "5", "12"],
        &["T2", "12", "5", "12"],
    ]);
    assert_eq!(read.number("Tendons", 0, &["strand_count"]), Some(19.0));
    assert_eq!(read.number("Points", 0, &["station_m"]), Some(5.0));
    assert_eq!(read.number("Points", 0, &["elevation_m"]), Some(12.0));
}

#[test]
fn kilometres_are_stations() {
    let read = plain(&[
        &["", "", "from", "to", "from", "to", ""],
        &["Tendon No.", "Strands", "km", "km", "Level (m)", "Level (m)", "Remarks"],
        &["N1", "19", "12.300", "12.345", "88.2", "88.6", "x"],
        &["N2", "19", "12.300", "12.345", "88.2", "88.6", "y"],
    ]);
    assert_eq!(points(&read, "station_m")["N1"], [12300.0, 12345.0]);
    assert_eq!(points(&read, "elevation_m")["N1"], [88.2, 88.6]);
    let read = plain(&[
        &["Tendon", "Strands", "Ch. A", "Ch. B"],
        &["N1", "19", "km 0+139.50", "km 0+180.25"],
        &["N2", "19", "km 0+139.50", "km 0+180.25"],
    ]);
    assert_eq!(points(&read, "station_m")["N1"], [139.5, 180.25]);
}

#[test]
fn pairs_of_one_mark_are_told_apart_by_their_side() {
    let read = plain(&[
        &["Mark", "Side", "No. of strands", "Ch. A (m)", "Ch. B (m)", "Dist. from CL (mm)"],
        &["X1", "L", "19", "0", "60", "1700"],
        &["X1", "R", "19", "0", "60", "1700"],
        &["X2", "L", "12", "0", "60", "1300"],
        &["X2", "R", "12", "0", "60", "1300"],
    ]);
    assert_eq!(read.marks(), ["X1 L", "X1 R", "X2 L", "X2 R"]);
    let offsets = points(&read, "lateral_m");
    assert_eq!((&*offsets["X1 L"], &*offsets["X1 R"]), (&[1.7, 1.7][..], &[-1.7, -1.7][..]));
}

#[test]
fn an_elongation_is_that_of_the_end_which_its_row_says_is_stressed() {
    let read = plain(&[
        &["Tendon", "Strands", "End A type", "End B type", "Elongation (mm)"],
        &["T1", "19", "live", "dead", "300"],
        &["T2", "19", "dead", "live", "310"],
    ]);
    assert!(read.questions.is_empty(), "{:?}", asked(&read));
    assert_eq!(read.number("Tendons", 0, &["stressing", "elongation_a_mm"]), Some(300.0));
    assert_eq!(read.number("Tendons", 1, &["stressing", "elongation_b_mm"]), Some(310.0));
}

#[test]
fn an_elongation_is_that_of_the_end_from_which_a_note_says_that_all_are_stressed() {
    let rows: [&[&str]; 5] = [
        &["Tendon", "Strands", "Elongation (mm)"],
        &["T1", "19", "300"],
        &["T2", "19", "310"],
        &[],
        &["1. ALL TENDONS STRESSED FROM END 2 ONLY."],
    ];
    let read = plain(&rows);
    assert!(read.questions.is_empty(), "{:?}", asked(&read));
    assert_eq!(read.number("Tendons", 1, &["stressing", "elongation_b_mm"]), Some(310.0));
    let asks = plain(&rows[..3]);
    assert_eq!(asked(&asks), ["Elongation (mm)"]);
}

#[test]
fn a_date_that_can_mean_two_days_is_asked() {
    let rows: [&[&str]; 3] = [
        &["Tendon", "Strands", "Stressed on"],
        &["T1", "19", "14.03.2009"],
        &["T2", "19", "05/06/2009"],
    ];
    let read = plain(&rows);
    let stressed = |at: usize| {
        let of = read.of("Tendons");
        let stressing = of[at].fields.get("stressing")?.as_fields()?;
        stressing.get("stressed_on")?.as_text().map(str::to_owned)
    };
    assert_eq!((stressed(0).as_deref(), stressed(1)), (Some("2009-03-14"), None));
    assert_eq!(read.questions[0].readings, ["2009-06-05", "2009-05-06"]);
}

#[test]
fn the_strength_behind_the_size_of_strand_is_its() {
    let read = plain(&[
        &["Tendon", "No. of strands", "Strand", "Pj (kN)"],
        &["T1", "19", "15.7 mm, 1860 MPa", "3900"],
        &["T2", "12", "15.7 mm, 1860 MPa", "2460"],
    ]);
    assert_eq!(read.of("Strands").len(), 1);
    assert_eq!(read.number("Strands", 0, &["diameter_mm"]), Some(15.7));
    assert_eq!(read.number("Strands", 0, &["fpu_mpa"]), Some(1860.0));
}

#[test]
fn a_mapping_that_fits_nothing_is_told_at_its_line() {
    let text = "mapping = 1\n\n[[table]]\nsheet = \"Sheet1\"\n\n[[table.column]]\nheader = \"Strnds\"\nfield = \
                \"tendon.strand_count\"\n\n[[table]]\nsheet = \"Sheet 9\"\n";
    let column = ColumnMapping {
        header: "Strnds".to_owned(),
        field: Some("tendon.strand_count".to_owned()),
        ..ColumnMapping::default()
    };
    let of = |sheet: &str, columns| TableMapping {
        sheet: Some(sheet.to_owned()),
        columns,
        ..TableMapping::default()
    };
    let mapping = Mapping {
        mapping: 1,
        tables: vec![of("Sheet1", vec![column]), of("Sheet 9", Vec::new())],
        ifc: None,
        source: Some(MappingSource { name: "restrand.toml".to_owned(), text: text.to_owned() }),
    };
    let rows: [&[&str]; 3] =
        [&["Tendon", "Strands", "Pj (kN)"], &["T1", "19", "3900"], &["T2", "12", "2460"]];
    let read = taken(vec![sheet("Sheet1", &rows)], &mapping);
    let said: Vec<_> = read
        .problems
        .iter()
        .filter(|one| one.why.contains("it speaks of"))
        .map(|one| (one.kind, one.subject.as_str(), one.why.contains("is near to it")))
        .collect();
    let doubt = ProblemKind::ValueDoubtful;
    assert_eq!(
        said,
        [
            (doubt, "the mapping file restrand.toml, line 7,", true),
            (doubt, "the mapping file restrand.toml, line 11,", true)
        ],
        "{:?}",
        read.problems
    );
}

#[test]
fn of_a_sheet_in_which_nothing_is_recognised_a_mapping_can_be_begun() {
    let rows: [&[&str]; 3] =
        [&["Bez.", "Wert; eins", "Foo"], &["T1", "19", "a"], &["T2", "12", "b"]];
    let read = plain(&rows);
    assert_eq!(read.unread, ["Sheet1"]);
    let begun = starter(&read.understood, &read.questions);
    for line in ["sheet = \"Sheet1\"", "# headers = [1, 1]", "# header = \"Wert; eins\""] {
        assert!(begun.lines().any(|one| one == line), "{line}\n{begun}");
    }
}
