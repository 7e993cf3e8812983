//! What no longer holds gives way: sheets and tables that are named so, and hidden ones that repeat what is shown.

mod recognised;

use recognised::{Read, sheet, taken};
use restrand_kit::recognise::{Mapping, Sheet, TableMapping};
use restrand_model::Value;

const LIVE: &[&[&str]] = &[
    &["Tendon", "No. of strands", "Jacking force (kN)", "Comments"],
    &["R1", "19", "3980", ""],
    &["R2", "19", "3980", ""],
    &["R3", "12", "2510", "Deleted Rev 2"],
];
const OLD: &[&[&str]] = &[
    &["Tendon mark", "No. of strands", "Jacking force (kN)"],
    &["R1", "17", "3600"],
    &["R2", "17", "3600"],
    &["R3", "17", "3600"],
    &["R4", "17", "3600"],
];

fn hidden(name: &str, rows: &[&[&str]]) -> Sheet {
    let mut sheet = sheet(name, rows);
    sheet.hidden = true;
    sheet
}

fn of(sheets: Vec<Sheet>) -> Read {
    taken(sheets, &Mapping::default())
}

/// What is kept as further values.
fn kept(read: &Read) -> Vec<String> {
    let of = read.of("FurtherValues");
    let extra = |one: &&restrand_kit::RecordFrame| one.fields.get("extra")?.as_fields().cloned();
    of.iter()
        .filter_map(extra)
        .flat_map(|fields| fields.iter().map(|(_, value)| value.to_string()).collect::<Vec<_>>())
        .collect()
}

fn forces(read: &Read) -> Vec<Option<f64>> {
    let count = read.of("Tendons").len();
    (0..count).map(|at| read.number("Tendons", at, &["stressing", "jacking_force_kn"])).collect()
}

#[test]
fn what_is_named_so_or_hidden_and_repeats_gives_way_and_is_said() {
    for old in [
        sheet("Superseded Rev 1", OLD),
        sheet("Tendons (old)", OLD),
        sheet("Überholt", OLD),
        sheet("ancien", OLD),
    ] {
        let name = old.name.clone();
        for sheets in
            [vec![sheet("Register", LIVE), old.clone()], vec![old.clone(), sheet("Register", LIVE)]]
        {
            let read = of(sheets);
            assert_eq!(read.marks(), ["R1", "R2"], "{name}");
            assert_eq!(forces(&read), [Some(3980.0), Some(3980.0)], "{name}");
            let said = read.problems.iter().filter(|one| one.why.starts_with("gives way"));
            let said: Vec<_> = said.map(|one| one.subject.as_str()).collect();
            assert_eq!(said, [name.as_str()]);
            assert!(kept(&read).contains(&"R4 | 17 | 3600".to_owned()), "{:?}", kept(&read));
        }
    }
}

#[test]
fn a_hidden_sheet_gives_way_where_nothing_is_lost_with_it() {
    let read = of(vec![sheet("Register", LIVE), hidden("Calc", &OLD[..3])]);
    assert_eq!(read.marks(), ["R1", "R2"]);
    assert_eq!(forces(&read), [Some(3980.0), Some(3980.0)]);
    // A tendon, or a value, that stands there alone is not given up.
    let further =
        hidden("Calc", &[&["Tendon mark", "No. of strands"], &["R1", "17"], &["R9", "12"]]);
    assert!(of(vec![sheet("Register", LIVE), further]).marks().contains(&"R9"));
    let set = hidden("Calc", &[&["Tendon", "No. of strands", "Set (mm)"], &["R1", "19", "6"]]);
    let read = of(vec![sheet("Register", LIVE), set]);
    let sets = (0..read.of("Tendons").len())
        .filter_map(|at| read.number("Tendons", at, &["stressing", "set_mm"]));
    assert_eq!(sets.collect::<Vec<_>>(), [6.0]);
}

#[test]
fn a_heading_of_a_room_parts_no_table() {
    let rows: &[&[&str]] = &[
        &["Tendon", "No. of strands", "Jacking force (kN)"],
        &["R1", "19", "3980"],
        &["Left void"],
        &["R2", "19", "3980"],
        &["Old"],
        &["R3", "12", "2510"],
    ];
    assert_eq!(of(vec![sheet("Voided slab tendons", rows)]).marks(), ["R1", "R2", "R3"]);
}

