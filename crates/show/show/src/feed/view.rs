//! The feed as JSON sees it: everything, with its working.

use serde::Serialize;

use crate::plan_view::ChanceView;

/// An impedance.
#[derive(Clone, Copy, Debug, Serialize)]
#[allow(missing_docs, reason = "quantities with units in the keys")]
pub struct OhmView {
    pub r_ohm: f64,
    pub x_ohm: f64,
}

/// How the tuner stands.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "quantities with units in the keys")]
pub struct TunerStateView {
    /// `none`, `straight-through`, `relays`, `hand-l`, `hand-t`.
    pub kind: &'static str,
    /// Side of the capacitor in an L network: `antenna` or `radio`.
    pub capacitor_side: Option<&'static str>,
    /// Relays of the coils in circuit, bit 0 the smallest coil.
    pub l_mask: Option<u32>,
    /// Relays of the capacitors in circuit, bit 0 the smallest capacitor.
    pub c_mask: Option<u32>,
    pub l_uh: Option<f64>,
    pub c_pf: Option<f64>,
    /// Capacitor at the antenna in a T network; `c_pf` is then the one at the radio.
    pub c_antenna_pf: Option<f64>,
    /// The same in words.
    pub words: String,
}

/// Loss by place.
#[derive(Clone, Copy, Debug, Serialize)]
#[allow(missing_docs, reason = "quantities with units in the keys")]
pub struct LossView {
    pub line_db: f64,
    pub transformer_db: f64,
    pub tuner_db: f64,
    pub total_db: f64,
}

/// Power by place.
#[derive(Clone, Copy, Debug, Serialize)]
#[allow(missing_docs, reason = "quantities with units in the keys")]
pub struct PowerView {
    pub setting_w: f64,
    /// What the transmitter sends forward after fold-back.
    pub forward_w: f64,
    /// What is not sent back.
    pub taken_w: f64,
    pub into_antenna_w: f64,
    pub radiated_w: f64,
    pub folds_back: bool,
    /// Radiated with the tuner switched straight through.
    pub radiated_without_tuner_w: f64,
}

/// A line or transformer at work.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "quantities with units in the keys")]
pub struct StageView {
    /// `line` or `transformer`.
    pub kind: &'static str,
    pub input: OhmView,
    pub output: OhmView,
    pub loss_db: f64,
    pub matched_loss_db: Option<f64>,
    pub power_in_w: f64,
    pub power_out_w: f64,
}

/// What a part or a terminal bears.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "quantities with units in the keys")]
pub struct StressView {
    pub part: &'static str,
    pub volts_rms: f64,
    pub amps_rms: f64,
    pub heat_w: Option<f64>,
}

/// Points that 10, 50 and 90 % of the cases stay below; none is beyond all numbers.
#[derive(Clone, Copy, Debug, Serialize)]
#[allow(missing_docs, reason = "shares in the keys")]
pub struct SpreadView {
    pub p10: Option<f64>,
    pub p50: Option<f64>,
    pub p90: Option<f64>,
}

/// How it fares when height, length and ground are a bit off.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "quantities with units in the keys")]
pub struct RobustView {
    pub swr_without_tuner: SpreadView,
    pub swr_tuned: SpreadView,
    /// With the tuner left as set for the antenna as planned.
    pub swr_left_alone: SpreadView,
    pub loss_db: SpreadView,
    pub radiated_w: SpreadView,
    /// Chance that the tuner copes.
    pub copes: ChanceView,
}

/// A change that would help.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "quantities with units in the keys")]
pub struct AdviceView {
    pub words: String,
    pub matches: bool,
    pub swr: Option<f64>,
    pub loss_db: f64,
    pub radiated_w: f64,
    /// Effort by own rates (dimensionless).
    pub effort: f64,
}

/// An antenna's feed on one band.
#[derive(Clone, Debug, Serialize)]
#[allow(
    missing_docs,
    reason = "quantities with units in the keys; explained in docs/methods/feed.md"
)]
pub struct FeedBandView {
    pub freq_mhz: f64,
    /// The stations' channels for which this frequency stands.
    pub channels_mhz: Vec<f64>,
    pub sentence: String,
    pub matched: bool,
    /// At the feed of the wires; behind its coupling loop for a small loop.
    pub antenna: OhmView,
    pub coupling_loop: bool,
    pub efficiency: f64,
    pub at_tuner: OhmView,
    pub after_tuner: OhmView,
    pub swr_without_tuner: Option<f64>,
    pub swr: Option<f64>,
    pub best_swr: Option<f64>,
    pub accept_swr: f64,
    pub tuner: TunerStateView,
    pub loss: LossView,
    pub power: PowerView,
    pub stages: Vec<StageView>,
    pub stresses: Vec<StressView>,
    pub robustness: Option<RobustView>,
    /// Why there is no spread, where there is none.
    pub robustness_failed: Option<String>,
    pub cautions: Vec<String>,
    /// What would make it match, least effort first; then what helps.
    pub advice: Vec<AdviceView>,
    /// What the antenna's model has to say.
    pub notes: Vec<String>,
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
