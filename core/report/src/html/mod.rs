//! Reports as one HTML file: for a screen, and for A3 and A4 paper.
//!
//! The file asks the network for nothing and is read whole without its script, which only filters.
//! All texts of the input go through `markup`; the drawings come from [`crate::draw`].

mod coverage;
mod figures;
mod findings;
mod markup;
mod plan;
mod stamp;

use std::io::{self, Write};

use base64::prelude::{BASE64_STANDARD, Engine};
pub use plan::plans;
use sha2::{Digest, Sha256};
pub use stamp::Stamp;

use crate::checked::Checked;
use crate::plan::DRAFT;
use markup::escaped;
use stamp::Stamped;

/// What is to be kept in mind, on every report.
const CAUTIONS: [&str; 3] = [
    DRAFT,
    crate::coverage::CLOSING,
    "A schedule without findings is one in which these rules found nothing. Drawings show the stated data; what is not \
     stated is not drawn. On A3 drawings come out at their scale; on other paper measure with the bar on each.",
];

/// The page's one script.
const SCRIPT: &str = include_str!("page.js");

/// The hash by which a browser knows the script (Content Security Policy, level 3): it runs no other.
fn script_hash() -> String {
    BASE64_STANDARD.encode(Sha256::digest(SCRIPT))
}

/// Writes what a check found in one input.
///
/// # Errors
/// The writer fails.
pub fn check(out: &mut dyn Write, checked: &Checked<'_>, stamp: &Stamp<'_>) -> io::Result<()> {
    let stamped = Stamped::of("Findings of the check".to_owned(), &[], checked, stamp);
    begin(out, &stamped, checked)?;
    let shown = findings::Shown::of(checked, stamp);
    let sections = [
        ("covered", "What was checked"),
        ("rules", "Findings by rule"),
        ("places", "Findings by place"),
        ("drawings", findings::DRAWINGS),
        ("outcomes", "What each rule did"),
        ("rulebook", "Rulebook in force"),
    ];
    let is_there = |(id, _): &(&str, &str)| *id != "drawings" || shown.is_any_drawn();
    contents(out, &sections.into_iter().filter(is_there).collect::<Vec<_>>())?;
    coverage::covered(out, checked)?;
    shown.by_rule(out)?;
    shown.by_place(out)?;
    shown.drawings(out)?;
    coverage::outcomes(out, checked)?;
    coverage::rulebook(out, checked)?;
    end(out)
}

fn begin(out: &mut dyn Write, stamped: &Stamped, checked: &Checked<'_>) -> io::Result<()> {
    writeln!(
        out,
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; \
         script-src 'sha256-{}'; img-src data:\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <link rel=\"icon\" href=\"data:,\">\n\
         <title>{} · {} · {}</title>\n<style>\n{}{}\n</style>\n</head>\n<body>",
        script_hash(),
        escaped(stamped.title()),
        escaped(checked.file),
        stamped.id(),
        include_str!("page.css"),
        stamped.margins()
    )?;
    writeln!(
        out,
        "<a class=\"skip\" href=\"#content\">To the content</a>\n<header>\n\
         <p class=\"draft\">Draft for the engineer in charge</p>\n<h1>{}</h1>\n<p class=\"file\">{}</p>\n{}\
         <section class=\"cautions\" aria-label=\"Cautions\">",
        escaped(stamped.title()),
        escaped(checked.file),
        stamped.head()
    )?;
    for caution in CAUTIONS {
        writeln!(out, "<p>{}</p>", escaped(caution))?;
    }
    writeln!(out, "</section>\n</header>\n<main id=\"content\">")
}

fn contents(out: &mut dyn Write, sections: &[(&str, &str)]) -> io::Result<()> {
    writeln!(out, "<nav aria-label=\"Contents\"><ul>")?;
    for (id, title) in sections {
        writeln!(out, "<li><a href=\"#{id}\">{}</a></li>", escaped(title))?;
    }
    writeln!(out, "</ul></nav>")
}

fn end(out: &mut dyn Write) -> io::Result<()> {
    writeln!(
        out,
        "</main>\n<footer><p>{}</p></footer>\n<script>{SCRIPT}</script>\n</body>\n</html>",
        escaped(DRAFT)
    )
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::SCRIPT;

    /// The colours that a property takes in the page's style.
    fn colours(property: &str) -> BTreeSet<[u8; 3]> {
        let style = include_str!("page.css");
        let values = style.split([';', '{', '}', '\n']).filter_map(|declaration| {
            declaration.trim().strip_prefix(property)?.strip_prefix(":#")
        });
        let digit = |value: &str, at: usize| u8::from_str_radix(&value[at..=at], 16).unwrap();
        values
            .map(|value| match value.len() {
                3 => [0, 1, 2].map(|at| digit(value, at) * 17),
                6 => [0, 2, 4].map(|at| digit(value, at) * 16 + digit(value, at + 1)),
                _ => panic!("{value} is no colour"),
            })
            .collect()
    }

    /// WCAG 2.1, definition of relative luminance.
    fn luminance(colour: &[u8; 3]) -> f64 {
        let [r, g, b] = colour.map(|part| {
            let part = f64::from(part) / 255.0;
            if part <= 0.03928 { part / 12.92 } else { ((part + 0.055) / 1.055).powf(2.4) }
        });
        0.2126 * r + 0.7152 * g + 0.0722 * b
    }

    #[test]
    fn every_text_stands_out_from_every_ground() {
        let (texts, grounds) = (colours("color"), colours("background"));
        assert!(texts.len() >= 2 && grounds.len() >= 3, "{texts:?} {grounds:?}");
        for text in &texts {
            for ground in &grounds {
                let (a, b) = (luminance(text), luminance(ground));
                let ratio = (a.max(b) + 0.05) / (a.min(b) + 0.05);
                // WCAG 2.1, success criterion 1.4.6: text of any size, level AAA.
                assert!(ratio >= 7.0, "{text:?} on {ground:?}: {ratio}");
            }
        }
    }

    #[test]
    fn nothing_is_asked_of_a_network() {
        for text in [include_str!("page.css"), SCRIPT] {
            for way in ["url(", "@import", "http:", "https:", "fetch", "XMLHttp"] {
                assert!(!text.contains(way), "{way}");
            }
        }
    }
}
