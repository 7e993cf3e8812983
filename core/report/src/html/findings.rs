//! Findings by rule and by place.

use std::collections::BTreeMap;
use std::io::{self, Write};

use restrand_finding::Source;
use restrand_model::reading::Place;

use super::figures::{self, Picture};
use super::markup::{escaped, table, terms};
use super::stamp::Stamp;
use crate::alike::{Alike, put_together};
use crate::checked::Checked;
use crate::draw::Drawing;
use crate::facts::fill;
use crate::located::{self, Lookup};
use crate::plain::counted;

/// Places named of findings that say the same as one above them.
const ALIKE: usize = 200;
/// The title of the section with the drawings.
pub(super) const DRAWINGS: &str = "Drawings of what was found";
/// Columns of an excerpt: what an upright A4 sheet has room for.
const WIDTH: usize = 96;

/// The findings of one input with all that is shown of them.
pub(super) struct Shown<'a> {
    checked: &'a Checked<'a>,
    groups: Vec<Alike<'a>>,
    lookup: Lookup<'a>,
    pictures: BTreeMap<usize, Picture>,
}

impl<'a> Shown<'a> {
    pub(super) fn of(checked: &'a Checked<'a>, stamp: &Stamp<'_>) -> Self {
        let groups = put_together(&checked.report.findings);
        let lookup = Lookup::of(checked, &groups, ALIKE);
        let pictures = figures::of_findings(checked, &groups, stamp);
        Self { checked, groups, lookup, pictures }
    }

    /// What each rule found and where, with links to the findings.
    pub(super) fn by_rule(&self, out: &mut dyn Write) -> io::Result<()> {
        writeln!(
            out,
            "<section aria-labelledby=\"rules\">\n<h2 id=\"rules\">Findings by rule</h2>"
        )?;
        if self.groups.is_empty() {
            writeln!(out, "<p>These rules found nothing.</p>")?;
        }
        let mut by_rule: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        for (index, group) in self.groups.iter().enumerate() {
            by_rule.entry(group.first.finding.rule).or_default().push(index);
        }
        let heads = ["No.", "Severity", "Place", "What was found"];
        let heads = heads.map(|head| format!("<th scope=\"col\">{head}</th>")).concat();
        if !by_rule.is_empty() {
            writeln!(
                out,
                "<div class=\"wide\"><table><caption>The numbers lead to the findings in full</caption>\
                 <thead><tr>{heads}</tr></thead>"
            )?;
        }
        let is_any = !by_rule.is_empty();
        for (rule, indices) in by_rule {
            let summary = restrand_rules::find(rule).map_or("", |rule| rule.summary);
            let count: usize = indices.iter().map(|index| self.groups[*index].count()).sum();
            writeln!(
                out,
                "<tbody><tr><th scope=\"rowgroup\" colspan=\"4\"><strong>{}</strong>, {}: {}</th></tr>",
                escaped(rule),
                counted(count, "finding"),
                escaped(summary)
            )?;
            for index in indices {
                let found = self.groups[index].first;
                let finding = &found.finding;
                writeln!(
                    out,
                    "<tr><td><a href=\"#f{0}\">{0}</a></td><td>{1}</td><td>{2}</td><td>{3}</td></tr>",
                    index + 1,
                    finding.severity,
                    escaped(&located::in_full(found, &self.lookup, self.checked)),
                    escaped(&fill(&finding.message, finding, self.checked.system))
                )?;
            }
            writeln!(out, "</tbody>")?;
        }
        if is_any {
            writeln!(out, "</table></div>")?;
        }
        writeln!(out, "</section>")
    }

    /// Every finding with its facts, limits, evidence, sources and drawing, in the order of the file.
    pub(super) fn by_place(&self, out: &mut dyn Write) -> io::Result<()> {
        writeln!(
            out,
            "<section aria-labelledby=\"places\">\n<h2 id=\"places\">Findings by place</h2>"
        )?;
        if !self.groups.is_empty() {
            self.filter(out)?;
        }
        let mut open: Option<String> = None;
        for (index, group) in self.groups.iter().enumerate() {
            let place = sheet_of(&group.first.place);
            if open.as_ref() != Some(&place) {
                if open.is_some() {
                    writeln!(out, "</section>")?;
                }
                writeln!(out, "<section class=\"group\">\n<h3>{}</h3>", escaped(&place))?;
                open = Some(place);
            }
            self.finding(out, index, group)?;
        }
        if open.is_some() {
            writeln!(out, "</section>")?;
        }
        writeln!(out, "</section>")
    }

