//! What is moved behind an end runs into a tendon or a cap that stays.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::SMALLEST;
use restrand_model::reflect::Choice;
use restrand_model::route::Route;
use restrand_model::schedule::{EndKind, Status};

use super::jack_case::{ROOM, SIDE, Skip, another_listed, jack_at};
use super::stub;
use crate::beyond::short_of;
use crate::context::{Context, EndAt, TendonAt};
use crate::ends::{
    EndAxis, JackBody, Nearest, OnAxis, Standing, What, cap, clear_behind, head_rear_mm,
    nearest_live, worst_radius_mm,
};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "space/live-tendon-in-the-way",
    summary: "cap and stub drawn off at each end, and its jack, against tendons that pass and caps that stay",
    kinds: &[Kind::Physical, Kind::Margin],
    limits: &[SIDE, ROOM],
    sources: &[Citation::new("geometry of cylinders in space", Evidence::Derived)],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible"],
    page: include_str!("live_tendon_in_the_way.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    for at in context.tendons() {
        if at.tendon.status == Some(Status::Removed) {
            outcomes.not_applicable("the tendon is removed");
            continue;
        }
        if at.stays() {
            outcomes.not_applicable("the tendon need not be replaceable");
            continue;
        }
        for end in at.ends() {
            if end.end.kind == Some(EndKind::Embedded) {
                outcomes.not_applicable("the end is embedded");
                continue;
            }
            let axis = match EndAxis::of(context, &at, &end) {
                Ok(axis) => axis,
                Err(field) => {
                    outcomes.not_evaluated(field);
                    continue;
                }
            };
            let case = Case { context, standing: context.standing(), at: &at, end: &end, axis };
            case.drawn_off(outcomes);
            case.jack(outcomes);
        }
    }
}

struct Case<'c, 'a> {
    context: &'c Context<'a>,
    standing: &'c Standing,
    at: &'c TendonAt<'c>,
    end: &'c EndAt<'c>,
    axis: EndAxis,
}

impl Case<'_, '_> {
    /// Cap and stub on their way off; how much room is left beside them is no matter as long as they pass.
    ///
    /// What both meet is told once, of the one that runs into it further.
    fn drawn_off(&self, outcomes: &mut Outcomes) {
        let met = [(Mover::Cap, self.cap_meets()), (Mover::Stub, self.stub_meets())];
        let mut told: Vec<(Mover, Nearest)> = Vec::new();
        for (mover, meets) in met {
            match meets {
                Ok(Some(nearest)) => told.push((mover, nearest)),
                Ok(None) => self.clear(outcomes),
                Err(skip) => skip.say(outcomes),
            }
        }
        if let [(_, cap), (_, stub)] = told.as_slice()
            && (cap.body.tendon, cap.body.what) == (stub.body.tendon, stub.body.what)
        {
            let less = usize::from(cap.gap_mm < stub.gap_mm);
            told.remove(less);
        }
        for (mover, nearest) in told {
            outcomes.found(self.finding(&nearest, mover));
        }
    }

    fn is_in_place(&self) -> Result<(), Skip> {
        match self.at.tendon.status {
            None | Some(Status::InUse) => Ok(()),
            _ => Err(Skip::NotApplicable("the tendon is not in place")),
        }
    }

    /// What the bar meets.
    fn stub_meets(&self) -> Result<Option<Nearest>, Skip> {
        self.is_in_place()?;
        let geometry = stub::geometry(self.context, self.end).map_err(Skip::NotEvaluated)?;
        // Without a diameter nothing is known of what it meets.
        if geometry.radius_mm < SMALLEST {
            return Err(Skip::NotEvaluated("part.rear_outer_mm"));
        }
        let meets = |to_mm: f64| {
            let bar = OnAxis { from_mm: 0.0, to_mm, radius_mm: geometry.radius_mm };
            self.standing.nearest(self.at.position, &self.axis, bar, 0.0)
        };
        // Drawn in one or in pieces, it takes no more than there is; and where that is not known, no less than what
        // must stay whole.
        let length_mm = geometry.length_mm();
        match clear_behind(self.context, self.at, self.end, geometry.radius_mm) {
            Ok(behind) => Ok(meets(length_mm.min(behind.clear_mm))),
            Err(field) => match meets(length_mm.min(geometry.whole_mm)) {
                None if meets(length_mm).is_some() => Err(Skip::NotEvaluated(field)),
                nearest => Ok(nearest),
            },
        }
    }

    /// What the cap meets until it is past the tails.
    fn cap_meets(&self) -> Result<Option<Nearest>, Skip> {
        self.is_in_place()?;
        let way = self.cap_way().map_err(Skip::NotEvaluated)?;
        let way = way.ok_or(Skip::NotApplicable("a pour-back is broken out"))?;
        let meets = |stretch| self.standing.nearest(self.at.position, &self.axis, stretch, 0.0);
        let near = way.into_iter().filter_map(meets);
        Ok(near.min_by(|one, other| one.gap_mm.total_cmp(&other.gap_mm)))
    }

