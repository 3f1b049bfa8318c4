//! Stage 6b: one draw of an attempt → what could still be reached from each of its instants.
//!
//! Everything here is a function of one draw; intervals arise from the draws.
//!
//! Planning is done in the air mass, at best glide speed, with the drag this aeroplane showed in
//! this attempt: cheapest turns and straights to the aim in the landing direction ([`dubins`]),
//! drift by the mean wind below ([`glider`]), hence the least height ([`least_height`]) and the
//! height in hand ([`along_attempt`]); the ground within glide ([`ring`]); and where the touchdown
//! would have been ([`projection`]).

pub mod along_attempt;
pub mod drag_step;
pub mod dubins;
pub mod glide_as_flown;
pub mod glider;
pub mod least_height;
#[cfg(test)]
mod least_height_tests;
pub mod moments;
pub mod projection;
pub mod ring;
pub mod setting;

pub use along_attempt::Hand;
pub use glide_as_flown::GlideAsFlown;
pub use glider::Glider;
pub use least_height::{Needed, Position, Reach};
pub use moments::Moments;
pub use setting::ReachSetting;
