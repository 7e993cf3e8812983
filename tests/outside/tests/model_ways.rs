//! Models written in the ways of other programs, read for facts that are known from how they are made: units by
//! factors of factors, placements turned in each other, axes that are bodies or run backwards, sets at types, and room
//! told by each of its carriers.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::fs;
use std::path::Path;

use restrand_ifcspf::IfcSpf;
use restrand_intake::Reading;
use restrand_kit::recognise::Mapping;
use restrand_kit::{Budget, Bytes, Parts};
use restrand_model::reading::{Place, ProblemKind, Sureness, UnderstoodTable};
use restrand_model::route::Route;
use restrand_model::schedule::{EndName, RemovalSpace, Tendon};
use restrand_test_outside::run;

/// Metres of a foot and an inch, and kilonewtons of a kip, by definition.
const FT_M: f64 = 0.3048;
const IN_M: f64 = 0.0254;
const KIP_KN: f64 = 4.4482216152605;

/// What the other programs' properties are.
const MAPPING: &str = "mapping = 1\n[ifc]\n\
    \"Cable data.Strands\" = \"tendon.strand_count\"\n\
    \"Cable data.Jacking\" = \"stressing.jacking_force\"\n";
/// The same, with a set that one of them has.
const WITH_ANCHORS: &str = "\"Anchor data.Tail\" = \"end.tail\"\n";

struct Model {
    text: String,
    reading: Reading,
}

fn model(way: &str, mapping: &str) -> Model {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("model.ifc");
    run("model_ways.py", &[Path::new(way), &path]);
    let text = fs::read_to_string(path).unwrap();
    let mapping: Mapping = toml::from_str(mapping).unwrap();
    let part = Bytes::new("model.ifc", text.clone().into_bytes());
    let parts = Parts(&[&part]);
    let reading =
        restrand_intake::read_mapped(&IfcSpf, parts, Budget::default(), &mapping).unwrap();
    Model { text, reading }
}

impl Model {
    fn tendon(&self) -> &Tendon {
        let [tendon] = self.reading.schedule.tendons.as_slice() else { panic!("one tendon") };
        assert_eq!(tendon.mark.as_deref(), Some("F1"));
        tendon
    }

    fn room(&self, name: EndName) -> &RemovalSpace {
        let (_, end) = self.tendon().stated_ends().find(|(end, _)| *end == name).unwrap();
        end.removal_space.as_deref().unwrap()
    }

    /// What stands in the file where a value does.
    fn stands_at(&self, route: &str) -> &str {
        let names: Vec<&str> = route.split('.').collect();
        let (record, path) = Route::of_names(&names).unwrap().source(&self.reading.schedule);
        let Some(Place::Text { span, .. }) = self.reading.provenance.place(record, &path) else {
            panic!("{route} has no place");
        };
        let at = |byte| usize::try_from(byte).unwrap();
        &self.text[at(span.start)..at(span.end)]
    }

    /// The subjects of problems of a kind.
    fn told(&self, kind: ProblemKind) -> Vec<&str> {
        let problems = self.reading.problems.iter().filter(|problem| problem.kind == kind);
        problems.map(|problem| problem.subject.as_str()).collect()
    }
}

fn near(is: Option<f64>, asked: f64, most: f64, what: &str) {
    let is = is.unwrap_or_else(|| panic!("{what} is not read"));
    assert!((is - asked).abs() <= most, "{what}: {is}, not {asked}");
}

/// Station, lateral and elevation of a point in metres, and the radius of its arc.
type Corner = ([f64; 3], Option<f64>);

fn course(model: &Model, asked: &[Corner]) {
    let points = &model.tendon().points;
    assert_eq!(points.len(), asked.len(), "{points:?}");
    for (point, ([station, lateral, elevation], radius)) in points.iter().zip(asked) {
        near(point.station_m, *station, 1e-9, "a station");
        near(point.lateral_m, *lateral, 1e-9, "a lateral position");
        near(point.elevation_m, *elevation, 1e-9, "an elevation");
        assert_eq!(point.radius_m.is_some(), radius.is_some(), "{points:?}");
        if let Some(radius) = radius {
            near(point.radius_m, *radius, 1e-6, "a radius");
        }
    }
}

/// Room around a level box: so far behind, up and down from the anchor, and to each side, in metres, about an axis that
/// rises backwards by a slope.
///
/// The far face is met along the axis, and what is above is least at the far end, where the axis has risen.
fn room(model: &Model, name: EndName, [behind, up, down, side]: [f64; 4], slope: f64) {
    let space = model.room(name);
    let along = (1.0 + slope * slope).sqrt();
    let mm = |metres: f64| metres * 1000.0;
    near(space.behind_mm, mm(behind * along), 1e-4, "behind");
    near(space.up_mm, mm((up - behind * slope) * along), 1e-4, "up");
    near(space.down_mm, mm(down * along), 1e-4, "down");
    near(space.left_mm, mm(side), 1e-4, "left");
    near(space.right_mm, mm(side), 1e-4, "right");
}

