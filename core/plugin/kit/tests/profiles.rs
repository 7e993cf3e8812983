//! Tendons whose places stand across the page are read as points, and places never as tendons.

mod recognised;

use recognised::{Read, plain};
use restrand_model::Value;

type Point = (Option<String>, Option<String>, Option<f64>, Option<f64>);

/// The points: tendon, name, station and level.
fn points(read: &Read) -> Vec<Point> {
    let of = read.of("Points");
    (0..of.len())
        .map(|at| {
            let name = of[at].fields.get("id").and_then(Value::as_text).map(str::to_owned);
            let tendon = of[at].links[0].as_deref().map(str::to_owned);
            let number = |field: &str| read.number("Points", at, &[field]);
            (tendon, name, number("station_m"), number("elevation_m"))
        })
        .collect()
}

fn point(tendon: &str, name: &str, station: Option<f64>, level: f64) -> Point {
    (Some(tendon.to_owned()), Some(name.to_owned()), station, Some(level))
}

#[test]
fn rows_of_stations_and_levels_below_places_are_points() {
    let tendons: &[&[&str]] =
        &[&["Tendon", "Strands"], &["R1", "19"], &["R2", "22"], &[], &["Tendon profile (m)"]];
    for label in ["", "Item"] {
        let headers: &[&str] = &["Tendon", label, "Abut. A", "Dev. 1", "Pier 1"];
        let rows = [
            tendons,
            &[headers],
            &[
                &["R1", "Ch.", "10", "25", "50"],
                &["", "Level", "105.2", "103.1", "105.6"],
                &["R2", "Ch.", "10.2", "25", "49.8"],
                &["", "Level", "104.8", "102.9", "105.3"],
            ],
        ]
        .concat();
        let read = plain(&rows);
        assert_eq!(read.marks(), ["R1", "R2"], "{label}");
        assert_eq!(
            points(&read),
            [
                point("R1", "Abut. A", Some(10.0), 105.2),
                point("R1", "Dev. 1", Some(25.0), 103.1),
                point("R1", "Pier 1", Some(50.0), 105.6),
                point("R2", "Abut. A", Some(10.2), 104.8),
                point("R2", "Dev. 1", Some(25.0), 102.9),
                point("R2", "Pier 1", Some(49.8), 105.3),
            ],
            "{label}"
        );
    }
}

#[test]
fn the_word_for_points_may_head_the_tendons() {
    let rows: &[&[&str]] = &[
        &["Tendon", "Strands"],
        &["R1", "19"],
        &["R2", "22"],
        &[],
        &["Tendon profile (m)"],
        &["Point", "", "Pier 2", "Dev. 1", "Pier 1"],
        &["R1", "Ch.", "50", "25", "10"],
        &["", "Level", "105.2", "103.1", "105.6"],
        &["", "Offset (+ left)", "1.5", "1.2", "1.5"],
        &["R2", "Ch.", "50", "25", "10"],
        &["", "Level", "105.2", "103.1", "105.6"],
        &["", "Offset (+ left)", "-1.5", "-1.2", "-1.5"],
    ];
    let read = plain(rows);
    assert_eq!(read.marks(), ["R1", "R2"]);
    assert_eq!(points(&read)[1], point("R1", "Dev. 1", Some(25.0), 103.1));
    assert_eq!(read.number("Points", 4, &["lateral_m"]), Some(-1.2));
    // Without a label at each row nothing tells that its first column names tendons.
    let bare =
        plain(&[&rows[..5], &[&["Point", "Pier 2", "Pier 1"], &["R1", "105", "106"]]].concat());
    assert!(points(&bare).is_empty());
}

#[test]
fn a_profile_may_stand_alone() {
    let read = plain(&[
        &["Tendon", "", "Abut. A", "Dev. 1", "Pier 1"],
        &["R1", "Ch. (m)", "10", "25", "50"],
        &["", "Level (m)", "105.2", "103.1", "105.6"],
    ]);
    assert!(read.marks().is_empty());
    assert_eq!(points(&read)[1], point("R1", "Dev. 1", Some(25.0), 103.1));
    assert_eq!(points(&read).len(), 3);
}

#[test]
fn one_row_a_tendon_states_what_the_caption_says() {
    let table = |caption: &'static str| {
        plain(&[
            &["Tendon", "Strands"],
            &["R1", "19"],
            &["R2", "22"],
            &[],
            &[caption],
            &["Tendon", "Abut. A", "Dev. 1", "Pier 1"],
            &["R1", "105.2", "103.1", "105.6"],
            &["R2", "104.8", "102.9", "105.3"],
        ])
    };
    let read = table("Tendon levels (m)");
    assert_eq!(read.marks(), ["R1", "R2"]);
    assert_eq!(points(&read).len(), 6);
    assert_eq!(points(&read)[4], point("R2", "Dev. 1", None, 102.9));
    // Without it nothing tells what they are.
    let read = table("Values at places");
    assert_eq!(read.marks(), ["R1", "R2"]);
    assert!(points(&read).is_empty());
    assert!(read.problems.iter().any(|one| one.why.contains("heads places of tendons")));
}

#[test]
fn what_a_profile_states_of_other_things_is_kept() {
    let read = plain(&[
        &["Tendon", "", "Abut. A", "Dev. 1", "Pier 1"],
        &["R1", "Ch. (m)", "10", "25", "50"],
        &["", "Level above soffit (mm)", "300", "250", "300"],
    ]);
    assert!(read.of("Points").iter().all(|one| one.fields.get("elevation_m").is_none()));
    assert!(read.of("Points")[0].fields.get("extra").is_some());
}
