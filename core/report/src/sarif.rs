//! Findings as SARIF 2.1.0 (OASIS), for hosts of code and their viewers.
//!
//! A place in a text has its region: line, column, bytes. A cell of a workbook has none that a text viewer could show;
//! its sheet and cell are logical locations of kinds of our own, `x-sheet` and `x-cell`.
//! Waived findings stand among the results as suppressed, with the reason.

use std::collections::BTreeMap;
use std::io::{self, Write};

use restrand_check::LocatedFinding;
use restrand_finding::{Severity, fill_in};
use restrand_rules::find;
use serde_json::{Map, Value, json};

use crate::checked::Checked;
use crate::coverage::CLOSING;
use crate::json::{At, Lookup, at};
use crate::plain::plain;
use crate::spot;

/// The schema that the document names.
const SCHEMA: &str =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

/// The name under which fingerprints are given; another way to make them has another name.
const FINGERPRINT: &str = "restrandFinding/v1";

/// A document that takes one input after the other.
pub struct Document {
    version: String,
    artifacts: Vec<String>,
    /// Rules by name, with their positions in the document.
    rules: BTreeMap<&'static str, usize>,
    results: Vec<Value>,
    all_read: bool,
}

impl Document {
    /// Begins a document of this version of the program.
    #[must_use]
    pub fn begin(version: &str) -> Self {
        let (artifacts, rules, results) = (Vec::new(), BTreeMap::new(), Vec::new());
        Self { version: version.to_owned(), artifacts, rules, results, all_read: true }
    }

    /// Adds the findings of an input.
    pub fn input(&mut self, checked: &Checked<'_>) {
        self.all_read &= checked.reading.is_some();
        let lookup = Lookup::of(checked);
        for found in &checked.report.findings {
            let result = self.result(found, checked, &lookup, None);
            self.results.push(result);
        }
        for waived in checked.report.waivers.iter().filter(|waived| !waived.expired) {
            let waiver = &waived.waiver;
            let (reason, by) = (plain(&waiver.reason), plain(&waiver.by));
            let why = format!("{reason} ({by}, until {})", waiver.until);
            for found in &waived.findings {
                // A lookup is over what is reported; where a waived value stands in a text is not looked up.
                let result = self.result(found, checked, &lookup, Some(&why));
                self.results.push(result);
            }
        }
    }

    /// Writes the document.
    ///
    /// # Errors
    /// The writer fails.
    pub fn end(self, out: &mut dyn Write) -> io::Result<()> {
        let mut by_position: Vec<_> = self.rules.into_iter().collect();
        by_position.sort_unstable_by_key(|(_, position)| *position);
        let rules: Vec<_> = by_position.into_iter().map(|(id, _)| rule(id)).collect();
        let artifacts: Vec<_> = self
            .artifacts
            .iter()
            .map(|uri| json!({"location": {"uri": uri}, "roles": ["analysisTarget"]}))
            .collect();
        let document = json!({
            "$schema": SCHEMA,
            "version": "2.1.0",
            "runs": [{
                "tool": {"driver": {
                    "name": "restrand",
                    "version": self.version,
                    "shortDescription": {"text": "Checks schedules of replaceable post-tensioning tendons"},
                    "fullDescription": {"text": CLOSING},
                    "rules": rules
                }},
                "columnKind": "unicodeCodePoints",
                "invocations": [{"executionSuccessful": self.all_read}],
                "artifacts": artifacts,
                "results": self.results
            }]
        });
        serde_json::to_writer_pretty(&mut *out, &document)?;
        writeln!(out)
    }

    fn result(
        &mut self,
        found: &LocatedFinding,
        checked: &Checked<'_>,
        lookup: &Lookup<'_>,
        waived: Option<&str>,
    ) -> Value {
        let finding = &found.finding;
        let filled = |text: &str| plain(&fill_in(text, &finding.facts, checked.system));
        let next = self.rules.len();
        let index = *self.rules.entry(finding.rule).or_insert(next);
        let place = at(&found.place, found.record, &found.path, checked, lookup);
        let mut text = filled(&finding.message);
        if !finding.help.is_empty() {
            text.push_str("\n\n");
            text.push_str(&filled(&finding.help));
        }
        let related: Vec<_> = found
            .related
            .iter()
            .filter_map(|related| {
                let place =
                    at(related.place.as_ref()?, related.record, &related.path, checked, lookup);
                let mut location = self.location(&place, checked.file);
                location.insert("message".to_owned(), json!({"text": filled(&related.text)}));
                Some(location)
            })
            .collect();
        let remedies: Vec<_> = finding.remedies.iter().map(|remedy| filled(&remedy.text)).collect();
        let mut properties = Map::new();
        properties.insert("kind".to_owned(), json!(finding.kind.word()));
        if let Some(route) = &found.route {
            properties.insert("route".to_owned(), json!(route));
        }
        if !remedies.is_empty() {
            properties.insert("remedies".to_owned(), json!(remedies));
        }
        let mut result = json!({
            "ruleId": finding.rule,
            "ruleIndex": index,
            "level": level(finding.severity),
            "message": {"text": text},
            "locations": [self.location(&place, checked.file)],
            "partialFingerprints": {FINGERPRINT: found.fingerprint},
            "properties": properties
        });
        if !related.is_empty() {
            result["relatedLocations"] = json!(related);
        }
        if let Some(why) = waived {
            result["suppressions"] = json!([{"kind": "external", "justification": why}]);
        }
        result
    }

