//! Whole documents, sound and damaged.

use super::super::note::Notes;
use super::*;
use proptest::prelude::*;

fn read_text(text: &str) -> (Result<(), ReadProblem>, Collector) {
    let mut collector = Collector::new(Notes::default(), 0);
    let outcome = read(text, &mut collector).map_err(|located| located.problem);
    (outcome, collector)
}

fn fixes(text: &str) -> Vec<Fix> {
    let (outcome, collector) = read_text(text);
    outcome.unwrap();
    collector.fixes
}

fn document(points: &str) -> String {
    format!(
        "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" creator=\"recorder\">\n<trk><name>one</name><trkseg>\n{points}\n</trkseg></trk>\n</gpx>\n"
    )
}

fn point(second: u32, inside: &str) -> String {
    format!(
        "<trkpt lat=\"51.5{second:02}\" lon=\"-0.4625\"><time>2026-11-24T10:15:{second:02}Z</time>{inside}</trkpt>\n"
    )
}

/// 35.0 m/s is 68.03 kt; the layout is that of the second version of the track point
/// extension, with another prefix.
#[test]
fn speed_and_course_in_an_extension_by_local_name() {
    let text = document(
        "<trkpt lat=\"51.504167\" lon=\"-0.4625\"><ele>305</ele><time>2026-11-24T10:15:30.500Z</time>\
         <extensions><x:TrackPointExtension><x:speed>35.0</x:speed><x:course>268.5</x:course>\
         </x:TrackPointExtension></extensions></trkpt>",
    );
    let fix = fixes(&text)[0];
    let speed_kt = f64::from(fix.ground_speed_mps.unwrap()) / crate::units::MPS_PER_KT;
    assert!((speed_kt - 68.03).abs() < 0.005);
    assert_eq!(fix.track_deg_true, Some(268.5));
    assert_eq!(fix.gnss_altitude_m, Some(305.0));
    assert_eq!(fix.utc_s.fract(), 0.5);
    assert_eq!(fix.line, 4);
}

#[test]
fn speed_wherever_it_is_written() {
    for inside in [
        "<course>10</course><speed>20</speed>",
        "<speed>20</speed><cog>10</cog>",
        "<extensions><speed>20</speed><course>10</course></extensions>",
        "<extensions><n:a><n:b><n:speed> 20 </n:speed></n:b></n:a><n:course>10</n:course></extensions>",
        "<speed><![CDATA[20]]></speed><course>1&#48;</course>",
        "<extensions><speed>99</speed></extensions><speed>20</speed><course>10</course>",
        "<speed>20</speed><extensions><speed>99</speed><course>10</course></extensions>",
    ] {
        let fix = fixes(&document(&point(30, inside)))[0];
        assert_eq!(
            (fix.ground_speed_mps, fix.track_deg_true),
            (Some(20.0), Some(10.0)),
            "{inside}"
        );
    }
}

#[test]
fn figures_of_laps_and_of_the_whole_track_are_not_those_of_a_point() {
    let inside = "<extensions><LapSummary><speed>99</speed></LapSummary><avg><speed>20</speed></avg></extensions>";
    let text = document(&point(30, inside)).replace(
        "<trkseg>",
        "<extensions><speed>88</speed></extensions><trkseg>",
    );
    assert_eq!(fixes(&text)[0].ground_speed_mps, Some(20.0));
    let lap = document(&point(
        30,
        "<extensions><lap><speed>99</speed><time>2020-01-01T00:00:00Z</time></lap></extensions>",
    ));
    assert_eq!(fixes(&lap)[0].ground_speed_mps, None);
    assert_eq!(fixes(&lap)[0].utc_s, 1_795_515_330.0);
}

#[test]
fn segments_and_tracks_are_told_apart() {
    let text = document(&format!(
        "{}</trkseg><trkseg>{}</trkseg></trk><trk><trkseg>{}",
        point(1, ""),
        point(2, ""),
        point(3, "")
    ));
    let segments: Vec<u32> = fixes(&text).iter().map(|f| f.segment).collect();
    assert!(segments[0] < segments[1] && segments[1] < segments[2]);
}

#[test]
fn a_decimal_comma_in_a_place_is_read() {
    let text = document(
        &point(30, "")
            .replace("51.530", "51,530")
            .replace("-0.4625", "-0,4625"),
    );
    let fix = fixes(&text)[0];
    assert_eq!((fix.latitude_deg, fix.longitude_deg), (51.53, -0.4625));
}

#[test]
fn any_prefix_and_any_order_of_attributes() {
    let text = "<g:gpx><g:trk><g:trkseg><g:trkpt lon='-0.5' lat='51.5'><g:time>2026-11-24T10:15:30Z</g:time></g:trkpt></g:trkseg></g:trk></g:gpx>";
    let fix = fixes(text)[0];
    assert_eq!((fix.latitude_deg, fix.longitude_deg), (51.5, -0.5));
}

