//! The least value of a function of one number, by a scan and golden sections.

const STEPS: u32 = 256;

/// The least value of `f` between two places: the least of a scan, made finer between its neighbours.
pub(super) fn least(from: f64, to: f64, f: impl Fn(f64) -> f64) -> f64 {
    lowest(f64::NEG_INFINITY, from, to, f).1
}

/// Whether `f` is nowhere below `floor` between two places; the search ends where it is.
pub(super) fn is_nowhere_below(floor: f64, from: f64, to: f64, f: impl Fn(f64) -> f64) -> bool {
    lowest(floor.next_down(), from, to, f).1 >= floor
}

/// A place at which `f` is 0 or less, if there is one.
pub(super) fn where_none_is_lacking(from: f64, to: f64, f: impl Fn(f64) -> f64) -> Option<f64> {
    let (at, value) = lowest(0.0, from, to, f);
    (value <= 0.0).then_some(at)
}

/// The place of the least value and that value, or the first that is as little as is enough.
fn lowest(enough: f64, from: f64, to: f64, f: impl Fn(f64) -> f64) -> (f64, f64) {
    let step = (to - from) / f64::from(STEPS);
    let mut best = (from, f(from));
    for index in 1..=STEPS {
        if best.1 <= enough {
            return best;
        }
        let at = if index == STEPS { to } else { from + step * f64::from(index) };
        let value = f(at);
        if value < best.1 {
            best = (at, value);
        }
    }
    let golden = (5.0_f64.sqrt() - 1.0) / 2.0;
    let (mut low, mut high) = ((best.0 - step).max(from), (best.0 + step).min(to));
    let look = |at: f64, best: &mut (f64, f64)| {
        let value = f(at);
        if value < best.1 {
            *best = (at, value);
        }
        (at, value)
    };
    let mut one = look(high - golden * (high - low), &mut best);
    let mut other = look(low + golden * (high - low), &mut best);
    for _ in 0..60 {
        if best.1 <= enough {
            return best;
        }
        // Of the two places one stays, where the section is golden.
        if one.1 <= other.1 {
            (high, other) = (other.0, one);
            one = look(high - golden * (high - low), &mut best);
        } else {
            (low, one) = (one.0, other);
            other = look(low + golden * (high - low), &mut best);
        }
    }
    best
}

/// The greatest number up to `most` for which `holds` is true, where it is true up to some number and false beyond;
/// found from below to a thousand-millionth of `most`.
pub(super) fn greatest(most: f64, holds: impl Fn(f64) -> bool) -> f64 {
    if holds(most) {
        return most;
    }
    let (mut yes, mut no) = (0.0, most);
    while no - yes > 1e-9 * most {
        let middle = f64::midpoint(yes, no);
        if holds(middle) { yes = middle } else { no = middle }
    }
    yes
}
