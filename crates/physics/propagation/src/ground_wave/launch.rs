//! What an antenna gives to the wave along the ground, from its pattern over that ground.

use farhop_earth::GroundConstants;
use farhop_num::db_of_ratio;
use farhop_num::maths;
use num_complex::Complex64;

/// How much less a vertical antenna takes out of a ground wave, and gives to it, than its gain over perfect ground says, dB for
/// one end: half of the 6.02 dB that its image holds.
pub const IMAGE_DB: f64 = 3.010_3;

/// The gain with which an antenna counts at one end of a ground wave, dB: received = sent + both of these - basic transmission loss.
///
/// `vertical_gain_dbi` is the vertically polarised gain over the real ground, read low in the sky at `elevation_deg` (above 0, at
/// most about 15). Toward the horizon that pattern falls to nothing, and always by the same factor, whatever the currents: the one of
/// a vertical element, |1 + Γ_v| / 2 = |ε s / (ε s + √(ε - cos² e))|, s = sin e. The ground wave of Sommerfeld and Norton is led by
/// the same currents in the same proportion (a level element gives √(ε - 1)/ε of a vertical one toward its ends, nothing to its
/// sides: Norton 1937, from memory), so that without that factor the gain is the one over perfect ground which belongs to the loss.
#[must_use]
pub fn launch_gain_db(vertical_gain_dbi: f64, elevation_deg: f64, ground: GroundConstants, freq_mhz: f64) -> f64 {
    let (sine, cosine) = maths::sin_cos(elevation_deg.to_radians());
    let permittivity = Complex64::new(ground.eps_r, -ground.loss_term(freq_mhz));
    let lifted = permittivity * sine;
    let root = maths::sqrt(permittivity - cosine * cosine);
    vertical_gain_dbi + db_of_ratio(((lifted + root) / lifted).norm_sqr()) - IMAGE_DB
}

#[cfg(test)]
mod tests {
    use super::*;
    use farhop_earth::GroundClass;

    /// Average ground, 7.1 MHz, 10 degrees up: ε = 13 - 12.66 j, Γ_v = -0.145 - 0.182 j (complex numbers of Python), so that
    /// |1 + Γ_v| / 2 is 7.19 dB under one.
    #[test]
    fn the_factor_of_a_vertical_element_is_taken_off() {
        let found = launch_gain_db(0.0, 10.0, GroundClass::Average.constants(), 7.1);
        assert!((found - (7.19 - IMAGE_DB)).abs() < 0.01, "{found}");
    }

    #[test]
    fn over_the_sea_little_is_taken_off() {
        let found = launch_gain_db(0.0, 10.0, GroundClass::Sea.constants(), 3.6);
        assert!((found + IMAGE_DB).abs() < 0.6, "{found}");
    }
}
