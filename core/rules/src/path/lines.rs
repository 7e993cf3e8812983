//! Tendons as lines in space, as wide as their ducts: what the rules on neighbours sweep over.

use restrand_model::schedule::Duct;

use super::near_concrete_or_neighbour::sweep::Stretch;
use crate::context::{Context, TendonAt};
use crate::duct_lengths::DuctOnLeg;
use crate::tendon_path::LaidTendon;

/// A tendon that is laid out, with the outside of its duct along each leg, mm.
pub(crate) struct Line<'a, 'c> {
    pub(crate) at: TendonAt<'a>,
    pub(crate) laid: &'c LaidTendon,
    pub(crate) ducts: Vec<DuctOnLeg<f64>>,
}

impl<'a, 'c> Line<'a, 'c> {
    /// The line of a tendon; `outer_mm` says how wide a duct is taken.
    ///
    /// # Errors
    /// The field without which it is not known.
    pub(crate) fn of(
        context: &'c Context<'_>,
        at: TendonAt<'a>,
        outer_mm: impl Fn(&Duct) -> Result<f64, &'static str>,
    ) -> Result<Self, &'static str> {
        let laid = context.path(&at).map_err(|none| none.field())?;
        Ok(Self { ducts: context.duct_on_legs(&at, outer_mm)?, at, laid })
    }
}

/// The ducts of all lines as cylinders.
pub(crate) fn stretches(lines: &[Line<'_, '_>]) -> Vec<Stretch> {
    let all = lines.iter().enumerate();
    all.flat_map(|(tendon, line)| line.ducts.iter().map(move |duct| Stretch::of(tendon, duct)))
        .collect()
}
