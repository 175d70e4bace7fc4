//! An antenna on its bands, as text of at most 80 columns.

use std::fmt::Write as _;

use crate::antenna::view::{AntennaView, BandView};
use crate::wrap::paragraph;

/// Voltage across a part from which a burn hazard is named, V rms (common practice: 50 V is the usual touch limit at low
/// frequency; radio-frequency burns begin lower on bare skin, so nothing is called safe below it either).
pub const BURN_V: f64 = 50.0;
/// Gain toward the zenith from which an antenna counts as good for short paths, dBi (a judgement).
const GOOD_NEAR_DBI: f64 = -3.0;
/// Gain at 20° from which an antenna counts as good for long paths, dBi (a judgement).
const GOOD_FAR_DBI: f64 = -5.0;

/// The whole text.
#[must_use]
pub fn antenna_text(view: &AntennaView) -> String {
    let mut out = paragraph(&answer(view), "", "");
    let _ = writeln!(out, "\n{} ({}) over {}\n", view.name, view.kind, view.place);
    let _ = writeln!(
        out,
        "  MHz   R ohm   X ohm   SWR50  efficiency   zenith  60°  40°  20°  10°  (dBi, best way)"
    );
    for band in &view.bands {
        let at = |elevation: f64| {
            band.gain
                .iter()
                .find(|g| g.elevation_deg == elevation)
                .map_or(f64::NAN, |g| g.best_dbi)
        };
        let _ = writeln!(
            out,
            "{:>6.2} {:>7.1} {:>7.0} {:>7} {:>9.1} %  {:>6.1} {:>5.0}{:>5.0}{:>5.0}{:>5.0}",
            band.freq_mhz,
            band.r_ohm,
            band.x_ohm,
            swr(band.swr_50_ohm),
            band.efficiency * 100.0,
            band.zenith_dbi,
            at(60.0),
            at(40.0),
            at(20.0),
            at(10.0)
        );
    }
    patterns(&mut out, view);
    losses(&mut out, view);
    notes(&mut out, view);
    out
}

/// One sentence: what it is good for.
fn answer(view: &AntennaView) -> String {
    let named = |good: &dyn Fn(&BandView) -> bool| -> String {
        let list: Vec<String> = view
            .bands
            .iter()
            .filter(|b| good(b))
            .map(|b| format!("{:.1}", b.freq_mhz))
            .collect();
        if list.is_empty() {
            "nowhere".into()
        } else {
            format!("on {} MHz", list.join(", "))
        }
    };
    let low = |b: &BandView| {
        b.gain
            .iter()
            .any(|g| g.elevation_deg == 20.0 && g.best_dbi >= GOOD_FAR_DBI)
    };
    format!(
        "{}: good straight up (short paths) {}; good at low angles (long paths) {}.",
        view.name,
        named(&|b| b.zenith_dbi >= GOOD_NEAR_DBI),
        named(&low)
    )
}

fn swr(value: f64) -> String {
    if value >= 100.0 {
        "> 99".into()
    } else {
        format!("{value:.1}")
    }
}

/// Elevation cuts as bars: one line an angle, the best way at that angle.
fn patterns(out: &mut String, view: &AntennaView) {
    for band in &view.bands {
        let _ = writeln!(
            out,
            "\n{:.2} MHz, gain by angle above the horizon (one block is 2 dB, from -20 dBi)",
            band.freq_mhz
        );
        for g in band.gain.iter().rev() {
            let blocks = ((g.best_dbi + 20.0) / 2.0).round().clamp(0.0, 16.0) as usize;
            let bar = "█".repeat(blocks);
            let _ = writeln!(out, "  {:>3.0}° {:>6.1} dBi {bar}", g.elevation_deg, g.best_dbi);
        }
    }
}

fn losses(out: &mut String, view: &AntennaView) {
    let _ = writeln!(
        out,
        "\nWhere the power goes, per cent: sky, ground, wire, coils and capacitors"
    );
    for band in &view.bands {
        let _ = writeln!(
            out,
            "{:>6.2} MHz {:>5.1} {:>5.1} {:>5.1} {:>5.1}",
            band.freq_mhz,
            band.efficiency * 100.0,
            band.lost_in_ground * 100.0,
            band.lost_in_wire * 100.0,
            band.lost_in_loads * 100.0
        );
        for (v, a) in band.load_rms_v.iter().zip(&band.load_rms_a) {
            if *v >= BURN_V {
                let text = format!(
                    "{v:.0} V and {a:.1} A rms at a coil or capacitor with {} W: it burns and arcs, nobody touches it.",
                    view.power_w
                );
                out.push_str(&paragraph(&text, "       Caution: ", "       "));
            }
        }
    }
}

fn notes(out: &mut String, view: &AntennaView) {
    out.push('\n');
    let mut said: Vec<&String> = Vec::new();
    for note in view.notes.iter().chain(view.bands.iter().flat_map(|b| &b.notes)) {
        if !said.contains(&note) {
            said.push(note);
            out.push_str(&paragraph(&format!("Note: {}.", note.trim_end_matches('.')), "", "  "));
        }
    }
    for failed in &view.failed {
        out.push_str(&paragraph(&format!("Not computed: {failed}."), "", "  "));
    }
    out.push_str(&paragraph(
        "Caution: wire ends and feed burn while sending; keep all of it away from power lines and people; lower it when thunder is heard.",
        "",
        "  ",
    ));
}
