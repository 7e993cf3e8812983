//! Random tendons, and random acts of stressing on them.

use proptest::prelude::*;
use restrand_mechanics::friction::{End, ExponentPerM, RadPerM, Run, StressDiagram, Wobble};

/// One act after the first pull.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Act {
    Jack {
        end: End,
        stress_mpa: f64,
    },
    /// Down to a share of what the end has.
    LetIn {
        end: End,
        share: f64,
    },
    Seat {
        end: End,
        set_mm: f64,
    },
}

pub(crate) fn end() -> impl Strategy<Value = End> {
    prop_oneof![Just(End::A), Just(End::B)]
}

fn wobble() -> impl Strategy<Value = Wobble> {
    prop_oneof![
        Just(Wobble::None),
        (0.0..0.005).prop_map(|k| Wobble::Exponent(ExponentPerM(k))),
        (0.0..0.02).prop_map(|k| Wobble::Angle(RadPerM(k))),
    ]
}

pub(crate) fn free_length() -> impl Strategy<Value = Run> {
    (0.5..40.0).prop_map(|length_m| Run {
        length_m,
        angle_rad: 0.0,
        inadvertent_rad: 0.0,
        mu: 0.2,
        wobble: Wobble::None,
    })
}

pub(crate) fn step() -> impl Strategy<Value = Run> {
    (0.0..0.3, prop_oneof![Just(0.0), Just(0.04)], 0.0..0.35).prop_map(
        |(angle_rad, inadvertent_rad, mu)| Run {
            length_m: 0.0,
            angle_rad,
            inadvertent_rad,
            mu,
            wobble: Wobble::None,
        },
    )
}

fn curve() -> impl Strategy<Value = Run> {
    (0.2..30.0, 0.0..0.5, 0.0..0.35, wobble()).prop_map(|(length_m, angle_rad, mu, wobble)| Run {
        length_m,
        angle_rad,
        inadvertent_rad: 0.0,
        mu,
        wobble,
    })
}

/// Free lengths, steps and curves in any order, with some length for certain.
pub(crate) fn tendon() -> impl Strategy<Value = Vec<Run>> {
    let run = prop_oneof![free_length(), step(), curve()];
    (
        prop::collection::vec(run, 0..8),
        prop_oneof![free_length(), curve()],
        any::<prop::sample::Index>(),
    )
        .prop_map(|(mut runs, long, at)| {
            runs.insert(at.index(runs.len() + 1), long);
            runs
        })
}

pub(crate) fn acts() -> impl Strategy<Value = Vec<Act>> {
    let act = prop_oneof![
        2 => (end(), 700.0..1500.0).prop_map(|(end, stress_mpa)| Act::Jack { end, stress_mpa }),
        1 => (end(), 0.7..1.0).prop_map(|(end, share)| Act::LetIn { end, share }),
        4 => (end(), 0.2..12.0).prop_map(|(end, set_mm)| Act::Seat { end, set_mm }),
    ];
    prop::collection::vec(act, 1..6)
}

/// The tendon from its other end.
pub(crate) fn reversed(runs: &[Run]) -> Vec<Run> {
    runs.iter().rev().copied().collect()
}

/// The other end.
pub(crate) fn other(end: End) -> End {
    match end {
        End::A => End::B,
        End::B => End::A,
    }
}

/// ∫σ dx over the whole tendon.
pub(crate) fn whole_mpa_m(stress: &StressDiagram) -> f64 {
    let length_m = stress.points().last().unwrap().at_m;
    stress.integral_mpa_m(0.0, length_m).unwrap()
}
