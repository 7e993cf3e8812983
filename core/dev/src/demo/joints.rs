//! Joints of the duct (7): sticks of 6 m from pipe to pipe, none joined within half a metre of a form.

use restrand_model::schedule::{DuctJoint, JointKind};

use super::make::rounded;
use super::materials::{BORE_MM, STICK_M};
use super::path::Path;
use super::places::faces_m;

/// Clear length between a joint and a form's mouth, m.
const CLEAR_M: f64 = 0.5;

/// The joints of a tendon between `from_mm` from its lower end and `to_mm` from its upper end, where the
/// anchorages' own pipes end; `forms` names the places of its forms.
pub(super) fn joints(path: &Path, pipe_ends_mm: [f64; 2], forms: &[&str]) -> Vec<DuctJoint> {
    let length: f64 = path.legs.iter().map(|leg| leg.length_m).sum();
    let end = length + pipe_ends_mm[1] / 1000.0;
    let kept_free: Vec<[f64; 2]> = forms
        .iter()
        .filter_map(|place| {
            let [down, up] = faces_m(place)?;
            Some([path.along_m(down)? - CLEAR_M, path.along_m(up)? + CLEAR_M])
        })
        .collect();
    let mut joints = Vec::new();
    let mut at = -pipe_ends_mm[0] / 1000.0;
    while end - at > STICK_M {
        at += STICK_M;
        if let Some([before, _]) = kept_free.iter().find(|[from, to]| (*from..=*to).contains(&at)) {
            at = *before;
        }
        joints.extend(path.station_m(at).map(joint));
    }
    joints
}

fn joint(station_m: f64) -> DuctJoint {
    DuctJoint {
        station_m: Some(rounded(station_m, 2)),
        kind: Some(JointKind::ElectroFusion),
        outer_mm: Some(150.0),
        inner_mm: Some(BORE_MM),
        length_mm: Some(120.0),
        ..DuctJoint::default()
    }
}
