//! Friction and anchor set.

#![allow(clippy::unwrap_used)]

use restrand_mechanics::friction::{
    End, ExponentPerM, Profile, RadPerM, Run, Seating, StressDiagram, Wobble, force_kn, kept_share,
    profile, stationary, stress_mpa,
};

use super::example::{Example, Kind};
use super::said::{FOOT, INCH, KIP, KSI, SQUARE_INCH, Source};

const LINEAR: &str = "the source takes 1 - (μα + Kx); ours is e^-(μα + Kx)";
const SAME_LOSS: &str = "the sheet subtracts the same 11.03 ksi in every segment instead of the same share of what is left";
const SHEET_MIRROR: &str = "the sheet's friction does not compound, and it mirrors the curve linearly about the end of the zone; ours is reversed friction";

pub(crate) fn examples() -> Vec<Example> {
    [a1(), a2(), a3(), a4(), a5(), a6(), a7(), a20(), factors(), worked_set()].concat()
}

pub(crate) fn run(length_m: f64, angle_rad: f64, mu: f64, wobble: Wobble) -> Run {
    Run { length_m, angle_rad, inadvertent_rad: 0.0, mu, wobble }
}

fn a1() -> Vec<Example> {
    let memory = Source {
        block: "A1",
        kind: Kind::Memory,
        source: "Krishna Raju, Prestressed Concrete, chapter on losses",
    };
    let exact = Source {
        block: "A1, exponential",
        kind: Kind::Arithmetic,
        source: "the same cables with exponential friction",
    };
    let end_kn = |angle_rad| {
        let run = run(10.0, angle_rad, 0.35, Wobble::Exponent(ExponentPerM(0.0015)));
        let stress = StressDiagram::jacked(&profile(&[run]).unwrap(), End::A, 1200.0).unwrap();
        force_kn(stress.end_mpa(End::B), 200.0).unwrap()
    };
    let mut found = Vec::new();
    for (input, angle_rad, printed, printed_percent, kept_kn, percent) in [
        ("cable 1, α 0.08", 0.08, 10_320.0, 4.3, 229.90, 4.209),
        ("cable 2, α 0.04", 0.04, 6_960.0, 2.9, 233.14, 2.858),
        ("cable 3, straight", 0.0, 3_600.0, 1.5, 236.43, 1.489),
    ] {
        let end = end_kn(angle_rad);
        let lost_n = 240_000.0 - end * 1000.0;
        let lost_percent = lost_n / 2400.0;
        found.push(memory.says_but(("loss, N", input), printed, 0.5, lost_n, LINEAR));
        let mut share = memory.says("loss, %", input, printed_percent, 0.05, lost_percent);
        if angle_rad == 0.08 {
            share.explained = Some(LINEAR);
        }
        found.push(share);
        found.push(exact.says("force at the far end, kN", input, kept_kn, 0.005, end));
        found.push(exact.says("loss, %", input, percent, 0.0005, lost_percent));
    }
    found
}

/// The girder of the printed sheet.
fn sheet() -> Profile {
    let segment = run(30.0 * FOOT, 0.2, 0.25, Wobble::Exponent(ExponentPerM(0.0002 / FOOT)));
    profile(&[segment; 3]).unwrap()
}

