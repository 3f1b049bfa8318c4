//! Each reader beside a bare tokeniser pass over the same bytes.
//!
//! `cargo bench --bench reading [word]`, the word picking cases. Bytes are made here: two hours
//! at 1 Hz, and five hours at 10 Hz, straight and turning. Tokeniser, reader and cleaning take
//! turns; of each the least time counts, the one that other work on the machine disturbed least.
//! Reading should take at most three times its tokeniser.

#![allow(clippy::print_stdout, reason = "the table is the result")]

use std::fmt::Write;
use std::hint::black_box;
use std::time::{Duration, Instant as Watch};

use stillprop::cleaning::clean;
use stillprop::reading::{ReadOptions, read};

/// How long each case is gone over.
const TIME_PER_CASE: Duration = Duration::from_secs(3);

/// Fewest turns of a case.
const FEWEST_TURNS: usize = 10;

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

/// Lines, found by their ends only.
fn line_ends(text: &str) -> usize {
    text.lines().map(str::len).sum()
}

/// Lines, those of B records sliced into their columns, each character looked at once, none converted.
///
/// What a tokeniser of a format with fixed columns has to do; finding line ends alone looks at
/// 32 characters at a time and leaves the columns out.
fn igc_columns(text: &str) -> usize {
    // Letter, time, latitude, longitude, validity, altitudes, and those of the I record.
    const COLUMNS: [(usize, usize); 11] = [
        (0, 1),
        (1, 7),
        (7, 15),
        (15, 24),
        (24, 25),
        (25, 30),
        (30, 35),
        (35, 38),
        (38, 41),
        (41, 44),
        (44, 45),
    ];
    let mut digits = 0;
    for line in text.lines().map(str::as_bytes) {
        if line.first() == Some(&b'B') {
            for (start, end) in COLUMNS {
                let Some(field) = line.get(start..end) else {
                    break;
                };
                digits += black_box(field.iter().filter(|b| b.is_ascii_digit()).count());
            }
        } else {
            digits += line.iter().filter(|b| b.is_ascii_digit()).count();
        }
    }
    digits
}

/// Name of the format, its text, and the tokeniser with what it does.
struct Case {
    format: &'static str,
    text: String,
    tokeniser: &'static str,
    tokenise: fn(&str) -> usize,
}

/// The least time of each piece of work, the pieces taking turns.
fn least<const N: usize>(mut pieces: [&mut dyn FnMut(); N]) -> [Duration; N] {
    let mut least = [Duration::MAX; N];
    let start = Watch::now();
    let mut turns = 0;
    while turns < FEWEST_TURNS || start.elapsed() < TIME_PER_CASE {
        for (piece, least) in pieces.iter_mut().zip(&mut least) {
            let watch = Watch::now();
            piece();
            *least = watch.elapsed().min(*least);
        }
        turns += 1;
    }
    least
}

fn measure(size: &str, case: &Case) {
    let bytes = case.text.as_bytes();
    let options = ReadOptions::default();
    let recording = match read(bytes, case.format, &options) {
        Ok(recording) => recording,
        Err(error) => {
            println!("{}: {error}", case.format);
            return;
        }
    };
    let [bare, reading, cleaning] = least([
        &mut || {
            black_box((case.tokenise)(black_box(&case.text)));
        },
        &mut || {
            black_box(read(black_box(bytes), case.format, &options).is_ok());
        },
        &mut || {
            black_box(clean(black_box(&recording)).is_ok());
        },
    ]);
    let ms = |time: Duration| time.as_secs_f64() * 1e3;
    println!(
        "{:<4} {size:<12} {:>8.1} {:>10.2} {:>6.2}x {:>8.0} {:>10.2} {:>9.2}  {}",
        case.format,
        bytes.len() as f64 / 1e6,
        ms(reading),
        ms(reading) / ms(bare),
        recording.fixes.len() as f64 / ms(reading),
        ms(bare),
        ms(cleaning),
        case.tokeniser,
    );
}

fn main() {
    let word = std::env::args().skip(1).find(|a| !a.starts_with('-'));
    println!("              bytes/1e6    read ms  times fixes/ms    bare ms  clean ms  bare pass");
    for (size, hours, rate_hz) in [("2 h at 1 Hz", 2.0, 1.0), ("5 h at 10 Hz", 5.0, 10.0)] {
        let case = |format, text, tokeniser, tokenise| Case {
            format,
            text,
            tokeniser,
            tokenise,
        };
        for case in [
            case(
                "gpx",
                gpx(hours, rate_hz),
                "events of quick-xml",
                xml_events as fn(&str) -> usize,
            ),
            case(
                "csv",
                csv(hours, rate_hz),
                "byte records of csv",
                csv_records,
            ),
            case(
                "igc",
                igc(hours, rate_hz),
                "lines, columns sliced",
                igc_columns,
            ),
            case("igc", igc(hours, rate_hz), "line ends alone", line_ends),
        ] {
            if word
                .as_ref()
                .is_none_or(|w| case.format.contains(w.as_str()))
            {
                measure(size, &case);
            }
        }
    }
}
