//! The stub at an end does not come out of the room behind it, or only in pulls that nobody has planned.

use std::collections::BTreeMap;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes, Where};
use restrand_mechanics::SMALLEST;
use restrand_mechanics::passing::ABUTTING_MM;
use restrand_mechanics::removal::{
    Stub, StubPlan, StubVerdict, least_behind_for_any_mm, least_behind_mm, stub_plan,
};
use restrand_model::resolve::ResolvedPart;
use restrand_model::route::Route;
use restrand_model::schedule::{
    Anchorage, End, EndKind, Exit, Part, Permanence, RemovalSpace, Role, Status,
};

use crate::assembly::{Axis, call};
use crate::book::Limit;
use crate::context::{Context, EndAt, Found, TendonAt};
use crate::ends::{ClearBehind, Obstacle, clear_behind, clear_sides, worst_radius_mm};
use crate::rule::{Check, Corrects, LimitKey, Rule};

pub(super) const MARGIN: LimitKey =
    LimitKey { name: "removal_margin_mm", meaning: "room left free behind what is drawn out" };
const GRIP: LimitKey = LimitKey { name: "grip_mm", meaning: "room that the pulling gear takes" };
const STANDOFF: LimitKey =
    LimitKey { name: "saw_standoff_mm", meaning: "from the bearing plate to the nearest saw cut" };
const PIECE: LimitKey =
    LimitKey { name: "stub_piece_min_mm", meaning: "shortest piece that is cut off a stub" };

