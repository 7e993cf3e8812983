//! Findings for people at a terminal: message, the cell or line it is about, and what to do.
//!
//! The excerpt is drawn by miette; what stands below it is laid out here, in the order in which one who
//! mends a schedule needs it.

use std::collections::{BTreeMap, HashSet};
use std::fmt;
use std::io::{self, Write};

use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, SourceCode, SourceSpan,
};
use restrand_check::rulebook::BookError;
use restrand_finding::{Severity, Source};

use crate::alike::{Alike, put_together};
use crate::checked::Checked;
use crate::coverage::{self, CLOSING};
use crate::excerpt::Excerpt;
use crate::facts::{fill, limit, unsaid};
use crate::located::{self, Lookup};
use crate::plain::{counted, plain, wrapped};
use crate::text;

/// How the text is to look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// Columns of the terminal.
    pub width: usize,
    /// Whether colours are used; nothing is told by colour alone.
    pub colour: bool,
    /// Whether all findings are shown, or of many the worst.
    pub all: bool,
}

/// Findings shown in full where not all are asked for.
pub const SHOWN: usize = 50;
/// Related places shown of one finding.
const RELATED: usize = 8;
/// Places shown of findings that say the same as one above them.
const ALIKE: usize = 30;
/// Columns that the line number and the frame of an excerpt take.
const FRAME: usize = 12;
/// Narrowest width that is laid out for.
const NARROWEST: usize = 40;

/// Writes the findings of one input and what was covered.
///
/// # Errors
/// The writer fails.
pub fn report(out: &mut dyn Write, checked: &Checked<'_>, look: Look) -> io::Result<()> {
    let look = Look { width: look.width.max(NARROWEST), ..look };
    let findings = put_together(&checked.report.findings);
    let (shown, rest) = match look.all {
        true => (findings, Vec::new()),
        false => weightiest(findings),
    };
    let lookup = Lookup::of(checked, &shown, ALIKE);
    let pen = Pen { look, handler: handler(look) };
    for found in &shown {
        out.write_all(pen.finding(checked, &lookup, found).as_bytes())?;
        writeln!(out)?;
    }
    if !rest.is_empty() {
        writeln!(out, "{}", pen.rest(&rest))?;
    }
    out.write_all(pen.summary(checked).as_bytes())
}

/// The findings that are shown of many, and the others: the worst first, and of these what cannot be built at all.
///
/// Both stay in the order of the file.
fn weightiest(findings: Vec<Alike<'_>>) -> (Vec<Alike<'_>>, Vec<Alike<'_>>) {
    let mut by_weight: Vec<usize> = (0..findings.len()).collect();
    by_weight.sort_by_key(|index| {
        let finding = &findings[*index].first.finding;
        (std::cmp::Reverse(finding.severity), finding.kind)
    });
    let chosen: HashSet<usize> = by_weight.into_iter().take(SHOWN).collect();
    let (shown, rest): (Vec<_>, Vec<_>) =
        findings.into_iter().enumerate().partition(|(index, _)| chosen.contains(index));
    let strip = |found: Vec<(usize, _)>| found.into_iter().map(|(_, found)| found).collect();
    (strip(shown), strip(rest))
}

/// Writes the line that sums up several inputs.
///
/// # Errors
/// The writer fails.
pub fn sum(out: &mut dyn Write, inputs: &[(usize, bool)]) -> io::Result<()> {
    let findings: usize = inputs.iter().map(|(findings, _)| findings).sum();
    let unread = inputs.iter().filter(|(_, read)| !read).count();
    let unread = match unread {
        0 => String::new(),
        unread => format!(", {unread} of them could not be read"),
    };
    writeln!(
        out,
        "{} in all: {}{unread}",
        counted(inputs.len(), "file"),
        counted(findings, "finding"),
    )
}

