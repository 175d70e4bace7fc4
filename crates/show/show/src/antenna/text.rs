//! What is said of an antenna on its bands.

use std::fmt::Write as _;

use crate::antenna::view::{AntennaView, BandView, LISTED_ELEVATIONS_DEG};
use crate::document::{Column, Document, Figure, Table};
use crate::numbers::share_words;

/// Gain toward the zenith from which an antenna counts as good for short paths, dBi (a judgement).
pub(crate) const GOOD_NEAR_DBI: f64 = -3.0;
/// Gain at 20° from which an antenna counts as good for long paths, dBi (a judgement).
pub(crate) const GOOD_FAR_DBI: f64 = -5.0;

/// The whole report.
#[must_use]
pub fn antenna_document(view: &AntennaView) -> Document {
    let mut doc = Document::new(answer(view));
    doc.section("place", "");
    doc.say(place(view));
    if !view.bands.is_empty() {
        gains(&mut doc, view);
        patterns(&mut doc, view);
        feeds(&mut doc, view);
    }
    notes(&mut doc, view);
    doc
}

/// One sentence: what it is good for on each band.
fn answer(view: &AntennaView) -> String {
    if view.bands.is_empty() {
        return format!("{}: nothing can be said of it.", view.name);
    }
    let words = [
        (true, true, "good for near and far"),
        (true, false, "good for near"),
        (false, true, "good for far"),
        (false, false, "weak"),
    ];
    let parts: Vec<String> = words
        .iter()
        .filter_map(|(near, far, word)| {
            let named: Vec<String> = view
                .bands
                .iter()
                .filter(|b| good_near(b) == *near && good_far(b) == *far)
                .map(|b| format!("{:.1}", b.freq_mhz))
                .collect();
            (!named.is_empty()).then(|| format!("{word} on {} MHz", named.join(", ")))
        })
        .collect();
    format!("{}: {}.", view.name, parts.join("; "))
}

fn good_near(band: &BandView) -> bool {
    band.zenith_dbi >= GOOD_NEAR_DBI
}

fn good_far(band: &BandView) -> bool {
    band.gain
        .iter()
        .any(|g| g.elevation_deg == 20.0 && g.best_dbi >= GOOD_FAR_DBI)
}

fn place(view: &AntennaView) -> String {
    let direction = match view.azimuth_true_deg {
        Some(azimuth) => format!("running toward {azimuth:.0}° true"),
        None => "turned as suits".to_owned(),
    };
    format!("{} ({}) over {}, {direction}.", view.name, view.kind, view.place)
}

/// Impedance, efficiency and gain by angle.
fn gains(doc: &mut Document, view: &AntennaView) {
    doc.section("gains", "Gain in dBi at its best bearing, by angle above the horizon");
    let mut columns = ["MHz", "R ohm", "X ohm", "radiated"].map(Column::number).to_vec();
    let angles = LISTED_ELEVATIONS_DEG.iter().rev();
    columns.extend(angles.map(|elevation| Column::number(&format!("{elevation:.0}°"))));
    let mut table = Table::new(columns);
    for band in &view.bands {
        let mut cells = vec![
            format!("{:.2}", band.freq_mhz),
            ohms(band.r_ohm),
            format!("{:.0}", band.x_ohm),
            format!("{} %", share_words(band.efficiency)),
        ];
        cells.extend(band.gain.iter().rev().map(|gain| dbi(gain.best_dbi)));
        table.row(cells);
    }
    doc.table(table);
}

fn ohms(value: f64) -> String {
    if value < 9.95 {
        format!("{value:.2}")
    } else {
        format!("{value:.0}")
    }
}

/// Whole decibels; no figure for what is a null.
fn dbi(value: f64) -> String {
    if value <= -40.0 {
        "null".into()
    } else {
        // No "-0".
        format!("{:.0}", value.round() + 0.0)
    }
}

/// Bands beside each other in one drawing.
const DRAWN_TOGETHER: usize = 5;
/// Decibels that one block of a bar stands for, and the gain at its foot, dBi.
const BLOCK_DB: f64 = 2.5;
const FOOT_DBI: f64 = -20.0;

