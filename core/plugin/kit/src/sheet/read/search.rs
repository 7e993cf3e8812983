//! The row of headers of a sheet, and sheets that are headed as others are.

use std::collections::{HashMap, HashSet};

use restrand_model::reading::{Grid, Origin, Place, Problem, ProblemKind};
use restrand_model::sheet::{self, Header, Sheet};

use super::header::unit;
use super::{SheetReader, aside};
use crate::frame::{Frame, Frames, Stopped};
use crate::recognise;
use crate::sheet::cell::Cell;
use crate::sheet::further::Further;

/// Rows in which a sheet's headers are looked for.
const HEADER_ROWS: u32 = 30;
/// Of so many headers of the layout one more may be in other words, below no title, and its column is told; more make
/// a sheet as people make them, which is read as a whole.
const FEW: usize = 4;

/// Looks for the row of headers among the first rows of a sheet.
pub struct HeaderSearch {
    pub(super) sheet: &'static Sheet,
    pub(super) part: String,
    pub(super) name: String,
    pub(super) grid: Grid,
    pub(super) rows: u32,
    /// The rows above the headers that say something, with what they say.
    above: Vec<(u32, String)>,
    /// The headers, until the row below them tells whether it holds their units.
    headers: Option<(u32, Vec<(u32, Cell<'static>)>)>,
}

/// What a row was to the search for headers.
pub enum Searched {
    /// No headers; the search goes on.
    No,
    /// The headers.
    Headers,
    /// The first row below the headers, yet to be shown to the reader.
    Row(Box<SheetReader>),
    /// The row right below the headers that holds their units, and nothing to be read.
    Units(Box<SheetReader>),
    /// The headers of a sheet as people make them, with words of the layout among others.
    Foreign,
}

impl HeaderSearch {
    /// A search in the sheet `name` of `part`, whose rows are records of the layout's `sheet`.
    #[must_use]
    pub fn new(sheet: &'static Sheet, part: &str, name: &str) -> Self {
        Self {
            sheet,
            part: part.to_owned(),
            name: name.to_owned(),
            grid: Grid::Cells,
            rows: 0,
            above: Vec::new(),
            headers: None,
        }
    }

    /// A search in a part that is a text with a record of the layout's `sheet` on each line.
    ///
    /// Its rows are numbered by the lines on which they begin.
    #[must_use]
    pub fn of_lines(sheet: &'static Sheet, part: &str) -> Self {
        Self { grid: Grid::Lines, ..Self::new(sheet, part, sheet.name) }
    }

    /// Looks at a row; gives the reader of the rows below once the headers and the row below them have come.
    ///
    /// `table` is the number of table frames before this one.
    ///
    /// # Errors
    /// The taker wants no more.
    pub fn row(
        &mut self,
        row: u32,
        cells: &[(u32, Cell<'_>)],
        table: u32,
        frames: &mut dyn Frames,
    ) -> Result<Searched, Stopped> {
        if let Some((headers, given)) = self.headers.take() {
            let units = aside::units(cells);
            let below = units.as_deref().unwrap_or_default();
            let reader = SheetReader::open(self, headers, &given, below, table, frames)?;
            self.tell_above(frames)?;
            return Ok(match units {
                Some(_) => Searched::Units(Box::new(reader)),
                None => Searched::Row(Box::new(reader)),
            });
        }
        self.rows += 1;
        if !is_headed(self.sheet, cells) {
            let said: Vec<_> = cells
                .iter()
                .filter(|(_, cell)| !cell.is_blank())
                .map(|(_, cell)| cell.shown())
                .collect();
            if !said.is_empty() {
                self.above.push((row, said.join(" | ")));
            }
            return Ok(Searched::No);
        }
        if self.sheet.name == "Tendons" {
            let others = other_headers(self.sheet, cells);
            let most = known_headers(self.sheet, cells) / FEW;
            if others > if self.above.is_empty() { most } else { 0 } {
                return Ok(Searched::Foreign);
            }
        }
        let given = cells.iter().map(|(column, cell)| (*column, cell.clone().into_owned()));
        self.headers = Some((row, given.collect()));
        Ok(Searched::Headers)
    }

    /// The reader of a sheet that ends with its headers.
    ///
    /// # Errors
    /// The taker wants no more.
    pub fn end(
        &mut self,
        table: u32,
        frames: &mut dyn Frames,
    ) -> Result<Option<SheetReader>, Stopped> {
        let Some((row, given)) = self.headers.take() else { return Ok(None) };
        let reader = SheetReader::open(self, row, &given, &[], table, frames)?;
        self.tell_above(frames)?;
        Ok(Some(reader))
    }

    /// Says of the rows above the headers that nothing is taken from them.
    fn tell_above(&mut self, frames: &mut dyn Frames) -> Result<(), Stopped> {
        for (row, said) in std::mem::take(&mut self.above) {
            let place = self.grid.place(&self.part, &self.name, row, None);
            frames.take(Frame::Problem(aside::problem(
                ProblemKind::Unknown,
                &self.name,
                place,
                said,
                "its row stands above the headers, so that no column says what it is",
            )))?;
        }
        Ok(())
    }

    /// Whether the search may end: the headers should have come by now.
    #[must_use]
    pub const fn is_over(&self) -> bool {
        self.rows >= HEADER_ROWS && self.headers.is_none()
    }

    /// The problem of a sheet in which no headers were found.
    #[must_use]
    pub fn not_found(&self) -> Problem {
        let columns = sheet::columns_of(self.sheet);
        let headers: Vec<_> =
            columns.iter().take(6).map(|column| column.header(unit(column))).collect();
        Problem {
            kind: ProblemKind::SheetLost,
            place: match self.grid {
                Grid::Cells | Grid::TurnedCells => {
                    Place::Sheet { part: self.part.clone(), sheet: self.name.clone() }
                }
                Grid::Lines | Grid::TurnedLines => Place::Part { part: self.part.clone() },
            },
            record: Origin::default(),
            subject: self.name.clone(),
            given: None,
            why: "no row of headers was found in its first rows".to_owned(),
            help: format!("the headers of this sheet begin: {}", headers.join(", ")),
        }
    }
}

fn texts<'a>(cells: &'a [(u32, Cell<'_>)]) -> impl Iterator<Item = &'a str> {
    cells.iter().filter_map(|(_, cell)| match cell {
        Cell::Text(text) if !text.trim().is_empty() => Some(text.as_ref()),
        _ => None,
    })
}

/// How many of the cells are headers of the layout's sheet.
#[must_use]
pub fn known_headers(sheet: &'static Sheet, cells: &[(u32, Cell<'_>)]) -> usize {
    let headers = sheet::headers_of(sheet);
    let is_known = |text: &&str| {
        headers.find(Header::read(text).label).is_some() || Further::read(text.trim()).is_some()
    };
    texts(cells).filter(is_known).count()
}

/// Whether the cells are the headers of the layout's sheet.
#[must_use]
pub fn is_headed(sheet: &'static Sheet, cells: &[(u32, Cell<'_>)]) -> bool {
    let known = known_headers(sheet, cells);
    // An office's headers come again for each end or deviator; the layout's do not.
    if repeated_headers(sheet, cells) > 0 && other_headers(sheet, cells) > 0 {
        return false;
    }
    // Some words of the layout are everybody's; what is mostly headed in other words is not in the layout.
    (known >= 2 && (0..known).contains(&other_headers(sheet, cells)))
        // Numbers beside a label are what it names; only where a header stands alone is it one.
        || (known == 1 && cells.iter().filter(|(_, cell)| !cell.is_blank()).count() == 1)
}

/// How many of the cells are headers of the layout's sheet that stand before them already.
fn repeated_headers(sheet: &'static Sheet, cells: &[(u32, Cell<'_>)]) -> usize {
    let headers = sheet::headers_of(sheet);
    let mut met = HashSet::new();
    texts(cells)
        .filter(|text| headers.find(Header::read(text).label).is_some())
        .filter(|text| !met.insert(Header::read(text).label.trim().to_lowercase()))
        .count()
}

