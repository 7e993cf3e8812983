//! Models in archives.

#![allow(clippy::unwrap_used, reason = "a failure is a failure of the test")]

mod common;

use std::io::{Cursor, Write as _};

use common::{HEAD, TENDON, file, load_named};
use restrand_ifcspf::IfcSpf;
use restrand_kit::{Budget, Bytes, Confidence, LoadError, Parts, Plugin};
use restrand_model::reading::Place;
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

fn zipped(files: &[(&str, &[u8])]) -> Vec<u8> {
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        archive.start_file(*name, SimpleFileOptions::default()).unwrap();
        archive.write_all(bytes).unwrap();
    }
    archive.finish().unwrap().into_inner()
}

fn refused(bytes: &[u8], budget: Budget) -> String {
    match load_named("model.ifczip", bytes, budget) {
        Err(LoadError::Unreadable { why, .. }) => why,
        Err(other) => panic!("{other:?}"),
        Ok(_) => panic!("it is read"),
    }
}

#[test]
fn a_model_in_an_archive_is_read_and_its_places_are_lines() {
    let model = file("IFC4X3_ADD2", &format!("{HEAD}{}", TENDON.replace("6.,3000.", "-6.,3000.")));
    let bytes = zipped(&[("inside/model.ifc", model.as_bytes())]);
    let read = load_named("model.ifczip", &bytes, Budget::default()).unwrap();
    assert_eq!(read.of("Tendons").len(), 1);
    assert_eq!(read.tables[0].part, "model.ifczip/inside/model.ifc");
    let part = Bytes::new("model.ifczip", bytes);
    assert_eq!(IfcSpf.probe(Parts(&[&part])), Confidence::Sure);
    // The line of the tendon that lacks a number, from zero.
    let broken = model.replace("4000.,1395.", "'x',1395.");
    let bytes = zipped(&[("model.ifc", broken.as_bytes())]);
    let read = load_named("model.ifczip", &bytes, Budget::default()).unwrap();
    let line = broken.lines().position(|line| line.starts_with("#14=")).unwrap();
    let Place::Line { line: said, .. } = &read.said("it is not a number")[0].place else {
        panic!("{}", read.all_said());
    };
    assert_eq!(*said as usize, line);
}

#[test]
fn what_unpacks_to_more_than_the_budget_is_refused_before_it_is_unpacked() {
    let spaces = vec![b' '; 20_000_000];
    let bytes = zipped(&[("model.ifc", &spaces)]);
    assert!(bytes.len() < 100_000);
    let budget = Budget { unpacked_bytes: 10_000_000, ..Budget::default() };
    assert!(!refused(&bytes, budget).is_empty());
}

#[test]
fn an_archive_without_exactly_one_model_is_refused() {
    let model = file("IFC4X3_ADD2", HEAD);
    let two = zipped(&[("a.ifc", model.as_bytes()), ("b.ifc", model.as_bytes())]);
    assert!(refused(&two, Budget::default()).contains("exactly one model"));
    let none = zipped(&[("a.txt", b"x")]);
    assert!(refused(&none, Budget::default()).contains("exactly one model"));
    let xml = zipped(&[("a.ifcxml", b"<ifcXML/>")]);
    assert!(refused(&xml, Budget::default()).contains("is no .ifc"));
}
