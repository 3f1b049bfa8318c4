//! The SVG read back, with the faces it is drawn with.

use std::sync::{Arc, OnceLock};

use usvg::fontdb::Database;
use usvg::{Options, Tree};

use super::PictureProblem;

const REGULAR: &[u8] = include_bytes!("../fonts/DejaVuSans.ttf");
const BOLD: &[u8] = include_bytes!("../fonts/DejaVuSans-Bold.ttf");
/// Units of CSS in an inch: the size of the tree comes in them.
pub(super) const CSS_PER_INCH: f32 = 96.0;

/// The two faces, loaded once.
fn faces() -> Arc<Database> {
    static FACES: OnceLock<Arc<Database>> = OnceLock::new();
    Arc::clone(FACES.get_or_init(|| {
        let mut faces = Database::new();
        faces.load_font_data(REGULAR.to_vec());
        faces.load_font_data(BOLD.to_vec());
        faces.set_sans_serif_family("DejaVu Sans");
        Arc::new(faces)
    }))
}

/// The drawing as shapes and shaped text.
pub(super) fn read(svg: &str) -> Result<Tree, PictureProblem> {
    let options = Options {
        dpi: CSS_PER_INCH,
        font_family: "DejaVu Sans".to_owned(),
        fontdb: faces(),
        ..Options::default()
    };
    Tree::from_str(svg, &options).map_err(|error| PictureProblem::Unreadable(error.to_string()))
}