    /// Whether any finding has a drawing.
    pub(super) fn is_any_drawn(&self) -> bool {
        self.drawn().next().is_some()
    }

    /// The drawings, each once, in the order of the findings.
    fn drawn(&self) -> impl Iterator<Item = (usize, &Drawing)> {
        self.pictures.iter().filter_map(|(index, picture)| match picture {
            Picture::Drawn(drawing) => Some((*index, drawing.as_ref())),
            Picture::With { .. } | Picture::Full { .. } => None,
        })
    }

    /// The findings that a drawing shows.
    fn shown_by(&self, drawing: &Drawing) -> impl Iterator<Item = usize> {
        self.pictures.iter().filter_map(|(index, picture)| {
            let is_it = match picture {
                Picture::Drawn(own) => own.name == drawing.name,
                Picture::With { name, .. } => *name == drawing.name,
                Picture::Full { .. } => false,
            };
            is_it.then_some(*index)
        })
    }

    /// The drawings of what was found, one after the other, so that on paper no text stands alone between two of them.
    pub(super) fn drawings(&self, out: &mut dyn Write) -> io::Result<()> {
        if !self.is_any_drawn() {
            return Ok(());
        }
        writeln!(
            out,
            "<section aria-labelledby=\"drawings\">\n<h2 id=\"drawings\">{DRAWINGS}</h2>\n<ul>"
        )?;
        for (_, drawing) in self.drawn() {
            let (name, title) = (escaped(&drawing.name), escaped(&drawing.title));
            writeln!(out, "<li><a href=\"#{name}\">{title}</a><ul>")?;
            for index in self.shown_by(drawing) {
                let finding = &self.groups[index].first.finding;
                writeln!(
                    out,
                    "<li>finding <a href=\"#f{0}\">{0}</a>: {1}</li>",
                    index + 1,
                    escaped(&fill(&finding.message, finding, self.checked.system))
                )?;
            }
            writeln!(out, "</ul></li>")?;
        }
        writeln!(out, "</ul>")?;
        for (_, drawing) in self.drawn() {
            writeln!(out, "{}", figures::figure(drawing))?;
        }
        writeln!(out, "</section>")
    }

    /// What filters, which only a script can: without one it is not shown.
    fn filter(&self, out: &mut dyn Write) -> io::Result<()> {
        writeln!(
            out,
            "<form id=\"filter\" role=\"search\" aria-label=\"Filter the findings\" hidden>\n\
             <div><label for=\"words\">Words</label><input type=\"search\" id=\"words\" name=\"words\"></div>\n\
             <div><label for=\"rule\">Rule</label><select id=\"rule\" name=\"rule\"><option value=\"\">all</option>"
        )?;
        let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
        for group in &self.groups {
            *counts.entry(group.first.finding.rule).or_default() += 1;
        }
        for (rule, count) in counts {
            writeln!(out, "<option value=\"{0}\">{0} ({count})</option>", escaped(rule))?;
        }
        writeln!(out, "</select></div>\n<fieldset><legend>Severity</legend>")?;
        for severity in ["error", "warning", "note"] {
            writeln!(
                out,
                "<label><input type=\"checkbox\" name=\"{severity}\" checked> {severity}</label>"
            )?;
        }
        writeln!(
            out,
            "</fieldset>\n<div><button type=\"reset\">Show all</button></div>\n</form>\n\
             <p id=\"filter-count\" aria-live=\"polite\"></p>"
        )
    }

