//! What is found among many, after allowing for how many were looked at.

/// An attempt that is less probable than this to be one stands in no comparison (common practice: nine in ten, as for a
/// finding). A debrief shows it from 0.7 on; but here a powered approach taken for a glide would count as a good
/// aeroplane, or as poor flying, and no other figure of it would tell.
pub const LEAST_CONFIDENCE: f64 = 0.9;
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

/// Which of two-sided `p_values` are findings, by the rule of Benjamini and Hochberg (1995, J. R. Statist. Soc. B 57,
/// 289–300; memory): the share of false ones among them is expected to be at most [`FALSE_SHARE`].
pub fn found_by_p_values(p_values: &[Option<f64>]) -> Vec<bool> {
    let mut known: Vec<f64> = p_values.iter().flatten().copied().collect();
    known.sort_by(f64::total_cmp);
    let n = known.len() as f64;
    let limit = known
        .iter()
        .enumerate()
        .filter(|(i, p)| **p <= FALSE_SHARE * (*i + 1) as f64 / n)
        .map(|(_, p)| *p)
        .fold(f64::NEG_INFINITY, f64::max);
    p_values
        .iter()
        .map(|p| p.is_some_and(|p| p <= limit))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn p_values_by_the_example_of_the_paper() {
        // Benjamini and Hochberg, section 3.3: of 15 hypotheses at 0.05 the first four are rejected (memory)
        let p = [
            0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.3240, 0.4262,
            0.5719, 0.6528, 0.7590, 1.0,
        ];
        let found = found_by_p_values(&p.map(Some));
        assert_eq!(found.iter().filter(|f| **f).count(), 4);
        assert!(found[..4].iter().all(|f| *f));
        assert_eq!(found_by_p_values(&[None, Some(0.04)]), [false, true]);
    }

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
