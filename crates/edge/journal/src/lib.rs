//! The append-only record of the day.
