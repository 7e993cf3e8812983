//! The course of a tendon by its bodies, as general programs draw them.

#![allow(clippy::unwrap_used, reason = "a failure is a failure of the test")]

mod common;

use common::{HEAD, Read, TENDON, number, points, read, value};
use restrand_model::reading::ProblemKind;
use restrand_model::value::Value;

/// The tendon with these items as its body, and with what else its shapes are.
fn with_body(items: &[u32], shapes: &str, instances: &str) -> Read {
    let numbers: Vec<String> = items.iter().map(|item| format!("#{item}")).collect();
    let body = format!(
        "#12=IFCSHAPEREPRESENTATION($,'Body','AdvancedSweptSolid',({}));\n\
         #13=IFCPRODUCTDEFINITIONSHAPE($,$,(#12{shapes}));\n",
        numbers.join(",")
    );
    let tendon: String = TENDON
        .lines()
        .filter(|line| !line.starts_with("#12=") && !line.starts_with("#13="))
        .map(|line| format!("{line}\n"))
        .collect();
    read(&format!("{HEAD}{tendon}{body}{instances}"))
}

/// A polyline from these points, and what is swept along it: as `#id` with numbers behind it.
fn disk(id: u32, ends: &[[f64; 3]], swept: &str) -> String {
    let mut text = String::new();
    let mut numbers = Vec::new();
    for (point, [x, y, z]) in (id + 2..).zip(ends) {
        text.push_str(&format!("#{point}=IFCCARTESIANPOINT(({x:?},{y:?},{z:?}));\n"));
        numbers.push(format!("#{point}"));
    }
    format!("{text}#{}=IFCPOLYLINE(({}));\n#{id}={swept};\n", id + 1, numbers.join(","))
}

fn plain(id: u32, ends: &[[f64; 3]]) -> String {
    disk(id, ends, &format!("IFCSWEPTDISKSOLID(#{},30.,$,$,$)", id + 1))
}

const COURSE: [[f64; 3]; 3] = [[0.0, 0.0, 1800.0], [20_000.0, 0.0, 400.0], [40_000.0, 0.0, 1800.0]];

fn said_of_axis(read: &Read) -> Vec<(ProblemKind, String)> {
    let of_axis = read.problems.iter().filter(|one| one.subject.ends_with("axis"));
    of_axis.map(|one| (one.kind, one.why.clone())).collect()
}

#[test]
fn pieces_one_behind_the_other_are_one_course() {
    let [first, middle, last] = COURSE;
    // In any order and direction.
    let pieces = format!("{}{}", plain(40, &[last, middle]), plain(50, &[first, middle]));
    let read = with_body(&[40, 50], "", &pieces);
    let mut found = points(read.of("Tendons")[0]);
    found.sort_by(|one, other| one[0].total_cmp(&other[0]));
    assert_eq!(found, [[0.0, 0.0, 1.8], [20.0, 0.0, 0.4], [40.0, 0.0, 1.8]]);
    assert_eq!(found, points(read.of("Tendons")[0]), "in order of station");
    let [(kind, why)] = said_of_axis(&read).try_into().unwrap();
    assert_eq!(kind, ProblemKind::Assumed);
    assert!(why.contains("one behind the other"), "{why}");
}

#[test]
fn strands_beside_each_other_have_their_middle_as_course() {
    let beside = |by: f64| COURSE.map(|[x, y, z]| [x, y + by, z]);
    let strands = [plain(40, &beside(-100.0)), plain(50, &beside(0.0)), plain(60, &beside(40.0))];
    let read = with_body(&[40, 50, 60], "", &strands.concat());
    for (found, [x, y, z]) in points(read.of("Tendons")[0]).into_iter().zip(beside(-20.0)) {
        for (found, asked) in found.into_iter().zip([x, y, z]) {
            assert!((found - asked / 1000.0).abs() < 1e-9, "{found} and not {asked}");
        }
    }
    assert_eq!(said_of_axis(&read)[0].0, ProblemKind::Assumed);
    // Two that have nothing to do with each other are said.
    let apart = [plain(40, &beside(0.0)), plain(50, &beside(9000.0))];
    let read = with_body(&[40, 50], "", &apart.concat());
    assert_eq!(said_of_axis(&read)[0].0, ProblemKind::ValueDoubtful);
}

#[test]
fn a_fillet_rounds_the_corners_of_a_polygon() {
    let body = disk(40, &COURSE, "IFCSWEPTDISKSOLIDPOLYGONAL(#41,30.,$,$,$,8000.)");
    let read = with_body(&[40], "", &body);
    let tendon = read.of("Tendons")[0];
    let Some(Value::List(points)) = value(&tendon.fields, "points") else { panic!() };
    let radii: Vec<_> =
        points.iter().map(|point| number(point.as_fields().unwrap(), "radius_m")).collect();
    assert_eq!(radii, [None, Some(8.0), None]);
}

#[test]
fn an_axis_in_plan_gives_way_to_a_body_in_space() {
    let plan = "#70=IFCCARTESIANPOINT((0.,0.));\n#71=IFCCARTESIANPOINT((40000.,0.));\n\
                #72=IFCPOLYLINE((#70,#71));\n#73=IFCSHAPEREPRESENTATION($,'Axis','Curve2D',(#72));\n";
    let read = with_body(&[40], ",#73", &format!("{}{plan}", plain(40, &COURSE)));
    assert_eq!(points(read.of("Tendons")[0]).len(), 3);
    assert_eq!(said_of_axis(&read), []);
    // Without one, that there are no heights is said.
    let read = with_body(&[], ",#73", plan);
    assert_eq!(points(read.of("Tendons")[0]).len(), 2);
    assert!(said_of_axis(&read)[0].1.contains("tells no heights"));
}

#[test]
fn shapes_from_which_no_course_follows_are_said() {
    let read = with_body(&[40], "", "#40=IFCFACETEDBREP(#41);\n");
    assert_eq!(said_of_axis(&read).len(), 1, "{}", read.all_said());
    assert_eq!(said_of_axis(&read)[0].0, ProblemKind::ValueLost);
}

#[test]
fn a_body_along_a_part_of_its_curve_is_said() {
    for (ends, said) in
        [("$,$", 0), ("0.,2.", 0), ("0.,1.", 0), ("0.,40097.88", 0), ("0.5,2.", 1), ("0.,1.5", 1)]
    {
        let body = disk(40, &COURSE, &format!("IFCSWEPTDISKSOLID(#41,30.,$,{ends})"));
        let read = with_body(&[40], "", &body);
        assert_eq!(points(read.of("Tendons")[0]).len(), 3);
        assert_eq!(said_of_axis(&read).len(), said, "{ends}: {}", read.all_said());
    }
}

#[test]
fn a_coordinate_beyond_the_earth_is_said_and_takes_no_point_out() {
    let far = [[0.0, 0.0, 0.0], [62.0e300, 0.0, 0.0], [40_000.0, 0.0, 0.0]];
    let read = with_body(&[40], "", &plain(40, &far));
    assert!(read.of("Tendons")[0].fields.get("points").is_none());
    assert_eq!(read.said("greater than any on earth").len(), 1, "{}", read.all_said());
    let tendon = TENDON.replace("(20000.,", "(2.E200,");
    let read = common::read(&format!("{HEAD}{tendon}"));
    assert_eq!(read.said("greater than any on earth").len(), 1, "{}", read.all_said());
}
