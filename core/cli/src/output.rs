//! Where output goes: standard output, standard error, or a file that appears whole or not at all.

use std::fs;
use std::io::{self, BufWriter, IsTerminal, Write};
use std::path::{Path, PathBuf};

use restrand_report::terminal::{self, Look};

use crate::arguments::Color;
use crate::fault::Fault;
use crate::scratch::Scratch;

/// Columns where there is no terminal to ask.
const WIDTH: usize = 100;
/// Lines longer than this are hard to read on any terminal.
const WIDEST: usize = 160;

/// The streams of the program and how they are to look.
pub(crate) struct Streams {
    color: Color,
}

impl Streams {
    pub(crate) const fn new(color: Color) -> Self {
        Self { color }
    }

    fn colour(&self, terminal: bool) -> bool {
        match self.color {
            Color::Always => true,
            Color::Never => false,
            Color::Auto => {
                let is_set = |name| std::env::var_os(name).is_some_and(|value| !value.is_empty());
                let dumb = std::env::var_os("TERM").is_some_and(|term| term == "dumb");
                terminal && !is_set("NO_COLOR") && !dumb
            }
        }
    }

    /// How standard output is to look, or a file.
    pub(crate) fn look(&self, to_file: bool, all: bool) -> Look {
        let terminal = !to_file && io::stdout().is_terminal();
        let width = if terminal {
            terminal_size::terminal_size().map_or(WIDTH, |(width, _)| usize::from(width.0))
        } else {
            WIDTH
        };
        Look { width: width.min(WIDEST), colour: self.colour(terminal), all }
    }

    /// Says on standard error why the run ends.
    pub(crate) fn complain(&self, fault: &Fault) {
        let mut text = Vec::new();
        let written = match fault {
            Fault::Usage(why) => writeln!(text, "error: {why}"),
            Fault::Plugin { why, help } => writeln!(text, "error: {why}\n  help: {help}"),
            Fault::Rulebook { error, text: book } => {
                let look = Look {
                    width: WIDTH,
                    colour: self.colour(io::stderr().is_terminal()),
                    all: false,
                };
                terminal::rulebook_fault(&mut text, error, book, look)
            }
            Fault::Output { file: Some(file), error } => {
                writeln!(text, "error: {} cannot be written: {error}", file.display())
            }
            Fault::Output { file: None, error } => {
                writeln!(text, "error: standard output cannot be written: {error}")
            }
        };
        // If standard error is closed there is nowhere left to say so.
        let _ = written.and_then(|()| io::stderr().write_all(&text));
    }
}

/// Standard output while somebody reads it, and then nothing.
///
/// That its reader has gone ends no run: the exit code speaks of all inputs.
struct WhileRead<W> {
    out: W,
    gone: bool,
}

impl<W: Write> WhileRead<W> {
    fn unless_gone<T>(
        &mut self,
        instead: T,
        write: impl FnOnce(&mut W) -> io::Result<T>,
    ) -> io::Result<T> {
        if self.gone {
            return Ok(instead);
        }
        match write(&mut self.out) {
            Err(error) if error.kind() == io::ErrorKind::BrokenPipe => {
                self.gone = true;
                Ok(instead)
            }
            result => result,
        }
    }
}

impl<W: Write> Write for WhileRead<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.unless_gone(bytes.len(), |out| out.write(bytes))
    }

    fn flush(&mut self) -> io::Result<()> {
        self.unless_gone((), Write::flush)
    }
}

/// Writes to standard output; that its reader has gone is no fault.
pub(crate) fn to_stdout(write: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> Result<(), Fault> {
    let mut out = BufWriter::new(WhileRead { out: io::stdout().lock(), gone: false });
    write(&mut out).and_then(|()| out.flush()).map_err(|error| Fault::Output { file: None, error })
}

/// Writes to standard error, where standard output has something else.
pub(crate) fn to_stderr(write: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> Result<(), Fault> {
    let mut out = BufWriter::new(WhileRead { out: io::stderr().lock(), gone: false });
    write(&mut out).and_then(|()| out.flush()).map_err(|error| Fault::Output { file: None, error })
}

/// Writes a file beside its place and puts it there when it is whole.
pub(crate) fn to_file(
    path: &Path,
    write: impl FnOnce(&mut dyn Write) -> io::Result<()>,
) -> Result<(), Fault> {
    let fault = |error| Fault::Output { file: Some(path.to_owned()), error };
    if path.is_dir() {
        return Err(Fault::Usage(format!("{} is a folder; name a file", path.display())));
    }
    let mut aside = Aside::of(path).map_err(fault)?;
    write(&mut aside).map_err(fault)?;
    aside.put()
}

/// The folder that a path stands in.
pub(crate) fn parent(path: &Path) -> PathBuf {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_owned(),
        _ => PathBuf::from("."),
    }
}

/// A file that is written beside its place.
pub(crate) struct Aside {
    path: PathBuf,
    file: Place,
}

/// Where the bytes go until the file is whole.
enum Place {
    /// Beside the file.
    Beside(BufWriter<Scratch>),
    /// Into a pipe or a device, which is written to, not put aside.
    Device(BufWriter<fs::File>),
}

impl Aside {
    /// A file for this path; nothing stands there yet.
    pub(crate) fn of(path: &Path) -> io::Result<Self> {
        if fs::metadata(path).is_ok_and(|kind| !kind.is_file() && !kind.is_dir()) {
            let file = fs::OpenOptions::new().write(true).open(path)?;
            return Ok(Self { path: path.to_owned(), file: Place::Device(BufWriter::new(file)) });
        }
        // A link keeps pointing at the file, which is what gets new content.
        let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
        let file = Scratch::in_folder(&parent(&target))?;
        Ok(Self { path: target, file: Place::Beside(BufWriter::new(file)) })
    }

    /// Puts the file in its place.
    pub(crate) fn put(self) -> Result<(), Fault> {
        let Self { path, file } = self;
        let put = match file {
            Place::Device(mut file) => file.flush(),
            Place::Beside(file) => file
                .into_inner()
                .map_err(std::io::IntoInnerError::into_error)
                .and_then(|file| file.put(&path)),
        };
        put.map_err(|error| Fault::Output { file: Some(path), error })
    }
}

impl Write for Aside {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match &mut self.file {
            Place::Beside(file) => file.write(bytes),
            Place::Device(file) => file.write(bytes),
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        match &mut self.file {
            Place::Beside(file) => file.flush(),
            Place::Device(file) => file.flush(),
        }
    }
}
