//! What the reports say about height in hand, on an invented document.

use roxmltree::Document;
use serde_json::Value;
use stillprop::debrief::document::{
    AtEvent, Debrief, DragChange, Event, FieldWithin, HeightPlanned, InHandStory, OrbitHeight,
    Projection, SlowDanger, TimeTo,
};
use stillprop::quantity::Measured;
use stillprop::report::{SheetOptions, Wording, geojson, page_html, sheet_svg, summary_table};

use super::documents::{attempt, debrief, known, utc};

fn known_utc(second: f64, half_width: f64) -> Measured<String> {
    Measured::Known {
        value: utc(second),
        low: utc(second - half_width),
        high: utc(second + half_width),
    }
}

fn event(kind: &str, second: f64) -> Event {
    Event {
        kind: kind.to_owned(),
        utc: known_utc(second, 8.0),
        height_ft: known(640.0, 30.0),
        probability: 0.9,
        words: format!("words about {}", kind.replace('_', " ")),
    }
}

fn field(name: &str, east_ft: f64, north_ft: f64, probability: f64) -> FieldWithin {
    FieldWithin {
        name: name.to_owned(),
        latitude_deg: 51.0 + north_ft / 364_800.0,
        longitude_deg: -2.0 + east_ft / 229_600.0,
        east_ft,
        north_ft,
        probability: Some(probability),
        arrival_height_ft: known(1210.0, 90.0),
        height_in_hand_ft: known(900.0, 90.0),
        within_reach_s: Measured::unknown("within reach until the end of the glide"),
    }
}

/// An attempt with everything that can be said about height in hand.
pub(super) fn told() -> Debrief {
    let mut attempt = attempt(1);
    attempt.events = vec![
        event("out_of_reach", 160.0),
        event("last_within_reach", 350.0),
    ];
    // clockwise, as the document has it
    let ring: Vec<[f64; 2]> = (0..48)
        .map(|i| {
            let (sin, cos) = (f64::from(i) * std::f64::consts::TAU / 48.0).sin_cos();
            [9000.0 * sin + 2000.0, 8000.0 * cos - 1000.0]
        })
        .collect();
    attempt.in_hand = InHandStory {
        rests_on: vec!["a glide ratio of 9.1 (8.8 to 9.4)".to_owned()],
        at_events: vec![AtEvent {
            utc: utc(340.0),
            what: "flap 10".to_owned(),
            kind: "flap".to_owned(),
            source: "briefing".to_owned(),
            elapsed_s: known(240.0, 1.0),
            height_ft: known(560.0, 15.0),
            height_in_hand_ft: known(-80.0, 40.0),
            assured_probability: Some(0.0),
            words: "flap 10, before the aim point was assured: 80 ft too low already".to_owned(),
        }],
        drag_change: Some(DragChange {
            probability: 0.81,
            utc: known_utc(342.0, 9.0),
            rise_percent: known(35.0, 12.0),
            words: "the drag rose by some 35 %".to_owned(),
        }),
        dangers: vec![SlowDanger {
            kind: "stretching".to_owned(),
            probability: 0.88,
            from_utc: known_utc(352.0, 3.0),
            lasted_s: known(9.0, 2.0),
            worst: known(58.0, 1.5),
            words: "stretching the glide, from 4:12 for 9 s".to_owned(),
        }],
        projections: vec![
            Projection {
                judged_at: "abeam".to_owned(),
                utc: known_utc(290.0, 1.0),
                height_ft: known(942.0, 14.0),
                along_ft: known(700.0, 900.0),
                moved_ft: None,
            },
            Projection {
                judged_at: "500_ft".to_owned(),
                utc: known_utc(345.0, 1.0),
                height_ft: known(500.0, 1.0),
                along_ft: known(-150.0, 400.0),
                moved_ft: Some(known(-850.0, 500.0)),
            },
        ],
        height_plan: Some(HeightPlanned {
            for_orbits_ft: known(1150.0, 30.0),
            flown_ft: known(1240.0, 10.0),
            orbits: vec![OrbitHeight {
                bank_deg: 30.0,
                height_ft: known(578.0, 22.0),
            }],
            orbits_planned: Some(2),
            bank_deg: known(30.0, 1.0),
            overhead_height_ft: known(2300.0, 40.0),
            words: "1150 ft to lose before 1000 ft abeam: 2 orbits at 30° of bank".to_owned(),
        }),
        time_budget: vec![TimeTo {
            what: "mayday call".to_owned(),
            kind: "event".to_owned(),
            elapsed_s: known(41.0, 1.0),
        }],
        fields: vec![
            field("Long meadow", 5000.0, -4000.0, 1.0),
            field("Common", -12000.0, 3000.0, 0.0),
        ],
        within_glide_deg: ring
            .iter()
            .map(|[e, n]| [51.0 + n / 364_800.0, -2.0 + e / 229_600.0])
            .collect(),
    };
    attempt.glide_ring_ft = ring;
    let shifted = |by: f64| -> Vec<Option<f64>> {
        let list = &attempt.series.height_in_hand_ft;
        list.iter().map(|h| h.map(|h| h + by)).collect()
    };
    (
        attempt.series.height_in_hand_low_ft,
        attempt.series.height_in_hand_high_ft,
    ) = (shifted(-70.0), shifted(70.0));
    debrief(vec![attempt])
}

