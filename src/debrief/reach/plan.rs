//! The orbits that would have led abeam at the height wanted, over the draws.

use super::super::document::{HeightPlanned, OrbitHeight};
use super::Over;
use crate::measures::height_plan::{
    BANKS_DEG, HeightPlan, PLANNED_BANK_DEG, fitted, height_plan as plan_of, orbit_m,
};
use crate::quantity::from_draws;
use crate::units::{M_PER_FT, ft};

/// The plan of one draw, and the whole orbits with their bank that fit it.
type Fitted = (HeightPlan, Option<(u32, f64)>);

/// The plan; `None` without an abeam point after the power reduction, outside of gaps, or a height wanted there.
pub(super) fn height_plan(over: &Over<'_>) -> Option<HeightPlanned> {
    let target_ft = over.briefing.targets.abeam_height_ft?;
    if over.lost.reason_at("abeam").is_some() {
        return None;
    }
    let plans: Vec<Option<Fitted>> = over
        .each()
        .map(|(drawn, hand)| {
            let glider = hand?.glider();
            let plan = plan_of(drawn, glider)?;
            let middle_m = M_PER_FT * (target_ft + 0.5 * plan.for_orbits_ft.max(0.0));
            let orbit_ft = |bank_deg: f64| ft(orbit_m(glider, bank_deg, middle_m));
            Some((plan, fitted(plan.for_orbits_ft, orbit_ft)))
        })
        .collect();
    let why = "too uncertain whether there was an abeam point";
    let of = |f: &dyn Fn(&Fitted) -> f64| -> Vec<f64> {
        plans
            .iter()
            .map(|p| p.as_ref().map_or(f64::NAN, f))
            .collect()
    };
    let for_orbits_ft = from_draws(&of(&|p| p.0.for_orbits_ft), why);
    let room_ft = for_orbits_ft.value()?;
    let flown_ft = from_draws(&of(&|p| p.0.flown_ft), why);
    let orbits: Vec<OrbitHeight> = BANKS_DEG
        .iter()
        .enumerate()
        .map(|(i, bank_deg)| OrbitHeight {
            bank_deg: *bank_deg,
            height_ft: from_draws(&of(&|p| p.0.orbit_ft[i]), why),
        })
        .collect();
    let orbits_planned = most_common(plans.iter().flatten().filter_map(|p| p.1.map(|f| f.0)))
        .filter(|(_, times)| 2 * times > plans.len())
        .map(|(count, _)| count);
    let no_orbit = "no whole number of orbits fits the height there was";
    let of_that_many = |f: &dyn Fn(&HeightPlan, f64) -> f64| -> Vec<f64> {
        of(&|p| match (p.1, orbits_planned) {
            (Some((count, bank_deg)), Some(planned)) if count == planned => f(&p.0, bank_deg),
            _ => f64::NAN,
        })
    };
    let bank_deg = from_draws(&of_that_many(&|_, bank_deg| bank_deg), no_orbit);
    let planned_bank = BANKS_DEG.iter().position(|b| *b == PLANNED_BANK_DEG)?;
    let overhead = of(&|p| {
        let count = f64::from(orbits_planned.unwrap_or(0));
        p.0.overhead_without_orbits_ft + count * p.0.orbit_ft[planned_bank]
    });
    let overhead_height_ft =
        from_draws(&overhead, "did not pass overhead after the power reduction");
    let abeam_ft = from_draws(&of(&|p| p.0.abeam_ft), why).value()?;
    let flown_orbits = from_draws(&flown_orbits(over), "").value().unwrap_or(0.0);
    let words = words(&Said {
        room_ft,
        target_ft,
        abeam_ft,
        flown_orbits,
        planned: orbits_planned.zip(bank_deg.value()),
        overhead_ft: overhead_height_ft.value(),
        flat_orbit_ft: orbits[planned_bank].height_ft.value().unwrap_or(f64::NAN),
    });
    Some(HeightPlanned {
        for_orbits_ft,
        flown_ft,
        orbits,
        orbits_planned,
        bank_deg,
        overhead_height_ft,
        words,
    })
}

