//! What a text is: which sheet of the layout, and by which delimiter its values are parted.

use restrand_kit::recognise::are_headers;
use restrand_kit::sheet::{Cell, is_headed, known_headers};
use restrand_model::sheet::{self, Sheet};

use crate::records::{Field, Records, Step};

/// Bytes of a text that are looked at.
pub(crate) const LOOKED_AT: usize = 128 * 1024;
/// Records in which headers are looked for.
const ROWS: usize = 30;
/// The delimiters that are tried, the likeliest first.
const DELIMITERS: [u8; 4] = *b",;\t|";

/// What a text is.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Form {
    /// The delimiter.
    pub(crate) delimiter: u8,
    /// Whether the first line does nothing but state it.
    pub(crate) is_stated: bool,
    /// The sheet of the layout, if name or headers tell it.
    pub(crate) sheet: Option<&'static Sheet>,
    /// How many headers of the sheet were met in one row.
    pub(crate) known: usize,
}

/// The cells of a row with their columns.
type Row<'c> = [(u32, Cell<'c>)];
/// Tells the sheet whose headers a row holds.
type SheetOf<'f> = &'f dyn Fn(&Row<'_>) -> Option<&'static Sheet>;

impl Form {
    /// Looks at a file's name and the beginning of its text.
    ///
    /// Headers decide on the delimiter; the name of a sheet decides on the sheet if its headers are met, and else
    /// the headers do.
    pub(crate) fn of(name: &str, text: &str) -> Self {
        let stated = stated(text);
        let delimiters = stated.map_or_else(|| DELIMITERS.to_vec(), |delimiter| vec![delimiter]);
        let named = named(name);
        let is_stated = stated.is_some();
        let most = |sheet_of: SheetOf<'_>| {
            let mut best: Option<Self> = None;
            for delimiter in &delimiters {
                rows(text, *delimiter, is_stated, &mut |cells| {
                    let Some(sheet) = sheet_of(cells) else { return };
                    let known = known_headers(sheet, cells);
                    if best.is_none_or(|best| known > best.known) {
                        let delimiter = *delimiter;
                        best = Some(Self { delimiter, is_stated, sheet: Some(sheet), known });
                    }
                });
            }
            best
        };
        let meant = sheet::meant_by(stem(name));
        let headed =
            |sheet: &'static Sheet| most(&|cells| is_headed(sheet, cells).then_some(sheet));
        named
            .and_then(headed)
            // Words of the layout among others of the trade are everybody's.
            .or_else(|| {
                most(&|cells| headed_by(cells, meant).filter(|sheet| is_headed(sheet, cells)))
            })
            .or_else(|| meant.and_then(headed))
            .unwrap_or_else(|| Self {
                delimiter: commonest(text, &delimiters),
                is_stated,
                sheet: named,
                known: 0,
            })
    }
}

/// Whether a text has headers of a schedule as people make them, whatever parts its values.
pub(crate) fn has_headers(text: &str) -> bool {
    let is_stated = stated(text).is_some();
    let delimiters = stated(text).map_or_else(|| DELIMITERS.to_vec(), |delimiter| vec![delimiter]);
    let mut found = false;
    for delimiter in delimiters {
        rows(text, delimiter, is_stated, &mut |cells| {
            let texts = cells.iter().filter_map(|(_, cell)| match cell {
                Cell::Text(text) => Some(text.as_ref()),
                _ => None,
            });
            found |= are_headers(texts);
        });
    }
    found
}

/// The sheet whose headers these cells are; of several the one that the file's name means.
fn headed_by(cells: &Row<'_>, meant: Option<&'static Sheet>) -> Option<&'static Sheet> {
    let texts = cells.iter().filter_map(|(_, cell)| match cell {
        Cell::Text(text) => Some(text.as_ref()),
        _ => None,
    });
    sheet::headed_by(texts, meant)
}

/// The delimiter that the first line states, as spreadsheet programs have it: `sep=;`.
fn stated(text: &str) -> Option<u8> {
    let line = text.lines().next()?.trim_end_matches('\r');
    let line = line.strip_prefix('"').and_then(|line| line.strip_suffix('"')).unwrap_or(line);
    match line.get(..4)?.eq_ignore_ascii_case("sep=").then(|| &line.as_bytes()[4..])? {
        [delimiter] if delimiter.is_ascii_punctuation() || *delimiter == b'\t' => {
            (*delimiter != b'"').then_some(*delimiter)
        }
        _ => None,
    }
}

