//! Filling.

use crate::reflect::{choice, record};
use crate::schedule::{Count, Day, Number, Text};

choice! {
    /// What fills the duct around the strands.
    pub enum Filler {
        /// Cement grout.
        CementGrout = "cement_grout",
        /// Wax that is injected hot.
        Wax = "wax",
        /// Grease.
        Grease = "grease",
        /// Nothing.
        None = "none",
        /// Not known; treated as the worst.
        Unknown = "unknown",
    }
}

choice! {
    /// Where the pump stands.
    pub enum PumpPlace {
        /// On the ground below the bridge.
        Below = "below",
        /// On the deck.
        Deck = "deck",
        /// Inside the bridge.
        Inside = "inside",
    }
}

record! {
    /// How a tendon is filled.
    pub struct Fill as "fill" {
        /// Product class or mix, in words. Example: neat cement grout.
        pub mix: Text,
        /// Stated volume of filler. Example: 210.
        pub volume_l: Number,
        /// Volume that was filled. Example: 220.
        pub filled_volume_l: Number,
        /// Water over cement, by mass. Example: 0.4.
        pub water_cement_ratio: Number,
        /// Mass of one bag. Example: 25.
        pub bag_mass_kg: Number,
        /// Bags. Example: 16.
        pub bags: Count,
        /// Greatest injection pressure. Example: 1.
        pub pressure_mpa: Number,
        /// Stated time to fill. Example: 600.
        pub duration_s: Number,
        /// Temperature of the filler at the inlet. Example: 20.
        pub temperature_celsius: Number [Signed],
        /// Where the pump stands. Example: deck.
        pub pump: Option<PumpPlace>,
        /// Length of hose from pump to inlet. Example: 40000.
        pub hose_length_mm: Number,
        /// Volume for hoses, purging and waste. Example: 40.
        pub waste_volume_l: Number [NotNegative],
        /// When it was filled. Example: 2031-05-12.
        pub filled_on: Day,
    }
}
