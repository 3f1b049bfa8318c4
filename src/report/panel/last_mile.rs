//! The last mile from the side: height against distance to the aim along the landing direction.

use super::super::number::{self, UNIT_SPACE};
use super::super::svg::{
    Anchor, Canvas, Ink, Placer, Point, Rect, Scale, Stroke, TextStyle, dense, nice_step,
    nice_ticks, text_width,
};
use super::super::verdicts;
use super::glide_lines::{self, GlideLine};
use super::marks::{discs_beside, end_s, shades};
use super::way::between;
use super::{Subject, nothing_over_time, told};
use crate::debrief::document::CriterionGrade;
use crate::units::{M_PER_FT, M_PER_NM};

/// How far short of the aim it begins, ft.
const FROM_FT: f64 = -1.08 * M_PER_NM / M_PER_FT;
/// How far beyond the aim it shows at the least, ft.
const BEYOND_FT: f64 = 600.0;
/// How far beyond it follows the interval of the touchdown, ft.
const MOST_BEYOND_FT: f64 = 5000.0;

/// What it shows, and in which unit.
fn title(subject: &Subject<'_>) -> String {
    format!("Last mile, {}", subject.wording.ft().unit)
}

/// The path seen from the side: distance beyond the aim, and the steps of the series it is known for.
struct Path {
    along_ft: Vec<f64>,
    shown: Vec<bool>,
}

/// Where the panel drew.
#[derive(Debug, Clone, PartialEq)]
pub struct LastMile {
    /// Distance beyond the aim in the landing direction, ft, to the right.
    pub along: Scale,
    /// Height above the aim, ft, upwards.
    pub height: Scale,
    /// Distance beyond the aim at each step of the series that is drawn, ft; not a number at the others.
    pub along_ft: Vec<f64>,
}

/// What it is looked at for.
const MEASURES: [&str; 5] = [
    "on_final_height_ft",
    "on_final_distance_ft",
    "touchdown_along_ft",
    "projected_touchdown_along_ft",
    "go_around_height_ft",
];

/// Draws the path from the base turn on, with its band, the aim, glide lines that meet it, the touchdown with its
/// interval and the limits it is held against.
pub fn draw(canvas: &mut Canvas, area: Rect, subject: &Subject<'_>) -> Option<LastMile> {
    canvas.open(
        "last-mile",
        "img",
        "Last mile from the side",
        &told::with(
            "Height above the aim against distance along the landing direction, short of the aim to the left, with \
             the 95 % band of the height, the glide lines in still air that meet the aim, and the touchdown with its \
             95 % interval on the limits it is held against.",
            &[told::figures(subject, &MEASURES)],
        ),
    );
    let path = seen_from_the_side(subject);
    let drawn = path.map(|path| draw_path(canvas, area, subject, &path));
    if drawn.is_none() {
        nothing_over_time(
            canvas,
            area,
            subject.look,
            &title(subject),
            match subject.reference.aim_source.as_str() {
                "none" => "not drawn: no aim point",
                _ if subject.reference.landing_true_deg.is_none() => {
                    "not drawn: no landing direction"
                }
                _ => "not drawn: no turn to final, or nothing recorded after it",
            },
        );
    }
    canvas.close();
    drawn
}

fn seen_from_the_side(subject: &Subject<'_>) -> Option<Path> {
    let (sin, cos) = (subject.reference.aim_source != "none")
        .then_some(subject.reference.landing_true_deg)??
        .to_radians()
        .sin_cos();
    let series = &subject.attempt.series;
    let time_of = |kind: &str| {
        let mark = subject.marks.iter().find(|m| m.kind == kind)?;
        Some(mark.elapsed_s)
    };
    let from_s = time_of("base_turn").or(time_of("on_final"))?;
    let end = end_s(subject.attempt, subject.marks) + 8.0;
    let along_ft: Vec<f64> = series
        .east_ft
        .iter()
        .zip(&series.north_ft)
        .map(|(east, north)| east * sin + north * cos)
        .collect();
    let shown: Vec<bool> = along_ft
        .iter()
        .zip(series.elapsed_s.iter().zip(&series.height_ft))
        .map(|(along, (t, height))| {
            (from_s..=end).contains(t) && (FROM_FT..-FROM_FT).contains(along) && height.is_finite()
        })
        .collect();
    let enough = shown.iter().filter(|s| **s).count() > 3;
    enough.then_some(Path { along_ft, shown })
}