/// Elevation cuts as bars, the bands side by side.
fn patterns(doc: &mut Document, view: &AntennaView) {
    doc.section(
        "patterns",
        "Pattern from straight up to the horizon; a block is 2.5 dB, from -20 dBi",
    );
    let mut out = String::new();
    for bands in view.bands.chunks(DRAWN_TOGETHER) {
        let mut head = " ".repeat(5);
        for band in bands {
            let _ = write!(head, "{:<15}", format!("{:.2} MHz", band.freq_mhz));
        }
        let _ = writeln!(out, "{}", head.trim_end());
        for (index, elevation) in LISTED_ELEVATIONS_DEG.iter().enumerate().rev() {
            let mut line = format!("{:>3}° ", elevation);
            for band in bands {
                let gain = band.gain.get(index).map_or(FOOT_DBI, |g| g.best_dbi);
                let _ = write!(line, "{:<15}", bar(gain));
            }
            let _ = writeln!(out, "{}", line.trim_end());
        }
    }
    doc.figure(Figure {
        svg: String::new(),
        letters: out,
        caption: String::new(),
    });
}

fn bar(gain_dbi: f64) -> String {
    let blocks = ((gain_dbi - FOOT_DBI) / BLOCK_DB).round().clamp(0.0, 14.0) as usize;
    if blocks == 0 { "·".into() } else { "█".repeat(blocks) }
}

/// What the line sees, and where the power goes.
fn feeds(doc: &mut Document, view: &AntennaView) {
    doc.section("feeds", "What the line sees, and where the power goes");
    let heads = [
        "MHz",
        "SWR on 50 ohm",
        "width at SWR 2",
        "sky",
        "ground",
        "wire",
        "coils, caps",
    ];
    let mut table = Table::new(heads.map(Column::number));
    for band in &view.bands {
        let percent = |share: f64| format!("{:.0} %", (share * 100.0).max(0.0));
        table.row([
            format!("{:.2}", band.freq_mhz),
            band.swr_50_ohm.map_or("matched".into(), swr),
            band.width_swr2_khz.map_or("-".into(), |w| format!("{w:.0} kHz")),
            format!("{} %", share_words(band.efficiency)),
            percent(band.lost_in_ground),
            percent(band.lost_in_wire),
            percent(band.lost_in_loads),
        ]);
    }
    doc.table(table);
    if view.feed_ratio != 1.0 {
        doc.say(format!(
            "(behind its {:.0}:1 transformer, as if that had no loss)",
            view.feed_ratio
        ));
    }
    hazards(doc, view);
}

fn swr(value: f64) -> String {
    if value >= 100.0 {
        "over 99".into()
    } else {
        format!("{value:.1}")
    }
}

/// Kilovolts stand beside the part that bears them.
fn hazards(doc: &mut Document, view: &AntennaView) {
    let mut lines = Vec::new();
    for band in &view.bands {
        for (v, a) in band
            .load_rms_v
            .iter()
            .zip(&band.load_rms_a)
            .filter(|(v, _)| **v >= farhop_feed::Limits::USUAL.touch_volts_rms)
        {
            lines.push(format!("{v:.0} V and {a:.1} A rms on {:.2} MHz", band.freq_mhz));
        }
    }
    if lines.is_empty() {
        return;
    }
    let text = format!(
        "with {} W the coil or capacitor bears {}. It burns and arcs: nobody touches it while sending.",
        view.power_w,
        lines.join(", ")
    );
    doc.note(format!("Caution: {text}"));
}

fn notes(doc: &mut Document, view: &AntennaView) {
    doc.section("notes", "");
    for (note, bands) in gathered(view) {
        let which = if bands.is_empty() {
            String::new()
        } else {
            format!("{} MHz: ", bands.join(", "))
        };
        doc.note(format!("Note: {which}{}.", note.trim_end_matches('.')));
    }
    doc.note(measures());
    for failed in &view.failed {
        doc.note(format!("Not computed: {}.", failed.trim_end_matches('.')));
    }
    doc.note("Caution: wire ends and feed burn while sending; keep all of it away from power lines and people; lower it when thunder is heard.");
}

/// What near and far mean here.
fn measures() -> String {
    format!(
        "Note: near means at least {GOOD_NEAR_DBI:.0} dBi straight up, far at least {GOOD_FAR_DBI:.0} dBi at 20° (a judgement)."
    )
}

/// Notes once each, with the bands that they belong to.
fn gathered(view: &AntennaView) -> Vec<(&str, Vec<String>)> {
    let mut said: Vec<(&str, Vec<String>)> = view.notes.iter().map(|n| (n.as_str(), Vec::new())).collect();
    for band in &view.bands {
        for note in &band.notes {
            let freq = format!("{:.1}", band.freq_mhz);
            match said.iter_mut().find(|(known, _)| *known == note) {
                Some((_, bands)) => bands.push(freq),
                None => said.push((note, vec![freq])),
            }
        }
    }
    for (_, bands) in &mut said {
        if bands.len() == view.bands.len() {
            bands.clear();
        }
    }
    said
}
