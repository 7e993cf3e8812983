//! The list of formats.

use std::io::{self, Write};

use restrand_kit::Description;

/// Writes what each format reads and writes.
///
/// # Errors
/// The writer fails.
pub fn list<'a>(
    out: &mut dyn Write,
    formats: impl IntoIterator<Item = (&'a Description, &'a str)>,
) -> io::Result<()> {
    for (format, origin) in formats {
        writeln!(out, "{} ({origin}): {}", format.id, format.summary)?;
        writeln!(out, "  reads {}; writes {}", endings(format.reads), endings(format.writes))?;
    }
    Ok(())
}

fn endings(endings: &[&str]) -> String {
    if endings.is_empty() {
        return "nothing".to_owned();
    }
    endings.iter().map(|ending| format!(".{ending}")).collect::<Vec<_>>().join(" ")
}
