//! Temporary.
use crate::random::Draws;
#[allow(missing_docs)]
#[derive(Debug, Clone)]
pub struct TouchdownPosterior { pub time_s: Vec<f64>, pub weight: Vec<f64>, pub touched_probability: f64 }
#[allow(missing_docs)]
#[derive(Debug, Clone)]
pub struct ContactDraw { pub time_s: f64, pub sink_mps: f64, pub flare_time_s: f64 }
#[allow(missing_docs)]
impl TouchdownPosterior {
    pub fn median_time_s(&self) -> f64 { self.time_s[0] }
    pub fn draw(&self, rng: &mut Draws) -> ContactDraw {
        let t = self.time_s[0] + rng.normal();
        ContactDraw { time_s: t, sink_mps: 1.0, flare_time_s: t - 6.0 }
    }
}
#[allow(missing_docs)]
pub fn find(path: &crate::flight_path::FlightPath, _s: &crate::flight_path::Setting, _t: &crate::cleaning::CleanTrack, span: (f64, f64), _d: f64, _w: &crate::air::WindProfile) -> Option<TouchdownPosterior> {
    let m = path.mean.resampled(span.0, span.1 + 10.0, 0.25);
    let low = m.iter().map(|p| p.height_m).fold(f64::INFINITY, f64::min);
    let first = m.iter().find(|p| p.height_m < low + 1.5)?;
    Some(TouchdownPosterior { time_s: vec![first.t_s], weight: vec![1.0], touched_probability: if low < 6.0 { 1.0 } else { 0.0 } })
}
