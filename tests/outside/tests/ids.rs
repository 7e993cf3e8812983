//! Requirements as IDS: what ifctester says of models, and what we say of the same schedules.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use restrand_check::{LocatedFinding, rulebook};
use restrand_ifcspf::IfcSpf;
use restrand_json::Json;
use restrand_model::quantity::{System, of_field};
use restrand_model::reflect::{Choice, Date};
use restrand_model::schedule::Stage;
use restrand_report::ids::Ids;
use restrand_test_outside::{read, read_as, root, run, write_as};
use serde_json::{Value, json};

/// What is taken out of a tendon, the property that a model then lacks, and the element that lacks it.
const CASES: &[(&str, &str, &str, &str)] = &[
    ("strand", "/strand", "strand", ""),
    ("count", "/strand_count", "strand_count", ""),
    ("filler", "/filler", "filler", ""),
    ("spans", "/spans", "spans", ""),
    ("installation", "/installation", "installation", ""),
    ("release", "/replacement/release", "release", ""),
    ("unbonded", "/replacement/unbonded", "unbonded", ""),
    ("place", "/ends/a/place", "place", ".a"),
    ("anchorage", "/ends/b/anchorage", "anchorage", ".b"),
    ("tail", "/ends/a/tail_mm", "tail", ".a"),
    ("jack", "/ends/b/jack", "jack", ".b"),
    ("behind", "/ends/a/removal_space/behind_mm", "behind", ".a"),
    ("up", "/ends/b/removal_space/up_mm", "up", ".b"),
];

fn whole(mark: &str) -> Value {
    let end = |place: &str, face: &str| {
        json!({
            "place": place, "face": face, "kind": "stressing", "anchorage": "K19", "jack": "J19",
            "tail_mm": 40, "set_mm": 6,
            "removal_space": {
                "behind_mm": 1900, "up_mm": 600, "down_mm": 500, "left_mm": 500, "right_mm": 500
            }
        })
    };
    json!({
        "mark": mark, "spans": ["S1"], "replaceable": true, "status": "in_use", "strand": "Y15",
        "strand_count": 19, "duct": "PE125", "filler": "wax", "installation": "push",
        "replacement": {"release": "strand_by_strand_in_free_length", "unbonded": true},
        "ends": {"a": end("A1", "down"), "b": end("P2", "up")},
        "points": [
            {"station_m": 100, "lateral_m": 1, "elevation_m": 4},
            {"station_m": 140, "lateral_m": 1, "elevation_m": 4}
        ]
    })
}

/// Takes the member at this pointer out.
fn without(tendon: &mut Value, pointer: &str) {
    let (owner, name) = pointer.rsplit_once('/').expect("a pointer has a slash");
    let owner = tendon.pointer_mut(owner).and_then(Value::as_object_mut).expect("an object");
    assert!(owner.remove(name).is_some(), "{pointer} is there");
}

fn schedule(tendons: &[Value]) -> Value {
    json!({
        "restrand": 1,
        "project": {"bridge": "Testing Beck", "stage": "shop_drawing", "alignment_straight": true},
        "tendons": tendons
    })
}

/// What ifctester says of a model with this schedule, in this unit of length: requirement and failing elements.
fn verdict(schedule: &Value, unit: &str, folder: &Path) -> Vec<Value> {
    let path = |name: &str| folder.join(name);
    let book = rulebook::built_in_force("base").expect("the base is built in");
    let mut requirements = Vec::new();
    Ids::of(&book, Stage::ShopDrawing).write(&mut requirements).expect("a list takes all bytes");
    std::fs::write(path("base.ids"), requirements).expect("the file can be written");
    std::fs::write(path("schedule.json"), schedule.to_string()).expect("the file can be written");
    run("small_model.py", &[&path("model.ifc"), &path("schedule.json"), Path::new(unit)]);
    run("ids_verdict.py", &[&path("base.ids"), &path("model.ifc"), &path("verdict.json")]);
    let text = std::fs::read_to_string(path("verdict.json")).expect("the script wrote it");
    serde_json::from_str(&text).expect("it is a list")
}

