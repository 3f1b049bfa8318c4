use super::*;
use crate::grading::library::{embedded, find};

fn problems(text: &str) -> Vec<String> {
    parse(text, "s.toml", embedded())
        .unwrap_err()
        .problems
        .iter()
        .map(ToString::to_string)
        .collect()
}

#[test]
fn a_school_changes_one_line_of_a_published_standard() {
    let text = r#"
id = "school-po180"
derives_from = "us-commercial-po180"
[[criterion]]
id = "CA.IV.M.S8"
measure = "touchdown_along_ft"
low = -50
high = 100
source = "School order 4, item 7"
[[criterion]]
id = "abeam"
measure = "abeam_height_ft"
low = 900
source = "School order 4, item 3"
"#;
    let school = parse(text, "s.toml", embedded()).unwrap();
    let published = find("US-commercial-PO180").unwrap();
    assert_eq!(school.criteria.len(), published.criteria.len() + 1);
    assert_eq!(school.criteria[0].low, Some(-50.0));
    assert_eq!(school.criteria[0].basis, Basis::School);
    assert_eq!(school.by_hand, published.by_hand);
    assert_eq!(school.authority, "derived from US-commercial-PO180");
}

#[test]
fn a_criterion_can_be_left_out() {
    let text = "id = \"x\"\nderives_from = \"AU-MOS\"\ndrop = [\"final approach speed\"]\n";
    let school = parse(text, "s.toml", embedded()).unwrap();
    assert_eq!(
        school.criteria.len() + 1,
        find("AU-MOS").unwrap().criteria.len()
    );
    let found =
        problems("id = \"x\"\nderives_from = \"AU-MOS\"\ndrop = [\"final aproach speed\"]\n");
    assert_eq!(found.len(), 1);
    assert!(found[0].starts_with("s.toml:3: "), "{found:?}");
    assert!(
        found[0].ends_with("did you mean `final approach speed`?"),
        "{found:?}"
    );
}

#[test]
fn what_is_wrong_is_told_with_line_and_nearest_id() {
    let text = r#"id = "x"
[[criterion]]
id = "a"
measure = "touchdown_alng_ft"
low = 0
source = "S 1"
[[criterion]]
id = "b"
measure = "abeam_height_ft"
low = 1100
high = 900
source = "S 2"
[[criterion]]
id = "c"
measure = "abeam_height_ft"
low = 900
[[criterion]]
id = "d"
measure = "abeam_height_ft"
lo = 900
source = "S 4"
"#;
    let found = problems(text);
    assert_eq!(
        found,
        [
            "s.toml:4: no measure is called `touchdown_alng_ft`\nhelp: did you mean `touchdown_along_ft`?",
            "s.toml:11: reversed bounds: `low` 1100 is above `high` 900",
            "s.toml:13: a criterion without a source\nhelp: add `source = \"document, item\"` to it, or `document` at the top of the file and `element` to it",
            "s.toml:17: a criterion without `low` and `high`",
            "s.toml:20: unknown key `lo` in criterion\nhelp: did you mean `low`?",
        ]
    );
}

#[test]
fn an_unknown_parent_names_the_nearest() {
    let found = problems("id = \"x\"\nderives_from = \"EU-PPX\"\n");
    assert!(
        found
            .iter()
            .any(|p| p.starts_with("s.toml:2: ") && p.ends_with("did you mean `EU-PPL`?")),
        "{found:?}"
    );
}

#[test]
fn damaged_files_are_errors_not_panics() {
    for text in [
        "",
        "id = ",
        "id = 4",
        "criterion = 3\nid = \"x\"",
        "[[criterion]]\n",
        "id = \"x\"\nmet_from_share = 0.1\n[[by_hand]]\nwhat = \"look-out\"\n",
        "id=\"x\"\ncriterion=[3]",
        "id=\"x\"\n[[criterion]]\nid=\"a\"\nmeasure=\"orbits\"\nlow=nan\nsource=\"s\"\n",
    ] {
        assert!(!problems(text).is_empty(), "{text}");
    }
}

#[test]
fn published_units_are_brought_to_those_of_the_measure() {
    let metres = find("AU-MOS")
        .unwrap()
        .criteria
        .iter()
        .find(|c| c.measure == "touchdown_along_ft")
        .unwrap();
    // 60 m is 196.85 ft
    assert!((metres.high.unwrap() - 196.8504).abs() < 1e-4);
    // 10 mph is 8.690 kt
    let mph = &find("Canada-ultralight").unwrap().criteria[0];
    let [low, high] = mph.within_kt.unwrap();
    assert!(low.abs() < 1e-9 && (high - 8.68976).abs() < 1e-5);
    // the share of the time has no unit
    assert_eq!(mph.low, Some(0.9));
}

