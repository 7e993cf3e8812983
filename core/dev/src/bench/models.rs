//! Models for benches, and the figures that reading them is held against.

use std::fs::{self, File};
use std::io::BufReader;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use quick_xml::events::Event;
use restrand_check::{layout, rulebook::built_in_force};
use restrand_ifcspf::IfcSpf;
use restrand_ifcxml::IfcXml;
use restrand_intake::FilePart;
use restrand_kit::{Budget, Content, Frame, Parts, Plugin, WriteOptions};
use restrand_model::reading::Provenance;

use super::{BareRead, BenchError, tendons};
use crate::output::OnePart;

/// Tendons of the model.
pub const MODEL: usize = 800;

/// The format of a model, by the ending of its file.
fn format_of(path: &Path) -> Result<&'static dyn Plugin, BenchError> {
    match path.extension().and_then(|ending| ending.to_str()) {
        Some("ifc") => Ok(&IfcSpf),
        Some("ifcxml") => Ok(&IfcXml),
        _ => Err(BenchError::NoModel(path.to_owned())),
    }
}

/// Writes a model of so many tendons with all that hangs on them, in the format of the file's ending.
///
/// What the format cannot carry is left out: the demo bridge has tables of rooms that no model holds.
///
/// # Errors
/// The file's ending is that of no model, or it cannot be written.
pub fn model(count: usize, path: &Path) -> Result<(), BenchError> {
    let format = format_of(path)?;
    let schedule = tendons(count);
    let book = built_in_force("base").map_err(|error| BenchError::Book(error.message))?;
    let (provenance, layout) = (Provenance::default(), layout(&schedule, &book));
    let content = Content { layout: Some(&layout), ..Content::new(&schedule, &provenance) };
    let mut output = OnePart::default();
    format.write(&content, WriteOptions::default(), &mut output)?;
    fs::write(path, output.0)?;
    Ok(())
}

/// Reads all events of a model as XML, and does nothing with them.
pub(super) fn events(path: &Path) -> Result<BareRead, BenchError> {
    let start = Instant::now();
    let mut reader = quick_xml::Reader::from_reader(BufReader::new(File::open(path)?));
    let mut buffer = Vec::new();
    let mut count = 0;
    loop {
        match reader.read_event_into(&mut buffer)? {
            Event::Eof => break,
            event => {
                std::hint::black_box(event);
                count += 1;
            }
        }
        buffer.clear();
    }
    Ok(BareRead { count, what: "events", time: start.elapsed(), peak_bytes: peak_bytes() })
}

/// Has ifcopenshell open a model, in the Python environment that the tests use.
pub(super) fn opened(path: &Path) -> Result<BareRead, BenchError> {
    /// Prints the number of entities, the nanoseconds and the most kilobytes that were taken.
    const SCRIPT: &str = "\
import resource, sys, time
import ifcopenshell
start = time.perf_counter_ns()
model = ifcopenshell.open(sys.argv[1])
time_ns = time.perf_counter_ns() - start
peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
print(len(model.entity_names()), time_ns, peak)
";
    let python = std::env::var_os("RESTRAND_PYTHON").map_or_else(
        || Path::new(env!("CARGO_MANIFEST_DIR")).join("../../target/outside/bin/python"),
        PathBuf::from,
    );
    let output = Command::new(&python).args(["-c", SCRIPT]).arg(path).output()?;
    let said = String::from_utf8_lossy(&output.stdout);
    let numbers: Vec<u64> = said.split_whitespace().filter_map(|word| word.parse().ok()).collect();
    let [count, nanoseconds, kilobytes] = numbers[..] else {
        return Err(BenchError::Outside(String::from_utf8_lossy(&output.stderr).into_owned()));
    };
    Ok(BareRead {
        count,
        what: "entities",
        time: Duration::from_nanos(nanoseconds),
        peak_bytes: Some(kilobytes * 1024),
    })
}

/// Reads a model to records, as its plugin hands them over, and drops them.
///
/// # Errors
/// The file is not there, or is no model.
pub fn load(path: &Path) -> Result<BareRead, BenchError> {
    let format = format_of(path)?;
    let start = Instant::now();
    let part = FilePart::open(path, path.display().to_string())?;
    let mut count = 0;
    let mut take = |frame| {
        count += u64::from(matches!(frame, Frame::Record(_)));
        Ok(())
    };
    format.load(Parts(&[&part]), Budget::default(), &mut take).map_err(Box::new)?;
    Ok(BareRead { count, what: "records", time: start.elapsed(), peak_bytes: peak_bytes() })
}

/// The most memory that this process took, where the system tells it.
pub(super) fn peak_bytes() -> Option<u64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    let kilobytes: u64 = line.split_whitespace().next()?.parse().ok()?;
    Some(kilobytes * 1024)
}