#[test]
fn a_caption_says_so_of_its_table() {
    let rows = [LIVE, &[&[], &["Superseded values (Rev 1)"]], OLD].concat();
    let read = of(vec![sheet("Register", &rows)]);
    assert_eq!(read.marks(), ["R1", "R2"]);
    assert!(kept(&read).contains(&"R4 | 17 | 3600".to_owned()), "{:?}", kept(&read));
    // The headers may come again as they are.
    let rows = [LIVE, &[&[], &["Superseded Rev 1"]], LIVE].concat();
    let read = of(vec![sheet("Register", &rows)]);
    assert_eq!(read.marks(), ["R1", "R2"]);
}

#[test]
fn a_hidden_sheet_that_repeats_nothing_is_read_and_said() {
    for rows in [
        &[&["Tendon", "No. of strands", "Jacking force (kN)"][..], &["R8", "17", "3600"]][..],
        &[&["Tendon", "Duct OD (mm)"], &["R1", "140"]],
    ] {
        let read = of(vec![sheet("Register", LIVE), hidden("More", rows)]);
        assert!(
            read.problems
                .iter()
                .any(|one| one.why.starts_with("is read with what is hidden in it"))
        );
        assert!(!read.problems.iter().any(|one| one.why.starts_with("gives way")));
    }
}

#[test]
fn the_only_sheet_with_tendons_is_asked() {
    let read = of(vec![sheet("Superseded Rev 1", OLD)]);
    assert!(read.marks().is_empty(), "{:?}", read.marks());
    assert_eq!(read.questions.len(), 1);
    assert!(read.questions[0].why.contains("no other sheet has tendons"));
    assert!(read.unread.is_empty());
    let table =
        TableMapping { sheet: Some("Superseded Rev 1".to_owned()), ..TableMapping::default() };
    let mapping = Mapping { tables: vec![table], ..Mapping::default() };
    let read = taken(vec![sheet("Superseded Rev 1", OLD)], &mapping);
    assert_eq!(read.marks(), ["R1", "R2", "R3", "R4"]);
    assert!(read.questions.is_empty());
}

#[test]
fn notes_of_what_no_longer_holds_are_none() {
    let notes: &[&[&str]] = &[&["All ducts filled with cement grout."]];
    let read = of(vec![sheet("Register", LIVE), sheet("Superseded notes", notes)]);
    let tendons = read.of("Tendons");
    let filler = tendons.iter().filter_map(|one| one.fields.get("filler").and_then(Value::as_text));
    assert_eq!(filler.count(), 0);
}

/// What is read of two sheets that state the same tendons otherwise.
fn of_versions(earlier: &str, later: &str) -> Read {
    let designed: &[&[&str]] = &[LIVE[0], LIVE[1], LIVE[2]];
    let built = [LIVE[0], &["R1", "19", "3900", ""], &["R2", "19", "3980", ""]];
    of(vec![sheet(earlier, designed), sheet(later, &built)])
}

