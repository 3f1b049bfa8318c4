//! The standards that come with the program.

use std::sync::LazyLock;

use super::parse::parse;
use super::standard::Standard;
use crate::briefing::spelling::nearest;

/// File names and texts, in the order of the list.
const FILES: [(&str, &str); 15] = [
    (
        "us-private-emergency.toml",
        include_str!("standards/us-private-emergency.toml"),
    ),
    (
        "us-private-landing.toml",
        include_str!("standards/us-private-landing.toml"),
    ),
    (
        "us-commercial-emergency.toml",
        include_str!("standards/us-commercial-emergency.toml"),
    ),
    (
        "us-commercial-po180.toml",
        include_str!("standards/us-commercial-po180.toml"),
    ),
    (
        "us-commercial-steep-spiral.toml",
        include_str!("standards/us-commercial-steep-spiral.toml"),
    ),
    (
        "us-instructor.toml",
        include_str!("standards/us-instructor.toml"),
    ),
    ("canada-rec.toml", include_str!("standards/canada-rec.toml")),
    (
        "canada-ultralight.toml",
        include_str!("standards/canada-ultralight.toml"),
    ),
    (
        "canada-private.toml",
        include_str!("standards/canada-private.toml"),
    ),
    (
        "canada-commercial.toml",
        include_str!("standards/canada-commercial.toml"),
    ),
    ("eu-lapl.toml", include_str!("standards/eu-lapl.toml")),
    ("eu-ppl.toml", include_str!("standards/eu-ppl.toml")),
    ("eu-cpl.toml", include_str!("standards/eu-cpl.toml")),
    ("au-mos.toml", include_str!("standards/au-mos.toml")),
    (
        "nz-gyroplane.toml",
        include_str!("standards/nz-gyroplane.toml"),
    ),
];

/// Those read before come first, so that a standard can derive from one of them.
static EMBEDDED: LazyLock<Vec<Standard>> = LazyLock::new(|| {
    let mut read: Vec<Standard> = Vec::new();
    for (file_name, text) in FILES {
        // a test holds that every one of them can be read
        if let Ok(standard) = parse(text, file_name, &read) {
            read.push(standard);
        }
    }
    read
});

/// Every standard that comes with the program.
pub fn embedded() -> &'static [Standard] {
    &EMBEDDED
}

/// The standard of this id, upper and lower case being equal.
pub fn find(id: &str) -> Option<&'static Standard> {
    embedded().iter().find(|s| s.id.eq_ignore_ascii_case(id))
}

/// What is wrong with an id, and the nearest one.
pub fn unknown_id(id: &str) -> (String, String) {
    let help = nearest(id, embedded().iter().map(|s| s.id.as_str())).map_or_else(
        || "`stillprop standards` lists them; a file of your own ends in `.toml`".to_owned(),
        |near| format!("did you mean `{near}`?"),
    );
    (format!("no standard is called `{id}`"), help)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::grading::standard::Basis;

    #[test]
    fn every_embedded_standard_is_read_and_found() {
        let mut before = Vec::new();
        for (file_name, text) in FILES {
            let standard = parse(text, file_name, &before).unwrap_or_else(|e| panic!("{e}"));
            assert_eq!(find(&standard.id.to_lowercase()).unwrap(), &standard);
            assert_eq!(file_name, format!("{}.toml", standard.id.to_lowercase()));
            before.push(standard);
        }
        assert_eq!(embedded().len(), FILES.len());
    }

    #[test]
    fn every_criterion_says_where_it_is_published_and_how_it_is_known() {
        for standard in embedded() {
            for criterion in &standard.criteria {
                assert!(criterion.source.len() > 8, "{}", criterion.id);
                assert_ne!(criterion.basis, Basis::School, "{}", criterion.id);
            }
        }
    }

    #[test]
    fn the_nearest_id_is_named() {
        let (what, help) = unknown_id("US-comercial-PO180");
        assert!(what.contains("US-comercial-PO180"));
        assert_eq!(help, "did you mean `US-commercial-PO180`?");
        assert!(unknown_id("blah").1.contains("stillprop standards"));
    }
}