/// The elements that fail, by the property that they lack or that is not as asked for.
fn failed(verdict: &[Value]) -> BTreeMap<String, BTreeSet<String>> {
    let mut failed: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for one in verdict {
        for element in one["failed"].as_array().expect("a list") {
            let property = one["property"].as_str().unwrap_or("Name").to_owned();
            let element = element.as_str().expect("a name").to_owned();
            failed.entry(property).or_default().insert(element);
        }
    }
    failed
}

/// Our findings of these rules about tendons and their ends.
fn found(schedule: &Value, folder: &Path, rules: &[&str]) -> Vec<LocatedFinding> {
    let path = folder.join("checked.json");
    std::fs::write(&path, schedule.to_string()).expect("the file can be written");
    let reading = read_as(&Json, &path);
    let book = rulebook::built_in_force("base").expect("the base is built in");
    let report = restrand_check::check(&reading, &book, Date::new(2031, 5, 7).expect("a date"));
    let about = |found: &LocatedFinding| {
        rules.contains(&found.finding.rule)
            && found.route.as_deref().is_some_and(|route| route.starts_with("tendons["))
    };
    report.findings.into_iter().filter(about).collect()
}

const MISSING: &[&str] = &["schedule/missing-field", "space/missing"];

#[test]
fn a_model_that_states_all_passes_in_every_unit_of_length() {
    let folder = tempfile::tempdir().expect("a folder for scratch files");
    let schedule = schedule(&[whole("T1"), whole("T2")]);
    let ours = found(&schedule, folder.path(), MISSING);
    assert!(ours.is_empty(), "{ours:?}");
    for unit in ["MILLIMETRE", "METRE", "FOOT"] {
        let verdict = verdict(&schedule, unit, folder.path());
        assert_eq!(failed(&verdict), BTreeMap::new(), "{unit}");
        // It looked at both tendons and all four ends.
        let applicable = |property: &str| {
            let of = verdict.iter().filter(|one| one["property"] == property);
            of.filter_map(|one| one["applicable"].as_u64()).max()
        };
        assert_eq!((applicable("strand_count"), applicable("behind")), (Some(2), Some(4)));
    }
}

#[test]
fn what_a_model_lacks_is_what_we_miss_in_its_schedule() {
    let folder = tempfile::tempdir().expect("a folder for scratch files");
    let mut tendons = vec![whole("whole")];
    for (mark, pointer, _, _) in CASES {
        let mut tendon = whole(mark);
        without(&mut tendon, pointer);
        tendons.push(tendon);
    }
    let schedule = schedule(&tendons);
    let mut expected: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for (mark, _, property, end) in CASES {
        expected.entry((*property).to_owned()).or_default().insert(format!("{mark}{end}"));
    }
    let theirs = failed(&verdict(&schedule, "MILLIMETRE", folder.path()));
    assert_eq!(theirs, expected);
    // One finding for each, at the very record.
    let ours = found(&schedule, folder.path(), MISSING);
    let element = |found: &LocatedFinding| {
        let route = found.route.as_deref().expect("they were chosen by it");
        let (mark, rest) = route["tendons[".len()..].split_once(']').expect("a mark in brackets");
        match rest.strip_prefix(".ends.") {
            Some(rest) => format!("{mark}.{}", &rest[..1]),
            None => mark.to_owned(),
        }
    };
    let ours: BTreeSet<String> = ours.iter().map(element).collect();
    assert_eq!(ours, expected.into_values().flatten().collect());
}

#[test]
fn a_value_beyond_a_limit_fails_there_as_here() {
    let folder = tempfile::tempdir().expect("a folder for scratch files");
    let mut wide = whole("wide");
    wide["ends"]["b"]["set_mm"] = json!(25);
    let mut askew = whole("askew");
    askew["ends"]["a"]["out_of_square_rad"] = json!(0.03);
    let schedule = schedule(&[whole("usual"), wide, askew]);
    let theirs = failed(&verdict(&schedule, "FOOT", folder.path()));
    let expected = [("out_of_square", "askew.a"), ("set", "wide.b")];
    let expected =
        expected.map(|(property, end)| (property.to_owned(), BTreeSet::from([end.to_owned()])));
    assert_eq!(theirs, BTreeMap::from(expected));
    let rules = ["stressing/set-unusual", "anchorage/not-square"];
    let ours = found(&schedule, folder.path(), &rules);
    let routes: BTreeSet<_> = ours.iter().filter_map(|found| found.route.as_deref()).collect();
    assert_eq!(
        routes,
        BTreeSet::from(["tendons[askew].ends.a.out_of_square_rad", "tendons[wide].ends.b.set_mm"])
    );
}

