//! One circuit, as JSON and as text.

use std::fmt::Write as _;

use farhop_plan::single::{CircuitAnswer, CircuitQuestion};
use farhop_propagation::noise::NoiseTerm;
use farhop_propagation::signal::ReceivedMode;
use farhop_propagation::{Component, RangeCaution};
use serde::Serialize;

use crate::numbers::rounded;
use crate::sky::activity_source;
use crate::wrap::paragraph;
use farhop_earth::clock::rfc3339;

/// A place in JSON.
#[derive(Debug, Serialize)]
pub struct PointView {
    /// Latitude, degrees.
    pub lat_deg: f64,
    /// Longitude, degrees.
    pub lon_deg: f64,
}

/// One mode in JSON: geometry, support and every loss in dB.
#[derive(Debug, Serialize)]
#[allow(
    missing_docs,
    reason = "the keys are named and explained in docs/methods/sky-path.md"
)]
pub struct ModeView {
    pub layer: &'static str,
    pub component: &'static str,
    pub hops: u8,
    pub elevation_deg: f64,
    pub path_km: f64,
    pub mirror_height_km: f64,
    pub muf_mhz: f64,
    pub support: f64,
    pub spreading_db: f64,
    pub absorption_db: f64,
    pub above_muf_db: f64,
    pub ground_reflection_db: f64,
    pub auroral_db: f64,
    pub polarisation_db: f64,
    pub screening_db: f64,
    pub residual_db: f64,
    pub horizon_db: f64,
    pub total_loss_db: f64,
    pub power_dbm: f64,
}

/// The ground wave in JSON.
#[derive(Debug, Serialize)]
pub struct GroundWaveView {
    /// Basic transmission loss, dB.
    pub loss_db: f64,
    /// Received power, dBm.
    pub power_dbm: f64,
}

/// Median and decile distances of a noise.
#[derive(Debug, Serialize)]
pub struct NoiseView {
    /// Man-made noise, dB above kT0b.
    pub man_made_fa_db: f64,
    /// Galactic noise, dB above kT0b; null where the ionosphere shields it.
    pub galactic_fa_db: Option<f64>,
    /// Atmospheric noise, dB above kT0b.
    pub atmospheric_fa_db: f64,
    /// The receiver's own noise, dB above kT0b.
    pub receiver_fa_db: f64,
    /// The sum, dB above kT0b.
    pub total_fa_db: f64,
    /// Decile distances, dB.
    pub deciles: DecilesView,
}

/// Decile distances of each noise, dB: `[upper, lower]`.
#[derive(Debug, Serialize)]
pub struct DecilesView {
    /// Man-made.
    pub man_made_db: [f64; 2],
    /// Galactic.
    pub galactic_db: Option<[f64; 2]>,
    /// Atmospheric.
    pub atmospheric_db: [f64; 2],
    /// Of the sum.
    pub total_db: [f64; 2],
}

/// Signal-to-noise ratio over days.
#[derive(Debug, Serialize)]
pub struct SnrView {
    /// Reached on nine days in ten, dB.
    pub p10: f64,
    /// Median, dB.
    pub p50: f64,
    /// Reached on one day in ten, dB.
    pub p90: f64,
}

/// A circuit in full detail.
#[derive(Debug, Serialize)]
#[allow(
    missing_docs,
    reason = "the keys are named and explained in docs/methods/sky-path.md"
)]
pub struct PathView {
    pub at: String,
    pub freq_mhz: f64,
    pub power_w: f64,
    pub distance_km: f64,
    pub bearing_deg: f64,
    pub back_bearing_deg: f64,
    pub midpoint: PointView,
    pub sun_zenith_deg: f64,
    pub r12: f64,
    pub flux: f64,
    pub fof2_mhz: f64,
    pub foe_mhz: f64,
    pub foes_median_mhz: f64,
    pub m3000f2: f64,
    pub hmf2_km: f64,
    pub gyro_mhz: f64,
    pub muf_mhz: f64,
    pub muf_e_mhz: f64,
    pub muf_f2_mhz: f64,
    pub muf_f2_ordinary_mhz: f64,
    pub operational_muf_mhz: f64,
    pub optimum_working_mhz: f64,
    pub skip_km: Option<f64>,
    pub modes: Vec<ModeView>,
    pub ground_wave: Option<GroundWaveView>,
    pub noise: NoiseView,
    pub snr_db: SnrView,
    pub bandwidth_hz: f64,
    pub notes: Vec<String>,
}

