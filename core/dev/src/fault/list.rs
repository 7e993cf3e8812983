//! The faults.

use restrand_model::reflect::{Date, Link};
use restrand_model::schedule::{
    Anchorage, Bond, Deviator, Duct, End, EndName, Installation, Part, Permanence, Schedule,
    StressingFrom, Tendon,
};

use super::Way::{In, To};
use super::{Fault, Plant};
use crate::demo;

/// The planted faults, in order of their numbers.
#[must_use]
pub fn faults() -> &'static [Fault] {
    FAULTS
}

const FAULTS: &[Fault] = &[
    Fault {
        number: 1,
        rule: "schedule/unreadable-value",
        what: "The order of stressing is given in words, \"three\".",
        way: &[In("tendons", "T21R"), To("order")],
        plant: Plant::Text("three"),
    },
    Fault {
        number: 2,
        rule: "schedule/unreadable-value",
        what: "The resolution of the gauge is given as \"0,2 bar?\", with a question mark.",
        way: &[In("jacks", "QJ-19"), To("gauge_resolution_mpa")],
        plant: Plant::Text("0,2 bar?"),
    },
    Fault {
        number: 3,
        rule: "schedule/unknown-column",
        what: "No field takes the column \"Duct colour\".",
        way: &[In("tendons", "T11L")],
        plant: Plant::Column { header: "Duct colour", value: "black" },
    },
    Fault {
        number: 4,
        rule: "schedule/unknown-column",
        what: "No field takes the column \"Key holder\".",
        way: &[In("openings", "H1")],
        plant: Plant::Column { header: "Key holder", value: "area office" },
    },
    Fault {
        number: 5,
        rule: "schedule/duplicate-mark",
        what: "Bay B2C is listed twice, with the same values.",
        way: &[In("bays", "B2C")],
        plant: Plant::Twice,
    },
    Fault {
        number: 6,
        rule: "schedule/duplicate-mark",
        what: "Opening O-D32 is listed twice, with the same values.",
        way: &[In("openings", "O-D32")],
        plant: Plant::Twice,
    },
    Fault {
        number: 7,
        rule: "schedule/dangling-reference",
        what: "Opening O-D31 leads to a bay B3D that is not listed; B3B is meant.",
        way: &[In("openings", "O-D31"), To("to_bay")],
        plant: Plant::Edit(|schedule| {
            let mut openings = schedule.openings.iter_mut();
            if let Some(opening) = openings.find(|o| o.id.as_deref() == Some("O-D31")) {
                opening.to_bay = Some(Link::to("B3D"));
            }
        }),
    },
    Fault {
        number: 8,
        rule: "schedule/dangling-reference",
        what: "T25R names a twin T52L that is not listed; T25L is meant.",
        way: &[In("tendons", "T25R"), To("twin")],
        plant: Plant::Edit(|schedule| {
            with_tendon(schedule, "T25R", |tendon| tendon.twin = Some(Link::to("T52L")));
        }),
    },
    Fault {
        number: 9,
        rule: "schedule/missing-field",
        what: "The filler of T21L is blank.",
        way: &[In("tendons", "T21L"), To("filler")],
        plant: Plant::Edit(|schedule| with_tendon(schedule, "T21L", |tendon| tendon.filler = None)),
    },
    Fault {
        number: 10,
        rule: "schedule/missing-field",
        what: "How the strands of T24R come in is blank.",
        way: &[In("tendons", "T24R"), To("installation")],
        plant: Plant::Edit(|schedule| {
            with_tendon(schedule, "T24R", |tendon| tendon.installation = None);
        }),
    },
    Fault {
        number: 11,
        rule: "strand/area-mismatch",
        what: "The strand's area is given as 152 mm², where its standard has 150.",
        way: &[In("strands", "Y1860-157"), To("area_mm2")],
        plant: Plant::Edit(|schedule| {
            for strand in &mut schedule.strands {
                strand.area_mm2 = Some(152.0);
            }
        }),
    },
    Fault {
        number: 12,
        rule: "strand/exceeds-capacity",
        what: "The wedge plate of K-20 is given 18 holes, for 19 strands.",
        way: &[In("anchorages", "K-20"), To("wedge_plate_holes")],
        plant: Plant::Edit(|schedule| {
            with_anchorage(schedule, "K-20", |anchorage| anchorage.wedge_plate_holes = Some(18));
        }),
    },
    Fault {
        number: 13,
        rule: "duct/area-ratio-low",
        what: "T32L and T32R have a duct of wall 17.1 mm, whose bore of 90.8 mm is too small for strands that \
               are pulled in; it is shown at the first.",
        way: &[In("tendons", "T32L"), To("duct")],
        plant: Plant::Edit(thick_duct),
    },
    Fault {
        number: 14,
        rule: "duct/dimensions-inconsistent",
        what: "The wall of PE125 is given as 9.2 mm, but outer diameter, bore and dimension ratio say 7.4.",
        way: &[In("ducts", "PE125"), To("wall_mm")],
        plant: Plant::Edit(|schedule| {
            let mut ducts = schedule.ducts.iter_mut();
            if let Some(duct) = ducts.find(|duct| duct.id.as_deref() == Some("PE125")) {
                duct.wall_mm = Some(9.2);
            }
        }),
    },
    Fault {
        number: 15,
        rule: "parts/permanence-missing",
        what: "Whether the mouth boot of S-20 is replaceable is blank.",
        way: &[In("anchorages", "S-20"), In("parts", "mouth-boot"), To("permanence")],
        plant: Plant::Edit(|schedule| {
            with_part(schedule, "S-20", "mouth-boot", |part| part.permanence = None);
        }),
    },
    Fault {
        number: 16,
        rule: "parts/permanence-unexpected",
        what: "The cap of K-13 is listed as permanent.",
        way: &[In("anchorages", "K-13"), In("parts", "cap"), To("permanence")],
        plant: Plant::Edit(|schedule| {
            with_part(schedule, "K-13", "cap", |part| {
                part.permanence = Some(Permanence::Permanent);
            });
        }),
    },
    Fault {
        number: 17,
        rule: "parts/bonded-inaccessibly",
        what: "The inner cone of K-20 is grouted to the outer cone, where nobody can reach.",
        way: &[In("anchorages", "K-20"), In("parts", "inner-cone"), To("bonded_to")],
        plant: Plant::Edit(|schedule| {
            with_part(schedule, "K-20", "inner-cone", |part| {
                part.bonded_to = Some("outer-cone".into());
                part.bond = Some(Bond::Grout);
                part.bond_accessible = Some(false);
            });
        }),
    },
    Fault {
        number: 18,
        rule: "parts/cannot-pass",
        what: "The inner cone of K-13 is given a rear diameter of 195 mm, which leaves less than the \
               withdrawal gap in the bearing plate's bore of 200.",
        way: &[In("anchorages", "K-13"), In("parts", "inner-cone"), To("rear_outer_mm")],
        plant: Plant::Edit(|schedule| {
            with_part(schedule, "K-13", "inner-cone", |part| part.rear_outer_mm = Some(195.0));
        }),
    },
    Fault {
        number: 19,
        rule: "space/missing",
        what: "The room behind end b of T21L is blank.",
        way: &[In("tendons", "T21L"), To("ends"), To("b"), To("removal_space"), To("behind_mm")],
        plant: Plant::Edit(|schedule| with_behind(schedule, "T21L", EndName::B, None)),
    },
    Fault {
        number: 20,
        rule: "space/stub",
        what: "The room behind end a of T12R is given as 600 mm, the depth of the niche beside it; the \
               stub cannot come out.",
        way: &[In("tendons", "T12R"), To("ends"), To("a"), To("removal_space"), To("behind_mm")],
        plant: Plant::Edit(|schedule| with_behind(schedule, "T12R", EndName::A, Some(600.0))),
    },
    Fault {
        number: 21,
        rule: "stressing/calibration-old",
        what: "The jack's calibration is of the year before, 2025 for 2026.",
        way: &[In("jacks", "QJ-19"), To("calibrated_on")],
        plant: Plant::Edit(|schedule| {
            for jack in &mut schedule.jacks {
                jack.calibrated_on = Date::new(2025, 9, 15);
            }
        }),
    },
    Fault {
        number: 22,
        rule: "stressing/order-lopsided",
        what: "T12L is given the place of T11R in the order of stressing and T11R that of T12L, so that both \
               left tendons of span S1 come first.",
        way: &[In("tendons", "T12L"), To("order")],
        plant: Plant::Edit(|schedule| {
            with_tendon(schedule, "T12L", |tendon| tendon.order = Some(2));
            with_tendon(schedule, "T11R", |tendon| tendon.order = Some(3));
        }),
    },
    Fault {
        number: 23,
        rule: "stressing/end-role-conflict",
        what: "T31L is said to be jacked from end a, its dead end; end b is meant.",
        way: &[In("tendons", "T31L"), To("stressing"), To("from")],
        plant: Plant::Edit(|schedule| {
            with_tendon(schedule, "T31L", |tendon| {
                if let Some(stressing) = tendon.stressing.as_deref_mut() {
                    stressing.from = Some(StressingFrom::A);
                }
            });
        }),
    },
    Fault {
        number: 24,
        rule: "path/length-mismatch",
        what: "The length of T31R is given as 41.65 m, the distance of its ends along the stations.",
        way: &[In("tendons", "T31R"), To("length_m")],
        plant: Plant::Edit(|schedule| {
            with_tendon(schedule, "T31R", |tendon| tendon.length_m = Some(41.65));
        }),
    },
    Fault {
        number: 25,
        rule: "path/angle-mismatch",
        what: "The angle of T11R at D11 is given as 0.0914, the sum of its turns in elevation and in plan.",
        way: &[In("tendons", "T11R"), In("deviators", "D11"), To("angle_rad")],
        plant: Plant::Edit(|schedule| {
            with_deviator(schedule, "T11R", "D11", |deviator| deviator.angle_rad = Some(0.0914));
        }),
    },
    Fault {
        number: 26,
        rule: "deviator/angle-reserve",
        what: "The axis of T12L's form at D12 is given to fall by 0.05 up-station, where it rises.",
        way: &[In("tendons", "T12L"), In("deviators", "D12"), To("pitch_rad")],
        plant: Plant::Edit(|schedule| {
            with_deviator(schedule, "T12L", "D12", |deviator| deviator.pitch_rad = Some(-0.05));
        }),
    },
    Fault {
        number: 27,
        rule: "access/headroom-low",
        what: "The height of bay B3C is given as 1700 mm, to the underside of a duct that is not there.",
        way: &[In("bays", "B3C"), To("height_mm")],
        plant: Plant::Edit(|schedule| {
            let mut bays = schedule.bays.iter_mut();
            if let Some(bay) = bays.find(|bay| bay.id.as_deref() == Some("B3C")) {
                bay.height_mm = Some(1700.0);
            }
        }),
    },
    Fault {
        number: 28,
        rule: "access/opening-small-for-people",
        what: "The height of opening O-P2, the only way to span S1, is given as 1000 mm.",
        way: &[In("openings", "O-P2"), To("height_mm")],
        plant: Plant::Edit(|schedule| {
            let mut openings = schedule.openings.iter_mut();
            if let Some(opening) = openings.find(|opening| opening.id.as_deref() == Some("O-P2")) {
                opening.height_mm = Some(1000.0);
            }
        }),
    },
    Fault {
        number: 29,
        rule: "anchorage/edge-distance",
        what: "End a of T24L is given 250 mm from the edge of the concrete, where its anchorage asks for 280 mm.",
        way: &[In("tendons", "T24L"), To("ends"), To("a"), To("edge_distance_mm")],
        plant: Plant::Edit(|schedule| {
            with_end(schedule, "T24L", EndName::A, |end| end.edge_distance_mm = Some(250.0));
        }),
    },
    Fault {
        number: 30,
        rule: "anchorage/not-square",
        what: "End b of T22R is said to stand 0.02 rad out of square.",
        way: &[In("tendons", "T22R"), To("ends"), To("b"), To("out_of_square_rad")],
        plant: Plant::Edit(|schedule| {
            with_end(schedule, "T22R", EndName::B, |end| end.out_of_square_rad = Some(0.02));
        }),
    },
    Fault {
        number: 31,
        rule: "parts/nesting-impossible",
        what: "Anchorage S-20 states the bore of its bearing plate as 190 mm, and the plate itself has 200 mm.",
        way: &[In("anchorages", "S-20"), To("bearing_bore_mm")],
        plant: Plant::Edit(|schedule| {
            with_anchorage(schedule, "S-20", |anchorage| anchorage.bearing_bore_mm = Some(190.0));
        }),
    },
    Fault {
        number: 32,
        rule: "replacement/cap-before-release",
        what: "The cap at end a of T23R is said to come off before the force is zero, but it is released in its free length.",
        way: &[In("tendons", "T23R"), To("ends"), To("a"), To("released_here")],
        plant: Plant::Edit(|schedule| {
            with_end(schedule, "T23R", EndName::A, |end| end.released_here = Some(true));
        }),
    },
    Fault {
        number: 33,
        rule: "replacement/too-many-out",
        what: "With T32L another tendon may be out, where the project states one at a time.",
        way: &[In("tendons", "T32L"), To("replacement"), To("others_out")],
        plant: Plant::Edit(|schedule| {
            with_tendon(schedule, "T32L", |tendon| {
                if let Some(replacement) = tendon.replacement.as_deref_mut() {
                    replacement.others_out = Some(1);
                }
            });
        }),
    },
];

