use super::*;
use crate::grading::library::find;

const SPEEDS: References = References {
    best_glide_kcas: Some(68.0),
    approach_kcas: Some(63.0),
};
const ONE_HZ: Recorder = Recorder {
    rate_hz: 1.0,
    airspeed: false,
    pressure_altitude: false,
    qnh_known: false,
};

/// The standard graded where every draw of `measure` has the values given.
fn graded(id: &str, measure: &str, values: &[f64]) -> CriterionGrade {
    let grade = grade(find(id).unwrap(), &SPEEDS, &ONE_HZ, |m| Evidence {
        values: if m == measure {
            values.to_vec()
        } else {
            vec![f64::NAN]
        },
        reason: "not flown".into(),
    });
    grade
        .criteria
        .into_iter()
        .find(|c| c.measure == measure)
        .unwrap()
}

#[test]
fn a_verdict_is_the_share_of_draws_inside() {
    let along = |inside: usize| {
        let values: Vec<f64> = (0..100)
            .map(|i| if i < inside { 100.0 } else { 300.0 })
            .collect();
        graded("US-commercial-PO180", "touchdown_along_ft", &values)
    };
    for (count, expected) in [
        (100, Verdict::Met),
        (90, Verdict::Met),
        (89, Verdict::TooCloseToCall),
        (11, Verdict::TooCloseToCall),
        (10, Verdict::NotMet),
        (0, Verdict::NotMet),
    ] {
        let graded = along(count);
        assert_eq!(graded.verdict, expected, "{count}");
        assert_eq!(graded.share_inside, Some(count as f64 / 100.0));
        assert_eq!(graded.remark.is_some(), expected == Verdict::TooCloseToCall);
    }
}

#[test]
fn draws_without_a_value_keep_it_open_and_too_few_are_no_verdict() {
    let half = graded(
        "US-commercial-PO180",
        "touchdown_along_ft",
        &[100.0, f64::NAN],
    );
    assert_eq!(
        (half.verdict, half.share_inside),
        (Verdict::TooCloseToCall, Some(0.5))
    );
    assert_eq!(
        half.remark.as_deref(),
        Some("in 50 % of the possible paths there was none")
    );
    let few = [100.0, f64::NAN, f64::NAN];
    let none = graded("US-commercial-PO180", "touchdown_along_ft", &few);
    assert_eq!(
        (none.verdict, none.share_inside),
        (Verdict::NotMeasured, None)
    );
    assert_eq!(none.remark.as_deref(), Some("not flown"));
}

#[test]
fn without_the_speed_it_counts_from_nothing_is_judged() {
    let standard = find("EU-PPL").unwrap();
    let grade = grade(standard, &References::default(), &ONE_HZ, |_| Evidence {
        values: vec![68.0],
        reason: String::new(),
    });
    for criterion in &grade.criteria {
        assert_eq!(criterion.verdict, Verdict::NotMeasured, "{}", criterion.id);
        assert!(
            criterion
                .remark
                .as_deref()
                .unwrap()
                .ends_with("is not in the briefing")
        );
    }
}

#[test]
fn what_would_have_settled_it_depends_on_the_recorder_and_on_how_close_it_was() {
    let spread = |middle: f64, half: f64| -> Vec<f64> {
        (0..101)
            .map(|i| middle + half * (f64::from(i) / 50.0 - 1.0))
            .collect()
    };
    let far = graded(
        "US-commercial-PO180",
        "touchdown_along_ft",
        &spread(260.0, 150.0),
    );
    assert_eq!(
        far.remark.as_deref(),
        Some("5 fixes a second would probably have settled it")
    );
    // within 80 ft of the limit for sure: a recorder good to 51 ft might not have told
    let near = graded(
        "US-commercial-PO180",
        "touchdown_along_ft",
        &spread(205.0, 80.0),
    );
    assert_eq!(
        near.remark.as_deref(),
        Some("5 ft from the limit: 5 fixes a second might not have told either")
    );
    // on the limit by the median, but the draws are spread far beyond what a better recorder leaves
    let coarse = graded(
        "US-commercial-PO180",
        "touchdown_along_ft",
        &spread(200.0, 170.0),
    );
    assert_eq!(
        coarse.remark.as_deref(),
        Some("5 fixes a second would probably have settled it")
    );
    let speed = graded(
        "US-private-emergency",
        "glide_cas_within_share",
        &spread(0.8, 0.2),
    );
    assert_eq!(
        speed.remark.as_deref(),
        Some("recorded airspeed would probably have settled it")
    );
}

