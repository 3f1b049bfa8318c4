//! A figure and how sure it is.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A value with its 95 % interval, or the reason why there is none.
///
/// The value is the median over the draws, the interval their 2.5 % and 97.5 %
/// points. An unknown value is never a zero: it carries a reason in plain words.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum Measured<T = f64> {
    /// Measured: median and 95 % interval.
    Known {
        /// Median over the draws.
        value: T,
        /// 2.5 % point.
        low: T,
        /// 97.5 % point.
        high: T,
    },
    /// Not measured, with the reason.
    Unknown {
        /// Always null.
        value: (),
        /// Why, in words for a pilot.
        reason: String,
    },
}

impl<T: Clone> Measured<T> {
    /// Not measured, because of `reason`.
    pub fn unknown(reason: impl Into<String>) -> Self {
        Measured::Unknown {
            value: (),
            reason: reason.into(),
        }
    }

    /// The median, where there is one.
    pub fn value(&self) -> Option<T> {
        match self {
            Measured::Known { value, .. } => Some(value.clone()),
            Measured::Unknown { .. } => None,
        }
    }

    /// Low and high end of the interval, where there is one.
    pub fn interval(&self) -> Option<(T, T)> {
        match self {
            Measured::Known { low, high, .. } => Some((low.clone(), high.clone())),
            Measured::Unknown { .. } => None,
        }
    }

    /// The reason, where there is no value.
    pub fn reason(&self) -> Option<&str> {
        match self {
            Measured::Known { .. } => None,
            Measured::Unknown { reason, .. } => Some(reason),
        }
    }
}

/// The share of draws that must hold a value before a figure is given.
pub const LEAST_SHARE_OF_DRAWS: f64 = 0.5;

/// Median and 95 % interval of the draws that have a value, NaN being none; `reason` when fewer than half of them have
/// one, or when so many are infinite that an end of the interval is.
pub fn from_draws(draws: &[f64], reason: &str) -> Measured {
    let mut known: Vec<f64> = draws.iter().copied().filter(|x| !x.is_nan()).collect();
    if known.is_empty() || (known.len() as f64) < LEAST_SHARE_OF_DRAWS * draws.len() as f64 {
        return Measured::unknown(reason);
    }
    known.sort_by(f64::total_cmp);
    let [low, value, high] = [0.025, 0.5, 0.975].map(|share| quantile_sorted(&known, share));
    if [low, value, high].iter().all(|x| x.is_finite()) {
        Measured::Known { value, low, high }
    } else {
        Measured::unknown(reason)
    }
}

/// The `share` quantile of ascending values, linear between order statistics.
///
/// # Panics
/// When `sorted` is empty.
pub fn quantile_sorted(sorted: &[f64], share: f64) -> f64 {
    let position = share * (sorted.len() - 1) as f64;
    let below = position.floor() as usize;
    let above = (below + 1).min(sorted.len() - 1);
    sorted[below] + (position - below as f64) * (sorted[above] - sorted[below])
}

/// So many of them in words: `1 attempt`, `2 attempts`.
pub fn counted(n: usize, what: &str) -> String {
    format!("{n} {what}{}", if n == 1 { "" } else { "s" })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn median_and_interval_of_a_uniform_set() {
        let draws: Vec<f64> = (0..=200).map(f64::from).collect();
        assert_eq!(
            from_draws(&draws, ""),
            Measured::Known {
                value: 100.0,
                low: 5.0,
                high: 195.0
            }
        );
    }

    #[test]
    fn mostly_missing_draws_give_the_reason() {
        let draws = [1.0, f64::NAN, f64::NAN];
        assert_eq!(
            from_draws(&draws, "no orbit flown").reason(),
            Some("no orbit flown")
        );
    }

    #[test]
    fn draws_beyond_any_bound_count_at_the_end() {
        let with = |infinite: usize| {
            let mut draws = vec![10.0; 200];
            draws[..infinite].fill(f64::INFINITY);
            from_draws(&draws, "no upper end")
        };
        // 2.5 % of 200 are five
        assert_eq!(with(4).interval(), Some((10.0, 10.0)));
        assert_eq!(with(6).reason(), Some("no upper end"));
        assert_eq!(with(150).reason(), Some("no upper end"));
    }

    #[test]
    fn unknown_serialises_as_null_with_reason() {
        let json = serde_json::to_string(&Measured::<f64>::unknown("why")).unwrap();
        assert_eq!(json, r#"{"value":null,"reason":"why"}"#);
        let back: Measured = serde_json::from_str(&json).unwrap();
        assert_eq!(back.reason(), Some("why"));
    }
}
