//! Changing a file in place.

use restrand_intake::Reading;
use restrand_kit::{Budget, Bytes, Change, Content, Parts, WriteError, WriteOptions};
use restrand_model::Route;
use restrand_model::value::Value;

use super::{parts, write};
use crate::sample::{Written, inputs};
use crate::{Outcome, Subject, Verdict, fail, skip};

fn reading(subject: &Subject<'_>, input: &[Bytes]) -> Result<Reading, Outcome> {
    match restrand_intake::read(subject.plugin, Parts(&parts(input)), Budget::default()) {
        Ok(reading) => Ok(reading),
        Err(restrand_kit::LoadError::Plugin(failure)) => Err(failure.into()),
        Err(error) => {
            fail(format!("it does not read {}: {error}", restrand_kit::Part::name(&input[0])))
        }
    }
}

/// Patches an input with changes; a format that cannot be patched skips the case.
fn patched(
    subject: &Subject<'_>,
    input: &[Bytes],
    reading: &Reading,
    changes: &[Change],
) -> Result<Written, Outcome> {
    let content = Content { changes, ..Content::new(&reading.schedule, &reading.provenance) };
    let mut output = Written::default();
    let parts = parts(input);
    match subject.plugin.patch(Parts(&parts), &content, WriteOptions::default(), &mut output) {
        Ok(losses) => match losses.first() {
            None => Ok(output),
            Some(loss) => fail(format!("it loses {}: {}", loss.route, loss.why)),
        },
        Err(WriteError::Unsupported(why)) if why.is_empty() => fail("it does not say why not"),
        Err(WriteError::Unsupported(why)) => skip(format!("it does not patch: {why}")),
        Err(WriteError::Plugin(failure)) => Err(failure.into()),
        Err(error) => fail(format!("it does not patch: {error}")),
    }
}

pub(super) fn nothing(subject: &Subject<'_>) -> Verdict {
    for input in inputs(subject)? {
        let reading = reading(subject, &input)?;
        let output = patched(subject, &input, &reading, &[])?;
        for (name, bytes) in &output.0 {
            let before = input.iter().find(|part| restrand_kit::Part::name(*part) == name);
            let before = before.and_then(|part| restrand_kit::Part::slice(part));
            if before.is_some_and(|before| before != bytes.as_slice()) {
                return fail(format!("it changes {name}, though nothing is to be changed"));
            }
        }
    }
    Ok(())
}

pub(super) fn only(subject: &Subject<'_>) -> Verdict {
    /// No count of the sample, nor a likely one.
    const COUNT: u32 = 17;
    for input in inputs(subject)? {
        let before = reading(subject, &input)?;
        let mut changed = reading(subject, &input)?;
        let Some(tendon) = changed.schedule.tendons.first_mut() else {
            continue;
        };
        let was = tendon.strand_count.replace(COUNT);
        let change = Change {
            route: Route::to("tendons", 0).field("strand_count"),
            before: was.map(|count| count.to_string()),
            after: Some(Value::Number(f64::from(COUNT))),
            why: "to see that nothing else changes".to_owned(),
        };
        let output = patched(subject, &input, &changed, &[change])?;
        let after = write::read(subject, &output)?;
        if let Some(why) = write::difference(&changed.schedule, &after, &[]) {
            return fail(format!("patched, {why}"));
        }
        if write::difference(&before.schedule, &after, &[]).is_none() {
            return fail("it changes nothing");
        }
    }
    Ok(())
}
