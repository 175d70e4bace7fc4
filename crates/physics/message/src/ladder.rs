//! Ladders: net bit rate against required SNR.

use crate::error::{MessageError, within};
use farhop_num::maths;

/// The fading a frame meets, by its name in Rec. ITU-R F.1487 (mid-latitude settings, from memory).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Fading {
    /// No fading: additive white Gaussian noise only.
    Awgn,
    /// Two paths 0.5 ms apart, Doppler spread 0.1 Hz.
    Quiet,
    /// Two paths 1 ms apart, Doppler spread 0.5 Hz.
    Moderate,
    /// Two paths 2 ms apart, Doppler spread 1 Hz.
    Disturbed,
    /// Two paths 7 ms apart, Doppler spread 1 Hz: near-vertical incidence, disturbed.
    NearVertical,
}

impl Fading {
    /// All settings, calm to rough.
    pub const ALL: [Self; 5] = [
        Self::Awgn,
        Self::Quiet,
        Self::Moderate,
        Self::Disturbed,
        Self::NearVertical,
    ];

    /// The name used in tables.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Awgn => "awgn",
            Self::Quiet => "quiet",
            Self::Moderate => "moderate",
            Self::Disturbed => "disturbed",
            Self::NearVertical => "near-vertical",
        }
    }

    /// The setting of a table name.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|fading| fading.name() == name)
    }
}

/// Frame error rate against SNR: a floor plus a logistic curve in dB.
///
/// `FER(s) = floor + (1 - floor) / (1 + exp((s - mid) / scale))`. A curve of a flat Rayleigh outage falls as 1/SNR, which
/// is a logistic of scale 10/ln 10 = 4.34 dB; coding with diversity is steeper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FrameCurve {
    /// SNR at which the part above the floor is one half, in dB in the ladder's bandwidth.
    pub mid_db: f64,
    /// Logistic scale in dB, above 0.
    pub scale_db: f64,
    /// Frame error rate that no SNR removes (dimensionless, 0 to below 1).
    pub floor_fer: f64,
}

impl FrameCurve {
    /// A checked curve.
    ///
    /// # Errors
    /// A value is not a number or outside its range.
    pub fn new(mid_db: f64, scale_db: f64, floor_fer: f64) -> Result<Self, MessageError> {
        within(
            "SNR at half of the frames, dB",
            mid_db,
            -100.0..=100.0,
            "a number from -100 to 100",
        )?;
        within(
            "scale of the frame error curve, dB",
            scale_db,
            0.01..=20.0,
            "a number from 0.01 to 20",
        )?;
        within(
            "floor of the frame error rate",
            floor_fer,
            0.0..=0.999,
            "a fraction from 0 to 0.999",
        )?;
        Ok(Self {
            mid_db,
            scale_db,
            floor_fer,
        })
    }

    /// Probability (dimensionless) that a frame gets through at an SNR in dB; 0 for minus infinity or NaN.
    #[must_use]
    pub fn success(&self, snr_db: f64) -> f64 {
        if snr_db.is_nan() {
            return 0.0;
        }
        (1.0 - self.floor_fer) / (1.0 + maths::exp((self.mid_db - snr_db) / self.scale_db))
    }

    /// SNR in dB at which the frame error rate falls to `fer` (dimensionless); `None` where the floor is higher.
    #[must_use]
    pub fn required_snr_db(&self, fer: f64) -> Option<f64> {
        let success = (1.0 - fer) / (1.0 - self.floor_fer);
        (success > 0.0 && success < 1.0).then(|| self.mid_db + self.scale_db * maths::ln(success / (1.0 - success)))
    }
}

/// One kind of frame: how long it lasts, how hard it drives the transmitter, how it fails.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FrameKind {
    /// Duration on the air in seconds.
    pub seconds_s: f64,
    /// Peak envelope over mean power in dB: the back-off a transmitter limited by its peak pays.
    pub pep_over_mean_db: f64,
    /// Frame error rate against SNR of mean power.
    pub curve: FrameCurve,
}

impl FrameKind {
    /// Success probability (dimensionless) at the SNR the transmitter would have at its rated peak power.
    #[must_use]
    pub(crate) fn success_at_rated_power(&self, snr_db: f64) -> f64 {
        self.curve.success(snr_db - self.pep_over_mean_db)
    }
}

