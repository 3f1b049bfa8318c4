//! Fixes as they come out of a file: each is checked for itself here, whatever the format.

use super::channel::{self, CHANNELS, Stock};
use super::note::Notes;
use super::place::Place;
use super::{AltitudeDatum, Fix, RecordedEvent, clock};

/// Most fixes read from one file: 55 hours at 10 a second.
const MAX_FIXES: usize = 2_000_000;

/// Most events kept from one file.
const MAX_EVENTS: usize = 10_000;

/// Most lines about the recorder kept from one file.
const MAX_ABOUT: usize = 64;

/// Longest text kept from a file, characters.
const MAX_TEXT: usize = 200;

/// A part of a fix without which it is none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Part {
    Latitude,
    Longitude,
    Time,
}

/// What a reader hands over; the same for every format.
#[derive(Debug)]
pub(crate) struct Collector {
    /// In file order.
    pub(crate) fixes: Vec<Fix>,
    /// What was dropped or repaired so far.
    pub(crate) notes: Notes,
    /// What GNSS altitudes are measured from.
    pub(crate) gnss_datum: AltitudeDatum,
    /// Marks made while recording.
    pub(crate) events: Vec<RecordedEvent>,
    /// What the recorder says of itself.
    pub(crate) about: Vec<(String, String)>,
    /// Channels that were there at all, one bit each, as in [`CHANNELS`].
    pub(crate) seen: u16,
    /// Channels that were ever other than zero.
    pub(crate) alive: u16,
    /// An altitude of exactly zero was seen.
    pub(crate) zero_altitude: bool,
    /// Positions found, usable or not.
    pub(crate) offered: u32,
    full: bool,
}

impl Collector {
    /// An empty one that carries on with the notes made so far.
    pub(crate) fn new(notes: Notes, expected_fixes: usize) -> Self {
        Self {
            fixes: Vec::with_capacity(expected_fixes.min(MAX_FIXES)),
            notes,
            gnss_datum: AltitudeDatum::Unstated,
            events: Vec::new(),
            about: Vec::new(),
            seen: 0,
            alive: 0,
            zero_altitude: false,
            offered: 0,
            full: false,
        }
    }

    /// Takes a fix, or says in a note why not.
    #[inline]
    pub(crate) fn offer(&mut self, fix: &Fix) {
        self.offer_from(fix, |_| Place::line(fix.line));
    }

    /// The same where the reader knows the place of each part of a fix.
    #[inline]
    pub(crate) fn offer_from(&mut self, fix: &Fix, place: impl FnOnce(Part) -> Place) {
        if let Some((part, reason)) = refusal(fix) {
            self.refuse(reason, || place(part));
            return;
        }
        self.offered = self.offered.saturating_add(1);
        if self.fixes.len() >= MAX_FIXES {
            if !self.full {
                self.full = true;
                self.notes.remark(
                    fix.line,
                    "more fixes than one recording can be; only the first 2,000,000 were read",
                );
            }
            return;
        }
        let impossible = self.take_stock(fix);
        self.fixes.push(*fix);
        self.leave_out(impossible);
    }

    /// Counts a position of which no fix can be made.
    pub(crate) fn refuse(&mut self, what: &str, place: impl FnOnce() -> Place) {
        self.offered = self.offered.saturating_add(1);
        self.notes.dropped_at(what, place);
    }

    /// Puts a fix with more channels in the place of the last one.
    pub(crate) fn replace_last(&mut self, fix: Fix) {
        let impossible = self.take_stock(&fix);
        if let Some(last) = self.fixes.last_mut() {
            *last = fix;
        }
        self.leave_out(impossible);
    }

    /// Was this channel ever other than zero?
    pub(crate) fn is_alive(&self, channel: u16) -> bool {
        self.alive & channel != 0
    }

    /// A channel got values from elsewhere.
    pub(crate) fn mark_alive(&mut self, channel: u16) {
        self.seen |= channel;
        self.alive |= channel;
    }

    /// Marks which channels a fix has, and gives those that no sensor can have meant.
    #[inline]
    fn take_stock(&mut self, fix: &Fix) -> u16 {
        let Stock {
            present,
            inside,
            zero,
        } = channel::stock(fix);
        self.seen |= inside;
        self.alive |= inside & !zero;
        self.zero_altitude |= inside & zero & channel::ALTITUDES != 0;
        present & !inside
    }

