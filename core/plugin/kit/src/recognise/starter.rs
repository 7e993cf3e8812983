//! A mapping file to begin with: what was recognised, and the questions as comments.

use std::fmt::Write as _;

use restrand_model::reading::{Question, Sureness, Understood};

/// Writes a mapping file from how sheets were understood and what was asked.
#[must_use]
pub fn starter(understood: &[Understood], questions: &[Question]) -> String {
    let mut text = String::from(
        "# What the sheets of a file are; restrand reads it with --mapping, or as restrand.toml beside the file.\n\
         # Lines that begin with # are comments; take the # away from what is to hold.\n\
         mapping = 1\n",
    );
    for sheet in understood {
        for table in &sheet.tables {
            let _ = write!(text, "\n[[table]]\nsheet = {}\n", quoted(&sheet.sheet));
            if let Some(caption) = &table.caption {
                let _ = writeln!(text, "# below \"{}\", {} rows", one_line(caption), table.rows);
            }
            if !table.turned {
                let _ = writeln!(
                    text,
                    "headers = [{}, {}]",
                    u64::from(table.headers.0) + 1,
                    u64::from(table.headers.1) + 1
                );
            }
            let record = if table.record == "end of a tendon" { "tendon" } else { &table.record };
            let _ = writeln!(text, "record = {}", quoted(&record.replace(' ', "_")));
            let _ = writeln!(text, "# constants = {{ \"tendon.filler\" = \"wax\" }}");
            for column in &table.columns {
                let is_open = column.sureness <= Sureness::Asked || column.fields.len() != 1;
                let mark = if is_open { "# " } else { "" };
                if column.sureness == Sureness::Asked {
                    let _ = writeln!(text, "\n# QUESTION: {}", one_line(&column.why));
                    if let Some(question) = question_of(questions, &column.header) {
                        let _ = writeln!(
                            text,
                            "# first value \"{}\"; readings: {}",
                            one_line(&question.given),
                            question.readings.join(", ")
                        );
                    }
                } else {
                    let _ = writeln!(text, "\n# {}", one_line(&column.why));
                }
                let _ = writeln!(
                    text,
                    "{mark}[[table.column]]\n{mark}header = {}",
                    quoted(&column.header)
                );
                let field = column.fields.first().map_or("none", String::as_str);
                let _ = writeln!(text, "{mark}field = {}", quoted(&field.replace(", ", ".")));
                if let Some(unit) = &column.unit {
                    let _ = writeln!(text, "{mark}unit = {}", quoted(unit));
                } else if column.sureness == Sureness::Asked {
                    let question = question_of(questions, &column.header);
                    let units = question.map(units_of).unwrap_or_default();
                    if units.len() > 1 {
                        let _ = writeln!(text, "# one of these units:");
                    }
                    for unit in units {
                        let _ = writeln!(text, "# unit = {}", quoted(unit));
                    }
                }
            }
        }
    }
    text
}

/// The question of a column: its own, or the one that was asked once for all columns that are called so.
fn question_of<'q>(questions: &'q [Question], header: &str) -> Option<&'q Question> {
    let last = |header: &'q str| header.rsplit(" › ").next().unwrap_or(header);
    let own = questions.iter().find(|question| question.header == header);
    own.or_else(|| {
        let wanted = header.rsplit(" › ").next().unwrap_or(header);
        questions.iter().find(|question| last(&question.header) == wanted)
    })
}

/// The units that a question leaves open.
fn units_of(question: &Question) -> Vec<&str> {
    let units = question.readings.iter().filter_map(|reading| reading.strip_prefix("in "));
    units.collect()
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A text as TOML writes it.
fn quoted(text: &str) -> String {
    let mut written = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' => written.push_str("\\\""),
            '\\' => written.push_str("\\\\"),
            '\n' => written.push_str("\\n"),
            '\t' => written.push_str("\\t"),
            letter if letter.is_control() => {
                let _ = write!(written, "\\u{:04X}", u32::from(letter));
            }
            letter => written.push(letter),
        }
    }
    written.push('"');
    written
}
