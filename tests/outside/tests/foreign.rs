//! Schedules in the styles in which people make them, written by openpyxl, Python's csv module and LibreOffice, or part
//! by part.

use std::collections::BTreeMap;
use std::path::Path;

use restrand_intake::Reading;
use restrand_kit::Plugin;
use restrand_kit::recognise::{Mapping, starter};
use restrand_model::reading::{Place, ProblemKind};
use restrand_model::{Record, Value};
use restrand_test_outside::{SCHEDULES, office, read_as, read_mapped_as, root, run};
use serde::Deserialize;
use tempfile::TempDir;

/// What a file must read as.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Expected {
    tendons: usize,
    questions: Vec<String>,
    facts: BTreeMap<String, toml::Value>,
    /// The formats in which LibreOffice writes the file anew, to be read as the same.
    office: Vec<String>,
    /// Facts that stand in the file and are not taken yet: nothing may stand in their place.
    #[serde(default)]
    left: BTreeMap<String, toml::Value>,
    /// Marks that no tendon may have.
    #[serde(default)]
    absent: Vec<String>,
    #[serde(default)]
    left_out: usize,
    #[serde(default)]
    hidden: usize,
    /// The tendons whose first end lies at the higher station.
    #[serde(default)]
    exchanged: Vec<String>,
}

fn expected(writer: &str) -> BTreeMap<String, Expected> {
    let path = root().join("tests/outside").join(writer).with_extension("toml");
    toml::from_str(&std::fs::read_to_string(path).expect("it is part of the project"))
        .expect("it is as it should be")
}

/// The value at a place of the document; items of lists are named by their key, or by their position.
fn value(reading: &Reading, place: &str) -> Option<Value> {
    let schedule: &dyn Record = &reading.schedule;
    let mut at = Value::Fields(schedule.to_fields());
    let mut rest = Some(place);
    while let Some(steps) = rest {
        at = match at {
            Value::Fields(fields) => {
                // A header of a further value may hold points itself.
                if let Some(value) = fields.get(steps) {
                    return Some(value.clone());
                }
                let (step, behind) = split(steps);
                rest = behind;
                fields.get(step)?.clone()
            }
            Value::List(items) => {
                let (step, behind) = split(steps);
                rest = behind;
                let named = items.iter().find(|item| {
                    ["mark", "id"].iter().any(|key| {
                        item.as_fields().and_then(|fields| fields.get(key)?.as_text()) == Some(step)
                    })
                });
                match named {
                    Some(item) => item.clone(),
                    None => items.get(step.parse::<usize>().ok()?)?.clone(),
                }
            }
            _ => return None,
        };
    }
    Some(at)
}

/// The text of a value of a tendon that was not taken, as `tendons.K1.given.length_m`.
fn given(reading: &Reading, record: &str, path: &str) -> Option<Value> {
    let mark = record.strip_prefix("tendons.")?;
    let mut tendons = reading.schedule.tendons.iter();
    let tendon = tendons.find(|tendon| tendon.mark.as_deref() == Some(mark))?;
    let steps: Vec<String> = path.split('.').map(str::to_owned).collect();
    let (text, _) = reading.provenance.given(tendon.origin, &steps)?;
    let is_taken = value(reading, &format!("{record}.{path}")).is_some();
    (!is_taken).then(|| Value::Text(text.into()))
}

fn split(steps: &str) -> (&str, Option<&str>) {
    steps.split_once('.').map_or((steps, None), |(step, behind)| (step, Some(behind)))
}

fn holds(value: Option<&Value>, expected: &toml::Value) -> bool {
    let number = match expected {
        #[expect(clippy::cast_precision_loss, reason = "facts are short numbers")]
        toml::Value::Integer(number) => Some(*number as f64),
        toml::Value::Float(number) => Some(*number),
        _ => None,
    };
    match (value, number) {
        (Some(value), Some(number)) => value
            .as_number()
            .is_some_and(|value| (value - number).abs() <= 1e-9 * number.abs().max(1.0)),
        (Some(value), None) => value.as_text() == expected.as_str(),
        (None, _) => false,
    }
}

