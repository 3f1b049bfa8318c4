//! The I and J records: further columns of B and K records, by three-letter code (A3.3, A3.4, A7).

use crate::reading::{Fix, number};
use crate::units::MPS_PER_KMH;

/// Most columns of a B record that an extension may reach to.
const MAX_COLUMN: u32 = 999;

/// One extension of a record: a code and the bytes it stands in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Extension {
    code: Code,
    /// First byte, from 0.
    start: usize,
    /// Behind the last byte.
    end: usize,
}

/// The codes this reader uses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Code {
    Fxa,
    Enl,
    Mop,
    Rpm,
    Tas,
    Ias,
    Gsp,
    Trt,
    Var,
    Vat,
    Oat,
    Flp,
    Aor,
    Lad,
    Lod,
    Tds,
}

fn code(letters: &[u8]) -> Option<Code> {
    Some(match letters.to_ascii_uppercase().as_slice() {
        b"FXA" => Code::Fxa,
        b"ENL" => Code::Enl,
        b"MOP" => Code::Mop,
        b"RPM" => Code::Rpm,
        b"TAS" => Code::Tas,
        b"IAS" => Code::Ias,
        b"GSP" => Code::Gsp,
        b"TRT" => Code::Trt,
        b"VAR" => Code::Var,
        b"VAT" => Code::Vat,
        b"OAT" => Code::Oat,
        b"FLP" => Code::Flp,
        b"AOR" => Code::Aor,
        b"LAD" => Code::Lad,
        b"LOD" => Code::Lod,
        b"TDS" => Code::Tds,
        _ => return None,
    })
}

/// The extensions of a file's B or K records.
#[derive(Debug, Default)]
pub(super) struct Extensions {
    list: Vec<Extension>,
    /// Engine noise and a propulsion sensor both stand in the records.
    pub(super) has_both_engine_sensors: bool,
}

impl Extensions {
    /// `NN (SS FF CCC)...`: start and finish count from 1 (A3.3). The count is not relied on.
    pub(super) fn parse(rest: &[u8]) -> Self {
        let list = rest
            .get(2..)
            .unwrap_or(&[])
            .chunks_exact(7)
            .take(99)
            .filter_map(|entry| {
                let (start, finish) = (number::whole(&entry[..2])?, number::whole(&entry[2..4])?);
                let sound = start >= 8 && start <= finish && finish <= MAX_COLUMN;
                let code = code(&entry[4..])?;
                sound.then(|| Extension {
                    code,
                    start: start as usize - 1,
                    end: finish as usize,
                })
            })
            .collect::<Vec<Extension>>();
        let has = |code| list.iter().any(|e: &Extension| e.code == code);
        let has_both_engine_sensors = has(Code::Enl) && has(Code::Mop);
        Self {
            list,
            has_both_engine_sensors,
        }
    }

    /// The value of the propulsion sensor.
    pub(super) fn mop(&self, line: &[u8]) -> Option<f32> {
        let extension = self.list.iter().find(|e| e.code == Code::Mop)?;
        field(line.get(extension.start..extension.end)?).map(|v| v as f32)
    }

    pub(super) fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// Puts the extensions of a record into its fix.
    pub(super) fn apply(&self, line: &[u8], fix: &mut Fix) {
        for extension in &self.list {
            let Some(text) = line.get(extension.start..extension.end) else {
                continue;
            };
            let Some(value) = field(text) else { continue };
            extension.put(value, text.len(), fix);
        }
    }
}

impl Extension {
    fn put(self, value: f64, width: usize, fix: &mut Fix) {
        let narrow = |v: f64| Some(v as f32);
        match self.code {
            Code::Fxa => fix.accuracy_m = narrow(value),
            Code::Enl => fix.engine_noise = narrow(value),
            Code::Mop => fix.engine_noise = fix.engine_noise.or(narrow(value)),
            Code::Rpm => fix.engine_rpm = narrow(value),
            Code::Tas => fix.tas_mps = narrow(kmh(value, width)),
            Code::Ias => fix.ias_mps = narrow(kmh(value, width)),
            Code::Gsp => fix.ground_speed_mps = narrow(kmh(value, width)),
            // Whole degrees (A7); some write tenths or hundredths in a wider field.
            Code::Trt => {
                fix.track_deg_true = narrow(number::decimals(value, width.saturating_sub(3)));
            }
            // Compensated stands before uncompensated.
            Code::Vat => fix.vertical_speed_mps = narrow(climb_mps(value, width)),
            Code::Var => {
                fix.vertical_speed_mps = fix.vertical_speed_mps.or(narrow(climb_mps(value, width)));
            }
            Code::Oat => fix.oat_c = narrow(if width > 3 { value / 10.0 } else { value }),
            Code::Flp => fix.flap_deg = narrow(value),
            Code::Aor => fix.bank_deg = narrow(value),
            // Decimals of minutes behind the third (A4.1): away from the equator and from Greenwich.
            Code::Lad => fix.latitude_deg += finer_deg(value, width).copysign(fix.latitude_deg),
            Code::Lod => fix.longitude_deg += finer_deg(value, width).copysign(fix.longitude_deg),
            Code::Tds => fix.utc_s += number::decimals(value, width),
        }
    }
}

