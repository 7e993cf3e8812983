//! Tendons that hold no strand yet: what they are there for, and what is not stated of them.

mod recognised;

use recognised::{Read, plain};
use restrand_model::Value;

fn read(remark: &str, strands: &str) -> Read {
    plain(&[
        &["Tendon", "Strands", "Jacking force (kN)", "Duct OD (mm)", "Remarks"],
        &["T1", "19", "3900", "140", ""],
        &["T2", "19", "3900", "140", "see future works drawing"],
        &["T3", strands, "", "140", remark],
        &["", "", "", "", ""],
        &["Friction coefficient 0.12; wedge draw-in 6 mm."],
    ])
}

fn status(read: &Read, at: usize) -> Option<&str> {
    read.of("Tendons")[at].fields.get("status").and_then(Value::as_text)
}

#[test]
fn a_row_without_strands_may_say_that_a_tendon_may_be_added() {
    for (remark, strands) in [("Future tendon", ""), ("", "FUTURE"), ("spare, for future use", "-")]
    {
        let read = read(remark, strands);
        assert_eq!(status(&read, 2), Some("reserved"), "{remark} {strands}");
        assert_eq!(status(&read, 1), None, "what has strands is there");
        assert!(read.questions.is_empty(), "{:?}", read.questions);
        // It is told, and the word in place of a number is no fault.
        let told: Vec<_> =
            read.problems.iter().filter(|one| one.why.contains("may be added")).collect();
        assert_eq!(told.len(), 1, "{:?}", read.problems);
        assert!(!read.problems.iter().any(|one| one.subject == "tendon.strand_count"));
        // What is stated once for all is of what is stressed.
        assert_eq!(read.number("Tendons", 0, &["stressing", "mu"]), Some(0.12));
        assert_eq!(read.number("Tendons", 2, &["stressing", "mu"]), None);
        assert_eq!(read.number("Tendons", 2, &["stressing", "set_mm"]), None);
    }
}

#[test]
fn a_spare_duct_is_asked_once() {
    let read = read("Spare duct", "");
    assert_eq!(status(&read, 2), None);
    let [question] = read.questions.as_slice() else { panic!("{:?}", read.questions) };
    assert_eq!(question.readings, ["reserved", "contingency"]);
    assert_eq!(read.number("Tendons", 2, &["stressing", "mu"]), None);
}
