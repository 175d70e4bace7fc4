//! Exposure as JSON sees it: everything, with its working.

use serde::Serialize;

/// A distance for one rule and one population.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "quantities with units in the keys")]
pub struct DistanceView {
    /// The rule that asks for it.
    pub rule: &'static str,
    /// `operator` or `others`.
    pub who: &'static str,
    /// As computed.
    pub distance_m: f64,
    /// As told: a twentieth more, up to the next tenth of a metre.
    pub told_m: f64,
    /// `nearer` (holds at the nearest place looked at), `found`, `farther` (continued as 1/R).
    pub reach: &'static str,
    /// `electric` or `magnetic`.
    pub field: &'static str,
    /// The limit, V/m or A/m rms.
    pub limit: f64,
    pub limit_unit: &'static str,
    /// Averaging time; none where the field itself counts.
    pub averaging_min: Option<f64>,
    /// Share of the power that counts (dimensionless).
    pub counted_share: f64,
}

/// A part within reach.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "quantities with units in the keys")]
pub struct ContactView {
    pub part: &'static str,
    pub height_m: f64,
    pub volts_rms: f64,
    /// `unnamed`, `may-burn`, `burns`.
    pub burn: &'static str,
}

/// The strongest field at a distance, key down.
#[derive(Clone, Copy, Debug, Serialize)]
#[allow(missing_docs, reason = "quantities with units in the keys")]
pub struct FieldView {
    pub distance_m: f64,
    pub e_v_per_m: f64,
    pub h_a_per_m: f64,
}

/// What follows from near fields.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "quantities with units in the keys")]
pub struct NearView {
    /// Distance for the operator, the stricter of both rules.
    pub operator_m: f64,
    /// Distance for everybody else, the stricter of both rules.
    pub others_m: f64,
    /// The wires hang so high that the limits hold wherever somebody stands on the ground.
    pub anywhere: bool,
    pub distances: Vec<DistanceView>,
    pub contacts: Vec<ContactView>,
    pub fields: Vec<FieldView>,
}

/// One antenna at one site on one band.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "quantities with units in the keys")]
pub struct BandSafetyView {
    pub site: String,
    pub site_name: String,
    pub antenna: String,
    pub antenna_name: String,
    /// The channel that was computed.
    pub freq_mhz: f64,
    pub channels_mhz: Vec<f64>,
    /// Power into the antenna: all of the transmitter's.
    pub power_w: f64,
    /// Share of the time with the key down while sending (dimensionless).
    pub key_share: f64,
    /// None where no near field can be computed.
    pub near: Option<NearView>,
    /// Why not.
    pub not_computed: Option<String>,
    /// The far-field formula alone: rough, and too small close to small antennas.
    pub far_field_operator_m: Option<f64>,
    pub far_field_others_m: Option<f64>,
}

/// `farhop exposure`.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "what the keys say")]
pub struct SafetyView {
    pub outing: String,
    /// The answer in one sentence.
    pub answer: String,
    pub bands: Vec<BandSafetyView>,
    /// What the rules of the operator's administration say.
    pub rules: Vec<String>,
    /// What to mind besides fields.
    pub cautions: Vec<String>,
    /// What the figures rest on.
    pub basis: Vec<String>,
}
