//! Finds members in the text of a JSON record.
//!
//! The text was read once already; here only places are looked for, for all findings of a record in one
//! pass, and nothing is trusted: on any bytes at all the walk ends and does not panic.

use std::collections::{HashMap, HashSet};
use std::ops::Range;

/// Stands between the steps of a joined path; no name that is looked for holds it.
const STEP: char = '\u{1f}';
/// Deeper nesting is not looked into.
const DEEPEST: usize = 512;

/// Names and positions joined to one text.
pub(crate) fn joined<S: AsRef<str>>(path: &[S]) -> String {
    let mut joined = String::new();
    for step in path {
        joined.push(STEP);
        joined.push_str(step.as_ref());
    }
    joined
}

/// Where a member stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Member {
    /// The bytes of its name in quotes; nothing for an item of a list, or for the record itself.
    pub(crate) name: Option<Range<usize>>,
    /// The bytes of its value.
    pub(crate) value: Range<usize>,
}

enum Inside {
    Object,
    List(usize),
}

struct Open {
    inside: Inside,
    /// The length of the path up to this value.
    path: usize,
    /// Where the value begins and what it is called, if it is wanted.
    member: Option<Member>,
}

/// The members of these joined paths that the first value of the text has; the first of each name counts.
pub(crate) fn find(text: &[u8], wanted: &HashSet<String>) -> HashMap<String, Member> {
    Walk { text, at: 0, wanted, found: HashMap::new() }.run()
}

struct Walk<'a> {
    text: &'a [u8],
    at: usize,
    wanted: &'a HashSet<String>,
    found: HashMap<String, Member>,
}

impl Walk<'_> {
    fn byte(&self) -> Option<u8> {
        self.text.get(self.at).copied()
    }

    fn pass(&mut self, is_passed: impl Fn(u8) -> bool) {
        while self.byte().is_some_and(&is_passed) {
            self.at += 1;
        }
    }

    fn run(mut self) -> HashMap<String, Member> {
        let mut path = String::new();
        let mut open: Vec<Open> = Vec::new();
        let mut name = None;
        loop {
            // At a value.
            self.pass(|byte| byte.is_ascii_whitespace());
            let start = self.at;
            let member = self
                .wanted
                .contains(&path)
                .then(|| Member { name: name.take(), value: start..start });
            match self.byte() {
                None => break,
                Some(byte @ (b'{' | b'[')) if open.len() < DEEPEST => {
                    self.at += 1;
                    let inside = if byte == b'{' { Inside::Object } else { Inside::List(0) };
                    open.push(Open { inside, path: path.len(), member });
                }
                Some(_) => {
                    self.skip();
                    self.keep(&path, member);
                }
            }
            // Behind a value, or at the beginning of a list or an object: on to the next value.
            loop {
                let Some(last) = open.last_mut() else {
                    return self.found;
                };
                path.truncate(last.path);
                self.pass(|byte| byte.is_ascii_whitespace() || byte == b',');
                match (self.byte(), &mut last.inside) {
                    (None, _) => return self.found,
                    (Some(b'}' | b']'), _) => {
                        self.at += 1;
                        let member = open.pop().and_then(|closed| closed.member);
                        self.keep(&path, member);
                    }
                    (Some(b'"'), Inside::Object) => {
                        let start = self.at;
                        self.skip();
                        let quoted = start..self.at;
                        path.push(STEP);
                        path.push_str(&unquoted(&self.text[quoted.clone()]));
                        name = Some(quoted);
                        self.pass(|byte| byte.is_ascii_whitespace() || byte == b':');
                        break;
                    }
                    (Some(_), Inside::List(next)) => {
                        path.push(STEP);
                        path.push_str(&next.to_string());
                        *next += 1;
                        name = None;
                        break;
                    }
                    (Some(_), Inside::Object) => self.at += 1,
                }
            }
        }
        self.found
    }

    fn keep(&mut self, path: &str, member: Option<Member>) {
        if let Some(mut member) = member {
            member.value.end = self.at;
            self.found.entry(path.to_owned()).or_insert(member);
        }
    }

    /// Passes one value without looking into it; at least one byte.
    fn skip(&mut self) {
        match self.byte() {
            Some(b'"') => self.pass_text(),
            Some(b'{' | b'[') => {
                let mut depth = 0_usize;
                loop {
                    match self.byte() {
                        None => return,
                        Some(b'"') => {
                            self.pass_text();
                            continue;
                        }
                        Some(b'{' | b'[') => depth += 1,
                        Some(b'}' | b']') => depth -= 1,
                        Some(_) => {}
                    }
                    self.at += 1;
                    if depth == 0 {
                        return;
                    }
                }
            }
            _ => {
                self.at += 1;
                self.pass(|byte| !byte.is_ascii_whitespace() && !b",]}".contains(&byte));
            }
        }
        self.at = self.at.min(self.text.len());
    }

    fn pass_text(&mut self) {
        self.at += 1;
        loop {
            self.pass(|byte| byte != b'"' && byte != b'\\');
            match self.byte() {
                None => break,
                Some(b'"') => {
                    self.at += 1;
                    break;
                }
                // Whatever is escaped does not end the text.
                Some(_) => self.at += 2,
            }
        }
        self.at = self.at.min(self.text.len());
    }
}

