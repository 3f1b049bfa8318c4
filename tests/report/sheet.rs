//! Sheets.

use roxmltree::Document;
use stillprop::report::{Paper, SheetOptions, Units, Wording, no_attempt_svg, sheet_svg};

use super::drawing::{problems, texts};
use super::variants;

#[test]
fn what_a_recording_has_no_fixes_of_is_dashed_and_the_key_says_so() {
    let mut debrief = super::documents::two_orbits_to_touchdown();
    let drawn = |debrief: &_| sheet_svg(debrief, 0, &SheetOptions::default());
    let dashes = "stroke-dasharray=\"3 2.4\"";
    let whole = drawn(&debrief);
    assert!(!whole.contains(dashes) && !whole.contains("in gaps"));
    debrief.attempts[0].series.bridged_s = vec![[60.0, 80.0]];
    let svg = drawn(&debrief);
    // in the plan, over the way, and over time twice
    assert!(
        svg.matches(dashes).count() >= 4,
        "{}",
        svg.matches(dashes).count()
    );
    let said: Vec<String> = texts(&Document::parse(&svg).unwrap())
        .into_iter()
        .map(|text| text.words)
        .collect();
    assert!(said.join(" ").contains("after and in gaps"), "{said:?}");
    assert_eq!(problems("gap", &svg), Vec::<String>::new());
}

