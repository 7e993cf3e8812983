//! The design code that a schedule declares, with its edition, in the ways in which people write them.

use restrand_model::schedule::Project;

/// A declared design code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Declared {
    /// Its name without the edition, as `EN 1992-1-1`.
    pub code: String,
    /// The edition as it is stated, or as it stands behind the name, as `2004` in `EN 1992-1-1:2004`.
    pub edition: Option<String>,
}

impl Declared {
    /// What a project declares, if it names a code.
    #[must_use]
    pub fn of(project: &Project) -> Option<Self> {
        let stated = |text: &Option<Box<str>>| {
            text.as_deref().map(str::trim).filter(|text| !text.is_empty()).map(str::to_owned)
        };
        let code = stated(&project.design_code)?;
        Some(match stated(&project.design_code_edition) {
            Some(edition) => Self { code, edition: Some(edition) },
            None => match with_edition(&code) {
                Some((code, edition)) => Self { code, edition: Some(edition) },
                None => Self { code, edition: None },
            },
        })
    }
}

/// A code and the edition that is written behind it: a year, or the edition's number and what follows.
fn with_edition(text: &str) -> Option<(String, String)> {
    let named = |code: &str, edition: &str| {
        let code = code.trim_end_matches([' ', ',', ':', '(', '-']);
        // `EN 1992` is the number of a standard.
        let last = code.rsplit(' ').next().unwrap_or(code);
        (!matches!(last, "" | "EN" | "ISO")).then(|| (code.to_owned(), edition.trim().to_owned()))
    };
    let starts =
        text.char_indices().filter(|(at, _)| *at == 0 || text[..*at].ends_with([' ', ',']));
    for (at, _) in starts {
        let word = text[at..].split([' ', ',']).next().unwrap_or_default();
        let digits = word.trim_end_matches(|letter: char| letter.is_ascii_alphabetic());
        let ordinal = ["st", "nd", "rd", "th"].contains(&&word[digits.len()..]);
        if ordinal && !digits.is_empty() && digits.bytes().all(|digit| digit.is_ascii_digit()) {
            return named(&text[..at], &text[at..]);
        }
    }
    let inside = text.strip_suffix(')').unwrap_or(text);
    let at = inside.len().checked_sub(4).filter(|at| inside.is_char_boundary(*at))?;
    let (before, year) = inside.split_at(at);
    let is_year = (year.starts_with("19") || year.starts_with("20"))
        && year.bytes().all(|digit| digit.is_ascii_digit());
    (is_year && before.ends_with([' ', ':', '('])).then(|| named(before, year)).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_edition_is_read_behind_its_code() {
        for (text, code, edition) in [
            ("EN 1992-1-1:2004", "EN 1992-1-1", "2004"),
            ("EN 1992-2: 2005", "EN 1992-2", "2005"),
            ("AASHTO LRFD 2020", "AASHTO LRFD", "2020"),
            ("AASHTO LRFD BDS, 9th Edition (2020)", "AASHTO LRFD BDS", "9th Edition (2020)"),
            ("AASHTO LRFD (2020)", "AASHTO LRFD", "2020"),
        ] {
            assert_eq!(with_edition(text), Some((code.to_owned(), edition.to_owned())), "{text}");
        }
        for text in
            ["EN 1992", "EN 1992-1-1", "AASHTO LRFD", "2020", "EN 1992-1-1:2004+A1", "", "é"]
        {
            assert_eq!(with_edition(text), None, "{text}");
        }
    }
}