/// A criterion of this text in a file of its own.
fn with_criterion(lines: &str) -> Result<Standard, StandardError> {
    let text = format!("id = \"x\"\n[[criterion]]\nid = \"a\"\nsource = \"S 1\"\n{lines}\n");
    parse(&text, "s.toml", embedded())
}

#[test]
fn bounds_may_be_one_figure_and_numbers_are_decimal() {
    let one = with_criterion("measure = \"orbits\"\nlow = 2\nhigh = 2").unwrap();
    assert_eq!(
        (one.criteria[0].low, one.criteria[0].high),
        (Some(2.0), Some(2.0))
    );
    for wrong in ["0x10", "1000000", "-1e6", "inf", "true"] {
        let error = with_criterion(&format!("measure = \"orbits\"\nlow = {wrong}")).unwrap_err();
        let told = error.problems.iter().find(|p| p.line == 6).unwrap();
        assert_eq!(told.what, "expected `low` as a number", "{wrong}");
    }
    let most = with_criterion("measure = \"orbits\"\nlow = -999999.5").unwrap();
    assert_eq!(most.criteria[0].low, Some(-999_999.5));
}

#[test]
fn text_has_a_longest_length_and_is_not_empty() {
    let named = |n: usize| {
        with_criterion(&format!(
            "measure = \"orbits\"\nlow = 1\nname = \"{}\"",
            "n".repeat(n)
        ))
    };
    assert_eq!(named(400).unwrap().criteria[0].name.len(), 400);
    let what = |n: usize| named(n).unwrap_err().problems[0].what.clone();
    assert_eq!(what(401), "`name` is longer than 400 characters");
    assert_eq!(what(0), "`name` is empty");
}

#[test]
fn a_criterion_may_make_the_manoeuvre() {
    let with = |line: &str| with_criterion(&format!("measure = \"orbits\"\nlow = 1\n{line}"));
    for (line, makes) in [
        ("", false),
        ("makes_the_manoeuvre = true", true),
        ("makes_the_manoeuvre = false", false),
    ] {
        let standard = with(line).unwrap();
        assert_eq!(standard.criteria[0].makes_the_manoeuvre, makes, "{line}");
    }
    assert!(with("makes_the_manoeuvre = 1").is_err());
}

#[test]
fn two_criteria_of_one_name_are_told() {
    let twice = "measure = \"orbits\"\nlow = 1\n[[criterion]]\nid = \"A\"\nsource = \"S 2\"\nmeasure = \"orbits\"\nhigh = 3";
    let error = with_criterion(twice).unwrap_err();
    assert_eq!(error.problems[0].what, "a second criterion is called `A`");
    assert_eq!(error.problems[0].line, 7);
}

#[test]
fn shares_are_between_none_and_all() {
    let text = |share: f64| {
        format!("id = \"x\"\nmet_from_share = {share:?}\n[[by_hand]]\nwhat = \"look-out\"\n")
    };
    assert_eq!(
        problems(&text(1.5)),
        ["s.toml:2: expected `met_from_share` from 0 to 1, found `1.5`"]
    );
    let taken = parse(&text(0.8), "s.toml", embedded()).unwrap();
    assert_eq!((taken.met_from_share, taken.not_met_to_share), (0.8, 0.1));
}

#[test]
fn the_measures_own_unit_may_be_written_and_others_may_not() {
    let high = |unit: &str| {
        with_criterion(&format!(
            "measure = \"abeam_height_ft\"\nhigh = 100\nunit = \"{unit}\""
        ))
        .map(|s| s.criteria[0].high)
    };
    assert_eq!(high("ft").unwrap(), Some(100.0));
    assert!((high("m").unwrap().unwrap() - 328.084).abs() < 0.001);
    assert!(high("mph").is_err());
    let low = with_criterion("measure = \"abeam_height_ft\"\nlow = 100\nunit = \"m\"").unwrap();
    assert!((low.criteria[0].low.unwrap() - 328.084).abs() < 0.001);
}

