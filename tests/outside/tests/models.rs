//! Models that ifcopenshell opens: valid under the rules of the schema, as long and as heavy as the schedule says, and
//! with the room at the ends where the schedule has it.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::collections::{BTreeMap, HashSet};
use std::fs;
use std::path::{Path, PathBuf};

use restrand_check::{layout, rulebook};
use restrand_finding::{Fact, FactValue};
use restrand_ifcspf::IfcSpf;
use restrand_ifcxml::IfcXml;
use restrand_intake::Reading;
use restrand_kit::layout::{BodyKind, Layout};
use restrand_kit::{Bytes, Content, Parts, Plugin, WriteOptions};
use restrand_model::Record;
use restrand_model::ifc::measures::Measure;
use restrand_model::ifc::sets;
use restrand_model::quantity::of_field;
use restrand_model::reading::{Place, ProblemKind};
use restrand_model::reflect::Date;
use restrand_model::reflect::{Shape, View};
use restrand_model::route::Route;
use restrand_model::schedule::{EndName, Tendon};
use restrand_model::value::Name;
use restrand_plan::{Cell, Line, Step, StepId, Table};
use restrand_rules::Context;
use restrand_test_outside::{OnePart, read, read_as, root, run};
use serde_json::Value;

/// What two numbers may differ by, as a share or in metres.
const SAME: f64 = 1e-9;

/// A model as it was written, and the schedule it is of.
struct Written {
    reading: Reading,
    layout: Layout,
    folder: tempfile::TempDir,
}

impl Written {
    fn of(name: &str) -> Self {
        let reading = read(&root().join("fixtures/demo").join(name));
        let book = rulebook::built_in_force("lrfd-2020").unwrap();
        let layout = layout(&reading.schedule, &book);
        Self { reading, layout, folder: tempfile::tempdir().unwrap() }
    }

    fn write(&self, plugin: &dyn Plugin, ending: &str) -> PathBuf {
        let content = Content {
            layout: Some(&self.layout),
            ..Content::new(&self.reading.schedule, &self.reading.provenance)
        };
        let mut output = OnePart::default();
        plugin.write(&content, WriteOptions::default(), &mut output).unwrap();
        let path = self.folder.path().join(format!("model.{ending}"));
        fs::write(&path, &output.0).unwrap();
        let mut again = OnePart::default();
        plugin.write(&content, WriteOptions::default(), &mut again).unwrap();
        assert!(output.0 == again.0, "the same schedule gives the same bytes");
        path
    }

    /// What ifcopenshell sees.
    fn seen(&self) -> Value {
        let out = self.folder.path().join("seen.json");
        run("inspect_model.py", &[&self.write(&IfcSpf, "ifc"), &out]);
        serde_json::from_slice(&fs::read(out).unwrap()).unwrap()
    }

    fn tendons(&self) -> &[Tendon] {
        &self.reading.schedule.tendons
    }
}

fn near(is: f64, asked: f64, what: &str) {
    assert!((is - asked).abs() <= SAME * asked.abs().max(1.0), "{what}: {is}, not {asked}");
}

fn triple(of: &Value) -> [f64; 3] {
    std::array::from_fn(|index| of[index].as_f64().unwrap())
}

#[test]
fn every_model_is_valid_and_xml_says_the_same_as_the_step_file() {
    for name in ["quillmere.xlsx", "quillmere-us.xlsx", "quillmere-faulty.xlsx"] {
        let written = Written::of(name);
        let seen = written.seen();
        assert_eq!(seen["schema"], "IFC4X3_ADD2", "{name}");
        assert_eq!(seen["issues"], serde_json::json!([]), "{name}");
        // The other way round: the XML by nothing but the schema, valid under the same rules, entity for entity.
        let (xml, step) = (written.write(&IfcXml, "ifcxml"), written.write(&IfcSpf, "ifc"));
        run("model_from_xml.py", &[&xml, &step]);
        let xml = fs::read_to_string(&xml).unwrap();
        for broken in [
            ("PredefinedType=\"prestressing\"", "PredefinedType=\"PRESTRESSING\""),
            ("<IfcForceMeasure-wrapper>", "<IfcForceMeasur-wrapper>"),
            (" ref=\"i", " ref=\"j"),
            ("TensionForce=", "TensionForces="),
        ] {
            let file = written.folder.path().join("broken.ifcxml");
            fs::write(&file, xml.replacen(broken.0, broken.1, 1)).unwrap();
            assert_ne!(fs::read_to_string(&file).unwrap(), xml, "{broken:?} is in the file");
            assert!(fails("model_from_xml.py", &[&file, &step]), "{broken:?} is seen");
        }
    }
}

