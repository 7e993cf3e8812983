//! A jack at an end: the lengths it takes in its three cases, and its body.

use restrand_mechanics::elongation::{Elongation, Terms, elongation};
use restrand_mechanics::room::{self, Envelope, JackLengths, JackRoom, jack_room};
use restrand_model::schedule::{Anchorage, End, EndName, Jack, JackKind, Side, Tendon};

use super::bodies::head_rear_mm;
use super::near::OnAxis;
use crate::context::{Context, EndAt, TendonAt};
use crate::works;

/// What a jack takes behind the bearing plate, hand room left out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JackNeeds {
    /// Where it stands: the rear of the wedge plate, on the anchorage's axis, mm.
    pub head_rear_mm: f64,
    /// Tail past the wedge plate before stressing, mm.
    pub tail_mm: f64,
    /// Length with the piston in, mm.
    pub retracted_mm: f64,
    /// To thread it on over the full tail, mm.
    pub threading_mm: f64,
    /// While stressing and to take it off, where it is known how far the tendon is drawn out; else the field
    /// without which it is not.
    pub stroke: Result<Stroke, &'static str>,
}

/// What a jack takes once the tendon is drawn out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// How far the piston comes out, mm.
    pub stroke_mm: f64,
    /// How far the tail is drawn back in all strokes, mm.
    pub drawn_mm: f64,
    /// What the tail has grown by when the jack comes off, mm.
    pub grown_mm: f64,
    /// While stressing, mm.
    pub stressing_mm: f64,
    /// To take it off, mm.
    pub taking_off_mm: f64,
}

impl JackNeeds {
    /// What a jack takes at an end.
    ///
    /// # Errors
    /// The field without which not even the threading is known.
    pub fn of(
        context: &Context<'_>,
        at: &TendonAt<'_>,
        end: &EndAt<'_>,
        jack: &Jack,
    ) -> Result<Self, &'static str> {
        const RETRACTED: &str = "jack.retracted_mm";
        let anchorage = context.anchorage(end.end).map(|found| found.record);
        let parts = context.end_parts(end);
        let head_rear_mm = head_rear_mm(anchorage, parts)?;
        let tail_mm = jack.tail_mm.ok_or("jack.tail_mm")?;
        let retracted_mm = jack.retracted_mm.ok_or(RETRACTED)?;
        let lengths = JackLengths {
            head_rear_mm,
            tail_mm,
            elongation_at_jack_mm: 0.0,
            tail_grown_mm: 0.0,
            retracted_mm,
            stroke_mm: 0.0,
            hand_room_mm: 0.0,
        };
        let threading_mm = jack_room(&lengths).map_err(|_| RETRACTED)?.threading_mm;
        let stroke = drawn(context, at, end, jack).and_then(|drawn| {
            let by_extension = || jack.extended_mm.map(|extended_mm| extended_mm - retracted_mm);
            let stroke_mm = jack.stroke_mm.or_else(by_extension).ok_or("jack.stroke_mm")?;
            // Hoses that leave at the rear stand behind the jack once they are on.
            let rear_hoses_mm = match jack.hose_side {
                Some(Side::Rear) => jack.hose_room_mm.ok_or("jack.hose_room_mm")?,
                _ => 0.0,
            };
            let lengths = JackLengths {
                elongation_at_jack_mm: drawn.at_jack_mm,
                tail_grown_mm: drawn.anchored_mm,
                stroke_mm: stroke_mm + rear_hoses_mm,
                ..lengths
            };
            let JackRoom { stressing_mm, taking_off_mm, .. } =
                jack_room(&lengths).map_err(|_| "jack.stroke_mm")?;
            Ok(Stroke {
                stroke_mm,
                drawn_mm: drawn.at_jack_mm,
                grown_mm: drawn.anchored_mm,
                stressing_mm,
                taking_off_mm,
            })
        });
        Ok(Self { head_rear_mm, tail_mm, retracted_mm, threading_mm, stroke })
    }

    /// The most that it takes, as far as it is known, mm.
    #[must_use]
    pub fn most_mm(&self) -> f64 {
        self.stroke.map_or(self.threading_mm, |stroke| {
            self.threading_mm.max(stroke.stressing_mm).max(stroke.taking_off_mm)
        })
    }
}

