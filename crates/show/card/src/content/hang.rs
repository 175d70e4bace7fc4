//! How an antenna is hung, in a few short sentences.

use farhop_earth::GroundConstants;
use farhop_outing::antenna::LinkedDipole;
use farhop_outing::{Antenna, AntennaKind, Kit};
use farhop_plan::engine::{built_at, feed_ratio};
use farhop_show::reader::Units;

use super::words::{Dial, degrees};

/// What the sentences are made from.
pub struct Facts<'a> {
    /// The antenna as it hangs.
    pub antenna: &'a Antenna,
    /// The ground under it.
    pub ground: GroundConstants,
    /// What is carried.
    pub kit: &'a Kit,
    /// Bearing along which it runs, degrees true.
    pub azimuth_true_deg: Option<f64>,
    /// Declination there, degrees, east positive.
    pub declination_deg: f64,
    /// The units of the reader.
    pub units: Units,
}

impl Facts<'_> {
    fn m(&self, value_m: f64) -> String {
        self.units.length(value_m)
    }
}

/// How it is hung: measures, links for each frequency in MHz, direction, feed.
#[must_use]
pub fn sentences(facts: &Facts<'_>, freqs_mhz: &[f64]) -> Vec<String> {
    let mut list = vec![facts.antenna.kind.told(&|value_m| facts.m(value_m))];
    list.extend(links(facts, freqs_mhz));
    list.push(direction(facts));
    list.extend(feed(facts));
    if facts.antenna.setup_min > 0.0 {
        list.push(format!("Up in about {:.0} min.", facts.antenna.setup_min));
    }
    list
}

/// Which links to open on each band.
fn links(f: &Facts<'_>, freqs_mhz: &[f64]) -> Option<String> {
    let AntennaKind::LinkedDipole(LinkedDipole { leg_lengths_m, .. }) = &f.antenna.kind else {
        return None;
    };
    let whole_m = leg_lengths_m.iter().copied().fold(0.0, f64::max);
    let mut freqs: Vec<f64> = freqs_mhz.to_vec();
    freqs.sort_by(f64::total_cmp);
    let mut said: Vec<(String, Vec<String>)> = Vec::new();
    for freq_mhz in freqs {
        let open = open_leg_m(f, freq_mhz).filter(|leg_m| *leg_m < whole_m);
        let how = open.map_or("all closed".to_owned(), |leg_m| format!("open at {}", f.m(leg_m)));
        let band = Dial::of(f.kit).khz(freq_mhz);
        match said.iter_mut().find(|(h, _)| *h == how) {
            Some((_, bands)) if bands.contains(&band) => {}
            Some((_, bands)) => bands.push(band),
            None => said.push((how, vec![band])),
        }
    }
    let words: Vec<String> = said
        .iter()
        .map(|(how, bands)| format!("{how} for {}", bands.join(", ")))
        .collect();
    Some(format!("Links {}.", words.join("; ")))
}

/// The leg that the engine connects on a frequency in MHz: its drawing measures it, m; none where all links are closed.
fn open_leg_m(f: &Facts<'_>, freq_mhz: f64) -> Option<f64> {
    let built = built_at(f.antenna, f.ground, freq_mhz).ok()?;
    // Both legs and the height of the middle come first; a further measure is that of a leg up to its open link.
    built.drawing.dimensions.get(3).map(|open| open.length_m)
}

fn direction(f: &Facts<'_>) -> String {
    match f.azimuth_true_deg {
        Some(azimuth) => format!(
            "Runs toward {} on the compass ({} true).",
            degrees(azimuth - f.declination_deg),
            degrees(azimuth)
        ),
        None => "Direction as suits: none is stated, the forecast takes the mean.".to_owned(),
    }
}

fn feed(f: &Facts<'_>) -> Option<String> {
    let line = f.antenna.feedline.as_ref().and_then(|id| f.kit.feedline(id.as_str()));
    let line = line.map(|l| format!("{} of feed line", f.m(l.length_m)));
    let ratio = feed_ratio(f.antenna);
    let transformer = match (&f.antenna.transformer, ratio) {
        (Some(_), 1.0) => Some("a 1:1 choke at the feed".to_owned()),
        (None, 1.0) => None,
        _ => Some(format!("a {ratio:.0}:1 transformer at the feed")),
    };
    let parts: Vec<String> = line.into_iter().chain(transformer).collect();
    (!parts.is_empty()).then(|| format!("{}.", sentence(&parts.join(", "))))
}

fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
