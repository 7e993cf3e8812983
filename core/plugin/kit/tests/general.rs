//! Lists of general data: rows of a label and one value, which hold for all tendons.

mod recognised;

use recognised::{Read, plain, sheet, taken};
use restrand_kit::At;
use restrand_kit::recognise::{Mapping, Sheet};
use restrand_model::reading::ProblemKind;

/// Two tendons of one table.
const TENDONS: &[&[&str]] =
    &[&["Tendon", "No. of strands", "Length (m)"], &["T1", "19", "40.1"], &["T2", "12", "40.2"]];

/// What a list on a sheet of its own and a table of two tendons state.
fn beside(list: &[&[&str]]) -> Read {
    taken(vec![sheet("General data", list), sheet("Tendons", TENDONS)], &Mapping::default())
}

fn with(sheets: &[(&str, &[&[&str]])]) -> Read {
    let sheets: Vec<Sheet> = sheets.iter().map(|(name, rows)| sheet(name, rows)).collect();
    taken(sheets, &Mapping::default())
}

fn text<'r>(read: &'r Read, list: &str, at: usize, field: &str) -> Option<&'r str> {
    read.of(list).get(at)?.fields.get(field)?.as_text()
}

fn strand(read: &Read, field: &str) -> Option<f64> {
    (!read.of("Strands").is_empty()).then(|| read.number("Strands", 0, &[field]))?
}

fn duct(read: &Read, field: &str) -> Option<f64> {
    (!read.of("Ducts").is_empty()).then(|| read.number("Ducts", 0, &[field]))?
}

fn stressing(read: &Read, field: &str) -> Vec<Option<f64>> {
    (0..2).map(|at| read.number("Tendons", at, &["stressing", field])).collect()
}

/// Whether something is said of this kind with these words.
fn says(read: &Read, kind: ProblemKind, words: &str) -> bool {
    read.problems.iter().any(|one| one.kind == kind && one.why.contains(words))
}

/// The texts that are kept as further values.
fn kept(read: &Read) -> String {
    read.of("FurtherValues").iter().map(|one| format!("{:?}", one.fields)).collect()
}

#[test]
fn a_list_below_headers_holds_for_all_tendons() {
    let read = beside(&[
        &["Item", "Value", "Unit", "Remarks"],
        &["Strand nominal diameter", "15.7", "mm"],
        &["Strand nominal area", "150", "mm²"],
        &["Characteristic strength fpk", "1860", "MPa", "EN 10138-3, Y1860S7"],
        &["Modulus of elasticity Ep", "195", "GPa", "to be confirmed by certificate"],
        &["HDPE duct outer diameter", "125", "mm", "SDR 17"],
        &["wall thickness", "7.4", "mm"],
        &["Friction coefficient at deviators", "0.12", "-"],
        &["Draw-in at stressing anchorage", "6", "mm"],
        &["Draw-in at dead anchorage", "4", "mm"],
        &["Void filler", "Wax", "", "hot injection, 90 °C"],
        &["Concrete strength at stressing", "40", "MPa", "cylinder"],
        &["Maximum aggregate size", "20", "mm"],
        &["Jacking stress / fpk", "0.77", "-", "max. 0.80"],
        &["Cover to reinforcement", "45", "mm"],
    ]);
    let of_strand = ["diameter_mm", "area_mm2", "fpu_mpa", "e_mpa"].map(|one| strand(&read, one));
    assert_eq!(of_strand, [Some(15.7), Some(150.0), Some(1860.0), Some(195_000.0)]);
    assert_eq!(text(&read, "Strands", 0, "grade"), Some("Y1860S7"));
    let of_duct = ["outer_mm", "wall_mm", "dimension_ratio"].map(|one| duct(&read, one));
    assert_eq!(of_duct, [Some(125.0), Some(7.4), Some(17.0)]);
    assert_eq!(text(&read, "Ducts", 0, "material"), Some("polyethylene"));
    for (field, value) in
        [("mu", 0.12), ("set_mm", 6.0), ("dead_end_seating_mm", 4.0), ("jacking_share", 0.77)]
    {
        assert_eq!(stressing(&read, field), [Some(value); 2], "{field}");
    }
    for at in 0..2 {
        assert_eq!(text(&read, "Tendons", at, "filler"), Some("wax"));
        assert_eq!(text(&read, "Tendons", at, "strand"), Some("15.7 mm"));
        assert_eq!(text(&read, "Tendons", at, "duct"), Some("125 mm"));
    }
    let of_project = |field| read.number("Project", 0, &[field]);
    assert_eq!(of_project("concrete_strength_at_stressing_mpa"), Some(40.0));
    assert_eq!(of_project("aggregate_mm"), Some(20.0));
    // Each value is found in its own row, and remarks are kept.
    let area = read.of("Strands")[0].apart.iter().find(|one| *one.way == ["area_mm2".to_owned()]);
    assert_eq!(area.map(|one| one.at), Some(At::Row(2)));
    for remark in ["hot injection", "max. 0.80", "cylinder", "certificate"] {
        assert!(kept(&read).contains(remark), "{remark}: {}", kept(&read));
    }
    // What is not understood is kept and said.
    assert!(kept(&read).contains("Cover to reinforcement"), "{}", kept(&read));
    assert!(kept(&read).contains("45"), "{}", kept(&read));
    let said = read.problems.iter().filter(|one| one.subject.contains("Cover to reinforcement"));
    assert_eq!(said.count(), 1);
    assert!(!says(&read, ProblemKind::Unknown, "none of its rows was recognised as headers"));
}

