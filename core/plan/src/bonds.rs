//! Parts that have to leave but are bonded, out of reach, to what stays.

use restrand_model::resolve::ResolvedPart;
use restrand_model::route::Route;
use restrand_model::schedule::{Bond, Part, Permanence};

/// The word in `bonded_to` for concrete.
const CONCRETE: &str = "concrete";
/// The word in `bonded_to` for nothing.
const NOTHING: &str = "none";

/// A bond that nobody can reach.
pub(crate) struct OutOfReach {
    /// The part that has to leave.
    pub(crate) part: String,
    /// What it is bonded to.
    pub(crate) to: String,
    /// Where that is stated.
    pub(crate) place: Route,
}

/// The bonds out of reach among the parts of an anchorage or a form, whichever side records them.
pub(crate) fn out_of_reach(parts: &[ResolvedPart<'_>]) -> Vec<OutOfReach> {
    let mut bonds = Vec::new();
    for resolved in parts {
        let part = resolved.part.as_ref();
        let lets_go = matches!(part.bond, Some(Bond::None | Bond::Wax));
        if part.bond_accessible != Some(false) || lets_go {
            continue;
        }
        let name = part.bonded_to.as_deref().map(str::trim);
        let other = name.and_then(|name| named(parts, name));
        let is_concrete = match name {
            Some(name) => name.eq_ignore_ascii_case(CONCRETE),
            None => part.bond == Some(Bond::Concrete),
        };
        let leaves = |part: &Part| part.permanence == Some(Permanence::Replaceable);
        let stays = |part: &Part| part.permanence == Some(Permanence::Permanent);
        let bond = match other {
            _ if name.is_some_and(|name| name.eq_ignore_ascii_case(NOTHING)) => None,
            None if is_concrete && leaves(part) => {
                Some((restrand_rules::call(part), CONCRETE.to_owned()))
            }
            Some(other) if leaves(part) && stays(other) => {
                Some((restrand_rules::call(part), restrand_rules::call(other)))
            }
            Some(other) if stays(part) && leaves(other) => {
                Some((restrand_rules::call(other), restrand_rules::call(part)))
            }
            _ => None,
        };
        if let Some((part, to)) = bond {
            bonds.push(OutOfReach { part, to, place: resolved.route.field("bonded_to") });
        }
    }
    bonds
}

fn named<'p>(parts: &'p [ResolvedPart<'_>], name: &str) -> Option<&'p Part> {
    let mut parts = parts.iter().map(|resolved| resolved.part.as_ref());
    parts.find(|part| part.id.as_deref().is_some_and(|id| id.trim().eq_ignore_ascii_case(name)))
}
