//! Readings that are far from the forecast: what they may mean, and what to do.

use farhop_workshop::today::Sign;

use crate::next::NextReport;

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
        } => format!(
            "SWR {read:.1} on {freq_mhz} MHz where {forecast:.1} was forecast: a plug, a broken strand, wet wire or the wrong length. `farhop fault --symptom \"high SWR\"` finds it; until then your signal counts as doubtful."
        ),
        Sign::Noise { freq_mhz, above_db } => format!(
            "noise on {freq_mhz} MHz is {above_db:.0} dB above forecast: switch off converter, charger and screen one by one; if it stays, move the antenna or wait."
        ),
        Sign::Voltage {
            read_v,
            forecast_v,
            near_cut_off: true,
        } => format!(
            "{read_v:.1} V at the battery ({forecast_v:.1} V forecast): near where the transmitter stops. Connect the panel, warm the battery, lower the power; `farhop fault --symptom \"dead radio only\"` if it dies."
        ),
        Sign::Voltage { read_v, forecast_v, .. } => format!(
            "{read_v:.1} V at the battery where {forecast_v:.1} V was forecast: it holds less than planned, or a plug is bad. Plan shorter calls."
        ),
    }
}