fn a2() -> Vec<Example> {
    let sheet_says = Source {
        block: "A2",
        kind: Kind::Published,
        source: "calculation sheet of a 90-ft post-tensioned girder, stress after friction and anchor set",
    };
    let exact = Source {
        block: "A2, exact",
        kind: Kind::Arithmetic,
        source: "the same girder with exponential friction that reverses",
    };
    let before = StressDiagram::jacked(&sheet(), End::A, 202.5 * KSI).unwrap();
    let mut after = before.clone();
    let seating = Seating { set_mm: 0.375 * INCH, e_mpa: 28_000.0 * KSI };
    let reach = after.seat(End::A, seating).unwrap();
    let at = |stress: &StressDiagram, feet: f64| {
        stress.at((feet * FOOT).min(90.0 * FOOT)).unwrap().towards_a_mpa / KSI
    };
    let zone_ft = reach.at_m / FOOT;
    let zone_end = after.at(reach.at_m).unwrap().towards_a_mpa / KSI;
    let anchor = reach.end_mpa / KSI;
    let whole = before.integral_mpa_m(0.0, 90.0 * FOOT).unwrap();
    let set = "set 0.375 in";
    let says =
        |what, input, printed, within, ours| sheet_says.says(what, input, printed, within, ours);
    let but = |what, input, printed, within, ours, why| {
        sheet_says.says_but((what, input), printed, within, ours, why)
    };
    vec![
        says("stress before set, ksi", "at 30 ft", 191.5, 0.05, at(&before, 30.0)),
        but("stress before set, ksi", "at 60 ft", 180.4, 0.05, at(&before, 60.0), SAME_LOSS),
        but("stress before set, ksi", "at 90 ft", 169.4, 0.05, at(&before, 90.0), SAME_LOSS),
        but("length of the zone, ft", set, 48.79, 0.005, zone_ft, SHEET_MIRROR),
        but("stress at the end of the zone, ksi", set, 184.6, 0.05, zone_end, SHEET_MIRROR),
        but("stress at the anchor after set, ksi", set, 166.6, 0.05, anchor, SHEET_MIRROR),
        but("drop at the anchor, ksi", set, 35.87, 0.005, 202.5 - anchor, SHEET_MIRROR),
        but("stress at 30 ft after set, ksi", set, 177.7, 0.05, at(&after, 30.0), SHEET_MIRROR),
        but("stress at 56.34 ft after set, ksi", set, 181.8, 0.05, at(&after, 56.34), SAME_LOSS),
        exact.says("stress before set, ksi", "at 60 ft", 181.04, 0.005, at(&before, 60.0)),
        exact.says("stress before set, ksi", "at 90 ft", 171.18, 0.005, at(&before, 90.0)),
        exact.says("length of the zone, ft", set, 50.41, 0.005, zone_ft),
        exact.says("stress at the end of the zone, ksi", set, 184.31, 0.005, zone_end),
        exact.says("stress at the anchor after set, ksi", set, 167.76, 0.005, anchor),
        exact.says("drop at the anchor, ksi", set, 34.74, 0.005, 202.5 - anchor),
        exact.says("stress at 30 ft after set, ksi", set, 177.42, 0.005, at(&after, 30.0)),
        exact.says(
            "elongation before set, in",
            "one end",
            7.190,
            0.0005,
            whole / FOOT / KSI / 28_000.0 * 12.0,
        ),
    ]
}

fn a3() -> Vec<Example> {
    let nawy = Source {
        block: "A3",
        kind: Kind::Memory,
        source: "Nawy, Prestressed Concrete: A Fundamental Approach, chapter on losses",
    };
    let exact = Source {
        block: "A3, exponential",
        kind: Kind::Arithmetic,
        source: "the same tendon with exponential friction",
    };
    // The printed exponent, 0.1622, is made of the rounded angle.
    let angle_rad = (0.1622 - 0.0020 * 60.0) / 0.20;
    let wobble = Wobble::Exponent(ExponentPerM(0.0020 / FOOT));
    let tendon = profile(&[run(60.0 * FOOT, angle_rad, 0.20, wobble)]).unwrap();
    let stress = StressDiagram::jacked(&tendon, End::A, 189.0 * KSI).unwrap();
    let lost_psi = (189.0 - stress.end_mpa(End::B) / KSI) * 1000.0;
    let unrounded = profile(&[run(60.0 * FOOT, 8.0 * 19.0 / 12.0 / 60.0, 0.20, wobble)]).unwrap();
    let kept = StressDiagram::jacked(&unrounded, End::A, 189.0 * KSI).unwrap();
    let unrounded_psi = (189.0 - kept.end_mpa(End::B) / KSI) * 1000.0;
    let free = profile(&[run(60.0 * FOOT, 0.0, 0.20, Wobble::None)]).unwrap();
    let mut slipped = StressDiagram::jacked(&free, End::A, 189.0 * KSI).unwrap();
    let seating = Seating { set_mm: 0.25 * INCH, e_mpa: 27_000.0 * KSI };
    let reach = slipped.seat(End::A, seating).unwrap();
    vec![
        nawy.says(
            "friction exponent",
            "α 8·19/12/60",
            0.1622,
            0.00005,
            unrounded.borders()[1].exponent,
        ),
        nawy.says_but(("friction loss, psi", "exponent 0.1622"), 30_656.0, 0.5, lost_psi, LINEAR),
        exact.says("friction loss, psi", "α 8·19/12/60", 28_302.0, 0.5, unrounded_psi),
        nawy.says(
            "loss by slip, psi",
            "0.25 in over 60 ft",
            9_375.0,
            0.5,
            (189.0 - reach.end_mpa / KSI) * 1000.0,
        ),
    ]
}

