//! What is found among many, after allowing for how many were looked at.

/// Share of the findings that may be wrong.
pub const FALSE_SHARE: f64 = 0.05;
/// A finding needs at least this probability, however sure the others are.
const LEAST: f64 = 0.9;

/// Which of `probabilities` are findings: as many as can be, most probable first, such that the mean
/// probability of being wrong stays within [`FALSE_SHARE`] (Müller, Parmigiani and Rice, FDR and Bayesian
/// multiple comparisons rules, 2007; memory). Those without a probability are none.
pub fn found(probabilities: &[Option<f64>]) -> Vec<bool> {
    let mut order: Vec<(usize, f64)> = probabilities
        .iter()
        .enumerate()
        .filter_map(|(i, p)| Some((i, (*p)?)))
        .collect();
    order.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    let mut out = vec![false; probabilities.len()];
    let mut wrong = 0.0;
    for (n, (i, probability)) in order.into_iter().enumerate() {
        wrong += 1.0 - probability;
        if probability < LEAST || wrong > FALSE_SHARE * (n + 1) as f64 {
            break;
        }
        out[i] = true;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sure_ones_do_not_carry_doubtful_ones_along() {
        let sure = [Some(0.999), Some(0.2), Some(0.995), None, Some(0.89)];
        assert_eq!(found(&sure), [true, false, true, false, false]);
        // 0.06 wrong of one is too much, and so is 0.06 + 0.06 of two
        assert_eq!(found(&[Some(0.94), Some(0.94)]), [false, false]);
        // (0.001 + 0.06)/2 = 0.03
        assert_eq!(found(&[Some(0.94), Some(0.999)]), [true, true]);
        assert!(found(&[]).is_empty());
    }
}
