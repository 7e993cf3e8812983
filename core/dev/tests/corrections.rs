//! Corrections held to their promises: none adds an error, and a second run changes nothing; over the demo bridge,
//! the cases of the rules, and many demo bridges with slips in them.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use restrand_check::{Corrected, Report, Unmade, Wishes, correct, rulebook};
use restrand_dev::generate;
use restrand_finding::{Class, Severity};
use restrand_intake::{Reading, read};
use restrand_json::Json;
use restrand_kit::{Budget, Bytes, Content, Output, Parts, Plugin, WriteOptions};
use restrand_model::Record;
use restrand_model::reflect::Date;
use restrand_model::schedule::Schedule;
use restrand_rules::{CATALOGUE, Rulebook};
use restrand_workbook::Workbook;
use serde_json::Value;

fn book() -> Rulebook {
    rulebook::built_in_force("lrfd-2020").unwrap()
}

fn today() -> Date {
    "2031-05-07".parse().unwrap()
}

fn reading(name: &str, bytes: Vec<u8>) -> Option<Reading> {
    let part = Bytes::new(name, bytes);
    let plugin: &dyn Plugin = if name.ends_with(".xlsx") { &Workbook } else { &Json };
    read(plugin, Parts(&[&part]), Budget::default()).ok()
}

fn demo(name: &str) -> Vec<u8> {
    fs::read(generate::top().join("fixtures/demo").join(name)).unwrap()
}

fn every_proposal() -> BTreeSet<&'static str> {
    CATALOGUE.iter().map(|rule| rule.id).collect()
}

fn corrected(reading: &Reading, accepted: &BTreeSet<&'static str>) -> Corrected {
    correct(reading, &book(), today(), Wishes { accepted, calculated: &BTreeSet::new() })
}

/// What a schedule states, without where it was read.
fn stated(schedule: &Schedule) -> String {
    serde_json::to_string(&(schedule as &dyn Record).to_fields()).unwrap()
}

/// The errors by rule, those that follow from others counted.
fn errors(report: &Report) -> BTreeMap<&'static str, usize> {
    let all = report.findings.iter().chain(&report.implied).map(|found| &found.finding);
    let mut errors = BTreeMap::new();
    for finding in all.filter(|one| one.severity == Severity::Error) {
        *errors.entry(finding.rule).or_default() += 1;
    }
    errors
}

#[derive(Default)]
struct Written(Vec<u8>);

impl Output for Written {
    fn part(&mut self, _: &str) -> std::io::Result<&mut dyn std::io::Write> {
        Ok(&mut self.0)
    }
}

fn written(plugin: &dyn Plugin, reading: &Reading) -> Vec<u8> {
    let mut output = Written::default();
    let content = Content::new(&reading.schedule, &reading.provenance);
    plugin.write(&content, WriteOptions::default(), &mut output).unwrap();
    output.0
}

/// Holds one input to the promises, and gives how many corrections were made.
fn hold(name: &str, reading: &Reading, accepted: &BTreeSet<&'static str>) -> usize {
    let once = corrected(reading, accepted);
    assert!(once.left.is_empty(), "{name}: {:?}", once.left);
    let before = errors(&once.before);
    for (rule, count) in errors(&once.after) {
        let was = before.get(rule).copied().unwrap_or_default();
        assert!(count <= was, "{name}: {rule} has {count} errors after {was}");
    }
    for made in &once.made {
        let class = made.correction.class;
        assert!(class != Class::Propose || accepted.contains(made.correction.rule), "{name}");
    }
    let twice = corrected(&once.reading, accepted);
    assert!(twice.made.is_empty(), "{name}: {:?}", twice.made);
    assert!(stated(&twice.reading.schedule) == stated(&once.reading.schedule), "{name}");
    // Written and read again it is the same, where nothing was lost that only the reading knows of.
    if !once.reading.counts.any_lost() {
        let again = self::reading("s.json", written(&Json, &once.reading)).unwrap();
        let twice = corrected(&again, accepted);
        assert!(twice.made.is_empty(), "{name}, read again: {:?}", twice.made);
    }
    once.made.len()
}

