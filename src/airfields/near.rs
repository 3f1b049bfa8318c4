//! Runways near a place or a track, and airfields of nearly the same name.

use std::collections::BTreeMap;

use super::{Airfields, Runway};
use crate::briefing::spelling::distance;
use crate::geodesy::great_circle_m;
use crate::units::M_PER_NM;

/// Most places of a track that are looked at.
const MOST_PLACES: usize = 400;
/// Letters in which a code may differ and still be meant.
const MOST_SLIPS: usize = 2;

impl Airfields {
    /// Runways with an end within `radius_nm` of a place (degrees), nearest first.
    pub fn within(&self, place_deg: (f64, f64), radius_nm: f64) -> Vec<&Runway> {
        self.along(&[place_deg], radius_nm)
    }

    /// Runways with an end within `radius_nm` of any place of a track (degrees), nearest first.
    pub fn along(&self, places_deg: &[(f64, f64)], radius_nm: f64) -> Vec<&Runway> {
        let places = thinned(places_deg);
        let mut found: Vec<(f64, &Runway)> = self
            .runways
            .iter()
            .map(|runway| (distance_m(runway, &places), runway))
            .filter(|(m, _)| *m <= radius_nm * M_PER_NM)
            .collect();
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        found.into_iter().map(|(_, runway)| runway).collect()
    }

    /// Airfields whose ident or another code is nearly `code`: fewest slips first, then nearest to the
    /// places of the track (degrees).
    pub fn alike(&self, code: &str, places_deg: &[(f64, f64)], most: usize) -> Vec<String> {
        let places = thinned(places_deg);
        let code = code.trim().to_ascii_uppercase();
        // a code of three letters that differs in two is another code
        let most_slips = MOST_SLIPS.min(code.chars().count() / 2);
        let mut found: BTreeMap<&str, (usize, f64)> = BTreeMap::new();
        for runway in &self.runways {
            let codes = std::iter::once(&runway.airfield).chain(&runway.codes);
            let slips = codes.map(|known| distance(&code, known)).min();
            if let Some(slips) = slips.filter(|slips| *slips <= most_slips) {
                let entry = (slips, distance_m(runway, &places));
                found.entry(&runway.airfield).or_insert(entry);
            }
        }
        let mut found: Vec<_> = found.into_iter().collect();
        found.sort_by(|(_, a), (_, b)| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        found
            .into_iter()
            .take(most)
            .map(|(ident, _)| ident.to_owned())
            .collect()
    }
}

/// Runways in words, those of one airfield together: `ZZLA 09/27, 18/36; ZZRB 05/23`; none where there are none.
pub fn listed(runways: &[&Runway], most_airfields: usize) -> Option<String> {
    let mut by_airfield: Vec<(&str, Vec<String>)> = Vec::new();
    for runway in runways {
        let name = format!("{}/{}", runway.ends[0].name, runway.ends[1].name);
        match by_airfield.iter_mut().find(|(a, _)| *a == runway.airfield) {
            Some((_, names)) => names.push(name),
            None => by_airfield.push((&runway.airfield, vec![name])),
        }
    }
    let words: Vec<String> = by_airfield
        .iter()
        .take(most_airfields)
        .map(|(airfield, names)| format!("{airfield} {}", names.join(", ")))
        .collect();
    (!words.is_empty()).then(|| words.join("; "))
}

/// Distance of the nearer end from the nearest of the places, m; infinite where there is no place.
fn distance_m(runway: &Runway, places: &[(f64, f64)]) -> f64 {
    let ends = || {
        runway
            .ends
            .iter()
            .map(|e| (e.latitude_deg, e.longitude_deg))
    };
    places
        .iter()
        .flat_map(|place| ends().map(|end| great_circle_m(*place, end)))
        .fold(f64::INFINITY, f64::min)
}

fn thinned(places: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let step = places.len().div_ceil(MOST_PLACES).max(1);
    places.iter().step_by(step).copied().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const THREE: &str = "ZZLA\t\t09\t27\t2600\t\t51\t-2\t\t\t51\t-1.9887\t\t\n\
        ZZLA\t\t18\t36\t2000\t\t51.005\t-2\t\t\t51\t-2\t\t\n\
        ZZLB\t\t05\t23\t1800\t\t51.2\t-2.1\t\t\t51.203\t-2.095\t\t\n\
        YYLA\tOAK\t05\t23\t1800\t\t41.2\t-2.1\t\t\t41.203\t-2.095\t\t\n";

    #[test]
    fn near_runways_are_listed_by_airfield() {
        let table = Airfields::read(THREE).unwrap();
        // 51.2 is 12 NM north of 51.0
        let near = table.within((51.0, -2.0), 5.0);
        assert_eq!(listed(&near, 6).unwrap(), "ZZLA 09/27, 18/36");
        let along = table.along(&[(51.19, -2.1), (51.1, -2.0), (51.02, -2.0)], 5.0);
        assert_eq!(listed(&along, 6).unwrap(), "ZZLB 05/23; ZZLA 18/36, 09/27");
        assert_eq!(listed(&along, 1).unwrap(), "ZZLB 05/23");
        assert_eq!(listed(&[], 6), None);
    }

    #[test]
    fn the_fewest_slips_come_first_and_then_the_nearest() {
        let table = Airfields::read(THREE).unwrap();
        assert_eq!(
            table.alike("zzlc", &[(51.0, -2.0)], 3),
            ["ZZLA", "ZZLB"],
            "one slip each; ZZLA is where the track is"
        );
        assert_eq!(table.alike("zzlc", &[(51.2, -2.1)], 1), ["ZZLB"]);
        assert_eq!(table.alike("OAC", &[], 3), ["YYLA"]);
        assert!(table.alike("QQQQ", &[], 3).is_empty());
    }
}
