//! All attempts of a recording in one plan and in one side view.
//!
//! Attempts differ in shade, dash and number, so that they are told apart without colour too.

use super::super::look::Look;
use super::super::number;
use super::super::svg::{
    Anchor, Canvas, Ink, Placer, Point, Rect, Scale, Stroke, TextStyle, nice_step, nice_ticks,
    nice_time_step,
};
use super::super::wording::Wording;
use super::marks::{discs_beside, end_s, marks};
use super::nothing_to_draw;
use super::plan::{PlanFrame, bounds_of};
use crate::debrief::document::{Attempt, Debrief};

/// How attempts are drawn, one after the other, and again from the first.
const LINES: [(Ink, Option<&str>); 6] = [
    (Ink::Track(8), None),
    (Ink::Target, Some("7 3")),
    (Ink::Wind, Some("2 2.5")),
    (Ink::Track(3), None),
    (Ink::Target, Some("10 3 2 3")),
    (Ink::Wind, Some("12 3")),
];

fn stroke(index: usize, look: Look) -> Stroke {
    let (ink, dash) = LINES[index % LINES.len()];
    let line = Stroke::new(ink, look.track);
    dash.map_or(line, |dash| line.dashed(dash))
}

/// The steps of an attempt from the power reduction to its end.
fn steps(attempt: &Attempt) -> impl Iterator<Item = usize> {
    let end = end_s(attempt, &marks(attempt)) + 1.0;
    let elapsed = &attempt.series.elapsed_s;
    (0..elapsed.len()).filter(move |i| (0.0..=end).contains(&elapsed[*i]))
}

/// The places of an attempt, east and north of the aim, ft.
fn places(attempt: &Attempt) -> Vec<Point> {
    let series = &attempt.series;
    steps(attempt)
        .filter_map(|i| {
            Some(Point::new(
                *series.east_ft.get(i)?,
                *series.north_ft.get(i)?,
            ))
        })
        .filter(|p| p.is_finite())
        .collect()
}

/// The paths over the ground, north up, each with its number where the power came off.
pub fn plan(canvas: &mut Canvas, area: Rect, debrief: &Debrief, look: Look, wording: Wording) {
    canvas.open(
        "over-plan",
        "img",
        "Plan of all attempts",
        "The paths over the ground, north up, each with the number of its attempt where the power came off.",
    );
    let title = Point::new(area.x, area.y + look.title);
    canvas.text(title, "Plan of all attempts, north up", look.title());
    let plot = area.inset(0.0, look.title + 5.0, 0.0, look.small + 10.0);
    let paths: Vec<Vec<Point>> = debrief.attempts.iter().map(places).collect();
    let mut all: Vec<Point> = paths.iter().flatten().copied().collect();
    let aim = debrief.reference.aim_source != "none";
    all.extend(aim.then(Point::default));
    match bounds_of(&all).filter(|_| paths.iter().any(|p| p.len() > 1)) {
        Some(bounds) => {
            let frame = PlanFrame::fitting(plot, bounds, 26.0);
            canvas.rect(plot, Ink::Shade);
            lines(canvas, debrief, &frame, &paths, look);
            scale(canvas, &frame, look, wording);
        }
        None => nothing_to_draw(canvas, plot, look, "no positions"),
    }
    canvas.close();
}

fn lines(
    canvas: &mut Canvas,
    debrief: &Debrief,
    frame: &PlanFrame,
    paths: &[Vec<Point>],
    look: Look,
) {
    let mut placer = Placer::new(frame.plot.inset(2.0, 2.0, 2.0, 2.0));
    let drawn: Vec<Vec<Point>> = paths
        .iter()
        .map(|path| path.iter().map(|p| frame.at(p.x, p.y)).collect())
        .collect();
    for line in &drawn {
        placer.avoid(line);
    }
    for (i, (attempt, line)) in debrief.attempts.iter().zip(&drawn).enumerate() {
        canvas.open_part(&format!("over-{}", attempt.number));
        canvas.open_clipped(frame.plot);
        canvas.polyline(line, stroke(i, look));
        canvas.close();
        if let Some(start) = line.first() {
            discs_beside(canvas, &[(i + 1, *start)], look, &mut placer, 120.0);
        }
        canvas.close();
    }
    if debrief.reference.aim_source != "none" {
        canvas.disc(frame.origin, 4.0, Ink::Paper, Ink::Aim);
        let room = placer.place(frame.origin, 1.8 * look.body, look.body, 7.0, 60.0);
        if let Some(label) = room {
            let at = Point::new(label.room.x, label.room.y + 0.78 * look.body);
            canvas.text(at, "aim", look.body(Ink::Aim, Anchor::Start).bold().halo());
        }
    }
}

