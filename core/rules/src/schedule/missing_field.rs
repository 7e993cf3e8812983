//! A record lacks what its stage requires.

use std::collections::HashMap;

use foldhash::fast::RandomState;
use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_model::Record;
use restrand_model::reading::ProblemKind;
use restrand_model::reflect::{FieldInfo, RecordInfo, Shape, View};
use restrand_model::route::{Route, Step};
use restrand_model::schedule::{Project, Schedule, Stage, Status};

use super::walk::{At, call, walk};
use crate::assembly::{Assembly, Owner};
use crate::book::Required;
use crate::context::Context;
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "schedule/missing-field",
    summary: "what each record states against what the rulebook requires at its stage",
    kinds: &[Kind::Missing],
    limits: &[],
    sources: &[
        Citation::new(
            "PTI/ASBI M50.3-24, contents of section 5: what tendon drawings must hold",
            Evidence::Secondary,
        ),
        Citation::new(
            "list of data without which replacement cannot be checked",
            Evidence::Derived,
        ),
    ],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("missing_field.md"),
    check: Check::Schedule(check),
};

/// Lists of which at least one record is needed once their records are required at all.
const WAYS: [&str; 2] = ["bays", "openings"];

/// What is required of a record type at a stage, looked up once.
type Requirements<'a> = HashMap<(&'static str, Stage), Vec<&'a Required>, RandomState>;

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let schedule: &dyn Record = context.schedule;
    if schedule.is_blank() {
        return outcomes.not_applicable("nothing was read");
    }
    let mut requirements = Requirements::default();
    project(context, outcomes);
    ways(context, outcomes);
    let stages = stages_of_kinds(context);
    walk(context.schedule, &mut |at| record(context, at, &stages, &mut requirements, outcomes));
    for assembly in &context.assemblies {
        parts(context, assembly, &mut requirements, outcomes);
    }
}

/// The furthest stage of the tendons that use a kind of strand, duct, anchorage, form or jack, by list and position.
type Stages = HashMap<(&'static str, usize), Stage>;

fn stages_of_kinds(context: &Context<'_>) -> Stages {
    let mut stages = Stages::new();
    for at in context.tendons() {
        let stage = context.stage_of(at.tendon);
        let mut uses = |list: &'static str, key: Option<&str>| {
            if let Some(index) = key.and_then(|key| context.position(list, key)) {
                let held = stages.entry((list, index)).or_insert(stage);
                *held = stage.max(*held);
            }
        };
        uses("strands", at.tendon.strand.as_ref().map(|link| link.key()));
        let runs = at.tendon.duct_runs.iter().map(|run| &run.duct);
        for duct in runs.chain([&at.tendon.duct]) {
            uses("ducts", duct.as_ref().map(|link| link.key()));
        }
        for end in at.ends() {
            uses("anchorages", end.end.anchorage.as_ref().map(|link| link.key()));
            uses("jacks", end.end.jack.as_ref().map(|link| link.key()));
        }
        for deviator in &at.tendon.deviators {
            uses("forms", deviator.form.as_ref().map(|link| link.key()));
        }
    }
    stages
}

/// The project, if there is none at all; what one lacks is found as with every record.
fn project(context: &Context<'_>, outcomes: &mut Outcomes) {
    if context.schedule.project.is_some() {
        return;
    }
    let names: Vec<_> = context
        .required(Project::INFO.name, context.stage())
        .flat_map(|required| &required.fields)
        .collect();
    if names.is_empty() || is_told(context, &[Project::INFO.name]) {
        return;
    }
    let labels: Vec<_> = names.iter().map(|name| label(Project::INFO, name)).collect();
    let place = Route::root().field("project");
    let finding = Finding::new(
        RULE.id,
        Kind::Missing,
        place,
        "the schedule says nothing of the project; required are: {fields}",
    )
    .help("State the project: without its stage the earliest is taken, and less is required")
    .fact(Fact::text("fields", labels.join(", ")))
    .fact(Fact::text("stage", context.stage().to_string()));
    outcomes.found(finding);
}

/// Bays and openings, if there is none of them and some are needed.
fn ways(context: &Context<'_>, outcomes: &mut Outcomes) {
    let stage = context
        .tendons()
        .filter(|at| at.tendon.status != Some(Status::Removed) && !at.stays())
        .map(|at| context.stage_of(at.tendon))
        .max();
    let Some(stage) = stage else {
        return;
    };
    let schedule: &dyn Record = context.schedule;
    let lacking: Vec<&'static str> = WAYS
        .into_iter()
        .filter(|list| {
            let Some(Shape::Records(info)) = Schedule::INFO.field(list).map(|field| field.shape)
            else {
                return false;
            };
            schedule.get(list).is_absent()
                && context.required(info().name, stage).next().is_some()
                && !is_told(context, &[list, info().name])
        })
        .collect();
    let Some(first) = lacking.first() else {
        return;
    };
    let finding = Finding::new(
        RULE.id,
        Kind::Missing,
        Route::root().field(first),
        "the schedule has no {lists}, which the stage {stage} requires",
    )
    .help(
        "List the rooms between places and the openings on the way in, so that it can be checked that jacks, \
         pieces and new parts get through",
    )
    .fact(Fact::text("lists", lacking.join(" and no ")))
    .fact(Fact::text("stage", stage.to_string()));
    outcomes.found(finding);
}