#[test]
fn a_list_without_headers_is_read_on_a_sheet_of_its_own_and_above_a_table() {
    let list: [&[&str]; 5] = [
        &["Strand diameter", "15.7 mm"],
        &["Strand area (mm²)", "150"],
        &["fpk", "1860", "MPa"],
        &["Duct outer diameter", "110 mm", "smooth"],
        &["Wedge draw-in", "6", "mm"],
    ];
    let own = beside(&list);
    let above: Vec<&[&str]> =
        list.iter().copied().chain([&[][..]]).chain(TENDONS.iter().copied()).collect();
    let above = plain(&above);
    for read in [own, above] {
        let of_strand = ["diameter_mm", "area_mm2", "fpu_mpa"].map(|one| strand(&read, one));
        assert_eq!(of_strand, [Some(15.7), Some(150.0), Some(1860.0)]);
        assert_eq!(duct(&read, "outer_mm"), Some(110.0));
        assert_eq!(stressing(&read, "set_mm"), [Some(6.0); 2]);
        assert_eq!(read.of("Tendons").len(), 2);
        assert!(kept(&read).contains("smooth"), "{}", kept(&read));
    }
}

#[test]
fn german_and_french_lists_are_read() {
    let read = beside(&[
        &["Bezeichnung", "Wert", "Einheit", "Bemerkung"],
        &["Litzendurchmesser", "15,7", "mm"],
        &["Querschnittsfläche Litze", "150", "mm²"],
        &["Zugfestigkeit fpk", "1860", "N/mm²"],
        &["E-Modul Spannstahl", "195 000", "N/mm²"],
        &["Hüllrohr Außendurchmesser", "110", "mm"],
        &["Wanddicke", "6,6", "mm"],
        &["Reibungsbeiwert", "0,12", "-"],
        &["Schlupf", "6", "mm"],
        &["Betondruckfestigkeit", "50", "MPa"],
    ]);
    let of_strand = ["diameter_mm", "area_mm2", "fpu_mpa", "e_mpa"].map(|one| strand(&read, one));
    assert_eq!(of_strand, [Some(15.7), Some(150.0), Some(1860.0), Some(195_000.0)]);
    assert_eq!(["outer_mm", "wall_mm"].map(|one| duct(&read, one)), [Some(110.0), Some(6.6)]);
    assert_eq!(stressing(&read, "mu"), [Some(0.12); 2]);
    assert_eq!(stressing(&read, "set_mm"), [Some(6.0); 2]);
    let read = beside(&[
        &["Désignation", "Valeur", "Unité"],
        &["Diamètre du toron", "15,7", "mm"],
        &["Section du toron", "150", "mm²"],
        &["Module d'élasticité Ep", "195", "GPa"],
        &["Diamètre extérieur de la gaine", "110", "mm"],
        &["Coefficient de frottement", "0,12", ""],
    ]);
    let of_strand = ["diameter_mm", "area_mm2", "e_mpa"].map(|one| strand(&read, one));
    assert_eq!(of_strand, [Some(15.7), Some(150.0), Some(195_000.0)]);
    assert_eq!(duct(&read, "outer_mm"), Some(110.0));
    assert_eq!(stressing(&read, "mu"), [Some(0.12); 2]);
}

#[test]
fn what_is_of_other_materials_is_never_the_strands() {
    let read = beside(&[
        &["Parameter", "Value", "Unit"],
        &["Strand diameter", "15.7", "mm"],
        &["Concrete strength fck", "50", "MPa"],
        &["Modulus of elasticity", "37", "GPa"],
        &["Reinforcement"],
        &["Characteristic strength", "500", "MPa"],
        &["Structural steel grade", "S355", ""],
        &["Strand proof stress fp0.1k", "1640", "MPa"],
        &["Number of strands per deviator", "38", ""],
        &["Strand area", "150", "mm²"],
    ]);
    assert_eq!(strand(&read, "diameter_mm"), Some(15.7));
    assert_eq!(strand(&read, "area_mm2"), Some(150.0));
    let others = ["fpu_mpa", "e_mpa"].map(|one| strand(&read, one));
    assert_eq!(others, [None; 2]);
    assert_eq!(text(&read, "Strands", 0, "grade"), None);
    for label in ["fck", "Modulus of elasticity", "Structural steel", "fp0.1k", "per deviator"] {
        assert!(kept(&read).contains(label), "{label}");
        assert!(read.problems.iter().any(|one| one.subject.contains(label)), "{label}");
    }
}

