//! The hand sheet's stubs, and the boundaries of what is said of them.

use restrand_finding::{FactValue, Severity};
use restrand_model::reflect::{Date, Link};
use restrand_model::schedule::{
    Anchorage, End, Ends, Exit, Part, Permanence, RemovalSpace, Role, Schedule, Tendon,
};

use super::*;
use crate::book::Rulebook;

/// The limits that the hand sheet states.
fn book(evidence: Evidence) -> Rulebook {
    let values = [(MARGIN, 150.0), (GRIP, 250.0), (STANDOFF, 150.0), (PIECE, 300.0)];
    let limit = |value| Limit {
        value,
        citation: Citation::new("replacement by hand, 1.1", evidence),
        book: "hand".to_owned(),
    };
    Rulebook {
        limits: values.map(|(key, value)| (key.name.to_owned(), limit(value))).into(),
        ..Rulebook::default()
    }
}

fn part(id: &str, role: Role, permanence: Permanence, from_mm: f64, to_mm: f64) -> Part {
    Part {
        id: Some(id.into()),
        role: Some(role),
        permanence: Some(permanence),
        from_mm: Some(from_mm),
        to_mm: Some(to_mm),
        exit: (permanence == Permanence::Replaceable).then_some(Exit::Rear),
        ..Part::default()
    }
}

fn leaves(id: &str, role: Role, from_mm: f64, to_mm: f64) -> Part {
    part(id, role, Permanence::Replaceable, from_mm, to_mm)
}

fn stays(id: &str, role: Role, from_mm: f64, to_mm: f64) -> Part {
    part(id, role, Permanence::Permanent, from_mm, to_mm)
}

/// The anchorage K-13 of the hand sheet, 1.4.
fn k_13() -> Anchorage {
    Anchorage {
        id: Some("K-13".into()),
        parts: vec![
            leaves("cap", Role::Cap, 8.0, 190.0),
            leaves("wedges", Role::Wedges, 40.0, 80.0),
            leaves("wedge plate", Role::WedgePlate, 0.0, 75.0),
            stays("bearing plate", Role::BearingPlate, -60.0, 0.0),
            stays("outer cone", Role::AnchorageForm, -660.0, -60.0),
            stays("guide pipe", Role::GuidePipe, -1340.0, -660.0),
            leaves("inner cone", Role::InnerTrumpet, -600.0, 0.0),
            leaves("trumpet ring", Role::Seal, -12.0, 0.0),
            leaves("anchorage pipe", Role::AnchoragePipe, -1600.0, -600.0),
        ],
        ..Anchorage::default()
    }
}

/// The anchorage S-20 of the hand sheet, 1.4.
fn s_20() -> Anchorage {
    Anchorage {
        id: Some("S-20".into()),
        parts: vec![
            leaves("cap", Role::Cap, 8.0, 240.0),
            leaves("wedges", Role::Wedges, 90.0, 130.0),
            leaves("wedge plate", Role::WedgePlate, 50.0, 125.0),
            leaves("shim plate", Role::ShimPlate, 0.0, 50.0),
            stays("bearing plate", Role::BearingPlate, -60.0, 0.0),
            stays("straight pipe", Role::GuidePipe, -2040.0, -60.0),
            leaves("inner pipe", Role::AnchoragePipe, -2300.0, -12.0),
        ],
        ..Anchorage::default()
    }
}

fn end(anchorage: &str, cut_mm: f64, behind_mm: f64) -> End {
    End {
        anchorage: Some(Link::to(anchorage)),
        tail_mm: Some(40.0),
        stub_cut_mm: Some(cut_mm),
        removal_space: Some(Box::new(RemovalSpace {
            behind_mm: Some(behind_mm),
            ..RemovalSpace::default()
        })),
        ..End::default()
    }
}

fn schedule(a: End, b: End) -> Schedule {
    Schedule {
        anchorages: vec![k_13(), s_20()],
        tendons: vec![Tendon {
            mark: Some("T11L".into()),
            ends: Some(Box::new(Ends {
                a: Some(Box::new(a)),
                b: Some(Box::new(b)),
                ..Ends::default()
            })),
            ..Tendon::default()
        }],
        ..Schedule::default()
    }
}

/// Nothing here has an age.
fn today() -> Date {
    Date::new(2031, 5, 7).unwrap()
}