/// The view of an answer.
#[must_use]
pub fn path_view(question: &CircuitQuestion, answer: &CircuitAnswer) -> PathView {
    let path = &answer.path;
    let circuit = path.circuit();
    let layers = path.midpoint_layers();
    let [p10, p50, p90] = answer.snr_p10_p50_p90_db.map(|v| rounded(v, 2));
    PathView {
        at: rfc3339(question.time),
        freq_mhz: question.freq_mhz,
        power_w: question.power_w,
        distance_km: rounded(circuit.distance_km, 4),
        bearing_deg: rounded(circuit.bearing_deg, 3),
        back_bearing_deg: rounded(circuit.back_bearing_deg, 3),
        midpoint: PointView {
            lat_deg: rounded(layers.place.lat_deg(), 5),
            lon_deg: rounded(layers.place.lon_deg(), 5),
        },
        sun_zenith_deg: rounded(layers.sun_zenith_deg, 4),
        r12: rounded(question.conditions.activity.r12(), 3),
        flux: rounded(question.conditions.activity.flux_sfu(), 3),
        fof2_mhz: rounded(layers.fof2_mhz, 5),
        foe_mhz: rounded(layers.foe_mhz, 4),
        foes_median_mhz: rounded(layers.foes_median_mhz, 4),
        m3000f2: rounded(layers.m3000f2, 5),
        hmf2_km: rounded(layers.hmf2_km, 2),
        gyro_mhz: rounded(path.gyro_mhz(), 4),
        muf_mhz: rounded(path.muf_mhz(), 4),
        muf_e_mhz: rounded(path.muf_e_mhz(), 4),
        muf_f2_mhz: rounded(path.muf_f2_mhz(), 4),
        muf_f2_ordinary_mhz: rounded(path.muf_f2_ordinary_mhz(), 4),
        operational_muf_mhz: rounded(path.operational_muf_mhz(), 4),
        optimum_working_mhz: rounded(path.optimum_working_mhz(), 4),
        skip_km: path.skip_km(question.freq_mhz).map(|km| rounded(km, 1)),
        modes: answer.modes.iter().map(mode_view).collect(),
        ground_wave: ground_wave_view(answer),
        noise: noise_view(answer),
        snr_db: SnrView { p10, p50, p90 },
        bandwidth_hz: question.bandwidth_hz,
        notes: notes(question, answer),
    }
}

fn mode_view(received: &ReceivedMode) -> ModeView {
    let mode = &received.mode;
    let losses = &mode.losses;
    let db = |value: f64| rounded(value, 2);
    ModeView {
        layer: mode.layer.name(),
        component: match mode.component {
            Component::Ordinary => "ordinary",
            Component::Extraordinary => "extraordinary",
        },
        hops: mode.hops,
        elevation_deg: db(mode.elevation_deg),
        path_km: rounded(mode.path_km, 1),
        mirror_height_km: rounded(mode.mirror_height_km, 1),
        muf_mhz: rounded(mode.muf_mhz, 4),
        support: rounded(mode.support, 4),
        spreading_db: db(losses.spreading_db),
        absorption_db: db(losses.absorption_db),
        above_muf_db: db(losses.above_muf_db),
        ground_reflection_db: db(losses.ground_reflection_db),
        auroral_db: db(losses.auroral_db),
        polarisation_db: db(losses.polarisation_db),
        screening_db: db(losses.screening_db),
        residual_db: db(losses.residual_db),
        horizon_db: db(losses.horizon_db),
        total_loss_db: db(losses.total_db()),
        power_dbm: db(received.power_dbw + 30.0),
    }
}

fn ground_wave_view(answer: &CircuitAnswer) -> Option<GroundWaveView> {
    let (wave, power_dbw) = (answer.ground_wave?, answer.ground_wave_dbw?);
    Some(GroundWaveView {
        loss_db: rounded(wave.basic_transmission_loss_db, 2),
        power_dbm: rounded(power_dbw + 30.0, 2),
    })
}

fn noise_view(answer: &CircuitAnswer) -> NoiseView {
    let noise = &answer.noise;
    let deciles = |term: &NoiseTerm| [rounded(term.upper_decile_db, 2), rounded(term.lower_decile_db, 2)];
    NoiseView {
        man_made_fa_db: rounded(noise.man_made.fa_median_db, 2),
        galactic_fa_db: noise.galactic.map(|term| rounded(term.fa_median_db, 2)),
        atmospheric_fa_db: rounded(noise.atmospheric.fa_median_db, 2),
        receiver_fa_db: rounded(noise.receiver.fa_median_db, 2),
        total_fa_db: rounded(noise.total_fa_db, 2),
        deciles: DecilesView {
            man_made_db: deciles(&noise.man_made),
            galactic_db: noise.galactic.as_ref().map(deciles),
            atmospheric_db: deciles(&noise.atmospheric),
            total_db: deciles(&noise.total()),
        },
    }
}

