//! What a plugin's process may take.

use std::time::Duration;

/// What one call may take.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Time from the start of the process to the end of the call.
    pub time: Duration,
    /// Memory of the process, where the system can limit it.
    pub memory_bytes: u64,
}

impl Default for Limits {
    fn default() -> Self {
        Self { time: Duration::from_secs(120), memory_bytes: 4 << 30 }
    }
}

/// Holds this process to limits for the rest of its life, where the system can do that.
///
/// The process writes no files and leaves no image of its memory when it crashes, and ends with its parent.
#[cfg(unix)]
pub(super) fn hold(limits: Limits) -> std::io::Result<()> {
    use rustix::process::{Resource, Rlimit, setrlimit};
    let to = |most: u64| Rlimit { current: Some(most), maximum: Some(most) };
    setrlimit(Resource::Core, to(0))?;
    setrlimit(Resource::Fsize, to(0))?;
    // The host looks at the clock; this ends a process that has lost its host.
    setrlimit(Resource::Cpu, to(limits.time.as_secs().saturating_mul(4) + 1))?;
    // Some systems know no limit of the address space.
    #[cfg(target_os = "linux")]
    {
        setrlimit(Resource::As, to(limits.memory_bytes))?;
        rustix::process::set_parent_process_death_signal(Some(rustix::process::Signal::KILL))?;
    }
    Ok(())
}

/// Elsewhere the host's clock and its count of bytes have to do.
#[cfg(not(unix))]
pub(super) fn hold(_: Limits) -> std::io::Result<()> {
    Ok(())
}