/// A duct of dimension ratio 7.4, and a tendon that has it, with all that goes with it.
fn thick_duct(schedule: &mut Schedule) {
    const BORE_MM: f64 = 90.8;
    let Some(usual) = schedule.ducts.first() else { return };
    let thick = Duct {
        id: Some("PE125T".into()),
        wall_mm: Some(17.1),
        dimension_ratio: Some(7.4),
        inner_mm: Some(BORE_MM),
        mass_kg_per_m: Some(5.51),
        ..usual.clone()
    };
    schedule.ducts.push(thick);
    for mark in ["T32L", "T32R"] {
        with_tendon(schedule, mark, |tendon| {
            tendon.duct = Some(Link::to("PE125T"));
            tendon.installation = Some(Installation::Pull);
            for joint in &mut tendon.duct_joints {
                joint.inner_mm = Some(BORE_MM);
            }
            demo::refill(tendon, BORE_MM);
        });
    }
}

fn with_tendon(schedule: &mut Schedule, mark: &str, change: impl FnOnce(&mut Tendon)) {
    let mut tendons = schedule.tendons.iter_mut();
    if let Some(tendon) = tendons.find(|tendon| tendon.mark.as_deref() == Some(mark)) {
        change(tendon);
    }
}

fn with_deviator(
    schedule: &mut Schedule,
    mark: &str,
    place: &str,
    change: impl FnOnce(&mut Deviator),
) {
    with_tendon(schedule, mark, |tendon| {
        let mut deviators = tendon.deviators.iter_mut();
        let at = |deviator: &&mut Deviator| {
            deviator.place.as_ref().is_some_and(|link| link.key() == place)
        };
        if let Some(deviator) = deviators.find(at) {
            change(deviator);
        }
    });
}

