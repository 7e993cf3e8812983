//! What stands outside the tables of a sheet: title blocks, and notes that state units.

use restrand_model::quantity::{Dimension, Unit};
use restrand_model::reflect::FieldInfo;

use super::grid::Sheet;
use super::sign::{self, Sign};
use crate::sheet::Cell;

/// What a unit in a note is for.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Topic {
    /// Everything of this dimension.
    All(Dimension),
    /// Stations.
    Stations,
    /// Elevations and offsets.
    Levels,
    /// Lengths of tendons and their parts.
    Lengths,
}

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
        let lower = text.to_lowercase();
        if !["unit", "dimension", " in ", "shown"].iter().any(|word| lower.contains(word)) {
            return;
        }
        let mut topics: Vec<Option<Topic>> = Vec::new();
        let mut armed = false;
        for token in
            text.split(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | ':' | '(' | ')'))
        {
            let token = token.trim_matches(['.', '=', '-', '–']);
            if token.is_empty() {
                continue;
            }
            let plain = token.to_lowercase();
            if let Some(topic) = topic(&plain) {
                if armed {
                    topics.clear();
                    armed = false;
                }
                topics.push(topic);
            } else if matches!(plain.as_str(), "in" | "are" | "is")
                && !topics.is_empty()
                && plain == "in"
            {
                armed = true;
            } else if (armed || topics.contains(&None)) && token.len() <= 12 {
                self.unit(&topics, token, text);
            }
        }
    }

    fn unit(&mut self, topics: &[Option<Topic>], token: &str, note: &str) {
        for topic in topics {
            let found = match topic {
                Some(Topic::All(dimension)) => {
                    Unit::find(token, *dimension).map(|unit| (Topic::All(*dimension), unit))
                }
                Some(topic) => Unit::find(token, Dimension::Length).map(|unit| (*topic, unit)),
                // "Units: mm, kN" says of each unit by itself what it is for.
                None => Unit::find_any(token).map(|unit| (Topic::All(unit.dimension), unit)),
            };
            if let Some((topic, unit)) = found
                && !self.units.iter().any(|noted| noted.topic == topic && noted.unit == unit)
            {
                self.units.push(NotedUnit { topic, unit, note: note.trim().to_owned() });
            }
        }
    }

    /// Takes what other notes say too.
    pub(super) fn join(&mut self, other: &Self) {
        if self.sign.is_none() {
            self.sign.clone_from(&other.sign);
        }
        for noted in &other.units {
            if !self.units.iter().any(|own| own.topic == noted.topic) {
                self.units.push(noted.clone());
            }
        }
    }

    /// What a note says of the sign of offsets, and the note.
    pub(super) fn sign(&self) -> Option<(Sign, &str)> {
        self.sign.as_ref().map(|(sign, note)| (*sign, note.as_str()))
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
        let own = match field.name {
            "station_m" | "from_m" | "to_m" => Some(Topic::Stations),
            "elevation_m" | "lateral_m" => Some(Topic::Levels),
            "length_m" | "straight_length_m" => Some(Topic::Lengths),
            _ => None,
        };
        let said = |topic: Topic| -> Vec<(&'static Unit, &str)> {
            let noted = self.units.iter().filter(|noted| noted.topic == topic);
            noted.map(|noted| (noted.unit, noted.note.as_str())).collect()
        };
        let special = own.map(said).unwrap_or_default();
        let general = if special.is_empty() { said(Topic::All(dimension)) } else { special };
        if general.is_empty() && dimension == Dimension::Length {
            said(Topic::Lengths)
        } else {
            general
        }
    }
}

/// What a word of a note is about; `Some(None)` is about all.
fn topic(word: &str) -> Option<Option<Topic>> {
    Some(Some(match word.trim_end_matches('s') {
        "unit" => return Some(None),
        "length" => Topic::Lengths,
        "dimension" | "dim" | "diameter" | "distance" => Topic::All(Dimension::Length),
        "force" | "load" => Topic::All(Dimension::Force),
        "stre" | "strength" | "pressure" | "stresse" => Topic::All(Dimension::Stress),
        "weight" | "masse" | "mas" => Topic::All(Dimension::Mass),
        "area" => Topic::All(Dimension::Area),
        "angle" => Topic::All(Dimension::Angle),
        "station" | "chainage" | "stationing" => Topic::Stations,
        "elevation" | "level" | "offset" | "coordinate" => Topic::Levels,
        _ => return None,
    }))
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
