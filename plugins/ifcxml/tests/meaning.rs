//! How XML writes a model: inverse and forward relations, references before and after, values under their types.

#![allow(clippy::unwrap_used, reason = "a failure is a failure of the test")]

mod common;

use common::{
    HEAD, NAMESPACE, TENDON, file, load, load_mapped, load_named, number, points, read, text, value,
};
use restrand_ifcxml::IfcXml;
use restrand_kit::{At, Budget, Bytes, Confidence, Parts, Plugin};
use restrand_model::reading::{Place, ProblemKind};
use restrand_model::value::Value;

/// More text than is handed on at once, in one line and in many: nothing is lost between, and places are those of the
/// part.
#[test]
fn a_long_text_is_read_to_its_end() {
    let tendon = |number: u32| {
        TENDON
            .replace("\"t1\"", &format!("\"t{number}\""))
            .replace("Name=\"T1", &format!("Name=\"N{number}"))
            .replace("\"a1\"", &format!("\"a1-{number}\""))
            .replace("\"a2\"", &format!("\"a2-{number}\""))
            .replace("\"d1\"", &format!("\"d1-{number}\""))
            .replace("\"d2\"", &format!("\"d2-{number}\""))
    };
    let all: String = (0..300).map(tendon).collect();
    for elements in [all.clone(), all.replace('\n', " ")] {
        let text = file(&format!("{HEAD}{elements}"));
        let read = load(text.as_bytes()).unwrap();
        let tendons = read.of("Tendons");
        assert_eq!((tendons.len(), read.of("Ends").len()), (300, 600), "{}", read.all_said());
        for (number, tendon) in tendons.iter().enumerate() {
            let At::Span(span) = tendon.at else { panic!("{:?}", tendon.at) };
            let start = usize::try_from(span.start).unwrap();
            let asked = format!("<IfcTendon id=\"t{number}\"");
            assert!(text[start..].starts_with(&asked), "{number}: {}", &text[start..start + 40]);
            assert_eq!(points(tendon).len(), 3);
        }
    }
}

#[test]
fn a_tendon_is_its_axis_ends_places_and_attributes() {
    let read = read(&format!("{HEAD}{TENDON}"));
    assert_eq!(read.all_said(), "");
    let tendon = read.of("Tendons")[0];
    assert_eq!(points(tendon), [[0.0, 0.5, 1.8], [20.0, 0.5, 0.4], [40.0, 0.5, 1.8]]);
    assert_eq!(text(&tendon.fields, "mark"), Some("T1"));
    assert_eq!(number(&tendon.fields, "stressing.mu"), Some(0.15));
    assert_eq!(number(&tendon.fields, "extra.TensionForce_kn"), Some(4000.0));
    let ends = read.of("Ends");
    for (end, place, kind) in [(ends[0], "D1", "stressing"), (ends[1], "D2", "dead")] {
        assert_eq!(text(&end.fields, "place"), Some(place));
        assert_eq!(text(&end.fields, "kind"), Some(kind));
    }
    assert_eq!(text(&read.of("Project")[0].fields, "bridge"), Some("Long bridge"));
}

