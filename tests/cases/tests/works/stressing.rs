//! The forces of a tendon, and what is lacking for them.

use restrand_model::schedule::{EndName, Schedule, Stressing, StressingFrom};
use restrand_rules::works::{self, Limits};

use crate::{near, with};

fn stressing(schedule: &mut Schedule) -> &mut Stressing {
    schedule.tendons[0].stressing.as_deref_mut().unwrap()
}

/// The length of the tendon: two legs, and the bend shorter than its corner by 2 R tan(a/2) - R a.
fn length_m() -> f64 {
    2.0 * 404.0_f64.sqrt() - (2.0 * 0.406_25 - 4.0625 * 2.0 * 0.1_f64.atan())
}

#[test]
fn force_falls_by_friction_from_the_jack_on_and_is_limited_by_the_lower_strength() {
    with(
        |_| {},
        |context, at| {
            let line = works::force_line(context, at, None).unwrap();
            let far_kn = 3600.0 * (-0.2 * 2.0 * 0.1_f64.atan()).exp();
            assert_eq!((line.jacking_kn, line.ends), (3600.0, &[EndName::A][..]));
            near(line.length_m, length_m());
            near(line.before[0].force_kn, 3600.0);
            let last = line.before.last().unwrap();
            near(last.at_m, length_m());
            near(last.force_kn, far_kn);
            // Half-way round the bend it is the geometric mean.
            let middle_m = length_m() / 2.0;
            let middle = line.before.iter().find(|one| (one.at_m - middle_m).abs() < 1e-9);
            near(middle.unwrap().force_kn, (3600.0 * far_kn).sqrt());
            // Nothing is drawn in.
            assert_eq!(line.after.len(), 1);
            near(line.after[0].last().unwrap().force_kn, far_kn);
            // Of 1860 MPa 0.8, 0.75 and 0.75; of the yield stress, 1674 MPa, 0.9, 0.85 and 0.85.
            let limits: Vec<_> = line.limits.iter().map(|one| (one.of, one.key)).collect();
            assert_eq!(
                limits,
                [
                    (Limits::Jacking, "jacking_stress_fpu"),
                    (Limits::Anchorage, "anchorage_stress_fpu"),
                    (Limits::Tendon, "tendon_stress_fpu"),
                ]
            );
            near(line.limits[0].force_kn, 0.8 * 1860.0 * 2.85);
            near(line.limits[2].force_kn, 0.75 * 1860.0 * 2.85);
            let other = works::force_line(context, at, Some(1800.0)).unwrap();
            near(other.before.last().unwrap().force_kn, far_kn / 2.0);
        },
    );
    // A bend of no radius takes its force at once: no more than the ends of each piece are told.
    let sharp = |schedule: &mut Schedule| schedule.forms[0].wall_radius_mm = None;
    let steps = with(sharp, |context, at| works::force_line(context, at, None).unwrap().before);
    let (leg_m, far_kn) = (404.0_f64.sqrt(), 3600.0 * (-0.2 * 2.0 * 0.1_f64.atan()).exp());
    let expected = [(0.0, 3600.0), (leg_m, 3600.0), (leg_m, far_kn), (2.0 * leg_m, far_kn)];
    assert_eq!(steps.len(), expected.len());
    for (found, (at_m, force_kn)) in steps.iter().zip(expected) {
        near(found.at_m, at_m);
        near(found.force_kn, force_kn);
    }
    // With a yield ratio of 0.8 the yield stress rules.
    let low = |schedule: &mut Schedule| schedule.strands[0].yield_ratio = Some(0.8);
    let found = with(low, |context, at| {
        let limits = works::force_limits(context, at).unwrap();
        limits.iter().map(|one| (one.key, one.force_kn)).collect::<Vec<_>>()
    });
    assert_eq!(found[0].0, "jacking_stress_fpy");
    near(found[0].1, 0.9 * 0.8 * 1860.0 * 2.85);
    near(found[1].1, 0.85 * 0.8 * 1860.0 * 2.85);
    let none = |schedule: &mut Schedule| schedule.strands[0].fpu_mpa = None;
    assert!(with(none, |context, at| works::force_limits(context, at).unwrap().is_empty()));
}

