//! What a plan says of energy.

use crate::document::Document;
use crate::energy::EnergyReport;

impl EnergyReport<'_> {
    /// The verdict, what the calls take, and where keying is tight.
    #[must_use]
    pub(crate) fn in_short(&self) -> Document {
        let mut doc = Document::new(self.verdict());
        if let Some(line) = self.calls_only_words() {
            doc.lead(line);
        }
        let calls_wh: f64 = self.forecast.messages.iter().map(|m| m.energy_wh.p50).sum();
        if calls_wh > 0.0 {
            doc.lead(format!(
                "All calls, as far as they are needed, listening and tuning included: {calls_wh:.1} Wh."
            ));
        }
        for sag in self.call_sags() {
            doc.lead(sag);
        }
        doc
    }
}
