//! What every rule has to have.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use restrand_check::rulebook::built_in_force;
use restrand_finding::Kind;
use restrand_rules::{CATALOGUE, Check, Rule};

use crate::case::{FAILING, NOT_EVALUATED, PASSING};
use crate::{Named, entries, name, root, text};

/// The tests of the policy.
#[must_use]
pub fn policies() -> Vec<Named> {
    let mut tests = vec![
        Named::new("policy: files, folders and catalogue agree", files_agree),
        Named::new("policy: catalogue has each rule once", each_once),
    ];
    for rule in CATALOGUE {
        let rule: &'static Rule = rule;
        let id = rule.id;
        tests.push(Named::new(format!("{id}/policy: says what it is"), move || says(rule)));
        tests.push(Named::new(format!("{id}/policy: cites"), move || cites(rule)));
        tests.push(Named::new(format!("{id}/policy: page names limits"), move || names(rule)));
        tests.push(Named::new(format!("{id}/policy: cases"), move || has_cases(rule)));
        tests.push(Named::new(format!("{id}/policy: no bare limit"), move || no_bare_limit(rule)));
    }
    tests
}

fn files_agree() -> Result<(), String> {
    let mut files: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for family in entries(&root().join("core/rules/src"))? {
        if !family.is_dir() {
            continue;
        }
        for file in entries(&family)? {
            // A rule of several files keeps the further ones in a folder of its own name.
            if file.is_dir() && file.with_extension("rs").exists() {
                continue;
            }
            let ending = file.extension().unwrap_or_default().to_string_lossy().into_owned();
            let stem = file.file_stem().unwrap_or_default().to_string_lossy().replace('_', "-");
            if stem != "mod" {
                files.entry(format!("{}/{stem}", name(&family))).or_default().insert(ending);
            }
        }
    }
    let both = BTreeSet::from(["rs".to_owned(), "md".to_owned()]);
    let mut wrong = Vec::new();
    for rule in CATALOGUE {
        match files.remove(rule.id) {
            Some(endings) if endings == both => {}
            Some(endings) => wrong.push(format!("{} has files {endings:?}", rule.id)),
            None => wrong.push(format!("{} has no file", rule.id)),
        }
    }
    // A helper of a family has no page.
    wrong.extend(
        files
            .into_iter()
            .filter(|(_, endings)| endings.contains("md"))
            .map(|(id, _)| format!("{id} has a page and is not in the catalogue")),
    );
    if wrong.is_empty() { Ok(()) } else { Err(wrong.join("\n")) }
}

fn each_once() -> Result<(), String> {
    let mut seen = BTreeSet::new();
    let twice: Vec<_> =
        CATALOGUE.iter().map(|rule| rule.id).filter(|id| !seen.insert(*id)).collect();
    if twice.is_empty() { Ok(()) } else { Err(format!("twice in the catalogue: {twice:?}")) }
}

fn says(rule: &Rule) -> Result<(), String> {
    if rule.summary.is_empty() {
        return Err("the rule has no summary".to_owned());
    }
    if rule.kinds.is_empty() {
        return Err("the rule says no kind of finding".to_owned());
    }
    Ok(())
}

fn cites(rule: &Rule) -> Result<(), String> {
    let book = built_in_force("base").map_err(|error| error.to_string())?;
    for key in rule.limits {
        match book.limit(*key) {
            Some(limit) if !limit.citation.source.trim().is_empty() => {}
            _ => return Err(format!("the limit {} has no citation", key.name)),
        }
    }
    // What a rule found in the reading itself rests on the document's own definition.
    if rule.sources.is_empty() && rule.limits.is_empty() && !is_of_the_document(rule) {
        return Err("the rule cites nothing: sources or a limit".to_owned());
    }
    Ok(())
}

/// The page says which limits it compares with; their values are the rulebook's, which `explain` puts beside it.
fn names(rule: &Rule) -> Result<(), String> {
    let unnamed: Vec<_> =
        rule.limits.iter().map(|key| key.name).filter(|name| !rule.page.contains(name)).collect();
    if unnamed.is_empty() { Ok(()) } else { Err(format!("its page does not name {unnamed:?}")) }
}

fn is_of_the_document(rule: &Rule) -> bool {
    matches!(rule.check, Check::File) || rule.family() == "schedule"
}

fn has_cases(rule: &Rule) -> Result<(), String> {
    let cases: Vec<_> = entries(&root().join("fixtures/cases").join(rule.id))?
        .iter()
        .map(|case| name(case))
        .collect();
    let has = |mark: &str| cases.iter().any(|case| case.starts_with(mark));
    let mut missing = Vec::new();
    // A file of another format than JSON may be needed; those cases stand with the format.
    if !is_of_the_document(rule) {
        missing.extend([FAILING, PASSING].into_iter().filter(|mark| !has(mark)));
        let reads = rule.kinds.iter().all(|kind| *kind == Kind::Reading);
        if !reads && !has(NOT_EVALUATED) {
            missing.push(NOT_EVALUATED);
        }
    } else if !matches!(rule.check, Check::File) {
        missing.extend([FAILING, PASSING].into_iter().filter(|mark| !has(mark)));
    }
    if missing.is_empty() { Ok(()) } else { Err(format!("no case is called {missing:?}")) }
}

/// Fractions that stand in formulas: diameters to radii, circles, units.
const OF_FORMULAS: [f64; 6] = [0.0, 1.0, 2.0, 4.0, 100.0, 1000.0];
/// Below this, a number only takes up rounding.
const ROUNDING: f64 = 1e-6;

/// Limits come from the rulebook: a decimal number in a rule is a formula's or rounding.
fn no_bare_limit(rule: &Rule) -> Result<(), String> {
    let path = source(rule);
    let mut files = vec![path.clone()];
    let mut folders = vec![path.with_extension("")];
    while let Some(folder) = folders.pop() {
        let further = if folder.is_dir() { entries(&folder)? } else { Vec::new() };
        let (inner, own): (Vec<_>, Vec<_>) = further.into_iter().partition(|path| path.is_dir());
        folders.extend(inner);
        // A file of tests is no code of the rule.
        files.extend(own.into_iter().filter(|path| !path.ends_with("tests.rs")));
    }
    for path in files {
        let text = text(&path)?;
        let code = text.split("#[cfg(test)]").next().unwrap_or_default();
        for (index, line) in code.lines().enumerate() {
            let line = line.split("//").next().unwrap_or_default();
            for number in decimals(line) {
                let known = OF_FORMULAS.contains(&number) || number.abs() <= ROUNDING;
                if !known {
                    return Err(format!("{}:{}: {number}", path.display(), index + 1));
                }
            }
        }
    }
    Ok(())
}

/// The file of a rule.
fn source(rule: &Rule) -> PathBuf {
    root().join("core/rules/src").join(rule.id.replace('-', "_")).with_extension("rs")
}

/// The numbers with a decimal point in a line, outside quotes.
fn decimals(line: &str) -> Vec<f64> {
    let outside: String = line.split('"').step_by(2).collect::<Vec<_>>().join(" ");
    outside
        .split(|c: char| !(c.is_ascii_alphanumeric() || matches!(c, '.' | '_')))
        .filter(|word| word.starts_with(|c: char| c.is_ascii_digit()) && word.contains('.'))
        .filter_map(|word| word.replace('_', "").trim_end_matches("f64").parse().ok())
        .collect()
}
