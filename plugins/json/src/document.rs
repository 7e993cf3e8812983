//! Reading a document: one object with a list for each kind of record.

use std::borrow::Cow;
use std::ops::Range;

use restrand_kit::{Budget, LoadError, Part, Stopped};
use restrand_model::reading::{Origin, ProblemKind};
use restrand_model::reflect::{EXTRA, FieldInfo, RecordInfo};
use restrand_model::schedule::{Schedule, VERSION};
use restrand_model::value::{Fields, Name, Value};

use crate::member::{Member, VERSION_MEMBER, nearest};
use crate::record::{self, Halt, Reader, Stood};
use crate::said::{Remark, Said};
use crate::source::{self, Fault, Source};
use crate::{depth, fault};
use restrand_kit::json_text::{Walk, unquoted};

/// Reads a part that is one document.
pub(crate) fn load(part: &dyn Part, budget: Budget, said: &mut Said<'_>) -> Result<(), LoadError> {
    let held;
    let bytes = match part.slice() {
        Some(bytes) => bytes,
        None => {
            held = source::read_all(part)?;
            &held
        }
    };
    let (mark, rest) = source::without_mark(bytes);
    let base = mark as u64;
    let whole = Source { part: part.name(), text: "", base: 0 };
    if let Some(fault) = source::wide_encoding(bytes) {
        return Err(fault.into_error(&whole));
    }
    let beyond = Source { base, ..whole };
    let text = source::utf8(rest, 1, base).map_err(|fault| fault.into_error(&beyond))?;
    let source = Source { text, ..beyond };
    check(&source, budget).map_err(|fault| fault.into_error(&source))?;
    let root = Root { source, said };
    root.read()
}

/// Finds whether the text is one object, and not nested too deep.
fn check(source: &Source<'_>, budget: Budget) -> Result<(), Fault> {
    let text = source.text;
    if text.trim().is_empty() {
        return Err(Fault {
            at: text.len()..text.len(),
            why: "the file is empty".to_owned(),
            help: "a schedule begins {\"restrand\": 1, …".to_owned(),
        });
    }
    depth::check(text, budget.depth)?;
    fault::check(text)?;
    let mut walk = Walk::new(text, 0);
    let (what, help) = match walk.peek() {
        Some(b'{') => return Ok(()),
        Some(b'[') => (
            "a list",
            "name what it lists: {\"restrand\": 1, \"tendons\": […]}, or another of the lists",
        ),
        Some(b'"') => ("a text", "a schedule begins {\"restrand\": 1, …"),
        _ => ("a single value", "a schedule begins {\"restrand\": 1, …"),
    };
    let at = walk.at();
    Err(Fault {
        at: at..at + 1,
        why: format!("the document is {what}, not an object"),
        help: help.to_owned(),
    })
}

/// The fault of a version that this release does not read; `null` states none.
pub(crate) fn unknown_version(source: &Source<'_>, value: &Range<usize>) -> Option<Fault> {
    let given = source.text.get(value.clone()).unwrap_or_default();
    let is_known = given.parse::<f64>().is_ok_and(|version| version == f64::from(VERSION));
    (!is_known && given != "null").then(|| Fault {
        at: value.clone(),
        why: format!("version {} is not known to this release", source::shortened(given)),
        help: format!(
            "this release reads version {VERSION}, written \"{VERSION_MEMBER}\": {VERSION}"
        ),
    })
}

/// The remark that no version is given, at the first byte of what should give it.
pub(crate) fn version_missing(source: &Source<'_>, at: usize, help: String) -> Remark {
    Remark {
        kind: ProblemKind::ValueDoubtful,
        place: source.place(&(at..at + 1)),
        subject: format!("{}.{VERSION_MEMBER}", Schedule::INFO.name),
        given: None,
        why: format!("the version of the format is not given; it is read as version {VERSION}"),
        help,
    }
}

/// The root of a document that is well formed.
struct Root<'a, 's, 'f> {
    source: Source<'a>,
    said: &'s mut Said<'f>,
}

/// What the root says and no field takes, as it is gathered.
struct Further<'a> {
    fields: Fields,
    stood: Stood<'a>,
    room: usize,
    is_full: bool,
}

