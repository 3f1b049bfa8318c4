//! The statistics of `fleet` and `progress` against general-purpose packages: numbers, versions and data in
//! `statistics.json`, written by `scripts/statistics_reference.py`.

use serde_json::Value;
use stillprop::findings::found_by_p_values;
use stillprop::fleet::history::{Point, course};
use stillprop::fleet::interval::{Others, Own};
use stillprop::fleet::model::{Datum, Drawn, Run, posterior};
use stillprop::progress::statistics::{Figure, mean, slope, student_below, student_quantile};
use stillprop::random::normal_below;

use super::expect;

const SCIPY: &str = "scipy 1.17.1";
const STATSMODELS: &str = "statsmodels 0.15.0";

fn stored() -> Value {
    serde_json::from_str(include_str!("statistics.json")).unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    let all = value.as_array().unwrap();
    all.iter().map(|v| v.as_f64().unwrap()).collect()
}

#[test]
fn the_versions_are_those_named() {
    let versions = &stored()["versions"];
    assert!(SCIPY.ends_with(versions["scipy"].as_str().unwrap()));
    assert!(STATSMODELS.ends_with(versions["statsmodels"].as_str().unwrap()));
}

#[test]
fn laws() {
    let stored = stored();
    for row in stored["student_below"].as_array().unwrap() {
        let [t, freedom, p] = numbers(row)[..] else {
            panic!()
        };
        // Simpson's rule loses digits below two degrees of freedom
        expect(student_below(t, freedom), p, 2e-6, "Student", SCIPY);
    }
    for row in stored["student_quantile"].as_array().unwrap() {
        let [share, freedom, t] = numbers(row)[..] else {
            panic!()
        };
        expect(
            student_quantile(share, freedom),
            t,
            2e-4 * t,
            "quantile",
            SCIPY,
        );
    }
    for row in stored["normal_below"].as_array().unwrap() {
        let [z, p] = numbers(row)[..] else { panic!() };
        expect(normal_below(z), p, 1e-7, "normal", SCIPY);
    }
}

fn figures(of: &Value, values: &str) -> Vec<Figure> {
    let (value, sd) = (numbers(&of[values]), numbers(&of["sd"]));
    value
        .into_iter()
        .zip(sd)
        .enumerate()
        .map(|(i, (value, sd))| Figure {
            at: i as f64,
            value,
            sd,
        })
        .collect()
}

#[test]
fn means_with_a_spread_of_their_own() {
    for row in stored()["means"].as_array().unwrap() {
        let found = mean(&figures(row, "value")).unwrap();
        let number = |name: &str| row[name].as_f64().unwrap();
        expect(found.value, number("mean"), 1e-3, "mean", STATSMODELS);
        // never narrower than without the factor of Hartung and Knapp
        let sd = number("sd_plain").max(number("sd_hartung_knapp"));
        expect(found.sd, sd, 1e-3, "standard error", STATSMODELS);
    }
}

#[test]
fn a_straight_line() {
    let line = &stored()["line"];
    let found = slope(&figures(line, "y")).unwrap();
    // the package scales all standard deviations by one factor, this adds a variance: alike, not equal
    let (slope, se) = (
        line["slope"].as_f64().unwrap(),
        line["se"].as_f64().unwrap(),
    );
    expect(found.value, slope, 0.35 * se, "slope", STATSMODELS);
    expect(found.sd, se, 0.2 * se, "standard error", STATSMODELS);
}

#[test]
fn a_fleet_by_restricted_maximum_likelihood() {
    let fleet = &stored()["fleet"];
    let group = numbers(&fleet["group"]);
    let noise = fleet["noise"].as_f64().unwrap();
    let data: Vec<Datum> = numbers(&fleet["lost"])
        .into_iter()
        .zip(fleet["terms"].as_array().unwrap())
        .enumerate()
        .map(|(j, (lost, terms))| Datum {
            lost,
            terms: numbers(terms).try_into().unwrap(),
            sd: noise,
            airframe: group[j] as usize,
            recording: j,
        })
        .collect();
    let drawn = posterior(&data, 8, 9.5, Run::default()).draws;
    let over = |f: &dyn Fn(&Drawn) -> f64| -> (f64, f64) {
        let n = drawn.len() as f64;
        let mean = drawn.iter().map(f).sum::<f64>() / n;
        let variance = drawn.iter().map(|d| (f(d) - mean).powi(2)).sum::<f64>() / n;
        (mean, variance.sqrt())
    };
    for (i, expected) in numbers(&fleet["glide_ratio"]).into_iter().enumerate() {
        let (ratio, sd) = over(&|d| 1.0 / (d.shared[0] + d.own[i] + d.shared[1]));
        assert!(sd < 0.03 * ratio, "{sd}");
        // priors, and longer tails of both laws: a part of the doubt
        expect(ratio, expected, 0.6 * sd, "glide ratio", STATSMODELS);
    }
    for (i, expected) in numbers(&fleet["glide_ratio_alone"]).into_iter().enumerate() {
        let (ratio, sd) = over(&|d| 1.0 / (d.alone[i] + d.shared[1]));
        expect(ratio, expected, 0.6 * sd, "alone", STATSMODELS);
    }
    for (k, expected) in numbers(&fleet["shared"]).into_iter().enumerate() {
        let (value, sd) = over(&|d| d.shared[k]);
        expect(value, expected, 0.6 * sd, "shared term", STATSMODELS);
    }
    // the scale of a t-law is no standard deviation: the spread of the airframes themselves
    let (between, sd) = over(&|d| (d.own.iter().map(|own| own * own).sum::<f64>() / 8.0).sqrt());
    let expected = fleet["between"].as_f64().unwrap();
    // a normal law there, a t-law here; the mean of a skewed posterior against the likeliest value
    expect(
        between,
        expected,
        0.8 * sd,
        "between airframes",
        STATSMODELS,
    );
}

#[test]
fn the_probability_of_a_step() {
    let step = &stored()["step"];
    let (drag, sd) = (numbers(&step["drag"]), numbers(&step["sd"]));
    let points: Vec<Point> = drag
        .into_iter()
        .zip(sd)
        .enumerate()
        .map(|(i, (drag, sd))| Point {
            utc_s: 1e6 * i as f64,
            utc: i.to_string(),
            drag,
            sd,
        })
        .collect();
    let change = course(&points).change.unwrap();
    let probability = step["probability"].as_f64().unwrap();
    expect(change.probability, probability, 1e-9, "probability", SCIPY);
    assert_eq!(change.utc, step["place"].to_string());
}

#[test]
fn findings_among_many() {
    for row in stored()["found"].as_array().unwrap() {
        let p: Vec<Option<f64>> = numbers(&row["p"]).into_iter().map(Some).collect();
        let expected: Vec<bool> = numbers(&row["found"]).iter().map(|f| *f > 0.5).collect();
        assert_eq!(
            found_by_p_values(&p),
            expected,
            "of {}, {STATSMODELS}",
            p.len()
        );
    }
}

#[test]
fn intervals_that_hold_for_each_airframe() {
    for row in stored()["interval"].as_array().unwrap() {
        let [value, sd, centre, spread, low, high] = numbers(row)[..] else {
            panic!()
        };
        let found = Own { value, sd }.interval(Some(Others { centre, spread }));
        // normal quantiles are good to 1e-7
        expect(found.0, low, 1e-6 * sd, "low end", SCIPY);
        expect(found.1, high, 1e-6 * sd, "high end", SCIPY);
    }
}
