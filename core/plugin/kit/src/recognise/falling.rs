//! Tendons whose ends their author names from the higher station on: the first end of the file is then the end `b` of
//! the schedule.
//!
//! Where a table gives both ends of a tendon stations, or names the points at its ends, these tell which lies lower;
//! else the order in which its points are listed does. The records are handed over as their author names them, and all
//! that belongs to the two ends is exchanged after they are joined, wherever it stood.

use restrand_model::reading::{Origin, Place, Problem, ProblemKind, Remark, Understood};
use restrand_model::value::{Fields, Value};

use super::ends;
use super::known::Known;
use super::scope::Scope;
use crate::frame::{Frame, Frames, Stopped};

/// Marks that are named in a sentence.
const SHOWN: usize = 6;

/// The table in which a point stands.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Stands {
    pub(super) part: String,
    pub(super) sheet: String,
    /// The row of its headers, if it has one.
    pub(super) row: Option<u32>,
    /// The place of its headers.
    pub(super) place: Place,
}

/// A point of a tendon, as far as it tells which end lies lower.
#[derive(Debug, Clone)]
struct Met {
    station_m: f64,
    /// Its name, and the place at which it lies.
    names: Vec<String>,
}

/// Where the points and ends of a tendon lie, as the file says.
#[derive(Debug, Default)]
pub(super) struct Course {
    /// The stations of its ends `a` and `b`, by the file's names.
    ends: [Option<f64>; 2],
    /// The places of its ends.
    places: [Option<String>; 2],
    /// The first and the last of its points as they are listed, in the first table that lists them.
    listed: Option<(Met, Met)>,
    /// Where its points stand.
    stands: Option<Stands>,
    /// Whether anything is stated of one of its ends.
    states_ends: bool,
}

/// What tells that the first end lies higher.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Told {
    /// Stations, names or places.
    Stated,
    /// The order in which points are listed.
    ByOrder,
}

impl Course {
    /// Takes the point at an end.
    pub(super) fn end_at(&mut self, end: &str, station_m: f64, stands: &Stands) {
        self.ends[usize::from(end == "b")].get_or_insert(station_m);
        self.stands.get_or_insert_with(|| stands.clone());
    }

    /// Takes a point of a list of points.
    pub(super) fn point(&mut self, fields: &Fields, stands: &Stands) {
        let Some(station_m) = fields.get("station_m").and_then(Value::as_number) else { return };
        let names: Vec<String> = ["id", "place"]
            .iter()
            .filter_map(|name| fields.get(name)?.as_text().map(str::to_owned))
            .collect();
        // A number counts points, and names no end.
        let named = names.iter().filter(|name| name.contains(char::is_alphabetic));
        if let Some(end) = named.filter_map(|name| ends::read(name)).find_map(|scope| match scope {
            Scope::A => Some("a"),
            Scope::B => Some("b"),
            _ => None,
        }) {
            self.end_at(end, station_m, stands);
        }
        let met = Met { station_m, names };
        match &mut self.listed {
            None => {
                self.stands = Some(stands.clone());
                self.listed = Some((met.clone(), met));
            }
            // What other tables say of the same points says nothing of their order.
            Some((_, last)) if self.stands.as_ref() == Some(stands) => *last = met,
            Some(_) => {}
        }
    }

    /// Takes what is stated of an end.
    pub(super) fn end(&mut self, end: &str, fields: &Fields) {
        if fields.is_empty() {
            return;
        }
        self.states_ends = true;
        if let Some(place) = fields.get("place").and_then(Value::as_text) {
            self.places[usize::from(end == "b")].get_or_insert_with(|| place.to_owned());
        }
    }

    /// Takes what is stated of a tendon.
    pub(super) fn tendon(&mut self, fields: &Fields) {
        const OF_ENDS: [&str; 5] = [
            "from",
            "elongation_a_mm",
            "elongation_b_mm",
            "seated_force_a_kn",
            "seated_force_b_kn",
        ];
        let stressing = fields.get("stressing").and_then(Value::as_fields);
        self.states_ends |= stressing
            .is_some_and(|stressing| OF_ENDS.iter().any(|name| stressing.get(name).is_some()));
    }

    /// Whether its first end lies at the higher station, and what tells it.
    fn falls(&self) -> Option<Told> {
        if !self.states_ends {
            return None;
        }
        if let [Some(a), Some(b)] = self.ends {
            return (a > b).then_some(Told::Stated);
        }
        let (first, last) =
            self.listed.as_ref().filter(|(one, last)| one.station_m != last.station_m)?;
        let rises = first.station_m < last.station_m;
        let is_at = |end: usize, met: &Met| {
            let is = |place: &String| met.names.iter().any(|name| name.eq_ignore_ascii_case(place));
            self.places[end].as_ref().is_some_and(is)
        };
        let is_first_a = is_at(0, first) || is_at(1, last);
        let is_first_b = is_at(0, last) || is_at(1, first);
        match (is_first_a, is_first_b) {
            (true, false) => (!rises).then_some(Told::Stated),
            (false, true) => rises.then_some(Told::Stated),
            // Places whose stations are listed tell it after the reading.
            _ if self.places.iter().any(Option::is_some) => None,
            _ => (!rises).then_some(Told::ByOrder),
        }
    }
}

/// Says of which tendons the ends are to be exchanged, for each sheet in which their points stand.
pub(super) fn tell(known: &Known, frames: &mut dyn Frames) -> Result<Vec<Understood>, Stopped> {
    let mut falling: Vec<(Told, &Stands, Vec<&str>)> = Vec::new();
    for mark in known.marks() {
        let Some(course) = known.courses.get(mark) else { continue };
        let (Some(told), Some(stands)) = (course.falls(), &course.stands) else { continue };
        match falling.iter_mut().find(|(how, of, _)| (*how, *of) == (told, stands)) {
            Some((_, _, marks)) => marks.push(mark),
            None => falling.push((told, stands, vec![mark])),
        }
    }
    let mut reports = Vec::new();
    for (told, stands, marks) in falling {
        let Stands { part, sheet, row, place } = stands;
        let named: Vec<&str> = marks.iter().take(SHOWN).copied().collect();
        let more = if marks.len() > SHOWN { ", …" } else { "" };
        let why = match told {
            Told::Stated => "places the first end at the higher station in",
            Told::ByOrder => {
                "lists points from the higher station on, and nothing else tells which end lies there; the first end \
                 is taken for it in"
            }
        };
        let why = format!(
            "{why} {}{more}: all that is stated of it is that of end b, and all of the other that of end a",
            named.join(", ")
        );
        frames.take(Frame::Problem(Problem {
            kind: ProblemKind::Assumed,
            place: place.clone(),
            record: Origin::default(),
            subject: sheet.clone(),
            given: None,
            why: why.clone(),
            help: "correct the stations, or the names of the ends, if it is not so".to_owned(),
        }))?;
        reports.push(Understood {
            part: part.clone(),
            sheet: sheet.clone(),
            tables: Vec::new(),
            remarks: vec![Remark { row: *row, what: format!("The sheet {why}.") }],
            exchanged: marks.into_iter().map(str::to_owned).collect(),
        });
    }
    Ok(reports)
}