fn with_anchorage(schedule: &mut Schedule, id: &str, change: impl FnOnce(&mut Anchorage)) {
    let mut anchorages = schedule.anchorages.iter_mut();
    if let Some(anchorage) = anchorages.find(|anchorage| anchorage.id.as_deref() == Some(id)) {
        change(anchorage);
    }
}

fn with_part(schedule: &mut Schedule, owner: &str, id: &str, change: impl FnOnce(&mut Part)) {
    with_anchorage(schedule, owner, |anchorage| {
        let mut parts = anchorage.parts.iter_mut();
        if let Some(part) = parts.find(|part| part.id.as_deref() == Some(id)) {
            change(part);
        }
    });
}

fn with_end(schedule: &mut Schedule, mark: &str, end: EndName, change: impl FnOnce(&mut End)) {
    with_tendon(schedule, mark, |tendon| {
        let Some(ends) = tendon.ends.as_deref_mut() else { return };
        let end = match end {
            EndName::A => ends.a.as_deref_mut(),
            EndName::B => ends.b.as_deref_mut(),
        };
        if let Some(end) = end {
            change(end);
        }
    });
}

fn with_behind(schedule: &mut Schedule, mark: &str, end: EndName, behind_mm: Option<f64>) {
    with_end(schedule, mark, end, |end| {
        if let Some(space) = end.removal_space.as_deref_mut() {
            space.behind_mm = behind_mm;
        }
    });
}
