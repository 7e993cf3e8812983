//! Plans for programs, as versioned JSON.
//!
//! `schemas/plan-1.schema.json` says the same as the types below.
//! Members are added, never renamed or taken away, as long as `restrand_plan` is 1.
//! Numbers are in the unit that the name of their fact or column says.

use std::io;

use restrand_model::route::Names;
use restrand_plan::{Blocked, Cell, Hazard, Hole, Line, Plan, Step, Table, Told};
use serde::Serialize;

use super::{DRAFT, Plans, routes};
use crate::json::{Book, Document, Value as Fact, book, units, value};

/// The version of the form.
pub const VERSION: u32 = 1;
/// The member that says the version.
pub(crate) const MEMBER: &str = "restrand_plan";

#[derive(Serialize)]
struct Input<'a> {
    file: &'a str,
    format: Option<&'a str>,
    read: bool,
    draft: &'static str,
    units: &'static str,
    rulebook: Option<Book<'a>>,
    plans: Vec<One<'a>>,
}

#[derive(Serialize)]
struct One<'a> {
    tendon: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    not_for: Option<&'static str>,
    /// That nothing is begun; only where something stands against the plan.
    #[serde(skip_serializing_if = "Option::is_none")]
    stop: Option<Said<'a>>,
    blocked: Vec<Against<'a>>,
    errors: Vec<Error<'a>>,
    about: Vec<Said<'a>>,
    hazards: Vec<OneHazard<'a>>,
    warnings: Vec<Error<'a>>,
    in_hand: Vec<Said<'a>>,
    steps: Vec<OneStep<'a>>,
    missing: Vec<Lacking<'a>>,
}

#[derive(Serialize)]
struct OneHazard<'a> {
    kind: &'static str,
    #[serde(flatten)]
    said: Said<'a>,
    steps: Vec<&'static str>,
}

#[derive(Serialize)]
struct Error<'a> {
    rule: &'static str,
    message: String,
    help: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    route: Option<String>,
    facts: Vec<Fact<'a>>,
}

#[derive(Serialize)]
struct Against<'a> {
    step: &'static str,
    constraint: Said<'a>,
    remedy: Said<'a>,
    route: String,
}

#[derive(Serialize)]
struct OneStep<'a> {
    number: usize,
    id: &'static str,
    title: &'static str,
    stops: Vec<Said<'a>>,
    lines: Vec<Said<'a>>,
    tables: Vec<OneTable<'a>>,
    tools: Vec<Said<'a>>,
    holds: Vec<Said<'a>>,
    cautions: Vec<Said<'a>>,
    rests_on: Vec<String>,
}

#[derive(Serialize)]
struct Said<'a> {
    text: String,
    facts: Vec<Fact<'a>>,
}

#[derive(Serialize)]
struct OneTable<'a> {
    title: &'a str,
    columns: Vec<&'static str>,
    /// A number, a text, `""` where nothing belongs, or null where the schedule does not say enough.
    rows: Vec<Vec<OneCell<'a>>>,
}

#[derive(Serialize)]
#[serde(untagged)]
enum OneCell<'a> {
    Number(f64),
    Text(&'a str),
    Missing(()),
}

#[derive(Serialize)]
struct Lacking<'a> {
    field: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    at: Option<&'a str>,
    blocks: Vec<Blocks>,
}

#[derive(Serialize)]
struct Blocks {
    step: &'static str,
    what: &'static str,
}

/// Adds the plans of one input to a document.
///
/// # Errors
/// The writer fails.
pub fn add(document: &mut Document<'_>, plans: &Plans<'_>) -> io::Result<()> {
    let checked = plans.checked;
    let names = checked.reading.map(|reading| Names::of(&reading.schedule));
    document.add(&Input {
        file: checked.file,
        format: checked.format,
        read: checked.reading.is_some(),
        draft: DRAFT,
        units: units(checked.system),
        rulebook: checked.rulebook.map(book),
        plans: match &names {
            Some(names) => plans.plans.iter().map(|plan| one(plan, plans, names)).collect(),
            None => Vec::new(),
        },
    })
}

