//! What a model means: units, places and axes, links, types, clear room, property sets.

#![allow(clippy::unwrap_used, reason = "a failure is a failure of the test")]

mod common;

use common::{HEAD, Read, TENDON, number, points, read, read_as, text, value};
use restrand_model::reading::ProblemKind;
use restrand_model::value::Value;

fn close(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-9 * other.abs().max(1.0)
}

fn assert_points(read: &Read, expected: &[[f64; 3]]) {
    let found = points(read.of("Tendons")[0]);
    let alike = found.len() == expected.len()
        && found
            .iter()
            .flatten()
            .zip(expected.iter().flatten())
            .all(|(one, two)| close(*one, *two));
    assert!(alike, "{found:?} and not {expected:?}\n{}", read.all_said());
}

/// The tendon with another curve, whose entities have numbers from 40 on and which is #40.
fn with_curve(curve: &str) -> Read {
    read(&format!("{HEAD}{}{curve}", TENDON.replace("'Curve3D',(#11)", "'Curve3D',(#40)")))
}

#[test]
fn a_tendon_is_its_axis_ends_places_and_attributes() {
    let read = read(&format!("{HEAD}{TENDON}"));
    assert_points(&read, &[[0.0, 0.5, 1.8], [20.0, 0.5, 0.4], [40.0, 0.5, 1.8]]);
    let tendon = &read.of("Tendons")[0].fields;
    assert_eq!(text(tendon, "mark"), Some("T1"));
    assert_eq!(number(tendon, "stressing.mu"), Some(0.15));
    assert_eq!(number(tendon, "stressing.set_mm"), Some(6.0));
    // IFC's highest allowed force is no jacking force of a schedule: it is kept beside the fields.
    assert_eq!(number(tendon, "extra.TensionForce_kn"), Some(4000.0));
    assert_eq!(number(tendon, "extra.MinCurvatureRadius_m"), Some(3.0));
    assert_eq!(text(tendon, "extra.GlobalId"), Some("0000000000000000000003"));
    let ends = read.of("Ends");
    for (end, letter, place, kind) in
        [(ends[0], "a", "D1", "stressing"), (ends[1], "b", "D2", "dead")]
    {
        assert_eq!(end.links, [Some("T1".into()), Some(letter.into())]);
        assert_eq!(text(&end.fields, "place"), Some(place));
        assert_eq!(text(&end.fields, "kind"), Some(kind));
    }
    assert_eq!(text(&read.of("Project")[0].fields, "bridge"), Some("Long bridge"));
    for understood in [
        "one LENGTHUNIT of the model is 0.001 of its SI unit",
        "one FORCEUNIT of the model is 1000 of its SI unit",
        "2 anchors and conduits are those of their tendons by a connection",
    ] {
        assert!(read.understood.iter().any(|one| one == understood), "{:?}", read.understood);
    }
}

/// The international foot, the kilopound-force and the ksi in SI (NIST Special Publication 811, appendix B.8).
#[test]
fn units_count_by_their_factors_and_never_by_their_names() {
    let head = "\
#1=IFCCONVERSIONBASEDUNIT(#90,.LENGTHUNIT.,'METRE',#80);
#2=IFCCONVERSIONBASEDUNIT(#91,.FORCEUNIT.,'KILONEWTON',#83);
#3=IFCCONVERSIONBASEDUNIT(#92,.PRESSUREUNIT.,'pascal',#85);
#4=IFCDERIVEDUNIT((#87),.AREAUNIT.,$,$);
#5=IFCUNITASSIGNMENT((#1,#2,#3,#4));
#6=IFCPROJECT('0000000000000000000001',$,'P',$,$,$,$,(),#5);
#80=IFCMEASUREWITHUNIT(IFCRATIOMEASURE(12.),#81);
#81=IFCCONVERSIONBASEDUNIT(#90,.LENGTHUNIT.,'INCH',#82);
#82=IFCMEASUREWITHUNIT(IFCLENGTHMEASURE(0.0254),#89);
#83=IFCMEASUREWITHUNIT(IFCFORCEMEASURE(4448.2216152605),#84);
#84=IFCSIUNIT(*,.FORCEUNIT.,$,.NEWTON.);
#85=IFCMEASUREWITHUNIT(IFCPRESSUREMEASURE(6.894757293168),#86);
#86=IFCSIUNIT(*,.PRESSUREUNIT.,.MEGA.,.PASCAL.);
#87=IFCDERIVEDUNITELEMENT(#81,2);
#89=IFCSIUNIT(*,.LENGTHUNIT.,$,.METRE.);
#90=IFCDIMENSIONALEXPONENTS(1,0,0,0,0,0,0);
#91=IFCDIMENSIONALEXPONENTS(1,1,-2,0,0,0,0);
#92=IFCDIMENSIONALEXPONENTS(-1,1,-2,0,0,0,0);
#93=IFCTENDONTYPE('0000000000000000000030',$,'19',$,$,$,$,$,$,.STRAND.,$,4.42,$);
#94=IFCRELDEFINESBYTYPE('0000000000000000000031',$,$,$,(#14),#93);
";
    let read = read(&format!("{head}{TENDON}"));
    assert_eq!(read.all_said(), "");
    assert_points(
        &read,
        &[[0.0, 152.4, 548.64], [6096.0, 152.4, 121.92], [12192.0, 152.4, 548.64]],
    );
    let tendon = &read.of("Tendons")[0].fields;
    assert!(close(number(tendon, "extra.TensionForce_kn").unwrap(), 4000.0 * 4.448_221_615_260_5));
    assert!(close(number(tendon, "extra.PreStress_mpa").unwrap(), 1395.0 * 6.894_757_293_168));
    assert!(close(number(tendon, "extra.CrossSectionArea_mm2").unwrap(), 4.42 * 645.16));
    assert!(close(number(tendon, "stressing.set_mm").unwrap(), 6.0 * 304.8));
}

