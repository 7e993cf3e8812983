//! Tendons of several sheets that are called alike.

mod recognised;

use recognised::{sheet, taken};
use restrand_kit::recognise::Mapping;

#[test]
fn tendons_of_several_sheets_that_are_called_alike_are_several() {
    let rows = |first: &'static str, last: &'static str| -> Vec<Vec<&'static str>> {
        vec![
            vec!["Tendon", "Strands", "Ch. A (m)", "Ch. B (m)"],
            vec!["T1", "19", first, last],
            vec!["T2", "22", first, last],
        ]
    };
    let sheets = |names: [&str; 2], second: [&'static str; 2]| {
        let made = |name: &str, rows: Vec<Vec<&str>>| {
            let rows: Vec<&[&str]> = rows.iter().map(Vec::as_slice).collect();
            sheet(name, &rows)
        };
        let [first, last] = second;
        let both = vec![made(names[0], rows("10", "50")), made(names[1], rows(first, last))];
        taken(both, &Mapping::default())
    };
    let read = sheets(["Span 1", "Span 2"], ["50", "90"]);
    assert_eq!(read.marks(), ["T1 Span 1", "T2 Span 1", "T1 Span 2", "T2 Span 2"]);
    let of_first =
        |point: &&restrand_kit::RecordFrame| point.links[0].as_deref() == Some("T1 Span 1");
    assert_eq!(read.of("Points").into_iter().filter(of_first).count(), 2);
    assert!(read.problems.iter().any(|one| one.why.contains("called as those of")));
    let read = sheets(["West", "East"], ["50", "90"]);
    assert_eq!(read.marks(), ["T1 West", "T2 West", "T1 East", "T2 East"]);
    // A copy says nothing else.
    let read = sheets(["Schedule", "Schedule copy"], ["10", "50"]);
    assert_eq!(read.marks(), ["T1", "T2"]);
}

#[test]
fn sums_and_notes_below_tendons_of_several_sheets_are_no_tendons_that_are_called_alike() {
    let of_span = |name: &str, mark: &str| {
        let rows: &[&[&str]] = &[
            &["Tendon", "Strands", "Ch. A (m)", "Ch. B (m)"],
            &[&format!("{mark}1"), "19", "10", "50"],
            &[&format!("{mark}2"), "22", "10", "50"],
            &["Total", "41"],
            &["For friction and draw-in see sheet General data."],
        ];
        sheet(name, rows)
    };
    let sheets = vec![of_span("Span 1", "T"), of_span("Span 2", "U")];
    let read = taken(sheets, &Mapping::default());
    assert_eq!(read.marks(), ["T1", "T2", "U1", "U2"]);
    assert!(!read.problems.iter().any(|one| one.why.contains("called as those of")));
}
