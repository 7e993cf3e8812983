//! Deviations of a tendon.

use crate::reflect::{Link, record};
use crate::schedule::{Form, Number, Part, Place};

record! {
    /// A place at which a tendon is deviated, or passes through a form.
    ///
    /// Dimensions that are stated here hold instead of the form's.
    pub struct Deviator as "deviator", key place {
        /// The place. Example: D11.
        pub place: Option<Link<Place>>,
        /// Kind of form. Example: F1.
        pub form: Option<Link<Form>>,
        /// Clear room to swing a piece beside the form, up-station, along the axis. Example: 2500.
        pub swing_room_up_mm: Number [NotNegative],
        /// Clear room to swing a piece beside the form, down-station, along the axis. Example: 2500.
        pub swing_room_down_mm: Number [NotNegative],
        /// Stated angle of deviation. Example: 0.12.
        pub angle_rad: Number [NotNegative],
        /// Stated deviation force. Example: 480.
        pub force_kn: Number [NotNegative],
        /// Least wall of the duct left there after stressing, as a test or the making of a trial shows. Example: 5.2.
        pub duct_wall_left_mm: Number [NotNegative],
        /// Least clear bore, instead of the form's. Example: 150.
        pub throat_mm: Number,
        /// Clear bore at the down-station exit, instead of the form's. Example: 220.
        pub exit_rear_mm: Number,
        /// Clear bore at the up-station exit, instead of the form's. Example: 220.
        pub exit_span_mm: Number,
        /// Radius of the wall, instead of the form's. Example: 3000.
        pub wall_radius_mm: Number,
        /// Length along the axis, instead of the form's. Example: 900.
        pub length_mm: Number,
        /// Slope of the form's axis in elevation, instead of the form's. Example: 0.05.
        pub pitch_rad: Number [Signed],
        /// Turn of the form's axis in plan, instead of the form's. Example: 0.
        pub yaw_rad: Number [Signed],
        /// Angle tolerance, instead of the form's. Example: 0.02.
        pub angle_tolerance_rad: Number [NotNegative],
        /// Parts that differ from the form's, or come in addition.
        pub parts: Vec<Part>,
    }
}
