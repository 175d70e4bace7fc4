//! The edition of the engine, for those who keep its answers.

/// Changes whenever the engine's numbers change for the same input.
pub const ENGINE_EDITION: u32 = 3;
