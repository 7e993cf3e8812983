//! A row of a sheet with its headers, put together from the typed record.
//!
//! A workbook is not read again for a finding: what a cell held is kept where it differs from the value,
//! and follows from the value where it does not.

use restrand_kit::sheet::list_text;
use restrand_model::quantity::{Unit, of_field, shortest};
use restrand_model::reading::{Column, Table};
use restrand_model::reflect::View;
use restrand_model::{Provenance, Record, sheet};

use crate::excerpt::Excerpt;
use crate::letters::{cell, letters};
use crate::plain::{padded, plain, shortened, width};
use crate::records::Found;

/// Columns shown on each side of the marked one.
const NEIGHBOURS: usize = 3;
/// Widest column shown.
const WIDEST: usize = 24;
/// Widest column shown where it is the marked one, whose header must be read with its unit.
const WIDEST_MARKED: usize = 44;
/// Widest row shown.
const WIDEST_ROW: usize = 200;
/// Stands for a cell that says nothing.
const NOTHING: &str = "·";

/// A cell, or a row, that a finding marks.
pub(crate) struct Marked<'a> {
    /// Where it stands: the input's part, the sheet, the row or line and the column from zero.
    pub(crate) part: &'a str,
    /// The sheet.
    pub(crate) sheet: &'a str,
    /// The row from zero.
    pub(crate) row: u32,
    /// The column from zero; nothing if the sheet has none for the value.
    pub(crate) column: Option<u32>,
    /// The field names from the record to the value.
    pub(crate) path: &'a [String],
    /// The text of the cell as given, where the finding quotes it.
    pub(crate) given: Option<&'a str>,
}

struct Shown {
    index: u32,
    header: String,
    text: String,
    key: bool,
}

/// The column of a table in which a cell stands; of a table that is written sideways it is a row.
pub(crate) fn column_at(table: &Table, row: u32, column: u32) -> Option<&Column> {
    let index = if table.grid.is_turned() { row } else { column };
    table.columns.iter().find(|known| known.index == index)
}

/// The header of a cell.
pub(crate) fn header(table: &Table, row: u32, column: u32) -> Option<&str> {
    column_at(table, row, column).map(|known| &*known.header)
}

/// The column of a value that the sheet does not have, as the layout would head it.
pub(crate) fn missing_column(table: &Table, path: &[String]) -> Option<String> {
    let layout = sheet::find(&table.list)?;
    let column = sheet::columns_of(layout).iter().find(|column| match column {
        sheet::Column::Value { path: names, .. } => {
            names.len() <= path.len() && names.iter().zip(path).all(|(name, step)| name == step)
        }
        sheet::Column::Link { .. } => false,
    })?;
    Some(match column {
        sheet::Column::Value { unit, .. } => column.header(*unit),
        sheet::Column::Link { .. } => column.header(None),
    })
}

/// A step of the way from a record to the rows of a sheet.
#[derive(PartialEq)]
enum Way {
    Name(&'static str),
    OneOf(&'static [&'static str]),
    Item,
}

/// The way from the schedule to the records of a target.
fn way(target: &sheet::Target) -> Vec<Way> {
    let mut way = Vec::new();
    for hop in target.owner {
        match hop {
            sheet::Hop::Item { list, .. } => way.extend([Way::Name(list), Way::Item]),
            sheet::Hop::Field(field) => way.push(Way::Name(field)),
            sheet::Hop::Slot { fields, .. } => way.push(Way::OneOf(fields)),
        }
    }
    match target.into {
        sheet::Into::List(list) => way.extend([Way::Name(list), Way::Item]),
        sheet::Into::Field(field) => way.push(Way::Name(field)),
        sheet::Into::Slot { fields, .. } => way.push(Way::OneOf(fields)),
    }
    way
}

/// The sheet whose rows state a value of the table's records that has no column among theirs.
///
/// Of several that lie on the way it is the last, and else the first towards which the way leads.
fn sheet_of(table: &Table, path: &[String]) -> Option<&'static sheet::Sheet> {
    let own = way(sheet::find(&table.list)?.targets.first()?);
    let fits = |(step, name): (&Way, &String)| match step {
        Way::Name(field) => field == name,
        Way::OneOf(fields) => fields.contains(&name.as_str()),
        Way::Item => name.parse::<usize>().is_ok(),
    };
    sheet::SHEETS
        .iter()
        .flat_map(|sheet| sheet.targets.iter().map(move |target| (sheet, way(target))))
        .filter_map(|(sheet, way)| {
            let below = way.strip_prefix(own.as_slice()).filter(|below| !below.is_empty())?;
            let steps = below.len();
            below.iter().zip(path).all(fits).then_some(if steps <= path.len() {
                (0, usize::MAX - steps, sheet)
            } else {
                (1, steps, sheet)
            })
        })
        .min_by_key(|(beyond, steps, _)| (*beyond, *steps))
        .map(|(_, _, sheet)| sheet)
}

