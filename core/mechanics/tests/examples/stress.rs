//! Shares of strength.

#![allow(clippy::unwrap_used)]

use restrand_mechanics::friction::{End, Seating};
use restrand_mechanics::stress::{Strength, shares, shares_after_seating};

use super::example::{Example, Kind};
use super::friction::worked;
use super::said::{INCH, KSI, Source};

pub(crate) fn examples() -> Vec<Example> {
    let own = Source {
        block: "Set on steps, shares",
        kind: Kind::Arithmetic,
        source: "external tendon, 19 strands of 0.6 in, three times 50 ft, two deviators, hand calculation",
    };
    let strength = Strength { fpu_mpa: 270.0 * KSI, proof_mpa: None };
    let mut stress = worked();
    let jacking = shares(stress.end_mpa(End::A), &strength).unwrap();
    stress.seat(End::A, Seating { set_mm: 0.375 * INCH, e_mpa: 28_500.0 * KSI }).unwrap();
    let seated = shares_after_seating(&stress, &strength).unwrap();
    vec![
        own.says("share at jacking", "834.9 kip", 0.75, 0.005, jacking.of_fpu),
        own.says("share at the anchor", "set 0.375 in", 0.688, 0.0005, seated.at_a.of_fpu),
        own.says("greatest share", "set 0.375 in", 0.716, 0.0005, seated.greatest.of_fpu),
        own.says("share at the dead end", "set 0.375 in", 0.692, 0.0005, seated.at_b.of_fpu),
    ]
}