fn run(schedule: &Schedule, evidence: Evidence) -> Outcomes {
    let book = book(evidence);
    let context = Context::new(schedule, &[], &[], &book, today());
    let mut outcomes = Outcomes::of(RULE.id);
    check(&context, &mut outcomes);
    outcomes
}

fn number(finding: &Finding, name: &str) -> f64 {
    let value = finding.facts.iter().find(|fact| fact.name == name).map(|fact| &fact.value);
    match value {
        Some(FactValue::Number(number)) => *number,
        other => panic!("{name} is {other:?}"),
    }
}

/// Section 5 of the hand sheet: L 1595, r 1500, p 1350, n 2 at A1; L 2345, r 2600, n 1 at P2.
#[test]
fn hand_walk() {
    let schedule = schedule(end("K-13", -1480.0, 1900.0), end("S-20", -2180.0, 3000.0));
    let outcomes = run(&schedule, Evidence::Owner);
    let [finding] = outcomes.findings.as_slice() else {
        panic!("one finding is expected: {:?}", outcomes.findings);
    };
    assert_eq!(outcomes.tallies[RULE.id].pass, 1, "P2 comes out in one pull");
    assert_eq!(finding.kind, Kind::Note);
    let expected = [
        ("stub_length_mm", 1595.0),
        ("room_mm", 1500.0),
        ("piece_mm", 1350.0),
        ("whole_mm", 715.0),
        ("pulls", 2.0),
        ("cuts", 1.0),
        ("one_pull_behind_mm", 1995.0),
        ("one_pull_more_mm", 95.0),
        ("nearer_cut_mm", -1385.0),
        ("outside_mm", 45.0),
    ];
    for (name, expected) in expected {
        assert!((number(finding, name) - expected).abs() < 1e-9, "{name}: {finding:?}");
    }

    let book = book(Evidence::Owner);
    let context = Context::new(&schedule, &[], &[], &book, today());
    let [at] = context.tendons().collect::<Vec<_>>().try_into().ok().unwrap();
    let b = at.ends().nth(1).unwrap();
    let found = context.anchorage(b.end).unwrap();
    let geometry = Geometry::of(Some(found.record), b.end, context.end_parts(&b)).unwrap();
    let plan = stub_plan(&Limits::of(&context).stub(&geometry, 3000.0)).unwrap();
    assert!((geometry.length_mm() - 2345.0).abs() < 1e-9);
    assert!((plan.room_mm - 2600.0).abs() < 1e-9);
    assert_eq!(plan.verdict, StubVerdict::InOne { spare_mm: 255.0 });
}

/// Just at, and just below, the least room in which the first piece is long enough.
#[test]
fn the_boundary_of_the_first_piece() {
    // whole 715 + stand-off 150 + margin 150 + grip 250
    let least = 1265.0;
    for (behind, kind) in [(least, Kind::Note), (least - 0.1, Kind::Margin)] {
        let outcomes = run(
            &schedule(end("K-13", -1480.0, behind), end("S-20", -2180.0, 3000.0)),
            Evidence::Owner,
        );
        assert_eq!(outcomes.findings[0].kind, kind, "{behind}");
    }
}

/// Just at, and just below, what must stay whole with every allowance zero.
#[test]
fn the_boundary_of_the_clash() {
    for (behind, kind) in [(715.0, Kind::Margin), (714.9, Kind::Physical)] {
        let outcomes = run(
            &schedule(end("K-13", -1480.0, behind), end("S-20", -2180.0, 3000.0)),
            Evidence::Derived,
        );
        let finding = &outcomes.findings[0];
        assert_eq!(finding.kind, kind, "{behind}");
        let severity = if kind == Kind::Margin { Severity::Warning } else { Severity::Error };
        assert_eq!(finding.severity, severity);
    }
}

#[test]
fn a_missing_cut_is_the_end_of_what_leaves_and_is_said() {
    let mut a = end("K-13", 0.0, 1900.0);
    a.stub_cut_mm = None;
    let outcomes = run(&schedule(a, end("S-20", -2180.0, 3000.0)), Evidence::Owner);
    let finding = &outcomes.findings[0];
    assert!((number(finding, "stub_length_mm") - 1715.0).abs() < 1e-9);
    assert!(finding.facts.iter().any(|fact| fact.name == "cut_at"));
}
