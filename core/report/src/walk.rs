//! Finds members in the text of a JSON record.
//!
//! The text was read once already; here only places are looked for, for all findings of a record in one
//! pass, and nothing is trusted: on any text at all the search ends and does not panic.

use std::collections::{HashMap, HashSet};
use std::ops::Range;

use restrand_kit::json_text::{Walk, unquoted};

/// Stands between the steps of a joined path; no name that is looked for holds it.
const STEP: char = '\u{1f}';

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

/// The members of these joined paths that the first value of the text has; the first of each name counts.
///
/// Of a path, all beginnings are wanted as well: what is not wanted is not looked into.
pub(crate) fn find(text: &str, wanted: &HashSet<String>) -> HashMap<String, Member> {
    let mut search = Search { walk: Walk::new(text, 0), wanted, found: HashMap::new() };
    search.value(&mut String::new(), None);
    search.found
}

struct Search<'a> {
    walk: Walk<'a>,
    wanted: &'a HashSet<String>,
    found: HashMap<String, Member>,
}

impl Search<'_> {
    /// Looks through the value that comes next, which is of this path and name; as deep as a wanted path goes.
    fn value(&mut self, path: &mut String, name: Option<Range<usize>>) {
        let is_wanted = self.wanted.contains(path);
        let length = path.len();
        let first = self.walk.peek();
        let start = self.walk.at();
        match first {
            Some(b'{') if is_wanted || path.is_empty() => {
                self.walk.enter();
                while let Some(quoted) = self.walk.member() {
                    let text = self.walk.slice(&quoted);
                    path.push(STEP);
                    path.push_str(&unquoted(text).unwrap_or(text.into()));
                    self.value(path, Some(quoted));
                    path.truncate(length);
                }
            }
            Some(b'[') if is_wanted || path.is_empty() => {
                self.walk.enter();
                for at in 0_usize.. {
                    if !self.walk.item() {
                        break;
                    }
                    path.push(STEP);
                    path.push_str(&at.to_string());
                    self.value(path, None);
                    path.truncate(length);
                }
            }
            _ => {
                self.walk.skip();
            }
        }
        if is_wanted {
            let member = Member { name, value: start..self.walk.at() };
            self.found.entry(path.clone()).or_insert(member);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str, path: &[&str]) -> Option<String> {
        let wanted = (0..=path.len()).map(|count| joined(&path[..count])).collect();
        find(text, &wanted).get(&joined(path)).map(|member| text[member.value.clone()].to_owned())
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
        let wanted = [&["ends"][..], &["ends", "a"], &["points"], &["points", "0"]];
        let found = find(RECORD, &wanted.iter().map(|path| joined(path)).collect());
        let name = found[&joined(&["ends", "a"])].name.clone().unwrap();
        assert_eq!(&RECORD[name], "\"a\"");
        assert_eq!(found[&joined(&["points", "0"])].name, None);
    }

    #[test]
    fn no_text_makes_it_panic_or_run_on() {
        let wanted = HashSet::from([joined(&["a"]), joined(&["a", "0"]), String::new()]);
        let mut seed = 7_u32;
        let letters: Vec<char> = "{}[]\",:\\a0 é∅".chars().collect();
        for _ in 0..20_000 {
            let text: String = (0..24)
                .map(|_| {
                    seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                    letters[(seed >> 16) as usize % letters.len()]
                })
                .collect();
            let found = find(&text, &wanted);
            let is_there = |member: &Member| member.value.end <= text.len();
            assert!(found.values().all(is_there), "{text} {found:?}");
        }
        find(&"[".repeat(100_000), &wanted);
        find(&"{\"a\":".repeat(100_000), &wanted);
    }
}