pub(crate) const RULE: Rule = Rule {
    id: "space/stub",
    summary: "the stub at each end against the room behind and beside it: pulls, cuts, pieces",
    kinds: &[Kind::Physical, Kind::Margin, Kind::Inconsistent, Kind::Note],
    limits: &[MARGIN, GRIP, STANDOFF, PIECE],
    sources: &[Citation::new(
        "geometry of a rigid bar that is drawn and cut; no published procedure could be read",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("stub.md"),
    check: Check::Schedule(check),
};

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    // One slip in an anchorage is said once, with the end at which it shows most.
    let mut forgetful: BTreeMap<usize, Forgetful> = BTreeMap::new();
    for at in context.tendons() {
        if at.stays() {
            outcomes.not_applicable("the tendon need not be replaceable");
            continue;
        }
        if !matches!(at.tendon.status, None | Some(Status::InUse)) {
            outcomes.not_applicable("the tendon is not in place");
            continue;
        }
        for end in at.ends() {
            if end.end.kind == Some(EndKind::Embedded) {
                outcomes.not_applicable("the end is embedded");
                continue;
            }
            let parts = context.end_parts(&end);
            // Without parts there is nothing to hold against any room, which is said once.
            if !parts.is_empty() {
                beside(&at, &end, &parts, outcomes);
            }
            let anchorage = context.anchorage(end.end);
            let stated = anchorage.as_ref().map(|found| found.record);
            let judged = Geometry::of(stated, end.end, &parts).and_then(|geometry| {
                if let Some(found) = &anchorage
                    && let Some(one) = Forgetful::of(found, &at, &end, &geometry)
                    && let Some(position) = end
                        .end
                        .anchorage
                        .as_ref()
                        .and_then(|link| context.position("anchorages", link.key()))
                {
                    let known = forgetful.remove(&position);
                    let most = known.filter(|known| known.of_parts_mm >= one.of_parts_mm);
                    forgetful.insert(position, most.unwrap_or(one));
                }
                of_end(context, &at, &end, &geometry)
            });
            match judged {
                Ok(None) => outcomes.pass(),
                Ok(Some(finding)) => outcomes.found(finding),
                Err(field) => outcomes.not_evaluated(field),
            }
        }
    }
    for one in forgetful.into_values() {
        outcomes.found(one.finding());
    }
}

/// The room beside the axis, against the widest of what is drawn out there; the cap is, before the stub.
fn beside(at: &TendonAt<'_>, end: &EndAt<'_>, parts: &[ResolvedPart<'_>], outcomes: &mut Outcomes) {
    let none = RemovalSpace::default();
    let sides = clear_sides(end.end.removal_space.as_deref().unwrap_or(&none));
    let drawn = parts.iter().map(|resolved| (resolved.part.as_ref(), &resolved.route));
    let drawn = drawn
        .filter(|(part, _)| is_drawn(part) && !matches!(part.role, Some(Role::Seal | Role::Tube)));
    let widest = drawn
        .filter_map(|(part, route)| Some((worst_radius_mm(part)?, part, route)))
        .max_by(|(one, ..), (other, ..)| one.total_cmp(other));
    let Some((radius_mm, part, part_route)) = widest else {
        return outcomes.not_evaluated("part.rear_outer_mm");
    };
    let narrow: Vec<_> = sides
        .iter()
        .filter_map(|side| Some((side.field, side.word, side.clear_mm?)))
        .filter(|(_, _, clear_mm)| *clear_mm < radius_mm - ABUTTING_MM)
        .collect();
    let Some((first, word, clear_mm)) =
        narrow.iter().copied().min_by(|(.., one), (.., other)| one.total_cmp(other))
    else {
        return match sides.iter().any(|side| side.clear_mm.is_none()) {
            true => outcomes.not_evaluated("removal_space.up_mm"),
            false => outcomes.pass(),
        };
    };
    let space = end.route.field("removal_space");
    let mut finding = Finding::new(
        RULE.id,
        Kind::Physical,
        space.field(first),
        format!(
            "{{widest}} at {{end}} of {{tendon}} cannot be drawn out: there are {{clear_mm}} {word} the axis, \
             less than its radius of {{radius_mm}} at worst"
        ),
    )
    .fact(Fact::text("end", format!("end {}", end.name)))
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("widest", call(part)))
    .fact(Fact::given("clear_mm", clear_mm, 1))
    .fact(Fact::computed("radius_mm", radius_mm, 1))
    .related(part_route.clone(), "the widest of what is drawn out there")
    .help(
        "Clear distances are from the anchorage's axis to what stands there: check the value and its unit, or \
         make the room",
    );
    for (field, word, _) in narrow.iter().filter(|(field, ..)| *field != first) {
        finding = finding.related(space.field(field), format!("too near {word} the axis as well"));
    }
    outcomes.found(finding);
}

/// Whether a part leaves rearward, through the room at the end.
fn is_drawn(part: &Part) -> bool {
    part.permanence != Some(Permanence::Permanent) && part.exit == Some(Exit::Rear)
}

/// An anchorage whose stated whole length is less than its own parts and the tail of an end make.
struct Forgetful {
    anchorage: String,
    route: Route,
    stated_mm: f64,
    of_parts_mm: f64,
    to: String,
    end: String,
    tail: Route,
}

impl Forgetful {
    fn of(
        found: &Found<'_, Anchorage>,
        at: &TendonAt<'_>,
        end: &EndAt<'_>,
        geometry: &Geometry,
    ) -> Option<Self> {
        /// A stated length is written in whole millimetres or sixteenths of an inch.
        const WRITTEN_MM: f64 = 1.0;
        let stated_mm = found.record.whole_length_mm?;
        let (of_parts_mm, to) = geometry.whole_of_parts.clone()?;
        (stated_mm + WRITTEN_MM < of_parts_mm).then(|| Self {
            anchorage: found.record.id.as_deref().unwrap_or("without a name").to_owned(),
            route: found.route.field("whole_length_mm"),
            stated_mm,
            of_parts_mm,
            to,
            end: format!("end {} of {}", end.name, at.mark()),
            tail: end.route.field("tail_mm"),
        })
    }

    fn finding(self) -> Finding {
        Finding::new(
            RULE.id,
            Kind::Inconsistent,
            self.route,
            "of anchorage {anchorage} {stated_whole_mm} are stated to stay whole, but its parts and the tail at \
             {end} make {parts_whole_mm}, from the rearmost point to the span end of {to}",
        )
        .related(self.tail, "the tail there")
        .help("Correct the whole length, the tail, or the parts' positions; the plan takes the longer one")
        .fact(Fact::text("anchorage", self.anchorage))
        .fact(Fact::text("end", self.end))
        .fact(Fact::text("to", self.to))
        .fact(Fact::given("stated_whole_mm", self.stated_mm, 0))
        .fact(Fact::computed("parts_whole_mm", self.of_parts_mm, 0))
    }
}

/// What of a stub is stated by the end and its anchorage.
pub(crate) struct Geometry {
    pub(crate) rearmost_mm: f64,
    pub(crate) cut_mm: f64,
    /// Where the cut is assumed, if it is not stated.
    pub(crate) assumed_at: Option<String>,
    pub(crate) whole_mm: f64,
    /// What parts and tail make of it, and the part to whose span end.
    whole_of_parts: Option<(f64, String)>,
    /// Radius of what is drawn out, plates included; the smallest if no diameter is stated.
    pub(crate) radius_mm: f64,
    /// Where the span-most permanent part ends, and how it is called.
    mouth: Option<(f64, String)>,
}

impl Geometry {
    /// An error is the field without which there is no geometry.
    fn of(
        anchorage: Option<&Anchorage>,
        end: &End,
        parts: &[ResolvedPart<'_>],
    ) -> Result<Self, &'static str> {
        if anchorage.is_none() && parts.is_empty() {
            return Err("end.anchorage");
        }
        if parts.is_empty() {
            return Err("anchorage.parts");
        }
        let tail_mm = end.tail_mm.ok_or("end.tail_mm")?;
        let all = || parts.iter().map(|resolved| resolved.part.as_ref());
        // Nothing of the stub: the cap is off, seals are torn or come along inside, tubes cross the axis.
        let bar =
            || all().filter(|part| !matches!(part.role, Some(Role::Cap | Role::Seal | Role::Tube)));
        let stretch = |part: &Part| Axis::Anchorage.stretch(part);
        let mut plates = Vec::new();
        for part in bar().filter(|part| part.role == Some(Role::WedgePlate)) {
            plates.push(stretch(part)?);
        }
        let mut leaving = Vec::new();
        for part in bar() {
            match (part.permanence, part.exit) {
                (Some(Permanence::Permanent), _) => {}
                (Some(Permanence::Replaceable), Some(Exit::Rear)) => {
                    leaving.push((stretch(part)?, part))
                }
                (Some(Permanence::Replaceable), Some(_)) => {}
                // What may leave rearward makes the stub longer, if nothing else says how long it is.
                (None, _) if end.stub_cut_mm.is_none() => return Err("part.permanence"),
                (_, None) if end.stub_cut_mm.is_none() => return Err("part.exit"),
                _ => {}
            }
        }
        let rear_of = |stretches: &mut dyn Iterator<Item = (f64, f64)>| {
            stretches.map(|(_, rear)| rear).reduce(f64::max)
        };
        let rear_mm = rear_of(&mut leaving.iter().map(|(stretch, _)| *stretch));
        let tails_mm = match rear_of(&mut plates.iter().copied()).or(rear_mm) {
            Some(plate_mm) => plate_mm + tail_mm,
            None => return Err("anchorage.parts"),
        };
        let rearmost_mm = rear_mm.map_or(tails_mm, |rear_mm| rear_mm.max(tails_mm));
        let mut mouth: Option<(f64, String)> = None;
        for part in bar().filter(|part| part.permanence == Some(Permanence::Permanent)) {
            if let Ok((span_mm, _)) = stretch(part)
                && mouth.as_ref().is_none_or(|(so_far, _)| span_mm < *so_far)
            {
                mouth = Some((span_mm, call(part)));
            }
        }
        let (cut_mm, assumed_at) = match (end.stub_cut_mm, &mouth) {
            (Some(cut_mm), _) => (cut_mm, None),
            (None, mouth) => {
                let last = leaving.iter().min_by(|(one, _), (other, _)| one.0.total_cmp(&other.0));
                let ((span_mm, _), part) = last.ok_or("end.stub_cut_mm")?;
                match mouth {
                    // Nobody saws inside the concrete: there the stub ends at the mouth at the earliest.
                    Some((mouth_mm, mouth)) if mouth_mm < span_mm => {
                        (*mouth_mm, Some(mouth.clone()))
                    }
                    _ => (*span_mm, Some(call(part))),
                }
            }
        };
        // The plates and what stands behind them cannot be sawn, and the trumpet is not to be.
        let stated_mm = anchorage.and_then(|anchorage| anchorage.whole_length_mm);
        let trumpet = span_most(&bar, &[Role::InnerTrumpet])
            // Where a length is stated, the plates are enough to hold it against.
            .filter(|trumpet| trumpet.is_ok() || stated_mm.is_none());
        let whole_to = trumpet.or_else(|| span_most(&bar, &[Role::WedgePlate, Role::ShimPlate]));
        let whole_of_parts =
            whole_to.transpose()?.map(|(to_mm, part)| (rearmost_mm - to_mm, call(part)));
        let of_parts_mm = whole_of_parts.as_ref().map(|(of_parts_mm, _)| *of_parts_mm);
        let whole_mm = stated_mm
            .into_iter()
            .chain(of_parts_mm)
            .reduce(f64::max)
            .ok_or("anchorage.whole_length_mm")?;
        let radius_mm = bar()
            .filter(|part| is_drawn(part))
            .filter_map(worst_radius_mm)
            .fold(SMALLEST / 2.0, f64::max);
        Ok(Self { rearmost_mm, cut_mm, assumed_at, whole_mm, whole_of_parts, radius_mm, mouth })
    }

    pub(crate) fn length_mm(&self) -> f64 {
        self.rearmost_mm - self.cut_mm
    }
}

/// Of the parts of these roles that leave, the one that reaches furthest to the span side, and where it ends.
fn span_most<'a, I: Iterator<Item = &'a Part>>(
    bar: &impl Fn() -> I,
    roles: &[Role],
) -> Option<Result<(f64, &'a Part), &'static str>> {
    bar()
        .filter(|part| part.permanence != Some(Permanence::Permanent))
        .filter(|part| part.role.is_some_and(|role| roles.contains(&role)))
        .map(|part| Axis::Anchorage.stretch(part).map(|(span_mm, _)| (span_mm, part)))
        .reduce(|one, other| {
            let (one, other) = (one?, other?);
            Ok(if other.0 < one.0 { other } else { one })
        })
}

/// What of the stub at an end does not depend on the room behind it.
pub(crate) fn geometry(context: &Context<'_>, end: &EndAt<'_>) -> Result<Geometry, &'static str> {
    let parts = context.end_parts(end);
    let anchorage = context.anchorage(end.end);
    Geometry::of(anchorage.map(|found| found.record), end.end, &parts)
}

/// The stub at an end, with the allowances of the rulebook and the room as far as the first obstacle.
pub(crate) fn of(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
) -> Result<(Geometry, Stub), &'static str> {
    let geometry = geometry(context, end)?;
    let behind_mm = clear_behind(context, at, end, geometry.radius_mm)?.clear_mm;
    let stub = Limits::of(context).stub(&geometry, behind_mm);
    Ok((geometry, stub))
}

