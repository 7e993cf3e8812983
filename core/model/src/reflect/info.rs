//! What a record's declaration says about itself.

use std::sync::OnceLock;

use super::record::Record;
use crate::quantity::{Unit, of_field};

/// A record type.
#[derive(Debug)]
pub struct RecordInfo {
    /// The name of the record in routes and schemas, as `removal_space`.
    pub name: &'static str,
    /// The documentation, a line each.
    pub doc: &'static [&'static str],
    /// The field by whose value other records and routes name this one.
    pub key: Option<&'static str>,
    /// The fields in order, without the open `extra` map that every record has.
    pub fields: &'static [FieldInfo],
    /// Makes an empty record.
    pub make: fn() -> Box<dyn Record>,
}

impl RecordInfo {
    /// The position of the field of this name.
    #[must_use]
    pub fn index_of(&self, name: &str) -> Option<usize> {
        self.fields.iter().position(|field| field.name == name)
    }

    /// The field of this name.
    #[must_use]
    pub fn field(&self, name: &str) -> Option<&'static FieldInfo> {
        self.fields.iter().find(|field| field.name == name)
    }

    /// The position of a field, looked for from `start` on and then from the beginning.
    ///
    /// Members usually come in the order of the declaration, so the next one is nearly always right.
    pub(crate) fn index_from(&self, start: usize, name: &str) -> Option<usize> {
        let count = self.fields.len();
        (0..count).map(|step| (start + step) % count).find(|index| self.fields[*index].name == name)
    }

    /// The documentation as one text.
    #[must_use]
    pub fn description(&self) -> String {
        join(self.doc)
    }
}

/// A field of a record.
#[derive(Debug)]
pub struct FieldInfo {
    /// The name, whose ending says the unit.
    pub name: &'static str,
    /// The documentation, a line each; a last sentence `Example: …` holds an example.
    pub doc: &'static [&'static str],
    /// What the field holds.
    pub shape: Shape,
    /// What numbers it takes.
    pub range: Range,
    /// Looked up when it is first asked for; it is asked for with each value of a file.
    pub(crate) unit: OnceLock<Option<&'static Unit>>,
}

impl FieldInfo {
    /// The unit that the name says.
    #[must_use]
    pub fn unit(&self) -> Option<&'static Unit> {
        *self.unit.get_or_init(|| of_field(self.name).1)
    }

    /// The documentation as one text, without the example.
    #[must_use]
    pub fn description(&self) -> String {
        let text = join(self.doc);
        match text.rfind("Example: ") {
            Some(at) => text[..at].trim_end().to_owned(),
            None => text,
        }
    }

    /// The example that the documentation gives.
    #[must_use]
    pub fn example(&self) -> Option<String> {
        let text = join(self.doc);
        let at = text.rfind("Example: ")?;
        Some(text[at + "Example: ".len()..].trim_end().trim_end_matches('.').to_owned())
    }

    /// The name in words, without the unit, as a header or a message shows it: `Greatest outer`.
    #[must_use]
    pub fn label(&self) -> String {
        words(of_field(self.name).0)
    }
}

fn join(lines: &[&str]) -> String {
    lines.iter().map(|line| line.trim()).collect::<Vec<_>>().join(" ")
}

/// A name in words: underscores become spaces, the first letter a capital.
pub(crate) fn words(name: &str) -> String {
    let mut label = name.replace('_', " ");
    if let Some(first) = label.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    label
}

/// What a field holds.
#[derive(Debug, Clone, Copy)]
pub enum Shape {
    /// A number in the unit of the field's name.
    Number,
    /// A whole number, not negative.
    Count,
    /// Yes or no.
    Flag,
    /// Text.
    Text,
    /// A calendar date.
    Date,
    /// One of a closed list of words.
    Choice(&'static [ChoiceInfo]),
    /// The key of a record in the schedule's list of this name.
    Link(&'static str),
    /// Whole numbers.
    Counts,
    /// Texts.
    Texts,
    /// Words of a closed list.
    Choices(&'static [ChoiceInfo]),
    /// Keys of records in the schedule's list of this name.
    Links(&'static str),
    /// A record.
    Record(fn() -> &'static RecordInfo),
    /// Records in order.
    Records(fn() -> &'static RecordInfo),
}

/// One word of an enumeration.
#[derive(Debug)]
pub struct ChoiceInfo {
    /// The word in the document, as `as_built`.
    pub name: &'static str,
    /// What it means, a line each.
    pub doc: &'static [&'static str],
}

impl ChoiceInfo {
    /// The documentation as one text.
    #[must_use]
    pub fn description(&self) -> String {
        join(self.doc)
    }

    /// The word of the list that a person meant: case, spaces, hyphens and underscores do not count.
    #[must_use]
    pub fn find(words: &'static [Self], text: &str) -> Option<&'static Self> {
        let plain = |text: &str| -> String {
            text.chars()
                .filter(|c| !(c.is_whitespace() || matches!(c, '_' | '-' | '–')))
                .flat_map(char::to_lowercase)
                .collect()
        };
        let wanted = plain(text);
        words.iter().find(|word| plain(word.name) == wanted)
    }
}

/// What numbers a field takes; every number is finite and within what any bridge can need.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Range {
    /// Greater than zero.
    Positive,
    /// Zero or greater.
    NotNegative,
    /// Any sign.
    Signed,
    /// From zero to one.
    Share,
}
