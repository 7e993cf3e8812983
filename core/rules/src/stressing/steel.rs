//! The steel of a tendon: what its stresses are reckoned with.

use restrand_mechanics::friction::stress_mpa;
use restrand_mechanics::stress::Strength;
use restrand_model::schedule::{Strand, Tendon};

use crate::context::{Context, Found};

/// The strands of a tendon.
#[derive(Debug, Clone)]
pub(crate) struct Steel<'a> {
    /// Their kind.
    pub(crate) strand: Found<'a, Strand>,
    /// How many there are.
    pub(crate) strands: u32,
    /// Nominal area of all of them, mm².
    pub(crate) area_mm2: f64,
}

impl<'a> Steel<'a> {
    /// The strands of a tendon; the field that is absent where they are not known.
    pub(crate) fn of(context: &Context<'a>, tendon: &Tendon) -> Result<Self, &'static str> {
        let strands =
            tendon.strand_count.filter(|count| *count > 0).ok_or("tendon.strand_count")?;
        let strand = context.strand(tendon).ok_or("tendon.strand")?;
        let one_mm2 = strand.record.area_mm2.ok_or("strand.area_mm2")?;
        Ok(Self { strand, strands, area_mm2: f64::from(strands) * one_mm2 })
    }

    /// The stress of a force in all strands, MPa; a force that is none of this trade has none.
    pub(crate) fn stress_mpa(&self, force_kn: f64) -> Option<f64> {
        stress_mpa(force_kn, self.area_mm2).ok()
    }

    /// The modulus of the strand, MPa.
    pub(crate) fn e_mpa(&self) -> Result<f64, &'static str> {
        self.strand.record.e_mpa.ok_or("strand.e_mpa")
    }

    /// The strengths of the strand, the yield stress where its ratio is stated.
    pub(crate) fn strength(&self) -> Result<Strength, &'static str> {
        let fpu_mpa = self.strand.record.fpu_mpa.ok_or("strand.fpu_mpa")?;
        let proof_mpa = self.strand.record.yield_ratio.map(|ratio| ratio * fpu_mpa);
        Ok(Strength { fpu_mpa, proof_mpa })
    }
}
