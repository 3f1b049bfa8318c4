//! Least height against a search that knows nothing of shortest paths: an aeroplane flown in small
//! steps of time, turning, then straight (or turning the other way), then turning, in every size.

mod ring;

use stillprop::air::WindProfile;
use stillprop::reach::{Glider, Position, Reach, ReachSetting};

const G: f64 = 9.80665;
const STEP_S: f64 = 0.3;
const CAS: f64 = 35.0;
const RATIO: f64 = 9.0;
const BANK_DEG: f64 = 30.0;

/// East, north, heading (clockwise from the landing direction, which is north), height.
type State = [f64; 4];

struct Air {
    knots: Vec<[f64; 2]>,
}

impl Air {
    fn wind(&self, height: f64) -> [f64; 2] {
        let last = self.knots.len() - 1;
        let x = (height / 152.4).clamp(0.0, last as f64);
        let k = (x.floor() as usize).min(last - 1);
        let s = x - k as f64;
        [0, 1].map(|i| self.knots[k][i] + s * (self.knots[k + 1][i] - self.knots[k][i]))
    }

    /// One step with `side` -1, 0 or 1.
    fn step(&self, s: &State, side: f64) -> State {
        let tas = CAS * (s[3] / 20_760.0).exp();
        let n = 1.0 / BANK_DEG.to_radians().cos();
        let sink = tas / RATIO
            * if side == 0.0 {
                1.0
            } else {
                f64::midpoint(1.0, n * n)
            };
        let rate = side * G * BANK_DEG.to_radians().tan() / tas;
        let (wind, middle) = (self.wind(s[3]), s[2] + 0.5 * rate * STEP_S);
        let shear = {
            let below = self.wind(s[3] - sink * STEP_S);
            let along = middle.sin() * (below[0] - wind[0]) + middle.cos() * (below[1] - wind[1]);
            tas / G * along
        };
        [
            s[0] + (tas * middle.sin() + wind[0]) * STEP_S,
            s[1] + (tas * middle.cos() + wind[1]) * STEP_S,
            s[2] + rate * STEP_S,
            s[3] - sink * STEP_S - shear,
        ]
    }

    /// Height lost on the cheapest way to the aim from `start`, what it misses the aim by counted as
    /// glide; and that miss.
    fn cheapest(&self, start: State) -> (f64, f64) {
        let mut best = (f64::INFINITY, f64::NAN);
        for first in [-1.0, 1.0] {
            let mut a = start;
            for _ in 0..180 {
                for (middle, last) in [(0.0, -1.0), (0.0, 1.0), (-first, first)] {
                    let mut b = a;
                    for _ in 0..265 {
                        // a turn carries no further than its width and the wind; and no way is
                        // shorter than the straight one with the wind behind
                        let away = b[0].hypot(b[1]);
                        let at_best = start[3] - b[3] + away / (1.4 * RATIO);
                        if away < 850.0 && at_best < best.0 {
                            let c = self.to_heading(b, last);
                            let miss = c[0].hypot(c[1]);
                            let lost = start[3] - c[3] + miss / RATIO;
                            if lost < best.0 && miss < 80.0 {
                                best = (lost, miss);
                            }
                        }
                        b = self.step(&b, middle);
                        if start[3] - b[3] > best.0 {
                            break;
                        }
                    }
                }
                a = self.step(&a, first);
                if start[3] - a[3] > best.0 {
                    break;
                }
            }
        }
        best
    }

    /// Turned on until the track in the air cancels the wind across the landing direction.
    fn to_heading(&self, mut s: State, side: f64) -> State {
        let crab = (-self.wind(5.0)[0] / CAS).asin();
        let left = |s: &State| (side * (crab - s[2])).rem_euclid(std::f64::consts::TAU);
        let mut before = left(&s);
        for _ in 0..165 {
            let next = self.step(&s, side);
            let now = left(&next);
            if now > before {
                break;
            }
            (s, before) = (next, now);
        }
        s
    }
}

fn compare(knots: &[[f64; 2]], positions: &[(f64, f64, f64)]) {
    let air = Air {
        knots: knots.to_vec(),
    };
    let glider = Glider::new(
        (CAS, RATIO),
        CAS,
        (1.0, 0.0),
        &WindProfile {
            knots_mps: knots.to_vec(),
        },
    );
    let setting = ReachSetting {
        bank_limit_deg: BANK_DEG,
        wings_level_m: 0.0,
        float_m: 0.0,
        ..ReachSetting::default()
    };
    let reach = Reach::new(&glider, 0.0, &setting).unwrap();
    for &(along_m, across_m, heading_deg) in positions {
        let at = Position {
            along_m,
            across_m,
            heading_deg,
            tas_mps: CAS,
        };
        let found = reach.needed(&at).unwrap().height_m;
        let start = [across_m, along_m, f64::to_radians(heading_deg), found];
        let (lost, miss) = air.cheapest(start);
        let allowed = 6.0 + 0.04 * found;
        assert!(
            (lost - found).abs() < allowed,
            "from {at:?}: {found:.1} m, the search finds {lost:.1} m (missing by {miss:.0} m)"
        );
    }
}

const PLACES: [(f64, f64, f64); 8] = [
    (-1500.0, 0.0, 0.0),
    (0.0, 900.0, 180.0),
    (-600.0, -1100.0, 170.0),
    (1200.0, 1500.0, -120.0),
    (-900.0, 700.0, -90.0),
    (300.0, 50.0, 90.0),
    (0.0, 0.0, 180.0),
    (800.0, -300.0, 10.0),
];

#[test]
fn least_height_in_still_air() {
    compare(&[[0.0, 0.0]; 5], &PLACES);
}

#[test]
fn least_height_in_steady_wind() {
    compare(&[[4.0, -8.0]; 5], &PLACES);
    compare(&[[-6.0, 5.0]; 5], &PLACES);
}

#[test]
fn least_height_in_wind_that_grows_and_turns_with_height() {
    compare(
        &[
            [1.0, -4.0],
            [3.0, -7.0],
            [6.0, -9.0],
            [8.0, -8.0],
            [9.0, -7.0],
        ],
        &PLACES,
    );
}
