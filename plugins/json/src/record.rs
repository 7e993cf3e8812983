//! From the text of a record to its members.
//!
//! What one value's fault is costs that value only: it is told at its place, and the rest is read.

use std::borrow::Cow;
use std::collections::HashSet;
use std::fmt::Write as _;
use std::ops::Range;

use restrand_kit::Stopped;
use restrand_model::reading::{Origin, ProblemKind};
use restrand_model::reflect::{EXTRA, RecordInfo, Shape};
use restrand_model::value::{Fields, Name, Value};

use crate::said::{Remark, Said};
use crate::source::Source;
use restrand_kit::json_text::{Walk, unquoted};

/// Values in one record: far more than any tendon has, and few enough for memory.
///
/// A value of two bytes in the file takes some sixty in memory, so the size of the file is no bound.
pub(crate) const MOST_VALUES: usize = 500_000;

/// Why the reading of a record ends early.
pub(crate) enum Halt {
    /// The taker of the frames wants no more.
    Stopped,
    /// The record has more values than are read.
    Full,
}

impl From<Stopped> for Halt {
    fn from(_: Stopped) -> Self {
        Self::Stopped
    }
}

/// The clause and the advice for a record that ended with [`Halt::Full`].
pub(crate) fn full(subject: String, source: &Source<'_>, at: &Range<usize>) -> Remark {
    Remark {
        kind: ProblemKind::RecordLost,
        place: source.place(at),
        subject,
        given: None,
        why: format!("it has more than {MOST_VALUES} values"),
        help: "split it into several records, or take out what does not belong to it".to_owned(),
    }
}

/// The remark about a member whose name stood before in the same object.
pub(crate) fn twice(subject: String, source: &Source<'_>, value: &Range<usize>) -> Remark {
    Remark {
        kind: ProblemKind::ValueLost,
        place: source.place(value),
        subject,
        given: Some(source.shown(value)),
        why: "the member stands twice; the first is kept".to_owned(),
        help: "take one of the two out".to_owned(),
    }
}

/// The remark about a name or a text with an escape that stands for no character.
pub(crate) fn no_character(subject: String, source: &Source<'_>, at: &Range<usize>) -> Remark {
    Remark {
        kind: ProblemKind::ValueLost,
        place: source.place(at),
        subject,
        given: Some(source.shown(at)),
        why: "an escape in it stands for no character".to_owned(),
        help: "write the character itself, or both halves of its pair (\\ud83d\\ude00)".to_owned(),
    }
}

/// The names that stood before in one object.
#[derive(Default)]
pub(crate) struct Stood<'a> {
    /// Names whose values were not kept, so that they are not among the members.
    lost: Vec<Cow<'a, str>>,
    /// All names, once they are many.
    many: HashSet<Cow<'a, str>>,
}

impl<'a> Stood<'a> {
    /// Names up to which comparing them one by one is quicker than hashing.
    const FEW: usize = 48;

    /// Whether the name comes for the first time, given the members kept so far.
    #[expect(clippy::ptr_arg, reason = "the name is kept with the life of the text")]
    pub(crate) fn is_new(&mut self, kept: &Fields, name: &Cow<'a, str>) -> bool {
        if kept.len() + self.lost.len() < Self::FEW {
            return kept.get(name).is_none() && !self.lost.contains(name);
        }
        if self.many.is_empty() {
            self.many.extend(kept.iter().map(|(name, _)| Cow::Owned(name.as_str().to_owned())));
            self.many.extend(self.lost.drain(..));
            // From here on the length of the kept members alone must lead to this branch.
            self.lost.resize(Self::FEW, Cow::Borrowed(""));
        }
        self.many.insert(name.clone())
    }

    /// Remembers a name whose value is not kept.
    pub(crate) fn lose(&mut self, name: Cow<'a, str>) {
        if self.many.is_empty() {
            self.lost.push(name);
        }
    }
}

/// A step from the record to a value inside it.
enum Step<'a> {
    Member(Cow<'a, str>),
    Item(usize),
}

/// Reads one record, or a stretch of one.
pub(crate) struct Reader<'a, 's, 'f> {
    source: Source<'a>,
    walk: Walk<'a>,
    said: &'s mut Said<'f>,
    origin: Origin,
    /// What the messages call the record, as `tendon`.
    subject: &'static str,
    path: Vec<Step<'a>>,
    room: usize,
}

impl<'a, 's, 'f> Reader<'a, 's, 'f> {
    /// A reader of the record that begins at this byte.
    pub(crate) fn new(
        source: Source<'a>,
        at: usize,
        subject: &'static str,
        origin: Origin,
        said: &'s mut Said<'f>,
    ) -> Self {
        let walk = Walk::new(source.text, at);
        Self { source, walk, said, origin, subject, path: Vec::new(), room: MOST_VALUES }
    }

    /// A reader of values below this member of the record.
    pub(crate) fn below(mut self, member: Cow<'a, str>) -> Self {
        self.path.push(Step::Member(member));
        self
    }

    /// Takes part of another reader's room.
    pub(crate) const fn with_room(mut self, room: usize) -> Self {
        self.room = room;
        self
    }

    /// How many more values may be read.
    pub(crate) const fn room(&self) -> usize {
        self.room
    }

