//! The pulls in which a stub comes out of its room, or why it does not.

use restrand_finding::{Fact, Finding, Kind, Where};
use restrand_mechanics::removal::{
    Stub, StubPlan, StubVerdict, least_behind_for_any_mm, least_behind_mm, stub_plan,
};
use restrand_model::route::Route;

use super::geometry::Geometry;
use super::{GRIP, Limits, MARGIN, PIECE, RULE, STANDOFF, bare};
use crate::beyond::short_of;
use crate::context::{Context, EndAt, TendonAt};
use crate::ends::ClearBehind;
use crate::space::said;

/// One stub with its plan.
pub(super) struct Case<'c, 'a> {
    pub(super) context: &'c Context<'a>,
    pub(super) at: &'c TendonAt<'c>,
    pub(super) end: &'c EndAt<'c>,
    pub(super) geometry: &'c Geometry,
    /// The room behind it.
    pub(super) behind: ClearBehind,
    pub(super) limits: &'c Limits<'c>,
    pub(super) stub: Stub,
    pub(super) plan: StubPlan,
}

impl Case<'_, '_> {
    /// The stub comes out; what is left is whether the schedule says in how many pulls.
    pub(super) fn planned(&self, pulls: u32, cuts: u32) -> Result<Option<Finding>, &'static str> {
        let route = self.end.route.field("stub_pulls");
        let cuts_word = if cuts == 1 { "cut" } else { "cuts" };
        match self.end.end.stub_pulls {
            Some(stated) if stated >= pulls => Ok(None),
            None if pulls == 1 => Ok(None),
            None if self.context.is_lost_at(&route) => Err("end.stub_pulls"),
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

    pub(super) fn too_short(&self, kind: Kind) -> Result<Finding, &'static str> {
        let route = self.behind.clear().route(self.end, "behind_mm");
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
                .remedy({
                    let room = self.more_room(least_mm, ["{least_more_mm}", "{least_behind_mm}"]);
                    match self.end.end.stub_pulls {
                        Some(stated) if stated >= pulls => {
                            format!("{room}: the stub then comes out in {pulls} pulls")
                        }
                        _ => format!(
                            "{room}: the stub then comes out in {pulls} pulls, which stub_pulls has to say too"
                        ),
                    }
                }),
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
                "{}: the {stated} pulls that are planned are then enough",
                self.more_room(least_mm, ["{stated_more_mm}", "{stated_behind_mm}"])
            )))
    }

    /// How so much room comes about: what ends it moves back, where something is in the way and there is room behind it.
    fn more_room(&self, least_mm: f64, [more, all]: [&str; 2]) -> String {
        if self.behind.obstacle.is_none() {
            return format!("Make {more} more room behind the bearing plate, {all} in all");
        }
        let is_behind = self
            .context
            .room(self.at, self.end)
            .behind()
            .is_ok_and(|behind| !short_of(behind.mm, least_mm));
        if is_behind {
            format!("Move {{obstacle}} out of the stub's way, or {more} further back")
        } else {
            format!(
                "Move {{obstacle}} out of the stub's way, and make room of {all} in all behind the bearing plate"
            )
        }
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
                    .fact(Fact::computed("nearer_cut_mm", cut_mm, 0).at_least())
                    .fact(Fact::computed("nearer_mm", cut_mm - self.geometry.cut_mm, 0).at_least())
                    .fact(Fact::computed("outside_mm", mouth_mm - cut_mm, 0).at_most())
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
            .remedy(format!(
                "{}: one pull is then enough",
                self.more_room(one_mm, ["{one_pull_more_mm}", "{one_pull_behind_mm}"])
            )))
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
            .fact(self.behind.clear().fact("behind_mm", 0))
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
        finding = match &self.behind.obstacle {
            Some(obstacle) => finding.fact(Fact::text("obstacle", obstacle.name.as_str())).related(
                obstacle.route.clone(),
                "{obstacle} is in the way of the stub: the room ends there",
            ),
            None => said::of_bay(finding, self.context, self.behind.clear()),
        };
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
