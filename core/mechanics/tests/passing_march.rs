//! The exact tightest place against a march of the bodies, step by step, past every bore.

use proptest::prelude::*;
use restrand_mechanics::passing::{Body, Bore, Exit, allowance_split, tightest};

/// Step of the march and of the sampled sections, mm. Coordinates are whole, so each stretch holds whole steps.
const STEP_MM: f64 = 0.25;

fn diameter() -> impl Strategy<Value = f64> {
    60.0..180.0
}

fn stretch() -> impl Strategy<Value = (f64, f64)> {
    (-50i32..50, 4i32..60).prop_map(|(from, length)| (f64::from(from), f64::from(from + length)))
}

fn body() -> impl Strategy<Value = Body> {
    let greatest = prop_oneof![
        2 => Just(None),
        2 => (diameter(), (0.0..=1.0)).prop_map(|(outer, share)| Some((outer, Some(share)))),
        1 => diameter().prop_map(|outer| Some((outer, None))),
    ];
    (stretch(), diameter(), diameter(), greatest, 0.0..3.0, 0.0..3.0).prop_map(
        |((from_mm, to_mm), rear_outer_mm, span_outer_mm, greatest, tolerance_mm, ovality_mm)| {
            let share = greatest.and_then(|(_, share): (f64, Option<f64>)| share);
            Body {
                from_mm,
                to_mm,
                rear_outer_mm,
                span_outer_mm,
                greatest_outer_mm: greatest.map(|(outer, _)| outer),
                greatest_outer_at_mm: share
                    .map(|share: f64| (from_mm + share * (to_mm - from_mm)).round()),
                tolerance_mm,
                ovality_mm,
            }
        },
    )
}

fn bore() -> impl Strategy<Value = Bore> {
    (stretch(), diameter(), diameter(), 0.0..3.0, 0.0..3.0, 0.0..3.0).prop_map(
        |((from_mm, to_mm), rear_inner_mm, span_inner_mm, tolerance_mm, ovality_mm, seam_mm)| {
            Bore { from_mm, to_mm, rear_inner_mm, span_inner_mm, tolerance_mm, ovality_mm, seam_mm }
        },
    )
}

fn between(from: f64, to: f64, at: f64, span: f64, rear: f64) -> f64 {
    span + (rear - span) * (at - from) / (to - from)
}

/// Sections of a body, as coordinate and worst diameter: the middle of every step, and the flange.
fn sections(body: &Body, direction: f64) -> Vec<(f64, f64)> {
    let growth = body.tolerance_mm + body.ovality_mm / 2.0;
    let mut sections = Vec::new();
    let mut at = body.from_mm + STEP_MM / 2.0;
    while at < body.to_mm {
        let mut outer =
            between(body.from_mm, body.to_mm, at, body.span_outer_mm, body.rear_outer_mm);
        if body.greatest_outer_at_mm.is_none() {
            outer = outer.max(body.greatest_outer_mm.unwrap_or(0.0));
        }
        sections.push((at, outer + growth));
        at += STEP_MM;
    }
    if let (Some(outer), Some(at)) = (body.greatest_outer_mm, body.greatest_outer_at_mm) {
        // It is a line, and half a step on it has begun to pass.
        sections.push((at + direction * STEP_MM / 2.0, outer + growth));
    }
    sections
}

/// Moves the whole group in steps and takes the least radial gap that any section ever has.
fn march(bodies: &[Body], bores: &[Bore], exit: Exit) -> Option<f64> {
    let direction = match exit {
        Exit::Rear => 1.0,
        Exit::Span => -1.0,
    };
    let mut least: Option<f64> = None;
    for body in bodies {
        for (start, outer) in sections(body, direction) {
            for bore in bores {
                let shrinkage = bore.tolerance_mm + bore.ovality_mm / 2.0 + bore.seam_mm;
                let mut moved = 0.0;
                while moved <= 165.0 {
                    let at = start + direction * moved;
                    if at > bore.from_mm && at < bore.to_mm {
                        let inner = between(
                            bore.from_mm,
                            bore.to_mm,
                            at,
                            bore.span_inner_mm,
                            bore.rear_inner_mm,
                        );
                        let gap = (inner - shrinkage - outer) / 2.0;
                        least = Some(least.map_or(gap, |so_far| so_far.min(gap)));
                    }
                    moved += STEP_MM;
                }
            }
        }
    }
    least
}

/// The march samples the middle of each step, so it misses no more than half a step on the steepest cones.
fn march_error_mm(bodies: &[Body], bores: &[Bore]) -> f64 {
    let steepest = |slopes: &mut dyn Iterator<Item = f64>| slopes.fold(0.0, f64::max);
    let body =
        steepest(&mut bodies.iter().map(|body| {
            (body.rear_outer_mm - body.span_outer_mm).abs() / (body.to_mm - body.from_mm)
        }));
    let bore =
        steepest(&mut bores.iter().map(|bore| {
            (bore.rear_inner_mm - bore.span_inner_mm).abs() / (bore.to_mm - bore.from_mm)
        }));
    f64::midpoint(body, bore) * STEP_MM / 2.0 + 1e-9
}

fn both_exits() -> impl Strategy<Value = Exit> {
    prop_oneof![Just(Exit::Rear), Just(Exit::Span)]
}

