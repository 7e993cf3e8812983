//! Tendons as lines in space, with the radius of the duct on each leg: what the rules on neighbours sweep over.

use restrand_model::schedule::Duct;

use super::near_concrete_or_neighbour::sweep::Stretch;
use crate::context::{Context, TendonAt};
use crate::tendon_path::LaidTendon;

/// A tendon that is laid out, with the radius of its duct on each leg, mm.
pub(crate) struct Line<'a, 'c> {
    pub(crate) at: TendonAt<'a>,
    pub(crate) laid: &'c LaidTendon,
    pub(crate) radii_mm: Vec<f64>,
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
        let radius_mm = |leg: usize| {
            let [from_m, to_m] = stations_m(&at, leg);
            let duct = context.duct_at(at.tendon, f64::midpoint(from_m, to_m));
            Ok(outer_mm(duct.ok_or("tendon.duct")?.record)? / 2.0)
        };
        let radii_mm: Result<_, &'static str> = (0..laid.path.legs.len()).map(radius_mm).collect();
        Ok(Self { radii_mm: radii_mm?, at, laid })
    }
}

/// The stations between which a leg runs, m.
fn stations_m(at: &TendonAt<'_>, leg: usize) -> [f64; 2] {
    [leg, leg + 1].map(|point| at.tendon.points[point].station_m.unwrap_or(0.0))
}

/// The legs of all lines as cylinders.
pub(crate) fn stretches(lines: &[Line<'_, '_>]) -> Vec<Stretch> {
    let mut stretches = Vec::new();
    for (position, line) in lines.iter().enumerate() {
        for (index, leg) in line.laid.path.legs.iter().enumerate() {
            let stations_m = stations_m(&line.at, index);
            stretches.push(Stretch::of((position, index), stations_m, leg, line.radii_mm[index]));
        }
    }
    stretches
}
