//! Drawn days as text of at most 80 columns.

use std::fmt::Write as _;

use farhop_plan::rehearsal::{MessageRehearsal, share_with_error};

use crate::days::DaysReport;
use crate::document::{Column, Document, Table};

impl DaysReport<'_> {
    /// The whole report.
    #[must_use]
    pub fn document(&self) -> Document {
        let mut doc = Document::new(self.verdict());
        for message in &self.rehearsal.messages {
            doc.item(self.message_words(message));
        }
        self.table(&mut doc);
        doc.section("meaning", "");
        for line in self.what_it_means() {
            doc.say(line);
        }
        doc
    }

    /// The first sentence: what was done, and what came of the messages together.
    fn verdict(&self) -> String {
        let days = self.count();
        let all = self
            .rehearsal
            .played
            .iter()
            .filter(|d| d.through_at.iter().all(Option::is_some))
            .count();
        let drawn = format!(
            "{days} days drawn (seed {}), the plan played on each:",
            self.rehearsal.ask.seed
        );
        if self.rehearsal.messages.is_empty() {
            return format!("{drawn} the outing has no message, so that there is nothing to get through.");
        }
        let (share, error) = share_with_error(all, days);
        format!("{drawn} everything is through in time on {}.", of_days(share, error))
    }

    fn message_words(&self, of: &MessageRehearsal) -> String {
        let (share, error) = share_with_error(of.through, self.count());
        let mut line = format!(
            "{}: through in time on {}; the plan says {}.",
            self.message_id(of.message),
            of_days(share, error),
            of.planned
        );
        if !of.lost.is_empty() {
            let lost: Vec<String> = of
                .lost
                .iter()
                .map(|(why, days)| format!("{} {days}", why.words()))
                .collect();
            let _ = write!(line, " The other days lost it to: {}.", lost.join(", "));
        }
        line
    }

    fn table(&self, doc: &mut Document) {
        doc.section(
            "reliability",
            "How often one session came true, by the chance that the hour table gives it",
        );
        let mut table = Table::new([
            Column::number("chance"),
            Column::number("mean of it"),
            Column::number("came true"),
            Column::number("cases"),
        ]);
        for tenth in &self.rehearsal.reliability.tenths {
            let span = format!("{:.0}–{:.0} %", 100.0 * tenth.from, 100.0 * tenth.to);
            if tenth.count == 0 {
                table.row([span, "none in this outing".to_owned()]);
                continue;
            }
            let (share, error) = share_with_error(tenth.came_true, tenth.count);
            table.row([
                span,
                format!("{:.1} %", 100.0 * tenth.forecast_mean),
                format!("{:.1} ± {:.1} %", 100.0 * share, 100.0 * error),
                tenth.count.to_string(),
            ]);
        }
        doc.table(table);
    }

    fn what_it_means(&self) -> Vec<String> {
        let of = &self.rehearsal.reliability;
        vec![
            "± is one binomial standard error: two columns that differ by less than two of them agree.".to_owned(),
            format!(
                "Brier score {:.4}; nobody who knows these days as a whole, and no single one, can do better than {:.4}.",
                of.brier, of.brier_own
            ),
            format!(
                "The plan was made with {} other days of the same kind. So this shows whether the odds are reckoned rightly; \
                 whether the sky keeps to the forecast is shown by the debrief.",
                self.rehearsal.plan_days
            ),
        ]
    }
}

fn of_days(share: f64, error: f64) -> String {
    format!("{:.1} ± {:.1} % of them", 100.0 * share, 100.0 * error)
}
