//! What was typed against what may have been meant, weighed by what the track shows.

/// One reading of what the user wrote.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Hypothesis<T> {
    /// What it says.
    pub(super) says: T,
    /// How usual it is beforehand; need not sum to one.
    pub(super) prior: f64,
    /// Log likelihood of what the track shows.
    pub(super) log_likelihood: f64,
}

/// Probability of each hypothesis.
pub(super) fn probabilities<T>(hypotheses: &[Hypothesis<T>]) -> Vec<f64> {
    let log: Vec<f64> = hypotheses
        .iter()
        .map(|h| h.prior.ln() + h.log_likelihood)
        .collect();
    let greatest = log.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let share: Vec<f64> = log.iter().map(|l| (l - greatest).exp()).collect();
    let sum: f64 = share.iter().sum();
    share.iter().map(|s| s / sum).collect()
}

/// The likeliest hypotheses, first the best, if the first of `hypotheses`, "as written", has less than
/// `doubt` of the probability: a second only where it has a fifth of the probability or more.
pub(super) fn instead_of_first<T: Clone>(hypotheses: &[Hypothesis<T>], doubt: f64) -> Vec<T> {
    let share = probabilities(hypotheses);
    if share.first().is_none_or(|s| s.is_nan() || *s >= doubt) {
        return Vec::new();
    }
    let mut order: Vec<usize> = (1..hypotheses.len()).collect();
    order.sort_by(|a, b| share[*b].total_cmp(&share[*a]));
    order
        .into_iter()
        .enumerate()
        .filter(|(rank, i)| *rank == 0 || (*rank == 1 && share[*i] >= 0.2))
        .map(|(_, i)| hypotheses[i].says.clone())
        .collect()
}

/// Log density of a normal number.
pub(super) fn log_normal(error: f64, sd: f64) -> f64 {
    -0.5 * (error / sd).powi(2) - sd.ln() - 0.918_938_533_204_672_7
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(says: &'static str, prior: f64, log_likelihood: f64) -> Hypothesis<&'static str> {
        Hypothesis {
            says,
            prior,
            log_likelihood,
        }
    }

    #[test]
    fn what_is_written_stands_until_the_track_speaks_against_it() {
        let written = of("written", 0.9, -2.0);
        assert!(instead_of_first(&[written.clone(), of("slip", 0.02, 0.0)], 0.05).is_empty());
        assert_eq!(
            instead_of_first(&[written.clone(), of("slip", 0.02, 6.0)], 0.05),
            ["slip"]
        );
        // two that explain it alike are both told
        assert_eq!(
            instead_of_first(
                &[written, of("slip", 0.02, 6.0), of("other", 0.02, 6.5)],
                0.05
            ),
            ["other", "slip"]
        );
    }

    #[test]
    fn nothing_to_go_by_accuses_nobody() {
        assert!(instead_of_first::<&str>(&[], 0.05).is_empty());
        assert!(
            instead_of_first(&[of("written", 0.9, f64::NAN), of("slip", 0.1, 0.0)], 0.05)
                .is_empty()
        );
    }
}