/// The prefix belongs to the metre before it is squared, as IFC 4.3 has it.
#[test]
fn a_square_millimetre_is_a_millionth_of_a_square_metre() {
    let type_ = "#30=IFCTENDONTYPE('0000000000000000000030',$,'19',$,$,$,$,$,$,.STRAND.,80.,2850.,$);\n\
                 #31=IFCRELDEFINESBYTYPE('0000000000000000000031',$,$,$,(#14),#30);\n";
    let read = read(&format!("{HEAD}{TENDON}{type_}"));
    assert_eq!(number(&read.of("Tendons")[0].fields, "extra.CrossSectionArea_mm2"), Some(2850.0));
}

#[test]
fn a_quantity_whose_unit_is_not_declared_is_said_and_not_guessed() {
    let head = HEAD.replace("(#1,#2,#3,#4)", "(#1)");
    let read = read(&format!("{head}{TENDON}"));
    let found = read.said("the project states no unit of the kind");
    let kinds: Vec<_> = found.iter().map(|problem| (problem.kind, &*problem.subject)).collect();
    let tendon = "#14 IfcTendon 0000000000000000000003 T1, ";
    let lost = ProblemKind::ValueLost;
    assert_eq!(
        kinds,
        [(lost, &*format!("{tendon}TensionForce")), (lost, &*format!("{tendon}PreStress"))]
    );
    assert_eq!(number(&read.of("Tendons")[0].fields, "extra.TensionForce_kn"), None);
    // Without a unit of length a model lies nowhere.
    let read = common::read(&format!("{}{TENDON}", HEAD.replace("(#1,#2,#3,#4)", "(#2)")));
    assert!(points(read.of("Tendons")[0]).is_empty());
    assert_eq!(read.said("states no unit of length").len(), 1);
}

#[test]
fn a_unit_of_another_kind_than_it_says_is_none() {
    let head = HEAD.replace(".MILLI.,.METRE.", ".MILLI.,.SQUARE_METRE.");
    let read = read(&format!("{head}{TENDON}"));
    assert_eq!(read.said("a LENGTHUNIT is no SQUARE_METRE").len(), 1, "{}", read.all_said());
}

/// A bridge at (1000, 2000, 100) m whose x axis points north, with a tendon placed 10 m along it: its points come out
/// in the bridge's own axes.
#[test]
fn placements_are_followed_through_the_whole_chain() {
    let placements = "\
#40=IFCCARTESIANPOINT((1000000.,2000000.,100000.));
#41=IFCDIRECTION((0.,0.,1.));
#42=IFCDIRECTION((0.,1.,0.));
#43=IFCAXIS2PLACEMENT3D(#40,#41,#42);
#44=IFCLOCALPLACEMENT($,#43);
#45=IFCCARTESIANPOINT((10000.,0.,0.));
#46=IFCDIRECTION((0.,-1.,0.));
#47=IFCAXIS2PLACEMENT3D(#45,#41,#46);
#48=IFCLOCALPLACEMENT(#44,#47);
#49=IFCCARTESIANPOINT((0.,0.,0.));
#50=IFCDIRECTION((0.,1.,0.));
#51=IFCAXIS2PLACEMENT3D(#49,#41,#50);
#52=IFCLOCALPLACEMENT(#48,#51);
";
    let head = HEAD.replace("'Long bridge',$,$,$,", "'Long bridge',$,$,#44,");
    let tendon = TENDON.replace("'T1',$,$,$,#13", "'T1',$,$,#52,#13");
    let read = read(&format!("{head}{placements}{tendon}"));
    // Turned to the right and back to the left, so that the tendon's axes are the bridge's, 10 m on.
    assert_points(&read, &[[10.0, 0.5, 1.8], [30.0, 0.5, 0.4], [50.0, 0.5, 1.8]]);
    let assumed = read.said("stations are counted along the x axis of the bridge's own placement");
    assert_eq!((assumed.len(), assumed[0].kind), (1, ProblemKind::Assumed));
}

