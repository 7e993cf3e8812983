//! Places and kinds of problems on the wire.

use restrand_model::reading::{Place, ProblemKind, Span};
use serde::{Deserialize, Serialize};

use super::line::Text;

/// A place: a part, a sheet, a row or cell, or a stretch of text.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PlaceLine<'a> {
    part: Text<'a>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    sheet: Option<Text<'a>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    row: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    column: Option<u32>,
    /// The line on which a row of a text begins, from zero, instead of the row.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    line: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    span: Option<(u64, u64)>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    path: Vec<Text<'a>>,
}

impl<'a> PlaceLine<'a> {
    pub(super) fn of(place: &'a Place) -> Self {
        let of_part = |part: &'a String| Self {
            part: part.into(),
            sheet: None,
            row: None,
            column: None,
            line: None,
            span: None,
            path: Vec::new(),
        };
        match place {
            Place::Part { part } => of_part(part),
            Place::Sheet { part, sheet } => Self { sheet: Some(sheet.into()), ..of_part(part) },
            Place::Cell { part, sheet, row, column } => Self {
                sheet: Some(sheet.into()),
                row: Some(*row),
                column: *column,
                ..of_part(part)
            },
            Place::Line { part, sheet, line, column } => Self {
                sheet: Some(sheet.into()),
                line: Some(*line),
                column: *column,
                ..of_part(part)
            },
            Place::Text { part, span, path } => Self {
                span: Some((span.start, span.end)),
                path: path.iter().map(Text::from).collect(),
                ..of_part(part)
            },
        }
    }

    /// The place, or what is wrong with it.
    pub(super) fn into_place(self) -> Result<Place, String> {
        let part = self.part.into_owned();
        let path: Vec<String> = self.path.into_iter().map(Text::into_owned).collect();
        let sheet = self.sheet.map(Text::into_owned);
        if let (Some(sheet), Some(line), None, None) = (&sheet, self.line, self.row, self.span) {
            return Ok(Place::Line { part, sheet: sheet.clone(), line, column: self.column });
        }
        if self.line.is_some() {
            return Err("a line is of a sheet, and has neither a row nor a span".to_owned());
        }
        match (sheet, self.row, self.column, self.span) {
            (None, None, None, None) if path.is_empty() => Ok(Place::Part { part }),
            (Some(sheet), None, None, None) if path.is_empty() => Ok(Place::Sheet { part, sheet }),
            (Some(sheet), Some(row), column, None) if path.is_empty() => {
                Ok(Place::Cell { part, sheet, row, column })
            }
            (None, None, None, Some((start, end))) => {
                Ok(Place::Text { part, span: Span { start, end }, path })
            }
            _ => Err("a place is a part, a sheet, a row or cell of a sheet, or a span with a path"
                .to_owned()),
        }
    }
}

/// The word of a kind of problem.
#[derive(Debug, Clone, Copy, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum KindWord {
    ValueLost,
    ValueDoubtful,
    RecordLost,
    Unknown,
    Misnamed,
    SheetUnknown,
    SheetLost,
    OwnerMissing,
    Assumed,
}

impl From<ProblemKind> for KindWord {
    fn from(kind: ProblemKind) -> Self {
        match kind {
            ProblemKind::ValueLost => Self::ValueLost,
            ProblemKind::ValueDoubtful => Self::ValueDoubtful,
            ProblemKind::RecordLost => Self::RecordLost,
            ProblemKind::Unknown => Self::Unknown,
            ProblemKind::Misnamed => Self::Misnamed,
            ProblemKind::SheetUnknown => Self::SheetUnknown,
            ProblemKind::SheetLost => Self::SheetLost,
            ProblemKind::OwnerMissing => Self::OwnerMissing,
            ProblemKind::Assumed => Self::Assumed,
        }
    }
}

impl From<KindWord> for ProblemKind {
    fn from(word: KindWord) -> Self {
        match word {
            KindWord::ValueLost => Self::ValueLost,
            KindWord::ValueDoubtful => Self::ValueDoubtful,
            KindWord::RecordLost => Self::RecordLost,
            KindWord::Unknown => Self::Unknown,
            KindWord::Misnamed => Self::Misnamed,
            KindWord::SheetUnknown => Self::SheetUnknown,
            KindWord::SheetLost => Self::SheetLost,
            KindWord::OwnerMissing => Self::OwnerMissing,
            KindWord::Assumed => Self::Assumed,
        }
    }
}
