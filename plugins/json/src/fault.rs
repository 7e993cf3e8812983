//! What is wrong with text that is not JSON, where, and what usually causes it.

use std::ops::Range;

use serde::de::IgnoredAny;

use crate::source::{Fault, SAVE_AS_UTF8};

/// Finds whether the text is one JSON value.
pub(crate) fn check(text: &str) -> Result<(), Fault> {
    match serde_json::from_str::<IgnoredAny>(text) {
        Ok(_) => Ok(()),
        Err(error) => Err(describe(text, &error)),
    }
}

fn describe(text: &str, error: &serde_json::Error) -> Fault {
    let said = error.to_string();
    let said = said.rfind(" at line ").map_or(said.as_str(), |end| &said[..end]);
    // `expected ident` is about a word of the language that does not go on as it should.
    let in_word = said.starts_with("expected ident") || said.starts_with("invalid number");
    let said = if said.starts_with("expected ident") { "expected a value" } else { said };
    let at = offset(text, error, said);
    let around = word(text, at);
    let end = text.trim_end().len();
    if error.is_eof() || (in_word && around.end == end) {
        return Fault {
            at: end..end,
            why: "the text ends before the value is complete".to_owned(),
            help: "the file seems to be cut off; write it or fetch it again".to_owned(),
        };
    }
    let next = text[at..].chars().next();
    let at = if said.contains("escape") {
        // The fault may show at the last of four digits after the mark that begins the escape.
        let stop = at + next.map_or(0, char::len_utf8);
        text[..stop].rfind('\\').unwrap_or(at)..stop
    } else if !around.is_empty() && (in_word || next.is_some_and(is_part_of_word)) {
        around
    } else {
        at..at + next.map_or(0, char::len_utf8)
    };
    let found = &text[at.clone()];
    let found = match found.chars().next() {
        Some(letter) if letter.is_control() => format!("{letter:?}"),
        _ => found.to_owned(),
    };
    let help = cause(text, &at, said).unwrap_or_else(|| {
        "correct the text at this place; names and texts stand in double quotes, members are \
         parted by commas"
            .to_owned()
    });
    Fault { at, why: format!("it is not JSON: {said}, found {found}"), help }
}

/// The byte that the error's line and column stand for.
fn offset(text: &str, error: &serde_json::Error, said: &str) -> usize {
    let line = error.line().saturating_sub(1);
    let start = match line {
        0 => 0,
        line => text
            .bytes()
            .enumerate()
            .filter(|(_, byte)| *byte == b'\n')
            .nth(line - 1)
            .map_or(0, |(at, _)| at + 1),
    };
    let after = start + error.column();
    // The column is counted from one, but for a character that a text may not hold, from zero.
    let mut at =
        if said.starts_with("control character") { after } else { after.saturating_sub(1) };
    at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

fn is_part_of_word(letter: char) -> bool {
    letter.is_alphanumeric() || matches!(letter, '_' | '.' | '+' | '-')
}

/// The letters, digits and signs around a byte.
fn word(text: &str, at: usize) -> Range<usize> {
    /// No word that a person writes is longer.
    const LONGEST: usize = 40;
    let start = text[..at]
        .char_indices()
        .rev()
        .take(LONGEST)
        .take_while(|(_, letter)| is_part_of_word(*letter))
        .last()
        .map_or(at, |(start, _)| start);
    let end = text[at..]
        .char_indices()
        .take(LONGEST)
        .take_while(|(_, letter)| is_part_of_word(*letter))
        .last()
        .map_or(at, |(last, letter)| at + last + letter.len_utf8());
    start..end
}

/// What to do about it, if the cause is a usual one.
fn cause(text: &str, at: &Range<usize>, said: &str) -> Option<String> {
    let before = text[..at.start].trim_end();
    let found = &text[at.clone()];
    let next = text[at.start..].chars().next()?;
    let help = match next {
        '\0' => SAVE_AS_UTF8.to_owned(),
        _ if said.starts_with("control character") => {
            "write a line break inside a text as \\n and a tab as \\t".to_owned()
        }
        '\\' if said.contains("escape") => "write a backslash inside a text as \\\\".to_owned(),
        _ if said.starts_with("trailing characters") => match next {
            '{' => "the document ends before this; if each line is an object of its own, \
                    name the file .ndjson"
                .to_owned(),
            ',' | '}' | ']' => "the document ends before this; there is a bracket too many here \
                                or before"
                .to_owned(),
            _ => "the document ends before this; take out what follows it".to_owned(),
        },
        '}' | ']' if before.ends_with(',') => {
            "take out the comma before it: the last one has no comma after it".to_owned()
        }
        '}' | ']' if before.ends_with(':') => {
            "leave the member out where the value is not known".to_owned()
        }
        ',' if before.ends_with([',', '[', '{', ':']) => {
            "there is a comma too many, or a value is missing before it".to_owned()
        }
        '\'' | '\u{201C}' | '\u{201D}' | '\u{201E}' | '\u{2018}' | '\u{2019}' | '`' | '«' => {
            "names and texts stand in plain double quotes: \"".to_owned()
        }
        '/' | '#' => "JSON has no comments: keep a remark in the record's extra".to_owned(),
        '=' => "a name and its value are parted by a colon".to_owned(),
        ';' => "members and items are parted by commas".to_owned(),
        '{' if before.ends_with('}') => "a comma is missing before it".to_owned(),
        '"' if said.starts_with("expected `,`") => "a comma is missing before it".to_owned(),
        '0'..='9' if after_digit_and_comma(before) && said.starts_with("key must") => {
            "write the decimal with a point, as 12.5".to_owned()
        }
        _ => return of_word(found),
    };
    Some(help)
}

fn after_digit_and_comma(before: &str) -> bool {
    before.strip_suffix(',').is_some_and(|before| before.ends_with(|c: char| c.is_ascii_digit()))
}

/// What to do about a word that stands where a value is expected.
fn of_word(found: &str) -> Option<String> {
    let plain = found.trim_start_matches(['-', '+']).to_ascii_lowercase();
    Some(match plain.as_str() {
        "nan" | "inf" | "infinity" | "none" | "nil" | "undefined" | "na" | "nul" => {
            format!("{found} is not JSON: leave the member out where the value is not known")
        }
        "true" | "false" | "null" => format!("write it in lower case, as {plain}"),
        "yes" | "no" => format!("write {}", if plain == "yes" { "true" } else { "false" }),
        _ if found.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '+' | '-' | '.')) => {
            "a number is written as 12, -0.5 or 1.5e3: no plus sign, no zeros before it, digits on \
             both sides of the point, no unit"
                .to_owned()
        }
        _ if found.is_empty() => return None,
        _ => "names and texts stand in double quotes".to_owned(),
    })
}
