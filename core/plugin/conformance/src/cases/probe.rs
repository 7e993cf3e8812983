//! Telling its own files from others.

use std::sync::atomic::{AtomicU64, Ordering};

use restrand_kit::{Bytes, Confidence, LoadError, Part, Parts};

use super::parts;
use crate::sample::inputs;
use crate::sources::Long;
use crate::{Outcome, Subject, Verdict, fail, skip};

fn ask(subject: &Subject<'_>, parts: &[&dyn Part]) -> Result<Confidence, Outcome> {
    (subject.ask)(Parts(parts)).map_err(|error| match error {
        LoadError::Plugin(failure) => failure.into(),
        error => Outcome::Fail(format!("it fails while it looks: {error}")),
    })
}

pub(super) fn own(subject: &Subject<'_>) -> Verdict {
    for input in inputs(subject)? {
        if ask(subject, &parts(&input))? == Confidence::No {
            return fail(format!("it says no to {}", input[0].name()));
        }
    }
    Ok(())
}

pub(super) fn foreign(subject: &Subject<'_>) -> Verdict {
    let picture = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x01\0\0\0\x01\x08\x02\0\0\0".to_vec();
    let letter = b"Dear all,\n\nplease find the drawings enclosed.\n".to_vec();
    for (name, bytes) in [("picture.png", picture), ("letter.eml", letter)] {
        let part = Bytes::new(name, bytes);
        if ask(subject, &[&part])? != Confidence::No {
            return fail(format!("it does not say no to {name}"));
        }
    }
    Ok(())
}

pub(super) fn empty(subject: &Subject<'_>) -> Verdict {
    if ask(subject, &[])? == Confidence::Sure {
        return fail("it is sure of no file");
    }
    for ending in subject.plugin.describe().reads {
        let part = Bytes::new(format!("empty.{ending}"), Vec::new());
        if ask(subject, &[&part])? == Confidence::Sure {
            return fail(format!("it is sure of {}", part.name()));
        }
    }
    Ok(())
}

pub(super) fn little(subject: &Subject<'_>) -> Verdict {
    /// Bytes that tell any format.
    const LITTLE: u64 = 16 << 20;
    let Some(ending) = subject.plugin.describe().reads.first() else {
        return skip("it does not read");
    };
    let part = Long { name: format!("long.{ending}"), read: AtomicU64::new(0) };
    ask(subject, &[&part])?;
    let read = part.read.load(Ordering::Relaxed);
    if read > LITTLE {
        return fail(format!("it looked at {read} of {} bytes", Long::LENGTH));
    }
    Ok(())
}
