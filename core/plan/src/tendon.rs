//! What a plan knows of its tendon, worked out once for all steps.

use std::rc::Rc;

use restrand_finding::Fact;
use restrand_mechanics::removal::LinearMass;
use restrand_model::route::Route;
use restrand_model::schedule::{
    EndName, Filler, Project, Replacement, StrandCoating, StressingFrom, Tendon,
};
use restrand_rules::ends::Clear;
use restrand_rules::ways::Ways;
use restrand_rules::works::{self, Along, Inside, PlannedStub, Stressed, Widest, Widths};
use restrand_rules::{Context, EndAt, Limit, TendonAt};

use crate::cuts::{self, CutPlan};
use crate::plan::{Line, Step};
use crate::way::{RodBook, RodWays};

/// What the schedule lacks: the fields without which something is not known.
pub(crate) type Lacks = Vec<&'static str>;

/// The pull of the tendon that comes in, as far as it follows without friction.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pull {
    /// Force at the jack, kN.
    pub(crate) jacking_kn: f64,
    /// The ends that are jacked, in their order.
    pub(crate) ends: &'static [EndName],
}

/// A tendon with all that follows from the schedule; an error is the field without which something does not.
pub(crate) struct Known<'c, 'a> {
    pub(crate) context: &'c Context<'a>,
    pub(crate) at: &'c TendonAt<'c>,
    pub(crate) tendon: &'c Tendon,
    pub(crate) ends: Vec<EndAt<'c>>,
    pub(crate) along: Result<Along, &'static str>,
    /// The tendon that is in.
    pub(crate) stressed: Result<Stressed, Lacks>,
    /// The tendon that comes in, under its own target, or, only where none is stated, under the first force.
    to_come: Result<Stressed, Lacks>,
    /// The force and the ends of the tendon that comes in.
    pub(crate) pull: Result<Pull, Lacks>,
    /// How far its ends are drawn out, the tendon alone, mm.
    pub(crate) drawn_mm: Result<[Option<f64>; 2], Lacks>,
    pub(crate) mass: Result<LinearMass, &'static str>,
    pub(crate) inside: Result<Inside, &'static str>,
    /// The stub of each end, in the order of the ends.
    pub(crate) stubs: Vec<Result<PlannedStub, &'static str>>,
    pub(crate) cuts: Result<CutPlan, &'static str>,
    /// The ways through the bridge.
    pub(crate) ways: Ways<'c>,
    /// The ways of rods, by their thickness.
    rods: RodBook,
    /// How wide it is along its length.
    widths: Result<Widths, &'static str>,
}

impl Known<'_, '_> {
    /// Whether both ends are pulled at once, which takes two jacks.
    pub(crate) fn is_pulled_at_once(&self) -> bool {
        stated_from(self.tendon) == Some(StressingFrom::Both)
    }

    /// The clear length behind the bearing plate at an end; one that only follows from the bay is said to be measured.
    pub(crate) fn behind(&self, end: &EndAt<'_>, step: &mut Step) -> Option<Clear> {
        let behind = self.context.room(self.at, end).behind?;
        if let Some(bay) = behind.bay {
            step.rests_on(Route::to("bays", bay));
            step.beware(
                Line::from(
                    "At {end} no clear length behind the bearing plate is stated: {behind_mm} are what bay {bay} \
                     gives, to be measured before anything rests on them",
                )
                .with(Fact::text("end", end.call()))
                .with(behind.fact("behind_mm", 0))
                .with(Fact::text("bay", self.ways.call_bay(bay))),
            );
        }
        Some(behind)
    }
}

fn stated_from(tendon: &Tendon) -> Option<StressingFrom> {
    tendon.stressing.as_deref().and_then(|stressing| stressing.from)
}

/// Whether the second pull starts from what the first has left once seated.
const fn is_staged(from: StressingFrom) -> bool {
    matches!(from, StressingFrom::AThenB | StressingFrom::BThenA)
}

impl<'c, 'a> Known<'c, 'a> {
    pub(crate) fn of(context: &'c Context<'a>, at: &'c TendonAt<'c>) -> Self {
        let tendon = at.tendon;
        let ends: Vec<_> = at.ends().collect();
        let stubs: Vec<_> = ends.iter().map(|end| works::planned_stub(context, at, end)).collect();
        let along = Along::of(context, at);
        let mass = works::mass(context, at);
        let target_kn =
            tendon.replacement.as_deref().and_then(|replacement| replacement.target_force_kn);
        let lacking = |jacking_kn| works::lacking_for_stressing(context, at, jacking_kn);
        let stressed = works::stressed(context, at, None).map_err(|_| lacking(None));
        let to_come = match target_kn {
            Some(_) => works::stressed(context, at, target_kn).map_err(|_| lacking(target_kn)),
            None => stressed.clone(),
        };
        let jacking_kn = match target_kn {
            Some(target_kn) => Ok(target_kn),
            None => works::jacking(context, at).map(|jacking| jacking.force_kn),
        };
        let pull = match (jacking_kn, works::jacked_ends(tendon)) {
            (Ok(jacking_kn), Ok(ends)) => Ok(Pull { jacking_kn, ends }),
            (force, ends) => {
                let from = ends.err().map(|field| match field {
                    "tendon.stressing" => "stressing.from",
                    field => field,
                });
                Err(force.err().into_iter().chain(from).collect::<Lacks>())
            }
        };
        let drawn_mm = match &pull {
            Ok(pull) => works::drawn_out_mm(context, at, pull.jacking_kn).map_err(|_| {
                let mut lacks = lacking(Some(pull.jacking_kn));
                // What is pulled once, or at both ends at once, is seated afterwards.
                if stated_from(tendon).is_none_or(|from| !is_staged(from)) {
                    lacks.retain(|field| *field != "stressing.set_mm");
                }
                lacks
            }),
            Err(lacks) => Err(lacks.clone()),
        };
        let ways = Ways::of(context);
        let mut known = Self {
            context,
            at,
            tendon,
            ends,
            along,
            stressed,
            to_come,
            pull,
            drawn_mm,
            mass,
            inside: works::inside(context, at),
            stubs,
            cuts: Err("tendon.points"),
            ways,
            rods: RodBook::default(),
            widths: Widths::of(context, at),
        };
        known.cuts = cuts::of(&known);
        known
    }