/// Writes why a rulebook cannot be taken into force; `text` is the rulebook's.
///
/// # Errors
/// The writer fails.
pub fn rulebook_fault(
    out: &mut dyn Write,
    error: &BookError,
    text: &str,
    look: Look,
) -> io::Result<()> {
    let look = Look { width: look.width.max(NARROWEST), ..look };
    let excerpt = error.span.as_ref().and_then(|span| {
        let start = (0..=span.start.min(text.len())).rev().find(|at| text.is_char_boundary(*at))?;
        let (before, after) = text.split_at(start);
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        let at = text::At {
            start: start as u64,
            end: span.end.max(span.start) as u64,
            line: 1 + before.matches('\n').count() as u64,
            column: 1 + before[line_start..].chars().count() as u64,
            members: 0,
        };
        let title = format!("{}:{}:{}", error.book, at.line, at.column);
        let room = look.width.saturating_sub(12);
        text::around(before.as_bytes(), after.as_bytes(), true, at, title, "here".to_owned(), room)
    });
    let pen = Pen { look, handler: handler(look) };
    let shown = Shown {
        head: format!("{} · rulebook {}", Severity::Error, plain(&error.book)),
        message: plain(&error.message),
        severity: miette::Severity::Error,
        excerpt,
    };
    out.write_all(pen.draw(&shown).as_bytes())
}

fn handler(look: Look) -> GraphicalReportHandler {
    let theme =
        if look.colour { GraphicalTheme::unicode() } else { GraphicalTheme::unicode_nocolor() };
    GraphicalReportHandler::new_themed(theme)
        .with_width(look.width)
        .with_links(false)
        .with_urls(false)
        .without_cause_chain()
        .without_syntax_highlighting()
        .without_primary_span_start()
        // A mark, a file name or a unit is never broken in two.
        .with_break_words(false)
}

/// Draws with one look.
struct Pen {
    look: Look,
    handler: GraphicalReportHandler,
}

/// What miette draws of a finding.
#[derive(Debug)]
struct Shown {
    head: String,
    message: String,
    severity: miette::Severity,
    excerpt: Option<Excerpt>,
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Shown {}

impl Diagnostic for Shown {
    fn code<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        Some(Box::new(&self.head))
    }

    fn severity(&self) -> Option<miette::Severity> {
        Some(self.severity)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.excerpt.as_ref().map(|excerpt| excerpt as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let excerpt = self.excerpt.as_ref()?;
        let length = excerpt.mark.end - excerpt.mark.start;
        let span = SourceSpan::new(excerpt.mark.start.into(), length);
        let label = LabeledSpan::new_primary_with_span(Some(excerpt.label.clone()), span);
        Some(Box::new(std::iter::once(label)))
    }
}

impl Pen {
    fn draw(&self, shown: &Shown) -> String {
        let mut drawn = String::new();
        if self.handler.render_report(&mut drawn, shown).is_err() {
            // Drawing to a string fails only if an excerpt is not what miette takes.
            drawn = format!("{}\n\n  {}\n", shown.head, shown.message);
        }
        match &shown.excerpt {
            Some(excerpt) => excerpt.renumber(&drawn),
            None => drawn,
        }
    }

