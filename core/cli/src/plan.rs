//! The command `plan`: reads and checks a schedule, and writes the replacement plans of its tendons.

use std::io::{self, Write};
use std::path::Path;

use restrand_finding::Severity;
use restrand_model::near::nearest;
use restrand_model::schedule::Schedule;
use restrand_plan::Plan;
use restrand_report::draw::{Drawings, Drawn};
use restrand_report::html::{self, Stamp};
use restrand_report::plan::{self, Plans};
use restrand_report::{Identity, InForce, json, terminal};
use restrand_rules::{Context, TendonAt};

use crate::arguments::{Plan as Options, PlanFormat};
use crate::done::{self, Done, system};
use crate::fault::{Fault, guarded};
use crate::gathered::Gathered;
use crate::output::{Streams, to_file, to_stdout};
use crate::plugins::Registry;
use crate::rulebook::{self, ByCode};
use crate::spare::{self, Beside};
use crate::{End, input, mapping, today};

/// The version of the program.
const VERSION: &str = env!("CARGO_PKG_VERSION");

/// Runs the command.
pub(crate) fn run(options: &Options, streams: &Streams) -> Result<End, Fault> {
    let registry = Registry::new(&options.plugins)?;
    let from = options.from.as_deref().map(|id| registry.named(id)).transpose()?;
    let asked = options.rulebook.as_deref().map(rulebook::asked_for).transpose()?;
    let output = options.output.as_deref().filter(|path| !input::is_stdin(path));
    if let Some(output) = output {
        spared(output, options)?;
    }
    let as_of = options.as_of.unwrap_or_else(today::today);
    let name = input::shown(&options.file);
    let mut made = Vec::new();
    let mut drawn = Drawn::default();
    let mapping = mapping::of(options.mapping.as_deref(), &options.file)?;
    let done = match done::read(&registry, &options.file, &name, from, &mapping) {
        Err(done) => *done,
        Ok(read) => {
            mapping::is_taken(options.mapping.as_deref(), &name, read.plugin)?;
            let chosen = ByCode::default().unless_asked(asked.as_ref(), &read.reading.schedule)?;
            let reading = &read.reading;
            let context = Context::new(
                &reading.schedule,
                &reading.problems,
                &reading.questions,
                &chosen.book,
                as_of,
            );
            let tendons = wanted(options, &context)?;
            let system = system(options.units, Some(reading));
            let in_force = InForce { book: &chosen.book, why: &chosen.why };
            let identity = Identity::of(VERSION, &read.parts, Some(in_force))
                .map_err(|error| format!("the input cannot be read again: {error}"));
            let plans = identity.and_then(|identity| {
                guarded(|| {
                    let plans: Vec<Plan> =
                        tendons.iter().map(|at| restrand_plan::plan(&context, at)).collect();
                    let is_drawn = options.drawings.is_some() || options.format == PlanFormat::Html;
                    let drawn = is_drawn.then(|| {
                        Drawings::of(&context, system, &identity).of_plans(&tendons, &plans)
                    });
                    (plans, drawn.unwrap_or_default())
                })
            });
            drop(context);
            match plans {
                Ok((plans, drawings)) => {
                    made = plans;
                    drawn = drawings;
                    Done::new(read, chosen, as_of)
                }
                Err(why) => Done::failed(&name, &why),
            }
        }
    };
    let look = streams.look(output.is_some(), true);
    let system = system(options.units, done.reading.as_ref());
    let today = as_of;
    let as_of = as_of.to_string();
    for plan in &mut made {
        plan.heed(done.report.findings.iter().map(|found| &found.finding));
    }
    let stands_against = made.iter().any(Plan::is_stopped);
    let write = |out: &mut dyn Write| {
        done.show(&name, system, &as_of, &mut |checked| {
            let plans = Plans { checked, plans: &made };
            let html = |out: &mut dyn Write| {
                let identity = Identity::of(VERSION, done.parts(), checked.rulebook)?;
                let is_dated = options.as_of.is_some();
                let stamp = Stamp { identity: &identity, as_of: today, is_dated };
                match made.is_empty() {
                    true => html::check(out, checked, &stamp),
                    false => html::plans(out, &plans, &drawn.of_tendons, &drawn.openings, &stamp),
                }
            };
            match options.format {
                PlanFormat::Text => text(&plans, look, out),
                PlanFormat::Json => data(&plans, &as_of, out),
                PlanFormat::Html => html(out),
            }
        })
    };
    // What a disk without room does not take is known before anything stands in its place.
    let drawings = match &options.drawings {
        Some(folder) if drawn.all().next().is_some() => Some(files(folder, &drawn, options)?),
        _ => None,
    };
    match output {
        Some(path) => to_file(path, write)?,
        None => to_stdout(write)?,
    }
    if let Some(drawings) = drawings {
        drawings.put()?;
    }
    Ok(match made.as_slice() {
        // It could not be read, or there is no tendon in it.
        [] => done.end(Severity::Error),
        _ if stands_against => End::Findings,
        _ => End::Clean,
    })
}

