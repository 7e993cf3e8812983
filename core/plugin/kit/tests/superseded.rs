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

fn counts(read: &Read) -> Vec<Option<f64>> {
    (0..read.of("Tendons").len()).map(|at| read.number("Tendons", at, &["strand_count"])).collect()
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
    let built = [LIVE[0], &["R1", "22", "3980", ""], &["R2", "19", "3980", ""]];
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
        assert_eq!(counts(&read), [Some(22.0), Some(19.0)], "{earlier}");
        assert_eq!(forces(&read), [Some(3980.0), Some(3980.0)], "{earlier}");
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
    let [question] = read.questions.as_slice() else { panic!("{:?}", read.questions) };
    assert!(question.why.contains("\"Rev A\" alone has R1"), "{}", question.why);
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
        // What is built may state the force that was measured.
        let is_of_built = read.understood.iter().any(|one| one.sheet == "As built");
        let of_force = [Some(3900.0), Some(3910.0)].map(|force| force.filter(|_| !is_of_built));
        assert_eq!(forces(&read), of_force);
        assert_eq!(read.number("Tendons", 0, &["strand_count"]), Some(19.0));
        assert_eq!(read.questions.len(), 1 + usize::from(is_of_built));
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

#[test]
fn where_no_name_says_which_is_the_later_nothing_is_read_of_what_both_state_otherwise() {
    for (one, other) in [
        ("Proposed", "Installed"),
        ("Existing", "Proposed"),
        ("Existing tendons", "New tendons"),
        ("Tendons", "Existing tendons"),
        ("Rev B", "Rev 0"),
    ] {
        let there: &[&[&str]] = &[LIVE[0], LIVE[1], LIVE[2], &["R7", "12", "2510", ""]];
        let new = [LIVE[0], &["R1", "22", "4500", ""], LIVE[2], &["R8", "12", "2510", ""]];
        // What another table of such a sheet states of these is as open.
        let clear: &[&[&str]] = &[
            &[],
            &["Tendon", "End", "Clear behind (mm)"],
            &["R1", "A", "1500"],
            &["R8", "A", "900"],
        ];
        let new = [&new[..], clear].concat();
        let read = of(vec![sheet(one, there), sheet(other, &new)]);
        assert_eq!(read.marks(), ["R2", "R7", "R8"], "{one} {other}");
        assert_eq!(read.of("Ends").len(), 1, "{one}");
        let [question] = read.questions.as_slice() else { panic!("{:?}", read.questions) };
        assert_eq!(question.readings.len(), 2);
        for said in ["as R1, and", &format!("\"{one}\" alone has R7"), "alone has R8"] {
            assert!(question.why.contains(said), "{said}: {}", question.why);
        }
        assert!(kept(&read).iter().any(|row| row.starts_with("R1 | 22")), "{:?}", kept(&read));
    }
    // What each states alone is not put together to one tendon.
    let new: &[&[&str]] = &[&["Tendon", "No. of strands", "Length (m)"], &["R1", "19", "40.5"]];
    let read = of(vec![sheet("As built", &LIVE[..2]), sheet("Proposed", new)]);
    assert!(read.marks().is_empty(), "{:?}", read.marks());
    assert_eq!(read.questions.len(), 1);
}

#[test]
fn what_was_measured_when_it_was_built_is_none_of_the_design() {
    let headers: &[&str] = &["Tendon", "No. of strands", "Elongation A (mm)", "Jacking force (kN)"];
    let designed: &[&[&str]] =
        &[headers, &["R1", "19", "150", "3900"], &["R2", "19", "151", "3900"]];
    let built: &[&[&str]] = &[headers, &["R1", "19", "155", "3890"], &["R2", "19", "156", "3900"]];
    let elongations = |read: &Read| {
        [0, 1].map(|at| read.number("Tendons", at, &["stressing", "elongation_a_mm"]))
    };
    for (plan, site) in [("Design", "Actual"), ("Tendons", "As built"), ("Soll", "Ist")] {
        let read = of(vec![sheet(site, built), sheet(plan, designed)]);
        assert_eq!(read.marks(), ["R1", "R2"], "{plan}");
        assert_eq!(elongations(&read), [Some(150.0), Some(151.0)], "{plan}");
        assert_eq!(forces(&read), [Some(3900.0), Some(3900.0)], "{plan}");
        let asked: Vec<_> = read.questions.iter().map(|one| one.header.as_str()).collect();
        assert_eq!(asked, ["Elongation A (mm)", "Jacking force (kN)"], "{plan}");
    }
    // A tender is no design: where what is built states otherwise neither is taken.
    let read = of(vec![sheet("Tender", designed), sheet("As built", built)]);
    assert_eq!((elongations(&read), forces(&read)), ([None; 2], vec![None; 2]));
    assert_eq!(read.questions.len(), 4);
    // Where all is stated alike nothing is asked, nor where no other sheet states it.
    for sheets in
        [vec![sheet("Actual", built), sheet("Design", built)], vec![sheet("Actual", built)]]
    {
        let read = of(sheets);
        assert_eq!(elongations(&read), [Some(155.0), Some(156.0)]);
        assert!(read.questions.is_empty(), "{:?}", read.questions);
    }
}