/// IFC 4.3 writes relations inside of what they relate, under the name of the inverse; IFC 4 as first published wrote
/// both ends of a relation that stands by itself.
#[test]
fn relations_are_read_in_both_directions() {
    let set = "<IfcPropertySet id=\"s\" GlobalId=\"0000000000000000000030\" Name=\"Restrand_Tendon\"><HasProperties>\
               <IfcPropertySingleValue Name=\"strand_count\"><NominalValue><IfcInteger-wrapper>19</IfcInteger-wrapper>\
               </NominalValue></IfcPropertySingleValue></HasProperties></IfcPropertySet>";
    let type_ = "<IfcTendonAnchorType id=\"k\" GlobalId=\"0000000000000000000031\" Name=\"A19\" \
                 PredefinedType=\"notdefined\"/>";
    let inside = format!("{HEAD}{type_}{TENDON}")
        .replace(
            "  <Representation xsi",
            &format!(
                "<IsDefinedBy><IfcRelDefinesByProperties GlobalId=\"0000000000000000000032\">\
                 <RelatingPropertyDefinition>{set}</RelatingPropertyDefinition></IfcRelDefinesByProperties>\
                 </IsDefinedBy>  <Representation xsi"
            ),
        )
        .replace(
            "PredefinedType=\"tensioning_end\"/>",
            "PredefinedType=\"tensioning_end\"><IsTypedBy GlobalId=\"0000000000000000000033\"><RelatingType \
             xsi:type=\"IfcTendonAnchorType\" ref=\"k\" xsi:nil=\"true\"/></IsTypedBy></IfcTendonAnchor>",
        );
    let beside = format!(
        "{HEAD}{TENDON}<IfcRelDefinesByProperties GlobalId=\"0000000000000000000032\"><RelatedObjects>\
         <IfcTendon ref=\"t1\" xsi:nil=\"true\"/></RelatedObjects><RelatingPropertyDefinition xsi:type=\"IfcPropertySet\" \
         ref=\"s\" xsi:nil=\"true\"/></IfcRelDefinesByProperties>{set}<IfcRelDefinesByType \
         GlobalId=\"0000000000000000000033\"><RelatedObjects><IfcTendonAnchor ref=\"a1\" xsi:nil=\"true\"/></RelatedObjects>\
         <RelatingType xsi:type=\"IfcTendonAnchorType\" ref=\"k\" xsi:nil=\"true\"/></IfcRelDefinesByType>{type_}"
    );
    // What is used twice can be defined at the first and referred to at the second.
    let shared = inside.replace(
        "PredefinedType=\"fixed_end\"/>",
        "PredefinedType=\"fixed_end\"><IsTypedBy GlobalId=\"0000000000000000000034\"><RelatingType \
         xsi:type=\"IfcTendonAnchorType\" ref=\"k\" xsi:nil=\"true\"/></IsTypedBy></IfcTendonAnchor>",
    );
    for (elements, typed) in [(&inside, 1), (&beside, 1), (&shared, 2)] {
        let read = read(elements);
        assert_eq!(read.all_said(), "");
        assert_eq!(number(&read.of("Tendons")[0].fields, "strand_count"), Some(19.0));
        let ends = read.of("Ends");
        let found = ends.iter().filter(|end| text(&end.fields, "anchorage") == Some("A19")).count();
        assert_eq!(found, typed);
    }
}

#[test]
fn relations_of_one_to_many_are_shared_by_those_that_refer_to_them() {
    let elements = TENDON
        .replace(
            "PredefinedType=\"tensioning_end\"/>",
            "PredefinedType=\"tensioning_end\"><IsTypedBy id=\"r\" GlobalId=\"0000000000000000000033\"><RelatingType \
             xsi:type=\"IfcTendonAnchorType\" GlobalId=\"0000000000000000000031\" Name=\"A19\"/></IsTypedBy>\
             </IfcTendonAnchor>",
        )
        .replace(
            "PredefinedType=\"fixed_end\"/>",
            "PredefinedType=\"fixed_end\"><IsTypedBy ref=\"r\" xsi:nil=\"true\"/></IfcTendonAnchor>",
        );
    let read = read(&format!("{HEAD}{elements}"));
    assert_eq!(read.all_said(), "");
    for end in read.of("Ends") {
        assert_eq!(text(&end.fields, "anchorage"), Some("A19"));
    }
}

