//! The colours of every picture: one hue for chance, one for the sun, one for harm.

/// Behind everything.
pub const PAPER: &str = "#fbfaf6";
/// Letters and what matters.
pub const INK: &str = "#1d2b33";
/// Letters of less weight; still 4.5:1 on paper.
pub const MUTED: &str = "#55646c";
/// Rings, rules, outlines.
pub const SOFT: &str = "#b9c3c7";
/// The one hue.
pub const TINT: &str = "#2f6f7e";
/// The second hue, for the sun only.
pub const SUN: &str = "#c98a1b";
/// The third hue, for harm only.
pub const HARM: &str = "#9c2f24";
/// Night behind hours and on maps.
pub const NIGHT: &str = "#e3e6e8";
/// Land on maps.
pub const LAND: &str = "#efece2";

/// Chance from paper to ink in seven steps of one hue; lightness alone carries it.
pub const CHANCE: [&str; 7] = [
    "#eef3f3", "#d3e2e4", "#aecbd0", "#83aeb6", "#578e99", "#2f6f7e", "#123f4b",
];

/// The step of a chance from 0 to 1 (dimensionless).
#[must_use]
pub fn chance_step(chance: f64) -> usize {
    ((chance.clamp(0.0, 1.0) * 7.0) as usize).min(6)
}
