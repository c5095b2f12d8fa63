//! The little linear algebra that ranks need.

/// Rows of a square matrix.
pub(super) type Matrix = Vec<Vec<f64>>;

/// Least square of a pivot, of a matrix whose diagonal is one, that still counts as more than rounding.
const LEAST_PIVOT: f64 = 1e-9;

/// The lower Cholesky factor of a symmetric matrix; `None` where it is not positive definite.
pub(super) fn cholesky(matrix: &Matrix) -> Option<Matrix> {
    let size = matrix.len();
    let mut factor = vec![vec![0.0; size]; size];
    for row in 0..size {
        for column in 0..=row {
            let before: f64 = (0..column).map(|k| factor[row][k] * factor[column][k]).sum();
            let left = matrix[row][column] - before;
            if row == column {
                if left.is_nan() || left < LEAST_PIVOT {
                    return None;
                }
                factor[row][row] = left.sqrt();
            } else {
                factor[row][column] = left / factor[column][column];
            }
        }
    }
    Some(factor)
}

/// Solves the system whose matrix has this Cholesky factor.
pub(super) fn solve(factor: &Matrix, right: &[f64]) -> Vec<f64> {
    let size = factor.len();
    let mut x = right.to_vec();
    for row in 0..size {
        let before: f64 = (0..row).map(|k| factor[row][k] * x[k]).sum();
        x[row] = (x[row] - before) / factor[row][row];
    }
    for row in (0..size).rev() {
        let after: f64 = (row + 1..size).map(|k| factor[k][row] * x[k]).sum();
        x[row] = (x[row] - after) / factor[row][row];
    }
    x
}
