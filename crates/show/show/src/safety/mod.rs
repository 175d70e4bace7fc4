//! Who must stay how far from an antenna while sending, which parts burn, and what the rules say.

pub mod in_plan;
pub mod rules;
pub mod text;
pub mod view;
pub mod words;

#[cfg(test)]
mod tests;
