//! The samples with bytes changed, cut, doubled and moved: read, or refused with the line and the help.

use std::fs;
use std::path::Path;

use proptest::prelude::*;
use stillprop::briefing;
use stillprop::reading::{ReadOptions, read};

use crate::cli::sample;

/// One change to a file.
#[derive(Debug, Clone)]
enum Change {
    Cut(usize),
    Byte(usize, u8),
    Remove(usize, usize),
    Double(usize, usize),
    Swap(usize, usize, usize),
    Insert(usize, Vec<u8>),
}

fn change() -> impl Strategy<Value = Change> {
    let at = || 0_usize..1_000_000;
    let length = || 1_usize..400;
    let odd = prop::sample::select(vec![
        b"&lt;".to_vec(),
        b"<![CDATA[".to_vec(),
        b"<!--".to_vec(),
        b"\"".to_vec(),
        b"\r".to_vec(),
        b"\0\0".to_vec(),
        b"\xFF\xFE".to_vec(),
        "\u{2028}°".as_bytes().to_vec(),
        b"99999999999999999999".to_vec(),
        b"-1e999".to_vec(),
        b"nan".to_vec(),
        b"\n\n\n".to_vec(),
        b",,,,,,".to_vec(),
    ]);
    prop_oneof![
        at().prop_map(Change::Cut),
        (at(), any::<u8>()).prop_map(|(at, byte)| Change::Byte(at, byte)),
        (at(), length()).prop_map(|(at, length)| Change::Remove(at, length)),
        (at(), length()).prop_map(|(at, length)| Change::Double(at, length)),
        (at(), at(), length()).prop_map(|(one, other, length)| Change::Swap(one, other, length)),
        (at(), odd).prop_map(|(at, bytes)| Change::Insert(at, bytes)),
    ]
}

/// `bytes` with the changes made; places are taken modulo the length.
fn changed(bytes: &[u8], changes: &[Change]) -> Vec<u8> {
    let mut out = bytes.to_vec();
    for change in changes {
        if out.is_empty() {
            break;
        }
        let len = out.len();
        let stretch = |at: usize, length: usize| {
            let from = at % len;
            from..(from + length).min(len)
        };
        match change {
            Change::Cut(at) => out.truncate(at % len),
            Change::Byte(at, byte) => out[at % len] = *byte,
            Change::Remove(at, length) => drop(out.drain(stretch(*at, *length))),
            Change::Double(at, length) => {
                let range = stretch(*at, *length);
                let (end, copy) = (range.end, out[range].to_vec());
                out.splice(end..end, copy);
            }
            Change::Swap(one, other, length) => {
                for step in 0..*length {
                    out.swap((one + step) % len, (other + step) % len);
                }
            }
            Change::Insert(at, bytes) => {
                let at = at % len;
                out.splice(at..at, bytes.iter().copied());
            }
        }
    }
    out
}

/// Reads `bytes`; every fix must be one, and every refusal must help.
fn read_soundly(bytes: &[u8], name: &str) -> Result<(), TestCaseError> {
    match read(bytes, name, &ReadOptions::default()) {
        Ok(recording) => {
            prop_assert!(!recording.fixes.is_empty());
            for fix in &recording.fixes {
                prop_assert!(fix.utc_s.is_finite());
                prop_assert!((-90.0..=90.0).contains(&fix.latitude_deg), "{fix:?}");
                prop_assert!((-180.0..=180.0).contains(&fix.longitude_deg), "{fix:?}");
                let channels = [
                    fix.gnss_altitude_m,
                    fix.pressure_altitude_m,
                    fix.ground_speed_mps,
                    fix.tas_mps,
                    fix.engine_rpm,
                ];
                prop_assert!(channels.iter().flatten().all(|v| v.is_finite()), "{fix:?}");
            }
        }
        Err(error) => {
            let text = error.to_string();
            prop_assert!(
                text.starts_with(name) && text.contains("\nhelp: "),
                "{text}"
            );
        }
    }
    Ok(())
}

