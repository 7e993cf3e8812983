//! Models as general programs write them: no bridge, no types, no words of the schedule.

#![allow(clippy::unwrap_used, reason = "a failure is a failure of the test")]

mod common;

use common::{HEAD, TENDON, number, points, read, read_as, text};
use restrand_model::reading::ProblemKind;

const FRAME: &str = "\
#60=IFCCARTESIANPOINT((1000.,2000.,3000.));
#61=IFCDIRECTION((0.,0.,1.));
#62=IFCDIRECTION((0.,1.,0.));
#63=IFCAXIS2PLACEMENT3D(#60,#61,#62);
#64=IFCLOCALPLACEMENT($,#63);
#65=IFCBUILDING('0000000000000000000060',$,'Long bridge',$,$,#64,$,$,.ELEMENT.,$,$,$);
#66=IFCCARTESIANPOINT((0.,0.,0.));
#67=IFCAXIS2PLACEMENT3D(#66,$,$);
#68=IFCLOCALPLACEMENT(#64,#67);
";

/// Units, the project, and a building that stands for the bridge, turned by a right angle; the tendon stands on it.
fn on_building() -> String {
    let head: String = HEAD.lines().filter(|line| !line.contains("IFCBRIDGE")).collect();
    let tendon = TENDON.replace("'T1',$,$,$,#13", "'T1',$,$,#68,#13");
    format!("{head}{FRAME}{tendon}")
}

#[test]
fn before_ifc_4_3_the_one_building_is_the_bridge() {
    let read = read_as("IFC4", &on_building());
    let along = [[0.0, 0.5, 1.8], [20.0, 0.5, 0.4], [40.0, 0.5, 1.8]];
    assert_eq!(points(read.of("Tendons")[0]), along);
    let said = read.problems.iter().find(|one| one.subject.contains("ObjectPlacement")).unwrap();
    assert_eq!(said.kind, ProblemKind::Assumed);
    assert!(said.why.contains("the building's own placement"), "{}", said.why);
    // Of two, neither is.
    let other = "#69=IFCBUILDING('0000000000000000000061',$,'Lodge',$,$,$,$,$,.ELEMENT.,$,$,$);\n";
    let read = read_as("IFC4", &format!("{}{other}", on_building()));
    assert_eq!(points(read.of("Tendons")[0])[0], [0.5, 2.0, 4.8]);
}

#[test]
fn tendons_across_the_line_of_stations_are_said() {
    let across = "in plan the tendons run at some 90 degrees";
    let read =
        read_as("IFC4", &on_building().replace("$,'Long bridge',$,$,#64", "$,'Lodge',$,$,$"));
    assert!(read.all_said().contains(across), "{}", read.all_said());
    let read = read_as("IFC4", &on_building());
    assert!(!read.all_said().contains("degrees"), "{}", read.all_said());
}

#[test]
fn what_is_connected_with_a_duct_is_its_tendons() {
    let duct = "\
#30=IFCTENDONCONDUIT('0000000000000000000030',$,'Pipe',$,$,$,$,$,$,.DUCT.);
#31=IFCTENDONCONDUIT('0000000000000000000031',$,'Sleeve',$,$,$,$,$,$,.COUPLER.);
#32=IFCRELCONNECTSELEMENTS('0000000000000000000032',$,$,$,$,#14,#30);
#33=IFCRELCONNECTSELEMENTS('0000000000000000000033',$,$,$,$,#30,#31);
";
    let one = read(&format!("{HEAD}{TENDON}{duct}"));
    assert_eq!(one.all_said(), "");
    assert_eq!(one.of("DuctJoints").len(), 1);
    // A sleeve between the ducts of two tendons is neither's.
    let second = "\
#34=IFCTENDON('0000000000000000000034',$,'T2',$,$,$,$,'T2',$,$,$,$,$,$,$,$,$);
#35=IFCTENDONCONDUIT('0000000000000000000035',$,'Pipe 2',$,$,$,$,$,$,.DUCT.);
#36=IFCRELCONNECTSELEMENTS('0000000000000000000036',$,$,$,$,#34,#35);
#37=IFCRELCONNECTSELEMENTS('0000000000000000000037',$,$,$,$,#31,#35);
";
    let two = read(&format!("{HEAD}{TENDON}{duct}{second}"));
    assert_eq!(two.of("DuctJoints").len(), 0);
    assert!(two.all_said().contains("Sleeve"), "{}", two.all_said());
}

