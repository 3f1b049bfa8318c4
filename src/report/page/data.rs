//! What the script of the page needs: the series, and where the drawings put them.

use serde_json::{Value, json};

use super::super::number::{self, Figure};
use super::super::panel::frame::Frame;
use super::super::panel::last_mile::LastMile;
use super::super::panel::plan::PlanFrame;
use super::super::panel::side::SideView;
use super::super::svg::Scale;
use super::super::wording::Wording;
use super::stops;
use crate::debrief::document::Attempt;
use crate::measures::usable;
use crate::quantity::Measured;

/// Where the panels of one attempt drew.
#[derive(Debug, Default)]
pub(super) struct Frames {
    pub(super) plan: Option<PlanFrame>,
    pub(super) side: Option<SideView>,
    pub(super) speed: Option<Frame>,
    pub(super) descent: Option<Frame>,
    pub(super) last_mile: Option<LastMile>,
}

/// The data as JSON that can stand inside a script element: no `<` is left in it.
pub(super) fn json(attempts: &[Attempt], frames: &[&Frames], wording: Wording) -> String {
    let list: Vec<Value> = attempts
        .iter()
        .zip(frames)
        .map(|(attempt, frames)| one(attempt, frames, wording))
        .collect();
    Value::Array(list)
        .to_string()
        .replace('<', "\\u003c")
        .replace('>', "\\u003e")
        .replace('&', "\\u0026")
        .replace('\u{2028}', "\\u2028")
        .replace('\u{2029}', "\\u2029")
}

fn one(attempt: &Attempt, frames: &Frames, wording: Wording) -> Value {
    let (feet, knots, rate) = (wording.ft(), wording.kt(), wording.fpm());
    let series = &attempt.series;
    let known =
        |list: &[Option<f64>]| -> Vec<f64> { list.iter().map(|h| h.unwrap_or(f64::NAN)).collect() };
    let in_hand = known(&series.height_in_hand_ft);
    json!({
        "id": format!("attempt-{}", attempt.number),
        "marks": stops::all(attempt, wording),
        "t": times(&series.elapsed_s),
        "east": wholes(&series.east_ft),
        "north": wholes(&series.north_ft),
        "bridged": series.bridged_s,
        "units": [feet.unit, knots.unit, rate.unit],
        "perUnit": feet.factor,
        "height": wholes(&feet.all(&series.height_ft)),
        "heightText": texts(&series.height_ft, &series.height_low_ft, &series.height_high_ft, |m| wording.height(m)),
        "cas": list(&knots.all(&series.cas_kt)),
        "casText": texts(&series.cas_kt, &series.cas_low_kt, &series.cas_high_kt, |m| wording.speed(m)),
        "descent": list(&rate.all(&series.descent_rate_fpm)),
        "descentText": texts(
            &series.descent_rate_fpm,
            &series.descent_rate_low_fpm,
            &series.descent_rate_high_fpm,
            |m| wording.rate(m),
        ),
        "ground": wholes(&knots.all(&series.ground_speed_kt)),
        "bank": wholes(&series.bank_deg),
        "inHand": wholes(&feet.all(&in_hand)),
        "inHandText": texts(
            &in_hand,
            &known(&series.height_in_hand_low_ft),
            &known(&series.height_in_hand_high_ft),
            |m| in_hand_figure(m, wording),
        ),
        "plan": frames.plan.map(|f| json!({
            "x": tenths(f.origin.x), "y": tenths(f.origin.y), "perFt": f.units_per_ft,
        })),
        "way": frames.side.as_ref().map(|side| thousandths(&side.way.flown)),
        "side": frames.side.as_ref().map(|side| frame(&side.frame)),
        "speed": frames.speed.as_ref().map(frame),
        "descentFrame": frames.descent.as_ref().map(frame),
        "lastMile": frames.last_mile.as_ref().map(|mile| json!({
            "along": wholes(&mile.along_ft),
            "across": scale(mile.along),
            // the script has heights in the units shown
            "value": scale(Scale { from: feet.of(mile.height.from), to: feet.of(mile.height.to), ..mile.height }),
        })),
    })
}

fn frame(frame: &Frame) -> Value {
    json!({
        "across": scale(frame.across),
        "value": scale(frame.value),
        "top": tenths(frame.plot.y),
        "bottom": tenths(frame.plot.bottom()),
    })
}

fn scale(scale: Scale) -> Value {
    json!([scale.from, scale.to, tenths(scale.start), tenths(scale.end)])
}

/// In tenths; what is not a number becomes null.
fn list(values: &[f64]) -> Vec<Value> {
    values.iter().map(|v| tenths(*v)).collect()
}

/// The times of steps: the first, from one to the next and how many, where they are even.
fn times(elapsed_s: &[f64]) -> Value {
    let step = elapsed_s.get(1).zip(elapsed_s.first()).map(|(b, a)| b - a);
    let even = |step: f64| {
        elapsed_s
            .windows(2)
            .all(|pair| (pair[1] - pair[0] - step).abs() < 1e-6)
    };
    match (elapsed_s.first(), step) {
        (Some(first), Some(step)) if step > 0.0 && even(step) => {
            json!({ "from": first, "step": step, "count": elapsed_s.len() })
        }
        _ => json!(list(elapsed_s)),
    }
}

/// In whole numbers, where no more is shown or seen; what is not a number becomes null.
fn wholes(values: &[f64]) -> Vec<Value> {
    let whole = |v: &f64| v.is_finite().then(|| v.round() as i64);
    values.iter().map(|v| json!(whole(v))).collect()
}

/// Each step as every figure is printed, value, low and high: `980|910|1030`; empty where it is not known. The steps
/// are parted by `;`.
fn texts(
    values: &[f64],
    lows: &[f64],
    highs: &[f64],
    printed: impl Fn(&Measured) -> Option<Figure>,
) -> String {
    let text = |i: usize| -> Option<String> {
        let (value, low, high) = (*values.get(i)?, *lows.get(i)?, *highs.get(i)?);
        Some(text_of(&printed(&Measured::Known { value, low, high })?))
    };
    (0..values.len())
        .map(|i| text(i).unwrap_or_default())
        .collect::<Vec<_>>()
        .join(";")
}

/// Value, low and high; no value where it cannot be told.
pub(super) fn text_of(figure: &Figure) -> String {
    let value = if figure.told { &figure.value } else { "" };
    format!("{value}|{}|{}", figure.low, figure.high)
}

/// A height in hand, as the measures have it.
pub(super) fn in_hand_figure(measured: &Measured, wording: Wording) -> Option<Figure> {
    number::in_unit(measured, wording.ft(), usable::IN_HAND_FT)
}

/// A way of some NM at each step: a thousandth is two metres.
fn thousandths(values: &[f64]) -> Vec<Value> {
    let rounded = values.iter().map(|v| (v * 1000.0).round() / 1000.0);
    rounded.map(|v| json!(v)).collect()
}

pub(super) fn tenths(value: f64) -> Value {
    json!((value * 10.0).round() / 10.0)
}
