//! The laws beside the libraries of others: each question goes to both in turn, and the middle of the ratios counts.

use std::hint::black_box;
use std::time::Instant;

use farhop_antenna::geometry::mesh::MOST_UNKNOWNS;
use farhop_antenna::solve::solve;
use farhop_antenna::{Antenna, Conductor, Ground, Segments, Source, Wire};
use farhop_earth::{IgrfEpoch, Place, SunOfInstant, UtcTime};
use farhop_feed::{Complex64, Line, LineConstants};
use farhop_ionosphere::{Activity, Ionosphere, SkyConditions};

use crate::speed::partner::Partner;
use crate::speed::process::median;

/// Rounds in which both take their turn; fewer where one takes seconds.
const ROUNDS: usize = 5;
/// From here on one round is enough to keep the whole below ten minutes, s.
const LONG_S: f64 = 2.0;

/// What came of one question.
pub struct Beside {
    /// What was asked.
    pub what: String,
    /// Ours, s, the middle of the rounds.
    pub ours_s: Result<f64, String>,
    /// The library's name and its time, s; or why there is none.
    pub theirs: (&'static str, Result<f64, String>),
    /// Their time over ours, the middle of the rounds (dimensionless); none where one of them has no time.
    pub ratio: Option<f64>,
}

/// Asks both sides in turn.
fn beside(
    what: String,
    library: &'static str,
    partner: &mut Option<Partner>,
    mut ours: impl FnMut(usize) -> Result<(), String>,
    question: impl Fn(usize) -> String,
) -> Beside {
    let (mut own, mut other, mut ratios) = (Vec::new(), Vec::new(), Vec::new());
    let (mut own_why, mut other_why) = (None, None);
    for turn in 0..ROUNDS {
        let start = Instant::now();
        let done = ours(turn);
        let took_s = start.elapsed().as_secs_f64();
        let asked = match partner.as_mut() {
            Some(partner) => partner.seconds(&question(turn)),
            None => Err("no Python was found".to_owned()),
        };
        match done {
            Ok(()) => own.push(took_s),
            Err(why) => own_why = Some(why),
        }
        match asked {
            Ok(seconds) => other.push(seconds),
            Err(why) => other_why = Some(why),
        }
        if let (None, None, Some(theirs)) = (&own_why, &other_why, other.last()) {
            ratios.push(theirs / took_s);
        }
        let longest = took_s.max(other.last().copied().unwrap_or(0.0));
        if longest > LONG_S || (own_why.is_some() && other_why.is_some()) {
            break;
        }
    }
    let told = |times: Vec<f64>, why: Option<String>| match why {
        Some(why) => Err(why),
        None => Ok(median(times)),
    };
    Beside {
        what,
        ours_s: told(own, own_why),
        theirs: (library, told(other, other_why)),
        ratio: (!ratios.is_empty()).then(|| median(ratios)),
    }
}

/// A dipole with a bend, 9 m up in the middle: high enough for the ground of NEC as well.
fn bent(segments: usize, ground: Ground) -> Antenna {
    let leg = segments / 2;
    let wire = |from, to, count| Wire {
        segments: Segments::Exactly(count),
        ..Wire::new(from, to, 0.001, Conductor::Perfect)
    };
    let first = 2 * (leg / 2) + 1;
    Antenna {
        wires: vec![
            wire([-20.5, 0.0, 6.0], [0.0, 0.0, 9.0], first),
            wire([0.0, 0.0, 9.0], [16.0, 13.0, 6.0], segments - first),
        ],
        sources: vec![Source::middle_of(0)],
        loads: Vec::new(),
        ground,
    }
}

const REAL: Ground = Ground::Real {
    eps_r: 13.0,
    sigma_s_per_m: 0.005,
};

fn solved(segments: usize, ground: Ground, turn: usize) -> Result<(), String> {
    // A new frequency each time: nothing can be kept from the one before.
    let freq_mhz = 7.0 + 0.01 * turn as f64;
    let currents = solve(&bent(segments, ground), freq_mhz).map_err(|e| e.to_string())?;
    black_box(currents.impedance_ohm());
    Ok(())
}

/// Antennas of 50 to 3200 segments beside LAPACK's solution of a full system of that size, and beside NEC.
pub fn antennas(partner: &mut Option<Partner>) -> Vec<Beside> {
    let mut rows = Vec::new();
    for segments in [50, 100, 200, 400, 800, 1_600, 2_400, 3_200] {
        let what = format!("{segments} segments over real ground");
        rows.push(beside(
            what.clone(),
            "LAPACK, solving alone",
            partner,
            |turn| solved(segments, REAL, turn),
            |_| format!("lapack {segments}"),
        ));
        // NEC takes minutes for the largest.
        if segments <= 1_600 {
            rows.push(beside(
                what,
                "PyNEC",
                partner,
                |turn| solved(segments, REAL, turn),
                |turn| format!("nec real {segments} {turn}"),
            ));
        }
    }
    for segments in [100, 400] {
        rows.push(beside(
            format!("{segments} segments in free space"),
            "PyNEC",
            partner,
            |turn| solved(segments, Ground::Free, turn),
            |turn| format!("nec free {segments} {turn}"),
        ));
    }
    rows
}

/// The most unknowns that the engine takes.
#[must_use]
pub fn most_unknowns() -> usize {
    MOST_UNKNOWNS
}

/// Layers, sun and lines beside the libraries that compute the same.
pub fn others(partner: &mut Option<Partner>) -> Vec<Beside> {
    let time = |hour| UtcTime::from_civil(2020, 4, 20, hour, 0, 0).map_err(|e| e.to_string());
    let place = |lat_deg, lon_deg| Place::new(lat_deg, lon_deg).map_err(|e| e.to_string());
    let grid = move |one: bool| -> Result<(), String> {
        let field = IgrfEpoch::at(2020.3).map_err(|e| e.to_string())?;
        let conditions = SkyConditions::quiet(Activity::from_ssn(100.0).map_err(|e| e.to_string())?);
        let sky = Ionosphere::embedded().sky(&field, &conditions);
        if one {
            black_box(sky.above(place(-43.5, 170.5)?, time(7)?).at(time(7)?));
            return Ok(());
        }
        let hours: Vec<UtcTime> = (0..24).map(time).collect::<Result<_, _>>()?;
        let suns: Vec<SunOfInstant> = hours.iter().map(|t| SunOfInstant::new(*t)).collect();
        for lat in (-80..=80).step_by(10) {
            for lon in (-180..180).step_by(10) {
                let above = sky.above(place(f64::from(lat), f64::from(lon))?, hours[0]);
                for (hour, sun) in hours.iter().zip(&suns) {
                    black_box(above.at_with_sun(*hour, sun));
                }
            }
        }
        Ok(())
    };
    let sun = move || -> Result<(), String> {
        let (here, start) = (place(-43.48, 170.9)?, time(0)?);
        for hour in 0..8_760 {
            black_box(farhop_earth::sun_position(here, start.add_s(hour * 3_600)));
        }
        Ok(())
    };
    let lines = || -> Result<(), String> {
        let line = |z0_ohm, vf, k1, k2, length_m| {
            let constants = LineConstants::new(z0_ohm, vf, k1, k2).map_err(|e| e.to_string())?;
            Line::new(constants, length_m).map_err(|e| e.to_string())
        };
        let (coax, open) = (line(50.0, 0.66, 3.3, 0.0, 8.0)?, line(450.0, 0.91, 0.076, 0.0022, 5.0)?);
        for index in 0..1_000 {
            let freq_mhz = 3.5 + 11.0 * f64::from(index) / 999.0;
            let far = open
                .transform(Complex64::new(300.0, 60.0), freq_mhz)
                .map_err(|e| e.to_string())?;
            black_box(coax.transform(far.input_ohm, freq_mhz).map_err(|e| e.to_string())?);
        }
        Ok(())
    };
    vec![
        beside(
            "layers above 612 places, 24 hours each".to_owned(),
            "PyIRI",
            partner,
            |_| grid(false),
            |_| "iri".to_owned(),
        ),
        beside(
            "layers above one place at one hour".to_owned(),
            "PyIRI",
            partner,
            |_| grid(true),
            |_| "iri-one".to_owned(),
        ),
        beside(
            "where the sun stands, 8760 hours".to_owned(),
            "pvlib",
            partner,
            |_| sun(),
            |_| "sun 8760".to_owned(),
        ),
        beside(
            "two lines and a load on 1000 frequencies".to_owned(),
            "scikit-rf",
            partner,
            |_| lines(),
            |_| "lines 1000".to_owned(),
        ),
    ]
}