#[test]
fn of_two_versions_the_later_is_read_and_which_holds_is_asked() {
    for (earlier, later) in [
        ("As designed", "As built"),
        ("Tender", "Construction"),
        ("Tendons Rev A", "Tendons Rev B"),
        ("Planned", "Actual"),
        ("Soll", "Ist"),
        ("Câbles prévus", "Câbles exécutés"),
    ] {
        let read = of_versions(earlier, later);
        assert_eq!(read.marks(), ["R1", "R2"], "{earlier}");
        assert_eq!(forces(&read), [Some(3900.0), Some(3980.0)], "{earlier}");
        let [question] = read.questions.as_slice() else { panic!("{:?}", read.questions) };
        let readings = [later, earlier].map(|name| format!("\"{name}\" holds"));
        assert_eq!(question.readings, readings);
        assert!(question.why.contains("as R1"), "{}", question.why);
        let said = read.problems.iter().find(|one| one.why.starts_with("gives way"));
        assert_eq!(said.map(|one| one.subject.as_str()), Some(earlier));
    }
    // A tendon that only the earlier one has is read from it.
    let built: &[&[&str]] = &[LIVE[0], &["R2", "19", "3900", ""], &["R5", "19", "3980", ""]];
    let read = of(vec![sheet("Rev A", &LIVE[..3]), sheet("Rev B", built)]);
    assert_eq!(read.marks(), ["R1", "R2", "R5"]);
    assert_eq!(forces(&read), [Some(3980.0), Some(3900.0), Some(3980.0)]);
    assert_eq!(read.questions.len(), 1);
    // A mapping file that says what they are decides only where it leaves one out.
    for ignore in [false, true] {
        let sheet_of = |name: &str| Some(name.to_owned());
        let table = TableMapping { sheet: sheet_of("Rev A"), ignore, ..TableMapping::default() };
        let mapping = Mapping { tables: vec![table], ..Mapping::default() };
        let read = taken(vec![sheet("Rev A", &LIVE[..3]), sheet("Rev B", built)], &mapping);
        assert_eq!(read.marks().len(), if ignore { 2 } else { 3 });
        assert_eq!(read.questions.len(), usize::from(!ignore));
    }
}

#[test]
fn sheets_that_say_the_same_or_are_of_other_parts_are_no_versions() {
    let read = of(vec![sheet("As designed", LIVE), sheet("As built", LIVE)]);
    assert_eq!((read.marks().len(), read.questions.len()), (2, 0), "copies");
    let read = of_versions("Span 1 as designed", "Span 2 as built");
    assert_eq!((read.marks().len(), read.questions.len()), (4, 0));
    let more: &[&[&str]] = &[&["Tendon", "Duct OD (mm)"], &["R1", "140"], &["R2", "140"]];
    let read = of(vec![sheet("As designed", LIVE), sheet("As built", more)]);
    assert_eq!((read.marks().len(), read.questions.len()), (2, 0), "they state different things");
}

#[test]
fn what_the_earlier_version_states_alone_is_read_from_it() {
    let designed: &[&[&str]] = &[
        &["Tendon", "No. of strands", "Length (m)", "Filler"],
        &["R1", "19", "40.5", "wax"],
        &["R2", "19", "50.5", "wax"],
    ];
    let built: &[&[&str]] = &[
        &["Tendon", "Length (m)", "Jacking force (kN)"],
        &["R1", "40.6", "3900"],
        &["R2", "50.5", "3910"],
    ];
    for sheets in [
        vec![sheet("As designed", designed), sheet("As built", built)],
        vec![sheet("As built", built), hidden("As designed", designed)],
        vec![sheet("Record", built), hidden("Calc", designed)],
    ] {
        let read = of(sheets);
        assert_eq!(read.marks(), ["R1", "R2"]);
        let lengths = [0, 1].map(|at| read.number("Tendons", at, &["length_m"]));
        assert_eq!(lengths, [Some(40.6), Some(50.5)]);
        assert_eq!(forces(&read), [Some(3900.0), Some(3910.0)]);
        assert_eq!(read.number("Tendons", 0, &["strand_count"]), Some(19.0));
        assert_eq!(read.questions.len(), 1);
        assert!(kept(&read).contains(&"R1 | 19 | 40.5 | wax".to_owned()), "{:?}", kept(&read));
    }
}

#[test]
fn of_a_hidden_sheet_what_contradicts_a_shown_one_gives_way_and_is_asked() {
    let further = hidden("Calc", &[LIVE[0], &["R1", "17", "3900", ""], &["R9", "12", "2500", ""]]);
    let read = of(vec![sheet("Register", LIVE), further]);
    assert_eq!(read.marks(), ["R1", "R2", "R9"]);
    assert_eq!(read.number("Tendons", 0, &["strand_count"]), Some(19.0));
    let [question] = read.questions.as_slice() else { panic!("{:?}", read.questions) };
    assert_eq!(question.readings, ["\"Register\" holds", "\"Calc\" holds"]);
    assert!(kept(&read).contains(&"R1 | 17 | 3900".to_owned()), "{:?}", kept(&read));
}
