//! What is said of the feed, the answer first.

use crate::document::{Column, Document, Table};
use crate::feed::view::{FeedBandView, FeedGroupView, FeedView, SpreadView};
use crate::feed::words;

/// The whole report; `details` adds the working of each band.
#[must_use]
pub fn feed_document(view: &FeedView, details: bool) -> Document {
    let mut doc = Document::new(view.answer.clone());
    for group in &view.groups {
        one(&mut doc, group, details);
    }
    doc.section("tuning", "Tuning");
    doc.say(format!("{}.", view.tuning.join("; ")));
    doc.section("basis", "What it rests on");
    doc.items(view.basis.iter().cloned());
    if !details {
        doc.item("`--antenna ID` shows the working of one antenna, `--json` of all.");
    }
    doc
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

fn one(doc: &mut Document, group: &FeedGroupView, details: bool) {
    doc.section(
        "group",
        format!("{} at {}: {}", group.antenna_name, group.site_name, group.way),
    );
    doc.table(table(group));
    for band in &group.bands {
        lines(doc, band, details);
    }
    for failed in &group.failed {
        doc.note(format!("Not computed: {failed}"));
    }
}

fn table(group: &FeedGroupView) -> Table {
    let heads = [
        "\nMHz",
        "at antenna\nohm",
        "at tuner\nohm",
        "SWR\nbare",
        "SWR off\na bit",
        "SWR\ntuned",
        "lost\nline",
        "lost\ntrafo",
        "lost\ntuner",
        "power\nout",
    ];
    let mut table = Table::new(heads.map(Column::number));
    for band in &group.bands {
        let off = band
            .robustness
            .as_ref()
            .map_or("-".into(), |r| range(&r.swr_without_tuner));
        table.row([
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
        ]);
    }
    table
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

fn lines(doc: &mut Document, band: &FeedBandView, details: bool) {
    let mut said = vec![band.sentence.clone()];
    if !band.cautions.is_empty() {
        said.push(format!("Mind: {}.", band.cautions.join("; ")));
    }
    if details {
        said.extend(working(band));
    }
    doc.item(format!("{:.2} MHz: {}", band.freq_mhz, said.join(" ")));
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
