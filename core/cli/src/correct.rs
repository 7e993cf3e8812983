//! The command `correct`: makes what the rules offer in a copy, and writes that as a new file.

use std::collections::BTreeSet;
use std::io::{self, Write};
use std::path::Path;

use restrand_check::{Corrected, Wishes};
use restrand_finding::Class;
use restrand_kit::recognise::Mapping;
use restrand_kit::{
    Budget, Bytes, Content, Loss, Part, PartReader, Parts, Plugin, WriteError, WriteOptions,
};
use restrand_model::System;
use restrand_model::reflect::Date;
use restrand_report::corrections::{self, Corrections, tables};
use restrand_report::terminal::{self, Look};
use restrand_report::{Checked, InForce, json};
use restrand_rules::find;

use crate::arguments::{Correct, Format};
use crate::convert::fault_of;
use crate::done::{self, Read, end_of, system};
use crate::fault::{Fault, guarded};
use crate::output::{Streams, to_stderr, to_stdout};
use crate::plugins::Registry;
use crate::rulebook::{self, ByCode, Chosen};
use crate::spare::{self, Beside};
use crate::{End, input, lookup, mapping, model, parts, today};

/// Runs the command.
pub(crate) fn run(options: &Correct, streams: &Streams) -> Result<End, Fault> {
    let registry = Registry::new(&options.plugins)?;
    let from = options.from.as_deref().map(|id| registry.named(id)).transpose()?;
    let asked = options.rulebook.as_deref().map(rulebook::asked_for).transpose()?;
    let accepted = options.accept.iter().map(|id| accepted(id)).collect::<Result<_, _>>()?;
    let target = target(options, &registry)?;
    let as_of = options.as_of.unwrap_or_else(today::today);
    let mut run = Run {
        options,
        registry: &registry,
        from,
        asked,
        accepted,
        target,
        by_code: ByCode::default(),
        as_of,
        look: streams.look(false, options.all),
        end: End::Clean,
        fault: None,
    };
    let mut write = |out: &mut dyn Write| run.write(out);
    // A schedule that goes to standard output has it for itself.
    match target {
        Some(Target { path, .. }) if input::is_stdin(path) => to_stderr(&mut write)?,
        _ => to_stdout(&mut write)?,
    }
    match run.fault {
        Some(fault) => Err(fault),
        None => Ok(run.end),
    }
}

/// Where the corrected schedule goes; the format is that of the ending, or the input's.
#[derive(Clone, Copy)]
struct Target<'o> {
    path: &'o Path,
    format: Option<(&'o dyn Plugin, Option<&'static str>)>,
}

fn target<'o>(options: &'o Correct, registry: &'o Registry) -> Result<Option<Target<'o>>, Fault> {
    let usage = |why: &str| Err(Fault::Usage(why.to_owned()));
    if options.files.iter().filter(|file| input::is_stdin(file)).count() > 1 {
        return usage("- can be named once only");
    }
    let Some(path) = options.output.as_deref() else {
        return if options.dry_run {
            Ok(None)
        } else {
            usage("name the corrected file with --output, or look first with --dry-run")
        };
    };
    if options.files.len() > 1 {
        return usage("one corrected file is written of one schedule; name one, or use --dry-run");
    }
    let beside = Beside { book: options.rulebook.as_deref(), mapping: options.mapping.as_deref() };
    spare::inputs(path, options.files.iter().map(AsRef::as_ref), beside)?;
    let format = if input::is_stdin(path) {
        None
    } else {
        let ending = path.extension().and_then(|ending| ending.to_str());
        Some(registry.writer(None, ending)?)
    };
    Ok((!options.dry_run).then_some(Target { path, format }))
}

/// The rule whose proposals are accepted.
fn accepted(id: &str) -> Result<&'static str, Fault> {
    let rule = find(id).ok_or_else(|| Fault::Usage(lookup::unknown(id)))?;
    if rule.correction.classes().contains(&Class::Propose) {
        Ok(rule.id)
    } else {
        Err(Fault::Usage(format!(
            "{id} proposes nothing that could be accepted; its corrections: {}",
            rule.correction.words()
        )))
    }
}

struct Run<'o> {
    options: &'o Correct,
    registry: &'o Registry,
    from: Option<&'o dyn Plugin>,
    asked: Option<Chosen>,
    accepted: BTreeSet<&'static str>,
    target: Option<Target<'o>>,
    by_code: ByCode,
    as_of: Date,
    look: Look,
    end: End,
    fault: Option<Fault>,
}

/// What came of one input.
enum Done<'r> {
    /// It was read, and what could be corrected was.
    Corrected(Box<OfInput<'r>>),
    /// It was not, or there is no tendon in it: what a check says of it.
    Checked(Box<done::Done>),
}

struct OfInput<'r> {
    read: Read<'r>,
    mapping: Mapping,
    chosen: Chosen,
    corrected: Corrected,
    /// Cells that hold formulas, if that can be told.
    formulas: Option<usize>,
}

