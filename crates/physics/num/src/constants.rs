//! Physical constants, SI (CODATA 2018; the speed of light is exact).

/// Speed of light in vacuum, m/s (exact).
pub const LIGHT_M_PER_S: f64 = 299_792_458.0;
/// Speed of light in vacuum, km/s (exact).
pub const LIGHT_KM_PER_S: f64 = 299_792.458;
/// Boltzmann's constant times the reference temperature of 290 K in dB(W/Hz): k = 1.380 649e-23 J/K (exact). P.372 rounds it to -204.
pub const KT0_DBW_PER_HZ: f64 = -203.975_2;
/// Magnetic constant, H/m.
pub const MU0_H_PER_M: f64 = 1.256_637_062_12e-6;
/// Electric constant, F/m.
pub const EPS0_F_PER_M: f64 = 8.854_187_812_8e-12;
/// Wave impedance of free space, ohm.
pub const ETA0_OHM: f64 = 376.730_313_668;

/// Power gain of a half-wave dipole in free space (dimensionless, textbook: 2.15 dBi).
pub const DIPOLE_GAIN: f64 = 1.64;

/// Angular frequency in rad/s.
#[must_use]
pub fn omega_rad_per_s(freq_mhz: f64) -> f64 {
    2.0e6 * std::f64::consts::PI * freq_mhz
}

/// Wave number of free space in rad/m.
#[must_use]
pub fn wave_number_rad_per_m(freq_mhz: f64) -> f64 {
    omega_rad_per_s(freq_mhz) / LIGHT_M_PER_S
}

/// Wavelength in free space in metres.
#[must_use]
pub fn wavelength_m(freq_mhz: f64) -> f64 {
    LIGHT_M_PER_S / (freq_mhz * 1.0e6)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kt0_follows_from_boltzmann() {
        assert!((KT0_DBW_PER_HZ - 10.0 * (1.380_649e-23_f64 * 290.0).log10()).abs() < 1e-4);
    }

    #[test]
    fn constants_belong_together() {
        let c = 1.0 / (MU0_H_PER_M * EPS0_F_PER_M).sqrt();
        assert!((c / LIGHT_M_PER_S - 1.0).abs() < 1e-9);
        assert!((MU0_H_PER_M * LIGHT_M_PER_S / ETA0_OHM - 1.0).abs() < 1e-9);
    }
}
