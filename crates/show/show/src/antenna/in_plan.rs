//! The working of a call's antenna, as a plan states it.

use farhop_earth::UtcTime;
use farhop_outing::Outing;
use farhop_plan::analysis::Analysis;
use farhop_plan::book::FeedFigures;
use farhop_plan::strip::Route;
use serde::Serialize;

use crate::feed::words::{swr, watts};
use crate::numbers::{rounded, share_words};
use crate::words;

/// Loss on the way to the antenna from which a plan names it, dB (own choice).
const TOLD_LOSS_DB: f64 = 1.0;

/// How the feed of the site's antenna works on a route; `farhop feed` has the whole working.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "quantities with units in the keys")]
pub struct FeedUseView {
    pub matched: bool,
    /// At the transmitter with the tuner set; none is beyond all numbers.
    pub swr: Option<f64>,
    pub loss_db: f64,
    pub radiated_w: f64,
}

/// How the site's antenna works on a route.
#[derive(Clone, Debug, Serialize)]
pub struct AntennaUseView {
    /// Radiated over accepted power (dimensionless).
    pub efficiency: f64,
    /// Share of the transmitter's power setting that enters the antenna (dimensionless).
    pub feed_share: f64,
    /// The working of that share; none where the outing declares how the antenna works.
    pub feed: Option<FeedUseView>,
    /// Gain used: toward the station at the angle of the hour's strongest mode, dBi.
    pub gain_dbi: Option<f64>,
    /// That angle above the horizon, degrees.
    pub elevation_deg: Option<f64>,
    /// `computed` for the wire as it hangs, or `declared`.
    pub source: &'static str,
    /// The gain is the mean around the compass, because the outing states no direction of the wire.
    pub mean_around: bool,
}

/// How the site's antenna works on a route at an instant; none where the plan has no such route.
#[must_use]
pub fn antenna_use(plan: &Analysis, route: &Route, at: UtcTime) -> Option<AntennaUseView> {
    let figures = plan.strip_of(route)?.antenna;
    let carrier = plan.cell_at(route, at).and_then(farhop_plan::strip::Cell::carrier);
    Some(AntennaUseView {
        efficiency: rounded(figures.efficiency, 4),
        feed_share: rounded(figures.feed_share, 4),
        feed: figures.feed.map(|f| FeedUseView {
            matched: f.matched,
            swr: f.swr.is_finite().then(|| rounded(f.swr, 2)),
            loss_db: rounded(f.loss_db, 2),
            radiated_w: rounded(f.radiated_w, 4),
        }),
        gain_dbi: carrier.map(|c| rounded(c.site_gain_dbi, 1)),
        elevation_deg: carrier.map(|c| rounded(c.elevation_deg, 1)),
        source: words::gain_source_key(figures.source),
        mean_around: figures.averaged,
    })
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
