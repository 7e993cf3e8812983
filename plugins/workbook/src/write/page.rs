//! How sheets are printed.

use restrand_model::schedule::Schedule;
use rust_xlsxwriter::Worksheet;

/// The number of the paper size A3.
const A3: u8 = 8;
/// Letters that a footer can hold, with its marks.
const LONGEST_FOOTER: usize = 255;

/// What every page says.
pub(crate) struct Page {
    footer: String,
}

impl Page {
    /// The pages of a document: its drawing, revision and bridge, the sheet's name, the page.
    ///
    /// There is no date of printing: what is written must not depend on the clock.
    pub(crate) fn of(schedule: &Schedule) -> Self {
        let project = schedule.project.as_deref();
        let revision = project.and_then(|project| project.revision.as_deref());
        let revision = revision.map(|revision| format!("rev. {revision}"));
        let named = |text: Option<&str>| text.map(str::to_owned);
        let document: Vec<_> = [
            named(project.and_then(|project| project.bridge.as_deref())),
            named(project.and_then(|project| project.drawing.as_deref())),
            revision,
        ]
        .into_iter()
        .flatten()
        .collect();
        let mut document = document.join(" · ").replace(['\n', '\r'], " ").replace('&', "&&");
        let rest = "&C&A&R&P / &N";
        // Two marks of one sign must not be parted.
        while document.encode_utf16().count() + rest.len() + 2 > LONGEST_FOOTER {
            document.pop();
            if document.ends_with('&') && !document.ends_with("&&") {
                document.pop();
            }
        }
        Self { footer: format!("&L{document}{rest}") }
    }

    /// Sets a sheet up: A3 landscape, as wide as the page, the headers down to this row on each page.
    pub(crate) fn set_up(&self, worksheet: &mut Worksheet, header_row: u32) {
        worksheet
            .set_landscape()
            .set_paper_size(A3)
            .set_print_fit_to_pages(1, 0)
            .set_footer(&self.footer);
        let repeated = worksheet.set_repeat_rows(header_row, header_row);
        debug_assert!(repeated.is_ok(), "the row lies within the sheet");
    }
}