fn draw_path(canvas: &mut Canvas, area: Rect, subject: &Subject<'_>, path: &Path) -> LastMile {
    let (look, series) = (subject.look, &subject.attempt.series);
    let of = |list: &[f64]| -> Vec<f64> {
        list.iter()
            .zip(&path.shown)
            .map(|(v, shown)| if *shown { *v } else { f64::NAN })
            .collect()
    };
    let (along, height) = (of(&path.along_ft), of(&series.height_ft));
    let (low, high) = (of(&series.height_low_ft), of(&series.height_high_ft));
    let ends = |list: &[f64]| {
        list.iter()
            .filter(|v| v.is_finite())
            .fold((0.0_f64, 0.0_f64), |(l, h), v| (l.min(*v), h.max(*v)))
    };
    let (nearest, farthest) = ends(&along);
    let heading = touchdown_interval(subject).map_or((0.0, 0.0), |(ends, _)| ends);
    let (nearest, farthest) = (
        nearest.min(heading.0.max(FROM_FT)),
        farthest.max(heading.1.min(MOST_BEYOND_FT)),
    );
    let top = ends(&height).1.max(100.0);
    let small = look.small;
    // the highest tick may stand at the very top
    let body = area.inset(0.0, look.title + 6.0 + 0.45 * small, 0.0, small + 7.0);
    let left = text_width("0000", small, false) + 6.0;
    let plot = body.inset(left, 0.0, 6.0, 0.0);
    let x = Scale::new(
        nearest - 150.0,
        farthest.max(BEYOND_FT) + 100.0,
        plot.x,
        plot.right(),
    );
    let y = Scale::new(-0.1 * top, 1.1 * top, plot.bottom(), plot.y);
    let at = |along: f64, height: f64| Point::new(x.at(along), y.at(height));
    axes(canvas, plot, subject, (area, x, y));
    canvas.open_clipped(plot);
    let points = |heights: &[f64]| -> Vec<Point> {
        along
            .iter()
            .zip(heights)
            .map(|(a, h)| at(*a, *h))
            .filter(|p| p.is_finite())
            .collect()
    };
    // what a standard allows lies under the ground, where it hides nothing
    let limits = limits(subject).map(|(from, to)| (from.unwrap_or(x.from), to.unwrap_or(x.to)));
    if let Some((from, to)) = limits {
        let (left, right) = (x.at(from), x.at(to));
        let room = Rect::new(left, y.at(0.0), right - left, plot.bottom() - y.at(0.0));
        canvas.rect(room, Ink::Tolerance);
        for edge in [left, right] {
            let ends = [room.y, room.bottom()].map(|y| Point::new(edge, y));
            canvas.line(ends[0], ends[1], Stroke::new(Ink::Target, 1.0));
        }
    }
    let glides = glide_lines::known(subject);
    for line in &glides {
        let Some((steep, flat)) = line.interval else {
            continue;
        };
        let fan = [steep, flat].map(|ratio| at(x.from, -x.from / ratio));
        canvas.polygon(&[at(0.0, 0.0), fan[0], fan[1]], Ink::Tolerance, None);
    }
    let mut corners = points(&high);
    corners.extend(points(&low).into_iter().rev());
    canvas.polygon(&corners, Ink::Band, None);
    canvas.line(
        Point::new(plot.x, y.at(0.0)),
        Point::new(plot.right(), y.at(0.0)),
        Stroke::new(Ink::Aim, 1.4),
    );
    for (line, dash) in glides.iter().zip(DASHES) {
        let far = at(x.from, -x.from / line.ratio);
        let stroke = Stroke::new(Ink::Target, 1.0).dashed(dash);
        canvas.line(far, at(0.0, 0.0), stroke);
    }
    for shade in shades(subject.attempt, subject.marks) {
        let line: Vec<Point> = shade
            .steps
            .clone()
            .filter_map(|i| Some(at(*along.get(i)?, *height.get(i)?)))
            .collect();
        canvas.polyline(&line, shade.stroke(look.track));
    }
    touchdown(canvas, subject, (x, y));
    canvas.disc(at(0.0, 0.0), 3.0, Ink::Paper, Ink::Aim);
    canvas.close();
    let mut placer = Placer::new(plot.inset(1.0, 1.0, 1.0, 1.0));
    placer.avoid(&dense(&points(&height), plot));
    placer.block(Rect::around(at(0.0, 0.0), 4.0, 4.0));
    let points: Vec<(usize, Point)> = subject
        .marks
        .iter()
        .filter_map(|mark| {
            let of = |list: &[f64]| between(&series.elapsed_s, list, mark.elapsed_s);
            Some((mark.number, at(of(&along)?, of(&height)?)))
        })
        .collect();
    legend(canvas, &mut placer, &glides, plot, look.small);
    discs_beside(canvas, &points, look, &mut placer, 120.0);
    LastMile {
        along: x,
        height: y,
        along_ft: along,
    }
}

