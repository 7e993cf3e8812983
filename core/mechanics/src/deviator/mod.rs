//! Deviators: the length, exits and angle that a flared form needs, and the force that the tendon puts on the concrete.
//!
//! The wall of a flared form is convex to the tendon: R is the wall's radius in section along the axis, the tendon's axis has R + Do/2.
//! It knows no tolerance, no least radius and no limit; legs and their angles come from [`path`](crate::path).
//! Authority: geometry and statics; the components in a curved web are those of the bridge manuals named there.

mod flare;
mod force;
mod line_load;

pub use flare::{
    angle_reserve_rad, exit_bore_mm, least_length_mm, side_angle_rad, tendon_radius_mm,
};
pub use force::{
    DeviationForce, deviation_force, equal_forces_kn, small_angle_kn, unequal_forces_kn,
};
pub use line_load::{line_load_kn_per_m, web_in_plane_kn_per_m, web_out_of_plane_kn_per_m};
