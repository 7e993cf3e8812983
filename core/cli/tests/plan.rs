//! The command `plan` as a user runs it.

#![expect(clippy::unwrap_used, reason = "helpers of tests are tests")]

use std::process::{Command, Output, Stdio};

const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../fixtures/demo/");

fn plan(file: &str, more: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_restrand"))
        .env_clear()
        .stdin(Stdio::null())
        .args(["plan", "--as-of", "2026-11-25"])
        .arg(format!("{DEMO}{file}"))
        .args(more)
        .output()
        .unwrap()
}

fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

#[test]
fn drawings_are_written_as_files() {
    let folder = tempfile::tempdir().unwrap();
    let drawings = folder.path().join("drawings");
    let more = ["--tendon", "T11L", "--drawings", drawings.to_str().unwrap()];
    let output = plan("quillmere.json", &more);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    assert!(stdout(&output).starts_with("Replacement plan of tendon T11L"));
    let mut names: Vec<String> = std::fs::read_dir(&drawings)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    for name in ["t1-T11L-tendon.svg", "t1-T11L-room-end-b-P2.svg", "t1-T11L-deviator-D11.svg"] {
        assert!(names.iter().any(|known| known == name), "{name} is not among {names:?}");
    }
    for name in names {
        let text = std::fs::read_to_string(drawings.join(&name)).unwrap();
        assert!(text.starts_with("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg "), "{name}");
        let version = format!("restrand {}", env!("CARGO_PKG_VERSION"));
        for told in ["Document QV-PT-101", "revision A", "input ", "rulebook lrfd-2020", &version] {
            assert!(text.contains(told), "{name} does not say {told}");
        }
    }
}

#[test]
fn one_tendon_a_pair_or_all_are_planned() {
    let titles = |more: &[&str]| {
        let output = plan("quillmere.json", more);
        assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
        stdout(&output).matches("Replacement plan of tendon ").count()
    };
    assert_eq!(titles(&["--tendon", "T11L"]), 1);
    assert_eq!(titles(&["--tendon", "T11L", "--pair"]), 2);
    assert_eq!(titles(&["--tendon", "T11L", "--tendon", "T31R"]), 2);
    assert_eq!(titles(&[]), 18);
}

#[test]
fn a_plan_says_what_it_is_and_shows_the_customary_cautions() {
    let shown = stdout(&plan("quillmere.xlsx", &["--tendon", "T11L"]));
    let flat = shown.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(flat.matches("Draft for the engineer in charge.").count(), 2);
    for words in [
        "licensed engineers answer for them",
        "Local codes",
        "confined spaces",
        "over traffic",
        "nobody stands behind either anchorage",
        "Grout dust",
        "No flame",
        "Hoses under pressure",
        "No strand is nicked",
    ] {
        assert!(flat.contains(words), "{words}");
    }
    let lower = flat.to_lowercase();
    for word in ["safe", "approved", "proved"] {
        assert!(!lower.contains(word), "{word}");
    }
}

#[test]
fn what_hurts_stands_before_the_steps_and_what_the_plan_comes_to_before_that() {
    let shown = stdout(&plan("quillmere.xlsx", &["--tendon", "T11L"]));
    let flat = shown.split_whitespace().collect::<Vec<_>>().join(" ");
    let at = |words: &str| flat.find(words).unwrap_or_else(|| panic!("{words}: {flat}"));
    let order = [
        "The tendon: external",
        "First the force comes off (step 4)",
        "The longest piece of the free lengths (step 6) is 1.937 m",
        "40.73 MPa [5908 psi] on the gauge by the calibration of 2026-09-15, 217.2 mm [8.55 in] above the baseline, which is 720 kN [162 kip] or 8.18 MPa",
        "What can hurt people, and in which steps",
        "Stored energy: Up to 462 kJ",
        "Ejection:",
        "1. Measures on the bridge",
        "Tools:",
        "16. Record",
    ]
    .map(at);
    assert!(order.windows(2).all(|pair| pair[0] < pair[1]), "{order:?}");
}

