//! Numbers for people.

/// Significant digits kept when a converted value is shown: fewer than a float holds, so that
/// `457.20000000000005` reads `457.2`, and more than any drawing gives.
const SIGNIFICANT: usize = 12;

/// The shortest decimal form of a value, without the noise that unit conversion leaves.
///
/// ```
/// use restrand_model::quantity::shortest;
/// assert_eq!(shortest(457.200_000_000_000_05), "457.2");
/// assert_eq!(shortest(-0.0), "0");
/// assert_eq!(shortest(1e308), "1e308");
/// ```
#[must_use]
pub fn shortest(value: f64) -> String {
    let rounded: f64 = format!("{value:.*e}", SIGNIFICANT - 1).parse().unwrap_or(value);
    match rounded.abs() {
        0.0 => "0".to_owned(),
        // Beyond these a person cannot count the zeros.
        size if !(1e-9..1e15).contains(&size) => format!("{rounded:e}"),
        _ => rounded.to_string(),
    }
}
