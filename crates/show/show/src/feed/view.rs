//! The feed as JSON sees it: everything, with its working.

use farhop_feed::advise::Advice;
use farhop_feed::robustness::Quantiles;
use farhop_feed::tuner::{CapacitorSide, Setting};
use farhop_feed::{Complex64, FeedChain, Robustness, Stage, StageAnswer, Tuner};
use farhop_plan::Chance;
use farhop_plan::feeding::FeedForecast;
use serde::Serialize;

use crate::feed::build::{self, BandFacts};
use crate::feed::words;
use crate::numbers::rounded;
use crate::plan_view::ChanceView;
use crate::views::views;

views! {
    /// An impedance.
    OhmView(z_ohm: Complex64) {
        r_ohm: f64 = rounded(z_ohm.re, 3),
        x_ohm: f64 = rounded(z_ohm.im, 3),
    }

    /// How the tuner stands.
    TunerStateView(chain: &FeedChain, setting: &Setting) where {
        let none = *setting == Setting::Bypass && chain.tuner == Tuner::None;
        let (side, parts) = (side_of(setting), parts_of(setting));
        let masks = match *setting {
            Setting::Relays { l_mask, c_mask, .. } => Some((l_mask, c_mask)),
            _ => None,
        };
    } {
        /// `none`, `straight-through`, `relays`, `hand-l`, `hand-t`.
        kind: &'static str = match setting {
            Setting::Bypass if none => "none",
            Setting::Bypass => "straight-through",
            Setting::Relays { .. } => "relays",
            Setting::HandL { .. } => "hand-l",
            Setting::HandT { .. } => "hand-t",
        },
        /// Side of the capacitor in an L network: `antenna` or `radio`.
        capacitor_side: Option<&'static str> = side.map(words::side),
        /// Relays of the coils in circuit, bit 0 the smallest coil.
        l_mask: Option<u32> = masks.map(|m| m.0),
        /// Relays of the capacitors in circuit, bit 0 the smallest capacitor.
        c_mask: Option<u32> = masks.map(|m| m.1),
        l_uh: Option<f64> = parts.map(|p| rounded(p[0], 3)),
        c_pf: Option<f64> = parts.map(|p| rounded(p[1], 1)),
        /// Capacitor at the antenna in a T network; `c_pf` is then the one at the radio.
        c_antenna_pf: Option<f64> = match *setting {
            Setting::HandT { c_antenna_pf, .. } => Some(rounded(c_antenna_pf, 1)),
            _ => None,
        },
        /// The same in words.
        words: String = if none { "no tuner".to_owned() } else { words::setting(setting) },
    }

    /// Loss by place.
    LossView(forecast: &FeedForecast) where { let answer = &forecast.answer; } {
        line_db: f64 = rounded(answer.line_loss_db, 3),
        transformer_db: f64 = rounded(answer.transformer_loss_db, 3),
        tuner_db: f64 = rounded(answer.tuner_loss_db, 3),
        total_db: f64 = rounded(answer.power.loss_db, 3),
    }

    /// Power by place.
    PowerView(forecast: &FeedForecast) where { let power = &forecast.answer.power; } {
        setting_w: f64 = forecast.chain.transmitter.power_w(),
        /// What the transmitter sends forward after fold-back.
        forward_w: f64 = rounded(power.output.forward_w, 4),
        /// What is not sent back.
        taken_w: f64 = rounded(power.output.taken_w, 4),
        into_antenna_w: f64 = rounded(power.into_antenna_w, 4),
        radiated_w: f64 = rounded(power.radiated_w, 4),
        folds_back: bool = power.output.folds_back,
        /// Radiated with the tuner switched straight through.
        radiated_without_tuner_w: f64 = rounded(forecast.answer.without_tuner.radiated_w, 4),
    }

    /// A line or transformer at work.
    StageView(own: &StageAnswer) {
        /// `line` or `transformer`.
        kind: &'static str = match own.stage {
            Stage::Line(_) => "line",
            Stage::Transformer(_) => "transformer",
        },
        input: OhmView = OhmView::new(own.input_ohm),
        output: OhmView = OhmView::new(own.output_ohm),
        loss_db: f64 = rounded(own.loss_db, 3),
        matched_loss_db: Option<f64> = own.matched_loss_db.map(|db| rounded(db, 3)),
        power_in_w: f64 = rounded(own.power_in_w, 4),
        power_out_w: f64 = rounded(own.power_out_w, 4),
    }

    /// What a part or a terminal bears.
    StressView(bearer: &'static str, rms: [f64; 2], watts: Option<f64>) {
        part: &'static str = bearer,
        volts_rms: f64 = rounded(rms[0], 1),
        amps_rms: f64 = rounded(rms[1], 3),
        heat_w: Option<f64> = watts.map(|w| rounded(w, 4)),
    }

    /// Points that 10, 50 and 90 % of the cases stay below; none is beyond all numbers.
    SpreadView(q: &Quantiles) {
        p10: Option<f64> = ratio(q.p10),
        p50: Option<f64> = ratio(q.p50),
        p90: Option<f64> = ratio(q.p90),
    }

    /// How it fares when height, length and ground are a bit off.
    RobustView(of: &Robustness) {
        swr_without_tuner: SpreadView = SpreadView::new(&of.swr_without_tuner),
        swr_tuned: SpreadView = SpreadView::new(&of.swr_tuned),
        /// With the tuner left as set for the antenna as planned.
        swr_left_alone: SpreadView = SpreadView::new(&of.swr_left_alone),
        loss_db: SpreadView = SpreadView::new(&of.loss_db),
        radiated_w: SpreadView = SpreadView::new(&of.radiated_w),
        /// Chance that the tuner copes.
        copes: ChanceView = Chance::new(of.chance_copes).into(),
    }

    /// A change that would help.
    AdviceView(facts: &BandFacts<'_>, advice: &Advice) {
        words: String = words::change(&advice.change, &facts.forecast.chain, facts.antenna, facts.units),
        matches: bool = advice.answer.matched,
        swr: Option<f64> = ratio(advice.answer.best_swr()),
        loss_db: f64 = rounded(advice.answer.power.loss_db, 3),
        radiated_w: f64 = rounded(advice.answer.power.radiated_w, 4),
        /// Effort by own rates (dimensionless).
        effort: f64 = rounded(advice.effort, 3),
    }

    /// An antenna's feed on one band; docs/methods/feed.md explains the keys.
    FeedBandView(facts: &BandFacts<'_>) where {
        let (forecast, answer) = (facts.forecast, &facts.forecast.answer);
        let changes = build::advice(facts);
    } {
        freq_mhz: f64 = answer.freq_mhz,
        /// The stations' channels for which this frequency stands.
        channels_mhz: Vec<f64> = facts.channels_mhz.to_vec(),
        sentence: String = build::sentence(facts, &changes),
        matched: bool = answer.matched,
        /// At the feed of the wires; behind its coupling loop for a small loop.
        antenna: OhmView = OhmView::new(answer.antenna.impedance_ohm),
        coupling_loop: bool = forecast.coupled,
        efficiency: f64 = rounded(answer.antenna.efficiency, 4),
        at_tuner: OhmView = OhmView::new(answer.at_tuner_ohm),
        after_tuner: OhmView = OhmView::new(answer.after_tuner_ohm),
        swr_without_tuner: Option<f64> = ratio(answer.without_tuner.swr),
        swr: Option<f64> = ratio(answer.power.swr),
        best_swr: Option<f64> = ratio(answer.best_swr()),
        accept_swr: f64 = answer.tuner.accept_swr.unwrap_or(farhop_feed::chain::MATCHED_WITHOUT_TUNER_SWR),
        tuner: TunerStateView = TunerStateView::new(&forecast.chain, &answer.tuner.chosen().setting),
        loss: LossView = LossView::new(forecast),
        power: PowerView = PowerView::new(forecast),
        stages: Vec<StageView> = answer.stages.iter().map(StageView::new).collect(),
        stresses: Vec<StressView> = build::stresses(forecast),
        robustness: Option<RobustView> = facts.spread.as_ref().ok().map(|s| RobustView::new(s)),
        /// Why there is no spread, where there is none.
        robustness_failed: Option<String> = facts.spread.as_ref().err().cloned(),
        cautions: Vec<String> = build::cautions(forecast),
        /// What would make it match, least effort first; then what helps.
        advice: Vec<AdviceView> = changes,
        /// What the antenna's model has to say.
        notes: Vec<String> = facts.notes.to_vec(),
    }
}