#[test]
fn arcs_and_positions_in_lists_are_read() {
    // Plane geometry: a right angle rounded by a quarter of a circle of radius 5.
    let half = 5000.0 * (1.0 - 0.5_f64.sqrt());
    let coordinates = format!(
        "0. 0. 0. 15000. 0. 0. {} 0. {half} 20000. 0. 5000. 20000. 0. 9000.",
        20000.0 - half
    );
    let elements = TENDON.replace("0. 500. 1800. 20000. 500. 400. 40000. 500. 1800.", &coordinates).replace(
        "          </IfcIndexedPolyCurve>",
        "<Segments><IfcLineIndex-wrapper pos=\"2\">4 5</IfcLineIndex-wrapper><IfcArcIndex-wrapper pos=\"1\">2 3 4\
         </IfcArcIndex-wrapper><IfcLineIndex-wrapper pos=\"0\">1 2</IfcLineIndex-wrapper></Segments>\
         </IfcIndexedPolyCurve>",
    );
    let read = read(&format!("{HEAD}{elements}"));
    let found = points(read.of("Tendons")[0]);
    assert_eq!(found, [[0.0, 0.0, 0.0], [20.0, 0.0, 0.0], [20.0, 0.0, 9.0]], "{}", read.all_said());
}

#[test]
fn values_stand_under_the_names_of_their_types() {
    let set = "<IfcPropertySet GlobalId=\"0000000000000000000030\" Name=\"Restrand_Tendon\"><HasProperties>\
        <IfcPropertySingleValue Name=\"replaceable\"><NominalValue><IfcBoolean-wrapper>true</IfcBoolean-wrapper>\
        </NominalValue></IfcPropertySingleValue>\
        <IfcPropertySingleValue Name=\"length\"><NominalValue><IfcLengthMeasure-wrapper>40.1</IfcLengthMeasure-wrapper>\
        </NominalValue><Unit><IfcSIUnit UnitType=\"lengthunit\" Name=\"metre\"/></Unit></IfcPropertySingleValue>\
        <IfcPropertySingleValue Name=\"Heat\"><NominalValue><IfcLabel-wrapper>0042 &amp; &#228;</IfcLabel-wrapper>\
        </NominalValue></IfcPropertySingleValue>\
        </HasProperties></IfcPropertySet>";
    let elements = format!(
        "{HEAD}{TENDON}<IfcRelDefinesByProperties GlobalId=\"0000000000000000000031\"><RelatedObjects><IfcTendon \
         ref=\"t1\" xsi:nil=\"true\"/></RelatedObjects><RelatingPropertyDefinition>{set}</RelatingPropertyDefinition>\
         </IfcRelDefinesByProperties>"
    );
    let read = read(&elements);
    let tendon = &read.of("Tendons")[0].fields;
    assert_eq!(value(tendon, "replaceable"), Some(&Value::Flag(true)));
    assert_eq!(number(tendon, "length_m"), Some(40.1));
    // A label is a text, though it looks like a number.
    assert_eq!(text(tendon, "Heat"), Some("0042 & \u{e4}"));
}

#[test]
fn other_letters_and_prefixes_are_read() {
    let plain = file(&format!("{HEAD}{}", TENDON.replace("Name=\"T1\"", "Name=\"Sp\u{e4}nn 1\"")));
    let wide = |little: bool| -> Vec<u8> {
        let text = plain.replace("UTF-8", "UTF-16");
        let unit = |unit: u16| if little { unit.to_le_bytes() } else { unit.to_be_bytes() };
        std::iter::once(0xfeff).chain(text.encode_utf16()).flat_map(unit).collect()
    };
    let latin: Vec<u8> = plain
        .replace("UTF-8", "ISO-8859-1")
        .chars()
        .map(|letter| u8::try_from(u32::from(letter)).unwrap())
        .collect();
    let marked = [b"\xef\xbb\xbf".as_slice(), plain.as_bytes()].concat();
    let prefixed =
        plain.replace("xmlns=", "xmlns:i=").replace("</", "</i:").replace("<Ifc", "<i:Ifc");
    let mut prefixed = prefixed.replace("<ifcXML", "<i:ifcXML");
    for name in [
        "UnitsInContext",
        "Units",
        "Representation ",
        "Representations",
        "Items",
        "Points",
        "RelatingElement",
        "RelatedElement",
        "RealizingElements",
    ] {
        prefixed = prefixed.replace(&format!("<{name}"), &format!("<i:{name}"));
    }
    for bytes in [wide(true), wide(false), latin, marked, prefixed.into_bytes()] {
        let read = load(&bytes).unwrap();
        assert_eq!(read.all_said(), "");
        assert_eq!(text(&read.of("Tendons")[0].fields, "mark"), Some("Sp\u{e4}nn 1"));
        assert_eq!(read.of("Ends").len(), 2);
        let part = Bytes::new("x.xml", bytes);
        assert_eq!(IfcXml.probe(Parts(&[&part])), Confidence::Sure);
    }
}

