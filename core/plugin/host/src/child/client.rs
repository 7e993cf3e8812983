//! The host's side: starts a process for a call, answers it, and ends it.

use std::ffi::OsString;
use std::io::{self, BufReader, BufWriter, Read};
use std::path::{Path, PathBuf};
use std::process::{self, ChildStderr, ChildStdin, ChildStdout, Command, ExitStatus, Stdio};
use std::sync::mpsc::{self, RecvTimeoutError};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::Duration;

use restrand_kit::{Budget, Part};

use super::limits::Limits;
use super::message::{Asked, Fault, LONGEST, PartHead, Request, hear, letter, say};
use crate::call::{Call, Caller, Ended, Flow, Taker, sealed};
use crate::{Foreign, HostError};

/// Bytes of a part up to which it is handed over at once.
const SMALL: u64 = 4 << 20;

/// How the process of a plugin is started: it calls [`serve`](super::serve) with the path that it is given as its
/// last argument.
#[derive(Debug, Clone)]
pub struct Server {
    /// The program.
    pub program: PathBuf,
    /// Its arguments, before the path.
    pub arguments: Vec<OsString>,
}

/// A plugin that runs in processes of its own.
pub type Isolated = Foreign<Processes>;

impl Isolated {
    /// The plugin of the library at this path, once it has described itself.
    ///
    /// # Errors
    /// It is no plugin of this ABI, or it cannot describe itself within the limits.
    pub fn open(path: &Path, server: Server, limits: Limits) -> Result<Self, HostError> {
        // The process stands in another folder.
        let whole = path.canonicalize().map_err(|error| match error.kind() {
            io::ErrorKind::NotFound => HostError::NoSuchFile(path.to_owned()),
            _ => HostError::NotALibrary { path: path.to_owned(), said: error.to_string() },
        })?;
        Self::new(Processes { path: whole, server, limits }, path.to_owned())
    }
}

/// Makes each call in a process of its own.
#[derive(Debug)]
pub struct Processes {
    path: PathBuf,
    server: Server,
    limits: Limits,
}

impl Caller for Processes {}

impl sealed::Caller for Processes {
    #[expect(private_interfaces, reason = "no other crate can name or implement this trait")]
    fn call(&self, call: Call<'_>, taker: &mut dyn Taker) -> Result<Ended, HostError> {
        let mut running = Running::start(self)?;
        let talked = running.talk(&call, self.limits, taker);
        let (ending, said) = running.end();
        match talked {
            Ok(ended) => Ok(ended),
            Err(Talk::Fault(fault)) => Err(HostError::Said { why: fault.why, help: fault.help }),
            Err(Talk::Garbled(why)) => Err(HostError::Garbled(why)),
            Err(Talk::Broken(error)) => Err(match ending {
                Ending::TimedOut => HostError::TimedOut { seconds: self.limits.time.as_secs() },
                Ending::Itself(status) => HostError::Crashed { how: how(status), said },
                Ending::Unknown => HostError::Crashed { how: error.to_string(), said },
            }),
        }
    }
}

/// Why the talk did not come to its end.
enum Talk {
    /// The process says so.
    Fault(Fault),
    /// It says what it must not.
    Garbled(String),
    /// It has gone.
    Broken(io::Error),
}

impl From<io::Error> for Talk {
    fn from(error: io::Error) -> Self {
        if error.kind() == io::ErrorKind::InvalidData {
            Self::Garbled(error.to_string())
        } else {
            Self::Broken(error)
        }
    }
}

/// How the process ended.
enum Ending {
    TimedOut,
    Itself(ExitStatus),
    Unknown,
}

/// A process that runs, or has run and is not yet reaped; it never outlives this.
struct Running {
    child: Arc<Mutex<process::Child>>,
    to: Option<BufWriter<ChildStdin>>,
    from: BufReader<ChildStdout>,
    printed: mpsc::Receiver<String>,
    /// Tells the clock that the call is over, by going away.
    clock: Option<mpsc::Sender<()>>,
    watch: Option<thread::JoinHandle<bool>>,
}

impl Running {
    fn start(processes: &Processes) -> Result<Self, HostError> {
        let Processes { path, server, limits } = processes;
        let mut command = Command::new(&server.program);
        command
            .args(&server.arguments)
            .arg(path)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        #[cfg(unix)]
        {
            use std::os::unix::process::CommandExt;
            // A group of its own can be ended with all that the plugin may have started; the folder and the
            // environment are none of a plugin's business, but that libraries may need to find others.
            command.process_group(0).current_dir("/").env_clear();
            for name in ["LD_LIBRARY_PATH", "DYLD_LIBRARY_PATH"] {
                if let Some(value) = std::env::var_os(name) {
                    command.env(name, value);
                }
            }
        }
        let mut child = command.spawn().map_err(HostError::NotStarted)?;
        let (Some(to), Some(from), Some(printed)) =
            (child.stdin.take(), child.stdout.take(), child.stderr.take())
        else {
            unreachable!("all three streams were asked for");
        };
        let child = Arc::new(Mutex::new(child));
        let (clock, rung) = mpsc::channel();
        let watched = Arc::clone(&child);
        let time = limits.time;
        let watch = thread::spawn(move || {
            let is_late = rung.recv_timeout(time) == Err(RecvTimeoutError::Timeout);
            if is_late {
                kill(&watched);
            }
            is_late
        });
        Ok(Self {
            child,
            to: Some(BufWriter::new(to)),
            from: BufReader::new(from),
            printed: gather(printed),
            clock: Some(clock),
            watch: Some(watch),
        })
    }