impl<'a> Root<'a, '_, '_> {
    fn read(mut self) -> Result<(), LoadError> {
        let mut walk = Walk::new(self.source.text, 0);
        walk.peek();
        let start = walk.at();
        self.version(walk)?;
        let mut taken = [false; Schedule::INFO.fields.len() + 1];
        let mut further =
            Further { fields: Fields::new(), stood: Stood::default(), room: ROOM, is_full: false };
        walk.enter();
        while let Some(quoted) = walk.member() {
            let first = walk.peek();
            let name = unquoted(walk.slice(&quoted));
            let member = name.as_deref().and_then(Member::of_name);
            let begin = walk.at();
            let value = walk.skip();
            let Some(name) = name else {
                let all = quoted.start..value.end;
                let remark = record::no_character(subject_of(""), &self.source, &all);
                self.said.problem(remark)?;
                continue;
            };
            let Some(member) = member else {
                self.unknown(name, &quoted, &value, &mut further)?;
                continue;
            };
            if first == Some(b'n') {
                // `null` says nothing.
                continue;
            }
            let index = Schedule::INFO.index_of(member.name()).unwrap_or(taken.len() - 1);
            if std::mem::replace(&mut taken[index], true) {
                let subject = subject_of(member.name());
                self.said.problem(record::twice(subject, &self.source, &value))?;
                continue;
            }
            match member {
                Member::Version => {}
                Member::One(field, info) => self.one(field, info, first, &value)?,
                Member::Many(field, info) => self.many(field, info, first, &value)?,
                Member::Extra if first == Some(b'{') => self.extra(begin, &mut further)?,
                Member::Extra => self.said.problem(Remark {
                    kind: ProblemKind::ValueLost,
                    place: self.source.place(&value),
                    subject: subject_of(EXTRA),
                    given: Some(self.source.shown(&value)),
                    why: "it is not an object".to_owned(),
                    help: "write names and values in curly brackets".to_owned(),
                })?,
            }
        }
        if !further.fields.is_empty() {
            let table = self.said.table(Schedule::INFO.name)?;
            let extra = (Name::Known(EXTRA), Value::Fields(further.fields));
            let span = self.source.span(&(start..walk.at()));
            self.said.record(table, span, [extra].into_iter().collect())?;
        }
        Ok(())
    }

    /// Finds the version before anything is handed over.
    fn version(&mut self, mut walk: Walk<'a>) -> Result<(), LoadError> {
        let start = walk.at();
        walk.enter();
        while let Some(quoted) = walk.member() {
            let name = unquoted(walk.slice(&quoted)).unwrap_or_default();
            let value = walk.skip();
            if name == VERSION_MEMBER && walk.slice(&value) != "null" {
                return match unknown_version(&self.source, &value) {
                    Some(fault) => Err(fault.into_error(&self.source)),
                    None => Ok(()),
                };
            }
        }
        let help = format!("write \"{VERSION_MEMBER}\": {VERSION} as the first member");
        Ok(self.said.problem(version_missing(&self.source, start, help))?)
    }

    /// A member that is one record.
    fn one(
        &mut self,
        field: &'static FieldInfo,
        info: &'static RecordInfo,
        first: Option<u8>,
        value: &Range<usize>,
    ) -> Result<(), Stopped> {
        if first != Some(b'{') {
            let remark = not_an_object(field.name.to_owned(), &self.source, value, first);
            return self.said.problem(remark);
        }
        let table = self.said.table(field.name)?;
        read_record(&self.source, value, info, table, || field.name.to_owned(), self.said)
    }

    /// A member that is a list of records.
    fn many(
        &mut self,
        field: &'static FieldInfo,
        info: &'static RecordInfo,
        first: Option<u8>,
        value: &Range<usize>,
    ) -> Result<(), Stopped> {
        if first != Some(b'[') {
            return self.said.problem(Remark {
                kind: ProblemKind::RecordLost,
                place: self.source.place(value),
                subject: field.name.to_owned(),
                given: Some(self.source.shown(value)),
                why: "it is not a list of records".to_owned(),
                help: "write the records in square brackets, parted by commas".to_owned(),
            });
        }
        let table = self.said.table(field.name)?;
        let mut walk = Walk::new(self.source.text, value.start);
        let mut ordinal = 0_u64;
        walk.enter();
        while walk.item() {
            ordinal += 1;
            let subject = || format!("{}[#{ordinal}]", field.name);
            let first = walk.peek();
            let item = walk.skip();
            if first == Some(b'{') {
                read_record(&self.source, &item, info, table, subject, self.said)?;
            } else {
                let remark = not_an_object(subject(), &self.source, &item, first);
                self.said.problem(remark)?;
            }
        }
        Ok(())
    }