#[test]
fn every_sheet_is_well_formed_named_and_free_of_overlaps() {
    let mut found = Vec::new();
    for (name, debrief) in variants::all() {
        for kilometres in [false, true] {
            let options = SheetOptions {
                kilometres,
                paper: [Paper::Letter, Paper::A4][usize::from(kilometres)],
                dark: kilometres,
                wording: if kilometres {
                    metric()
                } else {
                    Wording::default()
                },
            };
            for index in 0..debrief.attempts.len().max(1) {
                let svg = sheet_svg(&debrief, index, &options);
                found.extend(problems(&format!("{name}, {index}"), &svg));
            }
        }
        found.extend(problems(
            name,
            &no_attempt_svg(&debrief, &SheetOptions::default()),
        ));
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

/// Metres, and a time five and three quarters of an hour ahead.
fn metric() -> Wording {
    let zone = jiff::tz::Offset::from_seconds(20_700)
        .unwrap()
        .to_time_zone();
    Wording::new(Units::Metric, &zone, "2026-05-03T10:00:00Z")
}

#[test]
fn a_metric_sheet_has_no_feet_and_no_knots_and_the_time_of_the_place() {
    for (name, debrief) in variants::all() {
        let options = SheetOptions {
            wording: metric(),
            ..SheetOptions::default()
        };
        let svg = sheet_svg(&debrief, 0, &options);
        for text in texts(&Document::parse(&svg).unwrap()) {
            let words: Vec<&str> = text.words.split([' ', '\u{a0}', '/', ',']).collect();
            for unit in ["ft", "kt", "lb", "NM", "UTC"] {
                // what a school wrote, and heights that the trade names in feet, stay as they are, in parentheses
                let kept = text.words.contains('(')
                    || text.words.starts_with("abeam ")
                    || name == "very long names";
                assert!(kept || !words.contains(&unit), "{name}: {}", text.words);
            }
        }
    }
    let landing = super::documents::two_orbits_to_touchdown();
    let options = SheetOptions {
        wording: metric(),
        ..SheetOptions::default()
    };
    let svg = sheet_svg(&landing, 0, &options);
    let words: Vec<String> = texts(&Document::parse(&svg).unwrap())
        .into_iter()
        .map(|t| t.words.replace('\u{a0}', " "))
        .collect();
    // 310 ft are 94.5 m, of an interval of 260 to 360 ft
    assert!(
        words
            .iter()
            .any(|w| w.starts_with("Touchdown 95 m beyond the aim")),
        "{words:?}"
    );
    assert!(words.iter().any(|w| w.contains("UTC+05:45")), "{words:?}");
}

#[test]
fn a_dark_sheet_differs_in_its_colours_only() {
    let debrief = super::documents::two_orbits_to_touchdown();
    let drawn = |dark| {
        let options = SheetOptions {
            dark,
            ..SheetOptions::default()
        };
        let svg = sheet_svg(&debrief, 0, &options);
        let colours = svg.matches("#ffffff").count();
        let shapes: String = svg
            .split('#')
            .enumerate()
            .map(|(i, part)| {
                if i == 0 {
                    part
                } else {
                    part.get(6..).unwrap_or_default()
                }
            })
            .collect();
        (colours, shapes)
    };
    let ((light, shapes), (dark, same)) = (drawn(false), drawn(true));
    assert!(light > 10 && dark == 0, "white {light} and {dark} times");
    assert_eq!(shapes, same);
}

#[test]
fn a_sheet_says_first_how_it_ended() {
    let words = |debrief| {
        let svg = sheet_svg(&debrief, 0, &SheetOptions::default());
        let all = texts(&Document::parse(&svg).unwrap());
        all.into_iter()
            .map(|t| t.words)
            .collect::<Vec<_>>()
            .join("\n")
            .replace('\u{a0}', " ")
    };
    let landing = words(super::documents::two_orbits_to_touchdown());
    assert!(
        landing.contains("Touchdown 310 ft beyond the aim"),
        "{landing}"
    );
    assert!(landing.contains("260 to 360 ft (95 %)"));
    assert!(
        landing.contains("Abeam at 940 ft, 60 below the 1000 wanted"),
        "{landing}"
    );
    let going = words(variants::go_around());
    assert!(going.contains("Go-around, lowest 420 ft (power up at about 420 ft)"));
    let unknown = words(variants::everything_unknown());
    assert!(unknown.contains("not measured"));
    let graded = words(variants::graded());
    for verdict in ["not met", "met", "too close to call"] {
        assert!(graded.contains(verdict));
    }
}

#[test]
fn a_wind_without_a_direction_keeps_its_speed_in_the_words_of_the_page() {
    let mut debrief = super::documents::two_orbits_to_touchdown();
    for wind in &mut debrief.attempts[0].wind {
        wind.from_deg_true =
            stillprop::quantity::Measured::unknown("too light to have a direction");
    }
    let svg = sheet_svg(&debrief, 0, &SheetOptions::default());
    let document = Document::parse(&svg).unwrap();
    let column = document
        .descendants()
        .find(|n| n.attribute("class") == Some("wind-arrows"))
        .unwrap();
    let texts: Vec<&str> = column
        .descendants()
        .filter(|n| n.has_tag_name("text"))
        .filter_map(|n| n.text())
        .collect();
    let said = texts.join(" ");
    assert!(said.contains("too light to have a direction"), "{said}");
    assert!(
        texts.iter().any(|t| t.ends_with(" kt") && !t.contains('–')),
        "{texts:?}"
    );
    let page = stillprop::report::page_html(&debrief);
    assert!(page.contains("too light to have a direction"));
}

#[test]
fn a_sheet_says_when_another_manoeuvre_was_flown() {
    let mut debrief = variants::graded();
    let grade = debrief.attempts[0].grade.as_mut().unwrap();
    grade.another_manoeuvre = Some("This attempt is no power-off 180.".to_owned());
    let svg = sheet_svg(&debrief, 0, &SheetOptions::default());
    let at = |words: &str| svg.find(words).unwrap_or_else(|| panic!("no `{words}`"));
    assert!(at("Held against") < at("This attempt is no power-off 180."));
    assert!(at("This attempt is no power-off 180.") < at(">not met<"));
}

#[test]
fn a_point_before_the_power_reduction_says_so() {
    let mut debrief = super::documents::two_orbits_to_touchdown();
    let attempt = &mut debrief.attempts[0];
    let off = stillprop::report::words::power_off(attempt).unwrap();
    let off: jiff::Timestamp = off.parse().unwrap();
    let before = (off - jiff::SignedDuration::from_secs(2)).to_string();
    let abeam = attempt
        .key_points
        .iter_mut()
        .find(|p| p.kind == "abeam")
        .unwrap();
    abeam.utc = stillprop::quantity::Measured::Known {
        value: before.clone(),
        low: before.clone(),
        high: before,
    };
    let svg = sheet_svg(&debrief, 0, &SheetOptions::default());
    assert!(
        svg.contains("time, − with power on") && svg.contains("−0:02"),
        "{svg}"
    );
    let page = stillprop::report::page_html(&debrief).replace('\u{a0}', " ");
    assert!(page.contains("Abeam, power still on"));
    assert!(
        page.contains("Abeam, 0:02 before the power came off, at"),
        "{page}"
    );
}

#[test]
fn a_sheet_has_the_warnings_that_touch_its_attempt_and_times_from_the_power_reduction() {
    let mut debrief = variants::four_attempts();
    let series = &debrief.attempts[0].series;
    let zero = series.elapsed_s.iter().position(|t| *t >= 0.0).unwrap();
    let time = |i: usize| series.utc[i][11..19].to_owned();
    let (inside, off) = (time(zero + 40), series.elapsed_s[zero + 40]);
    debrief.attempts[0].remarks = vec![format!("dived at {inside} UTC, 490 ft above the aim")];
    debrief.warnings = vec![
        format!("a spike (line 7, {inside} UTC)"),
        "a second fix with the same time (line 9, 03:00:00 UTC)".to_owned(),
        "the recording has a gap of 21 s in attempt 2, from 03:10:00 UTC".to_owned(),
    ];
    let svg = sheet_svg(&debrief, 0, &SheetOptions::default());
    let words: Vec<String> = texts(&Document::parse(&svg).unwrap())
        .into_iter()
        .map(|t| t.words)
        .collect();
    let words = words.join(" ");
    let seconds = off.round() as i64;
    let wanted = format!("Dived at {}:{:02}, 490 ft", seconds / 60, seconds % 60);
    assert!(words.contains(&wanted), "{wanted}: {words}");
    assert!(words.contains("A spike (line 7"), "{words}");
    for other in ["A second fix", "a gap of 21 s"] {
        assert!(!words.contains(other), "{other}: {words}");
    }
}

#[test]
fn a_recording_without_attempts_names_the_nearest_candidates() {
    let svg = sheet_svg(&variants::no_attempts(), 0, &SheetOptions::default());
    assert!(svg.contains("No practice forced landing found"));
    assert!(svg.contains("ower was back before"));
    assert!(svg.contains("more"));
}

#[test]
fn the_page_fits_both_paper_sizes() {
    let svg = sheet_svg(
        &super::documents::two_orbits_to_touchdown(),
        0,
        &SheetOptions::default(),
    );
    let svg = Document::parse(&svg).unwrap();
    let millimetres = |name| -> f64 {
        svg.root_element()
            .attribute(name)
            .unwrap()
            .trim_end_matches("mm")
            .parse()
            .unwrap()
    };
    // A4 is 297 mm by 210 mm, US Letter 279.4 mm by 215.9 mm.
    assert!(millimetres("width") <= 279.4 && millimetres("height") <= 210.0);
}

#[test]
fn the_same_document_gives_the_same_bytes() {
    for (_, debrief) in variants::all() {
        let options = SheetOptions::default();
        assert_eq!(
            sheet_svg(&debrief, 0, &options),
            sheet_svg(&debrief.clone(), 0, &options)
        );
    }
}

#[test]
fn the_side_view_lies_along_the_way_flown_with_times_on_it_and_a_glide_line() {
    let mut debrief = super::documents::two_orbits_to_touchdown();
    debrief.reference.handbook_glide_ratio = Some(9.3);
    let svg = sheet_svg(&debrief, 0, &SheetOptions::default());
    let svg = Document::parse(&svg).unwrap();
    let group = |name: &str| {
        let mut all = svg.descendants();
        all.find(|n| n.attribute("class") == Some(name)).unwrap()
    };
    let side: Vec<&str> = group("side")
        .descendants()
        .filter_map(|n| n.text())
        .collect();
    for wanted in [
        "NM",
        "time",
        "0:00",
        "2:00",
        "9.3 to 1 in still air, handbook",
    ] {
        assert!(side.contains(&wanted), "{wanted}: {side:?}");
    }
    // the numbers below: those of the way in the first row, of the time in the second
    let row = |text: &str| -> f64 {
        let found = group("side")
            .descendants()
            .find(|n| n.has_tag_name("text") && n.text() == Some(text));
        found.unwrap().attribute("y").unwrap().parse().unwrap()
    };
    assert!(row("NM") < row("time") && row("2:00") == row("time"));
}

#[test]
fn the_last_mile_has_the_touchdown_on_the_limits_of_a_standard() {
    let words = |debrief: &stillprop::debrief::Debrief| {
        let svg = sheet_svg(debrief, 0, &SheetOptions::default());
        let document = Document::parse(&svg).unwrap();
        let mile = document
            .descendants()
            .find(|n| n.attribute("class") == Some("last-mile"))
            .unwrap();
        let texts: Vec<&str> = mile.descendants().filter_map(|n| n.text()).collect();
        texts.join("\n").replace('\u{a0}', " ")
    };
    let graded = words(&variants::graded());
    assert!(
        graded.contains("bar: touchdown, 95 %; shaded: wanted"),
        "{graded}"
    );
    let plain = words(&super::documents::two_orbits_to_touchdown());
    assert!(
        plain.contains("bar: touchdown, 95 %") && !plain.contains("wanted"),
        "{plain}"
    );
    let going = words(&variants::go_around());
    assert!(
        going.contains("bar: projected, 95 %") || going.contains("not flown"),
        "{going}"
    );
}

#[test]
fn best_glide_is_reached_not_held() {
    // what is measured is that the speed came there and stayed five seconds
    for (name, debrief) in variants::all() {
        let svg = sheet_svg(&debrief, 0, &SheetOptions::default());
        assert!(!svg.to_lowercase().contains("glide held"), "{name}");
    }
}

#[test]
fn the_structure_of_a_sheet() {
    let svg = sheet_svg(
        &super::documents::two_orbits_to_touchdown(),
        0,
        &SheetOptions::default(),
    );
    let svg = Document::parse(&svg).unwrap();
    let groups: Vec<String> = svg
        .descendants()
        .filter(|n| n.has_tag_name("g") && n.attribute("role").is_some())
        .map(|n| {
            format!(
                "{} {}",
                n.attribute("class").unwrap(),
                n.attribute("role").unwrap()
            )
        })
        .collect();
    insta::assert_snapshot!(groups.join("\n"), @"
    title group
    headline group
    plan img
    wind-arrows img
    key-points group
    side img
    speed img
    descent img
    aim img
    last-mile img
    measures group
    notes group
    cautions group
    ");
}
