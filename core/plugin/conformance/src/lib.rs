//! What every format plugin must keep, as named cases.
//!
//! The cases run on restrand's own plugins and on those of others alike; `restrand plugin test` shows them.
//! A plugin that is to be tested without harm to the caller is handed over as one that runs in a process of its
//! own: a crash or a hang is then an outcome.
//!
//! This crate must not know any format, nor how plugins are opened.

mod cases;
mod collect;
mod sample;
mod sources;

use std::fmt;
use std::panic::{AssertUnwindSafe, catch_unwind};

pub use sample::schedule;

use restrand_kit::{Bytes, Confidence, Failure, FailureKind, LoadError, Parts, Plugin};

/// How a plugin is asked whether parts are of its format.
pub type Ask<'a> = dyn Fn(Parts<'_>) -> Result<Confidence, LoadError> + Sync + 'a;

/// A plugin under test.
#[derive(Clone, Copy)]
pub struct Subject<'a> {
    /// The plugin.
    pub plugin: &'a dyn Plugin,
    /// Its probing, with what fails while it looks.
    pub ask: &'a Ask<'a>,
    /// Files of its format, besides those that it writes itself.
    pub samples: &'a [Bytes],
}

/// How a case ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome {
    /// The plugin keeps it.
    Pass,
    /// It does not: why.
    Fail(String),
    /// It crashed.
    Crash(String),
    /// It did not come to an end in time.
    Timeout(String),
    /// It cannot be tested with this plugin: why.
    Skip(String),
}

impl Outcome {
    /// Whether nothing is known against the plugin.
    #[must_use]
    pub const fn is_good(&self) -> bool {
        matches!(self, Self::Pass | Self::Skip(_))
    }

    /// The word for it.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Fail(_) => "fail",
            Self::Crash(_) => "crash",
            Self::Timeout(_) => "timeout",
            Self::Skip(_) => "skip",
        }
    }
}

impl fmt::Display for Outcome {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Pass => f.write_str(self.word()),
            Self::Fail(why) | Self::Crash(why) | Self::Timeout(why) | Self::Skip(why) => {
                write!(f, "{}: {why}", self.word())
            }
        }
    }
}

/// Why a case does not pass.
type Verdict = Result<(), Outcome>;

fn fail<T>(why: impl Into<String>) -> Result<T, Outcome> {
    Err(Outcome::Fail(why.into()))
}

fn skip<T>(why: impl Into<String>) -> Result<T, Outcome> {
    Err(Outcome::Skip(why.into()))
}

impl From<Failure> for Outcome {
    fn from(failure: Failure) -> Self {
        match failure.kind {
            FailureKind::Crashed => Self::Crash(failure.why),
            FailureKind::TimedOut => Self::Timeout(failure.why),
            FailureKind::Misbehaved => Self::Fail(failure.why),
        }
    }
}

/// Something that a plugin must keep.
#[derive(Clone, Copy)]
pub struct Case {
    /// The name.
    pub name: &'static str,
    /// What the plugin must do, as a sentence.
    pub about: &'static str,
    run: fn(&Subject<'_>) -> Verdict,
}

impl Case {
    /// Tries the case on a plugin.
    #[must_use]
    pub fn run(&self, subject: &Subject<'_>) -> Outcome {
        match catch_unwind(AssertUnwindSafe(|| (self.run)(subject))) {
            Ok(Ok(())) => Outcome::Pass,
            Ok(Err(outcome)) => outcome,
            Err(panic) => {
                let said = panic
                    .downcast_ref::<String>()
                    .map(String::as_str)
                    .or_else(|| panic.downcast_ref::<&str>().copied());
                Outcome::Crash(format!("it panicked: {}", said.unwrap_or("without a word")))
            }
        }
    }
}

/// Every case, in the order in which they are shown.
pub const CASES: &[Case] = cases::ALL;

/// The case of this name.
#[must_use]
pub fn find(name: &str) -> Option<&'static Case> {
    CASES.iter().find(|case| case.name == name)
}
