//! The trade's words for the fields of the schedule, and for the words of their lists.
//!
//! A field's own label is always among its words; here stand the others.
//! Common practice, no source.

mod described;
mod ends;
mod lists;
mod parts;
mod qualifiers;
mod rows;
mod tendons;

use std::collections::{BTreeMap, HashMap};
use std::sync::OnceLock;

use restrand_model::reflect::{ChoiceInfo, FieldInfo, Shape};
use restrand_model::sheet::{self, Column};

use super::words::{sorted, words};
use described::DESCRIPTIONS;
use lists::{UNCLEAR, WORDS};
pub(super) use qualifiers::{DATUMS, Says, changes_in_group, says};
pub(super) use rows::{
    CARRIED, CARRIED_OVER, DELETED, DELETED_SINCE, DITTO, FUTURE, NOTES, PENDING, SPARE, TOTALS,
};

/// Lists whose rows people keep in sheets of their own making.
pub(super) const LISTS: &[&str] = &[
    "Tendons",
    "Ends",
    "Points",
    "Deviators",
    "Strands",
    "Ducts",
    "Anchorages",
    "Jacks",
    "Places",
    "Spans",
    "StressingSteps",
    "Measurements",
    "Openings",
    "Bays",
    "Vents",
];

/// A field by the layout's sheet and its path, or the header of a link, with what people call it.
type Synonyms = (&'static str, &'static str, &'static [&'static str]);

/// What people call fields.
fn synonyms() -> impl Iterator<Item = &'static Synonyms> {
    tendons::SYNONYMS.iter().chain(ends::SYNONYMS).chain(parts::SYNONYMS)
}

/// What several fields hold in one text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Description {
    /// Number and size of strands.
    Strands,
    /// Diameter and wall of a duct.
    Pipe,
}

/// What a header can stand for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Target {
    /// A column of a sheet of the layout, by their positions.
    Column(usize, usize),
    /// A description.
    Described(Description),
}

/// A name of a target.
#[derive(Debug)]
pub(super) struct Term {
    pub(super) target: Target,
    /// Its words, sorted.
    pub(super) words: Vec<String>,
}

/// All names of all targets.
pub(super) struct Vocabulary {
    terms: Vec<Term>,
    /// The terms that have a word, by the word.
    by_word: HashMap<String, Vec<usize>>,
}

impl Vocabulary {
    /// The one vocabulary.
    pub(super) fn get() -> &'static Self {
        static VOCABULARY: OnceLock<Vocabulary> = OnceLock::new();
        VOCABULARY.get_or_init(Self::new)
    }

    fn new() -> Self {
        let mut terms = Vec::new();
        let mut add = |target: Target, phrase: &str| {
            let words = sorted(words(phrase));
            if !words.is_empty() {
                terms.push(Term { target, words });
            }
        };
        for list in LISTS.iter().chain(&["Project"]) {
            let Some((index, sheet)) = list_at(list) else { continue };
            for (at, column) in sheet::columns_of(sheet).iter().enumerate() {
                match column {
                    Column::Link { header } => add(Target::Column(index, at), header),
                    Column::Value { label, .. } => add(Target::Column(index, at), label),
                }
            }
        }
        for (list, field, phrases) in synonyms() {
            if let Some(target) = target_of(list, field) {
                phrases.iter().for_each(|phrase| add(target, phrase));
            }
        }
        for (description, phrases) in DESCRIPTIONS {
            phrases.iter().for_each(|phrase| add(Target::Described(*description), phrase));
        }
        let mut by_word: HashMap<String, Vec<usize>> = HashMap::new();
        for (index, term) in terms.iter().enumerate() {
            for word in &term.words {
                by_word.entry(word.clone()).or_default().push(index);
            }
        }
        Self { terms, by_word }
    }

    /// The targets whose names are among these words, each with the share of the words that it explains.
    pub(super) fn find(&self, wanted: &[String]) -> Vec<(Target, f64)> {
        let mut best: BTreeMap<Target, f64> = BTreeMap::new();
        let mut looked: BTreeMap<usize, usize> = BTreeMap::new();
        for word in wanted {
            for term in self.by_word.get(word).into_iter().flatten() {
                *looked.entry(*term).or_default() += 1;
            }
        }
        for (index, met) in looked {
            let term = &self.terms[index];
            if met < term.words.len() || wanted.is_empty() {
                continue;
            }
            #[expect(clippy::cast_precision_loss, reason = "headers have a few words")]
            let share = met as f64 / wanted.len() as f64;
            let score = if met == wanted.len() { 1.0 } else { 0.9 * share };
            let kept = best.entry(term.target).or_default();
            *kept = kept.max(score);
        }
        let mut found: Vec<_> = best.into_iter().collect();
        found.sort_by(|one, other| other.1.total_cmp(&one.1).then(one.0.cmp(&other.0)));
        found
    }

    /// The words of the name of a target that explains most of what a header says itself, among all words that it may
    /// be named by; nothing where no name is among them.
    pub(super) fn explained(&self, target: Target, all: &[String], own: &[String]) -> &[String] {
        let with = all.iter().filter_map(|word| self.by_word.get(word)).flatten();
        let names = with.map(|index| &self.terms[*index]).filter(|term| {
            term.target == target && term.words.iter().all(|word| all.contains(word))
        });
        let explains = |term: &&Term| {
            let of_own = term.words.iter().filter(|word| own.contains(word)).count();
            (of_own, term.words.len())
        };
        names.max_by_key(explains).map_or(&[], |term| &term.words)
    }
}

