//! What an antenna does, as JSON, text and drawing.

pub mod compare;
pub mod drawing;
pub mod in_plan;
pub mod text;
pub mod view;
pub mod wire_list;

#[cfg(test)]
mod tests;