/// Plane geometry: two lines at a right angle, rounded by a quarter of a circle of radius 5.
#[test]
fn arcs_become_corners_with_a_radius() {
    let half = 5000.0 * (1.0 - 0.5_f64.sqrt());
    let middle = format!("({},0.,{})", 20000.0 - half, half);
    let indexed = format!(
        "#40=IFCINDEXEDPOLYCURVE(#41,(IFCLINEINDEX((1,2)),IFCARCINDEX((2,3,4)),IFCLINEINDEX((4,5))),.F.);\n\
         #41=IFCCARTESIANPOINTLIST3D(((0.,0.,0.),(15000.,0.,0.),{middle},(20000.,0.,5000.),(20000.,0.,9000.)),$);\n"
    );
    // The same from lines and a trimmed circle, whose angles are in degrees.
    let composite = "\
#40=IFCCOMPOSITECURVE((#41,#42,#43),.F.);
#41=IFCCOMPOSITECURVESEGMENT(.CONTINUOUS.,.F.,#44);
#42=IFCCOMPOSITECURVESEGMENT(.CONTINUOUS.,.T.,#45);
#43=IFCCOMPOSITECURVESEGMENT(.CONTINUOUS.,.T.,#46);
#44=IFCPOLYLINE((#51,#50));
#45=IFCTRIMMEDCURVE(#47,(IFCPARAMETERVALUE(270.)),(IFCPARAMETERVALUE(0.)),.T.,.PARAMETER.);
#46=IFCTRIMMEDCURVE(#60,(#53),(#54),.T.,.CARTESIAN.);
#47=IFCCIRCLE(#48,5000.);
#48=IFCAXIS2PLACEMENT3D(#55,#56,#57);
#50=IFCCARTESIANPOINT((0.,0.,0.));
#51=IFCCARTESIANPOINT((15000.,0.,0.));
#53=IFCCARTESIANPOINT((20000.,0.,5000.));
#54=IFCCARTESIANPOINT((20000.,0.,9000.));
#55=IFCCARTESIANPOINT((15000.,0.,5000.));
#56=IFCDIRECTION((0.,-1.,0.));
#57=IFCDIRECTION((1.,0.,0.));
#60=IFCLINE(#53,#61);
#61=IFCVECTOR(#62,1.);
#62=IFCDIRECTION((0.,0.,1.));
#70=IFCCONVERSIONBASEDUNIT($,.PLANEANGLEUNIT.,'DEGREE',#71);
#71=IFCMEASUREWITHUNIT(IFCPLANEANGLEMEASURE(0.017453292519943295),#72);
#72=IFCSIUNIT(*,.PLANEANGLEUNIT.,$,.RADIAN.);
";
    let degrees = HEAD.replace("(#1,#2,#3,#4)", "(#1,#2,#3,#4,#70)");
    let tendon = TENDON.replace("'Curve3D',(#11)", "'Curve3D',(#40)");
    for read in [with_curve(&indexed), read(&format!("{degrees}{tendon}{composite}"))] {
        assert_points(&read, &[[0.0, 0.0, 0.0], [20.0, 0.0, 0.0], [20.0, 0.0, 9.0]]);
        let Some(Value::List(points)) = read.of("Tendons")[0].fields.get("points") else {
            panic!("it has points");
        };
        let radii: Vec<_> =
            points.iter().map(|point| number(point.as_fields().unwrap(), "radius_m")).collect();
        assert!(close(radii[1].unwrap(), 5.0), "{radii:?}");
        assert_eq!((radii[0], radii[2]), (None, None));
    }
}

/// A B-spline of degree 2 with knots 0 0 0 1 1 1 is the Bézier curve of its points: at half its parameter it is at
/// (P0 + 2 P1 + P2) / 4 (any text on Bézier curves).
#[test]
fn a_free_curve_is_followed_by_points() {
    let read = with_curve(
        "#40=IFCBSPLINECURVEWITHKNOTS(2,(#41,#42,#43),.UNSPECIFIED.,.F.,.F.,(3,3),(0.,1.),.UNSPECIFIED.);\n\
         #41=IFCCARTESIANPOINT((0.,0.,2000.));\n#42=IFCCARTESIANPOINT((20000.,0.,0.));\n\
         #43=IFCCARTESIANPOINT((40000.,0.,2000.));\n",
    );
    let found = points(read.of("Tendons")[0]);
    assert_eq!(found.len(), 17);
    assert!(
        found[8].iter().zip([20.0, 0.0, 1.0]).all(|(one, other)| close(*one, other)),
        "{found:?}"
    );
}

/// An alignment of 40 m on a straight line, then a quarter of a circle of 20 m to the left; over it the height is 1 m,
/// and from 40 m on rises by one in a hundred.
const ALIGNMENT: &str = "\
#80=IFCGRADIENTCURVE((#81,#82),.F.,#90,$);
#81=IFCCURVESEGMENT(.CONTINUOUS.,#83,IFCLENGTHMEASURE(0.),IFCLENGTHMEASURE(40000.),#100);
#82=IFCCURVESEGMENT(.CONTINUOUS.,#84,IFCLENGTHMEASURE(0.),IFCLENGTHMEASURE(31417.497),#100);
#83=IFCAXIS2PLACEMENT2D(#85,#86);
#84=IFCAXIS2PLACEMENT2D(#87,#88);
#85=IFCCARTESIANPOINT((0.,1000.));
#86=IFCDIRECTION((1.,0.));
#87=IFCCARTESIANPOINT((40000.,1000.));
#88=IFCDIRECTION((1.,0.01));
#90=IFCCOMPOSITECURVE((#91,#92,#95),.F.);
#91=IFCCURVESEGMENT(.CONTINUOUS.,#93,IFCLENGTHMEASURE(0.),IFCLENGTHMEASURE(40000.),#100);
#92=IFCCURVESEGMENT(.CONTINUOUS.,#94,IFCLENGTHMEASURE(0.),IFCLENGTHMEASURE(31415.926535897932),#101);
#93=IFCAXIS2PLACEMENT2D(#97,#86);
#94=IFCAXIS2PLACEMENT2D(#98,#86);
#95=IFCCURVESEGMENT(.DISCONTINUOUS.,#96,IFCLENGTHMEASURE(0.),IFCLENGTHMEASURE(0.),#100);
#96=IFCAXIS2PLACEMENT2D(#99,$);
#97=IFCCARTESIANPOINT((0.,0.));
#98=IFCCARTESIANPOINT((40000.,0.));
#99=IFCCARTESIANPOINT((60000.,20000.));
#100=IFCLINE(#97,#102);
#101=IFCCIRCLE(#103,20000.);
#102=IFCVECTOR(#86,1.);
#103=IFCAXIS2PLACEMENT2D(#97,$);
";

