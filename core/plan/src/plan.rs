//! What a plan is made of. Types only.

mod kinds;

use restrand_finding::{Fact, Severity};
use restrand_model::route::Route;

pub use self::kinds::{HazardKind, StepId};
use crate::cuts::CutPlan;
use crate::way::WayTaken;

/// The plan of one tendon.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The tendon's mark.
    pub tendon: String,
    /// The tendon.
    pub route: Route,
    /// Why there is no plan, or which part of one does not apply.
    pub not_for: Option<&'static str>,
    /// That nothing is begun, where something stands against it: before all else.
    pub stop: Option<Line>,
    /// What tendon it is, and what the plan comes to.
    pub about: Vec<Line>,
    /// What can hurt people, and where.
    pub hazards: Vec<Hazard>,
    /// What must be at hand before anything is released.
    pub in_hand: Vec<Line>,
    /// The steps in their order.
    pub steps: Vec<Step>,
    /// Where the tendon is cut and what leaves, or the field without which that is not known.
    pub cuts: Result<CutPlan, &'static str>,
    /// What the schedule does not state, each once.
    pub holes: Vec<Hole>,
    /// What stands against the plan.
    pub blocked: Vec<Blocked>,
    /// The records and values that it rests on.
    pub uses: Vec<Route>,
    /// What the check of the schedule found of them; empty until [`Plan::heed`] is asked.
    pub findings: Vec<Told>,
}

impl Plan {
    pub(crate) const fn of(tendon: String, route: Route) -> Self {
        Self {
            tendon,
            route,
            not_for: None,
            stop: None,
            about: Vec::new(),
            hazards: Vec::new(),
            in_hand: Vec::new(),
            steps: Vec::new(),
            cuts: Err("tendon.points"),
            holes: Vec::new(),
            blocked: Vec::new(),
            uses: Vec::new(),
            findings: Vec::new(),
        }
    }

    /// Takes up a hole of a step; one that is known already blocks this step as well.
    pub(crate) fn note(&mut self, hole: Missing, step: StepId) {
        let same = |known: &&mut Hole| known.field == hole.field && known.at == hole.at;
        match self.holes.iter_mut().find(same) {
            Some(known) if known.blocks.contains(&(step, hole.blocks)) => {}
            Some(known) => known.blocks.push((step, hole.blocks)),
            None => self.holes.push(Hole {
                field: hole.field,
                at: hole.at,
                blocks: vec![(step, hole.blocks)],
            }),
        }
    }

    /// Whether a step of it cannot be taken.
    #[must_use]
    pub fn is_blocked(&self) -> bool {
        !self.blocked.is_empty()
    }
}

/// What can hurt people.
#[derive(Debug, Clone, PartialEq)]
pub struct Hazard {
    /// Its kind.
    pub kind: HazardKind,
    /// Where it is, and how much of it.
    pub line: Line,
    /// The steps in which it is met.
    pub steps: Vec<StepId>,
}

/// One step.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Which one.
    pub id: StepId,
    /// Why it cannot be taken as the schedule stands, before all else.
    pub stops: Vec<Line>,
    /// What is done, in order.
    pub lines: Vec<Line>,
    /// Its numbers.
    pub tables: Vec<Table>,
    /// The tools it takes, with their room.
    pub tools: Vec<Line>,
    /// What must hold before the work goes on.
    pub holds: Vec<Line>,
    /// What to beware of.
    pub cautions: Vec<Line>,
    /// What in the schedule it rests on.
    pub rests_on: Vec<Route>,
    /// The ways on which something is carried in it.
    pub ways: Vec<WayTaken>,
    /// What it lacks.
    pub holes: Vec<Missing>,
}

/// A sentence with its numbers: facts stand in braces.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// The sentence.
    pub text: String,
    /// Its numbers and names.
    pub facts: Vec<Fact>,
}

impl From<&str> for Line {
    fn from(text: &str) -> Self {
        Self { text: text.to_owned(), facts: Vec::new() }
    }
}

impl From<String> for Line {
    /// Words of the schedule: braces in them are no facts.
    fn from(text: String) -> Self {
        Self { text: "{words}".to_owned(), facts: vec![Fact::text("words", text)] }
    }
}

impl Line {
    /// The sentence with a further number or name.
    #[must_use]
    pub fn with(mut self, fact: Fact) -> Self {
        self.facts.push(fact);
        self
    }
}

/// A table of numbers.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// What it shows.
    pub title: String,
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows, a cell for each column.
    pub rows: Vec<Vec<Cell>>,
}

/// A column of a table: the ending of its name says the unit of its numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Column {
    /// The name, as `length_m`.
    pub name: &'static str,
    /// Decimals shown in the unit of the name.
    pub digits: u8,
}

