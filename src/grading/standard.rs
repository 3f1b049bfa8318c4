//! A standard as data.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What a test or a school asks for, with the document it is from.
#[derive(Debug, Clone, PartialEq)]
pub struct Standard {
    /// What it is called on the command line.
    pub id: String,
    /// What it is called on paper.
    pub name: String,
    /// Who publishes it.
    pub authority: String,
    /// What the user of it should know.
    pub note: Option<String>,
    /// A criterion is met from this share of the draws inside on.
    pub met_from_share: f64,
    /// A criterion is not met up to this share of the draws inside.
    pub not_met_to_share: f64,
    /// What a track can show.
    pub criteria: Vec<Criterion>,
    /// What it cannot: lines to be marked by hand.
    pub by_hand: Vec<ByHand>,
    /// Items of the checklist, to be matched with events.
    pub checklist: Vec<String>,
    /// The power comes off abeam: from this time before it on, s, it surely did not, and it is another manoeuvre.
    pub power_off_abeam_within_s: Option<f64>,
}

/// One tolerance.
#[derive(Debug, Clone, PartialEq)]
pub struct Criterion {
    /// The element of the document, or a name of the school's.
    pub id: String,
    /// What is asked, short enough for a table.
    pub name: String,
    /// The measure that shows it.
    pub measure: String,
    /// Least value, in the unit of the measure; from the reference speed where there is one.
    pub low: Option<f64>,
    /// Greatest value, likewise.
    pub high: Option<f64>,
    /// The speed the bounds count from.
    pub about: Option<About>,
    /// For a share of time: the tolerance within which the speed is held, kt from the speed it counts from. The
    /// tolerance is the document's; the share of the time, `low`, is this program's, for documents give none.
    pub within_kt: Option<[f64; 2]>,
    /// Document, edition, task and element.
    pub source: String,
    /// How the figure is known.
    pub basis: Basis,
    /// Where it is not met, another manoeuvre was flown.
    pub makes_the_manoeuvre: bool,
}

/// Something to be marked by hand.
#[derive(Debug, Clone, PartialEq)]
pub struct ByHand {
    /// What.
    pub what: String,
    /// Document, edition, task and element.
    pub source: String,
}

/// A speed of the briefing that a tolerance counts from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum About {
    /// Best glide at the weight flown.
    BestGlide,
    /// Approach speed.
    Approach,
}

/// How the figure of a criterion is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Basis {
    /// Read in the document.
    Document,
    /// Read in a summary of it: check the document before calling it official.
    Summary,
    /// From memory, not verified.
    Memory,
    /// A habit of instructors, in no document.
    CommonPractice,
    /// A measure of this program for what the document asks without a figure.
    Program,
    /// A school's own.
    School,
}

impl Basis {
    /// Every basis, as written in a file.
    pub const WORDS: [(&'static str, Basis); 6] = [
        ("document", Basis::Document),
        ("summary", Basis::Summary),
        ("memory", Basis::Memory),
        ("common practice", Basis::CommonPractice),
        ("program", Basis::Program),
        ("school", Basis::School),
    ];

    /// What the reader of a verdict must know about its figure; nothing where it was read.
    pub fn caution(self) -> Option<&'static str> {
        match self {
            Basis::Document | Basis::School => None,
            Basis::Summary => Some("read in a summary of it"),
            Basis::Memory => Some("from memory, not verified"),
            Basis::CommonPractice => Some("common practice"),
            Basis::Program => Some("this program's measure; the document gives no share"),
        }
    }
}

impl About {
    /// Every reference speed, as written in a file.
    pub const WORDS: [(&'static str, About); 2] = [
        ("best_glide", About::BestGlide),
        ("approach", About::Approach),
    ];

    /// As written in a file.
    pub(super) fn written(self) -> &'static str {
        match self {
            About::BestGlide => Self::WORDS[0].0,
            About::Approach => Self::WORDS[1].0,
        }
    }

    /// The measure of its mean over the stretch it is to be held in.
    fn mean_over_its_stretch(self) -> &'static str {
        match self {
            About::BestGlide => "glide_cas_mean_kt",
            About::Approach => "final_cas_mean_kt",
        }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            About::BestGlide => "best glide speed",
            About::Approach => "approach speed",
        }
    }
}

impl Standard {
    /// Tolerance on a speed, kt below and above, where the standard has one: on best glide in the glide, on approach
    /// speed on final.
    ///
    /// # Definition
    /// That of the first criterion on the share of the stretch within a tolerance, else the bounds of the first on
    /// the mean speed of the stretch; none where one side is open.
    pub fn speed_band_kt(&self, about: About) -> Option<[f64; 2]> {
        let about_it = || self.criteria.iter().filter(|c| c.about == Some(about));
        let held = about_it().find_map(|c| c.within_kt);
        held.map(|[low, high]| [-low, high]).or_else(|| {
            let criterion = about_it().find(|c| c.measure == about.mean_over_its_stretch())?;
            Some([-criterion.low?, criterion.high?])
        })
    }
}

impl Criterion {
    /// Whether the same is asked twice.
    pub(super) fn is_called(&self, id: &str) -> bool {
        self.id.eq_ignore_ascii_case(id)
    }
}
