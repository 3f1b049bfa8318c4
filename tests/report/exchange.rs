//! Files for other programs, read by general-purpose readers.

use roxmltree::Document;
use serde_json::Value;
use stillprop::reading::{self, ReadOptions};
use stillprop::report::exchange::{geojson, kml, path_csv, path_gpx};

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
fn maps_get_lines_points_and_a_closed_ring() {
    let mut debrief = super::documents::two_orbits_to_touchdown();
    debrief.attempts[0].glide_ring_ft = vec![[0.0, 0.0], [0.0, 5000.0], [5000.0, 5000.0]];
    let collection: Value = serde_json::from_str(&geojson(&debrief)).unwrap();
    assert_eq!(collection["type"], "FeatureCollection");
    let features = collection["features"].as_array().unwrap();
    let of = |kind: &str| features.iter().find(|f| f["properties"]["kind"] == kind);
    let line = of("path").unwrap()["geometry"]["coordinates"]
        .as_array()
        .unwrap();
    assert_eq!(line.len(), steps(&debrief));
    // longitude first, and metres above the sea: 310 ft of elevation, 3200 ft of height
    assert!((line[0][0].as_f64().unwrap() + 2.0).abs() < 0.3);
    assert!((line[0][1].as_f64().unwrap() - 51.0).abs() < 0.3);
    assert!((line[0][2].as_f64().unwrap() - 3510.0 * 0.305).abs() < 4.0);
    let ring = of("within_glide_at_power_reduction").unwrap()["geometry"]["coordinates"][0]
        .as_array()
        .unwrap();
    assert_eq!((ring.len(), ring.first()), (4, ring.last()));
    let turn: f64 = (0..3)
        .map(|i| {
            let at = |k: usize, axis: usize| ring[k][axis].as_f64().unwrap();
            at(i, 0) * at(i + 1, 1) - at(i + 1, 0) * at(i, 1)
        })
        .sum();
    assert!(turn > 0.0, "counterclockwise");
    for (name, debrief) in variants::all() {
        let text = geojson(&debrief);
        serde_json::from_str::<Value>(&text).unwrap_or_else(|e| panic!("{name}: {e}"));
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
