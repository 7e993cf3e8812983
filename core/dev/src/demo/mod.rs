//! The demo bridge: the Quillmere Viaduct of Quillmere Valley Roads, both invented.
//!
//! Its numbers, and why they are what they are, stand in `fixtures/demo/replacement-by-hand.md`; the
//! sections named in this module are that sheet's.
//! What the sheet computes is computed here again, from the stated data, so that the tests can hold the
//! two against each other; and not with `core/mechanics`, as the demo is what the rules that use it are held
//! against.

mod anchorages;
mod cuts;
mod derive;
mod fill;
mod forces;
mod forms;
mod joints;
mod make;
mod materials;
mod mirror;
mod path;
mod places;
mod project;
mod rooms;
mod tendons;
mod us;
mod worked;

pub use forces::Forces;
pub use path::Path;
pub use us::us_edition;
pub use worked::worked;

use restrand_model::schedule::{Schedule, Tendon, VERSION};

/// The schedule of the demo bridge, SI edition, complete for the stage of shop drawings.
#[must_use]
pub fn bridge() -> Schedule {
    Schedule {
        restrand: Some(VERSION),
        project: project::project(),
        spans: project::spans(),
        supports: project::supports(),
        strands: materials::strands(),
        ducts: materials::ducts(),
        anchorages: anchorages::anchorages(),
        forms: forms::forms(),
        jacks: materials::jacks(),
        places: places::places(),
        bays: rooms::bays(),
        openings: rooms::openings(),
        sections: project::sections(),
        tendons: tendons::tendons(),
        ..Schedule::default()
    }
}

/// The path of a tendon, from its points.
#[must_use]
pub fn path_of(tendon: &Tendon) -> Path {
    Path::through(&tendon.points)
}

/// The forces of a tendon of the demo bridge, from its path and its stressing data.
#[must_use]
pub fn forces_of(tendon: &Tendon) -> Option<Forces> {
    let stressing = tendon.stressing.as_deref()?;
    Forces::of(&path_of(tendon), stressing)
}

/// States the filler of a tendon anew, as after another duct has been chosen for it.
pub(crate) fn refill(tendon: &mut Tendon, bore_mm: f64) {
    fill::refill(tendon, bore_mm);
}
