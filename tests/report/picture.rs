//! PNG and PDF, read back by others.

use stillprop::report::picture::{self, PDF_BUILT, PNG_BUILT, PictureProblem};
use stillprop::report::{SheetOptions, sheet_svg};

use super::documents::two_orbits_to_touchdown;

fn sheet() -> String {
    sheet_svg(&two_orbits_to_touchdown(), 0, &SheetOptions::default())
}

#[test]
fn a_program_built_without_a_feature_says_which() {
    if !PNG_BUILT {
        assert_eq!(picture::png(&sheet()), Err(PictureProblem::NotBuilt("png")));
    }
    if !PDF_BUILT {
        let made = picture::pdf(&[sheet()], "sheet");
        assert_eq!(made, Err(PictureProblem::NotBuilt("pdf")));
    }
    let said = PictureProblem::NotBuilt("png").to_string();
    assert_eq!(said, "this program was built without `png`");
}

#[cfg(feature = "png")]
#[test]
fn a_png_has_the_size_of_its_paper_and_ink_where_the_drawing_has_it() {
    let bytes = picture::png(&sheet()).unwrap();
    let mut reader = png::Decoder::new(std::io::Cursor::new(&bytes))
        .read_info()
        .unwrap();
    let info = reader.info();
    // 279 mm by 210 mm at 200 pixels to the inch of 25.4 mm
    let pixels = |mm: f64| mm / 25.4 * 200.0;
    assert!(
        (f64::from(info.width) - pixels(279.0)).abs() < 2.0,
        "{}",
        info.width
    );
    assert!(
        (f64::from(info.height) - pixels(210.0)).abs() < 2.0,
        "{}",
        info.height
    );
    let (width, height) = (info.width as usize, info.height as usize);
    let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
    let frame = reader.next_frame(&mut pixels).unwrap();
    let samples = frame.line_size / width;
    let dark = |x: usize, y: usize| pixels[y * frame.line_size + x * samples] < 100;
    // the headline, in the first quarter from the top, is large and black; the margins are empty
    let headline = (width / 30..width / 2)
        .filter(|x| dark(*x, height / 11))
        .count();
    assert!(
        headline > width / 40,
        "{headline} dark pixels in the headline"
    );
    let margin = (0..width).filter(|x| dark(*x, 10)).count();
    assert_eq!(margin, 0);
    assert_eq!(
        bytes,
        picture::png(&sheet()).unwrap(),
        "the same bytes again"
    );
}

#[cfg(feature = "pdf")]
#[test]
fn the_text_of_a_pdf_can_be_selected_and_each_drawing_is_a_page() {
    let pages = [sheet(), sheet()];
    let bytes = picture::pdf(&pages, "Two sheets").unwrap();
    let file = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("two-sheets.pdf");
    std::fs::write(&file, &bytes).unwrap();
    let said = |program: &str, arguments: &[&str]| {
        let output = std::process::Command::new(program)
            .args(arguments)
            .output()
            .unwrap_or_else(|e| panic!("{program} is needed (poppler-utils): {e}"));
        assert!(output.status.success(), "{output:?}");
        String::from_utf8(output.stdout).unwrap()
    };
    let path = file.to_str().unwrap();
    let text = said("pdftotext", &[path, "-"]).replace('\u{a0}', " ");
    assert_eq!(
        text.matches("Touchdown 310 ft beyond the aim").count(),
        2,
        "{text}"
    );
    assert!(text.contains("not for navigation"), "{text}");
    let info = said("pdfinfo", &[path]);
    assert!(info.contains("Two sheets"), "{info}");
    let value = |name: &str| {
        info.lines()
            .find_map(|l| l.strip_prefix(name))
            .unwrap()
            .trim()
            .to_owned()
    };
    assert_eq!(value("Pages:"), "2");
    // 279 mm by 210 mm in points of 1/72 inch
    assert!(value("Page size:").starts_with("790.8"), "{info}");
    assert!(value("Page size:").contains("595.2"), "{info}");
    assert_eq!(
        bytes,
        picture::pdf(&pages, "Two sheets").unwrap(),
        "the same bytes again"
    );
    assert!(matches!(
        picture::pdf(&[], "none"),
        Err(PictureProblem::Unwritten(_))
    ));
}