fn samples(extension: &str) -> Vec<(String, Vec<u8>)> {
    let mut files: Vec<_> = fs::read_dir(sample(""))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == extension))
        .map(|path| (name(&path), fs::read(&path).unwrap()))
        .collect();
    files.sort();
    assert!(!files.is_empty(), "no sample is a .{extension}");
    files
}

fn name(path: &Path) -> String {
    path.file_name().unwrap().to_string_lossy().into_owned()
}

fn changes() -> impl Strategy<Value = Vec<Change>> {
    prop::collection::vec(change(), 1..12)
}

fn config(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        max_shrink_iters: 500,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(config(200))]

    #[test]
    fn gpx_with_damage_is_read_or_refused(changes in changes(), which in any::<usize>()) {
        let files = samples("gpx");
        let (name, bytes) = &files[which % files.len()];
        // A short piece, so that a change falls where it matters.
        let head = &bytes[..bytes.len().min(20_000)];
        read_soundly(&changed(head, &changes), name)?;
    }

    #[test]
    fn igc_with_damage_is_read_or_refused(changes in changes(), which in any::<usize>()) {
        let files = samples("igc");
        let (name, bytes) = &files[which % files.len()];
        let head = &bytes[..bytes.len().min(8_000)];
        read_soundly(&changed(head, &changes), name)?;
    }

    #[test]
    fn csv_with_damage_is_read_or_refused(changes in changes(), which in any::<usize>()) {
        let files = samples("csv");
        let (name, bytes) = &files[which % files.len()];
        let head = &bytes[..bytes.len().min(8_000)];
        read_soundly(&changed(head, &changes), name)?;
    }

    #[test]
    fn packed_with_damage_is_read_or_refused(changes in changes()) {
        use std::io::Write;
        let (name, bytes) = &samples("igc")[0];
        let mut packer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
        packer.write_all(&bytes[..bytes.len().min(20_000)]).unwrap();
        read_soundly(&changed(&packer.finish().unwrap(), &changes), name)?;
    }

    #[test]
    fn briefings_with_damage_are_read_or_refused(changes in changes(), which in any::<usize>()) {
        let files = samples("toml");
        let files: Vec<_> = files.iter().filter(|(name, _)| name.contains("briefing")).collect();
        let (name, bytes) = files[which % files.len()];
        let text = String::from_utf8_lossy(&changed(bytes, &changes)).into_owned();
        if let Err(error) = briefing::parse(&text, name) {
            let text = error.to_string();
            prop_assert!(text.starts_with(name.as_str()), "{text}");
        }
    }

    #[test]
    fn events_with_damage_are_read_or_refused(changes in changes()) {
        let bytes = b"utc,what\n2026-05-03T10:21:40Z,flap 10\n+75,mayday call\n2026-05-03T10:22:05Z,\"flap, full\"\n";
        let text = String::from_utf8_lossy(&changed(bytes, &changes)).into_owned();
        if let Err(error) = briefing::parse_events(&text, "events.csv") {
            let text = error.to_string();
            prop_assert!(text.starts_with("events.csv"), "{text}");
        }
    }

    #[test]
    fn metars_with_damage_are_read_or_refused(changes in changes()) {
        let bytes = b"METAR ABCD 031020Z AUTO 12009G19KT 090V150 9999 -RA SCT035CB 14/08 Q1018 NOSIG RMK A3007";
        let text = String::from_utf8_lossy(&changed(bytes, &changes)).into_owned();
        if let Ok(metar) = briefing::metar::read(&text) {
            prop_assert!(metar.qnh_hpa.is_none_or(f64::is_finite));
        }
    }

    #[test]
    fn standards_with_damage_are_read_or_refused(changes in changes()) {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/grading/standards/eu-lapl.toml");
        let bytes = fs::read(path).unwrap();
        let text = String::from_utf8_lossy(&changed(&bytes, &changes)).into_owned();
        if let Err(error) = stillprop::grading::parse(&text, "own.toml", stillprop::grading::embedded()) {
            let text = error.to_string();
            prop_assert!(text.starts_with("own.toml"), "{text}");
        }
    }
}
