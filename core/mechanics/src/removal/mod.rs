//! Taking a tendon out: whether there is room, what it gives off when it is released, and the pieces that leave.
//!
//! It knows lengths, forces and masses only: which margin, shortest piece, stand-off or greatest mass is asked is the caller's.
//! Authority: geometry and elementary strength of materials.

mod energy;
mod pieces;
mod stub;

pub use energy::{ForceRun, Release, release_energy_kj, release_of_runs, releases_by_bond};
pub use pieces::{
    LinearMass, MOST_PIECES, Pieces, TendonSection, longest_piece_m, mass_per_m, piece_mass_kg,
    pieces,
};
pub use stub::{
    MOST_PULLS, Stub, StubPlan, StubVerdict, least_behind_for_any_mm, least_behind_mm, stub_plan,
};
