//! Models in IFC as a user has them: to a model and back, and what is found in one that another program wrote.

#![expect(clippy::unwrap_used, reason = "helpers of tests are tests")]

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;

fn fixtures() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).ancestors().nth(2).unwrap().join("fixtures")
}

fn run(arguments: &[&str], paths: &[&Path]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_restrand"));
    command.env_clear().stdin(Stdio::null()).args(arguments).args(paths).output().unwrap()
}

fn json(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).unwrap()
}

/// A document without the ids that a model gives its elements.
fn without_ids(value: Value) -> Value {
    match value {
        Value::Object(members) => {
            let members = members.into_iter().filter(|(name, _)| name != "GlobalId");
            let members = members.map(|(name, value)| (name, without_ids(value)));
            // What is empty now held nothing but the id.
            let members = members.filter(|(name, value)| {
                name != "extra" || value.as_object().is_none_or(|extra| !extra.is_empty())
            });
            Value::Object(members.collect())
        }
        Value::Array(items) => Value::Array(items.into_iter().map(without_ids).collect()),
        value => value,
    }
}

#[test]
fn the_demo_goes_to_a_model_and_back_and_is_the_same() {
    let folder = tempfile::tempdir().unwrap();
    for demo in ["quillmere", "quillmere-us", "quillmere-faulty"] {
        let workbook = fixtures().join(format!("demo/{demo}.xlsx"));
        let document = folder.path().join("straight.json");
        run(&["convert"], &[&workbook, &document]);
        let straight: Value = serde_json::from_slice(&std::fs::read(&document).unwrap()).unwrap();
        // A text by which a value was typed is said to be lost.
        let straight = without_given(without_ids(straight));
        for ending in ["ifc", "ifcxml"] {
            let model = folder.path().join(format!("{demo}.{ending}"));
            let back = folder.path().join(format!("{ending}.json"));
            run(&["convert"], &[&workbook, &model]);
            let read = run(&["convert", "--strict"], &[&model, &back]);
            let said = String::from_utf8(read.stderr).unwrap();
            if demo == "quillmere-faulty" {
                // Texts that could not be read as values stand in the model, and are found there again.
                assert_eq!(read.status.code(), Some(1), "{said}");
                assert!(
                    said.contains("tendon.order: three") && said.contains("0,2 bar?"),
                    "{said}"
                );
                run(&["convert"], &[&model, &back]);
                let back = serde_json::from_slice(&std::fs::read(&back).unwrap()).unwrap();
                assert_eq!(without_given(without_ids(back)), straight, "{demo}.{ending}");
                continue;
            }
            assert_eq!((read.status.code(), said.as_str()), (Some(0), ""), "{demo}.{ending}");
            let back = serde_json::from_slice(&std::fs::read(&back).unwrap()).unwrap();
            assert_eq!(without_ids(back), straight, "{demo}.{ending}");
        }
    }
}

fn without_given(value: Value) -> Value {
    match value {
        Value::Object(members) => {
            let members = members.into_iter().filter(|(name, _)| name != "given");
            Value::Object(members.map(|(name, value)| (name, without_given(value))).collect())
        }
        Value::Array(items) => Value::Array(items.into_iter().map(without_given).collect()),
        value => value,
    }
}

#[test]
fn a_model_has_the_findings_of_its_schedule() {
    let folder = tempfile::tempdir().unwrap();
    let rules = |path: &Path| {
        let report = json(&run(&["check", "--as-of", "2026-11-25", "--format", "json"], &[path]));
        let findings = report["inputs"][0]["findings"].as_array().unwrap().clone();
        let mut rules: Vec<String> = findings
            .iter()
            .filter(|finding| {
                // What a cell says that is no value is no part of the schedule.
                let rule = finding["rule"].as_str().unwrap();
                !matches!(rule, "schedule/unreadable-value" | "schedule/unknown-column")
            })
            .map(|finding| format!("{} {}", finding["severity"], finding["rule"]))
            .collect();
        rules.sort();
        rules
    };
    let workbook = fixtures().join("demo/quillmere-faulty.xlsx");
    let expected = rules(&workbook);
    assert!(expected.len() > 25, "{expected:?}");
    for ending in ["ifc", "ifcxml"] {
        let model = folder.path().join(format!("faulty.{ending}"));
        run(&["convert"], &[&workbook, &model]);
        assert_eq!(rules(&model), expected, "{ending}");
    }
}

#[test]
fn models_of_other_programs_are_checked_with_the_mapping_file_beside_them() {
    for (sample, tendons, ends) in
        [("twenty-tendons/model.ifc", 20, 40), ("two-tendons/model.ifcxml", 2, 4)]
    {
        let model = fixtures().join("models").join(sample);
        let folder = tempfile::tempdir().unwrap();
        let document = folder.path().join("read.json");
        run(&["convert"], &[&model, &document]);
        let read: Value = serde_json::from_slice(&std::fs::read(&document).unwrap()).unwrap();
        let read_tendons = read["tendons"].as_array().unwrap();
        assert_eq!(read_tendons.len(), tendons, "{sample}");
        let spaces = read_tendons.iter().flat_map(|tendon| {
            ["a", "b"].map(|end| tendon["ends"][end]["removal_space"]["behind_mm"].as_f64())
        });
        assert_eq!(spaces.filter(|behind| *behind == Some(2500.0)).count(), ends, "{sample}");
        assert_eq!(read_tendons[0]["replacement"]["unbonded"], Value::Bool(true));
        let output = run(&["check", "--as-of", "2026-11-25", "--format", "json"], &[&model]);
        assert_eq!(output.status.code(), Some(1), "{sample}");
        let report = json(&output);
        let findings = report["inputs"][0]["findings"].as_array().unwrap();
        assert!(!findings.is_empty());
        // Each finding of a tendon stands at the line of its own instance or element.
        let text = std::fs::read_to_string(&model).unwrap();
        let of_tendon = findings.iter().find(|finding| {
            finding["route"].as_str().is_some_and(|route| route.starts_with("tendons["))
        });
        let place = &of_tendon.unwrap()["place"];
        let line = usize::try_from(place["line"].as_u64().unwrap()).unwrap();
        let line = text.lines().nth(line - 1).unwrap();
        assert!(line.contains("IFCTENDON(") || line.contains("<IfcTendon "), "{line}");
    }
}

