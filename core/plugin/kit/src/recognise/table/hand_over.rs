//! From the values of a row to records: kinds once, tendons of several rows once, ends and points by their tendon.

use std::collections::BTreeMap;

use restrand_model::quantity;
use restrand_model::reading::{Origin, Problem, ProblemKind};
use restrand_model::reflect::EXTRA;
use restrand_model::value::{Fields, Name, Value};

use super::super::falling::Stands;
use super::super::plan::Take;
use super::super::vocabulary::list_at;
use super::begin::OTHER_END;
use super::{Making, Pending, Slot, TableReader};
use crate::frame::{At, Frame, Frames, RecordFrame, Stopped};
use crate::sheet::read::put;

impl TableReader<'_> {
    /// Hands over the records of a row.
    pub(super) fn hand_over(
        &mut self,
        number: u32,
        mark: Option<String>,
        mut making: BTreeMap<(Slot, &'static str), Making>,
        links: Vec<(&'static str, Box<str>)>,
        further: Fields,
        frames: &mut dyn Frames,
    ) -> Result<(), Stopped> {
        for slot in [Slot::Strand, Slot::Duct] {
            if let Some(kind) = making.remove(&(slot, "")) {
                let own = making.entry((Slot::Row, "")).or_default();
                self.kind(slot, number, kind, own, frames)?;
            }
        }
        let mut own = making.remove(&(Slot::Row, "")).unwrap_or_default();
        if !further.is_empty() {
            own.fields.push(Name::Known(EXTRA), Value::Fields(further));
        }
        let named: Vec<Option<Box<str>>> = list_at(self.found.assignment.list)
            .map(|(_, sheet)| sheet.links())
            .unwrap_or_default()
            .iter()
            .map(|header| {
                links.iter().find(|(link, _)| link == header).map(|(_, name)| name.clone())
            })
            .collect();
        let own_fields = own.fields.clone();
        let owner = links.iter().find(|(link, _)| *link == "Tendon").map(|(_, name)| name.clone());
        match &mark {
            Some(mark) if self.found.assignment.per_end => {
                self.keep_pending(mark, number, named, own, frames)?;
            }
            _ => self.record((Slot::Row, ""), number, named, own, frames)?,
        }
        if let Some(mark) = &mark {
            *self.tendons.entry(mark.clone()).or_default() += 1;
        }
        if let Some(mark) = mark.as_deref().filter(|_| self.found.assignment.list == "Tendons") {
            self.known.meet(mark, &own_fields);
        }
        self.note_course(mark.as_deref().or(owner.as_deref()), &own_fields, &making);
        let mut making: Vec<_> = making.into_iter().collect();
        // From one end to the other, what lies between by its number.
        making.sort_by_key(|((slot, end), _)| (*slot, along(end)));
        for ((slot, end), mut record) in making {
            if slot == Slot::Point
                && !record.fields.is_empty()
                && !matches!(end, "a" | "b")
                && record.fields.get("id").is_none()
            {
                put(&mut record.fields, &["id"], Value::Text(format!("D{end}").as_str().into()));
            }
            let tendon = mark.as_deref().or(owner.as_deref()).map(Box::from);
            if slot == Slot::Deviator && record.fields.is_empty() {
                continue;
            }
            // It is the one that the row or its headers name.
            if slot == Slot::Deviator && record.fields.get("place").is_none() {
                let of_row = || own_fields.get("place").or_else(|| own_fields.get("id")).cloned();
                let place = match end {
                    "" => of_row(),
                    number => Some(Value::Text(format!("D{number}").as_str().into())),
                };
                if let Some(place) = place {
                    put(&mut record.fields, &["place"], place);
                }
            }
            let named = match slot {
                Slot::End => vec![tendon, Some(Box::from(end))],
                _ => vec![tendon],
            };
            if slot == Slot::Point && record.fields.is_empty() {
                continue;
            }
            // A day alone measures nothing.
            if slot == Slot::Measured && record.fields.iter().all(|(name, _)| name.as_str() == "on")
            {
                continue;
            }
            self.record((slot, end), number, named, record, frames)?;
        }
        Ok(())
    }

    /// Notes where the points of a row lie, and what it states of ends.
    fn note_course(
        &mut self,
        mark: Option<&str>,
        own: &Fields,
        making: &BTreeMap<(Slot, &'static str), Making>,
    ) {
        let (Some(mark), "Tendons" | "Points") = (mark, self.found.assignment.list) else { return };
        let row = self.sheet.rows[self.found.headers.end - 1].number;
        let stands = Stands {
            part: self.sheet.part.clone(),
            sheet: self.sheet.name.clone(),
            row: Some(row).filter(|_| !self.sheet.grid.is_turned()),
            place: self.sheet.place(row, None),
        };
        let course = self.known.courses.entry(mark.to_owned()).or_default();
        match self.found.assignment.list {
            "Points" => course.point(own, &stands),
            _ => course.tendon(own),
        }
        for ((slot, end), Making { fields, .. }) in making {
            let station = fields.get("station_m").and_then(Value::as_number);
            match (slot, station) {
                (Slot::End, _) => course.end(end, fields),
                (Slot::Point, Some(station_m)) if matches!(*end, "a" | "b") => {
                    course.end_at(end, station_m, &stands);
                }
                _ => {}
            }
        }
    }

    /// Keeps a row of a tendon until its others are read, and says what it states otherwise than the first.
    pub(super) fn keep_pending(
        &mut self,
        mark: &str,
        number: u32,
        links: Vec<Option<Box<str>>>,
        own: Making,
        frames: &mut dyn Frames,
    ) -> Result<(), Stopped> {
        let at = *self.pending_at.entry(mark.to_owned()).or_insert(self.pending.len());
        let Some(first) = self.pending.get_mut(at) else {
            self.pending.push(Pending { number, links, own });
            return Ok(());
        };
        let mut otherwise = Vec::new();
        join(&mut first.own.fields, own.fields, "tendon", &mut otherwise);
        for (column, text) in own.texts {
            if !first.own.texts.iter().any(|(other, _)| *other == column) {
                first.own.texts.push((column, text));
            }
        }
        for (subject, value) in otherwise {
            frames.take(Frame::Problem(Problem {
                kind: ProblemKind::ValueDoubtful,
                place: self.sheet.place(number, None),
                record: Origin::default(),
                subject,
                given: Some(value.to_string()),
                why: format!("the first row of {mark} says otherwise, and its value is taken"),
                help: "write the same in both rows, or leave it blank in the second".to_owned(),
            }))?;
        }
        Ok(())
    }

    /// Hands over a kind of strand or duct, once, and lets the row's tendon name it.
    pub(super) fn kind(
        &mut self,
        slot: Slot,
        number: u32,
        mut kind: Making,
        own: &mut Making,
        frames: &mut dyn Frames,
    ) -> Result<(), Stopped> {
        let link: &'static str = if slot == Slot::Strand { "strand" } else { "duct" };
        let named = own.fields.get(link).and_then(Value::as_text).map(str::to_owned);
        let described = kind.fields.take("id");
        let stated = !kind.fields.is_empty();
        let id = named
            .clone()
            .or_else(|| described.as_ref().and_then(Value::as_text).map(str::to_owned));
        let mut id = id.unwrap_or_else(|| {
            let parts: Vec<String> = kind
                .fields
                .iter()
                .map(|(_, value)| match value.as_number() {
                    Some(number) => quantity::shortest(number),
                    None => value.to_string(),
                })
                .collect();
            parts.join(" ")
        });
        // Two kinds that differ have two names.
        let base = id.clone();
        let mut count = 1;
        while self.known.kinds.get(&(slot, id.clone())).is_some_and(|other| *other != kind.fields) {
            count += 1;
            id = format!("{base} ({count})");
        }
        if named.is_none() || id != base {
            let _ = own.fields.take(link);
            put(
                &mut own.fields,
                if slot == Slot::Strand { &["strand"] } else { &["duct"] },
                Value::Text(id.as_str().into()),
            );
        }
        if stated && !self.known.kinds.contains_key(&(slot, id.clone())) {
            self.known.kinds.insert((slot, id.clone()), kind.fields.clone());
            let mut fields = Fields::new();
            put(&mut fields, &["id"], Value::Text(id.as_str().into()));
            for (name, value) in kind.fields {
                fields.push(name, value);
            }
            let kind = Making { fields, texts: kind.texts };
            self.record((slot, ""), number, Vec::new(), kind, frames)?;
        }
        Ok(())
    }

    /// Whether a record keeps the text of a value that its column states of the other end alone.
    fn says_other_end(&self, record: &Making) -> bool {
        let states = |path: &[&str]| {
            let (first, rest) = path.split_first()?;
            let start = record.fields.get(first)?;
            let inside = |value, step: &&str| Value::as_fields(value)?.get(step);
            rest.iter().try_fold(start, inside)
        };
        record.texts.iter().filter_map(|(column, _)| self.plans.get(column)).any(|plan| {
            let Take::Value { path, .. } = &plan.take else { return false };
            plan.by_end && states(plan.other_end).is_some() && states(path).is_none()
        })
    }

    pub(super) fn record(
        &self,
        slot: (Slot, &'static str),
        number: u32,
        links: Vec<Option<Box<str>>>,
        record: Making,
        frames: &mut dyn Frames,
    ) -> Result<(), Stopped> {
        let slot = match slot {
            (Slot::Row, "") if self.says_other_end(&record) => (Slot::Row, OTHER_END),
            slot => slot,
        };
        let Some(table) = self.table_of(slot) else { return Ok(()) };
        if record.fields.is_empty() && record.texts.is_empty() && links.iter().all(Option::is_none)
        {
            return Ok(());
        }
        frames.take(Frame::Record(RecordFrame {
            table,
            at: At::Row(number),
            links,
            fields: record.fields,
            texts: record.texts,
            apart: Vec::new(),
        }))
    }
}

/// The rank of a point along its tendon: the ends by their letters, what lies between by its number.
fn along(point: &str) -> u32 {
    match point {
        "a" => 0,
        "b" => u32::MAX,
        number => number.parse().unwrap_or(0),
    }
}

/// Adds what a further row of a record states; what it states otherwise is given back.
pub(in super::super) fn join(
    into: &mut Fields,
    from: Fields,
    way: &str,
    otherwise: &mut Vec<(String, Value)>,
) {
    for (name, value) in from {
        let way = format!("{way}.{name}");
        let own = into.iter_mut().find(|(other, _)| other.as_str() == name.as_str());
        match (own, value) {
            (None, value) => into.push(name, value),
            (Some((own, Value::Fields(into))), Value::Fields(from)) => {
                if own.as_str() == EXTRA {
                    join_further(into, from);
                } else {
                    join(into, from, &way, otherwise);
                }
            }
            (Some((_, own)), value) if *own == value => {}
            (Some(_), value) => otherwise.push((way, value)),
        }
    }
}

/// Adds further values; one that differs from another of its name gets a name of its own.
fn join_further(into: &mut Fields, from: Fields) {
    for (name, value) in from {
        let mut own = name.as_str().to_owned();
        let mut count = 1;
        while into.get(&own).is_some_and(|other| *other != value) {
            count += 1;
            own = format!("{name} ({count})");
        }
        if into.get(&own).is_none() {
            into.push(Name::from(own.as_str()), value);
        }
    }
}
