//! Files that are broken, or made to break: each fault is said at its place, and the rest is read.

#![allow(clippy::unwrap_used, reason = "a failure is a failure of the test")]

mod common;

use common::{HEAD, Read, TENDON, at, file, load, number, read, read_as, text};
use restrand_ifcspf::IfcSpf;
use restrand_kit::{Budget, Bytes, LoadError, Parts, Plugin};
use restrand_model::reading::{Place, ProblemKind};

fn tendons(read: &Read) -> usize {
    read.of("Tendons").len()
}

fn refused(bytes: &[u8]) -> (String, Place) {
    match load(bytes) {
        Err(LoadError::Unreadable { why, place, .. }) => (why, place),
        Err(other) => panic!("{other:?}"),
        Ok(read) => panic!("it is read: {}", read.all_said()),
    }
}

#[test]
fn a_sound_model_has_no_problem() {
    let read = read(&format!("{HEAD}{TENDON}"));
    assert_eq!(read.all_said(), "");
    assert_eq!((tendons(&read), read.of("Ends").len(), read.of("Places").len()), (1, 2, 2));
}

#[test]
fn a_file_that_is_cut_short_anywhere_is_read_as_far_as_it_goes() {
    let text = file("IFC4X3_ADD2", &format!("{HEAD}{TENDON}"));
    let whole = load(text.as_bytes()).unwrap().records.len();
    let (mut some, mut none) = (0, 0);
    for length in 0..text.trim_end().len() {
        match load(&text.as_bytes()[..length]) {
            Ok(read) => {
                some += 1;
                assert!(!read.said("END-ISO-10303-21").is_empty(), "{length}");
                assert!(read.records.len() <= whole);
            }
            Err(LoadError::Unreadable { .. }) => none += 1,
            Err(other) => panic!("{length}: {other:?}"),
        }
    }
    assert!(some > 1000 && none > 100, "{some} and {none}");
}

#[test]
fn wrong_numbers_and_kinds_of_attributes_are_said_at_the_instance() {
    let short = "#30=IFCTENDON('0000000000000000000030',$,'T3');\n";
    let long = "#31=IFCTENDONANCHOR('0000000000000000000031',$,'X',$,$,$,$,$,$,.COUPLER.,1,2);\n";
    let kinds = "#32=IFCTENDON(5,$,'T4',$,$,'here',$,$,$,$,$,$,'much',(1.),.T.,$,$);\n";
    let instances = format!("{HEAD}{TENDON}{short}{long}{kinds}");
    let text = file("IFC4X3_ADD2", &instances);
    let read = load(text.as_bytes()).unwrap();
    assert_eq!(tendons(&read), 3);
    for (said, instance) in [
        ("it has 3 attributes, where IfcTendon has 17", short),
        ("it has 12 attributes, where IfcTendonAnchor has 10", long),
        ("it is not a text", kinds),
        ("it is not a reference", kinds),
    ] {
        let found = read.said(said);
        assert_eq!(found.len(), 1, "{said}: {}", read.all_said());
        assert_eq!(at(&text, &found[0].place), instance.trim_end().trim_end_matches(';'));
    }
    // A word, a list and a text, where numbers should be.
    assert_eq!(read.said("it is not a number").len(), 3, "{}", read.all_said());
}

#[test]
fn references_to_nothing_are_said_once() {
    let instances = format!(
        "{HEAD}{TENDON}#30=IFCRELCONNECTSELEMENTS('0000000000000000000030',$,$,$,$,#14,#999);\n\
         #31=IFCRELCONNECTSELEMENTS('0000000000000000000031',$,$,$,$,#14,#999);\n"
    );
    let read = read(&instances);
    let found = read.said("it refers to #999, which the file does not define");
    assert_eq!(found.len(), 1);
    assert!(found[0].subject.starts_with("#30 IfcRelConnectsElements 0000000000000000000030"));
    assert_eq!(tendons(&read), 1);
}