/// How many of the cells are headers by which people call fields, and not those of the layout's sheet.
fn other_headers(sheet: &'static Sheet, cells: &[(u32, Cell<'_>)]) -> usize {
    let headers = sheet::headers_of(sheet);
    // A thousand columns may have one header, and each look goes through all that fields are called.
    let mut looked: HashMap<&str, bool> = HashMap::new();
    let is_other = |text: &str| {
        headers.find(Header::read(text).label).is_none()
            && recognise::is_called_so(sheet.name, text)
    };
    texts(cells).filter(|text| *looked.entry(text).or_insert_with(|| is_other(text))).count()
}

/// Looks at a sheet that the layout does not have, for it may be one of the layout under another name.
pub struct ForeignSheet {
    /// The sheet that its name most likely means.
    meant: Option<&'static Sheet>,
    rows: u32,
}

impl ForeignSheet {
    /// A sheet of this name, of which nothing has been seen.
    #[must_use]
    pub fn new(name: &str) -> Self {
        Self { meant: sheet::meant_by(name), rows: 0 }
    }

    /// Looks at a row; gives the sheet of the layout whose headers stand in it.
    pub fn row(&mut self, cells: &[(u32, Cell<'_>)]) -> Option<&'static Sheet> {
        self.rows += 1;
        // A name may mean many things, and headers are what the rows are read by. Some of them are everybody's:
        // a sheet is one of the layout where most are the layout's.
        let is_most =
            |sheet: &&'static Sheet| 2 * known_headers(sheet, cells) > texts(cells).count();
        sheet::headed_by(texts(cells), self.meant)
            .filter(|sheet| is_most(sheet) && other_headers(sheet, cells) == 0)
            .or_else(|| self.meant.filter(|sheet| is_headed(sheet, cells)))
    }

    /// Whether the search may end: the headers should have come by now.
    #[must_use]
    pub const fn is_over(&self) -> bool {
        self.rows >= HEADER_ROWS
    }

    /// The sheet that its name alone means.
    #[must_use]
    pub const fn meant(&self) -> Option<&'static Sheet> {
        self.meant
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn is_own(name: &str, headers: &[&str]) -> bool {
        let sheet = sheet::SHEETS.iter().find(|sheet| sheet.name == name).expect("a sheet");
        let cells: Vec<(u32, Cell<'_>)> =
            (0..).zip(headers).map(|(at, text)| (at, Cell::Text((*text).into()))).collect();
        is_headed(sheet, &cells)
    }

    #[test]
    fn a_sheet_of_another_name_is_one_of_the_layout_where_most_headers_are() {
        let meant = |headers: &[&str]| {
            let cells: Vec<(u32, Cell<'_>)> =
                (0..).zip(headers).map(|(at, text)| (at, Cell::Text((*text).into()))).collect();
            ForeignSheet::new("Bends").row(&cells).map(|sheet| sheet.name)
        };
        let few = ["Tendon", "Dev. mark", "Station (m)", "Total turn (°)", "Form bore (mm)"];
        assert_eq!(meant(&[&few[..], &["Swept by", "Length (mm)"]].concat()), None);
        let most = ["Tendon", "Station [m]", "Kind", "Length [mm]", "Swept by"];
        assert_eq!(meant(&most), Some("DuctJoints"));
    }

    #[test]
    fn headers_of_an_office_are_none_of_the_layout_though_some_fit() {
        for (name, headers) in [
            ("Deviators", &["Ch. (m)", "Level (m)", "Angle (deg)", "Ch. (m)", "Angle (deg)"][..]),
            ("Deviators", &["Tendon", "Ch. (m)", "Level (m)", "Angle (deg)"]),
            ("Ends", &["Tendon", "Chainage", "Level", "Anchorage", "Jacking force"]),
            ("Points", &["Tendon", "Ch. (m)", "Level (m)", "Deviation angle", "Place"]),
        ] {
            assert!(!is_own(name, headers), "{name}: {headers:?}");
        }
        for (name, headers) in [
            ("Deviators", &["Tendon", "Place", "Form", "Angle [rad]"][..]),
            ("Deviators", &["Tendon", "Place", "Angle [rad]", "Ch. (m)"]),
            ("Ends", &["Tendon", "End", "Place", "Kind", "Level"]),
            ("Points", &["Tendon", "Station [m]", "Elevation [m]", "Colour", "Colour"]),
        ] {
            assert!(is_own(name, headers), "{name}: {headers:?}");
        }
    }
}
