//! Corrections for people at a terminal: a difference for each value, and why.

use std::collections::BTreeMap;
use std::io::{self, Write};

use restrand_check::{Change, Offered};
use restrand_model::reading::Place;

use super::{Corrections, after, before, counts, reason, unmade};
use crate::coverage::{self, CLOSING};
use crate::json::{At, Lookup, at};
use crate::plain::{counted, plain, wrapped};
use crate::terminal::{Look, SHOWN, entry};

/// What became of a correction.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum State {
    Made,
    Withdrawn,
    Held,
    Left,
    Proposed,
}

impl State {
    /// The word before the class; none for what was made.
    const fn word(self) -> &'static str {
        match self {
            Self::Made => "",
            Self::Withdrawn => "withdrawn · ",
            Self::Held => "held back · ",
            Self::Left => "left · ",
            Self::Proposed => "not accepted · ",
        }
    }
}

/// A correction with what became of it, and what is to be said of that.
struct Told<'a> {
    state: State,
    offered: &'a Offered,
    note: Option<String>,
}

/// Writes the corrections of one input, what was found before, and what is found after them.
///
/// # Errors
/// The writer fails.
pub fn report(out: &mut dyn Write, corrections: &Corrections<'_>, look: Look) -> io::Result<()> {
    let told = told(corrections);
    let count = if look.all { told.len() } else { told.len().min(SHOWN) };
    let (shown, rest) = told.split_at(count);
    let changes = || shown.iter().flat_map(|told| &told.offered.changes);
    let places: Vec<_> =
        changes().filter_map(|change| Some((change.place.as_ref()?, change.record))).collect();
    let lookup = Lookup::of_places(&corrections.checked, &places);
    for told in shown {
        out.write_all(one(told, corrections, &lookup, look).as_bytes())?;
        writeln!(out)?;
    }
    if !rest.is_empty() {
        out.write_all(not_shown(rest).as_bytes())?;
        writeln!(out)?;
    }
    out.write_all(summary(corrections, look).as_bytes())
}

fn told<'a>(corrections: &Corrections<'a>) -> Vec<Told<'a>> {
    let corrected = corrections.corrected;
    let list = |state, offered: &'a [Offered], note: Option<&'static str>| {
        offered.iter().map(move |offered| Told { state, offered, note: note.map(str::to_owned) })
    };
    let withdrawn = corrected.withdrawn.iter().map(|withdrawn| Told {
        state: State::Withdrawn,
        offered: &withdrawn.offered,
        note: Some(unmade(&withdrawn.why)),
    });
    let proposed = corrected.proposed.iter().map(|offered| Told {
        state: State::Proposed,
        offered,
        note: Some(format!("written with --accept {}", offered.correction.rule)),
    });
    list(State::Made, &corrected.made, None)
        .chain(withdrawn)
        .chain(list(State::Held, &corrected.held, Some(HELD)))
        .chain(list(State::Left, &corrected.left, Some(LEFT)))
        .chain(proposed)
        .collect()
}

pub(super) const HELD: &str =
    "the cell holds a formula: mend that, or write over it with --formulas";
pub(super) const LEFT: &str =
    "it was still offered after the last round: correct the new file once more";

fn one(told: &Told<'_>, corrections: &Corrections<'_>, lookup: &Lookup<'_>, look: Look) -> String {
    let Told { state, offered, note } = told;
    let system = corrections.checked.system;
    let correction = &offered.correction;
    let mut text = format!("{}{} · {}\n", state.word(), correction.class.word(), correction.rule);
    for change in &offered.changes {
        text.push_str(&format!(
            "  {} · {}\n  - {}\n  + {}\n",
            plain(&place_of(change, corrections, lookup)),
            plain(&change.name),
            plain(&before(change, system)),
            plain(&after(change, system)),
        ));
    }
    text.push_str(&entry(look, "why", &plain(&reason(correction, system))));
    if let Some(note) = note {
        let name = match state {
            State::Withdrawn => "withdrawn",
            State::Proposed => "accept",
            State::Made | State::Held | State::Left => "held",
        };
        text.push_str(&entry(look, name, &plain(note)));
    }
    text
}

/// The cell, or the line and column, and the header where there is one.
fn place_of(change: &Change, corrections: &Corrections<'_>, lookup: &Lookup<'_>) -> String {
    let Some(place) = &change.place else {
        return corrections.checked.file.to_owned();
    };
    let found = at(place, change.record, &change.path, &corrections.checked, lookup);
    let At { part, sheet, cell, row, line, column, header, missing_column, .. } = found;
    match (place, line) {
        (Place::Text { .. }, Some(line)) => format!("{part}:{line}:{}", column.unwrap_or(1)),
        _ => {
            let sheet = sheet.unwrap_or(part);
            let cell = cell.or_else(|| row.map(|row| format!("row {row}"))).unwrap_or_default();
            let header = header.map(str::to_owned).or(missing_column);
            let header = header.map(|header| format!(", {header}")).unwrap_or_default();
            format!("{sheet}!{cell}{header}")
        }
    }
}

/// Counts by rule of what is not shown.
fn not_shown(rest: &[Told<'_>]) -> String {
    let mut by_rule: BTreeMap<(State, &str, &str), usize> = BTreeMap::new();
    for told in rest {
        let correction = &told.offered.correction;
        *by_rule.entry((told.state, correction.class.word(), correction.rule)).or_default() += 1;
    }
    let mut text =
        format!("{} not shown (--all shows all):\n", counted(rest.len(), "more correction"));
    for ((state, class, rule), count) in by_rule {
        text.push_str(&format!("  {}{class} · {rule}: {count}\n", state.word()));
    }
    text
}

fn summary(corrections: &Corrections<'_>, look: Look) -> String {
    let Corrections { checked, corrected, output, losses, formulas } = corrections;
    let mut text = format!("{}: {}\n", plain(checked.file), counts(corrected));
    let written = output.map_or_else(
        || "nothing; this is what would be written".to_owned(),
        |output| format!("{}; the input is as it was", plain(output)),
    );
    text.push_str(&entry(look, "written", &written));
    text.push_str(&entry(look, "before", &coverage::by_severity(&corrected.before)));
    text.push_str(&entry(look, "after", &coverage::by_severity(&corrected.after)));
    match formulas {
        None => text.push_str(&entry(look, "formulas", UNKNOWN_FORMULAS)),
        Some(0) => {}
        Some(count) => {
            let cells = counted(*count, "cell");
            let said = format!("{cells} of the input hold formulas; a new file has their results");
            text.push_str(&entry(look, "formulas", &said));
        }
    }
    let lost = &corrected.reading.counts;
    if lost.any_lost() {
        let said = format!(
            "{} and {} of the input could not be read, and are not checked; what was given for \
             values stands where it stood",
            counted(lost.records_lost, "record"),
            counted(lost.values_lost, "value"),
        );
        text.push_str(&entry(look, "lost", &said));
    }
    for (number, loss) in losses.iter().enumerate() {
        let name = if number == 0 { "not kept" } else { "" };
        let said = format!("{} \"{}\": {}", loss.route, loss.value, loss.why);
        text.push_str(&entry(look, name, &plain(&said)));
    }
    if let Some(rulebook) = coverage::rulebook(checked) {
        text.push_str(&entry(look, "rulebook", &plain(&rulebook)));
    }
    text.push_str(&entry(look, "as of", &plain(checked.as_of)));
    for line in wrapped(CLOSING, look.width) {
        text.push_str(&line);
        text.push('\n');
    }
    text
}

const UNKNOWN_FORMULAS: &str = "which cells of the input hold formulas cannot be told of this kind of file; a new file has values";
