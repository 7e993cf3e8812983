//! The stiff, bent piece of a tendon jams in its form when it is drawn out.

use std::collections::HashMap;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::passing::{
    BentPiece, BentPipe, Flare, RodLength, Search, bent_gap_at_least_mm, bent_passage, longest_rod,
    worst_bore_mm, worst_outer_mm,
};
use restrand_mechanics::path::crossing;
use restrand_model::route::Route;
use restrand_model::schedule::{Form, FormKind, Status};

use crate::beyond::short_of;
use crate::context::{Context, TendonAt};
use crate::deviator::guided;
use crate::rule::{Check, Corrects, LimitKey, Rule};
use crate::tendon_path::{DeviatorSpot, LaidTendon};
use crate::unstated;
use crate::works::CUT_CLEAR;

const STANDOFF: LimitKey =
    LimitKey { name: "saw_standoff_mm", meaning: "distance from a face to the saw cut" };

pub(crate) const RULE: Rule = Rule {
    id: "parts/bent-piece-jams",
    summary: "the stiff piece in each bent pipe or flared form, cut as stated, against what comes round its bend",
    kinds: &[Kind::Physical, Kind::Margin],
    limits: &[STANDOFF, CUT_CLEAR],
    sources: &[Citation::new(
        "geometry of a straight rod in a bent pipe, and of a bent piece in a flared form",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    // A gap that is short is no root: the leg jams in a bore that it clears.
    implied_by: &["path/points-impossible"],
    page: include_str!("bent_piece_jams.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let mut said: HashMap<Key, ()> = HashMap::new();
    let mut searched: HashMap<Key, f64> = HashMap::new();
    for at in context.tendons() {
        if at.stays() {
            outcomes.not_applicable("the tendon need not be replaceable");
            continue;
        }
        if !matches!(at.tendon.status, None | Some(Status::InUse)) {
            outcomes.not_applicable("the tendon is not in place");
            continue;
        }
        for index in 0..at.tendon.deviators.len() {
            let stub = match Stub::of(context, &at, index) {
                Ok(stub) => stub,
                Err(Skip::NotApplicable(reason)) => {
                    outcomes.not_applicable(reason);
                    continue;
                }
                Err(Skip::NotEvaluated(field)) => {
                    outcomes.not_evaluated(field);
                    continue;
                }
            };
            let judged = match stub.form.kind {
                Some(FormKind::BentPipe) => stub.in_pipe(),
                _ => stub.in_flare(&mut searched),
            };
            match judged {
                Ok(None) => match stub.unstated {
                    Some(field) => outcomes.not_evaluated(field),
                    None => outcomes.pass(),
                },
                Ok(Some(jam)) if said.insert(stub.key(&jam), ()).is_some() => {
                    outcomes.not_applicable("the same form and duct have the finding");
                }
                Ok(Some(jam)) => outcomes.found(stub.finding(&jam)),
                Err(field) => outcomes.not_evaluated(field),
            }
        }
    }
}

enum Skip {
    NotApplicable(&'static str),
    NotEvaluated(&'static str),
}

impl From<&'static str> for Skip {
    fn from(field: &'static str) -> Self {
        Self::NotEvaluated(field)
    }
}

/// What tells one jam from another: form, duct, and lengths and angles in hundredths and millionths.
type Key = (Route, Option<Route>, [i64; 4]);

#[expect(clippy::cast_possible_truncation, reason = "lengths and angles of a deviator are small")]
fn rounded(value: f64, parts: f64) -> i64 {
    (value * parts).round() as i64
}

/// The stiff piece that is cut out of a tendon at a deviator.
struct Stub<'c, 'a> {
    context: &'c Context<'a>,
    at: &'c TendonAt<'a>,
    index: usize,
    laid: Option<&'c LaidTendon>,
    form: &'c Form,
    form_route: Route,
    duct_route: Option<Route>,
    /// Of the duct, at worst, mm.
    outer_mm: f64,
    /// A tolerance of duct or form that is absent: the gap may be less.
    unstated: Option<&'static str>,
    /// From the ends of the bend to the stated cuts, down-station and up-station, mm; nothing where none is stated.
    cuts_mm: [Option<f64>; 2],
}

/// What does not come out.
struct Jam {
    /// The leg that is drawn through, mm.
    leg_mm: f64,
    /// Of that leg, what lies in the pipe, mm.
    end_mm: f64,
    /// Whether it is a stated cut that makes it so long.
    is_stated: bool,
    what: What,
}

enum What {
    /// In a bent pipe.
    Pipe {
        /// The longest rod that comes round the bend, mm.
        longest_mm: f64,
        bore_mm: f64,
        /// Whether a leg cut at the very face would come out.
        saw_alone: bool,
    },
    /// In a flared form.
    Flare {
        /// What lacks all round, mm.
        overlap_mm: f64,
        bore_mm: f64,
    },
}

impl<'c, 'a> Stub<'c, 'a> {
    fn of(context: &'c Context<'a>, at: &'c TendonAt<'a>, index: usize) -> Result<Self, Skip> {
        let deviator = &at.tendon.deviators[index];
        let found = context.form(deviator).ok_or("deviator.form")?;
        let form = context.form_at(at, index).ok_or("deviator.form")?;
        match form.kind {
            Some(FormKind::BentPipe | FormKind::Flared) => {}
            Some(FormKind::StraightSleeve) => {
                return Err(Skip::NotApplicable("the piece in a straight sleeve is straight"));
            }
            None => return Err(Skip::NotEvaluated("form.kind")),
        }
        let laid = context.path(at).ok();
        let spot = laid.and_then(|laid| laid.deviators.get(index));
        if matches!(spot, Some(DeviatorSpot::OnLeg(_))) {
            return Err(Skip::NotApplicable("the tendon passes it straight"));
        }
        let duct = context.duct_in_form(at, index)?;
        let outer_mm = duct.record.outer_mm.ok_or("duct.outer_mm")?;
        let [tolerance, ovality] =
            [duct.record.tolerance_mm, duct.record.ovality_mm].map(Option::unwrap_or_default);
        let outer_mm = worst_outer_mm(outer_mm, tolerance, ovality).map_err(|_| "duct.outer_mm")?;
        let cuts_mm = match (laid, spot) {
            (Some(laid), Some(DeviatorSpot::Corner(bend))) => cuts_mm(context, at, laid, *bend),
            _ => [None, None],
        };
        let unstated = unstated::of_duct(duct.record).or_else(|| unstated::of_form(form));
        Ok(Self {
            context,
            at,
            index,
            laid,
            form,
            form_route: found.route,
            duct_route: Some(duct.route),
            outer_mm,
            unstated,
            cuts_mm,
        })
    }

    /// The narrowest bore at worst, mm.
    fn bore_mm(&self) -> Result<f64, &'static str> {
        let form = &self.form;
        let [tolerance, ovality, seam] =
            [form.tolerance_mm, form.ovality_mm, form.seam_mm].map(Option::unwrap_or_default);
        let throat_mm = form.throat_mm.ok_or("form.throat_mm")?;
        let bore_mm = worst_bore_mm(throat_mm, tolerance, ovality, seam);
        // That it does not pass at all is told by the rule on the bore.
        bore_mm.ok().filter(|bore_mm| self.outer_mm < *bore_mm).ok_or("form.throat_mm")
    }

    fn standoff_mm(&self) -> f64 {
        self.context.limit(STANDOFF).value
    }

    /// The shorter straight leg is the one drawn through the bend: to its stated cut, else as near to the face as a saw
    /// comes.
    fn in_pipe(&self) -> Result<Option<Jam>, &'static str> {
        let form = &self.form;
        let bore_mm = self.bore_mm()?;
        let ends_mm = [
            form.straight_rear_mm.ok_or("form.straight_rear_mm")?,
            form.straight_span_mm.ok_or("form.straight_span_mm")?,
        ];
        let pipe = BentPipe {
            axis_radius_mm: form.axis_radius_mm.ok_or("form.axis_radius_mm")?,
            bore_mm,
            bend_rad: form.bend_rad.ok_or("form.bend_rad")?,
            one_end_mm: ends_mm[0],
            other_end_mm: ends_mm[1],
        };
        let leg = |side: usize| match self.cuts_mm[side] {
            // Nobody cuts inside the pipe: a cut that is stated there is another finding.
            Some(cut_mm) => (cut_mm.max(ends_mm[side]), true, ends_mm[side]),
            None => (ends_mm[side] + self.standoff_mm(), false, ends_mm[side]),
        };
        let (leg_mm, is_stated, end_mm) = if leg(1).0 < leg(0).0 { leg(1) } else { leg(0) };
        let longest_mm =
            match longest_rod(&pipe, self.outer_mm).map_err(|_| "form.axis_radius_mm")? {
                RodLength::UpTo { length_mm } => length_mm,
                RodLength::Nothing => 0.0,
                RodLength::Any => f64::INFINITY,
            };
        let saw_alone = end_mm <= longest_mm;
        let what = What::Pipe { longest_mm, bore_mm, saw_alone };
        Ok((longest_mm < leg_mm).then_some(Jam { leg_mm, end_mm, is_stated, what }))
    }

    /// A piece that is bent as the wall is passes a form without a straight throat along its own axis, however long its
    /// legs are; what a throat or a tighter bend takes of the gap is searched for where it may be too much.
    fn in_flare(&self, searched: &mut HashMap<Key, f64>) -> Result<Option<Jam>, &'static str> {
        let form = &self.form;
        let bore_mm = self.bore_mm()?;
        let wall_mm = form.wall_radius_mm.ok_or("form.wall_radius_mm")?;
        let laid = match self.laid {
            Some(laid) => laid,
            None => {
                let none = self.context.path(self.at).err();
                return Err(none.map_or("tendon.points", |none| none.field()));
            }
        };
        let bend = match laid.deviators.get(self.index) {
            Some(DeviatorSpot::Corner(bend)) => laid.path.bends.get(*bend),
            Some(DeviatorSpot::Unknown(field)) => return Err(field),
            _ => None,
        };
        let bend = bend.ok_or("deviator.place")?;
        let radius_mm = bend.radius_m.ok_or("tendon_point.radius_m")? * 1000.0;
        let throat_length_mm = form.throat_length_mm.ok_or("form.throat_length_mm")?;
        let half = bend.angle_rad / 2.0;
        let flare = Flare {
            wall_radius_mm: wall_mm,
            throat_mm: bore_mm,
            throat_length_mm,
            flare_rad: form.flare_rad.ok_or("form.flare_rad")?,
        };
        let legs_rad = guided::of(self.context, self.at, laid, self.index)?.legs_rad;
        let half_mm = throat_length_mm / 2.0 + wall_mm * flare.flare_rad.sin();
        let to_face_mm = (half_mm - radius_mm * half.sin()).max(0.0);
        let leg_mm = |side: usize| match self.cuts_mm[side] {
            Some(cut_mm) => cut_mm.max(to_face_mm),
            None => to_face_mm + self.standoff_mm(),
        };
        let key = (
            self.form_route.clone(),
            self.duct_route.clone(),
            [
                rounded(leg_mm(0).max(leg_mm(1)), 100.0),
                rounded(leg_mm(0).min(leg_mm(1)), 100.0),
                rounded(radius_mm, 1.0),
                rounded(bend.angle_rad + legs_rad[0], 1.0 / SMALL_RAD),
            ],
        );
        let drawn = |[lead, trail]: [usize; 2]| {
            let piece = BentPiece {
                axis_radius_mm: radius_mm,
                bend_rad: bend.angle_rad,
                leading_leg_mm: leg_mm(lead),
                trailing_leg_mm: leg_mm(trail),
                outer_mm: self.outer_mm,
            };
            (piece, (legs_rad[lead] - legs_rad[trail]) / 2.0)
        };
        // To either side it is drawn.
        let ways = [[1, 0], [0, 1]].map(drawn);
        let misfit = |_| "form.wall_radius_mm";
        for (piece, rest_rad) in ways {
            if bent_gap_at_least_mm(&flare, &piece, rest_rad).map_err(misfit)? >= 0.0 {
                return Ok(None);
            }
        }
        let gap_mm = match searched.get(&key) {
            Some(gap_mm) => *gap_mm,
            None => {
                let mut best_mm = f64::NEG_INFINITY;
                for (piece, rest_rad) in ways {
                    let found = bent_passage(&flare, &piece, rest_rad, 0.0, SEARCH);
                    best_mm = best_mm.max(found.map_err(misfit)?.gap_mm);
                }
                searched.insert(key, best_mm);
                best_mm
            }
        };
        let longer = usize::from(leg_mm(1) > leg_mm(0));
        Ok((gap_mm < 0.0).then(|| Jam {
            leg_mm: leg_mm(longer),
            end_mm: to_face_mm,
            is_stated: self.cuts_mm[longer].is_some(),
            what: What::Flare { overlap_mm: -gap_mm, bore_mm },
        }))
    }

    fn key(&self, jam: &Jam) -> Key {
        (self.form_route.clone(), self.duct_route.clone(), [rounded(jam.leg_mm, 100.0), 0, 0, 0])
    }

    fn finding(&self, jam: &Jam) -> Finding {
        let name = self.form.id.as_deref().unwrap_or("without a name");
        let at_cut = match jam.is_stated {
            true => "cut where it is stated",
            false => "cut {saw_standoff_mm} outside the face",
        };
        let (kind, message, help) = match jam.what {
            // Cut at the very face it would come out: then only the saw is short of room.
            What::Pipe { saw_alone, .. } => (
                if saw_alone && !jam.is_stated { Kind::Margin } else { Kind::Physical },
                format!(
                    "the stub of {{tendon}} jams in the bent pipe {{form}}: {at_cut} its straight leg is {{leg_mm}} long, and a \
                     straight rod of {{outer_mm}} comes round the bend up to {{longest_mm}}"
                ),
                "Choose a flared form or a wider pipe, or shorten its straight ends",
            ),
            What::Flare { .. } => (
                Kind::Physical,
                format!(
                    "the bent stub of {{tendon}} jams in {{form}}: {at_cut}, with a leg of {{leg_mm}}, it lacks {{overlap_mm}} all \
                     round at {{bore_mm}} of bore, however it is turned"
                ),
                "Choose a form with a wider or shorter throat, or one whose wall is as round as the tendon",
            ),
        };
        let place = self.at.route.field("deviators").item(self.index).field("form");
        let mut finding = Finding::new(RULE.id, kind, place, message)
            .related(self.form_route.clone(), "the form, with {bore_mm} of bore at worst")
            .help(help)
            .fact(Fact::text("tendon", self.at.mark()))
            .fact(Fact::text("form", name))
            .fact(Fact::computed("leg_mm", jam.leg_mm, 0))
            .fact(Fact::computed("outer_mm", self.outer_mm, 1))
            .fact(self.context.limit(STANDOFF).fact(STANDOFF, 0));
        if jam.is_stated {
            finding = finding.related(self.at.route.field("cuts"), "the stated cuts");
        }
        match jam.what {
            What::Pipe { longest_mm, bore_mm, saw_alone } => {
                let finding = finding
                    .fact(Fact::computed("longest_mm", longest_mm, 0).at_most())
                    .fact(Fact::computed("over_mm", jam.leg_mm - longest_mm, 0).at_least())
                    .fact(Fact::computed("bore_mm", bore_mm, 1));
                // As near to the face as that nobody cuts: what is left is the pipe.
                let clear = self.context.limit(CUT_CLEAR);
                let from_face_mm = longest_mm - jam.end_mm;
                match (saw_alone, jam.is_stated) {
                    (false, _) => finding,
                    (true, _) if short_of(from_face_mm, clear.value) => finding
                        .fact(Fact::computed("from_face_mm", from_face_mm, 0))
                        .fact(clear.fact(CUT_CLEAR, 0))
                        .remedy(
                            "Shorten the straight end of the pipe: the leg would come out cut {from_face_mm} from the face, and a \
                             saw needs {cut_clear_mm}",
                        ),
                    (true, true) => finding.remedy("Cut {over_mm} nearer to the face"),
                    (true, false) => {
                        finding.remedy("Cut {over_mm} nearer to the face than {saw_standoff_mm}")
                    }
                }
            }
            What::Flare { overlap_mm, bore_mm } => finding
                .fact(Fact::computed("overlap_mm", overlap_mm, 2))
                .fact(Fact::computed("bore_mm", bore_mm, 1))
                .fact(Fact::computed("wider_mm", 2.0 * overlap_mm, 1).at_least())
                .remedy("Make the throat {wider_mm} wider on diameter"),
        }
    }
}

/// Angles that differ by less are one to a search, rad.
const SMALL_RAD: f64 = 1e-6;

/// How finely the ways out are searched: finer changes the gap by less than a hundredth of a millimetre.
const SEARCH: Search = Search { travel_steps: 60, tilt_steps: 60 };

/// From the ends of a bend to the nearest stated cuts on its two legs, mm.
fn cuts_mm(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    laid: &LaidTendon,
    bend: usize,
) -> [Option<f64>; 2] {
    let Ok(alignment) = context.alignment() else { return [None, None] };
    let Some(corner_m) = at.tendon.points.get(bend + 1).and_then(|point| point.station_m) else {
        return [None, None];
    };
    let tangent_mm = laid.path.bends[bend].tangent_m * 1000.0;
    [0, 1].map(|side| {
        let line = laid.path.legs.get(bend + side)?;
        let stations = at.tendon.cuts.iter().filter_map(|cut| cut.station_m);
        stations
            .filter(|station_m| (*station_m < corner_m) == (side == 0))
            .filter_map(|station_m| {
                let share = crossing(alignment, line.from, line.to, station_m).ok()?.share;
                let share = if side == 0 { 1.0 - share } else { share };
                Some(share * line.length_m * 1000.0 - tangent_mm)
            })
            .reduce(f64::min)
    })
}
