//! The kit's feed in the words of the feed crate.

use crate::error::PlanError;
use farhop_feed::tuner::{AutoTuner, AutoTunerValues, ManualL, ManualLValues, ManualT, ManualTValues};
use farhop_feed::{
    FeedChain, FeedError, FoldBack, Line, LineConstants, Transformer, TransformerType, TransformerValues, Transmitter,
    Tuner,
};
use farhop_num::maths;
use farhop_num::{db_of_ratio, ratio_of_db};
use farhop_outing::{Antenna, FeedLine, Kit, LineLoss, Transceiver, TunerKind};

use crate::engine::feed_ratio;

/// What an outing calls "next to nothing" at `no_power_swr`: a hundredth of full power (dimensionless, own choice).
const NEXT_TO_NOTHING_SHARE: f64 = 0.01;
/// Least power with which a tuner is worked, W: below it small tuners do not sense the carrier (from memory).
const LEAST_TUNE_POWER_W: f64 = 1.0;
/// The frequency at which an own line's loss is stated, MHz.
const OWN_LOSS_AT_MHZ: f64 = 10.0;
/// SWR marks that the tuner search accepts (dimensionless).
const MARKS_SWR: (f64, f64) = (1.01, farhop_feed::tuner::ACCEPT_SWR_MOST);

/// Transmitter, tuner, line and transformer of an antenna, tuner at the radio.
///
/// The transformer counts once: the engine gives the impedance at the wires, and the ratio is [`feed_ratio`] (the `transformer`
/// of the antenna, else an end-fed wire's own `transformer_ratio`). A stated loss is shared between core and winding as in the
/// typical transformer of the nearest ratio, whose reactances are taken too; without a stated loss its typical loss holds.
///
/// # Errors
/// Says in words which part of the kit is missing or cannot be computed.
pub fn chain_of(kit: &Kit, antenna: &Antenna) -> Result<FeedChain, PlanError> {
    let line = line_of(kit, antenna)?;
    let transmitter = transmitter_of(&kit.transceiver)?;
    let tuner = tuner_of(kit)?;
    let transformer = transformer_of(antenna)?;
    Ok(FeedChain::tuner_at_radio(transmitter, tuner, line, transformer, None))
}

fn transmitter_of(own: &Transceiver) -> Result<Transmitter, FeedError> {
    let strong_enough = own.power_levels_w.iter().copied().find(|w| *w >= LEAST_TUNE_POWER_W);
    let fold_back = FoldBack::Straight {
        full_to_swr: own.full_power_swr,
        floor_from_swr: own.no_power_swr,
        floor_share: NEXT_TO_NOTHING_SHARE,
    };
    let tune_power_w = strong_enough.unwrap_or(own.power_w).min(own.power_w);
    Transmitter::new(own.power_w, tune_power_w, fold_back)
}

fn line_of(kit: &Kit, antenna: &Antenna) -> Result<Option<Line>, PlanError> {
    let Some(id) = &antenna.feedline else { return Ok(None) };
    let line = kit.feedline(id.as_str());
    let line = line.ok_or_else(|| PlanError::NoSuchLine(id.to_string()))?;
    if !kit.carries(id.as_str()) {
        return Err(PlanError::LineStaysAtHome(id.to_string()));
    }
    let constants = line_constants(line)?;
    Line::new(constants, line.length_m).map(Some).map_err(PlanError::from)
}

fn line_constants(line: &FeedLine) -> Result<LineConstants, FeedError> {
    LineConstants::named(line.line).map_or_else(|| own_constants(line.own), Ok)
}

/// One figure of loss carries one term: all of it is taken as conductor loss, which grows with the root of frequency.
fn own_constants(own: Option<LineLoss>) -> Result<LineConstants, FeedError> {
    let own = own.ok_or(FeedError::Empty {
        what: "the list of constants of an own line",
    })?;
    let k1 = own.loss_10mhz_db_per_100m / OWN_LOSS_AT_MHZ.sqrt();
    LineConstants::new(own.z0_ohm, own.velocity_factor, k1, 0.0)
}

fn transformer_of(antenna: &Antenna) -> Result<Option<Transformer>, FeedError> {
    let ratio = feed_ratio(antenna);
    let stated_db = antenna.transformer.map(|t| t.loss_db);
    // A ratio of one without a transformer named is a plain connection, not a choke.
    if stated_db.is_none() && ratio == 1.0 {
        return Ok(None);
    }
    let usual = TransformerValues {
        ratio,
        ..nearest(ratio).values()
    };
    Transformer::new(stated_db.map_or(usual, |db| with_loss(usual, db))).map(Some)
}

