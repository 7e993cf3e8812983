//! A jack's calibration as a curve.

use restrand_mechanics::jack::CalibrationPoint;
use restrand_model::schedule::Jack;

/// The points of a calibration in the order stated; the field that is absent where one is.
pub(super) fn points(jack: &Jack) -> Result<Vec<CalibrationPoint>, &'static str> {
    if jack.calibration.is_empty() {
        return Err("jack.calibration");
    }
    let points = jack.calibration.iter().map(|point| {
        Ok(CalibrationPoint {
            pressure_mpa: point.gauge_mpa.ok_or("calibration_point.gauge_mpa")?,
            force_kn: point.force_kn.ok_or("calibration_point.force_kn")?,
        })
    });
    points.collect()
}