/// Dashes of the glide lines: the handbook's, and that of the glide flown.
const DASHES: [&str; 2] = ["6 2.5", "2 2"];
/// Length of a line beside its name.
const SAMPLE: f64 = 18.0;

/// Names of the glide lines beside pieces of them, in the corner where the path leaves room: the path comes down from
/// the left, so that is the upper right one unless it went far beyond the aim.
fn legend(canvas: &mut Canvas, placer: &mut Placer, glides: &[GlideLine], plot: Rect, small: f64) {
    let names: Vec<String> = glides.iter().map(GlideLine::words).collect();
    let widest = names.iter().map(|name| text_width(name, small, false));
    let (width, step) = (widest.fold(0.0, f64::max) + SAMPLE + 6.0, 1.25 * small);
    let height = step * names.len() as f64 + 2.0;
    let right = Rect::new(plot.right() - width - 2.0, plot.y, width, height);
    let left = Rect::new(plot.x + 4.0, plot.y, width, height);
    let room = [right, left]
        .into_iter()
        .min_by_key(|room| placer.covered(*room))
        .unwrap_or(right);
    if names.is_empty() || placer.covered(room) > 0 {
        return;
    }
    placer.block(room);
    for (i, (name, dash)) in names.iter().zip(DASHES).enumerate() {
        let y = room.y + step * (i as f64 + 0.6);
        let ends = [room.x, room.x + SAMPLE].map(|x| Point::new(x, y));
        let stroke = Stroke::new(Ink::Target, 1.0).dashed(dash);
        canvas.line(ends[0], ends[1], stroke);
        let at = Point::new(room.x + SAMPLE + 5.0, y + 0.35 * small);
        canvas.text(at, name, TextStyle::new(small, Ink::Target).halo());
    }
}

/// The touchdown, or where it was heading, as a bar on the ground with its 95 % interval.
fn touchdown(canvas: &mut Canvas, subject: &Subject<'_>, (x, y): (Scale, Scale)) {
    let Some(((low, high), landed)) = touchdown_interval(subject) else {
        return;
    };
    let dash = (!landed).then_some("2.5 1.5");
    let within = |along: f64| along.clamp(x.from, x.to);
    let ends = [low, high].map(|along| Point::new(x.at(within(along)), y.at(0.0)));
    let bar = Stroke::new(Ink::Track(5), 2.6);
    canvas.line(ends[0], ends[1], dash.map_or(bar, |dash| bar.dashed(dash)));
    for (along, end) in [low, high].into_iter().zip(ends) {
        if within(along) != along {
            // it goes on beyond the drawing
            let back = if along < x.from { 7.0 } else { -7.0 };
            let head = [
                end,
                Point::new(end.x + back, end.y - 4.5),
                Point::new(end.x + back, end.y + 4.5),
            ];
            canvas.polygon(&head, Ink::Track(5), None);
            continue;
        }
        let (top, bottom) = (
            Point::new(end.x, end.y - 4.0),
            Point::new(end.x, end.y + 4.0),
        );
        canvas.line(top, bottom, Stroke::new(Ink::Track(5), 1.3));
    }
}

