//! The debrief as one page that stands alone: no script, nothing from outside.

use crate::debrief::{DebriefReport, Score};
use crate::sheet::{Anchor, INK, Letters, MUTED, Sheet};

impl DebriefReport<'_> {
    /// The page.
    #[must_use]
    pub fn html(&self) -> String {
        let title = format!("{}: what the day proved", self.today.outing.header.name);
        self.document().page(&title, "What did the day prove?")
    }

    /// Forecast chance against the share that linked, as a drawing; empty without calls.
    #[must_use]
    pub fn drawing(&self) -> String {
        Score::of(self.attempts(), |a| a.forecast).map_or_else(String::new, |s| drawing(&s))
    }
}

/// Each bin as a point with its interval; the line is where forecast and outcome agree.
fn drawing(score: &Score) -> String {
    let (x, y) = (|p: f64| 50.0 + 300.0 * p, |p: f64| 330.0 - 300.0 * p);
    let mut sheet = Sheet::new(380.0, 380.0, "Forecast chance against the share of calls that linked");
    sheet.frame((50.0, 30.0), (300.0, 300.0), INK, 1.0);
    sheet.dashed((50.0, 330.0), (350.0, 30.0), MUTED, 1.0);
    let letters = Letters::bare(13.0);
    for tick in [0.0, 0.25, 0.5, 0.75, 1.0] {
        let words = format!("{:.0}", 100.0 * tick);
        sheet.text((x(tick), 348.0), letters.at(Anchor::Middle), &words);
        sheet.text((44.0, y(tick) + 4.0), letters.at(Anchor::End), &words);
    }
    for bin in &score.bins {
        let share = bin.linked as f64 / bin.calls as f64;
        let across = x(bin.forecast);
        sheet.line((across, y(bin.interval.0)), (across, y(bin.interval.1)), INK, 2.0);
        sheet.dot((across, y(share)), 3.0 + (bin.calls as f64).sqrt(), INK);
    }
    sheet.text((200.0, 370.0), letters.at(Anchor::Middle), "forecast, %");
    sheet.text_upward((14.0, 180.0), 13.0, "linked, % (95 % interval)");
    sheet.finished()
}
