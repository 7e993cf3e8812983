//! What deviators do to tendons, stated beside the points at which they are.

mod recognised;

use recognised::{plain, sheet, taken};
use restrand_kit::recognise::Mapping;
use restrand_model::Value;

#[test]
fn angles_stand_below_the_deviators_of_a_row_or_beside_points() {
    let across = plain(&[
        &["Tendon", "", "DEVIATOR D1", "", "", "DEVIATOR D2", ""],
        &["", "Length (m)", "Ch. (m)", "Angle (deg)", "Radius (m)", "Ch. (m)", "Angle (deg)"],
        &["T1", "60.2", "120", "5.5", "5", "140", "4.5"],
        &["T2", "60.1", "120", "5.0", "5", "140", "4.0"],
    ]);
    let down = plain(&[
        &["TENDON", "DEV. NO.", "CH. (M)", "LEVEL (M)", "ANGLE (DEG)", "PIPE RADIUS (M)"],
        &["T1", "D1", "120", "50.1", "5.5", "5"],
        &["T1", "D2", "140", "50.2", "4.5", "5"],
        &["T2", "D1", "120", "50.3", "5.0", "5"],
        &["T2", "D2", "140", "50.4", "4.0", "5"],
    ]);
    for (read, points) in [(&across, 4), (&down, 4)] {
        assert_eq!(read.of("Points").len(), points);
        assert_eq!(read.number("Points", 0, &["radius_m"]), Some(5.0));
        let deviators = read.of("Deviators");
        let said: Vec<(String, String, f64)> = deviators
            .iter()
            .map(|one| {
                let place = one.fields.get("place").and_then(Value::as_text).unwrap_or_default();
                let angle = one.fields.get("angle_rad").and_then(Value::as_number);
                let tendon = one.links[0].as_deref().unwrap_or_default();
                (tendon.to_owned(), place.to_owned(), angle.unwrap_or_default().to_degrees())
            })
            .collect();
        let expected = [("T1", "D1", 5.5), ("T1", "D2", 4.5), ("T2", "D1", 5.0), ("T2", "D2", 4.0)];
        assert_eq!(said.len(), 4, "{said:?}");
        for ((tendon, place, angle), (of, at, degrees)) in said.iter().zip(expected) {
            assert_eq!((tendon.as_str(), place.as_str()), (of, at));
            assert!((angle - degrees).abs() < 1e-9, "{angle}");
        }
    }
}

#[test]
fn an_angle_beside_points_that_no_deviator_names_is_kept() {
    let read = plain(&[
        &["Tendon", "Point", "Ch. (m)", "Level (m)", "Angle (deg)"],
        &["T1", "P1", "120", "50.1", "5.5"],
        &["T1", "P2", "140", "50.2", "4.5"],
        &["T2", "P1", "120", "50.3", "5.0"],
        &["T2", "P2", "140", "50.4", "4.0"],
    ]);
    assert!(read.of("Deviators").is_empty());
}

#[test]
fn an_angle_may_be_numbered_as_its_deviator_is() {
    let read = plain(&[
        &["Spannglied", "Litzen", "Station Umlenkstelle 1 [m]", "Umlenkwinkel 1 [rad]"],
        &["V1", "15", "35", "0.07"],
        &["V2", "15", "35", "0.06"],
    ]);
    assert_eq!(read.number("Deviators", 1, &["angle_rad"]), Some(0.06));
    assert_eq!(read.number("Points", 1, &["station_m"]), Some(35.0));
}

#[test]
fn degrees_are_of_no_system_of_units() {
    let read = plain(&[
        &["TENDON", "DEV. NO.", "STA.", "ELEV. (FT)", "ANGLE (DEG)"],
        &["T1", "D1", "10+60.00", "50.1", "5.5"],
        &["T2", "D1", "10+60.00", "50.3", "5.0"],
    ]);
    assert!(read.questions.is_empty(), "{:?}", read.questions);
    assert_eq!(read.number("Points", 0, &["station_m"]), Some(1060.0 * 0.3048));
}

#[test]
fn a_list_of_deviators_adds_to_the_points_of_another_table() {
    let list = |headers: [&str; 4], values: [&str; 4]| {
        let points = sheet(
            "Points",
            &[
                &["Tendon", "Point", "Station (m)", "Level (m)", "Where"],
                &["T1", "1", "100", "18.4", "Anchorage A"],
                &["T1", "2", "120", "15.6", "Deviator 1"],
                &["T1", "3", "160", "19.0", "Anchorage B"],
                &["T2", "1", "100", "18.4", "Anchorage A"],
                &["T2", "2", "120", "15.6", "Deviator 1"],
                &["T2", "3", "160", "19.0", "Anchorage B"],
            ],
        );
        let [one, two, three, four] = headers;
        let [first, second, third, fourth] = values;
        let rows: &[&[&str]] = &[
            &["Tendon", "Deviator", "Station (m)", one, two, three, four],
            &["T1", "D1", "120", first, second, third, fourth],
            &["T2", "D1", "120", first, second, third, fourth],
        ];
        taken(vec![points, sheet("Deviators", rows)], &Mapping::default())
    };
    let read = list(
        ["Total angle (deg)", "Bend radius (m)", "Pipe bore (mm)", "Length (mm)"],
        ["10.4", "4", "180", "1200"],
    );
    // What a deviator adds goes to the point at its station, whatever else either table keeps.
    assert_eq!(read.of("Points").len(), 6);
    assert_eq!(read.number("Points", 1, &["radius_m"]), Some(4.0));
    assert_eq!(read.number("Points", 1, &["elevation_m"]), Some(15.6));
    assert_eq!(read.of("Deviators").len(), 2);
    assert_eq!(read.number("Deviators", 0, &["throat_mm"]), Some(180.0));
    assert_eq!(read.number("Deviators", 0, &["length_mm"]), Some(1200.0));
    // A length in metres may be that of the tendon as far as there.
    let read = list(
        ["Total angle (deg)", "Bend radius (m)", "Level (m)", "Length (m)"],
        ["10.4", "4", "15.9", "20.1"],
    );
    assert_eq!(read.number("Deviators", 0, &["length_mm"]), None);
    // Another level at the station is said by another point.
    assert_eq!(read.of("Points").len(), 8);
}
