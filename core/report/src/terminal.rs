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
use restrand_check::{LocatedFinding, LocatedRelated};
use restrand_finding::{Fact, FactValue, Finding, Severity, Source, fill_in};
use restrand_model::System;
use restrand_model::reading::Place;

use crate::alike::{Alike, put_together};
use crate::checked::{Checked, InForce};
use crate::coverage::{self, CLOSING};
use crate::excerpt::Excerpt;
use crate::letters::cell;
use crate::plain::{counted, plain, plain_lines, wrapped};
use crate::records::Records;
use crate::row::{self, Marked};
use crate::text::{self, Places, Wanted};

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
    let lookup = Lookup::of(checked, &shown);
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

/// What has to be looked up before findings can be shown.
struct Lookup<'a> {
    records: Records<'a>,
    places: Places,
}

impl<'a> Lookup<'a> {
    fn of(checked: &Checked<'a>, shown: &[Alike<'a>]) -> Self {
        let others =
            |alike: &Alike<'a>| alike.others.iter().take(ALIKE).copied().collect::<Vec<_>>();
        let firsts: Vec<_> = shown.iter().map(|alike| alike.first).collect();
        let others: Vec<_> = shown.iter().flat_map(others).collect();
        let records = match checked.reading {
            Some(reading) => {
                let mut wanted = HashSet::new();
                wanted.extend(others.iter().filter_map(|found| found.record.get()));
                for found in &firsts {
                    wanted.extend(found.record.get());
                    wanted.extend(found.related.iter().filter_map(|related| related.record.get()));
                }
                Records::of(reading, &wanted)
            }
            None => Records::default(),
        };
        let mut wanted = Vec::new();
        wanted.extend(others.iter().filter_map(|found| wanted_of(&found.place, found, &records)));
        for found in firsts {
            wanted.extend(wanted_of(&found.place, found, &records));
            for related in &found.related {
                wanted.extend(wanted_related(related, &records));
            }
        }
        let places = Places::find(&wanted, checked.sources);
        drop(wanted);
        Self { records, places }
    }
}

fn wanted_of<'a>(
    place: &'a Place,
    found: &'a LocatedFinding,
    records: &Records<'a>,
) -> Option<Wanted<'a>> {
    wanted_at(place, records.get(found.record).and_then(|found| found.record.info().key))
}

fn wanted_related<'a>(related: &'a LocatedRelated, records: &Records<'a>) -> Option<Wanted<'a>> {
    let key = records.get(related.record).and_then(|found| found.record.info().key);
    wanted_at(related.place.as_ref()?, key)
}

