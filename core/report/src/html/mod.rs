//! Reports as one HTML file: for a screen, and for A3 and A4 paper.
//!
//! The file asks the network for nothing and is read whole without its script, which only filters.
//! All texts of the input go through [`markup`]; the drawings come from [`crate::draw`].

mod coverage;
mod figures;
mod findings;
mod markup;
mod plan;
mod stamp;

use std::io::{self, Write};

pub use plan::plans;
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
     stated is not drawn. On paper smaller than A3 drawings come out smaller: measure with the scale bar.",
];

/// Writes what a check found in one input.
///
/// # Errors
/// The writer fails, or the input cannot be read again.
pub fn check(out: &mut dyn Write, checked: &Checked<'_>, stamp: &Stamp<'_>) -> io::Result<()> {
    let stamped = Stamped::of("Findings of the check".to_owned(), checked, stamp)?;
    begin(out, &stamped, checked)?;
    let shown = findings::Shown::of(checked, stamp.as_of);
    contents(
        out,
        &[
            ("covered", "What was checked"),
            ("rules", "Findings by rule"),
            ("places", "Findings by place"),
            ("outcomes", "What each rule did"),
            ("rulebook", "Rulebook in force"),
        ],
    )?;
    coverage::covered(out, checked)?;
    shown.by_rule(out)?;
    shown.by_place(out)?;
    coverage::outcomes(out, checked)?;
    coverage::rulebook(out, checked)?;
    end(out)
}

fn begin(out: &mut dyn Write, stamped: &Stamped, checked: &Checked<'_>) -> io::Result<()> {
    writeln!(
        out,
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; \
         script-src 'unsafe-inline'; img-src data:\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <link rel=\"icon\" href=\"data:,\">\n\
         <title>{} · {} · {}</title>\n<style>\n{}{}\n</style>\n</head>\n<body>",
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
        "</main>\n<footer><p>{}</p></footer>\n<script>\n{}</script>\n</body>\n</html>",
        escaped(DRAFT),
        include_str!("page.js")
    )
}
