//! A few lines of a source with one stretch marked, as miette shows them.
//!
//! The library's own sources go over the whole text for every finding, and panic beyond column 65,535.
//! An excerpt is a handful of short lines that is always shown whole, whatever the file is like.

use miette::{MietteError, MietteSpanContents, SourceCode, SourceSpan, SpanContents};

/// Lines of a source, and what is marked in them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Excerpt {
    /// Where it stands, as `schedule.xlsx › Ends!E17`.
    pub(crate) title: String,
    /// The lines, joined; none has a control character.
    pub(crate) text: String,
    /// The number of the first line, from one.
    pub(crate) first_line: usize,
    /// The number that the first line has in the file, where it does not stand next to the others.
    pub(crate) first_shown: Option<usize>,
    /// The bytes of the text that are marked.
    pub(crate) mark: std::ops::Range<usize>,
    /// What the mark says.
    pub(crate) label: String,
}

impl SourceCode for Excerpt {
    fn read_span<'a>(
        &'a self,
        _: &SourceSpan,
        _: usize,
        _: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        let whole = SourceSpan::new(0.into(), self.text.len());
        let lines = self.text.matches('\n').count() + 1;
        Ok(Box::new(MietteSpanContents::new_named(
            self.title.clone(),
            self.text.as_bytes(),
            whole,
            self.first_line.saturating_sub(1),
            0,
            lines,
        )))
    }
}

impl Excerpt {
    /// Gives the first line of a rendered excerpt the number that it has in the file.
    ///
    /// Line numbers of an excerpt are consecutive, but the headers of a sheet stand far above a row.
    pub(crate) fn renumber(&self, rendered: &str) -> String {
        let Some(shown) = self.first_shown else {
            return rendered.to_owned();
        };
        let old = self.first_line.to_string();
        let mut renumbered = String::with_capacity(rendered.len());
        let mut after_title = false;
        let mut done = false;
        for line in rendered.split_inclusive('\n') {
            let at = if after_title && !done { line.find(&format!("{old} ")) } else { None };
            match at {
                Some(at) if shown != self.first_line => {
                    // The number may have fewer digits, and may have been padded to more.
                    let digits = old.len();
                    renumbered.push_str(&line[..at]);
                    renumbered.push_str(&format!("{shown:>digits$}"));
                    renumbered.push_str(&line[at + digits..]);
                    done = true;
                }
                _ => renumbered.push_str(line),
            }
            after_title |= line.contains('╭');
        }
        renumbered
    }
}
