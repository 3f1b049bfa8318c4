//! Side view: height above the aim over the way flown, as if the path were pulled straight.

use super::super::number;
use super::super::svg::{
    Anchor, Canvas, Ink, Placer, Point, Rect, Stroke, dense, text_width, wrap,
};
use super::super::wording::Units;
use super::frame::{Frame, Surroundings};
use super::marks::{end_s, shades};
use super::way::{Way, between};
use super::{Subject, glide_lines, moments, noted, nothing_over_time, time_axis, told};
use crate::measures::usable;

/// What it is looked at for.
const MEASURES: [&str; 3] = [
    "height_in_hand_at_power_reduction_ft",
    "height_in_hand_at_abeam_ft",
    "height_in_hand_min_ft",
];

/// How far below the aim the height in hand is followed, share of the greatest height.
const MOST_BELOW: f64 = 0.7;

/// Draws the side view.
pub fn draw(
    canvas: &mut Canvas,
    area: Rect,
    subject: &Subject<'_>,
    right: f64,
) -> Option<SideView> {
    let series = &subject.attempt.series;
    let look = subject.look;
    let shown = subject.wording.ft();
    let title = format!("Height above the aim along the way flown, {}", shown.unit);
    let target = subject.reference.abeam_target_ft.filter(|t| t.is_finite());
    let target = target.map(|t| shown.of(t));
    let height = shown.all(&series.height_ft);
    let (height_low, height_high) = (
        shown.all(&series.height_low_ft),
        shown.all(&series.height_high_ft),
    );
    canvas.open(
        "side",
        "img",
        "Height above the aim along the way flown",
        &told::with(
            "Height above the aim point against the distance flown over the ground since the power reduction, with a \
             tick every half minute, its 95 % band, glide lines in still air, the height wanted abeam, the height in \
             hand with its band and its least before final, the numbered key points, and squares where flap or \
             something else was noted or recorded.",
            &[told::key_points(subject), told::figures(subject, &MEASURES)],
        ),
    );
    let in_hand: Vec<f64> = series
        .height_in_hand_ft
        .iter()
        .map(|h| h.map_or(f64::NAN, |h| shown.of(h)))
        .collect();
    let way = Way::of(subject.attempt, subject.wording.shown("NM", 0));
    let range = time_axis::range(height.iter().chain(&height_high));
    let view = way.zip(range).map(|(way, (low, high))| {
        let least = time_axis::range(in_hand.iter())
            .map_or(0.0, |(l, _)| l)
            .max(-MOST_BELOW * high.abs());
        let low = low.min(0.0).min(least);
        let high = high.max(target.unwrap_or(0.0)).max(shown.of(100.0));
        let room = 0.03 * (high - low);
        let around = Surroundings {
            title: &title,
            discs: true,
            rows: 2,
            right,
        };
        let ends = (low - room, high + room);
        let area = in_hand_note(canvas, area, subject);
        let frame = Frame::draw(canvas, area, look, around, way.ends(), ends);
        way.columns(canvas, &frame, area.x);
        SideView { frame, way }
    });
    if let Some(SideView { frame, way }) = &view {
        canvas.open_clipped(frame.plot);
        ground(canvas, frame);
        frame.band(canvas, &way.flown, &height_low, &height_high);
        moments::band(canvas, frame, subject, way);
        in_hand_line(canvas, frame, subject, (way, &in_hand));
        let lines = still_air(canvas, frame, subject, way);
        let runs = shades(subject.attempt, subject.marks);
        frame.shaded_line(canvas, &way.flown, &height, &runs);
        canvas.close();
        let places: Vec<(usize, f64)> = subject
            .marks
            .iter()
            .filter_map(|mark| Some((mark.number, way.at(mark.elapsed_s)?)))
            .collect();
        frame.key_points(canvas, &places, true);
        let end = end_s(subject.attempt, subject.marks);
        way.time_ticks(canvas, frame, &height, end);
        let mut placer = Placer::new(frame.plot);
        if let Some(target) = target {
            let ends = [frame.across.from, frame.across.to].map(|x| frame.at(x, target));
            placer.avoid(&dense(&ends, frame.plot));
        }
        moments::marks(canvas, frame, subject, way, &mut placer);
        noted::marks(canvas, frame, subject, way, &mut placer);
        let mut names = name_lines(canvas, frame, &lines, &mut placer);
        frame.axes(canvas);
        let measured = subject.attempt.measures.get("height_in_hand_min_ft");
        let told = measured.is_some_and(|least| least.value().is_some());
        let least = least_before_final(subject, &in_hand).filter(|_| told);
        if let Some((at_s, least)) = least.filter(|(_, h)| frame.value.holds(*h))
            && let Some(place) = way.at(at_s)
        {
            canvas.disc(frame.at(place, least), 2.6, Ink::Paper, Ink::Wind);
            names.push((least, "ring: least".to_owned(), Ink::Wind));
        }
        if let Some(target) = target {
            frame.reference(canvas, frame.across.from, target);
            // the height wanted has its name from the trade, whatever the scale
            let wanted = subject.reference.abeam_target_ft.unwrap_or_default();
            let name = match subject.wording.units {
                Units::Us => format!("abeam {}", number::number(wanted, 0)),
                Units::Metric => format!("abeam {} ft", number::number(wanted, 0)),
            };
            names.push((target, name, Ink::Target));
        }
        let last = in_hand.iter().rev().find(|h| h.is_finite());
        if let Some(last) = last {
            let within = last.clamp(frame.value.from, frame.value.to);
            names.push((within, "in hand".to_owned(), Ink::Wind));
        }
        frame.names(canvas, names);
    } else {
        nothing_over_time(
            canvas,
            area,
            subject.look,
            &title,
            "no heights or no positions in this recording",
        );
    }
    canvas.close();
    view
}