/// Whether records of one of these names were lost, which is reported at their place.
fn is_told(context: &Context<'_>, names: &[&str]) -> bool {
    context.problems.iter().any(|problem| {
        problem.kind == ProblemKind::RecordLost
            && names.iter().any(|name| {
                problem
                    .subject
                    .strip_prefix(name)
                    .is_some_and(|rest| rest.is_empty() || rest.starts_with('['))
            })
    })
}

fn record<'a>(
    context: &Context<'a>,
    at: &At<'a, '_>,
    stages: &Stages,
    requirements: &mut Requirements<'a>,
    outcomes: &mut Outcomes,
) {
    let info = at.record.info();
    // Room at an end and parts have rules of their own, or are looked at as they hold.
    if ["part", "removal_space"].contains(&info.name) {
        return;
    }
    if let Some(tendon) = at.tendon
        && tendon.status == Some(Status::Removed)
    {
        if info.name == "tendon" {
            outcomes.not_applicable("the tendon is removed");
        }
        return;
    }
    let stage = match (at.tendon, at.steps) {
        (Some(tendon), _) => context.stage_of(tendon),
        (None, [Step::Field(list), Step::Item(index)]) => {
            stages.get(&(*list, *index)).copied().unwrap_or_else(|| context.stage())
        }
        _ => context.stage(),
    };
    let required = of(context, requirements, info, stage);
    let is_second = is_second_of_its_name(context, at);
    let fields = required
        .iter()
        .filter(|required| required.holds_for(at.record))
        .flat_map(|required| required.fields.iter().map(String::as_str));
    let fields = fields.filter(|path| {
        // Rows of other sheets went to the first of the name, which is reported.
        let held = info.field(path.split('.').next().unwrap_or_default());
        !(is_second
            && held.is_some_and(|f| matches!(f.shape, Shape::Record(_) | Shape::Records(_))))
    });
    judge(context, at.record, stage, fields, || at.route(), outcomes);
}

fn is_second_of_its_name(context: &Context<'_>, at: &At<'_, '_>) -> bool {
    match (at.steps, at.record.key()) {
        ([Step::Field(list), Step::Item(index)], Some(key)) => {
            context.position(list, key).is_some_and(|first| first != *index)
        }
        _ => false,
    }
}

/// Parts as they hold: an override need not repeat what its kind states.
fn parts<'a>(
    context: &Context<'a>,
    assembly: &Assembly<'a>,
    requirements: &mut Requirements<'a>,
    outcomes: &mut Outcomes,
) {
    if assembly.stays {
        return outcomes.not_applicable("no replaceable tendon uses it");
    }
    if let Some(Step::Item(index)) = assembly.route.steps().get(1)
        && assembly.owner == Owner::Own
        && context.schedule.tendons.get(*index).is_some_and(|t| t.status == Some(Status::Removed))
    {
        return;
    }
    let stage = assembly.stage;
    for resolved in &assembly.parts {
        if !assembly.states(resolved) {
            continue;
        }
        let part: &dyn Record = resolved.part.as_ref();
        let required = of(context, requirements, part.info(), stage);
        let fields = required
            .iter()
            .filter(|required| required.holds_for(part))
            .flat_map(|required| required.fields.iter().map(String::as_str))
            // Has a rule of its own.
            .filter(|path| *path != "permanence");
        judge(context, part, stage, fields, || resolved.route.clone(), outcomes);
    }
}

fn of<'r, 'a>(
    context: &Context<'a>,
    requirements: &'r mut Requirements<'a>,
    info: &'static RecordInfo,
    stage: Stage,
) -> &'r [&'a Required] {
    requirements
        .entry((info.name, stage))
        .or_insert_with(|| context.required(info.name, stage).collect())
}

