//! Lines and hatches.
//!
//! Types of lines after ISO 128-2 with the uses of ISO 128-3, both from memory: lengths of dashes and gaps are
//! multiples of the line's width; wide and narrow lines are as two to one, here of the group of 0.35 mm.
//! Sections are hatched with narrow lines at 45°, adjacent ones against one another; thin sections are full black
//! (ISO 128-3, from memory). The sign for concrete is common practice, no source.

/// Wide lines, mm.
const WIDE_MM: f64 = 0.35;
/// Narrow lines, mm.
const NARROW_MM: f64 = 0.18;

/// A line by what it shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::draw) enum Pen {
    /// An edge in sight or in section: continuous, wide.
    Edge,
    /// The tendon where it is drawn as one line: continuous, as wide as two.
    Tendon,
    /// Dimensions, leaders, lines of diagrams: continuous, narrow.
    Thin,
    /// An edge behind something: dashed, narrow.
    Hidden,
    /// An axis: long-dashed dotted, narrow.
    Axis,
    /// What is beside, or a place that something moves to: long-dashed double-dotted, narrow.
    Beside,
    /// What is not stated, or a limit: dotted, wide.
    Dotted,
    /// A second line of a diagram: dashed, wide.
    Dashed,
}

impl Pen {
    pub(super) const fn class(self) -> &'static str {
        match self {
            Self::Edge => "e",
            Self::Tendon => "w",
            Self::Thin => "n",
            Self::Hidden => "h",
            Self::Axis => "a",
            Self::Beside => "b",
            Self::Dotted => "o",
            Self::Dashed => "d",
        }
    }

    pub(super) const fn width_mm(self) -> f64 {
        match self {
            Self::Edge | Self::Dotted | Self::Dashed => WIDE_MM,
            Self::Tendon => 2.0 * WIDE_MM,
            Self::Thin | Self::Hidden | Self::Axis | Self::Beside => NARROW_MM,
        }
    }

    /// Dashes and gaps in widths of the line; nothing for a continuous one.
    pub(super) const fn dashes(self) -> &'static [f64] {
        match self {
            Self::Edge | Self::Tendon | Self::Thin => &[],
            Self::Hidden | Self::Dashed => &[12.0, 3.0],
            Self::Axis => &[24.0, 3.0, 0.5, 3.0],
            Self::Beside => &[24.0, 3.0, 0.5, 3.0, 0.5, 3.0],
            Self::Dotted => &[0.5, 3.0],
        }
    }

    /// How much a label wants to keep off it.
    pub(super) const fn weight(self) -> f64 {
        match self {
            // A cut or a second line that a text covers is not seen at all.
            Self::Dashed => 12.0,
            Self::Edge | Self::Tendon => 6.0,
            Self::Dotted | Self::Hidden | Self::Beside => 4.0,
            Self::Thin => 4.0,
            Self::Axis => 2.5,
        }
    }

    pub(super) const ALL: [Self; 8] = [
        Self::Edge,
        Self::Tendon,
        Self::Thin,
        Self::Hidden,
        Self::Axis,
        Self::Beside,
        Self::Dotted,
        Self::Dashed,
    ];
}

/// What fills a shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::draw) enum Hatch {
    /// Nothing: what is behind shows through.
    None,
    /// White: it hides what is behind.
    White,
    /// Black: a thin section of what stays.
    Black,
    /// Narrow lines close together, rising to the right: what stays.
    Stays,
    /// Narrow lines further apart, falling to the right: what leaves.
    Leaves,
    /// Dots and small triangles: concrete.
    Concrete,
    /// Whether it stays or leaves is not stated: both ways.
    Unknown,
}

impl Hatch {
    /// The lines of a hatch: their distance, mm, and whether they rise to the right or fall.
    pub(super) const fn lines(self) -> &'static [(f64, Slope)] {
        match self {
            Self::Stays => &[(1.1, Slope::Rising)],
            Self::Leaves => &[(2.4, Slope::Falling)],
            Self::Unknown => &[(2.4, Slope::Rising), (2.4, Slope::Falling)],
            Self::None | Self::White | Self::Black | Self::Concrete => &[],
        }
    }

    /// What lies under the lines: a section hides what is behind it.
    pub(super) const fn ground(self) -> Self {
        match self {
            Self::Stays | Self::Leaves | Self::Unknown => Self::White,
            Self::Concrete => Self::None,
            plain => plain,
        }
    }
}

/// Which way the lines of a hatch go, at 45°.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Slope {
    Rising,
    Falling,
}

/// A sample of the legend.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::draw) enum Sample {
    /// A line.
    Line(Pen),
    /// A hatched shape.
    Fill(Hatch),
    /// A thin wall that leaves: two edges with nothing between them.
    ThinLeaves,
    /// A short stroke across the tendon.
    Cut,
    /// A wide bar at the end of the tendon.
    Anchorage,
    /// A number in a circle.
    Number,
    /// A small triangle that stands on its point.
    Inlet,
    /// A small circle.
    Vent,
    /// A small square.
    Drain,
    /// An open circle, dotted: what is lacking.
    Lacking,
    /// An arrow.
    Arrow,
}
