//! A tendon's stressing worked out again, from what the schedule states and nothing else.
//!
//! It knows the formulas of no rule: friction, set and elongation are mechanics'.
//! What is absent is named; nothing stands in for it.

use restrand_mechanics::elongation::{elongation_by_end, stretch_mm};
use restrand_mechanics::friction::{
    self, BothEnds, End, EndStressing, ExponentPerM, Profile, RadPerM, Run, Seating, StressDiagram,
    Wobble, after_loss_kn, force_kn, larger_of_each_end,
};
use restrand_model::route::Route;
use restrand_model::schedule::{DuctRun, EndName, Stressing, StressingFrom, Tendon};

use super::steel::Steel;
use crate::context::{Context, TendonAt};
use crate::tendon_path::LaidTendon;

/// Another reading of what is stated, tried only to say what a wrong value may come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Reading {
    /// As stated.
    AsStated,
    /// Without the angle that is added at each deviator.
    WithoutAddedAngle,
    /// With K and k exchanged.
    WobbleExchanged,
}

/// A tendon with what its stressing follows from.
pub(crate) struct Recomputed<'a> {
    /// The strands.
    pub(crate) steel: Steel<'a>,
    from: StressingFrom,
    profile: Profile,
    e_mpa: f64,
    /// Set at end a and at end b, mm, where it is stated.
    sets_mm: [Option<f64>; 2],
    /// Loss inside the anchorage, where it is stated: else the jacking force is the tendon's own at its end.
    anchorage_loss: Option<f64>,
}

const POINTS: &str = "tendon.points";
const FORCE: &str = "stressing.jacking_force_kn";
const SET: &str = "stressing.set_mm";

