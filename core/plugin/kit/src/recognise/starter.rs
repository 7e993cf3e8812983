//! A mapping file to begin with: what was recognised, and the questions as comments.

use std::fmt::Write as _;

use restrand_model::reading::{
    PROPERTY_SET, Question, Sureness, Understood, UnderstoodColumn, UnderstoodTable,
};
use restrand_model::sheet::plain;

use super::headless::UNKNOWN;
use super::sink::ALSO;

/// Writes a mapping file from how sheets were understood and what was asked.
#[must_use]
pub fn starter(understood: &[Understood], questions: &[Question]) -> String {
    let mut text = String::from(
        "# What the sheets of a file are, or the property sets of a model; restrand reads it with --mapping, or as restrand.toml beside the file.\n\
         # Lines that begin with # are comments; take the # away from what is to hold.\n\
         mapping = 1\n",
    );
    for sheet in understood {
        for table in sheet.tables.iter().filter(|table| table.record != PROPERTY_SET) {
            if table.by_others {
                by_others(&mut text, &sheet.sheet, table);
                continue;
            }
            let _ = write!(text, "\n[[table]]\nsheet = {}\n", quoted(&sheet.sheet));
            if table.record == UNKNOWN {
                unknown(&mut text, table);
                continue;
            }
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
                let is_same =
                    |other: &&UnderstoodColumn| plain(&other.header) == plain(&column.header);
                let is_open = column.sureness <= Sureness::Asked
                    || column.fields.len() != 1
                    || table.columns.iter().filter(is_same).count() > 1;
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
    let sets = understood.iter().flat_map(|model| &model.tables);
    properties(&mut text, sets.filter(|table| table.record == PROPERTY_SET));
    text
}

/// Tells of a table that is read by what others say, of which there is nothing to place.
fn by_others(text: &mut String, sheet: &str, table: &UnderstoodTable) {
    let caption = table
        .caption
        .as_deref()
        .map_or(String::new(), |caption| format!(" below \"{}\"", one_line(caption)));
    let (first, last) = table.headers;
    let at = match (table.turned, u64::from(first) + 1, u64::from(last) + 1) {
        (true, ..) => String::new(),
        (false, first, last) if first == last => format!(", row {first}"),
        (false, first, last) => format!(", rows {first} to {last}"),
    };
    let _ = writeln!(
        text,
        "\n# {}{at}{caption}: each of its rows is one {}, by what other tables say of the tendons.",
        one_line(sheet),
        table.record
    );
}

/// Begins what is to be said of a table of which nothing was recognised.
fn unknown(text: &mut String, table: &UnderstoodTable) {
    let (row, last) = (u64::from(table.headers.0) + 1, u64::from(table.headers.1) + 1);
    let _ = writeln!(
        text,
        "# QUESTION: {}; say where its headers are, what a row is, and what its columns state.\n\
         # headers = [{row}, {last}]\n# record = \"tendon\"",
        match table.columns.iter().any(|column| !column.fields.is_empty()) {
            true => "no column of it surely names the tendons",
            false => "nothing was recognised in it",
        }
    );
    for column in &table.columns {
        let field = column.fields.first().map_or("none", String::as_str);
        let _ = writeln!(
            text,
            "\n# [[table.column]]\n# header = {}\n# field = {}",
            quoted(&column.header),
            quoted(&field.replace(", ", "."))
        );
    }
}

/// The question of a column: its own, or the one that was asked once for all columns that are called so.
fn question_of<'q>(questions: &'q [Question], header: &str) -> Option<&'q Question> {
    let last = |header: &str| header.rsplit(" › ").next().unwrap_or(header).to_owned();
    let asked =
        |question: &Question, is: &dyn Fn(&str) -> bool| question.header.split(ALSO).any(is);
    // A header may itself hold what parts several.
    let names = |question: &Question| {
        let all = format!("{ALSO}{}{ALSO}", question.header);
        all.contains(&format!("{ALSO}{header}{ALSO}"))
    };
    let own = questions.iter().find(|question| names(question));
    own.or_else(|| {
        let wanted = last(header);
        questions.iter().find(|question| asked(question, &|one| last(one) == wanted))
    })
}

/// The units that a question leaves open.
fn units_of(question: &Question) -> Vec<&str> {
    let units = question.readings.iter().filter_map(|reading| reading.strip_prefix("in "));
    units.collect()
}

/// The properties of a model's sets, to be said what they are.
fn properties<'u>(text: &mut String, sets: impl Iterator<Item = &'u UnderstoodTable>) {
    let mut sets = sets.peekable();
    if sets.peek().is_none() {
        return;
    }
    text.push_str(
        "\n# On the right stands what a property is: record and field, as \"removal_space.behind\" or\n\
         # \"stressing.jacking_force\"; where one is two of them, or half of one,\n\
         # { to = [\"removal_space.left\", \"removal_space.right\"], times = 0.5 }; where its words mean something,\n\
         # { to = \"replacement.unbonded\", words = { FREE = true, GROUTED = false } }; where its numbers\n\
         # have no unit, { to = \"stressing.jacking_force\", unit = \"kN\" }.\n\
         [ifc]\n",
    );
    for set in sets {
        let name = set.caption.as_deref().unwrap_or_default();
        let _ = writeln!(text, "\n# {}, {} of them", one_line(name), set.rows);
        for property in &set.columns {
            let _ = writeln!(text, "# {}", one_line(&property.why));
            let whole = quoted(&format!("{name}.{}", property.header));
            let _ = match (property.sureness > Sureness::Likely, property.fields.as_slice()) {
                (true, [field]) => writeln!(text, "{whole} = {}", quoted(field)),
                _ => writeln!(text, "# {whole} = \"record.field\""),
            };
        }
    }
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
