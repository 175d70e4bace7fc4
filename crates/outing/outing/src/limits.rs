//! What a number may be. One constant feeds the check, its message and the guide.

pub use farhop_gear::limit::*;
use farhop_ionosphere::activity::{FLUX_RANGE_SFU, SSN_MAX};

/// High frequency as this tool understands it.
pub const FREQ_MHZ: Limit = Limit::new(1.6, 30.0, "MHz");
/// Width of a mode or of a measuring filter.
pub const BANDWIDTH_HZ: Limit = Limit::new(10.0, 20_000.0, "Hz");
/// Transmitter power of either side.
pub const POWER_W: Limit = Limit::new(0.001, 2_000.0, "W");
/// Power that a piece of gear draws.
pub(crate) const DRAW_W: Limit = Limit::new(0.0, 5_000.0, "W");
/// Part of a day.
pub(crate) const DAY_H: Limit = Limit::new(0.0, 24.0, "h");
/// Antenna gain over an isotropic radiator.
pub(crate) const GAIN_DBI: Limit = Limit::new(-60.0, 20.0, "dBi");
/// Receiver noise figure.
pub const NOISE_FIGURE_DB: Limit = Limit::new(0.0, 60.0, "dB");
/// A loss in a passive part.
pub const LOSS_DB: Limit = Limit::new(0.0, 60.0, "dB");
/// Height of a site above the sea.
pub const SITE_HEIGHT_M: Limit = Limit::new(-450.0, 9_000.0, "m");
/// Height angle of a horizon.
pub const HORIZON_DEG: Limit = Limit::new(-10.0, 89.0, "°");
/// Distance to the ridge that makes the horizon.
pub(crate) const HORIZON_KM: Limit = Limit::new(0.01, 100.0, "km");
/// Walk to a site.
pub(crate) const WALK_H: Limit = Limit::new(0.0, 240.0, "h");
/// Air temperature.
pub const TEMPERATURE_C: Limit = Limit::new(-60.0, 60.0, "°C");
/// Relative permittivity of the ground.
pub(crate) const PERMITTIVITY: Limit = Limit::new(1.0, 100.0, "");
/// Conductivity of the ground.
pub(crate) const CONDUCTIVITY_S_PER_M: Limit = Limit::new(1e-6, 10.0, "S/m");
/// A chance or a share of a whole.
pub(crate) const FRACTION: Limit = Limit::new(0.0, 1.0, "");
/// Seconds of a protocol step.
pub const STEP_S: Limit = Limit::new(0.0, 3_600.0, "s");
/// From the dial to the middle of the tones, either way.
pub const DIAL_HZ: Limit = Limit::new(-5_000.0, 5_000.0, "Hz");
/// Cable length.
pub(crate) const LINE_LENGTH_M: Limit = Limit::new(0.0, 300.0, "m");
/// Characteristic impedance of a line.
pub(crate) const LINE_OHM: Limit = Limit::new(10.0, 1_000.0, "ohm");
/// Voltage of a supply.
pub const SUPPLY_V: Limit = Limit::new(0.5, 100.0, "V");
/// Current of a supply, a fuse or a trip.
pub(crate) const SUPPLY_A: Limit = Limit::new(0.01, 500.0, "A");
/// Charge of a battery.
pub(crate) const CAPACITY_AH: Limit = Limit::new(0.05, 1_000.0, "Ah");
/// Internal resistance of a battery.
pub(crate) const RESISTANCE_OHM: Limit = Limit::new(0.0001, 20.0, "ohm");
/// Rated power of a panel.
pub(crate) const PANEL_WP: Limit = Limit::new(0.1, 5_000.0, "W");
/// Tilt of a panel from level.
pub(crate) const TILT_DEG: Limit = Limit::new(0.0, 90.0, "°");
/// Mass of a part.
pub(crate) const MASS_KG: Limit = Limit::new(0.0, 200.0, "kg");
/// Volume of a part.
pub(crate) const VOLUME_L: Limit = Limit::new(0.0, 500.0, "l");
/// Minutes of a task.
pub const TASK_MIN: Limit = Limit::new(0.0, 1_440.0, "min");
/// Sunspot number, 12-month smoothed.
pub const SUNSPOTS: Limit = Limit::new(0.0, SSN_MAX, "");
/// Solar flux at 10.7 cm.
pub const FLUX_SFU: Limit = Limit::new(*FLUX_RANGE_SFU.start(), *FLUX_RANGE_SFU.end(), "sfu");
/// Planetary or local K index.
pub const K_INDEX: Limit = Limit::new(0.0, 9.0, "");
/// Planetary or local A index.
pub const A_INDEX: Limit = Limit::new(0.0, 400.0, "");
/// Observed critical frequency of the F2 layer.
pub const FOF2_MHZ: Limit = Limit::new(0.5, 25.0, "MHz");
/// Observed top frequency of sporadic E: ionosondes read from 1 MHz; the strongest layers pass 20 MHz straight up (from memory).
pub(crate) const FOES_MHZ: Limit = Limit::new(0.5, 30.0, "MHz");
/// Peak flux of a flare: below C1 it does not show on the air; the strongest since 1975 was near X40, 4e-3 W/m² (from memory).
pub(crate) const FLARE_W_PER_M2: Limit = Limit::new(1e-6, 1e-2, "W/m²");
/// Flux of solar protons above 10 MeV: an event begins with 10; the strongest since 1976 came to 4e4 (from memory).
pub(crate) const PROTON_FLUX: Limit = Limit::new(1.0, 1e6, "protons/(cm² s sr)");
/// Loss of a wave once through the polar cap: riometers, at 20 to 50 MHz, show 1 to 20 dB (from memory).
pub(crate) const CAP_LOSS_DB: Limit = Limit::new(0.0, 60.0, "dB");
/// Frequency of that loss: riometers listen above what the layers turn back.
pub const RIOMETER_MHZ: Limit = Limit::new(1.6, 60.0, "MHz");
/// Most values of K: what the history of storms takes, two months of three hours.
pub(crate) const K_VALUES: usize = 500;
/// A noise or signal power at the receiver.
pub const LEVEL_DBM: Limit = Limit::new(-170.0, 0.0, "dBm");
/// A reading of the S-meter.
pub const S_UNITS: Limit = Limit::new(0.0, 9.0, "S units");
/// Required signal-to-noise ratio of a rung.
pub const SNR_DB: Limit = Limit::new(-40.0, 60.0, "dB");
/// Net bit rate of a rung.
pub(crate) const RATE_BIT_PER_S: Limit = Limit::new(0.1, 50_000.0, "bit/s");
/// Size of a message.
pub const MESSAGE_BYTES: Limit = Limit::new(1.0, 10_000_000.0, "bytes");
/// A ratio around one that a debrief has learned (dimensionless).
pub(crate) const LEARNED_SCALE: Limit = Limit::new(0.2, 5.0, "");
/// An offset that a debrief has learned.
pub(crate) const LEARNED_DB: Limit = Limit::new(-40.0, 40.0, "dB");

/// First year that the field model and the maps serve (IGRF-14 begins with 1900.0).
pub const FIRST_YEAR: i16 = 1900;
/// The outing must end before this year begins (IGRF-14 is valid to 2030.0).
pub const LAST_YEAR: i16 = 2030;
/// Longest outing in days.
pub(crate) const LONGEST_DAYS: i64 = 31;
/// Most sites, stations or messages that one file may hold.
pub const MOST_ITEMS: usize = 500;
/// A path shorter than this is no path.
pub(crate) const SAME_PLACE_KM: f64 = 0.01;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nan_and_infinities_are_never_inside() {
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert!(!POWER_W.allows(bad));
        }
        assert!(FREQ_MHZ.allows(1.6) && FREQ_MHZ.allows(30.0) && !FREQ_MHZ.allows(30.001));
    }

    #[test]
    fn a_limit_says_itself() {
        assert_eq!(FREQ_MHZ.to_string(), "1.6 to 30 MHz");
        assert_eq!(BEARING_DEG.to_string(), "0 to 360°");
        assert_eq!(FRACTION.to_string(), "0 to 1");
    }
}