fn a4() -> Vec<Example> {
    let source =
        "textbook problem: straight cable without friction, 1000 N/mm², slip 5 mm, E 210 kN/mm²";
    let printed = Source { block: "A4", kind: Kind::Arithmetic, source };
    let memory = Source { block: "A4, 3 m", kind: Kind::Memory, source };
    let lost = |length_m| {
        let tendon = profile(&[run(length_m, 0.0, 0.0, Wobble::None)]).unwrap();
        let mut stress = StressDiagram::jacked(&tendon, End::A, 1000.0).unwrap();
        let seating = Seating { set_mm: 5.0, e_mpa: 210e3 };
        1000.0 - stress.seat(End::A, seating).unwrap().end_mpa
    };
    let rounded = "the source rounds the strain 1/6000 to 1.67e-4";
    vec![
        printed.says_but(("loss, MPa", "30 m"), 35.07, 0.005, lost(30.0), rounded),
        printed.says("loss, %", "30 m", 3.5, 0.05, lost(30.0) / 10.0),
        memory.says("loss, MPa", "3 m", 350.0, 0.5, lost(3.0)),
        memory.says("loss, %", "3 m", 35.0, 0.5, lost(3.0) / 10.0),
    ]
}

/// Three free lengths and two deviators.
pub(crate) fn external(inadvertent_rad: f64) -> Profile {
    let free = |length_m| run(length_m, 0.0, 0.20, Wobble::None);
    let deviator = Run { inadvertent_rad, ..run(0.0, 0.15, 0.20, Wobble::None) };
    profile(&[free(15.0), deviator, free(20.0), deviator, free(15.0)]).unwrap()
}

fn a5() -> Vec<Example> {
    let own = Source {
        block: "A5",
        kind: Kind::Arithmetic,
        source: "external tendon with two deviators, closed form",
    };
    let tendon = external(0.0);
    let before = StressDiagram::jacked(&tendon, End::A, 1395.0).unwrap();
    let middle = before.at(25.0).unwrap().towards_a_mpa;
    let far = before.end_mpa(End::B);
    let kn = |stress| force_kn(stress, 2850.0).unwrap();
    let added = StressDiagram::jacked(&external(0.04), End::A, 1395.0).unwrap();
    let held = 1395.0 * (1.0 - kept_share(2.0 * 0.2 * 0.15).unwrap());
    let mut found = vec![
        own.says("stress past deviator 1, MPa", "pulled at A", 1353.77, 0.005, middle),
        own.says("stress past deviator 2, MPa", "pulled at A", 1313.76, 0.005, far),
        own.says("force at A, kN", "pulled at A", 3975.75, 0.005, kn(1395.0)),
        own.says("force past deviator 1, kN", "pulled at A", 3858.25, 0.005, kn(middle)),
        own.says("force past deviator 2, kN", "pulled at A", 3744.22, 0.005, kn(far)),
        own.says(
            "stress at B, MPa",
            "0.04 rad more per deviator",
            1292.91,
            0.005,
            added.end_mpa(End::B),
        ),
        own.says("drop that deviator 1 holds, MPa", "pulled at A", 81.24, 0.005, held),
        own.says(
            "set that deviator 1 holds, mm",
            "pulled at A",
            6.249,
            0.0005,
            held * 15.0 / 195.0,
        ),
    ];
    for (input, set_mm, stress, force, zone_m) in [
        ("set 4 mm", 4.0, 1343.00, 3827.55, 15.0),
        ("set 6 mm", 6.0, 1317.00, 3753.45, 15.0),
        ("set 8 mm", 8.0, 1304.17, 3716.89, 35.0),
        ("set 12 mm", 12.0, 1282.27, 3654.47, 35.0),
    ] {
        let mut after = before.clone();
        let reach = after.seat(End::A, Seating { set_mm, e_mpa: 195e3 }).unwrap();
        found.extend([
            own.says("stress at the anchor, MPa", input, stress, 0.005, reach.end_mpa),
            own.says("force at the anchor, kN", input, force, 0.005, kn(reach.end_mpa)),
            own.says("end of the zone, m", input, zone_m, 0.0005, reach.at_m),
        ]);
        if set_mm == 8.0 {
            let middle = after.at(25.0).unwrap().towards_a_mpa;
            found.push(own.says("stress past deviator 1, MPa", input, 1343.89, 0.005, middle));
        }
    }
    found
}

