//! Columns and cells as spreadsheet programs name them.

/// The letters of a column, counted from zero.
///
/// ```
/// use restrand_report::letters;
/// assert_eq!(letters(0), "A");
/// assert_eq!(letters(25), "Z");
/// assert_eq!(letters(26), "AA");
/// assert_eq!(letters(16_383), "XFD");
/// ```
#[must_use]
pub fn letters(column: u32) -> String {
    let mut reversed = Vec::new();
    // One more than the column may not fit the smaller type.
    let mut rest = u64::from(column) + 1;
    while rest > 0 {
        rest -= 1;
        reversed.push(b'A' + u8::try_from(rest % 26).unwrap_or(0));
        rest /= 26;
    }
    reversed.iter().rev().map(|letter| char::from(*letter)).collect()
}

/// The name of a cell, row and column counted from zero.
///
/// ```
/// assert_eq!(restrand_report::cell(16, 4), "E17");
/// ```
#[must_use]
pub fn cell(row: u32, column: u32) -> String {
    format!("{}{}", letters(column), u64::from(row) + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_column_that_a_number_can_name_has_letters() {
        assert_eq!(letters(701), "ZZ");
        assert_eq!(letters(702), "AAA");
        assert_eq!(cell(1_048_575, 16_383), "XFD1048576");
        assert_eq!(letters(u32::MAX), "MWLQKWV");
    }
}
