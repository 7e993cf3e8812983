//! One workbook as it grows.

use restrand_kit::sheet::{Cells, SheetOut};
use restrand_kit::{Content, Loss, SideTable};
use restrand_model::quantity::System;
use restrand_model::route::{Names, Route};
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Workbook, XlsxError};

use super::lists::Lists;
use super::look::Look;
use super::page::Page;
use super::{aside, beside, sheet};

/// What is prepared below the rows of a sheet.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Filling {
    /// Drop-downs for some more rows, as in any schedule.
    None,
    /// Rows for people to fill, with what follows from them.
    Rows {
        /// How many rows below the headers can be filled.
        rows: u32,
        /// The units of what the columns behind the layout's show.
        system: System,
    },
}

/// A workbook that is being made.
pub(crate) struct Book<'a> {
    pub(crate) workbook: Workbook,
    pub(crate) look: Look,
    pub(crate) page: Page,
    pub(super) filling: Filling,
    pub(super) lists: Lists<'a>,
    pub(super) losses: Vec<Loss>,
    content: &'a Content<'a>,
    pub(super) out: &'a [SheetOut],
    names: Names,
}

impl<'a> Book<'a> {
    pub(crate) fn new(
        content: &'a Content<'a>,
        out: &'a [SheetOut],
        filling: Filling,
    ) -> Result<Self, XlsxError> {
        let mut workbook = Workbook::new();
        let created = ExcelDateTime::from_ymd(2000, 1, 1)?;
        workbook.set_properties(&DocProperties::new().set_creation_datetime(&created));
        Ok(Self {
            workbook,
            look: Look::new(),
            page: Page::of(content.schedule),
            filling,
            lists: Lists::of(out, filling),
            losses: Vec::new(),
            content,
            out,
            names: Names::of(content.schedule),
        })
    }

    /// Writes the sheets of the schedule.
    pub(crate) fn sheets(&mut self) -> Result<(), XlsxError> {
        // The longest first, so that none is left alone at the end.
        let mut order: Vec<usize> = (0..self.out.len()).collect();
        let cells = |at: usize| self.out[at].rows.len() * self.out[at].headers.len();
        order.sort_by_key(|at| std::cmp::Reverse(cells(*at)));
        let made = beside::each(&order, &|at| sheet::make(self, &self.out[*at]));
        let mut made: Vec<_> = order.into_iter().zip(made).collect();
        made.sort_by_key(|(at, _)| *at);
        for (_, made) in made {
            let (worksheet, losses) = made?;
            self.workbook.push_worksheet(worksheet);
            self.losses.extend(losses);
        }
        Ok(())
    }

    /// Writes tables that are no part of the schedule.
    pub(crate) fn tables(&mut self, tables: &[SideTable]) -> Result<(), XlsxError> {
        let cells = Cells::of(self.out);
        for table in tables {
            let worksheet = self.workbook.add_worksheet();
            let leads = |route: &Route| {
                let at = cells.find(route)?;
                Some((self.out[at.sheet].sheet.name, at))
            };
            aside::write_table(worksheet, table, &self.look, &leads, &mut self.losses)?;
            self.page.set_up(worksheet, aside::HEADER_ROW);
        }
        Ok(())
    }

    /// The bytes of the workbook, and what it could not carry.
    pub(crate) fn finish(mut self) -> Result<(Vec<u8>, Vec<Loss>), XlsxError> {
        Ok((self.workbook.save_to_buffer()?, self.losses))
    }

    /// The route of a record, and of a value in it, as people read it.
    pub(super) fn route(&self, record: &Route, below: &str) -> String {
        let record = self.names.show(record, self.content.schedule);
        match (record.is_empty(), below.is_empty()) {
            (_, true) => record,
            (true, false) => below.to_owned(),
            (false, false) => format!("{record}.{below}"),
        }
    }
}