    /// The root's own open map.
    fn extra(&mut self, begin: usize, further: &mut Further<'a>) -> Result<(), Stopped> {
        let mut walk = Walk::new(self.source.text, begin);
        walk.enter();
        while let Some(quoted) = walk.member() {
            let name = unquoted(walk.slice(&quoted));
            let value = walk.skip();
            match name {
                Some(name) => self.keep(name, &value, further)?,
                None => self.said.problem(record::no_character(
                    subject_of(EXTRA),
                    &self.source,
                    &(quoted.start..value.end),
                ))?,
            }
        }
        Ok(())
    }

    /// A member of the root that the format does not have.
    fn unknown(
        &mut self,
        name: Cow<'a, str>,
        quoted: &Range<usize>,
        value: &Range<usize>,
        further: &mut Further<'a>,
    ) -> Result<(), Stopped> {
        let help = match nearest(&name) {
            Some(near) => format!("did you mean \"{near}\"?"),
            None => "its values are kept as further values of the schedule".to_owned(),
        };
        self.said.problem(Remark {
            kind: ProblemKind::Unknown,
            place: self.source.place(&(quoted.start..value.end)),
            subject: subject_of(&name),
            given: Some(source::shortened(&name)),
            why: "the schedule has no member of this name".to_owned(),
            help,
        })?;
        self.keep(name, value, further)
    }

    /// Keeps what no field takes.
    fn keep(
        &mut self,
        name: Cow<'a, str>,
        value: &Range<usize>,
        further: &mut Further<'a>,
    ) -> Result<(), Stopped> {
        if further.is_full || self.source.text.get(value.clone()) == Some("null") {
            return Ok(());
        }
        if !further.stood.is_new(&further.fields, &name) {
            return self.said.problem(record::twice(subject_of(&name), &self.source, value));
        }
        let mut reader = Reader::new(
            self.source,
            value.start,
            Schedule::INFO.name,
            Origin::default(),
            self.said,
        )
        .below(name.clone())
        .with_room(further.room);
        match reader.value(None) {
            Ok(read) => {
                further.room = reader.room();
                match read {
                    Some(value) => further.fields.push(Name::Given(name.into()), value),
                    None => further.stood.lose(name),
                }
                Ok(())
            }
            Err(Halt::Stopped) => Err(Stopped),
            Err(Halt::Full) => {
                further.is_full = true;
                self.said.problem(record::full(subject_of(EXTRA), &self.source, value))
            }
        }
    }
}

/// Values in what no field of the root takes.
const ROOM: usize = record::MOST_VALUES;

/// What messages call a member of the root.
fn subject_of(name: &str) -> String {
    let root = Schedule::INFO.name;
    if name.is_empty() { root.to_owned() } else { format!("{root}.{}", source::shortened(name)) }
}

/// Reads the record in this stretch of the text and hands it over.
pub(crate) fn read_record(
    source: &Source<'_>,
    at: &Range<usize>,
    info: &'static RecordInfo,
    table: u32,
    subject: impl Fn() -> String,
    said: &mut Said<'_>,
) -> Result<(), Stopped> {
    let origin = said.next_record(table);
    let read = Reader::new(*source, at.start, info.name, origin, said).object(Some(info));
    match read {
        Ok(fields) => said.record(table, source.span(at), fields),
        Err(Halt::Stopped) => Err(Stopped),
        Err(Halt::Full) => said.problem(record::full(subject(), source, at)),
    }
}

/// The remark about something that stands where a record should.
pub(crate) fn not_an_object(
    subject: String,
    source: &Source<'_>,
    at: &Range<usize>,
    first: Option<u8>,
) -> Remark {
    let what = match first {
        Some(b'[') => "it is a list, not a record",
        Some(b'"') => "it is a text, not a record",
        Some(b't' | b'f') => "it is true or false, not a record",
        Some(b'n') => "nothing is stated where a record should stand",
        _ => "it is a number, not a record",
    };
    Remark {
        kind: ProblemKind::RecordLost,
        place: source.place(at),
        subject,
        given: Some(source.shown(at)),
        why: what.to_owned(),
        help: "write the record's names and values in curly brackets, or take it out".to_owned(),
    }
}