#[test]
fn feet_and_kips_a_body_for_an_axis_and_sets_at_types() {
    let model = model("feet", &format!("{MAPPING}{WITH_ANCHORS}"));
    // Of IFC 4, the building is the bridge; it stands 100 ft along the world's x. The tendon's own axes stand at 10 ft,
    // 6 ft of it; its course along their -y is along its x.
    let at = |station: f64, elevation: f64| ([station * FT_M, 6.0 * FT_M, elevation * FT_M], None);
    course(&model, &[at(10.0, 6.0), at(70.0, 2.0), at(130.0, 6.0)]);
    // 4 ft in 60 ft; a box of 4 ft by 3 ft about the anchor, 8 ft deep.
    for name in [EndName::A, EndName::B] {
        room(&model, name, [8.0, 1.5, 1.5, 2.0].map(|feet| feet * FT_M), 4.0 / 60.0);
    }
    let tendon = model.tendon();
    let stressing = tendon.stressing.as_deref().unwrap();
    assert_eq!(stressing.mu, Some(0.2));
    near(stressing.set_mm, 0.25 * IN_M * 1000.0, 1e-9, "set");
    // A type states these of each of its tendons and anchors; what one of them states itself holds.
    assert_eq!(tendon.strand_count, Some(19));
    near(stressing.jacking_force_kn, 800.0 * KIP_KN, 1e-6, "force");
    let tails: Vec<_> = tendon.stated_ends().map(|(_, end)| end.tail_mm).collect();
    near(tails[0], 30.0 * IN_M * 1000.0, 1e-9, "tail at a");
    near(tails[1], 24.0 * IN_M * 1000.0, 1e-9, "tail at b");
    assert!(model.stands_at("tendons.0.strand_count").contains("'Strands'"));
    assert!(model.stands_at("tendons.0.ends.b.tail_mm").contains("(24.)"));
    assert_eq!(model.told(ProblemKind::ValueLost), Vec::<&str>::new());
    assert_eq!(model.told(ProblemKind::ValueDoubtful), Vec::<&str>::new());
}

#[test]
fn placements_turned_far_from_the_origin_and_an_arc_of_pieces() {
    let model = model("turned", MAPPING);
    // 2 m along the bridge and to its left, as each turn is undone by the next; 20 m round the corner.
    let corners =
        [([2.0, 2.0, 1.5], None), ([22.0, 2.0, 0.5], Some(20.0)), ([42.0, 2.0, 1.5], None)];
    course(&model, &corners);
    // 1.2 m by 2 m, its middle 0.1 m above the anchor; 1 m in 20 m.
    room(&model, EndName::A, [3.0, 0.7, 0.5, 1.0], 0.05);
    room(&model, EndName::B, [2.5, 0.7, 0.5, 1.0], 0.05);
    let places: Vec<_> = model.tendon().stated_ends().map(|(_, end)| end.place.clone()).collect();
    assert_eq!(
        places.iter().flatten().map(|place| place.key()).collect::<Vec<_>>(),
        ["Block A", "Block B"]
    );
    // A force without a unit is none, and is said.
    let stressing = model.tendon().stressing.as_deref();
    assert_eq!(stressing.and_then(|stressing| stressing.jacking_force_kn), None);
    assert_eq!(model.told(ProblemKind::ValueLost).len(), 2, "{:?}", model.reading.problems);
}

#[test]
fn inches_of_feet_an_axis_that_runs_backwards_and_room_without_a_kind() {
    let model = model("inches", MAPPING);
    let at = |station: f64, elevation: f64| ([station * IN_M, 60.0 * IN_M, elevation * IN_M], None);
    course(&model, &[at(120.0, 60.0), at(840.0, 24.0), at(1560.0, 60.0)]);
    // 36 in in 720 in; a box of 40 in by 30 in, 96 in deep.
    for name in [EndName::A, EndName::B] {
        room(&model, name, [96.0, 15.0, 15.0, 20.0].map(|inches| inches * IN_M), 36.0 / 720.0);
    }
    let stressing = model.tendon().stressing.as_deref().unwrap();
    near(stressing.set_mm, 0.25 * IN_M * 1000.0, 1e-9, "set");
    assert_eq!(stressing.jacking_force_kn, Some(3500.0));
}

#[test]
fn sets_that_nothing_takes_are_told_with_what_they_state() {
    let mapped = model("inches", MAPPING);
    assert_eq!(mapped.told(ProblemKind::SheetUnknown), Vec::<&str>::new());
    let tables = |model: &Model| model.reading.understood[0].tables.clone();
    let [table]: [UnderstoodTable; 1] = tables(&mapped).try_into().unwrap();
    assert_eq!(table.caption.as_deref(), Some("Cable data"));
    let of = |position: usize| {
        (table.columns[position].header.clone(), table.columns[position].sureness)
    };
    assert_eq!(of(0), ("Jacking".to_owned(), Sureness::Mapped));
    assert_eq!(table.columns[0].fields, ["stressing.jacking_force"]);
    assert_eq!(of(1), ("Kept".to_owned(), Sureness::Kept));
    assert!(table.columns[1].why.contains("by the owner"), "{:?}", table.columns[1]);
    let plain = model("inches", "mapping = 1\n");
    assert_eq!(plain.told(ProblemKind::SheetUnknown), ["property set Cable data"]);
    let starter =
        restrand_kit::recognise::starter(&plain.reading.understood, &plain.reading.questions);
    assert!(starter.contains("# \"Cable data.Jacking\" = \"record.field\""), "{starter}");
    // What it begins with can be read as it is, and says nothing yet.
    let begun: Mapping = toml::from_str(&starter).unwrap();
    assert!(
        begun.ifc.is_some_and(|table| table.as_object().is_some_and(serde_json::Map::is_empty))
    );
}
