//! Sheets that state the same tendons as they were designed and as they were built, or in two revisions.
//!
//! The later one is read, so that no tendon stands twice, and which holds is asked. Of tendons and fields that the later
//! one has not the earlier one speaks still.

use std::collections::{BTreeMap, BTreeSet};

use restrand_model::reading::{Place, Question};

use super::super::Looked;
use super::lines::Lines;
use super::names::{ISSUES, REVISIONS, TENDONS};
use super::{Superseded, give_way};

/// Words of what is to be built: common practice, no source.
const EARLIER: [&str; 14] = [
    "tender", "tendered", "design", "designed", "planned", "proposed", "soll", "geplant", "prévu",
    "prévue", "prévus", "prévues", "projet", "progetto",
];
/// Words of what is built, or is what is built from: common practice, no source.
const LATER: [&str; 18] = [
    "built",
    "asbuilt",
    "construction",
    "constructed",
    "actual",
    "executed",
    "installed",
    "ist",
    "ausgeführt",
    "exécuté",
    "exécutée",
    "exécutés",
    "exécutées",
    "réalisé",
    "réalisée",
    "réalisés",
    "réalisées",
    "eseguito",
];
/// Words beside these that say no more.
const BESIDE: [&str; 5] = ["as", "issued", "for", "the", "values"];
/// Marks that are named in a question at most.
const SHOWN: usize = 4;

/// When a sheet was made, as its name says: the greater one is the later.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Version {
    stage: u8,
    /// The kind of the revision, and its number or that of its letter.
    revision: (u8, u32),
}

/// The rest of the name of a sheet, and its version; nothing where it says two things at once.
fn read(name: &str) -> Option<(Vec<String>, Version)> {
    let lower = name.to_lowercase();
    let words: Vec<&str> =
        lower.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let mut rest: Vec<String> = Vec::new();
    let (mut stage, mut revision) = (None, None);
    let mut at = 0;
    while let Some(word) = words.get(at) {
        at += 1;
        let of_word = match *word {
            word if EARLIER.contains(&word) => Some(0),
            word if LATER.contains(&word) => Some(2),
            _ => None,
        };
        if let Some(of_word) = of_word {
            if stage.is_some_and(|stage| stage != of_word) {
                return None;
            }
            stage = Some(of_word);
            continue;
        }
        let behind = words.get(at).copied().unwrap_or_default();
        let joined = word.strip_prefix("rev").unwrap_or_default();
        let found = match REVISIONS.contains(word) {
            true => issue(behind).inspect(|_| at += 1),
            false => issue(joined),
        };
        match found {
            Some(_) if revision.is_some() => return None,
            Some(found) => revision = Some(found),
            None if TENDONS.contains(word) || ISSUES.contains(word) => {}
            None => rest.push((*word).to_owned()),
        }
    }
    if stage.is_some() {
        rest.retain(|word| !BESIDE.contains(&word.as_str()));
    }
    let version = Version { stage: stage.unwrap_or(1), revision: revision.unwrap_or_default() };
    Some((rest, version))
}

/// A revision: a number, a letter, or one of those that begin with `P` before construction and with `C` from then on.
///
/// The latter two are those of the UK National Annex of ISO 19650-2, from memory.
fn issue(text: &str) -> Option<(u8, u32)> {
    let letters = text.trim_end_matches(|c: char| c.is_ascii_digit());
    let number: Option<u32> = text[letters.len()..].parse().ok();
    let mut chars = letters.chars();
    match (chars.next(), chars.next(), number) {
        (None, _, Some(number)) => Some((1, number)),
        (Some(letter), None, None) if letter.is_ascii_lowercase() => Some((2, u32::from(letter))),
        (Some('p'), None, Some(number)) => Some((3, number)),
        (Some('c'), None, Some(number)) => Some((4, number)),
        _ => None,
    }
}

