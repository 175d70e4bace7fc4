//! How fast the feed is worked out: the bar is 5 ms for the search over 2 × 256 × 256 tuner states of one load.

use divan::{Bencher, black_box};
use farhop_feed::tuner::{AutoTuner, ManualL, ManualLValues, ManualT, ManualTValues};
use farhop_feed::{
    AntennaFeed, Complex64, FeedChain, Limits, Line, LineConstants, LineType, TransformerType, Transmitter, Tuner,
};

fn main() {
    divan::main();
}

/// Low, high, reactive and hopeless loads in turn, so that no branch is always the same.
const LOADS_OHM: [Complex64; 6] = [
    Complex64::new(12.0, -340.0),
    Complex64::new(2450.0, 800.0),
    Complex64::new(55.0, 3.0),
    Complex64::new(1.5, -900.0),
    Complex64::new(300.0, 60.0),
    Complex64::new(25.0, 1100.0),
];

fn over_loads<T>(bencher: Bencher, each: impl Fn(Complex64) -> T) {
    let mut next = LOADS_OHM.iter().cycle();
    bencher.bench_local(|| each(*black_box(next.next().unwrap())));
}

/// Both best states out of 131 072.
#[divan::bench]
fn state_search(bencher: Bencher) {
    let tuner = AutoTuner::portable();
    over_loads(bencher, |load_ohm| tuner.search(load_ohm, 7.1).unwrap());
}

/// The hand-set L by numeric optimum.
#[divan::bench]
fn hand_set_l(bencher: Bencher) {
    let tuner = Tuner::HandL(ManualL::new(ManualLValues::typical()).unwrap());
    over_loads(bencher, |load_ohm| tuner.solve(load_ohm, 7.1).unwrap());
}

/// The hand-set T by numeric optimum.
#[divan::bench]
fn hand_set_t(bencher: Bencher) {
    let tuner = Tuner::HandT(ManualT::new(ManualTValues::typical()).unwrap());
    over_loads(bencher, |load_ohm| tuner.solve(load_ohm, 7.1).unwrap());
}

/// Transmitter, tuner, coax, transformer, ladder line, with all figures and cautions.
#[divan::bench]
fn whole_chain(bencher: Bencher) {
    let coax = Line::new(LineConstants::named(LineType::Rg174).unwrap(), 8.0).unwrap();
    let open = Line::new(LineConstants::named(LineType::Ladder450).unwrap(), 5.0).unwrap();
    let transformer = TransformerType::FourToOne.typical();
    let transmitter = Transmitter::typical(5.0).unwrap();
    let chain = FeedChain::tuner_at_radio(
        transmitter,
        Tuner::portable(),
        Some(coax),
        Some(transformer),
        Some(open),
    );
    over_loads(bencher, |impedance_ohm| {
        chain
            .solve(
                7.1,
                AntennaFeed {
                    impedance_ohm,
                    efficiency: 0.5,
                },
                &Limits::USUAL,
            )
            .unwrap()
    });
}
