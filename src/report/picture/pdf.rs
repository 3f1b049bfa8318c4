//! PDF.

use krilla::Document;
use krilla::geom::Size;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla_svg::{SurfaceExt, SvgSettings};

use super::PictureProblem;
use super::drawing::{CSS_PER_INCH, read};

/// Points in an inch: the unit of PDF.
const POINTS_PER_INCH: f32 = 72.0;

pub(super) fn pdf(svgs: &[String], title: &str) -> Result<Vec<u8>, PictureProblem> {
    let unwritten = |what: &str| PictureProblem::Unwritten(what.to_owned());
    if svgs.is_empty() {
        return Err(unwritten("there is no page"));
    }
    let mut document = Document::new();
    document.set_metadata(
        Metadata::new()
            .title(title.to_owned())
            .language("en".to_owned())
            .creator(concat!("stillprop ", env!("CARGO_PKG_VERSION")).to_owned()),
    );
    for svg in svgs {
        let tree = read(svg)?;
        let points = POINTS_PER_INCH / CSS_PER_INCH;
        let (width, height) = (tree.size().width() * points, tree.size().height() * points);
        let size = Size::from_wh(width, height).ok_or_else(|| unwritten("a page has no size"))?;
        let mut page = document.start_page_with(PageSettings::new(size));
        let mut surface = page.surface();
        surface
            .draw_svg(&tree, size, SvgSettings::default())
            .ok_or_else(|| unwritten("a page could not be drawn"))?;
        surface.finish();
        page.finish();
    }
    document
        .finish()
        .map_err(|error| unwritten(&format!("{error:?}")))
}