#[test]
fn a_plan_that_is_stopped_opens_with_what_binds_and_what_frees_it() {
    let output = plan("quillmere-faulty.xlsx", &["--tendon", "T22L"]);
    let shown = String::from_utf8(output.stdout).unwrap();
    let flat = shown.split_whitespace().collect::<Vec<_>>().join(" ");
    let at = |words: &str| flat.find(words).unwrap_or_else(|| panic!("{words}: {flat}"));
    let order = [
        "Stop: Nothing is begun on the bridge",
        "Binds: Measures on the bridge",
        "Remedy: 66.8 mm [2.63 in] more height at O-P2",
        "The tendon: external",
        "1. Measures on the bridge",
    ]
    .map(at);
    assert!(order.windows(2).all(|pair| pair[0] < pair[1]), "{order:?}");
    let output = plan("quillmere-faulty.xlsx", &["--tendon", "T22L", "--format", "json"]);
    let document: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let stop = &document["inputs"][0]["plans"][0]["stop"]["text"];
    assert!(stop.as_str().unwrap().starts_with("Nothing is begun"), "{stop}");
}

#[test]
fn plans_for_programs_are_what_their_schema_says() {
    let schema: serde_json::Value =
        serde_json::from_str(include_str!("../../../schemas/plan-1.schema.json")).unwrap();
    let schema = jsonschema::validator_for(&schema).unwrap();
    for (file, code) in
        [("quillmere.json", 0), ("quillmere-us.xlsx", 0), ("quillmere-faulty.json", 1)]
    {
        let output = plan(file, &["--format", "json"]);
        assert_eq!(output.status.code(), Some(code), "{file}");
        let document: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        let errors: Vec<_> = schema.iter_errors(&document).map(|error| error.to_string()).collect();
        assert!(errors.is_empty(), "{errors:?}");
        let plans = document["inputs"][0]["plans"].as_array().unwrap();
        assert_eq!(plans.len(), 18);
        for plan in plans {
            assert!(plan["warnings"].is_array() && plan["in_hand"].is_array());
            // One that something stands against stops in its first step.
            let stands = [&plan["blocked"], &plan["errors"]];
            let stands = stands.iter().any(|list| !list.as_array().unwrap().is_empty());
            if let Some(first) = plan["steps"].get(0) {
                assert_eq!(stands, plan["stop"].is_object());
                assert_eq!(
                    stands,
                    !first["stops"].as_array().unwrap().is_empty(),
                    "{}",
                    plan["tendon"]
                );
            }
        }
    }
    let printed = Command::new(env!("CARGO_BIN_EXE_restrand")).args(["schema", "plan"]).output();
    assert_eq!(printed.unwrap().stdout, include_bytes!("../../../schemas/plan-1.schema.json"));
}

#[test]
fn what_binds_is_said_first_with_what_frees_it() {
    let output = plan("quillmere-faulty.xlsx", &["--tendon", "T12R"]);
    assert_eq!(output.status.code(), Some(1));
    let shown = stdout(&output).split_whitespace().collect::<Vec<_>>().join(" ");
    let at = |words: &str| shown.find(words).unwrap_or_else(|| panic!("{words}"));
    let binds = at("Binds: Caps off, anchor stubs out: the stub at end a (A1) cannot come out");
    let remedy =
        at("Remedy: make 665 mm [26.18 in] more room behind the bearing plate at end a (A1)");
    assert!(binds < remedy && remedy < at("1. Measures on the bridge"));
}

/// The plan of T11L of the demo with something changed in it: exit code and text on one line.
fn changed(change: impl Fn(&mut serde_json::Value)) -> (Option<i32>, String) {
    let text = std::fs::read_to_string(format!("{DEMO}quillmere.json")).unwrap();
    let mut document: serde_json::Value = serde_json::from_str(&text).unwrap();
    change(&mut document);
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("changed.json");
    std::fs::write(&file, document.to_string()).unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_restrand"))
        .env_clear()
        .stdin(Stdio::null())
        .args(["plan", "--as-of", "2026-11-25", "--tendon", "T11L"])
        .arg(&file)
        .output()
        .unwrap();
    let flat = stdout(&output).split_whitespace().collect::<Vec<_>>().join(" ");
    (output.status.code(), flat)
}