proptest! {
    #[test]
    fn the_tightest_place_is_that_of_a_march(
        bodies in prop::collection::vec(body(), 1..4),
        bores in prop::collection::vec(bore(), 1..4),
        exit in both_exits(),
    ) {
        let exact = tightest(&bodies, &bores, exit).unwrap().map(|pinch| pinch.gap_mm);
        let marched = march(&bodies, &bores, exit);
        match (exact, marched) {
            (None, None) => {}
            (Some(exact), Some(marched)) => {
                prop_assert!(marched >= exact - 1e-9, "march {marched} is tighter than {exact}");
                let error = march_error_mm(&bodies, &bores);
                prop_assert!(marched <= exact + error, "march {marched}, exact {exact} ± {error}");
            }
            _ => prop_assert!(false, "exact {exact:?}, march {marched:?}"),
        }
    }

    #[test]
    fn a_pinch_is_consistent_with_itself(
        bodies in prop::collection::vec(body(), 1..5),
        bores in prop::collection::vec(bore(), 1..5),
        exit in both_exits(),
    ) {
        if let Some(pinch) = tightest(&bodies, &bores, exit).unwrap() {
            let body = &bodies[pinch.body];
            let bore = &bores[pinch.bore];
            prop_assert!((pinch.worst_bore_mm - pinch.worst_outer_mm - 2.0 * pinch.gap_mm).abs() < 1e-9);
            prop_assert!(pinch.nominal_gap_mm >= pinch.gap_mm);
            prop_assert!(pinch.at_mm >= bore.from_mm && pinch.at_mm <= bore.to_mm);
            prop_assert!(pinch.section_mm >= body.from_mm && pinch.section_mm <= body.to_mm);
            match exit {
                Exit::Rear => prop_assert!(pinch.section_mm <= pinch.at_mm),
                Exit::Span => prop_assert!(pinch.section_mm >= pinch.at_mm),
            }
            prop_assert!(allowance_split(&pinch, 3.0).is_ok());
        }
    }

    #[test]
    fn more_tolerance_or_more_parts_never_widen_the_way(
        bodies in prop::collection::vec(body(), 2..4),
        bores in prop::collection::vec(bore(), 2..4),
        exit in both_exits(),
        more in 0.0..5.0,
    ) {
        let gap = |bodies: &[Body], bores: &[Bore]| {
            tightest(bodies, bores, exit).unwrap().map_or(f64::INFINITY, |pinch| pinch.gap_mm)
        };
        let whole = gap(&bodies, &bores);
        prop_assert!(whole <= gap(&bodies[1..], &bores));
        prop_assert!(whole <= gap(&bodies, &bores[1..]));
        let mut thicker = bodies.clone();
        thicker[0].tolerance_mm += more;
        prop_assert!(gap(&thicker, &bores) <= whole + 1e-9);
        let mut rougher = bores.clone();
        rougher[0].seam_mm += more;
        prop_assert!(gap(&bodies, &rougher) <= whole + 1e-9);
    }

    #[test]
    fn a_cone_large_at_the_rear_leaves_its_wider_twin_only_rearward(
        (from_mm, to_mm) in stretch(),
        span_outer_mm in 60.0..100.0,
        flare_mm in 30.0..80.0f64,
        gap_mm in 0.5..5.0f64,
    ) {
        let cone = Body {
            from_mm, to_mm,
            rear_outer_mm: span_outer_mm + flare_mm,
            span_outer_mm,
            greatest_outer_mm: None,
            greatest_outer_at_mm: None,
            tolerance_mm: 0.0,
            ovality_mm: 0.0,
        };
        let twin = Bore {
            from_mm, to_mm,
            rear_inner_mm: span_outer_mm + flare_mm + 2.0 * gap_mm,
            span_inner_mm: span_outer_mm + 2.0 * gap_mm,
            tolerance_mm: 0.0,
            ovality_mm: 0.0,
            seam_mm: 0.0,
        };
        let rear = tightest(&[cone], &[twin], Exit::Rear).unwrap().unwrap();
        prop_assert!((rear.gap_mm - gap_mm).abs() < 1e-9);
        let span = tightest(&[cone], &[twin], Exit::Span).unwrap().unwrap();
        prop_assert!((span.gap_mm - (gap_mm - flare_mm / 2.0)).abs() < 1e-9);
    }

    #[test]
    fn the_two_exits_mirror_each_other(
        bodies in prop::collection::vec(body(), 1..4),
        bores in prop::collection::vec(bore(), 1..4),
    ) {
        let turned_bodies: Vec<Body> = bodies.iter().map(|body| Body {
            from_mm: -body.to_mm,
            to_mm: -body.from_mm,
            rear_outer_mm: body.span_outer_mm,
            span_outer_mm: body.rear_outer_mm,
            greatest_outer_at_mm: body.greatest_outer_at_mm.map(|at| -at),
            ..*body
        }).collect();
        let turned_bores: Vec<Bore> = bores.iter().map(|bore| Bore {
            from_mm: -bore.to_mm,
            to_mm: -bore.from_mm,
            rear_inner_mm: bore.span_inner_mm,
            span_inner_mm: bore.rear_inner_mm,
            ..*bore
        }).collect();
        let one = tightest(&bodies, &bores, Exit::Rear).unwrap().map(|pinch| pinch.gap_mm);
        let other = tightest(&turned_bodies, &turned_bores, Exit::Span).unwrap().map(|pinch| pinch.gap_mm);
        prop_assert_eq!(one, other);
    }
}