#[test]
fn a_source_is_the_line_s_own_or_put_together() {
    let text = "id = \"x\"\ndocument = \"Order 4\"\nedition = \"2026\"\ntask = \"Engine failure\"\n\
        [[criterion]]\nid = \"a\"\nmeasure = \"orbits\"\nlow = 1\n\
        [[criterion]]\nid = \"b\"\nmeasure = \"orbits\"\nlow = 1\nelement = \"item 2\"\ntask = \"Other\"\n\
        [[by_hand]]\nwhat = \"look-out\"\n\
        [[by_hand]]\nwhat = \"radio\"\nelement = \"item 9\"\n";
    let standard = parse(text, "s.toml", embedded()).unwrap();
    let sources: Vec<&str> = standard.criteria.iter().map(|c| &*c.source).collect();
    assert_eq!(
        sources,
        [
            "Order 4, 2026, Engine failure",
            "Order 4, 2026, Other, item 2"
        ]
    );
    // a task alone says nothing of a line that is marked by hand
    let by_hand: Vec<&str> = standard.by_hand.iter().map(|b| &*b.source).collect();
    assert_eq!(by_hand, ["", "Order 4, 2026, Engine failure, item 9"]);
    // without a document an element is no source
    let bare = "id = \"x\"\ntask = \"T\"\n[[criterion]]\nid = \"a\"\nmeasure = \"orbits\"\nlow = 1\nelement = \"E\"\n";
    let found = problems(bare);
    assert!(
        found
            .iter()
            .any(|p| p.contains("a criterion without a source")),
        "{found:?}"
    );
}

#[test]
fn the_speed_band_is_that_of_the_speed_in_its_own_stretch() {
    let bands = |lines: &str| {
        let standard = with_criterion(lines).unwrap();
        let of = |about| standard.speed_band_kt(about);
        (of(About::BestGlide), of(About::Approach))
    };
    let mph = 10.0 * crate::units::MPS_PER_MPH / crate::units::MPS_PER_KT;
    for (stretch, about, other) in [
        ("glide", "best_glide", "approach"),
        ("final", "approach", "best_glide"),
    ] {
        let ordered = |of_stretch, of_other| match stretch {
            "glide" => (of_stretch, of_other),
            _ => (of_other, of_stretch),
        };
        let mean = format!("measure = \"{stretch}_cas_mean_kt\"\n");
        let band = |lines: &str| bands(&format!("{mean}{lines}"));
        let whole = format!("about = \"{about}\"\nlow = -7\nhigh = 12");
        assert_eq!(band(&whole), ordered(Some([7.0, 12.0]), None));
        let open = format!("about = \"{about}\"\nlow = -7");
        assert_eq!(band(&open), (None, None));
        // best glide on final, or approach speed in the glide: no tolerance of either stretch
        let crossed = format!("about = \"{other}\"\nlow = -7\nhigh = 12");
        assert_eq!(band(&crossed), (None, None));
        assert_eq!(band("low = 60\nhigh = 80"), (None, None));
        let held = format!(
            "measure = \"{stretch}_cas_within_share\"\nabout = \"{about}\"\nlow = 0.9\nunit = \"mph\"\nwithin_low = -10\nwithin_high = 10"
        );
        let (of_glide, of_final) = bands(&held);
        assert_eq!(of_glide.is_none(), stretch == "final");
        let [below, above] = of_glide.or(of_final).unwrap();
        assert!((below - mph).abs() < 1e-9 && (above - mph).abs() < 1e-9);
    }
}

#[test]
fn a_tolerance_of_a_share_is_whole_and_about_the_speed_of_its_stretch() {
    for (stretch, about, other) in [
        ("glide", "best_glide", "approach"),
        ("final", "approach", "best_glide"),
    ] {
        let share = format!("measure = \"{stretch}_cas_within_share\"\nlow = 0.9\n");
        for (about, lines, said) in [
            (about, "within_low = -5", "belong together"),
            (
                about,
                "within_low = 5\nwithin_high = -5",
                "reversed tolerance",
            ),
            (
                other,
                "within_low = -5\nwithin_high = 5",
                "are for `glide_cas_within_share`, with `about = \"best_glide\"`, and for `final_cas_within_share`, with `about = \"approach\"`",
            ),
            (about, "", "within what of it?"),
        ] {
            let text = format!("{share}about = \"{about}\"\n{lines}");
            let error = with_criterion(&text).unwrap_err();
            let found: Vec<String> = error.problems.iter().map(ToString::to_string).collect();
            assert!(found.iter().any(|p| p.contains(said)), "{text}: {found:?}");
        }
    }
}

#[test]
fn a_figure_that_was_not_read_carries_a_caution() {
    assert_eq!(Basis::Document.caution(), None);
    assert_eq!(Basis::Memory.caution(), Some("from memory, not verified"));
    assert_eq!(Basis::CommonPractice.caution(), Some("common practice"));
}
