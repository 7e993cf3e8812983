//! A small schedule as JSON and as a workbook, checked, and its findings as people see them.

use restrand_check::{LocatedFinding, LocatedRelated, Report};
use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Where};
use restrand_intake::Reading;
use restrand_json::Json;
use restrand_kit::{Bytes, Part};
use restrand_model::System;
use restrand_model::reflect::Date;
use restrand_model::route::{Names, Route};
use restrand_report::terminal::{self, Look};
use restrand_report::{Checked, InForce};
use restrand_rules::Rulebook;

pub(crate) use crate::common::{Again, base, in_workbook};

use crate::common::read;

pub(crate) const SCHEDULE: &str = r#"{
  "restrand": 1,
  "project": {"bridge": "Testing Beck", "stage": "shop_drawing"},
  "places": [{"id": "A1", "station_m": 0}, {"id": "P1", "station_m": 40}],
  "tendons": [
    {"mark": "T1", "strand_count": 19,
     "ends": {"a": {"place": "A1", "tail_mm": 45, "removal_space": {"behind_mm": 600}},
              "b": {"place": "P1"}},
     "extra": {"Bemerkung": "geprüft\u001b[31m"}},
    {"mark": "T2", "strand_count": 12}
  ]
}"#;

pub(crate) fn as_json() -> (Bytes, Reading) {
    let bytes = Bytes::new("beck.json", SCHEDULE.as_bytes().to_vec());
    let reading = read(&Json, &bytes);
    (bytes, reading)
}

pub(crate) fn as_workbook() -> (Bytes, Reading) {
    in_workbook(&as_json().1)
}

pub(crate) fn behind() -> Route {
    end("a").field("removal_space").field("behind_mm")
}

pub(crate) fn end(name: &'static str) -> Route {
    Route::to("tendons", 0).field("ends").field(name)
}

pub(crate) fn located(reading: &Reading, finding: Finding, route: &Route) -> LocatedFinding {
    let (record, path) = route.source(&reading.schedule);
    let name = Names::of(&reading.schedule).show(route, &reading.schedule);
    LocatedFinding {
        place: reading.provenance.place(record, &path).unwrap(),
        fingerprint: format!("{}@{name}", finding.rule),
        route: Some(name),
        related: finding
            .related
            .iter()
            .map(|related| {
                let Where::Route(route) = &related.place else { panic!("a route") };
                let (record, path) = route.source(&reading.schedule);
                LocatedRelated {
                    place: reading.provenance.place(record, &path),
                    record,
                    path,
                    name: None,
                    text: related.text.clone(),
                }
            })
            .collect(),
        finding,
        record,
        path,
    }
}

pub(crate) fn short_of_room() -> Finding {
    Finding::new("space/stub", Kind::Margin, behind(), "only {behind_mm} of {needed_mm} at {end}")
        .fact(Fact::given("behind_mm", 600.0, 0))
        .fact(Fact::text("end", "end a of T1"))
        .fact(Fact::computed("needed_mm", 715.0, 0))
        .fact(Fact::computed("stub_length_mm", 1595.0, 0))
        .fact(Fact::limit(
            "grip_mm",
            250.0,
            0,
            Citation::new("engineering default: the puller's grip", Evidence::Derived),
        ))
        .related(Route::to("tendons", 0), "the tendon")
        .help("Make room")
        .remedy("Move the wall by 115 mm")
        .remedy("Cut once more")
}

/// The day that counts as today.
pub(crate) fn today() -> Date {
    Date::new(2031, 5, 7).unwrap()
}

pub(crate) fn text(
    bytes: &Bytes,
    reading: &Reading,
    findings: Vec<LocatedFinding>,
    look: Look,
) -> String {
    let book = base();
    let mut report = restrand_check::check(reading, &book, today());
    report.findings = findings;
    render(bytes, Some(reading), &report, &book, look)
}

pub(crate) fn render(
    bytes: &Bytes,
    reading: Option<&Reading>,
    report: &Report,
    book: &Rulebook,
    look: Look,
) -> String {
    let again = Again(bytes);
    let checked = Checked {
        file: bytes.name(),
        format: Some("test"),
        report,
        reading,
        sources: &again,
        rulebook: reading.map(|_| InForce { book, why: "as the test says" }),
        system: System::Si,
        as_of: "2031-05-07",
    };
    let mut out = Vec::new();
    terminal::report(&mut out, &checked, look).unwrap();
    String::from_utf8(out).unwrap()
}

pub(crate) const PLAIN: Look = Look { width: 100, colour: false, all: false };

pub(crate) fn has_lines(text: &str, lines: &[&str]) {
    let mut rest = text.lines();
    for line in lines {
        assert!(rest.any(|shown| shown == *line), "no line {line:?} in order in\n{text}");
    }
}
