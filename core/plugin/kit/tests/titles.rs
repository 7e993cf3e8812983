//! Title blocks and cover sheets: what stands outside the tables and speaks of the project.

mod recognised;

use recognised::{sheet, taken};
use restrand_kit::recognise::Mapping;
use restrand_model::Value;
use restrand_model::reading::ProblemKind;

const TENDONS: &[&[&str]] =
    &[&["Tendon", "Strands", "Length (m)"], &["T1", "12", "40.2"], &["T2", "12", "40.4"]];

fn text(read: &recognised::Read, field: &str) -> Option<String> {
    let project = read.of("Project");
    let value = project.first()?.fields.get(field).and_then(Value::as_text)?;
    Some(value.to_owned())
}

#[test]
fn the_label_that_names_the_bridge_closely_goes_before_one_that_names_more() {
    let cover: &[&[&str]] = &[
        &["Project", "Quarry Bypass"],
        &["Structure", "Quarry Viaduct"],
        &["Document", "Register of external tendons"],
        &["Drawing No.", "QB-0412"],
    ];
    let read = taken(vec![sheet("Cover", cover), sheet("Tendons", TENDONS)], &Mapping::default());
    assert_eq!(text(&read, "bridge").as_deref(), Some("Quarry Viaduct"));
    assert_eq!(text(&read, "drawing").as_deref(), Some("QB-0412"));
    let doubts = read.problems.iter().filter(|one| one.kind == ProblemKind::ValueDoubtful);
    assert_eq!(doubts.count(), 0, "{:?}", read.problems);
    // What is not taken is kept.
    let kept = format!("{:?}", read.records);
    assert!(kept.contains("Quarry Bypass") && kept.contains("Register of external tendons"));
}

#[test]
fn a_wide_label_alone_names_the_bridge() {
    let cover: &[&[&str]] = &[&["Project", "Quarry Viaduct"], &["Rev", "B"]];
    let read = taken(vec![sheet("Cover", cover), sheet("Tendons", TENDONS)], &Mapping::default());
    assert_eq!(text(&read, "bridge").as_deref(), Some("Quarry Viaduct"));
    assert_eq!(text(&read, "revision").as_deref(), Some("B"));
}

#[test]
fn two_close_labels_that_differ_are_told() {
    let cover: &[&[&str]] = &[&["Bridge", "Quarry Viaduct"], &["Structure", "Mill Viaduct"]];
    let read = taken(vec![sheet("Cover", cover), sheet("Tendons", TENDONS)], &Mapping::default());
    assert_eq!(text(&read, "bridge").as_deref(), Some("Quarry Viaduct"));
    let mut doubts = read.problems.iter().filter(|one| one.kind == ProblemKind::ValueDoubtful);
    assert!(doubts.any(|one| one.given.as_deref() == Some("Mill Viaduct")), "{:?}", read.problems);
}

#[test]
fn a_number_of_the_project_has_its_unit_beside_it() {
    let cover: &[&[&str]] =
        &[&["Concrete strength at stressing", "40 MPa"], &["Bridge", "Quarry Viaduct"]];
    let read = taken(vec![sheet("Cover", cover), sheet("Tendons", TENDONS)], &Mapping::default());
    let project = read.of("Project");
    let strength = project[0].fields.get("concrete_strength_at_stressing_mpa");
    assert_eq!(strength.and_then(Value::as_number), Some(40.0), "{:?}", read.problems);
}
