//! A wire fed at one end.

use super::measure::{Absent, CORNER, COUNTERPOISE, FAR_END, FEED, LENGTH, METRES, Measure};
use super::{Example, Kind};
use crate::limit::RATIO;

words! {
    /// Course of an end-fed wire.
    pub enum EndFedShape {
        /// A straight slope from the feed to the far end.
        Sloping = "sloping",
        /// Up to a corner above the feed, then on to the far end.
        LShaped = "l-shaped",
        /// Level at the height of the feed.
        Flat = "flat",
    }
}

/// Wire fed at one end against a counterpoise, through a transformer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EndFed {
    /// Length of the wire, metres.
    pub wire_m: f64,
    /// Course.
    pub shape: EndFedShape,
    /// Height of the feed, metres.
    pub feed_height_m: f64,
    /// Height of the far end, metres.
    pub far_height_m: f64,
    /// Height of the corner of an L-shaped wire, metres; equals `far_height_m` unless given.
    pub corner_height_m: f64,
    /// Length of the counterpoise, metres.
    pub counterpoise_m: f64,
    /// Impedance ratio of the transformer at the feed (dimensionless), 1 to 100.
    pub transformer_ratio: f64,
}

impl Kind for EndFed {
    fn measures(&mut self) -> Vec<Measure<'_>> {
        let knee = Absent::Usual(0.5, "the transformer hangs at knee height");
        let nine = Absent::Usual(9.0, "the usual transformer for a wire of any length");
        let far_end = Absent::Follows("far_height_m");
        vec![
            Measure::word("shape", &mut self.shape, "the usual way to hang it"),
            Measure::aloft("far_height_m", &mut self.far_height_m, Absent::Needed(METRES)).is(FAR_END),
            Measure::length("wire_m", &mut self.wire_m, Absent::Needed(METRES)).is(LENGTH),
            Measure::aloft("feed_height_m", &mut self.feed_height_m, knee).is(FEED),
            Measure::aloft("corner_height_m", &mut self.corner_height_m, far_end).is(CORNER),
            Measure::length("counterpoise_m", &mut self.counterpoise_m, Absent::Needed(METRES)).is(COUNTERPOISE),
            Measure::number("transformer_ratio", &mut self.transformer_ratio, RATIO, nine),
        ]
    }

    fn told(&self, m: &dyn Fn(f64) -> String) -> String {
        let (feed, far, corner) = (m(self.feed_height_m), m(self.far_height_m), m(self.corner_height_m));
        let course = match self.shape {
            EndFedShape::Sloping => format!("straight from {feed} up to {far}"),
            EndFedShape::LShaped => format!("from {feed} up to a corner at {corner}, then on to {far}"),
            EndFedShape::Flat => format!("level at {feed}"),
        };
        format!(
            "{} of wire {course}; counterpoise {}, straight, away from the wire.",
            m(self.wire_m),
            m(self.counterpoise_m)
        )
    }

    fn hung(&self, m: &dyn Fn(f64) -> String) -> Option<String> {
        Some(format!(
            "from {} at the feed to {} at the far end, the counterpoise of {} straight and away from it",
            m(self.feed_height_m),
            m(self.far_height_m),
            m(self.counterpoise_m)
        ))
    }

    fn misfits(&self, say: &mut dyn FnMut(&str, String, &'static str)) {
        let climb_m =
            (self.corner_height_m - self.feed_height_m).abs() + (self.far_height_m - self.corner_height_m).abs();
        if climb_m >= self.wire_m {
            let cause = format!(
                "a wire of {} m does not reach these heights ({climb_m} m up and down)",
                self.wire_m
            );
            say("wire_m", cause, "Lower the ends or lengthen the wire.");
        }
    }

    fn high_point(&self) -> &'static str {
        "the far end"
    }

    fn own_ratio(&self) -> f64 {
        self.transformer_ratio
    }
}

impl Example for EndFed {
    fn example() -> Self {
        Self {
            wire_m: 21.6,
            shape: EndFedShape::Sloping,
            feed_height_m: 0.6,
            far_height_m: 7.0,
            corner_height_m: 7.0,
            counterpoise_m: 6.5,
            transformer_ratio: 9.0,
        }
    }
    const SAID: Option<&'static str> = Some("21.6 m sloping to 7 m");
}