impl<'a> Recomputed<'a> {
    /// What the stressing of a tendon follows from; the field that is absent where something is.
    pub(crate) fn of(
        context: &Context<'a>,
        at: &TendonAt<'_>,
        reading: Reading,
    ) -> Result<Self, &'static str> {
        let stressing = at.tendon.stressing.as_deref().ok_or("tendon.stressing")?;
        let from = stressing.from.ok_or("stressing.from")?;
        let steel = Steel::of(context, at.tendon)?;
        let e_mpa = steel.e_mpa()?;
        let laid = context.path(at).map_err(|none| none.field())?;
        let runs = runs(at.tendon, stressing, laid, reading)?;
        let profile = friction::profile(&runs).map_err(|_| POINTS)?;
        let set_mm = |name: EndName| {
            let end = at.ends().find(|end| end.name == name);
            end.and_then(|end| end.end.set_mm).or(stressing.set_mm)
        };
        Ok(Self {
            steel,
            from,
            profile,
            e_mpa,
            sets_mm: [set_mm(EndName::A), set_mm(EndName::B)],
            anchorage_loss: stressing.anchorage_loss,
        })
    }

    /// Stress in the tendon at a jacked end, past the anchorage, MPa.
    fn jacked_mpa(&self, jacking_kn: f64) -> Result<f64, &'static str> {
        let past_kn = match self.anchorage_loss {
            Some(loss) => {
                after_loss_kn(jacking_kn, loss).map_err(|_| "stressing.anchorage_loss")?
            }
            None => jacking_kn,
        };
        self.steel.stress_mpa(past_kn).ok_or(FORCE)
    }

    fn seating(&self, end: EndName) -> Result<Seating, &'static str> {
        let set_mm = self.sets_mm[index(end)].ok_or(SET)?;
        Ok(Seating { set_mm, e_mpa: self.e_mpa })
    }

    /// Stress along the tendon at full force, before any end is seated.
    pub(crate) fn before_seating(&self, jacking_kn: f64) -> Result<StressDiagram, &'static str> {
        let jacked_mpa = self.jacked_mpa(jacking_kn)?;
        let ends = super::jacked::ends(self.from);
        let mut stress =
            StressDiagram::jacked(&self.profile, end(ends[0]), jacked_mpa).map_err(|_| FORCE)?;
        for name in &ends[1..] {
            stress.jack(end(*name), jacked_mpa).map_err(|_| FORCE)?;
        }
        Ok(stress)
    }

    /// Stress along the tendon once it is seated.
    ///
    /// Where both ends are pulled at once the schedule does not say which is seated first: both orders are given.
    pub(crate) fn seated(&self, jacking_kn: f64) -> Result<Vec<StressDiagram>, &'static str> {
        let ends = super::jacked::ends(self.from);
        if self.from == StressingFrom::Both {
            let orders = [[ends[0], ends[1]], [ends[1], ends[0]]];
            return orders
                .into_iter()
                .map(|order| {
                    let mut stress = self.before_seating(jacking_kn)?;
                    for name in order {
                        stress.seat(end(name), self.seating(name)?).map_err(|_| SET)?;
                    }
                    Ok(stress)
                })
                .collect();
        }
        let jacked_mpa = self.jacked_mpa(jacking_kn)?;
        let mut stress =
            StressDiagram::jacked(&self.profile, end(ends[0]), jacked_mpa).map_err(|_| FORCE)?;
        stress.seat(end(ends[0]), self.seating(ends[0])?).map_err(|_| SET)?;
        for name in &ends[1..] {
            stress.jack(end(*name), jacked_mpa).map_err(|_| FORCE)?;
            stress.seat(end(*name), self.seating(*name)?).map_err(|_| SET)?;
        }
        Ok(vec![stress])
    }

    /// Stress by the code rule for both ends: each as if the other were dead, and the larger of the two at each place.
    pub(crate) fn by_rule(&self, jacking_kn: f64) -> Option<StressDiagram> {
        if self.from != StressingFrom::Both {
            return None;
        }
        let stress_mpa = self.jacked_mpa(jacking_kn).ok()?;
        let end = |name: EndName| {
            let set_mm = self.sets_mm[index(name)]?;
            Some(EndStressing { stress_mpa, set_mm })
        };
        let (a, b) = (end(EndName::A)?, end(EndName::B)?);
        let both = BothEnds { a, b, seated_first: End::A, e_mpa: self.e_mpa };
        larger_of_each_end(&self.profile, &both).ok()
    }

    /// The jacking force that leaves this stress where `of` looks for it after seating, kN, if a smaller one than
    /// `jacking_kn` does.
    pub(crate) fn jacking_for(
        &self,
        stress_mpa: f64,
        jacking_kn: f64,
        of: impl Fn(&StressDiagram) -> f64,
    ) -> Option<f64> {
        /// Halvings of the force: a part in 2^50 is left.
        const HALVINGS: u32 = 50;
        let left = |jacking_kn: f64| {
            let seated = self.seated(jacking_kn).ok()?;
            Some(seated.iter().map(&of).fold(0.0, f64::max))
        };
        // What a set leaves slack is little enough, too.
        let is_enough = |jacking_kn| left(jacking_kn).is_none_or(|left| left <= stress_mpa);
        let (mut enough, mut much) = (0.0, jacking_kn);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(enough, much);
            if is_enough(middle) {
                enough = middle;
            } else {
                much = middle;
            }
        }
        // A force that leaves nothing at all is no advice.
        left(enough).map(|_| enough)
    }

    /// The force at an end for a stress diagram, kN.
    pub(crate) fn end_kn(&self, stress: &StressDiagram, name: EndName) -> Option<f64> {
        force_kn(stress.end_mpa(end(name)), self.steel.area_mm2).ok()
    }

    /// How far each end is drawn out, the tendon alone, mm: nothing where an end is not pulled.
    pub(crate) fn elastic_mm(&self, jacking_kn: f64) -> Result<[Option<f64>; 2], &'static str> {
        let jacked_mpa = self.jacked_mpa(jacking_kn)?;
        let mut elastic_mm = [None, None];
        if self.from == StressingFrom::Both {
            let by_end = elongation_by_end(&self.profile, jacked_mpa, jacked_mpa, self.e_mpa);
            let by_end = by_end.map_err(|_| FORCE)?;
            return Ok([Some(by_end.a_mm), Some(by_end.b_mm)]);
        }
        let ends = super::jacked::ends(self.from);
        let mut stress =
            StressDiagram::jacked(&self.profile, end(ends[0]), jacked_mpa).map_err(|_| FORCE)?;
        let length_m = self.length_m();
        let whole = stress.integral_mpa_m(0.0, length_m).map_err(|_| POINTS)?;
        elastic_mm[index(ends[0])] = Some(stretch_mm(whole, self.e_mpa).map_err(|_| FORCE)?);
        // What the second pull adds is drawn out at its own end, once the first end holds.
        if let [first, second] = ends {
            stress.seat(end(*first), self.seating(*first)?).map_err(|_| SET)?;
            let reach = stress.jack(end(*second), jacked_mpa).map_err(|_| FORCE)?;
            let added = stretch_mm(reach.change_mpa_m, self.e_mpa).map_err(|_| FORCE)?;
            elastic_mm[index(*second)] = Some(added);
        }
        Ok(elastic_mm)
    }

    /// The values that it rests on, beside the jacking force: those that are absent too, as they count once they are
    /// stated, and the mark, by which a sheet joins points and lengths of duct to their tendon.
    pub(crate) fn rests_on(&self, at: &TendonAt<'_>) -> Vec<Route> {
        const OF_TENDON: &[&str] =
            &["mark", "strand", "strand_count", "points", "deviators", "duct_runs"];
        const OF_STRESSING: &[&str] = &[
            "from",
            "mu",
            "wobble_per_m",
            "unintended_angle_rad_per_m",
            "inadvertent_angle_rad",
            "set_mm",
            "anchorage_loss",
        ];
        const OF_STRAND: &[&str] = &["area_mm2", "e_mpa"];
        let of = |route: Route, names: &'static [&'static str]| {
            names.iter().map(move |name| route.field(name))
        };
        of(at.route.clone(), OF_TENDON)
            .chain(of(at.route.field("stressing"), OF_STRESSING))
            .chain(of(self.steel.strand.route.clone(), OF_STRAND))
            .chain(at.ends().map(|end| end.route.field("set_mm")))
            .collect()
    }

    /// Those of them that a reader looks at first, and what they are.
    pub(crate) fn shown(&self, at: &TendonAt<'_>) -> [(Route, &'static str); 3] {
        let stressing = at.route.field("stressing");
        [
            (stressing.field("mu"), "the friction"),
            (stressing.field("from"), "from where it is jacked"),
            (self.steel.strand.route.field("area_mm2"), "the strand"),
        ]
    }

    /// The developed length, m.
    pub(crate) fn length_m(&self) -> f64 {
        self.profile.borders().last().map_or(0.0, |border| border.at_m)
    }

    /// The modulus of the strand, MPa.
    pub(crate) const fn e_mpa(&self) -> f64 {
        self.e_mpa
    }
}

