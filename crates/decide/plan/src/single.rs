//! One circuit in full detail, with isotropic antennas at both ends, so that it can be compared with other calculations.

use crate::survey::{GROUND_WAVE_REACH_KM, STATION_NOISE_FIGURE_DB};
use farhop_earth::{IgrfEpoch, Place, UtcTime};
use farhop_ionosphere::{Ionosphere, SkyConditions};
use farhop_num::db_of_ratio;
use farhop_propagation::ground_wave::{GroundWave, GroundWaveInputs, ground_wave_loss_db};
use farhop_propagation::noise::{Noise, NoiseClass, NoiseInputs, Receiver, ReceiverError, total_noise};
use farhop_propagation::signal::{LinkEnd, LinkSetup, ReceivedMode, Signal};
use farhop_propagation::snr::{SnrMixture, noise_in_band};
use farhop_propagation::{Circuit, CircuitSky, Events, Horizon, Shares, SkyPath, Support};

/// A question about one circuit.
#[derive(Clone, Debug)]
pub struct CircuitQuestion {
    /// Where the transmitter is.
    pub from: Place,
    /// Where the receiver is.
    pub to: Place,
    /// The instant.
    pub time: UtcTime,
    /// Frequency, MHz.
    pub freq_mhz: f64,
    /// Transmitter power, W.
    pub power_w: f64,
    /// Bandwidth of the signal-to-noise ratio, Hz.
    pub bandwidth_hz: f64,
    /// Surroundings of the receiver.
    pub noise: NoiseClass,
    /// What shapes the sky.
    pub conditions: SkyConditions,
    /// Flares and proton storms that are known.
    pub events: Events,
}

/// The answer with its working.
#[derive(Clone, Debug)]
pub struct CircuitAnswer {
    /// Path, layers and MUFs.
    pub path: SkyPath,
    /// Modes as received, strongest first.
    pub modes: Vec<ReceivedMode>,
    /// The ground wave, where the distance has one.
    pub ground_wave: Option<GroundWave>,
    /// Power of the ground wave, dBW.
    pub ground_wave_dbw: Option<f64>,
    /// The noise at the receiver.
    pub noise: Noise,
    /// Signal-to-noise ratio over days: reached on 90, 50 and 10 of 100 days, dB.
    pub snr_p10_p50_p90_db: [f64; 3],
    /// Which layers turn the frequency back on which share of days, however weak the signal.
    pub support: Support,
    /// On which share of days the signal reaches `CARRIED_SNR_DB`, by what is strongest then.
    pub carried: Shares,
}

/// Signal-to-noise ratio from which a path counts as carrying, dB: as strong as the noise.
pub(crate) const CARRIED_SNR_DB: f64 = 0.0;

/// Computes the circuit.
///
/// # Errors
/// Never for the constants in use; the receiver's numbers are checked where it is made.
pub fn circuit(question: &CircuitQuestion, field: &IgrfEpoch) -> Result<CircuitAnswer, ReceiverError> {
    let sky = Ionosphere::embedded().sky(field, &question.conditions);
    let circuit = Circuit::new(question.from, question.to);
    let path = CircuitSky::new(&sky, &circuit, question.time)
        .with_events(question.events.clone())
        .at(question.time);
    let ground_wave = ground_wave(&circuit, question.freq_mhz);
    let isotropic = |_: f64, _: f64| 0.0;
    let end = LinkEnd {
        gain_dbi: &isotropic,
        horizon: Horizon::FLAT,
    };
    let setup = LinkSetup {
        power_dbw: db_of_ratio(question.power_w),
        from: end,
        to: end,
        ground_wave_loss_db: ground_wave.map(|wave| wave.basic_transmission_loss_db),
    };
    let signal = Signal::new(&path, &path.modes(question.freq_mhz), &setup);
    let noise = total_noise(&NoiseInputs {
        freq_mhz: question.freq_mhz,
        place: question.to,
        time: question.time,
        class: question.noise,
        fof2_mhz: sky.layers(question.to, question.time).fof2_mhz,
        receiver: Receiver::new(STATION_NOISE_FIGURE_DB, 1.0, 0.0)?,
        measured: None,
    });
    let noise_dbw = noise_in_band(&noise.total(), question.bandwidth_hz);
    let snr = SnrMixture::new(&signal.mixture(), &noise_dbw);
    Ok(CircuitAnswer {
        snr_p10_p50_p90_db: snr.p10_p50_p90_db(),
        support: signal.support(),
        carried: signal.carried(&noise_dbw, CARRIED_SNR_DB),
        ground_wave_dbw: signal.ground_wave_dbw,
        modes: signal.modes,
        path,
        ground_wave,
        noise,
    })
}

fn ground_wave(circuit: &Circuit, freq_mhz: f64) -> Option<GroundWave> {
    if circuit.distance_km > GROUND_WAVE_REACH_KM {
        return None;
    }
    ground_wave_loss_db(&GroundWaveInputs {
        freq_mhz,
        distance_km: circuit.distance_km,
        ground: circuit.from_ground.constants(),
        tx_height_m: 0.0,
        rx_height_m: 0.0,
    })
    .ok()
}
