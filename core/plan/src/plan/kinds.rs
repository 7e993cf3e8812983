//! Steps and hazards by their names.

/// A step of the work, in the order in which the steps are taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StepId {
    /// Traffic, props, monitoring.
    Measures,
    /// What is in the tendon.
    Survey,
    /// What holds it while it is released.
    Restraints,
    /// The force is taken out.
    Release,
    /// It is shown that none is left.
    ZeroForce,
    /// The free lengths are cut and taken out.
    Pieces,
    /// What lies in the deviators is taken out.
    DeviatorStubs,
    /// Caps off, stubs out.
    AnchorStubs,
    /// What stays is gauged and inspected.
    Gauging,
    /// New trumpets, duct and seals in.
    NewParts,
    /// New strands in.
    Strands,
    /// The jack comes to the anchorage.
    JackIn,
    /// The new tendon is stressed.
    Stressing,
    /// Tails cut, caps on.
    TailsAndCaps,
    /// The tendon is filled.
    Filling,
    /// What was done is written down.
    Record,
}

impl StepId {
    /// The word for it in data.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Measures => "measures",
            Self::Survey => "survey",
            Self::Restraints => "restraints",
            Self::Release => "release",
            Self::ZeroForce => "zero_force",
            Self::Pieces => "pieces",
            Self::DeviatorStubs => "deviator_stubs",
            Self::AnchorStubs => "anchor_stubs",
            Self::Gauging => "gauging",
            Self::NewParts => "new_parts",
            Self::Strands => "strands",
            Self::JackIn => "jack_in",
            Self::Stressing => "stressing",
            Self::TailsAndCaps => "tails_and_caps",
            Self::Filling => "filling",
            Self::Record => "record",
        }
    }

    /// The title that people read.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Measures => "Measures on the bridge",
            Self::Survey => "Survey of the filler",
            Self::Restraints => "Restraints",
            Self::Release => "Release",
            Self::ZeroForce => "Force shown to be zero",
            Self::Pieces => "Free lengths out in pieces",
            Self::DeviatorStubs => "Stubs out of the deviators",
            Self::AnchorStubs => "Caps off, anchor stubs out",
            Self::Gauging => "Permanent parts gauged and inspected",
            Self::NewParts => "New trumpets, duct and seals in",
            Self::Strands => "New strands in",
            Self::JackIn => "Jack in",
            Self::Stressing => "Stressing",
            Self::TailsAndCaps => "Tails cut, caps on",
            Self::Filling => "Filling",
            Self::Record => "Record",
        }
    }
}

/// A kind of hazard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum HazardKind {
    /// Energy of a bonded length under force.
    StoredEnergy,
    /// Parts thrown out behind the anchorages.
    Ejection,
    /// The new tendon under the jack, and what is under pressure.
    Jacking,
    /// Live tendons beside it.
    LiveNeighbours,
    /// Pieces and bars that fall or slide.
    FallingPieces,
    /// What burns.
    Fire,
    /// What harms lungs.
    Dust,
    /// What scalds or burns skin.
    HotOrCaustic,
    /// Rooms with bad air and few ways out.
    ConfinedSpace,
    /// What lies under loads.
    LoadsAbove,
}

impl HazardKind {
    /// The word for it in data.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::StoredEnergy => "stored_energy",
            Self::Ejection => "ejection",
            Self::Jacking => "jacking",
            Self::LiveNeighbours => "live_neighbours",
            Self::FallingPieces => "falling_pieces",
            Self::Fire => "fire",
            Self::Dust => "dust",
            Self::HotOrCaustic => "hot_or_caustic",
            Self::ConfinedSpace => "confined_space",
            Self::LoadsAbove => "loads_above",
        }
    }

    /// The title that people read.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::StoredEnergy => "Stored energy",
            Self::Ejection => "Ejection",
            Self::Jacking => "Jack, pressure",
            Self::LiveNeighbours => "Live neighbours",
            Self::FallingPieces => "Falling pieces",
            Self::Fire => "Fire",
            Self::Dust => "Dust",
            Self::HotOrCaustic => "Skin and eyes",
            Self::ConfinedSpace => "Confined space",
            Self::LoadsAbove => "Loads above",
        }
    }
}