/// The end of mechanics.
pub(crate) const fn end(name: EndName) -> End {
    match name {
        EndName::A => End::A,
        EndName::B => End::B,
    }
}

/// The position of an end in a pair.
pub(crate) const fn index(name: EndName) -> usize {
    match name {
        EndName::A => 0,
        EndName::B => 1,
    }
}

/// The friction of one stretch: its coefficient and wobble.
#[derive(Clone, Copy)]
struct Friction {
    mu: Option<f64>,
    wobble: Option<Wobble>,
}

impl Friction {
    fn of(
        mu: Option<f64>,
        wobble_per_m: Option<f64>,
        angle_rad_per_m: Option<f64>,
        reading: Reading,
    ) -> Self {
        let exchanged = reading == Reading::WobbleExchanged;
        let (wobble_per_m, angle_rad_per_m) = if exchanged {
            (angle_rad_per_m, wobble_per_m)
        } else {
            (wobble_per_m, angle_rad_per_m)
        };
        // Where both are stated they say the same, or friction-unusual says that they do not.
        let wobble = wobble_per_m
            .map(|per_m| Wobble::Exponent(ExponentPerM(per_m)))
            .or(angle_rad_per_m.map(|per_m| Wobble::Angle(RadPerM(per_m))));
        Self { mu, wobble }
    }

