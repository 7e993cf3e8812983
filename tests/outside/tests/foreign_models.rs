//! Models of another program, with property sets and units of its own, are changed value by value where each stands;
//! ifcopenshell finds them valid before and after, and reads what is new in SI.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::collections::{BTreeMap, HashSet};
use std::fs;
use std::path::Path;

use restrand_check::{layout, rulebook};
use restrand_ifcspf::IfcSpf;
use restrand_ifcxml::IfcXml;
use restrand_intake::Reading;
use restrand_kit::recognise::Mapping;
use restrand_kit::{Budget, Bytes, Change, Content, Loss, Parts, Plugin, WriteOptions};
use restrand_model::reading::Place;
use restrand_model::route::Route;
use restrand_model::schedule::TendonPoint;
use restrand_model::value::Value;
use restrand_test_outside::{OnePart, run};
use serde_json::Value as Json;

/// What the other program's properties are.
const MAPPING: &str = "mapping = 1\n[ifc]\n\
    \"Own cable.Run\" = \"tendon.length\"\n\
    \"Own cable.Pull\" = \"stressing.jacking_force\"\n\
    \"Own cable.Sheath\" = { to = \"replacement.unbonded\", words = { free = true, grouted = false } }\n\
    \"Own room.Back\" = \"removal_space.behind\"\n\
    \"Own room.Wide\" = { to = [\"removal_space.left\", \"removal_space.right\"], times = 0.5 }\n\
    \"Own lot.Strand\" = \"tendon.strand_count\"\n";

struct Foreign {
    folder: tempfile::TempDir,
    text: String,
    mapping: Mapping,
}

impl Foreign {
    fn of(schema: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("model.ifc");
        run("foreign_model.py", &[Path::new("write"), Path::new(schema), &path]);
        let text = fs::read_to_string(path).unwrap();
        Self { folder, text, mapping: toml::from_str(MAPPING).unwrap() }
    }

    fn reading(&self, text: &str) -> Reading {
        let part = Bytes::new("model.ifc", text.as_bytes().to_vec());
        let parts = Parts(&[&part]);
        restrand_intake::read_mapped(&IfcSpf, parts, Budget::default(), &self.mapping).unwrap()
    }

    /// The file with these changes in it, and what could not be changed.
    fn patched(&self, reading: &Reading, changes: &[Change]) -> (String, Vec<Loss>) {
        let mut schedule = reading.schedule.clone();
        for change in changes {
            change.route.set(&mut schedule, change.after.clone()).unwrap();
        }
        let content = Content { changes, ..Content::new(&schedule, &reading.provenance) };
        let part = Bytes::new("model.ifc", self.text.as_bytes().to_vec());
        let mut output = OnePart::default();
        let (parts, options) = (Parts(&[&part]), WriteOptions::default());
        let losses =
            IfcSpf.patch_mapped(parts, &content, options, &self.mapping, &mut output).unwrap();
        (String::from_utf8(output.0).unwrap(), losses)
    }

    /// What ifcopenshell reads in SI; the model must be valid.
    fn seen(&self, text: &str) -> BTreeMap<String, Json> {
        let (model, out) = (self.folder.path().join("m.ifc"), self.folder.path().join("m.json"));
        fs::write(&model, text).unwrap();
        run("foreign_model.py", &[Path::new("read"), &model, &out]);
        let seen: Json = serde_json::from_slice(&fs::read(out).unwrap()).unwrap();
        assert_eq!(seen["issues"], serde_json::json!([]));
        serde_json::from_value(seen["said"].clone()).unwrap()
    }
}

fn change(route: &str, after: impl Into<Value>) -> Change {
    let names: Vec<&str> = route.split('.').collect();
    Change {
        route: Route::of_names(&names).unwrap(),
        before: None,
        after: Some(after.into()),
        why: "a test".to_owned(),
    }
}

fn same(one: &Json, other: &Json) -> bool {
    match (one.as_f64(), other.as_f64()) {
        (Some(one), Some(other)) => (one - other).abs() <= 1e-9 * other.abs(),
        _ => one == other,
    }
}

#[test]
fn values_are_changed_where_they_stand_and_all_else_stays() {
    for schema in ["IFC4X3_ADD2", "IFC4", "IFC2X3"] {
        let foreign = Foreign::of(schema);
        let reading = foreign.reading(&foreign.text);
        let before = foreign.seen(&foreign.text);
        assert_eq!(reading.schedule.tendons[0].length_m, Some(39.9), "{schema}");
        let mut changes = vec![
            change("tendons.0.length_m", Value::Number(40.125)),
            change("tendons.0.stressing.jacking_force_kn", Value::Number(3600.0)),
            change("tendons.1.replacement.unbonded", Value::Flag(false)),
            change("tendons.0.ends.a.removal_space.left_mm", Value::Number(350.0)),
            change("tendons.0.ends.a.removal_space.right_mm", Value::Number(350.0)),
            change("tendons.0.stressing.set_mm", Value::Number(8.0)),
            // Nothing states these yet.
            change("tendons.0.fill.volume_l", Value::Number(12.5)),
            change("tendons.0.duct", "D100"),
            change("tendons.1.ends.b.tail_mm", Value::Number(900.0)),
        ];
        let (text, losses) = foreign.patched(&reading, &changes);
        assert!(losses.is_empty(), "{schema}: {losses:?}");
        let kept: HashSet<&str> = text.lines().collect();
        let gone = foreign.text.lines().filter(|line| !kept.contains(line)).count();
        let added = text.lines().count() - foreign.text.lines().count();
        // Four properties and the tendon say something else; three sets with a property and a relation each are
        // new, and the unit of volumes, which none of the models states.
        assert_eq!((gone, added), (5, 10), "{schema}");
        let mut expected = before.clone();
        for (name, value) in [
            ("C1/Own cable/Run", 40.125.into()),
            ("C1/Own cable/Pull", 3.6e6.into()),
            ("C2/Own cable/Sheath", "grouted".into()),
            ("C1-A/Own room/Wide", 0.7.into()),
            ("C1//AnchorageSlip", 0.008.into()),
            ("C1/Restrand_Tendon/duct", "D100".into()),
            ("C1/Restrand_Fill/volume", 0.0125.into()),
            ("C2-B/Restrand_End/tail", 0.9.into()),
        ] {
            expected.insert(name.to_owned(), value);
        }
        let seen = foreign.seen(&text);
        assert_eq!(
            seen.keys().collect::<Vec<_>>(),
            expected.keys().collect::<Vec<_>>(),
            "{schema}"
        );
        for (name, value) in &expected {
            assert!(same(&seen[name], value), "{schema}: {name} is {}", seen[name]);
        }
        // It reads as what it was to say, and to do it again changes nothing.
        let again = foreign.reading(&text);
        let mut asked = reading.schedule.clone();
        for change in &changes {
            change.route.set(&mut asked, change.after.clone()).unwrap();
        }
        assert_eq!(again.schedule, asked, "{schema}");
        changes.truncate(3);
        let once_more = Foreign { text: text.clone(), ..Foreign::of(schema) };
        assert_eq!(once_more.patched(&again, &changes), (text, Vec::new()), "{schema}");
    }
}

