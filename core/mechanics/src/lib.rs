//! The arithmetic behind the checks of replaceable post-tensioning tendons: paths, friction and stressing, deviators, filling, passing,
//! removal, room and ways, statics, and the tables they rest on.
//!
//! # What it is for
//! Each function takes plain numbers and gives plain numbers, so that a rule, a replacement plan and a test use the same formula.
//! Each one states its formula, its symbols with units, where it holds and where it comes from.
//!
//! # What it must not know
//! Schedules, limits and rulebooks: no default, no code value and no severity lives here; whoever calls brings them.
//! Files, environment, clock and printing: the crate has no dependency and also builds for the browser.
//!
//! # Conventions
//! - SI, with the unit in every name: `_mm`, `_mm2`, `_kn`, `_mpa`, `_kg_per_m`; ratios are bare.
//! - An anchorage's axis has 0 at the bearing-plate face and is positive outward (rearward, away from the span).
//! - A number that cannot be right is answered with a [`Misfit`]; nothing panics and no NaN comes out.
//!   A value that is absent is an `Option`, never zero.
//! - Tabled values carry their [`Evidence`](tables::Evidence): a value from memory is not a published one.
//!
//! # Where to begin
//! - A tendon's own: [`path`] lays it out, [`friction`] stresses and seats it, [`elongation`], [`jack`] and [`stress`] say what is read and
//!   what is kept, [`vibration`] how its free lengths swing.
//! - Its parts: [`duct`], [`deviator`], [`anchorage`] and [`filling`], with the pipes and strands of [`tables`].
//! - Replacing it: [`removal`] cuts and draws it, [`passing`] says whether it passes what stays, [`room`] what the jack needs, [`way`] how
//!   pieces come in and out.
//! - The bridge meanwhile: [`statics`] says what is lost.
//!
//! # Example
//! One tendon of the length of a bay, from its points to the pulls that draw its end out for replacement:
//!
//! ```
//! use restrand_mechanics::elongation::{Terms, elongation, stretch_mm};
//! use restrand_mechanics::friction::{self, End, Seating, StressDiagram, Wobble};
//! use restrand_mechanics::path::{Alignment, RunKind, TendonPoint, tendon_path};
//! use restrand_mechanics::removal::{Stub, StubVerdict, stub_plan};
//!
//! // The path: two deviators 20 m apart, over which the tendon's axis bends at 4.06 m.
//! let point = |station_m, elevation_m, bend_radius_m| TendonPoint {
//!     station_m, lateral_m: 0.0, elevation_m, bend_radius_m,
//! };
//! let path = tendon_path(&Alignment::Straight, &[
//!     point(0.0, 2.0, None),
//!     point(15.0, 0.5, Some(4.06)),
//!     point(35.0, 0.5, Some(4.06)),
//!     point(50.0, 2.0, None),
//! ])?;
//! assert!((path.bends[0].angle_rad - 0.0997).abs() < 5e-5);
//!
//! // Friction: only the deviators hold, each with an inadvertent angle of its own.
//! let runs: Vec<friction::Run> = path
//!     .runs()
//!     .iter()
//!     .map(|run| friction::Run {
//!         length_m: run.length_m,
//!         angle_rad: run.angle_rad,
//!         inadvertent_rad: if run.kind == RunKind::Straight { 0.0 } else { 0.02 },
//!         mu: 0.12,
//!         wobble: Wobble::None,
//!     })
//!     .collect();
//! let mut stress = StressDiagram::jacked(&friction::profile(&runs)?, End::A, 1395.0)?;
//! assert!((stress.end_mpa(End::B) - 1355.5).abs() < 0.1);
//!
//! // Elongation: what the strand gives before it is seated, with 3 mm of the dead end's wedges.
//! let elastic_mm = stretch_mm(stress.integral_mpa_m(0.0, path.developed_length_m)?, 195_000.0)?;
//! let read = elongation(&Terms {
//!     elastic_mm, in_jack_mm: 0.0, dead_end_seating_mm: 3.0, set_mm: 6.0,
//! })?;
//! assert!((read.at_jack_mm - 356.7).abs() < 0.05);
//!
//! // Set: the end goes in by 6 mm, and the zone ends where friction holds the rest.
//! let reach = stress.seat(End::A, Seating { set_mm: 6.0, e_mpa: 195_000.0 })?;
//! assert!((reach.end_mpa - 1339.2).abs() < 0.05);
//! assert!(!reach.whole);
//!
//! // Years later its stub leaves rearward through the room behind the anchorage.
//! let plan = stub_plan(&Stub {
//!     length_mm: 2600.0, behind_mm: 1500.0, margin_mm: 100.0, grip_mm: 200.0,
//!     saw_standoff_mm: 150.0, piece_min_mm: 300.0, whole_mm: 700.0,
//! })?;
//! let StubVerdict::InPieces { pulls, cuts, .. } = plan.verdict else {
//!     unreachable!("the room is shorter than the stub")
//! };
//! assert_eq!((pulls, cuts), (3, 2));
//! # Ok::<(), restrand_mechanics::Misfit>(())
//! ```
#![forbid(unsafe_code)]

pub mod anchorage;
pub mod deviator;
pub mod duct;
pub mod elongation;
pub mod filling;
pub mod friction;
pub mod jack;
mod misfit;
pub mod passing;
pub mod path;
pub mod removal;
pub mod room;
pub mod statics;
pub mod stress;
pub mod tables;
pub mod vibration;
pub mod way;

pub use misfit::{Argument, LARGEST, Misfit, SMALLEST};