    fn finding(&self, out: &mut dyn Write, index: usize, group: &Alike<'_>) -> io::Result<()> {
        let (checked, found) = (self.checked, group.first);
        let finding = &found.finding;
        let filled = |template: &str| fill(template, finding, checked.system);
        writeln!(
            out,
            "<article class=\"finding {0}\" id=\"f{number}\" data-severity=\"{0}\" data-rule=\"{rule}\" \
             aria-labelledby=\"h{number}\">\n<h4 id=\"h{number}\">{number}. <span class=\"severity\">{0}</span> · {kind} · \
             <code>{rule}</code></h4>\n<p class=\"message\">{message}</p>\n<p class=\"at\">{place}</p>",
            finding.severity,
            number = index + 1,
            rule = escaped(finding.rule),
            kind = finding.kind,
            message = escaped(&filled(&finding.message)),
            place = escaped(&located::in_full(found, &self.lookup, checked)),
        )?;
        if let Some(excerpt) = located::excerpt(checked, &self.lookup, found, WIDTH) {
            writeln!(out, "{}", excerpt_of(&excerpt))?;
        }
        writeln!(out, "{}", self.facts(group))?;
        let others = match group.others.is_empty() {
            true => String::new(),
            false => escaped(&located::others(&group.others, &self.lookup, checked, ALIKE)),
        };
        let also = list(
            "ul",
            found
                .related
                .iter()
                .map(|related| located::also(related, &self.lookup, checked, &filled)),
        );
        let remedies = list("ol", finding.remedies.iter().map(|remedy| filled(&remedy.text)));
        let sources = list(
            "ul",
            finding
                .citations
                .iter()
                .map(|citation| format!("{}: {}", citation.evidence, citation.source)),
        );
        writeln!(
            out,
            "{}",
            terms(&[
                ("Alike", others),
                ("Also", also),
                ("Help", escaped(&filled(&finding.help))),
                ("Remedies", remedies),
                ("Rests on", sources),
                ("Route", found.route.as_deref().map(code).unwrap_or_default()),
            ])
        )?;
        if let Some(picture) = self.pictures.get(&index) {
            writeln!(out, "{}", picture.markup())?;
        }
        writeln!(out, "</article>")
    }

    /// The numbers of a finding: what is given, what was computed, what is compared with.
    fn facts(&self, group: &Alike<'_>) -> String {
        let rows: Vec<Vec<String>> = group
            .first
            .finding
            .facts
            .iter()
            .map(|fact| {
                let book = self
                    .checked
                    .rulebook
                    .filter(|_| fact.source == Source::Limit)
                    .and_then(|in_force| in_force.book.limits.get(fact.name))
                    .map(|limit| format!("rulebook {}; ", limit.book))
                    .unwrap_or_default();
                let rests_on = fact
                    .citation
                    .as_ref()
                    .map(|citation| format!("{book}{}: {}", citation.evidence, citation.source))
                    .unwrap_or_default();
                vec![
                    escaped(&fact.label()),
                    escaped(&fact.shown(self.checked.system)),
                    fact.source.word().to_owned(),
                    escaped(&rests_on),
                ]
            })
            .collect();
        if rows.is_empty() {
            return String::new();
        }
        let heads = ["Fact", "Value", "Origin", "Evidence and source"].map(str::to_owned);
        format!("<div class=\"wide facts\">{}</div>", table("Facts", &heads, &rows))
    }
}

fn code(text: &str) -> String {
    format!("<code>{}</code>", escaped(text))
}

fn list(element: &str, items: impl Iterator<Item = String>) -> String {
    let items: Vec<_> = items.map(|item| format!("<li>{}</li>", escaped(&item))).collect();
    match items.is_empty() {
        true => String::new(),
        false => format!("<{element}>{}</{element}>", items.concat()),
    }
}

/// The lines around the place, with what is meant marked.
fn excerpt_of(excerpt: &crate::excerpt::Excerpt) -> String {
    let text = &excerpt.text;
    let parts = text.get(..excerpt.mark.start).zip(text.get(excerpt.mark.clone()));
    let marked = match parts.zip(text.get(excerpt.mark.end..)) {
        Some(((before, marked), after)) => {
            format!("{}<mark>{}</mark>{}", escaped(before), escaped(marked), escaped(after))
        }
        None => escaped(text),
    };
    format!("<pre>{marked}\n↑ {}</pre>", escaped(&excerpt.label))
}

/// The sheet or part under which a place is listed.
fn sheet_of(place: &Place) -> String {
    match place {
        Place::Sheet { part, sheet }
        | Place::Cell { part, sheet, .. }
        | Place::Line { part, sheet, .. }
            if !sheet.is_empty() =>
        {
            format!("{part} › {sheet}")
        }
        _ => place.part().to_owned(),
    }
}
