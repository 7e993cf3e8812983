//! What a member of the document's root is.

use restrand_model::reflect::{EXTRA, FieldInfo, RecordInfo, Shape};
use restrand_model::schedule::Schedule;

/// The name of the member that says the version.
pub(crate) const VERSION_MEMBER: &str = "restrand";

/// A member of the root.
#[derive(Clone, Copy)]
pub(crate) enum Member {
    /// The version of the format.
    Version,
    /// One record.
    One(&'static FieldInfo, &'static RecordInfo),
    /// Records in order.
    Many(&'static FieldInfo, &'static RecordInfo),
    /// What no field takes.
    Extra,
}

impl Member {
    /// The member of this name.
    pub(crate) fn of_name(name: &str) -> Option<Self> {
        if name == EXTRA {
            return Some(Self::Extra);
        }
        let field = Schedule::INFO.field(name)?;
        match field.shape {
            Shape::Record(info) => Some(Self::One(field, info())),
            Shape::Records(info) => Some(Self::Many(field, info())),
            _ => (name == VERSION_MEMBER).then_some(Self::Version),
        }
    }

    /// The name of the member.
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Version => VERSION_MEMBER,
            Self::One(field, _) | Self::Many(field, _) => field.name,
            Self::Extra => EXTRA,
        }
    }
}

/// The member that a person most likely meant, if one is near enough to be worth naming.
pub(crate) fn nearest(written: &str) -> Option<&'static str> {
    /// No name is longer, and the likeness costs the product of both lengths.
    const LONGEST: usize = 64;
    if written.len() > LONGEST {
        return None;
    }
    restrand_model::near::nearest(written, Schedule::INFO.fields.iter().map(|field| field.name))
}