    /// A place; of one that is in no file, the file that was checked, as hosts refuse results without one.
    fn location(&mut self, at: &At<'_>, file: &str) -> Map<String, Value> {
        let uri = uri(if at.part.is_empty() { file } else { at.part });
        let index = match self.artifacts.iter().position(|known| *known == uri) {
            Some(index) => index,
            None => {
                self.artifacts.push(uri.clone());
                self.artifacts.len() - 1
            }
        };
        let mut physical = json!({"artifactLocation": {"uri": uri, "index": index}});
        if let Some(region) = region(at) {
            physical["region"] = region;
        }
        let mut location = Map::new();
        location.insert("physicalLocation".to_owned(), physical);
        let logical = logical(at);
        if !logical.is_empty() {
            location.insert("logicalLocations".to_owned(), json!(logical));
        }
        location
    }
}

const fn level(severity: Severity) -> &'static str {
    severity.word()
}

/// A rule as viewers show it.
fn rule(id: &str) -> Value {
    match find(id) {
        Some(rule) => json!({
            "id": id,
            "shortDescription": {"text": rule.summary},
            "help": {"text": rule.page, "markdown": rule.page}
        }),
        None => json!({"id": id}),
    }
}

/// The stretch of a text; none of a workbook, which is no text.
fn region(at: &At<'_>) -> Option<Value> {
    let line = at.line?;
    let mut region = json!({"startLine": line});
    // The column of a line of CSV is that of a value, not of a letter.
    if at.sheet.is_none()
        && let Some(column) = at.column
    {
        region["startColumn"] = json!(column);
    }
    if let (Some(start), Some(end)) = (at.byte_start, at.byte_end) {
        region["byteOffset"] = json!(start);
        region["byteLength"] = json!(end.saturating_sub(start));
    }
    Some(region)
}

/// Sheet and cell, from the outer to the inner.
fn logical(at: &At<'_>) -> Vec<Value> {
    let Some(sheet) = at.sheet else {
        return Vec::new();
    };
    let name = spot::base_name(at.part);
    let mut found = vec![json!({
        "name": plain(sheet), "kind": "x-sheet", "fullyQualifiedName": plain(&format!("{name}!{sheet}"))
    })];
    if let Some(cell) = &at.cell {
        let mut cell = json!({
            "name": cell, "kind": "x-cell", "fullyQualifiedName": plain(&format!("{name}!{sheet}!{cell}"))
        });
        if let Some(header) = at.header {
            cell["decoratedName"] = json!(plain(header));
        }
        found.push(cell);
    }
    found
}

/// A file as a URI reference: relative as it was named, with what a URI does not take in percents.
fn uri(file: &str) -> String {
    let file = file.replace('\\', "/");
    let is_drive = file.as_bytes().get(1) == Some(&b':');
    let mut uri = match (file.starts_with('/'), is_drive) {
        (true, _) => "file://".to_owned(),
        (false, true) => "file:///".to_owned(),
        (false, false) => String::new(),
    };
    for (position, byte) in file.bytes().enumerate() {
        let is_plain = byte.is_ascii_alphanumeric() || b"-._~/".contains(&byte);
        if is_plain || is_drive && position == 1 {
            uri.push(char::from(byte));
        } else {
            uri.push_str(&format!("%{byte:02X}"));
        }
    }
    uri
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_files_become_references() {
        for (file, expected) in [
            ("fixtures/demo/quillmere.xlsx", "fixtures/demo/quillmere.xlsx"),
            ("Entwurf 2: März.csv", "Entwurf%202%3A%20M%C3%A4rz.csv"),
            ("/data/a b.json", "file:///data/a%20b.json"),
            (r"C:\data\a.json", "file:///C:/data/a.json"),
        ] {
            assert_eq!(uri(file), expected);
        }
    }
}
