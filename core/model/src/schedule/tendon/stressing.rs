//! Stressing.

use super::EndName;
use crate::reflect::{choice, record};
use crate::schedule::{Count, Day, Number, Text};

choice! {
    /// From which end, and in which order, a tendon is stressed.
    pub enum StressingFrom {
        /// From end `a`.
        A = "a",
        /// From end `b`.
        B = "b",
        /// From both ends at once.
        Both = "both",
        /// From end `a`, then from end `b`.
        AThenB = "a_then_b",
        /// From end `b`, then from end `a`.
        BThenA = "b_then_a",
    }
}

record! {
    /// How a tendon is stressed.
    pub struct Stressing as "stressing" {
        /// From which end. Example: a.
        pub from: Option<StressingFrom>,
        /// Force at the jacked end before seating. Example: 3900.
        pub jacking_force_kn: Number,
        /// Jacking stress over tensile strength, where stated. Example: 0.74.
        pub jacking_share: Number [Share],
        /// Friction coefficient at deviators. Example: 0.2.
        pub mu: Number [NotNegative],
        /// Wobble coefficient K, for each length of tendon. Example: 0.
        pub wobble_per_m: Number [NotNegative],
        /// Unintended angle k for each length of tendon. Example: 0.
        pub unintended_angle_rad_per_m: Number [NotNegative],
        /// Unintended angle added at each deviator. Example: 0.04.
        pub inadvertent_angle_rad: Number [NotNegative],
        /// Surface on which the strands slide, for friction.
        pub surface: Text,
        /// Anchor set (draw-in) at seating, where the ends do not state it. Example: 6.
        pub set_mm: Number [NotNegative],
        /// Draw-in of the wedges at a dead end. Example: 3.
        pub dead_end_seating_mm: Number [NotNegative],
        /// Loss inside the anchorage, as a share of the force. Example: 0.01.
        pub anchorage_loss: Number [Share],
        /// Force at which measuring of the elongation begins. Example: 780.
        pub baseline_force_kn: Number,
        /// Stated elongation at end `a`. Example: 250.
        pub elongation_a_mm: Number [NotNegative],
        /// Stated elongation at end `b`. Example: 12.
        pub elongation_b_mm: Number [NotNegative],
        /// Stated force at end `a` after seating. Example: 3700.
        pub seated_force_a_kn: Number,
        /// Stated force at end `b` after seating. Example: 3600.
        pub seated_force_b_kn: Number,
        /// Force after all losses. Example: 3300.
        pub service_force_kn: Number,
        /// When it was stressed. Example: 2031-05-10.
        pub stressed_on: Day,
    }
}

record! {
    /// A line of a stressing table.
    pub struct StressingStep as "stressing_step" {
        /// The jacked end. Example: a.
        pub end: Option<EndName>,
        /// Place in the order of steps. Example: 1.
        pub step: Count,
        /// Force over the jacking force. Example: 0.2.
        pub share: Number [Share],
        /// Force at the jack. Example: 780.
        pub force_kn: Number,
        /// Gauge reading. Example: 11.
        pub gauge_mpa: Number,
        /// Elongation since slack. Example: 50.
        pub elongation_mm: Number [NotNegative],
    }
}

impl StressingFrom {
    /// The same order, seen with the names of the ends exchanged.
    #[must_use]
    pub const fn turned(self) -> Self {
        match self {
            Self::A => Self::B,
            Self::B => Self::A,
            Self::Both => Self::Both,
            Self::AThenB => Self::BThenA,
            Self::BThenA => Self::AThenB,
        }
    }
}
