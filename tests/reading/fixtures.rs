//! Recordings from elsewhere, and the same flight in every format and packing.

use std::fmt::Write as _;
use std::io::Write as _;

use super::{folder, read_and_clean};
use stillprop::cleaning::clean;
use stillprop::reading::{Fix, Format, ReadOptions, read};

#[test]
fn a_walk_recorded_every_few_seconds() {
    let (recording, track) = read_and_clean(&folder("fixtures").join("walk.gpx")).unwrap();
    assert_eq!(
        (recording.format, recording.fixes.len()),
        (Format::Gpx, 296)
    );
    assert_eq!(track.fixes.len(), 296);
    assert_eq!(track.median_step_s, 8.0);
    assert!(recording.notes.is_empty() && track.notes.is_empty());
    assert!(track.gaps.len() > 10 && track.stamps_whole_seconds);
}

#[test]
fn a_recorder_whose_clock_was_not_set() {
    let error = read_and_clean(&folder("fixtures").join("clock-not-set.gpx")).unwrap_err();
    assert!(
        error.contains("184 refused, most for: date outside 1980 to 2100"),
        "{error}"
    );
}

#[test]
fn gpx_1_0_with_every_element_and_a_planned_route() {
    let bytes = std::fs::read(folder("fixtures").join("every-element-1.0.gpx")).unwrap();
    let recording = read(&bytes, "every-element-1.0.gpx", &ReadOptions::default()).unwrap();
    assert_eq!(recording.fixes.len(), 1);
    let error = read_and_clean(&folder("fixtures").join("planned-route.gpx")).unwrap_err();
    assert!(
        error.contains("55 route points, none with a time"),
        "{error}"
    );
}

#[test]
fn a_bare_speed_in_a_document_that_does_not_say_its_version() {
    let bytes = std::fs::read(folder("fixtures").join("bare-speed.gpx")).unwrap();
    let recording = read(&bytes, "bare-speed.gpx", &ReadOptions::default()).unwrap();
    let speeds: Vec<f32> = recording
        .fixes
        .iter()
        .filter_map(|f| f.ground_speed_mps)
        .collect();
    assert_eq!(speeds, [1.2, 2.2, 3.2]);
    let two = std::fs::read(folder("fixtures").join("two-tracks.gpx")).unwrap();
    assert!(read(&two, "two-tracks.gpx", &ReadOptions::default()).is_ok());
}

/// Extensions FXA ENL TAS GSP TRT VAT OAT ACZ, the speeds with five digits. The values of the
/// first fixes are taken from the file by the columns of its I record.
#[test]
fn a_logger_with_eight_extensions() {
    let (recording, track) =
        read_and_clean(&folder("fixtures").join("extensions-excerpt.igc")).unwrap();
    assert_eq!(
        (recording.format, recording.fixes.len()),
        (Format::Igc, 900)
    );
    assert_eq!(track.fixes.len(), 900);
    assert!(recording.notes.is_empty(), "{:?}", recording.notes);
    // B1036385226872N00016247EA01025 01093 006 004 11170 12281 050 00206 0177 0100
    let fix = recording
        .fixes
        .iter()
        .find(|f| (f.utc_s % 86_400.0) as u32 == 10 * 3600 + 36 * 60 + 38)
        .unwrap();
    assert_eq!(
        (fix.pressure_altitude_m, fix.gnss_altitude_m),
        (Some(1025.0), Some(1093.0))
    );
    assert_eq!((fix.accuracy_m, fix.engine_noise), (Some(6.0), Some(4.0)));
    assert_eq!((fix.track_deg_true, fix.oat_c), (Some(50.0), Some(17.7)));
    let near = |value: Option<f32>, want: f32| (value.unwrap() - want).abs() < 1e-3;
    assert!(near(fix.tas_mps, 111.70 / 3.6), "{:?}", fix.tas_mps);
    assert!(
        near(fix.ground_speed_mps, 122.81 / 3.6),
        "{:?}",
        fix.ground_speed_mps
    );
    assert!(
        near(fix.vertical_speed_mps, 2.06),
        "{:?}",
        fix.vertical_speed_mps
    );
    assert!(
        track
            .latitude_quantum_deg
            .is_some_and(|q| (q * 60_000.0 - 1.0).abs() < 1e-9)
    );
    assert_eq!(
        (
            track.pressure_altitude_quantum_m,
            track.gnss_altitude_quantum_m
        ),
        (Some(1.0), Some(1.0))
    );
}

#[test]
fn a_logger_with_the_date_in_both_forms() {
    let (recording, track) =
        read_and_clean(&folder("fixtures").join("two-dates-excerpt.igc")).unwrap();
    assert_eq!(recording.fixes.len(), 900);
    assert_eq!(track.dropped_fixes, 0, "{:?}", track.notes);
    // 2020-08-06.
    assert_eq!((recording.fixes[0].utc_s / 86_400.0).floor(), 18_480.0);
}