/// The 95 % interval of the touchdown, ft beyond the aim, and `true`; or of where it was heading, and `false`.
fn touchdown_interval(subject: &Subject<'_>) -> Option<((f64, f64), bool)> {
    if subject.reference.aim_source == "touchdown" {
        return None;
    }
    let measure = |id: &str| subject.attempt.measures.get(id)?.interval();
    let landed = measure("touchdown_along_ft").map(|ends| (ends, true));
    let heading = || measure("projected_touchdown_along_ft").map(|ends| (ends, false));
    landed
        .or_else(heading)
        .filter(|((low, high), _)| low.is_finite() && high.is_finite())
}

/// Between what a standard wants the touchdown, ft beyond the aim.
fn limits(subject: &Subject<'_>) -> Option<(Option<f64>, Option<f64>)> {
    let on_the_touchdown = |c: &&CriterionGrade| {
        matches!(
            c.measure.as_str(),
            "touchdown_along_ft" | "projected_touchdown_along_ft"
        )
    };
    let criterion = verdicts::all(subject.attempt)
        .iter()
        .find(on_the_touchdown)?;
    (criterion.low.is_some() || criterion.high.is_some()).then_some((criterion.low, criterion.high))
}

/// Ticks, grid and title, which says how much height is stretched.
fn axes(
    canvas: &mut Canvas,
    plot: Rect,
    subject: &Subject<'_>,
    (area, x, y): (Rect, Scale, Scale),
) {
    let (small, style) = (subject.look.small, subject.look.title());
    let muted = TextStyle::new(small, Ink::Muted);
    let unit = subject.wording.ft().of(1.0);
    canvas.text(
        Point::new(area.x, area.y + style.size),
        &title(subject),
        style,
    );
    let stretched = (plot.h / (y.to - y.from)) / (plot.w / (x.to - x.from));
    let at = Point::new(area.right(), area.y + style.size);
    let room = area.w - text_width(&title(subject), style.size, true) - 10.0;
    let text = notes(subject, stretched)
        .into_iter()
        .find(|text| text_width(text, small, false) <= room);
    if let Some(text) = text {
        canvas.text(at, &text, muted.anchor(Anchor::End));
    }
    let step = nice_step(
        unit * (y.to - y.from),
        ((plot.h / (small * 1.3)) as usize).clamp(2, 6),
    );
    for tick in nice_ticks(unit * y.from, unit * y.to, step) {
        let level = y.at(tick / unit);
        let (a, b) = (Point::new(plot.x, level), Point::new(plot.right(), level));
        canvas.line(a, b, Stroke::new(Ink::Grid, 0.6));
        let at = Point::new(plot.x - 4.0, level + 0.35 * small);
        canvas.text(at, &number::number(tick, 0), muted.anchor(Anchor::End));
    }
    let step = nice_step(
        unit * (x.to - x.from),
        ((plot.w / (small * 4.5)) as usize).max(2),
    );
    for tick in nice_ticks(unit * x.from, unit * x.to, step) {
        let place = x.at(tick / unit);
        let (top, bottom) = (Point::new(place, plot.y), Point::new(place, plot.bottom()));
        canvas.line(top, bottom, Stroke::new(Ink::Grid, 0.6));
        let text = if tick == 0.0 {
            "aim".to_owned()
        } else {
            number::number(tick, 0)
        };
        let width = text_width(&text, small, false);
        let middle = place.clamp(area.x + 0.5 * width, area.right() - 0.5 * width);
        let at = Point::new(middle, plot.bottom() + small + 3.0);
        canvas.text(at, &text, muted.anchor(Anchor::Middle));
    }
}

/// What the marks on the ground are and how much height is stretched: the longest that there is room for is written.
fn notes(subject: &Subject<'_>, stretched: f64) -> Vec<String> {
    let stretched = format!("height stretched {}\u{d7}", number::number(stretched, 1));
    let bar = touchdown_interval(subject).map(|(_, landed)| {
        let what = if landed { "touchdown" } else { "projected" };
        format!("bar: {what}, 95{UNIT_SPACE}%")
    });
    let wanted = limits(subject).map(|_| "shaded: wanted".to_owned());
    let all: Vec<String> = [bar.clone(), wanted.clone(), Some(stretched.clone())]
        .into_iter()
        .flatten()
        .collect();
    let marks: Vec<String> = [bar, wanted].into_iter().flatten().collect();
    vec![all.join("; "), marks.join("; "), stretched]
}
