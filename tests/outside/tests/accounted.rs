//! Of every cell of the schedules that people make it is known what became of it: nothing is dropped in silence.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use restrand_intake::Reading;
use restrand_kit::Plugin;
use restrand_model::Record;
use restrand_model::Value;
use restrand_model::reading::{Apart, At};
use restrand_model::reflect::View;
use restrand_test_outside::{SCHEDULES, read_as, root, run};

/// A cell: its sheet, row, column and text.
type CellAt = (String, u32, u32, String);

fn cells(file: &Path) -> Vec<CellAt> {
    let list = format!("{}.cells", file.display());
    let lines = std::fs::read_to_string(list).expect("it was written");
    lines.lines().map(|line| serde_json::from_str(line).expect("it is a cell")).collect()
}

/// The rows in which records were read, with the columns that state something of them.
fn stated(reading: &Reading) -> BTreeSet<(String, u32, u32)> {
    let mut origins = Vec::new();
    walk(View::Record(&reading.schedule), &mut origins);
    let tables = &reading.provenance.tables;
    let mut rows: BTreeMap<(String, bool, u32), BTreeSet<u32>> = BTreeMap::new();
    let mut columns: BTreeMap<(String, bool, u32), BTreeSet<u32>> = BTreeMap::new();
    for (number, table) in (0_u32..).zip(tables) {
        let sheet = table.sheet.clone().unwrap_or_default();
        let key = (sheet, table.grid.is_turned(), table.header_row);
        let read = origins.iter().filter(|(of, _)| *of == number).map(|(_, row)| *row);
        rows.entry(key.clone()).or_default().extend(read);
        columns.entry(key).or_default().extend(table.columns.iter().map(|column| column.index));
    }
    let mut stated = BTreeSet::new();
    // A value may stand elsewhere than its record.
    for ((number, _), Apart { way, at }) in reading.provenance.all_apart() {
        let table = &tables[usize::try_from(number).expect("few tables")];
        let sheet = table.sheet.clone().unwrap_or_default();
        if let At::Row(row) = at {
            let of_way = table.columns.iter().filter(|column| column.path.iter().eq(way.iter()));
            stated.extend(of_way.map(|column| (sheet.clone(), row, column.index)));
        }
    }
    for (key, rows) in rows {
        let columns = &columns[&key];
        let (sheet, is_turned, _) = key;
        for row in rows {
            stated.extend(columns.iter().map(|column| match is_turned {
                true => (sheet.clone(), *column, row),
                false => (sheet.clone(), row, *column),
            }));
        }
    }
    stated
}

fn walk(view: View<'_>, origins: &mut Vec<(u32, u32)>) {
    match view {
        View::Record(record) => {
            origins.extend(record.origin().get());
            for at in 0..record.info().fields.len() {
                walk(record.field(at).view(), origins);
            }
        }
        View::List(list) => (0..list.len()).for_each(|at| walk(list.item(at), origins)),
        _ => {}
    }
}

/// All that a reading says in words: the document, how sheets were understood, problems and questions.
fn told(reading: &Reading) -> String {
    let schedule: &dyn Record = &reading.schedule;
    let mut told = vec![texts(&Value::Fields(schedule.to_fields()))];
    for sheet in &reading.understood {
        for table in &sheet.tables {
            told.extend(table.caption.clone());
            told.extend(table.columns.iter().map(|column| column.header.clone()));
            told.extend(table.columns.iter().filter_map(|column| column.unit.clone()));
        }
        told.extend(sheet.remarks.iter().map(|remark| remark.what.clone()));
    }
    told.extend(reading.problems.iter().filter_map(|problem| problem.given.clone()));
    told.extend(reading.questions.iter().map(|question| question.given.clone()));
    for table in &reading.provenance.tables {
        told.extend(table.columns.iter().map(|column| column.header.to_string()));
    }
    plain(&told.join("\n"))
}

fn texts(value: &Value) -> String {
    match value {
        Value::Fields(fields) => {
            fields.iter().map(|(name, value)| format!("{name}\n{}\n", texts(value))).collect()
        }
        Value::List(items) => items.iter().map(|item| texts(item) + "\n").collect(),
        Value::Text(text) => text.to_string(),
        other => other.to_string(),
    }
}

