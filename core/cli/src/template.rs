//! The command `template`: a workbook to be filled, with one tendon worked out.

use std::path::Path;

use restrand_kit::{Budget, Bytes, Content, Parts};
use restrand_model::System;
use restrand_workbook::Need;

use crate::arguments::Template;
use crate::convert::fault_of;
use crate::fault::Fault;
use crate::output::{Streams, to_file, to_stdout};
use crate::{End, input, rulebook};

/// The worked example in SI.
const WORKED: &[u8] = include_bytes!("../../../fixtures/template/worked.json");
/// The worked example of an office that draws in feet and inches.
const WORKED_US: &[u8] = include_bytes!("../../../fixtures/template/worked-us.json");

/// Runs the command.
pub(crate) fn run(options: &Template, _: &Streams) -> Result<End, Fault> {
    let output = &options.output;
    let is_stdout = input::is_stdin(output);
    let ending = output.extension().and_then(|ending| ending.to_str());
    if !is_stdout && !ending.is_some_and(|ending| ending.eq_ignore_ascii_case("xlsx")) {
        return Err(Fault::Usage(format!(
            "a template is a workbook; name it {}.xlsx",
            output.with_extension("").display()
        )));
    }
    // Someone may have filled it.
    if !is_stdout && output.exists() {
        return Err(Fault::Usage(format!(
            "there is a file {} already, and a template would replace it; name a new one",
            output.display()
        )));
    }
    let system = options.units.into();
    let bytes = workbook(system, output)?;
    if is_stdout {
        to_stdout(|out| out.write_all(&bytes))?;
    } else {
        to_file(output, |out| out.write_all(&bytes))?;
    }
    Ok(End::Clean)
}

fn workbook(system: System, output: &Path) -> Result<Vec<u8>, Fault> {
    let worked = match system {
        System::Si => WORKED,
        System::Us => WORKED_US,
    };
    let part = Bytes::new("worked.json", worked.to_vec());
    let reading =
        restrand_intake::read(&restrand_json::Json, Parts(&[&part]), Budget::default())
            .map_err(|error| Fault::Usage(format!("the worked example cannot be read: {error}")))?;
    let content = Content::new(&reading.schedule, &reading.provenance);
    restrand_workbook::template(&content, system, &needs()?)
        .map_err(|error| fault_of(error, output))
}

/// What the base rulebook requires by stage.
fn needs() -> Result<Vec<Need>, Fault> {
    let chosen = rulebook::asked_for("base".as_ref())?;
    let mut needs: Vec<_> = chosen.book.required.iter().collect();
    needs.sort_by_key(|required| required.stage);
    Ok(needs
        .into_iter()
        .map(|required| Need {
            stage: required.stage.to_string(),
            record: required.record.clone(),
            fields: required.fields.clone(),
        })
        .collect())
}
