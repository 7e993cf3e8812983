//! What stands round a note and explains its words: the marks of tendons, and what titles say of a whole sheet.

use std::collections::BTreeSet;

use super::accounted;
use super::context::Tables;
use super::whose::Whose;

/// Words for tendons that lie outside the concrete.
const EXTERNAL: [&str; 10] = [
    "external",
    "extern",
    "externe",
    "externen",
    "externer",
    "extérieur",
    "extérieure",
    "extérieurs",
    "extérieures",
    "externes",
];
/// Where these touch what is round them, besides their anchorages: all their friction is there.
const TOUCHED: [&str; 7] = [
    "deviator",
    "deviators",
    "umlenkstelle",
    "umlenkstellen",
    "umlenksattel",
    "déviateur",
    "déviateurs",
];

/// What is known where a note stands.
#[derive(Clone, Default)]
pub(in super::super) struct Told<'s> {
    /// The tables of the file, whose columns may say of which tendons a word speaks.
    pub(super) tables: Option<Tables<'s>>,
    /// The marks of all tendons of the file, in small letters.
    pub(super) marks: BTreeSet<String>,
    /// Words that titles say of all tendons of the file: `External tendons of the north web`.
    pub(super) of_all: BTreeSet<String>,
    /// Words that the titles of the note's own sheet say of the tendons in it.
    pub(super) of_sheet: BTreeSet<String>,
    /// The marks of these.
    pub(super) own: BTreeSet<String>,
    /// The field of which the note in the row above speaks.
    pub(super) field: Option<&'static [&'static str]>,
    /// The words of a heading above the note of which nobody knows what they mean.
    pub(super) heading: Vec<String>,
}

impl Told<'_> {
    /// The tendons of the note's own sheet.
    pub(in super::super) fn of_own_sheet(&self) -> Whose {
        match self.own.is_empty() || self.own == self.marks {
            true => Whose::All,
            false => Whose::Of(self.own.clone()),
        }
    }

    /// Words that are accounted for in a sentence that names these marks.
    pub(super) fn known(&self, named: &BTreeSet<String>, others: &[&str]) -> BTreeSet<String> {
        let mut known = self.of_all.clone();
        known.extend(named.iter().cloned());
        known.extend(others.iter().map(|word| (*word).to_owned()));
        if EXTERNAL.iter().any(|word| known.contains(*word)) {
            known.extend(EXTERNAL.iter().chain(&TOUCHED).map(|word| (*word).to_owned()));
        }
        known
    }

    /// Takes what an aside says of the deviators of external tendons, which are all that these touch: `at deviators (steel
    /// pipe)`.
    pub(super) fn know_deviators(sentence: &str, known: &mut BTreeSet<String>) {
        let lower = sentence.to_lowercase();
        let aside = lower.split_once('(').filter(|(before, _)| {
            let word = before.split_whitespace().next_back();
            word.is_some_and(|word| TOUCHED.contains(&word) && known.contains(word))
        });
        if let Some((aside, _)) = aside.and_then(|(_, behind)| behind.split_once(')')) {
            known.extend(accounted::words(aside).map(str::to_owned));
        }
    }

    /// Of which tendons a sentence speaks by the words that are left over of it, where the titles of the sheet say them
    /// too, or a column says them of some: `Tendons of the east web`.
    pub(super) fn of_words(&self, left: &[String], sentence: &str) -> Option<Whose> {
        let is_titled = left.iter().all(|word| self.of_sheet.contains(word));
        if is_titled && !self.own.is_empty() {
            return Some(Whose::Of(self.own.clone()));
        }
        let words = accounted::words(&sentence.to_lowercase()).map(str::to_owned).collect();
        self.tables.as_ref()?.of_words(left, &words).map(Whose::Of)
    }
}

/// The words of a title by which its tendons differ from others; those of a sentence are none.
pub(super) fn of_title(title: &str) -> BTreeSet<String> {
    /// Words of a title at most; what is longer says something.
    const WORDS: usize = 12;
    let lower = title.to_lowercase();
    let words: Vec<String> = lower
        .split(|c: char| !(c.is_alphanumeric() || c == '-'))
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect();
    let is_sentence = words.len() > WORDS || title.trim_end().ends_with('.') || has_verb(&lower);
    match is_sentence || !accounted::names_tendons(&lower) {
        true => BTreeSet::new(),
        false => words.into_iter().collect(),
    }
}

/// The words of a heading of notes, as `Transverse tendons:`, by which it speaks of fewer tendons; nothing if a text is
/// no heading.
pub(super) fn of_heading(text: &str, known: &BTreeSet<String>) -> Option<Vec<String>> {
    let lower = text.to_lowercase();
    let is_short = lower.split_whitespace().count() <= 8;
    let is_heading = is_short && !lower.trim_end().ends_with('.') && !has_verb(&lower);
    (is_heading && accounted::names_tendons(&lower)).then(|| accounted::qualifiers(text, known))
}

/// The words with which a sentence tells of which tendons it and those behind it speak; nothing if it names none.
pub(super) fn of_subject(sentence: &str, known: &BTreeSet<String>) -> Option<Vec<String>> {
    let lower = sentence.to_lowercase();
    let verb = VERBS.iter().filter_map(|verb| lower.find(&format!(" {verb} "))).min();
    let end = [lower.find(':'), verb].into_iter().flatten().min()?;
    let subject = sentence.get(..end)?;
    accounted::names_tendons(subject).then(|| accounted::qualifiers(subject, known))
}

const VERBS: [&str; 14] = [
    "is", "are", "shall", "will", "should", "to", "be", "were", "was", "filled", "sind", "werden",
    "sont", "seront",
];

fn has_verb(lower: &str) -> bool {
    VERBS.iter().any(|verb| *verb != "to" && lower.split_whitespace().any(|word| word == *verb))
}
