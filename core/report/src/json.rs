//! Findings for programs, as versioned JSON.
//!
//! The members are those of the types below and nothing else; `schemas/findings-1.schema.json` says the
//! same.
//! Members are added, never renamed or taken away, as long as `restrand_findings` is 1.
//! Rows, columns, lines are counted from one, bytes from zero.

use std::collections::HashSet;
use std::io::{self, Write};

use restrand_check::{LocatedFinding, Waived};
use restrand_finding::{Citation, Fact, FactValue, Severity, fill_in};
use restrand_model::reading::Place;
use restrand_model::{Origin, System};
use serde::{Serialize, Serializer};

use crate::checked::{Checked, InForce, UNCONFIRMED};
use crate::coverage::CLOSING;
use crate::letters::cell;
use crate::records::Records;
use crate::row;
use crate::text::{Places, Wanted};

/// The version of the form.
pub const VERSION: u32 = 1;

#[derive(Serialize)]
struct Input<'c, 'a> {
    file: &'a str,
    format: Option<&'a str>,
    read: bool,
    units: &'static str,
    rulebook: Option<Book<'a>>,
    coverage: Coverage,
    counts: Counts,
    rules: Vec<RuleCount>,
    not_evaluated: Vec<NotEvaluated>,
    not_applicable: Vec<NotApplicable>,
    waivers: Vec<WaiverUse<'c>>,
    findings: Findings<'c, 'a>,
}

/// A waiver and what came of it.
#[derive(Serialize)]
struct WaiverUse<'a> {
    rule: &'a str,
    place: &'a str,
    reason: &'a str,
    by: &'a str,
    until: String,
    rulebook: &'a str,
    state: &'static str,
    findings: Vec<&'a str>,
}

impl<'a> WaiverUse<'a> {
    fn of(waived: &'a Waived) -> Self {
        let Waived { waiver, findings, .. } = waived;
        Self {
            rule: waiver.rule,
            place: &waiver.place,
            reason: &waiver.reason,
            by: &waiver.by,
            until: waiver.until.to_string(),
            rulebook: &waiver.book,
            state: waived.state(),
            findings: findings.iter().map(|found| found.fingerprint.as_str()).collect(),
        }
    }
}

/// The findings, each of which is made when it is written: all at once would take many times their memory.
struct Findings<'c, 'a> {
    checked: &'c Checked<'a>,
    lookup: &'c Lookup<'a>,
}

impl Serialize for Findings<'_, '_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let findings = self.checked.report.findings.iter();
        serializer.collect_seq(findings.map(|found| one(found, self.checked, self.lookup)))
    }
}

/// A rulebook in force.
#[derive(Serialize)]
pub(crate) struct Book<'a> {
    name: &'a str,
    chain: &'a [String],
    why: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    note: Option<&'static str>,
}

#[derive(Serialize)]
struct Coverage {
    tendons: usize,
    rules: usize,
    passed: usize,
    findings: usize,
    implied: usize,
    not_applicable: usize,
    not_evaluated: usize,
    records: usize,
    records_lost: usize,
    values_lost: usize,
    sheets_lost: usize,
}

#[derive(Serialize)]
struct Counts {
    error: usize,
    warning: usize,
    note: usize,
}

#[derive(Serialize)]
struct RuleCount {
    rule: &'static str,
    passed: usize,
    found: usize,
    not_applicable: usize,
    not_evaluated: usize,
}

#[derive(Serialize)]
struct NotEvaluated {
    rule: &'static str,
    field: &'static str,
    count: usize,
}

#[derive(Serialize)]
struct NotApplicable {
    rule: &'static str,
    reason: &'static str,
    count: usize,
}

/// A finding.
#[derive(Serialize)]
pub(crate) struct Found<'a> {
    rule: &'static str,
    kind: &'static str,
    severity: &'static str,
    message: String,
    place: At<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    route: Option<&'a str>,
    fingerprint: &'a str,
    facts: Vec<Value<'a>>,
    related: Vec<Also<'a>>,
    #[serde(skip_serializing_if = "String::is_empty")]
    help: String,
    remedies: Vec<String>,
    citations: Vec<Cited<'a>>,
}

