//! How wide a stretch of a tendon is on its way out.

use restrand_model::schedule::{DuctJoint, Exit, Part, Permanence, Schedule};
use restrand_rules::works::{Widest, Widths};

use crate::with;

/// A metre of tendon over a metre of station: 2 m down, or up, in 20.
const SLOPE: f64 = 1.004_987_562_112_089;

/// The widest from one length to another along the tendon, m.
fn over(change: impl FnOnce(&mut Schedule), along_m: [f64; 2]) -> Result<Widest, &'static str> {
    with(change, |context, at| Widths::of(context, at).unwrap().over(along_m))
}

#[track_caller]
fn is(found: &Result<Widest, &'static str>, diameter_mm: f64, by: Option<&str>) {
    let found = found.as_ref().unwrap();
    assert_eq!((found.diameter_mm, found.by.as_deref()), (diameter_mm, by));
}

/// A joint of 180 mm over 400 mm of duct at 10 m, and trumpets 200 mm wide.
fn joined(schedule: &mut Schedule) {
    schedule.tendons[0].duct_joints = vec![DuctJoint {
        station_m: Some(10.0),
        length_mm: Some(400.0),
        outer_mm: Some(180.0),
        ..DuctJoint::default()
    }];
    let parts = &mut schedule.anchorages[0].parts;
    (parts[2].rear_outer_mm, parts[2].span_outer_mm) = (Some(200.0), Some(120.0));
}

#[test]
fn a_joint_counts_where_it_sits_or_everywhere() {
    let joint = Some("a joint of the duct");
    let middle_m = 10.0 * SLOPE;
    is(&over(joined, [5.0, middle_m - 0.201]), 125.0, None);
    is(&over(joined, [5.0, middle_m - 0.199]), 180.0, joint);
    is(&over(joined, [middle_m + 0.199, 15.0]), 180.0, joint);
    is(&over(joined, [middle_m + 0.201, 15.0]), 125.0, None);
    let somewhere = |schedule: &mut Schedule| {
        joined(schedule);
        schedule.tendons[0].duct_joints[0].station_m = None;
    };
    is(&over(somewhere, [5.0, 6.0]), 180.0, joint);
    let unknown = |schedule: &mut Schedule| {
        joined(schedule);
        schedule.tendons[0].duct_joints[0].outer_mm = None;
    };
    assert_eq!(over(unknown, [9.0, 11.0]).unwrap().lacks, Some("duct_joint.outer_mm"));
    assert_eq!(over(unknown, [5.0, 6.0]).unwrap().lacks, None);
    let none = |schedule: &mut Schedule| schedule.ducts[0].outer_mm = None;
    assert_eq!(over(none, [5.0, 6.0]), Err("duct.outer_mm"));
}

#[test]
fn parts_of_both_anchorages_sit_where_their_axes_have_them() {
    let length_m = 2.0 * 404.0_f64.sqrt();
    let cone = Some("cone");
    is(&over(joined, [0.0, 1.0]), 200.0, cone);
    is(&over(joined, [0.599, 1.0]), 200.0, cone);
    is(&over(joined, [0.601, 1.0]), 125.0, None);
    is(&over(joined, [length_m - 1.0, length_m]), 200.0, cone);
    is(&over(joined, [length_m - 1.0, length_m - 0.599]), 200.0, cone);
    is(&over(joined, [length_m - 1.0, length_m - 0.601]), 125.0, None);
}

#[test]
fn what_stays_on_the_duct_in_a_form_counts_where_it_sits() {
    let sleeved = |change: fn(&mut Part)| {
        move |schedule: &mut Schedule| {
            let mut part = Part {
                id: Some("sleeve".into()),
                permanence: Some(Permanence::Replaceable),
                exit: Some(Exit::Span),
                from_mm: Some(-200.0),
                to_mm: Some(300.0),
                rear_outer_mm: Some(150.0),
                span_outer_mm: Some(160.0),
                ..Part::default()
            };
            change(&mut part);
            schedule.forms[0].parts = vec![part];
        }
    };
    let (middle_m, sleeve) = (20.0 * SLOPE, Some("sleeve"));
    is(&over(sleeved(|_| {}), [middle_m - 1.0, middle_m - 0.201]), 125.0, None);
    is(&over(sleeved(|_| {}), [middle_m - 1.0, middle_m - 0.199]), 160.0, sleeve);
    is(&over(sleeved(|_| {}), [middle_m + 0.299, middle_m + 1.0]), 160.0, sleeve);
    is(&over(sleeved(|_| {}), [middle_m + 0.301, middle_m + 1.0]), 125.0, None);
    // Of which nobody knows where it sits, it may sit anywhere, if it leaves into the span.
    let anywhere = sleeved(|part| part.to_mm = None);
    is(&over(anywhere, [5.0, 6.0]), 160.0, sleeve);
    let rearward = sleeved(|part| (part.to_mm, part.exit) = (None, Some(Exit::Rear)));
    is(&over(rearward, [5.0, 6.0]), 125.0, None);
    for stays in [
        sleeved(|part| part.permanence = Some(Permanence::Permanent)),
        sleeved(|part| part.exit = Some(Exit::StrippedInPlace)),
    ] {
        is(&over(stays, [middle_m - 1.0, middle_m + 1.0]), 125.0, None);
    }
    let unknown = sleeved(|part| (part.rear_outer_mm, part.span_outer_mm) = (None, None));
    let found = over(unknown, [middle_m - 1.0, middle_m + 1.0]).unwrap();
    assert_eq!((found.diameter_mm, found.lacks), (125.0, Some("part.rear_outer_mm")));
    // At worst its tolerance and half of its ovality come to it.
    let worst = sleeved(|part| (part.tolerance_mm, part.ovality_mm) = (Some(1.0), Some(4.0)));
    is(&over(worst, [middle_m - 1.0, middle_m + 1.0]), 163.0, sleeve);
}
