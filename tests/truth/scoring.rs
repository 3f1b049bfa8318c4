//! A debrief held against the simulated flight it came from: one row a figure.

use serde_json::Value;

use super::rows::{
    Adding, Score, final_held_kt, glide_held_kt, key_point, measured, share_within, utc_s,
};
use super::simulator::Recorded;
use super::simulator::flight::Flight;
use super::{FT, KT};

/// Holds `document` against the flight it came from.
pub fn score(recorded: &Recorded, document: &Value, seed: u64) -> Score {
    let flight = &recorded.flight;
    let mut out = Score::default();
    let empty = Vec::new();
    let found = document["attempts"].as_array().unwrap_or(&empty);
    // clock of the document less the flight's
    let clock = flight.plan.start_utc_s + recorded.stamp_shift_s;
    let reduction_of = |a: &Value| {
        key_point(a, "power_reduction")
            .and_then(|k| measured(&k["utc"]))
            .map(|q| q[0] - clock)
    };
    let mut used = vec![false; found.len()];
    for e in &flight.attempts {
        let Some(end_s) = e.end_s() else { continue };
        let tmid = e.reduction_s();
        if tmid - recorded.span_s.0 < 15.0 || recorded.span_s.1 - end_s < 5.0 {
            // what is found of it all the same is not false
            for (a, u) in found.iter().zip(&mut used) {
                *u |= reduction_of(a).is_some_and(|t| (t - tmid).abs() < 60.0);
            }
            continue;
        }
        out.findable += 1;
        let nearest = (0..found.len())
            .filter(|&i| !used[i])
            .filter_map(|i| Some((i, (reduction_of(&found[i])? - tmid).abs())))
            .filter(|x| x.1 < 60.0)
            .min_by(|a, b| a.1.total_cmp(&b.1));
        let Some((i, _)) = nearest else {
            out.missed += 1;
            continue;
        };
        used[i] = true;
        let mut adding = Adding {
            score: &mut out,
            seed,
        };
        let found = (document, &found[i]);
        attempt(recorded, found, e, end_s, clock, &mut adding);
    }
    out.false_ones = found
        .iter()
        .zip(&used)
        .filter(|(a, u)| !**u && a["confidence"].as_f64().unwrap_or(1.0) >= 0.5)
        .count();
    out
}

/// Airspeed flown between two instants, kt.
fn cas_kt(flight: &Flight, from_s: f64, to_s: f64) -> Vec<f64> {
    let within = flight.between(from_s, to_s);
    within.iter().map(|s| s.cas_mps / KT).collect()
}