/// A curved segment between two straight ones.
fn slope_change() -> Profile {
    let wobble = Wobble::Angle(RadPerM(0.005));
    let runs =
        [run(10.0, 0.0, 0.19, wobble), run(10.0, 0.4, 0.19, wobble), run(20.0, 0.0, 0.19, wobble)];
    profile(&runs).unwrap()
}

fn a6() -> Vec<Example> {
    let own = Source {
        block: "A6",
        kind: Kind::Arithmetic,
        source: "zone past a change of slope, closed form and grid",
    };
    let before = StressDiagram::jacked(&slope_change(), End::A, 1395.0).unwrap();
    let at = |at_m| before.at(at_m).unwrap().towards_a_mpa;
    let mut found = vec![
        own.says("stress before set, MPa", "at 10 m", 1381.81, 0.005, at(10.0)),
        own.says("stress before set, MPa", "at 20 m", 1268.58, 0.005, at(20.0)),
        own.says("stress before set, MPa", "at 40 m", 1244.70, 0.005, at(40.0)),
        own.says(
            "elongation before set, mm",
            "one end",
            268.00,
            0.005,
            before.integral_mpa_m(0.0, 40.0).unwrap() / 195.0,
        ),
    ];
    for (input, set_mm, zone_m, anchor) in [
        ("set 3 mm", 3.0, 11.797, 1327.33),
        ("set 6 mm", 6.0, 13.827, 1282.04),
        ("set 12 mm", 12.0, 17.309, 1207.94),
    ] {
        let mut after = before.clone();
        let seating = Seating { set_mm, e_mpa: 195e3 };
        let reach = after.seat(End::A, seating).unwrap();
        found.extend([
            own.says("end of the zone, m", input, zone_m, 0.0005, reach.at_m),
            own.says("stress at the anchor, MPa", input, anchor, 0.005, reach.end_mpa),
        ]);
    }
    found
}

/// Three curved segments.
pub(crate) fn unsymmetrical() -> Profile {
    let wobble = Wobble::Exponent(ExponentPerM(0.002));
    let runs =
        [run(12.0, 0.10, 0.2, wobble), run(18.0, 0.30, 0.2, wobble), run(25.0, 0.05, 0.2, wobble)];
    profile(&runs).unwrap()
}

fn a7() -> Vec<Example> {
    let own = Source {
        block: "A7",
        kind: Kind::Arithmetic,
        source: "both ends pulled, unsymmetrical tendon, closed form",
    };
    let tendon = unsymmetrical();
    let borders = tendon.borders();
    let place = stationary(&tendon, 1395.0, 1395.0).unwrap();
    let mut stress = StressDiagram::jacked(&tendon, End::A, 1395.0).unwrap();
    stress.jack(End::B, 1395.0).unwrap();
    let least = stress.least();
    vec![
        own.says("friction exponent", "at 12 m", 0.044, 0.0005, borders[1].exponent),
        own.says("friction exponent", "at 30 m", 0.140, 0.0005, borders[2].exponent),
        own.says("friction exponent", "at 55 m", 0.200, 0.0005, borders[3].exponent),
        own.says("stationary place, m", "1395 MPa at both ends", 22.5, 0.05, place.from_m),
        own.says("place of the least stress, m", "1395 MPa at both ends", 22.5, 0.05, least.from_m),
        own.says("least stress, MPa", "1395 MPa at both ends", 1262.25, 0.005, least.stress_mpa),
    ]
}

