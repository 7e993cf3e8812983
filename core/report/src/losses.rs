//! What a conversion did not carry over, for people: where, what, why.

use std::io::{self, Write};

use restrand_kit::Loss;
use restrand_model::reading::{Place, Problem, ProblemKind, Question};
use restrand_model::shortened;

use crate::letters::cell;

/// Characters of a value that are shown.
const LONGEST: usize = 80;

/// Whether what the problem tells is not in the schedule as the file says it.
#[must_use]
pub fn is_unread(problem: &Problem) -> bool {
    match problem.kind {
        ProblemKind::ValueLost
        | ProblemKind::RecordLost
        | ProblemKind::SheetLost
        | ProblemKind::OwnerMissing
        | ProblemKind::SheetUnknown
        | ProblemKind::ValueDoubtful => true,
        // It is kept as a further value; or it was taken, as told.
        ProblemKind::Unknown | ProblemKind::Misnamed | ProblemKind::Assumed => false,
    }
}

/// Writes what could not be read of an input, and so is not in the output.
///
/// # Errors
/// The writer fails.
pub fn unread(
    out: &mut dyn Write,
    input: &str,
    problems: &[&Problem],
    questions: &[Question],
) -> io::Result<()> {
    let count = problems.len() + questions.len();
    if count == 0 {
        return Ok(());
    }
    writeln!(out, "{input}: {}", counted(count, "not read, or only with doubt"))?;
    for question in questions {
        let at = place(&question.place);
        let given = shortened(&question.given, LONGEST);
        writeln!(out, "  {at}, {}: {given} ({} values)", question.subject, question.records.len())?;
        writeln!(out, "    {}; {}", question.why, question.help)?;
    }
    for problem in problems {
        let at = place(&problem.place);
        let at = if at.is_empty() { String::new() } else { format!("{at}, ") };
        write!(out, "  {at}{}", problem.subject)?;
        match &problem.given {
            Some(given) => writeln!(out, ": {}", shortened(given, LONGEST))?,
            None => writeln!(out)?,
        }
        writeln!(out, "    {}; {}", problem.why, problem.help)?;
    }
    Ok(())
}

/// Writes what an output could not carry.
///
/// # Errors
/// The writer fails.
pub fn losses(out: &mut dyn Write, output: &str, losses: &[Loss]) -> io::Result<()> {
    if losses.is_empty() {
        return Ok(());
    }
    writeln!(out, "{output}: {}", counted(losses.len(), "not carried over as it was"))?;
    for loss in losses {
        writeln!(out, "  {}: {}", loss.route, shortened(&loss.value, LONGEST))?;
        writeln!(out, "    {}", loss.why)?;
    }
    Ok(())
}

fn counted(count: usize, what: &str) -> String {
    let things = if count == 1 { "thing" } else { "things" };
    format!("{count} {things} {what}")
}

/// The sheet and the cell, where the file has sheets.
fn place(place: &Place) -> String {
    match place {
        Place::Cell { sheet, row, column: Some(column), .. } => {
            format!("{sheet}!{}", cell(*row, *column))
        }
        Place::Cell { sheet, row, column: None, .. } => format!("{sheet}, row {}", row + 1),
        Place::Line { part, line, column: Some(column), .. } => {
            format!("{part}, line {}, column {}", line + 1, column + 1)
        }
        Place::Line { part, line, column: None, .. } => format!("{part}, line {}", line + 1),
        Place::Sheet { sheet, .. } => sheet.clone(),
        Place::Part { .. } | Place::Text { .. } => String::new(),
    }
}
