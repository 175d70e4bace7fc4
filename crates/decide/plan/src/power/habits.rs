//! What an outing file does not say about a day on the hill, stated so that the output can tell it.
//!
//! All numbers here are judgements or common practice, marked at each.

use farhop_outing::TunerKind;

/// Asleep from this hour of local mean solar time, h (a judgement).
pub const ASLEEP_FROM_H: f64 = 22.0;
/// Asleep until this hour of local mean solar time, h (a judgement).
pub const ASLEEP_UNTIL_H: f64 = 6.0;
/// Temperature of a battery that is kept inside clothing or sleeping bag, °C (a judgement: between air and skin).
pub const KEPT_WARM_C: f64 = 20.0;
/// Cable there and back, mΩ: 1.5 m of 1 mm² copper (17.2 mΩ·mm²/m, IEC 60028) each way, and two connectors of 4 mΩ (common practice).
pub const CABLE_MOHM: f64 = 60.0;
/// Current at the moment of keying over the steady one (dimensionless; common practice, from memory).
pub const INRUSH_RATIO: f64 = 1.5;
/// How long that lasts, s (common practice, from memory).
pub const INRUSH_S: f64 = 0.02;
/// How long a voltage must be too low before a protection circuit opens, s (common practice, from memory).
pub(crate) const UNDER_VOLTAGE_DELAY_S: f64 = 0.1;
/// How long a current must be too high before a protection circuit opens, s (common practice, from memory).
pub(crate) const OVER_CURRENT_DELAY_S: f64 = 0.01;
/// Rest before a protection that closes by itself does so, s (a judgement).
pub(crate) const RELEASE_REST_S: f64 = 60.0;
/// Rested voltage over the cut-off at which it does so (dimensionless; common practice, from memory).
pub(crate) const RELEASE_RATIO: f64 = 1.1;
/// Reflection of the ground (dimensionless; grass and rock, common practice).
pub(crate) const ALBEDO: f64 = 0.2;
/// Longest step of the simulation, s.
pub const STEP_S: f64 = 300.0;
/// Share of the scenarios in which the reserve must hold (dimensionless).
pub(crate) const RESERVE_CONFIDENCE: f64 = 0.9;

/// Seconds of carrier to tune before a call (a judgement; an automatic one runs through its relays, a hand takes longer).
#[must_use]
pub fn tune_s(kind: TunerKind) -> f64 {
    match kind {
        TunerKind::None => 0.0,
        TunerKind::Automatic => 5.0,
        TunerKind::ManualT | TunerKind::ManualL => 40.0,
    }
}