/// Plane geometry, and heights over the distance in the plan.
#[test]
fn an_alignment_is_followed_in_plan_and_height() {
    let tendon = TENDON.replace("'Curve3D',(#11)", "'Curve3D',(#80)");
    let read = read(&format!("{HEAD}{tendon}{ALIGNMENT}"));
    let found = points(read.of("Tendons")[0]);
    // The straight line has its ends, the arc sixteen points and the end.
    assert_eq!(found.len(), 2 + 16, "{found:?} {}", read.all_said());
    let arc = 20.0 * std::f64::consts::FRAC_PI_2;
    let half = 20.0 * 0.5_f64.sqrt();
    for (index, asked) in [
        (0, [0.0, 0.0, 1.0]),
        (1, [40.0, 0.0, 1.0]),
        (9, [40.0 + half, 20.0 - half, 1.0 + 0.01 * arc / 2.0]),
        (17, [60.0, 20.0, 1.0 + 0.01 * arc]),
    ] {
        let is_there =
            found[index].iter().zip(asked).all(|(one, other)| (one - other).abs() < 1e-6);
        assert!(is_there, "{index}: {:?}", found[index]);
    }
}

/// An anchor at 40 m and 2 m to the left of the alignment, and a solid by sections of which the last lies so.
#[test]
fn what_lies_by_the_distance_along_an_alignment_is_found() {
    let linear = "\
#110=IFCLINEARPLACEMENT($,#111,$);
#111=IFCAXIS2PLACEMENTLINEAR(#112,$,$);
#112=IFCPOINTBYDISTANCEEXPRESSION(IFCLENGTHMEASURE(40000.),2000.,-500.,$,#80);
#113=IFCAXIS2PLACEMENTLINEAR(#114,$,$);
#114=IFCPOINTBYDISTANCEEXPRESSION(IFCLENGTHMEASURE(10000.),2000.,0.,$,#80);
#115=IFCSECTIONEDSOLIDHORIZONTAL(#80,(),(#113,#111));
";
    let tendon = TENDON.replace("'Axis','Curve3D',(#11)", "'Body','AdvancedSweptSolid',(#115)");
    let found = read(&format!("{HEAD}{tendon}{ALIGNMENT}{linear}"));
    assert_points(&found, &[[10.0, 2.0, 1.0], [40.0, 2.0, 0.5]]);
    // As a placement it carries the axis along; at 60 m the curve has turned by one radian and rises. ifcopenshell 0.9
    // gives the same axes (create_shape of an element that is placed so).
    let at_60 = linear.replace("IFCLENGTHMEASURE(40000.)", "IFCLENGTHMEASURE(60000.)");
    let tendon = TENDON.replace("'T1',$,$,$,#13", "'T1',$,$,#110,#13");
    let moved = read(&format!("{HEAD}{tendon}{ALIGNMENT}{at_60}"));
    let plain = points(read(&format!("{HEAD}{TENDON}")).of("Tendons")[0]);
    let axes =
        [[0.540275, 0.841429, 0.01], [-0.841471, 0.540302, 0.0], [-0.005403, -0.008414, 0.99995]];
    let origin = [55.149179, 10.278766, 0.700025];
    for (found, own) in points(moved.of("Tendons")[0]).iter().zip(&plain) {
        let asked = |i: usize| origin[i] + (0..3).map(|j| own[j] * axes[j][i]).sum::<f64>();
        let is_there = (0..3).all(|i| (found[i] - asked(i)).abs() < 1e-4);
        assert!(is_there, "{found:?}");
    }
    // Beyond its end there is nothing.
    let beyond = linear.replace("IFCLENGTHMEASURE(40000.)", "IFCLENGTHMEASURE(400000.)");
    let lost = read(&format!("{HEAD}{tendon}{ALIGNMENT}{beyond}"));
    assert_eq!(lost.said("beyond the ends of its curve").len(), 1, "{}", lost.all_said());
}