/// Whether the record says something there, in rows of other sheets.
fn is_stated(record: &dyn Record, path: &[String]) -> bool {
    let view = path.iter().fold(View::Record(record), |view, step| match view {
        View::Record(record) => record.get(step),
        _ => View::Absent,
    });
    !view.is_absent()
}

/// What is missing of a sheet whose rows state a value: of one that tells its rows apart by a column, the row that
/// says so there.
fn no_row(sheet: &sheet::Sheet, path: &[String]) -> String {
    let said = path.iter().find_map(|step| {
        sheet.targets.iter().find_map(|target| match target.into {
            sheet::Into::Slot { link, fields } if fields.contains(&step.as_str()) => {
                Some((link, step))
            }
            _ => None,
        })
    });
    match said {
        Some((link, name)) => {
            format!("no row of the sheet {} with {name} under {link} belongs to it", sheet.name)
        }
        None => format!("no row of the sheet {} belongs to it", sheet.name),
    }
}

/// The excerpt of a marked cell, at most `room` columns wide.
pub(crate) fn excerpt(
    marked: &Marked<'_>,
    table: &Table,
    found: Option<&Found<'_>>,
    provenance: &Provenance,
    room: usize,
) -> Option<Excerpt> {
    if let (None, None, Some(given)) = (found, marked.column, marked.given) {
        return Some(whole_row(marked, table, given, room));
    }
    if table.grid.is_turned() {
        return sideways(marked, table, found, provenance);
    }
    let is_header = marked.row == table.header_row;
    let mut columns = shown(marked, table, found, provenance, is_header);
    let index = marked.column.or_else(|| table.naming().map(|column| column.index));
    let target = columns.iter().position(|column| Some(column.index) == index).unwrap_or(0);
    let (index, header) = {
        let column = columns.get(target)?;
        (column.index, column.header.clone())
    };
    let blank = columns[target].text.is_empty();
    if blank {
        NOTHING.clone_into(&mut columns[target].text);
    }
    let chosen = choose(&columns, target, room.min(WIDEST_ROW));
    let (head, values, mark) = lay_out(&columns, &chosen, target, is_header);
    let name = cell(marked.row, index);
    let missing = match (marked.column, marked.path) {
        (None, [_, ..]) => Some(missing(marked, table, found)),
        _ => None,
    };
    let number = u64::from(marked.row) + 1;
    let (row_name, cell_name, title) = match table.grid.is_of_lines() {
        false => {
            let place = match missing {
                Some(_) => format!("{}, row {number}", marked.sheet),
                None => format!("{}!{name}", marked.sheet),
            };
            (format!("row {number}"), format!("cell {name}"), format!("{} › {place}", marked.part))
        }
        true => {
            let column = format!("line {number}, column {}", u64::from(index) + 1);
            (format!("line {number}"), column, format!("{}:{number}", marked.part))
        }
    };
    let label = match &missing {
        Some(missing) => format!("{row_name}: {missing}"),
        None if is_header => format!("{cell_name}, a header"),
        None if blank => format!("{cell_name}, {header}: nothing is stated"),
        None => format!("{cell_name}, {header}"),
    };
    let row = usize::try_from(marked.row).unwrap_or(usize::MAX - 1) + 1;
    let header_row = usize::try_from(table.header_row).unwrap_or(0) + 1;
    Some(if is_header {
        Excerpt {
            title: plain(&title),
            text: head,
            first_line: row,
            first_shown: None,
            mark,
            label,
        }
    } else {
        let start = head.len() + 1;
        Excerpt {
            title: plain(&title),
            text: format!("{head}\n{values}"),
            first_line: row.saturating_sub(1),
            first_shown: Some(header_row),
            mark: start + mark.start..start + mark.end,
            label,
        }
    })
}

/// The excerpt of a row that no record was made of.
fn whole_row(marked: &Marked<'_>, table: &Table, given: &str, room: usize) -> Excerpt {
    let number = usize::try_from(marked.row).unwrap_or(usize::MAX - 1) + 1;
    let text = clean(given, room.min(WIDEST_ROW));
    let (label, title) = match table.grid.is_of_lines() {
        false => {
            (format!("row {number}"), format!("{} › {}, row {number}", marked.part, marked.sheet))
        }
        true => (format!("line {number}"), format!("{}:{number}", marked.part)),
    };
    Excerpt {
        title: plain(&title),
        mark: 0..text.len(),
        text,
        first_line: number,
        first_shown: None,
        label,
    }
}