/// An antenna at a site.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "ids, names and plain words")]
pub struct FeedGroupView {
    pub site: String,
    pub site_name: String,
    pub antenna: String,
    pub antenna_name: String,
    /// Tuner, line and transformer in words.
    pub way: String,
    pub bands: Vec<FeedBandView>,
    pub failed: Vec<String>,
}

/// All that was asked for.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "plain words")]
pub struct FeedView {
    pub outing: String,
    /// The answer in one sentence.
    pub answer: String,
    pub groups: Vec<FeedGroupView>,
    pub tuning: Vec<String>,
    /// What the figures rest on.
    pub basis: Vec<String>,
}

/// JSON has no infinity.
pub(super) fn ratio(swr: f64) -> Option<f64> {
    swr.is_finite().then(|| rounded(swr, 3))
}

fn side_of(setting: &Setting) -> Option<CapacitorSide> {
    match *setting {
        Setting::Relays { side, .. } | Setting::HandL { side, .. } => Some(side),
        Setting::Bypass | Setting::HandT { .. } => None,
    }
}

/// Inductance, µH, and capacitance (of a T network that at the radio), pF.
fn parts_of(setting: &Setting) -> Option<[f64; 2]> {
    match *setting {
        Setting::Bypass => None,
        Setting::Relays { l_uh, c_pf, .. } | Setting::HandL { l_uh, c_pf, .. } => Some([l_uh, c_pf]),
        Setting::HandT { c_radio_pf, l_uh, .. } => Some([l_uh, c_radio_pf]),
    }
}
