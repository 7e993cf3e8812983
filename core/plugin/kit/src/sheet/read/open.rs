//! From the headers of a sheet to what is done with its columns.

use std::collections::HashMap;
use std::sync::Arc;

use restrand_model::ifc::GLOBAL_ID;
use restrand_model::reading::{Column as ReadColumn, Grid, Origin, Problem, ProblemKind, Table};
use restrand_model::sheet::{self, Column, Header, plain};

use super::header::{header_unit, is_words, label, nearest_header};
use super::plan::{Plan, ValuePlan, Weighing};
use super::value::column_letters;
use super::{HeaderSearch, SheetReader};
use crate::frame::{Frame, Frames, Stopped};
use crate::sheet::cell::{Cell, Measure};
use crate::sheet::further::{Further, is_computed};
use crate::sheet::marks::SeenMarks;

impl SheetReader {
    pub(super) fn open(
        search: &HeaderSearch,
        row: u32,
        cells: &[(u32, Cell<'_>)],
        units: &[(u32, String)],
        table: u32,
        frames: &mut dyn Frames,
    ) -> Result<Self, Stopped> {
        let columns = sheet::columns_of(search.sheet);
        let links = search.sheet.links();
        let mut reader = Self {
            sheet: search.sheet,
            part: search.part.clone(),
            name: search.name.clone(),
            grid: search.grid,
            weighing: match search.grid {
                Grid::Cells | Grid::TurnedCells => Weighing::ByCell,
                Grid::Lines | Grid::TurnedLines => Weighing::Wanted,
            },
            table,
            header_row: row,
            links: links.len(),
            plans: Vec::new(),
            names: HashMap::new(),
            known: 1,
            further: 0,
        };
        let mut read = Vec::new();
        let mut problems = Vec::new();
        let mut taken: Vec<Option<u32>> = vec![None; columns.len()];
        let mut unknown = Vec::new();
        for (index, cell) in cells {
            if cell.is_blank() {
                continue;
            }
            let given = cell.shown();
            let mut header = Header::read(&given);
            let below = units.iter().find(|(column, _)| column == index);
            let below = below.map(|(_, unit)| unit.as_str());
            if let (Some(stated), Some(below)) = (header.unit, below)
                && stated != below
            {
                problems.push(reader.other_unit(*index, &given, stated, below));
            }
            header.unit = header.unit.or(below);
            let (plan, column) = reader.plan(
                columns,
                &links,
                *index,
                &given,
                &header,
                &mut taken,
                &mut unknown,
                &mut problems,
            );
            read.push(column);
            let position = *index as usize;
            if reader.plans.len() <= position {
                reader.plans.resize_with(position + 1, || Plan::None);
            }
            match plan {
                Plan::Value(_) => reader.known += 1,
                Plan::Extra(..) => reader.further += 1,
                Plan::None | Plan::Computed | Plan::Link(_) => {}
            }
            reader.plans[position] = plan;
        }
        let mut untaken: Vec<&str> = columns
            .iter()
            .zip(&taken)
            .filter(|(_, taken)| taken.is_none())
            .map(|(column, _)| label(column))
            .collect();
        // A thousand columns may have one header, and each look goes through all fields.
        let mut looked: HashMap<String, Option<&'static str>> = HashMap::new();
        for (index, given) in unknown {
            let near = *looked
                .entry(given.clone())
                .or_insert_with(|| nearest_header(search.sheet, &given));
            problems.push(reader.unknown_header(index, &given, near, &mut untaken));
        }
        frames.take(Frame::Table(Table {
            part: search.part.clone(),
            sheet: Some(search.name.clone()),
            grid: search.grid,
            list: search.sheet.name.to_owned(),
            header_row: row,
            columns: read,
        }))?;
        for problem in problems {
            frames.take(Frame::Problem(problem))?;
        }
        Ok(reader)
    }

    /// The problem of a header whose unit is not the one in the row below it.
    fn other_unit(&self, index: u32, given: &str, stated: &str, below: &str) -> Problem {
        Problem {
            kind: ProblemKind::ValueDoubtful,
            place: self.place(self.header_row, Some(index)),
            record: Origin::default(),
            subject: format!("{}: \"{given}\"", self.name),
            given: Some(given.to_owned()),
            why: format!(
                "the header is in {stated}, and the row below it says {below}; {stated} was taken"
            ),
            help: "state one unit for the column".to_owned(),
        }
    }

    /// The problem of a header that is none of the sheet, with the one that is near to it; it takes the field that it surely means out of those of
    /// which no column is left.
    fn unknown_header(
        &self,
        index: u32,
        given: &str,
        near: Option<&'static str>,
        untaken: &mut Vec<&'static str>,
    ) -> Problem {
        if let Some(near) = near.filter(|near| untaken.contains(near)) {
            untaken.retain(|label| *label != near);
            let why = format!(
                "no field of this sheet is called so, and no other column states its field \"{near}\""
            );
            let help = format!(
                "did you mean \"{near}\"? Its values are not read until the header says so"
            );
            let problem = self.header_problem(ProblemKind::Misnamed, index, given, why, help);
            return Problem { subject: format!("{}: {near}", self.name), ..problem };
        }
        let help = match near {
            Some(near) => format!(
                "its values are kept as further values of each row; \"{near}\" has a column of its own"
            ),
            None => "its values are kept as further values of each row".to_owned(),
        };
        let why = "no field of this sheet takes the column".to_owned();
        self.header_problem(ProblemKind::Unknown, index, given, why, help)
    }

    /// What is done with a column, and what provenance keeps of it.
    #[expect(clippy::too_many_arguments, reason = "one header, and what was seen of the others")]
    fn plan(
        &mut self,
        columns: &'static [Column],
        links: &[&'static str],
        index: u32,
        given: &str,
        header: &Header<'_>,
        taken: &mut [Option<u32>],
        unknown: &mut Vec<(u32, String)>,
        problems: &mut Vec<Problem>,
    ) -> (Plan, ReadColumn) {
        let mut column =
            ReadColumn { index, header: given.into(), path: Vec::new(), unit: None, link: false };
        if is_computed(given) {
            return (Plan::Computed, column);
        }
        if let Some(further) = Further::read(given) {
            return (Plan::Extra(self.extra_name(&further.name), further.coded), column);
        }
        // The id that a model gave a record goes to and fro with it, and is no field.
        if given == GLOBAL_ID && !self.names.contains_key(GLOBAL_ID) {
            return (Plan::Extra(self.extra_name(given), false), column);
        }
        // A unit is no part of the words, but brackets may hold something else.
        let headers = sheet::headers_of(self.sheet);
        let found = headers.find(header.label).or_else(|| headers.find(given));
        let Some(position) = found else {
            // What it is taken for hangs on the headers to come.
            unknown.push((index, given.to_owned()));
            return (Plan::Extra(self.extra_name(given), false), column);
        };
        if let Some(first) = taken[position] {
            problems.push(self.header_problem(
                ProblemKind::ValueLost,
                index,
                given,
                format!("column {} claims the same field", column_letters(first)),
                "keep one of the two columns; the first is read, this one is kept as further values"
                    .to_owned(),
            ));
            return (Plan::Extra(self.extra_name(given), false), column);
        }
        taken[position] = Some(index);
        match &columns[position] {
            Column::Link { header } => {
                column.link = true;
                let link = links.iter().position(|link| link == header).unwrap_or(0);
                (Plan::Link(link), column)
            }
            Column::Value { path, field, unit, label } => {
                // A field's own name states its unit, and may itself have brackets in it.
                let own = plain(header.label);
                let is_own = headers.find(given) == Some(position)
                    || own == plain(field.0.name)
                    || own == plain(&path.concat());
                let named = Measure {
                    stated: unit.filter(|_| is_own && own != plain(label)),
                    unit: *unit,
                    per_cent: false,
                };
                let measure = match header.unit {
                    None => named,
                    Some(text) => match header_unit(text, field.0, *unit) {
                        Ok(measure) => measure,
                        Err(_) if headers.find(given) == Some(position) => named,
                        // Words do not change with what stands in brackets behind their header.
                        Err((why, help)) if is_words(field.0) => {
                            problems.push(self.header_problem(
                                ProblemKind::ValueDoubtful,
                                index,
                                given,
                                why,
                                help,
                            ));
                            named
                        }
                        Err((why, help)) => {
                            problems.push(self.header_problem(
                                ProblemKind::ValueLost,
                                index,
                                given,
                                why,
                                help,
                            ));
                            return (Plan::Extra(self.extra_name(given), false), column);
                        }
                    },
                };
                column.path.clone_from(path);
                column.unit = measure.stated;
                let plan = ValuePlan {
                    path,
                    field: field.0,
                    measure,
                    header: given.into(),
                    unit_missed: false,
                    marks: SeenMarks::default(),
                    question: None,
                };
                (Plan::Value(plan), column)
            }
        }
    }

    fn header_problem(
        &self,
        kind: ProblemKind,
        index: u32,
        given: &str,
        why: String,
        help: String,
    ) -> Problem {
        Problem {
            kind,
            place: self.place(self.header_row, Some(index)),
            record: Origin::default(),
            subject: format!("{}: {given}", self.name),
            given: Some(given.to_owned()),
            why,
            help,
        }
    }

    /// A name for further values, different from those of the columns before.
    pub(super) fn extra_name(&mut self, given: &str) -> Arc<str> {
        let Some(mut count) = self.names.get(given).copied() else {
            let name: Arc<str> = given.into();
            self.names.insert(Arc::clone(&name), 1);
            return name;
        };
        let name: Arc<str> = loop {
            count += 1;
            let name = format!("{given} ({count})");
            if !self.names.contains_key(name.as_str()) {
                break name.into();
            }
        };
        // Counting goes on from here, for a thousand columns may have one name.
        self.names.insert(given.into(), count);
        self.names.insert(Arc::clone(&name), 1);
        name
    }
}
