//! Whatever numbers come in, beams and tendons do not panic, and what comes out is finite.

use proptest::num::f64::ANY;
use proptest::prelude::*;
use restrand_mechanics::statics::{
    AxialPoint, Beam, BeamData, Cut, Load, Place, Run, Section, Side, Stiffness, Tendon,
    equivalent_loads, primary, tendons_out,
};

/// Mostly numbers of the trade and their edges, sometimes anything at all.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => 0.0..100.0,
        2 => -100.0..100.0,
        2 => prop_oneof![
            Just(0.0), Just(-0.0), Just(1e-9), Just(2e-9), Just(1e12), Just(-1e12), Just(2.0), Just(1e-300),
        ],
        1 => ANY,
    ]
}

fn numbers(most: usize) -> impl Strategy<Value = Vec<f64>> {
    (prop::collection::vec(number(), 0..most), 0..5u8).prop_map(|(mut list, order)| {
        if order > 0 {
            list.sort_by(f64::total_cmp);
        }
        list
    })
}

fn cut() -> impl Strategy<Value = Cut> {
    (number(), any::<bool>())
        .prop_map(|(station_m, up)| Cut { station_m, side: if up { Side::Up } else { Side::Down } })
}

fn load() -> impl Strategy<Value = Load> {
    prop_oneof![
        (number(), number()).prop_map(|(at_m, down_kn)| Load::Point { at_m, down_kn }),
        (number(), number()).prop_map(|(at_m, clockwise_knm)| Load::Couple { at_m, clockwise_knm }),
        (number(), number(), number(), number()).prop_map(|(from_m, to_m, a, b)| Load::Spread {
            from_m,
            to_m,
            from_kn_per_m: a,
            to_kn_per_m: b,
        }),
    ]
}

fn stiffness() -> impl Strategy<Value = Vec<Stiffness>> {
    (numbers(4), prop::collection::vec(number(), 4), any::<bool>()).prop_map(|(inner, ei, wide)| {
        // Often over everything, so that beams come about.
        let mut ends = vec![if wide { -1e12 } else { -100.0 }];
        ends.extend(inner);
        ends.push(if wide { 1e12 } else { 100.0 });
        let pairs = ends.windows(2).zip(ei.into_iter().cycle());
        pairs.map(|(pair, ei_knm2)| Stiffness { from_m: pair[0], to_m: pair[1], ei_knm2 }).collect()
    })
}

fn tendon() -> impl Strategy<Value = (Vec<Run>, Vec<AxialPoint>)> {
    (
        numbers(6),
        prop::collection::vec(number(), 18),
        numbers(8),
        prop::collection::vec(number(), 8),
    )
        .prop_map(|(places, values, stations, pulls)| {
            let runs: Vec<Run> = places
                .windows(2)
                .enumerate()
                .map(|(index, pair)| Run {
                    from_m: pair[0],
                    to_m: pair[1],
                    from_eccentricity_m: values[3 * index],
                    to_eccentricity_m: values[3 * index + 1],
                    sag_m: values[3 * index + 2],
                })
                .collect();
            let mut axial = Vec::new();
            // Often from end to end, so that tendons come about.
            if let (Some(first), Some(last)) = (places.first(), places.last()) {
                axial.push(AxialPoint { station_m: *first, axial_kn: 100.0 });
                axial.extend(
                    stations.iter().zip(&pulls).filter(|(at, _)| *at >= first && *at <= last).map(
                        |(station_m, axial_kn)| AxialPoint {
                            station_m: *station_m,
                            axial_kn: axial_kn.abs(),
                        },
                    ),
                );
                axial.push(AxialPoint { station_m: *last, axial_kn: 90.0 });
            }
            (runs, axial)
        })
}

proptest! {
    #[test]
    fn beams_and_tendons_give_finite_numbers_or_a_misfit(
        supports in numbers(6), stiffness in stiffness(), fixed in any::<(bool, bool)>(),
        cuts in prop::collection::vec(cut(), 0..6), loads in prop::collection::vec(load(), 0..4),
        (runs, axial) in tendon(),
        section in prop::array::uniform5(number()),
    ) {
        let tendon = Tendon { runs: &runs, axial: &axial };
        if let Ok(found) = primary(&tendon, &cuts) {
            prop_assert!(found.iter().all(|here| here.axial_kn.is_finite() && here.primary_knm.is_finite()));
        }
        for load in equivalent_loads(&tendon).into_iter().flatten() {
            let finite = match load {
                Load::Point { down_kn, .. } => down_kn.is_finite(),
                Load::Couple { clockwise_knm, .. } => clockwise_knm.is_finite(),
                Load::Spread { from_kn_per_m, to_kn_per_m, .. } => from_kn_per_m.is_finite() && to_kn_per_m.is_finite(),
            };
            prop_assert!(finite);
        }
        let beam = Beam::new(&BeamData {
            supports_m: &supports, stiffness: &stiffness, start_fixed: fixed.0, end_fixed: fixed.1,
        });
        let Ok(beam) = beam else { return Ok(()) };
        if let Ok(found) = beam.under_loads(&loads, &cuts) {
            prop_assert!(found.moments_knm.iter().chain(&found.supports.reactions_up_kn).all(|value| value.is_finite()));
        }
        if let Ok(found) = beam.under_tendon(&tendon, &cuts) {
            prop_assert!(found.at.iter().all(|here| here.total_knm.is_finite()));
            prop_assert!(found.supports.reactions_up_kn.iter().all(|up| up.is_finite()));
            prop_assert!(found.supports.start_couple_knm.is_finite() && found.supports.end_couple_knm.is_finite());
        }
        let [other_axial_kn, area_m2, inertia_m4, top_m, bottom_m] = section;
        let section = Some(Section { area_m2, inertia_m4, top_m, bottom_m });
        let places: Vec<Place> = cuts.iter().map(|&cut| Place { cut, other_axial_kn, section }).collect();
        for beam in [None, Some(&beam)] {
            let Ok(told) = tendons_out(beam, &[tendon, tendon], &places) else { continue };
            for one in (0..2).filter_map(|tendon| told.out(tendon)).flatten() {
                prop_assert!(one.left.axial_kn.is_finite() && one.left.primary_knm.is_finite());
                prop_assert!(one.left.total_knm.is_none_or(f64::is_finite));
                prop_assert!(one.lost_axial_share.is_none_or(|share| (0.0..=1.0).contains(&share)));
                prop_assert!(one.stress_change.is_none_or(|change| change.top_mpa.is_finite() && change.bottom_mpa.is_finite()));
            }
        }
    }
}