    /// Asks, and answers until the call has ended.
    fn talk(
        &mut self,
        call: &Call<'_>,
        limits: Limits,
        taker: &mut dyn Taker,
    ) -> Result<Ended, Talk> {
        let Some(to) = self.to.as_mut() else {
            unreachable!("the stream is let go only when the process is ended");
        };
        let parts = call.parts().0;
        ask(call, limits, parts, to)?;
        let mut heard = Vec::new();
        let mut medium = None;
        let mut name = String::new();
        loop {
            match hear(&mut self.from, LONGEST, &mut heard)? {
                letter::LINES => {
                    let answer = match taker.lines(&heard) {
                        Flow::GoOn => letter::GO_ON,
                        Flow::Stop => letter::STOP,
                    };
                    say(to, answer, &[])?;
                }
                letter::READ => match read(parts, &heard)? {
                    Ok(bytes) => say(to, letter::BYTES, &bytes)?,
                    Err(error) => {
                        say(to, letter::MEDIUM, error.to_string().as_bytes())?;
                        medium = Some(error);
                    }
                },
                letter::NAME => {
                    name = String::from_utf8(std::mem::take(&mut heard)).map_err(|_| {
                        Talk::Garbled("the name of a written part is not UTF-8".to_owned())
                    })?;
                }
                letter::WRITTEN => match taker.write(&name, &heard) {
                    Ok(()) => say(to, letter::GO_ON, &[])?,
                    Err(error) => {
                        say(to, letter::MEDIUM, error.to_string().as_bytes())?;
                        medium = Some(error);
                    }
                },
                letter::DONE => {
                    let [status, confidence] = numbers(&heard)?;
                    let status = i32::from_le_bytes(status);
                    let confidence = u32::from_le_bytes(confidence);
                    return Ok(Ended { status, confidence, medium });
                }
                letter::FAULT => {
                    let fault = serde_json::from_slice(&heard)
                        .map_err(|error| Talk::Garbled(error.to_string()))?;
                    return Err(Talk::Fault(fault));
                }
                other => return Err(Talk::Garbled(format!("a message of the kind {other}"))),
            }
        }
    }

    /// Ends the process, if it has not ended, and says how it ended and what it printed last.
    fn end(mut self) -> (Ending, String) {
        let ending = self.reap();
        // Something that the plugin started may hold the stream open.
        let printed = self.printed.recv_timeout(Duration::from_millis(200)).unwrap_or_default();
        (ending, printed)
    }

    fn reap(&mut self) -> Ending {
        let Some(watch) = self.watch.take() else {
            return Ending::Unknown;
        };
        drop(self.to.take());
        // A process that crashed has closed its streams just before it ends, and it is worth knowing how.
        let mut ended = None;
        for _ in 0..100 {
            let mut child = self.child.lock().unwrap_or_else(PoisonError::into_inner);
            if let Ok(Some(status)) = child.try_wait() {
                ended = Some(status);
                break;
            }
            drop(child);
            thread::sleep(Duration::from_millis(1));
        }
        drop(self.clock.take());
        let is_late = watch.join().unwrap_or(false);
        if ended.is_none() {
            kill(&self.child);
        }
        let waited = self.child.lock().unwrap_or_else(PoisonError::into_inner).wait();
        match (is_late, ended, waited) {
            (true, _, _) => Ending::TimedOut,
            (false, Some(status), _) => Ending::Itself(status),
            (false, None, _) => Ending::Unknown,
        }
    }
}

impl Drop for Running {
    /// Where the taker panics, the process is ended nevertheless.
    fn drop(&mut self) {
        self.reap();
    }
}

/// Ends the process and all that it started.
fn kill(child: &Mutex<process::Child>) {
    let mut child = child.lock().unwrap_or_else(PoisonError::into_inner);
    // Once it is reaped its number may be another's.
    if !matches!(child.try_wait(), Ok(None)) {
        return;
    }
    #[cfg(unix)]
    if let Some(group) = i32::try_from(child.id()).ok().and_then(rustix::process::Pid::from_raw) {
        // If the group has gone there is nothing left to end.
        let _ = rustix::process::kill_process_group(group, rustix::process::Signal::KILL);
    }
    // Likewise.
    let _ = child.kill();
}