/// IFC 2x3 has no predefined type of an anchor.
#[test]
fn the_object_type_of_an_anchor_says_which_end_it_is() {
    let tendon = TENDON
        .replace("'T1-A',$,$,$,$,$,$,.TENSIONING_END.", "'T1-A',$,'Live end',$,$,$,$")
        .replace("'T1-B',$,$,$,$,$,$,.FIXED_END.", "'T1-B',$,'Festanker 19',$,$,$,$");
    let head = HEAD.lines().filter(|line| !line.contains("IFCBRIDGE")).collect::<String>();
    let read = read_as("IFC2X3", &format!("{head}{tendon}"));
    let ends = read.of("Ends");
    assert_eq!(text(&ends[0].fields, "kind"), Some("stressing"));
    // A word that is not known says nothing.
    assert_eq!(text(&ends[1].fields, "kind"), None);
}

#[test]
fn ducts_without_a_type_are_told_by_their_size() {
    let duct = |id: u32, named: &str, object: &str, outer: &str| {
        format!(
            "#{id}=IFCCARTESIANPOINT((0.,0.,0.));\n#{}=IFCCARTESIANPOINT((9.,0.,0.));\n\
             #{}=IFCPOLYLINE((#{id},#{}));\n#{}=IFCSWEPTDISKSOLID(#{},{outer},39.6,$,$);\n\
             #{}=IFCSHAPEREPRESENTATION($,'Body','AdvancedSweptSolid',(#{}));\n\
             #{}=IFCPRODUCTDEFINITIONSHAPE($,$,(#{}));\n\
             #{}=IFCTENDONCONDUIT('00000000000000000000{id}',$,'{named} duct',$,{object},$,#{},$,$,.DUCT.);\n",
            id + 1,
            id + 2,
            id + 1,
            id + 3,
            id + 2,
            id + 4,
            id + 3,
            id + 5,
            id + 4,
            id + 6,
            id + 5
        )
    };
    let tendons: String = [2, 3]
        .map(|tendon| {
            format!("#8{tendon}=IFCTENDON('000000000000000000008{tendon}',$,'T{tendon}',$,$,$,$,$,$,$,$,$,$,$,$,$,$);\n")
        })
        .concat();
    let ducts = [
        duct(30, "T1", "$", "45."),
        duct(40, "T2", "$", "45."),
        duct(50, "T3", "'PE pipe'", "55."),
    ]
    .concat();
    let read = read(&format!("{HEAD}{TENDON}{tendons}{ducts}"));
    let kinds = read.of("Ducts");
    assert_eq!(kinds.len(), 2, "{}", read.all_said());
    assert_eq!(text(&kinds[0].fields, "id"), Some("90 mm outside, 79.2 mm inside"));
    assert_eq!(number(&kinds[0].fields, "outer_mm"), Some(90.0));
    assert_eq!(number(&kinds[0].fields, "inner_mm"), Some(79.2));
    assert_eq!(text(&kinds[1].fields, "id"), Some("PE pipe"));
    let of: Vec<_> =
        read.of("Tendons").iter().map(|tendon| text(&tendon.fields, "duct").unwrap()).collect();
    assert_eq!(of, ["90 mm outside, 79.2 mm inside", "90 mm outside, 79.2 mm inside", "PE pipe"]);
    let said = read.problems.iter().filter(|one| one.why.contains("no type says"));
    assert_eq!(said.count(), 2);
}

#[test]
fn the_grade_and_the_material_of_the_steel_are_kept() {
    let tendon = TENDON.replace("#13,'T1',$,$", "#13,'T1','Y1860S7',$");
    let material = "#30=IFCMATERIAL('Strand 15.7',$,$);\n\
                    #31=IFCRELASSOCIATESMATERIAL('0000000000000000000031',$,$,$,(#14),#30);\n";
    let read = read(&format!("{HEAD}{tendon}{material}"));
    let tendon = &read.of("Tendons")[0].fields;
    assert_eq!(text(tendon, "extra.SteelGrade"), Some("Y1860S7"));
    assert_eq!(text(tendon, "extra.Material"), Some("Strand 15.7"));
}

fn set_at(object: u32, id: u32, name: &str, properties: &[(&str, &str)]) -> String {
    let numbers: Vec<String> =
        (0..properties.len()).map(|at| format!("#{}", id as usize + 2 + at)).collect();
    let mut text = format!(
        "#{id}=IFCPROPERTYSET('0000000000000000000{id}',$,'{name}',$,({}));\n\
         #{}=IFCRELDEFINESBYPROPERTIES('0000000000000000001{id}',$,$,$,(#{object}),#{id});\n",
        numbers.join(","),
        id + 1
    );
    for (number, (property, value)) in numbers.iter().zip(properties) {
        text.push_str(&format!("{number}=IFCPROPERTYSINGLEVALUE('{property}',$,{value},$);\n"));
    }
    text
}

