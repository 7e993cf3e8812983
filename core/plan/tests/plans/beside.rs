//! What stands in the room behind an end, and what contradicts itself there.

use restrand_model::reflect::Link;
use restrand_model::schedule::{DuctRun, EndObstacle};

use super::*;

/// A box beside or on the axis of an end, mm: along it, and across from the axis upward.
fn obstacle(from_mm: f64, to_mm: f64, underside_mm: f64) -> EndObstacle {
    EndObstacle {
        name: Some("drain pipe".into()),
        from_mm: Some(from_mm),
        to_mm: Some(to_mm),
        underside_mm: Some(underside_mm),
        top_mm: Some(underside_mm + 100.0),
        left_side_mm: Some(500.0),
        right_side_mm: Some(-500.0),
        ..EndObstacle::default()
    }
}

fn with(obstacle: &EndObstacle) -> Plan {
    heeded("T11L", |schedule| {
        end(tendon(schedule, "T11L"), EndName::B).obstacles = vec![obstacle.clone()];
    })
}

#[test]
fn an_obstacle_on_the_axis_ends_the_room_for_jack_and_new_parts() {
    // At 2100 mm behind the plate, across the axis: the new pipe of 2288 mm and the jack do not go in.
    let plan = with(&obstacle(2100.0, 2300.0, -50.0));
    let jack = constraints(&plan, StepId::JackIn);
    assert!(
        jack.iter().any(|told| told.contains("there are 2100 mm") && told.contains("as far as drain pipe")),
        "{jack:?}"
    );
    let room = table(&plan, StepId::JackIn, "Room");
    close(&column(room, "there_are_mm"), &[2100.0], 0.5);
    assert_eq!(texts(room, "as_far_as"), ["drain pipe"]);
    let new_parts = constraints(&plan, StepId::NewParts);
    assert!(
        new_parts
            .iter()
            .any(|told| told.starts_with("the new inner-pipe of end b (P2) is 2288 mm")
                && told.contains("as far as drain pipe")),
        "{new_parts:?}"
    );
    // The rules say the same.
    let rules: Vec<_> = plan.errors().map(|told| told.rule).collect();
    assert!(rules.iter().any(|rule| rule.starts_with("space/jack-")), "{rules:?}");
}

#[test]
fn an_obstacle_beside_the_jack_leaves_it_what_is_told() {
    // The jack's radius is 225 mm, and the top of the pipe is 235 mm below the axis: 10 mm are left, of 25.
    let near = with(&obstacle(500.0, 800.0, -335.0));
    let cautions = shown(&step(&near, StepId::JackIn).cautions);
    assert!(cautions.contains("the jack passes drain pipe with 10 mm"), "{cautions}");
    let clear = with(&obstacle(500.0, 800.0, -355.0));
    let cautions = shown(&step(&clear, StepId::JackIn).cautions);
    assert!(!cautions.contains("drain pipe"), "{cautions}");
}

#[test]
fn a_wall_too_near_to_the_jack_stands_against_the_plan() {
    let plan = plan_of("T11L", |tendon| {
        let space = end(tendon, EndName::B).removal_space.as_deref_mut().unwrap();
        space.up_mm = Some(200.0);
    });
    let told = constraints(&plan, StepId::JackIn);
    assert!(
        told.iter().any(|told| told.contains("runs into the wall above the axis, by 125 mm")),
        "{told:?}"
    );
}

#[test]
fn a_live_cap_in_the_way_of_the_jack_and_of_new_parts_is_told() {
    // T21L is anchored beside T11L: moved onto its axis, its duct is in the way behind P2.
    let plan = plan_in("T11L", |schedule| {
        let own = tendon(schedule, "T11L").points.last().unwrap().clone();
        let other = tendon(schedule, "T21L");
        for point in &mut other.points {
            point.lateral_m = own.lateral_m;
            point.elevation_m = own.elevation_m;
        }
    });
    for id in [StepId::JackIn, StepId::NewParts] {
        let told = constraints(&plan, id);
        assert!(
            told.iter().any(|told| told.contains("runs into the duct of T21L, which stays")
                || told.contains("runs into the cap of T21L, which stays")),
            "{id:?}: {told:?}"
        );
    }
}

