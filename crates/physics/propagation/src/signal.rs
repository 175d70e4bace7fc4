//! The received signal as a distribution over days: what the modes add up to on good and bad days.
//!
//! The day is described by three things: foF2 over its median, the strength of sporadic E, and the absorption. The
//! first two are taken at quantiles of their distribution (`nodes.rs`); at each node the support and the loss above the MUF
//! are certain, and the powers of the modes add. What remains (Rec. ITU-R P.842) is a spread in dB around each node. The levels are mean
//! powers within the hour;
//! fading within the hour belongs to the channel model of the message.

use crate::carried::{Carries, Shares, Support};
use crate::horizon::{Horizon, horizon_loss_db};
use crate::losses::{Losses, SCATTER_SD_DB};
use crate::mode::{DayState, Layer, Mode};
use crate::nodes::{Node, es_nodes, fof2_nodes};
use crate::sky_path::SkyPath;
use crate::spread::TwoSided;
use farhop_num::maths;
use farhop_num::{DECILE_Z, db_of_ratio, normal_cdf, ratio_of_db};

/// Most modes by F2 or E, and by sporadic E, of which the appearance cuts a cell of days.
const MOST_CUTS: (usize, usize) = (4, 2);
/// Share of the needed foEs (dimensionless) down to which the loss beyond the edge still grows: 20 dB a percent leave a signal to a strong
/// link there, and a percent of foEs is one day in a hundred.
const JUST_BEYOND: f64 = 0.99;

/// Deciles in dB of the slow spread well below the MUF, (lower, upper), below 60° geomagnetic latitude
/// (Rec. ITU-R P.842; from memory).
const SLOW_DECILES_DB: (f64, f64) = (8.0, 6.0);
/// The same at and above 60° geomagnetic latitude (Rec. ITU-R P.842; from memory).
const SLOW_DECILES_HIGH_DB: (f64, f64) = (11.0, 9.0);
/// Standard deviation in dB of the ground wave: the ground and the weather change little.
const GROUND_WAVE_SD_DB: f64 = 2.0;
/// One end of a link as the sky wave sees it.
#[derive(Clone, Copy)]
pub struct LinkEnd<'a> {
    /// Gain in dBi at an elevation and an azimuth, both in degrees. All losses of antenna and feed are in it.
    pub gain_dbi: &'a dyn Fn(f64, f64) -> f64,
    /// Horizon toward the other end.
    pub horizon: Horizon,
}

/// What the signal depends on beside the modes.
#[derive(Clone, Copy)]
pub struct LinkSetup<'a> {
    /// Transmitter power into the antenna system, dBW.
    pub power_dbw: f64,
    /// The end at [`crate::Circuit::from`].
    pub from: LinkEnd<'a>,
    /// The end at [`crate::Circuit::to`].
    pub to: LinkEnd<'a>,
    /// Loss of the ground wave from terminals to terminals in dB, if it counts: the basic transmission loss
    /// ([`crate::Circuit::ground_wave_loss_db`]) less the gains of both antennas for the vertical wave along the ground.
    /// Those gains are not the pattern at zero elevation, which is nothing over real ground.
    pub ground_wave_loss_db: Option<f64>,
}

/// One mode as received on the median day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReceivedMode {
    /// The mode, with the loss of both horizons among its losses.
    pub mode: Mode,
    /// Sum of the gains of both antennas, dBi.
    pub gains_dbi: f64,
    /// Received power on the median day, dBW.
    pub power_dbw: f64,
}

/// One kind of day: how likely, and what is received then.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SignalComponent {
    /// Probability of this kind of day, dimensionless.
    pub weight: f64,
    /// foF2 over its median, dimensionless.
    pub fof2_factor: f64,
    /// Top frequency of sporadic E, MHz.
    pub foes_mhz: f64,
    /// Absorption over its median, dimensionless.
    pub absorption_factor: f64,
    /// Received power, dBW, with its remaining spread in dB.
    pub power_dbw: TwoSided,
}

/// The received power as a mixture over kinds of days.
#[derive(Clone, Debug, PartialEq)]
pub struct SignalMixture {
    /// The kinds of days; weights add up to one.
    pub components: Vec<SignalComponent>,
}

