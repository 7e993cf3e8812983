//! Where effects are asked, and what they are.

use crate::misfit::SAME_PLACE_M;

/// On which side of a station one looks, where something jumps there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Side {
    /// Just before the station.
    Down,
    /// Just after the station.
    Up,
}

/// A cut through the beam.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cut {
    /// Station, m.
    pub station_m: f64,
    /// On which side of what jumps there: an anchorage, a deviator with friction, a couple.
    ///
    /// A cut within a millionth of a millimetre of such a place is at it: stations are sums and conversions.
    pub side: Side,
}

impl Cut {
    /// Whether the cut is beyond a station; at it, or beside it by a rounding, the side decides.
    pub(super) fn is_past(self, station_m: f64) -> bool {
        match self.side {
            Side::Down => self.station_m > station_m + SAME_PLACE_M,
            Side::Up => self.station_m >= station_m - SAME_PLACE_M,
        }
    }
}

/// What the supports do.
#[derive(Debug, Clone, PartialEq)]
pub struct Supports {
    /// The reaction of each support on the beam, upward, kN.
    pub reactions_up_kn: Vec<f64>,
    /// Moment in the beam over each support that came by continuity, kNm; 0 over simple ends.
    pub moments_knm: Vec<f64>,
    /// The couple with which a fixed first support acts on the beam, clockwise, kNm; 0 where it is simple.
    pub start_couple_knm: f64,
    /// The couple with which a fixed last support acts on the beam, clockwise, kNm; 0 where it is simple.
    pub end_couple_knm: f64,
}

/// What loads do.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadEffects {
    /// Bending moment at each cut, kNm.
    pub moments_knm: Vec<f64>,
    /// What the supports do.
    pub supports: Supports,
}

/// What a tendon does at one cut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TendonAt {
    /// Force along the beam, pressing, kN.
    pub axial_kn: f64,
    /// Primary moment, kNm.
    pub primary_knm: f64,
    /// Secondary moment, kNm.
    pub secondary_knm: f64,
    /// Both together, kNm.
    pub total_knm: f64,
}

/// What a tendon does to a beam.
#[derive(Debug, Clone, PartialEq)]
pub struct TendonEffects {
    /// At each cut.
    pub at: Vec<TendonAt>,
    /// What the supports do: the reactions are in equilibrium with each other.
    pub supports: Supports,
}
