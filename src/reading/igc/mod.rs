//! IGC, the flight recorder file of the FAI.
//!
//! Source: FAI/IGC Technical Specification for GNSS Flight Recorders, second
//! edition with amendment list 8 (1 February 2023), appendix A; paragraphs are named
//! where used. Recorders depart from it in many ways, so every line stands for itself:
//! one that cannot be read is counted and passed over.

mod extension;
mod header;
mod record;

use self::extension::Extensions;
use self::header::Headers;
use super::channel::ENGINE_NOISE;
use super::collect::{Collector, Part};
use super::error::{Located, ReadProblem};
use super::place::Place;
use super::text::lines;
use super::{Fix, clock};

/// Longest line looked at, bytes; the specification allows 99 (A2.1).
const MAX_LINE: usize = 2048;

/// Reads an IGC file.
pub(crate) fn read(text: &str, file_name: &str, collector: &mut Collector) -> Result<(), Located> {
    let mut reader = IgcReader {
        headers: Headers::default(),
        extensions: Extensions::default(),
        k_extensions: Extensions::default(),
        clock: clock::DayClock::default(),
        fix_records: 0,
        signed: false,
        flat: Vec::new(),
        flat_records: 0,
        first_flat_line: 0,
        mop: Vec::new(),
        collector,
    };
    for (number, line) in lines(text) {
        // indented where it went through a mail or a page: no record begins with a blank
        reader.line(number, line.trim_ascii_start());
    }
    reader.finish(file_name)
}

struct IgcReader<'c> {
    headers: Headers,
    extensions: Extensions,
    k_extensions: Extensions,
    clock: clock::DayClock,
    fix_records: u32,
    /// A G record was seen: nothing behind it belongs to the flight (A2.3).
    signed: bool,
    /// Fixes of validity V, kept only until the first of validity A.
    flat: Vec<Fix>,
    flat_records: u32,
    first_flat_line: u32,
    /// MOP of each fix, where the file has ENL too.
    mop: Vec<Option<f32>>,
    collector: &'c mut Collector,
}