#[test]
fn a_place_is_the_start_tag_or_the_line_where_the_bytes_are_other_ones() {
    let text =
        file(&format!("{HEAD}{}", TENDON.replace("TensionForce=\"4000.\"", "TensionForce=\"x\"")));
    let read = load(text.as_bytes()).unwrap();
    let found = read.said("it is not a number");
    assert!(found[0].subject.starts_with("t1 IfcTendon 0000000000000000000003 T1"));
    assert!(common::at(&text, &found[0].place).starts_with("<IfcTendon id=\"t1\""));
    let marked = [b"\xef\xbb\xbf".as_slice(), text.as_bytes()].concat();
    let read = load(&marked).unwrap();
    let Place::Text { span, .. } = read.said("it is not a number")[0].place.clone() else {
        panic!()
    };
    let start = usize::try_from(span.start).unwrap();
    assert!(marked[start..].starts_with(b"<IfcTendon id=\"t1\""), "{start}");
    let wide: Vec<u8> = std::iter::once(0xfeff_u16)
        .chain(text.replace("UTF-8", "UTF-16").encode_utf16())
        .flat_map(u16::to_le_bytes)
        .collect();
    let read = load(&wide).unwrap();
    let Place::Line { line, .. } = read.said("it is not a number")[0].place else { panic!() };
    assert!(text.lines().nth(line as usize).unwrap().starts_with("<IfcTendon id=\"t1\""));
}

#[test]
fn a_model_in_an_archive_is_read_and_its_places_are_lines() {
    let text =
        file(&format!("{HEAD}{}", TENDON.replace("TensionForce=\"4000.\"", "TensionForce=\"x\"")));
    let mut archive = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    archive.start_file("model.ifcXML", zip::write::SimpleFileOptions::default()).unwrap();
    std::io::Write::write_all(&mut archive, text.as_bytes()).unwrap();
    let bytes = archive.finish().unwrap().into_inner();
    let read = load_named("model.ifczip", &bytes, Budget::default()).unwrap();
    assert_eq!(read.of("Ends").len(), 2);
    let Place::Line { line, part, .. } = &read.said("it is not a number")[0].place else {
        panic!()
    };
    assert_eq!(part, "model.ifczip/model.ifcXML");
    assert!(text.lines().nth(*line as usize).unwrap().starts_with("<IfcTendon id=\"t1\""));
    let part = Bytes::new("model.ifczip", bytes);
    assert_eq!(IfcXml.probe(Parts(&[&part])), Confidence::Sure);
}

#[test]
fn references_without_the_words_of_the_schema_are_taken_and_said() {
    let loose = TENDON.replacen("ref=\"t1\" xsi:nil=\"true\"", "ref=\"t1\"", 1).replacen(
        "ref=\"a1\" xsi:nil=\"true\"/>",
        "ref=\"a1\" xsi:nil=\"true\" Name=\"T1-A\"/>",
        1,
    );
    let read = read(&format!("{HEAD}{loose}"));
    assert_eq!((read.problems.len(), read.of("Ends").len()), (1, 2), "{}", read.all_said());
    assert_eq!(read.problems[0].kind, ProblemKind::ValueDoubtful);
    assert!(read.problems[0].why.starts_with("2 elements refer to another without xsi:nil"));
}