/// Keeps the end of what a process prints, and hands it over when the process has closed the stream.
fn gather(mut printed: ChildStderr) -> mpsc::Receiver<String> {
    /// Bytes that are kept.
    const KEPT: usize = 300;
    let (gathered, end) = mpsc::channel();
    thread::spawn(move || {
        let mut kept = Vec::new();
        let mut buffer = [0; 4096];
        while let Ok(count @ 1..) = printed.read(&mut buffer) {
            kept.extend_from_slice(&buffer[..count]);
            kept.drain(..kept.len().saturating_sub(KEPT));
        }
        let text = String::from_utf8_lossy(&kept);
        let shown = text.chars().map(|c| if c.is_control() { ' ' } else { c });
        // The call may be over.
        let _ = gathered.send(shown.collect::<String>().trim().to_owned());
    });
    end
}

/// Asks a process for a call.
fn ask(
    call: &Call<'_>,
    limits: Limits,
    parts: &[&dyn Part],
    to: &mut BufWriter<ChildStdin>,
) -> io::Result<()> {
    let (asked, budget) = match call {
        Call::Describe => (Asked::Describe, Budget::default()),
        Call::Probe(_) => (Asked::Probe, Budget::default()),
        Call::Load(_, budget) => (Asked::Load, *budget),
        Call::Write(_) => (Asked::Write, Budget::default()),
        Call::Patch(..) => (Asked::Patch, Budget::default()),
    };
    // A part that cannot be read is left to be asked for, when there is somebody to tell.
    let small: Vec<Option<Vec<u8>>> = parts.iter().map(|part| whole(*part)).collect();
    let head = |(part, whole): (&&dyn Part, &Option<Vec<u8>>)| PartHead {
        name: part.name().to_owned(),
        length: part.len(),
        follows: whole.is_some(),
    };
    let request = Request {
        call: asked,
        parts: parts.iter().zip(&small).map(head).collect(),
        unpacked_bytes: budget.unpacked_bytes,
        depth: budget.depth,
        time_seconds: limits.time.as_secs(),
        memory_bytes: limits.memory_bytes,
    };
    say(to, letter::REQUEST, &serde_json::to_vec(&request)?)?;
    for bytes in small.into_iter().flatten() {
        say(to, letter::BYTES, &bytes)?;
    }
    say(to, letter::BYTES, call.content())
}

/// All bytes of a part that is small.
fn whole(part: &dyn Part) -> Option<Vec<u8>> {
    let length = usize::try_from(part.len()).ok().filter(|_| part.len() <= SMALL)?;
    if let Some(slice) = part.slice() {
        return Some(slice.to_vec());
    }
    let mut bytes = vec![0; length];
    let mut filled = 0;
    while filled < length {
        match part.read_at(filled as u64, &mut bytes[filled..]) {
            Ok(count @ 1..) => filled += count,
            _ => return None,
        }
    }
    Some(bytes)
}

/// Reads what a process asks for.
fn read(parts: &[&dyn Part], asked: &[u8]) -> Result<io::Result<Vec<u8>>, Talk> {
    let garbled = || Talk::Garbled("it asks for what is not there to be read".to_owned());
    let (number, rest) = asked.split_first_chunk::<4>().ok_or_else(garbled)?;
    let (offset, rest) = rest.split_first_chunk::<8>().ok_or_else(garbled)?;
    let (wanted, _) = rest.split_first_chunk::<8>().ok_or_else(garbled)?;
    let number = usize::try_from(u32::from_le_bytes(*number)).map_err(|_| garbled())?;
    let part = parts.get(number).ok_or_else(garbled)?;
    let offset = u64::from_le_bytes(*offset);
    // No more than there is, so that asking for much costs nothing.
    let wanted = u64::from_le_bytes(*wanted).min(LONGEST).min(part.len().saturating_sub(offset));
    let mut bytes = vec![0; usize::try_from(wanted).map_err(|_| garbled())?];
    Ok(part.read_at(offset, &mut bytes).map(|count| {
        bytes.truncate(count);
        bytes
    }))
}

/// The two numbers of a message.
fn numbers(heard: &[u8]) -> Result<[[u8; 4]; 2], Talk> {
    match heard.as_chunks::<4>() {
        ([one, other], []) => Ok([*one, *other]),
        _ => Err(Talk::Garbled("it does not say how the call ended".to_owned())),
    }
}

/// How a process ended that was not ended by the host.
fn how(status: ExitStatus) -> String {
    #[cfg(unix)]
    {
        use std::os::unix::process::ExitStatusExt;
        if let Some(signal) = status.signal() {
            let name = rustix::process::Signal::from_named_raw(signal).map(|signal| match signal {
                rustix::process::Signal::ABORT => "abort, as when memory runs out",
                rustix::process::Signal::SEGV => "a pointer that leads nowhere",
                rustix::process::Signal::BUS => "a pointer that leads nowhere",
                rustix::process::Signal::ILL => "an instruction that there is not",
                rustix::process::Signal::FPE => "a division that cannot be",
                rustix::process::Signal::XFSZ => "it wrote to a file",
                rustix::process::Signal::XCPU => "it used up its time",
                rustix::process::Signal::KILL => "ended from outside",
                _ => "a signal",
            });
            return format!("signal {signal} ({})", name.unwrap_or("a signal"));
        }
    }
    match status.code() {
        Some(code) => format!("its process ended with code {code}"),
        None => "its process ended".to_owned(),
    }
}