#[derive(Serialize)]
struct Also<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<At<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    name: Option<&'a str>,
    text: String,
}

/// A place in the input.
#[derive(Serialize, Default)]
pub(crate) struct At<'a> {
    pub(crate) part: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) sheet: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) cell: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) row: Option<u64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) line: Option<u64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) column: Option<u64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) header: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) missing_column: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) byte_start: Option<u64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) byte_end: Option<u64>,
}

/// A fact.
#[derive(Serialize)]
pub(crate) struct Value<'a> {
    name: &'static str,
    source: &'static str,
    value: Plain<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    unit: Option<&'static str>,
    shown: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    citation: Option<Cited<'a>>,
}

#[derive(Serialize)]
#[serde(untagged)]
enum Plain<'a> {
    Number(f64),
    Text(&'a str),
}

#[derive(Serialize)]
struct Cited<'a> {
    source: &'a str,
    evidence: &'static str,
}

impl<'a> From<&'a Citation> for Cited<'a> {
    fn from(citation: &'a Citation) -> Self {
        Self { source: &citation.source, evidence: citation.evidence.word() }
    }
}

/// A document that takes one input after the other.
pub struct Document<'w> {
    out: &'w mut dyn Write,
    inputs: usize,
}

impl<'w> Document<'w> {
    /// Begins the document.
    ///
    /// # Errors
    /// The writer fails.
    pub fn begin(out: &'w mut dyn Write, version: &str, as_of: &str) -> io::Result<Self> {
        Self::begin_form(out, "restrand_findings", VERSION, version, as_of)
    }

    /// Begins a document of corrections.
    ///
    /// # Errors
    /// The writer fails.
    pub fn begin_corrections(
        out: &'w mut dyn Write,
        version: &str,
        as_of: &str,
    ) -> io::Result<Self> {
        use crate::corrections::json::{MEMBER, VERSION};
        Self::begin_form(out, MEMBER, VERSION, version, as_of)
    }

    /// Begins a document of plans.
    ///
    /// # Errors
    /// The writer fails.
    pub fn begin_plans(out: &'w mut dyn Write, version: &str, as_of: &str) -> io::Result<Self> {
        use crate::plan::json::{MEMBER, VERSION};
        Self::begin_form(out, MEMBER, VERSION, version, as_of)
    }

    fn begin_form(
        out: &'w mut dyn Write,
        form: &str,
        form_version: u32,
        version: &str,
        as_of: &str,
    ) -> io::Result<Self> {
        writeln!(out, "{{")?;
        writeln!(out, "  \"{form}\": {form_version},")?;
        writeln!(out, "  \"restrand_version\": {},", serde_json::to_string(version)?)?;
        writeln!(out, "  \"as_of\": {},", serde_json::to_string(as_of)?)?;
        writeln!(out, "  \"note\": {},", serde_json::to_string(CLOSING)?)?;
        write!(out, "  \"inputs\": [")?;
        Ok(Self { out, inputs: 0 })
    }

    /// Adds an input.
    ///
    /// It is made before it is written, so that the document stays one if the making should fail.
    ///
    /// # Errors
    /// The writer fails.
    pub fn input(&mut self, checked: &Checked<'_>) -> io::Result<()> {
        let lookup = Lookup::of(checked);
        self.add(&input(checked, &lookup))
    }

    /// Adds an input of the document's form.
    pub(crate) fn add(&mut self, input: &impl Serialize) -> io::Result<()> {
        let formatter = serde_json::ser::PrettyFormatter::with_indent(b"  ");
        let mut bytes = Vec::new();
        let mut serializer = serde_json::Serializer::with_formatter(&mut bytes, formatter);
        input.serialize(&mut serializer)?;
        let comma = if self.inputs > 0 { "," } else { "" };
        write!(self.out, "{comma}")?;
        self.inputs += 1;
        // No text of JSON goes over the end of a line.
        for line in bytes.split(|byte| *byte == b'\n') {
            self.out.write_all(b"\n    ")?;
            self.out.write_all(line)?;
        }
        Ok(())
    }

