//! GPX 1.0 and 1.1, streaming: a file cut short or damaged in the middle gives its fixes.
//!
//! Elements are told by local name, whatever the namespace prefix, and by where they
//! stand: `speed` counts within a track point (bare as in GPX 1.0, or anywhere in its
//! `extensions`), never within a lap or summary. Source of the formats: GPX 1.0 and
//! 1.1 schema documentation; `speed` is in m/s, `course` in degrees true, `ele` in
//! metres with no stated reference.

use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

use super::collect::Collector;
use super::error::ReadProblem;
use super::{Fix, clock, number};

/// Deepest nesting looked into; what is deeper is passed over.
const MAX_DEPTH: usize = 64;

/// How often the bytes of a damaged file may be gone over again, in units of its length.
const MAX_REREADS: usize = 4;

/// What an element is to this reader.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Tag {
    Track,
    Segment,
    Point,
    RoutePoint,
    Waypoint,
    /// A lap, a total, an average: its figures are not of one moment.
    Summary,
    Field(Field),
    Other,
}

/// A value of a point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Field {
    Elevation,
    Time,
    Speed,
    Course,
    FixKind,
    Accuracy,
    VerticalSpeed,
    Name,
}

impl Field {
    /// May stand below `extensions` too, not only directly in the point.
    fn in_extensions(self) -> bool {
        matches!(
            self,
            Self::Speed | Self::Course | Self::Accuracy | Self::VerticalSpeed
        )
    }
}

fn tag(local_name: &str) -> Tag {
    match local_name {
        "trkpt" => Tag::Point,
        "ele" => Tag::Field(Field::Elevation),
        "time" => Tag::Field(Field::Time),
        "speed" | "Speed" => Tag::Field(Field::Speed),
        "course" | "Course" | "cog" | "bearing" => Tag::Field(Field::Course),
        "fix" => Tag::Field(Field::FixKind),
        "accuracy" | "hacc" | "hAcc" | "horizontalAccuracy" => Tag::Field(Field::Accuracy),
        "vspeed" | "verticalSpeed" | "vertical_speed" => Tag::Field(Field::VerticalSpeed),
        "name" => Tag::Field(Field::Name),
        "trk" => Tag::Track,
        "trkseg" => Tag::Segment,
        "rtept" => Tag::RoutePoint,
        "wpt" => Tag::Waypoint,
        other => {
            let lower = other
                .get(..other.len().min(64))
                .unwrap_or("")
                .to_ascii_lowercase();
            if ["lap", "summary", "average", "total", "max"]
                .iter()
                .any(|w| lower.contains(w))
            {
                Tag::Summary
            } else {
                Tag::Other
            }
        }
    }
}

/// A point while its element is open.
#[derive(Debug, Clone, Copy, Default)]
struct Open {
    fix: Fix,
    latitude: Option<f64>,
    longitude: Option<f64>,
    utc_s: Option<f64>,
    bad_time: bool,
    no_position: bool,
    flat: bool,
}

struct Walk<'a, 'c> {
    text: &'a str,
    stack: Vec<(Tag, &'a str)>,
    /// Elements open beyond [`MAX_DEPTH`].
    deeper: usize,
    open: Option<Open>,
    /// Depth of the open point's element.
    point_depth: usize,
    /// The text of the field that is open: one piece in the file, or several joined.
    piece: &'a str,
    joined: String,
    segment: u32,
    line: u32,
    line_at: usize,
    route: Vec<Fix>,
    route_points: u32,
    waypoints: u32,
    untimed: u32,
    first_untimed_line: u32,
    closed: bool,
    collector: &'c mut Collector,
}

/// Reads the track of a GPX document.
pub(crate) fn read(text: &str, collector: &mut Collector) -> Result<(), ReadProblem> {
    let mut walk = Walk {
        text,
        stack: Vec::with_capacity(16),
        deeper: 0,
        open: None,
        point_depth: 0,
        piece: "",
        joined: String::new(),
        segment: 0,
        line: 1,
        line_at: 0,
        route: Vec::new(),
        route_points: 0,
        waypoints: 0,
        untimed: 0,
        first_untimed_line: 0,
        closed: false,
        collector,
    };
    walk.run();
    walk.finish()
}

impl<'a> Walk<'a, '_> {
    /// Goes through the document, starting anew behind any damage.
    fn run(&mut self) {
        let mut from = 0;
        let mut budget = self.text.len().saturating_mul(MAX_REREADS);
        while let Some(damage) = self.walk_from(from) {
            let line = self.line_number(damage.start);
            // Whatever stood open is lost; the next start of a track point is sound ground.
            if self.open.take().is_some() {
                self.collector
                    .notes
                    .dropped(line, "a track point that is cut or damaged");
            }
            let Some(next) = self.text[damage.start + 1..]
                .find("<trkpt")
                .map(|i| damage.start + 1 + i)
            else {
                self.collector
                    .notes
                    .remark(line, "damaged XML; nothing more could be read behind it");
                return;
            };
            self.collector
                .notes
                .remark(line, "damaged XML, passed over up to the next track point");
            let cost = damage.seen_to.saturating_sub(next);
            if cost > budget {
                self.collector
                    .notes
                    .remark(line, "too much damage: the rest was not read");
                return;
            }
            budget -= cost;
            self.stack.clear();
            self.deeper = 0;
            from = next;
        }
    }

