//! The demo's schedule with one tendon, made awkward.

use restrand_model::schedule::Schedule;
use serde_json::{Value, json};

use super::{bytes, read};

/// Changes what stands at a pointer.
fn set(document: &mut Value, pointer: &str, value: Value) {
    *document.pointer_mut(pointer).unwrap_or_else(|| panic!("{pointer} is not there")) = value;
}

fn without(document: &mut Value, pointer: &str, fields: &[&str]) {
    let record = document.pointer_mut(pointer).unwrap().as_object_mut().unwrap();
    for field in fields {
        record.remove(*field);
    }
}

/// The schedule with one of its tendons alone, without stated cuts and joints.
fn only(mark: &str) -> Value {
    let mut document: Value = serde_json::from_slice(&bytes("quillmere.json")).unwrap();
    let tendons = document["tendons"].as_array_mut().unwrap();
    tendons.retain(|tendon| tendon["mark"] == mark);
    without(&mut document, "/tendons/0", &["twin", "cuts", "duct_joints"]);
    document
}

fn typed(document: &Value) -> Schedule {
    read(serde_json::to_vec(document).unwrap()).schedule
}

fn steep() -> Value {
    let mut document = only("T11L");
    for (point, elevation_m) in [59.0, 50.4, 50.4, 60.0].into_iter().enumerate() {
        set(&mut document, &format!("/tendons/0/points/{point}/elevation_m"), json!(elevation_m));
    }
    for end in ["a", "b"] {
        without(&mut document, &format!("/tendons/0/ends/{end}"), &["pitch_rad"]);
    }
    document
}

fn short() -> Value {
    let mut document = only("T11L");
    let points = json!([
        {"station_m": 135.0, "lateral_m": 1.0, "elevation_m": 50.6, "place": "D12"},
        {"station_m": 141.0, "lateral_m": 0.75, "elevation_m": 51.75, "place": "P2"}
    ]);
    set(&mut document, "/tendons/0/points", points);
    set(&mut document, "/tendons/0/deviators", json!([]));
    set(&mut document, "/tendons/0/ends/a/place", json!("D12"));
    document
}

fn eight_deviators(units: &str) -> Value {
    let mut document = only("T11L");
    let stations = [99.35, 113.0, 127.0, 140.0, 154.0, 168.0, 182.0, 196.0, 210.0, 231.0];
    let elevations = [51.4, 50.4, 50.4, 51.9, 50.4, 50.4, 51.9, 50.4, 50.4, 51.4];
    let names = ["A1", "D11", "D12", "P2", "X4", "X5", "X6", "X7", "X8", "A4"];
    for index in 4..9 {
        let place = json!({
            "id": names[index], "kind": "deviator", "station_m": stations[index], "thickness_mm": 1000
        });
        document["places"].as_array_mut().unwrap().push(place);
    }
    let points = (0..10).map(|index| {
        json!({
            "station_m": stations[index], "lateral_m": 1.0, "elevation_m": elevations[index],
            "place": names[index]
        })
    });
    set(&mut document, "/tendons/0/points", points.collect());
    let deviator = document["tendons"][0]["deviators"][0].clone();
    let deviators = names[1..9].iter().map(|name| {
        let mut deviator = deviator.clone();
        deviator["place"] = json!(name);
        deviator
    });
    set(&mut document, "/tendons/0/deviators", deviators.collect());
    set(&mut document, "/tendons/0/ends/b/place", json!("A4"));
    set(&mut document, "/project/display_units", json!(units));
    document
}

fn tight() -> Value {
    let mut document = only("T12L");
    let jack = document["tendons"][0]["ends"]["b"]["jack"].clone();
    let end = &mut document["tendons"][0]["ends"]["a"];
    end["kind"] = json!("stressing");
    end["jack"] = jack;
    end["set_mm"] = json!(6);
    end["removal_space"] =
        json!({"behind_mm": 420, "up_mm": 180, "down_mm": 230, "left_mm": 200, "right_mm": 240});
    end["obstacles"] = json!([{
        "name": "drain pipe", "from_mm": 250, "to_mm": 400, "underside_mm": -230, "top_mm": -120
    }]);
    set(&mut document, "/tendons/0/stressing/from", json!("both"));
    document
}

