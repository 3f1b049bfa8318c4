//! Where runways are: thresholds, elevations and directions, from a table of open data or a user's own.
//!
//! The table of the program is made by `scripts/runway_table.py`. Its data may be wrong or old, so whatever
//! rests on it says so.

mod near;
mod runway;
mod table;
mod used;

use std::io::Read;
use std::sync::LazyLock;

pub use near::listed;
pub use runway::{End, Landing, Runway, Spot};
pub use table::TableProblem;
pub use used::{Flown, Used};

/// The runways known, sorted by airfield.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Airfields {
    /// Where the table is from, in words; empty where it does not say.
    pub source: String,
    /// Day of the data, as the table has it; empty where it does not say.
    pub date: String,
    /// The runways.
    pub runways: Vec<Runway>,
}

/// Why an airfield or runway was not found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotFound {
    /// No airfield has that code.
    Airfield,
    /// Several airfields have that code: their idents.
    Several(Vec<String>),
    /// The airfield has no such runway; it has these.
    Runway(Vec<String>),
}

impl Airfields {
    /// The table of the program: about 13,700 runways with both ends placed.
    ///
    /// # Panics
    /// Never: the table is part of the program, and a test reads it.
    pub fn embedded() -> &'static Airfields {
        static TABLE: LazyLock<Airfields> = LazyLock::new(|| {
            let packed = include_bytes!("runways.txt.gz");
            let mut text = String::new();
            // a table that cannot be read is an empty one; the tests hold that it can
            let _ = flate2::read::GzDecoder::new(&packed[..]).read_to_string(&mut text);
            Airfields::read(&text).unwrap_or_default()
        });
        &TABLE
    }

    /// The runways of an airfield, by its ident or another code of it, upper or lower case.
    pub fn of_airfield(&self, code: &str) -> Result<Vec<&Runway>, NotFound> {
        let code = code.trim();
        let with = |test: &dyn Fn(&Runway) -> bool| -> Vec<&Runway> {
            self.runways.iter().filter(|runway| test(runway)).collect()
        };
        let by_ident = with(&|r| r.airfield.eq_ignore_ascii_case(code));
        if !by_ident.is_empty() {
            return Ok(by_ident);
        }
        let by_code = with(&|r| r.codes.iter().any(|c| c.eq_ignore_ascii_case(code)));
        let mut idents: Vec<String> = by_code.iter().map(|r| r.airfield.clone()).collect();
        idents.dedup();
        match idents.len() {
            0 => Err(NotFound::Airfield),
            1 => Ok(by_code),
            _ => Err(NotFound::Several(idents)),
        }
    }

    /// Landing on a runway of an airfield; `09`, `9` and `09 ` are the same runway.
    pub fn landing(&self, airfield: &str, runway: &str) -> Result<Landing, NotFound> {
        let there = self.of_airfield(airfield)?;
        let landings = || there.iter().flat_map(|runway| runway.landings());
        landings()
            .find(|landing| plain(&landing.runway) == plain(runway))
            .ok_or_else(|| NotFound::Runway(landings().map(|l| l.runway).collect()))
    }

    /// What a report has to say of a figure from this table.
    pub fn caution(&self) -> String {
        let date = if self.date.is_empty() {
            "undated".to_owned()
        } else {
            format!("of {}", self.date)
        };
        if self.source.is_empty() {
            format!("your own table of runways, {date}")
        } else {
            format!(
                "{}, data {date}: open data, may be wrong or old",
                self.source
            )
        }
    }
}

/// A runway's name as compared: upper case, without leading zeros.
fn plain(name: &str) -> String {
    let name = name.trim().to_ascii_uppercase();
    let short = name.trim_start_matches('0');
    if short.is_empty() {
        name
    } else {
        short.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TWO: &str = "# source: a club\n# date: 2026-05-01\n\
        ZZLA\tLARK,XLK\t09\t27\t2600\t90\t51\t-2\t310\t\t51\t-1.9887\t300\t200\n\
        ZZRB\tXLK\t5\t23\t1800\t\t51.2\t-2.1\t\t\t51.203\t-2.095\t\t\n";

    #[test]
    fn codes_and_leading_zeros_find_one_runway() {
        let table = Airfields::read(TWO).unwrap();
        for (airfield, runway) in [("ZZLA", "09"), ("zzla", "9"), ("lark", " 09 ")] {
            assert_eq!(table.landing(airfield, runway).unwrap().runway, "09");
        }
        assert_eq!(table.landing("ZZRB", "05").unwrap().runway, "5");
        assert_eq!(
            table.landing("ZZLA", "10"),
            Err(NotFound::Runway(vec!["09".into(), "27".into()]))
        );
        assert_eq!(table.landing("ZZXX", "09"), Err(NotFound::Airfield));
        assert_eq!(
            table.landing("XLK", "09"),
            Err(NotFound::Several(vec!["ZZLA".into(), "ZZRB".into()]))
        );
    }

    #[test]
    fn the_caution_names_source_and_date() {
        let table = Airfields::read(TWO).unwrap();
        assert_eq!(
            table.caution(),
            "a club, data of 2026-05-01: open data, may be wrong or old"
        );
        assert_eq!(
            Airfields::read("").unwrap().caution(),
            "your own table of runways, undated"
        );
    }
}