impl IgcReader<'_> {
    fn line(&mut self, number: u32, line: &[u8]) {
        let Some((&letter, rest)) = line.split_first() else {
            return;
        };
        if line.len() > MAX_LINE {
            self.collector
                .notes
                .remark(number, "a line longer than 2048 characters, passed over");
            return;
        }
        if self.signed && matches!(letter, b'B' | b'E' | b'K') {
            if letter == b'B' {
                self.collector
                    .notes
                    .dropped(number, "fix behind the security (G) record");
            }
            return;
        }
        match letter {
            b'B' => self.fix(number, line),
            b'E' => self.event(rest),
            b'K' => self.data(line),
            b'H' => self.header(number, rest),
            b'A' => self
                .collector
                .say("recorder", &String::from_utf8_lossy(rest)),
            b'I' => self.extensions = Extensions::parse(rest),
            b'J' => self.k_extensions = Extensions::parse(rest),
            b'G' => self.signed |= !self.collector.fixes.is_empty(),
            _ => {}
        }
    }

    fn header(&mut self, number: u32, rest: &[u8]) {
        if rest.get(1..4) != Some(b"DTE") {
            self.headers.take(number, rest, self.collector);
            return;
        }
        match header::date_s(&rest[4..]) {
            Some(day_s) if self.headers.day_s.is_none() => {
                self.headers.day_s = Some(day_s);
                self.shift_stand_in(day_s);
            }
            // Some recorders write the date again after midnight; one that only repeats the first says nothing.
            Some(day_s) if self.headers.day_s != Some(day_s) => self.clock.set_day(day_s),
            Some(_) => {}
            None => self
                .collector
                .notes
                .remark(number, "a date header (HFDTE) that cannot be read"),
        }
    }

    /// The date came after fixes that were counted from the stand-in date.
    fn shift_stand_in(&mut self, day_s: f64) {
        let shift_s = day_s - clock::stand_in_day_s();
        self.clock.day_s += day_s;
        if self.fix_records > 0 {
            self.clock.day_s -= clock::stand_in_day_s();
            for fix in self.collector.fixes.iter_mut().chain(&mut self.flat) {
                fix.utc_s += shift_s;
            }
            for event in &mut self.collector.events {
                event.utc_s += shift_s;
            }
        }
    }

    fn fix(&mut self, number: u32, line: &[u8]) {
        if self.fix_records == 0 && self.headers.day_s.is_none() {
            self.clock.day_s = clock::stand_in_day_s();
        }
        self.fix_records = self.fix_records.saturating_add(1);
        let record = match record::parse(line) {
            Ok(record) => record,
            Err(damage) => {
                self.collector
                    .refuse(damage.what, || Place::in_line(number, line, damage.at));
                return;
            }
        };
        if record.bad_altitude {
            self.collector.notes.remark(
                number,
                "B record with damaged or missing altitudes (columns 26 to 35), left out",
            );
        }
        let mut fix = Fix {
            utc_s: self.clock.utc_s(record.time_of_day_s),
            line: number,
            latitude_deg: record.latitude_deg,
            longitude_deg: record.longitude_deg,
            gnss_altitude_m: record.gnss_altitude_m,
            pressure_altitude_m: record.pressure_altitude_m,
            ..Fix::default()
        };
        self.extensions.apply(line, &mut fix);
        if record.valid {
            self.flat.clear();
            self.collector
                .offer_from(&fix, |part| place_of(part, number));
            if self.extensions.has_both_engine_sensors
                && self.mop.len() < self.collector.fixes.len()
            {
                self.mop.resize(self.collector.fixes.len() - 1, None);
                self.mop.push(self.extensions.mop(line));
            }
            return;
        }
        if self.flat_records == 0 {
            self.first_flat_line = number;
        }
        self.flat_records = self.flat_records.saturating_add(1);
        if self.collector.fixes.is_empty() && self.flat.len() < 1_000_000 {
            fix.gnss_altitude_m = None;
            self.flat.push(fix);
        }
    }

    /// `E HHMMSS TLC text` (A4.2).
    fn event(&mut self, rest: &[u8]) {
        let Some(time_s) = rest.get(..6).and_then(record::time_of_day_s) else {
            return;
        };
        let utc_s = self.near(time_s);
        self.collector
            .event(utc_s, &String::from_utf8_lossy(&rest[6..]));
    }

    /// `K HHMMSS data` (A4.4): its values go to the last fix, if that is of the same second.
    fn data(&mut self, line: &[u8]) {
        let Some(time_s) = line.get(1..7).and_then(record::time_of_day_s) else {
            return;
        };
        let utc_s = self.near(time_s);
        let Some(mut fix) = self.collector.fixes.last().copied() else {
            return;
        };
        if (fix.utc_s - utc_s).abs() < 1.0 && !self.k_extensions.is_empty() {
            self.k_extensions.apply(line, &mut fix);
            self.collector.replace_last(fix);
        }
    }

    /// The instant of a time of day that is nearest to the last fix, without moving the clock.
    fn near(&self, time_of_day_s: f64) -> f64 {
        let utc_s = self.clock.day_s + time_of_day_s;
        match self.clock.last_s {
            Some(last_s) if last_s - time_of_day_s > clock::HALF_DAY_S => utc_s + clock::DAY_S,
            Some(last_s) if time_of_day_s - last_s > clock::HALF_DAY_S => utc_s - clock::DAY_S,
            _ => utc_s,
        }
    }

    fn finish(mut self, file_name: &str) -> Result<(), Located> {
        if self.fix_records == 0 {
            let found = "an IGC file without a B record".to_owned();
            return Err(ReadProblem::NoFixes { found }.into());
        }
        self.finish_flat();
        if self.headers.day_s.is_none() {
            if let Some(day_s) = header::date_in_name_s(file_name) {
                self.shift_stand_in(day_s);
                self.collector.notes.remark(
                    0,
                    "no date header (HFDTE); the date was taken from the file name",
                );
            } else {
                self.collector.notes.remark(0, "no date header (HFDTE) that says the date: times of day are as recorded, the date is not known and 2000-01-01 stands for it");
            }
        }
        self.collector.gnss_datum = self.headers.gnss_datum;
        self.finish_altitudes();
        self.finish_engine_noise();
        Ok(())
    }

    /// V records (A4.1: two-dimensional or no fix) mostly repeat the last position: they are left
    /// out, unless the file has nothing else and they do move.
    fn finish_flat(&mut self) {
        if self.flat_records == 0 {
            return;
        }
        let flat = std::mem::take(&mut self.flat);
        let places = flat
            .windows(2)
            .filter(|w| {
                w[0].latitude_deg != w[1].latitude_deg || w[0].longitude_deg != w[1].longitude_deg
            })
            .count();
        if self.collector.fixes.is_empty() && places * 2 > flat.len() {
            self.collector.notes.remark(self.first_flat_line, "all fixes are marked two-dimensional (validity V); positions were used, GNSS altitudes were not");
            for fix in flat {
                self.collector
                    .offer_from(&fix, |part| place_of(part, fix.line));
            }
            return;
        }
        self.collector.offered = self.collector.offered.saturating_add(self.flat_records);
        self.collector.notes.add(super::Note {
            first_line: self.first_flat_line,
            first_column: record::VALIDITY as u32 + 1,
            count: self.flat_records,
            dropped_fixes: self.flat_records,
            what: "marked as without a three-dimensional fix (validity V); such records repeat the last position".to_owned(),
        });
    }

    fn finish_altitudes(&mut self) {
        if self.headers.no_gnss_altitude {
            for fix in &mut self.collector.fixes {
                fix.gnss_altitude_m = None;
            }
            self.collector.notes.remark(
                0,
                "the header says there is no GNSS altitude (HFALG NIL); left out",
            );
        }
        if self.headers.no_pressure_altitude {
            for fix in &mut self.collector.fixes {
                fix.pressure_altitude_m = None;
            }
            self.collector.notes.remark(
                0,
                "the header says that pressure altitude is not to 1013.25 hPa (HFALP); left out",
            );
        }
    }

    /// ENL is the field for engine noise; where it is dead, the propulsion sensor MOP stands for it (A7).
    fn finish_engine_noise(&mut self) {
        if self.collector.is_alive(ENGINE_NOISE) || self.mop.iter().flatten().all(|v| *v == 0.0) {
            return;
        }
        for (fix, value) in self.collector.fixes.iter_mut().zip(&self.mop) {
            fix.engine_noise = *value;
        }
        self.collector.mark_alive(ENGINE_NOISE);
        self.collector.notes.remark(
            0,
            "engine noise (ENL) is 0 throughout: the propulsion sensor (MOP) was used instead",
        );
    }
}

/// Where a B record has what makes it a fix.
fn place_of(part: Part, line: u32) -> Place {
    let at = match part {
        Part::Time => record::TIME.start,
        Part::Latitude => record::LATITUDE.start,
        Part::Longitude => record::LONGITUDE.start,
    };
    Place {
        line,
        column: at as u32 + 1,
    }
}

#[cfg(test)]
mod tests;
