//! From transmitter to wire: lines, transformers, tuners.
