//! What stands outside the tables of a sheet: title blocks, and notes that state units.

use restrand_model::quantity::{Dimension, Unit};
use restrand_model::reflect::FieldInfo;

use super::grid::Sheet;
use super::otherwise;
use super::sign::{self, Sign};
use super::{blanks, tonnes};
use crate::sheet::Cell;

/// What a unit in a note is for.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Topic {
    /// Everything of this dimension.
    All(Dimension),
    /// Some fields, by their place among [`OF_FIELDS`].
    Fields(usize),
}

/// What notes call fields of one kind, and these fields.
///
/// Common practice, no source.
const OF_FIELDS: [(&[&str], &[&str]); 10] = [
    (
        &["station", "stations", "stationing", "chainage", "chainages"],
        &["station_m", "from_m", "to_m"],
    ),
    (&["elevation", "elevations", "level", "levels", "rl", "rls"], &["elevation_m"]),
    (&["offset", "offsets", "eccentricity", "eccentricities"], &["lateral_m"]),
    (&["coordinate", "coordinates"], &["elevation_m", "lateral_m"]),
    (&["length", "lengths"], &["length_m", "straight_length_m"]),
    (&["clearance", "clearances"], &["behind_mm", "up_mm", "down_mm", "left_mm", "right_mm"]),
    (
        &["elongation", "elongations", "extension", "extensions"],
        &["elongation_mm", "elongation_a_mm", "elongation_b_mm"],
    ),
    (&["radius", "radii"], &["radius_m"]),
    (
        &["diameter", "diameters", "dia", "dias"],
        &["outer_mm", "inner_mm", "wall_mm", "diameter_mm"],
    ),
    (&["set", "draw-in", "drawin", "pull-in", "slip"], &["set_mm"]),
];
/// The place of lengths among them, which stand for other measures of length too where these have no unit.
const LENGTHS: usize = 4;

/// A unit that a note states.
#[derive(Debug, Clone, PartialEq)]
struct NotedUnit {
    topic: Topic,
    unit: &'static Unit,
    /// The note.
    note: String,
}

