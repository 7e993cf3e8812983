//! What no record takes is kept, under the names of the cells in which it stands.

use restrand_model::reading::Table;
use restrand_model::reflect::EXTRA;
use restrand_model::value::{Fields, Name, Value};

use super::grid::{Sheet, standing};
use crate::frame::{At, Frame, Frames, RecordFrame, Stopped};
use crate::sheet::read::plain_value;

/// Keeps texts that no record takes as further values of the schedule, under the names of their cells.
pub(super) fn keep_further(
    sheet: &Sheet,
    further: Vec<(String, String)>,
    tables: &mut u32,
    frames: &mut dyn Frames,
) -> Result<(), Stopped> {
    if further.is_empty() {
        return Ok(());
    }
    frames.take(Frame::Table(Table {
        part: sheet.part.clone(),
        sheet: Some(sheet.name.clone()),
        grid: sheet.grid,
        list: "FurtherValues".to_owned(),
        header_row: 0,
        columns: Vec::new(),
    }))?;
    let mut names = std::collections::HashMap::<String, u32>::new();
    let mut members = Fields::new();
    for (name, text) in further {
        let count = names.entry(name.clone()).or_default();
        *count += 1;
        let name = if *count == 1 { name } else { format!("{name} ({count})") };
        members
            .push(Name::from(name.as_str()), plain_value(&crate::sheet::Cell::Text(text.into())));
    }
    let mut fields = Fields::new();
    fields.push(Name::Known(EXTRA), Value::Fields(members));
    let record = RecordFrame {
        table: *tables,
        at: At::Row(0),
        links: Vec::new(),
        fields,
        texts: Vec::new(),
        apart: Vec::new(),
    };
    *tables += 1;
    frames.take(Frame::Record(record))
}

/// The name of a cell as people write it.
pub(super) fn cell_name(sheet: &Sheet, row: u32, column: u32) -> String {
    let (row, column) = sheet.stands(row, column);
    let (row, column) = (standing(row), standing(column));
    let (row, column) = if sheet.grid.is_turned() { (column, row) } else { (row, column) };
    let letters = crate::sheet::read::column_letters(column);
    format!("{}!{letters}{}", sheet.name, u64::from(row) + 1)
}
