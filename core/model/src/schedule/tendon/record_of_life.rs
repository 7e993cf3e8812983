//! What was measured on a tendon, and what happened to it.

use super::EndName;
use crate::reflect::{choice, record};
use crate::schedule::{Day, Number, Text};

choice! {
    /// What happened to a tendon.
    pub enum Event {
        /// Put in.
        Installed = "installed",
        /// Stressed.
        Stressed = "stressed",
        /// Filled.
        Filled = "filled",
        /// Inspected.
        Inspected = "inspected",
        /// Stressed again.
        Restressed = "restressed",
        /// Taken out.
        Removed = "removed",
        /// Replaced.
        Replaced = "replaced",
    }
}

record! {
    /// Values measured at an end on a day.
    pub struct Measurement as "measurement" {
        /// Day. Example: 2031-05-10.
        pub on: Day,
        /// The end. Example: a.
        pub end: Option<EndName>,
        /// Force. Example: 3890.
        pub force_kn: Number,
        /// Elongation. Example: 248.
        pub elongation_mm: Number [NotNegative],
        /// Anchor set. Example: 6.
        pub set_mm: Number [NotNegative],
        /// Force at lift-off. Example: 3650.
        pub lift_off_kn: Number,
        /// Measured area of one strand. Example: 150.4.
        pub strand_area_mm2: Number,
        /// Measured modulus of elasticity. Example: 196000.
        pub e_mpa: Number,
        /// Who measured.
        pub by: Text,
    }
}

record! {
    /// Something that happened to a tendon.
    pub struct HistoryEntry as "history_entry" {
        /// Day. Example: 2031-05-12.
        pub on: Day,
        /// What happened. Example: replaced.
        pub event: Option<Event>,
        /// Who did it or saw it.
        pub by: Text,
        /// Why, and what was found.
        pub note: Text,
    }
}
