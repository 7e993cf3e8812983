//! A jack does not fit beside the axis: walls, obstacles, the recess.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::passing::ABUTTING_MM;
use restrand_mechanics::room::{Envelope, Side, wall_gap_tilted_mm};
use restrand_model::route::Route;
use restrand_model::schedule::Jack;

use super::jack_case::{ROOM, SIDE, another_listed, jack_at};
use super::said;
use crate::beyond::short_of;
use crate::book::Limit;
use crate::context::{Context, EndAt, Found, TendonAt};
use crate::ends::{
    Clear, ClearSide, JackBody, RecessAround, WallGap, beside, nearest_obstacle, recess_around,
    wall_gap, wall_gaps,
};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "space/jack-envelope",
    summary: "each end's jack and its hoses against the walls, obstacles and recess beside the axis",
    kinds: &[Kind::Physical, Kind::Margin],
    limits: &[SIDE, ROOM],
    sources: &[Citation::new("geometry of a cylinder beside flat walls", Evidence::Derived)],
    correction: Corrects::Nothing,
    implied_by: &["anchorage/jack-not-listed"],
    page: include_str!("jack_envelope.md"),
    check: Check::Tendons(check),
};

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    for end in at.ends() {
        let jack = match jack_at(context, at, &end) {
            Ok(jack) => jack,
            Err(skip) => {
                skip.say(outcomes);
                continue;
            }
        };
        let anchorage = context.anchorage(end.end).map(|found| found.record);
        let body = match JackBody::of(jack.record, anchorage) {
            Ok(body) => body,
            Err(field) => {
                outcomes.not_evaluated(field);
                continue;
            }
        };
        let case = Case { context, at, end: &end, jack: &jack, body, limit: context.limit(SIDE) };
        for judged in [case.walls(), case.obstacles(), case.recess()] {
            match judged {
                Ok(Judged::Pass) => outcomes.pass(),
                Ok(Judged::Nothing(why)) => outcomes.not_applicable(why),
                Ok(Judged::Found(finding)) => outcomes.found(*finding),
                Err(field) => outcomes.not_evaluated(field),
            }
        }
    }
}

enum Judged {
    Pass,
    Nothing(&'static str),
    Found(Box<Finding>),
}

/// A jack at an end.
struct Case<'c, 'a> {
    context: &'c Context<'a>,
    at: &'c TendonAt<'c>,
    end: &'c EndAt<'c>,
    jack: &'c Found<'c, Jack>,
    body: JackBody,
    limit: &'c Limit,
}

impl Case<'_, '_> {
    fn kind(&self, gap_mm: f64) -> Option<Kind> {
        if gap_mm < 0.0 {
            Some(Kind::Physical)
        } else {
            short_of(gap_mm, self.limit.value).then_some(Kind::Margin)
        }
    }

    /// Against the stated sides of the room, which are the least over its length.
    fn walls(&self) -> Result<Judged, &'static str> {
        let sides = self.context.room(self.at, self.end).sides;
        let envelope = self.body.envelope();
        let mut narrow: Vec<(ClearSide, Clear, f64, Kind)> = Vec::new();
        for WallGap { side, clear, gap_mm } in
            wall_gaps(self.context, self.at, self.end, &envelope)?
        {
            if let Some(kind) = self.kind(gap_mm) {
                narrow.push((side, clear, gap_mm, kind));
            }
        }
        narrow.sort_by(|one, other| one.2.total_cmp(&other.2));
        let Some((first, clear, gap_mm, kind)) = narrow.first().copied() else {
            return match sides.iter().find(|side| side.clear.is_none()) {
                Some(_) => Err("removal_space.up_mm"),
                None => self.hoses_known().map(|()| Judged::Pass),
            };
        };
        let reach_mm = clear.mm - gap_mm;
        let message = match kind {
            Kind::Physical => format!(
                "jack {{jack}} does not fit at {{end}} of {{tendon}}: it reaches {{reach_mm}} {} the axis{}, and \
                 there are {{clear_mm}}",
                first.word,
                self.with_hoses(&envelope, first.side)
            ),
            _ => format!(
                "jack {{jack}} at {{end}} of {{tendon}} leaves {{gap_mm}} {} the axis, less than \
                 {{jack_side_mm}}: it reaches {{reach_mm}}{}, and there are {{clear_mm}}",
                first.word,
                self.with_hoses(&envelope, first.side)
            ),
        };
        let mut finding = self
            .finding(kind, clear.route(self.end, first.field), message, gap_mm)
            .fact(clear.fact("clear_mm", 1))
            .fact(Fact::computed("reach_mm", reach_mm, 1));
        finding = said::of_bay(finding, self.context, clear);
        for (side, clear, ..) in &narrow[1..] {
            finding = finding.related(
                clear.route(self.end, side.field),
                format!("too near {} the axis as well", side.word),
            );
        }
        // Hoses may leave on another side, if only they are in the way.
        let is_hoses = envelope.hose_mm > 0.0 && first.side == envelope.hose_side;
        if is_hoses && narrow.len() == 1 && self.kind(gap_mm + envelope.hose_mm).is_none() {
            let free = sides.iter().find(|side| {
                let turned = Envelope { hose_side: side.side, ..envelope };
                side.side != envelope.hose_side
                    && side.clear_mm().is_some_and(|clear_mm| {
                        wall_gap(&turned, side.side, clear_mm)
                            .is_ok_and(|gap_mm| self.kind(gap_mm).is_none())
                    })
            });
            if let Some(free) = free {
                finding = finding.remedy(format!(
                    "Turn the jack so that its hoses leave {} the axis",
                    free.word
                ));
            }
        }
        finding = self.offer_another(finding);
        Ok(Judged::Found(Box::new(
            finding.remedy(format!("Make {{short_mm}} more room {} the axis", first.word)),
        )))
    }