/// The axis of the sample falls 1.3 m over 20 m, is level over 20 m, and rises again: its length, by Pythagoras.
#[test]
fn the_length_of_an_axis_is_that_of_its_lines() {
    let model = fixtures().join("models/twenty-tendons/model.ifc");
    let folder = tempfile::tempdir().unwrap();
    let document = folder.path().join("read.json");
    run(&["convert"], &[&model, &document]);
    let read: Value = serde_json::from_slice(&std::fs::read(&document).unwrap()).unwrap();
    let expected = 2.0 * 20.0_f64.hypot(1.3) + 20.0;
    for tendon in read["tendons"].as_array().unwrap() {
        let points: Vec<[f64; 3]> = tendon["points"]
            .as_array()
            .unwrap()
            .iter()
            .map(|point| {
                ["station_m", "lateral_m", "elevation_m"].map(|name| point[name].as_f64().unwrap())
            })
            .collect();
        let length: f64 = points
            .windows(2)
            .map(|pair| {
                let squares = pair[0].iter().zip(pair[1]).map(|(one, other)| (one - other).powi(2));
                squares.sum::<f64>().sqrt()
            })
            .sum();
        assert!((length - expected).abs() < 1e-9, "{length}");
        // The quantity that the program that wrote the file gives.
        assert!((tendon["length_m"].as_f64().unwrap() - expected).abs() < 1e-9);
    }
}

/// A model of another program, in metres and newtons: what its properties state is told by their names, and is changed
/// where it stands, in the unit of its name.
#[test]
fn what_names_of_properties_tell_is_read_and_corrected_in_their_units() {
    let property = |number: u32, name: &str, value: &str| {
        format!("#{number}=IFCPROPERTYSINGLEVALUE('{name}',$,{value},$);\n")
    };
    let properties = [
        property(20, "Duct OD [mm]", "IFCREAL(110.)"),
        property(21, "Duct ID [mm]", "IFCREAL(98.6)"),
        property(22, "Duct wall [mm]", "IFCREAL(7.2)"),
        property(23, "Duct SDR", "IFCREAL(19.3)"),
        property(24, "Jacking force", "IFCLABEL('3.8 MN')"),
        property(25, "Strands", "IFCLABEL(' 19')"),
        property(27, "Anchor set", "IFCTEXT('3/8 in')"),
        property(26, "Ref. drawing", "IFCLABEL('\\X2\\00D6\\X0\\-7')"),
    ]
    .concat();
    let text = format!(
        "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\nFILE_NAME('m.ifc','2030-01-01T00:00:00',(''),(''),'','','');\n\
         FILE_SCHEMA(('IFC4'));\nENDSEC;\nDATA;\n#1=IFCSIUNIT(*,.LENGTHUNIT.,$,.METRE.);\n\
         #2=IFCSIUNIT(*,.FORCEUNIT.,$,.NEWTON.);\n#3=IFCUNITASSIGNMENT((#1,#2));\n\
         #4=IFCPROJECT('0000000000000000000001',$,'P',$,$,$,$,(),#3);\n\
         #5=IFCTENDON('0000000000000000000002',$,'T1',$,$,$,$,$,$,$,$,$,$,$,$,$,$);\n\
         #6=IFCPROPERTYSET('0000000000000000000003',$,'Cable data',$,(#20,#21,#22,#23,#24,#25,#26,#27));\n\
         #7=IFCRELDEFINESBYPROPERTIES('0000000000000000000004',$,$,$,(#5),#6);\n{properties}ENDSEC;\nEND-ISO-10303-21;\n"
    );
    let folder = tempfile::tempdir().unwrap();
    let [model, document, out] =
        ["m.ifc", "m.json", "out.ifc"].map(|name| folder.path().join(name));
    std::fs::write(&model, &text).unwrap();
    run(&["convert"], &[&model, &document]);
    let read: Value = serde_json::from_str(&std::fs::read_to_string(&document).unwrap()).unwrap();
    assert_eq!(read["tendons"][0]["strand_count"], 19, "{read:#}");
    assert_eq!(read["tendons"][0]["stressing"]["jacking_force_kn"], 3800);
    assert_eq!(read["tendons"][0]["stressing"]["set_mm"], 9.525);
    assert_eq!(read["ducts"][0]["wall_mm"], 7.2);
    run(&["correct", "-o"], &[&out, &model]);
    let expected = text.replace("IFCREAL(7.2)", "IFCREAL(5.7)");
    assert_eq!(std::fs::read_to_string(&out).unwrap(), expected);
    // A mapping file begun from it leads to the same reading.
    let mapping = folder.path().join("begun.toml");
    run(&["mapping", "new", "-o"], &[&mapping, &model]);
    let again = folder.path().join("again.json");
    let output = run(&["convert", "--mapping"], &[&mapping, &model, &again]);
    assert_eq!(
        std::fs::read_to_string(&again).unwrap(),
        std::fs::read_to_string(&document).unwrap(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
}
