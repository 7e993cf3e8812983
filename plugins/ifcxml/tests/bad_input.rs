//! Files that are broken, or made to break: each fault is said at its place, and the rest is read.

#![allow(clippy::unwrap_used, reason = "a failure is a failure of the test")]

mod common;

use common::{HEAD, NAMESPACE, TENDON, at, file, load, read};
use restrand_kit::LoadError;
use restrand_model::reading::{Place, ProblemKind};

fn refused(bytes: &[u8]) -> (String, Place) {
    match load(bytes) {
        Err(LoadError::Unreadable { why, place, .. }) => (why, place),
        Err(other) => panic!("{other:?}"),
        Ok(read) => panic!("it is read: {}", read.all_said()),
    }
}

#[test]
fn a_file_that_is_cut_short_anywhere_is_read_as_far_as_it_goes() {
    let text = file(&format!("{HEAD}{TENDON}"));
    let whole = load(text.as_bytes()).unwrap().records.len();
    let (mut some, mut none) = (0, 0);
    for length in 0..text.trim_end().len() {
        match load(&text.as_bytes()[..length]) {
            Ok(read) => {
                some += 1;
                let lost =
                    read.problems.iter().any(|problem| problem.kind == ProblemKind::RecordLost);
                assert!(lost, "{length}: {}", read.all_said());
                assert!(read.records.len() <= whole);
            }
            Err(LoadError::Unreadable { .. }) => none += 1,
            Err(other) => panic!("{length}: {other:?}"),
        }
    }
    assert!(some > 2000 && none > 100, "{some} and {none}");
}

#[test]
fn what_is_no_such_file_is_refused_with_reason() {
    let text = file(HEAD);
    for (bytes, why) in [
        (String::new(), "no element in it"),
        ("x".to_owned(), "no element in it"),
        ("<a/>".to_owned(), "its root is <a>"),
        ("<iso_10303_28/>".to_owned(), "IFC 2x3 as XML"),
        ("<ifcXML".to_owned(), "cannot be read on"),
        ("<ifcXML/>".to_owned(), "namespace \"\" tells no release"),
        (text.replace(NAMESPACE, "http://example.org/x"), "tells no release of IFC that is read"),
    ] {
        let (said, _) = refused(bytes.as_bytes());
        assert!(said.contains(why), "{bytes}: {said}");
    }
}

#[test]
fn a_namespace_that_is_not_known_is_told_at_the_root() {
    let text = file(&format!("{HEAD}{TENDON}"));
    let draft = text.replace(NAMESPACE, "http://example.org/IFC4x3/draft");
    let read = load(draft.as_bytes()).unwrap();
    let found = read.said("not one of those that were published as final");
    assert!(at(&draft, &found[0].place).starts_with("<ifcXML"), "{:?}", found[0].place);
    let other = text.replace(NAMESPACE, "http://example.org/x");
    let (_, place) = refused(other.as_bytes());
    let Place::Text { span, .. } = place else { panic!("{place:?}") };
    assert!(other[usize::try_from(span.start).unwrap()..].starts_with("<ifcXML"));
}

#[test]
fn document_types_and_entities_are_refused() {
    let text = file(HEAD);
    let bomb =
        "<!DOCTYPE x [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;&a;&a;&a;&a;\">]>\n";
    let with = text.replacen("<ifcXML", &format!("{bomb}<ifcXML"), 1);
    let (said, place) = refused(with.as_bytes());
    assert!(said.contains("document type declaration"));
    let Place::Text { span, .. } = place else { panic!("{place:?}") };
    assert_eq!(span.start as usize, with.find("<!DOCTYPE").unwrap());
    // Without a declaration an entity of its own is nothing.
    let elements = TENDON.replace("Name=\"T1\" Tag", "Name=\"&own;\" Tag");
    let read = read(&format!("{HEAD}{elements}"));
    assert_eq!(read.said("its Name cannot be read").len(), 1, "{}", read.all_said());
    assert_eq!(read.of("Tendons").len(), 1);
}