#[test]
fn a_value_on_a_bound_is_inside_and_one_beyond_is_not() {
    for (value, is_inside) in [
        (0.0, true),
        (200.0, true),
        (-0.001, false),
        (200.001, false),
    ] {
        assert_eq!(inside(value, Some(0.0), Some(200.0)), is_inside, "{value}");
    }
    assert!(inside(-1e9, None, Some(0.0)) && inside(1e9, Some(0.0), None));
}

#[test]
fn bounds_about_a_speed_are_told_as_speeds() {
    // approach speed 63 kt on final, best glide 68 kt in the glide
    let on_final = graded("EU-PPL", "final_cas_within_share", &[0.95]);
    assert_eq!(on_final.within_kt, Some([58.0, 78.0]));
    assert_eq!((on_final.low, on_final.high), (Some(0.9), None));
    assert_eq!(on_final.verdict, Verdict::Met);
    let held = graded("Canada-rec", "glide_cas_within_share", &[0.95]);
    assert_eq!(held.within_kt, Some([63.0, 78.0]));
    assert_eq!((held.low, held.high), (Some(0.9), None));
    assert_eq!(held.verdict, Verdict::Met);
}

#[test]
fn rounding_of_units_at_a_bound_grows_with_it() {
    assert!(inside(1000.0 + 5e-7, None, Some(1000.0)));
    assert!(!inside(1000.0 + 5e-6, None, Some(1000.0)));
    assert!(inside(-1000.0 - 5e-7, Some(-1000.0), None));
}

#[test]
fn how_far_from_the_limit_is_told_in_the_unit_of_the_measure() {
    let told = |measure: &str, high: f64, value: f64| {
        let mut close = graded("US-commercial-PO180", "touchdown_along_ft", &[100.0]);
        close.measure = measure.into();
        (close.low, close.high) = (None, Some(high));
        let best = Recorder {
            rate_hz: 5.0,
            airspeed: true,
            pressure_altitude: true,
            qnh_known: true,
        };
        settled_by(&close, &[value], &best)
    };
    let rest = "from the limit: closer than this recorder can tell";
    for (measure, high, value, shown) in [
        ("glide_cas_within_share", 0.9, 0.85, "5 %"),
        ("final_cas_within_share", 0.9, 0.86, "4 %"),
        ("glide_ratio_air", 9.0, 9.3, "0.3"),
        ("abeam_height_ft", 1000.0, 1012.4, "12 ft"),
        ("glide_cas_mean_kt", 73.0, 73.21, "0.2 kt"),
    ] {
        assert_eq!(told(measure, high, value), format!("{shown} {rest}"));
    }
}

#[test]
fn a_better_recorder_would_have_told_where_it_would_in_more_than_half_of_the_paths() {
    let far = |count: usize| {
        let mut values = vec![200.0; 100 - count];
        values.extend(vec![200.0 + 1.2816 * 51.0 + 0.1; count]);
        let mut close = graded("US-commercial-PO180", "touchdown_along_ft", &[100.0]);
        (close.low, close.high) = (None, Some(200.0));
        settled_by(&close, &values, &ONE_HZ)
    };
    assert!(far(51).ends_with("would probably have settled it"));
    assert!(far(50).ends_with("might not have told either"));
}

#[test]
fn a_figure_that_cannot_be_told_has_a_verdict_only_where_its_interval_is_on_one_side() {
    // anything from 0 to 0.85, and one draw in so many that is held all the time
    let held = |all_the_time: usize| {
        let mut values: Vec<f64> = (0..200).map(|i| 0.85 * f64::from(i) / 199.0).collect();
        values[200 - all_the_time..].fill(1.0);
        graded("EU-PPL", "final_cas_within_share", &values)
    };
    // 0 to 85 %: below 90 % for sure
    assert_eq!(held(0).verdict, Verdict::NotMet);
    assert_eq!(held(5).verdict, Verdict::NotMet);
    // 0 to 100 %: one in twenty is enough for "not met" of a figure that is told, not of this
    let wide = held(10);
    assert_eq!(
        (wide.verdict, wide.share_inside),
        (Verdict::TooCloseToCall, Some(0.05))
    );
    assert!(wide.remark.is_some());
    let mut told = vec![0.6; 190];
    told.extend([1.0; 10]);
    let told = graded("EU-PPL", "final_cas_within_share", &told);
    assert_eq!(
        (told.verdict, told.share_inside),
        (Verdict::NotMet, Some(0.05))
    );
    // and so the other way: a touchdown known to half a mile
    let along = |outside: usize| {
        let mut values = vec![100.0; 200 - outside];
        values.extend((0..outside).map(|i| 4000.0 * f64::from(u8::from(i % 2 == 0)) - 2000.0));
        graded("US-private-landing", "touchdown_along_ft", &values).verdict
    };
    assert_eq!(along(4), Verdict::Met);
    assert_eq!(along(18), Verdict::TooCloseToCall);
}
