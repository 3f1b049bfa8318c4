//! A debrief held against a reference flight: one row a figure.
//!
//! Events in time are held against the throttle, the wheels and the way of the aeroplane, less how
//! late the recorder's stamps are. Averages are held against the true average over the very
//! window that the debrief names: another choice of window is no error, a wrong figure is.

use serde_json::Value;

use super::super::KT;
use super::super::rows::{
    Adding, Score, final_held_kt, glide_held_kt, key_point, measured, share_within, utc_s,
};
use super::{Attempt, Flight, Recording};

/// Farther apart than this, a found power reduction is not that of the attempt.
const SAME_ATTEMPT_S: f64 = 60.0;
/// An attempt can be found if the recording has this much before it and after it.
const ROOM_S: (f64, f64) = (15.0, 5.0);
/// Below this confidence, an attempt of the document is not counted as one.
const COUNTED_CONFIDENCE: f64 = 0.5;
/// Turned by less within 250 ft of a band, a glide does not show the wind there.
const SHOWS_WIND_DEG: f64 = 120.0;

/// Holds `document` against the flight; `place` tells the rows of recordings apart.
///
/// # Errors
///
/// When a window of the document goes beyond what was kept of the flight.
pub fn score(
    flight: &Flight,
    recording: &Recording,
    document: &Value,
    place: u64,
) -> Result<Score, String> {
    let mut out = Score::default();
    let mut used = 0;
    for (flown, found) in matched(flight, recording, document) {
        let findable = recording.holds(flown);
        out.findable += usize::from(findable);
        let Some(found) = found else {
            out.missed += usize::from(findable);
            continue;
        };
        used += usize::from(counted(found));
        let mut pair = Pair {
            flight,
            recording,
            clock: clock(flight, recording),
            flown,
            found,
            document,
            adding: Adding {
                score: &mut out,
                seed: place,
            },
        };
        pair.glide()?;
        pair.wind();
        pair.ending();
    }
    let all = attempts(document).iter().filter(|a| counted(a)).count();
    out.false_ones = all - used;
    Ok(out)
}

fn attempts(document: &Value) -> &[Value] {
    document["attempts"].as_array().map_or(&[], Vec::as_slice)
}

/// Whether an attempt of the document counts as one.
fn counted(found: &Value) -> bool {
    found["confidence"].as_f64().unwrap_or(1.0) >= COUNTED_CONFIDENCE
}

/// Clock of the document less that of the flight.
pub fn clock(flight: &Flight, recording: &Recording) -> f64 {
    flight.start_utc_s + recording.stamps_late_s
}

/// Every attempt flown with the one of the document whose power reduction is nearest, if any is near.
pub fn matched<'a>(
    flight: &'a Flight,
    recording: &Recording,
    document: &'a Value,
) -> Vec<(&'a Attempt, Option<&'a Value>)> {
    let clock = clock(flight, recording);
    let found = attempts(document);
    let mut used = vec![false; found.len()];
    let mut pairs = Vec::new();
    for flown in &flight.attempts {
        let distance_s = |a: &Value| {
            let reduction = measured(&key_point(a, "power_reduction")?["utc"])?;
            Some((reduction[0] - clock - flown.power_reduction_s).abs())
        };
        let nearest = (0..found.len())
            .filter(|&i| !used[i])
            .filter_map(|i| Some((i, distance_s(&found[i])?)))
            .filter(|(_, distance_s)| *distance_s < SAME_ATTEMPT_S)
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(i, _)| i);
        if let Some(i) = nearest {
            used[i] = true;
        }
        pairs.push((flown, nearest.map(|i| &found[i])));
    }
    pairs
}

impl Recording {
    /// Whether the attempt can be found in it.
    pub fn holds(&self, flown: &Attempt) -> bool {
        flown.power_reduction_s - self.first_fix_s > ROOM_S.0
            && self.last_fix_s - flown.end_s > ROOM_S.1
    }
}

/// An attempt as flown and as found.
struct Pair<'a> {
    flight: &'a Flight,
    recording: &'a Recording,
    /// Clock of the document less that of the flight.
    clock: f64,
    flown: &'a Attempt,
    found: &'a Value,
    document: &'a Value,
    adding: Adding<'a>,
}

