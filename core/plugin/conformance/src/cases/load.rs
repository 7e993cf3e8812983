//! Reading.

use restrand_kit::{Budget, Bytes, LoadError, Part};

use super::parts;
use crate::collect::{Collected, endured, load};
use crate::sample::inputs;
use crate::sources::{Broken, Chance, Pieces};
use crate::{Outcome, Subject, Verdict, fail, skip};

/// What comes of an input that is whole.
fn whole(subject: &Subject<'_>, parts: &[&dyn Part]) -> Result<Collected, Outcome> {
    match load(subject, parts, Budget::default(), None) {
        (Ok(()), collected) => Ok(collected),
        (Err(LoadError::Plugin(failure)), _) => Err(failure.into()),
        (Err(error), _) => fail(format!("it does not read {}: {error}", parts[0].name())),
    }
}

pub(super) fn order(subject: &Subject<'_>) -> Verdict {
    for input in inputs(subject)? {
        let collected = whole(subject, &parts(&input))?;
        if let Some(why) = collected.wrong_order {
            return fail(why);
        }
        if collected.records == 0 {
            return fail(format!("it reads no record of {}", input[0].name()));
        }
    }
    Ok(())
}

pub(super) fn places(subject: &Subject<'_>) -> Verdict {
    for input in inputs(subject)? {
        if let Some(why) = whole(subject, &parts(&input))?.wrong_place {
            return fail(why);
        }
    }
    Ok(())
}

fn same(one: &Collected, other: &Collected) -> Verdict {
    if one.frames == other.frames {
        return Ok(());
    }
    let pairs = one.frames.iter().zip(&other.frames);
    let differs = pairs.take_while(|(one, other)| one == other).count();
    fail(format!("frame {} differs", differs + 1))
}

pub(super) fn again(subject: &Subject<'_>) -> Verdict {
    for input in inputs(subject)? {
        let parts = parts(&input);
        same(&whole(subject, &parts)?, &whole(subject, &parts)?)?;
    }
    Ok(())
}

pub(super) fn pieces(subject: &Subject<'_>) -> Verdict {
    for input in inputs(subject)? {
        let pieces: Vec<Pieces<'_>> = input.iter().map(Pieces).collect();
        let pieces: Vec<&dyn Part> = pieces.iter().map(|part| part as &dyn Part).collect();
        same(&whole(subject, &parts(&input))?, &whole(subject, &pieces)?)?;
    }
    Ok(())
}

pub(super) fn budget(subject: &Subject<'_>) -> Verdict {
    for input in inputs(subject)? {
        let parts = parts(&input);
        let all = whole(subject, &parts)?;
        let (result, collected) =
            load(subject, &parts, Budget { unpacked_bytes: 1, depth: 1 }, None);
        match result {
            // What a line or a record costs too much may be told of that one only.
            Ok(()) if collected.problems > all.problems => collected.verdict()?,
            Ok(()) => same(&all, &collected)?,
            refused => endured(refused, &collected)?,
        }
    }
    Ok(())
}

pub(super) fn stop(subject: &Subject<'_>) -> Verdict {
    for input in inputs(subject)? {
        let parts = parts(&input);
        let all = whole(subject, &parts)?.frames.len();
        for wanted in [1, all / 2 + 1] {
            let (result, collected) =
                load(subject, &parts, Budget::default(), Some(wanted.min(all)));
            match result {
                Err(LoadError::Stopped) if collected.unwanted == 0 => {}
                Err(LoadError::Plugin(failure)) => return Err(failure.into()),
                Err(LoadError::Stopped) => {
                    let unwanted = collected.unwanted;
                    return fail(format!("it hands over {unwanted} frames more than were wanted"));
                }
                Ok(()) => return fail("it goes on as if more were wanted"),
                Err(error) => return fail(format!("it says something else than stopped: {error}")),
            }
        }
    }
    Ok(())
}

pub(super) fn nothing(subject: &Subject<'_>) -> Verdict {
    let description = subject.plugin.describe();
    if description.reads.is_empty() {
        return skip("it does not read");
    }
    let empty: Vec<Bytes> = description
        .reads
        .iter()
        .map(|ending| Bytes::new(format!("empty.{ending}"), Vec::new()))
        .collect();
    let mut inputs: Vec<Vec<&dyn Part>> = vec![Vec::new()];
    inputs.extend(empty.iter().map(|part| vec![part as &dyn Part]));
    for input in &inputs {
        let (result, collected) = load(subject, input, Budget::default(), None);
        match (input.is_empty(), result) {
            // Without a part there is no place at which to refuse.
            (true, Err(LoadError::Plugin(failure))) => match failure.kind {
                restrand_kit::FailureKind::Misbehaved => {}
                _ => return Err(failure.into()),
            },
            (_, result) => endured(result, &collected)?,
        }
        if collected.records > 0 {
            return fail("it reads records of nothing");
        }
    }
    Ok(())
}

pub(super) fn medium(subject: &Subject<'_>) -> Verdict {
    let Some(ending) = subject.plugin.describe().reads.first() else {
        return skip("it does not read");
    };
    let part = Broken(format!("gone.{ending}"));
    match load(subject, &[&part], Budget::default(), None) {
        (Err(LoadError::Plugin(failure)), _) => Err(failure.into()),
        (Ok(()), _) => fail("it reads what cannot be read"),
        (result, collected) => endured(result, &collected),
    }
}

pub(super) fn truncated(subject: &Subject<'_>) -> Verdict {
    /// Lengths that are tried.
    const LENGTHS: usize = 12;
    for input in inputs(subject)? {
        let bytes = input[0].slice().unwrap_or_default();
        for step in 0..LENGTHS {
            let length = bytes.len() * step / LENGTHS;
            let part = Bytes::new(input[0].name(), bytes[..length].to_vec());
            let (result, collected) = load(subject, &[&part], Budget::default(), None);
            endured(result, &collected)?;
        }
    }
    Ok(())
}

pub(super) fn damaged(subject: &Subject<'_>) -> Verdict {
    /// Damaged copies that are tried.
    const COPIES: usize = 32;
    let mut chance = Chance(0x5eed_2031_0507_4711);
    for input in inputs(subject)? {
        let whole = input[0].slice().unwrap_or_default();
        for copy in 0..COPIES {
            let mut bytes = whole.to_vec();
            for _ in 0..=copy % 4 {
                if bytes.is_empty() {
                    break;
                }
                let at = chance.below(bytes.len());
                match chance.below(3) {
                    0 => bytes[at] = u8::try_from(chance.below(256)).unwrap_or(0),
                    1 => {
                        bytes.remove(at);
                    }
                    _ => {
                        let end = (at + chance.below(64)).min(bytes.len());
                        let again = bytes[at..end].to_vec();
                        bytes.splice(at..at, again);
                    }
                }
            }
            let part = Bytes::new(input[0].name(), bytes);
            let (result, collected) = load(subject, &[&part], Budget::default(), None);
            endured(result, &collected)?;
        }
    }
    Ok(())
}
