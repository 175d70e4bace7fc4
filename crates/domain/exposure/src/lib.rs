//! Limits of exposure to radio fields, and distances that keep them.