fn flown_orbits(over: &Over<'_>) -> Vec<f64> {
    over.draws
        .iter()
        .map(|d| {
            let from_s = d.known.power_reduction_s;
            let to_s = d.times.abeam_s.unwrap_or(from_s);
            crate::key_points::turns::turns(&d.flown, from_s, to_s)
                .iter()
                .map(crate::key_points::turns::orbits_in)
                .sum()
        })
        .collect()
}

/// The value found most often, the smallest of them, and how often.
fn most_common(values: impl Iterator<Item = u32>) -> Option<(u32, usize)> {
    let mut counts = std::collections::BTreeMap::new();
    for value in values {
        *counts.entry(value).or_insert(0_usize) += 1;
    }
    counts
        .into_iter()
        .max_by_key(|(value, times)| (*times, std::cmp::Reverse(*value)))
}

struct Said {
    room_ft: f64,
    target_ft: f64,
    abeam_ft: f64,
    flown_orbits: f64,
    planned: Option<(u32, f64)>,
    overhead_ft: Option<f64>,
    flat_orbit_ft: f64,
}

/// Less than this is nothing to lose, ft: a wider downwind takes more.
const LITTLE_FT: f64 = 50.0;

fn words(said: &Said) -> String {
    let tens = |ft: f64| (ft / 10.0).round() * 10.0;
    let orbits = |n: u32| {
        if n == 1 {
            "1 orbit".into()
        } else {
            format!("{n} orbits")
        }
    };
    let flown = format!(
        "flown: {}, abeam at {:.0} ft",
        orbits(said.flown_orbits.round().max(0.0) as u32),
        tens(said.abeam_ft)
    );
    let Some((count, bank_deg)) = said.planned else {
        return if said.room_ft < 0.0 {
            format!(
                "no height for an orbit: {:.0} ft too low for {:.0} ft abeam even without one; {flown}",
                tens(-said.room_ft),
                said.target_ft
            )
        } else if said.room_ft >= said.flat_orbit_ft {
            format!(
                "{:.0} ft to lose before {:.0} ft abeam, one orbit at {PLANNED_BANK_DEG:.0}° taking {:.0} ft: how many orbits fit is too uncertain to say; {flown}",
                tens(said.room_ft),
                said.target_ft,
                tens(said.flat_orbit_ft)
            )
        } else if tens(said.room_ft) < LITTLE_FT {
            format!(
                "no height to lose before {:.0} ft abeam: straight to the downwind; {flown}",
                said.target_ft
            )
        } else {
            format!(
                "{:.0} ft to lose before {:.0} ft abeam, where one orbit at {PLANNED_BANK_DEG:.0}° takes {:.0} ft: too little for one, to be lost by a wider downwind; {flown}",
                tens(said.room_ft),
                said.target_ft,
                tens(said.flat_orbit_ft)
            )
        };
    };
    let overhead = said.overhead_ft.map_or_else(String::new, |ft| {
        format!(
            "; or overhead at {:.0} ft, then {} at {PLANNED_BANK_DEG:.0}°",
            tens(ft),
            orbits(count)
        )
    });
    format!(
        "{:.0} ft to lose before {:.0} ft abeam: {} at {bank_deg:.0}° of bank{overhead}; {flown}",
        tens(said.room_ft),
        said.target_ft,
        orbits(count)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_plan_in_words() {
        let said = Said {
            room_ft: 1153.0,
            target_ft: 1000.0,
            abeam_ft: 1238.0,
            flown_orbits: 1.0,
            planned: Some((2, 30.2)),
            overhead_ft: Some(2512.0),
            flat_orbit_ft: 578.0,
        };
        assert_eq!(
            words(&said),
            "1150 ft to lose before 1000 ft abeam: 2 orbits at 30° of bank; or overhead at 2510 ft, then 2 orbits at 30°; flown: 1 orbit, abeam at 1240 ft"
        );
        let low = Said {
            room_ft: -203.0,
            planned: None,
            flown_orbits: 0.0,
            ..said
        };
        assert!(words(&low).starts_with("no height for an orbit: 200 ft too low"));
    }

    #[test]
    fn the_most_common_count() {
        assert_eq!(most_common([2, 3, 2, 1].into_iter()), Some((2, 2)));
        assert_eq!(most_common([3, 2].into_iter()), Some((2, 1)));
        assert_eq!(most_common(std::iter::empty()), None);
    }
}