/// One rung: a data frame with the net bits it carries.
#[derive(Clone, Debug, PartialEq)]
pub struct Rung {
    /// Name, for example `dpsk4-r12`.
    pub name: String,
    /// Payload bits over frame duration, in bit/s.
    pub net_bps: f64,
    /// The frame.
    pub frame: FrameKind,
}

impl Rung {
    /// Payload of one frame in bytes.
    #[must_use]
    pub fn frame_bytes(&self) -> f64 {
        self.net_bps * self.frame.seconds_s / 8.0
    }
}

/// A ladder: rungs from robust to fast, with the short bursts that call and acknowledge.
#[derive(Clone, Debug, PartialEq)]
pub struct Ladder {
    /// What it is: `slow-500`, `narrow-500`, `wide-2400`, `serial-tone-3k` or the operator's own name.
    pub mode: String,
    /// Noise bandwidth in Hz in which every SNR of the ladder is stated.
    pub bandwidth_hz: f64,
    /// The fading for which the curves hold.
    pub fading: Fading,
    /// Data frames, slow to fast; all last equally long.
    pub rungs: Vec<Rung>,
    /// The acknowledgement burst.
    pub ack: FrameKind,
    /// The call burst (also the answer to it).
    pub call: FrameKind,
}

impl Ladder {
    /// Checks the ladder as a whole.
    ///
    /// # Errors
    /// No rungs, a number out of range, or frames of unequal duration.
    pub fn check(&self) -> Result<(), MessageError> {
        within(
            "ladder bandwidth, Hz",
            self.bandwidth_hz,
            10.0..=100_000.0,
            "10 to 100 000 Hz",
        )?;
        let Some(first) = self.rungs.first() else {
            return Err(MessageError::Empty { what: "list of rungs" });
        };
        for kind in self.rungs.iter().map(|rung| &rung.frame).chain([&self.ack, &self.call]) {
            within("frame duration, s", kind.seconds_s, 0.01..=600.0, "0.01 to 600 s")?;
            within(
                "peak over mean power, dB",
                kind.pep_over_mean_db,
                0.0..=30.0,
                "0 to 30 dB",
            )?;
            FrameCurve::new(kind.curve.mid_db, kind.curve.scale_db, kind.curve.floor_fer)?;
        }
        for rung in &self.rungs {
            within(
                "net bit rate, bit/s",
                rung.net_bps,
                0.01..=1e6,
                "0.01 to 1 000 000 bit/s",
            )?;
            let same = first.frame.seconds_s;
            within(
                "frame duration, s",
                rung.frame.seconds_s,
                same..=same,
                "the same duration on every rung",
            )?;
        }
        Ok(())
    }

    /// Duration of a data frame in seconds (0 for a ladder without rungs, which [`Self::check`] refuses).
    #[must_use]
    pub fn frame_s(&self) -> f64 {
        self.rungs.first().map_or(0.0, |rung| rung.frame.seconds_s)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn required_snr_inverts_success() {
        let curve = FrameCurve::new(4.0, 1.5, 0.02).unwrap();
        let snr_db = curve.required_snr_db(0.1).unwrap();
        assert!((1.0 - curve.success(snr_db) - 0.1).abs() < 1e-12);
        assert_eq!(curve.required_snr_db(0.01), None);
    }

    #[test]
    fn no_signal_gets_no_frame_through() {
        let curve = FrameCurve::new(4.0, 1.5, 0.0).unwrap();
        assert_eq!(curve.success(f64::NEG_INFINITY), 0.0);
        assert_eq!(curve.success(f64::NAN), 0.0);
        assert_eq!(curve.success(f64::INFINITY), 1.0);
    }

    #[test]
    fn names_go_round() {
        for fading in Fading::ALL {
            assert_eq!(Fading::from_name(fading.name()), Some(fading));
        }
    }

    #[test]
    fn bad_curves_are_refused() {
        assert!(FrameCurve::new(f64::NAN, 1.0, 0.0).is_err());
        assert!(FrameCurve::new(0.0, 0.0, 0.0).is_err());
        assert!(FrameCurve::new(0.0, 1.0, 1.0).is_err());
    }
}