#[test]
fn the_sheet_says_what_was_dangerous_and_when_reach_was_lost() {
    let svg = sheet_svg(&told(), 0, &SheetOptions::default());
    let text: String = Document::parse(&svg)
        .unwrap()
        .descendants()
        .filter_map(|n| n.text().map(str::to_owned))
        .collect::<Vec<_>>()
        .join(" ");
    for words in [
        "Stretching the glide, from 4:12 for 9 s (probability 88\u{a0}%)",
        "Mark A, 1:00 (95\u{a0}% 0:52 to 1:08), at 640 ft: words about out of reach (90\u{a0}% sure)",
        "words about last within reach",
        "within glide at 1",
    ] {
        assert!(text.contains(words), "no `{words}` in the sheet");
    }
}

/// The same with a second danger, which is graver and later, and with a flap taken in time.
fn told_graver() -> Debrief {
    let mut debrief = told();
    let attempt = &mut debrief.attempts[0];
    let mut graver = attempt.in_hand.dangers[0].clone();
    "slow_turn".clone_into(&mut graver.kind);
    graver.words = "slow in the turn from downwind to final, at 4:40".into();
    graver.probability = 1.0;
    graver.from_utc = known_utc(380.0, 1.0);
    attempt.in_hand.dangers.push(graver);
    attempt.remarks = vec!["a remark on how far it can be trusted".to_owned()];
    debrief
}

#[test]
fn what_there_is_to_say_stands_in_one_order_before_the_figures_everywhere() {
    let debrief = told_graver();
    let sheet = sheet_svg(&debrief, 0, &SheetOptions::default());
    let sheet: Vec<String> = Document::parse(&sheet)
        .unwrap()
        .descendants()
        .filter(|n| n.has_tag_name("text"))
        .filter_map(|n| n.text().map(str::to_owned))
        .collect();
    let page = page_html(&debrief);
    for (name, text, figures) in [
        ("sheet", sheet.join(" "), None),
        ("page", page, Some("Measures, with 95 % intervals")),
        (
            "terminal",
            summary_table(&debrief),
            Some("Power reduction ("),
        ),
    ] {
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let order = [
            "Slow in the turn from downwind to final",
            "Stretching the glide, from 4:12",
            "Mark A, 1:00",
            "4:00, flap 10, before the aim point was assured",
            "A remark on how far",
        ];
        let places: Vec<usize> = order
            .iter()
            .map(|words| {
                text.find(words)
                    .unwrap_or_else(|| panic!("{name}: no `{words}`: {text}"))
            })
            .collect();
        assert!(places.is_sorted(), "{name}: {places:?}");
        if let Some(figures) = figures {
            let at = text
                .find(figures)
                .unwrap_or_else(|| panic!("{name}: no `{figures}`"));
            assert!(places[4] < at, "{name}: figures before the remarks");
        }
    }
}

#[test]
fn the_gravest_danger_stands_in_the_headline() {
    let svg = sheet_svg(&told_graver(), 0, &SheetOptions::default());
    assert!(
        svg.contains("Danger at 4:40: slow in the turn to final"),
        "{svg}"
    );
    let doubted = sheet_svg(&told(), 0, &SheetOptions::default());
    assert!(doubted.contains("(88\u{a0}% sure): stretching the glide"));
}