/// The signal of one direction at one frequency, ready to be asked about any day.
#[derive(Clone, Debug)]
pub struct Signal {
    /// The modes as received, strongest first on the median day.
    pub modes: Vec<ReceivedMode>,
    /// Received power of the ground wave, dBW.
    pub ground_wave_dbw: Option<f64>,
    fof2_deciles: (f64, f64),
    foes_mhz: (f64, f64, f64),
    slow_sd_db: (f64, f64),
}

/// Power in dBW below everything: no signal at all.
const NOTHING_DBW: f64 = -400.0;

impl Signal {
    /// Puts modes, gains and horizons together.
    #[must_use]
    pub fn new(path: &SkyPath, modes: &[Mode], setup: &LinkSetup<'_>) -> Self {
        let circuit = path.circuit();
        let mut received: Vec<ReceivedMode> = Vec::with_capacity(modes.len());
        for mode in modes {
            // Both magneto-ionic waves of a mode mostly share the ray: do not ask the antennas twice.
            let twin = received.iter().find(|r| r.mode.elevation_deg == mode.elevation_deg);
            let (gains_dbi, horizon_db) = match twin {
                Some(twin) => (twin.gains_dbi, twin.mode.losses.horizon_db),
                None => gains_and_horizons(mode, circuit.bearing_deg, circuit.back_bearing_deg, setup),
            };
            let losses = Losses {
                horizon_db,
                ..mode.losses
            };
            received.push(ReceivedMode {
                mode: Mode { losses, ..*mode },
                gains_dbi,
                power_dbw: setup.power_dbw + gains_dbi - losses.total_db(),
            });
        }
        received.sort_by(|a, b| b.power_dbw.total_cmp(&a.power_dbw));
        let ground_wave_dbw = setup
            .ground_wave_loss_db
            .filter(|l| l.is_finite())
            .map(|loss_db| (setup.power_dbw - loss_db).max(NOTHING_DBW));
        let layers = path.midpoint_layers();
        let (lower, upper) = if layers.geomagnetic_lat_deg.abs() < 60.0 {
            SLOW_DECILES_DB
        } else {
            SLOW_DECILES_HIGH_DB
        };
        Self {
            modes: received,
            ground_wave_dbw,
            fof2_deciles: (layers.fof2_lower_decile_factor, layers.fof2_upper_decile_factor),
            foes_mhz: (
                layers.foes_lower_decile_mhz,
                layers.foes_median_mhz,
                layers.foes_upper_decile_mhz,
            ),
            slow_sd_db: (lower / DECILE_Z, upper / DECILE_Z),
        }
    }

    /// The foF2 factor (dimensionless) at a normal deviate: two half log-normals through the deciles.
    #[must_use]
    pub fn fof2_factor_at(&self, z: f64) -> f64 {
        let (lower, upper) = self.fof2_deciles;
        half_log_normal(z, lower, upper)
    }

    /// foEs in MHz at a normal deviate.
    #[must_use]
    pub fn foes_at_mhz(&self, z: f64) -> f64 {
        let (lower, median, upper) = self.foes_mhz;
        median * half_log_normal(z, lower / median, upper / median)
    }

    /// The normal deviate of a foF2 factor (dimensionless).
    fn z_of_fof2_factor(&self, factor: f64) -> f64 {
        let (lower, upper) = self.fof2_deciles;
        z_of_half_log_normal(factor, lower, upper)
    }

    /// The normal deviate of an foEs in MHz.
    fn z_of_foes_mhz(&self, foes_mhz: f64) -> f64 {
        let (lower, median, upper) = self.foes_mhz;
        z_of_half_log_normal(foes_mhz / median, lower / median, upper / median)
    }