impl<'o> Run<'o> {
    fn write(&mut self, out: &mut dyn Write) -> io::Result<()> {
        let version = env!("CARGO_PKG_VERSION");
        let as_of = self.as_of.to_string();
        match self.options.format {
            Format::Text => {
                for (index, file) in self.options.files.iter().enumerate() {
                    if index > 0 {
                        writeln!(out)?;
                    }
                    self.one(file, &mut |shown, look| match shown {
                        Shown::Corrected(of) => corrections::text::report(out, of, look),
                        Shown::Checked(of) => terminal::report(out, of, look),
                    })?;
                }
            }
            Format::Json => {
                let mut document = json::Document::begin_corrections(out, version, &as_of)?;
                for file in &self.options.files {
                    self.one(file, &mut |shown, _| match shown {
                        Shown::Corrected(of) => corrections::json::input(&mut document, of),
                        Shown::Checked(of) => corrections::json::unread(&mut document, of),
                    })?;
                }
                document.end()?;
            }
        }
        Ok(())
    }

    /// Corrects one input and shows what came of it; a panic on the way is told and does not stop the others.
    fn one(&mut self, file: &Path, show: &mut Show<'_>) -> io::Result<()> {
        let name = input::shown(file);
        let done = match guarded(|| self.correct(file, &name)) {
            Ok(Ok(done)) => done,
            Ok(Err(fault)) => {
                self.fault = Some(fault);
                return Ok(());
            }
            Err(why) => {
                self.end = End::Failed;
                Done::Checked(Box::new(done::Done::failed(&name, &why)))
            }
        };
        match &done {
            Done::Checked(done) => {
                self.end = self.end.max(done.end(self.options.fail_on.into()));
                let system = system(self.options.units, done.reading.as_ref());
                done.show(&name, system, &self.as_of.to_string(), &mut |checked| {
                    show(Shown::Checked(checked), self.look)
                })
            }
            Done::Corrected(of) => {
                let result = guarded(|| self.finish(&name, of, show));
                result.unwrap_or_else(|why| {
                    self.end = End::Failed;
                    // If standard error is closed there is nowhere left to say so.
                    let _ = writeln!(io::stderr(), "error: restrand failed on {name}: {why}");
                    Ok(())
                })
            }
        }
    }

    fn correct(&mut self, file: &Path, name: &str) -> Result<Done<'o>, Fault> {
        let asked = self.options.mapping.as_deref();
        let mapping = mapping::of(asked, file)?;
        let read = match done::read(self.registry, file, name, self.from, &mapping) {
            Ok(read) => read,
            Err(done) => return Ok(Done::Checked(done)),
        };
        mapping::is_taken(asked, name, read.plugin)?;
        let chosen = self.by_code.unless_asked(self.asked.as_ref(), &read.reading.schedule)?;
        if read.reading.schedule.tendons.is_empty() {
            return Ok(Done::Checked(Box::new(done::Done::new(read, chosen, self.as_of))));
        }
        let parts: Vec<&dyn Part> = read.parts.iter().map(AsRef::as_ref).collect();
        let calculated = match read.plugin.calculated(Parts(&parts), Budget::default()) {
            Ok(calculated) => calculated,
            Err(error) => {
                let format = Some(read.plugin.describe().id);
                let done = done::Done::unread(name, &error, read.parts, format);
                return Ok(Done::Checked(Box::new(done)));
            }
        };
        let formulas = calculated.as_ref().map(Vec::len);
        let spared = if self.options.formulas { None } else { calculated };
        let calculated = spared.into_iter().flatten().collect();
        let wishes = Wishes { accepted: &self.accepted, calculated: &calculated };
        let corrected = restrand_check::correct(&read.reading, &chosen.book, self.as_of, wishes);
        Ok(Done::Corrected(Box::new(OfInput { read, mapping, chosen, corrected, formulas })))
    }

    /// Writes the corrected schedule, and shows what it is.
    fn finish(&mut self, name: &str, of: &OfInput<'_>, show: &mut Show<'_>) -> io::Result<()> {
        let again = input::Again(&of.read.parts);
        let corrected = &of.corrected;
        let system = system(self.options.units, Some(&of.read.reading));
        let checked = Checked {
            file: name,
            format: Some(of.read.plugin.describe().id),
            report: &corrected.before,
            reading: Some(&of.read.reading),
            sources: &again,
            rulebook: Some(InForce { book: &of.chosen.book, why: &of.chosen.why }),
            system,
            as_of: &self.as_of.to_string(),
        };
        let mut shown =
            Corrections { checked, corrected, output: None, losses: &[], formulas: of.formulas };
        let mut losses = Vec::new();
        let mut written = None;
        if let Some(target) = self.target {
            match write(target, of, &shown, system) {
                Ok(lost) => losses = lost,
                Err(fault) => {
                    self.fault = Some(fault);
                    return Ok(());
                }
            }
            written = Some(input::shown_output(target.path));
        }
        shown.losses = &losses;
        shown.output = written.as_deref();
        self.end = self.end.max(end_of(&corrected.after, self.options.fail_on.into()));
        show(Shown::Corrected(&shown), self.look)
    }
}

