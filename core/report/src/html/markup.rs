//! Texts of strangers within HTML and CSS: nothing that stands in a file becomes markup, style or script.

use crate::plain::plain_lines;

/// A text within an element or a quoted attribute.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in plain_lines(text).chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            // No characters of HTML.
            letter if u32::from(letter) & 0xfffe == 0xfffe => out.push('\u{fffd}'),
            '\u{fdd0}'..='\u{fdef}' => out.push('\u{fffd}'),
            letter => out.push(letter),
        }
    }
    out
}

/// A text as a string of CSS with its quotes: all but letters, digits and spaces by their numbers.
pub(super) fn css_string(text: &str) -> String {
    let mut out = String::from("\"");
    for letter in plain_lines(text).chars() {
        match letter {
            ' ' => out.push(' '),
            letter if letter.is_ascii_alphanumeric() => out.push(letter),
            letter => out.push_str(&format!("\\{:x} ", u32::from(letter))),
        }
    }
    out.push('"');
    out
}

/// A table whose head is repeated on every printed page; the cells are markup already.
pub(super) fn table(caption: &str, heads: &[String], rows: &[Vec<String>]) -> String {
    let mut out = format!("<table><caption>{}</caption><thead><tr>", escaped(caption));
    for head in heads {
        out.push_str(&format!("<th scope=\"col\">{}</th>", escaped(head)));
    }
    out.push_str("</tr></thead><tbody>\n");
    for row in rows {
        out.push_str("<tr>");
        for cell in row {
            out.push_str(&format!("<td>{cell}</td>"));
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody></table>\n");
    out
}

/// A list of terms with their descriptions; the descriptions are markup already.
pub(super) fn terms(rows: &[(&str, String)]) -> String {
    let mut out = String::from("<dl>\n");
    for (term, text) in rows.iter().filter(|(_, text)| !text.is_empty()) {
        out.push_str(&format!("<dt>{}</dt><dd>{text}</dd>\n", escaped(term)));
    }
    out.push_str("</dl>\n");
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_text_becomes_markup_or_leaves_its_attribute() {
        let text = "</script><img src=x onerror='a()'> & \"b\"\u{0}\u{202e}\u{ffff}";
        let shown = escaped(text);
        for bare in ['<', '>', '"', '\'', '\0', '\u{202e}', '\u{ffff}'] {
            assert!(!shown.contains(bare), "{bare:?} in {shown}");
        }
    }

    #[test]
    fn no_text_leaves_its_string_of_style() {
        let shown = css_string("\"}</style><script>\\\n");
        let inside = &shown[1..shown.len() - 1];
        assert!(!inside.contains(['"', '<', '>', '}', '\n']), "{shown}");
        assert_eq!(css_string("QV 1"), "\"QV 1\"");
        assert_eq!(css_string("a<\\"), "\"a\\3c \\5c \"");
    }
}