fn named<'v>(list: &'v mut serde_json::Value, key: &str, name: &str) -> &'v mut serde_json::Value {
    list.as_array_mut().unwrap().iter_mut().find(|one| one[key] == name).unwrap()
}

#[test]
fn an_error_in_a_shared_record_stands_first_and_ends_with_1() {
    // The inner cone of K-20 is bonded out of reach, and its wedge plate has a hole too few.
    for mark in ["T22L", "T22R", "T21R"] {
        let output = plan("quillmere-faulty.xlsx", &["--tendon", mark]);
        assert_eq!(output.status.code(), Some(1), "{mark}");
        let flat = stdout(&output).split_whitespace().collect::<Vec<_>>().join(" ");
        let at =
            |words: &str| flat.find(words).unwrap_or_else(|| panic!("{mark}: {words}: {flat}"));
        let order = [
            at("What stands against this plan"),
            at("Error: strand/exceeds-capacity"),
            at("Error: parts/bonded-inaccessibly"),
            at("1. Measures on the bridge Stop: Nothing is begun"),
        ];
        assert!(order[0] < order[1] && order[1] < order[3] && order[2] < order[3], "{order:?}");
        assert!(!flat.contains("Nothing that was evaluated stands against this plan"));
    }
    // An opening that names a bay that is not there.
    let output = plan("quillmere-faulty.xlsx", &["--tendon", "T31R"]);
    assert!(stdout(&output).contains("B3D"));
}

#[test]
fn what_kills_ends_with_1() {
    let (code, text) = changed(|_| {});
    assert_eq!(code, Some(0), "{text}");
    assert!(text.contains("Nothing that was evaluated stands against this plan; what was not"));
    type Change = fn(&mut serde_json::Value);
    let changes: [(&str, Change); 5] = [
        ("a force beyond the jack", |document| {
            let own = named(&mut document["tendons"], "mark", "T11L");
            own["replacement"]["target_force_kn"] = 4300.into();
        }),
        ("a jack that is too weak", |document| {
            document["jacks"][0]["rated_force_kn"] = 3700.into();
        }),
        ("a cut before the release", |document| {
            let own = named(&mut document["tendons"], "mark", "T11L");
            own["cuts"][0]["order"] = 4.into();
            own["cuts"][3]["order"] = 1.into();
        }),
        ("a release at an anchorage in hard grout", |document| {
            let own = named(&mut document["tendons"], "mark", "T11L");
            own["replacement"]["release"] = "strand_by_strand_at_anchorage".into();
            own["ends"]["b"]["released_here"] = true.into();
        }),
        ("no bays", |document| {
            document["bays"] = serde_json::json!([]);
            document["openings"] = serde_json::json!([]);
        }),
    ];
    for (name, change) in changes {
        let (code, text) = changed(change);
        assert_eq!(code, Some(1), "{name}: {text}");
        assert!(text.contains("What stands against this plan"), "{name}");
    }
}

#[test]
fn a_tendon_that_is_not_there_is_told_with_the_nearest() {
    let output = plan("quillmere.json", &["--tendon", "T11M"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(
        stderr(&output).contains("no tendon \"T11M\"; did you mean T11"),
        "{}",
        stderr(&output)
    );
    let missing = plan("nowhere.json", &[]);
    assert_eq!(missing.status.code(), Some(2));
    assert!(stdout(&missing).contains("there is no such file"));
}

#[test]
fn units_are_those_of_the_schedule_or_asked_for() {
    let us = stdout(&plan("quillmere.json", &["--tendon", "T11L", "--units", "us"]));
    assert!(us.contains("elongation [in]") && us.contains("gauge [psi]"), "{us}");
    let own = stdout(&plan("quillmere-us.json", &["--tendon", "T11L"]));
    assert!(own.contains("elongation [in]"));
}
