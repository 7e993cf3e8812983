//! Reading NDJSON: an object on each line, whose one member is named after the list and holds the record.
//!
//! A line that cannot be read costs its record only.

use std::ops::Range;

use restrand_kit::{Budget, LoadError, Part, Stopped};
use restrand_model::reading::ProblemKind;
use restrand_model::schedule::{Schedule, VERSION};

use crate::document::{not_an_object, read_record, unknown_version, version_missing};
use crate::member::{Member, VERSION_MEMBER, nearest};
use crate::said::{Remark, Said};
use crate::source::{self, Fault, Lines, Source};
use crate::{depth, fault};
use restrand_kit::json_text::{Walk, unquoted};

/// Reads a part that holds a record on each line.
pub(crate) fn load(part: &dyn Part, budget: Budget, said: &mut Said<'_>) -> Result<(), LoadError> {
    let mut lines = Lines::new(part);
    let mut reader = Reader { part: part.name(), budget, said, lists: Default::default() };
    let mut number = 0_u64;
    let mut is_first = true;
    while let Some((base, bytes)) = lines.next()? {
        number += 1;
        if number == 1
            && let Some(fault) = source::wide_encoding(bytes)
        {
            return Err(fault.into_error(&Source { part: reader.part, text: "", base }));
        }
        if source::is_blank(bytes) {
            continue;
        }
        reader.line(bytes, number, base, is_first)?;
        is_first = false;
    }
    if is_first {
        let source = Source { part: reader.part, text: "", base: part.len() };
        let fault = Fault {
            at: 0..0,
            why: "the file is empty".to_owned(),
            help: format!("a schedule begins with the line {{\"{VERSION_MEMBER}\": {VERSION}}}"),
        };
        return Err(fault.into_error(&source));
    }
    Ok(())
}

/// What has been seen of a list.
#[derive(Clone, Copy, Default)]
struct Seen {
    table: Option<u32>,
    lines: u64,
}

struct Reader<'a, 's, 'f> {
    part: &'a str,
    budget: Budget,
    said: &'s mut Said<'f>,
    /// By the position of the root's field; the last is the open map.
    lists: [Seen; Schedule::INFO.fields.len() + 1],
}

