//! The kit's trait over a plugin behind the ABI.

use std::io;
use std::path::{Path, PathBuf};

use restrand_abi as abi;
use restrand_kit::wire::{
    Received, Receiver, Refused, WireError, WireFailure, description, write_content,
};
use restrand_kit::{
    Budget, Confidence, Content, Description, Frame, Frames, LoadError, Loss, Output, Parts,
    Plugin, Stopped, WriteError, WriteOptions,
};

use crate::HostError;
use crate::call::{Call, Caller, Ended, Flow, Taker};

/// A plugin that is a library of its own.
#[derive(Debug)]
pub struct Foreign<C> {
    caller: C,
    path: PathBuf,
    description: Description,
    takes_layout: bool,
}

/// Bytes of a description above which it is none.
const LONGEST_DESCRIPTION: usize = 64 * 1024;

impl<C: Caller> Foreign<C> {
    /// The plugin behind this caller, once it has described itself.
    pub(crate) fn new(caller: C, path: PathBuf) -> Result<Self, HostError> {
        let mut taken = DescriptionTaker { lines: Vec::new(), is_too_long: false };
        let ended = caller.call(Call::Describe, &mut taken)?;
        if taken.is_too_long {
            let most = LONGEST_DESCRIPTION as u64;
            return Err(HostError::Flooded { what: "description", most });
        }
        if ended.status != abi::RESTRAND_OK {
            let mut receiver = Receiver::new(Parts(&[]));
            let _ = receiver.take(&taken.lines, &mut NoFrames);
            return Err(failed(&ended, receiver.finish().failure));
        }
        let read = description(&taken.lines)?;
        // A description lives as long as its library, which is never unloaded.
        let lasting = |text: String| -> &'static str { text.leak() };
        let all = |texts: Vec<String>| -> &'static [&'static str] {
            texts.into_iter().map(lasting).collect::<Vec<_>>().leak()
        };
        let description = Description {
            id: lasting(read.id),
            summary: lasting(read.summary),
            reads: all(read.reads),
            writes: all(read.writes),
        };
        Ok(Self { caller, path, description, takes_layout: read.layout })
    }

    /// The library.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Asks the plugin whether the parts are of its format.
    ///
    /// # Errors
    /// The plugin fails while it looks.
    pub fn ask(&self, parts: Parts<'_>) -> Result<Confidence, LoadError> {
        let mut no_frames = NoFrames;
        let mut taking = Taking::new(&Call::Probe(parts), &mut no_frames, None);
        let ended = self.caller.call(Call::Probe(parts), &mut taking);
        let (ended, _) = self.loaded(taking, ended)?;
        match ended.confidence {
            abi::RESTRAND_CONFIDENCE_NO => Ok(Confidence::No),
            abi::RESTRAND_CONFIDENCE_PERHAPS => Ok(Confidence::Perhaps),
            abi::RESTRAND_CONFIDENCE_SURE => Ok(Confidence::Sure),
            other => {
                let why = format!("it is sure in a way that there is not: {other}");
                Err(self.failure(&HostError::Status(why)).into())
            }
        }
    }

    fn failure(&self, error: &HostError) -> restrand_kit::Failure {
        error.failure(self.description.id)
    }

    /// What a call that reads came to.
    fn loaded(
        &self,
        taking: Taking<'_>,
        ended: Result<Ended, HostError>,
    ) -> Result<(Ended, Received), LoadError> {
        let (refused, received) = taking.finish();
        match refused {
            Some(Trouble::Host(error)) => return Err(self.failure(&error).into()),
            // The plugin may have gone on, or down, for all its taker cares.
            Some(Trouble::Stopped) => return Err(LoadError::Stopped),
            Some(Trouble::Medium(error)) => return Err(LoadError::Medium(error)),
            None => {}
        }
        let mut ended = ended.map_err(|error| self.failure(&error))?;
        match (ended.status, received.failure) {
            (abi::RESTRAND_OK, None) => {
                let received = Received { failure: None, ..received };
                Ok((ended, received))
            }
            (abi::RESTRAND_UNREADABLE, Some(WireFailure { place: Some(place), why, help })) => {
                Err(LoadError::Unreadable { place, why, help })
            }
            (abi::RESTRAND_MEDIUM, failure) => {
                let said = failure.map_or_else(String::new, |failure| failure.why);
                Err(LoadError::Medium(
                    ended.medium.take().unwrap_or_else(|| io::Error::other(said)),
                ))
            }
            (_, failure) => Err(self.failure(&failed(&ended, failure)).into()),
        }
    }

    /// What a call that writes came to.
    fn written(
        &self,
        taking: Taking<'_>,
        ended: Result<Ended, HostError>,
    ) -> Result<Vec<Loss>, WriteError> {
        let (refused, received) = taking.finish();
        match refused {
            Some(Trouble::Host(error)) => return Err(self.failure(&error).into()),
            Some(Trouble::Medium(error)) => return Err(WriteError::Medium(error)),
            Some(Trouble::Stopped) | None => {}
        }
        let mut ended = ended.map_err(|error| self.failure(&error))?;
        match (ended.status, received.failure) {
            (abi::RESTRAND_OK, None) if received.ended => Ok(received.losses),
            (abi::RESTRAND_OK, None) => Err(self.failure(&WireError::Unfinished.into()).into()),
            (abi::RESTRAND_UNSUPPORTED, Some(failure)) => Err(WriteError::Unsupported(failure.why)),
            (abi::RESTRAND_MEDIUM, failure) => {
                let said = failure.map_or_else(String::new, |failure| failure.why);
                Err(WriteError::Medium(
                    ended.medium.take().unwrap_or_else(|| io::Error::other(said)),
                ))
            }
            (_, failure) => Err(self.failure(&failed(&ended, failure)).into()),
        }
    }
}