#[test]
fn an_anchorage_that_contradicts_itself_stops_parts_and_strands() {
    let plan = plan_in("T11L", |schedule| {
        let is_it = |id: &Option<_>| id.as_deref() == Some("K-13");
        let anchorage = schedule.anchorages.iter_mut().find(|one| is_it(&one.id)).unwrap();
        anchorage.wedge_plate_holes = Some(18);
    });
    for id in [StepId::NewParts, StepId::Strands] {
        let stops = shown(&step(&plan, id).stops);
        assert!(
            stops.contains("at end a (A1) anchorage K-13 is listed for 19 strands, but its wedge plate has 18 holes"),
            "{id:?}: {stops}"
        );
    }
    let fewer = plan_of("T11L", |tendon| end(tendon, EndName::B).strand_count = Some(12));
    assert!(
        constraints(&fewer, StepId::NewParts)[0]
            .contains("12 strands are stated, and 19 for the tendon")
    );
}

#[test]
fn a_plan_that_is_stopped_says_so_before_all_else() {
    assert_eq!(plan_of("T11L", |_| {}).stop, None);
    let stopped = plan_of("T12R", |tendon| {
        end(tendon, EndName::A).removal_space.as_deref_mut().unwrap().behind_mm = Some(600.0);
    });
    assert!(shown(stopped.stop.as_slice()).starts_with("Nothing is begun on the bridge"));
}

#[test]
fn how_near_a_live_duct_is_says_whether_it_may_be_more() {
    let told = |change: &dyn Fn(&mut Schedule)| {
        let plan = plan_in("T11L", change);
        let mut lines = plan.hazards.iter().map(|hazard| &hazard.line);
        let line = lines.find(|line| line.text.contains("nearest live duct")).unwrap();
        let gap = line.facts.iter().find(|fact| fact.name == "gap_mm").unwrap();
        let FactValue::Number(gap_mm) = gap.value else { panic!("{gap:?}") };
        (shown(std::slice::from_ref(line)), gap_mm)
    };
    let (as_stated, gap_mm) = told(&|_| {});
    assert!(
        !as_stated.contains("or more") && !as_stated.contains("does not follow"),
        "{as_stated}"
    );
    // A length of it is 40 mm wider, and nothing says where it lies.
    let wider = |schedule: &mut Schedule| {
        let mut duct = schedule.ducts[0].clone();
        (duct.id, duct.outer_mm) = (Some("wider".into()), duct.outer_mm.map(|mm| mm + 40.0));
        schedule.ducts.push(duct);
        let run = DuctRun { duct: Some(Link::to("wider")), ..DuctRun::default() };
        tendon(schedule, "T11L").duct_runs = vec![run];
    };
    let (of_widest, least_mm) = told(&wider);
    close(&[least_mm], &[gap_mm - 20.0], 1e-6);
    assert!(of_widest.contains("or more from its own"), "{of_widest}");
    // Of one that runs beside it no duct is stated; of one in another span none need be.
    let (without, _) = told(&|schedule| {
        for mark in ["T12L", "T31L"] {
            tendon(schedule, mark).duct = None;
        }
    });
    assert!(
        without.ends_with("how near others run does not follow from the schedule: T12L"),
        "{without}"
    );
}

#[test]
fn of_two_places_that_are_as_near_the_lower_one_is_told_whatever_the_digits_are() {
    // The middle span is symmetric: a hundredth of a millimetre, as feet and inches leave it, moves nothing.
    for nearer_m in [-1e-5, 0.0, 1e-5] {
        let plan = plan_in("T22L", |schedule| {
            let points = &mut tendon(schedule, "T22L").points;
            let half = points.len() / 2;
            for point in &mut points[half..] {
                point.lateral_m = point.lateral_m.map(|lateral_m| lateral_m + nearer_m);
            }
        });
        let mut lines = plan.hazards.iter().map(|hazard| &hazard.line);
        let line = lines.find(|line| line.text.contains("nearest live duct")).unwrap();
        let at = line.facts.iter().find(|fact| fact.name == "nearest_m").unwrap();
        let FactValue::Number(nearest_m) = at.value else { panic!("{at:?}") };
        assert!(nearest_m < 165.0, "{nearer_m}: {nearest_m}");
    }
}
