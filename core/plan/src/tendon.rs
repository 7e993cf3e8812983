//! What a plan knows of its tendon, worked out once for all steps.

use restrand_mechanics::removal::LinearMass;
use restrand_model::schedule::{EndName, Project, Replacement, Tendon};
use restrand_rules::works::{self, Along, Inside, PlannedStub, Stressed};
use restrand_rules::{Context, EndAt, Limit, TendonAt};

use crate::cuts::{self, CutPlan};

/// A tendon with all that follows from the schedule; an error is the field without which something does not.
pub(crate) struct Known<'a> {
    pub(crate) context: &'a Context<'a>,
    pub(crate) at: &'a TendonAt<'a>,
    pub(crate) tendon: &'a Tendon,
    pub(crate) ends: Vec<EndAt<'a>>,
    pub(crate) along: Result<Along, &'static str>,
    /// The tendon that is in.
    pub(crate) stressed: Result<Stressed, &'static str>,
    /// The tendon that comes in, stressed to its own target.
    pub(crate) renewed: Result<Stressed, &'static str>,
    pub(crate) mass: Result<LinearMass, &'static str>,
    pub(crate) inside: Result<Inside, &'static str>,
    /// The stub of each end, in the order of the ends.
    pub(crate) stubs: Vec<Result<PlannedStub, &'static str>>,
    pub(crate) cuts: Result<CutPlan, &'static str>,
}

impl<'a> Known<'a> {
    pub(crate) fn of(context: &'a Context<'a>, at: &'a TendonAt<'a>) -> Self {
        let tendon = at.tendon;
        let ends: Vec<_> = at.ends().collect();
        let stubs: Vec<_> = ends.iter().map(|end| works::planned_stub(context, at, end)).collect();
        let along = Along::of(context, at);
        let mass = works::mass(context, at);
        let target_kn =
            tendon.replacement.as_deref().and_then(|replacement| replacement.target_force_kn);
        let renewed = match target_kn {
            Some(target_kn) => works::stressed(context, at, Some(target_kn)),
            None => Err("replacement.target_force_kn"),
        };
        let mut known = Self {
            context,
            at,
            tendon,
            ends,
            along,
            stressed: works::stressed(context, at, None),
            renewed,
            mass,
            inside: works::inside(context, at),
            stubs,
            cuts: Err("tendon.points"),
        };
        known.cuts = cuts::of(&known);
        known
    }

    /// A limit of the rulebook in force.
    pub(crate) fn limit(&self, name: &str) -> Option<&'a Limit> {
        self.context.book.limits.get(name)
    }

    pub(crate) fn project(&self) -> Option<&'a Project> {
        self.context.schedule.project.as_deref()
    }

    pub(crate) fn replacement(&self) -> Option<&'a Replacement> {
        self.tendon.replacement.as_deref()
    }

    /// The end of this name.
    pub(crate) fn end(&self, name: EndName) -> Option<&EndAt<'a>> {
        self.ends.iter().find(|end| end.name == name)
    }

    /// The tendon that comes in: under its own target, or, only where none is stated, under the first force.
    pub(crate) fn to_come(&self) -> Result<&Stressed, &&'static str> {
        let is_stated =
            self.replacement().is_some_and(|replacement| replacement.target_force_kn.is_some());
        match is_stated {
            true => self.renewed.as_ref(),
            false => self.stressed.as_ref(),
        }
    }
}
