//! One pose of a bent piece in a form: its play across, and how far it stands off outside.

use super::{BentPiece, Flare};

/// The form's wall on one side, grown by half the piece's diameter, so that the piece is its axis alone.
///
/// From the middle outward: flat, the flare's arc, and the arc round the face's edge.
pub(super) struct Walls {
    half_throat_mm: f64,
    throat_gap_mm: f64,
    flare_rad: f64,
    grown_radius_mm: f64,
    edge_along_mm: f64,
    edge_off_mm: f64,
    half_outer_mm: f64,
}

impl Walls {
    pub(super) fn new(form: &Flare, outer_mm: f64) -> Self {
        Self {
            half_throat_mm: form.throat_length_mm / 2.0,
            throat_gap_mm: (form.throat_mm - outer_mm) / 2.0,
            flare_rad: form.flare_rad,
            grown_radius_mm: form.wall_radius_mm + outer_mm / 2.0,
            edge_along_mm: form.half_length_mm(),
            edge_off_mm: form.exit_radius_mm(),
            half_outer_mm: outer_mm / 2.0,
        }
    }

    /// Beyond this nothing of the wall touches the axis.
    pub(super) fn end_mm(&self) -> f64 {
        self.edge_along_mm + self.half_outer_mm
    }

    fn arc_end_mm(&self) -> f64 {
        self.half_throat_mm + self.grown_radius_mm * self.flare_rad.sin()
    }

    /// Distance of the grown wall from the form's axis.
    fn off_mm(&self, along_mm: f64) -> f64 {
        let along = along_mm.abs();
        if along <= self.half_throat_mm {
            self.throat_gap_mm
        } else if along <= self.arc_end_mm() {
            self.throat_gap_mm + sagitta(self.grown_radius_mm, along - self.half_throat_mm)
        } else {
            self.edge_off_mm - self.half_outer_mm
                + sagitta(self.half_outer_mm, along - self.edge_along_mm)
        }
    }

    /// Where the grown wall has a slope; the slope of the throat is that of its middle.
    pub(super) fn where_slope_is(&self, slope_rad: f64) -> f64 {
        let steep = slope_rad.abs();
        let along = if steep <= self.flare_rad {
            self.half_throat_mm + self.grown_radius_mm * steep.sin()
        } else {
            self.edge_along_mm + self.half_outer_mm * steep.sin()
        };
        if slope_rad == 0.0 { 0.0 } else { along.copysign(slope_rad) }
    }

    /// Centre along the form's axis, and radius, of each arc of the wall.
    fn arcs(&self) -> [(f64, f64); 4] {
        [
            (self.half_throat_mm, self.grown_radius_mm),
            (-self.half_throat_mm, self.grown_radius_mm),
            (self.edge_along_mm, self.half_outer_mm),
            (-self.edge_along_mm, self.half_outer_mm),
        ]
    }
}

/// Height of an arc over its lowest point, as a quotient that keeps its digits on a large radius.
fn sagitta(radius_mm: f64, along_mm: f64) -> f64 {
    let along = along_mm.abs().min(radius_mm);
    if along == 0.0 {
        return 0.0;
    }
    along * along / (radius_mm + ((radius_mm - along) * (radius_mm + along)).max(0.0).sqrt())
}

/// The piece's axis, bent upward; one of its points stands in the form's middle.
pub(super) struct Axis {
    radius_mm: f64,
    /// Along the form's axis: the arc's lowest point, which may lie on the arc's circle beyond the arc.
    low_along_mm: f64,
    low_off_mm: f64,
    /// Slopes of the legs, trailing and leading, rad.
    slopes: [f64; 2],
    /// Ends of the arc, along and off.
    pub(super) arc: [(f64, f64); 2],
    /// Cuts, along and off.
    ends: [(f64, f64); 2],
}

impl Axis {
    /// The axis when it has been drawn so far, with a tilt where it crosses the form's middle.
    pub(super) fn new(piece: &BentPiece, drawn_mm: f64, tilt_rad: f64) -> Self {
        let radius = piece.axis_radius_mm;
        let half = piece.bend_rad / 2.0;
        // From mid-bend back to the point in the middle: first along the arc, then along the trailing leg; forward if negative.
        let turned = (drawn_mm / radius).clamp(-half, half);
        let straight = drawn_mm - radius * turned;
        let (sin, cos) = tilt_rad.sin_cos();
        let low_along_mm = straight * cos - radius * sin;
        let low_off_mm = straight * sin - 2.0 * radius * (tilt_rad / 2.0).sin().powi(2);
        let tilt_rad = tilt_rad + turned;
        let slopes = [tilt_rad - half, tilt_rad + half];
        let arc = slopes.map(|slope| {
            (
                low_along_mm + radius * slope.sin(),
                low_off_mm + 2.0 * radius * (slope / 2.0).sin().powi(2),
            )
        });
        let end = |index: usize, length: f64| {
            let (sin, cos) = slopes[index].sin_cos();
            (arc[index].0 + length * cos, arc[index].1 + length * sin)
        };
        let ends = [end(0, -piece.trailing_leg_mm), end(1, piece.leading_leg_mm)];
        Self { radius_mm: radius, low_along_mm, low_off_mm, slopes, arc, ends }
    }

