//! Which clashes hang together, whatever the order in which they are found.

use restrand_mechanics::room::Cone;

use super::*;

fn cast(tendon: usize) -> Cast {
    Cast {
        tendon,
        mark: format!("T{tendon}"),
        place: "D".to_owned(),
        route: Route::to("tendons", tendon),
        cones: Vec::new(),
        is_whole: true,
        reach_mm: [[0.0; 2]; 3],
    }
}

/// A group as pairs of tendons, the one that is common to them, and which pair is the deepest.
type Told = (Vec<[usize; 2]>, Option<usize>, [usize; 2]);

fn told(clashes: &[([usize; 2], f64)]) -> Vec<Told> {
    let casts: Vec<Cast> = (0..10).map(cast).collect();
    let clashes = clashes.iter().map(|(tendons, gap_mm)| Clash {
        near: NearestPlace {
            gap_mm: *gap_mm,
            axes_mm: 100.0,
            along_one_mm: 0.0,
            along_other_mm: 0.0,
        },
        casts: tendons.map(|tendon| &casts[tendon]),
    });
    groups(clashes.collect())
        .iter()
        .map(|group| {
            let pairs = group.clashes.iter().map(Clash::tendons).collect();
            (pairs, group.common(), group.deepest().tendons())
        })
        .collect()
}

#[test]
fn what_shares_no_tendon_is_apart() {
    let found = told(&[([4, 5], -3.0), ([1, 2], -7.0)]);
    assert_eq!(found, [(vec![[1, 2]], None, [1, 2]), (vec![[4, 5]], None, [4, 5])]);
    assert!(told(&[]).is_empty());
}

#[test]
fn a_row_is_one_in_whatever_order_it_is_found() {
    let row = [(vec![[1, 2], [2, 3], [4, 3], [4, 5]], None, [2, 3])];
    let mut clashes = vec![([1, 2], -7.0), ([4, 5], -3.0), ([4, 3], -8.0), ([2, 3], -9.0)];
    for _ in 0..clashes.len() {
        clashes.rotate_left(1);
        assert_eq!(told(&clashes), row, "{clashes:?}");
    }
}

#[test]
fn two_rows_that_a_clash_joins_are_one() {
    let mut clashes: Vec<_> = [[1, 2], [6, 7], [7, 8], [8, 9], [2, 6]].map(|of| (of, -5.0)).into();
    let whole = vec![[1, 2], [2, 6], [6, 7], [7, 8], [8, 9]];
    assert_eq!(told(&clashes), [(whole, None, [1, 2])]);
    clashes.pop();
    assert_eq!(told(&clashes).len(), 2);
}

#[test]
fn one_tendon_that_takes_part_in_all_is_common() {
    let star = told(&[([3, 2], -5.0), ([1, 2], -4.0), ([2, 7], -5.0)]);
    assert_eq!(star, [(vec![[1, 2], [3, 2], [2, 7]], Some(2), [3, 2])]);
    // Where all three overlap with one another none is.
    let ring = told(&[([1, 2], -5.0), ([2, 3], -5.0), ([3, 1], -5.0)]);
    assert_eq!(ring[0].1, None);
}

/// Of two others their axes decide, by what is needed on both sides of the one between them.
#[test]
fn one_between_two_is_at_fault_where_they_leave_it_room() {
    let straight = |tendon, lateral_mm: f64| {
        let [from_mm, to_mm] = [0.0, 1000.0].map(|x_mm| [x_mm, lateral_mm, 0.0]);
        let cone = Cone { from_mm, to_mm, from_radius_mm: 107.0, to_radius_mm: 107.0 };
        Cast { cones: vec![cone], ..cast(tendon) }
    };
    // Axes that come within 100 mm of one another, of pipes that need 214 mm.
    let near =
        NearestPlace { gap_mm: -114.0, axes_mm: 100.0, along_one_mm: 0.0, along_other_mm: 0.0 };
    let is_at_fault = |apart_mm, is_common: usize| {
        let casts = [straight(1, 0.0), straight(2, 100.0), straight(3, apart_mm)];
        let [one, between, other] = &casts;
        let clashes = [[one, between], [between, other]].map(|casts| Clash { near, casts });
        Group { clashes: clashes.into() }.is_at_fault(is_common)
    };
    assert!(!is_at_fault(427.9, 2));
    assert!(is_at_fault(428.0, 2));
    // Two records of one mark are one other tendon.
    let mut casts = [straight(1, 0.0), straight(2, 100.0), straight(3, 500.0)];
    casts[2].mark = casts[0].mark.clone();
    let [one, between, other] = &casts;
    let clashes = [[one, between], [between, other]].map(|casts| Clash { near, casts });
    assert!(!Group { clashes: clashes.into() }.is_at_fault(2));
}