#[test]
fn a_model_that_was_changed_in_place_is_valid_and_says_what_is_new() {
    let written = Written::of("quillmere.xlsx");
    let before = fs::read(written.write(&IfcSpf, "ifc")).unwrap();
    let mut schedule = written.reading.schedule.clone();
    let tendon = &mut schedule.tendons[0];
    let mark = tendon.mark.clone().unwrap();
    let stressing = tendon.stressing.as_deref_mut().unwrap();
    let force_kn = stressing.jacking_force_kn.unwrap() + 1.0;
    stressing.jacking_force_kn = Some(force_kn);
    // What no one stated yet is a property more, under a number that was free.
    tendon.extra.push(Name::Given("Inspected by".into()), "the owner".into());
    let part = Bytes::new("model.ifc", before.clone());
    let content = Content {
        layout: Some(&written.layout),
        ..Content::new(&schedule, &written.reading.provenance)
    };
    let mut output = OnePart::default();
    IfcSpf.patch(Parts(&[&part]), &content, WriteOptions::default(), &mut output).unwrap();
    let model = written.folder.path().join("patched.ifc");
    fs::write(&model, &output.0).unwrap();
    let (before, after) =
        (String::from_utf8(before).unwrap(), String::from_utf8(output.0).unwrap());
    let kept: HashSet<&str> = after.lines().collect();
    let gone = before.lines().filter(|line| !kept.contains(line)).count();
    let added = after.lines().count() - before.lines().count();
    // The tendon, its force and its set; the property that is new.
    assert!((1..=3).contains(&gone), "{gone} lines are other ones");
    assert_eq!(added, 1);
    let out = written.folder.path().join("seen.json");
    run("inspect_model.py", &[&model, &out]);
    let seen: Value = serde_json::from_slice(&fs::read(out).unwrap()).unwrap();
    assert_eq!(seen["issues"], serde_json::json!([]));
    let stated = |property: &str| {
        let mut all = seen["properties"].as_array().unwrap().iter();
        all.find(|one| one[1] == mark.as_ref() && one[3] == property).unwrap()[4].clone()
    };
    near(stated("jacking_force").as_f64().unwrap(), force_kn * 1000.0, &mark);
    assert_eq!(stated("Inspected by"), "the owner");
}

/// A text that is no value is none in a model either: it is found again, at its property.
#[test]
fn what_could_not_be_read_stands_in_a_model_as_it_was_given() {
    let written = Written::of("quillmere-faulty.xlsx");
    let unread = |reading: &Reading| -> BTreeMap<String, Option<String>> {
        let lost = reading.problems.iter().filter(|problem| problem.kind == ProblemKind::ValueLost);
        lost.map(|problem| (problem.subject.clone(), problem.given.clone())).collect()
    };
    let given = unread(&written.reading);
    assert_eq!(given.len(), 2, "{given:?}");
    for (plugin, ending) in [(&IfcSpf as &dyn Plugin, "ifc"), (&IfcXml, "ifcxml")] {
        let again = read_as(plugin, &written.write(plugin, ending));
        assert_eq!(unread(&again), given, "{ending}");
        let places = again.problems.iter().filter(|problem| problem.kind == ProblemKind::ValueLost);
        assert!(places.into_iter().all(|problem| matches!(problem.place, Place::Text { .. })));
    }
}

fn fails(script: &str, arguments: &[&Path]) -> bool {
    std::panic::catch_unwind(|| run(script, arguments)).is_err()
}