    /// Reads the value at the walk's position; nothing for `null`, or if it cannot be kept.
    ///
    /// `info` declares the record that the value, or each item of it, is.
    pub(crate) fn value(
        &mut self,
        info: Option<&'static RecordInfo>,
    ) -> Result<Option<Value>, Halt> {
        self.room = self.room.checked_sub(1).ok_or(Halt::Full)?;
        Ok(match self.walk.peek() {
            Some(b'{') => Some(Value::Fields(self.object(info)?)),
            Some(b'[') => Some(Value::List(self.list(info)?)),
            Some(b'"') => self.text()?.map(|text| Value::Text(text.into())),
            Some(b't' | b'f') => {
                let range = self.walk.skip();
                Some(Value::Flag(self.walk.slice(&range) == "true"))
            }
            Some(b'n') => {
                self.walk.skip();
                None
            }
            _ => self.number()?.map(Value::Number),
        })
    }

    /// Reads the object at the walk's position.
    pub(crate) fn object(&mut self, info: Option<&'static RecordInfo>) -> Result<Fields, Halt> {
        let mut fields = Fields::new();
        let mut stood = Stood::default();
        // Members usually come in the order of the declaration.
        let mut next = 0;
        self.walk.enter();
        while let Some(quoted) = self.walk.member() {
            let Some(name) = unquoted(self.walk.slice(&quoted)) else {
                let value = self.walk.skip();
                self.tell(no_character(self.subject(), &self.source, &(quoted.start..value.end)))?;
                continue;
            };
            let field = info.and_then(|info| {
                let field = info.fields.get(next).filter(|field| field.name == name);
                if field.is_some() {
                    next += 1;
                    return field;
                }
                next = info.index_of(&name)? + 1;
                info.fields.get(next - 1)
            });
            let inner = match field.map(|field| field.shape) {
                Some(Shape::Record(inner) | Shape::Records(inner)) => Some(inner()),
                _ => None,
            };
            // `null` says nothing, so it is no second value either.
            if self.walk.peek() == Some(b'n') {
                self.walk.skip();
                continue;
            }
            self.path.push(Step::Member(name.clone()));
            if stood.is_new(&fields, &name) {
                match self.value(inner)? {
                    Some(value) => {
                        let name = match field {
                            Some(field) => Name::Known(field.name),
                            None if name == EXTRA => Name::Known(EXTRA),
                            None => Name::Given(name.into()),
                        };
                        fields.push(name, value);
                    }
                    None => stood.lose(name),
                }
            } else {
                let value = self.walk.skip();
                self.tell(twice(self.subject(), &self.source, &value))?;
            }
            self.path.pop();
        }
        Ok(fields)
    }

    fn list(&mut self, info: Option<&'static RecordInfo>) -> Result<Vec<Value>, Halt> {
        let mut items = Vec::new();
        let mut position = 0;
        self.walk.enter();
        while self.walk.item() {
            self.path.push(Step::Item(position));
            if self.walk.peek() == Some(b'n') {
                let at = self.walk.skip();
                self.tell(Remark {
                    kind: ProblemKind::ValueDoubtful,
                    place: self.source.place(&at),
                    subject: self.subject(),
                    given: Some("null".to_owned()),
                    why: "nothing is stated for this item; the next ones move up".to_owned(),
                    help: "take it out of the list, or state it".to_owned(),
                })?;
            } else {
                items.extend(self.value(info)?);
            }
            self.path.pop();
            position += 1;
        }
        Ok(items)
    }

    fn text(&mut self) -> Result<Option<Cow<'a, str>>, Halt> {
        let at = self.walk.skip();
        let text = unquoted(self.walk.slice(&at));
        if text.is_none() {
            self.tell(no_character(self.subject(), &self.source, &at))?;
        }
        Ok(text)
    }

    fn number(&mut self) -> Result<Option<f64>, Halt> {
        /// 2^53, up to which a float holds every whole number.
        const WHOLE: f64 = 9_007_199_254_740_992.0;
        let at = self.walk.skip();
        let written = self.walk.slice(&at);
        let number = written.parse::<f64>().ok().filter(|number| number.is_finite());
        let remark = |kind, why: &str, help: &str| Remark {
            kind,
            place: self.source.place(&at),
            subject: self.subject(),
            given: Some(self.source.shown(&at)),
            why: why.to_owned(),
            help: help.to_owned(),
        };
        let remark = match number {
            None => remark(
                ProblemKind::ValueLost,
                "the number is too large to be kept",
                "correct it, or leave the member out where the value is not known",
            ),
            // A heat number without its quotes, say.
            Some(number)
                if number.abs() >= WHOLE
                    && written.bytes().all(|byte| byte == b'-' || byte.is_ascii_digit())
                    && format!("{number:.0}") != written =>
            {
                remark(
                    ProblemKind::ValueDoubtful,
                    "the number has more digits than are kept",
                    "write it as text, in quotes, if it is a name or a mark",
                )
            }
            Some(_) => return Ok(number),
        };
        self.tell(remark)?;
        Ok(number)
    }

    fn tell(&mut self, remark: Remark) -> Result<(), Stopped> {
        self.said.problem_of(self.origin, remark)
    }

    /// The record type and the way to the value, as `tendon.points[#2].station_m`.
    fn subject(&self) -> String {
        let mut subject = self.subject.to_owned();
        for step in &self.path {
            match step {
                Step::Member(name) => {
                    subject.push('.');
                    subject.push_str(&crate::source::shortened(name));
                }
                Step::Item(position) => {
                    let written = write!(subject, "[#{}]", position + 1);
                    debug_assert!(written.is_ok(), "writing to a string does not fail");
                }
            }
        }
        subject
    }
}
