//! Mapping files: the one that `--mapping` names, or `restrand.toml` beside the input; and the command that begins
//! one.

use std::collections::BTreeMap;
use std::fs;
use std::io::{Read, Write};
use std::path::Path;

use restrand_kit::Plugin;
use restrand_kit::recognise::{Mapping, MappingSource, starter};

use crate::arguments::NewMapping;
use crate::done;
use crate::fault::Fault;
use crate::output::{Streams, to_file, to_stdout};
use crate::plugins::Registry;
use crate::spare::{self, Beside};
use crate::{End, input};

/// The name of the file that holds beside an input, or in a folder of tables.
pub(crate) const BESIDE: &str = "restrand.toml";
/// The longest mapping file that is read.
const LONGEST: u64 = 4 << 20;

/// The mapping that holds for an input; an empty one where none is named and none lies beside it.
pub(crate) fn of(asked: Option<&Path>, input: &Path) -> Result<Mapping, Fault> {
    if let Some(path) = asked {
        return read(path);
    }
    if input::is_stdin(input) {
        return Ok(Mapping::default());
    }
    // A folder of tables has its own.
    let folder = if input.is_dir() { input } else { input.parent().unwrap_or(Path::new("")) };
    let beside = folder.join(BESIDE);
    if beside.is_file() { read(&beside) } else { Ok(Mapping::default()) }
}

/// Refuses a mapping file that was named for an input whose format takes none.
pub(crate) fn is_taken(asked: Option<&Path>, name: &str, plugin: &dyn Plugin) -> Result<(), Fault> {
    if asked.is_none() || plugin.takes_mapping() {
        return Ok(());
    }
    Err(Fault::Usage(format!(
        "{name} is read as {}, which takes no mapping file; leave --mapping out",
        plugin.describe().id
    )))
}

fn read(path: &Path) -> Result<Mapping, Fault> {
    let fault = |why: String| {
        Fault::Usage(format!("the mapping file {} cannot be used: {why}", path.display()))
    };
    let mut text = String::new();
    let file = fs::File::open(path).map_err(|error| fault(error.to_string()))?;
    file.take(LONGEST).read_to_string(&mut text).map_err(|error| fault(error.to_string()))?;
    let mut mapping: Mapping = toml::from_str(&text).map_err(|error| {
        let line = error.span().map_or(0, |span| text[..span.start].matches('\n').count()) + 1;
        fault(format!("line {line}: {}", error.message()))
    })?;
    let faults = mapping.faults();
    let name = path
        .file_name()
        .map_or_else(|| path.display().to_string(), |name| name.display().to_string());
    let source = MappingSource { name, text };
    if faults.is_empty() {
        mapping.source = Some(source);
        return Ok(mapping);
    }
    // The same may be wrong in several places, one for each fault.
    let mut after: BTreeMap<String, usize> = BTreeMap::new();
    let faults: Vec<String> = faults
        .into_iter()
        .map(|one| {
            let from = after.entry(one.given.clone()).or_default();
            let line = source.line_of(&one.given, *from);
            *from = line;
            format!("line {line}: {}", one.why)
        })
        .collect();
    Err(fault(faults.join("; ")))
}

/// Runs the command `mapping new`.
pub(crate) fn new(options: &NewMapping, _: &Streams) -> Result<End, Fault> {
    let registry = Registry::new(&options.plugins)?;
    let from = options.from.as_deref().map(|id| registry.named(id)).transpose()?;
    let name = input::shown(&options.file);
    let output = options.output.as_deref().filter(|path| !input::is_stdin(path));
    if let Some(output) = output {
        // A mapping is worked on by hand.
        if output.exists() {
            return Err(Fault::Usage(format!(
                "{} is there already; name a new file",
                output.display()
            )));
        }
        spare::inputs(output, [options.file.as_ref()].into_iter(), Beside::default())?;
    }
    let read = match done::read(&registry, &options.file, &name, from, &Mapping::default()) {
        Ok(read) => read,
        Err(done) => {
            let why = done.report.findings.first().map(|found| found.finding.message.clone());
            return Err(Fault::Usage(format!(
                "{name} cannot be read: {}",
                why.unwrap_or_default()
            )));
        }
    };
    if read.reading.understood.iter().all(|sheet| sheet.tables.is_empty()) {
        return Err(Fault::Usage(format!(
            "{name} has no table and no property set to be mapped: it is in the schedule's own layout, or nothing was \
             recognised in it"
        )));
    }
    let text = starter(&read.reading.understood, &read.reading.questions);
    let write = |out: &mut dyn Write| out.write_all(text.as_bytes());
    match output {
        Some(path) => to_file(path, write)?,
        None => to_stdout(write)?,
    }
    Ok(End::Clean)
}
