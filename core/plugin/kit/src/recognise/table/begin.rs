//! What is said of a table before its rows: which lists it gives records to, and what is wrong with its columns.

use std::collections::BTreeSet;

use restrand_model::quantity;
use restrand_model::reading::{
    Column as ReadColumn, Origin, Problem, ProblemKind, Remark, Sureness, Table,
};
use restrand_model::value::Value;

use super::super::ends::Names;
use super::super::grid::{GridCell, standing};
use super::super::plan::{ColumnPlan, Of, Side, Take, is_distance};
use super::super::scope::Scope;
use super::super::unit::ColumnUnit;
use super::super::vocabulary::Description;
use super::strand::strand_size;
use super::strand_text::strand_text;
use super::{Cells, Slot, TableReader};
use crate::frame::{Frame, Frames, Stopped};
use crate::sheet::Cell;

/// What names the table of tendons whose columns of either end state what the other end has.
pub(super) const OTHER_END: &str = "other end";

impl TableReader<'_> {
    /// Exchanges the names of the ends where the stations of most rows say that the first lies behind the second.
    pub(super) fn order_ends(&mut self) {
        let of = |wanted: Scope| {
            self.plans.values().find(|plan| {
                matches!(&plan.take, Take::Value { of: Of::Point(scope), field, .. }
                    if *scope == wanted && field.name == "station_m")
            })
        };
        let (Some(stressing), Some(dead)) = (of(Scope::Stressing), of(Scope::Dead)) else {
            return self.order_ends_by_column();
        };
        self.ends_assumed = false;
        let (mut before, mut behind) = (0, 0);
        for row in &self.sheet.rows[self.found.body.clone()] {
            let station = |plan: &ColumnPlan| station(plan, row.cells.get(&plan.index)?);
            if let (Some(stressing), Some(dead)) = (station(stressing), station(dead)) {
                if stressing <= dead { before += 1 } else { behind += 1 }
            }
        }
        let names = Names::of([Scope::Stressing].into_iter());
        self.end_stations = Some((stressing.index, dead.index));
        self.is_either_way = before > 0 && behind > 0;
        self.names = if behind > before { names.exchanged() } else { names };
        self.row_names = self.names;
    }

    /// Does the same by a column that says from which end each tendon is stressed, where no stations tell it.
    fn order_ends_by_column(&mut self) {
        let (mut of_a, mut of_b) = (0, 0);
        for row in &self.sheet.rows[self.found.body.clone()] {
            let from = self.stressed_from(&self.plans, |column| row.cells.get(&column));
            match from.as_ref().and_then(Value::as_text) {
                Some("a") => of_a += 1,
                Some("b") => of_b += 1,
                _ => {}
            }
        }
        if of_a + of_b == 0 {
            return;
        }
        let names = Names::of([Scope::Stressing].into_iter());
        self.ends_assumed = false;
        self.ends_by_column = true;
        self.is_either_way = of_a > 0 && of_b > 0;
        self.names = if of_b > of_a { names.exchanged() } else { names };
        self.row_names = self.names;
    }

    /// Names the ends of a row by its own stations, where it states both, or by the end from which it is stressed.
    pub(super) fn name_ends(&mut self, number: u32, cells: &Cells) {
        self.row_names = self.names;
        let names = Names::of([Scope::Stressing].into_iter());
        let of = |index: u32| station(self.plans.get(&index)?, &cells.get(&index)?.0);
        self.row_names = match self.end_stations {
            Some((stressing, dead)) => match (of(stressing), of(dead)) {
                (Some(stressing), Some(dead)) if stressing <= dead => names,
                (Some(_), Some(_)) => names.exchanged(),
                _ => return,
            },
            None if self.ends_by_column => {
                let from = self.stressed_from(&self.plans, |column| Some(&cells.get(&column)?.0));
                match from.as_ref().and_then(Value::as_text) {
                    Some("a") => names,
                    Some("b") => names.exchanged(),
                    _ => return,
                }
            }
            None => return,
        };
        if self.row_names != self.names {
            let (_, count) = self.turned_rows.get_or_insert((number, 0));
            *count += 1;
        }
    }

    /// The table frame of a slot, for the row at hand.
    pub(super) fn table_of(&self, slot: (Slot, &'static str)) -> Option<u32> {
        let other = self.other_tables.get(&slot).filter(|_| self.row_names != self.names);
        other.or_else(|| self.tables.get(&slot)).copied()
    }

    /// Hands over the table frames of all lists that take something.
    pub(super) fn begin(
        &mut self,
        tables: &mut u32,
        frames: &mut dyn Frames,
    ) -> Result<(), Stopped> {
        let has = |wanted: &dyn Fn(Of) -> bool| {
            self.plans
                .values()
                .any(|plan| matches!(&plan.take, Take::Value { of, .. } if wanted(*of)))
        };
        let described = |wanted| {
            self.plans
                .values()
                .any(|plan| matches!(plan.take, Take::Described(kind) if kind == wanted))
        };
        let own = self.found.assignment.list;
        let is_end = |of| matches!(of, Of::End(_) | Of::RowEnd | Of::BothEnds);
        let mut slots = vec![(Slot::Row, "", own)];
        if own == "Tendons" {
            if has(&is_end)
                || self.found.assignment.per_end
                || self.known.states_ends()
                || self.constants.are_of(&is_end)
            {
                slots.extend(["a", "b"].map(|end| (Slot::End, end, "Ends")));
            }
            slots.extend(self.points().into_iter().map(|point| (Slot::Point, point, "Points")));
            slots.extend(
                self.deviators().into_iter().map(|name| (Slot::Deviator, name, "Deviators")),
            );
            let is_sized = self.plans.values().any(|plan| plan.size.is_some());
            let is_named_by_size = self.plans.values().any(|plan| {
                let rows = &self.sheet.rows[self.found.body.clone()];
                rows.iter().filter_map(|row| row.cells.get(&plan.index)).any(|cell| {
                    strand_size(plan.target, &cell.cell).is_some()
                        || strand_text(plan.target, &cell.cell).is_some()
                })
            });
            if has(&|of| of == Of::Strand)
                || described(Description::Strands)
                || is_sized
                || is_named_by_size
            {
                slots.push((Slot::Strand, "", "Strands"));
            }
            if has(&|of| of == Of::Duct) || described(Description::Pipe) {
                slots.push((Slot::Duct, "", "Ducts"));
            }
            if has(&|of| of == Of::Measured) {
                slots.push((Slot::Measured, "", "Measurements"));
            }
        }
        if own == "Points" && has(&|of| of == Of::RowDeviator) {
            slots.push((Slot::Deviator, "", "Deviators"));
        }
        let header_row = self.sheet.rows[self.found.headers.end - 1].number;
        // Where rows have their ends either way, the columns of an end are not the same in all.
        let other_way = slots.iter().filter(|(_, name, _)| matches!(*name, "a" | "b"));
        let other_way: Vec<_> =
            if self.is_either_way { other_way.copied().collect() } else { Vec::new() };
        let (usual, exchanged) = (self.names, self.names.exchanged());
        let slots = slots.into_iter().map(|slot| (slot, usual));
        let slots = slots.chain(other_way.into_iter().map(|slot| (slot, exchanged)));
        // The texts of values of the other end stand below columns that say so.
        let is_of_either = self.plans.values().any(|plan| plan.by_end);
        let of_other_end = is_of_either.then_some(((Slot::Row, OTHER_END, own), usual));
        let slots = slots.chain(of_other_end);
        for ((slot, name, list), names) in slots {
            let named = |of: &dyn Fn(Scope) -> Of| {
                let scopes = self.plans.values().filter_map(|plan| plan.scope);
                let all = scopes.chain([Scope::A, Scope::B, Scope::Stressing, Scope::Dead]);
                all.filter(|scope| names.name(*scope) == name).map(of).collect::<Vec<_>>()
            };
            let of: Vec<Of> = match slot {
                Slot::Row => vec![Of::Row],
                Slot::End => [named(&Of::End), vec![Of::RowEnd, Of::BothEnds]].concat(),
                Slot::Point => [named(&Of::Point), vec![Of::RowPoint, Of::AllPoints]].concat(),
                Slot::Deviator => [named(&Of::Deviator), vec![Of::RowDeviator]].concat(),
                Slot::Strand => vec![Of::Strand],
                Slot::Duct => vec![Of::Duct],
                Slot::Measured => vec![Of::Measured],
            };
            let columns: Vec<ReadColumn> = self
                .plans
                .values()
                .filter_map(|plan| match (&plan.take, slot) {
                    (Take::Link(_), Slot::Row | Slot::Deviator) => Some(link(plan)),
                    (
                        Take::Value { path, .. },
                        Slot::End | Slot::Point | Slot::Deviator | Slot::Measured,
                    ) if **path == ["mark"] => Some(link(plan)),
                    _ => plan.read_column(&of).map(|column| match (slot, name) {
                        (Slot::Row, OTHER_END) if plan.by_end => {
                            ReadColumn { path: plan.other_end.to_vec(), ..column }
                        }
                        _ => column,
                    }),
                })
                .collect();
            frames.take(Frame::Table(Table {
                part: self.sheet.part.clone(),
                sheet: Some(self.sheet.name.clone()),
                grid: self.sheet.grid,
                list: list.to_owned(),
                header_row,
                columns,
            }))?;
            let of_names = if names == usual { &mut self.tables } else { &mut self.other_tables };
            of_names.insert((slot, name), *tables);
            *tables += 1;
        }
        Ok(())
    }

    /// The points of each row, by their names.
    fn points(&self) -> BTreeSet<&'static str> {
        let values = self.plans.values().filter_map(|plan| match plan.take {
            Take::Value { of, .. } => Some(of),
            _ => None,
        });
        values
            .flat_map(|of| match of {
                Of::Point(scope) => vec![self.names.name(scope)],
                Of::RowPoint => vec!["a", "b"],
                _ => Vec::new(),
            })
            .collect()
    }

    /// The deviators of which each row states what they do, by their names.
    fn deviators(&self) -> BTreeSet<&'static str> {
        let scopes = self.plans.values().filter_map(|plan| match plan.take {
            Take::Value { of: Of::Deviator(scope), .. } => Some(scope),
            _ => None,
        });
        scopes.map(|scope| self.names.name(scope)).collect()
    }

    /// Says what is wrong with columns as a whole.
    pub(super) fn complain(&mut self, frames: &mut dyn Frames) -> Result<(), Stopped> {
        let header_row = self.sheet.rows[self.found.headers.end - 1].number;
        for plan in self.plans.values() {
            let (kind, why, help) = match (&plan.take, &plan.unit) {
                (_, ColumnUnit::Impossible(why)) => (
                    ProblemKind::ValueLost,
                    why.clone(),
                    "correct the header, or say in a mapping file what the column is".to_owned(),
                ),
                (Take::Keep, _) if plan.readings.is_empty() => (
                    ProblemKind::Unknown,
                    plan.why.clone(),
                    "its values are kept as further values of each row; a mapping file can say what it is".to_owned(),
                ),
                _ => continue,
            };
            frames.take(Frame::Problem(Problem {
                kind,
                place: self.sheet.place(header_row, Some(plan.index)),
                record: Origin::default(),
                subject: format!("{}: {}", self.sheet.name, plan.header),
                given: Some(plan.header.clone()),
                why,
                help,
            }))?;
        }
        self.complain_of_constants(frames)?;
        self.tell_inferred(header_row, frames)?;
        self.complain_of_sides(frames)?;
        self.complain_of_order(frames)?;
        if self.ends_assumed {
            let why = format!(
                "does not say which end lies at the lower station; the {} end is taken for it",
                if self.names.name(Scope::Stressing) == "a" { "stressing" } else { "dead" }
            );
            self.assume_ends(why, header_row, frames)?;
        }
        Ok(())
    }

    /// Says which column was taken for the names of the tendons though its header does not say so.
    fn tell_inferred(&self, header_row: u32, frames: &mut dyn Frames) -> Result<(), Stopped> {
        let mut inferred = self.found.assignment.columns.iter().filter(|one| one.is_inferred);
        let Some(plan) = inferred.find_map(|one| self.plans.get(&one.index)) else { return Ok(()) };
        if plan.sureness == Sureness::Mapped {
            return Ok(());
        }
        let why = format!("is taken for the marks of the tendons: {}", plan.why);
        let help = "head the column Tendon, or say in a mapping file what it is";
        let at = (header_row, plan.index);
        frames.take(self.assumed(at, &plan.header, Some(plan.header.clone()), why, help))
    }

    /// Says that nothing tells which side of the line offsets are positive to.
    fn complain_of_sides(&mut self, frames: &mut dyn Frames) -> Result<(), Stopped> {
        let rows = &self.sheet.rows[self.found.body.clone()];
        let has_sides = self.plans.values().any(|plan| {
            matches!(&plan.take, Take::Value { of: Of::Row, path, .. } if **path == ["side"])
        });
        let is_bare = |plan: &&ColumnPlan| {
            plan.side == Side::Unstated
                && !(has_sides && is_distance(&plan.header))
                && rows.iter().filter_map(|row| row.cells.get(&plan.index)).any(|cell| match &cell
                    .cell
                {
                    Cell::Number(number) => *number != 0.0,
                    Cell::Text(text) => {
                        text.chars().any(|letter| matches!(letter, '1'..='9'))
                            && quantity::sided(text).is_none()
                    }
                    _ => false,
                })
        };
        let Some(plan) = self.plans.values().find(is_bare) else { return Ok(()) };
        let why = "does not say to which side of the line it is positive; left is taken for it, seen looking \
                   up-station";
        self.remarks.push(Remark { row: None, what: format!("\"{}\" {why}.", plan.header) });
        let header_row = self.sheet.rows[self.found.headers.end - 1].number;
        let help = "write (+ left) or (+ right) behind the header, or say it in a note";
        let at = (header_row, plan.index);
        frames.take(self.assumed(at, &plan.header, Some(plan.header.clone()), why.to_owned(), help))
    }

    /// Says that the ends are told by the order of their columns alone, unless stations tell it.
    fn complain_of_order(&mut self, frames: &mut dyn Frames) -> Result<(), Stopped> {
        let columns = &self.found.assignment.columns;
        let Some(first) = columns.iter().find(|one| one.header.by_order) else { return Ok(()) };
        let tells = self.plans.values().any(|plan| {
            matches!(&plan.take, Take::Value { of: Of::Point(_), field, .. } if field.name == "station_m")
        });
        if tells {
            return Ok(());
        }
        let group = first.header.place.clone().unwrap_or_else(|| first.header.given.clone());
        let why = format!(
            "does not say which end lies at the lower station; that of \"{group}\" is taken for it, as it comes first"
        );
        let header_row = self.sheet.rows[self.found.headers.end - 1].number;
        self.assume_ends(why, header_row, frames)
    }

    /// Says which end was taken for that at the lower station, and why.
    fn assume_ends(
        &mut self,
        why: String,
        header_row: u32,
        frames: &mut dyn Frames,
    ) -> Result<(), Stopped> {
        self.remarks.push(Remark { row: None, what: format!("The table {why}.") });
        frames.take(Frame::Problem(Problem {
            kind: ProblemKind::Assumed,
            place: self.sheet.place(header_row, None),
            record: Origin::default(),
            subject: self.sheet.name.clone(),
            given: None,
            why,
            help: "add the stations of the ends, or name the ends a and b".to_owned(),
        }))
    }
}

fn link(plan: &ColumnPlan) -> ReadColumn {
    ReadColumn {
        index: standing(plan.index),
        header: plan.header.as_str().into(),
        path: Vec::new(),
        unit: None,
        link: true,
    }
}

/// A station in the unit of its column, for telling which of two is the lower.
fn station(plan: &ColumnPlan, cell: &GridCell) -> Option<f64> {
    match &cell.cell {
        Cell::Number(number) => Some(*number),
        Cell::Text(text) => {
            let metre = quantity::Unit::find("m", quantity::Dimension::Length);
            let unit = match &plan.unit {
                ColumnUnit::Stated(unit, _) => Some(*unit),
                _ => metre,
            };
            quantity::station(text, unit, plan.station)
                .unwrap_or_else(|| quantity::read(text, unit, metre))
                .ok()
        }
        _ => None,
    }
}