fn attempt(
    recorded: &Recorded,
    (document, found): (&Value, &Value),
    e: &super::simulator::flight::Events,
    end_s: f64,
    clock: f64,
    adding: &mut Adding<'_>,
) {
    let flight = &recorded.flight;
    let tmid = e.reduction_s();
    let measure = |id: &str| measured(&found["measures"][id]);
    let time = |kind: &str| key_point(found, kind).and_then(|k| measured(&k["utc"]));
    adding.row(
        "power_reduction_time_s",
        time("power_reduction"),
        clock,
        Some(tmid),
        false,
    );
    adding.add(
        "power_reduction_height_ft",
        measure("power_reduction_height_ft"),
        Some(flight.height_ft(tmid)),
    );
    let held = recorded
        .briefed_best_glide_kcas
        .and_then(|best| flight.best_glide_held_s(tmid, end_s, best));
    adding.add(
        "settling_time_s",
        measure("settling_time_s"),
        held.map(|t| t - tmid),
    );
    adding.add(
        "settling_height_lost_ft",
        measure("settling_height_lost_ft"),
        held.map(|t| flight.height_ft(tmid) - flight.height_ft(t)),
    );
    adding.add("glide_time_s", measure("glide_time_s"), Some(end_s - tmid));
    adding.add(
        "bank_max_deg",
        measure("bank_max_deg"),
        flight.bank_max_deg(tmid, end_s - 3.0),
    );

    let glide = &found["steady_glide"];
    if let (Some(from), Some(to)) = (
        glide["from_utc"].as_str().and_then(utc_s),
        glide["to_utc"].as_str().and_then(utc_s),
    ) && let Some(w) = flight.window(from - clock, to - clock)
    {
        adding.add(
            "glide_cas_mean_kt",
            measure("glide_cas_mean_kt"),
            Some(w.cas_kt[0]),
        );
        adding.add(
            "glide_cas_sd_kt",
            measure("glide_cas_sd_kt"),
            Some(w.cas_kt[1]),
        );
        adding.add(
            "glide_cas_min_kt",
            measure("glide_cas_min_kt"),
            Some(w.cas_kt[2]),
        );
        adding.add(
            "glide_cas_max_kt",
            measure("glide_cas_max_kt"),
            Some(w.cas_kt[3]),
        );
        let held = glide_held_kt(document);
        adding.share(
            "glide_cas_within_share",
            measure("glide_cas_within_share"),
            held.and_then(|held| share_within(&cas_kt(flight, from - clock, to - clock), held)),
        );
        adding.row(
            "descent_rate_fpm",
            measure("descent_rate_fpm"),
            0.0,
            Some(w.descent_fpm),
            true,
        );
        adding.row(
            "air_sink_rate_fpm",
            measure("air_sink_rate_fpm"),
            0.0,
            Some(w.air_sink_fpm),
            true,
        );
        adding.row(
            "glide_ratio_air",
            measure("glide_ratio_air"),
            0.0,
            Some(w.ratio[0]),
            true,
        );
        adding.row(
            "glide_ratio_ground",
            measure("glide_ratio_ground"),
            0.0,
            Some(w.ratio[1]),
            true,
        );
    }
    for wind in found["wind"].as_array().into_iter().flatten() {
        let Some(height_ft) = wind["height_ft"].as_f64() else {
            continue;
        };
        if let Some(truth) = flight.wind_kt(tmid, end_s, height_ft) {
            adding.add("wind_north_kt", measured(&wind["north_kt"]), Some(truth[0]));
            adding.add("wind_east_kt", measured(&wind["east_kt"]), Some(truth[1]));
        }
    }
    pattern(recorded, (document, found), e, end_s, clock, adding);
    ending(recorded, found, e, clock, adding);
    series(recorded, found, (tmid, end_s), clock, adding);
}

fn pattern(
    recorded: &Recorded,
    (document, found): (&Value, &Value),
    e: &super::simulator::flight::Events,
    end_s: f64,
    clock: f64,
    adding: &mut Adding<'_>,
) {
    let flight = &recorded.flight;
    let measure = |id: &str| measured(&found["measures"][id]);
    let time = |kind: &str| key_point(found, kind).and_then(|k| measured(&k["utc"]));
    let abeam = flight.abeam_s(e, end_s);
    let overhead = flight.overhead_s(e.reduction_s(), abeam.unwrap_or(end_s));
    adding.row("overhead_time_s", time("overhead"), clock, overhead, false);
    adding.add(
        "overhead_height_ft",
        measure("overhead_height_ft"),
        overhead.map(|t| flight.height_ft(t)),
    );
    adding.row("abeam_time_s", time("abeam"), clock, abeam, false);
    adding.add(
        "abeam_height_ft",
        measure("abeam_height_ft"),
        abeam.map(|t| flight.height_ft(t)),
    );
    adding.add(
        "abeam_distance_ft",
        measure("abeam_distance_ft"),
        abeam.map(|t| flight.along_right_m(&flight.at(t)).1.abs() / FT),
    );
    let base = abeam.and_then(|t| flight.base_turn_s(t, end_s));
    adding.row("base_turn_time_s", time("base_turn"), clock, base, false);
    adding.add(
        "base_turn_height_ft",
        measure("base_turn_height_ft"),
        base.map(|t| flight.height_ft(t)),
    );
    let on_final = flight.on_final_s(e, end_s);
    adding.row("on_final_time_s", time("on_final"), clock, on_final, false);
    adding.add(
        "on_final_height_ft",
        measure("on_final_height_ft"),
        on_final.map(|t| flight.height_ft(t)),
    );
    adding.add(
        "on_final_distance_ft",
        measure("on_final_distance_ft"),
        on_final.map(|t| -flight.along_right_m(&flight.at(t)).0 / FT),
    );
    let to = e.flare_s.unwrap_or(end_s);
    if let Some(from) = on_final.filter(|from| to - from > 5.0) {
        let within = flight.between(from, to);
        let n = within.len() as f64;
        let mean = within.iter().map(|s| s.cas_mps).sum::<f64>() / n;
        let sd = (within
            .iter()
            .map(|s| (s.cas_mps - mean).powi(2))
            .sum::<f64>()
            / n)
            .sqrt();
        adding.add(
            "final_cas_mean_kt",
            measure("final_cas_mean_kt"),
            Some(mean / KT),
        );
        adding.add("final_cas_sd_kt", measure("final_cas_sd_kt"), Some(sd / KT));
        let held = final_held_kt(document);
        adding.share(
            "final_cas_within_share",
            measure("final_cas_within_share"),
            held.and_then(|held| share_within(&cas_kt(flight, from, to), held)),
        );
    }
}