/// The units that notes state, and the sign of offsets.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct UnitNotes {
    units: Vec<NotedUnit>,
    sign: Option<(Sign, String)>,
    /// Fields whose numbers are others than their headers tell, each with the note that says so.
    otherwise: Vec<(&'static str, String)>,
    /// Whether a note says that an empty cell is as the one above it.
    blanks_above: bool,
    /// What a note says that `t` is.
    tonne: Option<(&'static Unit, String)>,
    /// The units of notes on other sheets of the file.
    beside: Vec<&'static Unit>,
}

impl UnitNotes {
    /// Takes what a text states: units, as `all dimensions in mm, forces in kN`, and which side is positive.
    pub(super) fn read(&mut self, text: &str) {
        if self.sign.is_none()
            && let Some(sign) = sign::of_note(text)
        {
            self.sign = Some((sign, text.trim().to_owned()));
        }
        self.blanks_above |= blanks::are_as_above(text);
        if self.tonne.is_none()
            && let Some(unit) = tonnes::of_note(text)
        {
            self.tonne = Some((unit, text.trim().to_owned()));
        }
        for field in otherwise::fields(text).into_iter().flatten() {
            self.otherwise.push((*field, text.trim().to_owned()));
        }
        let lower = text.to_lowercase();
        if !["unit", "dimension", " in ", "shown"].iter().any(|word| lower.contains(word)) {
            return;
        }
        sentences(text).into_iter().for_each(|sentence| self.sentence(sentence, text));
    }

    /// Takes what a sentence states, clause by clause: a further topic behind a unit begins another.
    fn sentence(&mut self, sentence: &str, note: &str) {
        let mut topics: Vec<Option<Topic>> = Vec::new();
        // A unit stands right behind its "in", or behind one word between.
        const WITHIN: u8 = 2;
        let (mut armed, mut is_all, mut behind_number) = (0_u8, false, false);
        for token in
            sentence.split(|c: char| c.is_whitespace() || matches!(c, ',' | ':' | '(' | ')'))
        {
            let token = token.trim_matches(['.', '=', '-', '–']);
            if token.is_empty() {
                continue;
            }
            let plain = token.to_lowercase();
            if plain == "all" {
                // It is of all, unless the next word says of what.
                is_all = true;
                continue;
            }
            // As much as a number says is no unit of others: `2 ft of strand`.
            let is_quantity = std::mem::replace(
                &mut behind_number,
                token.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | '/')),
            );
            if plain == "in" && std::mem::take(&mut is_all) {
                (topics, armed) = (vec![None], WITHIN);
                continue;
            }
            is_all = false;
            // Values of something are values of that alone.
            let topic = topic(&plain).filter(|topic| {
                topic.is_some() || plain.starts_with("unit") || !topics.iter().any(Option::is_some)
            });
            if let Some(topic) = topic {
                if armed > 0 {
                    topics.clear();
                    armed = 0;
                }
                topics.push(topic);
            } else if plain == "in" && !topics.is_empty() {
                armed = WITHIN;
            } else if (armed > 0 || topics.contains(&None)) && token.len() <= 12 && !is_quantity {
                let is_unit = self.unit(&topics, token, note);
                // Further units may follow: `in mm and kN`.
                armed = if is_unit { WITHIN } else { armed.saturating_sub(1) };
            }
        }
    }

    /// Takes a unit for these topics; says whether it is one of any.
    fn unit(&mut self, topics: &[Option<Topic>], token: &str, note: &str) -> bool {
        let mut is_unit = false;
        for topic in topics {
            let found = match topic {
                Some(Topic::All(dimension)) => {
                    Unit::find(token, *dimension).map(|unit| (Topic::All(*dimension), unit))
                }
                Some(topic) => Unit::find(token, Dimension::Length).map(|unit| (*topic, unit)),
                // "Units: mm, kN" says of each unit by itself what it is for.
                None => Unit::find_any(token).map(|unit| (Topic::All(unit.dimension), unit)),
            };
            is_unit |= found.is_some();
            if let Some((topic, unit)) = found
                && !self.units.iter().any(|noted| noted.topic == topic && noted.unit == unit)
            {
                self.units.push(NotedUnit { topic, unit, note: note.trim().to_owned() });
            }
        }
        is_unit
    }

    /// The same below a caption, of which what it says goes before all else: `Table 2: Deviators (all in m)`.
    pub(super) fn below(&self, caption: Option<&str>) -> Self {
        let mut own = Self::default();
        if let Some(caption) = caption {
            own.read(caption);
            own.in_brackets(caption);
        }
        let says_all = |noted: &NotedUnit| {
            let of = noted.unit.dimension;
            own.units.iter().any(|own| own.topic == Topic::All(of))
        };
        let mut notes = self.clone();
        if !own.units.is_empty() {
            notes.units.retain(|noted| !says_all(noted));
            notes.units.retain(|noted| !own.units.iter().any(|own| own.topic == noted.topic));
            notes.units.extend(own.units);
        }
        if own.sign.is_some() {
            notes.sign = own.sign;
        }
        notes.otherwise.extend(own.otherwise);
        notes
    }

    /// Takes the units in the last brackets of a caption, which are those of its table: `Tendon geometry (m)`.
    ///
    /// Behind several clauses they are those of the last, and beside words of other things they say something else.
    fn in_brackets(&mut self, caption: &str) {
        /// Words for all that is measured.
        const MEASURED: [&str; 6] =
            ["clear", "clear distance", "clear distances", "distances", "dimensions", "net"];
        let Some((before, inside)) = caption.rfind(['(', '[']).map(|at| caption.split_at(at))
        else {
            return;
        };
        let inside = inside[1..].trim();
        let Some(inside) = inside.strip_suffix([')', ']']).filter(|_| !before.contains([',', ';']))
        else {
            return;
        };
        let tokens: Vec<&str> = inside
            .split([',', ';'])
            .map(|token| token.trim().trim_start_matches("all in ").trim_start_matches("in "))
            .collect();
        // A letter alone may be a name; `m` is none.
        let is_unit =
            |token: &str| (token == "m" || token.len() >= 2) && Unit::find_any(token).is_some();
        // Where a measure is taken from says nothing of its unit: `(mm, from face of bearing plate)`.
        let is_from =
            |token: &str| ["from ", "measured "].iter().any(|word| token.starts_with(word));
        let says_no_other = |token: &str| MEASURED.contains(&token) || is_from(token);
        if tokens.iter().all(|token| is_unit(token) || says_no_other(token)) {
            for token in tokens.into_iter().filter(|token| is_unit(token)) {
                self.unit(&[None], token, caption);
            }
        }
    }

    /// Takes what other notes say too.
    pub(super) fn join(&mut self, other: &Self) {
        if self.sign.is_none() {
            self.sign.clone_from(&other.sign);
        }
        self.blanks_above |= other.blanks_above;
        if self.tonne.is_none() {
            self.tonne.clone_from(&other.tonne);
        }
        self.otherwise.extend(other.otherwise.iter().cloned());
        for noted in &other.units {
            if !self.units.iter().any(|own| own.topic == noted.topic) {
                self.units.push(noted.clone());
            }
        }
    }

    /// Whether a note says that an empty cell is as the one above it.
    pub(super) const fn blanks_are_as_above(&self) -> bool {
        self.blanks_above
    }

    /// What a note says that `t` is among forces, and the note.
    pub(super) fn tonne(&self) -> Option<(&'static Unit, &str)> {
        self.tonne.as_ref().map(|(unit, note)| (*unit, note.as_str()))
    }

    /// What a note says of the sign of offsets, and the note.
    pub(super) fn sign(&self) -> Option<(Sign, &str)> {
        self.sign.as_ref().map(|(sign, note)| (*sign, note.as_str()))
    }

    /// The note that says of a field that its numbers are others than its header tells.
    pub(super) fn says_otherwise(&self, field: &str) -> Option<&str> {
        let said = self.otherwise.iter().find(|(other, _)| *other == field);
        said.map(|(_, note)| note.as_str())
    }

    /// All units that notes state.
    pub(super) fn units(&self) -> impl Iterator<Item = &'static Unit> {
        self.units.iter().map(|noted| noted.unit).chain(self.beside.iter().copied())
    }

    /// Takes the units that notes on the other sheets state: they tell the system in which a file is written.
    pub(super) fn stand_beside(&mut self, units: &[&'static Unit]) {
        self.beside = units.to_vec();
    }

    /// The units that hold for a field, each with its note; several contradict each other.
    pub(super) fn of(&self, field: &FieldInfo, dimension: Dimension) -> Vec<(&'static Unit, &str)> {
        let said = |topic: Topic| -> Vec<(&'static Unit, &str)> {
            let noted = self.units.iter().filter(|noted| noted.topic == topic);
            noted.map(|noted| (noted.unit, noted.note.as_str())).collect()
        };
        let own = OF_FIELDS.iter().enumerate().filter(|(_, (_, of))| of.contains(&field.name));
        let special: Vec<_> = own.flat_map(|(at, _)| said(Topic::Fields(at))).collect();
        let general = if special.is_empty() { said(Topic::All(dimension)) } else { special };
        if general.is_empty() && dimension == Dimension::Length {
            said(Topic::Fields(LENGTHS))
        } else {
            general
        }
    }
}