struct Limits<'a> {
    margin: &'a Limit,
    grip: &'a Limit,
    standoff: &'a Limit,
    piece: &'a Limit,
}

impl<'a> Limits<'a> {
    fn of(context: &Context<'a>) -> Self {
        Self {
            margin: context.limit(MARGIN),
            grip: context.limit(GRIP),
            standoff: context.limit(STANDOFF),
            piece: context.limit(PIECE),
        }
    }

    /// The stub with the allowances of the rulebook.
    fn stub(&self, geometry: &Geometry, behind_mm: f64) -> Stub {
        Stub {
            margin_mm: self.margin.value,
            grip_mm: self.grip.value,
            saw_standoff_mm: self.standoff.value,
            // No piece is shorter than what must stay whole.
            piece_min_mm: self.piece.value.max(geometry.whole_mm),
            ..bare(geometry, behind_mm)
        }
    }
}

/// The stub with every allowance zero.
pub(crate) fn bare(geometry: &Geometry, behind_mm: f64) -> Stub {
    Stub {
        length_mm: geometry.length_mm(),
        behind_mm,
        margin_mm: 0.0,
        grip_mm: 0.0,
        saw_standoff_mm: 0.0,
        piece_min_mm: geometry.whole_mm,
        whole_mm: geometry.whole_mm,
    }
}