impl Reader<'_, '_, '_> {
    fn line(
        &mut self,
        bytes: &[u8],
        number: u64,
        base: u64,
        is_first: bool,
    ) -> Result<(), LoadError> {
        let empty = Source { part: self.part, text: "", base };
        let text = match source::utf8(bytes, number, base) {
            Ok(text) => text,
            Err(fault) => {
                if is_first {
                    self.version_missing(&empty)?;
                }
                let given =
                    source::shortened(&String::from_utf8_lossy(&bytes[..bytes.len().min(64)]));
                return Ok(self.lost(&empty, fault, number, given)?);
            }
        };
        let source = Source { text, ..empty };
        if is_first && matches!(text.trim(), "{" | "[") {
            // A whole document, of which each line would be told as lost.
            let at = trimmed(text);
            let fault = Fault {
                at,
                why: "the first line is not a whole object".to_owned(),
                help: "in NDJSON each line is an object; name a document of several lines .json"
                    .to_owned(),
            };
            return Err(fault.into_error(&source));
        }
        let found = self.member(&source);
        let is_version = match &found {
            Ok((Member::Version, value)) => source.text.get(value.clone()) != Some("null"),
            _ => false,
        };
        if is_first && !is_version {
            self.version_missing(&source)?;
        }
        match found {
            Err(fault) => {
                let given = source.shown(&trimmed(text));
                self.lost(&source, fault, number, given)?;
            }
            Ok((Member::Version, value)) => {
                // Files put together have this line more than once.
                if let Some(fault) = unknown_version(&source, &value) {
                    return Err(fault.into_error(&source));
                }
            }
            Ok((member, value)) => self.record(&source, member, &value)?,
        }
        Ok(())
    }

    fn version_missing(&mut self, source: &Source<'_>) -> Result<(), Stopped> {
        let help = format!("write {{\"{VERSION_MEMBER}\": {VERSION}}} as the first line");
        self.said.problem(version_missing(source, 0, help))
    }

    /// The one member of a line, and the stretch of its value.
    fn member(&self, source: &Source<'_>) -> Result<(Member, Range<usize>), Fault> {
        let text = source.text;
        depth::check(text, self.budget.depth)?;
        fault::check(text)?;
        let all = trimmed(text);
        let whole = |why: &str, help: &str| Fault {
            at: all.clone(),
            why: why.to_owned(),
            help: help.to_owned(),
        };
        let mut walk = Walk::new(text, 0);
        if walk.peek() != Some(b'{') {
            return Err(whole(
                "the line is not an object",
                "name the record's list: {\"tendons\": {…}}, or another of the lists",
            ));
        }
        walk.enter();
        let Some(quoted) = walk.member() else {
            return Err(whole("the line's object is empty", "take the line out"));
        };
        let value = walk.skip();
        if walk.member().is_some() {
            return Err(whole(
                "the line's object has more than one member",
                "write one record on a line, as {\"tendons\": {…}}; name a document on one line \
                 .json",
            ));
        }
        let name = unquoted(walk.slice(&quoted)).unwrap_or_default();
        match Member::of_name(&name) {
            Some(member) => Ok((member, value)),
            None => Err(Fault {
                at: quoted,
                why: "the schedule has no list of this name".to_owned(),
                help: match nearest(&name) {
                    Some(near) => format!("did you mean \"{near}\"?"),
                    None => "name the record's list, as in {\"tendons\": {…}}".to_owned(),
                },
            }),
        }
    }

    fn record(
        &mut self,
        source: &Source<'_>,
        member: Member,
        value: &Range<usize>,
    ) -> Result<(), Stopped> {
        let name = member.name();
        let last = self.lists.len() - 1;
        let seen = &mut self.lists[Schedule::INFO.index_of(name).unwrap_or(last)];
        seen.lines += 1;
        let line = seen.lines;
        let first = Walk::new(source.text, value.start).peek();
        let is_list = matches!(member, Member::Many(..));
        let subject = || if is_list { format!("{name}[#{line}]") } else { name.to_owned() };
        if !is_list && seen.table.is_some() {
            return self.said.problem(Remark {
                kind: ProblemKind::RecordLost,
                place: source.place(value),
                subject: subject(),
                given: Some(source.shown(value)),
                why: "a line before this one holds the same; the first is kept".to_owned(),
                help: "take one of the two lines out".to_owned(),
            });
        }
        if first != Some(b'{') {
            return self.said.problem(not_an_object(subject(), source, value, first));
        }
        let (list, info, at) = match member {
            Member::One(_, info) | Member::Many(_, info) => (name, info, value.clone()),
            // The open map is a member of the schedule itself, which is the line's object.
            Member::Extra | Member::Version => {
                (Schedule::INFO.name, Schedule::INFO, trimmed(source.text))
            }
        };
        let table = match seen.table {
            Some(table) => table,
            None => *seen.table.insert(self.said.table(list)?),
        };
        read_record(source, &at, info, table, subject, self.said)
    }

    /// Says that the record of a line is lost.
    fn lost(
        &mut self,
        source: &Source<'_>,
        fault: Fault,
        number: u64,
        given: String,
    ) -> Result<(), Stopped> {
        let Fault { at, why, help } = fault;
        let place = source.place(&at);
        self.said.problem(Remark {
            kind: ProblemKind::RecordLost,
            place,
            subject: format!("line {number}"),
            given: Some(given),
            why,
            help,
        })
    }
}

/// The text without blanks around it.
fn trimmed(text: &str) -> Range<usize> {
    let start = text.len() - text.trim_start().len();
    start..start + text.trim().len()
}
