//! The limits: 47 CFR 1.1310(e), Table 1, and the reference levels of ICNIRP 2020.
//!
//! All numbers are from memory of the published tables (47 CFR 1.1310 as of 2020; ICNIRP, Health Physics 118(5):483–524, 2020,
//! Tables 5, 6 and 8) and are marked so wherever they are shown.

use crate::ExposureError;
use farhop_num::maths;

/// Frequencies for which limits are given here, MHz.
pub(crate) const RANGE_MHZ: (f64, f64) = (0.3, 100.0);

/// Who is exposed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Population {
    /// Who knows of the field and can keep clear: the operator and companions who were told (occupational, controlled).
    Controlled,
    /// Everybody else (general public, uncontrolled).
    Public,
}

/// Which rule a limit belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Rule {
    /// 47 CFR 1.1310(e), Table 1.
    Fcc,
    /// ICNIRP 2020, Table 5: whole body, mean over 30 minutes.
    IcnirpWholeBody,
    /// ICNIRP 2020, Table 6: local, mean over 6 minutes.
    IcnirpLocal,
    /// ICNIRP 2020, Table 8: against stimulation of nerves below 10 MHz, no mean over time.
    IcnirpNerve,
}

impl Rule {
    /// The name for people.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Fcc => "47 CFR 1.1310",
            Self::IcnirpWholeBody => "ICNIRP 2020, whole body",
            Self::IcnirpLocal => "ICNIRP 2020, local",
            Self::IcnirpNerve => "ICNIRP 2020, nerves",
        }
    }
}

/// A limit at a frequency.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    /// Which rule.
    pub rule: Rule,
    /// For whom.
    pub population: Population,
    /// Electric field, V/m rms.
    pub e_v_per_m: f64,
    /// Magnetic field, A/m rms.
    pub h_a_per_m: f64,
    /// Power density of a plane wave, W/m²; none where the rule gives none at this frequency.
    pub density_w_per_m2: Option<f64>,
    /// Time over which the square of the field is averaged, minutes; none where the field itself counts.
    pub averaging_min: Option<f64>,
}

/// All limits for a population at a frequency in MHz.
///
/// # Errors
/// The frequency lies outside `RANGE_MHZ`.
pub fn limits(freq_mhz: f64, population: Population) -> Result<Vec<Limit>, ExposureError> {
    let (low, high) = RANGE_MHZ;
    if !(low..=high).contains(&freq_mhz) {
        return Err(ExposureError::Frequency { freq_mhz, low, high });
    }
    let mut list = vec![
        fcc(freq_mhz, population),
        icnirp_whole_body(freq_mhz, population),
        icnirp_local(freq_mhz, population),
    ];
    list.extend(icnirp_nerve(freq_mhz, population));
    Ok(list)
}

/// 1 mW/cm² in W/m².
const W_PER_M2: f64 = 10.0;

/// 47 CFR 1.1310(e), Table 1 (from memory); f in MHz.
fn fcc(f: f64, population: Population) -> Limit {
    let (e, h, s) = match population {
        // Table 1(A): 0.3–3.0, 3.0–30, 30–300 MHz.
        Population::Controlled => match f {
            f if f < 3.0 => (614.0, 1.63, 100.0),
            f if f < 30.0 => (1842.0 / f, 4.89 / f, 900.0 / (f * f)),
            _ => (61.4, 0.163, 1.0),
        },
        // Table 1(B): 0.3–1.34, 1.34–30, 30–300 MHz.
        Population::Public => match f {
            f if f < 1.34 => (614.0, 1.63, 100.0),
            f if f < 30.0 => (824.0 / f, 2.19 / f, 180.0 / (f * f)),
            _ => (27.5, 0.073, 0.2),
        },
    };
    let averaging_min = match population {
        Population::Controlled => 6.0,
        Population::Public => 30.0,
    };
    Limit {
        rule: Rule::Fcc,
        population,
        e_v_per_m: e,
        h_a_per_m: h,
        density_w_per_m2: Some(s * W_PER_M2),
        averaging_min: Some(averaging_min),
    }
}

/// ICNIRP 2020, Table 5 (from memory); f in MHz.
fn icnirp_whole_body(f: f64, population: Population) -> Limit {
    let (e, h, s) = match (population, f <= 30.0) {
        (Population::Controlled, true) => (660.0 / maths::powf(f, 0.7), 4.9 / f, None),
        (Population::Controlled, false) => (61.0, 0.16, Some(10.0)),
        (Population::Public, true) => (300.0 / maths::powf(f, 0.7), 2.2 / f, None),
        (Population::Public, false) => (27.7, 0.073, Some(2.0)),
    };
    Limit {
        rule: Rule::IcnirpWholeBody,
        population,
        e_v_per_m: e,
        h_a_per_m: h,
        density_w_per_m2: s,
        averaging_min: Some(30.0),
    }
}