fn of_end(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    geometry: &Geometry,
) -> Result<Option<Finding>, &'static str> {
    if geometry.assumed_at.is_none()
        && let Some(finding) = misplaced(at, end, geometry)
    {
        return Ok(Some(finding));
    }
    let ClearBehind { clear_mm: behind_mm, obstacle } =
        clear_behind(context, at, end, geometry.radius_mm)?;
    let limits = Limits::of(context);
    let stub = limits.stub(geometry, behind_mm);
    // Only lengths that cannot be right are refused, and of these the cut is the one that is easily mistaken.
    let plan = stub_plan(&stub).map_err(|_| "end.stub_cut_mm")?;
    let case = Case { at, end, geometry, obstacle, limits: &limits, stub, plan };
    match plan.verdict {
        StubVerdict::InOne { .. } => case.planned(context, 1, 0),
        StubVerdict::InPieces { pulls, cuts, .. } => case.planned(context, pulls, cuts),
        StubVerdict::PieceTooShort { .. } => {
            let bare = stub_plan(&bare(geometry, behind_mm)).map_err(|_| "end.stub_cut_mm")?;
            let kind = match bare.verdict {
                StubVerdict::PieceTooShort { .. } => Kind::Physical,
                _ => Kind::Margin,
            };
            case.too_short(kind).map(Some)
        }
    }
}

/// A cut that is stated where nobody can cut, or where nothing may be cut.
fn misplaced(at: &TendonAt<'_>, end: &EndAt<'_>, geometry: &Geometry) -> Option<Finding> {
    let whole_to_mm = geometry.rearmost_mm - geometry.whole_mm;
    let inside =
        geometry.mouth.as_ref().filter(|(mouth_mm, _)| geometry.cut_mm > mouth_mm + ABUTTING_MM);
    let (message, help) = if geometry.cut_mm >= 0.0 {
        // Most likely a sign was lost.
        (
            "the stub at {end} of {tendon} is cut at {cut_mm} on the anchorage's axis, which is not on the span \
             side: there positions are negative",
            "State the cut as a negative position, measured from the bearing plate's face into the span",
        )
    } else if inside.is_some() {
        (
            "the stub at {end} of {tendon} is cut at {cut_mm} on the anchorage's axis, but {mouth} reaches to \
             {mouth_mm}: nobody can saw inside it",
            "State a cut on the span side of {mouth}, with room for the saw",
        )
    } else if geometry.cut_mm > whole_to_mm + ABUTTING_MM {
        (
            "the stub at {end} of {tendon} is cut at {cut_mm} on the anchorage's axis, but what must stay \
             whole reaches to {whole_to_mm}",
            "State a cut beyond what must stay whole, or correct the length that must",
        )
    } else {
        return None;
    };
    let mut finding =
        Finding::new(RULE.id, Kind::Inconsistent, end.route.field("stub_cut_mm"), message)
            .fact(Fact::text("end", format!("end {}", end.name)))
            .fact(Fact::text("tendon", at.mark()))
            .fact(Fact::given("cut_mm", geometry.cut_mm, 0))
            .fact(Fact::computed("whole_to_mm", whole_to_mm, 0))
            .help(help);
    if let Some((mouth_mm, mouth)) = &geometry.mouth {
        finding = finding
            .fact(Fact::text("mouth", mouth.as_str()))
            .fact(Fact::computed("mouth_mm", *mouth_mm, 0));
    }
    Some(finding)
}

