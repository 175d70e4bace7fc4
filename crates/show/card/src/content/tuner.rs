//! What the tuner will do on each antenna and channel in use, and what burns.

use farhop_feed::Tuner;
use farhop_feed::tuner::Setting;
use farhop_outing::same_band;
use farhop_plan::engine::solved_in;
use farhop_plan::feeding::{FeedForecast, feed_of};
use farhop_show::feed::words;

use super::antennas::{freqs_mhz, hung_at};
use super::{Body, Desk, Panel, Table, letter};
use crate::source::Source;

/// The table for the bands in use; none where no antenna has a feed that can be worked out.
pub(super) fn panel(desk: &Desk<'_>) -> Option<Panel> {
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut by_hand = false;
    for spot in &desk.places {
        for (k, antenna) in spot.antennas.iter().enumerate() {
            for freq_mhz in lowest_of_bands(&freqs_mhz(desk, spot, *antenna)) {
                if let Some(forecast) = feed(desk.source, (spot.site, *antenna), freq_mhz) {
                    let name = format!("{}/{}", spot.letter, letter(k));
                    by_hand |= matches!(forecast.chain.tuner, Tuner::HandL(_) | Tuner::HandT(_));
                    rows.push(row(name, desk.dial().khz(freq_mhz), &forecast));
                }
            }
        }
    }
    let mut heads = vec!["at/wire", "kHz", "SWR", "tuned", "sent"];
    if by_hand {
        heads.push("knobs");
    } else {
        rows.iter_mut().for_each(|r| r.truncate(5));
    }
    (!rows.is_empty()).then_some(Panel {
        heading: Some("TUNER"),
        wide: by_hand,
        body: Body::Table(Table {
            elastic: heads.len() - 1,
            heads,
            rows,
        }),
    })
}

/// What burns, over the frequencies in MHz on which the card uses the antenna: the sentence, if anything does.
pub(super) fn burns(source: &Source<'_>, hung: (usize, usize), freqs_mhz: &[f64]) -> Option<String> {
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
    let mut parts: Vec<String> = Vec::new();
    if own_v >= farhop_feed::Limits::USUAL.touch_volts_rms {
        parts.push(format!("its capacitor or coil {own_v:.0} V"));
    }
    parts.extend(worst.iter().map(|(p, v)| format!("the {} {v:.0} V", words::place(*p))));
    (!parts.is_empty()).then(|| format!("While sending: {}.", parts.join(", ")))
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

/// The lowest channel of each band, MHz, of channels in order.
fn lowest_of_bands(freqs_mhz: &[f64]) -> Vec<f64> {
    let mut lowest: Vec<f64> = Vec::new();
    for freq_mhz in freqs_mhz {
        if !lowest.last().is_some_and(|low| same_band(*freq_mhz, *low)) {
            lowest.push(*freq_mhz);
        }
    }
    lowest
}

fn row(name: String, khz: String, forecast: &FeedForecast) -> Vec<String> {
    let answer = &forecast.answer;
    let finite = |swr: f64| swr.is_finite().then_some(swr);
    let chosen = answer.tuner.chosen().setting;
    let tuned = words::swr(finite(answer.power.swr));
    vec![
        name,
        khz,
        words::swr(finite(answer.without_tuner.swr)),
        if answer.matched { tuned } else { format!("no: {tuned}") },
        words::watts(answer.power.radiated_w),
        if chosen == Setting::Bypass {
            "straight through".to_owned()
        } else {
            words::setting(&chosen)
        },
    ]
}