/// A text whose spaces and line breaks are all alike.
fn plain(text: &str) -> String {
    text.replace(['›', '\u{a0}'], " ").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Whether a text is a unit above a datum, as `[m ü. NN]`.
fn is_above_datum(text: &str) -> bool {
    let bare = text.trim_matches(['[', ']', '(', ')']);
    let first = bare.split_whitespace().next();
    bare.chars().count() <= 8 && first.is_some_and(|unit| matches!(unit, "m" | "ft"))
}

/// Whether a text stands in another, and not as a part of a word or number.
fn stands_in(told: &str, text: &str) -> bool {
    let is_part = |letter: Option<char>| letter.is_some_and(char::is_alphanumeric);
    told.match_indices(text).any(|(at, _)| {
        let is_word =
            text.starts_with(char::is_alphanumeric) && text.ends_with(char::is_alphanumeric);
        !is_word
            || !is_part(told[..at].chars().next_back())
                && !is_part(told[at + text.len()..].chars().next())
    })
}

#[test]
fn of_every_cell_it_is_known_what_became_of_it() {
    let mut silent = Vec::new();
    let mut count = 0;
    // Those of `parts` are written without a list of their cells.
    for writer in SCHEDULES.into_iter().filter(|writer| *writer != "parts") {
        let folder = tempfile::tempdir().expect("a folder for scratch files");
        run(&format!("{writer}.py"), &[folder.path()]);
        run("cells.py", &[folder.path()]);
        let path = root().join("tests/outside").join(writer).with_extension("toml");
        let files: BTreeMap<String, toml::Value> =
            toml::from_str(&std::fs::read_to_string(path).expect("it is there"))
                .expect("it is as it should be");
        for name in files.keys() {
            let file = folder.path().join(name);
            let is_text = file.extension().is_some_and(|ending| ending == "csv" || ending == "txt");
            let plugin: &dyn Plugin =
                if is_text { &restrand_csv::Csv } else { &restrand_workbook::Workbook };
            let reading = read_as(plugin, &file);
            let (stated, told) = (stated(&reading), told(&reading));
            let heads: BTreeSet<(String, u32)> = reading
                .understood
                .iter()
                .flat_map(|sheet| {
                    let below =
                        sheet.tables.iter().map(|table| (sheet.sheet.clone(), table.headers.1 + 1));
                    below.collect::<Vec<_>>()
                })
                .collect();
            // Headers are shown with their columns; those of two ends in one cell, each by its own.
            let mut headers: BTreeSet<(String, u32, u32)> = BTreeSet::new();
            for sheet in &reading.understood {
                for table in &sheet.tables {
                    for row in table.headers.0..=table.headers.1 {
                        headers.extend(table.columns.iter().map(|column| match table.turned {
                            true => (sheet.sheet.clone(), column.index, row),
                            false => (sheet.sheet.clone(), row, column.index),
                        }));
                    }
                }
            }
            let with_points: BTreeSet<&String> = reading
                .understood
                .iter()
                .filter(|sheet| sheet.tables.iter().any(|table| table.record == "tendon point"))
                .map(|sheet| &sheet.sheet)
                .collect();
            // Title blocks of several rows are one record.
            let titles: BTreeSet<u32> = reading
                .provenance
                .tables
                .iter()
                .filter(|table| table.list == "Project")
                .flat_map(|table| table.columns.iter().map(|column| column.index))
                .collect();
            // A title whose value is not read is told by its field.
            let unread: BTreeSet<String> = reading
                .problems
                .iter()
                .filter_map(|problem| problem.subject.strip_prefix("project."))
                .map(str::to_owned)
                .collect();
            let is_date = |text: &str| {
                text.chars().all(|letter| letter.is_ascii_digit() || "./-".contains(letter))
            };
            let all = cells(&file);
            // What a list says of two tendons in the same words is said once: a kind that both have.
            let left_of = |sheet: &str, row: u32, column: u32| {
                let left = column.checked_sub(1)?;
                let of = |cell: &&CellAt| cell.0 == sheet && (cell.1, cell.2) == (row, left);
                all.iter().find(of).map(|cell| cell.3.clone())
            };
            let mut twice: BTreeSet<(u32, Option<String>, String)> = BTreeSet::new();
            if is_text && !reading.provenance.all_apart().is_empty() {
                let name = reading.understood[0].sheet.clone();
                for (sheet, row, column, text) in &all {
                    if stated.contains(&(name.clone(), *row, *column)) {
                        twice.insert((*column, left_of(sheet, *row, *column), text.clone()));
                    }
                }
            }
            for (sheet, row, column, text) in all.clone() {
                count += 1;
                if twice.contains(&(column, left_of(&sheet, row, column), text.clone())) {
                    continue;
                }
                let text = plain(&text);
                let sheet = if is_text { reading.understood[0].sheet.clone() } else { sheet };
                // A mark says: as above; and a short text right below headers is their unit.
                let is_mark = text.chars().all(|letter| !letter.is_alphanumeric())
                    || matches!(text.as_str(), "do." | "n/a");
                let is_unit = (text.chars().count() <= 5 || is_above_datum(&text))
                    && (heads.contains(&(sheet.clone(), row))
                        || heads.contains(&(sheet.clone(), column)));
                let parts = || text.split(':').map(str::trim).filter(|part| !part.is_empty());
                // A value that joins a point of another table is told in the document alone, in its unit there.
                let in_document = with_points.contains(&sheet)
                    && text.parse::<f64>().is_ok_and(|number| {
                        [number.abs(), number.abs() / 1000.0]
                            .iter()
                            .any(|number| stands_in(&told, &number.to_string()))
                    });
                let is_said = in_document || parts().all(|part| stands_in(&told, part));
                let is_end = matches!(text.as_str(), "A" | "B" | "End A" | "End B");
                let is_title = titles.contains(&column) && is_date(&text) && text.len() >= 8;
                if !is_mark
                    && !is_unit
                    && !is_end
                    && !is_title
                    && !unread.contains(&text.to_lowercase())
                    && !headers.contains(&(sheet.clone(), row, column))
                    && !stated.contains(&(sheet.clone(), row, column))
                    && !is_said
                {
                    silent.push(format!("{name}: {sheet} row {} column {column}: {text}", row + 1));
                }
            }
        }
    }
    assert!(count > 1000, "{count} cells");
    assert!(silent.is_empty(), "{} of {count} cells:\n{}", silent.len(), silent.join("\n"));
}