fn judge<'f>(
    context: &Context<'_>,
    record: &dyn Record,
    stage: Stage,
    fields: impl Iterator<Item = &'f str>,
    route: impl Fn() -> Route,
    outcomes: &mut Outcomes,
) {
    let info = record.info();
    let mut asked = false;
    let mut unread = false;
    let mut absent: Vec<(&str, Route)> = Vec::new();
    for path in fields {
        asked = true;
        if !is_absent(record, path) || absent.iter().any(|(known, _)| *known == path) {
            continue;
        }
        let Some(route) = way(info, &route(), path) else {
            continue;
        };
        if was_stated(context, &route) {
            unread = true;
        } else {
            absent.push((path, route));
        }
    }
    let Some((_, place)) = absent.first() else {
        if unread {
            outcomes.not_evaluated("a value that is stated, but cannot be read");
        } else if asked {
            outcomes.pass();
        }
        return;
    };
    let labels: Vec<_> = absent.iter().map(|(path, _)| label(info, path)).collect();
    let mut help = help(info, &absent);
    if says_no_more_than_its_name(record) {
        help.push_str(
            " If {record} is a remark, a heading or a sum, and no record, take it out of the list.",
        );
    }
    let finding = Finding::new(
        RULE.id,
        Kind::Missing,
        place.clone(),
        "{record} does not state what the stage {stage} requires: {fields}",
    )
    .help(help)
    .fact(Fact::text("record", call(context.schedule, route().steps())))
    .fact(Fact::text("fields", labels.join(", ")))
    .fact(Fact::text("stage", stage.to_string()));
    outcomes.found(finding);
}

/// Whether a record has a name and next to nothing else, as a line below a table that was taken for one of its rows.
fn says_no_more_than_its_name(record: &dyn Record) -> bool {
    let info = record.info();
    let is_said =
        |field: &&FieldInfo| Some(field.name) != info.key && !record.get(field.name).is_absent();
    record.key().is_some() && info.fields.iter().filter(is_said).count() <= 1
}

/// What to state: the first fields with their meaning and an example.
fn help(info: &'static RecordInfo, absent: &[(&str, Route)]) -> String {
    /// Fields that the help explains.
    const EXPLAINED: usize = 3;
    let explained = absent.iter().take(EXPLAINED).filter_map(|(path, _)| {
        let field = fields(info, path)?.last().copied()?;
        let example = field.example().map(|it| format!(" Example: {it}.")).unwrap_or_default();
        Some(format!("{}: {}{example}", label(info, path), field.description()))
    });
    let explained = explained.collect::<Vec<_>>().join(" ");
    format!("State it; an absent value is never taken as zero. {explained}")
}

fn is_absent(record: &dyn Record, path: &str) -> bool {
    let mut view = View::Record(record);
    for name in path.split('.') {
        view = match view {
            View::Record(record) => record.get(name),
            _ => return true,
        };
    }
    view.is_absent()
}

/// The fields on a path.
fn fields(info: &'static RecordInfo, path: &str) -> Option<Vec<&'static FieldInfo>> {
    let mut info = info;
    let mut found = Vec::new();
    for name in path.split('.') {
        let field = info.field(name)?;
        found.push(field);
        if let Shape::Record(inner) = field.shape {
            info = inner();
        }
    }
    Some(found)
}

fn way(info: &'static RecordInfo, route: &Route, path: &str) -> Option<Route> {
    let fields = fields(info, path)?;
    Some(fields.into_iter().fold(route.clone(), |route, field| route.field(field.name)))
}

/// The label of a path, as a header shows it: `Replacement release`.
fn label(info: &'static RecordInfo, path: &str) -> String {
    let labels: Vec<_> =
        fields(info, path).unwrap_or_default().iter().map(|field| field.label()).collect();
    match labels.split_first() {
        Some((first, [])) => first.clone(),
        Some((first, rest)) => format!("{first} {}", rest.join(" ").to_lowercase()),
        None => path.to_owned(),
    }
}

/// Whether the value was stated and could not be read, alone or with its whole column.
fn was_stated(context: &Context<'_>, route: &Route) -> bool {
    let mut view = View::Record(context.schedule);
    let mut source: Option<&dyn Record> = None;
    let mut path: Vec<String> = Vec::new();
    for step in route.steps() {
        view = match (step, view) {
            (Step::Field(name), View::Record(record)) => record.get(name),
            (Step::Item(index), View::List(list)) if *index < list.len() => list.item(*index),
            _ => View::Absent,
        };
        path.push(match step {
            Step::Field(name) => (*name).to_owned(),
            Step::Item(index) => index.to_string(),
        });
        if let View::Record(record) = view
            && record.origin().get().is_some()
        {
            source = Some(record);
            path.clear();
        }
    }
    let path = path.join(".");
    source.is_some_and(|record| {
        context.is_lost(record.origin(), &path) || context.is_lost_column(record.info().name, &path)
    })
}

#[cfg(test)]
mod tests {
    use restrand_model::schedule::Tendon;

    use super::*;

    #[test]
    fn a_line_below_the_table_says_no_more_than_its_name() {
        let total =
            Tendon { mark: Some("Total".into()), strand_count: Some(76), ..Tendon::default() };
        assert!(says_no_more_than_its_name(&total));
        let tendon = Tendon { length_m: Some(40.0), ..total };
        assert!(!says_no_more_than_its_name(&tendon));
        let nameless = Tendon { strand_count: Some(19), ..Tendon::default() };
        assert!(!says_no_more_than_its_name(&nameless));
    }
}
