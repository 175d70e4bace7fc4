//! One circuit, as JSON and as text.

use farhop_earth::Place;
use farhop_earth::clock::rfc3339;
use farhop_plan::single::{CircuitAnswer, CircuitQuestion};
use farhop_propagation::ground_wave::GroundWave;
use farhop_propagation::noise::{Noise, NoiseTerm};
use farhop_propagation::signal::ReceivedMode;
use farhop_propagation::{Component, RangeCaution, Shares, Support};

use crate::document::{Column, Document, Table};
use crate::numbers::rounded;
use crate::reader::Units;
use crate::sky::activity_source;
use crate::views::views;
use crate::words::{self, shares_in_words};

views! {
    /// A place in JSON.
    PointView(place: Place) {
        /// Latitude, degrees.
        lat_deg: f64 = rounded(place.lat_deg(), 5),
        /// Longitude, degrees.
        lon_deg: f64 = rounded(place.lon_deg(), 5),
    }

    /// One mode in JSON: geometry, support and every loss in dB; docs/methods/sky-path.md explains the keys.
    ModeView(received: &ReceivedMode) where { let (mode, losses) = (&received.mode, &received.mode.losses); } {
        layer: &'static str = mode.layer.name(),
        component: &'static str = match mode.component {
            Component::Ordinary => "ordinary",
            Component::Extraordinary => "extraordinary",
        },
        hops: u8 = mode.hops,
        elevation_deg: f64 = rounded(mode.elevation_deg, 2),
        path_km: f64 = rounded(mode.path_km, 1),
        mirror_height_km: f64 = rounded(mode.mirror_height_km, 1),
        muf_mhz: f64 = rounded(mode.muf_mhz, 4),
        support: f64 = rounded(mode.support, 4),
        spreading_db: f64 = rounded(losses.spreading_db, 2),
        absorption_db: f64 = rounded(losses.absorption_db, 2),
        above_muf_db: f64 = rounded(losses.above_muf_db, 2),
        ground_reflection_db: f64 = rounded(losses.ground_reflection_db, 2),
        auroral_db: f64 = rounded(losses.auroral_db, 2),
        /// What the X-rays of a solar flare take on the sunlit side, dB.
        fade_out_db: f64 = rounded(losses.fade_out_db, 2),
        /// What the protons of a solar storm take above a polar cap, dB.
        polar_cap_db: f64 = rounded(losses.polar_cap_db, 2),
        polarisation_db: f64 = rounded(losses.polarisation_db, 2),
        screening_db: f64 = rounded(losses.screening_db, 2),
        residual_db: f64 = rounded(losses.residual_db, 2),
        horizon_db: f64 = rounded(losses.horizon_db, 2),
        total_loss_db: f64 = rounded(losses.total_db(), 2),
        power_dbm: f64 = rounded(received.power_dbw + 30.0, 2),
    }

    /// The ground wave in JSON.
    GroundWaveView(wave: GroundWave, power_dbw: f64) {
        /// Basic transmission loss, dB.
        loss_db: f64 = rounded(wave.basic_transmission_loss_db, 2),
        /// Received power, dBm.
        power_dbm: f64 = rounded(power_dbw + 30.0, 2),
    }

    /// Median and decile distances of a noise.
    NoiseView(noise: &Noise) {
        /// Man-made noise, dB above kT0b.
        man_made_fa_db: f64 = rounded(noise.man_made.fa_median_db, 2),
        /// Galactic noise, dB above kT0b; null where the ionosphere shields it.
        galactic_fa_db: Option<f64> = noise.galactic.map(|term| rounded(term.fa_median_db, 2)),
        /// Atmospheric noise, dB above kT0b.
        atmospheric_fa_db: f64 = rounded(noise.atmospheric.fa_median_db, 2),
        /// The receiver's own noise, dB above kT0b.
        receiver_fa_db: f64 = rounded(noise.receiver.fa_median_db, 2),
        /// The sum, dB above kT0b.
        total_fa_db: f64 = rounded(noise.total_fa_db, 2),
        /// Decile distances, dB.
        deciles: DecilesView = DecilesView::new(noise),
    }

    /// Decile distances of each noise, dB: `[upper, lower]`.
    DecilesView(noise: &Noise) where {
        let of = |term: &NoiseTerm| [rounded(term.upper_decile_db, 2), rounded(term.lower_decile_db, 2)];
    } {
        /// Man-made.
        man_made_db: [f64; 2] = of(&noise.man_made),
        /// Galactic.
        galactic_db: Option<[f64; 2]> = noise.galactic.as_ref().map(of),
        /// Atmospheric.
        atmospheric_db: [f64; 2] = of(&noise.atmospheric),
        /// Of the sum.
        total_db: [f64; 2] = of(&noise.total()),
    }

    /// Signal-to-noise ratio over days.
    SnrView(p10_p50_p90_db: [f64; 3]) where { let [p10_db, p50_db, p90_db] = p10_p50_p90_db; } {
        /// Reached on nine days in ten, dB.
        p10: f64 = rounded(p10_db, 2),
        /// Median, dB.
        p50: f64 = rounded(p50_db, 2),
        /// Reached on one day in ten, dB.
        p90: f64 = rounded(p90_db, 2),
    }

    /// Which layers turn the frequency back on which share of days, however weak the signal; the shares overlap.
    SupportView(support: &Support) {
        /// Some mode by the F2 layer, share of days, 0 to 1.
        f2: f64 = rounded(support.f2, 4),
        /// Some mode by the E layer, share of days, 0 to 1.
        e: f64 = rounded(support.e, 4),
        /// Some mode by sporadic E, share of days, 0 to 1.
        sporadic_e: f64 = rounded(support.sporadic_e, 4),
        /// Any layer, share of days, 0 to 1.
        any: f64 = rounded(support.any, 4),
    }

    /// On which share of days the signal is at least as strong as the noise, by what is strongest then; the shares add up.
    CarriedView(shares: &Shares) {
        /// By the F2 layer, share of days, 0 to 1.
        f2: f64 = rounded(shares.f2, 4),
        /// By the E layer, share of days, 0 to 1.
        e: f64 = rounded(shares.e, 4),
        /// By sporadic E, share of days, 0 to 1.
        sporadic_e: f64 = rounded(shares.sporadic_e, 4),
        /// Along the ground, share of days, 0 to 1.
        ground_wave: f64 = rounded(shares.ground_wave, 4),
        /// By scatter and partial reflection, share of days, 0 to 1.
        scatter: f64 = rounded(shares.scatter, 4),
        /// By anything, share of days, 0 to 1.
        any: f64 = rounded(shares.sum(), 4),
    }

    /// A circuit in full detail; docs/methods/sky-path.md explains the keys.
    PathView(question: &CircuitQuestion, answer: &CircuitAnswer) where {
        let path = &answer.path;
        let (circuit, layers) = (path.circuit(), path.midpoint_layers());
        let activity = &question.conditions.activity;
    } {
        at: String = rfc3339(question.time),
        freq_mhz: f64 = question.freq_mhz,
        power_w: f64 = question.power_w,
        distance_km: f64 = rounded(circuit.distance_km, 4),
        bearing_deg: f64 = rounded(circuit.bearing_deg, 3),
        back_bearing_deg: f64 = rounded(circuit.back_bearing_deg, 3),
        midpoint: PointView = PointView::new(layers.place),
        sun_zenith_deg: f64 = rounded(layers.sun_zenith_deg, 4),
        r12: f64 = rounded(activity.r12(), 3),
        flux: f64 = rounded(activity.flux_sfu(), 3),
        fof2_mhz: f64 = rounded(layers.fof2_mhz, 5),
        foe_mhz: f64 = rounded(layers.foe_mhz, 4),
        foes_median_mhz: f64 = rounded(layers.foes_median_mhz, 4),
        m3000f2: f64 = rounded(layers.m3000f2, 5),
        hmf2_km: f64 = rounded(layers.hmf2_km, 2),
        gyro_mhz: f64 = rounded(path.gyro_mhz(), 4),
        muf_mhz: f64 = rounded(path.muf_mhz(), 4),
        muf_e_mhz: f64 = rounded(path.muf_e_mhz(), 4),
        muf_f2_mhz: f64 = rounded(path.muf_f2_mhz(), 4),
        muf_f2_ordinary_mhz: f64 = rounded(path.muf_f2_ordinary_mhz(), 4),
        operational_muf_mhz: f64 = rounded(path.operational_muf_mhz(), 4),
        optimum_working_mhz: f64 = rounded(path.optimum_working_mhz(), 4),
        skip_km: Option<f64> = path.skip_km(question.freq_mhz).map(|km| rounded(km, 1)),
        /// Which layers turn the frequency back, however weak the signal.
        support: SupportView = SupportView::new(&answer.support),
        /// What carries at 0 dB of signal over noise or more.
        carried: CarriedView = CarriedView::new(&answer.carried),
        modes: Vec<ModeView> = answer.modes.iter().map(ModeView::new).collect(),
        ground_wave: Option<GroundWaveView> = answer.ground_wave.zip(answer.ground_wave_dbw).map(|(wave, dbw)| GroundWaveView::new(wave, dbw)),
        noise: NoiseView = NoiseView::new(&answer.noise),
        snr_db: SnrView = SnrView::new(answer.snr_p10_p50_p90_db),
        bandwidth_hz: f64 = question.bandwidth_hz,
        notes: Vec<String> = notes(question, answer),
    }
}