    fn off_mm(&self, along_mm: f64) -> f64 {
        let leg = |index: usize| {
            self.arc[index].1 + (along_mm - self.arc[index].0) * self.slopes[index].tan()
        };
        if along_mm < self.arc[0].0 {
            leg(0)
        } else if along_mm > self.arc[1].0 {
            leg(1)
        } else {
            self.low_off_mm + sagitta(self.radius_mm, along_mm - self.low_along_mm)
        }
    }
}

/// A pose of the piece, and its play across.
pub(super) struct Pose {
    axis: Axis,
    face_mm: f64,
    /// How far the piece may move up from the point on the form's axis.
    pub(super) up_mm: f64,
    /// How far it may move down.
    pub(super) down_mm: f64,
}

impl Pose {
    pub(super) fn new(walls: &Walls, piece: &BentPiece, drawn_mm: f64, tilt_rad: f64) -> Self {
        let axis = Axis::new(piece, drawn_mm, tilt_rad);
        let (mut up_mm, mut down_mm) = (f64::INFINITY, f64::INFINITY);
        let from = axis.ends[0].0.max(-walls.end_mm());
        let to = axis.ends[1].0.min(walls.end_mm());
        let mut try_at = |at: f64| {
            if at >= from && at <= to {
                let (wall, off) = (walls.off_mm(at), axis.off_mm(at));
                up_mm = up_mm.min(wall - off);
                down_mm = down_mm.min(wall + off);
            }
        };
        // The ends of every arc and line.
        for at in [from, to, axis.arc[0].0, axis.arc[1].0] {
            try_at(at);
        }
        for at in [walls.half_throat_mm, walls.arc_end_mm()] {
            try_at(at);
            try_at(-at);
        }
        // A leg along each wall, and the arc's lowest point along the throat.
        for slope in axis.slopes {
            try_at(walls.where_slope_is(slope));
            try_at(walls.where_slope_is(-slope));
        }
        try_at(axis.low_along_mm);
        // The arc beside each arc of the walls: equal slopes above, opposite ones below.
        for (centre, radius) in walls.arcs() {
            let apart = centre - axis.low_along_mm;
            if radius != axis.radius_mm {
                try_at(axis.low_along_mm + apart * axis.radius_mm / (axis.radius_mm - radius));
            }
            try_at(axis.low_along_mm + apart * axis.radius_mm / (axis.radius_mm + radius));
        }
        Self { axis, face_mm: walls.edge_along_mm, up_mm, down_mm }
    }

    pub(super) fn play(&self) -> f64 {
        self.up_mm + self.down_mm
    }

    /// The least that the axis comes off the form's axis outside the form, and how far from the face, with the play that is given.
    pub(super) fn swing_mm(&self, range: (f64, f64)) -> (f64, f64) {
        let [back, front] = self.axis.ends.map(|end| end.0);
        let mut high: Option<(f64, f64)> = None;
        let mut low: Option<(f64, f64)> = None;
        let mut outside = |from: f64, to: f64| {
            if from > to {
                return;
            }
            // The axis is bent upward: highest at an end, lowest at an end or where it is level.
            for at in [from, to, self.axis.low_along_mm] {
                let on_arc = at >= self.axis.arc[0].0 && at <= self.axis.arc[1].0;
                if at >= from && at <= to && (at == from || at == to || on_arc) {
                    let off = self.axis.off_mm(at);
                    let from_face = at.abs() - self.face_mm;
                    if high.is_none_or(|so_far| off > so_far.0) {
                        high = Some((off, from_face));
                    }
                    if low.is_none_or(|so_far| off < so_far.0) {
                        low = Some((off, from_face));
                    }
                }
            }
        };
        outside(back, front.min(-self.face_mm));
        outside(back.max(self.face_mm), front);
        let (Some(high), Some(low)) = (high, low) else {
            return (0.0, 0.0);
        };
        // As near the axis as the play lets it.
        let moved = (-f64::midpoint(high.0, low.0)).clamp(range.0, range.1);
        let (above, below) = ((high.0 + moved).abs(), (low.0 + moved).abs());
        if above >= below { (above, high.1) } else { (below, low.1) }
    }
}