    /// What is received on a given day.
    #[must_use]
    pub fn component_given(&self, fof2_factor: f64, foes_mhz: f64, absorption_factor: f64) -> SignalComponent {
        let day = DayState {
            fof2_factor,
            foes_mhz,
            absorption_factor,
        };
        let mut sum = PowerSum::new(self);
        for received in &self.modes {
            let losses = received.mode.losses_on(&day);
            let power_dbw = received.power_dbw + received.mode.losses.total_db() - losses.total_db();
            let carries = Carries::of(&received.mode, losses.above_muf_db, foes_mhz);
            sum.add(ratio_of_db(power_dbw), carries);
        }
        SignalComponent {
            weight: 1.0,
            fof2_factor,
            foes_mhz,
            absorption_factor,
            power_dbw: sum.finish(self.slow_sd_db),
        }
    }

    /// What is received on every combination of foF2 factors (dimensionless), foEs (MHz) and absorption factors (dimensionless),
    /// in that order, the last running fastest: as [`Self::component_given`], at a fraction of the work, because the power of
    /// a mode is a product of what each of the three does to it.
    #[must_use]
    pub fn grid(&self, fof2_factors: &[f64], foes_mhz: &[f64], absorption_factors: &[f64]) -> Vec<TwoSided> {
        let mut out = Vec::with_capacity(fof2_factors.len() * foes_mhz.len() * absorption_factors.len());
        self.each_day(fof2_factors, foes_mhz, absorption_factors, |_, sum| {
            out.push(sum.finish(self.slow_sd_db));
        });
        out
    }

    /// Visits every combination, with the indices of the foF2 factor and of foEs.
    fn each_day(
        &self,
        fof2_factors: &[f64],
        foes_mhz: &[f64],
        absorption_factors: &[f64],
        mut visit: impl FnMut((usize, usize), &PowerSum),
    ) {
        let tables: Vec<PowerTable> = self
            .modes
            .iter()
            .map(|mode| PowerTable::new(mode, fof2_factors, foes_mhz, absorption_factors))
            .collect();
        for i in 0..fof2_factors.len() {
            for j in 0..foes_mhz.len() {
                for k in 0..absorption_factors.len() {
                    let mut sum = PowerSum::new(self);
                    for table in &tables {
                        let carries = if table.scattered[i] {
                            Carries::Scatter
                        } else {
                            table.carries[j]
                        };
                        sum.add(table.by_fof2[i] * table.by_es[j] * table.by_absorption[k], carries);
                    }
                    visit((i, j), &sum);
                }
            }
        }
    }

    /// The kinds of days by foF2 and by sporadic E, cut where the strongest modes appear.
    fn nodes(&self) -> (Vec<Node>, Vec<Node>) {
        let fof2_cuts = self
            .modes
            .iter()
            .filter_map(|m| m.mode.fof2_factor_needed())
            .take(MOST_CUTS.0)
            .map(|factor| normal_cdf(self.z_of_fof2_factor(factor)));
        let es_cuts = self
            .modes
            .iter()
            .filter_map(|m| m.mode.foes_needed_mhz())
            .take(MOST_CUTS.1)
            .flat_map(|foes_mhz| [foes_mhz, JUST_BEYOND * foes_mhz])
            .map(|foes_mhz| normal_cdf(self.z_of_foes_mhz(foes_mhz)));
        (fof2_nodes(fof2_cuts), es_nodes(es_cuts))
    }

    /// Visits the usual days, absorption as in the median, with weight (dimensionless), foF2 factor (dimensionless) and foEs (MHz).
    fn each_usual_day(&self, mut visit: impl FnMut((f64, f64, f64), &PowerSum)) {
        let (fof2, es) = self.nodes();
        let factors: Vec<f64> = fof2.iter().map(|n| self.fof2_factor_at(n.z)).collect();
        let es_mhz: Vec<f64> = es.iter().map(|n| self.foes_at_mhz(n.z)).collect();
        self.each_day(&factors, &es_mhz, &[1.0], |(i, j), sum| {
            visit((fof2[i].weight * es[j].weight, factors[i], es_mhz[j]), sum);
        });
    }