#[test]
fn a_property_of_no_known_kind_in_a_set_of_the_schedules_own_is_said() {
    let set = "#32=IFCPROPERTYSET('0000000000000000000032',$,'Restrand_Tendon',$,(#31));\n";
    let instances = format!(
        "{HEAD}{TENDON}#31=IFCPROPERTYSIMGLEVALUE('replaceable',$,IFCBOOLEAN(.T.),$);\n{set}\
         #33=IFCRELDEFINESBYPROPERTIES('0000000000000000000033',$,$,$,(#14),#32);\n"
    );
    let text = file("IFC4X3_ADD2", &instances);
    let read = load(text.as_bytes()).unwrap();
    let found = read.said("it refers to #31, which is of no kind that is read there");
    assert_eq!(found.len(), 1, "{}", read.all_said());
    assert_eq!(at(&text, &found[0].place), set.trim_end().trim_end_matches(';'));
}

#[test]
fn what_leads_in_a_circle_is_said_and_ends() {
    let placement = "#30=IFCCARTESIANPOINT((0.,0.,0.));\n#31=IFCAXIS2PLACEMENT3D(#30,$,$);\n\
                     #32=IFCLOCALPLACEMENT(#33,#31);\n#33=IFCLOCALPLACEMENT(#32,#31);\n\
                     #34=IFCTENDON('0000000000000000000034',$,'T2',$,$,#32,$,$,$,$,$,$,$,$,$,$,$);\n\
                     #35=IFCTENDONANCHOR('0000000000000000000035',$,'T2-A',$,$,#32,$,$,$,$);\n";
    let read = common::read(&format!("{HEAD}{TENDON}{placement}"));
    assert_eq!(read.said("its placements lead in a circle").len(), 1, "{}", read.all_said());

    // Each level of curves, properties, maps and units refers to the next a thousand times, and the last to the first.
    let thousand = |number: u32| vec![format!("#{number}"); 1000].join(",");
    let segments = thousand(31);
    let curve = format!(
        "#30=IFCCOMPOSITECURVE(({segments}),.F.);\n#31=IFCCOMPOSITECURVESEGMENT(.CONTINUOUS.,.T.,#30);\n\
         #32=IFCSHAPEREPRESENTATION($,'Axis','Curve3D',(#30));\n#33=IFCPRODUCTDEFINITIONSHAPE($,$,(#32));\n\
         #34=IFCTENDON('0000000000000000000034',$,'T2',$,$,$,#33,$,$,$,$,$,$,$,$,$,$);\n"
    );
    let read = common::read(&format!("{HEAD}{TENDON}{curve}"));
    assert!(!read.said("its curves lead in a circle").is_empty());
    assert_eq!(tendons(&read), 2);

    let complex = format!(
        "#30=IFCCOMPLEXPROPERTY('more',$,'x',({}));\n\
         #31=IFCPROPERTYSET('0000000000000000000031',$,'Restrand_Tendon',$,(#30));\n\
         #32=IFCRELDEFINESBYPROPERTIES('0000000000000000000032',$,$,$,(#14),#31);\n",
        thousand(30)
    );
    let read = common::read(&format!("{HEAD}{TENDON}{complex}"));
    assert!(!read.said("it stands in the set twice, or in itself").is_empty());

    let units = format!(
        "#1=IFCDERIVEDUNIT(({}),.LENGTHUNIT.,$,$);\n#2=IFCDERIVEDUNITELEMENT(#1,1);\n\
         #5=IFCUNITASSIGNMENT((#1));\n#6=IFCPROJECT('0000000000000000000001',$,'P',$,$,$,$,(),#5);\n",
        thousand(2)
    );
    let read = common::read(&format!("{units}{TENDON}"));
    assert_eq!(read.said("derived from a unit that is derived itself").len(), 1);

    let maps = format!(
        "#30=IFCSHAPEREPRESENTATION($,'Body','MappedRepresentation',({}));\n\
         #31=IFCMAPPEDITEM(#32,#33);\n#32=IFCREPRESENTATIONMAP(#35,#30);\n\
         #33=IFCCARTESIANTRANSFORMATIONOPERATOR3D($,$,#34,$,$);\n#34=IFCCARTESIANPOINT((0.,0.,0.));\n\
         #35=IFCAXIS2PLACEMENT3D(#34,$,$);\n#36=IFCPRODUCTDEFINITIONSHAPE($,$,(#30));\n\
         #37=IFCTENDON('0000000000000000000034',$,'T2',$,$,$,#36,$,$,$,$,$,$,$,$,$,$);\n",
        thousand(31)
    );
    let read = common::read(&format!("{HEAD}{TENDON}{maps}"));
    assert!(!read.said("its maps lead in a circle").is_empty());
    assert_eq!(tendons(&read), 2);
}

