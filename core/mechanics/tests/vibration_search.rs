//! Frequencies and sag against a string of many masses, and against the exact equation of the clamped beam under tension.

#![allow(clippy::unwrap_used)]

use std::f64::consts::PI;

use proptest::prelude::*;
use restrand_mechanics::vibration::{
    LEAST_TAUTNESS, clamped_frequency_hz, frequency_hz, sag_mm, tautness,
};

/// Deflections of a string held at both ends, of equal pieces, under a load at each joint, by elimination.
///
/// Each joint stands still where `stiffness · (2u - left - right) = load`.
fn deflections(stiffness: f64, loads: &[f64]) -> Vec<f64> {
    let mut pivots = vec![2.0 * stiffness; loads.len()];
    let mut right = loads.to_vec();
    for k in 1..loads.len() {
        let factor = stiffness / pivots[k - 1];
        pivots[k] -= factor * stiffness;
        right[k] += factor * right[k - 1];
    }
    for k in (0..loads.len()).rev() {
        let next = right.get(k + 1).copied().unwrap_or(0.0);
        right[k] = (right[k] + stiffness * next) / pivots[k];
    }
    right
}

/// The first frequency of a string of many masses, by repeated deflection under its own inertia.
fn frequency_of_masses(length: f64, tension_n: f64, mass: f64) -> f64 {
    const PIECES: u32 = 200;
    let piece = length / f64::from(PIECES);
    let mut shape = vec![1.0; PIECES as usize - 1];
    let mut square = 0.0;
    for _ in 0..25 {
        let loads: Vec<f64> = shape.iter().map(|u| mass * piece * u).collect();
        let bent = deflections(tension_n / piece, &loads);
        let greatest = bent.iter().copied().fold(0.0, f64::max);
        square = 1.0 / greatest;
        shape = bent.iter().map(|u| u / greatest).collect();
    }
    square.sqrt() / (2.0 * PI)
}

/// How much faster than a string a clamped beam under tension swings, from its exact equation.
///
/// The first mode is even: `p·tanh(p/2) + q·tan(q/2) = 0` with `p² = q² + ξ²`, `q` from π to 2π, lengths in L.
fn exact_factor(xi: f64) -> f64 {
    let residue = |q: f64| {
        let p = q.hypot(xi);
        p * (p / 2.0).tanh() * (q / 2.0).cos() + q * (q / 2.0).sin()
    };
    let (mut low, mut high) = (PI, 2.0 * PI);
    for _ in 0..100 {
        let middle = f64::midpoint(low, high);
        if (residue(low) > 0.0) == (residue(middle) > 0.0) {
            low = middle;
        } else {
            high = middle;
        }
    }
    // ω² m L²/T = q² + q⁴/ξ², and the string's is π².
    low * (low / xi).hypot(1.0) / PI
}

proptest! {
    #[test]
    fn the_string_is_one_of_many_masses(
        length in 2.0..40.0, tension_kn in 100.0..9000.0, mass in 5.0..120.0,
    ) {
        let ours = frequency_hz(length, tension_kn, mass).unwrap();
        let theirs = frequency_of_masses(length, tension_kn * 1000.0, mass);
        prop_assert!((ours / theirs - 1.0).abs() < 1e-4, "{ours} {theirs}");
    }

    #[test]
    fn the_sag_is_that_of_many_weights(
        length in 2.0..40.0, tension_kn in 100.0..9000.0, mass in 5.0..120.0,
    ) {
        const PIECES: u32 = 200;
        let piece = length / f64::from(PIECES);
        let loads = vec![mass * 9.80665 * piece; PIECES as usize - 1];
        let greatest = deflections(tension_kn * 1000.0 / piece, &loads).into_iter().fold(0.0, f64::max);
        let ours = sag_mm(length, tension_kn, mass).unwrap() / 1000.0;
        prop_assert!((ours / greatest - 1.0).abs() < 1e-9, "{ours} {greatest}");
    }

    #[test]
    fn the_clamped_beam_is_within_the_stated_error(
        length in 2.0..40.0, tension_kn in 100.0..9000.0, mass in 5.0..120.0, xi in LEAST_TAUTNESS..400.0,
    ) {
        let stiffness = tension_kn * (length / xi) * (length / xi);
        let stiff = clamped_frequency_hz(length, tension_kn, mass, stiffness);
        // The stiffness may round to just below the least.
        prop_assume!(stiff.is_ok());
        let stiff = stiff.unwrap();
        let exact = frequency_hz(length, tension_kn, mass).unwrap() * exact_factor(xi);
        let low = 1.0 - stiff.frequency_hz / exact;
        let stated = match xi {
            xi if xi < 15.0 => 0.012,
            xi if xi < 28.0 => 0.005,
            xi if xi < 100.0 => 0.001,
            _ => 0.000_021,
        };
        prop_assert!((-1e-9..=stated).contains(&low), "{xi}: {low}");
        prop_assert!((stiff.tautness.unwrap() / xi - 1.0).abs() < 1e-9);
    }

    #[test]
    fn stiffness_raises_and_length_lowers(
        length in 4.0..40.0, tension_kn in 100.0..9000.0, mass in 5.0..120.0, stiffness in 0.001..1.0,
    ) {
        let string = frequency_hz(length, tension_kn, mass).unwrap();
        let stiff = clamped_frequency_hz(length, tension_kn, mass, stiffness).unwrap();
        prop_assert!(stiff.frequency_hz > string);
        prop_assert!(frequency_hz(length * 1.1, tension_kn, mass).unwrap() < string);
        prop_assert!(frequency_hz(length, tension_kn * 1.1, mass).unwrap() > string);
        prop_assert!(frequency_hz(length, tension_kn, mass * 1.1).unwrap() < string);
        let none = clamped_frequency_hz(length, tension_kn, mass, 0.0).unwrap();
        prop_assert!((none.frequency_hz - string).abs() < 1e-12 && none.tautness.is_none());
        prop_assert!(tautness(length, tension_kn, stiffness).unwrap() > LEAST_TAUTNESS);
    }
}