#[test]
fn the_faulty_bridge_comes_out_with_fewer_findings_and_no_new_one() {
    for name in ["quillmere-faulty.xlsx", "quillmere-faulty.json"] {
        let reading = reading(name, demo(name)).unwrap();
        let corrected = corrected(&reading, &BTreeSet::new());
        let prints = |report: &Report| -> BTreeSet<String> {
            report.findings.iter().map(|found| found.fingerprint.clone()).collect()
        };
        let (before, after) = (prints(&corrected.before), prints(&corrected.after));
        assert!(after.is_subset(&before), "{name}: {:?}", after.difference(&before));
        assert!(after.len() < before.len(), "{name}");
        let made: Vec<_> =
            corrected.made.iter().map(|made| made.changes[0].name.as_str()).collect();
        assert_eq!(
            made,
            [
                "ducts[PE125].wall_mm",
                "tendons[T11R].deviators[D11].angle_rad",
                "tendons[T31R].length_m",
            ],
            "{name}"
        );
        assert_eq!(corrected.reading.schedule.ducts[0].wall_mm, Some(7.4));
        assert!(corrected.made.iter().all(|made| !made.correction.reason.is_empty()));
        assert!(!corrected.proposed.is_empty(), "{name}");
    }
}

#[test]
fn the_demo_bridges_keep_the_promises() {
    for name in [
        "quillmere.xlsx",
        "quillmere.json",
        "quillmere-us.xlsx",
        "quillmere-us.json",
        "quillmere-faulty.xlsx",
        "quillmere-faulty.json",
    ] {
        let reading = reading(name, demo(name)).unwrap();
        let made = hold(name, &reading, &BTreeSet::new());
        let all = hold(name, &reading, &every_proposal());
        assert_eq!(made > 0, name.contains("faulty"), "{name}: {made}");
        assert!(all >= made, "{name}");
    }
}

fn inputs(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            inputs(&path, found);
        } else if path.file_name().is_some_and(|name| name == "input.json") {
            found.push(path);
        }
    }
}

#[test]
fn the_cases_of_the_rules_keep_the_promises() {
    let mut found = Vec::new();
    inputs(&generate::top().join("fixtures/cases"), &mut found);
    assert!(found.len() > 50);
    found.sort();
    let (mut made, mut all) = (0, 0);
    for path in found {
        let name = path.display().to_string();
        // A case may be a file that cannot be read as a whole, of which there is nothing to correct.
        if let Some(reading) = reading(&name, fs::read(&path).unwrap()) {
            made += hold(&name, &reading, &BTreeSet::new());
            all += hold(&name, &reading, &every_proposal());
        }
    }
    assert!(made > 0 && all > made, "{made} and {all}");
}

/// Numbers that follow from a seed: the same on every machine.
struct Dice(u64);

impl Dice {
    fn below(&mut self, most: usize) -> usize {
        // Constants of Knuth's linear congruential generator.
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap() % most
    }
}

/// The ways to the plain values of a document.
fn leaves(value: &Value, way: &str, found: &mut Vec<String>) {
    match value {
        Value::Object(members) => {
            for (name, value) in members {
                leaves(value, &format!("{way}/{name}"), found);
            }
        }
        Value::Array(items) => {
            for (index, value) in items.iter().enumerate() {
                leaves(value, &format!("{way}/{index}"), found);
            }
        }
        _ => found.push(way.to_owned()),
    }
}

/// A slip that people make.
fn slip(value: &Value, dice: &mut Dice) -> Value {
    let kind = dice.below(6);
    match value {
        Value::Number(number) => {
            let plain = number.as_f64().unwrap();
            match kind {
                0 => Value::from(number.to_string()),
                1 => Value::from(format!(" {number} mm ")),
                2 => Value::from(plain * 10.0),
                3 => Value::from(plain / 25.4),
                4 => Value::from(-plain),
                _ => Value::from(format!("about {number}")),
            }
        }
        Value::String(text) => Value::from(match kind {
            0 => format!(" {text} "),
            1 => text.to_uppercase(),
            2 => text.to_lowercase(),
            3 => text.replace('_', "-"),
            4 => text.chars().skip(1).collect(),
            _ => format!("{text}x"),
        }),
        Value::Bool(flag) if kind < 4 => Value::from(if *flag { "Yes" } else { "No" }),
        Value::Bool(flag) => Value::from(!flag),
        other => other.clone(),
    }
}

