//! Drawings of a tendon, to scale, from the numbers that its plan and the rules work with.
//!
//! A file for each drawing; each is one SVG document that stands alone or within a page.
//! What the schedule does not state is a hole in the drawing that names the field: no shape is invented.
//! Colours, files and pages are the caller's: lines are black on white, and nothing is told by colour.

mod anchorage;
mod beside;
mod canvas;
mod deviator;
mod face;
mod fill;
mod force;
mod jack;
mod marks;
mod numbers;
mod opening;
mod parts;
mod room;
mod subject;
mod tendon;

use restrand_model::System;
use restrand_plan::{Plan, StepId};
use restrand_rules::ends::Standing;
use restrand_rules::ways::Ways;
use restrand_rules::{Context, TendonAt};

use crate::identity::Identity;
use numbers::Numbers;
use subject::Subject;

/// What a drawing shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Elevation and plan of the tendon in the bridge, with places, forms, cuts and pieces.
    Tendon,
    /// An anchorage in section along its axis, with what leaves and what stays.
    Anchorage,
    /// The room behind an anchorage, with the stub that comes out.
    Room,
    /// The jack behind an anchorage, as it is threaded on, at full stroke and as it is taken off.
    Jack,
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
            Self::Jack => "jack",
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
    /// The step of the plan beside which it belongs; nothing for one that belongs beside several.
    pub step: Option<StepId>,
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

/// What is carried through an opening.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Thing {
    /// A jack, by its position in the schedule.
    Jack(usize),
    /// A rod: a piece of a tendon.
    Rod {
        /// Its diameter, mm.
        diameter_mm: f64,
    },
}

/// An opening with one thing in it, drawn once for all tendons of whose plans the thing is.
#[derive(Debug, Clone, PartialEq)]
pub struct Passage {
    /// The drawing.
    pub drawing: Drawing,
    /// The plans, by their positions among those that were given, and their steps.
    pub of: Vec<(usize, StepId)>,
}

/// The drawings of plans: those of each tendon, and the openings that they share.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Drawn {
    /// Those of each tendon, in the order of the plans.
    pub of_tendons: Vec<Vec<Drawing>>,
    /// The openings on their ways.
    pub openings: Vec<Passage>,
}

impl Drawn {
    /// All of them: tendon by tendon, then the openings.
    pub fn all(&self) -> impl Iterator<Item = &Drawing> {
        let openings = self.openings.iter().map(|passage| &passage.drawing);
        self.of_tendons.iter().flatten().chain(openings)
    }
}

/// The drawings of a schedule: what all tendons share is worked out once.
pub struct Drawings<'c, 'a> {
    context: &'c Context<'a>,
    numbers: Numbers,
    standing: Standing,
    ways: Ways<'a>,
    /// What stands on every sheet of the input, the rulebook and the program.
    follows_from: String,
}

impl<'c, 'a> Drawings<'c, 'a> {
    /// The drawings of a schedule, in the units of a system.
    #[must_use]
    pub fn of(context: &'c Context<'a>, system: System, identity: &Identity) -> Self {
        Self {
            context,
            numbers: Numbers { system },
            standing: Standing::of(context),
            ways: Ways::of(context),
            follows_from: identity.short(),
        }
    }

    /// The drawings of tendons, each with its plan from the same context, and of the openings on their ways.
    #[must_use]
    pub fn of_plans(&self, tendons: &[TendonAt<'a>], plans: &[Plan]) -> Drawn {
        let planned = || tendons.iter().zip(plans);
        Drawn {
            of_tendons: planned().map(|(at, plan)| self.of_tendon(at, plan)).collect(),
            openings: self.of_openings(planned()),
        }
    }

    /// The drawings of a tendon alone, in the order of the steps beside which they belong.
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
            all.extend(jack::drawing(&subject, end));
            all.push(face::drawing(&subject, end));
        }
        all.extend((0..at.tendon.deviators.len()).map(|index| deviator::drawing(&subject, index)));
        all.push(force::drawing(&subject));
        all.push(fill::drawing(&subject));
        all.sort_by_key(|drawing| drawing.step);
        all
    }

    /// The openings on the ways of tendons, each once with each thing that passes it.
    ///
    /// Each tendon comes with its plan from the same context.
    #[must_use]
    pub fn of_openings<'p>(
        &self,
        planned: impl Iterator<Item = (&'p TendonAt<'a>, &'p Plan)>,
    ) -> Vec<Passage>
    where
        'a: 'p,
    {
        opening::all(self, planned)
    }

    /// An opening, with a thing in it if one is given; `planned` are tendons with their plans, of which those are told
    /// that carry the thing through it.
    #[must_use]
    pub fn of_opening<'p>(
        &self,
        opening: usize,
        thing: Option<Thing>,
        planned: impl Iterator<Item = (&'p TendonAt<'a>, &'p Plan)>,
    ) -> Option<Drawing>
    where
        'a: 'p,
    {
        opening::one(self, opening, thing, planned)
    }
}