/// The error of a status that is no good end.
fn failed(ended: &Ended, failure: Option<WireFailure>) -> HostError {
    match (ended.status, failure) {
        (abi::RESTRAND_FAILED, Some(WireFailure { why, help, .. })) => {
            HostError::Said { why, help }
        }
        (abi::RESTRAND_OK, Some(failure)) => {
            HostError::Status(format!("it says all went well, and also: {}", failure.why))
        }
        (abi::RESTRAND_STOPPED, _) => {
            HostError::Status("it stopped though nobody asked".to_owned())
        }
        (status, Some(failure)) => HostError::Status(format!("status {status}: {}", failure.why)),
        (status, None) => HostError::Status(format!("status {status}, and it does not say why")),
    }
}

impl<C: Caller> Plugin for Foreign<C> {
    fn describe(&self) -> Description {
        self.description.clone()
    }

    fn takes_layout(&self) -> bool {
        self.takes_layout
    }

    /// A plugin that fails while it looks is sure of nothing; [`Foreign::ask`] tells of it.
    fn probe(&self, parts: Parts<'_>) -> Confidence {
        self.ask(parts).unwrap_or(Confidence::No)
    }

    fn load(
        &self,
        parts: Parts<'_>,
        budget: Budget,
        frames: &mut dyn Frames,
    ) -> Result<(), LoadError> {
        let call = Call::Load(parts, budget);
        let mut taking = Taking::new(&call, frames, None);
        let ended = self.caller.call(call, &mut taking);
        let (_, received) = self.loaded(taking, ended)?;
        if received.ended {
            Ok(())
        } else {
            Err(self.failure(&WireError::Unfinished.into()).into())
        }
    }

    fn write(
        &self,
        content: &Content<'_>,
        options: WriteOptions<'_>,
        output: &mut dyn Output,
    ) -> Result<Vec<Loss>, WriteError> {
        let mut lines = Vec::new();
        write_content(content, options, &mut lines);
        let call = Call::Write(&lines);
        let mut no_frames = NoFrames;
        let mut taking = Taking::new(&call, &mut no_frames, Some(output));
        let ended = self.caller.call(call, &mut taking);
        self.written(taking, ended)
    }

