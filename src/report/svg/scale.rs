//! From quantities to places, and round numbers along the way.

/// A straight mapping of a quantity to a coordinate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// Quantity at the start.
    pub from: f64,
    /// Quantity at the end.
    pub to: f64,
    /// Coordinate at the start.
    pub start: f64,
    /// Coordinate at the end.
    pub end: f64,
}

impl Scale {
    /// The mapping that takes `from..to` to `start..end`; an empty range is widened.
    pub fn new(from: f64, to: f64, start: f64, end: f64) -> Self {
        let to = if to > from { to } else { from + 1.0 };
        Scale {
            from,
            to,
            start,
            end,
        }
    }

    /// The coordinate of a quantity.
    pub fn at(&self, quantity: f64) -> f64 {
        self.start + (quantity - self.from) / (self.to - self.from) * (self.end - self.start)
    }

    /// Whether the quantity is within the range.
    pub fn holds(&self, quantity: f64) -> bool {
        quantity >= self.from && quantity <= self.to
    }
}

/// The smallest of 1, 2, 5, 10, 20 … that divides `span` into at most `most` steps.
pub fn nice_step(span: f64, most: usize) -> f64 {
    if !span.is_finite() || span <= 0.0 {
        return 1.0;
    }
    let least = span / most.max(1) as f64;
    let power = 10_f64.powf(least.log10().floor());
    let digit = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .find(|digit| digit * power >= least * (1.0 - 1e-9))
        .unwrap_or(10.0);
    digit * power
}

/// The smallest usual step of time, in seconds, that divides `span_s` into at most `most` steps.
pub fn nice_time_step(span_s: f64, most: usize) -> f64 {
    const STEPS_S: [f64; 11] = [
        5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1200.0, 1800.0, 3600.0,
    ];
    let least = span_s / most.max(1) as f64;
    STEPS_S
        .into_iter()
        .find(|step| *step >= least)
        .unwrap_or_else(|| 3600.0 * nice_step(span_s / 3600.0, most))
}

/// The multiples of `step` within `from..=to`, at most 200.
pub fn nice_ticks(from: f64, to: f64, step: f64) -> Vec<f64> {
    if !(from.is_finite() && to.is_finite() && step > 0.0) || to < from {
        return Vec::new();
    }
    let first = (from / step - 1e-9).ceil();
    (0..200_u32)
        .map(|i| (first + f64::from(i)) * step)
        .take_while(|tick| *tick <= to + step * 1e-9)
        .map(|tick| if tick == 0.0 { 0.0 } else { tick })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round_and_not_too_many() {
        assert_eq!(nice_step(3200.0, 5), 1000.0);
        assert_eq!(nice_step(45.0, 5), 10.0);
        assert_eq!(nice_time_step(330.0, 8), 60.0);
        assert_eq!(nice_ticks(-10.0, 65.0, 30.0), vec![0.0, 30.0, 60.0]);
        assert!(nice_ticks(0.0, f64::INFINITY, 1.0).is_empty());
    }

    #[test]
    fn an_empty_range_still_maps_to_a_place() {
        assert!(Scale::new(5.0, 5.0, 0.0, 10.0).at(5.0).is_finite());
    }
}
