//! Which duct is round the strands where, of tendons whose duct changes on the way.

mod on_legs;

use restrand_model::schedule::{Duct, EndName, Tendon};

use crate::context::{Context, Found, TendonAt};
use crate::tendon_path::DeviatorSpot;
use crate::works::Along;
pub(crate) use on_legs::{Bound, DuctOnLeg};

/// A stretch of a tendon with one kind of duct.
#[derive(Debug, Clone)]
pub struct DuctLength<'a> {
    /// From which station to which, m; the first has no beginning, and the last no end.
    pub stations_m: [f64; 2],
    /// The duct.
    pub duct: Found<'a, Duct>,
}

impl<'a> Context<'a> {
    /// The duct of a tendon, stretch after stretch without a gap.
    ///
    /// What no stated length reaches over has the tendon's duct, or where none is stated that of the length beside it:
    /// that lengths gape or overlap is told by the rule on them.
    ///
    /// # Errors
    /// The field without which it is not known.
    pub fn duct_lengths(&self, tendon: &Tendon) -> Result<Vec<DuctLength<'a>>, &'static str> {
        let own = || self.duct(tendon.duct.as_ref());
        if tendon.duct_runs.is_empty() {
            let stations_m = [f64::NEG_INFINITY, f64::INFINITY];
            return Ok(vec![DuctLength { stations_m, duct: own().ok_or("tendon.duct")? }]);
        }
        let mut stated = Vec::new();
        for run in &tendon.duct_runs {
            let from_m = run.from_m.ok_or("duct_run.from_m")?;
            let to_m = run.to_m.ok_or("duct_run.to_m")?;
            let duct = self.duct(run.duct.as_ref().or(tendon.duct.as_ref()));
            let stations_m = [from_m.min(to_m), from_m.max(to_m)];
            stated.push(DuctLength { stations_m, duct: duct.ok_or("duct_run.duct")? });
        }
        Ok(without_gaps(stated, own()))
    }

    /// The duct of a tendon, stretch after stretch, where not every stated length has its stations.
    ///
    /// The lengths that have both lie where they say. All else has the narrowest or the widest of the ducts that may lie
    /// there, by `width`: the tendon's own, those of lengths without a station, and without a duct of its own those of
    /// all lengths, which reach to one another.
    ///
    /// # Errors
    /// The field without which it is not known.
    fn bounded_lengths(
        &self,
        tendon: &Tendon,
        width: impl Fn(&Duct) -> Result<f64, &'static str>,
        bound: Bound,
    ) -> Result<Vec<DuctLength<'a>>, &'static str> {
        let own = tendon.duct.as_ref();
        let found = |link, field| self.duct(Some(link)).ok_or(field);
        let mut stated = Vec::new();
        let mut elsewhere: Vec<Found<'a, Duct>> = Vec::new();
        if let Some(own) = own {
            elsewhere.push(found(own, "tendon.duct")?);
        }
        for run in &tendon.duct_runs {
            let duct = found(run.duct.as_ref().or(own).ok_or("duct_run.duct")?, "duct_run.duct")?;
            if own.is_none() || run.from_m.is_none() || run.to_m.is_none() {
                elsewhere.push(duct.clone());
            }
            if let (Some(from_m), Some(to_m)) = (run.from_m, run.to_m) {
                stated.push(DuctLength { stations_m: [from_m.min(to_m), from_m.max(to_m)], duct });
            }
        }
        let mut outmost: Option<(f64, Found<'a, Duct>)> = None;
        for duct in elsewhere {
            let width_mm = width(duct.record)?;
            if outmost.as_ref().is_none_or(|(so_far_mm, _)| bound.is_further(width_mm, *so_far_mm))
            {
                outmost = Some((width_mm, duct));
            }
        }
        let (_, between) = outmost.ok_or("tendon.duct")?;
        Ok(without_gaps(stated, Some(between)))
    }

    /// The duct of a tendon at a station: that of the length that reaches over it, or the tendon's.
    #[must_use]
    pub fn duct_at(&self, tendon: &Tendon, station_m: f64) -> Option<Found<'a, Duct>> {
        let run = tendon.duct_runs.iter().find(|run| {
            let (Some(from_m), Some(to_m)) = (run.from_m, run.to_m) else { return false };
            (from_m.min(to_m)..=from_m.max(to_m)).contains(&station_m)
        });
        self.duct(run.and_then(|run| run.duct.as_ref()).or(tendon.duct.as_ref()))
    }