#[test]
fn axes_are_as_long_as_the_tendons() {
    let written = Written::of("quillmere.xlsx");
    let seen = written.seen();
    let axes = seen["axes"].as_object().unwrap();
    assert_eq!(axes.len(), written.tendons().len());
    for (index, tendon) in written.tendons().iter().enumerate() {
        let mark = tendon.mark.as_deref().unwrap();
        let course = written.layout.course(&Route::to("tendons", index)).unwrap();
        // The length of the curve as drawn, by its points, and the quantity of the standard.
        near(axes[mark][0].as_f64().unwrap(), course.length_m, mark);
        near(axes[mark][1].as_f64().unwrap(), course.length_m, mark);
        // The schedule states it to a centimetre.
        if let Some(stated_m) = tendon.length_m {
            assert!((course.length_m - stated_m).abs() < 0.01, "{mark}");
        }
    }
}

/// The numbers of a record in SI, by their properties.
fn numbers(record: &dyn Record) -> Vec<(&'static str, f64)> {
    let fields = record.info().fields.iter().enumerate();
    fields
        .filter_map(|(index, field)| match (field.shape, record.field(index).view()) {
            (Shape::Number, View::Number(number)) => {
                let si = of_field(field.name)
                    .1
                    .and_then(|unit| Some(unit.factor / Measure::of_dimension(unit.dimension)?.si));
                Some((sets::property_of(field), number * si.unwrap_or(1.0)))
            }
            _ => None,
        })
        .collect()
}

#[test]
fn properties_are_the_schedules_values_in_si() {
    for name in ["quillmere.xlsx", "quillmere-us.xlsx"] {
        let written = Written::of(name);
        let seen = written.seen();
        let mut stated: BTreeMap<[&str; 3], f64> = BTreeMap::new();
        for property in seen["properties"].as_array().unwrap() {
            let word = |index: usize| property[index].as_str().unwrap();
            if let Some(value) = property[4].as_f64() {
                stated.insert([word(1), word(2), word(3)], value);
            }
        }
        let mut held = 0;
        let mut hold = |of: &str, record: &dyn Record| {
            for (property, si) in numbers(record) {
                let set = sets::name_of(record.info());
                let what = format!("{of} {set}.{property}");
                let value = stated.get(&[of, &set, property]).unwrap_or_else(|| panic!("{what}"));
                near(*value, si, &what);
                held += 1;
            }
        };
        let schedule = &written.reading.schedule;
        for strand in &schedule.strands {
            hold(strand.id.as_deref().unwrap(), strand);
        }
        for duct in &schedule.ducts {
            hold(duct.id.as_deref().unwrap(), duct);
        }
        for anchorage in &schedule.anchorages {
            hold(anchorage.id.as_deref().unwrap(), anchorage);
        }
        for tendon in written.tendons() {
            let mark = tendon.mark.as_deref().unwrap();
            hold(mark, tendon);
            hold(mark, tendon.stressing.as_deref().unwrap());
            for (end, of) in tendon.stated_ends() {
                let called = format!("{mark} {end}");
                hold(&called, of);
                hold(&called, of.removal_space.as_deref().unwrap());
            }
        }
        assert!(held > 700, "{held}");
    }
}

/// The axes of an end on a straight bridge, by the schedule alone: where its plate is, rearward, up, left.
fn axes_of(tendon: &Tendon, name: EndName) -> [[f64; 3]; 4] {
    let place = |index: usize| {
        let point = &tendon.points[index];
        [point.station_m, point.lateral_m, point.elevation_m].map(Option::unwrap)
    };
    let last = tendon.points.len() - 1;
    let (at, sign, [from, to]) = match name {
        EndName::A => (place(0), -1.0, [place(0), place(1)]),
        EndName::B => (place(last), 1.0, [place(last - 1), place(last)]),
    };
    let (_, end) = tendon.stated_ends().find(|(one, _)| *one == name).unwrap();
    let along: [f64; 3] = std::array::from_fn(|i| to[i] - from[i]);
    let pitch_rad = end.pitch_rad.unwrap_or(along[2].atan2(along[0].hypot(along[1])));
    let yaw_rad = end.yaw_rad.unwrap_or(along[1].atan2(along[0]));
    let ahead = [pitch_rad.cos() * yaw_rad.cos(), pitch_rad.cos() * yaw_rad.sin(), pitch_rad.sin()];
    let up = [-pitch_rad.sin() * yaw_rad.cos(), -pitch_rad.sin() * yaw_rad.sin(), pitch_rad.cos()];
    [at, ahead.map(|share| sign * share), up, [-yaw_rad.sin(), yaw_rad.cos(), 0.0]]
}