#[test]
fn properties_are_known_by_what_the_trade_calls_them() {
    let set = set_at(
        14,
        300,
        "PT data",
        &[
            ("No. of strands", "IFCINTEGER(19)"),
            ("Jacking force [kip]", "IFCREAL(100.)"),
            ("Filler", "IFCLABEL('Wax')"),
            ("Duct OD", "IFCPOSITIVELENGTHMEASURE(110.)"),
            ("Elongation A", "IFCPOSITIVELENGTHMEASURE(250.)"),
            ("Colour", "IFCLABEL('grey')"),
        ],
    );
    let read = read(&format!("{HEAD}{TENDON}{set}"));
    let tendon = &read.of("Tendons")[0].fields;
    assert_eq!(number(tendon, "strand_count"), Some(19.0), "{}", read.all_said());
    assert_eq!(number(tendon, "stressing.jacking_force_kn"), Some(444.822_161_526));
    // Which end is A for the other program is not known.
    assert_eq!(number(tendon, "stressing.elongation_a_mm"), None);
    assert_eq!(text(tendon, "filler"), Some("wax"));
    assert_eq!(text(tendon, "duct"), Some("110 mm outside"));
    assert_eq!(number(&read.of("Ducts")[0].fields, "outer_mm"), Some(110.0));
    // The highest allowed force is not said by the jacking force of another program.
    assert_eq!(number(tendon, "extra.TensionForce_kn"), Some(4000.0));
    let said = read.said("by the names of its properties")[0];
    assert_eq!(said.kind, ProblemKind::Assumed);
    assert!(said.why.contains("\"Filler\" is tendon.filler"), "{}", said.why);
    assert!(
        read.said("(in part)")[0].why.ends_with(": Elongation A, Colour"),
        "{}",
        read.all_said()
    );
}

/// A force in the model's meganewtons under a name that says kilonewtons can be either.
#[test]
fn a_name_that_contradicts_the_unit_of_the_model_is_not_taken() {
    for (unit, taken) in [(".KILO.", Some(2400.0)), (".MEGA.", None)] {
        let set = set_at(14, 300, "PT data", &[("Jacking force [kN]", "IFCFORCEMEASURE(2400.)")]);
        let head = HEAD.replace(".FORCEUNIT.,.KILO.", &format!(".FORCEUNIT.,{unit}"));
        let read = read(&format!("{head}{TENDON}{set}"));
        let tendon = &read.of("Tendons")[0].fields;
        assert_eq!(number(tendon, "stressing.jacking_force_kn"), taken);
        assert_eq!(read.said("PT data").len(), 1);
    }
}

/// What an element says goes before what its type says, an attribute of the standard before a name.
#[test]
fn the_element_holds_against_its_type_and_the_attribute_against_a_name() {
    let type_ = "#30=IFCTENDONTYPE('0000000000000000000030',$,'19',$,$,(#300),$,$,$,.STRAND.,$,$,$);\n\
                 #31=IFCRELDEFINESBYTYPE('0000000000000000000031',$,$,$,(#14),#30);\n";
    let of_type = [
        ("Friction coefficient", "IFCREAL(0.2)"),
        ("No. of strands", "IFCINTEGER(19)"),
        ("Jacking force", "IFCFORCEMEASURE(3800.)"),
    ];
    let of_type = set_at(99, 300, "Office", &of_type);
    let of_type: String = of_type.lines().filter(|line| !line.contains("#99")).collect();
    let own = set_at(
        14,
        320,
        "Office",
        &[("No. of strands", "IFCINTEGER(17)"), ("Anchor set", "IFCPOSITIVELENGTHMEASURE(9.)")],
    );
    let read = read(&format!("{HEAD}{TENDON}{type_}{of_type}{own}"));
    let tendon = &read.of("Tendons")[0].fields;
    assert_eq!(number(tendon, "stressing.mu"), Some(0.15), "{}", read.all_said());
    assert_eq!(number(tendon, "strand_count"), Some(17.0));
    assert_eq!(number(tendon, "stressing.jacking_force_kn"), Some(3800.0));
    assert_eq!(number(tendon, "stressing.set_mm"), Some(6.0));
    let said = read.said("something else is stated beside it");
    assert_eq!(said.len(), 1, "{}", read.all_said());
    assert_eq!(said[0].given.as_deref(), Some("9"));
}

