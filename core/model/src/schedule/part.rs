//! Parts of anchorages and deviator forms.

use super::{Day, Flag, Number, Text};
use crate::reflect::{choice, record};

choice! {
    /// What a part is for, in trade terms.
    pub enum Role {
        /// Cap over wedge plate and strand tails.
        Cap = "cap",
        /// Wedges that grip the strands.
        Wedges = "wedges",
        /// Plate in which the wedges sit.
        WedgePlate = "wedge_plate",
        /// Plate or ring between wedge plate and bearing plate.
        ShimPlate = "shim_plate",
        /// Plate or casting that gives the force to the concrete.
        BearingPlate = "bearing_plate",
        /// Outer trumpet, cast in.
        OuterTrumpet = "outer_trumpet",
        /// Inner trumpet, in which the strands gather.
        InnerTrumpet = "inner_trumpet",
        /// Form that makes the void behind the bearing plate.
        AnchorageForm = "anchorage_form",
        /// Pipe that guides the duct through the concrete.
        GuidePipe = "guide_pipe",
        /// Pipe that carries the strands through the anchorage.
        AnchoragePipe = "anchorage_pipe",
        /// Joint between lengths of duct, or between trumpet and duct.
        DuctJoint = "duct_joint",
        /// Sleeve shrunk over a joint.
        ShrinkSleeve = "shrink_sleeve",
        /// Duct.
        Duct = "duct",
        /// Form of a deviator, flared or not.
        DeviatorForm = "deviator_form",
        /// Pipe of a deviator to which the tendon may be bonded.
        DeviatorPipe = "deviator_pipe",
        /// Lining between duct and form.
        Liner = "liner",
        /// Tube for filling, venting or draining.
        Tube = "tube",
        /// Seal at the mouth of a permanent part.
        Seal = "seal",
        /// Coupler from strands to strands.
        TendonCoupler = "tendon_coupler",
    }
}

choice! {
    /// Whether a part leaves with the tendon.
    pub enum Permanence {
        /// Leaves with the tendon, and a new one comes in.
        Replaceable = "replaceable",
        /// Stays: cast in, or fixed to what is cast in.
        Permanent = "permanent",
    }
}

choice! {
    /// What bonds a part to what surrounds it.
    pub enum Bond {
        /// Nothing.
        None = "none",
        /// Concrete, cast against it.
        Concrete = "concrete",
        /// Grout.
        Grout = "grout",
        /// Adhesive or sealant that hardens.
        Adhesive = "adhesive",
        /// A weld.
        Weld = "weld",
        /// Wax or grease, which lets go.
        Wax = "wax",
    }
}

choice! {
    /// The way a part leaves. At an anchorage rear is away from the span; at a form rear is down-station
    /// and span up-station.
    pub enum Exit {
        /// Drawn out rearward.
        Rear = "rear",
        /// Drawn out to the span side.
        Span = "span",
        /// Opened and taken off where it sits.
        StrippedInPlace = "stripped_in_place",
    }
}

record! {
    /// A part of an anchorage or a form.
    ///
    /// Positions are on the owner's axis: an anchorage's has 0 at the face of the bearing plate on which the
    /// wedge or shim plate sits and is positive outward; a form's has 0 at its middle, positive up-station.
    pub struct Part as "part", key id {
        /// Name of the part, unique in its owner. Example: inner-trumpet.
        pub id: Text,
        /// What the part is for. Example: inner_trumpet.
        pub role: Option<Role>,
        /// Whether the part leaves with the tendon. Example: replaceable.
        pub permanence: Option<Permanence>,
        /// Outer diameter at the rear end. Example: 160.
        pub rear_outer_mm: Number,
        /// Inner diameter at the rear end; zero if it is solid. Example: 150.
        pub rear_inner_mm: Number [NotNegative],
        /// Outer diameter at the span end. Example: 125.
        pub span_outer_mm: Number,
        /// Inner diameter at the span end; zero if it is solid. Example: 110.
        pub span_inner_mm: Number [NotNegative],
        /// Greatest outer diameter, at a flange, bead or clamp. Example: 172.
        pub greatest_outer_mm: Number,
        /// Where the greatest outer diameter is, on the owner's axis. Example: -20.
        pub greatest_outer_at_mm: Number [Signed],
        /// Tolerance of diameters, plus and minus on the mean. Example: 1.
        pub tolerance_mm: Number [NotNegative],
        /// Greatest less least diameter of one cross-section. Example: 1.
        pub ovality_mm: Number [NotNegative],
        /// Height of one seam or weld bead inside. Example: 0.5.
        pub seam_mm: Number [NotNegative],
        /// One end of the part on the owner's axis. Example: -600.
        pub from_mm: Number [Signed],
        /// The other end of the part on the owner's axis. Example: 0.
        pub to_mm: Number [Signed],
        /// Radius of the wall in section along the axis, where the part is flared and no cone. Example: 4000.
        pub wall_radius_mm: Number,
        /// Mass. Example: 9.
        pub mass_kg: Number,
        /// Whether the part is split lengthways and can be opened.
        pub split: Flag,
        /// Material. Example: polyethylene.
        pub material: Text,
        /// Seal at the part's mouth. Example: rubber ring.
        pub seal: Text,
        /// Whether water can leave the gap between this part and the one around it.
        pub drains_annulus: Flag,
        /// The part in which this one sits, by its name. Example: outer-trumpet.
        pub inside: Text,
        /// What this part is bonded to: a part's name, or `concrete`; `none` if to nothing. Example: none.
        pub bonded_to: Text,
        /// What bonds it. Example: none.
        pub bond: Option<Bond>,
        /// Whether the bond can be reached and broken out from where people can stand.
        pub bond_accessible: Flag,
        /// The way the part leaves. Example: rear.
        pub exit: Option<Exit>,
        /// Date on which a permanent part was gauged as built. Example: 2031-05-07.
        pub gauged_on: Day,
        /// Diameter of the mandrel that passed. Example: 166.
        pub gauge_mandrel_mm: Number,
    }
}
