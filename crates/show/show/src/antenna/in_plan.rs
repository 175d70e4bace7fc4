//! The working of a call's antenna, as a plan states it.

use farhop_earth::UtcTime;
use farhop_outing::Outing;
use farhop_plan::analysis::Analysis;
use farhop_plan::book::{AntennaFigures, FeedFigures};
use farhop_plan::strip::{Carrier, Route};

use crate::feed::words::{swr, watts};
use crate::numbers::{rounded, share_words};
use crate::views::views;
use crate::words;

/// Loss on the way to the antenna from which a plan names it, dB (own choice).
const TOLD_LOSS_DB: f64 = 1.0;

views! {
    /// How the feed of the site's antenna works on a route; `farhop feed` has the whole working.
    FeedUseView(feed: &FeedFigures) {
        matched: bool = feed.matched,
        /// At the transmitter with the tuner set; none is beyond all numbers.
        swr: Option<f64> = feed.swr.is_finite().then(|| rounded(feed.swr, 2)),
        loss_db: f64 = rounded(feed.loss_db, 2),
        radiated_w: f64 = rounded(feed.radiated_w, 4),
    }

    /// How the site's antenna works on a route.
    AntennaUseView(figures: &AntennaFigures, carrier: Option<&Carrier>) {
        /// Radiated over accepted power (dimensionless).
        efficiency: f64 = rounded(figures.efficiency, 4),
        /// Share of the transmitter's power setting that enters the antenna (dimensionless).
        feed_share: f64 = rounded(figures.feed_share, 4),
        /// The working of that share; none where the outing declares how the antenna works.
        feed: Option<FeedUseView> = figures.feed.as_ref().map(FeedUseView::new),
        /// Gain used: toward the station at the angle of the hour's strongest mode, dBi.
        gain_dbi: Option<f64> = carrier.map(|c| rounded(c.site_gain_dbi, 1)),
        /// That angle above the horizon, degrees.
        elevation_deg: Option<f64> = carrier.map(|c| rounded(c.elevation_deg, 1)),
        /// `computed` for the wire as it hangs, or `declared`.
        source: &'static str = words::gain_source_key(figures.source),
        /// The gain is the mean around the compass, because the outing states no direction of the wire.
        mean_around: bool = figures.averaged,
    }
}

/// How the site's antenna works on a route at an instant; none where the plan has no such route.
#[must_use]
pub fn antenna_use(plan: &Analysis, route: &Route, at: UtcTime) -> Option<AntennaUseView> {
    let figures = plan.strip_of(route)?.antenna;
    let carrier = plan.cell_at(route, at).and_then(farhop_plan::strip::Cell::carrier);
    Some(AntennaUseView::new(&figures, carrier))
}

/// The same in one line: gain used, efficiency, and where both come from.
#[must_use]
pub fn antenna_words(plan: &Analysis, route: &Route, at: UtcTime) -> Option<String> {
    let figures = plan.strip_of(route)?.antenna;
    let carrier = plan.cell_at(route, at).and_then(farhop_plan::strip::Cell::carrier);
    let gain = carrier.map_or(String::new(), |c| format!("{:+.1} dBi that way, ", c.site_gain_dbi));
    let around = if figures.averaged {
        "; mean around the compass, as no direction is stated"
    } else {
        ""
    };
    Some(format!(
        "antenna: {gain}{} % of its power radiated, {}{around}{}",
        share_words(figures.efficiency),
        words::gain_source(figures.source),
        figures.feed.map_or(String::new(), feed_words)
    ))
}

/// What the feed takes, where that is worth telling.
fn feed_words(feed: FeedFigures) -> String {
    let radiated = watts(feed.radiated_w);
    if !feed.matched {
        let swr = swr(Some(feed.swr));
        format!("; no match (SWR {swr}), {radiated} radiated")
    } else if feed.loss_db > TOLD_LOSS_DB {
        format!("; {:.1} dB lost before it, {radiated} radiated", feed.loss_db)
    } else {
        String::new()
    }
}

/// Antennas that find no match, once for each site, antenna and band.
#[must_use]
pub fn unmatched(outing: &Outing, plan: &Analysis) -> Vec<String> {
    let mut said: Vec<String> = Vec::new();
    for strip in plan
        .strips
        .iter()
        .filter(|s| s.antenna.feed.is_some_and(|f| !f.matched))
    {
        let site = outing.sites.get(strip.route.site);
        let antenna = outing.kit.antennas.get(strip.route.antenna);
        let station = outing.stations.get(strip.route.station);
        let channel = station.and_then(|s| s.channels.get(strip.route.channel));
        let (Some(site), Some(antenna), Some(channel)) = (site, antenna, channel) else {
            continue;
        };
        let line = format!("{} at {} near {:.1} MHz", antenna.name, site.name, channel.freq_mhz);
        if !said.contains(&line) {
            said.push(line);
        }
    }
    said
}