fn unquoted(quoted: &[u8]) -> String {
    if quoted.contains(&b'\\')
        && let Ok(name) = serde_json::from_slice(quoted)
    {
        return name;
    }
    let inner = quoted.strip_prefix(b"\"").unwrap_or(quoted);
    String::from_utf8_lossy(inner.strip_suffix(b"\"").unwrap_or(inner)).into_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str, path: &[&str]) -> Option<String> {
        let path = joined(path);
        let wanted = HashSet::from([path.clone()]);
        find(text.as_bytes(), &wanted)
            .get(&path)
            .map(|member| text[member.value.clone()].to_owned())
    }

    const RECORD: &str = r#" {"mark": "T1", "ends": {"a": {"tail_mm": 12.5}}, "points":
        [{"station_m": 0}, {"station_m": 7, "note": "}]\"{"}], "\u0061b": null, "mark": "T2"} rest"#;

    #[test]
    fn members_are_found_by_names_and_positions() {
        assert_eq!(at(RECORD, &["mark"]).unwrap(), "\"T1\"");
        assert_eq!(at(RECORD, &["ends", "a", "tail_mm"]).unwrap(), "12.5");
        assert_eq!(at(RECORD, &["points", "1", "station_m"]).unwrap(), "7");
        assert_eq!(at(RECORD, &["points", "1", "note"]).unwrap(), r#""}]\"{""#);
        assert_eq!(at(RECORD, &["ab"]).unwrap(), "null");
        assert_eq!(at(RECORD, &["ends", "a"]).unwrap(), r#"{"tail_mm": 12.5}"#);
        assert!(at(RECORD, &[]).unwrap().ends_with('}'));
    }

    #[test]
    fn what_is_not_there_is_not_found() {
        assert_eq!(at(RECORD, &["points", "2"]), None);
        assert_eq!(at(RECORD, &["ends", "b", "tail_mm"]), None);
        assert_eq!(at("", &["a"]), None);
    }

    #[test]
    fn a_member_knows_its_name() {
        let wanted = HashSet::from([joined(&["ends", "a"]), joined(&["points", "0"])]);
        let found = find(RECORD.as_bytes(), &wanted);
        let name = found[&joined(&["ends", "a"])].name.clone().unwrap();
        assert_eq!(&RECORD[name], "\"a\"");
        assert_eq!(found[&joined(&["points", "0"])].name, None);
    }

    #[test]
    fn no_bytes_make_it_panic_or_run_on() {
        let wanted = HashSet::from([joined(&["a"]), joined(&["a", "0"]), String::new()]);
        let mut seed = 7_u32;
        let letters = b"{}[]\",:\\a0 \xff\xe2";
        for _ in 0..20_000 {
            let text: Vec<u8> = (0..24)
                .map(|_| {
                    seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                    letters[(seed >> 16) as usize % letters.len()]
                })
                .collect();
            find(&text, &wanted);
        }
        find("[".repeat(100_000).as_bytes(), &wanted);
        find("{\"a\":".repeat(100_000).as_bytes(), &wanted);
    }
}
