//! What can be wrong with a plugin, each with its advice.

use std::path::PathBuf;

use restrand_kit::wire::WireError;
use restrand_kit::{Failure, FailureKind};

/// A plugin cannot be opened, or failed.
#[derive(Debug, thiserror::Error)]
pub enum HostError {
    /// There is no such file.
    #[error("there is no file {path}", path = .0.display())]
    NoSuchFile(PathBuf),
    /// The file is no library of this system.
    #[error("{path} is no library that can be opened: {said}", path = path.display())]
    NotALibrary {
        /// The file.
        path: PathBuf,
        /// What the system says.
        said: String,
    },
    /// The library does not export the symbol.
    #[error("it does not export {symbol}", symbol = restrand_abi::SYMBOL.to_string_lossy())]
    SymbolMissing,
    /// The symbol leads to nothing, or to what cannot be a struct.
    #[error("its symbol leads to nothing")]
    NoStruct,
    /// The plugin was made for another ABI.
    #[error("it was made for version {found} of the plugin interface; this release has {known}",
        known = restrand_abi::RESTRAND_ABI_MAJOR)]
    UnknownMajor {
        /// The version it says.
        found: u32,
    },
    /// The struct is shorter than that of its version.
    #[error("its struct has {found} bytes; that of its version has {needed}")]
    ShortStruct {
        /// The size it says.
        found: usize,
        /// The size that is needed.
        needed: usize,
    },
    /// A function of the struct is null.
    #[error("its function {0} is null")]
    NullFunction(&'static str),
    /// A length cannot be true.
    #[error("it handed over {what} with a length that cannot be true: {length}")]
    LyingLength {
        /// What was handed over.
        what: &'static str,
        /// The length that was said.
        length: usize,
    },
    /// A name or a line is not as agreed.
    #[error("what it said is not as agreed: {0}")]
    Wire(#[from] WireError),
    /// A call ended with a status that does not fit.
    #[error("{0}")]
    Status(String),
    /// The plugin says that it failed.
    #[error("{why}")]
    Said {
        /// What it says.
        why: String,
        /// What it advises.
        help: String,
    },
    /// The plugin's process ended before the call did.
    #[error("it crashed: {how}{said}", said = quoted(.said))]
    Crashed {
        /// How the process ended.
        how: String,
        /// The end of what it printed.
        said: String,
    },
    /// The call took longer than it may.
    #[error("it did not come to an end within {seconds} s")]
    TimedOut {
        /// The time it had.
        seconds: u64,
    },
    /// The plugin hands over more than it may.
    #[error("it hands over more than {most} bytes of {what}")]
    Flooded {
        /// What it hands over.
        what: &'static str,
        /// The most it may.
        most: u64,
    },
    /// The process does not speak as agreed, as when the plugin prints.
    #[error("its process does not speak as agreed: {0}")]
    Garbled(String),
    /// The process cannot be started.
    #[error("a process for it cannot be started: {0}")]
    NotStarted(std::io::Error),
}

fn quoted(said: &str) -> String {
    if said.is_empty() { String::new() } else { format!("; it printed: {said}") }
}

impl HostError {
    /// What to do about it.
    #[must_use]
    pub fn help(&self) -> String {
        match self {
            Self::NoSuchFile(_) => "check the name and the folder".to_owned(),
            Self::NotALibrary { .. } => {
                "name a library that was built for this system and this processor".to_owned()
            }
            Self::SymbolMissing | Self::NoStruct | Self::NullFunction(_) => {
                "name a library that was built as a restrand plugin, or report this to its author"
                    .to_owned()
            }
            Self::UnknownMajor { .. } | Self::ShortStruct { .. } => {
                "ask the plugin's author for one that was built for this release".to_owned()
            }
            Self::TimedOut { .. } => {
                "give it more time with --plugin-time-limit, or report this to the plugin's author"
                    .to_owned()
            }
            Self::Said { help, .. } if !help.is_empty() => help.clone(),
            Self::LyingLength { .. }
            | Self::Wire(_)
            | Self::Status(_)
            | Self::Said { .. }
            | Self::Crashed { .. }
            | Self::Flooded { .. }
            | Self::Garbled(_) => {
                "report this to the plugin's author; `restrand plugin test` shows what it does not keep"
                    .to_owned()
            }
            Self::NotStarted(_) => "close other programs, and try again".to_owned(),
        }
    }

    /// The failure, as the kit's errors carry it.
    #[must_use]
    pub fn failure(&self, plugin: &str) -> Failure {
        let kind = match self {
            Self::Crashed { .. } => FailureKind::Crashed,
            Self::TimedOut { .. } => FailureKind::TimedOut,
            _ => FailureKind::Misbehaved,
        };
        Failure { kind, why: format!("the plugin {plugin} failed: {self}"), help: self.help() }
    }
}
