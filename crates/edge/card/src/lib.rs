//! The field card.