#[test]
fn bridges_with_slips_keep_the_promises() {
    let bridges: Vec<Value> = ["quillmere.json", "quillmere-faulty.json"]
        .iter()
        .map(|name| serde_json::from_slice(&demo(name)).unwrap())
        .collect();
    let ways: Vec<Vec<String>> = bridges
        .iter()
        .map(|bridge| {
            let mut ways = Vec::new();
            leaves(bridge, "", &mut ways);
            ways
        })
        .collect();
    let mut dice = Dice(20_310_507);
    let mut made = 0;
    for trial in 0..40 {
        let which = dice.below(bridges.len());
        let mut bridge = bridges[which].clone();
        let mut slips = Vec::new();
        for _ in 0..1 + dice.below(12) {
            let way = &ways[which][dice.below(ways[which].len())];
            let value = bridge.pointer_mut(way).unwrap();
            *value = slip(value, &mut dice);
            slips.push(format!("{way} = {value}"));
        }
        let name = format!("trial {trial}: {slips:?}");
        let bytes = serde_json::to_vec(&bridge).unwrap();
        let Some(reading) = reading("s.json", bytes) else {
            continue;
        };
        made += hold(&name, &reading, &BTreeSet::new());
        made += hold(&name, &reading, &every_proposal());
    }
    assert!(made > 60, "{made}");
}

fn document(text: &str) -> Reading {
    reading("s.json", text.as_bytes().to_vec()).unwrap()
}

#[test]
fn a_correction_that_makes_an_error_is_withdrawn_and_the_others_stay() {
    let reading = document(
        r#"{"restrand": 1,
            "anchorages": [{"id": "K", "wedge_plate_holes": 19}],
            "tendons": [{"mark": "T1", "strand_count": "30", "order": "7",
                         "ends": {"a": {"anchorage": "K"}}}]}"#,
    );
    assert_eq!(reading.counts.values_lost, 2);
    let corrected = corrected(&reading, &BTreeSet::new());
    let names = |list: &[restrand_check::Offered]| -> Vec<String> {
        list.iter().map(|one| one.changes[0].name.clone()).collect()
    };
    assert_eq!(names(&corrected.made), ["tendons[T1].order"]);
    assert_eq!(corrected.made[0].changes[0].given.as_deref(), Some("7"));
    let [withdrawn] = &corrected.withdrawn[..] else { panic!("{:?}", corrected.withdrawn) };
    assert_eq!(withdrawn.offered.changes[0].name, "tendons[T1].strand_count");
    let Unmade::NewErrors(errors) = &withdrawn.why else { panic!("{:?}", withdrawn.why) };
    assert!(errors.iter().any(|(rule, _)| *rule == "strand/exceeds-capacity"), "{errors:?}");
    let tendon = &corrected.reading.schedule.tendons[0];
    assert_eq!((tendon.order, tendon.strand_count), (Some(7), None));
    assert_eq!(corrected.reading.counts.values_lost, 1);
}

/// A bore that stands alone, whose correction leaves too little for T1; what is proposed for T2 follows from it.
const BORE: &str = r#"{"restrand": 1,
    "strands": [{"id": "S", "area_mm2": 140}],
    "ducts": [{"id": "D", "material": "polyethylene", "outer_mm": 125, "wall_mm": 7.4,
               "dimension_ratio": 17, "inner_mm": 115, "inner_convention": "minimum_wall"}],
    "tendons": [
      {"mark": "T1", "strand": "S", "duct": "D", "strand_count": 28, "installation": "pull"},
      {"mark": "T2", "strand": "S", "duct": "D", "strand_count": 35, "installation": "pull"}]}"#;

#[test]
fn what_follows_from_a_withdrawn_correction_is_withdrawn_with_it() {
    let reading = document(BORE);
    let corrected = corrected(&reading, &every_proposal());
    let why = |route: &str| {
        let named = |one: &&restrand_check::Withdrawn| one.offered.changes[0].name == route;
        corrected.withdrawn.iter().find(named).map(|one| one.why.clone())
    };
    assert!(matches!(why("ducts[D].inner_mm"), Some(Unmade::NewErrors(_))), "{corrected:?}");
    assert_eq!(
        why("tendons[T2].installation"),
        Some(Unmade::RestsOnWithdrawn("ducts[D].inner_mm".to_owned()))
    );
    assert_eq!(stated(&corrected.reading.schedule), stated(&reading.schedule));
}

