//! Replacement plans: drafts for the engineer in charge, as text and as data.

pub mod json;
pub mod text;

use restrand_finding::{Finding, Severity, Where};
use restrand_model::quantity::{System, Unit, of_field};
use restrand_model::route::Names;
use restrand_model::schema;
use restrand_plan::{Cell, Column, Hazard, Line, Plan, Told};

use crate::checked::Checked;
use crate::plain::{counted, plain_lines};

/// What every plan says of itself.
pub const DRAFT: &str = "Draft for the engineer in charge. It shows what follows from the stated data and no more. \
                         Local codes, the owner's rules and the methods of those who do the work hold; licensed \
                         engineers answer for them. Stressed strand, jacks, pressure and fire kill.";

/// What a plan says where nothing stands against it.
pub(crate) const NOTHING: &str = "Nothing that was evaluated stands against this plan; what was not evaluated is told in its steps and at its end.";

/// The title of the list of what must be there before anything is released.
pub(crate) const IN_HAND: &str = "What must be in hand before work starts";

/// Plans of one input, after its check.
#[derive(Clone, Copy)]
pub struct Plans<'a> {
    /// The input with its check.
    pub checked: &'a Checked<'a>,
    /// The plans.
    pub plans: &'a [Plan],
}

impl Plans<'_> {
    pub(crate) fn line(&self, line: &Line) -> String {
        plain_lines(&restrand_finding::fill_in(&line.text, &line.facts, self.checked.system))
    }
}

/// The title of a column: its name in words, with the unit in which its numbers are shown.
pub(crate) fn title(column: &Column, system: System) -> String {
    let (name, unit) = of_field(column.name);
    let name = name.replace('_', " ");
    match (unit, name.strip_suffix(" percent")) {
        (Some(unit), _) => format!("{name} [{}]", unit.for_reader(column.name, system).symbol),
        (None, Some(name)) => format!("{name} [%]"),
        (None, None) => name,
    }
}

/// A cell in the unit in which its column is shown.
pub(crate) fn shown(cell: &Cell, column: &Column, system: System) -> String {
    match cell {
        Cell::Text(text) => text.clone(),
        Cell::Blank => String::new(),
        Cell::Missing => MISSING.to_owned(),
        Cell::Number(number) => match of_field(column.name).1 {
            Some(unit) => {
                let to = unit.for_reader(column.name, system);
                // A thousandth of a foot is a third of a millimetre: no saw is nearer.
                let digits = match to.symbol {
                    "psi" => 0,
                    // A hundredth of a degree is a sixth of a thousandth of a radian.
                    "deg" => usize::from(column.digits.saturating_sub(2)),
                    _ => (usize::from(column.digits) + usize::from(is_coarser(to))).min(3),
                };
                format!("{:.digits$}", unit.convert(*number, to) + 0.0)
            }
            None => format!("{number:.*}", usize::from(column.digits)),
        },
    }
}

/// Whether a unit is so much coarser than the SI one that a further decimal is needed.
pub(crate) fn is_coarser(unit: &Unit) -> bool {
    matches!(unit.symbol, "in" | "kip" | "ft" | "kip-ft" | "gal")
}

/// What stands where the schedule does not say enough.
const MISSING: &str = "not stated";

/// What stands for a record where a limit is meant.
const RULEBOOK: &str = "limits";

/// How people call a field: `Tail (end)`.
pub(crate) fn field(field: &str) -> String {
    let Some((record, path)) = field.split_once('.') else {
        return field.to_owned();
    };
    if record == RULEBOOK {
        return format!("{path} (limit of the rulebook)");
    }
    let mut info = schema::records().into_iter().find(|info| info.name == record);
    let mut label = String::new();
    for name in path.split('.') {
        let Some(found) = info.and_then(|info| info.field(name)) else {
            return field.to_owned();
        };
        label = found.label();
        info = match found.shape {
            restrand_model::reflect::Shape::Record(inner)
            | restrand_model::reflect::Shape::Records(inner) => Some(inner()),
            _ => None,
        };
    }
    format!("{label} ({})", record.replace('_', " "))
}

/// The numbers of the steps in which a hazard is met: `steps 3, 4 and 13`.
pub(crate) fn numbers(plan: &Plan, hazard: &Hazard) -> String {
    let number = |id| plan.steps.iter().position(|step| step.id == id).map(|index| index + 1);
    let numbers: Vec<String> =
        hazard.steps.iter().filter_map(|id| number(*id)).map(|number| number.to_string()).collect();
    match numbers.as_slice() {
        [] => String::new(),
        [one] => format!("step {one}"),
        [first @ .., last] => format!("steps {} and {last}", first.join(", ")),
    }
}

/// How many errors the check of the whole schedule found, and those that the plan does not tell; nothing where it found
/// none.
pub(crate) fn elsewhere(plan: &Plan, plans: &Plans<'_>, names: &Names) -> Option<String> {
    let findings = plans.checked.report.findings.iter().map(|found| &found.finding);
    let errors: Vec<&Finding> =
        findings.filter(|finding| finding.severity == Severity::Error).collect();
    if errors.is_empty() {
        return None;
    }
    let other: Vec<String> = errors
        .iter()
        .filter(|finding| !plan.errors().any(|told| is_told(told, finding)))
        .map(|finding| named(finding, plans, names))
        .collect();
    let count = counted(errors.len(), "error");
    Some(match other.is_empty() {
        true => format!("The check of the whole schedule found {count}, all of them above."),
        false => format!(
            "The check of the whole schedule found {count}. Not in what this plan rests on: {}.",
            other.join(", ")
        ),
    })
}

/// A finding by its rule and place.
fn named(finding: &Finding, plans: &Plans<'_>, names: &Names) -> String {
    match (&finding.place, plans.checked.reading) {
        (Where::Route(route), Some(reading)) => {
            format!("{} at {}", finding.rule, names.show(route, &reading.schedule))
        }
        _ => finding.rule.to_owned(),
    }
}

/// Whether a plan tells this finding.
fn is_told(told: &Told, finding: &Finding) -> bool {
    let place = match &finding.place {
        Where::Route(route) => Some(route),
        Where::File(_) | Where::Limit(_) => None,
    };
    told.rule == finding.rule && told.place.as_ref() == place && told.message.facts == finding.facts
}

/// The routes on which a step rests, each once, as people read them.
pub(crate) fn routes(step: &restrand_plan::Step, names: &Names, plans: &Plans<'_>) -> Vec<String> {
    let Some(reading) = plans.checked.reading else { return Vec::new() };
    let mut shown: Vec<String> = Vec::new();
    for route in &step.rests_on {
        let route = names.show(route, &reading.schedule);
        if !shown.contains(&route) {
            shown.push(route);
        }
    }
    shown
}