impl Pair<'_> {
    fn measure(&mut self, figure: &'static str, truth: Option<f64>) {
        let value = measured(&self.found["measures"][figure]);
        self.adding.add(figure, value, truth);
    }

    fn percent(&mut self, figure: &'static str, truth: Option<f64>) {
        let value = measured(&self.found["measures"][figure]);
        self.adding.row(figure, value, 0.0, truth, true);
    }

    fn time(&mut self, figure: &'static str, kind: &str, truth: Option<f64>) {
        let value = key_point(self.found, kind).and_then(|point| measured(&point["utc"]));
        self.adding.row(figure, value, self.clock, truth, false);
    }

    /// Power reduction, settling, steady glide, turns, abeam.
    fn glide(&mut self) -> Result<(), String> {
        let flown = self.flown;
        let start_s = flown.power_reduction_s;
        self.time("power_reduction_time_s", "power_reduction", Some(start_s));
        self.measure(
            "power_reduction_height_ft",
            Some(flown.power_reduction_height_ft),
        );
        self.measure("settling_time_s", flown.settling_time_s);
        self.measure("glide_time_s", Some(flown.end_s - start_s));
        self.measure("orbits", flown.orbits);
        self.measure("bank_max_deg", flown.bank_max_deg);
        let abeam = flown.abeam.as_ref();
        self.time("abeam_time_s", "abeam", abeam.map(|a| a.time_s));
        self.measure("abeam_height_ft", abeam.map(|a| a.height_ft));
        self.measure("abeam_distance_ft", abeam.map(|a| a.distance_ft));

        let steady = &self.found["steady_glide"];
        let end = |name: &str| Some(utc_s(steady[name].as_str()?)? - self.clock);
        let window = match (end("from_utc"), end("to_utc")) {
            (Some(from_s), Some(to_s)) => self.flight.motion.window(from_s, to_s)?,
            _ => None,
        };
        self.measure("glide_cas_mean_kt", window.map(|w| w.cas_mean_kt));
        self.measure("glide_cas_sd_kt", window.map(|w| w.cas_sd_kt));
        self.held();
        self.percent("descent_rate_fpm", window.map(|w| w.descent_fpm));
        self.percent("air_sink_rate_fpm", window.map(|w| w.air_sink_fpm));
        self.percent("glide_ratio_air", window.map(|w| w.ratio_air));
        self.percent("glide_ratio_ground", window.map(|w| w.ratio_ground));
        Ok(())
    }

    /// How long speeds were held, over the windows that the document names.
    fn held(&mut self) {
        for figure in ["glide_cas_within_share", "final_cas_within_share"] {
            let truth = held(self.flight, self.clock, self.found, self.document, figure);
            let value = measured(&self.found["measures"][figure]);
            self.adding.share(figure, value, truth);
        }
    }

    /// At every height the document names, where the glide turned enough to show the wind.
    fn wind(&mut self) {
        let (flown, motion, found) = (self.flown, &self.flight.motion, self.found);
        let (from_s, to_s) = (flown.power_reduction_s, flown.end_s);
        for wind in found["wind"].as_array().into_iter().flatten() {
            let Some(height_ft) = wind["height_ft"].as_f64() else {
                continue;
            };
            let shown = flown
                .wind_bands_from_ft
                .iter()
                .filter(|from_ft| **from_ft <= height_ft && height_ft < **from_ft + 500.0)
                .any(|from_ft| {
                    let around = (from_ft - 250.0, from_ft + 750.0);
                    motion.turned_deg((from_s, to_s), around) >= SHOWS_WIND_DEG
                });
            let truth = shown
                .then(|| motion.wind_kt(from_s, to_s, height_ft))
                .flatten();
            for (axis, figure, id) in [
                (0, "wind_north_kt", "north_kt"),
                (1, "wind_east_kt", "east_kt"),
            ] {
                self.adding
                    .add(figure, measured(&wind[id]), truth.map(|t| t[axis]));
            }
        }
    }

    /// Touchdown or go-around.
    fn ending(&mut self) {
        let flown = self.flown;
        if let Some(touchdown) = &flown.touchdown {
            if self.recording.last_fix_s - touchdown.time_s <= 3.0 {
                return;
            }
            let along_ft = Some(touchdown.along_ft);
            self.time("touchdown_time_s", "touchdown", Some(touchdown.time_s));
            self.measure("touchdown_along_ft", along_ft);
            self.measure("touchdown_across_ft", Some(touchdown.across_ft));
            self.measure("touchdown_ground_speed_kt", Some(touchdown.ground_speed_kt));
            self.measure("touchdown_cas_kt", Some(touchdown.cas_kt));
            let from_above = flown.power_reduction_height_ft > 600.0;
            self.measure(
                "projected_from_500ft_along_ft",
                along_ft.filter(|_| from_above),
            );
        } else if let Some(go_around) = &flown.go_around {
            self.time("go_around_time_s", "go_around", Some(go_around.time_s));
            self.measure("go_around_height_ft", Some(go_around.height_ft));
        }
    }
}

/// A final of fewer seconds than that is none.
const SHORTEST_FINAL_S: f64 = 5.0;

/// True share of time within the tolerance that the document names: of its steady glide, or from its on final to its
/// flare or go-around. `clock` is that of the document less that of the flight.
pub fn held(
    flight: &Flight,
    clock: f64,
    found: &Value,
    document: &Value,
    measure: &str,
) -> Option<f64> {
    let steady = &found["steady_glide"];
    let end = |name: &str| utc_s(steady[name].as_str()?);
    let point = |kind: &str| Some(measured(&key_point(found, kind)?["utc"])?[0]);
    let (from, to, held_kt) = if measure == "glide_cas_within_share" {
        (end("from_utc")?, end("to_utc")?, glide_held_kt(document)?)
    } else {
        let to = point("flare").or(point("go_around"))?;
        (point("on_final")?, to, final_held_kt(document)?)
    };
    if to - from < SHORTEST_FINAL_S {
        return None;
    }
    let flown = flight.motion.between(from - clock, to - clock);
    let cas_kt: Vec<f64> = flown.iter().map(|s| s.cas_mps / KT).collect();
    share_within(&cas_kt, held_kt)
}
