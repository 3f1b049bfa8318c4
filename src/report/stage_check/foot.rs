//! Remarks and signatures by hand; recorder and method at the foot.

use super::super::svg::{Canvas, Ink, Point, Stroke, TextStyle, fit, wrap};
use super::super::words;
use super::{FOOT, INK, SMALL, heading, rule};
use crate::debrief::document::{Debrief, Grade};

/// Ruled lines for remarks, as many as there is room for.
pub(super) fn remarks(canvas: &mut Canvas, y: f64, bottom: f64) {
    canvas.open("remarks", "group", "Remarks", "Room for remarks by hand.");
    heading(canvas, y, "Remarks");
    let mut line = y + 34.0;
    while line < bottom - 6.0 {
        let (from, to) = (Point::new(INK.x, line), Point::new(INK.right(), line));
        canvas.line(from, to, Stroke::new(Ink::Axis, 0.4));
        line += 24.0;
    }
    canvas.close();
}

/// Lines to be signed. The decision is the instructor's: nothing is filled in.
pub(super) fn signatures(canvas: &mut Canvas, debrief: &Debrief, top: f64) {
    canvas.open(
        "signatures",
        "group",
        "Decision and signatures",
        "The decision of the instructor or examiner, and both signatures.",
    );
    heading(
        canvas,
        top + 14.0,
        "Decision of the instructor or examiner, and signatures",
    );
    let reference = &debrief.reference;
    let named = |role: &str, who: Option<&str>| match who {
        Some(code) => format!("{role}, {code}"),
        None => role.to_owned(),
    };
    let labels = [
        "Decision".to_owned(),
        named("Instructor or examiner", reference.instructor.as_deref()),
        named("Pilot", reference.pilot.as_deref()),
        "Date".to_owned(),
    ];
    let width = (INK.w - 3.0 * 16.0) / 4.0;
    for (i, label) in labels.iter().enumerate() {
        let x = INK.x + i as f64 * (width + 16.0);
        let y = top + 66.0;
        canvas.line(
            Point::new(x, y),
            Point::new(x + width, y),
            Stroke::new(Ink::Text, 0.8),
        );
        let label = fit(label, SMALL, false, width);
        canvas.text(
            Point::new(x, y + 12.0),
            &label,
            TextStyle::new(SMALL, Ink::Muted),
        );
    }
    canvas.close();
}

/// Recorder, method and cautions.
pub(super) fn method(canvas: &mut Canvas, debrief: &Debrief, grade: &Grade) {
    canvas.open(
        "method",
        "group",
        "Recorder and method",
        "What the evidence rests on.",
    );
    let recording = &debrief.recording;
    let per_cent = |share: f64| super::super::number::number(100.0 * share, 0);
    let text = format!(
        "{}, {}, SHA-256 {}. {} Each figure is the median over many possible paths of the aircraft, \
         its interval holds 95 % of them; met: at least {} % of them inside the limits, not met: at \
         most {} %; of a figure that cannot be told, only where its whole interval is on one side. {} {}",
        words::printable(&recording.file),
        words::recorder(debrief),
        recording.sha256.chars().take(12).collect::<String>(),
        words::heights_rest_on(debrief),
        per_cent(grade.met_from_share),
        per_cent(grade.not_met_to_share),
        debrief.cautions.join(" "),
        debrief.program,
    );
    let top = INK.bottom() - FOOT + 88.0;
    rule(canvas, top, 0.8);
    let size = SMALL;
    let fits = ((INK.bottom() - top - 2.0) / (size * 1.2)).floor() as usize;
    let mut lines = wrap(&text, size, false, INK.w);
    if lines.len() > fits {
        let rest = lines.split_off(fits - 1).join(" ");
        lines.push(fit(&rest, size, false, INK.w));
    }
    for (i, line) in lines.iter().enumerate() {
        let y = top + size * 1.2 * (i as f64 + 1.0);
        canvas.text(Point::new(INK.x, y), line, TextStyle::new(size, Ink::Muted));
    }
    canvas.close();
}
