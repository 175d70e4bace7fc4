//! Drawn days as text of at most 80 columns.

use std::fmt::Write as _;

use farhop_plan::rehearsal::{MessageRehearsal, share_with_error};

use crate::days::DaysReport;
use crate::wrap::paragraph;

impl DaysReport<'_> {
    /// The whole text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = paragraph(&self.verdict(), "", "");
        out.push('\n');
        for message in &self.rehearsal.messages {
            out.push_str(&paragraph(&self.message_words(message), "- ", "  "));
        }
        if !self.rehearsal.messages.is_empty() {
            out.push('\n');
        }
        self.table(&mut out);
        out.push('\n');
        for line in self.what_it_means() {
            out.push_str(&paragraph(&line, "", ""));
        }
        out
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

    fn table(&self, out: &mut String) {
        out.push_str("How often one session came true, by the chance that the hour table gives it\n");
        out.push_str("   chance   mean of it   came true        cases\n");
        for tenth in &self.rehearsal.reliability.tenths {
            let span = format!("{:.0}–{:.0} %", 100.0 * tenth.from, 100.0 * tenth.to);
            let head = format!("{span:>9}");
            if tenth.count == 0 {
                let _ = writeln!(out, "{head}         none in this outing");
                continue;
            }
            let (share, error) = share_with_error(tenth.came_true, tenth.count);
            let _ = writeln!(
                out,
                "{head} {:>10.1} %   {:>5.1} ± {:<3.1} % {:>8}",
                100.0 * tenth.forecast_mean,
                100.0 * share,
                100.0 * error,
                tenth.count
            );
        }
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
