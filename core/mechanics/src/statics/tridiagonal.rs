//! Systems of equations of which each has three unknowns, as those of a continuous beam.

/// A symmetric, positive definite matrix with one diagonal beside the main one, taken apart once for many right sides.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Tridiagonal {
    /// What is left of the diagonal after elimination.
    pivots: Vec<f64>,
    /// The diagonal beside it, divided by the pivot above.
    factors: Vec<f64>,
}

impl Tridiagonal {
    /// Takes the matrix apart; `beside` has one number less than `diagonal`.
    ///
    /// A positive definite matrix needs no exchange of rows.
    pub(super) fn new(diagonal: &[f64], beside: &[f64]) -> Self {
        let mut pivots = Vec::with_capacity(diagonal.len());
        let mut factors = Vec::with_capacity(beside.len());
        for (index, &value) in diagonal.iter().enumerate() {
            let mut pivot = value;
            if let Some(before) = index.checked_sub(1) {
                let factor = beside[before] / pivots[before];
                pivot -= factor * beside[before];
                factors.push(factor);
            }
            pivots.push(pivot);
        }
        Self { pivots, factors }
    }

    /// Solves for one right side, in time that grows with its length.
    pub(super) fn solve(&self, mut right: Vec<f64>) -> Vec<f64> {
        for index in 1..right.len() {
            right[index] -= self.factors[index - 1] * right[index - 1];
        }
        for index in (0..right.len()).rev() {
            right[index] /= self.pivots[index];
            if let Some(factor) = self.factors.get(index) {
                right[index] -= factor * right[index + 1];
            }
        }
        right
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_solved_gives_the_right_side_back() {
        let (diagonal, beside) = ([4.0, 5.0, 3.0, 6.0], [1.0, -2.0, 0.5]);
        let right = vec![1.0, -2.0, 3.0, 0.25];
        let x = Tridiagonal::new(&diagonal, &beside).solve(right.clone());
        for row in 0..4 {
            let mut sum = diagonal[row] * x[row];
            if row > 0 {
                sum += beside[row - 1] * x[row - 1];
            }
            if row < 3 {
                sum += beside[row] * x[row + 1];
            }
            assert!((sum - right[row]).abs() < 1e-12);
        }
        assert!(Tridiagonal::new(&[], &[]).solve(Vec::new()).is_empty());
    }
}
