//! Several attempts over one another: in one plan, and by time.
//!
//! Attempts differ in shade, dash and number, so that they are told apart without colour too.

use super::super::grid;
use super::super::look::Look;
use super::super::number;
use super::super::svg::{
    Anchor, Canvas, Ink, Placer, Point, Rect, Scale, Stroke, dense, fit, nice_step, nice_ticks,
    nice_time_step, text_width,
};
use super::super::wording::Wording;
use super::marks::{discs_beside, end_s, marks};
use super::nothing_to_draw;
use super::plan::{PlanFrame, bounds_of};
use crate::debrief::document::{Attempt, Ending, Reference};

/// How attempts are drawn, one after the other, and again from the first.
const LINES: [(Ink, Option<&str>); 8] = [
    (Ink::Track(8), None),
    (Ink::Target, Some("7 3")),
    (Ink::Wind, Some("2 2.5")),
    (Ink::Track(3), None),
    (Ink::Target, Some("10 3 2 3")),
    (Ink::Wind, Some("12 3")),
    (Ink::Track(8), Some("5 2")),
    (Ink::Track(3), Some("1.5 3")),
];

/// The line of the attempt at `index`.
pub fn stroke(index: usize, look: Look) -> Stroke {
    let (ink, dash) = LINES[index % LINES.len()];
    let line = Stroke::new(ink, look.track);
    dash.map_or(line, |dash| line.dashed(dash))
}

/// An attempt, and how far its plan is turned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Laid<'a> {
    /// The attempt.
    pub attempt: &'a Attempt,
    /// The direction that is up, degrees true.
    pub up_true_deg: f64,
}

/// The aim that all share.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aim {
    /// Whether there is one.
    pub known: bool,
    /// Whether north is up; else each attempt's landing direction.
    pub north_up: bool,
    /// Landing direction on the drawing, degrees from what is up, clockwise.
    pub landing_deg: Option<f64>,
}

impl<'a> Laid<'a> {
    /// North up.
    pub fn north_up(attempt: &'a Attempt) -> Self {
        Laid {
            attempt,
            up_true_deg: 0.0,
        }
    }

    /// The steps from the power reduction to the end.
    fn steps(self) -> impl Iterator<Item = usize> {
        let end = end_s(self.attempt, &marks(self.attempt)) + 1.0;
        let elapsed = &self.attempt.series.elapsed_s;
        (0..elapsed.len()).filter(move |i| (0.0..=end).contains(&elapsed[*i]))
    }

    /// The places, right of and above the aim on the drawing, ft.
    fn places(self) -> Vec<Point> {
        let (sin, cos) = self.up_true_deg.to_radians().sin_cos();
        let series = &self.attempt.series;
        self.steps()
            .filter_map(|i| Some((*series.east_ft.get(i)?, *series.north_ft.get(i)?)))
            .map(|(east, north)| Point::new(east * cos - north * sin, east * sin + north * cos))
            .filter(|p| p.is_finite())
            .collect()
    }
}

/// The class by which a page finds the line of an attempt.
fn class(index: usize) -> String {
    format!("over-{}", index + 1)
}

impl Aim {
    /// The aim of one recording, north up.
    pub fn of(reference: &Reference) -> Self {
        Aim {
            known: reference.aim_source != "none",
            north_up: true,
            landing_deg: reference.landing_true_deg.filter(|d| d.is_finite()),
        }
    }
}