/// The least and the greatest of corners along each of the own axes of an end, mm.
fn extents(corners: &Value, [at, axes @ ..]: [[f64; 3]; 4]) -> [[f64; 2]; 3] {
    axes.map(|axis| {
        let along = corners.as_array().unwrap().iter().map(|corner| {
            let corner = triple(corner);
            (0..3).map(|i| (corner[i] - at[i]) * axis[i]).sum::<f64>() * 1000.0
        });
        along.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], one| {
            [low.min(one), high.max(one)]
        })
    })
}

#[test]
fn what_is_kept_clear_stands_where_the_schedule_has_it() {
    let written = Written::of("quillmere.xlsx");
    let seen = written.seen();
    let clear = seen["clear"].as_object().unwrap();
    assert_eq!(clear.len(), written.layout.bodies.len());
    let near_mm = |is: f64, asked: f64, what: &str| {
        assert!((is - asked).abs() < 1e-3, "{what}: {is} mm, not {asked} mm");
    };
    let (mut stubs, mut jacks) = (0, 0);
    for tendon in written.tendons() {
        let mark = tendon.mark.as_deref().unwrap();
        for (name, end) in tendon.stated_ends() {
            let axes = axes_of(tendon, name);
            let space = end.removal_space.as_deref().unwrap();
            let what = format!("Removal space {mark} {name}");
            let [along, up, left] = extents(&clear[&what], axes);
            near_mm(along[0], 0.0, &what);
            near_mm(along[1], space.behind_mm.unwrap(), &what);
            near_mm(-up[0], space.down_mm.unwrap(), &what);
            near_mm(up[1], space.up_mm.unwrap(), &what);
            near_mm(-left[0], space.right_mm.unwrap(), &what);
            near_mm(left[1], space.left_mm.unwrap(), &what);
            let what = format!("Stub {mark} {name}");
            if let (Some(stub), Some(cut_mm)) = (clear.get(&what), end.stub_cut_mm) {
                let [along, ..] = extents(stub, axes);
                near_mm(along[0], cut_mm, &what);
                assert!(along[1] > 0.0, "{what} reaches behind the plate");
                stubs += 1;
            }
            let Some(key) = end.jack.as_ref().map(|jack| jack.key()) else { continue };
            let jack = &written.reading.schedule.jacks;
            let jack = jack.iter().find(|jack| jack.id.as_deref() == Some(key)).unwrap();
            let what = format!("Jack {mark} {name}");
            let [along, ..] = extents(&clear[&what], axes);
            // Tail and jack at least, from the wedge plate on.
            let least_mm = jack.tail_mm.unwrap() + jack.retracted_mm.unwrap();
            assert!(along[0] >= 0.0 && along[1] - along[0] >= least_mm - 1e-3, "{what}: {along:?}");
            jacks += 1;
        }
    }
    assert!(stubs > 30 && jacks > 10, "{stubs} stubs, {jacks} jacks");
    let kinds = |kind| written.layout.bodies.iter().filter(|body| body.kind == kind).count();
    assert_eq!(kinds(BodyKind::RemovalSpace), 2 * written.tendons().len());
}

/// Numbers of a plan's step by the end that they are of: what one line says, and what stands in the last table.
fn of_end<'p>(step: &'p Step, end: &str) -> (Option<&'p Line>, Option<(&'p Table, &'p [Cell])>) {
    let is_end = |fact: &Fact| {
        let begin = format!("{} (", end);
        fact.name == "end"
            && matches!(&fact.value, FactValue::Text(text) if text.starts_with(&begin))
    };
    let has_length = |line: &&Line| line.facts.iter().any(|fact| fact.name == "stub_length_mm");
    let line = step.lines.iter().filter(has_length).find(|line| line.facts.iter().any(is_end));
    let table = step.tables.iter().find(|table| table.columns.iter().any(|c| c.name == "binds"));
    let row = table.and_then(|table| {
        let named = |row: &&Vec<Cell>| matches!(row.first(), Some(Cell::Text(text)) if text.starts_with(end));
        Some((table, table.rows.iter().find(named)?.as_slice()))
    });
    (line, row)
}

