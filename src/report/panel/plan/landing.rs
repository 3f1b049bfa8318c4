//! The aim and the direction of landing.

use super::super::super::number;
use super::super::super::svg::{
    Anchor, Canvas, Ink, Placer, Point, Rect, Stroke, TextStyle, text_width,
};
use super::super::Subject;
use super::PlanFrame;

/// How long the arrow is.
const ARROW: f64 = 42.0;

/// The dash-dotted line on which the landing lies.
pub(super) fn line(canvas: &mut Canvas, frame: &PlanFrame, subject: &Subject<'_>) {
    if let Some(landing) = subject.reference.landing_true_deg.filter(|d| d.is_finite()) {
        let (sin, cos) = landing.to_radians().sin_cos();
        let place = |d: f64| Point::new(frame.origin.x + d * sin, frame.origin.y - d * cos);
        let thin = Stroke::new(Ink::Aim, 0.7).dashed("7 3 1.5 3");
        canvas.line(place(-2000.0), place(2000.0), thin);
    }
}

/// Between what the touchdown lay, or where it was heading, with 95 % probability.
pub(super) struct TouchdownBox {
    /// Beyond the aim in the landing direction, ft.
    along_ft: (f64, f64),
    /// Right of the landing line, ft; nothing where it is not known.
    across_ft: (f64, f64),
    /// The landing direction, degrees true.
    landing_deg: f64,
}

impl TouchdownBox {
    /// Where a place along and across the landing direction is drawn.
    fn at(&self, frame: &PlanFrame, along_ft: f64, across_ft: f64) -> Point {
        let (sin, cos) = self.landing_deg.to_radians().sin_cos();
        frame.at(
            along_ft * sin + across_ft * cos,
            along_ft * cos - across_ft * sin,
        )
    }

    /// Whether any of it is in the plot.
    pub(super) fn is_within(&self, frame: &PlanFrame) -> bool {
        let (short, long) = self.along_ft;
        (0..=10).any(|i| {
            let along = short + f64::from(i) / 10.0 * (long - short);
            frame.plot.holds(self.at(frame, along, 0.0))
        })
    }
}

/// The box of the touchdown, where it is known; none where the touchdown is the aim.
pub(super) fn touchdown_box(subject: &Subject<'_>) -> Option<TouchdownBox> {
    let landing_deg = subject.reference.landing_true_deg?;
    if subject.reference.aim_source == "touchdown" || !landing_deg.is_finite() {
        return None;
    }
    let measure = |id: &str| subject.attempt.measures.get(id)?.interval();
    let along = measure("touchdown_along_ft").or_else(|| measure("projected_touchdown_along_ft"));
    Some(TouchdownBox {
        along_ft: along.filter(|(a, b)| a.is_finite() && b.is_finite())?,
        across_ft: measure("touchdown_across_ft").unwrap_or((0.0, 0.0)),
        landing_deg,
    })
}

/// Draws the box along and across the landing direction.
pub(super) fn touchdown(canvas: &mut Canvas, frame: &PlanFrame, subject: &Subject<'_>) {
    let Some(touchdown) = touchdown_box(subject) else {
        return;
    };
    let ((short, long), across) = (touchdown.along_ft, touchdown.across_ft);
    // never thinner than can be seen
    let least = 3.0 / frame.units_per_ft;
    let (left, right) = (across.0.min(-least), across.1.max(least));
    let place = |along: f64, across: f64| touchdown.at(frame, along, across);
    let corners = [
        place(short, left),
        place(long, left),
        place(long, right),
        place(short, right),
    ];
    let rim = Stroke::new(Ink::Track(5), 0.7);
    canvas.polygon(&corners, Ink::Band, Some(rim));
}

