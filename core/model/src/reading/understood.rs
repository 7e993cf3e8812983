//! How a sheet that is not in the schedule's own layout was understood.

use serde::{Deserialize, Serialize};

/// How sure a reading is of what it took something for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Sureness {
    /// Nothing takes it; it is kept under its own name.
    Kept,
    /// It can mean several things and is not taken: a question asks.
    Asked,
    /// Most of what stands there speaks for it.
    Likely,
    /// Words, unit and values all say the same.
    Sure,
    /// The mapping file says it.
    Mapped,
}

/// What a column was taken for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct UnderstoodColumn {
    /// Its position, from zero; that of a row in a table that is written sideways.
    pub index: u32,
    /// Its header, with the headers above it.
    pub header: String,
    /// The fields that it states, as `tendon.strand_count` or `end a.anchorage`; none if it is kept as it is.
    pub fields: Vec<String>,
    /// The unit of its bare numbers.
    pub unit: Option<String>,
    /// How sure that is.
    pub sureness: Sureness,
    /// Why, as a clause.
    pub why: String,
}

/// What a row of a table is that stands for the property sets of one name in a model: its columns are their
/// properties.
pub const PROPERTY_SET: &str = "property set";

/// What a table was taken for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct UnderstoodTable {
    /// The caption above it.
    pub caption: Option<String>,
    /// What a row of it is, as `tendon`.
    pub record: String,
    /// Whether its rows are columns of the sheet.
    pub turned: bool,
    /// The first and the last row of its headers, from zero.
    pub headers: (u32, u32),
    /// How many rows were read.
    pub rows: u32,
    /// Whether it is read by what other tables say, so that a mapping file has nothing to place in it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub by_others: bool,
    /// Its columns, in order.
    pub columns: Vec<UnderstoodColumn>,
}

/// Something that was left out, taken for granted or not understood.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Remark {
    /// The row, from zero, if it stands in one.
    pub row: Option<u32>,
    /// What it is and what was done with it, as a sentence.
    pub what: String,
}

/// How one sheet was understood.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Understood {
    /// The part that holds it.
    pub part: String,
    /// The name of the sheet; empty for a file that has none.
    pub sheet: String,
    /// Its tables.
    pub tables: Vec<UnderstoodTable>,
    /// What else is to be known of it.
    pub remarks: Vec<Remark>,
    /// The marks of the tendons whose first end, which is read as end `a`, it places at the higher station: all that
    /// is stated of their two ends is to be exchanged.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub exchanged: Vec<String>,
}