/// What is kept clear in the written model, against the numbers that the plan of the same schedule tells people.
#[test]
fn what_is_kept_clear_reaches_as_far_as_the_plan_says() {
    let written = Written::of("quillmere.xlsx");
    let reading = &written.reading;
    let book = rulebook::built_in_force("lrfd-2020").unwrap();
    let hand_mm = book.limits["jack_room_mm"].value;
    let as_of = Date::new(2026, 11, 25).unwrap();
    let context =
        Context::new(&reading.schedule, &reading.problems, &reading.questions, &book, as_of);
    let seen = written.seen();
    let clear = seen["clear"].as_object().unwrap();
    let near_mm = |is: f64, asked: f64, what: &str| {
        assert!((is - asked).abs() < 1e-3, "{what}: {is} mm, not {asked} mm");
    };
    let (mut stubs, mut jacks) = (0, 0);
    for at in context.tendons() {
        let plan = restrand_plan::plan(&context, &at);
        // Of a tendon that is not replaced nothing is planned.
        if plan.not_for.is_some() {
            continue;
        }
        let step = |id: StepId| plan.steps.iter().find(|step| step.id == id).unwrap();
        for (name, end) in at.tendon.stated_ends() {
            let axes = axes_of(at.tendon, name);
            let reach = |kind: &str| {
                let what = format!("{kind} {} {name}", at.mark());
                let [along, ..] = extents(clear.get(&what)?, axes);
                Some((what, along))
            };
            let call = format!("end {name}");
            let (line, _) = of_end(step(StepId::AnchorStubs), &call);
            let number = |line: &Line, name: &str| {
                let fact = line.facts.iter().find(|fact| fact.name == name).unwrap();
                match fact.value {
                    FactValue::Number(number) => number,
                    FactValue::Text(_) => panic!("{name} is a number"),
                }
            };
            if let Some(line) = line {
                let (what, along) = reach("Stub").unwrap();
                near_mm(along[0], end.stub_cut_mm.unwrap(), &what);
                near_mm(along[1] - along[0], number(line, "stub_length_mm"), &what);
                let (what, along) = reach("Removal space").unwrap();
                near_mm(along[0], 0.0, &what);
                near_mm(along[1], number(line, "behind_mm"), &what);
                stubs += 1;
            }
            let (_, row) = of_end(step(StepId::JackIn), &call);
            if let Some((table, row)) = row {
                let cell = |name: &str| {
                    let index =
                        table.columns.iter().position(|column| column.name == name).unwrap();
                    match row[index] {
                        Cell::Number(number) => number,
                        _ => panic!("{name} is a number"),
                    }
                };
                let (what, along) = reach("Jack").unwrap();
                // The plan adds room for hands behind it.
                let cases = ["threading_on_mm", "stressing_mm", "taking_off_mm"];
                let most_mm = cases.map(cell).into_iter().fold(0.0, f64::max);
                near_mm(along[1], most_mm - hand_mm, &what);
                near_mm(reach("Removal space").unwrap().1[1], cell("there_are_mm"), &what);
                jacks += 1;
            }
        }
    }
    assert!(stubs > 30 && jacks > 10, "{stubs} stubs, {jacks} jacks");
}

#[test]
fn anchors_and_forms_are_connected_and_grouped() {
    let written = Written::of("quillmere.xlsx");
    let seen = written.seen();
    let connected = seen["connected"].as_array().unwrap();
    let system = seen["system"].as_array().unwrap();
    let is_member = |name: &str| system.iter().any(|member| member == name);
    for tendon in written.tendons() {
        let mark = tendon.mark.as_deref().unwrap();
        assert!(is_member(mark), "{mark}");
        let by = |name: &str| connected.iter().any(|one| one[0] == mark && one[1][0] == name);
        for (end, _) in tendon.stated_ends() {
            let anchor = format!("{mark} {end}");
            assert!(is_member(&anchor) && by(&anchor), "{anchor}");
        }
        for deviator in &tendon.deviators {
            let form = format!("{mark} at {}", deviator.place.as_ref().unwrap().key());
            assert!(is_member(&form) && by(&form), "{form}");
        }
    }
}