/// Coordinates are laid off along straight lines; what a schedule's own set says, or does not say, holds.
#[test]
fn points_of_shapes_are_on_a_straight_line_of_stations() {
    let straight = |text: &str| {
        let read = read(text);
        let project = &read.of("Project")[0].fields;
        match value(project, "alignment_straight") {
            Some(Value::Flag(flag)) => Some(*flag),
            _ => None,
        }
    };
    assert_eq!(straight(&format!("{HEAD}{TENDON}")), Some(true));
    // A tendon without a shape lies nowhere.
    assert_eq!(
        straight(&format!("{HEAD}{}", TENDON.replace("'T1',$,$,$,#13", "'T1',$,$,$,$"))),
        None
    );
    let own = "\
#210=IFCPROPERTYSINGLEVALUE('bridge',$,IFCTEXT('B'),$);
#211=IFCPROPERTYSET('0000000000000000000021',$,'Restrand_Project',$,(#210));
#212=IFCRELDEFINESBYPROPERTIES('0000000000000000000022',$,$,$,(#2),#211);
";
    let bridge = HEAD.lines().find(|line| line.contains("=IFCBRIDGE(")).unwrap();
    let own = own.replace("(#2)", &format!("({})", bridge.split('=').next().unwrap()));
    assert_eq!(straight(&format!("{HEAD}{TENDON}{own}")), None);
}

/// A curve of 40 m whose cant lifts it, and turns what lies beside it; one without is followed in silence.
#[test]
fn cant_is_not_read_and_said_once() {
    let canted = "\
#120=IFCSEGMENTEDREFERENCECURVE((#121),.F.,#80,$);
#121=IFCCURVESEGMENT(.CONTINUOUS.,#122,IFCLENGTHMEASURE(0.),IFCLENGTHMEASURE(40000.),#100);
#122=IFCAXIS2PLACEMENT3D(#123,#124,#126);
#123=IFCCARTESIANPOINT((0.,75.,0.));
#124=IFCDIRECTION((0.,-0.1,0.995));
#126=IFCDIRECTION((1.,0.,0.));
";
    let tendon = TENDON.replace("'Curve3D',(#11)", "'Curve3D',(#120)");
    let plain = points(
        read(&format!("{HEAD}{}{ALIGNMENT}", tendon.replace("#120", "#80"))).of("Tendons")[0],
    );
    let found = read(&format!("{HEAD}{tendon}{ALIGNMENT}{canted}"));
    assert_eq!(found.said("its cant is not read").len(), 1, "{}", found.all_said());
    assert_eq!(points(found.of("Tendons")[0]), plain);
    let level =
        canted.replace("(0.,75.,0.)", "(0.,0.,0.)").replace("(0.,-0.1,0.995)", "(0.,0.,1.)");
    let found = read(&format!("{HEAD}{tendon}{ALIGNMENT}{level}"));
    assert_eq!(found.said("cant").len(), 0, "{}", found.all_said());
    assert_eq!(points(found.of("Tendons")[0]), plain);
}

#[test]
fn without_an_axis_the_body_tells_the_course() {
    let swept = "#40=IFCSWEPTDISKSOLID(#11,40.,$,$,$);\n";
    let tendon = TENDON.replace("'Axis','Curve3D',(#11)", "'Body','AdvancedSweptSolid',(#40)");
    let read = read(&format!("{HEAD}{tendon}{swept}"));
    assert_points(&read, &[[0.0, 0.5, 1.8], [20.0, 0.5, 0.4], [40.0, 0.5, 1.8]]);
}

/// A representation map turned by a quarter and moved: one body for several tendons.
#[test]
fn a_mapped_body_lies_where_it_is_mapped_to() {
    let mapped = "\
#40=IFCMAPPEDITEM(#41,#42);
#41=IFCREPRESENTATIONMAP(#43,#44);
#42=IFCCARTESIANTRANSFORMATIONOPERATOR3D($,$,#46,$,$);
#43=IFCAXIS2PLACEMENT3D(#47,$,$);
#44=IFCSHAPEREPRESENTATION($,'Body','AdvancedSweptSolid',(#45));
#45=IFCSWEPTDISKSOLID(#11,40.,$,$,$);
#46=IFCCARTESIANPOINT((5000.,0.,0.));
#47=IFCCARTESIANPOINT((0.,0.,0.));
";
    let tendon = TENDON.replace("'Axis','Curve3D',(#11)", "'Body','MappedRepresentation',(#40)");
    let read = read(&format!("{HEAD}{tendon}{mapped}"));
    assert_points(&read, &[[5.0, 0.5, 1.8], [25.0, 0.5, 0.4], [45.0, 0.5, 1.8]]);
}

#[test]
fn whose_an_anchor_is_comes_from_the_nearest_that_says_it_and_is_said() {
    let without: String = TENDON
        .lines()
        .filter(|line| !line.contains("IFCREL"))
        .map(|line| format!("{line}\n"))
        .collect();
    let named = without.replace("'T1-A'", "'anchor 1'").replace("'T1-B'", "'anchor 2'");
    let standing = "\
#40=IFCCARTESIANPOINT((0.,500.,1800.));
#41=IFCAXIS2PLACEMENT3D(#40,$,$);
#42=IFCLOCALPLACEMENT($,#41);
#43=IFCCARTESIANPOINT((40000.,500.,1800.));
#44=IFCAXIS2PLACEMENT3D(#43,$,$);
#45=IFCLOCALPLACEMENT($,#44);
";
    let placed = format!("{named}{standing}")
        .replace("'anchor 1',$,$,$", "'anchor 1',$,$,#42")
        .replace("'anchor 2',$,$,$", "'anchor 2',$,$,#45");
    let assembly = format!(
        "{named}#30=IFCELEMENTASSEMBLY('0000000000000000000030',$,'all of T1',$,$,$,$,$,$,.USERDEFINED.);\n\
         #31=IFCRELAGGREGATES('0000000000000000000031',$,$,$,#30,(#14,#15,#16));\n"
    );
    let nested = format!("{named}#30=IFCRELNESTS('0000000000000000000030',$,$,$,#14,(#15,#16));\n");
    for (instances, way) in [
        (&assembly, "by being parts of one assembly"),
        (&nested, "by being nested in it"),
        (&without, "by the beginning of their names"),
        (&placed, "by lying where it ends"),
    ] {
        let read = read(&format!("{HEAD}{instances}"));
        assert_eq!(read.of("Ends").len(), 2, "{way}: {}", read.all_said());
        let found = read.said(way);
        assert_eq!((found.len(), found[0].kind), (1, ProblemKind::Assumed), "{}", read.all_said());
        assert!(found[0].why.starts_with("2 anchors and conduits"));
        let understood = format!("2 anchors and conduits are those of their tendons {way}");
        assert!(read.understood.contains(&understood), "{:?}", read.understood);
    }
    let read = read(&format!("{HEAD}{named}"));
    assert!(read.of("Ends").is_empty());
    let kinds: Vec<_> = read.problems.iter().map(|problem| problem.kind).collect();
    assert_eq!(kinds, [ProblemKind::OwnerMissing; 2]);
}

