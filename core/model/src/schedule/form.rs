//! Kinds of deviator form.

use super::{Number, Part, Text};
use crate::reflect::{choice, record};

choice! {
    /// Kind of a deviator form.
    pub enum FormKind {
        /// Flared to both sides (diabolo).
        Flared = "flared",
        /// A pipe bent to a radius.
        BentPipe = "bent_pipe",
        /// A straight sleeve.
        StraightSleeve = "straight_sleeve",
    }
}

record! {
    /// A kind of form in a deviator or an intermediate diaphragm, composed of parts.
    ///
    /// Its axis has 0 at the middle and is positive up-station: rear means down-station, span up-station.
    pub struct Form as "form", key id, in "forms" {
        /// Name by which deviators refer to the form. Example: F1.
        pub id: Text,
        /// Kind of the form. Example: flared.
        pub kind: Option<FormKind>,
        /// Least clear bore. Example: 150.
        pub throat_mm: Number,
        /// Straight length of the throat. Example: 100.
        pub throat_length_mm: Number [NotNegative],
        /// Clear bore at the down-station exit. Example: 220.
        pub exit_rear_mm: Number,
        /// Clear bore at the up-station exit. Example: 220.
        pub exit_span_mm: Number,
        /// Radius of the wall in section along the axis. Example: 3000.
        pub wall_radius_mm: Number,
        /// Radius of a bent pipe, to its axis. Example: 3000.
        pub axis_radius_mm: Number,
        /// Bend of a bent pipe. Example: 0.15.
        pub bend_rad: Number [NotNegative],
        /// Straight end of a bent pipe, down-station. Example: 100.
        pub straight_rear_mm: Number [NotNegative],
        /// Straight end of a bent pipe, up-station. Example: 100.
        pub straight_span_mm: Number [NotNegative],
        /// Angle to its axis up to which the flare guides a leg. Example: 0.12.
        pub flare_rad: Number [NotNegative],
        /// Length along the axis. Example: 900.
        pub length_mm: Number,
        /// Slope of the axis in elevation, positive where it rises up-station. Example: 0.05.
        pub pitch_rad: Number [Signed],
        /// Turn of the axis in plan, positive to the left. Example: 0.
        pub yaw_rad: Number [Signed],
        /// Lining between duct and form, in words.
        pub liner: Text,
        /// Angle by which a leg may differ from the drawing. Example: 0.02.
        pub angle_tolerance_rad: Number [NotNegative],
        /// Tolerance of bores, plus and minus on the mean. Example: 1.
        pub tolerance_mm: Number [NotNegative],
        /// Greatest less least bore of one cross-section. Example: 1.
        pub ovality_mm: Number [NotNegative],
        /// Height of one seam or weld bead inside. Example: 0.5.
        pub seam_mm: Number [NotNegative],
        /// The parts, from the rear to the span side.
        pub parts: Vec<Part>,
    }
}
