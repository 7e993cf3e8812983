//! Headers of values that no field takes.
//!
//! Such a column is headed by the name of its values, as it came from people.
//! Where that would be read as something else, and where its cells cannot say what the values are, the header
//! says so: `extra: Mark` is no mark, and the cells under `extra: Heats [JSON]` are written as JSON.

use std::borrow::Cow;

use restrand_model::sheet::{Header, Headers};
use restrand_model::value::Value;

use super::cell::Cell;

/// What a header that would be misread begins with.
const PREFIX: &str = "extra:";
/// What a header ends with whose cells are JSON.
const CODED: &str = "[JSON]";

/// A header that says that its values are no field's.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Further<'h> {
    /// The name of the values.
    pub(crate) name: Cow<'h, str>,
    /// Whether the cells are written as JSON.
    pub(crate) coded: bool,
}

impl<'h> Further<'h> {
    /// Reads a header that begins as one does that restrand writes for such values.
    pub(crate) fn read(header: &'h str) -> Option<Self> {
        let rest = header.strip_prefix(PREFIX)?.trim();
        let (rest, coded) = match rest.strip_suffix(CODED) {
            Some(rest) => (rest.trim_end(), true),
            None => (rest, false),
        };
        let quoted = rest.starts_with('"').then(|| Value::from_json(rest)).flatten();
        let name = match quoted {
            Some(Value::Text(name)) => Cow::Owned(name.into()),
            _ => Cow::Borrowed(rest),
        };
        Some(Self { name, coded })
    }
}

/// The header for values of this name in a sheet with these headers of its own.
pub(crate) fn header(name: &str, coded: bool, headers: &Headers) -> String {
    let as_is = Cell::Text(name.into());
    let is_plain = !coded
        && !as_is.is_blank()
        && as_is.shown() == name
        && Further::read(name).is_none()
        && !is_computed(name)
        && headers.find(Header::read(name).label).is_none()
        && headers.find(name).is_none();
    if is_plain { name.to_owned() } else { marked(name, coded) }
}

/// The header for values of this name that says of itself what it is.
pub(crate) fn marked(name: &str, coded: bool) -> String {
    let suffix = if coded { format!(" {CODED}") } else { String::new() };
    let header = format!("{PREFIX} {name}{suffix}");
    let reads = Further::read(&header).is_some_and(|read| read.name == name && read.coded == coded);
    if reads { header } else { format!("{PREFIX} {}{suffix}", Value::Text(name.into()).to_json()) }
}

/// Whether a header is this name, with nothing that says what its values are.
pub(crate) fn is_bare(header: &str, name: &str) -> bool {
    header == name && Further::read(header).is_none() && !is_computed(header)
}

/// What the header of a column begins with whose cells only show what follows from others.
///
/// Nothing of it is read: it states nothing, and a formula in it may never have been calculated.
pub const COMPUTED: &str = "computed:";

/// Whether the cells under a header only show what follows from others.
pub(crate) fn is_computed(header: &str) -> bool {
    header.trim_start().starts_with(COMPUTED)
}

/// Whether a cell says such a value as it is.
pub(crate) fn is_plain(value: &Value) -> bool {
    match value {
        Value::Number(_) | Value::Flag(_) => true,
        Value::Text(text) => !Cell::Text(text.as_ref().into()).is_blank(),
        Value::List(_) | Value::Fields(_) => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use restrand_model::schedule::Tendon;
    use restrand_model::sheet;

    #[test]
    fn a_header_leads_back_to_the_name_of_its_values() {
        let sheet = sheet::SHEETS.iter().find(|sheet| sheet.record.name == Tendon::INFO.name);
        let headers = sheet::headers_of(sheet.unwrap());
        for name in [
            "Heat number",
            "computed: Mass",
            "Mark",
            "Strand count [-]",
            "extra: Mark",
            "\"quoted\"",
            "Heats [JSON]",
            "",
            " ",
            "-",
            "n/a",
            " padded ",
            "two\nlines",
            "Größe ½",
        ] {
            for coded in [false, true] {
                let header = header(name, coded, headers);
                assert!(!is_computed(&header));
                let header = Cell::Text(header.into()).shown();
                match Further::read(&header) {
                    Some(read) => assert_eq!((&*read.name, read.coded), (name, coded), "{header}"),
                    None => {
                        assert_eq!((header.as_str(), false), (name, coded));
                        assert_eq!(headers.find(Header::read(&header).label), None);
                    }
                }
            }
        }
        assert_eq!(header("Heat number", false, headers), "Heat number");
        assert_eq!(header("Mark", false, headers), "extra: Mark");
    }
}