/// Writes drawings, each as a file of its own name, that are yet to be put into their folder.
fn files(folder: &Path, drawn: &Drawn, options: &Options) -> Result<Gathered, Fault> {
    let mut gathered = Gathered::beside(folder)?;
    for drawing in drawn.all() {
        let name = format!("{}.svg", drawing.name);
        spared(&folder.join(&name), options)?;
        gathered.add(&name, drawing.file().as_bytes())?;
    }
    Ok(gathered)
}

/// Refuses an output that would replace what is read.
fn spared(output: &Path, options: &Options) -> Result<(), Fault> {
    let beside = Beside { book: options.rulebook.as_deref(), mapping: options.mapping.as_deref() };
    spare::inputs(output, [options.file.as_ref()].into_iter(), beside)
}

fn text(plans: &Plans<'_>, look: terminal::Look, out: &mut dyn Write) -> io::Result<()> {
    match plans.plans.is_empty() {
        // What could not be read, or has no tendon, is told as a check tells it.
        true => terminal::report(out, plans.checked, look),
        false => plan::text::plans(out, plans, look),
    }
}

fn data(plans: &Plans<'_>, as_of: &str, out: &mut dyn Write) -> io::Result<()> {
    let mut document = json::Document::begin_plans(out, env!("CARGO_PKG_VERSION"), as_of)?;
    plan::json::add(&mut document, plans)?;
    document.end()
}

/// The tendons whose plans are asked for, in the schedule's order: all where none is named.
fn wanted<'a>(options: &Options, context: &Context<'a>) -> Result<Vec<TendonAt<'a>>, Fault> {
    let schedule = context.schedule;
    let mut marks: Vec<&str> = Vec::new();
    for asked in &options.tendons {
        let mark = mark_of(schedule, asked)?;
        marks.push(mark);
        let twin = schedule
            .tendons
            .iter()
            .find(|tendon| tendon.mark.as_deref() == Some(mark))
            .and_then(|tendon| tendon.twin.as_ref());
        if options.pair {
            match twin {
                Some(twin) => marks.push(mark_of(schedule, twin.key())?),
                None => {
                    return Err(Fault::Usage(format!(
                        "tendon {mark} states no tendon that mirrors it, so that there is no pair"
                    )));
                }
            }
        }
    }
    let is_wanted = |at: &TendonAt<'_>| {
        marks.is_empty() || at.tendon.mark.as_deref().is_some_and(|mark| marks.contains(&mark))
    };
    Ok(context.tendons().filter(is_wanted).collect())
}

fn mark_of<'a>(schedule: &'a Schedule, asked: &str) -> Result<&'a str, Fault> {
    let marks = || schedule.tendons.iter().filter_map(|tendon| tendon.mark.as_deref());
    if let Some(mark) = marks().find(|mark| *mark == asked) {
        return Ok(mark);
    }
    let near =
        nearest(asked, marks()).map(|near| format!("; did you mean {near}?")).unwrap_or_default();
    Err(Fault::Usage(format!("the schedule has no tendon \"{asked}\"{near}")))
}
