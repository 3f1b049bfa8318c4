//! Simplex search for the least of a function of a few variables, without derivatives.
//!
//! Source: J. A. Nelder, R. Mead, A simplex method for function minimization, Computer Journal 7
//! (1965) 308–313, with the usual coefficients 1, 2, 0.5, 0.5.

/// The point found and the value there, after at most `most_evaluations`.
pub fn minimise(
    start: &[f64],
    step: &[f64],
    most_evaluations: usize,
    tolerance: f64,
    mut cost: impl FnMut(&[f64]) -> f64,
) -> (Vec<f64>, f64) {
    let n = start.len();
    let mut evaluations = 0;
    let mut evaluate = |x: &[f64]| {
        evaluations += 1;
        let value = cost(x);
        (
            if value.is_finite() {
                value
            } else {
                f64::MAX / 4.0
            },
            evaluations,
        )
    };
    let mut simplex: Vec<(Vec<f64>, f64)> = vec![(start.to_vec(), evaluate(start).0)];
    for i in 0..n {
        let mut x = start.to_vec();
        x[i] += step[i];
        let value = evaluate(&x).0;
        simplex.push((x, value));
    }
    loop {
        simplex.sort_by(|a, b| a.1.total_cmp(&b.1));
        let best = simplex[0].1;
        let worst = simplex[n].1;
        if (worst - best).abs() < tolerance {
            break;
        }
        let centre: Vec<f64> = (0..n)
            .map(|i| simplex[..n].iter().map(|s| s.0[i]).sum::<f64>() / n as f64)
            .collect();
        let along = |k: f64| -> Vec<f64> {
            (0..n)
                .map(|i| centre[i] + k * (centre[i] - simplex[n].0[i]))
                .collect()
        };
        let reflected = along(1.0);
        let (value, count) = evaluate(&reflected);
        let replacement = if value < best {
            let expanded = along(2.0);
            let (further, _) = evaluate(&expanded);
            Some(if further < value {
                (expanded, further)
            } else {
                (reflected, value)
            })
        } else if value < simplex[n - 1].1 {
            Some((reflected, value))
        } else {
            let contracted = along(if value < worst { 0.5 } else { -0.5 });
            let (inner, _) = evaluate(&contracted);
            (inner < worst.min(value)).then_some((contracted, inner))
        };
        if let Some(point) = replacement {
            simplex[n] = point;
        } else {
            let anchor = simplex[0].0.clone();
            for point in simplex.iter_mut().skip(1) {
                for i in 0..n {
                    point.0[i] = 0.5 * (point.0[i] + anchor[i]);
                }
                point.1 = evaluate(&point.0).0;
            }
        }
        if count >= most_evaluations {
            break;
        }
    }
    simplex.sort_by(|a, b| a.1.total_cmp(&b.1));
    simplex.swap_remove(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_the_bottom_of_a_curved_valley() {
        let (x, value) = minimise(&[-1.2, 1.0], &[0.5, 0.5], 400, 1e-12, |x| {
            100.0 * (x[1] - x[0] * x[0]).powi(2) + (1.0 - x[0]).powi(2)
        });
        assert!(value < 1e-8);
        assert!((x[0] - 1.0).abs() < 1e-3 && (x[1] - 1.0).abs() < 1e-3);
    }
}