/// A short flight, and itself as text in each format.
fn flight() -> (Vec<Fix>, [(&'static str, String); 3]) {
    let fixes: Vec<Fix> = (0..60_u32)
        .map(|i| Fix {
            utc_s: 1_795_515_330.0 + f64::from(i),
            latitude_deg: f64::from(3_090_250 + 20 * i) / 60_000.0,
            longitude_deg: -0.4625,
            gnss_altitude_m: Some(357.0 - i as f32),
            ..Fix::default()
        })
        .collect();
    let clock = |i: usize| format!("10:{:02}:{:02}", (15 * 60 + 30 + i) / 60, (30 + i) % 60);
    let mut gpx =
        "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" creator=\"Müller\"><trk><trkseg>\n"
            .to_owned();
    let mut igc = "AXXX001\r\nHFDTE241126\r\nHFPLTPILOT:Müller\r\n".to_owned();
    let mut csv = "# Müller\nutc,lat,lon,alt_m\n".to_owned();
    for (i, fix) in fixes.iter().enumerate() {
        let (latitude, altitude_m) = (fix.latitude_deg, fix.gnss_altitude_m.unwrap_or_default());
        let time = clock(i);
        let _ = writeln!(
            gpx,
            "<trkpt lat=\"{latitude}\" lon=\"-0.4625\"><ele>{altitude_m}</ele><time>2026-11-24T{time}Z</time></trkpt>"
        );
        let minutes = 30_250 + 20 * i;
        let _ = write!(
            igc,
            "B{}51{minutes:05}N00027750WA00000{:05}\r\n",
            time.replace(':', ""),
            altitude_m as u32
        );
        let _ = writeln!(csv, "2026-11-24T{time}Z,{latitude},-0.4625,{altitude_m}");
    }
    gpx += "</trkseg></trk></gpx>\n";
    (fixes, [("a.gpx", gpx), ("a.igc", igc), ("a.csv", csv)])
}

#[test]
fn the_same_flight_in_every_format_encoding_and_packing() {
    let (want, files) = flight();
    for (name, text) in files {
        let utf16: Vec<u8> = std::iter::once(0xFEFF)
            .chain(text.encode_utf16())
            .flat_map(u16::to_le_bytes)
            .collect();
        let latin1: Vec<u8> = text.chars().map(|c| c as u32 as u8).collect();
        let mut packer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::default());
        packer.write_all(text.as_bytes()).unwrap();
        let variants = [
            text.clone().into_bytes(),
            text.replace("\r\n", "\n")
                .replace('\n', "\r\n")
                .into_bytes(),
            [b"\xEF\xBB\xBF", text.as_bytes()].concat(),
            utf16,
            latin1,
            packer.finish().unwrap(),
        ];
        for (variant, bytes) in variants.iter().enumerate() {
            // The name says nothing: content decides.
            let recording = read(bytes, "recording.dat", &ReadOptions::default()).unwrap();
            let track = clean(&recording).unwrap();
            assert_eq!(track.fixes.len(), want.len(), "{name}, variant {variant}");
            for (got, want) in track.fixes.iter().zip(&want) {
                assert_eq!(got.utc_s, want.utc_s, "{name}, variant {variant}");
                assert!((got.latitude_deg - want.latitude_deg).abs() < 1e-9);
                assert_eq!(got.gnss_altitude_m, want.gnss_altitude_m);
            }
        }
    }
}

#[test]
fn cut_anywhere_every_format_gives_what_is_there_or_an_error() {
    let (_, files) = flight();
    for (name, text) in files {
        let bytes = text.as_bytes();
        for end in 0..bytes.len() {
            if let Ok(recording) = read(&bytes[..end], name, &ReadOptions::default()) {
                for fix in &recording.fixes {
                    assert!(
                        (fix.longitude_deg + 0.4625).abs() < 1e-9,
                        "{name} cut at {end}"
                    );
                }
            }
        }
    }
}

proptest::proptest! {
    #[test]
    fn no_bytes_panic(bytes in proptest::collection::vec(proptest::prelude::any::<u8>(), 0..400), head in 0_usize..6) {
        let head: &[u8] = [&b""[..], b"\x1f\x8b\x08\x00", b"<gpx><trkpt", b"HFDTE241126\nB101530", b"utc,lat,lon\n", b"\xFF\xFE"][head];
        let bytes = [head, &bytes].concat();
        if let Ok(recording) = read(&bytes, "any", &ReadOptions::default()) {
            let _ = clean(&recording);
        }
    }

    #[test]
    fn no_damage_to_a_flight_panics(which in 0_usize..3, edits in proptest::collection::vec((0_usize..8000, proptest::prelude::any::<u8>(), 0_usize..3), 1..12)) {
        let (_, files) = flight();
        let mut bytes = files[which].1.clone().into_bytes();
        for (at, byte, kind) in edits {
            let at = at % bytes.len().max(1);
            match kind {
                0 => bytes[at] = byte,
                1 => bytes.insert(at, byte),
                _ => {
                    bytes.remove(at);
                }
            }
        }
        if let Ok(recording) = read(&bytes, "damaged", &ReadOptions::default()) {
            let _ = clean(&recording);
        }
    }
}
