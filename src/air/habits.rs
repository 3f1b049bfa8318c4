//! How the pilot and the air of the day behave: what the recording tells by likelihood, among a few
//! possibilities.

/// One possibility.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Habits {
    /// Slow wander of the airspeed in a glide.
    pub(super) wander: Wander,
    /// Change of the wind from knot to knot (500 ft), standard deviation, m/s.
    pub(super) knot_sd_mps: f64,
    /// Gusts along the flight, standard deviation, m/s.
    pub(super) gust_mps: f64,
    /// Vertical air motion over a few seconds, standard deviation, m/s.
    pub(super) vertical_air_sd_mps: f64,
}

/// Slow wander of the airspeed in a glide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Wander {
    /// Standard deviation, m/s.
    pub(super) sd_mps: f64,
    /// Correlation time, s.
    pub(super) correlation_s: f64,
    /// Whether it has a rate (corrections are slow and steady), or not (the speed is jostled).
    pub(super) smooth: bool,
}

const fn wander(sd_mps: f64, correlation_s: f64, smooth: bool) -> Wander {
    Wander {
        sd_mps,
        correlation_s,
        smooth,
    }
}

/// Airspeed wander tried: from a steady hand to a speed that drifts all the way down. With each the
/// logarithm of its prior weight: pilots hold 2 to 6 kt (common practice).
pub(super) const WANDERS: [(Wander, f64); 10] = [
    (wander(1.2, 12.0, false), -1.0),
    (wander(2.5, 12.0, false), -0.5),
    (wander(1.2, 30.0, false), -1.0),
    (wander(2.5, 30.0, false), 0.0),
    (wander(4.5, 30.0, false), -0.7),
    (wander(3.5, 90.0, false), -0.3),
    (wander(1.2, 15.0, true), -1.0),
    (wander(2.5, 10.0, true), -0.5),
    (wander(2.5, 25.0, true), 0.0),
    (wander(4.0, 15.0, true), -0.7),
];
/// Gusts tried, m/s: from still air to moderate turbulence (common practice).
pub(super) const GUSTS_MPS: [f64; 3] = [0.15, 0.35, 0.8];
/// Wind change per knot tried, m/s: from a well-mixed day to an evening with a cold layer on the ground, over which the
/// wind slides. With each the logarithm of its prior weight: such layers are not of every day (common practice).
pub(super) const KNOT_SDS_MPS: [(f64, f64); 4] =
    [(0.4, 0.0), (0.9, 0.0), (1.8, -0.35), (3.2, -1.0)];
/// Vertical air tried, m/s: from an evening to an afternoon of thermals (common practice).
pub(super) const VERTICAL_AIR_SDS_MPS: [f64; 4] = [0.15, 0.3, 0.6, 1.1];

/// Where the search begins.
pub(super) const FIRST: Habits = Habits {
    wander: WANDERS[3].0,
    gust_mps: GUSTS_MPS[1],
    knot_sd_mps: KNOT_SDS_MPS[1].0,
    vertical_air_sd_mps: VERTICAL_AIR_SDS_MPS[2],
};

impl Habits {
    /// Logarithm of the prior weight, up to a constant.
    pub(super) fn log_prior(&self) -> f64 {
        WANDERS
            .iter()
            .find(|(w, _)| *w == self.wander)
            .map_or(0.0, |(_, log)| *log)
            + KNOT_SDS_MPS
                .iter()
                .find(|(sd, _)| *sd == self.knot_sd_mps)
                .map_or(0.0, |(_, log)| *log)
    }
    /// The same with each vertical air.
    pub(super) fn vertical_air_tried(self) -> Vec<Habits> {
        VERTICAL_AIR_SDS_MPS
            .map(|vertical_air_sd_mps| Habits {
                vertical_air_sd_mps,
                ..self
            })
            .to_vec()
    }

    /// The same with each change of the wind with height.
    pub(super) fn knots_tried(self) -> Vec<Habits> {
        KNOT_SDS_MPS
            .map(|(knot_sd_mps, _)| Habits {
                knot_sd_mps,
                ..self
            })
            .to_vec()
    }

    /// The same with each strength of gusts.
    pub(super) fn gusts_tried(self) -> Vec<Habits> {
        GUSTS_MPS
            .map(|gust_mps| Habits { gust_mps, ..self })
            .to_vec()
    }

    /// The same with each wander of the airspeed.
    pub(super) fn wanders_tried(self) -> Vec<Habits> {
        WANDERS
            .map(|(wander, _)| Habits { wander, ..self })
            .to_vec()
    }

    /// All that differ from `self` in one thing.
    pub(super) fn all_near(self) -> Vec<Habits> {
        let mut out = self.wanders_tried();
        out.extend(self.vertical_air_tried());
        out.extend(self.knots_tried());
        out.extend(self.gusts_tried());
        out.retain(|h| *h != self);
        out
    }
}