/// The view of an answer.
#[must_use]
pub fn path_view(question: &CircuitQuestion, answer: &CircuitAnswer) -> PathView {
    PathView::new(question, answer)
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
        "atmospheric noise: a field of our own from rain and warmth, 8 dB standard deviation; a reading on site is better".to_owned(),
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

/// The whole report.
#[must_use]
pub fn path_document(view: &PathView, units: Units) -> Document {
    let snr = &view.snr_db;
    let mut doc = Document::new(format!(
        "{} MHz with {} W over {}: signal over noise {:+.0} dB on the median day ({:+.0} on nine days in ten, {:+.0} on one in ten) in {:.0} Hz, 0 dBi at both ends.",
        // To the hertz and the milliwatt: a number typed with more digits would only push the answer aside.
        rounded(view.freq_mhz, 6),
        rounded(view.power_w, 3),
        units.distance(view.distance_km),
        snr.p50,
        snr.p10,
        snr.p90,
        view.bandwidth_hz
    ));
    doc.section("facts", "");
    let mut facts = Table::new([Column::words(""), Column::words("")]);
    facts.row([
        "Bearing".to_owned(),
        format!(
            "{:.0}° there, {:.0}° back, true",
            view.bearing_deg, view.back_bearing_deg
        ),
    ]);
    facts.row([
        "Middle".to_owned(),
        format!(
            "{:.2}, {:.2}; sun {:.0}° {} the horizon",
            view.midpoint.lat_deg,
            view.midpoint.lon_deg,
            (90.0 - view.sun_zenith_deg).abs(),
            if view.sun_zenith_deg < 90.0 { "above" } else { "below" }
        ),
    ]);
    facts.row([
        "Layers".to_owned(),
        format!(
            "foF2 {:.1} MHz, foE {:.1} MHz, sporadic E {:.1} MHz, F2 peak {:.0} km",
            view.fof2_mhz, view.foe_mhz, view.foes_median_mhz, view.hmf2_km
        ),
    ]);
    facts.row([
        "MUF".to_owned(),
        format!(
            "{:.1} MHz (F2 {:.1}, E {:.1}); nine days in ten {:.1} MHz",
            view.muf_mhz, view.muf_f2_mhz, view.muf_e_mhz, view.optimum_working_mhz
        ),
    ]);
    let skip = match view.skip_km {
        Some(km) if km > 0.0 => format!("nothing nearer than {} by one F2 hop", units.distance(km)),
        Some(_) => "none: the layer returns it straight down".to_owned(),
        None => "the layer lets it through at every angle".to_owned(),
    };
    facts.row(["Skip".to_owned(), skip]);
    facts.row([
        "Turned back".to_owned(),
        words::support(&Support {
            f2: view.support.f2,
            e: view.support.e,
            sporadic_e: view.support.sporadic_e,
            any: view.support.any,
        }),
    ]);
    facts.row(["Carried".to_owned(), carried(&view.carried)]);
    facts.row(["Noise".to_owned(), noise_words(&view.noise)]);
    doc.table(facts);
    modes(&mut doc, view);
    doc.section("notes", "");
    for note in &view.notes {
        doc.note(format!("Note: {note}."));
    }
    doc
}

/// What carries at least as strong as the noise.
fn carried(carried: &CarriedView) -> String {
    let ways = [
        (carried.f2, "F2"),
        (carried.e, "E"),
        (carried.sporadic_e, "sporadic E"),
        (carried.ground_wave, "the ground wave"),
        (carried.scatter, "scatter"),
    ];
    shares_in_words(&ways, carried.any, "as strong as the noise by anything")
}

fn modes(doc: &mut Document, view: &PathView) {
    doc.section("modes", "");
    if view.modes.is_empty() {
        doc.say("No sky-wave mode.");
    }
    let heads = [
        "angle",
        "supported",
        "spread",
        "absorb",
        "above MUF",
        "other",
        "received",
    ];
    let mut columns = vec![Column::words("Mode"), Column::words("wave")];
    columns.extend(heads.map(Column::number));
    let mut table = Table::new(columns);
    for mode in view.modes.iter().take(SHOWN_MODES) {
        let other = mode.total_loss_db - mode.spreading_db - mode.absorption_db - mode.above_muf_db;
        table.row([
            format!("{}{}", mode.hops, mode.layer),
            if mode.component == "ordinary" { "ord." } else { "ext." }.to_owned(),
            format!("{:.0}°", mode.elevation_deg),
            format!("{:.0} %", mode.support * 100.0),
            format!("{:.0}", mode.spreading_db),
            format!("{:.1}", mode.absorption_db),
            format!("{:.1}", mode.above_muf_db),
            format!("{other:.1}"),
            format!("{:.0} dBm", mode.power_dbm),
        ]);
    }
    doc.table(table);
    if let Some(wave) = &view.ground_wave {
        doc.say(format!(
            "Along the ground: loss {:.0} dB, received {:.0} dBm",
            wave.loss_db, wave.power_dbm
        ));
    }
}

fn noise_words(noise: &NoiseView) -> String {
    let galactic = noise
        .galactic_fa_db
        .map_or("shielded".to_owned(), |db| format!("{db:.0} dB"));
    format!(
        "{:.0} dB over kT0b (man-made {:.0}, atmospheric {:.0}, galactic {galactic})",
        noise.total_fa_db, noise.man_made_fa_db, noise.atmospheric_fa_db
    )
}
