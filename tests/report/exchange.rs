//! Files for other programs, read by general-purpose readers.

use roxmltree::Document;
use stillprop::reading::{self, ReadOptions};
use stillprop::report::exchange::{kml, path_csv, path_gpx};

use super::variants;

fn steps(debrief: &stillprop::debrief::Debrief) -> usize {
    debrief.attempts.iter().map(|a| a.series.utc.len()).sum()
}

#[test]
fn every_table_has_a_row_a_step_and_a_number_or_nothing_in_each_cell() {
    for (name, debrief) in variants::all() {
        let text = path_csv(&debrief);
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let headers = reader.headers().unwrap().clone();
        let mut rows = 0;
        for record in reader.records() {
            let record = record.unwrap_or_else(|e| panic!("{name}: {e}"));
            assert_eq!(record.len(), headers.len(), "{name}");
            for cell in record.iter().skip(2).filter(|cell| !cell.is_empty()) {
                assert!(
                    cell.parse::<f64>().is_ok_and(f64::is_finite),
                    "{name}: {cell}"
                );
            }
            rows += 1;
        }
        assert_eq!(rows, steps(&debrief), "{name}");
    }
}

#[test]
fn a_globe_gets_a_time_for_every_place() {
    for (name, debrief) in variants::all() {
        let text = kml(&debrief);
        let document = Document::parse(&text).unwrap_or_else(|e| panic!("{name}: {e}"));
        let tracks: Vec<_> = document
            .descendants()
            .filter(|n| n.tag_name().name() == "Track")
            .collect();
        assert_eq!(tracks.len(), debrief.attempts.len(), "{name}");
        for track in tracks {
            let count = |tag: &str| {
                track
                    .children()
                    .filter(|n| n.tag_name().name() == tag)
                    .count()
            };
            assert_eq!(count("when"), count("coord"), "{name}");
        }
    }
}

#[test]
fn of_what_cannot_be_told_there_is_the_interval_alone() {
    use stillprop::quantity::Measured;
    let mut debrief = super::documents::two_orbits_to_touchdown();
    let height = |value: f64, by: f64| Measured::Known {
        value,
        low: value - by,
        high: value + by,
    };
    debrief.attempts[0].key_points[0].height_ft = height(4000.0, 20.0);
    debrief.attempts[0].key_points[1].height_ft = height(3000.0, 900.0);
    for text in [kml(&debrief), path_gpx(&debrief)] {
        assert!(
            text.contains("4000 ft above the aim (3980 to 4020)"),
            "{text}"
        );
        assert!(text.contains("2100 to 3900 ft above the aim"), "{text}");
        assert!(!text.contains("can\u{2019}t tell"), "{text}");
    }
    debrief.reference.aim_source = "touchdown".to_owned();
    assert!(kml(&debrief).contains("Touchdown, taken as the aim"));
}

#[test]
fn the_path_reads_back_as_a_recording() {
    let debrief = super::documents::two_orbits_to_touchdown();
    let text = path_gpx(&debrief);
    let document = Document::parse(&text).unwrap();
    let points = document
        .descendants()
        .filter(|n| n.tag_name().name() == "trkpt")
        .count();
    assert_eq!(points, steps(&debrief));
    let recording = reading::read(text.as_bytes(), "a.gpx", &ReadOptions::default()).unwrap();
    assert_eq!(recording.fixes.len(), points);
    assert!(recording.notes.is_empty(), "{:?}", recording.notes);
}
