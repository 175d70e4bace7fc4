//! One hour of one route as a function of the day's factors.

use farhop_earth::UtcTime;
use farhop_num::maths;
use farhop_propagation::TwoSided;
use farhop_propagation::signal::Signal;

use crate::axes::Axes;
use crate::draws::DrawnDays;
use crate::fault::FaultClass;
use crate::priors::{ABSORPTION_LOG_SD, REST_DB, WEAK_OUT_DB};
use crate::route::Route;

/// Normal deviates (dimensionless) at which the signal is computed, evenly spaced: first, step and number; between them it is
/// interpolated, beyond them held.
///
/// Fine, because a mode comes and goes within a percent of foF2: between two nodes the edge is known to a tenth of a deviate.
const FOF2: Nodes = Nodes {
    first: -3.0,
    step: 0.2,
    count: 31,
};
/// The same for foEs: seven nodes, wide enough for the rare strong day.
const ES: Nodes = Nodes {
    first: -1.5,
    step: 0.75,
    count: 7,
};
/// Absorption over its forecast (dimensionless): loss in dB is proportional to it, so that two are enough.
const ABSORPTION: [f64; 2] = [0.7, 1.5];
/// Least slow spread that is left, dB.
const LEAST_SLOW_DB: f64 = 2.5;
/// A ratio (dB) at which nothing at all is there.
const NOTHING_DB: f32 = -300.0;

struct Nodes {
    first: f64,
    step: f64,
    count: usize,
}

impl Nodes {
    fn all(&self) -> Vec<f64> {
        (0..self.count).map(|k| self.first + self.step * k as f64).collect()
    }

    /// Lower node and share of the upper one.
    #[inline]
    fn place(&self, z: f32) -> (usize, f32) {
        let at = ((z - self.first as f32) * (1.0 / self.step as f32)).clamp(0.0, (self.count - 1) as f32 - 1e-4);
        let whole = at as usize;
        (whole, at - whole as f32)
    }
}

/// One direction beside the signal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach {
    /// Power of this direction's transmitter over one watt into the antenna, dB.
    pub power_offset_db: f64,
    /// Noise at the receiver, dBW in its bandwidth.
    pub noise_dbw: TwoSided,
}

/// Median at both absorptions, and what the slow deviation adds for each standard deviation below and above: in steps of
/// [`MEDIAN_STEP_DB`] and [`SD_STEP_DB`]. A month with many stations has ten million of these numbers, and nothing that follows
/// sees a hundredth of a decibel.
type Node = [i16; 4];
/// Step of a median, dB: from -256 to 256 dB in 16 bits; what is below is nothing anyhow.
const MEDIAN_STEP_DB: f32 = 1.0 / 128.0;
/// Step of a standard deviation, dB.
const SD_STEP_DB: f32 = 1.0 / 1024.0;

/// The route in one hour, ready to be asked about any day.
#[derive(Clone, Debug, PartialEq)]
pub struct Response {
    /// Which route.
    pub route: Route,
    /// Middle of the hour.
    pub at: UtcTime,
    /// Hour on the axes of the day.
    pub hour: usize,
    /// Band on the axes of the day.
    pub band: usize,
    /// Frequency, MHz.
    pub freq_mhz: f64,
    /// Width of the channel, Hz.
    pub bandwidth_hz: f64,
    /// The station listens then.
    pub served: bool,
    /// To the station.
    pub forward: Reach,
    /// To the site.
    pub reverse: Reach,
    /// Signal-to-noise ratio from which a link holds, dB in the channel's bandwidth.
    pub required_snr_db: f64,
    /// What a fade-out of one dB (at 5 MHz, sun straight above) takes here, dB.
    pub fade_share: f32,
    nodes: Vec<Node>,
}

/// What a response is made from besides the signal.
pub struct Around<'a> {
    /// Axes of the day.
    pub axes: &'a Axes,
    /// Which route.
    pub route: Route,
    /// Middle of the hour.
    pub at: UtcTime,
    /// Frequency, MHz.
    pub freq_mhz: f64,
    /// Width of the channel, Hz.
    pub bandwidth_hz: f64,
    /// The station listens then.
    pub served: bool,
    /// Both directions.
    pub reaches: [Reach; 2],
    /// What a link needs, dB.
    pub required_snr_db: f64,
    /// Zenith angle of the sun over the middle of the path, degrees.
    pub sun_zenith_deg: f64,
    /// Hops of the mode that carries most; 0 for the ground wave.
    pub hops: u8,
}