fn holes() -> Value {
    let mut document = only("T21L");
    let lists = [("anchorages", "rear_outer_mm", 0), ("anchorages", "permanence", 1)];
    for (list, field, first) in lists {
        for record in document[list].as_array_mut().unwrap() {
            let parts = record["parts"].as_array_mut().unwrap();
            for part in parts.iter_mut().skip(first).step_by(3) {
                part.as_object_mut().unwrap().remove(field);
            }
        }
    }
    for form in document["forms"].as_array_mut().unwrap() {
        let form = form.as_object_mut().unwrap();
        form.remove("parts");
        form.remove("exit_rear_mm");
    }
    for jack in document["jacks"].as_array_mut().unwrap() {
        jack.as_object_mut().unwrap().remove("diameter_mm");
    }
    // The bay behind would give the room.
    without(&mut document, "", &["bays"]);
    without(&mut document, "/tendons/0", &["vents"]);
    without(&mut document, "/tendons/0/ends/a", &["removal_space"]);
    without(&mut document, "/tendons/0/ends/b", &["stub_cut_mm"]);
    without(&mut document, "/tendons/0/stressing", &["mu"]);
    without(&mut document, "/tendons/0/deviators/0", &["pitch_rad"]);
    document
}

/// A mark that is no name of a file, and that XML does not take as it is; a tendon that is not laid out.
fn strange() -> Value {
    let mut document = only("T21L");
    set(&mut document, "/tendons/0/mark", json!("T<21>&\"]]>\u{1b}Ключ 長い\u{fffe}"));
    without(&mut document, "/tendons/0/points/1", &["station_m"]);
    without(&mut document, "/tendons/0/ends", &["b"]);
    document
}

/// Names as long as people give them, in the letters of several scripts.
fn long_names() -> Value {
    let mut document = only("T11L");
    let long = |name: &str| format!("{name}, northern web, Überführung 長い橋");
    for (pointer, name) in [
        (
            "/project/bridge",
            "Bridge with a name that fills the line under the title of every sheet",
        ),
        ("/project/drawing", "QV-PT-101-0001-NORTH-SUPERSTRUCTURE-TENDONS"),
        ("/tendons/0/mark", "Tendon 11 left"),
    ] {
        set(&mut document, pointer, json!(long(name)));
    }
    let text = document.to_string();
    // Links and what they lead to.
    let text = ["K-13", "S-20", "F-150", "QJ-19", "D11", "P2", "B1A", "H1"]
        .iter()
        .fold(text, |text, name| {
            text.replace(&format!("\"{name}\""), &json!(long(name)).to_string())
        });
    serde_json::from_str(&text).unwrap()
}

/// No room is stated anywhere.
fn no_rooms() -> Value {
    let mut document = only("T21L");
    without(&mut document, "", &["bays", "openings"]);
    for end in ["a", "b"] {
        without(&mut document, &format!("/tendons/0/ends/{end}"), &["removal_space"]);
    }
    document
}

/// Laid out, with one end of which nothing is known.
fn one_end() -> Value {
    let mut document = only("T21L");
    without(&mut document, "/tendons/0/ends", &["b"]);
    document
}

/// All of them with their names.
pub(crate) fn all() -> Vec<(&'static str, Schedule)> {
    [
        ("steep", steep()),
        ("short", short()),
        ("eight deviators", eight_deviators("si")),
        ("eight deviators in feet", eight_deviators("us")),
        ("tight", tight()),
        ("holes", holes()),
        ("strange", strange()),
        ("long names", long_names()),
        ("no rooms", no_rooms()),
        ("one end", one_end()),
    ]
    .into_iter()
    .map(|(name, document)| (name, typed(&document)))
    .collect()
}
