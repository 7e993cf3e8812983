//! The place of a finding in words, for outputs that have no excerpt.

use crate::json::At;
use crate::plain::plain;

/// The place within its file: `Ends!U8, Removal space behind [mm]`, `line 8`; empty for a file as a whole.
pub(crate) fn within(at: &At<'_>) -> String {
    let mut words = match (&at.cell, at.row, at.sheet, at.line) {
        (Some(cell), _, Some(sheet), _) => format!("{sheet}!{cell}"),
        (None, Some(row), Some(sheet), _) => format!("{sheet}, row {row}"),
        (None, None, Some(sheet), Some(line)) => format!("{sheet}, line {line}"),
        (None, None, Some(sheet), None) => sheet.to_owned(),
        (_, _, None, Some(line)) => format!("line {line}"),
        _ => String::new(),
    };
    if let Some(header) = at.header {
        words.push_str(", ");
        words.push_str(header);
    } else if let Some(missing) = &at.missing_column {
        words.push_str(", column ");
        words.push_str(missing);
        words.push_str(" is missing");
    }
    plain(&words)
}

/// The place with its file's own name: where the file lies is no business of those to whom a report goes.
pub(crate) fn in_full(at: &At<'_>) -> String {
    let (name, within) = (base_name(at.part), within(at));
    match within.is_empty() {
        true => name,
        false => format!("{name} › {within}"),
    }
}

/// The file's own name.
pub(crate) fn base_name(file: &str) -> String {
    let name = file.rsplit(['/', '\\']).find(|name| !name.is_empty()).unwrap_or(file);
    plain(name)
}
