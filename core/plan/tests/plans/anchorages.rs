//! Each way in which an anchorage of the demo is composed: cone on the wedge plate, in two lengths, and straight pipe on a
//! shim plate; and an anchorage of which nothing but its name is known.

use super::*;

/// Names, at an end, of the parts to be ordered, and how each comes in.
fn ordered(plan: &Plan, at: &str) -> Vec<(String, String)> {
    let parts = table(plan, StepId::NewParts, "Parts");
    let last = parts.columns.len() - 1;
    let text = |cell: &Cell| match cell {
        Cell::Text(text) => text.clone(),
        other => panic!("{other:?}"),
    };
    let rows = parts.rows.iter().filter(|row| row[0] == Cell::Text(at.to_owned()));
    rows.map(|row| (text(&row[1]), text(&row[last]))).collect()
}

fn comes_in<'p>(parts: &'p [(String, String)], name: &str) -> &'p str {
    &parts.iter().find(|(part, _)| part == name).unwrap().1
}

fn gauged(plan: &Plan, at: &str) -> Vec<String> {
    let permanent = table(plan, StepId::Gauging, "Permanent");
    let rows = permanent.rows.iter().filter(|row| row[0] == Cell::Text(at.to_owned()));
    rows.map(|row| format!("{:?}", row[1])).collect()
}

#[test]
fn a_cone_on_the_wedge_plate_leaves_rearward_in_one_bar_with_it() {
    let plan = plan_of("T11L", |_| {});
    let stubs = said(step(&plan, StepId::AnchorStubs));
    assert!(
        stubs.contains("At end a (A1) there leave with the tendon: wedges, wedge-plate, inner-cone, trumpet-ring, anchorage-pipe"),
        "{stubs}"
    );
    // Tail, plate and cone stay whole: 115 + 600.
    assert!(stubs.contains("715 mm [28.15 in] from its rear end stay whole"), "{stubs}");
    assert!(stubs.contains("Stripped in place behind the bearing plate at end a (A1): cap-gasket"));
    // What lies on the span side is met, and told, with the pieces.
    let pieces = said(step(&plan, StepId::Pieces));
    assert!(pieces.contains("beside end a (A1) leaves there are stripped in place, from the span: mouth-boot, duct-joint"), "{pieces}");
    let parts = ordered(&plan, "end a (A1)");
    for name in ["wedge-plate", "inner-cone", "anchorage-pipe", "cap"] {
        assert_eq!(comes_in(&parts, name), "from behind", "{name}");
    }
    assert_eq!(comes_in(&parts, "mouth-boot"), "fitted in place");
    assert_eq!(gauged(&plan, "end a (A1)").len(), 3);
}

#[test]
fn the_longer_cone_of_a_pier_comes_out_whole_where_there_is_room() {
    let plan = plan_of("T21L", |_| {});
    assert_eq!(plan.blocked, []);
    // L = 115 + 2180.
    let pulls = table(&plan, StepId::AnchorStubs, "Pulls");
    close(&column(pulls, "leaves_mm"), &[2295.0; 2], 0.5);
    assert_eq!(texts(pulls, "then"), ["out whole"; 2]);
    // Cone and pipe in one: 600 + 1700, with 150 to spare of 3000.
    let new = said(step(&plan, StepId::NewParts));
    assert!(new.contains("they are 2300 mm [90.55 in] long, and take 2450 mm"), "{new}");
    assert_eq!(gauged(&plan, "end a (P2)").len(), 3);
}

#[test]
fn a_straight_pipe_on_a_shim_plate_leaves_its_sleeve_to_the_span() {
    let plan = plan_of("T23L", |_| {});
    assert_eq!(plan.blocked, []);
    let stubs = said(step(&plan, StepId::AnchorStubs));
    let words =
        "there leave with the tendon: wedges, wedge-plate, shim-plate, pipe-ring, inner-pipe";
    assert!(stubs.contains(words), "{stubs}");
    let pieces = said(step(&plan, StepId::Pieces));
    let words =
        "Into the span at end a (P2), with the last piece of the free length: reducing-sleeve";
    assert!(pieces.contains(words) && !stubs.contains("Into the span"), "{pieces}");
    let pulls = table(&plan, StepId::AnchorStubs, "Pulls");
    close(&column(pulls, "leaves_mm"), &[2345.0; 2], 0.5);
    let parts = ordered(&plan, "end a (P2)");
    assert_eq!(comes_in(&parts, "shim-plate"), "from behind");
    assert_eq!(comes_in(&parts, "reducing-sleeve"), "from the span");
    // One pipe and no cone: nothing is joined before it goes in.
    assert!(!said(step(&plan, StepId::NewParts)).contains("joined in one"));
    // Bearing plate and straight pipe.
    assert_eq!(gauged(&plan, "end a (P2)").len(), 2);
    // What must stay whole is the plates alone, 165 + 12 as the schedule states it.
    let tight = plan_of("T23L", |tendon| {
        let space = end(tendon, EndName::A).removal_space.as_deref_mut().unwrap();
        space.behind_mm = Some(1200.0);
    });
    let pulls = table(&tight, StepId::AnchorStubs, "Pulls");
    // r = 800, p = 650: 2345 - 150 in pieces of 650, four of them.
    close(&column(pulls, "leaves_mm")[..4], &[650.0, 650.0, 650.0, 395.0], 0.5);
}

#[test]
fn an_anchorage_without_parts_leaves_its_steps_open_and_the_others_not() {
    let plan = plan_in("T11L", |schedule| {
        for anchorage in &mut schedule.anchorages {
            anchorage.parts.clear();
        }
    });
    assert!(lacks(&plan, "anchorage.parts"));
    assert!(gauged(&plan, "end a (A1)").is_empty() && ordered(&plan, "end a (A1)").is_empty());
    let stubs = step(&plan, StepId::AnchorStubs);
    assert_eq!(stubs.tables, []);
    // Pieces, forces and readings do not hang on it.
    assert_eq!(column(table(&plan, StepId::Pieces, "Pieces"), "length_m").len(), 20);
    close(&column(table(&plan, StepId::Stressing, "Steps"), "gauge_mpa")[4..], &[40.73], 0.005_1);
    assert_eq!(plan.blocked, []);
}