/// One stub with its plan.
struct Case<'a> {
    at: &'a TendonAt<'a>,
    end: &'a EndAt<'a>,
    geometry: &'a Geometry,
    /// The obstacle that ends the room, if it is one.
    obstacle: Option<Obstacle>,
    limits: &'a Limits<'a>,
    stub: Stub,
    plan: StubPlan,
}

impl Case<'_> {
    /// The stub comes out; what is left is whether the schedule says in how many pulls.
    fn planned(
        &self,
        context: &Context<'_>,
        pulls: u32,
        cuts: u32,
    ) -> Result<Option<Finding>, &'static str> {
        let route = self.end.route.field("stub_pulls");
        let cuts_word = if cuts == 1 { "cut" } else { "cuts" };
        match self.end.end.stub_pulls {
            Some(stated) if stated >= pulls => Ok(None),
            None if pulls == 1 => Ok(None),
            None if context.is_lost_at(&route) => Err("end.stub_pulls"),
            None => {
                let message = format!(
                    "the stub at {{end}} of {{tendon}}, {{stub_length_mm}} long, needs {{pulls}} pulls with \
                     {{cuts}} {cuts_word} between them: behind the bearing plate there are {{room_mm}} for it"
                );
                let finding = Finding::new(RULE.id, Kind::Note, route, message).help(
                    "State the pulls in stub_pulls, so that saw, grip and time are planned for them",
                );
                let finding = self.short_last(self.facts(finding, Some((pulls, cuts))));
                self.remedies(finding.remedy("State {pulls} in stub_pulls")).map(Some)
            }
            Some(stated) => {
                let stated_word = if stated == 1 { "pull" } else { "pulls" };
                let message = format!(
                    "the stub at {{end}} of {{tendon}} is planned in {{stated_pulls}} {stated_word}, but being \
                     {{stub_length_mm}} long it needs {{pulls}} pulls with {{cuts}} {cuts_word} between them: \
                     behind the bearing plate there are {{room_mm}} for it"
                );
                let stated_pulls = Fact::given("stated_pulls", f64::from(stated), 0);
                // With no allowance at all the planned pulls must be enough, or the plan is impossible.
                let behind_mm = self.stub.behind_mm;
                let bare =
                    stub_plan(&bare(self.geometry, behind_mm)).map_err(|_| "end.stub_cut_mm")?;
                let kind = match bare.verdict {
                    StubVerdict::InOne { .. } => Kind::Inconsistent,
                    StubVerdict::InPieces { pulls, .. } if pulls <= stated => Kind::Inconsistent,
                    _ => Kind::Physical,
                };
                let finding = Finding::new(RULE.id, kind, route, message)
                    .help(
                        "Plan the pulls that it needs, or make the room for those that are planned",
                    )
                    .fact(stated_pulls);
                let finding = self.short_last(self.facts(finding, Some((pulls, cuts))));
                let mut finding = finding.remedy("State {pulls} in stub_pulls, and plan the cuts");
                // A single pull is offered below, like everywhere.
                if stated > 1 {
                    finding = self.room_for(finding, stated)?;
                }
                self.remedies(finding).map(Some)
            }
        }
    }

    /// Why the last piece may be shorter than the shortest that is cut off.
    fn short_last(&self, finding: Finding) -> Finding {
        match self.plan.verdict {
            StubVerdict::InPieces { last_piece_mm, .. }
                if last_piece_mm < self.limits.piece.value =>
            {
                finding.related(
                    Where::Limit(PIECE.name),
                    "the last piece, {last_piece_mm}, may be shorter than {stub_piece_min_mm}, for it is what the \
                     cuts leave; cut the others shorter to make it longer",
                )
            }
            _ => finding,
        }
    }

    fn too_short(&self, kind: Kind) -> Result<Finding, &'static str> {
        let route = self.end.route.field("removal_space").field("behind_mm");
        let message = match kind {
            Kind::Physical => {
                "the stub at {end} of {tendon} cannot come out: {behind_mm} behind the bearing plate are less \
                 than the {whole_mm} that must stay whole, even without room for grip and saw"
            }
            _ if self.plan.room_mm <= self.stub.saw_standoff_mm => {
                "the stub at {end} of {tendon}, {stub_length_mm} long, does not come out: of {behind_mm} behind the \
                 bearing plate margin, grip and saw leave nothing, and the first piece needs {needed_mm}"
            }
            _ => {
                "the stub at {end} of {tendon}, {stub_length_mm} long, does not come out: margin and grip leave \
                 {room_mm} behind the bearing plate and the saw {piece_mm}, and the first piece needs \
                 {needed_mm}"
            }
        };
        let needed_mm = self.stub.piece_min_mm.max(self.stub.whole_mm);
        let finding = Finding::new(RULE.id, kind, route, message).help(
            "Make room behind the bearing plate or shorten the stub; wedge plate and inner trumpet are not cut",
        );
        let finding = self.facts(finding, None).fact(Fact::computed("needed_mm", needed_mm, 0));
        let least_mm = self.least(least_behind_for_any_mm(&self.stub))?;
        let enough = stub_plan(&Stub { behind_mm: least_mm, ..self.stub });
        let finding = match enough.map(|plan| plan.verdict) {
            Ok(StubVerdict::InPieces { pulls, .. }) => finding
                .fact(Fact::computed("least_behind_mm", least_mm, 0).at_least())
                .fact(Fact::computed("least_more_mm", least_mm - self.stub.behind_mm, 0).at_least())
                .remedy(format!(
                    "Make {{least_more_mm}} more room behind the bearing plate, {{least_behind_mm}} in all: the \
                     stub then comes out in {pulls} pulls"
                )),
            // One pull is offered below, like everywhere.
            _ => finding,
        };
        let finding = match (self.end.end.stub_pulls, enough.map(|plan| plan.verdict)) {
            (Some(stated), Ok(StubVerdict::InPieces { pulls, .. }))
                if 1 < stated && stated < pulls =>
            {
                self.room_for(finding, stated)?
            }
            _ => finding,
        };
        self.remedies(finding)
    }

    /// The room with which the pulls that are planned are enough.
    fn room_for(&self, finding: Finding, stated: u32) -> Result<Finding, &'static str> {
        let least_mm = self.least(least_behind_mm(&self.stub, stated))?;
        Ok(finding
            .fact(Fact::computed("stated_behind_mm", least_mm, 0).at_least())
            .fact(Fact::computed("stated_more_mm", least_mm - self.stub.behind_mm, 0).at_least())
            .remedy(format!(
                "Make {{stated_more_mm}} more room behind the bearing plate, {{stated_behind_mm}} in all: the \
                 {stated} pulls that are planned are then enough"
            )))
    }

    /// A length of mechanics; one that cannot be right comes from the stub's own length.
    fn least<E>(&self, least: Result<f64, E>) -> Result<f64, &'static str> {
        least.map_err(|_| "end.stub_cut_mm")
    }

    /// What makes one pull enough.
    fn remedies(&self, finding: Finding) -> Result<Finding, &'static str> {
        let mut finding = finding;
        if let Some((mouth_mm, mouth)) = &self.geometry.mouth {
            // The cut by which the stub is as long as the room, if it lies outside what is cast in.
            let cut_mm = self.geometry.rearmost_mm - self.plan.room_mm;
            if cut_mm < *mouth_mm && self.plan.room_mm >= self.geometry.whole_mm {
                finding = finding
                    .fact(Fact::text("mouth", mouth.as_str()))
                    .fact(Fact::computed("nearer_cut_mm", cut_mm, 0))
                    .fact(Fact::computed("nearer_mm", cut_mm - self.geometry.cut_mm, 0).at_least())
                    .fact(Fact::computed("outside_mm", mouth_mm - cut_mm, 0))
                    .remedy(
                        "Cut the stub {nearer_mm} nearer, at {nearer_cut_mm} on the axis, if the saw fits in \
                         the {outside_mm} between that cut and {mouth}: one pull is then enough",
                    );
            }
        }
        let one_mm = self.least(least_behind_mm(&self.stub, 1))?;
        Ok(finding
            .fact(Fact::computed("one_pull_behind_mm", one_mm, 0).at_least())
            .fact(Fact::computed("one_pull_more_mm", one_mm - self.stub.behind_mm, 0).at_least())
            .remedy(
                "Make {one_pull_more_mm} more room behind the bearing plate, {one_pull_behind_mm} in all: one \
                 pull is then enough",
            ))
    }

    fn facts(&self, finding: Finding, pulls: Option<(u32, u32)>) -> Finding {
        let Self { geometry, limits, stub, plan, .. } = self;
        let cut = match &geometry.assumed_at {
            None => Fact::given("cut_mm", geometry.cut_mm, 0),
            Some(_) => Fact::computed("cut_mm", geometry.cut_mm, 0),
        };
        let mut finding = finding
            .fact(Fact::text("tendon", self.at.mark()))
            .fact(Fact::text("end", format!("end {}", self.end.name)))
            .fact(Fact::computed("stub_length_mm", stub.length_mm, 0))
            .fact(Fact::given("behind_mm", stub.behind_mm, 0))
            .fact(Fact::computed("room_mm", plan.room_mm, 0))
            .fact(Fact::computed("piece_mm", plan.room_mm - stub.saw_standoff_mm, 0))
            .fact(Fact::computed("whole_mm", geometry.whole_mm, 0))
            .fact(Fact::computed("rearmost_mm", geometry.rearmost_mm, 0))
            .fact(cut);
        let end: &Route = &self.end.route;
        finding = match &geometry.assumed_at {
            None => finding.related(end.field("stub_cut_mm"), "the stub is cut here, at {cut_mm} on the axis"),
            Some(part) => finding.fact(Fact::text("cut_at", part.as_str())).related(
                end.clone(),
                "no stub_cut_mm is stated: the stub is taken to end with {cut_at}, at {cut_mm} on the axis",
            ),
        };
        if let Some(obstacle) = &self.obstacle {
            finding = finding.fact(Fact::text("obstacle", obstacle.name.as_str())).related(
                obstacle.route.clone(),
                "{obstacle} is in the way of the stub: the room ends there",
            );
        }
        if let Some((pulls, cuts)) = pulls {
            finding = finding
                .fact(Fact::computed("pulls", f64::from(pulls), 0))
                .fact(Fact::computed("cuts", f64::from(cuts), 0));
            if let StubVerdict::InPieces { last_piece_mm, .. } = plan.verdict {
                finding = finding.fact(Fact::computed("last_piece_mm", last_piece_mm, 0));
            }
        }
        finding
            .fact(limits.margin.fact(MARGIN, 0))
            .fact(limits.grip.fact(GRIP, 0))
            .fact(limits.standoff.fact(STANDOFF, 0))
            .fact(limits.piece.fact(PIECE, 0))
    }
}