fn a20() -> Vec<Example> {
    let exercise = Source {
        block: "A20, capstan",
        kind: Kind::Arithmetic,
        source: "exercise in statics: rope over a drum, 100 kg, 9.81 m/s²",
    };
    let kept = kept_share(0.2 * 1.5 * std::f64::consts::PI).unwrap();
    vec![exercise.says("force to hold, N", "μ 0.2, 1.5π", 382.26, 0.005, 981.0 * kept)]
}

fn factors() -> Vec<Example> {
    let own = Source {
        block: "Deviator factors",
        kind: Kind::Arithmetic,
        source: "one deviator of 0.10 rad, share of the force past it",
    };
    let kept = |mu: f64, angle_rad: f64| kept_share(mu * angle_rad).unwrap();
    vec![
        own.says("share kept", "μ 0.25, 0.04 rad more", 0.9656, 0.00005, kept(0.25, 0.14)),
        own.says("share kept", "μ 0.23, 0.04 rad more", 0.9683, 0.00005, kept(0.23, 0.14)),
        own.says("share kept", "μ 0.12", 0.9881, 0.00005, kept(0.12, 0.10)),
    ]
}

/// 19 strands of 0.6 in, three times 50 ft, two deviators.
pub(crate) fn worked() -> StressDiagram {
    let free = run(50.0 * FOOT, 0.0, 0.25, Wobble::None);
    let deviator = Run { inadvertent_rad: 0.04, ..run(0.0, 0.12, 0.25, Wobble::None) };
    let tendon = profile(&[free, deviator, free, deviator, free]).unwrap();
    let stress = stress_mpa(834.9 * KIP, 4.123 * SQUARE_INCH).unwrap();
    StressDiagram::jacked(&tendon, End::A, stress).unwrap()
}

fn worked_set() -> Vec<Example> {
    let own = Source {
        block: "Set on steps",
        kind: Kind::Arithmetic,
        source: "external tendon, 19 strands of 0.6 in, three times 50 ft, two deviators, hand calculation",
    };
    let before = worked();
    let kip = |stress: f64| force_kn(stress, 4.123 * SQUARE_INCH).unwrap() / KIP;
    let at = |stress: &StressDiagram, feet: f64| kip(stress.at(feet * FOOT).unwrap().towards_a_mpa);
    let mut after = before.clone();
    let seating = Seating { set_mm: 0.375 * INCH, e_mpa: 28_500.0 * KSI };
    let reach = after.seat(End::A, seating).unwrap();
    let free = profile(&[run(50.0 * FOOT, 0.0, 0.0, Wobble::None)]).unwrap();
    let mut alone = StressDiagram::jacked(&free, End::A, before.end_mpa(End::A)).unwrap();
    let alone = alone.seat(End::A, seating).unwrap();
    let set = "set 0.375 in";
    vec![
        own.says(
            "share kept per deviator",
            "μ 0.25, 0.16 rad",
            0.96079,
            0.000005,
            kept_share(0.04).unwrap(),
        ),
        own.says("force past deviator 1, kip", "before set", 802.2, 0.05, at(&before, 75.0)),
        own.says("force past deviator 2, kip", "before set", 770.7, 0.05, at(&before, 125.0)),
        own.says("drop if leg 1 alone loses, kip", set, 73.4, 0.05, 834.9 - kip(alone.end_mpa)),
        own.says("force if leg 1 alone loses, kip", set, 761.5, 0.05, kip(alone.end_mpa)),
        own.says("force at the anchor, kip", set, 766.2, 0.05, kip(reach.end_mpa)),
        own.says_but(
            ("force past deviator 1, kip", set),
            797.5,
            0.05,
            at(&after, 75.0),
            "766.2/0.96079 with the rounded 766.2; unrounded it is 797.45",
        ),
        own.says("end of the zone, ft", set, 100.0, 0.5, reach.at_m / FOOT),
    ]
}

/// What a linear mirror makes of a set.
struct LinearMirror {
    zone_m: f64,
    zone_end_mpa: f64,
    anchor_mpa: f64,
}