/// Shows the first rows of a text, read with this delimiter.
fn rows(text: &str, delimiter: u8, is_stated: bool, show: &mut dyn FnMut(&Row<'_>)) {
    let mut records = Records::new(text.as_bytes(), delimiter);
    let mut seen = 0;
    if is_stated && records.pass_line().is_err() {
        return;
    }
    while seen < ROWS {
        match records.advance() {
            Ok(Step::Record) => {
                let cells: Vec<_> = (0..).zip(records.fields()).map(as_text).collect();
                show(&cells);
            }
            Ok(Step::Stray) => {}
            Ok(Step::TooLong | Step::End) | Err(_) => return,
        }
        seen += 1;
    }
}

fn as_text((index, field): (u32, Field<'_>)) -> (u32, Cell<'_>) {
    (index, Cell::Text(field.text.into()))
}

/// The delimiter that is met most often.
fn commonest(text: &str, delimiters: &[u8]) -> u8 {
    let count = |delimiter: u8| text.bytes().filter(|byte| *byte == delimiter).count();
    // Of equals the first.
    delimiters.iter().rev().copied().max_by_key(|delimiter| count(*delimiter)).unwrap_or(b',')
}

/// A file's name without the folders before it and the ending.
pub(crate) fn stem(name: &str) -> &str {
    let name = name.rsplit(['/', '\\']).next().unwrap_or(name);
    name.rsplit_once('.').map_or(name, |(stem, _)| stem)
}

/// The name, and what is left of it behind each mark: `bridge-Tendons` is also `Tendons`.
fn endings(name: &str) -> impl Iterator<Item = &str> {
    let stem = stem(name);
    let marks = stem.char_indices().filter(|(_, letter)| !letter.is_alphanumeric());
    std::iter::once(stem).chain(marks.map(|(at, mark)| &stem[at + mark.len_utf8()..]))
}

/// The sheet whose name the file's name is, or ends with.
fn named(name: &str) -> Option<&'static Sheet> {
    endings(name).find_map(sheet::find)
}

/// Whether it is a sheet that restrand writes for people and does not read.
pub(crate) fn is_aside(name: &str) -> bool {
    let is =
        |name: &str| sheet::ASIDE.iter().any(|aside| sheet::plain(aside) == sheet::plain(name));
    endings(name).any(is)
}

/// The sheet that the name of a file of no known sheet may mean.
pub(crate) fn meant(name: &str) -> Option<&'static Sheet> {
    sheet::meant_by(stem(name))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn form(name: &str, text: &str) -> (Option<&'static str>, char) {
        let form = Form::of(name, text);
        (form.sheet.map(|sheet| sheet.name), char::from(form.delimiter))
    }

    #[test]
    fn names_and_headers_tell_the_sheet() {
        let ends = "Tendon,End,Tail [mm],Jack\nT1,a,900,J1\n";
        assert_eq!(form("Ends.csv", ends), (Some("Ends"), ','));
        assert_eq!(form("out/bridge - Ends.csv", ends), (Some("Ends"), ','));
        assert_eq!(form("x\\y.z\\Ends (2).csv", ends), (Some("Ends"), ','));
        assert_eq!(form("export-17.txt", ends), (Some("Ends"), ','));
        assert_eq!(form("stdin", ends), (Some("Ends"), ','));
        // The headers tell better.
        assert_eq!(form("Sections.csv", ends), (Some("Ends"), ','));
        assert_eq!(form("Ends.csv", "a,b\n1,2\n"), (Some("Ends"), ','));
        assert_eq!(form("bridge.csv", "a,b\n1,2\n"), (None, ','));
        assert_eq!(form("anchorage_parts.csv", "x\n"), (Some("AnchorageParts"), ','));
        assert_eq!(form(".csv", ""), (None, ','));
    }

    #[test]
    fn headers_tell_the_delimiter() {
        for delimiter in [',', ';', '\t', '|'] {
            let text = ["Mark", "Strand", "Length [m]"].join(&delimiter.to_string());
            // Other delimiters stand in a title above, and more often than this one.
            let text = format!("Left web,,,; |||\n\n{text}\n");
            assert_eq!(form("Tendons.csv", &text), (Some("Tendons"), delimiter));
        }
        assert_eq!(form("x.csv", "1;2;3\n4,5\n"), (None, ';'));
    }

    #[test]
    fn a_stated_delimiter_holds() {
        let text = "sep=^\r\nMark^Strand^Length [m]\r\n";
        assert_eq!(form("x.csv", text), (Some("Tendons"), '^'));
        assert!(Form::of("x.csv", text).is_stated);
        assert!(Form::of("x.csv", "\"SEP=;\"\nMark;Strand;Spans\n").is_stated);
        for text in ["sep=\n", "sep=ab\n", "sep=\"\n", "sep=é\n", "se"] {
            assert!(!Form::of("x.csv", text).is_stated, "{text}");
        }
    }

    #[test]
    fn sheets_for_people_are_known_by_their_names() {
        assert!(is_aside("out/Open findings.csv") && is_aside("bridge-About.csv"));
        assert!(!is_aside("Tendons.csv"));
    }
}
