//! Replacement.

use crate::reflect::{Link, choice, record};
use crate::schedule::{Count, Day, Flag, Number, Place, Text};

choice! {
    /// How force is taken out of a tendon.
    pub enum Release {
        /// Strand by strand at the anchorage, behind a restraint.
        StrandByStrandAtAnchorage = "strand_by_strand_at_anchorage",
        /// Strand by strand in the free length, between restraints.
        StrandByStrandInFreeLength = "strand_by_strand_in_free_length",
        /// The jack takes the force and lets it go.
        JackOff = "jack_off",
        /// Heating strands in the free length until they part.
        Heating = "heating",
    }
}

choice! {
    /// What a cut is for.
    pub enum CutPlace {
        /// The first cut, which releases.
        Release = "release",
        /// Parts the free length into pieces.
        Piece = "piece",
        /// Parts a stub at an anchorage or a deviator.
        Stub = "stub",
    }
}

record! {
    /// A point at which a tendon is bonded to the structure.
    pub struct BondedPoint as "bonded_point" {
        /// The place. Example: D11.
        pub place: Option<Link<Place>>,
        /// Station. Example: 113.
        pub station_m: Number [Signed],
        /// Length over which it is bonded. Example: 1000.
        pub length_mm: Number,
        /// What bonds it, in words.
        pub by: Text,
        /// Whether the bond can be reached and broken out.
        pub accessible: Flag,
    }
}

record! {
    /// How a tendon is replaced.
    pub struct Replacement as "replacement" {
        /// How force is taken out. Example: strand_by_strand_in_free_length.
        pub release: Option<Release>,
        /// Whether the tendon is bonded to the structure nowhere between its anchorages.
        pub unbonded: Flag,
        /// Restraints each side of the first cut and at the ends, in words.
        pub restraints: Text,
        /// Jacking force of the new tendon. Example: 3900.
        pub target_force_kn: Number,
        /// Force of the new tendon at its stressing end after seating. Example: 3700.
        pub target_seated_force_kn: Number,
        /// When it is to be replaced. Example: 2061-05-01.
        pub target_date: Day,
        /// Stated length of a piece. Example: 2500.
        pub piece_length_mm: Number,
        /// Greatest mass of a piece. Example: 80.
        pub piece_mass_limit_kg: Number,
        /// Place in the order of replacement. Example: 1.
        pub order: Count,
        /// Reason for another order of cuts than from the midpoint outward.
        pub order_reason: Text,
        /// Other tendons that may be out at the same time. Example: 0.
        pub others_out: Count,
        /// Live-load restriction while it is out, where the project's does not hold.
        pub live_load_restriction: Text,
        /// Owner's other measures while it is out, where the project's do not hold.
        pub measures_while_out: Text,
    }
}

record! {
    /// A stated cut.
    pub struct Cut as "cut" {
        /// Place in the order of cuts. Example: 1.
        pub order: Count,
        /// Station. Example: 120.
        pub station_m: Number [Signed],
        /// What it is for. Example: piece.
        pub purpose: Option<CutPlace>,
    }
}

record! {
    /// Moments that a tendon makes on the bridge at a station, as stated.
    pub struct TendonMoment as "tendon_moment" {
        /// Station. Example: 120.
        pub station_m: Number [Signed],
        /// Force times eccentricity. Example: -1200.
        pub primary_knm: Number [Signed],
        /// With the moments of the supports. Example: -900.
        pub total_knm: Number [Signed],
    }
}
