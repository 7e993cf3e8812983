//! What notes say of empty cells and of tons.

mod recognised;

use recognised::{Read, plain};

fn text<'r>(read: &'r Read, at: usize, field: &str) -> Option<&'r str> {
    read.of("Tendons").get(at)?.fields.get(field)?.as_text()
}

fn table(note: &'static str) -> Read {
    plain(&[
        &[note],
        &[],
        &["Tendon", "No. of strands", "Strand", "Filler", "Jacking force (t)", "Elongation (mm)"],
        &["T1", "19", "Y15", "wax", "300", "120"],
        &["T2", "", "", "", "", ""],
        &["T3", "12", "", "-", "190", "118"],
        &["T4", "", "", "", "", "116"],
    ])
}

#[test]
fn a_note_says_that_an_empty_cell_is_as_above() {
    for note in
        ["Empty cell = same as above", "Leerzelle = wie oben", "Case vide = comme ci-dessus"]
    {
        let read = table(note);
        let counts: Vec<_> =
            (0..4).map(|at| read.number("Tendons", at, &["strand_count"])).collect();
        assert_eq!(counts, [19.0, 19.0, 12.0, 12.0].map(Some), "{note}");
        assert_eq!(text(&read, 3, "strand"), Some("Y15"));
        // A dash says that there is none, and none is what stands above the next.
        let fillers: Vec<_> = (0..4).map(|at| text(&read, at, "filler")).collect();
        assert_eq!(fillers, [Some("wax"), Some("wax"), None, None]);
        // What is worked out or measured is each tendon's own.
        let elongation = |at| read.number("Tendons", at, &["stressing", "elongation_a_mm"]);
        assert_eq!(elongation(1), None);
        let said = read.understood.iter().flat_map(|sheet| &sheet.remarks);
        assert!(said.clone().any(|one| one.what.contains("a note says")), "{said:#?}");
    }
    let read = table("Empty cell = not yet known");
    assert_eq!(read.number("Tendons", 1, &["strand_count"]), None);
}

#[test]
fn a_note_says_which_ton_forces_are_in() {
    let force = |note: &'static str| {
        let read = table(note);
        (read.number("Tendons", 0, &["stressing", "jacking_force_kn"]), read.questions.len())
    };
    let (read, _) = force("Forces in metric tonnes (1 t = 9.81 kN)");
    assert!(read.is_some_and(|read| (read - 300.0 * 9.806_65).abs() < 1e-6), "{read:?}");
    let (read, asked) = force("Forces in tons");
    assert_eq!(read, None);
    assert!(asked > 0);
}
