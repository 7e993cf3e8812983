//! Changes to the schedule that a rule offers.

use restrand_model::route::Route;
use restrand_model::value::Value;

use crate::fact::Fact;

/// How far a change goes, and so what it takes to write it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Class {
    /// The same meaning in the usual form.
    Restate,
    /// A pure function of values that the schedule states.
    Recompute,
    /// An engineering choice: listed, and written only where it was accepted.
    Propose,
}

impl Class {
    /// All classes, from the one that changes least.
    pub const ALL: [Self; 3] = [Self::Restate, Self::Recompute, Self::Propose];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Restate => "restate",
            Self::Recompute => "recompute",
            Self::Propose => "propose",
        }
    }
}

/// A value that is to be changed.
#[derive(Debug, Clone, PartialEq)]
pub struct Edit {
    /// The value.
    pub route: Route,
    /// What it is to be, in the unit of its field; nothing where nothing is to be stated any more.
    pub after: Option<Value>,
}

/// A change that a rule offers; its edits are made together or not at all.
#[derive(Debug, Clone, PartialEq)]
pub struct Correction {
    /// The rule that offers it.
    pub rule: &'static str,
    /// How far it goes.
    pub class: Class,
    /// The values that are to be changed; at least one.
    pub edits: Vec<Edit>,
    /// Why, as a sentence; facts in braces.
    pub reason: String,
    /// The numbers and names of the reason.
    pub facts: Vec<Fact>,
    /// The stated values that the new ones follow from.
    pub basis: Vec<Route>,
}

impl Correction {
    /// A change of one value.
    #[must_use]
    pub fn new(
        rule: &'static str,
        class: Class,
        route: Route,
        after: Option<Value>,
        reason: impl Into<String>,
    ) -> Self {
        Self {
            rule,
            class,
            edits: vec![Edit { route, after }],
            reason: reason.into(),
            facts: Vec::new(),
            basis: Vec::new(),
        }
    }

    /// Changes a further value with it.
    #[must_use]
    pub fn edit(mut self, route: Route, after: Option<Value>) -> Self {
        self.edits.push(Edit { route, after });
        self
    }

    /// Adds a fact of the reason.
    #[must_use]
    pub fn fact(mut self, fact: Fact) -> Self {
        self.facts.push(fact);
        self
    }

    /// Adds a value that the new ones follow from.
    #[must_use]
    pub fn rests_on(mut self, route: Route) -> Self {
        self.basis.push(route);
        self
    }

    /// The routes of the values that are to be changed.
    pub fn routes(&self) -> impl Iterator<Item = &Route> {
        self.edits.iter().map(|edit| &edit.route)
    }
}