#[test]
fn a_file_that_breaks_off_gives_its_fixes_and_a_note() {
    let whole = document(
        &(0..20)
            .map(|i| point(i, "<ele>300</ele>"))
            .collect::<String>(),
    );
    for cut in 120..whole.len() - 40 {
        let (outcome, collector) = read_text(&whole[..cut]);
        let complete = whole[..cut].matches("</trkpt>").count();
        if complete > 0 {
            outcome.unwrap();
            assert_eq!(collector.fixes.len(), complete, "cut at {cut}");
            assert!(
                collector
                    .notes
                    .into_list()
                    .iter()
                    .any(|n| n.what.contains("ends in the middle") || n.what.contains("damaged"))
            );
        }
    }
}

#[test]
fn damage_in_the_middle_costs_the_points_it_touches() {
    let points: Vec<String> = (0..30).map(|i| point(i, "<ele>300</ele>")).collect();
    let whole = document(&points.concat());
    for (damage, lost) in [
        // A line cut within an attribute: the quotes do not match from here on.
        (("lat=\"51.510\" lon", "lat=\"51.5"), 1),
        (("<trkpt lat=\"51.510\"", "trkpt lat=\"51.510\""), 1),
        (
            (
                "<time>2026-11-24T10:15:10Z</time>",
                "<time>2026-11-24T10:15:10Z<",
            ),
            0,
        ),
        (("10:15:10Z", "10:99:10Z"), 1),
        (("lat=\"51.510\"", "lat=\"5l.510\""), 1),
        (("lat=\"51.510\"", "lat=\"NaN\""), 1),
        (("lat=\"51.510\"", ""), 1),
        (("10:15:10Z</time>", "10:15:10Z"), 0),
        (("<time>2026-11-24T10:15:10Z</time>", "<time/>"), 1),
    ] {
        let (from, to) = damage;
        assert!(whole.contains(from), "{from}");
        let (outcome, collector) = read_text(&whole.replacen(from, to, 1));
        outcome.unwrap();
        let missing = 30 - collector.fixes.len();
        assert!(
            (lost..=lost + 1).contains(&missing),
            "{from} -> {to}: {missing} lost"
        );
        assert!(lost == 0 || !collector.notes.into_list().is_empty());
    }
}

#[test]
fn time_without_a_zone_is_utc_and_said() {
    let (_, collector) = read_text(&document(&point(30, "")).replace("30Z", "30"));
    assert_eq!(collector.fixes[0].utc_s, 1_795_515_330.0);
    assert!(collector.notes.into_list()[0].what.contains("zone"));
}

#[test]
fn values_that_are_none_are_none() {
    let inside = "<ele>NaN</ele><speed>fast</speed><course></course><fix>3d</fix>";
    let (_, collector) = read_text(&document(&point(30, inside)));
    let fix = collector.fixes[0];
    assert_eq!(
        (
            fix.gnss_altitude_m,
            fix.ground_speed_mps,
            fix.track_deg_true
        ),
        (None, None, None)
    );
    assert_eq!(
        collector.notes.into_list().len(),
        1,
        "`fast` is worth a note"
    );
    let flat = fixes(&document(&point(30, "<ele>0</ele><fix>2d</fix>")))[0];
    assert_eq!(flat.gnss_altitude_m, None);
    assert!(fixes(&document(&(point(29, "") + &point(30, "<fix>none</fix>")))).len() == 1);
}

#[test]
fn documents_without_a_flight_say_what_they_are() {
    let route = "<gpx><rte><rtept lat='1' lon='2'/><rtept lat='1' lon='3'/></rte></gpx>";
    assert_eq!(
        read_text(route).0,
        Err(ReadProblem::RouteOnly { points: 2 })
    );
    let places = "<gpx><wpt lat='1' lon='2'><time>2026-11-24T10:15:30Z</time></wpt></gpx>";
    assert_eq!(
        read_text(places).0,
        Err(ReadProblem::WaypointsOnly { points: 1 })
    );
    let untimed = document("<trkpt lat='1' lon='2'/><trkpt lat='1' lon='3'/>");
    assert_eq!(
        read_text(&untimed).0,
        Err(ReadProblem::NoTimes { points: 2 })
    );
    assert!(matches!(
        read_text("<gpx></gpx>").0,
        Err(ReadProblem::NoFixes { .. })
    ));
    let timed =
        "<gpx><rte><rtept lat='1' lon='2'><time>2026-11-24T10:15:30Z</time></rtept></rte></gpx>";
    assert_eq!(fixes(timed).len(), 1);
}

/// The place of the first note, and of a refusal of the whole document.
fn first_place(text: &str) -> (u32, u32) {
    let mut collector = Collector::new(Notes::default(), 0);
    if let Err(located) = read(text, &mut collector) {
        return (located.place.line, located.place.column);
    }
    let note = &collector.notes.into_list()[0];
    (note.first_line, note.first_column)
}