#[test]
fn the_side_view_says_what_height_in_hand_rests_on_and_shows_the_flap() {
    let svg = sheet_svg(&told(), 0, &SheetOptions::default());
    let svg = Document::parse(&svg).unwrap();
    let side = svg
        .descendants()
        .find(|n| n.attribute("class") == Some("side"))
        .unwrap();
    let texts: Vec<&str> = side
        .descendants()
        .filter(|n| n.has_tag_name("text"))
        .filter_map(|n| n.text())
        .collect();
    let said = texts.join(" ");
    assert!(
        said.contains("Dotted: height in hand, with a glide ratio of 9.1 (8.8 to 9.4); level on the shortest way"),
        "{said}"
    );
    assert!(texts.contains(&"flap 10"), "{texts:?}");
}

#[test]
fn steps_of_flap_of_which_the_same_is_to_be_said_are_one_sentence() {
    let mut debrief = told();
    let events = &mut debrief.attempts[0].in_hand.at_events;
    let step = |what: &str, second: f64, words: &str| AtEvent {
        what: what.to_owned(),
        elapsed_s: known(second, 1.0),
        words: format!("{what}, {words}"),
        ..events[0].clone()
    };
    *events = vec![
        step(
            "flap 10",
            240.0,
            "with the aim point assured: 230 ft in hand",
        ),
        step(
            "flap 25",
            245.0,
            "with the aim point assured: 220 ft in hand",
        ),
        step(
            "flap 40",
            250.0,
            "before the aim point was assured: 80 ft too low already",
        ),
    ];
    let said = stillprop::report::in_hand_words::noted(&debrief.attempts[0], Wording::default());
    assert_eq!(
        said,
        [
            "4:00, flap 10, with the aim point assured: 230 ft in hand; flap 25 at 4:05",
            "4:10, flap 40, before the aim point was assured: 80 ft too low already",
        ]
    );
}

#[test]
fn the_page_has_every_table_and_the_map() {
    let html = page_html(&told());
    for words in [
        "Was the aim point within reach?",
        "Stretching the glide, from 4:12 for 9 s",
        "before the aim point was assured",
        "Projected touchdown, and how it moved",
        "Time budget",
        "mayday call",
        "2 orbits at 30° of bank",
        "Other places to land",
        "Long meadow",
        "The drag rose by some 35 %",
        "Within glide at the power reduction",
        "a glide ratio of 9.1",
    ] {
        assert!(html.contains(words), "no `{words}` on the page");
    }
}

#[test]
fn a_change_of_drag_that_is_unlikely_is_not_told() {
    let mut debrief = told();
    if let Some(change) = &mut debrief.attempts[0].in_hand.drag_change {
        change.probability = 0.4;
    }
    assert!(!page_html(&debrief).contains("the drag rose"));
    assert!(!page_html(&debrief).contains("The drag rose"));
}

#[test]
fn the_terminal_says_it_too() {
    let text = summary_table(&told());
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("Stretching the glide"), "{text}");
    assert!(text.contains("words about last within reach"), "{text}");
}

#[test]
fn geojson_holds_what_a_map_needs() {
    let document: Value = serde_json::from_str(&geojson(&told())).unwrap();
    assert_eq!(document["type"], "FeatureCollection");
    let features = document["features"].as_array().unwrap();
    let of = |what: &str| -> Vec<&Value> {
        features
            .iter()
            .filter(|f| f["properties"]["what"] == what)
            .collect()
    };
    assert_eq!(
        of("aim")[0]["geometry"]["coordinates"],
        serde_json::json!([-2.0, 51.0])
    );
    assert_eq!(of("path")[0]["geometry"]["type"], "LineString");
    assert_eq!(of("key_point").len(), 8);
    assert_eq!(of("field").len(), 2);
    let ring = of("within_glide_at_power_reduction")[0]["geometry"]["coordinates"][0]
        .as_array()
        .unwrap();
    assert_eq!(ring.first(), ring.last());
    let place = |v: &Value| (v[0].as_f64().unwrap(), v[1].as_f64().unwrap());
    let twice_area: f64 = ring
        .windows(2)
        .map(|w| {
            let (a, b) = (place(&w[0]), place(&w[1]));
            a.0 * b.1 - b.0 * a.1
        })
        .sum();
    assert!(twice_area > 0.0, "the right-hand rule of RFC 7946, 3.1.6");
    for feature in features {
        assert_eq!(feature["type"], "Feature");
        assert!(feature["geometry"]["coordinates"].is_array());
    }
}
