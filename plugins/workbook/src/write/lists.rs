//! Drop-downs: words of closed lists, and names of records of other sheets.
//!
//! What stands in no list draws a warning and can be kept all the same: the check says what it thinks of it.

use restrand_kit::sheet::SheetOut;
use restrand_model::reflect::Shape;
use restrand_model::sheet::{self, Column, Hop, Into, Sheet};
use rust_xlsxwriter::utility::column_number_to_name;
use rust_xlsxwriter::{DataValidation, DataValidationErrorStyle, Formula, Worksheet, XlsxError};

use super::book::Filling;

/// Rows below the last one that have drop-downs too.
const MORE_ROWS: u32 = 200;

/// What can be chosen in a column.
enum Source {
    /// These words.
    Words(Vec<&'static str>),
    /// The names in this range.
    Range(String),
}

/// The lists of one workbook.
pub(super) struct Lists<'a> {
    out: &'a [SheetOut],
    filling: Filling,
}

impl<'a> Lists<'a> {
    pub(super) fn of(out: &'a [SheetOut], filling: Filling) -> Self {
        Self { out, filling }
    }

    /// The last row, from zero, in which the column of a sheet can be filled.
    fn last_row(&self, out: &SheetOut) -> u32 {
        let rows = u32::try_from(out.rows.len()).unwrap_or(u32::MAX);
        let last = match self.filling {
            Filling::None => rows.saturating_add(MORE_ROWS),
            Filling::Rows { rows: to_fill, .. } => rows.max(to_fill),
        };
        last.min(crate::reading::ROWS - 1)
    }

    /// Gives a column its drop-down, if what it holds can be chosen.
    pub(super) fn add(
        &self,
        worksheet: &mut Worksheet,
        out: &SheetOut,
        column: u16,
    ) -> Result<(), XlsxError> {
        let of_layout = out.columns[usize::from(column)];
        let Some(source) = of_layout.and_then(|of_layout| self.source(out.sheet, of_layout)) else {
            return Ok(());
        };
        let choice = match source {
            Source::Words(words) => DataValidation::new().allow_list_strings(&words)?,
            Source::Range(range) => DataValidation::new().allow_list_formula(Formula::new(range)),
        };
        let choice = choice
            .set_error_style(DataValidationErrorStyle::Warning)
            .set_error_title("Not in the list")?
            .set_error_message("The list has no such entry. Keep it all the same?")?;
        worksheet.add_data_validation(1, column, self.last_row(out), column, &choice)?;
        Ok(())
    }

    fn source(&self, sheet: &Sheet, column: &Column) -> Option<Source> {
        match column {
            Column::Link { header } => self.owners(sheet, header),
            Column::Value { field, .. } => match field.0.shape {
                Shape::Flag => Some(Source::Words(vec!["yes", "no"])),
                Shape::Choice(words) => {
                    Some(Source::Words(words.iter().map(|word| word.name).collect()))
                }
                Shape::Link(list) => self.keys(list),
                _ => None,
            },
        }
    }

    /// The names of records of the schedule's list.
    fn keys(&self, list: &str) -> Option<Source> {
        let target = sheet::of_root(list)?;
        let out = self.out.iter().find(|out| out.sheet.name == target.name)?;
        let key = target.record.key?;
        let is_key = |column: &Option<&Column>| matches!(column, Some(Column::Value { path, .. }) if *path == [key]);
        let column = u16::try_from(out.columns.iter().position(is_key)?).ok()?;
        let column = column_number_to_name(column);
        let last = self.last_row(out) + 1;
        Some(Source::Range(format!("={}!${column}$2:${column}${last}", target.name)))
    }

    /// What a link column can name.
    fn owners(&self, sheet: &Sheet, link: &str) -> Option<Source> {
        for target in sheet.targets {
            for hop in target.owner {
                match hop {
                    Hop::Item { list, link: of_hop } if *of_hop == link => {
                        return self.keys(list);
                    }
                    Hop::Slot { link: of_hop, fields } if *of_hop == link => {
                        return Some(Source::Words(fields.to_vec()));
                    }
                    _ => {}
                }
            }
            if let Into::Slot { link: of_slot, fields } = target.into
                && of_slot == link
            {
                return Some(Source::Words(fields.to_vec()));
            }
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use restrand_model::schema;

    #[test]
    fn every_closed_list_fits_into_a_drop_down() {
        for info in schema::records() {
            for field in info.fields {
                if let Shape::Choice(words) = field.shape {
                    let words: Vec<_> = words.iter().map(|word| word.name).collect();
                    let made = DataValidation::new().allow_list_strings(&words);
                    assert!(made.is_ok(), "{}.{}", info.name, field.name);
                }
            }
        }
    }
}
