//! Days made up from the model, to try operators on.

use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;

use crate::belief::draws::{Axes, Draw, Draws};
use crate::belief::evidence::Outcome;
use crate::belief::priors::{DROPPED, HEARD_BELOW_DB, READING_SD_DB, REPORT_SD_DB};
use crate::belief::response::Response;

/// A day whose truth is known, and the luck of its calls.
#[derive(Clone, Debug)]
pub struct SyntheticDay {
    /// The truth.
    pub truth: Draw,
    luck: ChaCha8Rng,
}

impl SyntheticDay {
    /// A day from the priors with deviations `stretch` times the usual ones (dimensionless): 1 is a day as the forecast expects.
    #[must_use]
    pub fn draw(axes: &Axes, seed: u64, stretch: f64) -> Option<Self> {
        let truth = Draws::stretched(axes, seed, stretch).next()?;
        Some(Self {
            truth,
            luck: ChaCha8Rng::seed_from_u64(seed ^ 0x9e37_79b9_7f4a_7c15),
        })
    }

    /// How a call over a route ends, and the signal-to-noise ratio at the station, dB: signal and noise of the moment are drawn, and
    /// both directions are looked at.
    pub fn call(&mut self, response: &Response) -> (Outcome, f64) {
        let there_db = self.moment_db(response.snr_there_db(&self.truth));
        let here_db = self.moment_db(response.snr_here_db(&self.truth));
        let report_error_db = REPORT_SD_DB * self.normal();
        let (meets, holds): (f64, f64) = (self.luck.random(), self.luck.random());
        let weaker_db = there_db.min(here_db) - response.required_snr_db;
        let met = response.served && meets < f64::from(response.met(&self.truth));
        let outcome = if !met || weaker_db < -HEARD_BELOW_DB {
            Outcome::NoAnswer
        } else if weaker_db < 0.0 || holds < DROPPED {
            Outcome::HeardButFailed
        } else {
            Outcome::Linked {
                reported_snr_db: Some(there_db + report_error_db),
            }
        };
        (outcome, there_db)
    }

    fn normal(&mut self) -> f64 {
        self.luck.sample(StandardNormal)
    }

    fn moment_db(&mut self, median_db: f32) -> f64 {
        f64::from(median_db) + self.normal() * f64::from(Response::rest_db())
    }

    /// A reading of the noise at the site, dBW.
    pub fn noise_dbw(&mut self, response: &Response) -> f64 {
        f64::from(response.site_noise_dbw(&self.truth)) + self.normal() * READING_SD_DB
    }
}