/// What the height in hand rests on and why its line goes in steps, at the foot of `area`; gives what is left of it.
fn in_hand_note(canvas: &mut Canvas, area: Rect, subject: &Subject<'_>) -> Rect {
    let Some(rests_on) = subject.attempt.in_hand.rests_on.first() else {
        return area;
    };
    let rests_on = rests_on.split(": ").next().unwrap_or(rests_on);
    let text = format!(
        "Dotted: height in hand, with {}; level on the shortest way to the aim, falling on any other.",
        subject.wording.sentence(rests_on)
    );
    let small = subject.look.small;
    let lines = wrap(&text, small, false, area.w);
    let step = 1.15 * small;
    let foot = step * lines.len() as f64 + 3.0;
    let first = area.bottom() - foot + small + 1.0;
    for (i, line) in lines.iter().enumerate() {
        let at = Point::new(area.x, first + step * i as f64);
        canvas.text(at, line, subject.look.small(Ink::Muted, Anchor::Start));
    }
    area.inset(0.0, 0.0, 0.0, foot)
}

/// Where the side view drew, and the way it drew over.
#[derive(Debug, Clone, PartialEq)]
pub struct SideView {
    /// The frame.
    pub frame: Frame,
    /// The way flown at each step of the series.
    pub way: Way,
}

/// A glide line that was drawn.
struct StillAir {
    ends: [Point; 2],
    words: String,
    short: String,
    /// The height at its end.
    last: f64,
}

/// Glide lines in still air from where best glide was reached, or from the power reduction; and their names.
fn still_air(
    canvas: &mut Canvas,
    frame: &Frame,
    subject: &Subject<'_>,
    way: &Way,
) -> Vec<StillAir> {
    let series = &subject.attempt.series;
    let mark = |kind: &str| subject.marks.iter().find(|m| m.kind == kind);
    let start = mark("best_glide_held").or_else(|| mark("power_reduction"));
    let start = start.and_then(|mark| {
        let height = between(&series.elapsed_s, &series.height_ft, mark.elapsed_s)?;
        Some((way.at(mark.elapsed_s)?, height))
    });
    let Some((from, height_ft)) = start.filter(|(_, height)| *height > 0.0) else {
        return Vec::new();
    };
    let shown = subject.wording.ft();
    // the one that can be named: two would hide each other and the flown line
    let lines = glide_lines::known(subject).into_iter().take(1);
    let mut drawn = Vec::new();
    for line in lines {
        let end = (from + height_ft * line.ratio / way.ft()).min(frame.across.to);
        let lost_ft = (end - from) * way.ft() / line.ratio;
        let ends = [
            frame.at(from, shown.of(height_ft)),
            frame.at(end, shown.of(height_ft - lost_ft)),
        ];
        let stroke = Stroke::new(Ink::Target, 0.9).dashed("6 2.5");
        canvas.line(ends[0], ends[1], stroke);
        drawn.push(StillAir {
            ends,
            words: line.words(),
            short: line.short(),
            last: shown.of(height_ft - lost_ft),
        });
    }
    drawn
}

