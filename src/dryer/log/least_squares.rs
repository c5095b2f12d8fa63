//! Least squares by Levenberg's and Marquardt's damped Gauss-Newton steps, for a handful of parameters
//! (K. Levenberg 1944, D. W. Marquardt 1963; the textbook form, with differences for derivatives).

/// A parameter that is sought.
#[derive(Clone, Copy, Debug)]
pub(super) struct Parameter {
    pub start: f64,
    pub low: f64,
    pub high: f64,
    /// A change of it that matters much; differences are taken over a ten-thousandth of it.
    pub scale: f64,
}

/// Where the sum of squares is least.
#[derive(Clone, Debug)]
pub(super) struct Minimum {
    pub at: Vec<f64>,
    pub residuals: Vec<f64>,
    /// (JᵀJ)⁻¹: times the variance of the residuals, the covariance of the parameters.
    pub inverse: Vec<Vec<f64>>,
}

const MOST_STEPS: usize = 80;
/// Part of a parameter's scale over which derivatives are taken.
const DIFFERENCE: f64 = 1e-4;
/// Part of a parameter's scale below which a step is no step.
const SMALL: f64 = 1e-8;

/// Seeks the least sum of squares from the parameters' starts; `None` where the residuals do not tell
/// the parameters apart or are not finite.
pub(super) fn least_squares(parameters: &[Parameter], residuals: impl Fn(&[f64]) -> Vec<f64>) -> Option<Minimum> {
    let mut at: Vec<f64> = parameters.iter().map(|p| p.start).collect();
    let mut here = residuals(&at);
    let mut damping = 1e-3;
    for _ in 0..MOST_STEPS {
        let jacobian = derivatives(parameters, &at, &residuals);
        let (normal, gradient) = normal_equations(&jacobian, &here);
        let mut moved = false;
        while damping < 1e12 {
            let step = damped_step(&normal, &gradient, damping)?;
            let next: Vec<f64> =
                parameters.iter().zip(at.iter().zip(&step)).map(|(p, (x, dx))| (x - dx).clamp(p.low, p.high)).collect();
            let there = residuals(&next);
            if squares(&there) < squares(&here) {
                moved = parameters
                    .iter()
                    .zip(at.iter().zip(&next))
                    .any(|(p, (old, new))| (new - old).abs() > SMALL * p.scale);
                (at, here) = (next, there);
                damping = (damping * 0.1).max(1e-12);
                break;
            }
            damping *= 10.0;
        }
        if !moved {
            break;
        }
    }
    if !squares(&here).is_finite() {
        return None;
    }
    let jacobian = derivatives(parameters, &at, &residuals);
    let (normal, _) = normal_equations(&jacobian, &here);
    let inverse = inverse(&normal)?;
    Some(Minimum { at, residuals: here, inverse })
}

/// Sum of squares; infinite where a residual is no number.
pub(super) fn squares(residuals: &[f64]) -> f64 {
    let sum: f64 = residuals.iter().map(|r| r * r).sum();
    if sum.is_finite() { sum } else { f64::INFINITY }
}

