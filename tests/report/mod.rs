//! Reports of invented documents.

pub(crate) mod documents;
mod drawing;
mod exchange;
mod in_hand;
mod page;
mod sheet;
mod stage_check;
mod text_and_json;
mod variants;