fn one<'a>(plan: &'a Plan, plans: &Plans<'_>, names: &Names) -> One<'a> {
    let all = |told: &'a Told| one_error(told, plans, names);
    One {
        tendon: &plan.tendon,
        not_for: plan.not_for,
        stop: plan.stop.as_ref().map(|line| said(line, plans)),
        about: plan.about.iter().map(|line| said(line, plans)).collect(),
        hazards: plan.hazards.iter().map(|hazard| one_hazard(hazard, plans)).collect(),
        blocked: plan.blocked.iter().map(|blocked| against(blocked, plans, names)).collect(),
        errors: plan.errors().map(all).collect(),
        warnings: plan.warnings().map(all).collect(),
        in_hand: plan.in_hand.iter().map(|line| said(line, plans)).collect(),
        steps: plan
            .steps
            .iter()
            .enumerate()
            .map(|(index, step)| one_step(index + 1, step, plans, names))
            .collect(),
        missing: plan.holes.iter().map(lacking).collect(),
    }
}

fn one_error<'a>(told: &'a Told, plans: &Plans<'_>, names: &Names) -> Error<'a> {
    let route = told.place.as_ref().zip(plans.checked.reading);
    let Said { text, facts } = said(&told.message, plans);
    Error {
        rule: told.rule,
        message: text,
        help: plans.line(&told.help),
        route: route.map(|(route, reading)| names.show(route, &reading.schedule)),
        facts,
    }
}

fn one_hazard<'a>(hazard: &'a Hazard, plans: &Plans<'_>) -> OneHazard<'a> {
    OneHazard {
        kind: hazard.kind.word(),
        said: said(&hazard.line, plans),
        steps: hazard.steps.iter().map(|step| step.word()).collect(),
    }
}

fn against<'a>(blocked: &'a Blocked, plans: &Plans<'_>, names: &Names) -> Against<'a> {
    let route = plans
        .checked
        .reading
        .map(|reading| names.show(&blocked.place, &reading.schedule))
        .unwrap_or_default();
    Against {
        step: blocked.step.word(),
        constraint: said(&blocked.constraint, plans),
        remedy: said(&blocked.remedy, plans),
        route,
    }
}

fn one_step<'a>(number: usize, step: &'a Step, plans: &Plans<'_>, names: &Names) -> OneStep<'a> {
    let all = |lines: &'a [Line]| lines.iter().map(|line| said(line, plans)).collect();
    OneStep {
        number,
        id: step.id.word(),
        title: step.id.title(),
        stops: all(&step.stops),
        lines: all(&step.lines),
        tables: step.tables.iter().map(table).collect(),
        tools: all(&step.tools),
        holds: all(&step.holds),
        cautions: all(&step.cautions),
        rests_on: routes(step, names, plans),
    }
}

fn said<'a>(line: &'a Line, plans: &Plans<'_>) -> Said<'a> {
    let system = plans.checked.system;
    Said {
        text: plans.line(line),
        facts: line.facts.iter().map(|fact| value(fact, system)).collect(),
    }
}

fn table(table: &Table) -> OneTable<'_> {
    let cell = |cell| match cell {
        &Cell::Number(number) => OneCell::Number(number),
        Cell::Text(text) => OneCell::Text(text),
        Cell::Blank => OneCell::Text(""),
        Cell::Missing => OneCell::Missing(()),
    };
    OneTable {
        title: &table.title,
        columns: table.columns.iter().map(|column| column.name).collect(),
        rows: table.rows.iter().map(|row| row.iter().map(cell).collect()).collect(),
    }
}

fn lacking(hole: &Hole) -> Lacking<'_> {
    let blocks = hole.blocks.iter().map(|(step, what)| Blocks { step: step.word(), what });
    Lacking { field: hole.field, at: hole.at.as_deref(), blocks: blocks.collect() }
}
