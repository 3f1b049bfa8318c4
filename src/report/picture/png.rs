//! PNG.

use resvg::tiny_skia::{Color, Pixmap, Transform};

use super::PictureProblem;
use super::drawing::{CSS_PER_INCH, read};

/// Fine enough for the smallest text on a screen and on paper.
const PIXELS_PER_INCH: f32 = 200.0;

pub(super) fn png(svg: &str) -> Result<Vec<u8>, PictureProblem> {
    let tree = read(svg)?;
    let scale = PIXELS_PER_INCH / CSS_PER_INCH;
    let size = tree.size().to_int_size().scale_by(scale);
    let size = size.ok_or_else(|| PictureProblem::Unwritten("it has no size".to_owned()))?;
    let mut pixels = Pixmap::new(size.width(), size.height())
        .ok_or_else(|| PictureProblem::Unwritten("it is too large".to_owned()))?;
    pixels.fill(Color::WHITE);
    resvg::render(
        &tree,
        Transform::from_scale(scale, scale),
        &mut pixels.as_mut(),
    );
    pixels
        .encode_png()
        .map_err(|error| PictureProblem::Unwritten(error.to_string()))
}