/// The curve mirrored about its stress at the end of the zone, `2·f(xL) - f(x)`, as hand calculations do: for comparison only.
fn linear_mirror(before: &StressDiagram, seating: Seating) -> LinearMirror {
    let lost = seating.e_mpa * seating.set_mm / 1000.0;
    let at = |at_m: f64| before.at(at_m).unwrap().towards_a_mpa;
    let (mut low, mut high) = (0.0, before.points().last().unwrap().at_m);
    for _ in 0..100 {
        let middle = (low + high) / 2.0;
        let drop = 2.0 * (before.integral_mpa_m(0.0, middle).unwrap() - at(middle) * middle);
        if drop < lost {
            low = middle;
        } else {
            high = middle;
        }
    }
    let zone_end_mpa = at(low);
    let anchor_mpa = 2.0 * zone_end_mpa - before.end_mpa(End::A);
    LinearMirror { zone_m: low, zone_end_mpa, anchor_mpa }
}

/// What the linear mirror gives, beside the reversed friction of the table: the mirroring is the test's, not the crate's.
#[test]
fn a_linear_mirror_gives_the_numbers_of_hand_calculations() {
    let girder = StressDiagram::jacked(&sheet(), End::A, 202.5 * KSI).unwrap();
    let linear = linear_mirror(&girder, Seating { set_mm: 0.375 * INCH, e_mpa: 28_000.0 * KSI });
    assert!((linear.zone_m / FOOT - 49.62).abs() < 0.0051);
    assert!((linear.zone_end_mpa / KSI - 184.59).abs() < 0.0051);
    assert!((linear.anchor_mpa / KSI - 166.68).abs() < 0.0051);
    let bent = StressDiagram::jacked(&slope_change(), End::A, 1395.0).unwrap();
    for (set_mm, zone_m, anchor_mpa) in
        [(3.0, 11.776, 1326.98), (6.0, 13.762, 1281.15), (12.0, 17.122, 1205.35)]
    {
        let seating = Seating { set_mm, e_mpa: 195e3 };
        let linear = linear_mirror(&bent, seating);
        assert!((linear.zone_m - zone_m).abs() < 0.00051);
        assert!((linear.anchor_mpa - anchor_mpa).abs() < 0.0051);
        // It overstates the loss, the more the farther the zone reaches over the steeper part.
        assert!(linear.anchor_mpa < bent.clone().seat(End::A, seating).unwrap().end_mpa);
    }
}

/// What is said about the sheet's convention is so: with it, its numbers come out.
#[test]
fn the_sheets_convention_gives_the_sheets_numbers() {
    let segment_loss = 202.5 * (1.0 - kept_share(0.25 * 0.2 + 0.0002 * 30.0).unwrap());
    for (segments, printed) in [(1.0, 191.5), (2.0, 180.4), (3.0, 169.4)] {
        assert!((202.5 - segments * segment_loss - printed).abs() < 0.0501);
    }
    let slope = segment_loss / 30.0;
    let zone_ft = (28_000.0 * 0.375 / 12.0 / slope).sqrt();
    assert!((zone_ft - 48.79).abs() < 0.005);
    assert!((2.0 * slope * zone_ft - 35.87).abs() < 0.005);
    let mirrored = |feet: f64| 202.5 - 2.0 * slope * zone_ft + slope * feet;
    assert!((mirrored(0.0) - 166.6).abs() < 0.05 && (mirrored(30.0) - 177.7).abs() < 0.05);
    assert!((202.5 - slope * zone_ft - 184.6).abs() < 0.05);
    assert!((202.5 - slope * 56.34 - 181.8).abs() < 0.05);
}

/// What is said about linear friction is so.
#[test]
fn linear_friction_gives_the_printed_losses() {
    for (angle_rad, printed_n) in [(0.08, 10_320.0), (0.04, 6_960.0), (0.0, 3_600.0)] {
        let lost_n = 240_000.0 * (0.35 * angle_rad + 0.0015 * 10.0);
        assert!(f64::abs(lost_n - printed_n) < 0.5);
    }
    assert!(f64::abs(189_000.0 * 0.1622 - 30_656.0) < 0.5);
}