    /// Against the obstacles beside the jack's travel; one in its way ends the room, which its three cases say.
    fn obstacles(&self) -> Result<Judged, &'static str> {
        let obstacles = self.context.obstacles(self.at, self.end)?;
        if obstacles.is_empty() {
            return Ok(Judged::Nothing("no obstacle is stated at the end or in its bay"));
        }
        let needs = self.context.jack_needs(self.at, self.end)?;
        let envelope = self.body.envelope();
        let nearest = nearest_obstacle(self.context, self.at, self.end, &envelope, &needs)?;
        let Some((obstacle, gap_mm)) = nearest else { return Ok(Judged::Pass) };
        let Some(kind) = self.kind(gap_mm) else { return Ok(Judged::Pass) };
        let message = match kind {
            Kind::Physical => {
                "the hoses of jack {jack} at {end} of {tendon} run into {obstacle}, by {overlap_mm}"
            }
            _ => {
                "jack {jack} at {end} of {tendon} leaves {gap_mm} to {obstacle}, less than {jack_side_mm}"
            }
        };
        let finding = self
            .finding(kind, obstacle.route.clone(), message.to_owned(), gap_mm)
            .fact(Fact::text("obstacle", obstacle.name.as_str()));
        Ok(Judged::Found(Box::new(
            self.offer_another(finding).remedy("Move {obstacle} {short_mm} away from the axis"),
        )))
    }

    /// Against the walls of the recess in which the anchorage sits, to which its axis may be tilted.
    fn recess(&self) -> Result<Judged, &'static str> {
        let Some(recess) = recess_around(self.context, self.at, self.end)? else {
            return Ok(Judged::Nothing("the end sits in no recess"));
        };
        let parts = self.context.end_parts(self.end);
        let anchorage = self.context.anchorage(self.end.end).map(|found| found.record);
        let head_rear_mm = crate::ends::head_rear_mm(anchorage, parts)?;
        let mut nearest: Vec<(&str, f64)> = Vec::new();
        for stretch in self.body.stretches(head_rear_mm, recess.depth_mm) {
            // Hoses are put on behind the face of the concrete.
            let envelope =
                Envelope { radius_mm: stretch.radius_mm, hose_mm: 0.0, hose_side: Side::Up };
            for (side, word, wall_mm, tilt_rad) in walls_of(&recess) {
                let gap_mm = wall_gap_tilted_mm(
                    &envelope,
                    side,
                    wall_mm,
                    tilt_rad,
                    stretch.from_mm,
                    stretch.to_mm,
                )
                .map_err(|_| "recess.width_mm")?;
                match nearest.iter_mut().find(|(known, _)| *known == word) {
                    Some((_, least_mm)) => *least_mm = least_mm.min(gap_mm),
                    None => nearest.push((word, gap_mm)),
                }
            }
        }
        let least = nearest.iter().map(|(_, gap_mm)| *gap_mm).reduce(f64::min);
        let Some(gap_mm) = least else { return Ok(Judged::Pass) };
        let Some(kind) = self.kind(gap_mm) else { return Ok(Judged::Pass) };
        // Walls that are as near are named with it.
        let near = nearest.iter().filter(|(_, other_mm)| other_mm - gap_mm < ABUTTING_MM);
        let near: Vec<&str> = near.map(|(word, _)| *word).collect();
        let (word, walls) = match &near[..] {
            [one] => ((*one).to_owned(), "wall"),
            [first @ .., last] => (format!("{} and {last}", first.join(", ")), "walls"),
            [] => (String::new(), "wall"),
        };
        let message = match kind {
            Kind::Physical => {
                format!(
                    "jack {{jack}} at {{end}} of {{tendon}} does not go into the recess, {{depth_mm}} deep: it runs into its \
                     {{wall}} {walls}, by {{overlap_mm}}"
                )
            }
            _ => format!(
                "jack {{jack}} at {{end}} of {{tendon}} leaves {{gap_mm}} to the {{wall}} {walls} of the recess, less than \
                 {{jack_side_mm}}"
            ),
        };
        let finding = self
            .finding(kind, self.end.route.field("jack"), message, gap_mm)
            .related(recess.route.clone(), "the recess")
            .fact(Fact::text("wall", word))
            .fact(Fact::given("depth_mm", recess.depth_mm, 1));
        Ok(Judged::Found(Box::new(finding.remedy(match near.len() {
            1 => "Make the recess {short_mm} wider on that side",
            _ => "Make the recess {short_mm} wider on each of these sides",
        }))))
    }

    fn finding(&self, kind: Kind, place: Route, message: String, gap_mm: f64) -> Finding {
        let mut finding = Finding::new(RULE.id, kind, place, message)
            // The wrong jack at this end is the root; what else is wrong with it at its anchorage is not.
            .rests_on([self.end.route.field("jack")])
            .related(self.jack.route.field("diameter_mm"), "the jack's diameter")
            .help(
                "A jack is slid along its axis with its hoses on it: it needs its own width and a hand's play \
                 over all its travel",
            )
            .fact(Fact::text("tendon", self.at.mark()))
            .fact(Fact::text("end", format!("end {}", self.end.name)))
            .fact(Fact::text(
                "jack",
                self.jack.record.id.as_deref().unwrap_or("without a name"),
            ))
            .fact(Fact::computed("radius_mm", self.body.radius_mm, 1))
            .fact(Fact::computed("gap_mm", gap_mm, 1))
            .fact(self.limit.fact(SIDE, 0))
            .fact(Fact::computed("short_mm", self.limit.value - gap_mm, 1).at_least());
        if gap_mm < 0.0 {
            finding = finding.fact(Fact::computed("overlap_mm", -gap_mm, 1).at_least());
        }
        finding
    }

    fn offer_another(&self, finding: Finding) -> Finding {
        let own_mm = self.body.radius_mm;
        match another_listed(self.context, self.at, self.end, self.jack, &|body| {
            body.radius_mm < own_mm
        }) {
            Some((name, _)) => finding
                .fact(Fact::text("other_jack", name))
                .remedy("Take jack {other_jack}, listed for this anchorage, which is narrower"),
            None => finding,
        }
    }

    fn with_hoses(&self, envelope: &Envelope, side: Side) -> &'static str {
        if envelope.hose_mm > 0.0 && side == envelope.hose_side { " with its hoses" } else { "" }
    }

    /// Whether it is known what the hoses take beside the axis.
    fn hoses_known(&self) -> Result<(), &'static str> {
        let jack = self.jack.record;
        match (jack.hose_side, jack.hose_room_mm) {
            (Some(side), None) if beside(side).is_some() => Err("jack.hose_room_mm"),
            (None, _) => Err("jack.hose_side"),
            _ => Ok(()),
        }
    }
}

/// The walls of a recess, with the angle of the axis towards each.
fn walls_of(recess: &RecessAround) -> [(Side, &'static str, f64, f64); 4] {
    [
        (Side::Up, "upper", recess.up_mm, recess.tilt_up_rad),
        (Side::Down, "lower", recess.down_mm, -recess.tilt_up_rad),
        (Side::Left, "left", recess.left_mm, recess.tilt_left_rad),
        (Side::Right, "right", recess.right_mm, -recess.tilt_left_rad),
    ]
}