fn ending(
    recorded: &Recorded,
    found: &Value,
    e: &super::simulator::flight::Events,
    clock: f64,
    adding: &mut Adding<'_>,
) {
    let flight = &recorded.flight;
    let measure = |id: &str| measured(&found["measures"][id]);
    let time = |kind: &str| key_point(found, kind).and_then(|k| measured(&k["utc"]));
    if let Some((t, sink)) = e.touchdown {
        let s = flight.at(t);
        let (along, right) = flight.along_right_m(&s);
        adding.row("touchdown_time_s", time("touchdown"), clock, Some(t), false);
        adding.add(
            "touchdown_along_ft",
            measure("touchdown_along_ft"),
            Some(along / FT),
        );
        adding.add(
            "touchdown_across_ft",
            measure("touchdown_across_ft"),
            Some(right / FT),
        );
        let ground = s.velocity_mps[0].hypot(s.velocity_mps[1]);
        adding.add(
            "touchdown_ground_speed_kt",
            measure("touchdown_ground_speed_kt"),
            Some(ground / KT),
        );
        adding.add(
            "touchdown_cas_kt",
            measure("touchdown_cas_kt"),
            Some(s.cas_mps / KT),
        );
        adding.add(
            "touchdown_sink_fpm",
            measure("touchdown_sink_fpm"),
            Some(sink / FT * 60.0),
        );
        if let Some(flare) = e.flare_s {
            let f = flight.at(flare);
            adding.add(
                "float_distance_ft",
                measure("float_distance_ft"),
                Some((s.east_m - f.east_m).hypot(s.north_m - f.north_m) / FT),
            );
        }
        if flight.height_ft(e.reduction_s()) > 600.0 {
            adding.add(
                "projected_from_500ft_along_ft",
                measure("projected_from_500ft_along_ft"),
                Some(along / FT),
            );
        }
    } else if let Some(t) = e.go_around_s {
        adding.row("go_around_time_s", time("go_around"), clock, Some(t), false);
        adding.add(
            "go_around_height_ft",
            measure("go_around_height_ft"),
            Some(flight.go_around_height_ft(t)),
        );
    }
}

/// The drawn series of the glide, every tenth step.
fn series(
    recorded: &Recorded,
    found: &Value,
    glide_s: (f64, f64),
    clock: f64,
    adding: &mut Adding<'_>,
) {
    let flight = &recorded.flight;
    let s = &found["series"];
    let Some(times) = s["utc"].as_array() else {
        return;
    };
    for (k, t) in times.iter().enumerate().step_by(10) {
        let Some(t) = t.as_str().and_then(utc_s).map(|t| t - clock) else {
            continue;
        };
        if t < glide_s.0 || t > glide_s.1 - 3.0 {
            continue;
        }
        let truth = flight.at(t);
        let at = |value: &str, low: &str, high: &str| {
            Some([
                s[value][k].as_f64()?,
                s[low][k].as_f64()?,
                s[high][k].as_f64()?,
            ])
        };
        adding.add(
            "series_height_ft",
            at("height_ft", "height_low_ft", "height_high_ft"),
            Some(truth.height_m / FT),
        );
        adding.add(
            "series_cas_kt",
            at("cas_kt", "cas_low_kt", "cas_high_kt"),
            Some(truth.cas_mps / KT),
        );
    }
}
