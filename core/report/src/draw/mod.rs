//! Drawings of a tendon, to scale, from the numbers that its plan and the rules work with.
//!
//! A file for each drawing; each is one SVG document that stands alone or within a page.
//! What the schedule does not state is a hole in the drawing that names the field: no shape is invented.
//! Colours, files and pages are the caller's: lines are black on white, and nothing is told by colour.

use restrand_model::System;
use restrand_plan::{Plan, StepId};
use restrand_rules::{Context, TendonAt};

/// What a drawing shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Elevation and plan of the tendon in the bridge, with places, forms, cuts and pieces.
    Tendon,
    /// An anchorage in section along its axis, with what leaves, what stays, and the room behind it.
    Anchorage,
    /// The face of an anchorage from behind, with what stands beside it.
    Face,
    /// A deviator in section along its axis, with the legs of the tendon.
    Deviator,
    /// An opening on a way, with what passes it.
    Opening,
    /// Force along the tendon before and after seating.
    Force,
    /// The profile with inlet, vents and drains.
    Fill,
}

impl Kind {
    /// The word for it in names of files and identifiers.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Tendon => "tendon",
            Self::Anchorage => "anchorage",
            Self::Face => "face",
            Self::Deviator => "deviator",
            Self::Opening => "opening",
            Self::Force => "force",
            Self::Fill => "fill",
        }
    }
}

/// A field that the schedule does not state, and what is not drawn without it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hole {
    /// The field, as `part.rear_outer_mm`.
    pub field: &'static str,
    /// What is not drawn.
    pub blocks: String,
}

/// One drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// What it shows.
    pub kind: Kind,
    /// Of what of the tendon, where it has several: `end a (A1)`, `D11`.
    pub of: Option<String>,
    /// The step of the plan beside which it belongs.
    pub step: StepId,
    /// A name of its own among all drawings of a schedule, of letters, digits and hyphens: for files and
    /// identifiers. Every identifier inside the drawing begins with it.
    pub name: String,
    /// The title, as it stands on the drawing.
    pub title: String,
    /// What it shows, in sentences, for those who cannot see it.
    pub description: String,
    /// Width and height on paper, mm; at most those of the room on a lying A3 sheet.
    pub size_mm: [f64; 2],
    /// What is not drawn for want of a field.
    pub holes: Vec<Hole>,
    /// The element `svg` with all in it; no declaration before it, so that it also stands within HTML.
    pub svg: String,
}

impl Drawing {
    /// The drawing as a file of its own.
    #[must_use]
    pub fn file(&self) -> String {
        format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{}\n", self.svg)
    }
}

/// All drawings of a tendon, in the order of the steps beside which they belong.
///
/// `plan` is the plan of the same tendon from the same context.
#[must_use]
pub fn of_tendon(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    plan: &Plan,
    system: System,
) -> Vec<Drawing> {
    let _ = (context, at, plan, system);
    Vec::new()
}
