//! What the rules and the replacement plan both need to know of the work on a tendon.
//!
//! It says what follows from the schedule and the rulebook, or the field without which it does not; what is
//! to be made of it is for rules and plans to say.

mod across;
mod along;
mod bar;
mod beside;
mod capacity;
mod deviated;
mod fill_line;
mod filling;
mod force_line;
mod held;
mod lacking;
mod mass;
mod pieces;
mod stressed;
mod stubs;
mod tendon_out;
mod widest;

pub(crate) use across::Across;
pub use along::Along;
pub use bar::bar_mass_kg;
pub use beside::{Beside, beside};
pub use capacity::{Capacity, capacity};
pub(crate) use capacity::{listed_over_holes, most_strands};
pub use deviated::{Deviated, deviated};
pub use fill_line::{FillLine, Turn, fill_line};
pub use filling::{Inside, inside, neat_grout};
pub use force_line::{ForceAt, ForceLimit, ForceLine, Limits, force_limits, force_line};
pub(crate) use held::find_held;
pub use held::{Free, Held, lateral_at_m, nearest_free};
pub use lacking::lacking_for_stressing;
pub use mass::{MassOver, mass, mass_over};
pub use pieces::{CutPiece, cut_pieces};
pub use stressed::{Jacking, Stressed, drawn_out_mm, jacked_ends, jacking, stressed};
pub(crate) use stubs::mouth_mm;
pub use stubs::{PlannedStub, StubPulls, planned_stub, pulls, stub_cut_mm};
pub(crate) use tendon_out::evaluate as bridge_out;
pub use tendon_out::{
    BridgeOut, NotKnown, Over, StressOut, over, section_call, share_over, sides, stresses,
};
pub use widest::{Widest, Widths, bar_diameter_mm, worst_duct_mm};

use crate::rule::LimitKey;

pub(crate) const GROUT: LimitKey =
    LimitKey { name: "grout_density_kg_per_m3", meaning: "density of cement grout in a tendon" };
pub(crate) const WAX: LimitKey =
    LimitKey { name: "wax_density_kg_per_m3", meaning: "density of wax or grease in a tendon" };
pub(crate) const POLYMER: LimitKey =
    LimitKey { name: "polymer_density_kg_per_m3", meaning: "density of a polymer duct" };

const CEMENT: LimitKey =
    LimitKey { name: "cement_density_kg_per_m3", meaning: "density of the grains of cement" };

/// The nearest that a cut comes to a form or a face.
pub const CUT_CLEAR: LimitKey = LimitKey {
    name: "cut_clear_mm",
    meaning: "nearest that a cut comes to a form, a diaphragm or an anchorage",
};
/// Free tendon on each side of the cut that releases.
pub const RELEASE_CLEAR: LimitKey = LimitKey {
    name: "release_clear_mm",
    meaning: "free tendon on each side of the cut that releases: half the window, and a clamp",
};
/// What is left for the writing of stations.
pub(crate) const CUT_TOLERANCE: LimitKey = LimitKey {
    name: "cut_tolerance_mm",
    meaning: "how far the station of a cut may be off for its writing",
};
/// What of a hoist's capacity is used.
pub const HOIST_SHARE: LimitKey =
    LimitKey { name: "hoist_share", meaning: "share of a hoist's stated capacity that is used" };
/// Room behind the jack.
pub const JACK_ROOM: LimitKey =
    LimitKey { name: "jack_room_mm", meaning: "room for hands and hoses behind the jack" };

/// How far a measured set may be off.
pub const SET_TOLERANCE: LimitKey = LimitKey {
    name: "set_tolerance_mm",
    meaning: "how far a measured set may be from the stated one",
};
/// How far lift-off may be off.
pub const LIFT_OFF_TOLERANCE: LimitKey = LimitKey {
    name: "lift_off_tolerance",
    meaning: "share by which lift-off may be off the force after seating that follows",
};
/// What one person carries.
pub const CARRY_PERSON: LimitKey =
    LimitKey { name: "carry_person_kg", meaning: "mass that one person carries by hand" };

/// The limits that are needed here.
pub(crate) const LIMITS: &[LimitKey] = &[
    GROUT,
    WAX,
    POLYMER,
    CEMENT,
    CUT_CLEAR,
    RELEASE_CLEAR,
    JACK_ROOM,
    SET_TOLERANCE,
    LIFT_OFF_TOLERANCE,
    CARRY_PERSON,
];