#[test]
fn the_word_of_the_type_holds_and_a_conflict_is_said() {
    let type_ = "#30=IFCTENDONANCHORTYPE('0000000000000000000030',$,'A19',$,$,$,$,$,$,.TENSIONING_END.);\n\
                 #31=IFCRELDEFINESBYTYPE('0000000000000000000031',$,$,$,(#15,#16),#30);\n";
    let read = read(&format!("{HEAD}{TENDON}{type_}"));
    for end in read.of("Ends") {
        assert_eq!(text(&end.fields, "kind"), Some("stressing"));
        assert_eq!(text(&end.fields, "anchorage"), Some("A19"));
    }
    let found = read.said("its type says TENSIONING_END, and it says FIXED_END itself");
    assert!(!found.is_empty() && found[0].subject.starts_with("#16 IfcTendonAnchor"));
}

#[test]
fn an_attribute_that_differs_from_that_of_the_type_is_said() {
    let type_ = "#30=IFCTENDONTYPE('0000000000000000000030',$,'19',$,$,$,$,$,$,.STRAND.,80.,2850.,110.);\n\
                 #31=IFCRELDEFINESBYTYPE('0000000000000000000031',$,$,$,(#14),#30);\n";
    let own = TENDON.replace("'T1',$,$,$,$,4000.", "'T1',$,$,75.,$,4000.");
    let read = read_as("IFC4", &format!("{HEAD}{own}{type_}"));
    assert_eq!(read.said("it says 75, and its type 80").len(), 1, "{}", read.all_said());
    assert_eq!(number(&read.of("Tendons")[0].fields, "extra.NominalDiameter_mm"), Some(80.0));
}

#[test]
fn deviators_and_blisters_are_places_with_their_conduits() {
    let more = "\
#30=IFCPROJECTIONELEMENT('0000000000000000000030',$,'V1',$,$,$,$,$,.DEVIATOR.);
#31=IFCTENDONCONDUIT('0000000000000000000031',$,'T1 at V1',$,$,$,$,$,$,.DIABOLO.);
#32=IFCRELCONNECTSWITHREALIZINGELEMENTS('0000000000000000000032',$,$,$,$,#14,#30,(#31),'Deviation');
#33=IFCPROJECTIONELEMENT('0000000000000000000033',$,'B1',$,$,$,$,$,.BLISTER.);
#34=IFCBRIDGEPART('0000000000000000000034',$,'A1',$,$,$,$,$,.ELEMENT.,.LONGITUDINAL.,.ABUTMENT.);
#35=IFCTENDONCONDUIT('0000000000000000000035',$,'T1 duct',$,$,$,$,$,$,.DUCT.);
#36=IFCRELCONNECTSELEMENTS('0000000000000000000036',$,$,$,$,#14,#35);
#37=IFCTENDONCONDUITTYPE('0000000000000000000037',$,'PE110',$,$,$,$,$,$,.DUCT.);
#38=IFCRELDEFINESBYTYPE('0000000000000000000038',$,$,$,(#35),#37);
";
    let read = read(&format!("{HEAD}{TENDON}{more}"));
    assert_eq!(read.all_said(), "");
    let kinds: Vec<_> = read
        .of("Places")
        .iter()
        .map(|place| (text(&place.fields, "id").unwrap(), text(&place.fields, "kind").unwrap()))
        .collect();
    assert_eq!(
        kinds,
        [
            ("D1", "intermediate_diaphragm"),
            ("D2", "intermediate_diaphragm"),
            ("V1", "deviator"),
            ("B1", "blister"),
            ("A1", "abutment")
        ]
    );
    assert_eq!(text(&read.of("Deviators")[0].fields, "place"), Some("V1"));
    assert_eq!(text(&read.of("Tendons")[0].fields, "duct"), Some("PE110"));
    assert_eq!(text(&read.of("Ducts")[0].fields, "id"), Some("PE110"));
}