    /// The mixture over the usual spread of foF2 and sporadic E, absorption as in the median.
    ///
    /// Kinds of days that hardly differ (0.1 dB) are one, with the foF2 factor and foEs of the first.
    #[must_use]
    pub fn mixture(&self) -> SignalMixture {
        let mut components = Vec::with_capacity(70);
        self.each_usual_day(|(weight, fof2_factor, foes_mhz), sum| {
            components.push(SignalComponent {
                weight,
                fof2_factor,
                foes_mhz,
                absorption_factor: 1.0,
                power_dbw: sum.finish(self.slow_sd_db),
            });
        });
        SignalMixture {
            components: merged(components),
        }
    }

    /// Which layers turn this frequency back on which share of days, however weak the signal.
    #[must_use]
    pub fn support(&self) -> Support {
        Support::of(self.modes.iter().map(|m| &m.mode))
    }

    /// On which share of days the signal reaches `required_snr_db` over the noise (dBW), by what is strongest then. The shares exclude
    /// each other; their sum is the chance.
    #[must_use]
    pub fn carried(&self, noise_dbw: &TwoSided, required_snr_db: f64) -> Shares {
        let mut shares = Shares::default();
        self.each_usual_day(|(weight, ..), sum| {
            let snr = sum.finish(self.slow_sd_db).less(noise_dbw);
            shares.add(sum.strongest(), weight * snr.probability_at_least(required_snr_db));
        });
        shares
    }
}

/// Joins kinds of days whose difference does not show: often neither foF2 nor sporadic E matters, and everything that follows is
/// the quicker.
fn merged(mut components: Vec<SignalComponent>) -> Vec<SignalComponent> {
    const SAME_DB: f64 = 0.1;
    components.sort_by(|a, b| a.power_dbw.median_db.total_cmp(&b.power_dbw.median_db));
    let mut out: Vec<SignalComponent> = Vec::with_capacity(components.len());
    for component in components {
        let (p, weight) = (component.power_dbw, component.weight);
        match out.last_mut() {
            Some(last)
                if (last.power_dbw.median_db - p.median_db).abs() < SAME_DB
                    && (last.power_dbw.sd_low_db - p.sd_low_db).abs() < SAME_DB
                    && (last.power_dbw.sd_high_db - p.sd_high_db).abs() < SAME_DB =>
            {
                last.weight += weight;
            }
            _ => out.push(component),
        }
    }
    out
}

/// Gains of both antennas in dBi and loss over both horizons in dB.
fn gains_and_horizons(mode: &Mode, bearing_deg: f64, back_bearing_deg: f64, setup: &LinkSetup<'_>) -> (f64, f64) {
    let elevation_deg = mode.elevation_deg;
    let gains_dbi =
        (setup.from.gain_dbi)(elevation_deg, bearing_deg) + (setup.to.gain_dbi)(elevation_deg, back_bearing_deg);
    let horizon_db = [setup.from.horizon, setup.to.horizon]
        .map(|horizon| horizon_loss_db(elevation_deg, horizon, mode.freq_mhz))
        .iter()
        .sum();
    (gains_dbi, horizon_db)
}

/// Standard deviations of the logarithm of two half log-normals through their deciles (dimensionless), lower and upper.
fn log_sds(lower_decile: f64, upper_decile: f64) -> (f64, f64) {
    let (lower, upper) = (lower_decile.clamp(0.05, 1.0), upper_decile.clamp(1.0, 20.0));
    (-maths::ln(lower) / DECILE_Z, maths::ln(upper) / DECILE_Z)
}

/// Two half log-normals around one: the factor at a normal deviate.
fn half_log_normal(z: f64, lower_decile: f64, upper_decile: f64) -> f64 {
    let (low, high) = log_sds(lower_decile, upper_decile);
    maths::exp(z * if z < 0.0 { low } else { high })
}

/// The inverse of [`half_log_normal`].
fn z_of_half_log_normal(factor: f64, lower_decile: f64, upper_decile: f64) -> f64 {
    let (low, high) = log_sds(lower_decile, upper_decile);
    let log = maths::ln(factor.max(1e-9));
    log / if log < 0.0 { low } else { high }.max(1e-6)
}

