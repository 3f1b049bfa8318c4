//! Placeholder.
use crate::reading::*;
/// x
#[derive(Debug, Clone)]
#[allow(missing_docs)]
pub struct CleanTrack { pub fixes: Vec<Fix>, pub latitude_quantum_deg: f64, pub longitude_quantum_deg: f64, pub gnss_altitude_quantum_m: f64, pub pressure_altitude_quantum_m: f64, pub median_step_s: f64, pub gnss_datum: AltitudeDatum, pub format: Format, pub notes: Vec<Note> }
/// x
#[derive(Debug, thiserror::Error)]
#[error("x")]
pub struct CleanError;
/// x
pub fn clean(r: &Recording) -> Result<CleanTrack, CleanError> { let _ = r; Err(CleanError) }
