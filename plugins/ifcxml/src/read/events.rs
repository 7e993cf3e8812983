//! What stands in the file, element by element, read in stretches.
//!
//! To find where elements begin and end is as much work as to make entities of them, so a large file has a thread for
//! each. What was found goes over in stretches of a text with the places of what stands in it.

use std::io::BufRead;
use std::sync::mpsc::{Receiver, SendError, Sender, SyncSender, channel, sync_channel};
use std::thread::{Builder, Scope};

use quick_xml::Reader;
use quick_xml::events::Event;
use restrand_model::reading::Span;

/// What something is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum What {
    /// A start tag.
    Start,
    /// A tag of an element without content.
    Empty,
    /// An end tag.
    End,
    /// Letters.
    Text,
    /// Letters that are nothing but letters.
    CData,
    /// The name of an entity, or the number of a letter.
    Reference,
    /// A document type declaration.
    DocType,
    /// The end of the file.
    Eof,
    /// Something behind which nothing can be read.
    Fault,
}

/// Something in the file.
#[derive(Debug, Clone, Copy)]
pub(super) struct Met {
    pub(super) what: What,
    /// Bytes of the name of a tag.
    pub(super) name: u32,
    /// Where it stands in the text of the stretch, without the brackets of tags.
    text: (u32, u32),
    /// Where it stands in the part.
    pub(super) span: Span,
}

/// A stretch of the file.
#[derive(Debug, Default)]
pub(super) struct Stretch {
    text: String,
    pub(super) met: Vec<Met>,
    /// What is wrong with what stands at its end, if that is a fault.
    pub(super) fault: Option<quick_xml::Error>,
}

impl Stretch {
    /// What stands there, in letters of the file.
    pub(super) fn text_of(&self, met: &Met) -> &str {
        let (from, to) = met.text;
        self.text.get(from as usize..to as usize).unwrap_or_default()
    }
}

/// Bytes of a stretch; what is longer by itself has one of its own.
const LONG: usize = 1 << 16;
/// Bytes beyond which room is not kept for what comes next.
const MUCH: usize = 4 * LONG;
/// Things in a stretch.
const MANY: usize = 1 << 11;
/// Stretches that are read before they are asked for.
const AHEAD: usize = 4;
/// Bytes of a file from which on another thread pays.
const WORTH_ONE: u64 = 1 << 20;

/// Finds what stands in a file.
pub(super) struct Events<R> {
    reader: Reader<R>,
    /// Bytes of the part before the first that the reader gets.
    before: u64,
    buffer: Vec<u8>,
    has_ended: bool,
}

impl<R: BufRead> Events<R> {
    pub(super) fn of(source: R, before: u64) -> Self {
        let reader = Reader::from_reader(source);
        Self { reader, before, buffer: Vec::new(), has_ended: false }
    }

    /// The byte of the part that comes next.
    fn position(&self) -> u64 {
        self.before + self.reader.buffer_position()
    }

    /// Reads a stretch in place of another; false behind the last.
    fn fill(&mut self, stretch: &mut Stretch) -> bool {
        stretch.text.clear();
        stretch.met.clear();
        while !self.has_ended && stretch.text.len() < LONG && stretch.met.len() < MANY {
            self.next(stretch);
        }
        !stretch.met.is_empty()
    }

    fn next(&mut self, stretch: &mut Stretch) {
        if self.buffer.capacity() > MUCH {
            self.buffer = Vec::new();
        }
        self.buffer.clear();
        let start = self.position();
        let event = self.reader.read_event_into(&mut self.buffer);
        let end = self.before + self.reader.buffer_position();
        let mut keep = |what, name: usize, letters: &str, span| {
            let from = stretch.text.len();
            stretch.text.push_str(letters);
            let text = (position(from), position(stretch.text.len()));
            stretch.met.push(Met { what, name: position(name), text, span });
        };
        let span = Span { start, end };
        match event {
            Ok(Event::Start(tag)) => keep(What::Start, tag.name().into_inner().len(), &tag, span),
            Ok(Event::Empty(tag)) => keep(What::Empty, tag.name().into_inner().len(), &tag, span),
            Ok(Event::End(_)) => keep(What::End, 0, "", span),
            Ok(Event::Text(letters)) => keep(What::Text, 0, &letters, span),
            Ok(Event::CData(letters)) => keep(What::CData, 0, &letters, span),
            Ok(Event::GeneralRef(name)) => keep(What::Reference, 0, &name, span),
            Ok(Event::DocType(_)) => keep(What::DocType, 0, "", span),
            Ok(Event::Comment(_) | Event::Decl(_) | Event::PI(_)) => {}
            Ok(Event::Eof) => {
                keep(What::Eof, 0, "", span);
                self.has_ended = true;
            }
            Err(error) => {
                let at = self.before + self.reader.error_position();
                keep(What::Fault, 0, "", Span { start: at, end: at });
                stretch.fault = Some(error);
                self.has_ended = true;
            }
        }
    }
}

/// A position in a stretch, which is much shorter than what this can hold.
fn position(at: usize) -> u32 {
    u32::try_from(at).unwrap_or(u32::MAX)
}

/// Stretches, one after the other.
pub(super) enum Stretches<R> {
    /// As they are asked for.
    Here(Events<R>),
    /// Read by another thread, which gets back those that are done with.
    Ahead(Receiver<Stretch>, Sender<Stretch>),
}

impl<R: BufRead + Send> Stretches<R> {
    /// Those of a file of so many bytes.
    pub(super) fn of<'s>(scope: &'s Scope<'s, '_>, events: Events<R>, bytes: u64) -> Self
    where
        R: 's,
    {
        let threads = std::thread::available_parallelism().map_or(1, usize::from);
        if bytes < WORTH_ONE || threads < 2 {
            return Self::Here(events);
        }
        let (to, from) = sync_channel(AHEAD);
        let (back, emptied) = channel();
        let (hand_over, events_of) = channel();
        // What another thread could not be begun for stays here.
        let other = Builder::new().spawn_scoped(scope, move || {
            if let Ok(events) = events_of.recv() {
                read_ahead(events, &to, &emptied);
            }
        });
        if other.is_err() {
            return Self::Here(events);
        }
        match hand_over.send(events) {
            Ok(()) => Self::Ahead(from, back),
            Err(SendError(events)) => Self::Here(events),
        }
    }

    /// The next one, for which another that is done with is taken back; nothing behind the last.
    pub(super) fn next(&mut self, mut emptied: Stretch) -> Option<Stretch> {
        if emptied.text.capacity() > MUCH {
            emptied = Stretch::default();
        }
        match self {
            Self::Here(events) => events.fill(&mut emptied).then_some(emptied),
            Self::Ahead(from, back) => {
                // Once all is read nobody takes it back.
                let _ = back.send(emptied);
                from.recv().ok()
            }
        }
    }
}

/// Reads stretches until there are no more, or nobody wants any.
fn read_ahead<R: BufRead>(
    mut events: Events<R>,
    to: &SyncSender<Stretch>,
    emptied: &Receiver<Stretch>,
) {
    loop {
        let mut stretch = emptied.try_recv().unwrap_or_default();
        if !events.fill(&mut stretch) || to.send(stretch).is_err() {
            return;
        }
    }
}
