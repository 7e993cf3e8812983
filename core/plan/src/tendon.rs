//! What a plan knows of its tendon, worked out once for all steps.

use restrand_mechanics::removal::LinearMass;
use restrand_model::schedule::{EndName, Project, Replacement, Tendon};
use restrand_rules::works::{self, Inside, PlannedStub, Stressed};
use restrand_rules::{Context, EndAt, LaidTendon, Limit, TendonAt};

use crate::cuts::{self, CutPlan};

/// A tendon with all that follows from the schedule; an error is the field without which something does not.
pub(crate) struct Known<'a> {
    pub(crate) context: &'a Context<'a>,
    pub(crate) at: &'a TendonAt<'a>,
    pub(crate) tendon: &'a Tendon,
    pub(crate) ends: Vec<EndAt<'a>>,
    pub(crate) along: Result<Along, &'static str>,
    /// The tendon that is in.
    pub(crate) stressed: Result<Stressed, &'static str>,
    /// The tendon that comes in, stressed to its own target.
    pub(crate) renewed: Result<Stressed, &'static str>,
    pub(crate) mass: Result<LinearMass, &'static str>,
    pub(crate) inside: Result<Inside, &'static str>,
    /// The stub of each end, in the order of the ends.
    pub(crate) stubs: Vec<Result<PlannedStub, &'static str>>,
    pub(crate) cuts: Result<CutPlan, &'static str>,
}

impl<'a> Known<'a> {
    pub(crate) fn of(context: &'a Context<'a>, at: &'a TendonAt<'a>) -> Self {
        let tendon = at.tendon;
        let ends: Vec<_> = at.ends().collect();
        let stubs: Vec<_> = ends.iter().map(|end| works::planned_stub(context, end)).collect();
        let along =
            context.path(at).map_err(|none| none.field()).and_then(|laid| Along::of(tendon, laid));
        let mass = works::mass(context, at);
        let target_kn =
            tendon.replacement.as_deref().and_then(|replacement| replacement.target_force_kn);
        let renewed = match target_kn {
            Some(target_kn) => works::stressed(context, at, Some(target_kn)),
            None => Err("replacement.target_force_kn"),
        };
        let mut known = Self {
            context,
            at,
            tendon,
            ends,
            along,
            stressed: works::stressed(context, at, None),
            renewed,
            mass,
            inside: works::inside(context, at),
            stubs,
            cuts: Err("tendon.points"),
        };
        known.cuts = cuts::of(&known);
        known
    }

    /// A limit of the rulebook in force.
    pub(crate) fn limit(&self, name: &str) -> Option<&'a Limit> {
        self.context.book.limits.get(name)
    }

    pub(crate) fn project(&self) -> Option<&'a Project> {
        self.context.schedule.project.as_deref()
    }

    pub(crate) fn replacement(&self) -> Option<&'a Replacement> {
        self.tendon.replacement.as_deref()
    }

    /// The end of this name.
    pub(crate) fn end(&self, name: EndName) -> Option<&EndAt<'a>> {
        self.ends.iter().find(|end| end.name == name)
    }

    /// How people call an end: by its place where it has one.
    pub(crate) fn call(end: &EndAt<'_>) -> String {
        match &end.end.place {
            Some(place) => format!("end {} ({})", end.name, place.key()),
            None => format!("end {}", end.name),
        }
    }
}

/// Stations of a tendon against lengths along it, from corner to corner.
///
/// Arcs at deviators are a few tenths of a millimetre shorter than the corners, which no saw sees.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Along {
    /// Station and length from end a of each point.
    points: Vec<[f64; 2]>,
}

impl Along {
    fn of(tendon: &Tendon, laid: &LaidTendon) -> Result<Self, &'static str> {
        let mut along_m = 0.0;
        let mut points = Vec::with_capacity(tendon.points.len());
        for (index, point) in tendon.points.iter().enumerate() {
            let station_m = point.station_m.ok_or("tendon_point.station_m")?;
            points.push([station_m, along_m]);
            along_m += laid.path.legs.get(index).map_or(0.0, |leg| leg.length_m);
        }
        Ok(Self { points })
    }

    /// The length of the tendon, m.
    pub(crate) fn length_m(&self) -> f64 {
        self.points.last().map_or(0.0, |[_, along_m]| *along_m)
    }

    /// The stations of its ends, m.
    pub(crate) fn stations_m(&self) -> [f64; 2] {
        let station = |point: Option<&[f64; 2]>| point.map_or(0.0, |[station_m, _]| *station_m);
        [station(self.points.first()), station(self.points.last())]
    }

    /// The length from end a at a station, m; beyond an end, that of the end.
    pub(crate) fn at_m(&self, station_m: f64) -> f64 {
        self.between(station_m, 0, 1)
    }

    /// The station at a length from end a, m; beyond an end, that of the end.
    pub(crate) fn station_m(&self, along_m: f64) -> f64 {
        self.between(along_m, 1, 0)
    }

    fn between(&self, at: f64, from: usize, to: usize) -> f64 {
        let leg = self.points.windows(2).find(|pair| at <= pair[1][from]);
        let Some([first, second]) = leg else {
            return self.points.last().map_or(0.0, |point| point[to]);
        };
        let share = ((at - first[from]) / (second[from] - first[from])).clamp(0.0, 1.0);
        first[to] + (second[to] - first[to]) * share
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stations_and_lengths_lead_to_one_another() {
        let along = Along { points: vec![[100.0, 0.0], [110.0, 10.5], [130.0, 31.0]] };
        assert_eq!(along.length_m(), 31.0);
        assert_eq!(along.stations_m(), [100.0, 130.0]);
        for station_m in [100.0, 104.0, 110.0, 121.5, 130.0] {
            assert!((along.station_m(along.at_m(station_m)) - station_m).abs() < 1e-12);
        }
        assert_eq!(along.at_m(105.0), 5.25);
        assert_eq!((along.at_m(90.0), along.at_m(140.0)), (0.0, 31.0));
    }
}
