//! What is said and asked of notes.

use restrand_model::reading::{Origin, Problem, ProblemKind, Question, Remark, Understood};

use super::stated::{Asked, Given, Note};

/// What the report of a sheet says of a note.
pub(super) fn remark(note: &Note, why: &str) -> Understood {
    Understood {
        part: note.part.clone(),
        sheet: note.sheet.clone(),
        tables: Vec::new(),
        remarks: vec![Remark {
            row: Some(note.row),
            what: format!("The note in {} {why}.", note.cell),
        }],
        exchanged: Vec::new(),
    }
}

/// What is said of a note from which something was taken, or nothing.
pub(super) fn problem(note: &Note, why: &str, is_taken: bool) -> Problem {
    Problem {
        kind: if is_taken { ProblemKind::Assumed } else { ProblemKind::Unknown },
        place: note.place.clone(),
        record: Origin::default(),
        subject: format!("{}: note", note.sheet),
        given: Some(note.text.clone()),
        why: why.to_owned(),
        help: match is_taken {
            true => "write it into a table of its own, if it is not so",
            false => "write it into the rows of those it is meant for",
        }
        .to_owned(),
    }
}

/// What is asked of a note that states something with words that are not understood.
pub(super) fn question(note: &Note, asked: &Asked) -> Question {
    let names: Vec<String> = asked.given.iter().map(Given::name).collect();
    let shown: Vec<&str> = asked.given.iter().map(|given| given.shown.as_str()).collect();
    let shown = shown.join(", ");
    let words = asked.words.join(" ");
    Question {
        place: note.place.clone(),
        records: Vec::new(),
        subject: names.join(", "),
        header: format!("the note in {}", note.cell),
        given: note.text.clone(),
        readings: vec![
            format!("{shown} of {}", asked.whose.shown()),
            format!("{shown} only where \"{words}\" says, or of another thing"),
        ],
        why: asked.why(),
        help: "write it into the rows of those it is meant for, or put the note in words that say \"all tendons\" and \
               no more"
            .to_owned(),
    }
}
