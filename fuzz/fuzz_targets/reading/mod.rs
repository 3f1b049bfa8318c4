//! What holds for every file that is read.

use stillprop::cleaning::clean;
use stillprop::reading::{ReadOptions, read};

/// Reads and cleans `bytes`: no panic, fixes in range, and each refusal with a line of help.
pub fn check(bytes: &[u8], name: &str) {
    match read(bytes, name, &ReadOptions::default()) {
        Ok(recording) => {
            for fix in &recording.fixes {
                assert!(fix.utc_s.is_finite());
                assert!((-90.0..=90.0).contains(&fix.latitude_deg));
                assert!((-180.0..=180.0).contains(&fix.longitude_deg));
            }
            match clean(&recording) {
                Ok(track) => assert!(track.fixes.windows(2).all(|w| w[0].utc_s < w[1].utc_s)),
                Err(error) => assert!(error.to_string().contains("\nhelp: ")),
            }
        }
        Err(error) => assert!(error.to_string().contains("\nhelp: ")),
    }
}