/// The sentences of a note, as far as a semicolon or a point tells them.
///
/// The point of an abbreviation ends none: that of `dims. in mm`, or one with others before it, as `C.L.`.
fn sentences(text: &str) -> Vec<&str> {
    let mut sentences = Vec::new();
    let mut from = 0;
    for (at, mark) in text.char_indices() {
        let behind = &text[at + mark.len_utf8()..];
        let ends = match mark {
            ';' => true,
            '.' => {
                let word = text[from..at].rsplit(char::is_whitespace).next().unwrap_or_default();
                let begins_anew = behind.starts_with(char::is_whitespace)
                    && behind.trim_start().starts_with(|c: char| c.is_uppercase());
                let is_short = word.contains('.')
                    || word.chars().count() < 2
                    || ABBREVIATED.contains(&&*word.to_lowercase());
                begins_anew && !is_short
            }
            _ => false,
        };
        if ends {
            sentences.push(&text[from..at]);
            from = at + mark.len_utf8();
        }
    }
    sentences.push(&text[from..]);
    sentences
}

/// Words of notes that are written short, with a point.
const ABBREVIATED: [&str; 7] = ["dim", "dims", "elev", "sta", "ch", "approx", "no"];

/// What a word of a note is about; `Some(None)` is about all.
fn topic(word: &str) -> Option<Option<Topic>> {
    if let Some(at) = OF_FIELDS.iter().position(|(words, _)| words.contains(&word)) {
        return Some(Some(Topic::Fields(at)));
    }
    Some(Some(Topic::All(match word.trim_end_matches('s') {
        "unit" | "value" | "figure" | "quantitie" => return Some(None),
        "dimension" | "dim" | "distance" | "measurement" | "size" | "other" => Dimension::Length,
        "force" | "load" => Dimension::Force,
        "stre" | "strength" | "pressure" | "stresse" => Dimension::Stress,
        "weight" | "masse" | "mas" => Dimension::Mass,
        "area" => Dimension::Area,
        "angle" => Dimension::Angle,
        _ => return None,
    })))
}

