//! What stands beside what it names.

use restrand_report::draw::{Drawing, Kind};
use serde_json::{Value, json};

use crate::sheet::elements;
use crate::{DEMOS, bytes, demo, drawn, read, texts};

#[test]
fn every_label_and_dimension_of_the_demo_has_room() {
    for name in DEMOS {
        for drawing in demo(name) {
            let elements = elements(&drawing.svg);
            let put_off = texts(&elements).find(|element| element.text.starts_with("Without room"));
            assert_eq!(put_off.map(|element| &element.text), None, "{name}: {}", drawing.name);
        }
    }
}

#[test]
fn angles_are_read_in_degrees() {
    let mut read = 0;
    for drawing in demo("quillmere.json") {
        let elements = elements(&drawing.svg);
        for text in texts(&elements).map(|element| element.text.as_str()) {
            assert!(!text.split([' ', '.']).any(|word| word == "rad"), "{}: {text}", drawing.name);
            read += usize::from(text.contains('°'));
        }
    }
    assert!(read > 50, "{read}");
    // 13.65 m in which it falls by 1 m and goes 0.25 m aside, then level: atan(√(1² + 0.25²) / 13.65), by hand.
    let turned = demo("quillmere.json")
        .iter()
        .find(|drawing| {
            drawing.kind == Kind::Deviator && drawing.name.ends_with("T11L-deviator-D11")
        })
        .map(|drawing| elements(&drawing.svg))
        .unwrap();
    let says = |words: &str| texts(&turned).any(|element| element.text == words);
    assert!(says("The tendon turns by 4.32° in space."));
}

#[test]
fn a_duct_that_changes_on_its_leg_is_drawn_and_named_once() {
    // T11L passes behind the anchorage of T21L; from station 138.4 on, within the room there, its duct is another one.
    let sheets = |outer_mm: Option<f64>| {
        let mut document: Value = serde_json::from_slice(&bytes("quillmere.json")).unwrap();
        if let Some(outer_mm) = outer_mm {
            let mut other = document["ducts"][0].clone();
            (other["id"], other["outer_mm"]) = (json!("other"), json!(outer_mm));
            document["ducts"].as_array_mut().unwrap().push(other);
            let passing = document["tendons"].as_array_mut().unwrap();
            let passing = passing.iter_mut().find(|tendon| tendon["mark"] == "T11L").unwrap();
            passing["duct_runs"] = json!([
                {"duct": "other", "from_m": 138.4, "to_m": 138.5},
            ]);
        }
        let schedule = read(serde_json::to_vec(&document).unwrap()).schedule;
        drawn(&schedule, |mark| mark == "T21L")
    };
    let told = |drawing: &Drawing| {
        let elements = elements(&drawing.svg);
        let count = |name: &str| elements.iter().filter(|one| one.name == name).count();
        let named =
            |words: &str| texts(&elements).filter(|one| one.text.starts_with(words)).count();
        (named("duct of T11L"), count("circle"), count("path"))
    };
    let whole = sheets(None);
    let mut seen = 0;
    for drawing in
        sheets(Some(140.0)).iter().filter(|one| [Kind::Face, Kind::Room].contains(&one.kind))
    {
        let before = whole.iter().find(|one| one.name == drawing.name).map(told).unwrap();
        let (names, circles, paths) = told(drawing);
        assert_eq!((names, paths), (before.0, before.2), "{}", drawing.name);
        // What is wider in between is one circle more for one who looks along the axis.
        let wider = usize::from(drawing.kind == Kind::Face && names == 1);
        assert_eq!(circles, before.1 + wider, "{}", drawing.name);
        seen += names;
    }
    assert_eq!(seen, 2);
}
