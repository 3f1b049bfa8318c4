//! GPX 1.0 and 1.1, streaming: a file cut short or damaged in the middle gives its fixes.
//!
//! Elements are told by local name, whatever the namespace prefix, and by where they
//! stand: `speed` counts within a track point (bare as in GPX 1.0, or anywhere in its
//! `extensions`), never within a lap or summary. Source of the formats: GPX 1.0 and
//! 1.1 schema documentation; `speed` is in m/s, `course` in degrees true, `ele` in
//! metres with no stated reference.

mod point;
mod tag;

use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

use self::point::Open;
use self::tag::{Tag, tag};
use super::Fix;
use super::collect::Collector;
use super::error::{Located, ReadProblem};
use super::place::{Place, offset_within};

/// Deepest nesting looked into; what is deeper is passed over.
const MAX_DEPTH: usize = 64;

/// How often the bytes of a damaged file may be gone over again, in units of its length.
const MAX_REREADS: usize = 4;

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
    route_points: Tally,
    waypoints: Tally,
    untimed: Tally,
    /// Byte of the document's own element.
    root_at: usize,
    closed: bool,
    collector: &'c mut Collector,
}

/// How many there are of something, and the byte of the first.
#[derive(Debug, Clone, Copy, Default)]
struct Tally {
    count: u32,
    first_at: usize,
}

impl Tally {
    fn add(&mut self, at: usize) {
        if self.count == 0 {
            self.first_at = at;
        }
        self.count = self.count.saturating_add(1);
    }
}

/// Reads the track of a GPX document.
pub(crate) fn read(text: &str, collector: &mut Collector) -> Result<(), Located> {
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
        route_points: Tally::default(),
        waypoints: Tally::default(),
        untimed: Tally::default(),
        root_at: 0,
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
                self.lose_point(damage.start);
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
            let Ok(event) = reader.read_event() else {
                return self.text.is_char_boundary(start).then(|| Damage {
                    start: self.next_bracket(start),
                    seen_to: self.text.len(),
                });
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
                Event::End(element) => self.end(element.name().as_ref(), start),
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
            .map_or(self.text.len().saturating_sub(1), |i| at + i)
    }

    fn line_number(&mut self, at: usize) -> u32 {
        let bytes = self.text.as_bytes();
        if at < self.line_at {
            self.line = 1;
            self.line_at = 0;
        }
        let ends = memchr::memchr_iter(b'\n', &bytes[self.line_at..at]).count();
        self.line = self.line.saturating_add(ends as u32);
        self.line_at = at;
        self.line
    }

    fn start(&mut self, element: &BytesStart<'_>, at: usize) -> Option<Damage> {
        let raw = element.attributes_raw();
        let name_length = element.name().as_ref().len();
        if let Some(inner) = memchr::memchr(b'<', raw.as_bytes()) {
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
                    self.deeper = 0;
                }
                self.open_point(element, at);
                self.point_depth = self.stack.len();
            }
            Tag::Segment | Tag::Track => self.segment = self.segment.saturating_add(1),
            _ if self.stack.is_empty() && local == "gpx" => {
                self.root_at = at;
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
        // Each is held against all before it where they are checked: unchecked, and not without end.
        const MOST: usize = 256;
        let mut attributes = element.attributes();
        let mut found = attributes.with_checks(false).take(MOST).flatten();
        if let Some(found) = found.find(|a| a.key.as_ref() == attribute) {
            self.collector.say(label, &found.value);
        }
    }

    fn end(&mut self, name: &str, at: usize) {
        if self.deeper > 0 && tag(local_name(name)) != Tag::Point {
            self.deeper -= 1;
            return;
        }
        if let Some(depth) = self.stack.iter().rposition(|(_, n)| *n == name) {
            self.deeper = 0;
            while self.stack.len() > depth {
                self.pop();
            }
        } else if tag(local_name(name)) == Tag::Point {
            self.lose_point(at);
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
                self.piece = text;
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

    /// Counts a point of which nothing can be made.
    fn lose_point(&mut self, at: usize) {
        self.collector
            .refuse("a track point that is cut or damaged", || {
                Place::in_text(self.text, at)
            });
    }

    fn finish(mut self) -> Result<(), Located> {
        let end = self.text.len();
        if self.open.take().is_some() {
            self.lose_point(end);
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
                self.collector.offer(&fix);
            }
            return Ok(());
        }
        let points = self.collector.offered;
        let (at, problem) = if points > 0 && self.untimed.count == points {
            (self.untimed.first_at, ReadProblem::NoTimes { points })
        } else if points > 0 {
            return Ok(());
        } else if self.route_points.count > 0 {
            let points = self.route_points.count;
            (
                self.route_points.first_at,
                ReadProblem::RouteOnly { points },
            )
        } else if self.waypoints.count > 0 {
            let points = self.waypoints.count;
            (
                self.waypoints.first_at,
                ReadProblem::WaypointsOnly { points },
            )
        } else {
            let found = "a GPX document without a track point".to_owned();
            (self.root_at, ReadProblem::NoFixes { found })
        };
        Err(problem.at(Place::in_text(self.text, at)))
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
    let colon = name.bytes().rposition(|b| b == b':');
    colon.map_or(name, |at| &name[at + 1..])
}

#[cfg(test)]
mod tests;
