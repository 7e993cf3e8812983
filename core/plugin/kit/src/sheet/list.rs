//! Lists in one cell: `T1; T2`, and `"T1; spare"; T2` where an item holds a mark itself.

use std::borrow::Cow;

/// What stands between the items of a list that restrand writes.
pub(crate) const MARK: &str = "; ";

/// What may stand between the items of a list that people write.
const MARKS: [char; 3] = [';', ',', '\n'];

/// The items of a list.
///
/// Where semicolons part it, a comma is part of an item.
pub(crate) fn items(text: &str) -> Vec<Cow<'_, str>> {
    match split(text, &MARKS) {
        (_, true) => split(text, &[';']).0,
        (items, false) => items,
    }
}

/// The items between these marks, and whether a semicolon is among the marks that were met.
fn split<'t>(text: &'t str, marks: &[char]) -> (Vec<Cow<'t, str>>, bool) {
    let mut items = Vec::new();
    let mut by_semicolon = false;
    let mut rest = text;
    loop {
        let (item, behind) = quoted_item(rest, marks).unwrap_or_else(|| {
            let end = rest.find(marks).unwrap_or(rest.len());
            (Cow::Borrowed(rest[..end].trim()), &rest[end..])
        });
        if !item.is_empty() {
            items.push(item);
        }
        let mut letters = behind.chars();
        match letters.next() {
            Some(mark) => by_semicolon |= mark == ';',
            None => return (items, by_semicolon),
        }
        rest = letters.as_str();
    }
}

/// An item in quotes at the beginning of the text, and the mark and all that follow it.
///
/// Quotes that do not hold a whole item, as those of inches, are letters like others.
fn quoted_item<'t>(text: &'t str, marks: &[char]) -> Option<(Cow<'t, str>, &'t str)> {
    let inside = text.trim_start().strip_prefix('"')?;
    let mut end = 0;
    loop {
        end += inside[end..].find('"')?;
        if !inside[end + 1..].starts_with('"') {
            break;
        }
        end += 2;
    }
    let behind = inside[end + 1..].trim_start_matches([' ', '\t', '\u{a0}']);
    (behind.is_empty() || behind.starts_with(marks))
        .then(|| (Cow::Owned(inside[..end].replace("\"\"", "\"")), behind))
}

/// An item as it stands in a list: in quotes where it would fall apart without.
pub(crate) fn quoted(item: &str) -> Cow<'_, str> {
    if item.contains(MARKS) || item.trim_start().starts_with('"') {
        Cow::Owned(format!("\"{}\"", item.replace('"', "\"\"")))
    } else {
        Cow::Borrowed(item)
    }
}

/// The items as one text, which reads back as the same items.
#[must_use]
pub fn list_text<T: AsRef<str>>(items: &[T]) -> String {
    let items: Vec<_> = items.iter().map(|item| quoted(item.as_ref())).collect();
    items.join(MARK)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn semicolons_part_a_list_and_commas_only_where_there_is_none() {
        for (text, expected) in [
            ("T1, T2\nT3", vec!["T1", "T2", "T3"]),
            ("T1, spare; T2", vec!["T1, spare", "T2"]),
            ("T1;; ;T2;", vec!["T1", "T2"]),
            ("", vec![]),
            ("3/4\" rod; \"A\" frame; 2\"", vec!["3/4\" rod", "\"A\" frame", "2\""]),
            ("\"a; b\", \"c; d\"", vec!["a; b", "c; d"]),
            ("\"open; T2", vec!["\"open", "T2"]),
        ] {
            assert_eq!(items(text), expected, "{text}");
        }
    }

    #[test]
    fn items_with_marks_survive_the_round_trip() {
        for list in [
            vec!["a; b"],
            vec!["a, b"],
            vec!["a, b", "c"],
            vec!["\"", "\"\"", "\"a\"; \"b\"", "c\nd"],
            vec!["2\" pipe", "A"],
        ] {
            assert_eq!(items(&list_text(&list)), list, "{}", list_text(&list));
        }
        assert_eq!(list_text(&["T1", "T2"]), "T1; T2");
    }
}
