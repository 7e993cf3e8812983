//! Whatever numbers come in, the functions of vibration give finite numbers or a misfit.

use proptest::num::f64::ANY;
use proptest::prelude::*;
use restrand_mechanics::vibration::{clamped_frequency_hz, frequency_hz, sag_mm, tautness};

/// Mostly numbers of the trade and their edges, sometimes anything at all.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        5 => 0.0..5000.0,
        2 => 0.0..1.0,
        1 => prop_oneof![Just(0.0), Just(-0.0), Just(1e-9), Just(1e12), Just(-1e12), Just(1.0)],
        1 => ANY,
    ]
}

proptest! {
    #[test]
    fn frequencies_and_sag(a in number(), b in number(), c in number(), d in number()) {
        let results = [frequency_hz(a, b, c), tautness(a, b, d), sag_mm(a, b, c)];
        for value in results.into_iter().flatten() {
            prop_assert!(value.is_finite() && value > 0.0);
        }
        if let Ok(stiff) = clamped_frequency_hz(a, b, c, d) {
            prop_assert!(stiff.frequency_hz.is_finite());
            prop_assert!(stiff.frequency_hz >= frequency_hz(a, b, c).unwrap());
        }
    }
}