#[cfg(test)]
mod tests {
    use restrand_finding::{FactValue, Severity};
    use restrand_model::reflect::{Date, Link};
    use restrand_model::schedule::{Ends, RemovalSpace, Schedule, Tendon};

    use super::*;
    use crate::book::Rulebook;

    /// The limits that the hand sheet states.
    fn book(evidence: Evidence) -> Rulebook {
        let values = [(MARGIN, 150.0), (GRIP, 250.0), (STANDOFF, 150.0), (PIECE, 300.0)];
        let limit = |value| Limit {
            value,
            citation: Citation::new("replacement by hand, 1.1", evidence),
            book: "hand".to_owned(),
        };
        Rulebook {
            limits: values.map(|(key, value)| (key.name.to_owned(), limit(value))).into(),
            ..Rulebook::default()
        }
    }

    fn part(id: &str, role: Role, permanence: Permanence, from_mm: f64, to_mm: f64) -> Part {
        Part {
            id: Some(id.into()),
            role: Some(role),
            permanence: Some(permanence),
            from_mm: Some(from_mm),
            to_mm: Some(to_mm),
            exit: (permanence == Permanence::Replaceable).then_some(Exit::Rear),
            ..Part::default()
        }
    }

    fn leaves(id: &str, role: Role, from_mm: f64, to_mm: f64) -> Part {
        part(id, role, Permanence::Replaceable, from_mm, to_mm)
    }

