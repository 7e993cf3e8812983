//! Commands that look something up: rules, formats, schemas.

use std::path::Path;

use restrand_check::rulebook::starter;
use restrand_model::near::nearest;
use restrand_report::ids::Ids;
use restrand_report::{
    InForce, explain as page, formats as format_list, rulebook as book_page, rules as rule_list,
};
use restrand_rules::{CATALOGUE, find};

use crate::arguments::{Explain, Formats, Rulebook, Rules, Schema, SchemaName};
use crate::fault::Fault;
use crate::output::{Streams, to_file, to_stderr, to_stdout};
use crate::plugins::Registry;
use crate::{End, input, rulebook, spare};

/// The schema of the findings as JSON.
const FINDINGS: &str = include_str!("../../../schemas/findings-1.schema.json");

/// The schema of the corrections as JSON.
const CORRECTIONS: &str = include_str!("../../../schemas/corrections-1.schema.json");

/// The schema of the plans as JSON.
const PLAN: &str = include_str!("../../../schemas/plan-1.schema.json");

/// Explains a rule.
pub(crate) fn explain(options: &Explain, _: &Streams) -> Result<End, Fault> {
    let Some(rule) = find(&options.rule) else {
        return Err(Fault::Usage(unknown(&options.rule)));
    };
    let chosen = rulebook::asked_for(options.rulebook.as_deref().unwrap_or(Path::new("base")))?;
    let in_force = InForce { book: &chosen.book, why: &chosen.why };
    let text = page::page(rule, in_force, options.units.into());
    to_stdout(|out| out.write_all(text.as_bytes()))?;
    Ok(End::Clean)
}

/// Says that no rule has this name, and which was likely meant.
pub(crate) fn unknown(given: &str) -> String {
    let ids = || CATALOGUE.iter().map(|rule| rule.id);
    // People often remember only the last word.
    let by_last = ids().find(|id| id.split_once('/').is_some_and(|(_, last)| last == given));
    match by_last.or_else(|| nearest(given, ids())) {
        Some(near) => format!("no rule is called \"{given}\"; did you mean \"{near}\"?"),
        None => format!("no rule is called \"{given}\"; `restrand rules` lists them"),
    }
}

/// Lists the rules.
pub(crate) fn rules(options: &Rules, _: &Streams) -> Result<End, Fault> {
    let chosen = rulebook::asked_for(options.rulebook.as_deref().unwrap_or(Path::new("base")))?;
    to_stdout(|out| rule_list::list(out, CATALOGUE, &chosen.book))?;
    Ok(End::Clean)
}

/// Shows a rulebook, or begins one.
pub(crate) fn rulebook(options: &Rulebook, _: &Streams) -> Result<End, Fault> {
    match options {
        Rulebook::Show(options) => {
            let chosen = rulebook::asked_for(&options.rulebook)?;
            to_stdout(|out| book_page::show(out, &chosen.book, options.units.into()))?;
        }
        Rulebook::New(options) => {
            if !rulebook::is_built_in(&options.extends) {
                return Err(Fault::Usage(format!(
                    "--extends takes the name of a built-in rulebook, and none is called \"{}\"",
                    options.extends.display()
                )));
            }
            let text = starter(&rulebook::asked_for(&options.extends)?.book);
            match options.output.as_deref().filter(|path| !input::is_stdin(path)) {
                None => to_stdout(|out| out.write_all(text.as_bytes()))?,
                Some(path) if path.exists() => {
                    return Err(Fault::Usage(format!(
                        "{} is there already; name a new file",
                        path.display()
                    )));
                }
                Some(path) => to_file(path, |out| out.write_all(text.as_bytes()))?,
            }
        }
        Rulebook::Ids(options) => {
            let chosen = rulebook::asked_for(&options.rulebook)?;
            let ids = Ids::of(&chosen.book, options.stage);
            match options.output.as_deref().filter(|path| !input::is_stdin(path)) {
                None => to_stdout(|out| ids.write(out))?,
                Some(path) => {
                    let beside = spare::Beside { book: Some(&options.rulebook), mapping: None };
                    spare::inputs(path, std::iter::empty(), beside)?;
                    to_file(path, |out| ids.write(out))?;
                }
            }
            to_stderr(|out| {
                writeln!(
                    out,
                    "{} specifications; IDS cannot say, and restrand check does:",
                    ids.count()
                )?;
                ids.unsaid().iter().try_for_each(|line| writeln!(out, "  {line}"))
            })?;
        }
    }
    Ok(End::Clean)
}

/// Lists the formats.
pub(crate) fn formats(options: &Formats, _: &Streams) -> Result<End, Fault> {
    let formats = Registry::new(&options.plugins)?.descriptions();
    to_stdout(|out| {
        format_list::list(out, formats.iter().map(|(format, origin)| (format, origin.as_str())))
    })?;
    Ok(End::Clean)
}

/// Prints a schema.
pub(crate) fn schema(options: &Schema, _: &Streams) -> Result<End, Fault> {
    match options.name {
        SchemaName::Corrections => to_stdout(|out| out.write_all(CORRECTIONS.as_bytes()))?,
        SchemaName::Findings => to_stdout(|out| out.write_all(FINDINGS.as_bytes()))?,
        SchemaName::Plan => to_stdout(|out| out.write_all(PLAN.as_bytes()))?,
        SchemaName::Schedule => generated(&restrand_model::schema::schedule())?,
        SchemaName::Rulebook => generated(&restrand_check::rulebook::schema())?,
    }
    Ok(End::Clean)
}

fn generated(schema: &serde_json::Value) -> Result<(), Fault> {
    to_stdout(|out| {
        serde_json::to_writer_pretty(&mut *out, schema)?;
        writeln!(out)
    })
}
