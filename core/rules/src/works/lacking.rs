//! What a tendon lacks for its stressing to be worked out, field by field.

use restrand_model::schedule::{EndName, Stressing};

use super::stressed;
use crate::context::{Context, TendonAt};
use crate::stressing::jacked;

/// Every field that a tendon lacks for its forces and elongations, in the order in which people look for them; none
/// where they are known.
#[must_use]
pub fn lacking_for_stressing(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    jacking_kn: Option<f64>,
) -> Vec<&'static str> {
    let Err(first) = stressed(context, at, jacking_kn) else { return Vec::new() };
    let tendon = at.tendon;
    let mut lacks = Vec::new();
    let mut want = |is_there: bool, field: &'static str| {
        if !is_there {
            lacks.push(field);
        }
    };
    let strand = context.strand(tendon).map(|found| found.record);
    want(tendon.strand_count.is_some_and(|count| count > 0), "tendon.strand_count");
    want(strand.is_some(), "tendon.strand");
    if let Some(strand) = strand {
        want(strand.area_mm2.is_some(), "strand.area_mm2");
        want(strand.e_mpa.is_some(), "strand.e_mpa");
    }
    if let Err(none) = context.path(at) {
        want(false, none.field());
    }
    let none = Stressing::default();
    let stressing = tendon.stressing.as_deref().unwrap_or(&none);
    want(stressing.from.is_some(), "stressing.from");
    if jacking_kn.is_none() && stressing.jacking_force_kn.is_none() {
        want(stressing.jacking_share.is_some(), "stressing.jacking_force_kn");
        if let Some(strand) = strand.filter(|_| stressing.jacking_share.is_some()) {
            want(strand.fpu_mpa.is_some(), "strand.fpu_mpa");
        }
    }
    // Lengths of duct may state a friction of their own; whether they do everywhere, the first error knows.
    if tendon.duct_runs.is_empty() {
        want(stressing.mu.is_some(), "stressing.mu");
        let wobble = stressing.wobble_per_m.or(stressing.unintended_angle_rad_per_m);
        want(wobble.is_some(), "stressing.wobble_per_m");
    }
    let turns = context
        .path(at)
        .is_ok_and(|laid| (0..laid.path.bends.len()).any(|bend| laid.is_deviated_at(bend)));
    if turns {
        want(stressing.inadvertent_angle_rad.is_some(), "stressing.inadvertent_angle_rad");
    }
    let jacked: &[EndName] = jacked::ends_of(tendon).unwrap_or(&[]);
    let is_set = |name: &EndName| {
        let end = at.ends().find(|end| end.name == *name);
        end.and_then(|end| end.end.set_mm).or(stressing.set_mm).is_some()
    };
    want(jacked.iter().all(is_set), "stressing.set_mm");
    // A record that is absent as a whole is told by its fields.
    if first != "tendon.stressing" && !lacks.contains(&first) {
        lacks.insert(0, first);
    }
    lacks
}