    fn run(self, length_m: f64, angle_rad: f64, added_rad: f64) -> Result<Run, &'static str> {
        let wobble = self.wobble.ok_or("stressing.wobble_per_m")?;
        Ok(Run {
            length_m,
            angle_rad,
            inadvertent_rad: added_rad,
            mu: self.mu.ok_or("stressing.mu")?,
            wobble,
        })
    }
}

/// The tendon as runs of one friction, from end a to end b: straight legs and the bends between them.
fn runs(
    tendon: &Tendon,
    stressing: &Stressing,
    laid: &LaidTendon,
    reading: Reading,
) -> Result<Vec<Run>, &'static str> {
    let whole = Friction::of(
        stressing.mu,
        stressing.wobble_per_m,
        stressing.unintended_angle_rad_per_m,
        reading,
    );
    let over = Lengths::of(tendon, whole, reading)?;
    let added_rad = || match reading {
        Reading::WithoutAddedAngle => Ok(0.0),
        _ => stressing.inadvertent_angle_rad.ok_or("stressing.inadvertent_angle_rad"),
    };
    let stations: Vec<f64> = tendon
        .points
        .iter()
        .map(|point| point.station_m.ok_or(POINTS))
        .collect::<Result<_, _>>()?;
    let mut runs = Vec::new();
    for (index, leg) in laid.path.legs.iter().enumerate() {
        let tangent_m = |bend: Option<usize>| {
            bend.and_then(|bend| laid.path.bends.get(bend)).map_or(0.0, |bend| bend.tangent_m)
        };
        let from_m = tangent_m(index.checked_sub(1));
        let to_m = leg.length_m - tangent_m(Some(index));
        let [first, second] = [stations[index], stations[index + 1]];
        let station = |along_m: f64| first + (second - first) * (along_m / leg.length_m);
        // Borders of duct lengths part the leg.
        let mut borders = vec![from_m];
        if second != first {
            let inner = over.borders().map(|at| (at - first) / (second - first) * leg.length_m);
            borders.extend(inner.filter(|at| *at > from_m && *at < to_m));
        }
        borders.push(to_m);
        borders.sort_by(f64::total_cmp);
        for pair in borders.windows(2).filter(|pair| pair[1] > pair[0]) {
            let middle = over.at(station(f64::midpoint(pair[0], pair[1])));
            runs.push(middle.run(pair[1] - pair[0], 0.0, 0.0)?);
        }
        if let Some(bend) = laid.path.bends.get(index) {
            let added = if laid.is_deviated_at(index) { added_rad()? } else { 0.0 };
            runs.push(over.at(second).run(bend.arc_m, bend.angle_rad, added)?);
        }
    }
    Ok(runs)
}

/// Lengths of duct that state a friction of their own.
struct Lengths {
    whole: Friction,
    own: Vec<([f64; 2], Friction)>,
}

impl Lengths {
    fn of(tendon: &Tendon, whole: Friction, reading: Reading) -> Result<Self, &'static str> {
        let states = |run: &&DuctRun| {
            run.mu.or(run.wobble_per_m).or(run.unintended_angle_rad_per_m).is_some()
        };
        let own = tendon.duct_runs.iter().filter(states).map(|run| {
            let from_m = run.from_m.ok_or("duct_run.from_m")?;
            let to_m = run.to_m.ok_or("duct_run.to_m")?;
            let own =
                Friction::of(run.mu, run.wobble_per_m, run.unintended_angle_rad_per_m, reading);
            let friction =
                Friction { mu: own.mu.or(whole.mu), wobble: own.wobble.or(whole.wobble) };
            Ok(([from_m.min(to_m), from_m.max(to_m)], friction))
        });
        Ok(Self { whole, own: own.collect::<Result<_, _>>()? })
    }

    fn at(&self, station_m: f64) -> Friction {
        let own =
            self.own.iter().find(|([from_m, to_m], _)| (*from_m..=*to_m).contains(&station_m));
        own.map_or(self.whole, |(_, friction)| *friction)
    }

    fn borders(&self) -> impl Iterator<Item = f64> + '_ {
        self.own.iter().flat_map(|(ends, _)| *ends)
    }
}