#[test]
fn numbers_that_stand_twice_or_are_too_long_are_said() {
    let twice = "#14=IFCTENDON('0000000000000000000030',$,'T9',$,$,$,$,$,$,$,$,$,$,$,$,$,$)";
    let long = format!("#{}=IFCTENDON($,$,'T8',$,$,$,$,$,$,$,$,$,$,$,$,$,$)", "9".repeat(30));
    let last = format!("#{}=IFCTENDON('3000000000000000000031',$,'T7')", u64::MAX);
    let instances = format!("{HEAD}{TENDON}{twice};\n{long};\n{last};\n");
    let text = file("IFC4X3_ADD2", &instances);
    let read = load(text.as_bytes()).unwrap();
    assert_eq!(at(&text, &read.said("#14 stands twice")[0].place), twice);
    assert_eq!(at(&text, &read.said("is no number of an instance")[0].place), long);
    let marks: Vec<_> =
        read.of("Tendons").iter().map(|one| common::text(&one.fields, "mark")).collect();
    assert_eq!(marks, [Some("T1"), Some("T7")]);
}

#[test]
fn a_million_brackets_are_said_and_end() {
    let deep = format!("#30=IFCTENDON({}", "(".repeat(1_000_000));
    let deep_types =
        format!("#31=IFCTENDON({}1{});\n", "IFCLABEL(".repeat(100_000), ")".repeat(100_000));
    let read = read(&format!("{HEAD}{TENDON}{deep}\n{deep_types}"));
    assert_eq!(read.said("nested more than 64 levels deep").len(), 2, "{}", read.problems.len());
    assert_eq!(tendons(&read), 1);
}

#[test]
fn brackets_too_deep_are_said_where_nothing_refers_to_them_too() {
    let deep = |name: &str, number: u32| {
        format!("#{number}={name}({}1.{})", "(".repeat(1_000_000), ")".repeat(1_000_000))
    };
    let known = deep("IFCCARTESIANPOINT", 30);
    let unknown = deep("IFCOFNOUSE", 31);
    // Brackets beside each other, in a text or in a comment are none in each other.
    let flat = format!("#32=IFCOFNOUSE({}1.);", "(1.),".repeat(100));
    let text = format!("#33=IFCOFNOUSE('{}');", "(".repeat(100));
    let comment = format!("#34=IFCOFNOUSE(/*{}*/$);", "(".repeat(100));
    let instances = format!("{HEAD}{TENDON}{known};\n{unknown};\n{flat}\n{text}\n{comment}\n");
    let file = file("IFC4X3_ADD2", &instances);
    let read = load(file.as_bytes()).unwrap();
    let found = read.said("nested more than 64 levels deep");
    let places: Vec<_> = found.iter().map(|problem| at(&file, &problem.place)).collect();
    assert!(places == [known, unknown], "{}", places.len());
    assert_eq!((read.problems.len(), tendons(&read)), (2, 1));
}

