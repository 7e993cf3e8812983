//! The lines as `serde` sees them.

use std::borrow::Cow;

use restrand_model::reading::Understood;
use restrand_model::value::{Fields, Value};
use serde::de::{self, DeserializeOwned, Deserializer};
use serde::ser::Serializer;
use serde::{Deserialize, Serialize};

use super::DEEPEST;
use super::place::{KindWord, PlaceLine};

/// A text, borrowed where it is written.
pub(super) type Text<'a> = Cow<'a, str>;

/// A line of a description, a reading or a writing.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum Line<'a> {
    /// What a plugin is.
    Description(DescriptionLine<'a>),
    /// A table begins.
    Table(TableLine<'a>),
    /// A record.
    Record(RecordLine<'a>),
    /// A problem.
    Problem(ProblemLine<'a>),
    /// A question.
    Question(QuestionLine<'a>),
    /// How a sheet was understood.
    Understood(Cow<'a, Understood>),
    /// A value that could not be carried.
    Loss(LossLine<'a>),
    /// Why the call did not do what it was asked to.
    Error(ErrorLine<'a>),
    /// Nothing follows.
    End(EndLine),
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct DescriptionLine<'a> {
    pub(super) id: Text<'a>,
    pub(super) summary: Text<'a>,
    pub(super) reads: Vec<Text<'a>>,
    pub(super) writes: Vec<Text<'a>>,
    /// Whether what it writes comes with a layout.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub(super) layout: bool,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TableLine<'a> {
    pub(super) part: Text<'a>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) sheet: Option<Text<'a>>,
    /// Whether its rows are lines of a text.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub(super) lines: bool,
    /// Whether its rows are columns of the sheet.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub(super) turned: bool,
    pub(super) list: Text<'a>,
    #[serde(default)]
    pub(super) header_row: u32,
    #[serde(default)]
    pub(super) columns: Vec<ColumnLine<'a>>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ColumnLine<'a> {
    pub(super) index: u32,
    pub(super) header: Text<'a>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) path: Vec<Text<'a>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) unit: Option<Text<'a>>,
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub(super) link: bool,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RecordLine<'a> {
    pub(super) table: u32,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) row: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) span: Option<(u64, u64)>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) links: Vec<Option<Text<'a>>>,
    pub(super) fields: Members<'a>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) texts: Vec<(u32, Text<'a>)>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) apart: Vec<ApartLine<'a>>,
}

/// Where a value stands that stands elsewhere than its record.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ApartLine<'a> {
    pub(super) way: Vec<Text<'a>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) row: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) span: Option<(u64, u64)>,
}

/// The members of a record: lent to be written, owned when read.
#[derive(Debug)]
pub(super) enum Members<'a> {
    Lent(&'a Fields),
    Owned(Fields),
}

impl Members<'_> {
    pub(super) fn into_fields(self) -> Fields {
        match self {
            Self::Lent(fields) => fields.clone(),
            Self::Owned(fields) => fields,
        }
    }
}

impl Serialize for Members<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Lent(fields) => fields.serialize(serializer),
            Self::Owned(fields) => fields.serialize(serializer),
        }
    }
}

impl<'de> Deserialize<'de> for Members<'_> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        match Value::deserialize(deserializer)? {
            Value::Fields(fields) => Ok(Self::Owned(fields)),
            _ => Err(de::Error::custom("a record is an object")),
        }
    }
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ProblemLine<'a> {
    pub(super) kind: KindWord,
    pub(super) place: PlaceLine<'a>,
    /// Table and position of the record, if it was or will be read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) record: Option<(u32, u32)>,
    pub(super) subject: Text<'a>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) given: Option<Text<'a>>,
    pub(super) why: Text<'a>,
    pub(super) help: Text<'a>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct QuestionLine<'a> {
    pub(super) place: PlaceLine<'a>,
    /// Tables and positions of the records.
    pub(super) records: Vec<(u32, u32)>,
    pub(super) subject: Text<'a>,
    pub(super) header: Text<'a>,
    pub(super) given: Text<'a>,
    pub(super) readings: Vec<Text<'a>>,
    pub(super) why: Text<'a>,
    pub(super) help: Text<'a>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LossLine<'a> {
    pub(super) route: Text<'a>,
    pub(super) value: Text<'a>,
    pub(super) why: Text<'a>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ErrorLine<'a> {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) place: Option<PlaceLine<'a>>,
    pub(super) why: Text<'a>,
    #[serde(default)]
    pub(super) help: Text<'a>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct EndLine {
    #[serde(default)]
    pub(super) tables: u64,
    #[serde(default)]
    pub(super) records: u64,
    #[serde(default)]
    pub(super) problems: u64,
    #[serde(default)]
    pub(super) questions: u64,
    #[serde(default)]
    pub(super) understood: u64,
    #[serde(default)]
    pub(super) losses: u64,
}

/// Writes one line.
pub(super) fn write<T: Serialize>(line: &T, lines: &mut Vec<u8>) {
    let written = serde_json::to_writer(&mut *lines, line);
    debug_assert!(written.is_ok(), "texts, numbers and lists of them are always JSON");
    lines.push(b'\n');
}

/// Reads one line, or says as a clause what is wrong with it.
pub(super) fn read<T: DeserializeOwned>(line: &[u8]) -> Result<T, String> {
    let text = std::str::from_utf8(line)
        .map_err(|error| format!("byte {} of it is not UTF-8", error.valid_up_to() + 1))?;
    if depth(line) > DEEPEST {
        return Err(format!("it is nested deeper than {DEEPEST} levels"));
    }
    let mut json = serde_json::Deserializer::from_str(text);
    // Bounded above, by more than the parser's own limit.
    json.disable_recursion_limit();
    let read = T::deserialize(&mut json).and_then(|read| json.end().map(|()| read));
    read.map_err(|error| error.to_string())
}

/// How deep brackets are nested in a line.
fn depth(line: &[u8]) -> usize {
    let (mut depth, mut deepest) = (0_usize, 0);
    let (mut in_text, mut escaped) = (false, false);
    for byte in line {
        if in_text {
            match byte {
                _ if escaped => escaped = false,
                b'\\' => escaped = true,
                b'"' => in_text = false,
                _ => {}
            }
            continue;
        }
        match byte {
            b'"' => in_text = true,
            b'{' | b'[' => {
                depth += 1;
                deepest = deepest.max(depth);
            }
            b'}' | b']' => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    deepest
}
