//! Outputs that would replace what is read.

use std::fs;
use std::path::Path;

use crate::fault::Fault;
use crate::{input, rulebook};

/// What a command reads besides its inputs, as the user names it.
#[derive(Debug, Default, Clone, Copy)]
pub(crate) struct Beside<'p> {
    pub(crate) book: Option<&'p Path>,
    pub(crate) mapping: Option<&'p Path>,
}

/// Refuses an output that is one of the inputs, or is read beside them, by whatever path or link.
pub(crate) fn inputs<'p>(
    output: &Path,
    files: impl Iterator<Item = &'p Path>,
    beside: Beside<'p>,
) -> Result<(), Fault> {
    let book = beside.book.filter(|name| !rulebook::is_built_in(name));
    let mut read = files
        .filter(|file| !input::is_stdin(file))
        .map(|file| ("input", file))
        .chain(book.map(|file| ("rulebook", file)))
        .chain(beside.mapping.map(|file| ("mapping file", file)));
    match read.find(|(_, file)| is_same(file, output)) {
        Some((what, file)) => Err(Fault::Usage(format!(
            "the output would replace the {what} {}; name another file",
            file.display()
        ))),
        None => Ok(()),
    }
}

fn is_same(one: &Path, other: &Path) -> bool {
    let whole = |path: &Path| fs::canonicalize(path).ok();
    // An input may be a folder, of which the output would replace a file.
    let by_path = whole(one).zip(whole(other)).is_some_and(|(one, other)| {
        one == other || other.parent().is_some_and(|folder| folder == one)
    });
    by_path || is_linked(one, other)
}

/// Whether two names lead to one file of the disk.
#[cfg(unix)]
fn is_linked(one: &Path, other: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let file = |path: &Path| fs::metadata(path).ok().map(|file| (file.dev(), file.ino()));
    file(one).zip(file(other)).is_some_and(|(one, other)| one == other)
}

/// Whether two names lead to one file of the disk, which only the path can tell here.
#[cfg(not(unix))]
fn is_linked(_: &Path, _: &Path) -> bool {
    false
}