#[test]
fn a_text_or_an_instance_without_an_end_costs_no_more_than_itself() {
    let open = "#30=IFCTENDON('0000000000000000000030',$,'T2,$,$,$,$,$,$,$,$,$,$,$,$,$,$);";
    let bare = "#31=IFCTENDON('0000000000000000000031',$,'T3',$,$,$,$,$,$,$,$,$,$,$,$,$,$)";
    let next = "#32=IFCTENDON('0000000000000000000032',$,'T4',$,$,$,$,$,$,$,$,$,$,$,$,$,$);";
    let text = file("IFC4X3_ADD2", &format!("{HEAD}{TENDON}{open}\n{bare}\n{next}\n"));
    let read = load(text.as_bytes()).unwrap();
    let marks: Vec<_> =
        read.of("Tendons").iter().map(|one| common::text(&one.fields, "mark")).collect();
    assert_eq!(marks, [Some("T1"), Some("T3"), Some("T4")]);
    assert_eq!(at(&text, &read.said("a text has no end")[0].place), open);
    assert_eq!(read.said("it has no semicolon at its end").len(), 2);
}

#[test]
fn texts_come_decoded_and_other_letters_do_no_harm() {
    let bytes = include_bytes!("edges.ifc");
    let read = load(bytes).unwrap();
    let tendons = read.of("Tendons");
    assert_eq!(text(&tendons[0].fields, "mark"), Some("T'1; 12.5\u{b2}"));
    assert_eq!(number(&tendons[0].fields, "stressing.mu"), Some(0.1));
    // The file has no project, and so no units: what is +3000. long, nobody knows.
    assert_eq!(number(&tendons[0].fields, "extra.MinCurvatureRadius_m"), None);
    assert!(!read.said("MinCurvatureRadius").is_empty());
    // Latin-1 in the header, a mark of UTF-8 before it.
    let latin = file("IFC4X3_ADD2", &format!("{HEAD}{TENDON}")).replace("m.ifc", "Br\u{fc}cke");
    let latin: Vec<u8> =
        latin.chars().map(|letter| u8::try_from(u32::from(letter)).unwrap()).collect();
    assert_eq!(load(&latin).unwrap().all_said(), "");
    let marked = [b"\xef\xbb\xbf".as_slice(), &latin].concat();
    assert_eq!(load(&marked).unwrap().all_said(), "");
}

#[test]
fn global_ids_that_are_none_or_stand_twice_are_said() {
    let instances = TENDON
        .replace("'0000000000000000000003'", "$")
        .replace("'0000000000000000000004'", "'xxxxxxxxxxxxxxxxxxxx54'")
        .replace("'0000000000000000000005'", "'0000000000000000000006'");
    let read = read(&format!("{HEAD}{instances}"));
    let kinds: Vec<_> = read.problems.iter().map(|problem| (problem.kind, &*problem.why)).collect();
    let doubtful = ProblemKind::ValueDoubtful;
    assert_eq!(
        kinds,
        [
            (doubtful, "it has no GlobalId"),
            (doubtful, "it is no GlobalId, which has 22 letters, the first from 0 to 3"),
            (doubtful, "another element has the same GlobalId"),
        ]
    );
    assert_eq!((tendons(&read), read.of("Ends").len()), (1, 2));
}

#[test]
fn a_diameter_below_zero_is_not_taken() {
    let type_ = "#30=IFCTENDONTYPE('0000000000000000000030',$,'19',$,$,$,$,$,$,.STRAND.,-80.,2850.,$);\n\
                 #31=IFCRELDEFINESBYTYPE('0000000000000000000031',$,$,$,(#14),#30);\n";
    let read = read(&format!("{HEAD}{TENDON}{type_}"));
    let found = read.said("it is not above zero");
    assert_eq!((found.len(), found[0].given.as_deref()), (1, Some("-80")));
    assert!(found[0].subject.starts_with("#30 IfcTendonType 0000000000000000000030 19"));
    let tendon = &read.of("Tendons")[0].fields;
    assert_eq!(number(tendon, "extra.NominalDiameter_mm"), None);
    assert_eq!(number(tendon, "extra.CrossSectionArea_mm2"), Some(2850.0));
}