#[test]
fn a_set_of_the_schedules_own_that_differs_from_an_attribute_holds_and_is_said() {
    let set = set_at(14, 300, "Restrand_Stressing", &[("mu", "IFCREAL(0.12)")]);
    let read = read(&format!("{HEAD}{TENDON}{set}"));
    assert_eq!(number(&read.of("Tendons")[0].fields, "stressing.mu"), Some(0.12));
    assert!(read.said("the set holds")[0].subject.contains("FrictionCoefficient"));
}

#[test]
fn tendons_of_one_name_are_told_by_their_tags_and_that_once() {
    let tendon = |id: u32, tag: &str| {
        format!(
            "#{id}=IFCTENDON('0000000000000000000{id}',$,'Cable',$,$,$,$,{tag},$,$,$,$,$,$,$,$,$);\n"
        )
    };
    let marks = |tags: [&str; 3]| {
        let tendons: String = (100..).zip(tags).map(|(id, tag)| tendon(id, tag)).collect();
        let read = read(&format!("{HEAD}{tendons}"));
        let marks = read.of("Tendons").into_iter().map(|one| text(&one.fields, "mark").unwrap());
        (marks.map(str::to_owned).collect::<Vec<_>>(), read.said("name").len())
    };
    let (told, said) = marks(["'7'", "'8'", "'9'"]);
    assert_eq!((told, said), (vec!["Cable 7".into(), "Cable 8".into(), "Cable 9".into()], 1));
    // Of tags that are not each its own nothing is told.
    let (told, said) = marks(["'7'", "'7'", "$"]);
    assert_eq!((told[0].as_str(), said), ("Cable", 2));
}

#[test]
fn an_assembly_states_of_its_one_tendon_what_nothing_nearer_does() {
    let assembly = "#80=IFCELEMENTASSEMBLY('0000000000000000000080',$,'Cable',$,$,$,$,$,$,.USERDEFINED.);\n\
                    #81=IFCRELAGGREGATES('0000000000000000000081',$,$,$,#80,(#14));\n";
    let of_assembly =
        set_at(80, 300, "Cable", &[("Filler", "IFCLABEL('Wax')"), ("Strands", "IFCINTEGER(19)")]);
    let own = set_at(14, 320, "Own", &[("Strands", "IFCINTEGER(12)")]);
    let one = read(&format!("{HEAD}{TENDON}{assembly}{of_assembly}{own}"));
    let tendon = &one.of("Tendons")[0].fields;
    assert_eq!(text(tendon, "filler"), Some("wax"), "{}", one.all_said());
    assert_eq!(number(tendon, "strand_count"), Some(12.0));
    assert_eq!(one.said("something else is stated beside it").len(), 1);
    // Of two tendons it says neither.
    let second = "#82=IFCTENDON('0000000000000000000082',$,'T2',$,$,$,$,$,$,$,$,$,$,$,$,$,$);\n";
    let assembly = assembly.replace("(#14)", "(#14,#82)");
    let two = read(&format!("{HEAD}{TENDON}{second}{assembly}{of_assembly}"));
    assert_eq!(text(&two.of("Tendons")[0].fields, "filler"), None);
}

#[test]
fn sets_at_conduits_and_groups_are_told() {
    let duct = "#30=IFCTENDONCONDUIT('0000000000000000000030',$,'T1 pipe',$,$,$,$,$,$,.DUCT.);\n";
    let pipe = set_at(30, 300, "Pipe data", &[("Wall", "IFCPOSITIVELENGTHMEASURE(5.7)")]);
    let group = "#31=IFCGROUP('0000000000000000000031',$,'Family 1',$,$);\n\
                 #32=IFCRELASSIGNSTOGROUP('0000000000000000000032',$,$,$,(#14),$,#31);\n";
    let family = set_at(31, 320, "Family data", &[("Strands", "IFCINTEGER(19)")]);
    let read = read(&format!("{HEAD}{TENDON}{duct}{pipe}{group}{family}"));
    for set in ["Pipe data", "Family data"] {
        let said = read.said(set);
        assert_eq!(said.len(), 1, "{}", read.all_said());
        assert_eq!(said[0].kind, ProblemKind::SheetUnknown);
    }
    assert_eq!(number(&read.of("Tendons")[0].fields, "strand_count"), None);
}
