//! Ways and turned pieces: rods round corners and through hatches, tilted bars, play in guide pipes.

use restrand_mechanics::passing::{Pivot, guide_play_rad, throat_for_tilt_mm};
use restrand_mechanics::way::{FeedRoom, Slot, longest_round_corner, longest_through_slot};

use crate::example::{Example, Kind};

const INCH_MM: f64 = 25.4;
const FOOT_MM: f64 = 304.8;

const CORNER: &str = "Homework answer on Socratic: longest pole round the corner of two corridors";
const THICK: &str = "Own case: a bar with a thickness round a corner";
const TILTED: &str = "Own case: straight bar of 114.3 mm tilted in a throat with 3 m wall radius";
const GUIDE: &str = "Own case: play of a pipe in its guide pipe, pivoting about the middle";
const HATCH: &str = "Own case: rod through a hatch, room above 72 in";

pub(crate) fn examples() -> Vec<Example> {
    let mut all = corners();
    all.extend(tilted());
    all.extend(guides());
    all.extend(hatches());
    all
}

fn arithmetic(
    block: &'static str,
    source: &'static str,
    what: &'static str,
    input: &'static str,
    [printed, within, ours]: [f64; 3],
) -> Example {
    Example {
        block,
        kind: Kind::Arithmetic,
        source,
        what,
        input,
        printed,
        within,
        ours,
        explained: None,
    }
}

fn corners() -> Vec<Example> {
    let rod = |one_mm: f64, other_mm: f64, thickness_mm: f64| {
        longest_round_corner(one_mm, other_mm, thickness_mm).expect("plain numbers")
    };
    let turned = |one_mm, other_mm, thickness_mm| {
        rod(one_mm, other_mm, thickness_mm).turned_mm.expect("it is thinner than the corridors")
            / 1000.0
    };
    let length = "longest turned, m";
    vec![
        arithmetic(
            "A21",
            CORNER,
            "longest turned, ft",
            "corridors 3 and 4 ft",
            [9.87, 0.005, rod(3.0 * FOOT_MM, 4.0 * FOOT_MM, 0.0).longest_mm / FOOT_MM],
        ),
        arithmetic(
            "A21",
            THICK,
            length,
            "1.2 and 0.9 m, a line",
            [2.9597, 0.000_05, turned(1200.0, 900.0, 0.0)],
        ),
        arithmetic(
            "A21",
            THICK,
            length,
            "1.2 and 0.9 m, 0.15 m thick",
            [2.6581, 0.000_05, turned(1200.0, 900.0, 150.0)],
        ),
        arithmetic(
            "A21",
            THICK,
            length,
            "0.9 and 0.9 m, 0.1143 m thick",
            [2.3170, 0.000_05, turned(900.0, 900.0, 114.3)],
        ),
        arithmetic(
            "A21",
            THICK,
            length,
            "1.2 and 1.2 m, 1.1 m thick",
            [1.194, 0.0005, turned(1200.0, 1200.0, 1100.0)],
        ),
        arithmetic(
            "A21",
            THICK,
            "longest carried sideways, m",
            "1.2 and 1.2 m, 1.1 m thick",
            [1.200, 0.0005, rod(1200.0, 1200.0, 1100.0).longest_mm / 1000.0],
        ),
    ]
}

fn tilted() -> Vec<Example> {
    let throat = |degrees: f64| {
        throat_for_tilt_mm(114.3, 3000.0, 0.0, degrees.to_radians()).expect("plain numbers")
    };
    [("2°", 2.0, 118.0), ("4°", 4.0, 129.2), ("6°", 6.0, 148.0)]
        .map(|(input, degrees, printed)| {
            arithmetic(
                "tilted bar",
                TILTED,
                "least throat, mm",
                input,
                [printed, 0.05, throat(degrees)],
            )
        })
        .to_vec()
}

fn guides() -> Vec<Example> {
    let play = |gap_mm: f64| {
        guide_play_rad(gap_mm, Pivot::Middle { length_mm: 1200.0 }).expect("plain numbers")
    };
    let (wide, narrow) = ("gap 19.9 mm, 1.2 m", "gap 7 mm, 1.2 m");
    vec![
        arithmetic("guide pipe", GUIDE, "admissible angle, rad", wide, [0.033, 0.0005, play(19.9)]),
        arithmetic(
            "guide pipe",
            GUIDE,
            "admissible angle, degrees",
            wide,
            [1.9, 0.05, play(19.9).to_degrees()],
        ),
        arithmetic(
            "guide pipe",
            GUIDE,
            "admissible angle, rad",
            narrow,
            [0.012, 0.0005, play(7.0)],
        ),
        arithmetic(
            "guide pipe",
            GUIDE,
            "admissible angle, degrees",
            narrow,
            [0.67, 0.005, play(7.0).to_degrees()],
        ),
    ]
}

fn hatches() -> Vec<Example> {
    let forgotten = "the row takes H/sin φ; the rear end is still in the slab when the front end meets the ceiling, \
                     so (H + t)/sin φ passes, where the room below is as high";
    let feed = |opening: f64, slab: f64| {
        let hatch = Slot { opening_mm: opening * INCH_MM, thickness_mm: slab * INCH_MM };
        let bay = FeedRoom { height_mm: 72.0 * INCH_MM, ahead_mm: 1e5, length_mm: 1e5 };
        let field = FeedRoom { height_mm: 1e5, ahead_mm: 1e6, length_mm: 1e6 };
        longest_through_slot(&hatch, 4.5 * INCH_MM, &field, &bay)
            .expect("plain numbers")
            .expect("it is thinner than the hatch")
    };
    let mut rows = Vec::new();
    for (input, opening, slab, degrees, inches) in [
        ("opening 42 in, slab 9 in, rod 4.5 in", 42.0, 9.0, 18.2, 230.0),
        ("opening 36 in, slab 10 in, rod 4.5 in", 36.0, 10.0, 22.5, 188.0),
    ] {
        let feed = feed(opening, slab);
        let angle = [degrees, 0.05, feed.tilt_rad.to_degrees()];
        rows.push(Example {
            explained: Some("printed is the first tenth of a degree at which the rod goes through"),
            ..arithmetic("hatch", HATCH, "flattest angle, degrees", input, angle)
        });
        let longest = [inches, 0.5, feed.longest_mm / INCH_MM];
        rows.push(Example {
            explained: Some(forgotten),
            ..arithmetic("hatch", HATCH, "longest rod, in", input, longest)
        });
    }
    rows
}