/// A route on all days at one instant.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Column {
    /// Signal-to-noise ratio at the station, by day, dB in the channel's bandwidth: the hour's median of that day.
    pub there_db: Vec<f32>,
    /// The same at the site.
    pub here_db: Vec<f32>,
    /// Days on which the modem or its computer does not work: no link, whatever is heard.
    pub no_modem: Vec<u32>,
}

impl Column {
    fn take_fault(&mut self, day: usize, class: FaultClass) {
        let (Some(there), Some(here)) = (self.there_db.get_mut(day), self.here_db.get_mut(day)) else {
            return;
        };
        match class {
            FaultClass::NoPower => (*there, *here) = (NOTHING_DB, NOTHING_DB),
            FaultClass::NothingOut => *there = NOTHING_DB,
            FaultClass::WeakOut => *there -= WEAK_OUT_DB as f32,
            FaultClass::NothingIn => *here = NOTHING_DB,
            FaultClass::NoModem => self.no_modem.extend(u32::try_from(day)),
        }
    }
}

impl Response {
    /// The response of a signal.
    #[must_use]
    pub fn new(signal: &Signal, around: &Around<'_>) -> Self {
        let factors: Vec<f64> = FOF2.all().into_iter().map(|z| signal.fof2_factor_at(z)).collect();
        let foes: Vec<f64> = ES.all().into_iter().map(|z| signal.foes_at_mhz(z)).collect();
        let grid = signal.grid(&factors, &foes, &ABSORPTION);
        // Absorption of flares falls with the sun's height and with frequency (from memory: roughly the 0.75th and the -1.5th power).
        let sun = maths::cos(around.sun_zenith_deg.to_radians()).max(0.0);
        let fade = f64::from(around.hops) * maths::powf(sun, 0.75) * maths::powf(5.0 / around.freq_mhz, 1.5);
        Self {
            route: around.route,
            at: around.at,
            hour: around.axes.hour(around.at),
            band: around.axes.band(around.freq_mhz),
            freq_mhz: around.freq_mhz,
            bandwidth_hz: around.bandwidth_hz,
            served: around.served,
            forward: around.reaches[0],
            reverse: around.reaches[1],
            required_snr_db: around.required_snr_db,
            fade_share: fade as f32,
            nodes: grid.chunks_exact(ABSORPTION.len()).map(node).collect(),
        }
    }

    /// The route on all days at an instant of its hour.
    #[must_use]
    pub fn column(&self, days: &DrawnDays, at: UtcTime) -> Column {
        let mut column = Column {
            there_db: self.signal(days),
            here_db: Vec::new(),
            no_modem: Vec::new(),
        };
        self.fade(days, at, &mut column.there_db);
        column.here_db.clone_from(&column.there_db);
        let there = self.forward.power_offset_db as f32;
        let station_noise = days.station_noise_z(self.route.station, self.hour);
        let noise = Halves::of(&self.forward.noise_dbw);
        for ((snr, z), own) in column.there_db.iter_mut().zip(station_noise).zip(days.own_db()) {
            *snr += there + own - noise.at(*z);
        }
        let here = self.reverse.power_offset_db as f32;
        let noise = Halves::of(&self.reverse.noise_dbw);
        for (snr, z) in column.here_db.iter_mut().zip(days.noise_z(self.band, self.hour)) {
            *snr += here - noise.at(*z);
        }
        self.break_down(days, at, &mut column);
        column
    }

    /// Received power by day, dBW for one watt, with all offsets of that day that count both ways.
    fn signal(&self, days: &DrawnDays) -> Vec<f32> {
        let (fof2, es) = (days.fof2_z(self.hour), days.es_z(self.hour));
        let (absorption, slow) = (days.absorption_z(self.hour), days.slow_z(self.band, self.hour));
        let (band, station) = (days.band_db(self.band), days.station_db(self.route.station));
        let span = (ABSORPTION[1] - ABSORPTION[0]) as f32;
        let mut out = Vec::with_capacity(days.count);
        for day in 0..days.count.min(fof2.len()) {
            let (i, up) = FOF2.place(fof2[day]);
            let (j, right) = ES.place(es[day]);
            let factor = maths::exp(ABSORPTION_LOG_SD as f32 * absorption[day]);
            let a = ((factor - ABSORPTION[0] as f32) / span).clamp(-1.0, 4.0);
            let place = i * ES.count + j;
            let node = bilinear(
                [
                    &self.nodes[place],
                    &self.nodes[place + 1],
                    &self.nodes[place + ES.count],
                    &self.nodes[place + ES.count + 1],
                ],
                up,
                right,
            );
            let z = slow[day];
            let slow_db = z * if z < 0.0 { node[2] } else { node[3] };
            out.push(node[0] + a * (node[1] - node[0]) + slow_db + band[day] + station[day]);
        }
        out
    }

