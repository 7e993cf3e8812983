//! From one row of a table to the values of the records that it states.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use restrand_model::reading::{Origin, Problem, ProblemKind};
use restrand_model::value::{Fields, Name, Value};

use super::super::ends;
use super::super::facts::Fact;
use super::super::plan::{Of, Take};
use super::super::scope::Scope;
use super::super::stated::agree;
use super::super::unit::ColumnUnit;
use super::super::vocabulary::Target;
use super::at_jack::AT_JACK;
use super::spare::is_of_what_is_there;
use super::strand::{name_strand, put_behind, put_size, strand_size};
use super::strand_text::strand_text;
use super::unfilled::has_none;
use super::{Cells, Making, Slot, TableReader};
use crate::frame::{Frame, Frames, Stopped};
use crate::sheet::Cell;
use crate::sheet::cell::Unfit;
use crate::sheet::read::{plain_value, put, reads_differently};

impl TableReader<'_> {
    /// Reads one row of the table into the records it states.
    pub(super) fn row(
        &mut self,
        number: u32,
        cells: &Cells,
        context: &[(&'static str, String)],
        frames: &mut dyn Frames,
    ) -> Result<(), Stopped> {
        self.name_ends(number, cells);
        let spare = self.spare(cells);
        let mut making: BTreeMap<(Slot, &'static str), Making> = BTreeMap::new();
        let mut links: Vec<(&'static str, Box<str>)> = Vec::new();
        let mut end_of_row: Option<Scope> = None;
        let mut plans = std::mem::take(&mut self.plans);
        let mut further = Fields::new();
        let mut names = HashSet::new();
        let mut problems = Vec::new();
        let mark = plans.values().find_map(|plan| match &plan.take {
            Take::Value { of: Of::Row, path, .. } if **path == ["mark"] => {
                Some(cells.get(&plan.index)?.0.cell.name())
            }
            _ => None,
        });
        // The end that the row is decides where its other values go, so it is read first.
        for plan in plans.values().filter(|plan| matches!(plan.take, Take::EndOfRow)) {
            end_of_row =
                cells.get(&plan.index).and_then(|(cell, _)| self.end_named(plan, &cell.cell));
        }
        let row_end = self.end_of_row(end_of_row, mark.as_deref());
        // Where each tendon has one row, no order tells which end it is.
        let is_untold = !self.found.assignment.per_end && end_of_row.is_none();
        self.row_side = self.side_of_row(&plans, cells);
        let from = self.stressed_from(&plans, |column| Some(&cells.get(&column)?.0));
        let by_kinds = self.stressed_by_kinds(&plans, cells);
        let from = from.as_ref().and_then(Value::as_text).or(by_kinds);
        let is_dead = self.found.assignment.per_end
            && (end_of_row == Some(Scope::Dead) || self.is_dead(&plans, cells));
        let points: BTreeSet<&'static str> = plans
            .values()
            .filter_map(|plan| match plan.take {
                Take::Value { of: Of::Point(scope), .. } => Some(self.row_names.name(scope)),
                _ => None,
            })
            .collect();
        for (index, (cell, _)) in cells {
            let Some(plan) = plans.get_mut(index) else {
                keep(
                    &mut further,
                    &mut names,
                    &format!("column {}", crate::sheet::read::column_letters(*index)),
                    &cell.cell,
                );
                continue;
            };
            if cell.cell.is_blank() {
                continue;
            }
            // A word in place of the number of strands says what the row is.
            if spare.as_ref().is_some_and(|spare| spare.column == *index)
                && matches!(&plan.take, Take::Value { path, .. } if **path == ["strand_count"])
                || has_none(plan, &cell.cell)
            {
                keep(&mut further, &mut names, &plan.header, &cell.cell);
                continue;
            }
            if cell.look.struck {
                let header = format!("{} (struck)", plan.header);
                keep(&mut further, &mut names, &header, &cell.cell);
                let (_, count) = self.struck.entry(*index).or_insert((number, 0));
                *count += 1;
                continue;
            }
            let slot_of = |of: Of| -> Vec<(Slot, &'static str)> {
                match of {
                    Of::Row => vec![(Slot::Row, "")],
                    Of::End(scope) => vec![(Slot::End, self.row_names.name(scope))],
                    Of::RowEnd => vec![(Slot::End, row_end)],
                    Of::BothEnds => vec![(Slot::End, "a"), (Slot::End, "b")],
                    Of::Point(scope) => vec![(Slot::Point, self.row_names.name(scope))],
                    Of::RowPoint => vec![(Slot::Point, row_end)],
                    Of::AllPoints => points.iter().map(|name| (Slot::Point, *name)).collect(),
                    Of::Deviator(scope) => vec![(Slot::Deviator, self.row_names.name(scope))],
                    Of::RowDeviator => vec![(Slot::Deviator, "")],
                    Of::Strand => vec![(Slot::Strand, "")],
                    Of::Duct => vec![(Slot::Duct, "")],
                    Of::Measured => vec![(Slot::Measured, "")],
                }
            };
            match plan.take.clone() {
                Take::Keep | Take::Ignore => {
                    keep(&mut further, &mut names, &plan.header, &cell.cell);
                    if !plan.readings.is_empty() && matches!(plan.take, Take::Keep) {
                        let origin = Origin::new(self.tables[&(Slot::Row, "")], number);
                        let why = plan.why.clone();
                        let readings = plan.readings.clone();
                        plan.ask(self.sheet, number, origin, &cell.cell.shown(), &why, &readings);
                    }
                }
                Take::EndOfRow => {
                    if self.end_named(plan, &cell.cell).is_none() {
                        keep(&mut further, &mut names, &plan.header, &cell.cell);
                    }
                }
                // In a table of ends a row says which one it is.
                Take::Link(header @ "End") => {
                    let end = self.end_named(plan, &cell.cell);
                    let name = end.map(|end| self.row_names.name(end).to_owned());
                    let name = name.unwrap_or_else(|| cell.cell.name());
                    links.push((header, name.into_boxed_str()));
                }
                Take::Link(header) => links.push((header, cell.cell.name().into_boxed_str())),
                Take::Described(description) => {
                    self.described(description, plan, cell, &mut making, &mut further, &mut names);
                }
                Take::Value { of, path, field } => {
                    let slots = slot_of(of);
                    let first = slots.first().copied().unwrap_or((Slot::Row, ""));
                    let slot = first.0;
                    let origin = Origin::new(self.table_of(first).unwrap_or_default(), number);
                    let jacked = self.jacked(row_end, from);
                    let of_both = match from {
                        Some("both") if plan.by_end && jacked.is_none() => {
                            self.of_both_ends(number, plan, field, cell)
                        }
                        _ => None,
                    };
                    let open = match of_both {
                        Some(Ok(values)) => {
                            let own = making.entry((Slot::Row, "")).or_default();
                            for (path, value) in [path, plan.other_end].into_iter().zip(values) {
                                put(&mut own.fields, path, value);
                            }
                            continue;
                        }
                        Some(Err(open)) => Some(open),
                        None => None,
                    };
                    let path =
                        if plan.by_end && jacked == Some("b") { plan.other_end } else { path };
                    let is_half = self.sheet.paired.contains(index);
                    let read = match (self.two_ways.get(index), open) {
                        (Some(readings), _) => Err(Unfit {
                            why: "its mark can mean the row above, or the same end in the rows before".to_owned(),
                            help: "write the value".to_owned(),
                            readings: readings.to_vec(),
                        }),
                        (None, _) if is_untold && matches!(of, Of::RowEnd | Of::RowPoint) => Err(Unfit {
                            why: "its row does not say of which end it is".to_owned(),
                            help: "write a or b into the column of ends".to_owned(),
                            readings: ["that of end a", "that of end b"].map(str::to_owned).to_vec(),
                        }),
                        (None, Some(open)) => Err(open),
                        (None, None) if plan.by_end && jacked.is_none() => Err(Unfit {
                            why: "the row does not say that one end is stressed, and which".to_owned(),
                            help: "give each end a column of its own".to_owned(),
                            readings: ["that of end a", "that of end b", "that of each of both ends"]
                                .map(str::to_owned)
                                .to_vec(),
                        }),
                        (None, None) => self.value(plan, field, cell),
                    };
                    match read {
                        Ok(value) if is_dead && path == AT_JACK && mark.is_some() => {
                            self.keep_unjacked(
                                mark.as_deref().unwrap_or_default(),
                                number,
                                (plan, cell),
                                value,
                            );
                        }
                        Ok(value) => {
                            if let Some(size) = strand_size(plan.target, &cell.cell) {
                                if let Some(listed) = self.known.strand_of(size.diameter_mm) {
                                    name_strand(&mut making, listed);
                                    continue;
                                }
                                let strand = making.entry((Slot::Strand, "")).or_default();
                                put_size(&mut strand.fields, size);
                                put_behind(&mut strand.fields, &cell.cell);
                            }
                            // A table of strands says itself what those are that it lists.
                            let name = cell.cell.shown();
                            if let Some(said) = strand_text(plan.target, &cell.cell)
                                .filter(|_| !self.known.lists_strand(&name))
                            {
                                let listed =
                                    said.diameter_mm.and_then(|one| self.known.strand_of(one));
                                if let Some(listed) = listed {
                                    name_strand(&mut making, listed);
                                    continue;
                                }
                                let strand = making.entry((Slot::Strand, "")).or_default();
                                said.put(&mut strand.fields, &name);
                            }
                            if let Some(size) = plan.size {
                                match self.known.strand_of(size.diameter_mm) {
                                    Some(listed) => name_strand(&mut making, listed),
                                    None => {
                                        let strand = making.entry((Slot::Strand, "")).or_default();
                                        put_size(&mut strand.fields, size);
                                    }
                                }
                            }
                            for slot in slots {
                                let record = making.entry(slot).or_default();
                                if let Cell::Text(text) = &cell.cell
                                    && !is_half
                                    && reads_differently(text, &value)
                                {
                                    record.texts.push((*index, text.as_ref().into()));
                                }
                                put(&mut record.fields, path, value.clone());
                            }
                        }
                        Err(unfit) => {
                            let is_impossible = matches!(plan.unit, ColumnUnit::Impossible(_));
                            // What is asked or lost stays with its field; kinds and points are joined from many rows.
                            if is_impossible
                                || is_half
                                || plan.by_end
                                || !matches!(slot, Slot::Row | Slot::End)
                            {
                                keep(&mut further, &mut names, &plan.header, &cell.cell);
                            } else {
                                for slot in slots {
                                    let text = cell.cell.shown().into_boxed_str();
                                    making.entry(slot).or_default().texts.push((*index, text));
                                }
                            }
                            if is_impossible {
                                continue;
                            }
                            if unfit.readings.len() > 1 {
                                plan.ask(
                                    self.sheet,
                                    number,
                                    origin,
                                    &cell.cell.shown(),
                                    &unfit.why,
                                    &unfit.readings,
                                );
                            } else {
                                problems.push(Problem {
                                    kind: ProblemKind::ValueLost,
                                    place: self.sheet.place(number, Some(*index)),
                                    record: origin,
                                    subject: plan.target.map_or_else(String::new, Target::name),
                                    given: Some(cell.cell.shown()),
                                    why: unfit.why,
                                    help: unfit.help,
                                });
                            }
                        }
                    }
                }
            }
        }
        for (scope, slot_end) in plans
            .values()
            .filter_map(|plan| plan.scope)
            .map(|scope| (scope, self.row_names.name(scope)))
        {
            if let (Some(kind), Some(end)) =
                (ends::kind(scope), making.get_mut(&(Slot::End, slot_end)))
                && end.fields.get("kind").is_none()
            {
                put(&mut end.fields, &["kind"], Value::Text(kind.into()));
            }
        }
        if self.found.assignment.per_end {
            let end = making.entry((Slot::End, row_end)).or_default();
            if let Some(kind) = end_of_row.and_then(ends::kind)
                && end.fields.get("kind").is_none()
            {
                put(&mut end.fields, &["kind"], Value::Text(kind.into()));
            }
        }
        // What is measured while a tendon is stressed from one end is measured there, at the jack.
        if let Some(end @ ("a" | "b")) = from
            && let Some(measured) = making.get_mut(&(Slot::Measured, ""))
            && ["force_kn", "elongation_mm"].iter().any(|name| measured.fields.get(name).is_some())
        {
            put(&mut measured.fields, &["end"], Value::Text(end.into()));
        }
        self.place_ends(&plans, &mut making);
        self.plans = plans;
        let own = making.entry((Slot::Row, "")).or_default();
        for (field, text) in context {
            if self.found.assignment.list == "Tendons" && own.fields.get(field).is_none() {
                let value = match *field {
                    "spans" => Value::List(vec![Value::Text(text.as_str().into())]),
                    _ => Value::Text(text.as_str().into()),
                };
                put(&mut own.fields, if *field == "spans" { &["spans"] } else { &["web"] }, value);
            }
        }
        self.give_constants(&mut making);
        if let Some(spare) = &spare {
            let own = making.entry((Slot::Row, "")).or_default();
            self.give_status(number, spare, &mut own.fields);
        }
        if self.found.assignment.list == "Tendons" {
            self.state_facts(number, spare.is_some(), &mut making);
        }
        if let Some(owner) = &self.found.owner {
            links.push(("Tendon", owner.clone()));
        }
        self.hand_over(number, mark, making, links, further, frames)?;
        for problem in problems {
            frames.take(Frame::Problem(problem))?;
        }
        Ok(())
    }

    /// Adds what is stated once for all tendons, where the row does not state it itself, and its tendon is there.
    fn state_facts(
        &mut self,
        number: u32,
        is_spare: bool,
        making: &mut BTreeMap<(Slot, &'static str), Making>,
    ) {
        let own = making.get(&(Slot::Row, "")).and_then(|own| own.fields.get("mark"));
        let mark = own.and_then(Value::as_text).map(str::to_owned);
        let facts = &self.known.facts;
        for (at, fact) in facts.iter().enumerate() {
            // What is said of fewer tendons stands before, and goes before.
            let is_said = |other: &&Fact| {
                (other.of, other.path) == (fact.of, fact.path) && other.whose.is_of(mark.as_deref())
            };
            if !fact.whose.is_of(mark.as_deref())
                || facts[..at].iter().any(|other| is_said(&other) && other.whose != fact.whose)
            {
                continue;
            }
            if is_spare && is_of_what_is_there(fact) {
                continue;
            }
            let slot = match fact.of {
                Of::End(scope) => (Slot::End, self.row_names.name(scope)),
                _ => (Slot::Row, ""),
            };
            if slot.0 == Slot::End && !self.tables.contains_key(&slot) {
                continue;
            }
            let record = making.entry(slot).or_default();
            match stated(&record.fields, fact.path) {
                None => put(&mut record.fields, fact.path, fact.value.clone()),
                Some(value) if agree(value, &fact.value) => {}
                Some(_) => {
                    let (_, count) = self.otherwise.entry(at).or_insert((number, 0));
                    *count += 1;
                }
            }
        }
    }
}

/// The value that a record states at a path.
pub(in super::super) fn stated<'f>(fields: &'f Fields, path: &[&str]) -> Option<&'f Value> {
    match path {
        [] => None,
        [last] => fields.get(last),
        [first, rest @ ..] => stated(fields.get(first)?.as_fields()?, rest),
    }
}

/// Keeps a value that no field takes, under a name that no other value of the row has.
pub(super) fn keep(
    further: &mut Fields,
    names: &mut HashSet<String>,
    header: &str,
    cell: &Cell<'_>,
) {
    let mut name = header.to_owned();
    let mut count = 1;
    while !names.insert(name.clone()) {
        count += 1;
        name = format!("{header} ({count})");
    }
    further.push(Name::from(name.as_str()), plain_value(cell));
}
