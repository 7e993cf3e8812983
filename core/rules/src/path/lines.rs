//! Tendons as lines in space, as wide as their ducts: what the rules on neighbours sweep over.

use restrand_finding::{Finding, Outcomes};
use restrand_model::schedule::Duct;

use super::near_concrete_or_neighbour::sweep::Stretch;
use crate::context::{Context, TendonAt};
use crate::duct_lengths::{Bound, DuctOnLeg};
use crate::tendon_path::LaidTendon;

/// A tendon that is laid out, with the outside of its duct along each leg, mm.
pub(crate) struct Line<'a, 'c> {
    pub(crate) at: TendonAt<'a>,
    pub(crate) laid: &'c LaidTendon,
    pub(crate) ducts: Vec<DuctOnLeg<f64>>,
    /// The field without which it is not known where each duct lies: the narrowest counts, and what is clear of that one
    /// is not shown to be clear.
    pub(crate) lacks: Option<&'static str>,
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
        let (ducts, lacks) = match context.duct_on_legs(&at, &outer_mm) {
            Ok(ducts) => (ducts, None),
            Err(field) => {
                let narrowest = context.bounded_on_legs(&at, &outer_mm, Bound::Narrowest);
                (narrowest.map_err(|_| field)?, Some(field))
            }
        };
        Ok(Self { at, laid, ducts, lacks })
    }

    /// Counts that nothing was found near it.
    pub(crate) fn is_clear(&self, outcomes: &mut Outcomes) {
        match self.lacks {
            Some(field) => outcomes.not_evaluated(field),
            None => outcomes.pass(),
        }
    }
}

/// Says of a finding on lines that what it tells is so even with the narrowest ducts, where these count.
pub(crate) fn even_so(mut finding: Finding, lines: &[&Line<'_, '_>]) -> Finding {
    if lines.iter().any(|line| line.lacks.is_some()) {
        finding.help.push_str(
            ". Where each duct begins and ends is not stated: the narrowest counts here, and there may be less room",
        );
    }
    finding
}

/// The ducts of all lines as cylinders.
pub(crate) fn stretches(lines: &[Line<'_, '_>]) -> Vec<Stretch> {
    let all = lines.iter().enumerate();
    all.flat_map(|(tendon, line)| line.ducts.iter().map(move |duct| Stretch::of(tendon, duct)))
        .collect()
}