/// Digits with an optional minus before or among leading zeros.
#[inline]
fn field(text: &[u8]) -> Option<f64> {
    if let Some(value) = number::whole(text) {
        return Some(f64::from(value));
    }
    number::parse(text)
}

/// Kilometres per hour, in hundredths where the field is five characters or more.
fn kmh(value: f64, width: usize) -> f64 {
    if width >= 5 {
        value / 100.0 * MPS_PER_KMH
    } else {
        value * MPS_PER_KMH
    }
}

/// Metres and tenths per second without a point (A7), in hundredths where the field is five characters or more.
fn climb_mps(value: f64, width: usize) -> f64 {
    value / if width >= 5 { 100.0 } else { 10.0 }
}

/// Decimals of a thousandth of a minute, as degrees.
fn finer_deg(value: f64, width: usize) -> f64 {
    number::decimals(value, width) / 60_000.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ranges(rest: &[u8]) -> Vec<(usize, usize)> {
        Extensions::parse(rest)
            .list
            .iter()
            .map(|e| (e.start + 1, e.end))
            .collect()
    }

    /// FAI/IGC Technical Specification for GNSS Flight Recorders, second edition, AL8, A3.3.
    #[test]
    fn the_published_table() {
        // FXA and the two engine sensors; SIU at 39 to 40 has no use here.
        assert_eq!(
            ranges(b"043638FXA3940SIU4143ENL4446MOP"),
            [(36, 38), (41, 43), (44, 46)]
        );
        assert_eq!(ranges(b"014949TDS"), [(49, 49)]);
    }

    #[test]
    fn damaged_tables_lose_only_the_damaged_entries() {
        assert_eq!(ranges(b"033638FXA39x0ENL4143ENL"), [(36, 38), (41, 43)]);
        assert_eq!(ranges(b"023836FXA3638FX"), []);
        assert_eq!(ranges(b""), []);
        assert_eq!(ranges(b"0"), []);
        assert_eq!(ranges(b"010000ENL"), []);
    }

    #[test]
    fn further_decimals_of_position_and_time() {
        // 51 30.2507' north, 0 27.7503' west: computed by hand.
        let mut fix = Fix {
            latitude_deg: 51.0 + 30.250 / 60.0,
            longitude_deg: -27.750 / 60.0,
            ..Fix::default()
        };
        let line = b"B1015305130250N00027750WA0030500357735";
        Extensions::parse(b"033636LAD3737LOD3838TDS").apply(line, &mut fix);
        assert!((fix.latitude_deg - 51.504178333).abs() < 1e-9);
        assert!((fix.longitude_deg + 0.462505).abs() < 1e-9);
        assert!((fix.utc_s - 0.5).abs() < 1e-12);
    }

    #[test]
    fn units_of_the_specification() {
        let mut fix = Fix::default();
        Extensions::parse(b"020810HDT1113IAS").apply(b"K101530090126", &mut fix);
        // 126 km/h is 35.0 m/s.
        assert!((fix.ias_mps.unwrap() - 35.0).abs() < 1e-5);
        Extensions::parse(b"013638VAT").apply(b"B1015305130250N00027750WA0030500357-39", &mut fix);
        assert_eq!(fix.vertical_speed_mps, Some(-3.9));
    }

    #[test]
    fn blanks_are_no_value() {
        let mut fix = Fix::default();
        Extensions::parse(b"013638ENL").apply(b"B1015305130250N00027750WA0030500357   ", &mut fix);
        assert_eq!(fix.engine_noise, None);
    }
}