    /// The ways of what is so thick.
    pub(crate) fn rods(&self, diameter_mm: f64) -> Rc<RodWays> {
        self.rods.of(&self.ways, diameter_mm)
    }

    /// How wide a stretch of the tendon is with what stays on it, from one length to another along it, m.
    pub(crate) fn widest(&self, along_m: [f64; 2]) -> Result<Widest, &'static str> {
        self.widths.as_ref().map_err(|field| *field)?.over(along_m)
    }

    /// A limit of the rulebook in force.
    pub(crate) fn limit(&self, name: &str) -> Option<&'a Limit> {
        self.context.book.limits.get(name)
    }

    pub(crate) fn project(&self) -> Option<&'a Project> {
        self.context.schedule.project.as_deref()
    }

    pub(crate) fn replacement(&self) -> Option<&'c Replacement> {
        self.tendon.replacement.as_deref()
    }

    /// The end of this name.
    pub(crate) fn end(&self, name: EndName) -> Option<&EndAt<'c>> {
        self.ends.iter().find(|end| end.name == name)
    }

    /// The tendon that is in, or every field without which its forces are not known.
    pub(crate) fn stressed(&self) -> Result<&Stressed, &[&'static str]> {
        self.stressed.as_ref().map_err(Vec::as_slice)
    }

    /// The tendon that comes in: under its own target, or, only where none is stated, under the first force.
    pub(crate) fn to_come(&self) -> Result<&Stressed, &[&'static str]> {
        self.to_come.as_ref().map_err(Vec::as_slice)
    }

    /// Where the tendon is bonded between its ends, m along it, as far as that is stated, and the fields that are not.
    pub(crate) fn bonded_at_m(&self) -> (Vec<f64>, Vec<&'static str>) {
        let mut at_m = Vec::new();
        let mut lacks = Vec::new();
        for point in &self.tendon.bonded_points {
            let stated = point.station_m.or_else(|| {
                self.context.place(point.place.as_ref()).and_then(|place| place.record.station_m)
            });
            match (stated, self.along.as_ref()) {
                (Some(station_m), Ok(along)) => at_m.push(along.at_m(station_m)),
                (None, _) => lacks.push("bonded_point.station_m"),
                (_, Err(field)) => lacks.push(field),
            }
        }
        let length_m = self.along.as_ref().map_or(0.0, Along::length_m);
        at_m.retain(|at_m| *at_m > 0.0 && *at_m < length_m);
        at_m.sort_by(f64::total_cmp);
        at_m.dedup();
        (at_m, lacks)
    }

    /// Whether each strand runs in grease in a sheath of its own: then nothing that fills the duct holds it.
    pub(crate) fn is_sheathed(&self) -> bool {
        let coating = self.context.strand(self.tendon).and_then(|strand| strand.record.coating);
        coating == Some(StrandCoating::GreasedSheathed)
    }

    /// Whether what fills the duct hardens, or may.
    pub(crate) const fn may_be_hard(&self) -> bool {
        matches!(self.tendon.filler, Some(Filler::CementGrout | Filler::Unknown) | None)
    }

    /// Whether something in the tendon burns, or may.
    pub(crate) fn may_burn(&self) -> bool {
        let filler = self.tendon.filler;
        self.is_sheathed()
            || matches!(filler, Some(Filler::Wax | Filler::Grease | Filler::Unknown) | None)
    }

    /// The bay in which a station lies, by its position.
    pub(crate) fn bay_at(&self, station_m: f64) -> Option<usize> {
        self.ways.bay_over(station_m)
    }

    /// The bays in which people work on the tendon: behind its ends, and beside its free lengths.
    pub(crate) fn worked_in(&self) -> Vec<usize> {
        let behind = |end| self.ways.behind(self.context, self.at, end).ok().flatten();
        let mut bays: Vec<usize> = self.ends.iter().filter_map(behind).collect();
        if let (Ok(plan), Ok(along)) = (&self.cuts, &self.along) {
            let middles = plan.free_m.iter().map(|[from_m, to_m]| f64::midpoint(*from_m, *to_m));
            bays.extend(middles.filter_map(|at_m| self.bay_at(along.station_m(at_m))));
        }
        bays.sort_unstable();
        bays.dedup();
        bays
    }

    /// The field without which no bay is known at a station: bays that are listed lie nowhere without their ends.
    pub(crate) const fn no_bay(&self) -> &'static str {
        match self.ways.bays.is_empty() {
            true => "schedule.bays",
            false => "bay.from_m",
        }
    }

    /// How people call the bay behind an end, where it is known.
    pub(crate) fn bay_behind(&self, end: &EndAt<'_>) -> Option<String> {
        let bay = self.ways.behind(self.context, self.at, end).ok()??;
        Some(self.ways.call_bay(bay))
    }
}
