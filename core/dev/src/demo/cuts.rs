//! Cuts (6): release in the middle, pieces from there outward, stubs at forms and anchorages.

use restrand_model::schedule::{Cut, CutPlace};

use super::make::rounded;
use super::path::{Leg, Path};
use super::places::faces_m;

/// Longest piece, m.
const LONGEST_M: f64 = 2.0;
/// From a form's face to the cut beside it, m.
const FROM_FORM_M: f64 = 0.2;

/// What is cut at one end: where the stub ends, and the piece beside it that is kept whole.
#[derive(Debug, Clone, Copy)]
pub(super) struct EndCut {
    pub(super) stub_cut_mm: f64,
    pub(super) heavy_piece_m: f64,
}

/// The cuts of a tendon of three legs with a form at both corners.
pub(super) fn cuts(path: &Path, forms: [&str; 2], ends: [EndCut; 2]) -> Vec<Cut> {
    let [first, middle, last] = path.legs.as_slice() else { return Vec::new() };
    let [Some(lower), Some(upper)] = forms.map(faces_m) else { return Vec::new() };
    let mut cuts = Cuts::default();

    let release = (middle.from_m + middle.station_m(middle.length_m)) / 2.0;
    cuts.add(release, CutPlace::Release);
    let [from, to] = [lower[1] + FROM_FORM_M, upper[0] - FROM_FORM_M];
    let inner = pieces(middle, [from, to], [0.0; 2]);
    let mut outward: Vec<f64> =
        inner.into_iter().filter(|at| (at - release).abs() > 1e-3).collect();
    outward
        .sort_by(|a, b| (a - release).abs().total_cmp(&(b - release).abs()).then(a.total_cmp(b)));
    cuts.add_all(outward, CutPlace::Piece);
    cuts.add_all([from, to], CutPlace::Stub);

    // From the forms outward, to the anchorages.
    let near = [first.station_m(-ends[0].stub_cut_mm / 1000.0), lower[0] - FROM_FORM_M];
    cuts.add(near[1], CutPlace::Stub);
    let mut towards_a = pieces(first, near, [ends[0].heavy_piece_m, 0.0]);
    towards_a.reverse();
    cuts.add_all(towards_a, CutPlace::Piece);
    cuts.add(near[0], CutPlace::Stub);

    let far =
        [upper[1] + FROM_FORM_M, last.station_m(last.length_m + ends[1].stub_cut_mm / 1000.0)];
    cuts.add(far[0], CutPlace::Stub);
    cuts.add_all(pieces(last, far, [0.0, ends[1].heavy_piece_m]), CutPlace::Piece);
    cuts.add(far[1], CutPlace::Stub);
    cuts.list
}

/// The stations between equal pieces of a leg from station to station; at either end a piece of a stated
/// length may be kept.
fn pieces(leg: &Leg, [from_m, to_m]: [f64; 2], kept_m: [f64; 2]) -> Vec<f64> {
    let start = leg.along_m(from_m) + kept_m[0];
    let end = leg.along_m(to_m) - kept_m[1];
    let mut at = Vec::new();
    if kept_m[0] > 0.0 {
        at.push(start);
    }
    let mut count = 1.0;
    while (end - start) / count > LONGEST_M {
        count += 1.0;
    }
    let piece = (end - start) / count;
    let mut done = 1.0;
    while done < count {
        at.push(start + done * piece);
        done += 1.0;
    }
    if kept_m[1] > 0.0 {
        at.push(end);
    }
    at.into_iter().map(|along| leg.station_m(along)).collect()
}

#[derive(Default)]
struct Cuts {
    list: Vec<Cut>,
    order: u32,
}

impl Cuts {
    fn add(&mut self, station_m: f64, purpose: CutPlace) {
        self.order += 1;
        self.list.push(Cut {
            order: Some(self.order),
            station_m: Some(rounded(station_m, 3)),
            purpose: Some(purpose),
            ..Cut::default()
        });
    }

    fn add_all(&mut self, stations: impl IntoIterator<Item = f64>, purpose: CutPlace) {
        for station in stations {
            self.add(station, purpose);
        }
    }
}
