//! A call of a plugin, whatever carries it over.

use std::io;

use restrand_kit::{Budget, Parts};

use crate::HostError;

/// What is asked of a plugin.
#[derive(Clone, Copy)]
pub(crate) enum Call<'a> {
    Describe,
    Probe(Parts<'a>),
    Load(Parts<'a>, Budget),
    /// With the lines of the content.
    Write(&'a [u8]),
    /// With the lines of the content.
    Patch(Parts<'a>, &'a [u8]),
}

impl<'a> Call<'a> {
    /// The parts that the plugin may read.
    pub(crate) const fn parts(&self) -> Parts<'a> {
        match self {
            Self::Describe | Self::Write(_) => Parts(&[]),
            Self::Probe(parts) | Self::Load(parts, _) | Self::Patch(parts, _) => *parts,
        }
    }

    /// The lines of the content that is to be written.
    pub(crate) const fn content(&self) -> &'a [u8] {
        match self {
            Self::Write(content) | Self::Patch(_, content) => content,
            _ => &[],
        }
    }

    /// The most that the plugin may hand over: far more than a schedule has for each byte of its file, yet
    /// little enough that a plugin that never ends is noticed.
    pub(crate) fn most_bytes(&self) -> u64 {
        const FREE: u64 = 64 << 20;
        const FOR_EACH_BYTE: u64 = 64;
        const MOST: u64 = 4 << 30;
        let read: u64 = self.parts().0.iter().map(|part| part.len()).sum();
        let given = read.saturating_add(self.content().len() as u64);
        FREE.saturating_add(given.saturating_mul(FOR_EACH_BYTE)).min(MOST)
    }
}

/// Whether more lines are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Flow {
    GoOn,
    Stop,
}

/// Takes what a call gives.
pub(crate) trait Taker {
    /// Takes whole lines.
    fn lines(&mut self, lines: &[u8]) -> Flow;

    /// Takes bytes of a written part.
    fn write(&mut self, name: &str, bytes: &[u8]) -> io::Result<()>;
}

/// How a call ended that came to its end.
#[derive(Debug)]
pub(crate) struct Ended {
    /// One of the ABI's, or what else the plugin returned.
    pub(crate) status: restrand_abi::RestrandStatus,
    /// What the plugin set while it probed.
    pub(crate) confidence: u32,
    /// What the medium reported while the plugin read or wrote.
    pub(crate) medium: Option<io::Error>,
}

/// Carries calls over to a plugin.
pub trait Caller: Send + Sync + sealed::Caller {}

pub(crate) mod sealed {
    use super::{Call, Ended, HostError, Taker};

    /// What [`super::Caller`] does.
    pub trait Caller {
        /// Makes the call, and returns when it has ended.
        #[expect(private_interfaces, reason = "no other crate can name or implement this trait")]
        fn call(&self, call: Call<'_>, taker: &mut dyn Taker) -> Result<Ended, HostError>;
    }
}