#[test]
fn the_jack_draws_out_what_the_steel_stretches_by_the_force_along_it() {
    let angle_rad = 2.0 * 0.1_f64.atan();
    let far_kn = 3600.0 * (-0.2 * angle_rad).exp();
    // Level in both legs, as far as the tangents, and falling exponentially round the bend.
    let leg_m = 404.0_f64.sqrt() - 0.406_25;
    let bend_knm = (3600.0 - far_kn) / (0.2 * angle_rad) * 4.0625 * angle_rad;
    let stretch_mm = ((3600.0 + far_kn) * leg_m + bend_knm) * 1e6 / (2850.0 * 195_000.0);
    with(
        |_| {},
        |context, at| {
            let [a, b] = works::drawn_out_mm(context, at, 3600.0).unwrap();
            near(a.unwrap(), stretch_mm);
            assert_eq!(b, None);
            let [a, _] = works::drawn_out_mm(context, at, 1800.0).unwrap();
            near(a.unwrap(), stretch_mm / 2.0);
            assert_eq!(works::jacked_ends(at.tendon), Ok(&[EndName::A][..]));
            let stressed = works::stressed(context, at, None).unwrap();
            near(stressed.greatest_kn(), 3600.0);
            near(stressed.seated_kn[1], far_kn);
            let runs_m: f64 = stressed.runs.iter().map(|run| run.length_m).sum();
            near(runs_m, length_m());
            // A metre in the jack at full force.
            near(stressed.bar_stretch_mm(1000.0).unwrap(), 3600.0 * 1e6 / (2850.0 * 195_000.0));
        },
    );
    let from_b = |schedule: &mut Schedule| stressing(schedule).from = Some(StressingFrom::B);
    with(from_b, |context, at| {
        let [a, b] = works::drawn_out_mm(context, at, 3600.0).unwrap();
        near(b.unwrap(), stretch_mm);
        assert_eq!((a, works::jacked_ends(at.tendon)), (None, Ok(&[EndName::B][..])));
    });
}

#[test]
fn all_that_stressing_lacks_is_named() {
    let lacking = |change: fn(&mut Schedule), jacking_kn| {
        with(change, |context, at| works::lacking_for_stressing(context, at, jacking_kn))
    };
    assert_eq!(lacking(|_| {}, None), [""; 0]);
    assert_eq!(lacking(|schedule| stressing(schedule).mu = None, None), ["stressing.mu"]);
    let no_strands = |schedule: &mut Schedule| schedule.tendons[0].strand_count = Some(0);
    assert_eq!(lacking(no_strands, None), ["tendon.strand_count"]);
    let wobble = |schedule: &mut Schedule| stressing(schedule).wobble_per_m = None;
    assert_eq!(lacking(wobble, None), ["stressing.wobble_per_m"]);
    let other_convention = |schedule: &mut Schedule| {
        stressing(schedule).wobble_per_m = None;
        stressing(schedule).unintended_angle_rad_per_m = Some(0.01);
    };
    assert_eq!(lacking(other_convention, None), [""; 0]);
    let angle = |schedule: &mut Schedule| stressing(schedule).inadvertent_angle_rad = None;
    assert_eq!(lacking(angle, None), ["stressing.inadvertent_angle_rad"]);
    assert_eq!(lacking(|schedule| stressing(schedule).set_mm = None, None), ["stressing.set_mm"]);
    // The set of the end that is jacked is enough; that of the other end is none.
    let at_a = |schedule: &mut Schedule| {
        stressing(schedule).set_mm = None;
        schedule.tendons[0].ends.as_deref_mut().unwrap().a.as_deref_mut().unwrap().set_mm =
            Some(6.0);
    };
    assert_eq!(lacking(at_a, None), [""; 0]);
    let at_a_of_both = |schedule: &mut Schedule| {
        stressing(schedule).set_mm = None;
        stressing(schedule).from = Some(StressingFrom::AThenB);
        schedule.tendons[0].ends.as_deref_mut().unwrap().a.as_deref_mut().unwrap().set_mm =
            Some(6.0);
    };
    assert_eq!(lacking(at_a_of_both, None), ["stressing.set_mm"]);
    let force = |schedule: &mut Schedule| stressing(schedule).jacking_force_kn = None;
    assert_eq!(lacking(force, None), ["stressing.jacking_force_kn"]);
    assert_eq!(lacking(force, Some(3600.0)), [""; 0]);
    let share = |schedule: &mut Schedule| {
        stressing(schedule).jacking_force_kn = None;
        stressing(schedule).jacking_share = Some(0.7);
        schedule.strands[0].fpu_mpa = None;
    };
    assert_eq!(lacking(share, None), ["strand.fpu_mpa"]);
    let much = |schedule: &mut Schedule| {
        let strand = &mut schedule.strands[0];
        (strand.area_mm2, strand.e_mpa) = (None, None);
        stressing(schedule).from = None;
        stressing(schedule).mu = None;
    };
    assert_eq!(
        lacking(much, None),
        ["strand.area_mm2", "strand.e_mpa", "stressing.from", "stressing.mu"]
    );
    let all = |schedule: &mut Schedule| schedule.tendons[0].stressing = None;
    assert_eq!(
        lacking(all, None),
        [
            "stressing.from",
            "stressing.jacking_force_kn",
            "stressing.mu",
            "stressing.wobble_per_m",
            "stressing.inadvertent_angle_rad",
        ]
    );
}