#[test]
fn namespaces_tell_the_release() {
    let text = file(&format!("{HEAD}{TENDON}"));
    for namespace in [
        "http://www.buildingsmart-tech.org/ifcXML/IFC4/final",
        "http://www.buildingsmart-tech.org/ifcXML/IFC4/Add2",
        "http://www.buildingsmart-tech.org/ifc/IFC4/Add2TC1",
        "https://standards.buildingsmart.org/IFC/RELEASE/IFC4/ADD2_TC1/XML",
    ] {
        let read = load(text.replace(NAMESPACE, namespace).as_bytes()).unwrap();
        assert_eq!((read.all_said().as_str(), read.of("Tendons").len()), ("", 1), "{namespace}");
    }
    let draft = "https://standards.buildingsmart.org/IFC/DEV/IFC4_3/RC1";
    let read = load(text.replace(NAMESPACE, draft).as_bytes()).unwrap();
    assert_eq!(read.problems[0].kind, ProblemKind::Assumed);
    assert!(read.problems[0].given.as_deref().unwrap().ends_with(draft));
}

#[test]
fn the_sample_of_two_tendons_is_read_with_its_mapping_file() {
    let model = include_bytes!("../../../fixtures/models/two-tendons/model.ifcxml");
    let mapping = include_str!("../../../fixtures/models/two-tendons/restrand.toml");
    let read = load_mapped("model.ifcxml", model, mapping, Budget::default()).unwrap();
    assert_eq!(read.all_said(), "");
    assert_eq!((read.of("Tendons").len(), read.of("Ends").len()), (2, 4));
    for tendon in read.of("Tendons") {
        assert_eq!(value(&tendon.fields, "replaceable"), Some(&Value::Flag(true)));
        assert_eq!(value(&tendon.fields, "replacement.unbonded"), Some(&Value::Flag(true)));
        assert_eq!(number(&tendon.fields, "extra.CrossSectionArea_mm2"), Some(2850.0));
    }
    for end in read.of("Ends") {
        assert_eq!(number(&end.fields, "removal_space.behind_mm"), Some(2500.0));
        assert_eq!(number(&end.fields, "removal_space.left_mm"), Some(300.0));
    }
}

/// Up to IFC 4 a location is a cartesian point, which need not be said; nor need it of a context that stands in another.
#[test]
fn what_the_name_of_an_attribute_tells_is_not_said_again() {
    let placed = |location: &str| {
        let placement = format!(
            "<ObjectPlacement xsi:type=\"IfcLocalPlacement\"><RelativePlacement><IfcAxis2Placement3D>{location}\
             </IfcAxis2Placement3D></RelativePlacement></ObjectPlacement>  <Representation xsi"
        );
        TENDON.replacen("  <Representation xsi", &placement, 1)
    };
    let plain = placed("<Location id=\"l\" Coordinates=\"1000. 0. 0.\"/>");
    let said = placed("<Location xsi:type=\"IfcCartesianPoint\" Coordinates=\"1000. 0. 0.\"/>");
    for elements in [plain, said] {
        let ifc4 = file(&format!("{HEAD}{elements}"))
            .replace(NAMESPACE, "http://www.buildingsmart-tech.org/ifc/IFC4/Add2TC1");
        for text in [ifc4.clone(), ifc4.replace("IfcBridge", "IfcBuilding")] {
            let read = load(text.as_bytes()).unwrap();
            assert_eq!(points(read.of("Tendons")[0])[0], [1.0, 0.5, 1.8], "{}", read.all_said());
        }
    }
    let context = "<IfcGeometricRepresentationSubContext ContextIdentifier=\"Axis\"><ParentContext id=\"c\" \
                   ContextType=\"Model\"><WorldCoordinateSystem><IfcAxis2Placement3D><Location \
                   xsi:type=\"IfcCartesianPoint\" Coordinates=\"-2000. 0. 0.\"/></IfcAxis2Placement3D>\
                   </WorldCoordinateSystem></ParentContext></IfcGeometricRepresentationSubContext>";
    let head: String = HEAD.lines().filter(|line| !line.contains("IfcBridge")).collect();
    let read = read(&format!("{head}{context}{TENDON}"));
    assert_eq!(points(read.of("Tendons")[0])[0], [-2.0, 0.5, 1.8], "{}", read.all_said());
}
