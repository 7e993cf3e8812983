//! Looks over the statements of a file: which instances there are, and what else it says.
//!
//! A large file is looked over in pieces side by side. Each piece but the first begins at a line that looks like an
//! instance, which a text or a comment of many lines can hold too: so a piece counts only where the one before it
//! ends, and what lies behind one that does not is looked over once more.

use restrand_ifc::terms::Kind;
use restrand_model::reading::ProblemKind;

use super::parse::{DEEPEST, number_of};
use super::statements::{Statements, begins_instance, is_deeper, skip, word};

/// An instance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Instance {
    pub(super) number: u64,
    /// Its first byte.
    pub(super) start: u64,
    /// Bytes up to its semicolon.
    pub(super) length: u32,
    /// Bytes up to its arguments; [`Self::FAR`] where they are too many.
    pub(super) arguments: u16,
    pub(super) kind: Kind,
}

impl Instance {
    /// Arguments that begin too far from the number.
    pub(super) const FAR: usize = u16::MAX as usize;
}

/// What is wrong with a stretch of the file.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Note {
    pub(super) kind: ProblemKind,
    pub(super) start: usize,
    pub(super) end: usize,
    pub(super) why: String,
    pub(super) help: &'static str,
}

/// What was found.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Found {
    /// The instances that a schedule may need, in the order of the file.
    pub(super) instances: Vec<Instance>,
    /// The numbers of all others.
    pub(super) others: Vec<u64>,
    pub(super) notes: Vec<Note>,
    /// Where `FILE_SCHEMA` stands: its first byte, and that of its semicolon.
    pub(super) schema: Option<(usize, usize)>,
    /// Whether the section of instances has begun and not ended.
    in_data: bool,
    /// Whether it has begun.
    pub(super) has_data: bool,
    /// Whether the file said that it ends.
    pub(super) has_ended: bool,
    /// Where the next statement begins.
    pub(super) next: usize,
}

/// How many threads pay for the work on so many bytes.
pub(super) fn threads_for(bytes: usize) -> usize {
    /// Bytes from which on one pays.
    const WORTH_ONE: usize = 1 << 20;
    if !cfg!(feature = "threads") || bytes < 2 * WORTH_ONE {
        return 1;
    }
    std::thread::available_parallelism().map_or(1, usize::from).min(bytes / WORTH_ONE)
}

/// Looks over a file from a byte on.
pub(super) fn look_over(bytes: &[u8], from: usize) -> Found {
    in_pieces(bytes, from, threads_for(bytes.len() - from))
}

fn in_pieces(bytes: &[u8], from: usize, pieces: usize) -> Found {
    /// Bytes of an instance that takes many; what is set aside for more instances than there are is never touched.
    const LONG: usize = 64;
    let starts = starts(bytes, from, pieces);
    let room = |bytes: usize| Vec::with_capacity(bytes / LONG);
    // The first piece takes what the others find.
    let instances = room(bytes.len() - from);
    let mut found = Found { next: from, instances, ..Found::default() };
    let Some(first) = starts.first().copied() else {
        found.walk(bytes, bytes.len());
        return found;
    };
    std::thread::scope(|scope| {
        let ends = starts.iter().skip(1).copied().chain([bytes.len()]);
        let others: Vec<_> = starts.iter().copied().zip(ends).collect();
        let others: Vec<_> = others
            .into_iter()
            .map(|(start, end)| {
                std::thread::Builder::new().spawn_scoped(scope, move || {
                    let mut found = Found {
                        next: start,
                        instances: room(end - start),
                        in_data: true,
                        has_data: true,
                        ..Found::default()
                    };
                    found.walk(bytes, end);
                    found
                })
            })
            .collect();
        found.walk(bytes, first);
        for (other, start) in others.into_iter().zip(starts) {
            // What another thread could not look over is looked over here.
            let other = other.ok().and_then(|other| other.join().ok());
            if let Some(other) = other
                && found.next == start
                && found.in_data
                && !found.has_ended
            {
                found.take(other);
            }
        }
        if !found.has_ended {
            found.walk(bytes, bytes.len());
        }
    });
    found
}

/// Where pieces begin behind the first: lines that begin like an instance.
fn starts(bytes: &[u8], from: usize, pieces: usize) -> Vec<usize> {
    let mut starts: Vec<usize> = Vec::new();
    for piece in 1..pieces {
        let mut at = from + (bytes.len() - from) / pieces * piece;
        let start = loop {
            let Some(line) = bytes.get(at..).and_then(|rest| memchr::memchr(b'\n', rest)) else {
                break None;
            };
            at += line + 1;
            if begins_instance(&bytes[at..]) {
                break Some(at);
            }
        };
        match start {
            Some(start) if starts.last().is_none_or(|last| start > *last) => starts.push(start),
            _ => {}
        }
    }
    starts
}

impl Found {
    /// Takes what was found in the piece that follows.
    fn take(&mut self, mut other: Self) {
        self.instances.append(&mut other.instances);
        self.others.append(&mut other.others);
        self.notes.append(&mut other.notes);
        self.schema = other.schema.or(self.schema);
        self.in_data = other.in_data;
        self.has_ended = other.has_ended;
        self.next = other.next;
    }

