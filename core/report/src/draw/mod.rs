//! Drawings of a tendon, to scale, from the numbers that its plan and the rules work with.
//!
//! A file for each drawing; each is one SVG document that stands alone or within a page.
//! What the schedule does not state is a hole in the drawing that names the field: no shape is invented.
//! Colours, files and pages are the caller's: lines are black on white, and nothing is told by colour.

mod anchorage;
mod canvas;
mod deviator;
mod face;
mod fill;
mod force;
mod marks;
mod numbers;
mod opening;
mod parts;
mod room;
mod subject;
mod tendon;

use restrand_model::System;
use restrand_model::schedule::EndName;
use restrand_plan::{Carried, Plan, StepId, WayTaken};
use restrand_rules::ends::Standing;
use restrand_rules::ways::Ways;
use restrand_rules::{Context, TendonAt};

use numbers::Numbers;
use subject::Subject;

/// What a drawing shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Elevation and plan of the tendon in the bridge, with places, forms, cuts and pieces.
    Tendon,
    /// An anchorage in section along its axis, with what leaves and what stays.
    Anchorage,
    /// The room behind an anchorage, with the stub that comes out and the jack that goes on.
    Room,
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
            Self::Room => "room",
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

/// The drawings of a schedule: what all tendons share is worked out once.
pub struct Drawings<'c, 'a> {
    context: &'c Context<'a>,
    numbers: Numbers,
    standing: Standing,
    ways: Ways<'a>,
}

impl<'c, 'a> Drawings<'c, 'a> {
    /// The drawings of a schedule, in the units of a system.
    #[must_use]
    pub fn of(context: &'c Context<'a>, system: System) -> Self {
        Self {
            context,
            numbers: Numbers { system },
            standing: Standing::of(context),
            ways: Ways::of(context),
        }
    }

    /// All drawings of a tendon, in the order of the steps beside which they belong.
    ///
    /// `plan` is the plan of the same tendon from the same context. A tendon without a plan has no drawings.
    #[must_use]
    pub fn of_tendon(&self, at: &TendonAt<'a>, plan: &Plan) -> Vec<Drawing> {
        if plan.steps.is_empty() {
            return Vec::new();
        }
        let subject = Subject { drawings: self, at, plan };
        let ends: Vec<_> = at.ends().collect();
        let mut all = vec![tendon::drawing(&subject)];
        for end in &ends {
            all.push(anchorage::drawing(&subject, end));
            all.push(room::drawing(&subject, end));
            all.push(face::drawing(&subject, end));
        }
        all.extend((0..at.tendon.deviators.len()).map(|index| deviator::drawing(&subject, index)));
        for step in &plan.steps {
            // An opening is drawn once for the jack of an end, and once for the pieces of all bays that pass it.
            let mut drawn: Vec<(usize, Option<EndName>)> = Vec::new();
            for way in &step.ways {
                for opening in &way.openings {
                    let key = (*opening, jack_of(way));
                    if drawn.contains(&key) {
                        continue;
                    }
                    drawn.push(key);
                    let same = step.ways.iter().filter(|other| {
                        jack_of(other) == key.1 && other.openings.contains(opening)
                    });
                    let same: Vec<&WayTaken> = same.collect();
                    all.push(opening::drawing(&subject, step.id, &same, *opening));
                }
            }
        }
        all.push(force::drawing(&subject));
        all.push(fill::drawing(&subject));
        all.sort_by_key(|drawing| drawing.step);
        all
    }
}

/// What is carried, as people call it.
fn call(carried: &Carried) -> String {
    match carried {
        Carried::Jack(end) => format!("jack to end {end}"),
        Carried::Piece { .. } => "pieces of the tendon".to_owned(),
    }
}

/// The end whose jack is carried, if it is one.
const fn jack_of(way: &WayTaken) -> Option<EndName> {
    match way.what {
        Carried::Jack(end) => Some(end),
        Carried::Piece { .. } => None,
    }
}