    /// Takes channels out of the last fix.
    fn leave_out(&mut self, channels: u16) {
        if channels == 0 {
            return;
        }
        let Some(fix) = self.fixes.last_mut() else {
            return;
        };
        for (bit, channel) in CHANNELS.iter().enumerate() {
            if channels & (1 << bit) == 0 {
                continue;
            }
            let value = (channel.of)(fix).take().unwrap_or(f32::NAN);
            // A negative speed or direction is the usual way of saying "not known".
            if value >= 0.0 || channel.least < 0.0 {
                let what = format!("{} out of any range, left out", channel.name);
                self.notes.remark(fix.line, &what);
            }
        }
    }

    /// Keeps a mark made while recording.
    pub(crate) fn event(&mut self, utc_s: f64, what: &str) {
        if self.events.len() < MAX_EVENTS {
            self.events.push(RecordedEvent {
                utc_s,
                what: clip(what),
            });
        }
    }

    /// Keeps something the recorder says of itself; blanks are nothing.
    pub(crate) fn say(&mut self, label: &str, text: &str) {
        let text = text.trim();
        if !text.is_empty() && self.about.len() < MAX_ABOUT {
            self.about.push((clip(label), clip(text)));
        }
    }
}

/// Why a fix cannot be used, if it cannot.
fn refusal(fix: &Fix) -> Option<(Part, &'static str)> {
    if !(-90.0..=90.0).contains(&fix.latitude_deg) {
        return Some((Part::Latitude, "latitude outside -90 to 90 degrees"));
    }
    if !(-180.0..=180.0).contains(&fix.longitude_deg) {
        return Some((Part::Longitude, "longitude outside -180 to 180 degrees"));
    }
    if fix.latitude_deg == 0.0 && fix.longitude_deg == 0.0 {
        return Some((
            Part::Latitude,
            "position 0, 0: the recorder had no position",
        ));
    }
    if !clock::is_plausible(fix.utc_s) {
        return Some((Part::Time, "date outside 1980 to 2100"));
    }
    None
}

/// The first [`MAX_TEXT`] characters, control characters left out.
fn clip(text: &str) -> String {
    text.trim()
        .chars()
        .filter(|c| !c.is_control())
        .take(MAX_TEXT)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bits_and_channels_are_in_the_same_order() {
        for (bit, channel) in CHANNELS.iter().enumerate() {
            let mut fix = fix();
            *(channel.of)(&mut fix) = Some(0.5);
            let mut collector = Collector::new(Notes::default(), 0);
            collector.offer(&fix);
            assert_eq!(collector.alive, 1 << bit, "{}", channel.name);
        }
        assert_eq!(
            CHANNELS[channel::ENGINE_NOISE.trailing_zeros() as usize].name,
            "engine noise"
        );
    }

    fn fix() -> Fix {
        Fix {
            utc_s: 1.8e9,
            line: 3,
            latitude_deg: 51.0,
            longitude_deg: -2.0,
            ..Fix::default()
        }
    }

    #[test]
    fn refuses_impossible_places_and_dates_and_counts_them() {
        let mut collector = Collector::new(Notes::default(), 0);
        collector.offer(&Fix {
            latitude_deg: 95.0,
            ..fix()
        });
        collector.offer(&Fix {
            latitude_deg: f64::NAN,
            ..fix()
        });
        collector.offer(&Fix {
            longitude_deg: 180.5,
            ..fix()
        });
        collector.offer(&Fix {
            latitude_deg: 0.0,
            longitude_deg: 0.0,
            ..fix()
        });
        collector.offer(&Fix {
            utc_s: 0.0,
            ..fix()
        });
        collector.offer(&Fix {
            utc_s: f64::INFINITY,
            ..fix()
        });
        collector.offer(&Fix {
            longitude_deg: 180.0,
            ..fix()
        });
        assert_eq!(collector.fixes.len(), 1);
        assert_eq!(collector.notes.dropped_fixes(), 6);
        assert_eq!(collector.notes.into_list().len(), 4);
    }

    #[test]
    fn impossible_channels_cost_the_channel_not_the_fix() {
        let mut collector = Collector::new(Notes::default(), 0);
        collector.offer(&Fix {
            track_deg_true: Some(-1.0),
            ias_mps: Some(f32::NAN),
            oat_c: Some(850.0),
            ..fix()
        });
        assert_eq!(collector.fixes[0].track_deg_true, None);
        assert_eq!(collector.fixes[0].ias_mps, None);
        assert_eq!(collector.fixes[0].oat_c, None);
        let notes = collector.notes.into_list();
        assert_eq!(
            notes.len(),
            1,
            "only the temperature is worth a note: {notes:?}"
        );
    }
}