/// A list of the layout by name, with its position.
pub(super) fn list_at(name: &str) -> Option<(usize, &'static sheet::Sheet)> {
    sheet::SHEETS.iter().enumerate().find(|(_, sheet)| sheet.name == name)
}

/// The target of a list and a field's path, or the header of a link.
pub(super) fn target_of(list: &str, field: &str) -> Option<Target> {
    let (index, sheet) = list_at(list)?;
    let at = sheet::columns_of(sheet).iter().position(|column| match column {
        Column::Link { header } => *header == field,
        Column::Value { path, .. } => path.join(".") == field,
    })?;
    Some(Target::Column(index, at))
}

/// The targets of a list that are values, each with its field.
pub(super) fn fields_of(list: &str) -> impl Iterator<Item = (Target, &'static FieldInfo)> {
    list_at(list).into_iter().flat_map(|(index, sheet)| {
        let columns = sheet::columns_of(sheet).iter().enumerate();
        columns.filter_map(move |(at, column)| match column {
            Column::Value { field, .. } => Some((Target::Column(index, at), field.0)),
            Column::Link { .. } => None,
        })
    })
}

impl Target {
    /// The column of the layout, if it is one.
    pub(super) fn column(self) -> Option<&'static Column> {
        match self {
            Self::Column(sheet, column) => sheet::columns_of(&sheet::SHEETS[sheet]).get(column),
            Self::Described(_) => None,
        }
    }

    /// The name of the layout's sheet it belongs to.
    pub(super) fn list(self) -> Option<&'static str> {
        match self {
            Self::Column(sheet, _) => Some(sheet::SHEETS[sheet].name),
            Self::Described(_) => None,
        }
    }

    /// The target as a sentence says it: the field, or what a link names.
    pub(super) fn said(self) -> String {
        match self.column() {
            Some(Column::Link { header: "End" }) => "the end of which a row speaks".to_owned(),
            Some(Column::Link { header }) => {
                format!("the {} to which a row belongs", header.to_lowercase())
            }
            _ => self.name(),
        }
    }

    /// The target as routes and mapping files write it: `tendon.strand_count`.
    pub(super) fn name(self) -> String {
        match self {
            Self::Described(Description::Strands) => "strands, described".to_owned(),
            Self::Described(Description::Pipe) => "duct, described".to_owned(),
            Self::Column(index, _) => {
                let record = sheet::SHEETS[index].record.name;
                match self.column() {
                    Some(Column::Value { path, .. }) => format!("{record}.{}", path.join(".")),
                    Some(Column::Link { header }) => format!("{record}, {}", header.to_lowercase()),
                    None => record.to_owned(),
                }
            }
        }
    }
}

/// What a text says for a field that takes a word of a list.
pub(super) enum Word {
    /// This word.
    Is(&'static str),
    /// One of these words, and nothing tells which.
    Unclear(&'static [&'static str]),
    /// None of the list.
    Unknown,
}

