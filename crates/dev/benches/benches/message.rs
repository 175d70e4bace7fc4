//! Delivery for all windows of a demonstration outing: 400 windows of 27 components. The bar is 100 ms on one core.

use farhop_message::attempts::Attempts;
use farhop_message::delivery::Ask;
use farhop_message::{
    Component, Fading, FrameCurve, FrameKind, Gateway, Ladder, Link, LinkTable, MinuteVariation, Rung, SnrMixture,
};

fn main() {
    divan::main();
}

fn kind(seconds_s: f64, mid_db: f64) -> FrameKind {
    FrameKind {
        seconds_s,
        pep_over_mean_db: 0.0,
        curve: FrameCurve {
            mid_db,
            scale_db: 1.6,
            floor_fer: 0.0,
        },
    }
}

fn link() -> Link {
    let rung = |net_bps, mid_db| Rung {
        name: String::new(),
        net_bps,
        frame: kind(4.0, mid_db),
    };
    Link::with_defaults(Ladder {
        mode: "bench".into(),
        bandwidth_hz: 500.0,
        fading: Fading::Moderate,
        rungs: vec![
            rung(45.0, -4.0),
            rung(90.0, 0.0),
            rung(170.0, 4.0),
            rung(340.0, 9.0),
            rung(510.0, 15.0),
        ],
        ack: kind(0.8, -4.0),
        call: kind(1.5, -6.0),
    })
}

fn windows() -> Vec<SnrMixture> {
    let component = |window: usize, part: usize| Component {
        weight: 1.0,
        median_snr_forward_db: -20.0 + 0.1 * window as f64 + part as f64,
        median_snr_reverse_db: -10.0 + 0.1 * window as f64 + part as f64,
        sd_signal_db: 6.0,
        sd_noise_forward_db: 5.0 + 0.1 * (part % 3) as f64,
        sd_noise_reverse_db: 7.0,
    };
    let mixture = |window| SnrMixture {
        bandwidth_hz: 500.0,
        components: (0..27).map(|part| component(window, part)).collect(),
    };
    (0..400).map(mixture).collect()
}

fn table() -> LinkTable {
    LinkTable::new(&link(), &[1200.0], MinuteVariation::default(), 60.0).expect("numbers in range")
}

fn deliver_all(table: &LinkTable, windows: &[SnrMixture]) -> f64 {
    let ask = Ask {
        deadline_min: 60.0,
        attempts: Attempts {
            count: 2,
            spacing_min: 20.0,
        },
        gateway: Gateway {
            scan: None,
            ..Gateway::default()
        },
    };
    let prepared = table.prepare(&ask).expect("numbers in range");
    let weights = windows.iter().filter_map(|mixture| table.weights(mixture).ok());
    weights.map(|weights| prepared.deliver(&weights).chance).sum()
}

#[divan::bench]
fn one_table() -> LinkTable {
    table()
}

#[divan::bench]
fn all_windows(bencher: divan::Bencher) {
    let (table, windows) = (table(), windows());
    bencher.bench(|| deliver_all(&table, &windows));
}

#[divan::bench]
fn table_and_all_windows(bencher: divan::Bencher) {
    let windows = windows();
    bencher.bench(|| deliver_all(&table(), &windows));
}