/// A box of 3 m behind the anchor, 0.4 m to each side of the axis: as `Clearance` of the anchor, as a virtual
/// element connected with it, and as a zone that is named after it. The axis falls 70 mm a metre towards the span.
#[test]
fn clear_room_is_measured_in_all_three_standard_ways() {
    let solid = "\
#40=IFCRECTANGLEPROFILEDEF(.AREA.,$,$,800.,800.);
#41=IFCCARTESIANPOINT((0.,500.,1800.));
#42=IFCDIRECTION((-1.,0.,0.));
#43=IFCDIRECTION((0.,1.,0.));
#44=IFCAXIS2PLACEMENT3D(#41,#42,#43);
#45=IFCDIRECTION((0.,0.,1.));
#46=IFCEXTRUDEDAREASOLID(#40,#44,#45,3000.);
#47=IFCSHAPEREPRESENTATION($,'Clearance','SweptSolid',(#46));
#48=IFCPRODUCTDEFINITIONSHAPE($,$,(#47));
#49=IFCSHAPEREPRESENTATION($,'Body','SweptSolid',(#46));
#50=IFCPRODUCTDEFINITIONSHAPE($,$,(#49));
";
    let on_anchor = TENDON.replace("'T1-A',$,$,$,$", "'T1-A',$,$,$,#48");
    let virtual_ = format!(
        "{TENDON}#60=IFCVIRTUALELEMENT('0000000000000000000060',$,'room',$,$,$,#50,$,.CLEARANCE.);\n\
         #61=IFCRELCONNECTSELEMENTS('0000000000000000000061',$,$,$,$,#15,#60);\n"
    );
    let zone = format!(
        "{TENDON}#60=IFCSPATIALZONE('0000000000000000000060',$,'room of T1-A',$,$,$,#50,$,.RESERVATION.);\n"
    );
    // The same rectangle as a line through its corners.
    let outline = "#40=IFCARBITRARYCLOSEDPROFILEDEF(.AREA.,$,#51);\n#51=IFCINDEXEDPOLYCURVE(#52,$,.F.);\n\
        #52=IFCCARTESIANPOINTLIST2D(((-400.,-400.),(400.,-400.),(400.,400.),(-400.,400.),(-400.,-400.)),$);\n";
    let outlined = solid.replace("#40=IFCRECTANGLEPROFILEDEF(.AREA.,$,$,800.,800.);\n", outline);
    assert_ne!(outlined, solid);
    for (solid, instances) in
        [(solid, &on_anchor), (solid, &virtual_), (solid, &zone), (&outlined, &on_anchor)]
    {
        let read = read(&format!("{HEAD}{solid}{instances}"));
        let space = value(&read.of("Ends")[0].fields, "removal_space");
        let space = space.unwrap_or_else(|| panic!("{}", read.all_said())).as_fields().unwrap();
        let slope = (1.0_f64 + 0.07 * 0.07).sqrt();
        // Along the axis to the far face; square to it, the least is at the far end above and at the plate below.
        for (field, expected) in [
            ("behind_mm", 3000.0 * slope),
            ("left_mm", 400.0),
            ("right_mm", 400.0),
            ("up_mm", (400.0 - 210.0) * slope),
            ("down_mm", 400.0 * slope),
        ] {
            let found = number(space, field).unwrap();
            assert!((found - expected).abs() < 1e-6, "{field}: {found} and not {expected}");
        }
    }
}

#[test]
fn clear_room_that_is_no_box_is_said() {
    let solid = "#47=IFCSHAPEREPRESENTATION($,'Clearance','CSG',(#49));\n\
                 #48=IFCPRODUCTDEFINITIONSHAPE($,$,(#47));\n#49=IFCSWEPTDISKSOLID(#11,40.,$,$,$);\n";
    let read =
        read(&format!("{HEAD}{solid}{}", TENDON.replace("'T1-A',$,$,$,$", "'T1-A',$,$,$,#48")));
    assert_eq!(read.said("the clear room is a shape that is not measured").len(), 1);
}

const SETS: &str = "\
#30=IFCPROPERTYSINGLEVALUE('behind',$,IFCPOSITIVELENGTHMEASURE(2500.),$);
#31=IFCPROPERTYSINGLEVALUE('up',$,IFCPOSITIVELENGTHMEASURE(1.5),#40);
#32=IFCPROPERTYSINGLEVALUE('down',$,IFCREAL(400.),$);
#33=IFCPROPERTYSINGLEVALUE('left',$,IFCFORCEMEASURE(400.),$);
#34=IFCPROPERTYSINGLEVALUE('colour',$,IFCLABEL('grey'),$);
#35=IFCPROPERTYSET('0000000000000000000035',$,'Restrand_RemovalSpace',$,(#30,#31,#32,#33,#34));
#36=IFCRELDEFINESBYPROPERTIES('0000000000000000000036',$,$,$,(#15),#35);
#40=IFCSIUNIT(*,.LENGTHUNIT.,$,.METRE.);
";

#[test]
fn properties_are_fields_as_measures_in_their_own_or_the_projects_unit() {
    let read = read(&format!("{HEAD}{TENDON}{SETS}"));
    let space = value(&read.of("Ends")[0].fields, "removal_space").unwrap().as_fields().unwrap();
    assert_eq!(number(space, "behind_mm"), Some(2500.0));
    assert_eq!(number(space, "up_mm"), Some(1500.0));
    assert_eq!(number(space, "down_mm"), None);
    assert_eq!(text(space, "colour"), Some("grey"));
    assert_eq!(read.said("it is a bare number (IFCREAL), which has no unit").len(), 1);
    assert_eq!(
        read.said("it is a force, where a length is needed").len(),
        1,
        "{}",
        read.all_said()
    );
}