    /// Goes through the document from a byte on; `Some` where it is too damaged to go on.
    fn walk_from(&mut self, from: usize) -> Option<Damage> {
        let mut reader = Reader::from_str(&self.text[from..]);
        let config = reader.config_mut();
        config.check_end_names = false;
        config.allow_unmatched_ends = true;
        config.allow_dangling_amp = true;
        loop {
            let start = from + reader.buffer_position() as usize;
            let event = match reader.read_event() {
                Ok(event) => event,
                Err(_) => {
                    return self.text.is_char_boundary(start).then_some(Damage {
                        start: self.next_bracket(start),
                        seen_to: self.text.len(),
                    });
                }
            };
            match event {
                Event::Start(element) => {
                    if let Some(damage) = self.start(&element, start) {
                        return Some(damage);
                    }
                }
                Event::Empty(element) => {
                    if let Some(damage) = self.start(&element, start) {
                        return Some(damage);
                    }
                    self.pop();
                }
                Event::End(element) => self.end(element.name().as_ref()),
                Event::Text(text) => self.take_text(text.into_inner()),
                Event::CData(text) => self.take_text(text.into_inner()),
                Event::GeneralRef(reference) => {
                    if let Ok(Some(character)) = reference.resolve_char_ref() {
                        self.take_text(std::borrow::Cow::Owned(character.to_string()));
                    }
                }
                Event::Eof => return None,
                Event::Comment(_) | Event::Decl(_) | Event::PI(_) | Event::DocType(_) => {}
            }
        }
    }

    /// The first `<` at or behind a byte.
    fn next_bracket(&self, at: usize) -> usize {
        self.text[at..]
            .find('<')
            .map_or(self.text.len() - 1, |i| at + i)
    }

    fn line_number(&mut self, at: usize) -> u32 {
        let bytes = self.text.as_bytes();
        if at < self.line_at {
            self.line = 1;
            self.line_at = 0;
        }
        let ends = bytes[self.line_at..at]
            .iter()
            .filter(|b| **b == b'\n')
            .count();
        self.line = self.line.saturating_add(ends as u32);
        self.line_at = at;
        self.line
    }

    fn start(&mut self, element: &BytesStart<'_>, at: usize) -> Option<Damage> {
        let raw = element.attributes_raw();
        let name_length = element.name().as_ref().len();
        if let Some(inner) = raw.find('<') {
            // A start tag inside a start tag: the line before was cut.
            let start = at + 1 + name_length + inner;
            return Some(Damage {
                start: start - 1,
                seen_to: at + 1 + name_length + raw.len(),
            });
        }
        let name = self.text.get(at + 1..at + 1 + name_length).unwrap_or("");
        let local = local_name(name);
        let tag = tag(local);
        // A value holds no elements: one that is open here was never closed.
        if matches!(self.stack.last(), Some((Tag::Field(_), _))) {
            self.pop();
        }
        match tag {
            Tag::Point | Tag::RoutePoint | Tag::Waypoint => {
                if self.open.is_some() {
                    // The point before was never closed.
                    self.close_point();
                    self.stack.truncate(self.point_depth);
                }
                let line = self.line_number(at);
                self.open_point(element, line);
                self.point_depth = self.stack.len();
            }
            Tag::Segment | Tag::Track => self.segment = self.segment.saturating_add(1),
            _ if self.stack.is_empty() && local == "gpx" => {
                self.attribute_note(element, "creator", "recorder");
                self.attribute_note(element, "version", "GPX version");
            }
            _ => {}
        }
        if self.stack.len() < MAX_DEPTH {
            self.stack.push((tag, name));
        } else {
            self.deeper += 1;
        }
        self.piece = "";
        self.joined.clear();
        None
    }

    fn attribute_note(&mut self, element: &BytesStart<'_>, attribute: &str, label: &str) {
        if let Ok(Some(found)) = element.try_get_attribute(attribute) {
            self.collector.say(label, &found.value);
        }
    }

    fn open_point(&mut self, element: &BytesStart<'_>, line: u32) {
        let mut open = Open {
            fix: Fix {
                line,
                segment: self.segment,
                ..Fix::default()
            },
            ..Open::default()
        };
        for attribute in element.attributes().with_checks(false).flatten() {
            let value = attribute.value.as_bytes();
            match attribute.key.as_ref() {
                "lat" => open.latitude = number::parse(value),
                "lon" => open.longitude = number::parse(value),
                _ => {}
            }
        }
        self.open = Some(open);
    }