/// ICNIRP 2020, Table 6 (from memory); f in MHz.
fn icnirp_local(f: f64, population: Population) -> Limit {
    let (e, h, s) = match (population, f <= 30.0) {
        (Population::Controlled, true) => (1504.0 / maths::powf(f, 0.7), 10.8 / f, None),
        (Population::Controlled, false) => (139.0, 0.36, Some(50.0)),
        (Population::Public, true) => (671.0 / maths::powf(f, 0.7), 4.9 / f, None),
        (Population::Public, false) => (62.0, 0.163, Some(10.0)),
    };
    Limit {
        rule: Rule::IcnirpLocal,
        population,
        e_v_per_m: e,
        h_a_per_m: h,
        density_w_per_m2: s,
        averaging_min: Some(6.0),
    }
}

/// ICNIRP 2020, Table 8 (from memory): 100 kHz to 10 MHz.
fn icnirp_nerve(f: f64, population: Population) -> Option<Limit> {
    let (e, h) = match population {
        Population::Controlled => (170.0, 80.0),
        Population::Public => (83.0, 21.0),
    };
    (f <= 10.0).then_some(Limit {
        rule: Rule::IcnirpNerve,
        population,
        e_v_per_m: e,
        h_a_per_m: h,
        density_w_per_m2: None,
        averaging_min: None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    use farhop_num::constants::ETA0_OHM;

    fn of(freq_mhz: f64, population: Population, rule: Rule) -> Limit {
        let all = limits(freq_mhz, population).unwrap();
        *all.iter().find(|l| l.rule == rule).unwrap()
    }

    #[test]
    fn densities_of_the_first_table_belong_to_its_fields() {
        // In every row the plane wave with the stated E, with the stated H and with the stated S is the same within the
        // rounding of the table (4 %).
        for f in [0.5, 1.0, 2.0, 3.5, 7.1, 14.2, 29.0, 50.0] {
            for population in [Population::Controlled, Population::Public] {
                let limit = of(f, population, Rule::Fcc);
                let s = limit.density_w_per_m2.unwrap();
                assert!((limit.e_v_per_m.powi(2) / ETA0_OHM / s - 1.0).abs() < 0.04, "{limit:?}");
                assert!((limit.h_a_per_m.powi(2) * ETA0_OHM / s - 1.0).abs() < 0.04, "{limit:?}");
            }
        }
    }

    #[test]
    fn rows_of_the_first_table_meet() {
        // 47 CFR 1.1310 has no steps at 3 and 30 MHz (614 = 1842/3, 61.4 = 1842/30) nor at 1.34 MHz.
        let e = |f, p| of(f, p, Rule::Fcc).e_v_per_m;
        for (f, p) in [
            (3.0, Population::Controlled),
            (30.0, Population::Controlled),
            (1.34, Population::Public),
            (30.0, Population::Public),
        ] {
            assert!((e(f * 0.999_99, p) / e(f, p) - 1.0).abs() < 0.003, "{f}");
        }
    }

    #[test]
    fn local_levels_are_the_root_of_five_above_whole_body_ones() {
        // ICNIRP 2020: the basic restrictions behind Tables 5 and 6 differ (0.4 and 0.08 W/kg, 10 and 2 W/kg); in the tables the
        // fields differ by the same factor, about the root of 5, in both populations.
        for population in [Population::Controlled, Population::Public] {
            for f in [1.0, 7.0, 28.0, 50.0] {
                let ratio =
                    of(f, population, Rule::IcnirpLocal).e_v_per_m / of(f, population, Rule::IcnirpWholeBody).e_v_per_m;
                assert!((ratio / 5f64.sqrt() - 1.0).abs() < 0.03, "{ratio}");
            }
        }
    }

    #[test]
    fn nothing_outside_the_tables() {
        for f in [0.0, 0.29, 100.1, f64::NAN, -7.0] {
            assert!(limits(f, Population::Public).is_err(), "{f}");
        }
        let rules = |f| limits(f, Population::Public).unwrap().len();
        assert_eq!((rules(10.0), rules(10.1)), (4, 3));
    }
}