#[test]
fn other_peoples_sets_are_read_by_a_mapping_file() {
    let sets = "\
#30=IFCPROPERTYSINGLEVALUE('Depth',$,IFCPOSITIVELENGTHMEASURE(2500.),$);
#31=IFCPROPERTYSINGLEVALUE('Width',$,IFCPOSITIVELENGTHMEASURE(800.),$);
#32=IFCPROPERTYSINGLEVALUE('Bond',$,IFCLABEL('free'),$);
#33=IFCPROPERTYSINGLEVALUE('Bond',$,IFCLABEL('other'),$);
#34=IFCPROPERTYSET('0000000000000000000034',$,'Office_Room',$,(#30,#31));
#35=IFCRELDEFINESBYPROPERTIES('0000000000000000000035',$,$,$,(#15),#34);
#36=IFCPROPERTYSET('0000000000000000000036',$,'Office_Kind',$,(#32,#33));
#37=IFCRELDEFINESBYPROPERTIES('0000000000000000000037',$,$,$,(#14),#36);
";
    let mapping = "\
[ifc]
\"Office_Room.Depth\" = \"removal_space.behind\"
\"Office_Room.Width\" = { to = [\"removal_space.left\", \"removal_space.right\"], times = 0.5 }
\"Office_Kind.Bond\" = { to = \"replacement.unbonded\", words = { FREE = true } }
";
    let model = common::file("IFC4X3_ADD2", &format!("{HEAD}{TENDON}{sets}"));
    let budget = restrand_kit::Budget::default();
    let read = common::load_mapped("model.ifc", model.as_bytes(), mapping, budget).unwrap();
    let space = value(&read.of("Ends")[0].fields, "removal_space").unwrap().as_fields().unwrap();
    assert_eq!(number(space, "behind_mm"), Some(2500.0));
    assert_eq!((number(space, "left_mm"), number(space, "right_mm")), (Some(400.0), Some(400.0)));
    let tendon = &read.of("Tendons")[0].fields;
    assert_eq!(value(tendon, "replacement.unbonded"), Some(&Value::Flag(true)));
    assert_eq!(read.said("does not say what this word means").len(), 1);
}

/// The one line of a real public file with a tendon that was found, from a reader of concrete specifications: a
/// tendon by itself, in IFC4, with millimetres and pascals and no unit of area.
#[test]
fn a_tendon_by_itself_in_ifc4_is_read_as_far_as_its_units_go() {
    let read = read_as(
        "IFC4",
        "#1=IFCSIUNIT(*,.LENGTHUNIT.,.MILLI.,.METRE.);\n#2=IFCSIUNIT(*,.PRESSUREUNIT.,$,.PASCAL.);\n\
         #3=IFCUNITASSIGNMENT((#1,#2));\n#4=IFCPROJECT('0000000000000000000001',$,'P',$,$,$,$,$,#3);\n\
         #50=IFCTENDON('3O2Fr$t4X7Zf8NOew3FLOA',$,'Tendon:T1:5001',$,$,$,$,'5001',$,.STRAND.,12.7,98.7,$,$,$,$,$);\n",
    );
    let tendon = &read.of("Tendons")[0].fields;
    assert_eq!(text(tendon, "mark"), Some("Tendon:T1:5001"));
    assert_eq!(number(tendon, "extra.NominalDiameter_mm"), Some(12.7));
    assert_eq!(number(tendon, "extra.CrossSectionArea_mm2"), None);
    assert_eq!(read.said("no unit of the kind AREAUNIT").len(), 1, "{}", read.all_said());
}

#[test]
fn sets_at_the_wrong_element_or_of_a_name_that_is_not_there_are_said() {
    // At the tendon, and at a slab that is nobody's.
    let sets = SETS.replace("(#15),#35", "(#14),#35");
    let read_here = read(&format!("{HEAD}{TENDON}{sets}"));
    let found = read_here.said("a set states it at an element of which it cannot be said");
    assert_eq!(found.len(), 1, "{}", read_here.all_said());
    assert!(found[0].subject.starts_with("#14 IfcTendon"));
    assert_eq!(found[0].given.as_deref(), Some("behind_mm, up_mm, colour"));
    let slab = format!(
        "{}#50=IFCSLAB('0000000000000000000050',$,'S',$,$,$,$,$,$);\n",
        SETS.replace("(#15),#35", "(#50),#35")
    );
    let read_there = read(&format!("{HEAD}{TENDON}{slab}"));
    let found = read_there.said("stand at nothing of which they could speak");
    assert_eq!((found.len(), found[0].given.as_deref()), (1, Some("Restrand_RemovalSpace")));
    let model = common::file("IFC4X3_ADD2", &format!("{HEAD}{TENDON}"));
    let mapping = "[ifc]\n\"Ofice.Depth\" = \"removal_space.behind\"\n";
    let budget = restrand_kit::Budget::default();
    let read = common::load_mapped("model.ifc", model.as_bytes(), mapping, budget).unwrap();
    assert_eq!(read.problems[0].given.as_deref(), Some("Ofice"));
}
