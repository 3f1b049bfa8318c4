//! Attempts to flights: attempts of one day and air are alike, and are no independent witnesses.

use super::statistics::Figure;

/// The mean of each flight, `of` the flight of each figure, in order. Its variance is that of its attempts: their own,
/// and the spread from one attempt to the next within flights, which is taken from all flights together. The spread
/// from flight to flight is left to what follows.
pub(super) fn by_flight(figures: &[Figure], of: &[usize]) -> Vec<Figure> {
    let flights: Vec<&[Figure]> = {
        let mut rest = figures;
        of.chunk_by(|a, b| a == b)
            .map(|run| {
                let (flight, others) = rest.split_at(run.len());
                rest = others;
                flight
            })
            .collect()
    };
    let mean =
        |of: &[Figure], f: &dyn Fn(&Figure) -> f64| of.iter().map(f).sum::<f64>() / of.len() as f64;
    let (mut squares, mut own, mut freedom) = (0.0, 0.0, 0.0);
    for flight in &flights {
        let middle = mean(flight, &|f| f.value);
        squares += flight
            .iter()
            .map(|f| (f.value - middle).powi(2))
            .sum::<f64>();
        let left = (flight.len() - 1) as f64;
        own += left * mean(flight, &|f| f.sd * f.sd);
        freedom += left;
    }
    let within = if freedom > 0.0 {
        ((squares - own) / freedom).max(0.0)
    } else {
        0.0
    };
    flights
        .into_iter()
        .map(|flight| Figure {
            at: mean(flight, &|f| f.at),
            value: mean(flight, &|f| f.value),
            sd: ((mean(flight, &|f| f.sd * f.sd) + within) / flight.len() as f64).sqrt(),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_flight_is_one_point_with_the_spread_within_it() {
        let figure = |at: f64, value: f64| Figure { at, value, sd: 1.0 };
        let figures = [figure(0.0, 7.0), figure(1.0, 13.0), figure(2.0, 4.0)];
        let found = by_flight(&figures, &[5, 5, 9]);
        assert_eq!(found.len(), 2);
        // squares about 10: 18 with one degree of freedom, of which 1 is their own; (1 + 17)/2 and 1 + 17
        assert!((found[0].value - 10.0).abs() < 1e-12 && (found[0].at - 0.5).abs() < 1e-12);
        assert!((found[0].sd - 3.0).abs() < 1e-12 && (found[1].sd - 18_f64.sqrt()).abs() < 1e-12);
    }
}
