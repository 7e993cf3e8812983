//! Comparing a computed number with a limit.

/// A share that only takes up rounding: a computed number is not exact, and at its limit it still keeps it.
const ROUNDING: f64 = 1e-9;

/// Whether a number is greater than its limit.
pub(crate) fn beyond(value: f64, limit: f64) -> bool {
    value > limit + limit.abs() * ROUNDING
}

/// Whether a number is less than its limit.
pub(crate) fn short_of(value: f64, limit: f64) -> bool {
    value < limit - limit.abs() * ROUNDING
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_at_its_limit_keeps_it() {
        assert!(!beyond(0.1 + 0.2, 0.3) && !short_of(0.3, 0.1 + 0.2));
        assert!(beyond(0.300_001, 0.3) && short_of(0.299_999, 0.3));
        assert!(!beyond(0.0, 0.0) && beyond(0.1, 0.0));
    }
}