/// What is said of a value for which the table has no column.
fn missing(marked: &Marked<'_>, table: &Table, found: Option<&Found<'_>>) -> String {
    let is_stated = found.is_some_and(|found| is_stated(found.record, marked.path));
    let what = if table.grid.is_turned() { "row" } else { "column" };
    match (missing_column(table, marked.path), sheet_of(table, marked.path)) {
        (None, Some(sheet)) if is_stated => format!("stated in the sheet {}", sheet.name),
        (Some(column), _) => format!("no {what} for {column}"),
        (None, Some(sheet)) => no_row(sheet, marked.path),
        (None, None) => format!("no {what} for {}", marked.path.join(".")),
    }
}

/// The excerpt of a table that is written sideways: the line that names the records, and the marked one, each with its label.
fn sideways(
    marked: &Marked<'_>,
    table: &Table,
    found: Option<&Found<'_>>,
    provenance: &Provenance,
) -> Option<Excerpt> {
    // In the table's own terms its rows are columns of the sheet.
    let turned = Marked { row: marked.column?, column: Some(marked.row), ..*marked };
    let is_label = turned.row == table.header_row;
    let columns = shown(&turned, table, found, provenance, is_label);
    let target = columns.iter().find(|column| column.index == marked.row)?;
    let naming = table.naming().map(|column| column.index);
    let naming = columns.iter().find(|column| {
        Some(column.index) == naming && column.index != target.index && marked.row > 0
    });
    let blank = target.text.is_empty();
    let text = if blank { NOTHING } else { &target.text };
    let wide = naming.map_or(0, |naming| width(&naming.header)).max(width(&target.header));
    let line = |header: &str, text: &str| match is_label {
        true => header.to_owned(),
        false => format!("{}  {text}", padded(header, wide)),
    };
    let before = naming.map(|naming| line(&naming.header, &naming.text) + "\n").unwrap_or_default();
    let last = line(&target.header, text);
    let marks = if is_label { &*target.header } else { text };
    let end = before.len() + last.len();
    let number = usize::try_from(marked.row).unwrap_or(usize::MAX - 1) + 1;
    let name = cell(marked.row, turned.row);
    let (cell_name, title) = match table.grid.is_of_lines() {
        false => (format!("cell {name}"), format!("{} › {}!{name}", marked.part, marked.sheet)),
        true => (
            format!("line {number}, column {}", u64::from(turned.row) + 1),
            format!("{}:{number}", marked.part),
        ),
    };
    let is_missing = !marked.path.is_empty() && table.column_of(marked.path).is_none();
    let label = match is_missing {
        true => format!("{cell_name}: {}", missing(marked, table, found)),
        false if is_label => format!("{cell_name}, a header"),
        false if blank => format!("{cell_name}, {}: nothing is stated", target.header),
        false => format!("{cell_name}, {}", target.header),
    };
    Some(Excerpt {
        title: plain(&title),
        first_line: number - usize::from(naming.is_some()),
        first_shown: naming
            .map(|naming| usize::try_from(naming.index).unwrap_or(usize::MAX - 1) + 1),
        mark: end - marks.len()..end,
        text: before + &last,
        label,
    })
}

/// The columns of the table with their headers and what the row holds.
fn shown(
    marked: &Marked<'_>,
    table: &Table,
    found: Option<&Found<'_>>,
    provenance: &Provenance,
    is_header: bool,
) -> Vec<Shown> {
    let layout = sheet::find(&table.list);
    let links = match (found, layout) {
        (Some(found), Some(layout)) => found.links(layout),
        _ => Vec::new(),
    };
    let key = layout.and_then(|layout| layout.record.key);
    let text = |column: &Column| {
        if is_header {
            return column.header.to_string();
        }
        if marked.column == Some(column.index)
            && let Some(given) = marked.given
        {
            return given.to_owned();
        }
        let Some(found) = found else {
            return String::new();
        };
        if let Some(text) = provenance.text(found.record.origin(), column.index) {
            return text.to_owned();
        }
        if column.link {
            return link(column, layout, &links);
        }
        if column.path.is_empty() {
            let further = found.record.extra().get(&column.header);
            return further.map(ToString::to_string).unwrap_or_default();
        }
        let way: Vec<String> = column.path.iter().map(|step| (*step).to_owned()).collect();
        value(found.record, &provenance.way_in_file(found.record.origin(), &way), column.unit)
    };
    let mut columns: Vec<_> = table
        .columns
        .iter()
        .map(|column| {
            let most = if marked.column == Some(column.index) { WIDEST_MARKED } else { WIDEST };
            Shown {
                index: column.index,
                header: clean(&column.header, most),
                text: clean(&text(column), most),
                key: column.link || column.is_key(key),
            }
        })
        .collect();
    // A value may stand under no header.
    if let Some(index) = marked.column
        && !columns.iter().any(|column| column.index == index)
    {
        columns.push(Shown {
            index,
            header: format!("({})", letters(index)),
            text: clean(marked.given.unwrap_or_default(), WIDEST_MARKED),
            key: false,
        });
    }
    columns.sort_by_key(|column| column.index);
    columns
}

