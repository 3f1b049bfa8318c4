//! Each reader beside the bare tokeniser pass over the same bytes.
//!
//! `cargo bench --bench reading`. Bytes are made here: two hours at 1 Hz, and five hours at
//! 10 Hz, straight and turning. Reading should take at most three times its tokeniser.

#![allow(missing_docs)] // criterion's macros make public items

use std::fmt::Write;
use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use stillprop::cleaning::clean;
use stillprop::reading::{ReadOptions, read};

/// One made-up instant of a flight.
struct Instant {
    seconds: f64,
    latitude_deg: f64,
    longitude_deg: f64,
    altitude_m: f64,
    course_deg: f64,
}

/// 45 m/s, circling for one minute in four, up and down between 300 and 900 m.
fn flight(hours: f64, rate_hz: f64) -> impl Iterator<Item = Instant> {
    let count = (hours * 3600.0 * rate_hz) as usize;
    let (mut north_m, mut east_m, mut course_deg) = (0.0_f64, 0.0_f64, 40.0_f64);
    (0..count).map(move |i| {
        let seconds = i as f64 / rate_hz;
        if (seconds / 60.0) as usize % 4 == 3 {
            course_deg = (course_deg + 6.0 / rate_hz) % 360.0;
        }
        north_m += 45.0 / rate_hz * course_deg.to_radians().cos();
        east_m += 45.0 / rate_hz * course_deg.to_radians().sin();
        Instant {
            seconds,
            latitude_deg: 51.0 + north_m / 111_195.0,
            longitude_deg: -2.0 + east_m / 70_000.0,
            altitude_m: 600.0 + 300.0 * (seconds / 400.0).sin(),
            course_deg,
        }
    })
}

fn clock(seconds: f64) -> (u32, u32, f64) {
    (
        (seconds / 3600.0) as u32 + 8,
        (seconds / 60.0) as u32 % 60,
        seconds % 60.0,
    )
}

fn gpx(hours: f64, rate_hz: f64) -> String {
    let mut text = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" creator=\"bench\"><trk><trkseg>\n".to_owned();
    for i in flight(hours, rate_hz) {
        let (h, m, s) = clock(i.seconds);
        let _ = writeln!(
            text,
            "<trkpt lat=\"{:.7}\" lon=\"{:.7}\"><ele>{:.1}</ele><time>2026-05-03T{h:02}:{m:02}:{s:06.3}Z</time><extensions><x:TrackPointExtension><x:speed>45.00</x:speed><x:course>{:.1}</x:course></x:TrackPointExtension></extensions></trkpt>",
            i.latitude_deg, i.longitude_deg, i.altitude_m, i.course_deg
        );
    }
    text + "</trkseg></trk></gpx>\n"
}

fn igc(hours: f64, rate_hz: f64) -> String {
    let mut text = "AXXX001\r\nHFDTE030526\r\nI043638FXA3941ENL4244GSP4545TDS\r\n".to_owned();
    for i in flight(hours, rate_hz) {
        let (h, m, s) = clock(i.seconds);
        let minutes = |deg: f64| (deg.abs() * 60_000.0) as u32;
        let (latitude, longitude) = (minutes(i.latitude_deg), minutes(i.longitude_deg));
        let _ = write!(
            text,
            "B{h:02}{m:02}{:02}{:02}{:05}N{:03}{:05}{}A{:05}{:05}004450162{}\r\n",
            s as u32,
            latitude / 60_000,
            latitude % 60_000,
            longitude / 60_000,
            longitude % 60_000,
            if i.longitude_deg < 0.0 { 'W' } else { 'E' },
            i.altitude_m as u32,
            i.altitude_m as u32 + 40,
            (s.fract() * 10.0) as u32,
        );
    }
    text
}

fn csv(hours: f64, rate_hz: f64) -> String {
    let mut text = "utc,lat_deg,lon_deg,alt_msl_ft,gs_kt,trk_deg,ias_kt,rpm\n".to_owned();
    for i in flight(hours, rate_hz) {
        let (h, m, s) = clock(i.seconds);
        let _ = writeln!(
            text,
            "2026-05-03T{h:02}:{m:02}:{s:06.3}Z,{:.6},{:.6},{:.0},87.5,{:.0},84,2150",
            i.latitude_deg,
            i.longitude_deg,
            i.altitude_m / 0.3048,
            i.course_deg
        );
    }
    text
}

fn xml_events(text: &str) -> usize {
    let mut reader = quick_xml::Reader::from_str(text);
    let mut events = 0;
    while !matches!(
        reader.read_event(),
        Ok(quick_xml::events::Event::Eof) | Err(_)
    ) {
        events += 1;
    }
    events
}

fn csv_records(text: &str) -> usize {
    let mut reader = csv::ReaderBuilder::new().from_reader(text.as_bytes());
    let mut record = csv::ByteRecord::new();
    let mut fields = 0;
    while matches!(reader.read_byte_record(&mut record), Ok(true)) {
        fields += record.len();
    }
    fields
}

fn line_count(text: &str) -> usize {
    text.lines().map(str::len).sum()
}

/// Name, content, tokeniser of a format.
type Case = (&'static str, String, fn(&str) -> usize);

fn readers(criterion: &mut Criterion) {
    for (size, hours, rate_hz) in [("2 h at 1 Hz", 2.0, 1.0), ("5 h at 10 Hz", 5.0, 10.0)] {
        let files: [Case; 3] = [
            ("gpx", gpx(hours, rate_hz), xml_events),
            ("igc", igc(hours, rate_hz), line_count),
            ("csv", csv(hours, rate_hz), csv_records),
        ];
        for (name, text, tokenise) in files {
            let mut group = criterion.benchmark_group(format!("{name}, {size}"));
            group
                .throughput(Throughput::Bytes(text.len() as u64))
                .sample_size(20);
            group.bench_function("tokeniser", |b| b.iter(|| tokenise(black_box(&text))));
            group.bench_function("read", |b| {
                b.iter(|| read(black_box(text.as_bytes()), name, &ReadOptions::default()));
            });
            if let Ok(recording) = read(text.as_bytes(), name, &ReadOptions::default()) {
                group.bench_function("clean", |b| b.iter(|| clean(black_box(&recording))));
            }
            group.finish();
        }
    }
}

criterion_group!(benches, readers);
criterion_main!(benches);