    fn patch(
        &self,
        parts: Parts<'_>,
        content: &Content<'_>,
        options: WriteOptions<'_>,
        output: &mut dyn Output,
    ) -> Result<Vec<Loss>, WriteError> {
        let mut lines = Vec::new();
        write_content(content, options, &mut lines);
        let call = Call::Patch(parts, &lines);
        let mut no_frames = NoFrames;
        let mut taking = Taking::new(&call, &mut no_frames, Some(output));
        let ended = self.caller.call(call, &mut taking);
        self.written(taking, ended)
    }
}

/// Takes a description.
struct DescriptionTaker {
    lines: Vec<u8>,
    is_too_long: bool,
}

impl Taker for DescriptionTaker {
    fn lines(&mut self, lines: &[u8]) -> Flow {
        self.is_too_long |= self.lines.len() + lines.len() > LONGEST_DESCRIPTION;
        if self.is_too_long {
            return Flow::Stop;
        }
        self.lines.extend_from_slice(lines);
        Flow::GoOn
    }

    fn write(&mut self, _: &str, _: &[u8]) -> io::Result<()> {
        Err(io::Error::other("nothing is to be written"))
    }
}

/// Where no frame is asked for.
struct NoFrames;

impl Frames for NoFrames {
    fn take(&mut self, _: Frame) -> Result<(), Stopped> {
        Err(Stopped)
    }
}

/// Why a call is not let go on.
enum Trouble {
    Host(HostError),
    Medium(io::Error),
    Stopped,
}

/// Takes lines and written bytes, holds them to the agreement and hands them on.
struct Taking<'a> {
    receiver: Receiver,
    frames: &'a mut dyn Frames,
    output: Option<&'a mut dyn Output>,
    most_bytes: u64,
    lines: u64,
    written: u64,
    trouble: Option<Trouble>,
}

impl<'a> Taking<'a> {
    fn new(
        call: &Call<'_>,
        frames: &'a mut dyn Frames,
        output: Option<&'a mut dyn Output>,
    ) -> Self {
        Self {
            receiver: Receiver::new(call.parts()),
            frames,
            output,
            most_bytes: call.most_bytes(),
            lines: 0,
            written: 0,
            trouble: None,
        }
    }

    fn finish(self) -> (Option<Trouble>, Received) {
        (self.trouble, self.receiver.finish())
    }

    /// Counts bytes, and whether they are too many.
    fn is_flooded(&mut self, what: &'static str, is_lines: bool, count: usize) -> bool {
        let seen = if is_lines { &mut self.lines } else { &mut self.written };
        *seen = seen.saturating_add(count as u64);
        if *seen <= self.most_bytes {
            return false;
        }
        self.trouble = Some(Trouble::Host(HostError::Flooded { what, most: self.most_bytes }));
        true
    }
}

impl Taker for Taking<'_> {
    fn lines(&mut self, lines: &[u8]) -> Flow {
        if self.trouble.is_some() || self.is_flooded("frames", true, lines.len()) {
            return Flow::Stop;
        }
        match self.receiver.take(lines, self.frames) {
            Ok(()) => Flow::GoOn,
            Err(refused) => {
                self.trouble = Some(match refused {
                    Refused::Wire(error) => Trouble::Host(error.into()),
                    Refused::Stopped => Trouble::Stopped,
                });
                Flow::Stop
            }
        }
    }

    fn write(&mut self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let refused = || io::Error::other("nothing more is to be written");
        if self.trouble.is_some() || self.is_flooded("written parts", false, bytes.len()) {
            return Err(refused());
        }
        let output = self.output.as_mut().ok_or_else(refused)?;
        output.part(name).and_then(|part| part.write_all(bytes)).map_err(|error| {
            self.trouble = Some(Trouble::Medium(error));
            refused()
        })
    }
}