fn plugin(path: &Path) -> &'static dyn Plugin {
    if path.extension().is_some_and(|ending| ending == "csv" || ending == "txt") {
        &restrand_csv::Csv
    } else {
        &restrand_workbook::Workbook
    }
}

/// The facts that a reading has wrong, each with what stands there.
fn wrong(reading: &Reading, expected: &Expected) -> Vec<String> {
    let mut wrong: Vec<String> = expected
        .facts
        .iter()
        .filter_map(|(place, fact)| {
            let read = match place.split_once(".given.") {
                Some((record, path)) => given(reading, record, path),
                None => value(reading, place),
            };
            (!holds(read.as_ref(), fact)).then(|| format!("{place}: {read:?}, not {fact}"))
        })
        .collect();
    for (place, fact) in &expected.left {
        let read = value(reading, place);
        if holds(read.as_ref(), fact) {
            wrong.push(format!("{place} is read: it is a fact, and no longer left"));
        } else if let Some(read) = read {
            wrong.push(format!("{place}: {read:?}, and {fact} was only left"));
        }
    }
    let marks = reading.schedule.tendons.iter().filter_map(|tendon| tendon.mark.as_ref());
    let unwanted = marks.filter(|mark| expected.absent.iter().any(|absent| **absent == ***mark));
    wrong.extend(unwanted.map(|mark| format!("{mark} is no tendon")));
    if reading.schedule.tendons.len() != expected.tendons {
        wrong.push(format!("{} tendons", reading.schedule.tendons.len()));
    }
    wrong
}

/// Has a script write its files into a scratch folder.
fn written(writer: &str) -> TempDir {
    let folder = tempfile::tempdir().expect("a folder for scratch files");
    run(&format!("{writer}.py"), &[folder.path()]);
    folder
}

