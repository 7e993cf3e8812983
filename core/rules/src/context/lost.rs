//! What was stated but could not be read: told where it was read, so that no rule calls it absent.

use restrand_model::reading::Origin;
use restrand_model::route::Route;
use restrand_model::sheet;

use super::Context;

impl Context<'_> {
    /// Whether the value at the end of a route, or a record on the way to it, was stated but could not be
    /// read, which is reported at its place.
    #[must_use]
    pub fn is_lost_at(&self, route: &Route) -> bool {
        if self.lost.is_empty() {
            return false;
        }
        let (record, path) = route.source(self.schedule);
        (1..=path.len()).any(|length| self.is_lost(record, &path[..length].join(".")))
    }

    /// Whether a value, or the record that holds it, was stated but could not be read, which is reported at
    /// its place.
    #[must_use]
    pub fn is_lost(&self, record: Origin, path: &str) -> bool {
        !self.lost.is_empty()
            && record.get().is_some_and(|(table, position)| {
                whole_or_within(path)
                    .any(|path| self.lost.contains(&(table, position, path.to_owned())))
            })
    }

    /// Whether the column that holds a value of this record type could not be read as a whole, which is
    /// reported at its header.
    #[must_use]
    pub fn is_lost_column(&self, record: &'static str, path: &str) -> bool {
        !self.lost_columns.is_empty() && self.lost_columns.contains(&(record, path.to_owned()))
    }
}

/// A path, and those of the records that hold it.
fn whole_or_within(path: &str) -> impl Iterator<Item = &str> {
    std::iter::successors(Some(path), |path| path.rsplit_once('.').map(|(whole, _)| whole))
}

/// The record type and the path that a column holds, of a problem with its header: `Strands: Area [in]`.
pub(crate) fn column_of(subject: &str) -> Option<(&'static str, String)> {
    let (name, header) = subject.split_once(": ")?;
    let sheet = sheet::find(name)?;
    let columns = sheet::columns_of(sheet);
    match &columns[sheet::headers_of(sheet).find(sheet::Header::read(header).label)?] {
        sheet::Column::Value { path, .. } => Some((sheet.record.name, path.join("."))),
        sheet::Column::Link { .. } => None,
    }
}