/// What is shown of one input.
enum Shown<'s, 'a> {
    Corrected(&'s Corrections<'a>),
    Checked(&'s Checked<'a>),
}

type Show<'s> = dyn FnMut(Shown<'_, '_>, Look) -> io::Result<()> + 's;

/// Writes the corrected schedule where it is to go, and returns what that could not carry.
fn write(
    target: Target<'_>,
    of: &OfInput<'_>,
    corrections: &Corrections<'_>,
    system: System,
) -> Result<Vec<Loss>, Fault> {
    let (plugin, ending) = match target.format {
        Some(format) => format,
        None => own_format(&of.read)?,
    };
    let changes = tables::changes(corrections);
    let tables = tables::tables(corrections);
    let reading = &of.corrected.reading;
    let laid = model::of(plugin, &reading.schedule, Some(&of.chosen))?;
    let content = Content {
        schedule: &reading.schedule,
        provenance: &reading.provenance,
        changes: &changes,
        tables: &tables,
        layout: laid.as_ref(),
    };
    let options = WriteOptions { system, ending };
    let mut place = parts::Target::of(target.path)?;
    let fault = |error| fault_of(error, target.path);
    let is_own = plugin.describe().id == of.read.plugin.describe().id;
    let patched =
        if is_own { patched(plugin, of, &content, options).map_err(fault)? } else { None };
    if let Some(Patched { parts: patched, losses }) = patched {
        for part in &patched {
            let copied = place
                .output()
                .part(part.name())
                .and_then(|out| io::copy(&mut PartReader::new(part), out));
            copied.map_err(|error| fault(error.into()))?;
        }
        place.put()?;
        // What could not be read stands in the new file as it stood in the input.
        return Ok(losses);
    }
    let losses = plugin.write(&content, options, place.output()).map_err(fault)?;
    place.put()?;
    let unread = of.corrected.lost.iter().map(|problem| Loss {
        route: problem.subject.clone(),
        value: problem.given.clone().unwrap_or_default(),
        why: format!("it could not be read: {}", problem.why),
    });
    // A model holds other disciplines' elements too, of which the schedule knows nothing.
    let beyond = (is_own && plugin.takes_layout()).then(|| Loss {
        route: "schedule".to_owned(),
        value: "the rest of the model".to_owned(),
        why: "it could not be changed in place and is written anew, so that what it holds beyond the \
              schedule is not in the new file"
            .to_owned(),
    });
    Ok(losses.into_iter().chain(unread).chain(beyond).collect())
}

/// The format of the input, with the ending that it has, where schedules are written so.
fn own_format<'r>(read: &Read<'r>) -> Result<(&'r dyn Plugin, Option<&'static str>), Fault> {
    let description = read.plugin.describe();
    let ending = read.parts.first().and_then(|part| part.name().rsplit_once('.'));
    let is_own = |known: &&str| ending.is_some_and(|(_, own)| own.eq_ignore_ascii_case(known));
    let own = description.writes.iter().copied().find(is_own);
    match own.or(description.writes.first().copied()) {
        Some(ending) => Ok((read.plugin, Some(ending))),
        None => Err(Fault::Usage(format!("the format {} is not written", description.id))),
    }
}

/// The input with changes in it.
struct Patched {
    parts: Vec<Bytes>,
    /// Changes that are not in it.
    losses: Vec<Loss>,
}

/// The input with the changes in it and everything else as it stands; nothing where the format has no such way, or
/// where the file then would not say the very same as the corrected schedule.
///
/// A model holds far more than a schedule, so that one that lacks a change is better than one that lacks the rest.
fn patched(
    plugin: &dyn Plugin,
    of: &OfInput<'_>,
    content: &Content<'_>,
    options: WriteOptions<'_>,
) -> Result<Option<Patched>, WriteError> {
    let parts: Vec<&dyn Part> = of.read.parts.iter().map(AsRef::as_ref).collect();
    let mut draft = parts::Draft::default();
    let losses = match plugin.patch_mapped(Parts(&parts), content, options, &of.mapping, &mut draft)
    {
        Ok(losses) if losses.is_empty() || plugin.takes_layout() => losses,
        Ok(_) | Err(WriteError::Unsupported(_)) => return Ok(None),
        Err(error) => return Err(error),
    };
    let patched = draft.parts();
    let parts: Vec<&dyn Part> = patched.iter().map(|part| part as &dyn Part).collect();
    let again = restrand_intake::read_mapped(plugin, Parts(&parts), Budget::default(), &of.mapping);
    let Ok(again) = again else { return Ok(None) };
    let mut expected = content.schedule.clone();
    for change in content.changes {
        let name = change.route.names().join(".");
        if losses.iter().any(|loss| loss.route == name) {
            let before = change.route.view(&of.read.reading.schedule).to_value();
            if change.route.set(&mut expected, before).is_err() {
                return Ok(None);
            }
        }
    }
    Ok((again.schedule == expected).then_some(Patched { parts: patched, losses }))
}