    fn end(&mut self, name: &str) {
        if self.deeper > 0 {
            self.deeper -= 1;
            return;
        }
        if self.stack.last().is_some_and(|(_, n)| *n == name) {
            self.pop();
        } else if let Some(depth) = self.stack.iter().rposition(|(_, n)| *n == name) {
            while self.stack.len() > depth {
                self.pop();
            }
        }
        if local_name(name) == "gpx" {
            self.closed = true;
        }
    }

    /// Leaves the innermost element.
    fn pop(&mut self) {
        if self.deeper > 0 {
            self.deeper -= 1;
            return;
        }
        let Some((tag, _)) = self.stack.pop() else {
            return;
        };
        match tag {
            Tag::Field(field) => self.take_field(field),
            Tag::Point | Tag::RoutePoint | Tag::Waypoint => {
                self.stack.push((tag, ""));
                self.close_point();
                self.stack.pop();
            }
            _ => {}
        }
    }

    fn take_text(&mut self, text: std::borrow::Cow<'a, str>) {
        // Longer than any value: it is not one.
        const LONGEST: usize = 256;
        if !matches!(self.stack.last(), Some((Tag::Field(_), _))) || self.deeper > 0 {
            return;
        }
        match text {
            std::borrow::Cow::Borrowed(text) if self.piece.is_empty() && self.joined.is_empty() => {
                self.piece = text
            }
            text => {
                if self.joined.is_empty() {
                    self.joined.push_str(self.piece);
                }
                if self.joined.len() + text.len() <= LONGEST {
                    self.joined.push_str(&text);
                }
            }
        }
    }

    /// The value of an element that just ended, taken into the point if it belongs there.
    fn take_field(&mut self, field: Field) {
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

    fn close_point(&mut self) {
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
                self.waypoints = self.waypoints.saturating_add(1);
                return;
            }
            Tag::RoutePoint => self.route_points = self.route_points.saturating_add(1),
            _ => {}
        }
        let is_track = kind == Tag::Point;
        let (Some(latitude_deg), Some(longitude_deg)) = (open.latitude, open.longitude) else {
            if is_track {
                self.collector.offered = self.collector.offered.saturating_add(1);
                self.collector
                    .notes
                    .dropped(line, "latitude or longitude missing or not a number");
            }
            return;
        };
        let Some(utc_s) = open.utc_s else {
            if is_track {
                self.collector.offered = self.collector.offered.saturating_add(1);
                if open.bad_time {
                    self.collector
                        .notes
                        .dropped(line, "a time that cannot be read");
                } else {
                    if self.untimed == 0 {
                        self.first_untimed_line = line;
                    }
                    self.untimed = self.untimed.saturating_add(1);
                    self.collector.notes.dropped(line, "no time");
                }
            }
            return;
        };
        if open.no_position {
            self.collector
                .notes
                .dropped(line, "marked as without a position (`fix` none)");
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
            self.collector.offer(open.fix);
        } else if self.route.len() < 100_000 {
            self.route.push(open.fix);
        }
    }

    fn finish(mut self) -> Result<(), ReadProblem> {
        let end = self.text.len();
        if self.open.take().is_some() {
            let line = self.line_number(end);
            self.collector
                .notes
                .dropped(line, "a track point that is cut or damaged");
        }
        if !self.closed {
            let line = self.line_number(end);
            self.collector.notes.remark(
                line,
                "the file ends in the middle (no `</gpx>`); what was there was read",
            );
        }
        if !self.collector.fixes.is_empty() {
            return Ok(());
        }
        if !self.route.is_empty() {
            self.collector
                .notes
                .remark(0, "no track; the timed points of a route were read instead");
            for fix in self.route {
                self.collector.offer(fix);
            }
            return Ok(());
        }
        let points = self.collector.offered;
        if points == 0 && self.route_points > 0 {
            return Err(ReadProblem::RouteOnly {
                points: self.route_points,
            });
        }
        if points == 0 && self.waypoints > 0 {
            return Err(ReadProblem::WaypointsOnly {
                points: self.waypoints,
            });
        }
        if self.untimed > 0 && self.untimed == points {
            return Err(ReadProblem::NoTimes { points });
        }
        if points == 0 {
            return Err(ReadProblem::NoFixes {
                found: "a GPX document without a track point".to_owned(),
            });
        }
        Ok(())
    }
}

/// Where a document could not be understood.
struct Damage {
    /// A `<` at or before which sense ends.
    start: usize,
    /// How far the document had been gone over by then.
    seen_to: usize,
}

/// A name without its namespace prefix.
fn local_name(name: &str) -> &str {
    name.rsplit_once(':').map_or(name, |(_, local)| local)
}