fn reads_as_it_should(writer: &str) {
    let folder = written(writer);
    let (mut faults, mut count) = (Vec::new(), 0);
    for (name, expected) in &expected(writer) {
        let path = folder.path().join(name);
        let reading = read_as(plugin(&path), &path);
        count += expected.facts.len() + 1;
        faults.extend(wrong(&reading, expected).iter().map(|fault| format!("{name}: {fault}")));
        let asked: Vec<&str> =
            reading.questions.iter().map(|question| question.header.as_str()).collect();
        if asked != expected.questions {
            faults.push(format!("{name} asks about {asked:?}, not {:?}", expected.questions));
        }
        let said = |words: &str| {
            let told =
                reading.problems.iter().filter(|problem| problem.kind == ProblemKind::Assumed);
            told.filter(|problem| problem.why.contains(words)).count()
        };
        for (words, expected) in [("is left out", expected.left_out), ("hidden", expected.hidden)] {
            if said(words) != expected {
                faults.push(format!("{name}: {} times \"{words}\", not {expected}", said(words)));
            }
        }
        let exchanged: Vec<&String> =
            reading.understood.iter().flat_map(|sheet| &sheet.exchanged).collect();
        if !exchanged.iter().copied().eq(&expected.exchanged) {
            faults.push(format!("{name}: ends of {exchanged:?} are exchanged"));
        }
        if reading.understood.is_empty() {
            faults.push(format!("{name} is not understood"));
        }
        for question in &reading.questions {
            assert!(question.readings.len() >= 2, "{name}: {question:?}");
        }
    }
    assert!(faults.is_empty(), "{} of {count} facts:\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn schedules_as_people_make_them_read_as_they_should() {
    let count: usize = SCHEDULES.iter().map(|writer| expected(writer).len()).sum();
    assert!(count >= 12, "{count} styles");
    reads_as_it_should("foreign");
}

#[test]
fn traps_are_seen() {
    reads_as_it_should("traps");
}

#[test]
fn what_is_exchanged_between_ends_is_found_where_it_stands() {
    let folder = written("traps");
    let path = folder.path().join("falling-in-a-row.xlsx");
    let reading = read_as(plugin(&path), &path);
    let tendon = &reading.schedule.tendons[0];
    let ends = tendon.ends.as_deref().expect("both are stated");
    let end = |end: &Option<Box<restrand_model::schedule::End>>| {
        end.as_deref().expect("it is stated").origin
    };
    for (record, path, column) in [
        (end(&ends.a), "removal_space.behind_mm", 9),
        (end(&ends.b), "removal_space.behind_mm", 4),
        (end(&ends.a), "kind", 10),
        (tendon.origin, "stressing.elongation_b_mm", 6),
        (tendon.origin, "stressing.from", 11),
        (tendon.points[0].origin, "elevation_m", 8),
    ] {
        let steps: Vec<String> = path.split('.').map(str::to_owned).collect();
        let place = reading.provenance.place(record, &steps);
        assert!(
            matches!(place, Some(Place::Cell { row: 1, column: Some(at), .. }) if at == column),
            "{path}: {place:?}"
        );
    }
}

#[test]
fn schedules_of_strangers_read_as_they_should() {
    reads_as_it_should("strangers");
}

#[test]
fn forms_that_few_libraries_write_read_as_they_should() {
    reads_as_it_should("parts");
}

#[test]
fn schedules_of_offices_read_as_they_should() {
    reads_as_it_should("offices");
}

#[test]
fn schedules_in_other_habits_read_as_they_should() {
    reads_as_it_should("habits");
}

#[test]
fn schedules_of_desks_read_as_they_should() {
    reads_as_it_should("desks");
}

#[test]
fn schedules_of_bureaus_read_as_they_should() {
    reads_as_it_should("bureaus");
}

#[test]
fn schedules_of_contractors_read_as_they_should() {
    reads_as_it_should("contractors");
}

#[test]
fn schedules_of_which_a_part_is_known_read_as_they_should() {
    reads_as_it_should("registers");
}

#[test]
fn a_mapping_that_is_begun_is_accepted_and_leads_to_the_same_reading() {
    let mut faults = Vec::new();
    for writer in SCHEDULES {
        let folder = written(writer);
        for name in expected(writer).keys() {
            let path = folder.path().join(name);
            let reading = read_as(plugin(&path), &path);
            let begun = starter(&reading.understood, &reading.questions);
            let mapping: Mapping = match toml::from_str(&begun) {
                Ok(mapping) => mapping,
                Err(error) => panic!("{name}: {error}\n{begun}"),
            };
            faults.extend(mapping.faults().iter().map(|fault| format!("{name}: {}", fault.why)));
            let mapped = read_mapped_as(plugin(&path), &path, &mapping);
            let fields = |reading: &Reading| (&reading.schedule as &dyn Record).to_fields();
            if fields(&reading) != fields(&mapped) {
                faults.push(format!("{name} reads otherwise with what it began"));
            }
            let unmet = mapped.problems.iter().filter(|one| one.why.contains("it speaks of the"));
            faults.extend(unmet.map(|one| format!("{name}: {}", one.why)));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn libreoffice_writes_them_anew_and_they_read_the_same() {
    let mut faults = Vec::new();
    for writer in SCHEDULES {
        let folder = written(writer);
        for (name, expected) in &expected(writer) {
            for format in &expected.office {
                let source = folder.path().join(format!("{format}-{name}"));
                std::fs::copy(folder.path().join(name), &source).expect("it was written");
                let written = if format == "xlsx" {
                    // It is not written in the place of what it is made from.
                    let other = office(&source, "ods");
                    std::fs::remove_file(&source).expect("it is there");
                    office(&other, "xlsx")
                } else {
                    office(&source, format)
                };
                let reading = read_as(&restrand_workbook::Workbook, &written);
                let name = format!("{name} as {format}");
                faults.extend(
                    wrong(&reading, expected).iter().map(|fault| format!("{name}: {fault}")),
                );
                if reading.questions.len() != expected.questions.len() {
                    faults.push(format!("{name} asks {:?}", reading.questions));
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