#[test]
fn a_bore_that_is_asked_for_follows_from_outer_diameter_and_wall() {
    let bore = |duct: &str| {
        let text = format!(
            r#"{{"restrand": 1, "ducts": [{duct}], "tendons": [{{"mark": "T1", "duct": "D"}}]}}"#
        );
        corrected(&document(&text), &BTreeSet::new()).reading.schedule.ducts[0].inner_mm
    };
    let steel = r#"{"id": "D", "material": "steel", "outer_mm": 114.3, "wall_mm": 6.02}"#;
    assert_eq!(bore(steel), Some(102.26));
    let average = r#"{"id": "D", "material": "polyethylene", "outer_mm": 90, "dimension_ratio": 33,
                      "inner_convention": "average_wall"}"#;
    assert_eq!(bore(average), Some(84.22));
    // Two conventions are in use for polymer, and which holds is not guessed.
    let polymer = r#"{"id": "D", "material": "polyethylene", "outer_mm": 125, "wall_mm": 7.4}"#;
    assert_eq!(bore(polymer), None);
    let lost = r#"{"id": "D", "material": "steel", "outer_mm": 114.3, "wall_mm": 6.02,
                   "inner_mm": "as drawing"}"#;
    assert_eq!(bore(lost), None);
}

#[test]
fn a_name_that_differs_in_case_alone_is_restated_and_a_near_one_is_proposed() {
    let reading = document(
        r#"{"restrand": 1, "strands": [{"id": "Y1860"}, {"id": "Y1770"}],
            "ducts": [{"id": "d"}, {"id": "D "}],
            "tendons": [{"mark": "T1", "strand": "y 1860"}, {"mark": "T2", "strand": "Y1860x"},
                        {"mark": "T3", "duct": "D"}]}"#,
    );
    let corrected = corrected(&reading, &BTreeSet::new());
    let strand = |index: usize| {
        let tendon = &corrected.reading.schedule.tendons[index];
        tendon.strand.as_ref().map(|link| link.key().to_owned())
    };
    assert_eq!(strand(0).as_deref(), Some("Y1860"));
    assert_eq!(strand(1).as_deref(), Some("Y1860x"));
    let [proposed] = &corrected.proposed[..] else { panic!("{:?}", corrected.proposed) };
    assert_eq!(proposed.changes[0].name, "tendons[T2].strand");
    assert_eq!(proposed.correction.class, Class::Propose);
    // Two ducts differ from the name in case and spaces: which is meant cannot be told.
    let duct = corrected.reading.schedule.tendons[2].duct.as_ref();
    assert_eq!(duct.map(|link| link.key()), Some("D"));
}

#[test]
fn cells_with_formulas_are_left_unless_asked() {
    let reading = reading("quillmere-faulty.xlsx", demo("quillmere-faulty.xlsx")).unwrap();
    let made = corrected(&reading, &BTreeSet::new()).made;
    let calculated: BTreeSet<_> = made[0].changes[0].place.clone().into_iter().collect();
    let wishes = Wishes { accepted: &BTreeSet::new(), calculated: &calculated };
    let corrected = correct(&reading, &book(), today(), wishes);
    assert_eq!(corrected.made.len(), made.len() - 1);
    assert_eq!(corrected.held.len(), 1);
    assert_eq!(corrected.reading.schedule.ducts[0].wall_mm, Some(9.2));
}

#[test]
fn what_could_not_be_read_is_kept_as_it_was_given() {
    let reading = document(
        r#"{"restrand": 1,
            "ducts": [{"id": "D", "outer_mm": 125, "wall_mm": 9.2, "wall_mm": 8, "dimension_ratio": 17,
                       "inner_mm": 110.2, "inner_convention": "minimum_wall"}],
            "tendons": [{"mark": "T1", "duct": "D", "order": "three",
                         "ends": {"a": {"tail_mm": "as before"}}}, 7]}"#,
    );
    let once = corrected(&reading, &BTreeSet::new());
    let schedule = &once.reading.schedule;
    assert_eq!(schedule.ducts[0].wall_mm, Some(7.4));
    let kept = |record: &dyn Record, path: &[&str]| {
        let path: Vec<_> = path.iter().map(|step| (*step).to_owned()).collect();
        once.reading.provenance.given(record.origin(), &path).map(|(text, _)| text.to_owned())
    };
    let tendon = &schedule.tendons[0];
    assert_eq!(kept(tendon, &["order"]).as_deref(), Some("three"));
    assert_eq!(kept(tendon, &["ends", "a", "tail_mm"]).as_deref(), Some("as before"));
    assert!(tendon.extra.is_empty());
    assert_eq!(once.reading.counts.values_lost, 3);
    // A value that is stated has no room for another; and what is no record has no place.
    let lost: Vec<_> = once.lost.iter().map(|problem| problem.given.as_deref()).collect();
    assert_eq!(lost, [Some("8"), Some("7")]);
    let twice = corrected(&once.reading, &BTreeSet::new());
    assert!(stated(&twice.reading.schedule) == stated(schedule));
}
