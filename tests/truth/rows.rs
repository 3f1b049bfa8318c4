//! Errors of figures, and how the figures are read from a document.

use jiff::Timestamp;
use serde_json::Value;

/// Error of one figure, and of both ends of its interval.
#[derive(Debug, Clone, Copy)]
pub struct Row {
    /// Figure.
    pub figure: &'static str,
    /// Value less truth; percent of the truth for rates and ratios.
    pub error: f64,
    /// Low end less truth.
    pub low: f64,
    /// High end less truth.
    pub high: f64,
    /// Of which recording: seed of a simulated flight, place in the list of reference recordings.
    pub seed: u64,
}

/// What a recording came to.
#[derive(Debug, Clone, Default)]
pub struct Score {
    /// Figures.
    pub rows: Vec<Row>,
    /// Figures that have a truth and no value.
    pub none: Vec<&'static str>,
    /// Attempts that should be found, were not, and ones that are none.
    pub findable: usize,
    /// Missed.
    pub missed: usize,
    /// False.
    pub false_ones: usize,
}

/// Every figure, in the order of the tables, with its unit.
pub const FIGURES: [(&str, &str); 46] = [
    ("power_reduction_time_s", "s"),
    ("power_reduction_height_ft", "ft"),
    ("settling_time_s", "s"),
    ("settling_height_lost_ft", "ft"),
    ("glide_time_s", "s"),
    ("glide_cas_mean_kt", "kt"),
    ("glide_cas_sd_kt", "kt"),
    ("glide_cas_min_kt", "kt"),
    ("glide_cas_max_kt", "kt"),
    ("glide_cas_within_share", "% of time"),
    ("descent_rate_fpm", "%"),
    ("air_sink_rate_fpm", "%"),
    ("glide_ratio_air", "%"),
    ("glide_ratio_ground", "%"),
    ("wind_north_kt", "kt"),
    ("wind_east_kt", "kt"),
    ("orbits", ""),
    ("bank_max_deg", "deg"),
    ("stall_margin_min", ""),
    ("overhead_time_s", "s"),
    ("overhead_height_ft", "ft"),
    ("abeam_time_s", "s"),
    ("abeam_height_ft", "ft"),
    ("abeam_distance_ft", "ft"),
    ("base_turn_time_s", "s"),
    ("base_turn_height_ft", "ft"),
    ("on_final_time_s", "s"),
    ("on_final_height_ft", "ft"),
    ("on_final_distance_ft", "ft"),
    ("final_cas_mean_kt", "kt"),
    ("final_cas_sd_kt", "kt"),
    ("final_cas_within_share", "% of time"),
    ("touchdown_time_s", "s"),
    ("touchdown_along_ft", "ft"),
    ("touchdown_across_ft", "ft"),
    ("touchdown_ground_speed_kt", "kt"),
    ("touchdown_cas_kt", "kt"),
    ("touchdown_sink_fpm", "ft/min"),
    ("float_distance_ft", "ft"),
    ("go_around_time_s", "s"),
    ("go_around_height_ft", "ft"),
    ("go_around_cas_kt", "kt"),
    ("projected_from_500ft_along_ft", "ft"),
    ("power_reduction_cas_kt", "kt"),
    ("series_height_ft", "ft"),
    ("series_cas_kt", "kt"),
];

/// Seconds since 1970 of an instant as the document writes it.
pub fn utc_s(text: &str) -> Option<f64> {
    let t: Timestamp = text.parse().ok()?;
    Some(t.as_second() as f64 + f64::from(t.subsec_nanosecond()) * 1e-9)
}

fn number(v: &Value) -> Option<f64> {
    v.as_f64().or_else(|| utc_s(v.as_str()?))
}

/// Value, low and high of a measured figure.
pub fn measured(v: &Value) -> Option<[f64; 3]> {
    Some([
        number(&v["value"])?,
        number(&v["low"])?,
        number(&v["high"])?,
    ])
}

/// Adds the errors of one recording to its score.
#[derive(Debug)]
pub struct Adding<'a> {
    /// Where to.
    pub score: &'a mut Score,
    /// Of which recording.
    pub seed: u64,
}

impl Adding<'_> {
    /// `value` less `shift` against `truth`; a figure without a value counts as none, one without a truth not at all.
    pub fn row(
        &mut self,
        figure: &'static str,
        value: Option<[f64; 3]>,
        shift: f64,
        truth: Option<f64>,
        percent: bool,
    ) {
        let Some(truth) = truth.filter(|t| t.is_finite()) else {
            return;
        };
        let Some(v) = value else {
            self.score.none.push(figure);
            return;
        };
        let k = if percent { 100.0 / truth.abs() } else { 1.0 };
        let e = v.map(|x| (x - shift - truth) * k);
        self.score.rows.push(Row {
            figure,
            error: e[0],
            low: e[1],
            high: e[2],
            seed: self.seed,
        });
    }
    /// A share of time, in per cent of it.
    pub fn share(&mut self, figure: &'static str, value: Option<[f64; 3]>, truth: Option<f64>) {
        let per_cent = |share: f64| 100.0 * share;
        self.add(figure, value.map(|v| v.map(per_cent)), truth.map(per_cent));
    }

    /// The same without a shift, in the unit of the figure.
    pub fn add(&mut self, figure: &'static str, value: Option<[f64; 3]>, truth: Option<f64>) {
        self.row(figure, value, 0.0, truth, false);
    }
}

/// The key point of that kind.
pub fn key_point<'a>(attempt: &'a Value, kind: &str) -> Option<&'a Value> {
    attempt["key_points"]
        .as_array()?
        .iter()
        .find(|k| k["kind"] == kind)
}

/// The speeds within which the document counts best glide as held in the glide, kt.
pub fn glide_held_kt(document: &Value) -> Option<[f64; 2]> {
    held_kt(document, "glide_to_hold_kcas", "speed_band_kt")
}

/// The same of approach speed on final; none where the briefing does not have it.
pub fn final_held_kt(document: &Value) -> Option<[f64; 2]> {
    held_kt(document, "approach_kcas", "approach_band_kt")
}

fn held_kt(document: &Value, speed: &str, band: &str) -> Option<[f64; 2]> {
    let reference = &document["reference"];
    let speed = reference[speed].as_f64()?;
    let off = |i: usize| reference[band][i].as_f64();
    Some([speed - off(0)?, speed + off(1)?])
}

/// Share of these speeds within, ends included; none of none.
pub fn share_within(cas_kt: &[f64], [low, high]: [f64; 2]) -> Option<f64> {
    let within = cas_kt.iter().filter(|cas| (low..=high).contains(*cas));
    (!cas_kt.is_empty()).then(|| within.count() as f64 / cas_kt.len() as f64)
}