/// A cell of a table.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// A number in the column's unit.
    Number(f64),
    /// A name or a text.
    Text(String),
    /// Nothing belongs here.
    Blank,
    /// The schedule does not state what it follows from.
    Missing,
}

impl From<f64> for Cell {
    fn from(number: f64) -> Self {
        Self::Number(number)
    }
}

impl From<Option<f64>> for Cell {
    /// A value that should be there.
    fn from(number: Option<f64>) -> Self {
        number.map_or(Self::Missing, Self::Number)
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<Box<str>> for Cell {
    fn from(text: Box<str>) -> Self {
        Self::Text(text.into())
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

/// What the schedule does not state, and what that blocks.
#[derive(Debug, Clone, PartialEq)]
pub struct Hole {
    /// The field, as `end.tail_mm`.
    pub field: &'static str,
    /// Whose it is, where the tendon has several: `end a`.
    pub at: Option<String>,
    /// What is not known without it, step by step.
    pub blocks: Vec<(StepId, &'static str)>,
}

/// What a step lacks.
#[derive(Debug, Clone, PartialEq)]
pub struct Missing {
    /// The field, as `end.tail_mm`.
    pub field: &'static str,
    /// Whose it is, where the tendon has several: `end a`.
    pub at: Option<String>,
    /// What is not known without it.
    pub blocks: &'static str,
}

/// What stands against the plan, with the smallest change that frees it.
#[derive(Debug, Clone, PartialEq)]
pub struct Blocked {
    /// The step that cannot be taken.
    pub step: StepId,
    /// The constraint that binds.
    pub constraint: Line,
    /// The smallest change that frees it.
    pub remedy: Line,
    /// Where it is stated.
    pub place: Route,
}

impl Blocked {
    /// What is said in the step itself.
    pub(crate) fn stop(&self) -> Line {
        Line {
            text: format!("Not possible as the schedule stands: {}", self.constraint.text),
            facts: self.constraint.facts.clone(),
        }
    }
}

/// What the check of the schedule found.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// The rule.
    pub rule: &'static str,
    /// How bad it is.
    pub severity: Severity,
    /// What was found.
    pub message: Line,
    /// What to do.
    pub help: Line,
    /// Where it shows, where that is a value of the schedule.
    pub place: Option<Route>,
}

impl Step {
    pub(crate) const fn new(id: StepId) -> Self {
        Self {
            id,
            stops: Vec::new(),
            lines: Vec::new(),
            tables: Vec::new(),
            tools: Vec::new(),
            holds: Vec::new(),
            cautions: Vec::new(),
            rests_on: Vec::new(),
            ways: Vec::new(),
            holes: Vec::new(),
        }
    }

    pub(crate) fn say(&mut self, line: impl Into<Line>) {
        self.lines.push(line.into());
    }

    pub(crate) fn hold(&mut self, line: impl Into<Line>) {
        let line = line.into();
        // Two ends can be jacked with one jack.
        if !self.holds.contains(&line) {
            self.holds.push(line);
        }
    }

    pub(crate) fn beware(&mut self, line: impl Into<Line>) {
        let line = line.into();
        // Two ways can lead over one road.
        if !self.cautions.contains(&line) {
            self.cautions.push(line);
        }
    }

    pub(crate) fn takes(&mut self, tool: impl Into<Line>) {
        self.tools.push(tool.into());
    }

    pub(crate) fn rests_on(&mut self, route: Route) {
        self.rests_on.push(route);
    }

    pub(crate) fn lacks(&mut self, field: &'static str, at: Option<String>, blocks: &'static str) {
        // The set of one end is missing where that of the whole stressing is: it is one gap, and told once.
        let (field, at) = match field {
            "end.set_mm" => ("stressing.set_mm", None),
            field => (field, at),
        };
        let missing = Missing { field, at, blocks };
        if !self.holes.contains(&missing) {
            self.holes.push(missing);
        }
    }

    /// The value, or a hole for each field that it lacks.
    pub(crate) fn known_all<'v, T>(
        &mut self,
        value: Result<&'v T, &[&'static str]>,
        at: Option<&str>,
        blocks: &'static str,
    ) -> Option<&'v T> {
        match value {
            Ok(value) => Some(value),
            Err(fields) => {
                for field in fields {
                    self.lacks(field, at.map(str::to_owned), blocks);
                }
                None
            }
        }
    }

    /// The value, or a hole where there is none.
    pub(crate) fn known<T>(
        &mut self,
        value: Result<T, &'static str>,
        at: Option<&str>,
        blocks: &'static str,
    ) -> Option<T> {
        match value {
            Ok(value) => Some(value),
            Err(field) => {
                self.lacks(field, at.map(str::to_owned), blocks);
                None
            }
        }
    }
}
