//! Releases of IFC, and what entities lack in earlier ones.
//!
//! Attributes of an entity that two releases have stand at one place; what the later one added stands behind them.

use super::Kind;

/// A release, as far as reading tells them apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Release {
    /// IFC 2x3.
    TwoByThree,
    /// IFC 4, and what was drafted between it and IFC 4.3.
    Four,
    /// IFC 4.3.
    FourPointThree,
}

impl Release {
    /// The release that the name of a schema stands for.
    #[must_use]
    pub fn of_schema(name: &str) -> Self {
        let name = name.to_ascii_uppercase();
        if name.starts_with("IFC4X3") {
            Self::FourPointThree
        } else if name.starts_with("IFC2X3") {
            Self::TwoByThree
        } else {
            Self::Four
        }
    }

    /// How many attributes of an entity, counted from its last, this release does not have.
    ///
    /// Read in the schemas IFC2X3_TC1, IFC4 and IFC4X3_ADD2 of buildingSMART, as ifcopenshell 0.9 has them.
    #[must_use]
    pub const fn lacks(self, kind: Kind) -> usize {
        match (self, kind) {
            (Self::TwoByThree | Self::Four, Kind::VirtualElement | Kind::DerivedUnit)
            | (Self::Four, Kind::PointList2D | Kind::PointList3D)
            | (
                Self::TwoByThree,
                Kind::TendonAnchor
                | Kind::Beam
                | Kind::Wall
                | Kind::Plate
                | Kind::ProjectionElement
                | Kind::OpeningElement
                | Kind::DiscreteAccessory
                | Kind::DiscreteAccessoryType
                | Kind::QuantityLength
                | Kind::QuantityWeight
                | Kind::QuantityCount,
            ) => 1,
            (Self::TwoByThree, Kind::Material) => 2,
            _ => 0,
        }
    }
}