#[test]
fn schemas_that_are_not_read_are_refused_and_drafts_are_said() {
    let instances = format!("{HEAD}{TENDON}");
    for (schema, why) in [
        ("IFC5", "its schema IFC5 is not read"),
        ("AUTOMOTIVE_DESIGN", "its schema AUTOMOTIVE_DESIGN is not read"),
        ("", "does not state its schema"),
    ] {
        let text = file(schema, &instances);
        let (said, place) = refused(text.as_bytes());
        assert!(said.contains(why), "{schema}");
        assert_eq!(at(&text, &place), format!("FILE_SCHEMA(('{schema}'))"));
    }
    let without = file("", &instances).replace("FILE_SCHEMA((''));\n", "");
    let (said, place) = refused(without.as_bytes());
    assert!(said.contains("does not state its schema") && matches!(place, Place::Part { .. }));
    for schema in ["IFC4X3_RC2", "IFC4X3_DEV_738df036"] {
        let text = file(schema, &instances);
        let read = load(text.as_bytes()).unwrap();
        assert!(at(&text, &read.problems[0].place).starts_with("FILE_SCHEMA"));
        assert_eq!(read.problems.len(), 1, "{}", read.all_said());
        assert_eq!(read.problems[0].kind, ProblemKind::Assumed);
        assert_eq!(read.problems[0].given.as_deref(), Some(schema));
    }
    for schema in ["IFC4X3_ADD2", "IFC4X3", "IFC4", "IFC4_ADD2_TC1", "IFC2X3"] {
        assert_eq!(read_as(schema, &instances).all_said(), "", "{schema}");
    }
}

#[test]
fn what_is_no_such_file_is_refused_with_reason() {
    assert!(refused(b"").0.contains("does not begin with ISO-10303-21"));
    assert!(refused(b"PK\x03\x04").0.contains("cannot be opened"));
    assert!(refused(b"ISO-10303-21;\nHEADER;\nENDSEC;").0.contains("no section DATA"));
    let part = Bytes::new("a.ifc", file("IFC4X3_ADD2", HEAD).into_bytes());
    let two = IfcSpf.load(Parts(&[&part, &part]), Budget::default(), &mut |_| Ok(()));
    assert!(matches!(two, Err(LoadError::Unreadable { .. })));
}

#[test]
fn attributes_that_the_release_has_are_missed_and_no_others() {
    let tendon = "#10=IFCTENDON('0AAAAAAAAAAAAAAAAAAAA1',$,'T1',$,$,$,$,$,$,.STRAND.);\n";
    let anchor = "#11=IFCTENDONANCHOR('0AAAAAAAAAAAAAAAAAAAA2',$,'T1-A',$,$,$,$,$,$);\n";
    let space = "#12=IFCVIRTUALELEMENT('0AAAAAAAAAAAAAAAAAAAA3',$,'T1-A room',$,$,$,$,$);\n";
    let said = |schema: &str| {
        let read = read_as(schema, &format!("{HEAD}{tendon}{anchor}{space}"));
        let missing = read.said("those missing count as absent");
        missing.iter().map(|problem| problem.why.clone()).collect::<Vec<_>>()
    };
    let of = |has: u32, name: &str, needed: u32| {
        format!("it has {has} attributes, where {name} has {needed}; those missing count as absent")
    };
    // IFC 2x3 has a tendon with 17 attributes too, IFC 4 an anchor with 10, and only IFC 4.3 says what a virtual
    // element is.
    let tendon = of(10, "IfcTendon", 17);
    let anchor = of(9, "IfcTendonAnchor", 10);
    let space = of(8, "IfcVirtualElement", 9);
    for (schema, mut needed) in [
        ("IFC2X3", vec![tendon.clone()]),
        ("IFC4", vec![tendon.clone(), anchor.clone()]),
        ("IFC4X3_ADD2", vec![tendon, anchor, space]),
    ] {
        let mut found = said(schema);
        found.retain(|why| !why.contains("IfcBridge"));
        found.sort();
        needed.sort();
        assert_eq!(found, needed, "{schema}");
    }
}
