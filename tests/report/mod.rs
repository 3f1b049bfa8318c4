//! Reports of invented documents.

pub(crate) mod documents;
pub(crate) mod drawing;
mod exchange;
mod in_hand;
mod page;
mod picture;
mod sheet;
mod stage_check;
mod text_and_json;
mod variants;
