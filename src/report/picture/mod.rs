//! The drawings as PNG and as PDF, made from the same SVG.
//!
//! Each is a feature of the build, since each takes longer to build than the rest of the program. Both draw with
//! the faces in `src/report/fonts` and no other, so that every machine writes the same bytes; a character these
//! faces do not have is drawn as an empty box.

#[cfg(any(feature = "png", feature = "pdf"))]
mod drawing;
#[cfg(feature = "pdf")]
mod pdf;
#[cfg(feature = "png")]
mod png;

use thiserror::Error;

/// Why there is no picture.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum PictureProblem {
    /// The program was built without the feature.
    #[error("this program was built without `{0}`")]
    NotBuilt(&'static str),
    /// The drawing could not be read back.
    #[error("the drawing could not be read: {0}")]
    Unreadable(String),
    /// It was read, but not written.
    #[error("the picture could not be written: {0}")]
    Unwritten(String),
}

/// Whether this program writes PNG.
pub const PNG_BUILT: bool = cfg!(feature = "png");
/// Whether this program writes PDF.
pub const PDF_BUILT: bool = cfg!(feature = "pdf");

/// A drawing as PNG, 200 pixels to the inch of its paper.
///
/// # Errors
/// [`PictureProblem`]: not built in, or a drawing that is none.
pub fn png(svg: &str) -> Result<Vec<u8>, PictureProblem> {
    #[cfg(feature = "png")]
    return png::png(svg);
    #[cfg(not(feature = "png"))]
    {
        let _ = svg;
        Err(PictureProblem::NotBuilt("png"))
    }
}

/// Drawings as one PDF, a page each of the size of its paper, with text that can be selected.
///
/// # Errors
/// [`PictureProblem`]: not built in, no page, or a drawing that is none.
pub fn pdf(svgs: &[String], title: &str) -> Result<Vec<u8>, PictureProblem> {
    #[cfg(feature = "pdf")]
    return pdf::pdf(svgs, title);
    #[cfg(not(feature = "pdf"))]
    {
        let _ = (svgs, title);
        Err(PictureProblem::NotBuilt("pdf"))
    }
}