#[test]
fn what_is_refused_is_named_with_line_and_column() {
    // `<trkpt lat="51.501" ...` starts the fourth line; its latitude stands in columns 13 to 18.
    let sound = document(&(point(1, "") + &point(2, "<ele>300</ele>")));
    for (from, to, place) in [
        ("\"51.501\"", "\"5l.501\"", (4, 13)),
        ("\"51.501\"", "\"95.501\"", (4, 13)),
        ("\"51.501\" lon=\"-0.4625\"", "\"51.501\" lon=\"\"", (4, 26)),
        ("\"51.501\" lon=\"-0.4625\"", "\"51.501\"", (4, 1)),
        ("2026-11-24T10:15:01Z", "24 Nov", (4, 41)),
        ("2026-11-24T10:15:01Z", "1926-11-24T10:15:01Z", (4, 41)),
        ("2026-11-24T10:15:01Z", "\n2026-11-24T1O:15:01Z", (5, 1)),
        ("<time>2026-11-24T10:15:01Z</time>", "", (4, 1)),
    ] {
        assert!(sound.contains(from), "{from}");
        let damaged = sound.replacen(from, to, 1);
        assert_eq!(first_place(&damaged), place, "{from} -> {to}");
    }
    assert_eq!(first_place("<gpx>\n é<wpt lat='1' lon='2'/></gpx>"), (2, 3));
    assert_eq!(first_place("<?xml?>\n<gpx>\n</gpx>"), (2, 1));
}

#[test]
fn points_that_are_all_without_a_position_are_counted() {
    let text = document(&point(30, "<fix>none</fix>"));
    let (outcome, collector) = read_text(&text);
    outcome.unwrap();
    assert_eq!((collector.offered, collector.notes.dropped_fixes()), (1, 1));
}

#[test]
fn deep_nesting_is_passed_over() {
    let deep = "<a>".repeat(100_000);
    let text = document(&(point(1, &format!("<extensions>{deep}")) + &point(2, "")));
    assert_eq!(fixes(&text).len(), 2);
    let closed = format!("{}{}", "<a>".repeat(500), "</a>".repeat(500));
    assert_eq!(
        fixes(&document(&(point(1, &closed) + &point(2, "")))).len(),
        2
    );
}

#[test]
fn repeated_damage_takes_bounded_time() {
    for piece in [
        "<trkpt \"",
        "<trkpt <trkpt ",
        "<trkpt lat=\"<",
        "&",
        "<![CDATA[",
        "<!--",
        "<trkpt><",
        "]]>",
    ] {
        let text = format!("<gpx>{}", piece.repeat(200_000));
        let started = std::time::Instant::now();
        let _ = read_text(&text);
        assert!(started.elapsed().as_secs() < 10, "{piece}");
    }
}

/// A point as this project would write it.
fn written(fix: &Fix) -> String {
    let instant = jiff::Timestamp::from_millisecond((fix.utc_s * 1000.0).round() as i64).unwrap();
    let value = |name: &str, v: Option<f32>| {
        v.map_or_else(String::new, |v| format!("<{name}>{v}</{name}>"))
    };
    format!(
        "<trkpt lat=\"{}\" lon=\"{}\">{}<time>{instant}</time>{}{}</trkpt>",
        fix.latitude_deg,
        fix.longitude_deg,
        value("ele", fix.gnss_altitude_m),
        value("course", fix.track_deg_true),
        value("speed", fix.ground_speed_mps),
    )
}

proptest! {
    #[test]
    fn what_is_written_is_read(
        milli in 1_700_000_000_000_i64..1_900_000_000_000,
        latitude_deg in -90.0..90.0_f64,
        longitude_deg in -180.0..180.0_f64,
        altitude in prop::option::of(-400.0..9000.0_f32),
        speed in prop::option::of(0.0..150.0_f32),
        track in prop::option::of(0.0..360.0_f32),
    ) {
        let fix = Fix {
            utc_s: milli as f64 / 1000.0,
            line: 4,
            segment: 2,
            latitude_deg,
            longitude_deg,
            gnss_altitude_m: altitude,
            ground_speed_mps: speed,
            track_deg_true: track,
            ..Fix::default()
        };
        let got = fixes(&document(&written(&fix)))[0];
        prop_assert!((got.utc_s - fix.utc_s).abs() < 1e-6);
        prop_assert_eq!(Fix { utc_s: fix.utc_s, ..got }, fix);
    }

    #[test]
    fn nothing_panics(text in "(<|>|/|trkpt|trkseg|gpx|lat|lon|=|\"|'|time|speed|ele|[0-9]|:|-|T|Z| |&|;|!|--|\\[|\\]|CDATA|é|\n){0,120}") {
        let _ = read_text(&text);
        let _ = read_text(&document(&text));
        let _ = read_text(&document(&(point(1, &text) + &point(2, ""))));
    }
}