/// The transformer with a loss of `stated_db` into its design load, core and winding in the usual proportion.
///
/// The winding carries also what the core takes: with excess ratios c and w, total = (1 + c) (1 + w (1 + c)).
fn with_loss(usual: TransformerValues, stated_db: f64) -> TransformerValues {
    let core_part = usual.core_loss_db / (usual.core_loss_db + usual.winding_loss_db);
    let core_loss_db = stated_db * core_part;
    let core = ratio_of_db(core_loss_db);
    let winding = (ratio_of_db(stated_db) / core - 1.0) / core;
    TransformerValues {
        core_loss_db,
        winding_loss_db: db_of_ratio(1.0 + winding),
        ..usual
    }
}

/// The typical transformer whose ratio is nearest, as a quotient.
fn nearest(ratio: f64) -> TransformerType {
    let away = |kind: &TransformerType| maths::ln(kind.values().ratio / ratio).abs();
    let nearest = TransformerType::ALL
        .into_iter()
        .min_by(|a, b| away(a).total_cmp(&away(b)));
    nearest.unwrap_or(TransformerType::Choke)
}

/// The tuner as the outing has it; one that stays at home is none.
fn tuner_of(kit: &Kit) -> Result<Tuner, FeedError> {
    if !kit.carries("tuner") {
        return Ok(Tuner::None);
    }
    match kit.tuner.kind {
        TunerKind::None => Ok(Tuner::None),
        TunerKind::Automatic => automatic(&kit.tuner),
        TunerKind::ManualT => hand_t(&kit.tuner),
        TunerKind::ManualL => hand_l(&kit.tuner),
    }
}

/// Relay banks of `bits` steps each, every step twice the one before; the whole bank makes the stated maximum.
fn automatic(own: &farhop_outing::Tuner) -> Result<Tuner, FeedError> {
    let usual = AutoTunerValues::portable();
    let bank = |most: f64| -> Vec<f64> {
        let steps = 2f64.powi(own.bits as i32) - 1.0;
        (0..own.bits).map(|n| most * 2f64.powi(n as i32) / steps).collect()
    };
    let values = AutoTunerValues {
        coils_uh: bank(own.max_inductance_uh.unwrap_or(usual.coils_uh.iter().sum())),
        capacitors_pf: bank(own.max_capacitance_pf.unwrap_or(usual.capacitors_pf.iter().sum())),
        q_coil: own.coil_q,
        q_capacitor: own.capacitor_q,
        accept_swr: mark(own),
        ratings: usual.ratings,
    };
    AutoTuner::new(values).map(Tuner::Auto)
}

fn hand_l(own: &farhop_outing::Tuner) -> Result<Tuner, FeedError> {
    let usual = ManualLValues::typical();
    let values = ManualLValues {
        l_most_uh: own.max_inductance_uh.unwrap_or(usual.l_most_uh),
        c_most_pf: own.max_capacitance_pf.unwrap_or(usual.c_most_pf),
        q_coil: own.coil_q,
        q_capacitor: own.capacitor_q,
        accept_swr: mark(own),
        ..usual
    };
    ManualL::new(values).map(Tuner::HandL)
}

fn hand_t(own: &farhop_outing::Tuner) -> Result<Tuner, FeedError> {
    let usual = ManualTValues::typical();
    let (l_most_uh, c_most_pf) = (
        own.max_inductance_uh.unwrap_or(usual.l_most_uh),
        own.max_capacitance_pf.unwrap_or(usual.c_most_pf),
    );
    let values = ManualTValues {
        c_least_pf: usual.c_least_pf.min(c_most_pf),
        c_most_pf,
        l_least_uh: usual.l_least_uh.min(l_most_uh),
        l_most_uh,
        q_coil: own.coil_q,
        q_capacitor: own.capacitor_q,
        accept_swr: mark(own),
        ..usual
    };
    ManualT::new(values).map(Tuner::HandT)
}

/// The stated mark, brought to what a search can aim at: 1 exactly is never met, above 10 nothing is a match.
fn mark(own: &farhop_outing::Tuner) -> f64 {
    own.good_swr.clamp(MARKS_SWR.0, MARKS_SWR.1)
}
