//! Energy as a paragraph of a plan.

use crate::energy::EnergyReport;
use crate::wrap::paragraph;

impl EnergyReport<'_> {
    /// The paragraph, with its title.
    #[must_use]
    pub fn paragraph(&self) -> String {
        let calls_wh: f64 = self.forecast.messages.iter().map(|m| m.energy_wh.p50).sum();
        let mut out = String::from("Energy\n");
        out.push_str(&paragraph(&self.verdict(), "- ", "  "));
        if let Some(line) = self.calls_only_words() {
            out.push_str(&paragraph(&line, "- ", "  "));
        }
        if calls_wh > 0.0 {
            let line =
                format!("All calls, as far as they are needed, listening and tuning included: {calls_wh:.1} Wh.");
            out.push_str(&paragraph(&line, "- ", "  "));
        }
        for sag in self
            .sags()
            .iter()
            .filter(|s| s.starts_with("Fails") || s.starts_with("Tight"))
        {
            out.push_str(&paragraph(sag, "- ", "  "));
        }
        out
    }
}
