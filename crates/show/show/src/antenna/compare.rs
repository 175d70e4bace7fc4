//! Antennas side by side on each band, ranked for near or for far.

use farhop_num::maths;
use std::fmt::Write as _;

use serde::Serialize;

use crate::antenna::view::AntennaView;
use crate::numbers::{rounded, share_words};
use crate::wrap::paragraph;

/// For what the antennas are ranked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Aim {
    /// Near-vertical: the mean gain at 60° to 90°.
    Near,
    /// Low angles: the mean gain at 10° to 30°.
    Far,
}

/// One antenna on one band with its figure.
#[derive(Clone, Debug, Serialize)]
pub struct RankView {
    /// Frequency, MHz.
    pub freq_mhz: f64,
    /// Rank on that frequency, from 1.
    pub rank: usize,
    /// Id of the antenna.
    pub antenna: String,
    /// Mean power gain over the angles that count, dBi.
    pub gain_dbi: f64,
    /// Efficiency (dimensionless).
    pub efficiency: f64,
}

/// The ranking on every band.
#[must_use]
pub fn ranking(views: &[AntennaView], aim: Aim) -> Vec<RankView> {
    let mut freqs: Vec<f64> = views.iter().flat_map(|v| v.bands.iter().map(|b| b.freq_mhz)).collect();
    freqs.sort_by(f64::total_cmp);
    freqs.dedup();
    freqs.iter().flat_map(|freq| ranks_on(views, aim, *freq)).collect()
}

fn ranks_on(views: &[AntennaView], aim: Aim, freq_mhz: f64) -> Vec<RankView> {
    let angles = match aim {
        Aim::Near => 60.0..=90.0,
        Aim::Far => 10.0..=30.0,
    };
    let mut ranks: Vec<RankView> = views
        .iter()
        .filter_map(|view| {
            let band = view.bands.iter().find(|b| b.freq_mhz == freq_mhz)?;
            let counted: Vec<f64> = band
                .gain
                .iter()
                .filter(|g| angles.contains(&g.elevation_deg))
                .map(|g| maths::exp10(g.mean_dbi / 10.0))
                .collect();
            let mean = counted.iter().sum::<f64>() / counted.len().max(1) as f64;
            Some(RankView {
                freq_mhz,
                rank: 0,
                antenna: view.antenna.clone(),
                gain_dbi: rounded(10.0 * maths::log10(mean), 2),
                efficiency: band.efficiency,
            })
        })
        .collect();
    ranks.sort_by(|a, b| b.gain_dbi.total_cmp(&a.gain_dbi).then(a.antenna.cmp(&b.antenna)));
    for (index, rank) in ranks.iter_mut().enumerate() {
        rank.rank = index + 1;
    }
    ranks
}

/// The ranking as text: the best on each band in one sentence, then all.
#[must_use]
pub fn ranking_text(ranks: &[RankView], aim: Aim) -> String {
    let (word, what) = match aim {
        Aim::Near => ("near", "60° to 90°"),
        Aim::Far => ("far", "10° to 30°"),
    };
    let mut best: Vec<(&str, Vec<String>)> = Vec::new();
    for rank in ranks.iter().filter(|r| r.rank == 1) {
        let freq = format!("{:.1}", rank.freq_mhz);
        match best.iter_mut().find(|(antenna, _)| *antenna == rank.antenna) {
            Some((_, freqs)) => freqs.push(freq),
            None => best.push((&rank.antenna, vec![freq])),
        }
    }
    let best: Vec<String> = best
        .iter()
        .map(|(antenna, freqs)| format!("{antenna} on {} MHz", freqs.join(", ")))
        .collect();
    let mut out = paragraph(&format!("Best for {word}: {}.", best.join("; ")), "", "");
    let _ = writeln!(out, "\n   MHz  rank  antenna                    gain   radiated");
    for rank in ranks {
        let _ = writeln!(
            out,
            "{:>6.2} {:>5}  {:<20} {:>6.1} dBi {:>8} %",
            rank.freq_mhz,
            rank.rank,
            rank.antenna.chars().take(20).collect::<String>(),
            rank.gain_dbi,
            share_words(rank.efficiency)
        );
    }
    let note = format!(
        "Note: gain is the mean at {what} above the horizon and around the compass, with all losses of wire, coils and ground; what tuner, transformer and line take comes on top."
    );
    let _ = writeln!(out);
    out.push_str(&paragraph(&note, "", "  "));
    out
}