/// The power of one mode, in W, split into what depends on foF2, on sporadic E and on absorption.
struct PowerTable {
    by_fof2: Vec<f64>,
    by_es: Vec<f64>,
    by_absorption: Vec<f64>,
    /// By foF2: the frequency is above what the layer turns back.
    scattered: Vec<bool>,
    /// By foEs: what the mode is, if foF2 suffices.
    carries: Vec<Carries>,
}

impl PowerTable {
    fn new(received: &ReceivedMode, fof2_factors: &[f64], foes_mhz: &[f64], absorption_factors: &[f64]) -> Self {
        let mode = &received.mode;
        let median = &mode.losses;
        let above_muf_db: Vec<f64> = fof2_factors.iter().map(|factor| mode.above_muf_db(*factor)).collect();
        let best_w = ratio_of_db(received.power_dbw + median.above_muf_db);
        // A supported node costs no exponential.
        let by_fof2 = above_muf_db.iter().map(|loss| match *loss {
            loss if loss > 0.0 => best_w * ratio_of_db(-loss),
            _ => best_w,
        });
        let median_es_db = median.screening_db - mode.fixed_screening_db;
        let by_es = match mode.layer {
            Layer::E => vec![1.0; foes_mhz.len()],
            _ => foes_mhz
                .iter()
                .map(|foes| ratio_of_db(median_es_db - mode.sporadic_db(*foes)))
                .collect(),
        };
        let by_absorption = absorption_factors.iter().map(|factor| match *factor {
            1.0 => 1.0,
            factor => ratio_of_db(-(factor - 1.0) * mode.lower_absorption_db),
        });
        Self {
            by_fof2: by_fof2.collect(),
            by_es,
            by_absorption: by_absorption.collect(),
            scattered: above_muf_db
                .iter()
                .map(|loss| Carries::of(mode, *loss, f64::INFINITY) == Carries::Scatter)
                .collect(),
            carries: foes_mhz.iter().map(|foes| Carries::of(mode, 0.0, *foes)).collect(),
        }
    }
}

/// Adds powers, and their spread by the share each has.
struct PowerSum {
    total_w: f64,
    /// By what carries, in the order of [`Carries::ALL`].
    by_w: [f64; Carries::ALL.len()],
}

impl PowerSum {
    fn new(signal: &Signal) -> Self {
        let ground_w = signal.ground_wave_dbw.map_or(0.0, ratio_of_db);
        let mut by_w = [0.0; Carries::ALL.len()];
        by_w[Carries::GroundWave as usize] = ground_w;
        Self {
            total_w: ground_w + ratio_of_db(NOTHING_DBW),
            by_w,
        }
    }

    fn add(&mut self, power_w: f64, carries: Carries) {
        self.total_w += power_w;
        self.by_w[carries as usize] += power_w;
    }

    /// What brings most.
    fn strongest(&self) -> Carries {
        let power_w = |c: &Carries| self.by_w[*c as usize];
        let best = Carries::ALL
            .into_iter()
            .max_by(|a, b| power_w(a).total_cmp(&power_w(b)));
        best.filter(|c| power_w(c) > 0.0).unwrap_or(Carries::Scatter)
    }

    fn finish(&self, (low, high): (f64, f64)) -> TwoSided {
        let share = |c: Carries| self.by_w[c as usize] / self.total_w;
        let ground_share = share(Carries::GroundWave);
        let growth = share(Carries::Scatter) * SCATTER_SD_DB;
        // Mostly nothing is scattered, and a root costs.
        let grown = |sky: f64| if growth > 0.0 { maths::hypot(sky, growth) } else { sky };
        let sd = |sky: f64| ground_share * GROUND_WAVE_SD_DB + (1.0 - ground_share) * grown(sky);
        TwoSided {
            median_db: db_of_ratio(self.total_w),
            sd_low_db: sd(low),
            sd_high_db: sd(high),
        }
    }
}

impl SignalMixture {
    /// Probability (dimensionless) that the received power is at least `power_dbw`.
    #[must_use]
    pub fn probability_at_least_dbw(&self, power_dbw: f64) -> f64 {
        self.components
            .iter()
            .map(|c| c.weight * c.power_dbw.probability_at_least(power_dbw))
            .sum()
    }
}