/// The paths over the ground, each with its number where the power came off.
pub fn plan(
    canvas: &mut Canvas,
    area: Rect,
    laid: &[Laid<'_>],
    aim: Aim,
    look: Look,
    wording: Wording,
) {
    let title = if aim.north_up {
        "Plan of all attempts, north up"
    } else {
        "Plan, landing direction up, each from its own aim"
    };
    canvas.open(
        "over-plan",
        "img",
        "Plan of all attempts",
        "The paths over the ground, each with the number of its attempt where the power came off.",
    );
    canvas.text(Point::new(area.x, area.y + look.title), title, look.title());
    let plot = area.inset(0.0, look.title + 5.0, 0.0, look.small + 10.0);
    let paths: Vec<Vec<Point>> = laid.iter().map(|one| one.places()).collect();
    let mut all: Vec<Point> = paths.iter().flatten().copied().collect();
    all.extend(aim.known.then(Point::default));
    match bounds_of(&all).filter(|_| paths.iter().any(|p| p.len() > 1)) {
        Some(bounds) => {
            let frame = PlanFrame::fitting(plot, bounds, 26.0);
            canvas.rect(plot, Ink::Shade);
            lines(canvas, (aim, laid), (&frame, &paths), look);
            let right = scale(canvas, &frame, look, wording);
            key(canvas, laid, (right, plot), look);
        }
        None => nothing_to_draw(canvas, plot, look, "no positions"),
    }
    canvas.close();
}

/// A full disc where the line of an attempt ends in a touchdown.
fn touchdown(canvas: &mut Canvas, one: Laid<'_>, end: Option<&Point>) {
    let landed = one.attempt.ending == Ending::Touchdown;
    if let Some(end) = end.filter(|_| landed) {
        canvas.disc(*end, TOUCHDOWN, Ink::Text, Ink::Paper);
    }
}

/// Radius of the disc of a touchdown.
const TOUCHDOWN: f64 = 3.2;

fn lines(
    canvas: &mut Canvas,
    (aim, laid): (Aim, &[Laid<'_>]),
    (frame, paths): (&PlanFrame, &[Vec<Point>]),
    look: Look,
) {
    if let Some(landing) = aim.landing_deg.filter(|_| aim.known) {
        let (sin, cos) = landing.to_radians().sin_cos();
        let place = |d: f64| Point::new(frame.origin.x + d * sin, frame.origin.y - d * cos);
        canvas.open_clipped(frame.plot);
        let thin = Stroke::new(Ink::Aim, 0.7).dashed("7 3 1.5 3");
        canvas.line(place(-2000.0), place(2000.0), thin);
        canvas.close();
    }
    let mut placer = Placer::new(frame.plot.inset(2.0, 2.0, 2.0, 2.0));
    let drawn: Vec<Vec<Point>> = paths
        .iter()
        .map(|path| path.iter().map(|p| frame.at(p.x, p.y)).collect())
        .collect();
    for line in &drawn {
        placer.avoid(&dense(line, frame.plot));
    }
    for (i, line) in drawn.iter().enumerate() {
        canvas.open_part(&class(i));
        canvas.open_clipped(frame.plot);
        canvas.polyline(line, stroke(i, look));
        canvas.close();
        if let Some(start) = line.first() {
            discs_beside(canvas, &[(i + 1, *start)], look, &mut placer, 120.0);
        }
        touchdown(canvas, laid[i], line.last());
        canvas.close();
    }
    if aim.known {
        canvas.disc(frame.origin, 4.0, Ink::Paper, Ink::Aim);
        let room = placer.place(frame.origin, 1.8 * look.body, look.body, 7.0, 60.0);
        if let Some(label) = room {
            let at = Point::new(label.room.x, label.room.y + 0.78 * look.body);
            canvas.text(at, "aim", look.body(Ink::Aim, Anchor::Start).bold().halo());
        }
    }
}

/// What the discs are, right of the scale.
fn key(canvas: &mut Canvas, laid: &[Laid<'_>], (from, plot): (f64, Rect), look: Look) {
    let landed = |one: &Laid<'_>| one.attempt.ending == Ending::Touchdown;
    if laid.iter().any(landed) {
        let words = fit(
            "full disc: touchdown",
            look.small,
            false,
            plot.right() - from,
        );
        let at = Point::new(plot.right(), plot.bottom() + 0.95 * look.small + 2.0);
        canvas.text(at, &words, look.small(Ink::Muted, Anchor::End));
    }
}

/// One bar below the plot; gives where its words end.
fn scale(canvas: &mut Canvas, frame: &PlanFrame, look: Look, wording: Wording) -> f64 {
    let (plot, shown) = (frame.plot, wording.ft());
    let length = nice_step(shown.of(plot.w / frame.units_per_ft), 5);
    let y = plot.bottom() + 0.6 * look.small + 2.0;
    let left = plot.x + 1.0;
    let right = left + length / shown.factor * frame.units_per_ft;
    canvas.line(
        Point::new(left, y),
        Point::new(right, y),
        Stroke::new(Ink::Text, 1.1),
    );
    let text = format!("{} {}", number::number(length, 0), shown.unit);
    let at = Point::new(right + 5.0, y + 0.35 * look.small);
    canvas.text(at, &text, look.small(Ink::Text, Anchor::Start));
    at.x + text_width(&text, look.small, false) + look.small
}

/// What is drawn against the time since each power reduction.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Against {
    /// Height above the aim.
    Height,
    /// Calibrated airspeed.
    Speed,
}

/// Heights or airspeeds against the time since each power reduction, numbered at their ends.
pub fn by_time(
    canvas: &mut Canvas,
    area: Rect,
    laid: &[Laid<'_>],
    what: Against,
    look: Look,
    wording: Wording,
) {
    let (group, name, title, shown) = match what {
        Against::Height => (
            "over-side",
            "Heights of all attempts",
            "Heights above the aim",
            wording.ft(),
        ),
        Against::Speed => (
            "over-speed",
            "Airspeeds of all attempts",
            "CAS",
            wording.kt(),
        ),
    };
    let description =
        "Against the time since the power reduction of each attempt, with its number at the end.";
    canvas.open(group, "img", name, description);
    let title = format!("{title}, {}", shown.unit);
    canvas.text(
        Point::new(area.x, area.y + look.title),
        &title,
        look.title(),
    );
    let body = area.inset(0.0, look.title + 8.0, 24.0, 2.2 * look.small + 7.0);
    let paths: Vec<Vec<(f64, f64)>> = laid
        .iter()
        .map(|one| {
            let series = &one.attempt.series;
            let values = match what {
                Against::Height => &series.height_ft,
                Against::Speed => &series.cas_kt,
            };
            one.steps()
                .filter_map(|i| Some((series.elapsed_s[i], shown.of(*values.get(i)?))))
                .filter(|(_, value)| value.is_finite())
                .collect()
        })
        .collect();
    let all = || paths.iter().flatten();
    let longest = all().map(|p| p.0).fold(0.0, f64::max);
    let zero = (what == Against::Height).then_some(0.0);
    let values = || all().map(|p| p.1).chain(zero);
    let highest = values().fold(f64::NEG_INFINITY, f64::max);
    let lowest = values().fold(f64::INFINITY, f64::min);
    if longest <= 0.0 || highest <= lowest {
        nothing_to_draw(canvas, body, look, "not known in these recordings");
        canvas.close();
        return;
    }
    let left = text_width("\u{2212}0000", look.small, false) + 6.0;
    let plot = body.inset(left, 0.0, 0.0, 0.0);
    let time = Scale::new(0.0, longest, plot.x, plot.right());
    let room = highest - lowest;
    let value = Scale::new(
        lowest - 0.03 * room,
        highest + 0.05 * room,
        plot.bottom(),
        plot.y,
    );
    let rows = ((plot.h / (look.small * 1.6)) as usize).clamp(2, 8);
    grid::rows(canvas, plot, value, nice_step(room, rows), look);
    if zero.is_some() {
        let ends = [plot.x, plot.right()].map(|x| Point::new(x, value.at(0.0)));
        canvas.line(ends[0], ends[1], Stroke::new(Ink::Aim, 1.2));
    }
    let columns = ((plot.w / (look.small * 3.6)) as usize).max(2);
    let ticks: Vec<(f64, String)> = nice_ticks(0.0, longest, nice_time_step(longest, columns))
        .into_iter()
        .map(|tick| (tick, number::clock(tick)))
        .collect();
    grid::columns(canvas, plot, time, &ticks, look);
    // at the right there is room for the numbers, below there are the times
    let mut placer = Placer::new(Rect::new(plot.x, plot.y, plot.w + 22.0, plot.h));
    let lines: Vec<Vec<Point>> = paths
        .iter()
        .map(|path| {
            let place = |p: &(f64, f64)| Point::new(time.at(p.0), value.at(p.1));
            path.iter().map(place).collect()
        })
        .collect();
    for line in &lines {
        placer.avoid(&dense(line, plot));
    }
    for (i, line) in lines.iter().enumerate() {
        canvas.open_part(&class(i));
        canvas.polyline(line, stroke(i, look));
        if let Some(end) = line.last() {
            discs_beside(canvas, &[(i + 1, *end)], look, &mut placer, 120.0);
        }
        touchdown(canvas, laid[i], line.last());
        canvas.close();
    }
    let words = "m:ss from each power reduction";
    let words = fit(words, look.small, false, plot.w);
    let at = Point::new(plot.right(), plot.bottom() + 2.2 * look.small + 4.0);
    canvas.text(at, &words, look.small(Ink::Muted, Anchor::End));
    canvas.close();
}