/// All that stands in rows that are no part of a table, as it is shown; numbers and dates are kept as texts are.
pub(super) fn texts<'s>(
    sheet: &'s Sheet,
    outside: &'s dyn Fn(u32) -> bool,
) -> impl Iterator<Item = (u32, u32, String)> {
    sheet.rows.iter().filter(move |row| outside(row.number)).flat_map(|row| {
        row.own().map(move |(column, cell)| {
            let shown = match &cell.cell {
                Cell::Text(text) => text.clone().into_owned(),
                other => other.shown(),
            };
            (row.number, column, shown)
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use restrand_model::schedule::{Stressing, Tendon, TendonPoint};

    fn unit(
        note: &str,
        record: &'static restrand_model::reflect::RecordInfo,
        field: &str,
    ) -> Vec<&'static str> {
        let mut notes = UnitNotes::default();
        notes.read(note);
        let field = record.field(field).unwrap();
        let dimension = restrand_model::quantity::of_field(field.name).1.unwrap().dimension;
        notes.of(field, dimension).into_iter().map(|(unit, _)| unit.symbol).collect()
    }

    #[test]
    fn numbers_outside_a_table_are_kept_as_texts_are() {
        let mut sheet = Sheet::new("a.xlsx", "S", restrand_model::reading::Grid::Cells);
        for (column, cell) in [Cell::Text("Strands".into()), Cell::Number(19.0)].iter().enumerate()
        {
            assert!(sheet.push(
                0,
                u32::try_from(column).unwrap(),
                cell,
                super::super::Look::default()
            ));
        }
        let kept: Vec<String> = texts(&sheet, &|_| true).map(|(_, _, text)| text).collect();
        assert_eq!(kept, ["Strands", "19"]);
    }

    #[test]
    fn each_clause_of_a_note_states_the_unit_of_its_own() {
        for note in [
            "1. All dimensions in mm unless noted otherwise. Chainages and levels in m.",
            "all dimensions in mm unless noted; chainages and levels in m",
            "CHAINAGES AND LEVELS IN m, ALL OTHER DIMS. ARE IN mm U.N.O.",
            "Offsets are from C.L. of box, in mm. Chainages in m; Levels in m",
        ] {
            assert_eq!(unit(note, TendonPoint::INFO, "lateral_m"), ["mm"], "{note}");
            assert_eq!(unit(note, TendonPoint::INFO, "elevation_m"), ["m"], "{note}");
            assert_eq!(unit(note, TendonPoint::INFO, "station_m"), ["m"], "{note}");
        }
        let note = "Offsets are positive to the left. Levels in m";
        assert_eq!(unit(note, TendonPoint::INFO, "lateral_m"), [""; 0]);
        assert_eq!(unit("Coordinates in m", TendonPoint::INFO, "lateral_m"), ["m"]);
    }

    #[test]
    fn notes_state_units() {
        let note =
            "NOTE: ALL DIMENSIONS ARE IN mm U.N.O.; stations and elevations in m, forces in kN.";
        assert_eq!(unit(note, Tendon::INFO, "length_m"), ["mm"]);
        assert_eq!(unit(note, TendonPoint::INFO, "station_m"), ["m"]);
        assert_eq!(unit(note, TendonPoint::INFO, "elevation_m"), ["m"]);
        assert_eq!(unit(note, Stressing::INFO, "jacking_force_kn"), ["kN"]);
        assert_eq!(unit("Units: ft, kips, ksi", Stressing::INFO, "jacking_force_kn"), ["kip"]);
        let both = "Note: lengths in metres, all other dimensions in millimetres";
        assert_eq!(unit(both, Tendon::INFO, "length_m"), ["m"]);
        assert_eq!(unit(both, Stressing::INFO, "set_mm"), ["mm"]);
        assert_eq!(unit("Lengths in mm", Stressing::INFO, "set_mm"), ["mm"]);
        assert_eq!(unit("Set in 2 stages", Tendon::INFO, "length_m"), [""; 0]);
        assert_eq!(
            unit("Dimensions in mm. Dimensions in m.", Tendon::INFO, "length_m"),
            ["mm", "m"]
        );
    }
}