    fn stays(id: &str, role: Role, from_mm: f64, to_mm: f64) -> Part {
        part(id, role, Permanence::Permanent, from_mm, to_mm)
    }

    /// The anchorage K-13 of the hand sheet, 1.4.
    fn k_13() -> Anchorage {
        Anchorage {
            id: Some("K-13".into()),
            parts: vec![
                leaves("cap", Role::Cap, 8.0, 190.0),
                leaves("wedges", Role::Wedges, 40.0, 80.0),
                leaves("wedge plate", Role::WedgePlate, 0.0, 75.0),
                stays("bearing plate", Role::BearingPlate, -60.0, 0.0),
                stays("outer cone", Role::AnchorageForm, -660.0, -60.0),
                stays("guide pipe", Role::GuidePipe, -1340.0, -660.0),
                leaves("inner cone", Role::InnerTrumpet, -600.0, 0.0),
                leaves("trumpet ring", Role::Seal, -12.0, 0.0),
                leaves("anchorage pipe", Role::AnchoragePipe, -1600.0, -600.0),
            ],
            ..Anchorage::default()
        }
    }

    /// The anchorage S-20 of the hand sheet, 1.4.
    fn s_20() -> Anchorage {
        Anchorage {
            id: Some("S-20".into()),
            parts: vec![
                leaves("cap", Role::Cap, 8.0, 240.0),
                leaves("wedges", Role::Wedges, 90.0, 130.0),
                leaves("wedge plate", Role::WedgePlate, 50.0, 125.0),
                leaves("shim plate", Role::ShimPlate, 0.0, 50.0),
                stays("bearing plate", Role::BearingPlate, -60.0, 0.0),
                stays("straight pipe", Role::GuidePipe, -2040.0, -60.0),
                leaves("inner pipe", Role::AnchoragePipe, -2300.0, -12.0),
            ],
            ..Anchorage::default()
        }
    }

    fn end(anchorage: &str, cut_mm: f64, behind_mm: f64) -> End {
        End {
            anchorage: Some(Link::to(anchorage)),
            tail_mm: Some(40.0),
            stub_cut_mm: Some(cut_mm),
            removal_space: Some(Box::new(RemovalSpace {
                behind_mm: Some(behind_mm),
                ..RemovalSpace::default()
            })),
            ..End::default()
        }
    }