    /// The stretches that a cap takes until it is past the tails: its body, and its flange at the open end.
    fn cap_way(&self) -> Result<Option<[OnAxis; 2]>, &'static str> {
        let parts = self.context.end_parts(self.end);
        let anchorage = self.context.anchorage(self.end.end);
        let Some(cap) = cap(anchorage.as_ref(), parts)? else { return Ok(None) };
        let radius_mm = cap.radius_mm.ok_or("part.rear_outer_mm")?;
        let tail_mm = self.end.end.tail_mm.ok_or("end.tail_mm")?;
        let inside_mm = head_rear_mm(anchorage.map(|found| found.record), parts)? + tail_mm;
        let body = OnAxis { from_mm: cap.open_mm, to_mm: cap.room_mm(inside_mm, 0.0)?, radius_mm };
        let own = parts.iter().find(|part| part.route == cap.route);
        let flange_mm = own.and_then(|part| worst_radius_mm(&part.part)).unwrap_or(radius_mm);
        let flange = OnAxis { to_mm: inside_mm.max(cap.open_mm), radius_mm: flange_mm, ..body };
        Ok(Some([body, flange]))
    }

    /// The jack on its way on and off.
    fn jack(&self, outcomes: &mut Outcomes) {
        let jack = match jack_at(self.context, self.at, self.end) {
            Ok(jack) => jack,
            Err(Skip::NotApplicable(reason)) => return outcomes.not_applicable(reason),
            Err(Skip::NotEvaluated(field)) => return outcomes.not_evaluated(field),
        };
        let anchorage = self.context.anchorage(self.end.end).map(|found| found.record);
        let known = JackBody::of(jack.record, anchorage)
            .and_then(|body| Ok((body, self.context.jack_needs(self.at, self.end)?)));
        let (body, needs) = match known {
            Ok(known) => known,
            Err(field) => return outcomes.not_evaluated(field),
        };
        let limit = self.context.limit(SIDE);
        let near = nearest_live(self.context, self.at, self.end, &body, &needs, limit.value);
        let nearest = match near {
            Ok(Some(nearest)) if short_of(nearest.gap_mm, limit.value) => nearest,
            Ok(_) => return self.clear(outcomes),
            Err(field) => return outcomes.not_evaluated(field),
        };
        let mut finding = self
            .finding(&nearest, Mover::Jack)
            .related(jack.route.field("diameter_mm"), "the jack's diameter")
            .fact(Fact::text("jack", jack.record.id.as_deref().unwrap_or("without a name")))
            .fact(Fact::computed("radius_mm", body.radius_mm, 1))
            .fact(limit.fact(SIDE, 0))
            .fact(Fact::computed("short_mm", limit.value - nearest.gap_mm, 1).at_least());
        let most_mm = body.radius_mm + nearest.gap_mm - limit.value;
        let narrower = |other: &JackBody| !short_of(most_mm, other.radius_mm);
        if let Some((name, _)) = another_listed(self.context, self.at, self.end, &jack, &narrower) {
            finding = finding
                .fact(Fact::text("other_jack", name))
                .remedy("Take jack {other_jack}, listed for this anchorage, which is narrower");
        }
        outcomes
            .found(finding.remedy("Move one of the two tendons {short_mm} away from the other"));
    }

    fn clear(&self, outcomes: &mut Outcomes) {
        match self.standing.unknown() {
            Some(field) => outcomes.not_evaluated(field),
            None => outcomes.pass(),
        }
    }

    fn finding(&self, nearest: &Nearest, mover: Mover) -> Finding {
        let tendon = nearest.body.tendon;
        let other = self.context.tendons().nth(tendon);
        let (mark, route) = match &other {
            Some(other) => (other.mark(), other.route.clone()),
            None => (format!("#{}", tendon + 1), Route::to("tendons", tendon)),
        };
        let (what, place) = match nearest.body.what {
            What::Leg(leg) => ("the duct", route.field("points").item(leg)),
            What::Cap(end) => {
                let end = end.word();
                ("the cap", route.field("ends").field(end))
            }
        };
        let is_clash = nearest.gap_mm < 0.0;
        let kind = if is_clash { Kind::Physical } else { Kind::Margin };
        let (subject, place_of) = match mover {
            Mover::Stub => ("the stub drawn out", self.end.route.clone()),
            Mover::Cap => ("the cap on its way off", self.end.route.clone()),
            Mover::Jack => ("jack {jack}", self.end.route.field("jack")),
        };
        let message = if is_clash {
            format!(
                "{subject} at {{end}} of {{tendon}} runs into {what} of {{neighbour}}, which stays, by \
                 {{overlap_mm}}, {{at_mm}} behind the bearing plate"
            )
        } else {
            format!(
                "{subject} at {{end}} of {{tendon}} leaves {{gap_mm}} to {what} of {{neighbour}}, which stays, \
                 {{at_mm}} behind the bearing plate: less than {{jack_side_mm}}"
            )
        };
        let mut finding = Finding::new(RULE.id, kind, place_of, message)
            .related(place, format!("{what} of {{neighbour}}"))
            .help(
                "A live tendon is not to be touched: a nick in its duct lets water in, and a blow on its cap may \
                 loosen it",
            )
            .fact(Fact::text("tendon", self.at.mark()))
            .fact(Fact::text("end", format!("end {}", self.end.name)))
            .fact(Fact::text("neighbour", mark))
            .fact(Fact::computed("gap_mm", nearest.gap_mm, 1))
            .fact(Fact::computed("axes_mm", nearest.axes_mm, 1))
            .fact(Fact::computed("at_mm", nearest.at_mm, 1));
        if is_clash {
            finding = finding.fact(Fact::computed("overlap_mm", -nearest.gap_mm, 1).at_least());
        }
        match mover {
            Mover::Stub | Mover::Cap => {
                finding.remedy("Move one of the two tendons {overlap_mm} away from the other")
            }
            Mover::Jack => finding,
        }
    }
}

/// What is moved behind an end.
#[derive(Debug, Clone, Copy)]
enum Mover {
    Cap,
    Stub,
    Jack,
}
