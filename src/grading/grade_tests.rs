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
        "glide_cas_mean_kt",
        &spread(77.0, 3.0),
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