/// Names of the glide lines beside them, where the flown line and the height in hand leave room; gives short names for
/// the right of the plot where they do not.
fn name_lines(
    canvas: &mut Canvas,
    frame: &Frame,
    lines: &[StillAir],
    placer: &mut Placer,
) -> Vec<(f64, String, Ink)> {
    let small = frame.look.small;
    for line in lines {
        placer.avoid(&dense(&line.ends, frame.plot));
    }
    let mut left = Vec::new();
    for line in lines {
        let width = text_width(&line.words, small, false);
        let [a, b] = line.ends;
        // close to the line, from its upper part outwards; or farther off, with a leader line
        let shares = [0.25, 0.4, 0.15, 0.55, 0.7, 0.85];
        let place = [10.0, 40.0].into_iter().find_map(|reach| {
            shares.into_iter().find_map(|share| {
                let at = Point::new(a.x + share * (b.x - a.x), a.y + share * (b.y - a.y));
                Some((at, placer.place_clear(at, width, small, 2.0, reach)?))
            })
        });
        if let Some((on_line, label)) = place {
            if label.wants_leader {
                let end = label.room.nearest(on_line);
                canvas.line(on_line, end, Stroke::new(Ink::Target, 0.6));
            }
            let at = Point::new(label.room.x, label.room.y + 0.78 * small);
            canvas.text(
                at,
                &line.words,
                frame.look.small(Ink::Target, Anchor::Start).halo(),
            );
        } else {
            left.push((line.last, line.short.clone(), Ink::Target));
        }
    }
    left
}

/// The height in hand, with gaps where it is known too badly to be told: there its band stands alone.
fn in_hand_line(
    canvas: &mut Canvas,
    frame: &Frame,
    subject: &Subject<'_>,
    (way, in_hand): (&Way, &[f64]),
) {
    let series = &subject.attempt.series;
    let half_width = |i: usize| -> Option<f64> {
        let low = (*series.height_in_hand_low_ft.get(i)?)?;
        let high = (*series.height_in_hand_high_ft.get(i)?)?;
        Some((high - low) / 2.0)
    };
    let stroke = Stroke::new(Ink::Wind, 1.2).dashed("1.5 1.5");
    let mut run: Vec<Point> = Vec::new();
    for (i, (place, h)) in way.flown.iter().zip(in_hand).enumerate() {
        let told = half_width(i).is_none_or(|w| w <= usable::IN_HAND_FT);
        if told && h.is_finite() {
            run.push(frame.at(*place, *h));
        } else {
            canvas.polyline(&std::mem::take(&mut run), stroke);
        }
    }
    canvas.polyline(&run, stroke);
}

/// The level of the aim.
fn ground(canvas: &mut Canvas, frame: &Frame) {
    let (left, right) = (
        frame.at(frame.across.from, 0.0),
        frame.at(frame.across.to, 0.0),
    );
    canvas.line(left, right, Stroke::new(Ink::Aim, 1.4));
}

/// The least of the height in hand before final: when, and how much.
fn least_before_final(subject: &Subject<'_>, in_hand: &[f64]) -> Option<(f64, f64)> {
    let final_s = subject
        .marks
        .iter()
        .find(|m| m.kind == "on_final")
        .map_or(f64::INFINITY, |m| m.elapsed_s);
    subject
        .attempt
        .series
        .elapsed_s
        .iter()
        .zip(in_hand)
        .filter(|(t, h)| **t >= 0.0 && **t <= final_s && h.is_finite())
        .min_by(|a, b| a.1.total_cmp(b.1))
        .map(|(t, h)| (*t, *h))
}