    fn finding(&self, checked: &Checked<'_>, lookup: &Lookup<'_>, alike: &Alike<'_>) -> String {
        let found = alike.first;
        let finding = &found.finding;
        let filled = |template: &str| fill(template, finding, checked.system);
        let excerpt =
            located::excerpt(checked, lookup, found, self.look.width.saturating_sub(FRAME));
        let no_excerpt = excerpt.is_none();
        let shown = Shown {
            head: format!("{} · {}", finding.severity, finding.rule),
            message: filled(&finding.message),
            severity: match finding.severity {
                Severity::Error => miette::Severity::Error,
                Severity::Warning => miette::Severity::Warning,
                Severity::Note => miette::Severity::Advice,
            },
            excerpt,
        };
        let mut text = self.draw(&shown);
        if no_excerpt {
            text.push_str(&self.entry("at", &located::in_full(found, lookup, checked)));
        }
        if !alike.others.is_empty() {
            text.push_str(
                &self.entry("alike", &located::others(&alike.others, lookup, checked, ALIKE)),
            );
        }
        for related in found.related.iter().take(RELATED) {
            text.push_str(&self.entry("also", &located::also(related, lookup, checked, &filled)));
        }
        if found.related.len() > RELATED {
            let more = found.related.len() - RELATED;
            text.push_str(&self.entry("also", &format!("{more} more places")));
        }
        if !finding.help.is_empty() {
            text.push_str(&self.entry("help", &filled(&finding.help)));
        }
        for (number, remedy) in finding.remedies.iter().enumerate() {
            let name = if number == 0 { "remedies" } else { "" };
            text.push_str(&self.entry(name, &format!("{}. {}", number + 1, filled(&remedy.text))));
        }
        for fact in finding.facts.iter().filter(|fact| fact.source == Source::Limit) {
            text.push_str(&self.entry("limit", &limit(fact, checked.rulebook, checked.system)));
        }
        let values = unsaid(finding, checked.system);
        if !values.is_empty() {
            text.push_str(&self.entry("values", &values));
        }
        let of_limits: Vec<_> =
            finding.facts.iter().filter_map(|fact| fact.citation.as_ref()).collect();
        for citation in finding.citations.iter().filter(|one| !of_limits.contains(one)) {
            text.push_str(&self.entry("source", &plain(&citation.to_string())));
        }
        text
    }

    /// A named entry below the excerpt, its further lines indented.
    fn entry(&self, name: &str, text: &str) -> String {
        entry(self.look, name, text)
    }

    /// Counts by rule of the findings that are not shown.
    fn rest(&self, rest: &[Alike<'_>]) -> String {
        let mut by_rule: BTreeMap<(&str, std::cmp::Reverse<Severity>), usize> = BTreeMap::new();
        for alike in rest {
            let finding = &alike.first.finding;
            let severity = std::cmp::Reverse(finding.severity);
            *by_rule.entry((finding.rule, severity)).or_default() += alike.count();
        }
        let count = rest.iter().map(Alike::count).sum();
        let mut text = format!("{} not shown (--all shows all):\n", counted(count, "more finding"));
        for ((rule, severity), count) in by_rule {
            text.push_str(&format!("  {rule}: {}\n", counted(count, severity.0.word())));
        }
        text
    }

    fn summary(&self, checked: &Checked<'_>) -> String {
        let mut text =
            format!("{}: {}\n", plain(checked.file), coverage::by_severity(checked.report));
        text.push_str(&self.entry("coverage", &plain(&coverage::rules(checked))));
        if let Some(read) = coverage::read(checked) {
            text.push_str(&self.entry("read", &plain(&read)));
        }
        if let Some(rulebook) = coverage::rulebook(checked) {
            text.push_str(&self.entry("rulebook", &plain(&rulebook)));
        }
        for waiver in coverage::waivers(checked) {
            text.push_str(&self.entry("waiver", &plain(&waiver)));
        }
        text.push_str(&self.entry("as of", &plain(checked.as_of)));
        for line in wrapped(CLOSING, self.look.width) {
            text.push_str(&line);
            text.push('\n');
        }
        text
    }
}

/// A named entry, its further lines indented.
pub(crate) fn entry(look: Look, name: &str, text: &str) -> String {
    const NAMES: usize = 10;
    let room = look.width.saturating_sub(NAMES + 3).max(20);
    let mut entry = String::new();
    for (number, line) in wrapped(text, room).into_iter().enumerate() {
        let name = match (number, name) {
            (0, name) if !name.is_empty() => format!("{name}:"),
            _ => String::new(),
        };
        if line.is_empty() && name.is_empty() {
            entry.push('\n');
        } else {
            entry.push_str(&format!("  {name:<NAMES$} {line}\n"));
        }
    }
    entry
}
