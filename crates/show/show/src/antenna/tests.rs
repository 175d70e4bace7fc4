//! The text of an antenna with invented figures: layout and words, not the engine.

use super::compare::{Aim, ranking, ranking_text};
use super::text::antenna_document;
use super::view::{AntennaView, BandView, ElevationView, LISTED_ELEVATIONS_DEG};

fn band(freq_mhz: f64, zenith_dbi: f64, tilt_db: f64) -> BandView {
    let gain = LISTED_ELEVATIONS_DEG.iter().map(|e| ElevationView {
        elevation_deg: *e,
        best_dbi: zenith_dbi - tilt_db * (90.0 - e) / 10.0,
        best_bearing_true_deg: None,
        mean_dbi: zenith_dbi - tilt_db * (90.0 - e) / 10.0 - 1.0,
    });
    BandView {
        freq_mhz,
        r_ohm: 0.163,
        x_ohm: -1234.4,
        swr_50_ohm: Some(123.0),
        width_swr2_khz: Some(6.94),
        efficiency: 0.0181,
        lost_in_ground: 0.08,
        lost_in_wire: 0.4,
        lost_in_loads: 0.5,
        zenith_dbi,
        gain: gain.collect(),
        load_rms_v: vec![678.2],
        load_rms_a: vec![5.51],
        matched_by_coupling_loop: false,
        notes: vec!["capacitor tuned to 182.8 pF".into(), "the same everywhere".into()],
    }
}

fn view(name: &str, bands: Vec<BandView>) -> AntennaView {
    AntennaView {
        antenna: name.to_lowercase(),
        name: name.into(),
        kind: "small-loop".into(),
        place: "average ground".into(),
        azimuth_true_deg: Some(60.0),
        feed_ratio: 9.0,
        power_w: 5.0,
        bands,
        failed: vec!["Loop on 3.6 MHz: the capacitor does not reach that far".into()],
        notes: vec!["a note of the whole".into()],
    }
}

#[test]
fn text_reads_from_the_answer_down() {
    let mut second = band(14.1, -2.0, 0.3);
    second.notes.remove(0);
    let text = antenna_document(&view(
        "Loop",
        vec![band(7.05, 2.0, 1.5), second, band(3.6, -90.0, -9.5)],
    ))
    .text();
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    insta::assert_snapshot!(text);
}

#[test]
fn the_better_antenna_of_each_band_comes_first() {
    let views = [
        view("High", vec![band(7.05, 2.0, 3.0), band(14.1, 1.0, 0.0)]),
        view("Low", vec![band(7.05, 0.0, 0.0), band(14.1, 3.0, 1.0)]),
    ];
    let near: Vec<(f64, String)> = ranking(&views, Aim::Near)
        .into_iter()
        .filter(|r| r.rank == 1)
        .map(|r| (r.freq_mhz, r.antenna))
        .collect();
    assert_eq!(near, [(7.05, "low".to_owned()), (14.1, "low".to_owned())]);
    let far = ranking(&views, Aim::Far);
    assert_eq!(far[0].antenna, "low");
    assert_eq!(far[2].antenna, "high");
    let text = ranking_text(&far, Aim::Far);
    assert!(text.starts_with("Best for far: low on 7.0 MHz; high on 14.1 MHz."));
    assert!(text.lines().all(|l| l.chars().count() <= 80));
}