/// The aim: a ring with a cross.
pub(super) fn aim(canvas: &mut Canvas, frame: &PlanFrame, placer: &mut Placer) {
    let at = frame.origin;
    canvas.disc(at, 5.0, Ink::Paper, Ink::Aim);
    let stroke = Stroke::new(Ink::Aim, 1.2);
    canvas.line(
        Point::new(at.x - 8.0, at.y),
        Point::new(at.x + 8.0, at.y),
        stroke,
    );
    canvas.line(
        Point::new(at.x, at.y - 8.0),
        Point::new(at.x, at.y + 8.0),
        stroke,
    );
    placer.block(Rect::around(at, 12.0, 12.0));
}

/// The arrow in the landing direction, near the aim where it hides least of the track, with its
/// direction in words.
pub(super) fn arrow(
    canvas: &mut Canvas,
    frame: &PlanFrame,
    subject: &Subject<'_>,
    placer: &mut Placer,
) {
    let Some(landing) = subject.reference.landing_true_deg.filter(|d| d.is_finite()) else {
        return;
    };
    let (sin, cos) = landing.to_radians().sin_cos();
    // `along` the landing direction from the aim, `across` to its right.
    let place = |along: f64, across: f64| {
        Point::new(
            frame.origin.x + along * sin + across * cos,
            frame.origin.y - along * cos + across * sin,
        )
    };
    let room = |along: f64, across: f64| -> Vec<Rect> {
        (0..=4)
            .map(|i| {
                Rect::around(
                    place(along + ARROW * f64::from(i) / 4.0, across),
                    14.0,
                    14.0,
                )
            })
            .collect()
    };
    let inner = frame.plot.inset(8.0, 8.0, 8.0, 8.0);
    let mut best: Option<(f64, f64, f64)> = None;
    for across in [0.0, 14.0, -14.0, 26.0, -26.0] {
        for along in [30.0, 60.0, 90.0, -72.0, -102.0, -132.0] {
            if !inner.holds(place(along, across)) || !inner.holds(place(along + ARROW, across)) {
                continue;
            }
            let covered: usize = room(along, across).iter().map(|r| placer.covered(*r)).sum();
            let taken = room(along, across).iter().any(|r| placer.is_taken(*r));
            let cost = 4.0 * covered as f64
                + along.abs() / 10.0
                + across.abs() / 4.0
                + if taken { 1000.0 } else { 0.0 };
            if best.is_none_or(|(least, ..)| cost < least) {
                best = Some((cost, along, across));
            }
        }
    }
    let Some((_, along, across)) = best else {
        return;
    };
    canvas.line(
        place(along, across),
        place(along + ARROW - 10.0, across),
        Stroke::new(Ink::Aim, 3.2),
    );
    let neck = along + ARROW - 12.0;
    let head = [
        place(along + ARROW, across),
        place(neck, across + 6.0),
        place(neck, across - 6.0),
    ];
    canvas.polygon(&head, Ink::Aim, None);
    for part in room(along, across) {
        placer.block(part);
    }
    let text = format!("land {}° true", number::direction(landing));
    let small = subject.look.small;
    let width = text_width(&text, small, false);
    if let Some(label) = placer.place(place(along + ARROW / 2.0, across), width, small, 8.0, 90.0) {
        let at = Point::new(label.room.x, label.room.y + 0.78 * small);
        canvas.text(at, &text, TextStyle::new(small, Ink::Aim).halo());
    }
}

/// The name of the aim's mark.
pub(super) fn label(
    canvas: &mut Canvas,
    frame: &PlanFrame,
    subject: &Subject<'_>,
    placer: &mut Placer,
) {
    let style = subject.look.body(Ink::Aim, Anchor::Start).bold().halo();
    let text = if subject.reference.aim_source == "touchdown" {
        "touchdown = aim"
    } else {
        "aim"
    };
    let width = text_width(text, style.size, true);
    if let Some(label) = placer.place(frame.origin, width, style.size, 9.0, 80.0) {
        canvas.text(
            Point::new(label.room.x, label.room.y + 0.78 * style.size),
            text,
            style,
        );
    }
}
