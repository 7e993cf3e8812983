//! The tendon's axis in space: the alignment it is laid on, its legs and bends, and parabolic runs of internal tendons.
//!
//! The frame is right-handed: x along increasing station, lateral positive to the left, z up.
//! It knows no limit on radius, angle or straight length, and no friction; [`Run`] is what friction functions are fed with.
//! Authority: geometry; the true deviation is the angle between two legs in space, never a sum of its parts in plan and elevation.

mod alignment;
mod axis;
mod chord;
mod crossing;
mod drape;
mod mean;
mod parabola;
mod plan;
mod profile;
mod run;
mod space;
mod tendon;

pub use alignment::{Alignment, Element, JOINT_M, Start};
pub use axis::{PitchYaw, angle_between_rad, angle_to_axis_rad, axis, pitch_yaw};
pub use chord::{arc_over_chord_m, rise_over_chord_m};
pub use crossing::{Crossing, crossing};
pub use drape::{ProfilePoint, parabola_through, parabolas_level_at};
pub use parabola::Parabola;
pub use plan::{PlanPiece, PlanPoint, plan_beside, plan_polygon};
pub use profile::{NO_ANGLE_RAD, runs_on_plan};
pub use run::{Run, RunKind, total_angle_rad, total_length_m};
pub(crate) use space::Vector;
pub use space::{Direction, Point, direction};
pub use tendon::{Bend, Leg, MOST_POINTS, TendonPath, TendonPoint, tendon_path};
