//! Touching: voltages at parts that a hand can reach.
//!
//! ICNIRP 2020 gives no reference levels for contact currents, only the advice to avoid contact burns; ICNIRP 1998 had 40 mA
//! for workers and 20 mA for the public from 100 kHz to 110 MHz, IEEE C95.1 has 50 mA and 16.7 mA for a touch (all from memory).
//! Through some 1 kΩ of finger and skin (a rough middle of published values, from memory) 50 V rms drive 50 mA: from there on a
//! burn is named. That is also the touch voltage at which the feed's cautions begin.

/// Voltage from which a reachable part is named as a hazard, V rms (common practice, see the module).
pub const NAMED_FROM_V: f64 = 50.0;
/// Voltage from which it burns at once and may jump to a finger before it is touched, V rms (own choice: ten times the first;
/// 500 V rms is 700 V peak, which jumps some tenths of a millimetre in air, from memory of Paschen's law).
pub(crate) const BURNS_FROM_V: f64 = 500.0;
#[cfg(test)]
/// Current through a finger beyond which contact is avoided, A rms: IEEE C95.1 for a touch in controlled places (from memory).
pub(crate) const TOUCH_A: f64 = 0.05;
#[cfg(test)]
/// What a finger's touch is taken to resist at HF, ohm (from memory, rough).
pub(crate) const TOUCH_OHM: f64 = 1_000.0;
/// Parts up to this height can be reached by hand, m (common practice for fences and overhead parts).
pub const REACHABLE_M: f64 = 2.5;

/// How bad a touch is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Burn {
    /// Not named. Not called safe either.
    Unnamed,
    /// It may burn.
    May,
    /// It burns.
    Will,
}

/// The word for a voltage in V rms at a part that can be reached; a voltage that is no number counts as the worst.
#[must_use]
pub fn burn(volts_rms: f64) -> Burn {
    match volts_rms {
        v if v < NAMED_FROM_V => Burn::Unnamed,
        v if v < BURNS_FROM_V => Burn::May,
        _ => Burn::Will,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_named_voltage_follows_from_current_and_skin() {
        assert!((TOUCH_A * TOUCH_OHM - NAMED_FROM_V).abs() < 1e-9);
        assert_eq!(burn(49.0), Burn::Unnamed);
        assert_eq!(burn(150.0), Burn::May);
        assert_eq!(burn(1_000.0), Burn::Will);
        assert_eq!(burn(f64::NAN), Burn::Will);
    }
}