    fn schedule(a: End, b: End) -> Schedule {
        Schedule {
            anchorages: vec![k_13(), s_20()],
            tendons: vec![Tendon {
                mark: Some("T11L".into()),
                ends: Some(Box::new(Ends {
                    a: Some(Box::new(a)),
                    b: Some(Box::new(b)),
                    ..Ends::default()
                })),
                ..Tendon::default()
            }],
            ..Schedule::default()
        }
    }

    /// Nothing here has an age.
    fn today() -> Date {
        Date::new(2031, 5, 7).unwrap()
    }

    fn run(schedule: &Schedule, evidence: Evidence) -> Outcomes {
        let book = book(evidence);
        let context = Context::new(schedule, &[], &[], &book, today());
        let mut outcomes = Outcomes::of(RULE.id);
        check(&context, &mut outcomes);
        outcomes
    }

    fn number(finding: &Finding, name: &str) -> f64 {
        let value = finding.facts.iter().find(|fact| fact.name == name).map(|fact| &fact.value);
        match value {
            Some(FactValue::Number(number)) => *number,
            other => panic!("{name} is {other:?}"),
        }
    }

    /// Section 5 of the hand sheet: L 1595, r 1500, p 1350, n 2 at A1; L 2345, r 2600, n 1 at P2.
    #[test]
    fn hand_walk() {
        let schedule = schedule(end("K-13", -1480.0, 1900.0), end("S-20", -2180.0, 3000.0));
        let outcomes = run(&schedule, Evidence::Owner);
        let [finding] = outcomes.findings.as_slice() else {
            panic!("one finding is expected: {:?}", outcomes.findings);
        };
        assert_eq!(outcomes.tallies[RULE.id].pass, 1, "P2 comes out in one pull");
        assert_eq!(finding.kind, Kind::Note);
        let expected = [
            ("stub_length_mm", 1595.0),
            ("room_mm", 1500.0),
            ("piece_mm", 1350.0),
            ("whole_mm", 715.0),
            ("pulls", 2.0),
            ("cuts", 1.0),
            ("one_pull_behind_mm", 1995.0),
            ("one_pull_more_mm", 95.0),
            ("nearer_cut_mm", -1385.0),
            ("outside_mm", 45.0),
        ];
        for (name, expected) in expected {
            assert!((number(finding, name) - expected).abs() < 1e-9, "{name}: {finding:?}");
        }

        let book = book(Evidence::Owner);
        let context = Context::new(&schedule, &[], &[], &book, today());
        let [at] = context.tendons().collect::<Vec<_>>().try_into().ok().unwrap();
        let b = at.ends().nth(1).unwrap();
        let found = context.anchorage(b.end).unwrap();
        let geometry = Geometry::of(Some(found.record), b.end, &context.end_parts(&b)).unwrap();
        let plan = stub_plan(&Limits::of(&context).stub(&geometry, 3000.0)).unwrap();
        assert!((geometry.length_mm() - 2345.0).abs() < 1e-9);
        assert!((plan.room_mm - 2600.0).abs() < 1e-9);
        assert_eq!(plan.verdict, StubVerdict::InOne { spare_mm: 255.0 });
    }

    /// Just at, and just below, the least room in which the first piece is long enough.
    #[test]
    fn the_boundary_of_the_first_piece() {
        // whole 715 + stand-off 150 + margin 150 + grip 250
        let least = 1265.0;
        for (behind, kind) in [(least, Kind::Note), (least - 0.1, Kind::Margin)] {
            let outcomes = run(
                &schedule(end("K-13", -1480.0, behind), end("S-20", -2180.0, 3000.0)),
                Evidence::Owner,
            );
            assert_eq!(outcomes.findings[0].kind, kind, "{behind}");
        }
    }

    /// Just at, and just below, what must stay whole with every allowance zero.
    #[test]
    fn the_boundary_of_the_clash() {
        for (behind, kind) in [(715.0, Kind::Margin), (714.9, Kind::Physical)] {
            let outcomes = run(
                &schedule(end("K-13", -1480.0, behind), end("S-20", -2180.0, 3000.0)),
                Evidence::Derived,
            );
            let finding = &outcomes.findings[0];
            assert_eq!(finding.kind, kind, "{behind}");
            let severity = if kind == Kind::Margin { Severity::Warning } else { Severity::Error };
            assert_eq!(finding.severity, severity);
        }
    }

    #[test]
    fn a_missing_cut_is_the_end_of_what_leaves_and_is_said() {
        let mut a = end("K-13", 0.0, 1900.0);
        a.stub_cut_mm = None;
        let outcomes = run(&schedule(a, end("S-20", -2180.0, 3000.0)), Evidence::Owner);
        let finding = &outcomes.findings[0];
        assert!((number(finding, "stub_length_mm") - 1715.0).abs() < 1e-9);
        assert!(finding.facts.iter().any(|fact| fact.name == "cut_at"));
    }
}