    /// Ends the document.
    ///
    /// # Errors
    /// The writer fails.
    pub fn end(self) -> io::Result<()> {
        writeln!(self.out, "\n  ]\n}}")
    }
}

/// What has to be looked up before places can be told.
pub(crate) struct Lookup<'a> {
    records: Records<'a>,
    places: Places,
}

impl<'a> Lookup<'a> {
    /// Looks up the places of all findings.
    pub(crate) fn of(checked: &Checked<'a>) -> Self {
        let mut places = Vec::new();
        for found in &checked.report.findings {
            places.push((&found.place, found.record));
            let related = found.related.iter();
            places.extend(
                related.filter_map(|related| Some((related.place.as_ref()?, related.record))),
            );
        }
        Self::of_places(checked, &places)
    }

    /// Looks up places, each with the record that holds it.
    pub(crate) fn of_places(checked: &Checked<'a>, places: &[(&Place, Origin)]) -> Self {
        let of_texts = places.iter().filter(|(place, _)| matches!(place, Place::Text { .. }));
        let origins: HashSet<_> = of_texts.filter_map(|(_, record)| record.get()).collect();
        let records = match checked.reading {
            Some(reading) => Records::of(reading, &origins),
            None => Records::default(),
        };
        let wanted: Vec<_> = places
            .iter()
            .filter_map(|(place, record)| wanted_at(place, *record, &records))
            .collect();
        let places = Places::find(&wanted, checked.sources);
        drop(wanted);
        Self { records, places }
    }
}

fn wanted_at<'a>(place: &'a Place, record: Origin, records: &Records<'_>) -> Option<Wanted<'a>> {
    match place {
        Place::Text { part, span, path } => {
            let key = records.get(record).and_then(|found| found.record.info().key);
            Some(Wanted { part, span: *span, path, key })
        }
        _ => None,
    }
}

fn input<'c, 'a>(checked: &'c Checked<'a>, lookup: &'c Lookup<'a>) -> Input<'c, 'a> {
    let report = checked.report;
    let outcomes = &report.outcomes;
    let sum = |part: fn(&restrand_finding::Tally) -> usize| {
        outcomes.tallies.values().map(part).sum::<usize>()
    };
    Input {
        file: checked.file,
        format: checked.format,
        read: checked.reading.is_some(),
        units: units(checked.system),
        rulebook: checked.rulebook.map(book),
        coverage: Coverage {
            tendons: report.coverage.tendons,
            rules: report.coverage.rules,
            passed: sum(|tally| tally.pass),
            findings: report.findings.len(),
            implied: report.coverage.implied,
            not_applicable: sum(|tally| tally.not_applicable),
            not_evaluated: sum(|tally| tally.not_evaluated),
            records: report.coverage.read.records,
            records_lost: report.coverage.read.records_lost,
            values_lost: report.coverage.read.values_lost,
            sheets_lost: report.coverage.read.sheets_lost,
        },
        counts: Counts {
            error: report.count(Severity::Error),
            warning: report.count(Severity::Warning),
            note: report.count(Severity::Note),
        },
        rules: outcomes
            .tallies
            .iter()
            .map(|(rule, tally)| RuleCount {
                rule,
                passed: tally.pass,
                found: tally.found,
                not_applicable: tally.not_applicable,
                not_evaluated: tally.not_evaluated,
            })
            .collect(),
        not_evaluated: outcomes
            .not_evaluated
            .iter()
            .map(|(group, count)| NotEvaluated {
                rule: group.rule,
                field: group.reason,
                count: *count,
            })
            .collect(),
        not_applicable: outcomes
            .not_applicable
            .iter()
            .map(|(group, count)| NotApplicable {
                rule: group.rule,
                reason: group.reason,
                count: *count,
            })
            .collect(),
        waivers: report.waivers.iter().map(WaiverUse::of).collect(),
        findings: Findings { checked, lookup },
    }
}

