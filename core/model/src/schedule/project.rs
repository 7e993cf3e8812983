//! The bridge and the document.

use super::{Count, Day, Flag, Number, Text};
use crate::reflect::{choice, record};

choice! {
    /// How far the schedule has come; each stage requires what the stages before it require.
    pub enum Stage {
        /// Offered: the system is not chosen, an anchorage may be an envelope.
        Tender = "tender",
        /// Drawn for making and building.
        ShopDrawing = "shop_drawing",
        /// Built: measured values are known.
        AsBuilt = "as_built",
        /// At least one tendon has been replaced.
        Replaced = "replaced",
    }
}

choice! {
    /// The system of units in which a schedule is shown.
    pub enum DisplayUnits {
        /// Millimetres, metres, kilonewtons, megapascals.
        Si = "si",
        /// Inches, feet, kips, ksi.
        Us = "us",
    }
}

record! {
    /// The bridge, the document, and what holds for all tendons.
    pub struct Project as "project" {
        /// Name of the bridge. Example: Quillmere Viaduct.
        pub bridge: Text,
        /// Owner's number of the structure. Example: QV-017.
        pub structure_number: Text,
        /// Who owns the bridge and accepts the schedule.
        pub owner: Text,
        /// Who designed the tendons.
        pub designer: Text,
        /// Number of the schedule or its drawing. Example: QV-PT-101.
        pub drawing: Text,
        /// Revision of the schedule. Example: C.
        pub revision: Text,
        /// Date of the revision. Example: 2031-05-07.
        pub date: Day,
        /// How far the schedule has come; tendons may differ. Example: shop_drawing.
        pub stage: Option<Stage>,
        /// Design code. Example: EN 1992-1-1.
        pub design_code: Text,
        /// Edition of the design code, by its year. Example: 2005.
        pub design_code_edition: Text,
        /// System of units in which the schedule is shown. Example: si.
        pub display_units: Option<DisplayUnits>,
        /// Whether the alignment is straight over the whole bridge; if not, its elements are listed.
        pub alignment_straight: Flag,
        /// First bending frequency of the bridge. Example: 2.8.
        pub first_frequency_hz: Number,
        /// Largest aggregate of the concrete. Example: 20.
        pub aggregate_mm: Number,
        /// Concrete strength at which stressing may start. Example: 40.
        pub concrete_strength_at_stressing_mpa: Number,
        /// Tendons that may be out at once over the whole bridge. Example: 1.
        pub tendons_out: Count,
        /// Live-load restriction while a tendon is out.
        pub live_load_restriction: Text,
        /// Owner's other measures while a tendon is out: props, monitoring, hours of work.
        pub measures_while_out: Text,
        /// Mass that two people may carry by hand. Example: 40.
        pub hand_carry_kg: Number,
    }
}