/// Derivatives of the residuals, a row a parameter, by central differences inside the bounds.
fn derivatives(parameters: &[Parameter], at: &[f64], residuals: &impl Fn(&[f64]) -> Vec<f64>) -> Vec<Vec<f64>> {
    parameters
        .iter()
        .enumerate()
        .map(|(which, p)| {
            let mut point = at.to_vec();
            let step = DIFFERENCE * p.scale;
            let (below, above) = ((at[which] - step).max(p.low), (at[which] + step).min(p.high));
            point[which] = above;
            let up = residuals(&point);
            point[which] = below;
            let down = residuals(&point);
            up.iter().zip(&down).map(|(up, down)| (up - down) / (above - below)).collect()
        })
        .collect()
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// JᵀJ and Jᵀr.
fn normal_equations(jacobian: &[Vec<f64>], residuals: &[f64]) -> (Vec<Vec<f64>>, Vec<f64>) {
    let normal = jacobian.iter().map(|a| jacobian.iter().map(|b| dot(a, b)).collect()).collect();
    let gradient = jacobian.iter().map(|a| dot(a, residuals)).collect();
    (normal, gradient)
}

fn damped_step(normal: &[Vec<f64>], gradient: &[f64], damping: f64) -> Option<Vec<f64>> {
    let mut damped = normal.to_vec();
    for (which, row) in damped.iter_mut().enumerate() {
        row[which] *= 1.0 + damping;
    }
    let inverse = inverse(&damped)?;
    Some(inverse.iter().map(|row| dot(row, gradient)).collect())
}

/// Inverse of a symmetric positive matrix by elimination on its correlation form; `None` where two
/// parameters do the same, or one does nothing.
fn inverse(matrix: &[Vec<f64>]) -> Option<Vec<Vec<f64>>> {
    let size = matrix.len();
    let norm: Vec<f64> = (0..size).map(|i| matrix[i][i].sqrt()).collect();
    if !norm.iter().all(|n| n.is_finite() && *n > 0.0) {
        return None;
    }
    let mut left: Vec<Vec<f64>> =
        (0..size).map(|i| (0..size).map(|j| matrix[i][j] / norm[i] / norm[j]).collect()).collect();
    let mut right: Vec<Vec<f64>> =
        (0..size).map(|i| (0..size).map(|j| f64::from(u8::from(i == j))).collect()).collect();
    for column in 0..size {
        // What is left of a parameter's own weight once the others have explained what they can.
        let pivot = left[column][column];
        if !pivot.is_finite() || pivot < 1e-10 {
            return None;
        }
        for j in 0..size {
            left[column][j] /= pivot;
            right[column][j] /= pivot;
        }
        let (pivot_left, pivot_right) = (left[column].clone(), right[column].clone());
        for i in (0..size).filter(|i| *i != column) {
            let by = left[i][column];
            for j in 0..size {
                left[i][j] -= by * pivot_left[j];
                right[i][j] -= by * pivot_right[j];
            }
        }
    }
    for (i, row) in right.iter_mut().enumerate() {
        for (j, value) in row.iter_mut().enumerate() {
            *value /= norm[i] * norm[j];
        }
    }
    Some(right)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn parameter(start: f64) -> Parameter {
        Parameter { start, low: -1e3, high: 1e3, scale: 1.0 }
    }

    /// The closed form of a straight line: slope Sxy/Sxx, its variance s²/Sxx.
    #[test]
    fn a_straight_line_is_the_one_of_the_textbook() {
        let (x, y) = ([0.0, 1.0, 2.0, 4.0], [1.1, 2.9, 5.2, 8.8]);
        let line = least_squares(&[parameter(0.0), parameter(0.0)], |p| {
            x.iter().zip(&y).map(|(x, y)| p[0] + p[1] * x - y).collect()
        })
        .unwrap();
        let (mx, my) = (1.75, 4.5);
        let sxx: f64 = x.iter().map(|x| (x - mx) * (x - mx)).sum();
        let sxy: f64 = x.iter().zip(&y).map(|(x, y)| (x - mx) * (y - my)).sum();
        assert_relative_eq!(line.at[1], sxy / sxx, max_relative = 1e-8);
        assert_relative_eq!(line.at[0], my - sxy / sxx * mx, max_relative = 1e-7);
        assert_relative_eq!(line.inverse[1][1], 1.0 / sxx, max_relative = 1e-6);
    }

    /// The valley of Rosenbrock's function, whose bottom at (1, 1) is far along a bend.
    #[test]
    fn a_bent_valley_is_followed_to_its_bottom() {
        let bottom =
            least_squares(&[parameter(-1.2), parameter(1.0)], |p| vec![1.0 - p[0], 10.0 * (p[1] - p[0] * p[0])])
                .unwrap();
        assert_relative_eq!(bottom.at[0], 1.0, max_relative = 1e-6);
        assert_relative_eq!(bottom.at[1], 1.0, max_relative = 1e-6);
    }

    #[test]
    fn what_cannot_be_told_apart_is_none() {
        assert!(
            least_squares(&[parameter(1.0), parameter(1.0)], |p| {
                (0..5).map(|x| (p[0] + p[1]) * f64::from(x) - 3.0).collect()
            })
            .is_none()
        );
        assert!(least_squares(&[parameter(1.0)], |_| vec![1.0, 2.0]).is_none());
    }
}