/// One bar below the plot.
fn scale(canvas: &mut Canvas, frame: &PlanFrame, look: Look, wording: Wording) {
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
}

/// Heights above the aim against the time since each power reduction.
pub fn side(canvas: &mut Canvas, area: Rect, debrief: &Debrief, look: Look, wording: Wording) {
    canvas.open(
        "over-side",
        "img",
        "Heights of all attempts",
        "Height above the aim against time since the power reduction of each attempt, with its number at the end.",
    );
    let shown = wording.ft();
    let title = format!("Heights above the aim, {}", shown.unit);
    canvas.text(
        Point::new(area.x, area.y + look.title),
        &title,
        look.title(),
    );
    let body = area.inset(0.0, look.title + 8.0, 24.0, look.small + 7.0);
    let paths: Vec<Vec<(f64, f64)>> = debrief
        .attempts
        .iter()
        .map(|attempt| {
            let series = &attempt.series;
            steps(attempt)
                .filter_map(|i| Some((series.elapsed_s[i], shown.of(*series.height_ft.get(i)?))))
                .filter(|(_, height)| height.is_finite())
                .collect()
        })
        .collect();
    let longest = paths.iter().flatten().map(|p| p.0).fold(0.0, f64::max);
    let highest = paths.iter().flatten().map(|p| p.1).fold(0.0, f64::max);
    let lowest = paths.iter().flatten().map(|p| p.1).fold(0.0, f64::min);
    if longest <= 0.0 || highest <= 0.0 {
        nothing_to_draw(canvas, body, look, "no heights in this recording");
        canvas.close();
        return;
    }
    let plot = body.inset(5.0 * 0.64 * look.small + 6.0, 0.0, 0.0, 0.0);
    let time = Scale::new(0.0, longest, plot.x, plot.right());
    let value = Scale::new(
        lowest - 0.03 * highest,
        1.05 * highest,
        plot.bottom(),
        plot.y,
    );
    grid(canvas, plot, look, time, value);
    // at the right there is room for the numbers, below there are the times
    let mut placer = Placer::new(Rect::new(plot.x, plot.y, plot.w + 22.0, plot.h));
    for (i, (attempt, path)) in debrief.attempts.iter().zip(&paths).enumerate() {
        let line: Vec<Point> = path
            .iter()
            .map(|(t, h)| Point::new(time.at(*t), value.at(*h)))
            .collect();
        canvas.open_part(&format!("over-{}", attempt.number));
        canvas.polyline(&line, stroke(i, look));
        if let Some(end) = line.last() {
            discs_beside(canvas, &[(i + 1, *end)], look, &mut placer, 120.0);
        }
        canvas.close();
    }
    canvas.close();
}

fn grid(canvas: &mut Canvas, plot: Rect, look: Look, time: Scale, value: Scale) {
    let muted = TextStyle::new(look.small, Ink::Muted);
    let rows = ((plot.h / (look.small * 1.6)) as usize).clamp(2, 8);
    let step = nice_step(value.to - value.from, rows);
    for tick in nice_ticks(value.from, value.to, step) {
        let y = value.at(tick);
        let ink = if tick == 0.0 { Ink::Aim } else { Ink::Grid };
        canvas.line(
            Point::new(plot.x, y),
            Point::new(plot.right(), y),
            Stroke::new(ink, 0.7),
        );
        let at = Point::new(plot.x - 4.0, y + 0.35 * look.small);
        canvas.text(at, &number::number(tick, 0), muted.anchor(Anchor::End));
    }
    let columns = ((plot.w / (look.small * 3.6)) as usize).max(2);
    for tick in nice_ticks(time.from, time.to, nice_time_step(time.to, columns)) {
        let x = time.at(tick);
        canvas.line(
            Point::new(x, plot.y),
            Point::new(x, plot.bottom()),
            Stroke::new(Ink::Grid, 0.7),
        );
        let at = Point::new(x, plot.bottom() + look.small + 3.0);
        canvas.text(at, &number::clock(tick), muted.anchor(Anchor::Middle));
    }
}
