//! The feed as text of at most 80 columns, the answer first.

use std::fmt::Write as _;

use crate::feed::view::{FeedBandView, FeedGroupView, FeedView, SpreadView};
use crate::feed::words;
use crate::wrap::paragraph;

/// The whole text; `details` adds the working of each band.
#[must_use]
pub fn feed_text(view: &FeedView, details: bool) -> String {
    let mut out = paragraph(&view.answer, "", "");
    for group in &view.groups {
        one(&mut out, group, details);
    }
    out.push_str("\nTuning\n");
    out.push_str(&paragraph(&format!("{}.", view.tuning.join("; ")), "  ", "  "));
    out.push_str("\nWhat it rests on\n");
    for line in &view.basis {
        out.push_str(&paragraph(line, "- ", "  "));
    }
    if !details {
        let more = "`--antenna ID` shows the working of one antenna, `--json` of all.";
        out.push_str(&paragraph(more, "- ", "  "));
    }
    out
}

/// The answer for all groups in one sentence.
#[must_use]
pub fn answer(groups: &[FeedGroupView]) -> String {
    let bands: Vec<(&FeedGroupView, &FeedBandView)> = groups
        .iter()
        .flat_map(|g| g.bands.iter().map(move |b| (g, b)))
        .collect();
    let matched = bands.iter().filter(|(_, b)| b.matched).count();
    let loss = bands
        .iter()
        .max_by(|a, b| a.1.loss.total_db.total_cmp(&b.1.loss.total_db))
        .map_or(String::new(), |(group, band)| {
            format!(
                " Most is lost with {} at {} on {:.2} MHz: {:.1} dB.",
                group.antenna_name, group.site_name, band.freq_mhz, band.loss.total_db
            )
        });
    if matched == bands.len() {
        let all = if matched == 1 {
            "It matches.".into()
        } else {
            format!("All {matched} cases match.")
        };
        return format!("{all}{loss}");
    }
    let missing: Vec<String> = groups.iter().filter_map(unmatched).collect();
    format!(
        "{matched} of {} cases match; not {}.{loss}",
        bands.len(),
        missing.join("; nor ")
    )
}

fn unmatched(group: &FeedGroupView) -> Option<String> {
    let missing = group.bands.iter().filter(|b| !b.matched);
    let freqs: Vec<String> = missing.map(|b| format!("{:.2}", b.freq_mhz)).collect();
    let place = format!("{} at {}", group.antenna_name, group.site_name);
    (!freqs.is_empty()).then(|| format!("{place} on {} MHz", freqs.join(", ")))
}

fn one(out: &mut String, group: &FeedGroupView, details: bool) {
    out.push('\n');
    let head = format!("{} at {}: {}", group.antenna_name, group.site_name, group.way);
    out.push_str(&paragraph(&head, "", "  "));
    if !group.bands.is_empty() {
        table(out, group);
    }
    for band in &group.bands {
        lines(out, band, details);
    }
    for failed in &group.failed {
        out.push_str(&paragraph(&format!("Not computed: {failed}"), "  ", "    "));
    }
}

fn table(out: &mut String, group: &FeedGroupView) {
    let heads = [
        [
            "",
            "at antenna",
            "at tuner",
            "SWR",
            "SWR off",
            "SWR",
            "lost",
            "lost",
            "lost",
            "power",
        ],
        [
            "MHz", "ohm", "ohm", "bare", "a bit", "tuned", "line", "trafo", "tuner", "out",
        ],
    ];
    for head in heads {
        row(out, &head.map(str::to_owned));
    }
    for band in &group.bands {
        let off = band
            .robustness
            .as_ref()
            .map_or("-".into(), |r| range(&r.swr_without_tuner));
        row(
            out,
            &[
                format!("{:.2}", band.freq_mhz),
                words::ohms(band.antenna.r_ohm, band.antenna.x_ohm),
                words::ohms(band.at_tuner.r_ohm, band.at_tuner.x_ohm),
                short_swr(band.swr_without_tuner),
                off,
                short_swr(band.swr),
                tenths(band.loss.line_db),
                tenths(band.loss.transformer_db),
                tenths(band.loss.tuner_db),
                words::watts(band.power.radiated_w),
            ],
        );
    }
}

fn row(out: &mut String, cells: &[String; 10]) {
    let [
        mhz,
        antenna,
        tuner,
        bare,
        off,
        tuned,
        line,
        transformer,
        in_tuner,
        power,
    ] = cells;
    let _ = writeln!(
        out,
        "{mhz:>6} {antenna:>12} {tuner:>12}{bare:>6} {off:>8}{tuned:>6}{line:>6}{transformer:>6}{in_tuner:>6} {power:>7}"
    );
}

/// An SWR for a narrow column.
fn short_swr(value: Option<f64>) -> String {
    match value {
        Some(swr) if swr < 99.5 => words::swr(Some(swr)),
        _ => "99+".into(),
    }
}

/// No "-0.0".
fn tenths(value_db: f64) -> String {
    format!("{:.1}", value_db.max(0.0))
}

/// `9-16`.
fn range(spread: &SpreadView) -> String {
    format!("{}-{}", short_swr(spread.p10), short_swr(spread.p90))
}

fn lines(out: &mut String, band: &FeedBandView, details: bool) {
    let indent = "           ";
    let first = format!("{:>6.2} MHz ", band.freq_mhz);
    out.push_str(&paragraph(&band.sentence, &first, indent));
    if !band.cautions.is_empty() {
        let said = format!("Mind: {}.", band.cautions.join("; "));
        out.push_str(&paragraph(&said, indent, indent));
    }
    if details {
        for line in working(band) {
            out.push_str(&paragraph(&line, indent, indent));
        }
    }
}

fn working(band: &FeedBandView) -> Vec<String> {
    let mut lines = vec![format!(
        "Tuner: {}; after it {} ohm; SWR {} at best. Lost {:.2} dB in all. With the tuner straight through: {} radiated.",
        band.tuner.words,
        words::ohms(band.after_tuner.r_ohm, band.after_tuner.x_ohm),
        words::swr(band.best_swr),
        band.loss.total_db.max(0.0),
        words::watts(band.power.radiated_without_tuner_w)
    )];
    lines.push(format!(
        "Power: {} set, {} sent, {} taken, {} into the antenna, of which it radiates {} %.",
        words::watts(band.power.setting_w),
        words::watts(band.power.forward_w),
        words::watts(band.power.taken_w),
        words::watts(band.power.into_antenna_w),
        crate::numbers::share_words(band.efficiency)
    ));
    let stress = |s: &crate::feed::view::StressView| format!("{} {:.0} V {:.2} A", s.part, s.volts_rms, s.amps_rms);
    let stresses: Vec<String> = band.stresses.iter().map(stress).collect();
    lines.push(format!("Bears (rms): {}.", stresses.join(", ")));
    match (&band.robustness, &band.robustness_failed) {
        (Some(r), _) => lines.push(format!(
            "When things are a bit off (10 to 90 %): SWR {} bare, {} tuned, {} with the tuner left alone.",
            range(&r.swr_without_tuner),
            range(&r.swr_tuned),
            range(&r.swr_left_alone)
        )),
        (None, Some(why)) => lines.push(format!("No spread is known: {why}.")),
        (None, None) => {}
    }
    for advice in &band.advice {
        let swr = words::swr(advice.swr);
        let radiated = words::watts(advice.radiated_w);
        lines.push(format!("Or: {}: SWR {swr}, {radiated} radiated.", advice.words));
    }
    lines
}
