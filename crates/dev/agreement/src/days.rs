//! Agreement of the drawn days with closed forms of normal distributions and of the Ornstein-Uhlenbeck process.
//!
//! The calibration against days whose truth is known runs as tests (`crates/edge/workshop/tests/weighing.rs`).

use std::path::Path;

use farhop_days::priors::{ES_HOURS, FOF2_HOURS, FOF2_READING_LOG_SD, NOISE_HOURS, OWN_SD_DB};
use farhop_days::{
    Axes, DrawAsk, DrawnDays, Evidence, FaultPriors, Occupied, Seen, StationPrior, WeighAsk, WeighedDays,
};
use farhop_earth::UtcTime;

use crate::row::fail;
use crate::{AgreementError, Row, Spread};

const AREA: &str = "days";
/// Days drawn for each comparison; standard errors follow from it.
const DAYS: usize = 2_048;

/// The rows of the drawn days.
///
/// # Errors
/// A time cannot be made.
pub fn rows(_root: &Path) -> Result<Vec<Row>, AgreementError> {
    let axes = Axes {
        start: UtcTime::from_unix_s(1_797_000_000).map_err(fail)?,
        hours: 24,
        bands_mhz: vec![3.6, 7.05],
        stations: vec![StationPrior {
            key: 7,
            off: 0.1,
            busy: 0.15,
        }],
        own_sd_db: OWN_SD_DB,
        faults: FaultPriors::default(),
        fade_outs_per_day: 0.0,
        solar_offset_s: 0,
        occupied: Occupied::default(),
    };
    Ok(vec![readings(&axes), correlations(&axes)])
}

fn row(what: &str, against: &str, errors: Vec<f64>) -> Row {
    let spread = Spread::of(errors);
    Row {
        area: AREA,
        what: what.into(),
        against: against.into(),
        met: Some(spread.n > 0 && spread.worst <= 4.0),
        spread,
        unit: "standard errors",
        bar: "worst <= 4 standard errors".into(),
    }
}

/// Mean and variance of foF2's deviate after a reading: normal prior, normal reading.
fn readings(axes: &Axes) -> Row {
    let mut errors = Vec::new();
    let at = axes.start.add_s(6 * 3_600 + 60);
    for (seed, (z, log_sd)) in [(-1.2, 0.10), (-0.4, 0.15), (0.0, 0.12), (0.8, 0.08), (1.5, 0.12)]
        .into_iter()
        .enumerate()
    {
        let evidence = Evidence {
            seen: vec![Seen::Fof2 { at, z, log_sd }],
        };
        let ask = WeighAsk {
            count: DAYS,
            seed: seed as u64,
            hours: None,
            known: &[],
        };
        let days = WeighedDays::after(axes, &evidence, &ask);
        // Reading z with standard deviation r in units of the prior: mean z / (1 + r²), variance r² / (1 + r²).
        let r2 = (FOF2_READING_LOG_SD / log_sd).powi(2);
        let (mean, variance) = (z / (1.0 + r2), r2 / (1.0 + r2));
        let now = days.summary(days.days.fof2_z(axes.hour(at)));
        // As for days drawn without strata: those with strata are no worse.
        let error = (variance / days.effective.min(DAYS as f64)).sqrt();
        errors.push((now.mean_own_unit - mean).abs() / error);
        // Standard error of a standard deviation: sd / sqrt(2 n).
        let sd = variance.sqrt();
        errors.push((now.sd_own_unit - sd).abs() / (sd / (2.0 * days.effective).sqrt()));
    }
    row(
        "factor after a reading, mean and spread",
        "normal prior and normal reading in closed form",
        errors,
    )
}

/// Correlation of a factor with itself some hours later.
fn correlations(axes: &Axes) -> Row {
    let days = DrawnDays::new(axes, &DrawAsk::of(DAYS, 5));
    type Of<'a> = &'a dyn Fn(usize) -> &'a [f32];
    let factors: [(Of<'_>, f64); 3] = [
        (&|h| days.fof2_z(h), FOF2_HOURS),
        (&|h| days.es_z(h), ES_HOURS),
        (&|h| days.noise_z(0, h), NOISE_HOURS),
    ];
    let mut errors = Vec::new();
    for (of, correlation_time_h) in factors {
        for lag in [1usize, 3, 8] {
            let pairs = of(4).iter().zip(of(4 + lag));
            let measured = pairs.map(|(a, b)| f64::from(a * b)).sum::<f64>() / DAYS as f64;
            let wanted = (-(lag as f64) / correlation_time_h).exp();
            // Variance of the product of two standard normals with that correlation: 1 + ρ².
            errors.push((measured - wanted).abs() / ((1.0 + wanted * wanted) / DAYS as f64).sqrt());
        }
    }
    row(
        "correlation of a factor with itself after 1, 3, 8 hours",
        "Ornstein-Uhlenbeck process, exp(−t/τ)",
        errors,
    )
}