#[test]
fn a_million_elements_in_each_other_are_said_and_end() {
    let deep = format!("{}{}", "<IfcSite>".repeat(1_000_000), "</IfcSite>".repeat(1_000_000));
    let read = read(&format!("{HEAD}{deep}{TENDON}"));
    assert_eq!(read.said("nested more than 256 levels deep").len(), 1);
    assert_eq!((read.of("Tendons").len(), read.of("Ends").len()), (1, 2));
    let open = common::read(&format!("{HEAD}{TENDON}{}", "<a>".repeat(1_000_000)));
    assert_eq!(open.of("Tendons").len(), 1);
}

#[test]
fn ids_that_stand_twice_and_references_to_nothing_are_said() {
    let twice = "<IfcTendon id=\"t1\" GlobalId=\"0000000000000000000030\" Name=\"T9\"/>";
    let dangling = TENDON.replace("ref=\"d2\"", "ref=\"nowhere\"");
    let text = file(&format!("{HEAD}{dangling}{twice}"));
    let read = load(text.as_bytes()).unwrap();
    assert_eq!(at(&text, &read.said("the id t1 stands twice")[0].place), twice);
    let found = read.said("it refers to nowhere, which the file does not define");
    assert_eq!(found.len(), 1);
    assert!(at(&text, &found[0].place).starts_with("<IfcRelConnectsWithRealizingElements"));
    assert_eq!((read.of("Tendons").len(), read.of("Ends").len()), (1, 2));
}

#[test]
fn global_ids_and_numbers_that_are_none_are_said() {
    let elements = TENDON
        .replace(" GlobalId=\"0000000000000000000003\"", "")
        .replace("\"0000000000000000000004\"", "\"xxxxxxxxxxxxxxxxxxxx54\"")
        .replace("\"0000000000000000000005\"", "\"0000000000000000000006\"")
        .replace("PreStress=\"1395.\"", "PreStress=\"-1395\"")
        .replace("AnchorageSlip=\"6.\"", "AnchorageSlip=\"six\"");
    let read = read(&format!("{HEAD}{elements}"));
    for why in [
        "it has no GlobalId",
        "it is no GlobalId, which has 22 letters",
        "another element has the same GlobalId",
        "it is not above zero",
        "it is not a number",
    ] {
        assert_eq!(read.said(why).len(), 1, "{why}: {}", read.all_said());
    }
    assert_eq!((read.of("Tendons").len(), read.of("Ends").len()), (1, 2));
}

#[test]
fn what_leads_in_a_circle_is_said_and_ends() {
    let placement = "<IfcLocalPlacement id=\"l1\"><PlacementRelTo xsi:type=\"IfcLocalPlacement\" ref=\"l2\" \
                     xsi:nil=\"true\"/></IfcLocalPlacement><IfcLocalPlacement id=\"l2\"><PlacementRelTo \
                     xsi:type=\"IfcLocalPlacement\" ref=\"l1\" xsi:nil=\"true\"/></IfcLocalPlacement>\
                     <IfcTendon GlobalId=\"0000000000000000000030\" Name=\"T2\"><ObjectPlacement \
                     xsi:type=\"IfcLocalPlacement\" ref=\"l1\" xsi:nil=\"true\"/><Representation \
                     xsi:type=\"IfcProductDefinitionShape\"/></IfcTendon>";
    let read = read(&format!("{HEAD}{TENDON}{placement}"));
    assert_eq!(read.said("its placements lead in a circle").len(), 1, "{}", read.all_said());
    assert_eq!(read.of("Tendons").len(), 2);
}

#[test]
fn an_end_of_another_name_or_a_byte_that_is_no_letter_costs_what_follows() {
    let tag = file(&format!("{HEAD}{TENDON}<IfcTendon id=\"t2\" Name=\"T2\"></IfcBeam>"));
    let mut letter =
        file(&format!("{HEAD}{TENDON}<IfcTendon id=\"t2\" Name=\"T2\"/>")).into_bytes();
    let name = letter.windows(4).rposition(|bytes| bytes == b"\"T2\"").unwrap();
    letter[name + 1] = 0xff;
    for bytes in [tag.into_bytes(), letter] {
        let read = load(&bytes).unwrap();
        assert_eq!(read.said("what follows is lost").len(), 1, "{}", read.all_said());
        assert_eq!(read.of("Ends").len(), 2);
    }
}
