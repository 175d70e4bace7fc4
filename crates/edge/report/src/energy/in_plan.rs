//! Energy as a paragraph of a plan.

use crate::energy::EnergyReport;
use crate::wrap::paragraph;

impl EnergyReport<'_> {
    /// The paragraph, with its title.
    #[must_use]
    pub fn paragraph(&self) -> String {
        let costs: Vec<String> = self
            .forecast
            .messages
            .iter()
            .map(|m| {
                let id = self.outing.messages.get(m.call.message).map_or("", |m| m.id.as_str());
                format!("{id} {:.1}", m.energy_wh.p50)
            })
            .collect();
        let mut out = String::from("Energy\n");
        out.push_str(&paragraph(&self.verdict(), "- ", "  "));
        if let Some(line) = self.calls_only_words() {
            out.push_str(&paragraph(&line, "- ", "  "));
        }
        if !costs.is_empty() {
            let line = format!(
                "Wh for each message, listening and tuning included: {}.",
                costs.join(", ")
            );
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
