//! What the tuner will do on each antenna and band, and what burns.

use farhop_feed::Tuner;
use farhop_feed::tuner::Setting;
use farhop_outing::same_band;
use farhop_plan::engine::solved_in;
use farhop_plan::feeding::{FeedForecast, feed_of};
use farhop_show::feed::words;

use super::antennas::{AntennaRow, hung_at};
use crate::source::Source;

/// One antenna on one band.
#[derive(Clone, Debug, PartialEq)]
pub struct TunerRow {
    /// Letter of the antenna.
    pub letter: char,
    /// Frequency, MHz, to two decimals.
    pub mhz: String,
    /// SWR with the tuner straight through.
    pub bare_swr: String,
    /// SWR with the tuner set.
    pub swr: String,
    /// Whether that counts as a match.
    pub matched: bool,
    /// Loss between transmitter and antenna, dB.
    pub lost_db: String,
    /// Power radiated.
    pub radiated: String,
    /// How hand-set knobs stand; none for relays.
    pub setting: Option<String>,
}

/// The rows of all antennas with wires, on each band for which the antenna is meant and a station listens.
#[must_use]
pub fn rows(source: &Source<'_>, antennas: &[AntennaRow]) -> Vec<TunerRow> {
    antennas
        .iter()
        .flat_map(|row| {
            bands(source, row.hung)
                .into_iter()
                .filter_map(|freq_mhz| Some(tuner_row(row.letter, freq_mhz, &feed(source, row.hung, freq_mhz)?)))
        })
        .collect()
}

/// What burns, once each, over the frequencies in MHz on which the card would use the antenna.
#[must_use]
pub fn burns(source: &Source<'_>, hung: (usize, usize), freqs_mhz: &[f64]) -> Vec<String> {
    let mut worst: Vec<(farhop_feed::Place, f64)> = Vec::new();
    let mut own_v = 0.0f64;
    for freq_mhz in freqs_mhz {
        let Some(forecast) = feed(source, hung, *freq_mhz) else {
            continue;
        };
        own_v = forecast.loads.iter().map(|l| l.rms_v).fold(own_v, f64::max);
        for caution in &forecast.answer.cautions {
            let farhop_feed::Caution::TouchVoltage { place, volts_rms, .. } = caution else {
                continue;
            };
            match worst.iter_mut().find(|(p, _)| p == place) {
                Some((_, volts)) => *volts = volts.max(*volts_rms),
                None => worst.push((*place, *volts_rms)),
            }
        }
    }
    let mut list = Vec::new();
    if own_v >= farhop_feed::Limits::USUAL.touch_volts_rms {
        list.push(format!(
            "Its capacitor or coil bears {own_v:.0} V: nobody touches it while sending."
        ));
    }
    let places: Vec<String> = worst
        .iter()
        .map(|(p, v)| format!("the {} {v:.0} V", words::place(*p)))
        .collect();
    if !places.is_empty() {
        list.push(format!("Burns while sending: {}.", places.join(", ")));
    }
    list
}

fn feed(source: &Source<'_>, hung: (usize, usize), freq_mhz: f64) -> Option<FeedForecast> {
    let antenna = hung_at(source, hung)?;
    if antenna.kind.is_declared() {
        return None;
    }
    let site = source.outing.sites.get(hung.0)?;
    let solved = solved_in(source.store, antenna, site.ground.constants(), freq_mhz).ok()?;
    feed_of(&source.outing.kit, antenna, freq_mhz, &solved).ok()
}

/// The lowest channel of each band that the antenna serves, MHz: the same that the feed report takes.
fn bands(source: &Source<'_>, hung: (usize, usize)) -> Vec<f64> {
    let Some(antenna) = hung_at(source, hung) else {
        return Vec::new();
    };
    let channels = source.outing.stations.iter().flat_map(|s| &s.channels);
    let mut freqs: Vec<f64> = channels.map(|c| c.freq_mhz).filter(|f| antenna.serves(*f)).collect();
    freqs.sort_by(f64::total_cmp);
    let mut lowest: Vec<f64> = Vec::new();
    for freq_mhz in freqs {
        if !lowest.last().is_some_and(|low| same_band(freq_mhz, *low)) {
            lowest.push(freq_mhz);
        }
    }
    lowest
}

fn tuner_row(letter: char, freq_mhz: f64, forecast: &FeedForecast) -> TunerRow {
    let answer = &forecast.answer;
    let finite = |swr: f64| swr.is_finite().then_some(swr);
    let by_hand = matches!(forecast.chain.tuner, Tuner::HandL(_) | Tuner::HandT(_));
    let chosen = answer.tuner.chosen().setting;
    TunerRow {
        letter,
        mhz: format!("{freq_mhz:.2}"),
        bare_swr: words::swr(finite(answer.without_tuner.swr)),
        swr: words::swr(finite(answer.power.swr)),
        matched: answer.matched,
        lost_db: format!("{:.1}", answer.power.loss_db.max(0.0)),
        radiated: words::watts(answer.power.radiated_w),
        setting: (by_hand && chosen != Setting::Bypass).then(|| words::setting(&chosen)),
    }
}