/// The element and the property at the end of a finding's route, as a model calls them.
fn in_model(route: &str) -> (String, String) {
    let key = |list: &str| {
        let rest = &route[route.find(list)? + list.len()..];
        rest.split_once(']').map(|(key, _)| key.to_owned())
    };
    let (owner, field) = route.rsplit_once('.').expect("it leads to a value");
    let end = owner.split_once(".ends.").map(|(_, rest)| &rest[..1]);
    let element = match (key(".parts["), key("tendons["), end) {
        (Some(part), _, _) => part,
        (None, Some(mark), Some(end)) => format!("{mark} {end}"),
        (None, Some(mark), None) => mark,
        (None, None, _) => panic!("{route} leads to no element"),
    };
    (element, of_field(field).0.to_owned())
}

#[test]
fn the_demos_models_are_judged_as_their_schedules() {
    const RULES: &[&str] = &[
        "schedule/missing-field",
        "space/missing",
        "parts/permanence-missing",
        "parts/permanence-unexpected",
        "filler/kind-not-allowed",
        "stressing/set-unusual",
        "anchorage/not-square",
        "strand/modulus-unusual",
    ];
    let folder = tempfile::tempdir().expect("a folder for scratch files");
    let path = |name: &str| folder.path().join(name);
    let book = rulebook::built_in_force("lrfd-2020").expect("it is built in");
    let mut requirements = Vec::new();
    let ids = Ids::of(&book, Stage::ShopDrawing);
    ids.write(&mut requirements).expect("a list takes all bytes");
    std::fs::write(path("lrfd.ids"), requirements).expect("the file can be written");
    for (name, at_least) in [("quillmere.xlsx", 0), ("quillmere-faulty.xlsx", 6)] {
        let reading = read(&root().join("fixtures/demo").join(name));
        write_as(&IfcSpf, &reading, System::Si, &path("model.ifc"));
        run("ids_verdict.py", &[&path("lrfd.ids"), &path("model.ifc"), &path("verdict.json")]);
        let text = std::fs::read_to_string(path("verdict.json")).expect("the script wrote it");
        let verdict: Vec<Value> = serde_json::from_str(&text).expect("it is a list");
        let theirs: BTreeSet<_> = failed(&verdict)
            .into_iter()
            .flat_map(|(property, elements)| {
                elements.into_iter().map(move |element| (element, property.clone()))
            })
            .collect();
        let day = Date::new(2031, 5, 7).expect("a date");
        let report = restrand_check::check(&reading, &book, day);
        let found = report.findings.iter().filter(|found| RULES.contains(&found.finding.rule));
        let ours: BTreeSet<_> =
            found.filter_map(|found| found.route.as_deref()).map(in_model).collect();
        assert_eq!(theirs, ours, "{name}");
        assert!(ours.len() >= at_least, "{ours:?}");
    }
}

#[test]
fn every_built_in_book_gives_valid_requirements_at_every_stage() {
    let folder = tempfile::tempdir().expect("a folder for scratch files");
    let model = folder.path().join("model.ifc");
    std::fs::write(folder.path().join("schedule.json"), schedule(&[whole("T1")]).to_string())
        .expect("the file can be written");
    run("small_model.py", &[&model, &folder.path().join("schedule.json")]);
    let mut counts = BTreeSet::new();
    for (name, _) in rulebook::BUILT_IN {
        let book = rulebook::built_in_force(name).expect("it is built in");
        let ids = Ids::of(&book, Stage::Replaced);
        counts.insert(ids.count());
        assert!(!ids.unsaid().is_empty());
        let mut requirements = Vec::new();
        ids.write(&mut requirements).expect("a list takes all bytes");
        let path = folder.path().join(format!("{name}.ids"));
        std::fs::write(&path, requirements).expect("the file can be written");
        // The script holds it against the XML Schema of IDS before it looks at the model.
        run("ids_verdict.py", &[&path, &model, &folder.path().join("verdict.json")]);
    }
    let base = rulebook::built_in_force("base").expect("it is built in");
    let first = Ids::of(&base, Stage::ALL[0]).count();
    assert!(counts.iter().all(|count| *count > first), "later stages ask for more");
}
