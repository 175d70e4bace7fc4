//! The debrief as one page that stands alone: no script, nothing from outside.

use std::fmt::Write as _;

use crate::debrief::{DebriefReport, Score};
use crate::sheet::{INK, MUTED};

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
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 380 380\" role=\"img\" aria-label=\"Forecast chance against the share of calls that linked\" font-family=\"IBM Plex Sans, DejaVu Sans, sans-serif\" font-size=\"13\" fill=\"{INK}\">"
    );
    let _ = write!(
        out,
        "<path d=\"M50 330H350V30H50Z\" fill=\"none\" stroke=\"{INK}\"/><path d=\"M50 330L350 30\" stroke=\"{MUTED}\" stroke-dasharray=\"4 4\"/>"
    );
    for tick in [0.0, 0.25, 0.5, 0.75, 1.0] {
        let _ = write!(
            out,
            "<text x=\"{:.0}\" y=\"348\" text-anchor=\"middle\">{:.0}</text><text x=\"44\" y=\"{:.0}\" text-anchor=\"end\">{:.0}</text>",
            x(tick),
            100.0 * tick,
            y(tick) + 4.0,
            100.0 * tick
        );
    }
    for bin in &score.bins {
        let share = bin.linked as f64 / bin.calls as f64;
        let _ = write!(
            out,
            "<path d=\"M{0:.1} {1:.1}V{2:.1}\" stroke=\"{INK}\" stroke-width=\"2\"/><circle cx=\"{0:.1}\" cy=\"{3:.1}\" r=\"{4:.1}\" fill=\"{INK}\"/>",
            x(bin.forecast),
            y(bin.interval.0),
            y(bin.interval.1),
            y(share),
            3.0 + (bin.calls as f64).sqrt()
        );
    }
    out.push_str("<text x=\"200\" y=\"370\" text-anchor=\"middle\">forecast, %</text><text x=\"14\" y=\"180\" text-anchor=\"middle\" transform=\"rotate(-90 14 180)\">linked, % (95 % interval)</text></svg>");
    out
}
