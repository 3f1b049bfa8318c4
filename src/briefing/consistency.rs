//! Values of a briefing that cannot be true together.

use std::ops::Range;

use super::error::Complaint;
use super::limits::{LEAST_WEIGHT_RATIO, tidy};
use super::metar::{self, MetarError};
use super::parse::{Reader, Section};
use super::{Air, Aircraft, Targets};
use crate::units::KG_PER_LB;

impl Reader<'_> {
    pub(super) fn air_holds_together(&mut self, section: Section<'_>, air: &Air) {
        let mut metar_has_wind = false;
        if let (Some(value), Some(text)) = (section.get("metar"), &air.metar) {
            match metar::read(text) {
                Ok(metar) => metar_has_wind = metar.wind.is_some(),
                Err(error) => {
                    let span = self.span_of_group(value.span(), &error);
                    let help =
                        "correct the group, or leave the METAR out and give the keys beside it";
                    self.report(span, error.into(), Some(help.into()));
                }
            }
        }
        let speed_is_known =
            section.get("wind_kt").is_some() || section.get("metar").is_some() && metar_has_wind;
        if let (Some(value), false) = (section.get("wind_from_deg_true"), speed_is_known) {
            let complaint = Complaint::Incomplete {
                found: "wind_from_deg_true".into(),
                missing: "wind_kt".into(),
            };
            self.report(value.span(), complaint, None);
        }
    }

    pub(super) fn aircraft_holds_together(&mut self, section: Section<'_>, aircraft: &Aircraft) {
        if let (Some(value), Some(weight_lb), Some(reference_lb)) = (
            section.get("weight_lb"),
            aircraft.weight_lb,
            aircraft.reference_weight_lb,
        ) {
            let ratio = weight_lb / reference_lb;
            let (key, weight) = if ratio < LEAST_WEIGHT_RATIO {
                ("weight_lb", weight_lb)
            } else if ratio.recip() < LEAST_WEIGHT_RATIO {
                ("reference_weight_lb", reference_lb)
            } else {
                ("", 0.0)
            };
            if !key.is_empty() {
                let complaint = Complaint::Contradiction(format!(
                    "a weight of {} lb does not go with a reference weight of {} lb",
                    tidy(weight_lb),
                    tidy(reference_lb)
                ));
                let help = format!(
                    "if `{key}` is in kilograms, it is {:.0} lb",
                    weight / KG_PER_LB
                );
                self.report(value.span(), complaint, Some(help));
            }
        }
        // A slower one first.
        for (slower, slower_kt, faster, faster_kt) in [
            (
                "stall_landing_kcas",
                aircraft.stall_landing_kcas,
                "stall_clean_kcas",
                aircraft.stall_clean_kcas,
            ),
            (
                "stall_clean_kcas",
                aircraft.stall_clean_kcas,
                "best_glide_kcas",
                aircraft.best_glide_kcas,
            ),
            (
                "stall_landing_kcas",
                aircraft.stall_landing_kcas,
                "approach_kcas",
                aircraft.approach_kcas,
            ),
        ] {
            if let (Some(value), Some(slower_kt), Some(faster_kt)) =
                (section.get(slower), slower_kt, faster_kt)
                && slower_kt > faster_kt
            {
                let complaint = Complaint::Contradiction(format!(
                    "`{slower}` of {} kt is above `{faster}` of {} kt",
                    tidy(slower_kt),
                    tidy(faster_kt)
                ));
                self.report(value.span(), complaint, Some("likely exchanged".into()));
            }
        }
    }

    pub(super) fn targets_hold_together(
        &mut self,
        section: Section<'_>,
        targets: &Targets,
        aircraft: &Aircraft,
    ) {
        if let (Some(value), Some(hold_kt), Some(stall_kt)) = (
            section.get("glide_kcas"),
            targets.glide_kcas,
            aircraft.stall_clean_kcas,
        ) && hold_kt < stall_kt
        {
            let complaint = Complaint::Contradiction(format!(
                "`glide_kcas` of {} kt is below `stall_clean_kcas` of {} kt",
                tidy(hold_kt),
                tidy(stall_kt)
            ));
            self.report(value.span(), complaint, None);
        }
    }

    /// The bytes of a METAR group within the value it stands in; the whole value where it is not found.
    fn span_of_group(&self, value: Range<usize>, error: &MetarError) -> Range<usize> {
        let raw = self.raw(value.clone()).to_ascii_uppercase();
        match raw.find(&error.group) {
            Some(at) if !error.group.is_empty() => {
                value.start + at..value.start + at + error.group.len()
            }
            _ => value,
        }
    }
}
