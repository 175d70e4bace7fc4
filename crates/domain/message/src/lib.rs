//! From signal-to-noise ratio to a delivered message.
