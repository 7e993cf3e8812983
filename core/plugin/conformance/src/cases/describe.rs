//! Describing itself.

use crate::{Subject, Verdict, fail};

pub(super) fn complete(subject: &Subject<'_>) -> Verdict {
    let description = subject.plugin.describe();
    if description.id.is_empty() || description.summary.is_empty() {
        return fail("it has no name, or does not say what it is");
    }
    if description.reads.is_empty() && description.writes.is_empty() {
        return fail("it reads and writes nothing");
    }
    let is_ending = |ending: &&&str| {
        !ending.is_empty()
            && ending.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit())
    };
    let mut endings = description.reads.iter().chain(description.writes);
    if let Some(ending) = endings.find(|ending| !is_ending(ending)) {
        return fail(format!("the ending \"{ending}\" is not of lower-case letters and digits"));
    }
    if subject.plugin.describe() != description {
        return fail("it describes itself in two ways");
    }
    Ok(())
}
