//! The catalogue of rules.
//!
//! A rule is a file with a page beside it: the file finds, the page explains.
//! Rules see the schedule, what its reading met, and the limits of the rulebook; they must not know files,
//! formats, the clock or how findings are shown.
//! No limit is written here: each comes from the rulebook with what it rests on.

mod assembly;
mod beyond;
mod book;
mod catalogue;
mod code;
mod context;
mod duct_lengths;
pub mod ends;
mod mended;
mod rule;
mod tendon_path;
pub mod ways;
pub mod works;

mod access;
mod anchorage;
mod deviator;
mod duct;
mod filler;
mod parts;
mod path;
mod replacement;
mod schedule;
mod space;
mod strand;
mod stressing;

pub use assembly::{Assembly, Axis, Owner, call};
pub use book::{
    Allowed, FillerRow, Limit, Required, RequiredPart, RolePermanence, Rulebook, Waiver,
};
pub use catalogue::{CATALOGUE, corrections, find, limit_keys};
pub use code::Declared;
pub use context::{Context, EndAt, Found, TendonAt};
pub use duct_lengths::DuctLength;
pub use rule::{Check, Corrects, LimitKey, Rule};
pub use tendon_path::{Corner, DeviatorSpot, Impossible, LaidTendon, NoPath, RadiusFrom, extent_m};
