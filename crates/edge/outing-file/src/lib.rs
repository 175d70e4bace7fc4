//! Text to checked outing, with every problem and its place.