fn notes(question: &CircuitQuestion, answer: &CircuitAnswer) -> Vec<String> {
    let activity = &question.conditions.activity;
    let mut notes = vec![
        "antennas: 0 dBi at both ends, flat horizons".to_owned(),
        "snr_db: spread over days of the month, mean power within the hour; fading inside the hour comes on top"
            .to_owned(),
        format!(
            "activity: {}, R12 {:.0} ± {:.0}",
            activity_source(activity),
            activity.r12(),
            activity.r12_sd()
        ),
        "atmospheric noise: a model from memory with 8 dB standard deviation; a reading on site is better".to_owned(),
    ];
    match answer.path.circuit().caution() {
        RangeCaution::Inside => {}
        RangeCaution::OutsideDesign => {
            notes.push("beyond 7 000 km: outside what this method was made for; read the figures as hints".to_owned());
        }
        RangeCaution::Outside => {
            notes.push("beyond 9 000 km: outside what this can forecast; no modes are given".to_owned());
        }
    }
    if answer.modes.is_empty() && answer.ground_wave.is_none() {
        notes.push("no mode carries this frequency over this distance at this hour".to_owned());
    }
    notes
}

/// Most modes shown in the text.
const SHOWN_MODES: usize = 6;

/// The view as text of at most 80 columns.
#[must_use]
pub fn path_text(view: &PathView) -> String {
    let mut out = String::new();
    let snr = &view.snr_db;
    let verdict = format!(
        "{} MHz with {} W over {:.0} km: signal over noise {:+.0} dB on the median day ({:+.0} on nine days in ten, {:+.0} on one in ten) in {:.0} Hz, 0 dBi at both ends.",
        // To the hertz and the milliwatt: a number typed with more digits would only push the answer aside.
        rounded(view.freq_mhz, 6),
        rounded(view.power_w, 3),
        view.distance_km,
        snr.p50,
        snr.p10,
        snr.p90,
        view.bandwidth_hz
    );
    let _ = writeln!(out, "{}", paragraph(&verdict, "", ""));
    let _ = writeln!(
        out,
        "Bearing       {:.0}° there, {:.0}° back, true",
        view.bearing_deg, view.back_bearing_deg
    );
    let _ = writeln!(
        out,
        "Middle        {:.2}, {:.2}; sun {:.0}° {} the horizon",
        view.midpoint.lat_deg,
        view.midpoint.lon_deg,
        (90.0 - view.sun_zenith_deg).abs(),
        if view.sun_zenith_deg < 90.0 { "above" } else { "below" }
    );
    let _ = writeln!(
        out,
        "Layers        foF2 {:.1} MHz, foE {:.1} MHz, sporadic E {:.1} MHz, F2 peak {:.0} km",
        view.fof2_mhz, view.foe_mhz, view.foes_median_mhz, view.hmf2_km
    );
    let _ = writeln!(
        out,
        "MUF           {:.1} MHz (F2 {:.1}, E {:.1}); nine days in ten {:.1} MHz",
        view.muf_mhz, view.muf_f2_mhz, view.muf_e_mhz, view.optimum_working_mhz
    );
    let skip = match view.skip_km {
        Some(km) if km > 0.0 => format!("nothing nearer than {km:.0} km by one F2 hop"),
        Some(_) => "none: the layer returns it straight down".to_owned(),
        None => "the layer lets it through at every angle".to_owned(),
    };
    let _ = writeln!(out, "Skip          {skip}\n");
    modes_text(&mut out, view);
    noise_text(&mut out, view);
    for note in &view.notes {
        out.push_str(&paragraph(&format!("Note: {note}."), "", "  "));
    }
    out
}

fn modes_text(out: &mut String, view: &PathView) {
    if view.modes.is_empty() {
        let _ = writeln!(out, "No sky-wave mode.");
    } else {
        let _ = writeln!(
            out,
            "Mode  wave  angle  supported  spread  absorb  aboveMUF  other  received"
        );
        for mode in view.modes.iter().take(SHOWN_MODES) {
            let other = mode.total_loss_db - mode.spreading_db - mode.absorption_db - mode.above_muf_db;
            let _ = writeln!(
                out,
                "{:<4}  {:<4}  {:>4.0}°  {:>7.0} %  {:>6.0}  {:>6.1}  {:>8.1}  {:>5.1}  {:>4.0} dBm",
                format!("{}{}", mode.hops, mode.layer),
                if mode.component == "ordinary" { "ord." } else { "ext." },
                mode.elevation_deg,
                mode.support * 100.0,
                mode.spreading_db,
                mode.absorption_db,
                mode.above_muf_db,
                other,
                mode.power_dbm
            );
        }
    }
    if let Some(wave) = &view.ground_wave {
        let _ = writeln!(
            out,
            "Along the ground: loss {:.0} dB, received {:.0} dBm",
            wave.loss_db, wave.power_dbm
        );
    }
    let _ = writeln!(out);
}

fn noise_text(out: &mut String, view: &PathView) {
    let noise = &view.noise;
    let galactic = noise
        .galactic_fa_db
        .map_or("shielded".to_owned(), |db| format!("{db:.0} dB"));
    let _ = writeln!(
        out,
        "Noise         {:.0} dB over kT0b (man-made {:.0}, atmospheric {:.0}, galactic {galactic})\n",
        noise.total_fa_db, noise.man_made_fa_db, noise.atmospheric_fa_db
    );
}