/// A finding as programs are told it.
pub(crate) fn one<'a>(
    found: &'a LocatedFinding,
    checked: &Checked<'a>,
    lookup: &Lookup<'a>,
) -> Found<'a> {
    let finding = &found.finding;
    let filled = |template: &str| fill_in(template, &finding.facts, checked.system);
    Found {
        rule: finding.rule,
        kind: finding.kind.word(),
        severity: finding.severity.word(),
        message: filled(&finding.message),
        place: at(&found.place, found.record, &found.path, checked, lookup),
        route: found.route.as_deref(),
        fingerprint: &found.fingerprint,
        facts: finding.facts.iter().map(|fact| value(fact, checked.system)).collect(),
        related: found
            .related
            .iter()
            .map(|related| Also {
                place: related
                    .place
                    .as_ref()
                    .map(|place| at(place, related.record, &related.path, checked, lookup)),
                name: related.name.as_deref(),
                text: filled(&related.text),
            })
            .collect(),
        help: filled(&finding.help),
        remedies: finding.remedies.iter().map(|remedy| filled(&remedy.text)).collect(),
        citations: finding.citations.iter().map(Cited::from).collect(),
    }
}

/// A rulebook as programs are told it.
pub(crate) fn book(in_force: InForce<'_>) -> Book<'_> {
    Book {
        name: &in_force.book.name,
        chain: &in_force.book.chain,
        why: in_force.why,
        note: in_force.has_unconfirmed_limits().then_some(UNCONFIRMED),
    }
}

/// The word for the system of units.
pub(crate) const fn units(system: System) -> &'static str {
    match system {
        System::Si => "si",
        System::Us => "us",
    }
}

/// A fact as programs are told it.
pub(crate) fn value(fact: &Fact, system: System) -> Value<'_> {
    Value {
        name: fact.name,
        source: fact.source.word(),
        value: match &fact.value {
            FactValue::Number(number) => Plain::Number(*number),
            FactValue::Text(text) => Plain::Text(text),
        },
        unit: fact.unit().map(|unit| unit.symbol),
        shown: fact.shown(system),
        citation: fact.citation.as_ref().map(Cited::from),
    }
}

/// The place as programs are told it.
pub(crate) fn at<'a>(
    place: &'a Place,
    record: Origin,
    path: &[String],
    checked: &Checked<'a>,
    lookup: &Lookup<'_>,
) -> At<'a> {
    match place {
        Place::Part { part } => At { part, ..At::default() },
        Place::Sheet { part, sheet } => At { part, sheet: Some(sheet), ..At::default() },
        Place::Cell { part, sheet, row, column } => {
            let table = checked.reading.and_then(|reading| {
                reading.provenance.table_at(part, sheet, *row, *column).map(|(_, table)| table)
            });
            let header = table.and_then(|table| row::header(table, *row, (*column)?));
            At {
                part,
                sheet: Some(sheet),
                cell: column.map(|column| cell(*row, column)),
                row: Some(u64::from(*row) + 1),
                column: column.map(|column| u64::from(column) + 1),
                header,
                missing_column: match (column, table) {
                    (None, Some(table)) => row::missing_column(table, path),
                    _ => None,
                },
                ..At::default()
            }
        }
        Place::Line { part, sheet, line, column } => {
            let table = checked.reading.and_then(|reading| {
                reading.provenance.table_at(part, sheet, *line, *column).map(|(_, table)| table)
            });
            At {
                part,
                sheet: Some(sheet),
                line: Some(u64::from(*line) + 1),
                column: column.map(|column| u64::from(column) + 1),
                header: table.and_then(|table| row::header(table, *line, (*column)?)),
                missing_column: match (column, table) {
                    (None, Some(table)) => row::missing_column(table, path),
                    _ => None,
                },
                ..At::default()
            }
        }
        Place::Text { part, span, .. } => {
            let found =
                wanted_at(place, record, &lookup.records).and_then(|w| lookup.places.get(&w));
            At {
                part,
                line: found.map(|at| at.line),
                column: found.map(|at| at.column),
                byte_start: Some(found.map_or(span.start, |at| at.start)),
                byte_end: Some(found.map_or(span.end, |at| at.end)),
                ..At::default()
            }
        }
    }
}
