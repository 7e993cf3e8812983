//! Pages: their headings, and their examples run.

use restrand_finding::Class;
use restrand_rules::{CATALOGUE, Check, Rule};

use crate::Named;
use crate::run::{line, run, today};

/// The headings of a page, in order.
const HEADINGS: [&str; 8] = [
    "What",
    "Why",
    "Method",
    "Source",
    "Failing example",
    "Passing example",
    "When to waive",
    "Correction",
];

/// The tests of every rule's page.
#[must_use]
pub fn pages() -> Vec<Named> {
    let mut tests = Vec::new();
    for rule in CATALOGUE {
        let rule: &'static Rule = rule;
        let id = rule.id;
        tests.push(Named::new(format!("{id}/page: headings"), move || headings(rule)));
        tests.push(Named::new(format!("{id}/page: correction"), move || correction(rule)));
        tests.push(Named::new(format!("{id}/page: failing example"), move || {
            example(rule, "Failing example", 1)
        }));
        tests.push(Named::new(format!("{id}/page: passing example"), move || {
            example(rule, "Passing example", 0)
        }));
    }
    tests
}

fn headings(rule: &Rule) -> Result<(), String> {
    let title = format!("# {}", rule.id);
    if rule.page.lines().next() != Some(&title) {
        return Err(format!("the page does not begin with \"{title}\""));
    }
    let mut fenced = false;
    let mut found = Vec::new();
    for text in rule.page.lines() {
        if text.starts_with("```") {
            fenced = !fenced;
        } else if let Some(heading) = text.strip_prefix("## ")
            && !fenced
        {
            found.push(heading);
        }
    }
    if found != HEADINGS {
        return Err(format!("the headings are {found:?}, not {HEADINGS:?}"));
    }
    for heading in HEADINGS {
        if section(rule.page, heading).trim().is_empty() {
            return Err(format!("nothing stands under \"{heading}\""));
        }
    }
    Ok(())
}

/// The page names the classes of corrections that the rule offers, each at the beginning of a line, and no other.
fn correction(rule: &Rule) -> Result<(), String> {
    let text = section(rule.page, "Correction");
    let offered = rule.correction.classes();
    for class in Class::ALL {
        let named = text.lines().any(|line| {
            let word = line.split_once(':').map(|(word, _)| word.to_lowercase());
            word.as_deref() == Some(class.word())
        });
        if named != offered.contains(&class) {
            let word = class.word();
            return Err(if named {
                format!("the page says that the rule offers to {word}, which it does not")
            } else {
                format!("the rule offers to {word}, and no line of its page begins so")
            });
        }
    }
    if offered.is_empty() != text.trim_start().starts_with("None") {
        return Err("\"None\" stands where nothing is offered, and only there".to_owned());
    }
    Ok(())
}

/// What stands under a heading.
fn section<'a>(page: &'a str, heading: &str) -> &'a str {
    let mark = format!("\n## {heading}\n");
    let Some(start) = page.find(&mark) else {
        return "";
    };
    let body = &page[start + mark.len()..];
    body.find("\n## ").map_or(body, |end| &body[..end])
}

/// The fenced blocks of JSON in a text.
fn blocks(text: &str) -> Vec<&str> {
    text.split("```json\n").skip(1).filter_map(|rest| rest.split("\n```").next()).collect()
}

fn example(rule: &Rule, heading: &str, expected: usize) -> Result<(), String> {
    let blocks = blocks(section(rule.page, heading));
    if blocks.is_empty() && !may_lack_an_example(rule) {
        return Err(format!("there is no ```json block under \"{heading}\""));
    }
    for block in blocks {
        let said = run("example.json", block.as_bytes().to_vec(), None, today())?;
        let found = said.of(rule.id);
        if found.len() != expected {
            let lines: Vec<_> = said.findings.iter().map(line).collect();
            return Err(format!(
                "{} findings of {} instead of {expected}; all findings:\n{}",
                found.len(),
                rule.id,
                lines.join("\n")
            ));
        }
    }
    Ok(())
}

/// What is found while a file is read may need another format than JSON to show.
fn may_lack_an_example(rule: &Rule) -> bool {
    matches!(rule.check, Check::File) || rule.family() == "schedule"
}