/// How far the tendon is drawn out at an end: worked out from its stressing, else as stated.
fn drawn(
    context: &Context<'_>,
    at: &TendonAt<'_>,
    end: &EndAt<'_>,
    jack: &Jack,
) -> Result<Elongation, &'static str> {
    let stressing = at.tendon.stressing.as_deref().ok_or("tendon.stressing")?;
    let set_mm = set_mm(at.tendon, end.end).ok_or("end.set_mm")?;
    let target_kn = at.tendon.replacement.as_deref().and_then(|new| new.target_force_kn);
    let index = match end.name {
        EndName::A => 0,
        EndName::B => 1,
    };
    let computed = works::stressed(context, at, target_kn);
    let terms = match &computed {
        Ok(stressed) if stressed.elastic_mm[index].is_some() => Terms {
            elastic_mm: stressed.elastic_mm[index].unwrap_or_default(),
            // Strand in the jack stretches with the rest and goes slack again.
            in_jack_mm: jack
                .gripped_length_mm
                .or(jack.tail_mm)
                .and_then(|length_mm| stressed.bar_stretch_mm(length_mm))
                .unwrap_or(0.0),
            dead_end_seating_mm: stressing
                .dead_end_seating_mm
                .filter(|_| stressed.ends.len() == 1)
                .unwrap_or(0.0),
            set_mm,
        },
        _ => Terms {
            elastic_mm: match end.name {
                EndName::A => stressing.elongation_a_mm.ok_or("stressing.elongation_a_mm")?,
                EndName::B => stressing.elongation_b_mm.ok_or("stressing.elongation_b_mm")?,
            },
            in_jack_mm: 0.0,
            dead_end_seating_mm: 0.0,
            set_mm,
        },
    };
    elongation(&terms).map_err(|_| "end.set_mm")
}

fn set_mm(tendon: &Tendon, end: &End) -> Option<f64> {
    end.set_mm.or_else(|| tendon.stressing.as_deref().and_then(|stressing| stressing.set_mm))
}

/// A jack across its axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JackBody {
    /// Radius that it takes round the anchorage's axis, mm: its own, and for a jack that pulls one strand the
    /// outer holes' as well.
    pub radius_mm: f64,
    /// Radius and length of the nose, mm, where it has one.
    pub nose: Option<(f64, f64)>,
    /// Side on which hoses leave and the room that they need beyond the jack, mm, as far as both are stated.
    pub hoses: Option<(Side, f64)>,
}

impl JackBody {
    /// The body of a jack at an anchorage.
    ///
    /// # Errors
    /// The field without which it is not known.
    pub fn of(jack: &Jack, anchorage: Option<&Anchorage>) -> Result<Self, &'static str> {
        let own_mm = jack.diameter_mm.ok_or("jack.diameter_mm")? / 2.0;
        let is_beside = jack.kind == Some(JackKind::SingleStrand);
        let circle_mm = || anchorage.and_then(|anchorage| anchorage.hole_circle_mm);
        let beside_mm =
            if is_beside { circle_mm().ok_or("anchorage.hole_circle_mm")? / 2.0 } else { 0.0 };
        let nose = jack.nose_diameter_mm.zip(jack.nose_length_mm);
        Ok(Self {
            radius_mm: own_mm + beside_mm,
            nose: nose.map(|(diameter_mm, length_mm)| (diameter_mm / 2.0 + beside_mm, length_mm)),
            hoses: jack.hose_side.zip(jack.hose_room_mm),
        })
    }

    /// What it takes beside the axis; hoses that leave at the rear, or of which nothing is known, take nothing there.
    #[must_use]
    pub fn envelope(&self) -> Envelope {
        let hoses = self.hoses.and_then(|(side, hose_mm)| Some((beside(side)?, hose_mm)));
        let (hose_side, hose_mm) = hoses.unwrap_or((room::Side::Up, 0.0));
        Envelope { radius_mm: self.radius_mm, hose_mm, hose_side }
    }

    /// Its stretches from where it stands, nose first, as far as `to_mm`.
    #[must_use]
    pub fn stretches(&self, head_rear_mm: f64, to_mm: f64) -> Vec<OnAxis> {
        let shoulder_mm = self.nose.map_or(head_rear_mm, |(_, length_mm)| head_rear_mm + length_mm);
        let shoulder_mm = shoulder_mm.min(to_mm);
        let nose = self.nose.map(|(radius_mm, _)| OnAxis {
            from_mm: head_rear_mm,
            to_mm: shoulder_mm,
            radius_mm,
        });
        let body = OnAxis { from_mm: shoulder_mm, to_mm, radius_mm: self.radius_mm };
        nose.into_iter().chain([body]).filter(|one| one.to_mm > one.from_mm).collect()
    }
}

/// The side of mechanics; none for the rear.
#[must_use]
pub const fn beside(side: Side) -> Option<room::Side> {
    match side {
        Side::Up => Some(room::Side::Up),
        Side::Down => Some(room::Side::Down),
        Side::Left => Some(room::Side::Left),
        Side::Right => Some(room::Side::Right),
        Side::Rear => None,
    }
}
