//! Time against the number of fixes, as a table and as a drawing.

use std::fmt::Write;

/// One length of recording.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Measured {
    pub(crate) rate_hz: f64,
    pub(crate) fixes: f64,
    pub(crate) megabytes: f64,
    pub(crate) seconds: f64,
    pub(crate) memory_mb: Option<f64>,
}

/// Slope of the logarithms of time against those of fixes, by least squares: 1 is linear.
pub(crate) fn exponent(all: &[Measured]) -> f64 {
    let points: Vec<(f64, f64)> = all.iter().map(|m| (m.fixes.ln(), m.seconds.ln())).collect();
    let n = points.len() as f64;
    let mean = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / n;
    let (x, y) = (mean(|p| p.0), mean(|p| p.1));
    let xy: f64 = points.iter().map(|p| (p.0 - x) * (p.1 - y)).sum();
    let xx: f64 = points.iter().map(|p| (p.0 - x).powi(2)).sum();
    xy / xx
}

/// Width and height of the drawing, and the rectangle of its axes: left, top, right, bottom.
const SIZE: (f64, f64) = (640.0, 420.0);
const AXES: [f64; 4] = [72.0, 40.0, 616.0, 368.0];
/// Ends of the axes: fixes, seconds.
const FIXES: (f64, f64) = (1e3, 2e6);
const SECONDS: (f64, f64) = (2e-3, 5.0);

fn place(fixes: f64, seconds: f64) -> (f64, f64) {
    let share = |v: f64, (low, high): (f64, f64)| (v / low).ln() / (high / low).ln();
    (
        AXES[0] + (AXES[2] - AXES[0]) * share(fixes, FIXES),
        AXES[3] - (AXES[3] - AXES[1]) * share(seconds, SECONDS),
    )
}

/// The drawing: both axes logarithmic, a line of slope 1 for each rate through its longest recording.
pub(crate) fn svg(rates: &[Vec<Measured>]) -> String {
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {w} {h}\" width=\"{w}\" height=\"{h}\" font-family=\"sans-serif\" font-size=\"13\">\n\
         <title>Processor time of a debrief against the number of fixes</title>\n\
         <rect width=\"{w}\" height=\"{h}\" fill=\"#ffffff\"/>\n\
         <text x=\"{}\" y=\"22\" fill=\"#222222\">Processor time of a debrief, from the bytes to the reports, s</text>\n",
        AXES[0] - 52.0,
        w = SIZE.0,
        h = SIZE.1
    );
    for power in 3..=6 {
        let value = 10_f64.powi(power);
        let x = place(value, 1.0).0;
        let _ = writeln!(
            out,
            "<path d=\"M{x:.1} {}V{}\" stroke=\"#dddddd\"/><text x=\"{x:.1}\" y=\"{}\" text-anchor=\"middle\" fill=\"#222222\">{}</text>",
            AXES[1],
            AXES[3],
            AXES[3] + 18.0,
            ["1,000", "10,000", "100,000", "1,000,000"][power as usize - 3]
        );
    }
    for seconds in [0.01, 0.1, 1.0] {
        let y = place(1e3, seconds).1;
        let _ = writeln!(
            out,
            "<path d=\"M{} {y:.1}H{}\" stroke=\"#dddddd\"/><text x=\"{}\" y=\"{:.1}\" text-anchor=\"end\" fill=\"#222222\">{seconds}</text>",
            AXES[0],
            AXES[2],
            AXES[0] - 8.0,
            y + 4.5
        );
    }
    let _ = writeln!(
        out,
        "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"none\" stroke=\"#888888\"/>\n<text x=\"{}\" y=\"{}\" text-anchor=\"middle\" fill=\"#222222\">fixes in the recording</text>",
        AXES[0],
        AXES[1],
        AXES[2] - AXES[0],
        AXES[3] - AXES[1],
        0.5 * (AXES[0] + AXES[2]),
        AXES[3] + 40.0
    );
    for (i, (all, colour)) in rates.iter().zip(["#0072b2", "#d55e00"]).enumerate() {
        let Some(longest) = all.last() else { continue };
        let rate = longest.seconds / longest.fixes;
        let (x, y) = place(all[0].fixes, rate * all[0].fixes);
        let (x2, y2) = place(longest.fixes, longest.seconds);
        let _ = writeln!(
            out,
            "<path d=\"M{x:.1} {y:.1}L{x2:.1} {y2:.1}\" stroke=\"{colour}\" stroke-dasharray=\"5 4\" fill=\"none\"/>"
        );
        for m in all {
            let (x, y) = place(m.fixes, m.seconds);
            let mark = if i == 0 {
                format!("<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"4.5\" fill=\"{colour}\"/>")
            } else {
                format!(
                    "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"9\" height=\"9\" fill=\"{colour}\"/>",
                    x - 4.5,
                    y - 4.5
                )
            };
            out.push_str(&mark);
            out.push('\n');
        }
        let y = AXES[1] + 22.0 + 20.0 * i as f64;
        let mark = if i == 0 { "●" } else { "■" };
        let _ = writeln!(
            out,
            "<text x=\"{}\" y=\"{y}\" fill=\"{colour}\">{mark} {} Hz: {:.2} µs for each fix of the longest</text>",
            AXES[0] + 14.0,
            longest.rate_hz,
            1e6 * rate
        );
    }
    let _ = writeln!(
        out,
        "<text x=\"{}\" y=\"{}\" fill=\"#222222\">dashed: in proportion to the longest</text>\n</svg>",
        AXES[0] + 14.0,
        AXES[1] + 62.0
    );
    out
}
