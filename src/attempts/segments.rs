//! Idle and powered stretches: the most likely sequence of two states.
//!
//! Source: A. J. Viterbi, Error bounds for convolutional codes, IEEE Trans. Inf. Theory IT-13
//! (1967) 260–269. Log likelihood ratio per second from the power, clipped so that no one second
//! decides.

/// A stretch of samples, end not included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Segment {
    /// First sample.
    pub from: usize,
    /// One past the last.
    pub to: usize,
    /// Whether the engine idles.
    pub idle: bool,
}

/// Power at which idle and powered flight are equally likely, m/s.
const MIDDLE_MPS: f64 = 2.4;
/// Log likelihood ratio per second and m/s: a second of power weighs little by itself, because
/// vertical air and gusts last several.
const PER_MPS: f64 = 0.35;
/// Most log likelihood ratio per second, either way.
const MOST_PER_SECOND: f64 = 0.9;
/// Cost of changing state: neither a gust nor a clearing burst splits a glide.
const CHANGE_COST: f64 = 7.0;

/// The stretches of `power_mps` (one a second); `engine` is further evidence for idle per second.
pub fn segments(power_mps: &[f64], engine: &[f64]) -> Vec<Segment> {
    let n = power_mps.len();
    if n == 0 {
        return Vec::new();
    }
    let ratio = |p: f64| (PER_MPS * (MIDDLE_MPS - p)).clamp(-MOST_PER_SECOND, MOST_PER_SECOND);
    // score of the best sequence ending powered / idle, and where each came from
    let mut score = [0.0, -CHANGE_COST];
    let mut came_from: Vec<[u8; 2]> = Vec::with_capacity(n);
    for (k, &p) in power_mps.iter().enumerate() {
        let r = if p.is_finite() { ratio(p) } else { 0.0 } + engine.get(k).copied().unwrap_or(0.0);
        let powered = (score[0], score[1] - CHANGE_COST);
        let idle = (score[1], score[0] - CHANGE_COST);
        came_from.push([u8::from(powered.1 > powered.0), u8::from(idle.0 >= idle.1)]);
        score = [
            powered.0.max(powered.1) - 0.5 * r,
            idle.0.max(idle.1) + 0.5 * r,
        ];
    }
    let mut state = usize::from(score[1] > score[0]);
    let mut states = vec![0; n];
    for k in (0..n).rev() {
        states[k] = state;
        state = usize::from(came_from[k][state]);
    }
    let mut out: Vec<Segment> = Vec::new();
    for (k, &s) in states.iter().enumerate() {
        match out.last_mut() {
            Some(last) if last.idle == (s == 1) => last.to = k + 1,
            _ => out.push(Segment {
                from: k,
                to: k + 1,
                idle: s == 1,
            }),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_burst_of_three_seconds_does_not_split_the_glide() {
        let mut p = vec![7.0; 40];
        p.extend(vec![0.0; 60]);
        p.extend(vec![6.0; 3]);
        p.extend(vec![0.0; 60]);
        p.extend(vec![8.0; 40]);
        let s = segments(&p, &[]);
        assert_eq!(s.len(), 3, "{s:?}");
        assert!(s[1].idle && s[1].from == 40 && s[1].to == 163);
    }

    #[test]
    fn fifteen_seconds_of_power_do_not_split_a_glide_and_sixteen_do() {
        // each second at 6 m/s weighs 0.9, and to go to power and back costs 7 twice
        for (burst_s, stretches) in [(15, 1), (16, 3)] {
            let mut p = vec![-1.0; 60];
            p.extend(vec![6.0; burst_s]);
            p.extend(vec![-1.0; 60]);
            assert_eq!(segments(&p, &[]).len(), stretches, "{burst_s}");
        }
    }

    #[test]
    fn stretches_lie_end_to_end() {
        let mut p = vec![7.0; 40];
        p.extend(vec![0.0; 60]);
        p.extend(vec![f64::NAN; 5]);
        let s = segments(&p, &[]);
        let ends: Vec<_> = s.iter().map(|s| (s.from, s.to, s.idle)).collect();
        assert_eq!(ends, [(0, 40, false), (40, 105, true)]);
        let one = Segment {
            from: 0,
            to: 1,
            idle: false,
        };
        assert_eq!(segments(&[0.0], &[]), [one]);
    }

    #[test]
    fn the_engine_is_evidence_of_its_own() {
        // power that says nothing either way, and an engine at idle from 40 s on
        let p = vec![2.4; 80];
        let engine: Vec<f64> = (0..80).map(|k| if k < 40 { -1.2 } else { 1.2 }).collect();
        let s = segments(&p, &engine);
        assert_eq!(s.len(), 2, "{s:?}");
        assert!(s[1].idle && s[1].from == 40);
    }

    #[test]
    fn nothing_makes_nothing() {
        assert!(segments(&[], &[]).is_empty());
    }
}