    /// Where a tendon passes a deviator: the station of the corner there, or of its place.
    #[must_use]
    pub fn deviator_station_m(&self, at: &TendonAt<'_>, index: usize) -> Option<f64> {
        let spot = self.path(at).ok().and_then(|laid| laid.deviators.get(index));
        let corner_m = match spot {
            // The point of a corner comes after the first one.
            Some(DeviatorSpot::Corner(bend)) => at.tendon.points[bend + 1].station_m,
            _ => None,
        };
        let place = at.tendon.deviators.get(index)?.place.as_ref();
        corner_m.or_else(|| self.place(place)?.record.station_m)
    }

    /// The duct that runs through the form of a deviator.
    ///
    /// # Errors
    /// The field without which it is not known.
    pub fn duct_in_form(
        &self,
        at: &TendonAt<'_>,
        index: usize,
    ) -> Result<Found<'a, Duct>, &'static str> {
        if at.tendon.duct_runs.is_empty() {
            return self.duct(at.tendon.duct.as_ref()).ok_or("tendon.duct");
        }
        let station_m = self.deviator_station_m(at, index).ok_or("place.station_m")?;
        self.duct_over(at.tendon, station_m)
    }

    /// The duct of a tendon at a depth behind the bearing plate of an end, mm along the tendon.
    ///
    /// # Errors
    /// The field without which it is not known.
    pub fn duct_behind_end(
        &self,
        at: &TendonAt<'_>,
        name: EndName,
        depth_mm: f64,
    ) -> Result<Found<'a, Duct>, &'static str> {
        if at.tendon.duct_runs.is_empty() {
            return self.duct(at.tendon.duct.as_ref()).ok_or("tendon.duct");
        }
        let along = Along::of(self, at)?;
        let along_m = match name {
            EndName::A => depth_mm / 1000.0,
            EndName::B => along.length_m() - depth_mm / 1000.0,
        };
        self.duct_over(at.tendon, along.station_m(along_m))
    }

    fn duct_over(&self, tendon: &Tendon, station_m: f64) -> Result<Found<'a, Duct>, &'static str> {
        let lengths = self.duct_lengths(tendon)?;
        let over = lengths.into_iter().find(|length| station_m <= length.stations_m[1]);
        over.map(|length| length.duct).ok_or("tendon.duct")
    }
}

/// Lengths with `between` in their gaps, before and behind them; without one each reaches to the next.
fn without_gaps<'a>(
    mut stated: Vec<DuctLength<'a>>,
    between: Option<Found<'a, Duct>>,
) -> Vec<DuctLength<'a>> {
    stated.sort_by(|one, other| one.stations_m[0].total_cmp(&other.stations_m[0]));
    let mut lengths: Vec<DuctLength<'a>> = Vec::new();
    for mut length in stated {
        let reached_m = lengths.last().map_or(f64::NEG_INFINITY, |last| last.stations_m[1]);
        if length.stations_m[1] <= reached_m {
            continue;
        }
        if length.stations_m[0] > reached_m
            && let Some(duct) = between.clone()
        {
            let stations_m = [reached_m, length.stations_m[0]];
            lengths.push(DuctLength { stations_m, duct });
        }
        length.stations_m[0] = reached_m.max(length.stations_m[0]);
        match lengths.last_mut() {
            Some(last) => last.stations_m[1] = length.stations_m[0],
            None => length.stations_m[0] = f64::NEG_INFINITY,
        }
        lengths.push(length);
    }
    if let Some(duct) = between {
        let reached_m = lengths.last().map_or(f64::NEG_INFINITY, |last| last.stations_m[1]);
        lengths.push(DuctLength { stations_m: [reached_m, f64::INFINITY], duct });
    } else if let Some(last) = lengths.last_mut() {
        last.stations_m[1] = f64::INFINITY;
    }
    lengths
}

#[cfg(test)]
mod tests;
