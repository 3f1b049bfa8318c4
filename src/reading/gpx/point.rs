//! A point of a GPX document: opened, filled from its elements, and closed.

use quick_xml::events::BytesStart;

use super::tag::{Field, Tag};
use super::{Place, Walk, offset_within};
use crate::reading::collect::Part;
use crate::reading::{Fix, clock, number};

/// A point while its element is open.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Open {
    fix: Fix,
    /// Byte of its element, and of the values that make it a fix.
    at: usize,
    latitude_at: usize,
    longitude_at: usize,
    time_at: usize,
    latitude: Option<f64>,
    longitude: Option<f64>,
    utc_s: Option<f64>,
    bad_time: bool,
    no_position: bool,
    flat: bool,
}

impl Walk<'_, '_> {
    pub(super) fn open_point(&mut self, element: &BytesStart<'_>, at: usize) {
        let mut open = Open {
            fix: Fix {
                line: self.line_number(at),
                segment: self.segment,
                ..Fix::default()
            },
            at,
            latitude_at: at,
            longitude_at: at,
            time_at: at,
            ..Open::default()
        };
        for attribute in element.attributes().with_checks(false).flatten() {
            let value = attribute.value.as_bytes();
            let value_at = offset_within(self.text.as_bytes(), value).unwrap_or(at);
            match attribute.key.as_ref() {
                "lat" => {
                    open.latitude = degrees(value);
                    open.latitude_at = value_at;
                }
                "lon" => {
                    open.longitude = degrees(value);
                    open.longitude_at = value_at;
                }
                _ => {}
            }
        }
        self.open = Some(open);
    }

    /// The value of an element that just ended, taken into the point if it belongs there.
    pub(super) fn take_field(&mut self, field: Field) {
        let value = if self.joined.is_empty() {
            self.piece
        } else {
            self.joined.as_str()
        };
        let value = value.trim();
        if field == Field::Name {
            if self.stack.last().is_some_and(|(t, _)| *t == Tag::Track) {
                self.collector.say("track name", value);
            }
            return;
        }
        let Some(open) = &mut self.open else { return };
        let direct = self.stack.len() == self.point_depth + 1;
        let between = self.stack.get(self.point_depth + 1..).unwrap_or(&[]);
        if !direct && (!field.in_extensions() || between.iter().any(|(t, _)| *t == Tag::Summary)) {
            return;
        }
        let bytes = value.as_bytes();
        let fix = &mut open.fix;
        let slot = match field {
            Field::Time => {
                open.time_at = offset_within(self.text.as_bytes(), bytes).unwrap_or(open.at);
                match clock::parse(bytes) {
                    Some(stamp) => {
                        if !stamp.zoned {
                            self.collector
                                .notes
                                .remark(fix.line, "time without a zone, read as UTC");
                        }
                        open.utc_s = Some(stamp.utc_s);
                    }
                    None if value.is_empty() => {}
                    None => open.bad_time = true,
                }
                return;
            }
            Field::FixKind => {
                open.no_position = value == "none";
                open.flat = value == "2d";
                return;
            }
            Field::Name => return,
            Field::Elevation => &mut fix.gnss_altitude_m,
            Field::Speed => &mut fix.ground_speed_mps,
            Field::Course => &mut fix.track_deg_true,
            Field::Accuracy => &mut fix.accuracy_m,
            Field::VerticalSpeed => &mut fix.vertical_speed_mps,
        };
        if slot.is_some() && !direct {
            return; // the point's own value stands before one in its extensions
        }
        match number::parse(bytes).or_else(|| number::parse_grouped(bytes, true)) {
            Some(number) => *slot = Some(number as f32),
            None if value.is_empty() || value.eq_ignore_ascii_case("nan") => {}
            None => self
                .collector
                .notes
                .remark(open.fix.line, "a value that is not a number, left out"),
        }
    }

    pub(super) fn close_point(&mut self) {
        let Some(mut open) = self.open.take() else {
            return;
        };
        let kind = self
            .stack
            .get(self.point_depth)
            .map_or(Tag::Point, |(tag, _)| *tag);
        let line = open.fix.line;
        match kind {
            Tag::Waypoint => {
                self.waypoints.add(open.at);
                return;
            }
            Tag::RoutePoint => self.route_points.add(open.at),
            _ => {}
        }
        let is_track = kind == Tag::Point;
        let text = self.text;
        let mut refuse = |what: &str, at: usize| {
            if is_track {
                self.collector.refuse(what, || Place::in_text(text, at));
            }
        };
        let (Some(latitude_deg), Some(longitude_deg)) = (open.latitude, open.longitude) else {
            let at = match open.latitude {
                None => open.latitude_at,
                Some(_) => open.longitude_at,
            };
            refuse("latitude or longitude missing or not a number", at);
            return;
        };
        let Some(utc_s) = open.utc_s else {
            if open.bad_time {
                refuse("a time that cannot be read", open.time_at);
            } else {
                refuse("no time", open.at);
                if is_track {
                    self.untimed.add(open.at);
                }
            }
            return;
        };
        if open.no_position {
            refuse("marked as without a position (`fix` none)", open.at);
            return;
        }
        if open.flat && open.fix.gnss_altitude_m.take().is_some() {
            self.collector
                .notes
                .remark(line, "altitude of a two-dimensional fix, left out");
        }
        open.fix.utc_s = utc_s;
        open.fix.latitude_deg = latitude_deg;
        open.fix.longitude_deg = longitude_deg;
        if is_track {
            self.collector.offer_from(&open.fix, |part| {
                let at = match part {
                    Part::Latitude => open.latitude_at,
                    Part::Longitude => open.longitude_at,
                    Part::Time => open.time_at,
                };
                Place::in_text(text, at)
            });
        } else if self.route.len() < 100_000 {
            self.route.push(open.fix);
        }
    }
}

/// Degrees as attributes have them; some programs write the decimal comma of their language.
fn degrees(value: &[u8]) -> Option<f64> {
    number::parse(value).or_else(|| number::parse_grouped(value, true))
}