fn clean(text: &str, most: usize) -> String {
    // A cell may hold tens of thousands of characters, of which a few are looked at.
    let start: String = text.trim().chars().take(most * 8).collect();
    shortened(&plain(&start), most)
}

fn link(
    column: &Column,
    layout: Option<&'static sheet::Sheet>,
    links: &[(&str, String)],
) -> String {
    // A sheet that is not in the layout has its owners under a name of its own.
    let meant = layout.and_then(|layout| {
        let columns = sheet::columns_of(layout);
        let label = sheet::Header::read(&column.header).label;
        let headers = sheet::headers_of(layout);
        let index = headers.find(label).or_else(|| headers.find(&column.header))?;
        match &columns[index] {
            sheet::Column::Link { header } => Some(*header),
            sheet::Column::Value { .. } => None,
        }
    });
    links
        .iter()
        .find(|(header, _)| meant.is_none_or(|meant| *header == meant))
        .map(|(_, name)| name.clone())
        .unwrap_or_default()
}

/// The value as the cell would show it.
fn value(record: &dyn Record, path: &[String], stated: Option<&'static Unit>) -> String {
    let mut view = View::Record(record);
    for name in path {
        view = match view {
            View::Record(record) => record.get(name),
            _ => View::Absent,
        };
    }
    match view {
        View::Absent | View::Record(_) => String::new(),
        View::Number(number) => {
            let unit = path.last().and_then(|name| of_field(name).1);
            shortest(match (unit, stated) {
                (Some(unit), Some(stated)) if unit.dimension == stated.dimension => {
                    unit.convert(number, stated)
                }
                _ => number,
            })
        }
        View::Flag(flag) => if flag { "yes" } else { "no" }.to_owned(),
        View::Text(text) => text.to_owned(),
        View::Date(date) => date.to_string(),
        View::List(list) => {
            let items: Vec<_> = (0..list.len())
                .filter_map(|index| list.item(index).to_value())
                .map(|value| value.to_string())
                .collect();
            list_text(&items)
        }
    }
}

fn column_width(column: &Shown) -> usize {
    width(&column.header).max(width(&column.text))
}

/// The positions of the columns to show: those that name the row, the marked one, and its neighbours as
/// far as there is room.
fn choose(columns: &[Shown], target: usize, room: usize) -> Vec<usize> {
    /// Two spaces between columns.
    const BETWEEN: usize = 2;
    /// Room for the marks of columns left out.
    const LEFT_OUT: usize = 9;
    let mut chosen: Vec<usize> = columns
        .iter()
        .enumerate()
        .filter(|(position, column)| column.key || *position == target)
        .map(|(position, _)| position)
        .collect();
    let own = chosen.iter().map(|position| column_width(&columns[*position]) + BETWEEN);
    let mut taken = own.sum::<usize>() + LEFT_OUT;
    // On each side until one does not fit, so that what is shown hangs together.
    let mut sides = [true, true];
    for distance in 1..=NEIGHBOURS {
        let positions = [target.checked_sub(distance), target.checked_add(distance)];
        for (open, position) in sides.iter_mut().zip(positions) {
            let position = position.filter(|position| *open && *position < columns.len());
            let Some(position) = position.filter(|position| !chosen.contains(position)) else {
                continue;
            };
            let more = column_width(&columns[position]) + BETWEEN;
            if taken + more > room {
                *open = false;
                continue;
            }
            taken += more;
            chosen.push(position);
        }
    }
    chosen.sort_unstable();
    chosen
}

/// The line of headers, the line of values, and the bytes of the marked cell in its line.
fn lay_out(
    columns: &[Shown],
    chosen: &[usize],
    target: usize,
    is_header: bool,
) -> (String, String, std::ops::Range<usize>) {
    let mut head = String::new();
    let mut values = String::new();
    let mut mark = 0..0;
    let mut before: Option<usize> = None;
    for position in chosen {
        let column = &columns[*position];
        if let Some(before) = before {
            let gap = if *position == before + 1 { "  " } else { "  …  " };
            head.push_str(gap);
            values.push_str(gap);
        }
        let wide = column_width(column);
        if *position == target {
            let (line, text) =
                if is_header { (&head, &column.header) } else { (&values, &column.text) };
            mark = line.len()..line.len() + text.len();
        }
        head.push_str(&padded(&column.header, wide));
        values.push_str(&padded(&column.text, wide));
        before = Some(*position);
    }
    (head.trim_end().to_owned(), values.trim_end().to_owned(), mark)
}
