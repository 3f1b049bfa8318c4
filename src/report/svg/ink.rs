//! Colours by meaning, safe for the colour-blind and in grey.

use super::FONT_FAMILY;

/// What a mark means; the colour follows from it. Every ink has enough contrast on white to be
/// read, or is only a background, and the inks that meet differ in lightness as well as hue.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// Words and figures.
    Text,
    /// Words of less weight.
    Muted,
    /// Axes.
    Axis,
    /// Grid lines.
    Grid,
    /// The page.
    Paper,
    /// A tinted ground behind a table row.
    Shade,
    /// The 95 % band.
    Band,
    /// What was wanted: best glide, target height.
    Target,
    /// The tolerance around it.
    Tolerance,
    /// The aim point and the landing direction.
    Aim,
    /// Wind.
    Wind,
    /// The flown line; 0 is its beginning, 9 its end.
    Track(u8),
}

/// How many steps of [`Ink::Track`] there are.
const TRACK_STEPS: [&str; 10] = [
    "#6fa3cf", "#5f95c5", "#4f86ba", "#4177ad", "#35689f", "#2a5990", "#214b80", "#193d6e",
    "#122f5a", "#0b2145",
];

/// The same on a dark ground: lighter with time.
const TRACK_ON_DARK: [&str; 10] = [
    "#5b8fbd", "#669ac6", "#73a5cf", "#81b1d8", "#90bde0", "#a0c9e8", "#b1d5ef", "#c4e1f5",
    "#d8edfa", "#eef8ff",
];

impl Ink {
    /// The colour on white paper.
    pub(super) fn colour(self) -> &'static str {
        match self {
            Ink::Text | Ink::Aim => "#161616",
            Ink::Muted => "#565656",
            Ink::Axis => "#6b6b6b",
            Ink::Grid => "#dcdcdc",
            Ink::Paper => "#ffffff",
            Ink::Shade => "#f1f1ee",
            Ink::Band => "#c9d9ea",
            Ink::Target => "#a63c00",
            Ink::Tolerance => "#f6e7cf",
            Ink::Wind => "#00614a",
            Ink::Track(step) => TRACK_STEPS[usize::from(step.min(9))],
        }
    }

    /// The colour on a dark ground: that of the page's dark style sheet.
    pub(super) fn on_dark(self) -> &'static str {
        match self {
            Ink::Text | Ink::Aim => "#ececea",
            Ink::Muted => "#b5b5b0",
            Ink::Axis => "#9a9a96",
            Ink::Grid => "#383d43",
            Ink::Paper => "#17191c",
            Ink::Shade => "#22262a",
            Ink::Band => "#34475a",
            Ink::Target => "#ffab70",
            Ink::Tolerance => "#453521",
            Ink::Wind => "#45d3a6",
            Ink::Track(step) => TRACK_ON_DARK[usize::from(step.min(9))],
        }
    }

    /// Every ink there is.
    fn all() -> impl Iterator<Item = Ink> {
        use Ink::{Aim, Axis, Band, Grid, Muted, Paper, Shade, Target, Text, Tolerance, Wind};
        let plain = [
            Text, Muted, Axis, Grid, Paper, Shade, Band, Target, Tolerance, Aim, Wind,
        ];
        plain.into_iter().chain((0..10).map(Ink::Track))
    }

    /// The rules of a style sheet for drawings in a page, on white and for readers who set a dark ground.
    pub fn style_sheet() -> String {
        let rules = |colour: fn(Ink) -> &'static str| -> String {
            let rule = |ink: Ink| {
                let (class, colour) = (ink.class(), colour(ink));
                format!(".f-{class}{{fill:{colour}}}.s-{class}{{stroke:{colour}}}")
            };
            Ink::all().map(rule).collect()
        };
        let (light, dark) = (rules(Ink::colour), rules(Ink::on_dark));
        format!(
            "svg{{font-family:{FONT_FAMILY}}}{light}path[class^=s-]{{fill:none}}.mid{{text-anchor:middle}}.end{{text-anchor:end}}.bold{{font-weight:700}}.round{{stroke-linecap:round;stroke-linejoin:round}}\
             .halo{{paint-order:stroke;stroke-width:2.5;stroke-linejoin:round;stroke:{}}}\n\
             @media screen and (prefers-color-scheme: dark){{{dark}.halo{{stroke:{}}}}}\n",
            Ink::Paper.colour(),
            Ink::Paper.on_dark()
        )
    }

    /// The class a page's style sheet knows it by, after `f-` for fills and `s-` for strokes.
    pub(super) fn class(self) -> &'static str {
        match self {
            Ink::Text => "text",
            Ink::Muted => "muted",
            Ink::Axis => "axis",
            Ink::Grid => "grid",
            Ink::Paper => "paper",
            Ink::Shade => "shade",
            Ink::Band => "band",
            Ink::Target => "target",
            Ink::Tolerance => "tolerance",
            Ink::Aim => "aim",
            Ink::Wind => "wind",
            Ink::Track(step) => ["t0", "t1", "t2", "t3", "t4", "t5", "t6", "t7", "t8", "t9"]
                [usize::from(step.min(9))],
        }
    }
}
