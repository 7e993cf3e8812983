//! A model that is written into the file it came from.

#![expect(clippy::unwrap_used, reason = "helpers of tests are tests")]

use std::io;

use restrand_ifcspf::IfcSpf;
use restrand_kit::{Bytes, Content, Output, Part, Parts, Plugin, WriteError, WriteOptions};
use restrand_model::ifc::GLOBAL_ID;
use restrand_model::reading::Provenance;
use restrand_model::schedule::{Project, Schedule, Stressing, Tendon};
use restrand_model::value::{Name, Value};

#[derive(Default)]
struct OnePart(Vec<u8>);

impl Output for OnePart {
    fn part(&mut self, _: &str) -> io::Result<&mut dyn io::Write> {
        Ok(&mut self.0)
    }
}

fn schedule(force_kn: f64) -> Schedule {
    let mut schedule = Schedule::default();
    let project = Project { structure_number: Some("Q-1".into()), ..Project::default() };
    schedule.project = Some(Box::new(project));
    for mark in ["T1", "T2"] {
        let mut tendon = Tendon { mark: Some(mark.into()), ..Tendon::default() };
        tendon.length_m = Some(40.0);
        let force_kn = if mark == "T2" { force_kn } else { 2500.0 };
        let stressing = Stressing { jacking_force_kn: Some(force_kn), ..Stressing::default() };
        tendon.stressing = Some(Box::new(stressing));
        schedule.tendons.push(tendon);
    }
    schedule
}

fn written(schedule: &Schedule) -> String {
    let mut output = OnePart::default();
    let provenance = Provenance::default();
    let content = Content::new(schedule, &provenance);
    IfcSpf.write(&content, WriteOptions::default(), &mut output).unwrap();
    String::from_utf8(output.0).unwrap()
}

fn patched(file: &str, schedule: &Schedule) -> Result<String, WriteError> {
    let part = Bytes::new("bridge.ifc", file.as_bytes().to_vec());
    let parts: [&dyn Part; 1] = [&part];
    let mut output = OnePart::default();
    let provenance = Provenance::default();
    let content = Content::new(schedule, &provenance);
    IfcSpf.patch(Parts(&parts), &content, WriteOptions::default(), &mut output)?;
    Ok(String::from_utf8(output.0).unwrap())
}

/// The file as another program may have passed it on: other line ends, a comment, an element of its own, and
/// numbers written in another way.
fn passed_on(file: &str) -> String {
    let own = "/* kept */ #900000 = IFCWALL( 'own;''wall' , $ );\nENDSEC;\nEND-ISO";
    file.replace("ENDSEC;\nEND-ISO", own).replace(",40.,", ", 4.0E1 ,").replace('\n', "\r\n")
}

#[test]
fn the_same_schedule_leaves_every_byte() {
    let file = passed_on(&written(&schedule(2600.0)));
    assert_eq!(patched(&file, &schedule(2600.0)).unwrap(), file);
}

#[test]
fn another_value_changes_the_lines_that_say_it_and_no_other() {
    let file = passed_on(&written(&schedule(2600.0)));
    let again = patched(&file, &schedule(2700.0)).unwrap();
    let (before, after): (Vec<_>, Vec<_>) = (file.lines().collect(), again.lines().collect());
    assert_eq!(before.len(), after.len());
    let changed: Vec<_> = before.iter().zip(&after).filter(|(one, other)| one != other).collect();
    assert!((1..=2).contains(&changed.len()), "{changed:#?}");
    for (one, other) in changed {
        assert!(one.contains("26") && other.contains("27"), "{one} became {other}");
        assert_eq!(one.split('=').next(), other.split('=').next(), "the number stays");
    }
    assert_eq!(
        written(&schedule(2700.0)),
        patched(&written(&schedule(2600.0)), &schedule(2700.0)).unwrap()
    );
}

#[test]
fn what_is_new_stands_behind_the_last_instance_under_new_numbers() {
    let file = passed_on(&written(&schedule(2600.0)));
    let mut more = schedule(2600.0);
    more.tendons[0].strand_count = Some(19);
    let again = patched(&file, &more).unwrap();
    let added: Vec<_> = again.lines().filter(|line| line.starts_with("#9000")).collect();
    assert!(!added.is_empty(), "{again}");
    assert!(added.iter().any(|line| line.contains("'strand_count'")), "{added:#?}");
    let kept = again.find("/* kept */ #900000 = IFCWALL( 'own;''wall' , $ );\r\n#900001=");
    assert!(kept.is_some(), "{again}");
    assert!(again.ends_with("ENDSEC;\r\nEND-ISO-10303-21;\r\n"));
    // To do it again changes nothing.
    assert_eq!(patched(&again, &more).unwrap(), again);
}

#[test]
fn a_file_that_is_another_bridges_or_not_understood_is_not_made_anew() {
    let file = written(&schedule(2600.0));
    let mut other = schedule(2600.0);
    other.project.as_deref_mut().unwrap().structure_number = Some("Q-2".into());
    for (file, schedule) in [
        (file.clone(), other),
        (file.replace("IFC4X3_ADD2", "IFC4"), schedule(2600.0)),
        (
            file.replace("IFCSIUNIT(*,.LENGTHUNIT.,$,", "IFCSIUNIT(*,.LENGTHUNIT.,.MILLI.,"),
            schedule(2600.0),
        ),
        (file.replacen("=IFCTENDON(", "=IFCTENDON((", 1), schedule(2600.0)),
        (file[..file.len() / 2].to_owned(), schedule(2600.0)),
    ] {
        assert_ne!(file, written(&schedule), "a case is a case");
        // It is changed value by value, and no value is said to change.
        assert_eq!(patched(&file, &schedule).unwrap(), file);
    }
}

#[test]
fn a_bridge_keeps_the_id_that_it_came_with_and_no_property_repeats_it() {
    const ID: &str = "2NGivUbDnHkA1cdwkBFzbW";
    let mut from_model = schedule(2600.0);
    let project = from_model.project.as_deref_mut().unwrap();
    project.extra.push(Name::Known(GLOBAL_ID), Value::from(ID));
    let file = written(&from_model);
    assert_eq!(file.matches(ID).count(), 1, "{file}");
    assert!(file.contains(&format!("IFCBRIDGE('{ID}'")), "{file}");
    assert!(!file.contains("'GlobalId'"), "{file}");
}
