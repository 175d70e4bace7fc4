//! What is said of an antenna's feed on one band.

use farhop_feed::advise::{Advice, AdviceList, Change};
use farhop_feed::{AntennaChange, Robustness, Stage, Tuner};
use farhop_outing::Antenna;
use farhop_plan::Chance;
use farhop_plan::feeding::FeedForecast;

use crate::feed::view::{AdviceView, FeedBandView, StressView, ratio};
use crate::feed::words;
use crate::numbers::rounded;
use crate::reader::Units;

/// Pieces of advice that are kept.
const MOST_ADVICE: usize = 6;

/// All that is known of an antenna's feed on one band.
pub struct BandFacts<'a> {
    /// The antenna.
    pub antenna: &'a Antenna,
    /// The stations' channels for which the frequency stands, MHz.
    pub channels_mhz: &'a [f64],
    /// The feed.
    pub forecast: &'a FeedForecast,
    /// How it fares when things are a bit off, or why that is not known.
    pub spread: Result<&'a Robustness, String>,
    /// What would make it match; none where it matches.
    pub advice: Option<&'a AdviceList>,
    /// What the antenna's model has to say.
    pub notes: &'a [String],
    /// The units of the reader.
    pub units: Units,
}

/// The view of one band.
#[must_use]
pub fn band(facts: &BandFacts<'_>) -> FeedBandView {
    FeedBandView::new(facts)
}

/// One plain sentence: matches or not, what is lost, what is radiated, and what to do about it.
pub(super) fn sentence(facts: &BandFacts<'_>, advice: &[AdviceView]) -> String {
    let answer = &facts.forecast.answer;
    // As the table has it, so that both round alike.
    let radiated = words::watts(rounded(answer.power.radiated_w, 4));
    if answer.matched {
        let (how, holds) = match facts.forecast.chain.tuner {
            Tuner::None => ("matches by itself at", "holds"),
            _ => ("matches at", "copes"),
        };
        let chance = facts.spread.as_ref().ok().map(|s| Chance::new(s.chance_copes));
        let chance = chance.map_or(String::new(), |c| format!("; {holds} {c}"));
        let swr = words::swr(Some(answer.power.swr));
        // A part without loss may come out a hair below nothing.
        let lost_db = answer.power.loss_db.max(0.0);
        return format!("{how} {swr}, {lost_db:.1} dB lost, {radiated} radiated{chance}");
    }
    let swr = words::swr(ratio(answer.best_swr()));
    let state = format!("will not match (SWR {swr} at best, {radiated} radiated)");
    let helps: Vec<&AdviceView> = advice.iter().filter(|a| a.matches).take(2).collect();
    match (helps.as_slice(), advice.first()) {
        ([], None) => format!("{state}: no single small change helps"),
        ([], Some(best)) => {
            let swr = words::swr(best.swr);
            format!(
                "{state}: no single small change is enough; what helps most is to {}, for SWR {swr}",
                best.words
            )
        }
        (helps, _) => {
            let what: Vec<&str> = helps.iter().map(|a| a.words.as_str()).collect();
            format!("{state}: {}", what.join(", or "))
        }
    }
}

/// What parts, terminals and the antenna's own coils and capacitors bear.
pub(super) fn stresses(forecast: &FeedForecast) -> Vec<StressView> {
    let answer = &forecast.answer;
    let parts = answer.parts.iter();
    let parts = parts.map(|p| StressView::new(words::part(p.role), [p.volts_rms, p.amps_rms], Some(p.heat_w)));
    let terminals = [
        ("tuner's antenna socket", answer.tuner_terminal),
        ("feed point", answer.feed_point),
    ];
    let terminals = terminals.map(|(name, t)| StressView::new(name, [t.volts_rms, t.amps_rms], None));
    let loads = forecast.loads.iter();
    let own = loads.map(|l| StressView::new("coil or capacitor of the antenna", [l.rms_v, l.rms_a], None));
    parts.chain(terminals).chain(own).collect()
}

/// Cautions once each: a feed point that is also the transformer's antenna side is named once.
pub(super) fn cautions(forecast: &FeedForecast) -> Vec<String> {
    let behind_transformer = matches!(forecast.chain.after_tuner.last(), Some(Stage::Transformer(_)));
    let twice = |c: &&farhop_feed::Caution| {
        let transformer = farhop_feed::Place::TransformerTerminal;
        behind_transformer && matches!(c, farhop_feed::Caution::TouchVoltage { place, .. } if *place == transformer)
    };
    let said = forecast.answer.cautions.iter().filter(|c| !twice(c));
    let own = forecast
        .loads
        .iter()
        .filter(|l| l.rms_v >= farhop_feed::Limits::USUAL.touch_volts_rms)
        .map(|l| {
            format!(
                "the antenna's own coil or capacitor bears {:.0} V and {:.1} A: nobody touches it while sending",
                l.rms_v, l.rms_a
            )
        });
    said.filter_map(words::caution).chain(own).collect()
}

/// The best of each kind of change, best first.
pub(super) fn advice(facts: &BandFacts<'_>) -> Vec<AdviceView> {
    let mut kept: Vec<&Advice> = Vec::new();
    for advice in facts.advice.iter().flat_map(|list| &list.ranked) {
        if kept.len() < MOST_ADVICE && !kept.iter().any(|k| same_kind(&k.change, &advice.change)) {
            kept.push(advice);
        }
    }
    kept.iter().map(|a| AdviceView::new(facts, a)).collect()
}

fn same_kind(a: &Change, b: &Change) -> bool {
    use std::mem::discriminant;
    match (a, b) {
        (Change::Antenna(a), Change::Antenna(b)) => discriminant::<AntennaChange>(a) == discriminant(b),
        _ => discriminant(a) == discriminant(b),
    }
}