/// The earlier ones of sheets that contradict each other, taken out of the others, and the questions which holds.
pub(super) fn settle(looked: &mut Vec<Looked>) -> (Vec<Superseded>, Vec<Question>) {
    let mut sheets: Vec<(String, String, Lines)> = Vec::new();
    for one in looked.iter() {
        let (part, name) = (&one.sheet.part, &one.sheet.name);
        match sheets.iter_mut().find(|(of, called, _)| (of, called) == (part, name)) {
            Some((.., lines)) => one.found.iter().for_each(|found| lines.add(&one.sheet, found)),
            None => sheets.push((part.clone(), name.clone(), Lines::of(one))),
        }
    }
    type Versions<'l> = Vec<(Version, &'l String, &'l Lines)>;
    let mut groups: BTreeMap<(&String, Vec<String>), Versions<'_>> = BTreeMap::new();
    for (part, name, lines) in &sheets {
        if let Some((rest, version)) = read(name) {
            groups.entry((part, rest)).or_default().push((version, name, lines));
        }
    }
    let mut why: BTreeMap<(String, String), (String, &Lines, bool)> = BTreeMap::new();
    let mut questions = Vec::new();
    for ((part, _), mut versions) in groups {
        versions.sort_by_key(|(version, ..)| std::cmp::Reverse(*version));
        let mut rest = versions.into_iter();
        let Some((latest, held, lines)) = rest.next() else { continue };
        let mut marks: BTreeSet<&str> = BTreeSet::new();
        let mut others = Vec::new();
        for (version, name, other) in rest {
            let contradicted = other.contradicted(lines);
            if version == latest || contradicted.is_empty() {
                continue;
            }
            let reason = format!(
                "\"{held}\" states tendons of it otherwise, and is the later of both by its name"
            );
            let key = (part.clone(), name.clone());
            // Kinds of strand that it lists, and tendons of its own, hold still.
            let states_more = looked
                .iter()
                .filter(|one| (&one.sheet.part, &one.sheet.name) == (part, name))
                .any(|one| one.found.iter().any(|found| found.assignment.list != "Tendons"));
            why.insert(key, (reason, lines, other.is_within(lines) && !states_more));
            marks.extend(contradicted);
            others.push(name.as_str());
        }
        if !others.is_empty() {
            questions.push(question(part, held, &others, &marks));
        }
    }
    let mut superseded = Vec::new();
    for mut one in std::mem::take(looked) {
        let key = (one.sheet.part.clone(), one.sheet.name.clone());
        match why.get(&key) {
            Some((why, _, true)) => superseded.push(Superseded {
                sheet: one.sheet,
                rows: BTreeSet::new(),
                why: why.clone(),
                what: "sheet",
            }),
            Some((why, held, false)) => {
                for found in &mut one.found {
                    let mut lines = Lines::default();
                    lines.add(&one.sheet, found);
                    let rows = lines.shared(held);
                    if !rows.is_empty() {
                        let why = why.clone();
                        superseded.push(give_way(&mut one.sheet, found, rows, held, why));
                    }
                }
                looked.push(one);
            }
            None => looked.push(one),
        }
    }
    (superseded, questions)
}

/// Asks which of some sheets holds, of which one is read.
pub(super) fn question(
    part: &str,
    held: &str,
    others: &[&str],
    marks: &BTreeSet<&str>,
) -> Question {
    let quoted = |name: &str| format!("\"{name}\"");
    let names: Vec<String> = others.iter().map(|name| quoted(name)).collect();
    let some: Vec<String> = marks.iter().take(SHOWN).map(|mark| mark.to_uppercase()).collect();
    Question {
        place: Place::Sheet { part: part.to_owned(), sheet: held.to_owned() },
        records: Vec::new(),
        subject: "sheet".to_owned(),
        header: held.to_owned(),
        given: held.to_owned(),
        readings: std::iter::once(quoted(held))
            .chain(names.iter().cloned())
            .map(|name| format!("{name} holds"))
            .collect(),
        why: format!(
            "{} and {} state tendons otherwise that are called alike, as {}; {} is read meanwhile, and nothing that \
             contradicts it is taken from the rest, so that none stands twice",
            quoted(held),
            names.join(" and "),
            some.join(", "),
            quoted(held)
        ),
        help: "take what no longer holds out of the file, or let a mapping file say of the sheet: ignore = true"
            .to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_say_which_of_two_is_the_later() {
        for (one, other) in [
            ("As designed", "As built"),
            ("Tendons (tender)", "Tendons - issued for construction"),
            ("Planned", "Actual values"),
            ("Spannglieder Soll", "Spannglieder Ist"),
            ("Câbles prévus", "Câbles exécutés"),
            ("Schedule Rev A", "Schedule Rev. B"),
            ("Tendons_RevA", "Tendons_RevC"),
            ("Rev P2", "Rev C1"),
            ("Tendon schedule", "As built"),
            ("Issue 9", "Issue 10"),
        ] {
            let (one, other) = (read(one).unwrap(), read(other).unwrap());
            assert_eq!(one.0, other.0);
            assert!(one.1 < other.1, "{one:?} {other:?}");
        }
        for (one, other) in [
            ("Span 1 as designed", "Span 2 as built"),
            ("Left", "Right as built"),
            ("Span 1", "Span 2"),
        ] {
            assert_ne!(read(one).unwrap().0, read(other).unwrap().0, "{one} {other}");
        }
        assert_eq!(read("Soll - Ist"), None);
        assert_eq!(read("Tendons").unwrap().1, read("Register of cables").unwrap().1);
    }
}
