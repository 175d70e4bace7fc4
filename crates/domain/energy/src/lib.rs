//! Charge through the day: batteries, loads, sun.
