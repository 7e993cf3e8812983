//! Short ways to say what a record holds.

use restrand_model::reflect::Link;
use restrand_model::schedule::{One, Text};

/// A text.
pub(super) fn text(text: impl Into<Box<str>>) -> Text {
    Some(text.into())
}

/// The name of another record.
pub(super) fn link<R>(key: impl Into<Box<str>>) -> Option<Link<R>> {
    Some(Link::to(key))
}

/// A record in a field of its own.
pub(super) fn one<R>(record: R) -> One<R> {
    Some(Box::new(record))
}

/// A computed value with as many decimals as a schedule gives; never minus zero.
pub(super) fn rounded(value: f64, decimals: i32) -> f64 {
    let scale = 10f64.powi(decimals);
    (value * scale).round() / scale + 0.0
}
