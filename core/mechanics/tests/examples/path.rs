//! Arcs over chords, true deviation, tangents and arcs, parabolas.

#![allow(clippy::unwrap_used)]

use restrand_mechanics::path::{
    Alignment, ProfilePoint, TendonPoint, arc_over_chord_m, parabola_through, rise_over_chord_m,
    tendon_path,
};

use crate::example::{Example, Kind};

const M_PER_IN: f64 = 0.0254;
const M_PER_FT: f64 = 0.3048;

pub(crate) fn examples() -> Vec<Example> {
    [rises(), curved_in_plan(), bent_in_space(), parabola()].concat()
}

fn rises() -> Vec<Example> {
    let mut rows = Vec::new();
    for (input, radius_in, chord_in, least, most, within) in [
        ("radius 10 in, chord 12 in", 10.0, 12.0, 2.0, 18.0, 0.5),
        ("radius 15 in, chord 20 in", 15.0, 20.0, 3.82, 26.18, 0.005),
    ] {
        let rise = rise_over_chord_m(radius_in * M_PER_IN, chord_in * M_PER_IN).unwrap() / M_PER_IN;
        for (what, printed, ours) in [
            ("rise of the smaller arc, in", least, rise),
            ("rise of the greater arc, in", most, 2.0 * radius_in - rise),
        ] {
            rows.push(Example {
                block: "A16",
                kind: Kind::Arithmetic,
                source: "Worked examples of an arc-height page",
                what,
                input,
                printed,
                within,
                ours,
                explained: None,
            });
        }
    }
    rows
}

fn curved_in_plan() -> Vec<Example> {
    let (radius_m, chord_m) = (600.0 * M_PER_FT, 100.0 * M_PER_FT);
    let rise = rise_over_chord_m(radius_m, chord_m).unwrap() / M_PER_FT;
    let longer = (arc_over_chord_m(radius_m, chord_m).unwrap() - chord_m) / M_PER_FT;
    let row = |kind, source, what, printed, within, ours, explained| Example {
        block: "A16",
        kind,
        source,
        what,
        input: "radius 600 ft, chord 100 ft",
        printed,
        within,
        ours,
        explained,
    };
    let own = "Own case, exact";
    let manual = "PCI Bridge Design Manual, 12.4.1, approximations";
    vec![
        row(Kind::Arithmetic, own, "rise over the chord, ft", 2.0870, 5e-5, rise, None),
        row(Kind::Arithmetic, own, "arc less chord, ft", 0.11610, 5e-6, longer, None),
        row(
            Kind::Memory,
            manual,
            "rise by c²/8R, ft",
            2.0833,
            5e-5,
            rise,
            Some("the manual's is an approximation, ours is exact"),
        ),
        row(
            Kind::Memory,
            manual,
            "arc less chord by 2.67 s²/c, ft",
            0.11589,
            5e-6,
            longer,
            Some("the manual's is an approximation, ours is exact"),
        ),
    ]
}

fn bent_in_space() -> Vec<Example> {
    let points = [(0.0, 0.0, 0.0, None), (20.0, 0.5, -2.0, Some(3.0)), (40.0, 0.2, -2.0, None)];
    let points = points.map(|(station_m, lateral_m, elevation_m, bend_radius_m)| TendonPoint {
        station_m,
        lateral_m,
        elevation_m,
        bend_radius_m,
    });
    let path = tendon_path(&Alignment::Straight, &points).unwrap();
    let bend = path.bends[0];
    // Between corner and arc, on the bisector.
    let external_m = (bend.tangent_m).hypot(3.0) - 3.0;
    let parts = Some("made of its parts in elevation and plan; the true angle is the one in space");
    [
        ("length of leg 1, m", 20.1060, 5e-5, path.legs[0].length_m, None),
        ("length of leg 2, m", 20.0022, 5e-5, path.legs[1].length_m, None),
        ("true deviation, rad", 0.107_340, 5e-7, bend.angle_rad, None),
        ("deviation as the root of the squares, rad", 0.107_393, 5e-7, bend.angle_rad, parts),
        ("deviation as the sum, rad", 0.139_662, 5e-7, bend.angle_rad, parts),
        ("arc at radius 3 m, m", 0.322_02, 5e-6, bend.arc_m, None),
        ("tangent at radius 3 m, m", 0.161_16, 5e-6, bend.tangent_m, None),
        ("from corner to arc at radius 3 m, m", 0.004_326, 5e-7, external_m, None),
        ("developed length, m", 40.107_91, 5e-6, path.developed_length_m, None),
    ]
    .into_iter()
    .map(|(what, printed, within, ours, explained)| Example {
        block: "A16",
        kind: Kind::Arithmetic,
        source: "Own case, bend in space",
        what,
        input: "(0, 0, 0), (20, 0.5, -2), (40, 0.2, -2) m",
        printed,
        within,
        ours,
        explained,
    })
    .collect()
}

fn parabola() -> Vec<Example> {
    let at = |along_m, elevation_m| ProfilePoint { along_m, elevation_m };
    let cable = parabola_through(at(0.0, 0.1), at(5.0, 0.0), at(10.0, 0.1)).unwrap();
    let angle = cable.run(None).unwrap().angle_rad;
    let slope = cable.slope_at(10.0).unwrap();
    [
        ("slope at the end", 0.040, 5e-4, slope, None),
        ("total angle by 2 atan, rad", 0.079_957_4, 5e-8, angle, None),
        (
            "total angle by 8e/L, rad",
            0.080_00,
            5e-6,
            angle,
            Some("the sum of slopes; angles are a little less"),
        ),
        ("length, m", 10.002_666, 5e-7, cable.length_m().unwrap(), None),
        ("length by 1 + 8/3 (e/L)², m", 10.002_667, 5e-7, cable.flat_length_m().unwrap(), None),
    ]
    .into_iter()
    .map(|(what, printed, within, ours, explained)| Example {
        block: "A16",
        kind: Kind::Arithmetic,
        source: "Own case, parabola",
        what,
        input: "length 10 m, drape 0.1 m",
        printed,
        within,
        ours,
        explained,
    })
    .collect()
}
