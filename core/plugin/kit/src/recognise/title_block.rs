//! What the title blocks say of the project.

use restrand_model::reading::{Column as ReadColumn, Origin, Problem, ProblemKind, Table};
use restrand_model::sheet::Column;
use restrand_model::value::Fields;

use super::look::Looked;
use super::notes::Title;
use crate::frame::{At, Frame, Frames, RecordFrame, Stopped};
use crate::sheet::read::put;

/// Hands over what the title blocks say of the project.
pub(super) fn project(
    looked: &[Looked],
    titles: &[(usize, Title)],
    tables: &mut u32,
    frames: &mut dyn Frames,
) -> Result<(), Stopped> {
    let Some((first, title)) = titles.first() else { return Ok(()) };
    let (sheet, row) = (&looked[*first].sheet, title.row);
    let mut fields = Fields::new();
    let mut columns = Vec::new();
    let mut problems = Vec::new();
    for (of, title) in titles {
        let Some(Column::Value { path, field, .. }) = title.target.column() else { continue };
        let read =
            crate::sheet::cell::value(&title.cell, field.0, crate::sheet::cell::Measure::default());
        let value = match read {
            Ok(value) => value,
            Err(unfit) => {
                problems.push(Problem {
                    kind: ProblemKind::ValueLost,
                    place: looked[*of].sheet.place(title.row, Some(title.column)),
                    record: Origin::default(),
                    subject: title.target.name(),
                    given: Some(title.cell.shown()),
                    why: unfit.why,
                    help: unfit.help,
                });
                continue;
            }
        };
        match path.first().and_then(|name| fields.get(name)) {
            None => {
                put(&mut fields, path.as_slice(), value);
                columns.push(ReadColumn {
                    index: title.column,
                    header: title.label.as_str().into(),
                    path: path.clone(),
                    unit: None,
                    link: false,
                });
            }
            Some(other) if *other == value => {}
            Some(other) => problems.push(Problem {
                kind: ProblemKind::ValueDoubtful,
                place: looked[*of].sheet.place(title.row, Some(title.column)),
                record: Origin::default(),
                subject: title.target.name(),
                given: Some(title.cell.shown()),
                why: format!("another title block says \"{other}\", and that is taken"),
                help: "write the same in both title blocks".to_owned(),
            }),
        }
    }
    if !fields.is_empty() {
        frames.take(Frame::Table(Table {
            part: sheet.part.clone(),
            sheet: Some(sheet.name.clone()),
            grid: sheet.grid,
            list: "Project".to_owned(),
            header_row: row,
            columns,
        }))?;
        let record = RecordFrame {
            table: *tables,
            at: At::Row(row),
            links: Vec::new(),
            fields,
            texts: Vec::new(),
            apart: Vec::new(),
        };
        *tables += 1;
        frames.take(Frame::Record(record))?;
    }
    for problem in problems {
        frames.take(Frame::Problem(problem))?;
    }
    Ok(())
}