    /// Looks at statements until one begins at or behind a byte, or the file says that it ends.
    fn walk(&mut self, bytes: &[u8], until: usize) {
        let mut statements = Statements { bytes, at: self.next };
        loop {
            self.next = skip(bytes, statements.at);
            if self.next >= until {
                return;
            }
            statements.at = self.next;
            let Some((start, end)) = statements.next() else { return };
            let statement = &bytes[start..end];
            if statement.first() == Some(&b'#') {
                if self.in_data {
                    if bytes[end] != b';' {
                        self.notes.push(Note {
                            kind: ProblemKind::ValueDoubtful,
                            start,
                            end,
                            why: "it has no semicolon at its end, or a text in it has no end; it is taken to end \
                                  before the next one"
                                .to_owned(),
                            help: "correct it, or save the model once more",
                        });
                    }
                    if let Err(why) = self.instance(statement, start) {
                        self.wrong(start, end, why);
                    }
                } else {
                    let why = "an instance stands outside the section DATA".to_owned();
                    self.wrong(start, end, why);
                }
                continue;
            }
            let name = word(statement);
            if name.eq_ignore_ascii_case(b"DATA") {
                self.in_data = true;
                self.has_data = true;
            } else if name.eq_ignore_ascii_case(b"ENDSEC") {
                self.in_data = false;
            } else if name.eq_ignore_ascii_case(b"FILE_SCHEMA") {
                self.schema = Some((start, end));
            } else if name.eq_ignore_ascii_case(b"END-ISO-10303-21") {
                self.has_ended = true;
                self.next = statements.at;
                return;
            } else if self.in_data {
                let why = "it is no instance, which begins with # and its number".to_owned();
                self.wrong(start, end, why);
            }
        }
    }

    /// Notes an instance: its number, and what it is.
    fn instance(&mut self, statement: &[u8], start: usize) -> Result<(), String> {
        let digits = statement[1..].iter().position(|byte| !byte.is_ascii_digit());
        let digits = digits.map_or(statement.len(), |length| length + 1);
        let number = number_of(&statement[1..digits])?;
        let mut at = skip(statement, digits);
        if statement.get(at) != Some(&b'=') {
            return Err("no = follows its number".to_owned());
        }
        at = skip(statement, at + 1);
        let name = word(&statement[at..]);
        if name.is_empty() && statement.get(at) != Some(&b'(') {
            return Err("no name of an entity follows the =".to_owned());
        }
        let kind = Kind::of_upper(name).or_else(|| {
            // Names are written in upper case; a writer that does not is understood.
            let is_lower = name.iter().any(u8::is_ascii_lowercase);
            is_lower.then(|| Kind::of_upper(&name.to_ascii_uppercase())).flatten()
        });
        if is_deeper(statement, DEEPEST) {
            // It is there, so that what refers to it is sound.
            self.others.push(number);
            return Err(format!("it is nested more than {DEEPEST} levels deep"));
        }
        match kind {
            Some(kind) => self.instances.push(Instance {
                number,
                start: start as u64,
                length: u32::try_from(statement.len()).unwrap_or(u32::MAX),
                arguments: u16::try_from(at + name.len()).unwrap_or(u16::MAX),
                kind,
            }),
            None => self.others.push(number),
        }
        Ok(())
    }

    fn wrong(&mut self, start: usize, end: usize, why: String) {
        let help = "correct it, or save the model once more; nothing of it is read";
        self.notes.push(Note { kind: ProblemKind::RecordLost, start, end, why, help });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is found is the same in one piece and in many.
    fn same_in_pieces(text: &str) {
        let whole = in_pieces(text.as_bytes(), 0, 1);
        for pieces in 2..=9 {
            assert_eq!(in_pieces(text.as_bytes(), 0, pieces), whole, "{pieces} pieces of {text}");
        }
    }

    fn file(data: &str) -> String {
        format!(
            "HEADER;\nFILE_SCHEMA(('IFC4'));\nENDSEC;\nDATA;\n{data}ENDSEC;\nEND-ISO-10303-21;\n"
        )
    }

    fn points(from: u32, to: u32) -> String {
        let point = |number| format!("#{number}=IFCCARTESIANPOINT((0.,{number}.,0.));\n");
        (from..to).map(point).collect()
    }

    #[test]
    fn pieces_are_the_whole() {
        same_in_pieces(&file(&points(1, 40)));
        same_in_pieces(&points(1, 40));
        same_in_pieces(&format!("{}{}", file(&points(1, 9)), points(9, 40)));
        same_in_pieces("");
    }

    #[test]
    fn a_text_or_comment_that_holds_lines_like_instances_is_none_of_them() {
        for (open, close) in
            [("#90=IFCLABEL('", "');\n"), ("/* ", " */\n"), ("#90=IFCBEAM(", ");\n")]
        {
            let text = [&points(1, 9), open, &points(9, 30), close, &points(30, 40)].concat();
            let text = file(&text);
            same_in_pieces(&text);
            let found = in_pieces(text.as_bytes(), 0, 5);
            assert!(found.has_ended && found.instances.iter().any(|one| one.number == 39));
        }
        // A text without an end takes what follows with it, up to the next line that begins an instance.
        same_in_pieces(&file(&[&points(1, 9), "#90=IFCLABEL('x;\n", &points(9, 40)].concat()));
    }

    #[test]
    fn a_file_that_ends_in_the_middle_ends_there() {
        let text = file(&points(1, 20));
        same_in_pieces(&format!("{text}{}", points(20, 60)));
        same_in_pieces(&format!("DATA;\n{}ENDSEC;\n{}", points(1, 9), points(9, 60)));
        for cut in 0..text.len() {
            same_in_pieces(&text[..cut]);
        }
    }
}