/// The word of a field's list that a text means, which may say it in two tongues: `cire / wax`.
pub(super) fn word(field: &FieldInfo, list: &'static [ChoiceInfo], text: &str) -> Word {
    let whole = one_word(field, list, text);
    if let (Word::Unknown, Some((one, other))) = (&whole, text.split_once('/')) {
        return match (one_word(field, list, one), one_word(field, list, other)) {
            (Word::Is(one), Word::Is(other)) if one == other => Word::Is(one),
            (Word::Is(word), Word::Unknown) | (Word::Unknown, Word::Is(word))
                if one.trim().len() > 1 && other.trim().len() > 1 =>
            {
                Word::Is(word)
            }
            _ => Word::Unknown,
        };
    }
    whole
}

/// Whether a text is a word of the list of a field that is called by these words, as `grout` of `Filler`.
pub(super) fn is_word_of(called: &[String], text: &str) -> bool {
    let found = Vocabulary::get().find(called);
    let fields = found.iter().filter(|(_, score)| *score >= 1.0);
    fields.filter_map(|(target, _)| target.column()).any(|column| match column {
        Column::Value { field, .. } => match field.0.shape {
            Shape::Choice(list) => !matches!(word(field.0, list, text), Word::Unknown),
            _ => false,
        },
        Column::Link { .. } => false,
    })
}

/// Whether a text is a word of any list.
pub(super) fn is_of_a_list(text: &str) -> bool {
    let columns = sheet::SHEETS.iter().flat_map(|sheet| sheet::columns_of(sheet));
    let mut fields = columns.filter_map(|column| match column {
        Column::Value { field, .. } => Some(field.0),
        Column::Link { .. } => None,
    });
    fields.any(|field| match field.shape {
        Shape::Choice(list) | Shape::Choices(list) => {
            !matches!(one_word(field, list, text), Word::Unknown)
        }
        _ => false,
    })
}

fn one_word(field: &FieldInfo, list: &'static [ChoiceInfo], text: &str) -> Word {
    if let Some(word) = ChoiceInfo::find(list, text) {
        return Word::Is(word.name);
    }
    let plain: String = text
        .to_lowercase()
        .chars()
        .filter(|letter| *letter != '.')
        .map(|letter| if letter.is_alphanumeric() { letter } else { ' ' })
        .collect();
    let plain = plain.split_whitespace().collect::<Vec<_>>().join(" ");
    let plain = plain.strip_suffix(" anchorage").map_or_else(|| plain.clone(), str::to_owned);
    // Since when it is so may stand behind a word: `in use 2021`.
    let plain = plain
        .rsplit_once(' ')
        .filter(|(_, year)| {
            field.name == "status" && year.len() == 4 && year.parse::<u16>().is_ok()
        })
        // What is to be removed is still there.
        .filter(|(word, _)| !["removed", "taken out", "dismantled"].contains(word))
        .map_or_else(|| plain.clone(), |(word, _)| word.to_owned());
    let found = WORDS.iter().find(|(name, word, texts)| {
        *name == field.name
            && texts.contains(&&*plain)
            && list.iter().any(|choice| choice.name == *word)
    });
    if let Some((_, word, _)) = found {
        return Word::Is(word);
    }
    UNCLEAR
        .iter()
        .find(|(name, texts, _)| *name == field.name && texts.contains(&&*plain))
        .map_or(Word::Unknown, |(_, _, words)| Word::Unclear(words))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_synonym_belongs_to_a_field_and_says_something() {
        for (list, field, phrases) in synonyms() {
            assert!(target_of(list, field).is_some(), "{list}: {field}");
            for phrase in *phrases {
                assert!(!words(phrase).is_empty(), "{phrase}");
            }
        }
        for (list, field) in CARRIED {
            assert!(target_of(list, field).is_some(), "{list}: {field}");
        }
    }

    #[test]
    fn headers_find_their_fields() {
        let first = |header: &str| {
            let found = Vocabulary::get().find(&sorted(words(header)));
            found
                .into_iter()
                .take_while(|(_, score)| *score >= 1.0)
                .map(|(target, _)| target.name())
                .collect::<Vec<_>>()
        };
        assert!(first("NO. OF\nSTRANDS").contains(&"tendon.strand_count".to_owned()));
        assert!(first("Jacking Force").contains(&"tendon.stressing.jacking_force_kn".to_owned()));
        assert!(first("Duct O.D.").contains(&"duct.outer_mm".to_owned()));
        assert!(first("Chainage").contains(&"tendon_point.station_m".to_owned()));
        assert!(first("Colour").is_empty());
    }
}
