//! All noises at a receiver, and their sum.

use farhop_earth::{Place, UtcTime};

use super::{Measured, NoiseClass, NoiseTerm, Receiver, atmospheric, galactic, man_made, receiver_noise, sum_of_terms};

/// Everything the noise at a receiver depends on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NoiseInputs {
    /// Frequency in MHz; the models are meant for 1.6 to 30.
    pub freq_mhz: f64,
    /// The receiving place.
    pub place: Place,
    /// The instant.
    pub time: UtcTime,
    /// Surroundings.
    pub class: NoiseClass,
    /// Critical frequency of the F2 layer above the receiver in MHz: galactic noise comes through above it.
    pub fof2_mhz: f64,
    /// The receiver with its antenna and line.
    pub receiver: Receiver,
    /// A reading on site; used where it covers the frequency.
    pub measured: Option<Measured>,
}

/// The noise at a receiver with its working, referred to a loss-free receiving antenna.
///
/// Compare it with a signal computed for that loss-free antenna. If the signal was computed with the power gain of the
/// real antenna and behind its line, compare with `total_fa_db - receive_loss_db`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Noise {
    /// Man-made noise of the class.
    pub man_made: NoiseTerm,
    /// Galactic noise; `None` where the ionosphere shields it.
    pub galactic: Option<NoiseTerm>,
    /// Atmospheric noise.
    pub atmospheric: NoiseTerm,
    /// The receiver's own noise.
    pub receiver: NoiseTerm,
    /// What a reading on site says; where given, it stands in the sum in place of the three external terms.
    pub measured: Option<NoiseTerm>,
    /// Median of the sum, dB above k T0 b.
    pub total_fa_db: f64,
    /// Upper decile of the sum less its median, dB.
    pub upper_decile_db: f64,
    /// Median of the sum less its lower decile, dB.
    pub lower_decile_db: f64,
    /// Loss between the sky and the receiver input, dB: antenna inefficiency and line.
    pub receive_loss_db: f64,
}

impl Noise {
    #[cfg(test)]
    /// Whether a reading on site stands in place of the model.
    #[must_use]
    pub(crate) fn is_measured(&self) -> bool {
        self.measured.is_some()
    }

    /// The sum as one term.
    #[must_use]
    pub fn total(&self) -> NoiseTerm {
        NoiseTerm {
            fa_median_db: self.total_fa_db,
            upper_decile_db: self.upper_decile_db,
            lower_decile_db: self.lower_decile_db,
        }
    }
}

/// The noise at a receiver: each part, and their sum (P.372).
#[must_use]
pub fn total_noise(inputs: &NoiseInputs) -> Noise {
    let man_made = man_made(inputs.class, inputs.freq_mhz);
    let galactic = galactic(inputs.freq_mhz, inputs.fof2_mhz);
    let atmospheric = atmospheric(inputs.place, inputs.time, inputs.freq_mhz);
    let receiver = receiver_noise(&inputs.receiver);
    let measured = inputs
        .measured
        .filter(|measured| measured.covers(inputs.freq_mhz))
        .map(|measured| measured.external(&inputs.receiver));
    let sum = match (measured, galactic) {
        (Some(external), _) => sum_of_terms(&[external, receiver]),
        (None, Some(galactic)) => sum_of_terms(&[man_made, atmospheric, receiver, galactic]),
        (None, None) => sum_of_terms(&[man_made, atmospheric, receiver]),
    };
    // A sum of at least two parts exists; the receiver term is the fallback that is never taken.
    let total = sum.map_or(receiver, |sum| sum.term);
    Noise {
        man_made,
        galactic,
        atmospheric,
        receiver,
        measured,
        total_fa_db: total.fa_median_db,
        upper_decile_db: total.upper_decile_db,
        lower_decile_db: total.lower_decile_db,
        receive_loss_db: inputs.receiver.loss_db(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::Reading;
    use super::*;
    use proptest::prelude::*;

    fn inputs(freq_mhz: f64, lat: f64, unix_s: i64) -> NoiseInputs {
        NoiseInputs {
            freq_mhz,
            place: Place::new(lat, 170.0).unwrap(),
            time: UtcTime::from_unix_s(unix_s).unwrap(),
            class: NoiseClass::Rural,
            fof2_mhz: 6.0,
            receiver: Receiver::new(10.0, 1.0, 0.0).unwrap(),
            measured: None,
        }
    }

    #[test]
    fn a_poor_antenna_hears_well_as_long_as_the_sky_is_louder() {
        let mut given = inputs(7.1, -43.0, 1_796_000_000);
        let full = total_noise(&given);
        given.receiver = Receiver::new(10.0, 0.05, 0.0).unwrap();
        let loop_antenna = total_noise(&given);
        assert!(loop_antenna.total_fa_db - full.total_fa_db < 1.0);
        given.receiver = Receiver::new(10.0, 0.000_1, 0.0).unwrap();
        assert!(total_noise(&given).total_fa_db - full.total_fa_db > 3.0);
    }

    #[test]
    fn a_reading_replaces_the_model_in_its_band_only() {
        let mut given = inputs(7.1, -43.0, 1_796_000_000);
        given.measured = Some(Measured::new(7.0, 7.3, Reading::ExternalFa { fa_db: 60.0 }).unwrap());
        let read = total_noise(&given);
        assert!(read.is_measured() && (read.total_fa_db - 60.0).abs() < 0.1);
        given.freq_mhz = 10.1;
        assert!(!total_noise(&given).is_measured());
    }

    proptest! {
        #[test]
        fn the_sum_is_finite_and_not_below_its_greatest_steady_part(
            f in 1.6..30.0_f64, lat in -90.0..=90.0_f64, unix_s in 1_700_000_000_i64..1_900_000_000
        ) {
            let noise = total_noise(&inputs(f, lat, unix_s));
            prop_assert!(noise.total_fa_db.is_finite() && noise.upper_decile_db >= 0.0 && noise.lower_decile_db >= 0.0);
            prop_assert!(noise.total_fa_db >= noise.receiver.fa_median_db - 1e-9);
        }
    }
}