#[test]
fn values_without_units_and_values_that_cannot_be_are_not_taken() {
    let read = beside(&[
        &["Item", "Value", "Unit"],
        &["Strand diameter", "15.7", "mm"],
        &["Strand area", "150", ""],
        &["Characteristic strength fpk", "186", "MPa"],
        &["Friction coefficient", "0.12 to 0.15", "-"],
        &["Void filler", "tbc", ""],
        &["Wedge draw-in", "6", "kN"],
    ]);
    assert_eq!(strand(&read, "diameter_mm"), Some(15.7));
    assert_eq!(["area_mm2", "fpu_mpa"].map(|one| strand(&read, one)), [None; 2]);
    assert_eq!(stressing(&read, "mu"), [None; 2]);
    assert_eq!(stressing(&read, "set_mm"), [None; 2]);
    assert_eq!(text(&read, "Tendons", 0, "filler"), None);
    assert!(says(&read, ProblemKind::Unknown, "unit is not stated"), "{:#?}", read.problems);
    assert!(says(&read, ProblemKind::Unknown, "none that it can have"));
}

#[test]
fn lists_of_some_tendons_are_of_no_others() {
    let of = |set: &'static str, filler: &'static str| -> Vec<Vec<&'static str>> {
        vec![
            vec!["Strand diameter", "15.7", "mm"],
            vec!["Wedge draw-in", set, "mm"],
            vec!["Void filler", filler],
            vec![],
            vec!["Tendon", "No. of strands", "Length (m)"],
        ]
    };
    let rows = |list: &[Vec<&'static str>], tendon: &'static [&'static str]| {
        list.iter().cloned().chain([tendon.to_vec()]).collect::<Vec<_>>()
    };
    let first = rows(&of("6", "wax"), &["T1", "19", "40.1"]);
    let second = rows(&of("8", "wax"), &["U1", "19", "40.1"]);
    let slices = |rows: &[Vec<&'static str>]| -> Vec<&'static [&'static str]> {
        rows.iter().map(|row| &*Box::leak(row.clone().into_boxed_slice())).collect()
    };
    // Two sheets of spans, each with its own list.
    let (one, other) = (slices(&first), slices(&second));
    let read = with(&[("Span 1", &one), ("Span 2", &other)]);
    assert_eq!(stressing(&read, "set_mm"), [Some(6.0), Some(8.0)]);
    // Two sheets of which nothing tells of which tendons their lists are.
    let read = with(&[("North", &one), ("South", &other)]);
    assert_eq!(stressing(&read, "set_mm"), [None; 2]);
    assert!(says(&read, ProblemKind::Unknown, "lists state both"), "{:#?}", read.problems);
    assert_eq!(text(&read, "Tendons", 1, "filler"), Some("wax"));
    // A remark that speaks of one tendon.
    let read = beside(&[
        &["Item", "Value", "Unit", "Remarks"],
        &["Strand diameter", "15.7", "mm"],
        &["Wedge draw-in", "6", "mm", "T1 only"],
        &["Void filler", "wax", "", "except future tendons"],
    ]);
    assert_eq!(stressing(&read, "set_mm"), [Some(6.0), None]);
    assert_eq!(text(&read, "Tendons", 0, "filler"), None);
}

#[test]
fn a_list_that_names_of_what_each_row_is_is_no_list_of_general_data() {
    let read = with(&[(
        "Properties",
        &[
            &["Tendon", "Property", "Value", "Unit"],
            &["T1", "Strand diameter", "15.7", "mm"],
            &["T1", "No. of strands", "19", ""],
            &["T1", "Wedge draw-in", "6", "mm"],
            &["T1", "Length", "40", "m"],
            &["T2", "Strand diameter", "15.7", "mm"],
            &["T2", "No. of strands", "19", ""],
            &["T2", "Wedge draw-in", "8", "mm"],
            &["T2", "Length", "40", "m"],
        ],
    )]);
    assert_eq!(stressing(&read, "set_mm"), [Some(6.0), Some(8.0)]);
}

#[test]
fn a_card_of_one_tendon_is_no_list_of_general_data() {
    let read = with(&[
        ("Tendons", TENDONS),
        (
            "Test",
            &[
                &["Tendon", "T9"],
                &["Strand diameter", "12.9", "mm"],
                &["Strand area", "100", "mm²"],
                &["Duct outer diameter", "90", "mm"],
                &["Wedge draw-in", "9", "mm"],
            ],
        ),
    ]);
    let of_both = read.marks().into_iter().zip(stressing(&read, "set_mm"));
    for (mark, set) in of_both.filter(|(mark, _)| *mark != "T9") {
        assert_eq!(set, None, "{mark}");
    }
    // Two values beside a label are of two things.
    let read = beside(&[
        &["Strand diameter (mm)", "15.7", "12.9"],
        &["Strand area (mm²)", "150", "100"],
        &["Wedge draw-in (mm)", "6", "4"],
    ]);
    assert_eq!(stressing(&read, "set_mm"), [None; 2]);
    assert_eq!(strand(&read, "diameter_mm"), None);
}
