//! Texts of strangers made fit for a terminal: one line, nothing that steers it, a known width.

use unicode_width::UnicodeWidthChar;

/// A text without characters that steer a terminal or turn the direction of what follows.
#[must_use]
pub(crate) fn plain(text: &str) -> String {
    text.chars().map(plain_char).collect()
}

/// A text of several lines, each made plain.
#[must_use]
pub(crate) fn plain_lines(text: &str) -> String {
    text.chars().map(|letter| if letter == '\n' { letter } else { plain_char(letter) }).collect()
}

fn plain_char(letter: char) -> char {
    match letter {
        '\t' => ' ',
        // The pictures of control characters stand in the same order.
        '\0'..='\u{1f}' => char::from_u32(0x2400 + letter as u32).unwrap_or('\u{fffd}'),
        '\u{7f}' => '\u{2421}',
        '\u{80}'..='\u{9f}' | '\u{2028}'..='\u{202e}' | '\u{fff9}'..='\u{fffb}' => '\u{fffd}',
        // What Unicode lets a terminal leave out (Default_Ignorable_Code_Point, from memory): two names that
        // differ in it alone look the same.
        '\u{ad}'
        | '\u{34f}'
        | '\u{61c}'
        | '\u{115f}'..='\u{1160}'
        | '\u{17b4}'..='\u{17b5}'
        | '\u{180b}'..='\u{180f}'
        | '\u{200b}'..='\u{200f}'
        | '\u{2060}'..='\u{206f}'
        | '\u{3164}'
        | '\u{fe00}'..='\u{fe0f}'
        | '\u{feff}'
        | '\u{ffa0}'
        | '\u{fff0}'..='\u{fff8}'
        | '\u{1bca0}'..='\u{1bca3}'
        | '\u{1d173}'..='\u{1d17a}'
        | '\u{e0000}'..='\u{e0fff}' => '\u{fffd}',
        letter => letter,
    }
}

/// The columns that a text takes.
#[must_use]
pub(crate) fn width(text: &str) -> usize {
    text.chars().map(|letter| letter.width().unwrap_or(0)).sum()
}

/// The text, cut with `…` where it takes more than `most` columns.
#[must_use]
pub(crate) fn shortened(text: &str, most: usize) -> String {
    /// Marks that take no width can be many; they are cut too.
    const LETTERS_A_COLUMN: usize = 4;
    if width(text) <= most && text.chars().count() <= most * LETTERS_A_COLUMN {
        return text.to_owned();
    }
    let mut taken = 0;
    let mut short = String::new();
    for (count, letter) in text.chars().enumerate() {
        taken += letter.width().unwrap_or(0);
        if taken + 1 > most || count >= most * LETTERS_A_COLUMN {
            break;
        }
        short.push(letter);
    }
    short.push('…');
    short
}

/// The text with spaces behind it up to a width.
#[must_use]
pub(crate) fn padded(text: &str, to: usize) -> String {
    let mut padded = text.to_owned();
    padded.extend(std::iter::repeat_n(' ', to.saturating_sub(width(text))));
    padded
}

/// Words broken into lines of at most `most` columns; a longer word is a line of its own.
#[must_use]
pub(crate) fn wrapped(text: &str, most: usize) -> Vec<String> {
    let mut lines = Vec::new();
    for paragraph in text.split('\n') {
        let mut line = String::new();
        let mut taken = 0;
        for word in paragraph.split(' ').filter(|word| !word.is_empty()) {
            let wide = width(word);
            if taken > 0 && taken + 1 + wide > most {
                lines.push(std::mem::take(&mut line));
                taken = 0;
            }
            if taken > 0 {
                line.push(' ');
                taken += 1;
            }
            line.push_str(word);
            taken += wide;
        }
        lines.push(line);
    }
    lines
}

/// `1 finding`, `2 findings`.
#[must_use]
pub(crate) fn counted(count: usize, noun: &str) -> String {
    match (count, noun.strip_suffix('y')) {
        (1, _) => format!("1 {noun}"),
        (_, Some(stem)) => format!("{count} {stem}ies"),
        (_, None) => format!("{count} {noun}s"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_steers_a_terminal_is_shown_as_a_picture_of_it() {
        assert_eq!(plain("a\u{1b}[31mb\nc\td"), "a\u{241b}[31mb\u{240a}c d");
        assert_eq!(plain("\u{202e}abc\u{9b}"), "\u{fffd}abc\u{fffd}");
        assert_eq!(plain("µ α ½ 梁"), "µ α ½ 梁");
    }

    #[test]
    fn what_a_terminal_may_leave_out_is_shown() {
        for letter in
            ['\u{ad}', '\u{3164}', '\u{e0041}', '\u{fe0f}', '\u{34f}', '\u{180e}', '\u{ffa0}']
        {
            assert_eq!(plain(&format!("T{letter}1")), "T\u{fffd}1", "{:x}", u32::from(letter));
        }
        assert_eq!(plain("e\u{301} ℃"), "e\u{301} ℃");
    }

    #[test]
    fn a_shortened_text_takes_no_more_than_its_width() {
        assert_eq!(shortened("behind", 6), "behind");
        assert_eq!(shortened("behind it", 6), "behin…");
        assert!(width(&shortened("梁梁梁梁梁梁", 6)) <= 6);
        let marks = format!("a{}", "\u{301}".repeat(1000));
        assert!(shortened(&marks, 6).chars().count() < 30);
    }

    #[test]
    fn long_texts_are_broken_at_spaces() {
        assert_eq!(wrapped("one two three", 7), ["one two", "three"]);
        assert_eq!(wrapped("one\n\ntwo", 7), ["one", "", "two"]);
        assert_eq!(wrapped("a-very-long-word x", 5), ["a-very-long-word", "x"]);
    }
}
