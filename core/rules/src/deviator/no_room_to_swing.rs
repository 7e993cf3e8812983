//! The bent stub of a tendon in a form does not come out into the bay beside it.

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes};
use restrand_mechanics::path::crossing;
use restrand_model::schedule::{FormKind, Status};

use super::guided::SIDES;
use crate::beyond::short_of;
use crate::context::{Context, TendonAt};
use crate::rule::{Check, Corrects, Rule};
use crate::tendon_path::{DeviatorSpot, LaidTendon, external_or_said};
use crate::works::{Along, CUT_CLEAR};

pub(crate) const RULE: Rule = Rule {
    id: "deviator/no-room-to-swing",
    summary: "the bent stub in each form against the clear length of the bays beside it",
    kinds: &[Kind::Physical],
    limits: &[CUT_CLEAR],
    sources: &[Citation::new(
        "geometry of a stiff, bent piece that is drawn out along its own axis",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &["path/points-impossible"],
    page: include_str!("no_room_to_swing.md"),
    check: Check::Tendons(check),
};

/// The fields of the room on the two sides.
const ROOMS: [&str; 2] = ["swing_room_down_mm", "swing_room_up_mm"];

fn check(context: &Context<'_>, at: &TendonAt<'_>, outcomes: &mut Outcomes) {
    if at.stays() {
        return outcomes.not_applicable("the tendon need not be replaceable");
    }
    if !matches!(at.tendon.status, None | Some(Status::InUse)) {
        return outcomes.not_applicable("the tendon is not in place");
    }
    if at.tendon.deviators.is_empty() {
        return outcomes.not_applicable("the tendon has no deviator");
    }
    let Some(laid) = external_or_said(context, at, outcomes) else { return };
    for index in 0..at.tendon.deviators.len() {
        let bend = match laid.deviators[index] {
            DeviatorSpot::Corner(bend) => bend,
            DeviatorSpot::OnLeg(_) => {
                outcomes.not_applicable("the tendon passes it straight");
                continue;
            }
            DeviatorSpot::OffPath => {
                outcomes.not_evaluated("deviator.place");
                continue;
            }
            DeviatorSpot::Unknown(field) => {
                outcomes.not_evaluated(field);
                continue;
            }
        };
        match judge(context, at, laid, index, bend) {
            Ok(Judged::Pass) => outcomes.pass(),
            Ok(Judged::Straight) => {
                outcomes.not_applicable("the piece in a straight sleeve is straight");
            }
            Ok(Judged::Found(finding)) => outcomes.found(*finding),
            Err(field) => outcomes.not_evaluated(field),
        }
    }
}

enum Judged {
    Pass,
    Straight,
    Found(Box<Finding>),
}

/// The piece that is cut out round a form.
struct Piece {
    /// Its whole length along the axis, mm.
    length_mm: f64,
    /// The least that it can be: cut as near to form and concrete as a saw comes, mm; nothing where that is not known.
    shortest_mm: Option<f64>,
    /// Whether a cut is stated on each side.
    stated: [bool; 2],
}

fn judge(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    laid: &LaidTendon,
    index: usize,
    bend: usize,
) -> Result<Judged, &'static str> {
    let deviator = &at.tendon.deviators[index];
    let form = context.form_at(at, index).ok_or("deviator.form")?;
    if form.kind.ok_or("form.kind")? == FormKind::StraightSleeve {
        return Ok(Judged::Straight);
    }
    let form_mm = form.length_mm.ok_or("form.length_mm")?;
    let piece = piece(context, at, laid, (index, bend), form_mm)?;
    let rooms = [deviator.swing_room_down_mm, deviator.swing_room_up_mm];
    if rooms.into_iter().flatten().any(|room_mm| !short_of(room_mm, piece.length_mm)) {
        return Ok(Judged::Pass);
    }
    let known = match rooms {
        [Some(down_mm), Some(up_mm)] => [down_mm, up_mm],
        [None, _] => return Err("deviator.swing_room_down_mm"),
        [_, None] => return Err("deviator.swing_room_up_mm"),
    };
    let wider = usize::from(known[1] > known[0]);
    let route = at.route.field("deviators").item(index);
    let mut finding = Finding::new(
        RULE.id,
        Kind::Physical,
        route.field(ROOMS[wider]),
        "the bent stub of {tendon} in {form} at {place} is {piece_mm} long, and {room_mm}, the larger room beside the form, \
         {side}, is too short to draw it out",
    )
    .related(route.field(ROOMS[1 - wider]), "the room on the other side")
    .help(
        "The piece in a form is bent and stiff, and leaves whole along its own axis: cut it nearer to the faces, or \
         make room on one side",
    )
    .fact(Fact::text("tendon", at.mark()))
    .fact(Fact::text("place", deviator.place.as_ref().map_or("a deviator", |place| place.key())))
    .fact(Fact::text("form", form.id.as_deref().unwrap_or("the form")))
    .fact(Fact::text("side", SIDES[wider]))
    .fact(Fact::computed("piece_mm", piece.length_mm, 0).at_least())
    .fact(Fact::given("room_mm", known[wider], 0))
    .fact(Fact::computed("more_mm", piece.length_mm - known[wider], 0).at_least())
    .fact(Fact::computed("ratio", known[wider] / piece.length_mm, 2));
    if let Some(shortest_mm) = piece.shortest_mm.filter(|shortest_mm| {
        piece.stated.into_iter().any(|stated| stated) && !short_of(known[wider], *shortest_mm)
    }) {
        finding = finding
            .fact(Fact::computed("shortest_mm", shortest_mm, 0).at_least())
            .fact(context.limit(CUT_CLEAR).fact(CUT_CLEAR, 0))
            .related(at.route.field("cuts"), "the stated cuts")
            .remedy(
                "Cut nearer to the form: cut {cut_clear_mm} from the faces on both sides the stub is {shortest_mm} long, and \
                 comes out",
            );
    }
    Ok(Judged::Found(Box::new(
        finding.remedy("Make {more_mm} more room {side}, {piece_mm} in all"),
    )))
}

/// The piece between the stated cuts nearest to a form, or between its faces where none is stated.
fn piece(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    laid: &LaidTendon,
    (index, bend): (usize, usize),
    form_mm: f64,
) -> Result<Piece, &'static str> {
    let alignment = context.alignment().map_err(|none| none.field())?;
    let corner_m = at.tendon.points[bend + 1].station_m.ok_or("tendon_point.station_m")?;
    // From the corner to the nearest cut on a leg, mm.
    let to_cut = |leg: usize, is_before: bool| {
        let line = laid.path.legs.get(leg)?;
        let along = |station_m: f64| {
            let share = crossing(alignment, line.from, line.to, station_m).ok()?.share;
            let share = if is_before { 1.0 - share } else { share };
            Some(share * line.length_m * 1000.0)
        };
        at.tendon
            .cuts
            .iter()
            .filter_map(|cut| cut.station_m)
            .filter(|station_m| (*station_m < corner_m) == is_before)
            .filter_map(along)
            .reduce(f64::min)
    };
    let cuts_mm = [to_cut(bend, true), to_cut(bend + 1, false)];
    // The arc is shorter than its two tangents.
    let saved_mm = (2.0 * laid.path.bends[bend].tangent_m - laid.path.bends[bend].arc_m) * 1000.0;
    // The legs leave the form askew to its axis: by half the bend each, as a form is set that bisects them.
    let half_mm = form_mm / 2.0 / (laid.path.bends[bend].angle_rad / 2.0).cos();
    // Nobody cuts inside a form: a cut that is stated there is another finding.
    let legs_mm = cuts_mm.map(|cut_mm| cut_mm.map_or(half_mm, |cut_mm| cut_mm.max(half_mm)));
    Ok(Piece {
        length_mm: legs_mm[0] + legs_mm[1] - saved_mm,
        shortest_mm: nearest_cuts_mm(context, at, index, corner_m)
            .map(|nearest_mm| nearest_mm.map(|mm| mm.max(half_mm)).iter().sum::<f64>() - saved_mm),
        stated: cuts_mm.map(|cut_mm| cut_mm.is_some()),
    })
}

/// From the corner to the nearest places on both sides at which a saw has room beside form and concrete, mm along the legs.
fn nearest_cuts_mm(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    index: usize,
    corner_m: f64,
) -> Option<[f64; 2]> {
    let corner_m = Along::of(context, at).ok()?.at_m(corner_m);
    let held = context.held(at).ok()?;
    let [from_m, to_m] = held.iter().find(|held| held.deviator == Some(index))?.along_m;
    let clear_mm = context.limit(CUT_CLEAR).value;
    Some([(corner_m - from_m) * 1000.0 + clear_mm, (to_m - corner_m) * 1000.0 + clear_mm])
}
