//! Which duct is round the strands where, of tendons whose duct changes on the way.

mod on_legs;

use restrand_model::schedule::{Duct, EndName, Tendon};

use crate::context::{Context, Found, TendonAt};
use crate::tendon_path::DeviatorSpot;
use crate::works::Along;
pub(crate) use on_legs::DuctOnLeg;

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
        stated.sort_by(|one, other| one.stations_m[0].total_cmp(&other.stations_m[0]));
        let mut lengths: Vec<DuctLength<'a>> = Vec::new();
        for mut length in stated {
            let reached_m = lengths.last().map_or(f64::NEG_INFINITY, |last| last.stations_m[1]);
            if length.stations_m[1] <= reached_m {
                continue;
            }
            if length.stations_m[0] > reached_m
                && let Some(duct) = own()
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
        if let Some(duct) = own()
            && let Some(last) = lengths.last()
        {
            lengths.push(DuctLength { stations_m: [last.stations_m[1], f64::INFINITY], duct });
        } else if let Some(last) = lengths.last_mut() {
            last.stations_m[1] = f64::INFINITY;
        }
        Ok(lengths)
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

#[cfg(test)]
mod tests;