#[test]
fn what_cannot_be_changed_stays_and_is_said() {
    let foreign = Foreign::of("IFC4X3_ADD2");
    let reading = foreign.reading(&foreign.text);
    for (route, after, why) in [
        // One property is both.
        ("tendons.0.ends.a.removal_space.left_mm", Value::Number(350.0), "1 other values"),
        ("tendons.0.strand_count", Value::Number(21.0), "1 other values"),
        ("tendons.0.points.1.elevation_m", Value::Number(0.7), "follows from IfcPolyline"),
        ("tendons.0.stressing.set_mm", Value::Number(0.0), "not above zero"),
    ] {
        let (text, losses) = foreign.patched(&reading, &[change(route, after)]);
        assert_eq!(losses.len(), 1, "{route}");
        assert_eq!(losses[0].route, route);
        assert!(losses[0].why.contains(why), "{route}: {}", losses[0].why);
        assert_eq!(text, foreign.text, "{route}");
    }
}

#[test]
fn a_value_is_found_at_its_own_instance() {
    let foreign = Foreign::of("IFC4");
    let reading = foreign.reading(&foreign.text);
    let text_at = |route: &str| {
        let names: Vec<&str> = route.split('.').collect();
        let route = Route::of_names(&names).unwrap();
        let (record, path) = route.source(&reading.schedule);
        let Some(Place::Text { span, .. }) = reading.provenance.place(record, &path) else {
            panic!("{route:?} has no place");
        };
        let at = |byte| usize::try_from(byte).unwrap();
        foreign.text[at(span.start)..at(span.end)].split_once('=').unwrap().1.to_owned()
    };
    for (route, begin) in [
        ("tendons.1.length_m", "IFCPROPERTYSINGLEVALUE('Run',$,IFCPOSITIVELENGTHMEASURE(39900.)"),
        ("tendons.1.ends.b.removal_space.behind_mm", "IFCPROPERTYSINGLEVALUE('Back'"),
        ("tendons.1.ends.b.removal_space.right_mm", "IFCPROPERTYSINGLEVALUE('Wide'"),
        ("tendons.1.stressing.mu", "IFCTENDON("),
        ("tendons.1.points.1.elevation_m", "IFCPOLYLINE("),
        // What is not stated is missed at its record.
        ("tendons.1.ends.b.tail_mm", "IFCTENDONANCHOR("),
    ] {
        assert!(text_at(route).starts_with(begin), "{route}: {}", text_at(route));
    }
}

/// What stands in a model by coordinates stands there in a new model too, though no set says anything of it.
#[test]
fn a_new_model_of_one_of_another_program_keeps_its_axes() {
    let foreign = Foreign::of("IFC4X3_ADD2");
    let reading = foreign.reading(&foreign.text);
    let book = rulebook::built_in_force("base").unwrap();
    let laid = layout(&reading.schedule, &book);
    let courses = |reading: &Reading| -> Vec<Vec<[Option<f64>; 3]>> {
        let tendons = reading.schedule.tendons.iter();
        let point = |point: &TendonPoint| [point.station_m, point.lateral_m, point.elevation_m];
        tendons.map(|tendon| tendon.points.iter().map(point).collect()).collect()
    };
    let given = courses(&reading);
    assert!(!given.is_empty() && given.iter().all(|points| points.len() >= 2), "{given:?}");
    assert_eq!(laid.courses.len(), given.len(), "{:?}", laid.unlaid);
    for plugin in [&IfcSpf as &dyn Plugin, &IfcXml] {
        let content =
            Content { layout: Some(&laid), ..Content::new(&reading.schedule, &reading.provenance) };
        let mut output = OnePart::default();
        plugin.write(&content, WriteOptions::default(), &mut output).unwrap();
        let curves = String::from_utf8_lossy(&output.0).to_ascii_lowercase();
        assert!(curves.matches("ifcindexedpolycurve").count() >= given.len(), "{curves}");
        let part = Bytes::new("new", output.0);
        let again = restrand_intake::read(plugin, Parts(&[&part]), Budget::default()).unwrap();
        assert_eq!(courses(&again), given);
    }
}