    fn fade(&self, days: &DrawnDays, at: UtcTime, signal: &mut [f32]) {
        if self.fade_share <= 0.0 {
            return;
        }
        let now_s = at.unix_s();
        for fade in days.fades.iter().filter(|f| f.from_s <= now_s && now_s < f.until_s) {
            if let Some(level) = signal.get_mut(fade.day as usize) {
                *level -= self.fade_share * fade.loss_db;
            }
        }
    }

    /// What the own faults do.
    fn break_down(&self, days: &DrawnDays, at: UtcTime, column: &mut Column) {
        let now_s = at.unix_s();
        for fault in days.faults.iter().filter(|f| f.from_s <= now_s) {
            column.take_fault(fault.day as usize, fault.class);
        }
        for known in days
            .known_faults
            .iter()
            .filter(|f| f.from_s <= now_s && now_s < f.until_s)
        {
            (0..days.count).for_each(|day| column.take_fault(day, known.class));
        }
    }

    /// Noise at the site by day, dBW in the channel's bandwidth.
    #[must_use]
    pub(crate) fn site_noise_dbw(&self, days: &DrawnDays) -> Vec<f32> {
        let noise = Halves::of(&self.reverse.noise_dbw);
        days.noise_z(self.band, self.hour)
            .iter()
            .map(|z| noise.at(*z))
            .collect()
    }

    /// Standard deviation of a ratio from call to call on one day, dB: what is left of signal and noise.
    #[must_use]
    pub fn rest_db() -> f32 {
        (REST_DB * std::f64::consts::SQRT_2) as f32
    }
}

#[inline]
fn bilinear(corners: [&Node; 4], up: f32, right: f32) -> [f32; 4] {
    const STEPS_DB: [f32; 4] = [MEDIAN_STEP_DB, MEDIAN_STEP_DB, SD_STEP_DB, SD_STEP_DB];
    let mut out = [0.0f32; 4];
    for (k, value) in out.iter_mut().enumerate() {
        let at = |corner: usize| f32::from(corners[corner][k]);
        let low = at(0) + right * (at(1) - at(0));
        let high = at(2) + right * (at(3) - at(2));
        *value = STEPS_DB[k] * (low + up * (high - low));
    }
    out
}

/// A number in steps; what lies outside counts as at the end.
fn in_steps(value_db: f64, step_db: f32) -> i16 {
    (value_db / f64::from(step_db)).round() as i16
}

/// The slow spread of Rec. ITU-R P.842 holds what absorption does from day to day; the days follow that by themselves, so that it is
/// taken out of the spread.
fn node(pair: &[TwoSided]) -> Node {
    let [low, high] = [pair[0], pair[1]];
    let own_sd_db = ABSORPTION_LOG_SD * (low.median_db - high.median_db).abs() / (ABSORPTION[1] - ABSORPTION[0]);
    let sd = |a: f64, b: f64| {
        let sd_db = 0.5 * (a + b);
        let less = (sd_db * sd_db - own_sd_db * own_sd_db)
            .max(LEAST_SLOW_DB * LEAST_SLOW_DB)
            .sqrt();
        in_steps(hourly_sd_db(less), SD_STEP_DB)
    };
    [
        in_steps(low.median_db, MEDIAN_STEP_DB),
        in_steps(high.median_db, MEDIAN_STEP_DB),
        sd(low.sd_low_db, high.sd_low_db),
        sd(low.sd_high_db, high.sd_high_db),
    ]
}

/// The spread of an hour's median when [`REST_DB`] of the whole is left for the single call, dB.
fn hourly_sd_db(sd_db: f64) -> f64 {
    (sd_db * sd_db - REST_DB * REST_DB).max(0.25).sqrt()
}

/// A two-sided spread whose rest is left for the single call.
struct Halves {
    median: f32,
    low: f32,
    high: f32,
}

impl Halves {
    fn of(spread: &TwoSided) -> Self {
        Self {
            median: spread.median_db as f32,
            low: hourly_sd_db(spread.sd_low_db) as f32,
            high: hourly_sd_db(spread.sd_high_db) as f32,
        }
    }

    #[inline]
    fn at(&self, z: f32) -> f32 {
        self.median + z * if z < 0.0 { self.low } else { self.high }
    }
}