fn wanted_at<'a>(place: &'a Place, key: Option<&'a str>) -> Option<Wanted<'a>> {
    match place {
        Place::Text { part, span, path } => Some(Wanted { part, span: *span, path, key }),
        _ => None,
    }
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
        let excerpt = self.excerpt(checked, lookup, found);
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
            text.push_str(&self.entry("at", &place_in_full(found, lookup, checked)));
        }
        if !alike.others.is_empty() {
            text.push_str(&self.entry("alike", &places(&alike.others, lookup, checked)));
        }
        for related in found.related.iter().take(RELATED) {
            text.push_str(&self.entry("also", &also(related, lookup, checked, &filled)));
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

    fn excerpt(
        &self,
        checked: &Checked<'_>,
        lookup: &Lookup<'_>,
        found: &LocatedFinding,
    ) -> Option<Excerpt> {
        /// Room for the line number and the frame.
        const FRAME: usize = 12;
        let room = self.look.width.saturating_sub(FRAME);
        let record = lookup.records.get(found.record);
        match &found.place {
            Place::Cell { part, sheet, row, column }
            | Place::Line { part, sheet, line: row, column } => {
                let provenance = &checked.reading?.provenance;
                let table = match provenance.table(found.record) {
                    Some(table) => table,
                    None => row::table_of(provenance, part, sheet)?.1,
                };
                let given = found.finding.facts.iter().find_map(|fact| match &fact.value {
                    FactValue::Text(text) if fact.name == "given" => Some(text.as_str()),
                    _ => None,
                });
                let marked =
                    Marked { part, sheet, row: *row, column: *column, path: &found.path, given };
                row::excerpt(&marked, table, record, provenance, room)
            }
            Place::Text { part, span, path } => {
                let wanted = wanted_of(&found.place, found, &lookup.records)?;
                let at = lookup.places.get(&wanted)?;
                // Only a document has members; what another text says stands there in its own way.
                let first = checked.sources.window(part, span.start, 1);
                let has_members = first.is_none_or(|bytes| bytes.first() == Some(&b'{'));
                let label = match path.get(at.members) {
                    Some(missing) if has_members => {
                        format!("no member \"{}\" here", plain(missing))
                    }
                    _ if path.is_empty() => "here".to_owned(),
                    _ => plain(&way(path)),
                };
                text::excerpt(part, at, label, checked.sources, room)
            }
            Place::Part { .. } | Place::Sheet { .. } => None,
        }
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

/// Members and positions as routes show them: `parts[#1].permanence`.
fn way(path: &[String]) -> String {
    let mut way = String::new();
    for step in path {
        match step.parse::<usize>() {
            Ok(position) => way.push_str(&format!("[#{}]", position.saturating_add(1))),
            Err(_) => {
                if !way.is_empty() {
                    way.push('.');
                }
                way.push_str(step);
            }
        }
    }
    way
}

/// A template of the finding with its facts, made fit for a terminal.
fn fill(template: &str, finding: &Finding, system: System) -> String {
    plain_lines(&fill_in(template, &finding.facts, system))
}

fn place_in_full(found: &LocatedFinding, lookup: &Lookup<'_>, checked: &Checked<'_>) -> String {
    let place = &found.place;
    let wanted = wanted_of(place, found, &lookup.records);
    plain(&match place {
        Place::Part { part } => part.clone(),
        Place::Line { part, line, .. } => format!("{part}:{}", u64::from(*line) + 1),
        _ => format!("{} › {}", place.part(), place_in_part(place, wanted, lookup, checked)),
    })
}

/// Where findings stand that say the same as one that is shown.
fn places(others: &[&LocatedFinding], lookup: &Lookup<'_>, checked: &Checked<'_>) -> String {
    let mut places: Vec<String> = Vec::new();
    let mut run: Option<Run<'_>> = None;
    for found in others.iter().take(ALIKE) {
        let cell = Run::of(&found.place, checked);
        if let (Some(run), Some(cell)) = (&mut run, &cell)
            && run.takes(cell)
        {
            continue;
        }
        places.extend(run.take().map(|run| run.shown()));
        if cell.is_none() {
            let wanted = wanted_of(&found.place, found, &lookup.records);
            places.push(place_in_part(&found.place, wanted, lookup, checked));
        }
        run = cell;
    }
    places.extend(run.map(|run| run.shown()));
    if others.len() > ALIKE {
        places.push(format!("and {} further ones", others.len() - ALIKE));
    }
    plain(&format!("{} more, at {}", others.len(), places.join(", ")))
}

/// Cells below one another.
struct Run<'a> {
    sheet: &'a str,
    column: u32,
    rows: [u32; 2],
}

impl<'a> Run<'a> {
    fn of(place: &'a Place, checked: &Checked<'_>) -> Option<Self> {
        let Place::Cell { part, sheet, row, column } = place else { return None };
        let column = column.or_else(|| naming(checked, part, sheet))?;
        Some(Self { sheet, column, rows: [*row; 2] })
    }

    /// Whether the next cell goes on where these end, which it then does.
    fn takes(&mut self, next: &Self) -> bool {
        let goes_on = (self.sheet, self.column) == (next.sheet, next.column)
            && self.rows[1].checked_add(1) == Some(next.rows[0]);
        if goes_on {
            self.rows[1] = next.rows[1];
        }
        goes_on
    }

    fn shown(&self) -> String {
        let [first, last] = self.rows.map(|row| cell(row, self.column));
        match first == last {
            true => format!("{}!{first}", self.sheet),
            false => format!("{}!{first}:{last}", self.sheet),
        }
    }
}

/// The column that names the rows of a sheet.
fn naming(checked: &Checked<'_>, part: &str, sheet: &str) -> Option<u32> {
    let (_, table) = row::table_of(&checked.reading?.provenance, part, sheet)?;
    row::naming(table).map(|column| column.index)
}

/// The place without the name of the part, or with it where each sheet is a part.
///
/// A row is shown by the cell that names it.
fn place_in_part(
    place: &Place,
    wanted: Option<Wanted<'_>>,
    lookup: &Lookup<'_>,
    checked: &Checked<'_>,
) -> String {
    match place {
        Place::Part { part } => part.clone(),
        Place::Sheet { sheet, .. } => format!("sheet {sheet}"),
        Place::Cell { part, sheet, row, column } => {
            match column.or_else(|| naming(checked, part, sheet)) {
                Some(column) => format!("{sheet}!{}", cell(*row, column)),
                None => format!("{sheet}, row {}", u64::from(*row) + 1),
            }
        }
        Place::Line { part, sheet, line, column } => {
            let file = part.rsplit(['/', '\\']).next().unwrap_or(part);
            let header = column.and_then(|column| {
                let (_, table) = row::table_of(&checked.reading?.provenance, part, sheet)?;
                row::header(table, column)
            });
            let place = format!("{file}:{}", u64::from(*line) + 1);
            match header {
                Some(header) => format!("{place}, {header}"),
                None => place,
            }
        }
        Place::Text { span, .. } => match wanted.and_then(|wanted| lookup.places.get(&wanted)) {
            Some(at) => format!("line {}, column {}", at.line, at.column),
            None => format!("byte {}", span.start),
        },
    }
}

fn also(
    related: &LocatedRelated,
    lookup: &Lookup<'_>,
    checked: &Checked<'_>,
    filled: &dyn Fn(&str) -> String,
) -> String {
    let place = match (&related.place, &related.name) {
        (Some(place), _) => {
            place_in_part(place, wanted_related(related, &lookup.records), lookup, checked)
        }
        (None, Some(name)) => match checked.rulebook.and_then(|r| r.book.limits.get(name)) {
            Some(limit) => format!("rulebook {}, {name}", limit.book),
            None => name.clone(),
        },
        (None, None) => String::new(),
    };
    let text = filled(&related.text);
    match (place.is_empty(), text.is_empty()) {
        (true, _) => text,
        (false, true) => plain(&place),
        (false, false) => format!("{}: {text}", plain(&place)),
    }
}

fn limit(fact: &Fact, rulebook: Option<InForce<'_>>, system: System) -> String {
    let book = rulebook
        .and_then(|in_force| in_force.book.limits.get(fact.name))
        .map(|limit| format!("rulebook {}, ", limit.book))
        .unwrap_or_default();
    let citation = fact
        .citation
        .as_ref()
        .map(|citation| format!("{}: {}", citation.evidence, citation.source))
        .unwrap_or_default();
    plain(&format!("{} {} ({book}{citation})", fact.label(), fact.shown(system)))
}

/// Numbers of the finding that none of its texts mentions.
fn unsaid(finding: &Finding, system: System) -> String {
    let said = |name: &str| {
        let named = format!("{{{name}}}");
        finding.message.contains(&named)
            || finding.help.contains(&named)
            || finding.related.iter().any(|related| related.text.contains(&named))
            || finding.remedies.iter().any(|remedy| remedy.text.contains(&named))
    };
    let values: Vec<_> = finding
        .facts
        .iter()
        .filter(|fact| fact.source != Source::Limit && matches!(fact.value, FactValue::Number(_)))
        .filter(|fact| !said(fact.name))
        .map(|fact| format!("{} {}", fact.label(), fact.shown(system)))
        .collect();
    plain(&values.join("; "))
}
