//! Antennas as they hang at their sites, with what to draw.

use farhop_antenna::templates::Built;
use farhop_outing::Antenna;
use farhop_plan::engine::{axis_bearing_deg, built_at};
use farhop_show::plan_view::declination_deg;

use super::hang;
use super::windows::WindowRow;
use crate::source::Source;

/// One antenna at one site.
#[derive(Clone, Debug)]
pub struct AntennaRow {
    /// The letter by which tables name it.
    pub letter: char,
    /// Index of the site and of the kit's antenna.
    pub hung: (usize, usize),
    /// Name of the antenna.
    pub name: String,
    /// Name of the site.
    pub site: String,
    /// Wires, supports, measures; none where its behaviour is declared or cannot be built.
    pub built: Option<Built>,
    /// Frequency for which it is drawn, MHz.
    pub freq_mhz: f64,
    /// Bearing along which it runs, degrees true; none where the operator turns it as suits.
    pub azimuth_true_deg: Option<f64>,
    /// Bearing to the station of its most needed window, degrees true.
    pub toward_true_deg: f64,
    /// Callsign of that station.
    pub toward: String,
    /// How to hang it, in short sentences.
    pub hang: Vec<String>,
    /// What to mind with this antenna.
    pub cautions: Vec<String>,
}

/// Letters for antennas; more than these are drawn on no card.
const LETTERS: &str = "ABCDEFGHJKLMNPQRSTUVWXYZ";

/// The antennas of the windows, in the order of need.
#[must_use]
pub fn rows(source: &Source<'_>, windows: &[WindowRow]) -> Vec<AntennaRow> {
    let mut seen: Vec<(usize, usize)> = Vec::new();
    let mut rows = Vec::new();
    for window in windows {
        if seen.contains(&window.hung) {
            continue;
        }
        let Some(letter) = LETTERS.chars().nth(seen.len()) else {
            break;
        };
        seen.push(window.hung);
        rows.extend(row(source, windows, window, letter));
    }
    rows
}

/// The antenna as it hangs at a site.
#[must_use]
pub fn hung_at<'a>(source: &Source<'a>, (site, antenna): (usize, usize)) -> Option<&'a Antenna> {
    let place = source.outing.sites.get(site)?;
    let plain = source.outing.kit.antennas.get(antenna)?;
    Some(place.antennas.iter().find(|own| own.id == plain.id).unwrap_or(plain))
}

fn row(source: &Source<'_>, windows: &[WindowRow], window: &WindowRow, letter: char) -> Option<AntennaRow> {
    let antenna = hung_at(source, window.hung)?;
    let site = source.outing.sites.get(window.hung.0)?;
    let freq_mhz = window.freq_mhz;
    let declination = declination_deg(&source.plan.setting.field, site);
    let mine = windows.iter().filter(|w| w.hung == window.hung);
    let freqs_mhz: Vec<f64> = mine.map(|w| w.freq_mhz).collect();
    let azimuth_true_deg = axis_bearing_deg(antenna);
    let facts = hang::Facts {
        antenna,
        ground: site.ground.constants(),
        kit: &source.outing.kit,
        azimuth_true_deg,
        declination_deg: declination,
        units: source.reader.units,
    };
    let keep = source.keep_away.iter().filter(|k| (k.site, k.antenna) == window.hung);
    let mut cautions: Vec<String> = keep.map(|k| k.words.clone()).collect();
    cautions.extend(super::tuner::burns(source, window.hung, &freqs_mhz));
    Some(AntennaRow {
        letter,
        hung: window.hung,
        name: antenna.name.clone(),
        site: site.name.clone(),
        built: built_at(antenna, site.ground.constants(), freq_mhz).ok(),
        freq_mhz,
        azimuth_true_deg,
        toward_true_deg: window.bearing_true_deg,
        toward: window.callsign.clone(),
        hang: hang::sentences(&facts, &freqs_mhz),
        cautions,
    })
}
