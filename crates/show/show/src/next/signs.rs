//! Readings that are far from the forecast: what they may mean, and what to do.

use farhop_next::today::Sign;
use farhop_plan::feeding::{Candidate, Shows};

use crate::next::NextReport;

/// A candidate is named from this chance on (dimensionless; a judgement).
const WORTH_A_WORD: f64 = 0.1;

impl NextReport<'_> {
    /// What readings far from their forecast mean, in sentences.
    #[must_use]
    pub fn signs(&self) -> Vec<String> {
        self.step.signs.iter().map(words).collect()
    }
}

fn words(sign: &Sign) -> String {
    match sign {
        Sign::Swr {
            freq_mhz,
            read,
            forecast,
            candidates,
        } => format!(
            "SWR {read:.1} on {freq_mhz} MHz where {forecast:.1} was forecast: {}. `farhop fault --symptom \"high SWR\"` finds it; until then your signal counts as doubtful.",
            likely(candidates, "a plug, a broken strand, wet wire or the wrong length")
        ),
        Sign::PowerOut {
            read_w,
            forecast_w,
            candidates,
        } => format!(
            "{read_w} W go out where {forecast_w} W are set: {}. Look at the voltage, the SWR and the plugs before you call again.",
            likely(candidates, "the set gives less than it should")
        ),
        Sign::TunerRefused { freq_mhz, antenna } => format!(
            "the tuner found no match on {freq_mhz} MHz where the forecast has one for {antenna}: a plug, a broken strand or another length. `farhop fault --symptom \"high SWR\"` finds it."
        ),
        Sign::Noise { freq_mhz, above_db } => format!(
            "noise on {freq_mhz} MHz is {above_db:.0} dB above forecast: switch off converter, charger and screen one by one; if it stays, move the antenna or wait."
        ),
        Sign::Voltage {
            read_v,
            forecast_v,
            near_cut_off: true,
            ..
        } => format!(
            "{read_v:.1} V at the battery ({forecast_v:.1} V forecast): near where the transmitter stops. Connect the panel, warm the battery, lower the power; `farhop fault --symptom \"dead radio only\"` if it dies."
        ),
        Sign::Voltage { read_v, forecast_v, .. } => format!(
            "{read_v:.1} V at the battery where {forecast_v:.1} V was forecast: it holds less than planned, or a plug is bad. Plan shorter calls."
        ),
    }
}

/// The candidates that need a repair and are worth a word, most likely first; `usual` where none is.
fn likely(candidates: &[Candidate], usual: &str) -> String {
    let named = candidates
        .iter()
        .filter(|c| c.chance >= WORTH_A_WORD && c.shows != Shows::Nothing);
    let words: Vec<String> = named
        .map(|c| format!("{} ({:.0} %)", c.words, 100.0 * c.chance))
        .collect();
    if words.is_empty() {
        usual.to_owned()
    } else {
        words.join(", or ")
    }
}
