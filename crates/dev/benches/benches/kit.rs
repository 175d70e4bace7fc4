//! How fast a kit is worked out: the bar is 20 ms for everything that is asked of a kit of some 30 parts with 8 candidates.

use divan::{Bencher, black_box};
use farhop_kit::fault::{Case, Evidence, Setup, Symptom};
use farhop_kit::packing::{cross_check, packing_list};
use farhop_kit::spares::{Limits, additions, best_spares, in_steps, leave_together, what_can_stay};
use farhop_kit::{
    Chances, Circumstances, CutSets, Kit, Model, Outside, PerAvailable, Structure, changeover_loss_min, importance,
    single_points,
};
use farhop_lots::{random_station, sample};

fn main() {
    divan::main();
}

/// The first random station with at least this many parts and exactly this many candidates.
fn station(parts: usize, candidates: usize, share: f64) -> Kit {
    (0..10_000)
        .map(|seed| random_station(seed, share).unwrap())
        .find(|k| k.parts().len() >= parts && k.candidates().count() == candidates)
        .unwrap()
}

fn usual(kit: &Kit) -> Chances {
    Chances::of(kit, &Circumstances::default()).unwrap()
}

/// Sky by three antennas, as the plan asks it.
fn outside(kit: &Kit) -> Outside {
    let antennas: Vec<&str> = kit
        .parts()
        .iter()
        .filter(|p| p.carried && p.id.as_str().contains("wire"))
        .map(|p| p.id.as_str())
        .collect();
    let sky = |a: &[bool]| a.iter().filter(|x| **x).count() as f64 / (1 + a.len()) as f64;
    Outside {
        energy: PerAvailable::constant(0.9).unwrap(),
        sky: PerAvailable::new(kit, &antennas, sky).unwrap(),
    }
}

/// Chance, cut sets, single points, importance, best spares, steps, marginal list, what can stay, packing, changeovers.
#[divan::bench]
fn whole_analysis(bencher: Bencher) {
    let kit = station(30, 8, 0.35);
    bencher.bench_local(|| {
        let kit = black_box(&kit);
        let chances = usual(kit);
        let model = Model::new(kit, &chances, &outside(kit)).unwrap();
        let structure = Structure::new(kit, &kit.carried()).unwrap();
        let cuts = CutSets::of(&structure, 4).unwrap();
        let limits = Limits::mass(1.0);
        let choice = best_spares(&model, &limits).unwrap();
        let list = packing_list(kit, &choice.parts);
        (
            model.explained(&kit.carried()).unwrap(),
            single_points(kit),
            importance(kit, &structure, &chances, &cuts).unwrap(),
            in_steps(&model, &choice),
            additions(&model, &limits).unwrap(),
            what_can_stay(&model, 2.0).unwrap(),
            leave_together(&model, 2.0).unwrap(),
            cross_check(&list),
            changeover_loss_min(kit, &chances).unwrap(),
        )
    });
}

/// The best of 2^20 sets of spares under a limit that takes about half of them.
#[divan::bench]
fn best_of_twenty_candidates(bencher: Bencher) {
    let kit = station(38, 20, 0.9);
    let model = Model::new(&kit, &usual(&kit), &Outside::sure()).unwrap();
    bencher.bench_local(|| best_spares(black_box(&model), &Limits::mass(2.5)).unwrap());
}

/// Ten thousand draws, the rough check.
#[divan::bench]
fn ten_thousand_draws(bencher: Bencher) {
    let kit = station(30, 8, 0.35);
    let chances = usual(&kit);
    bencher.bench_local(|| sample(black_box(&kit), &chances, 10_000, 1));
}

/// Causes, next check and notes for one symptom.
#[divan::bench]
fn diagnosis(bencher: Bencher) {
    let kit = station(30, 8, 0.35);
    let case = Case::new(&kit, &usual(&kit), &Setup::default()).unwrap();
    let evidence = Evidence::reported(&[Symptom::ModemSilent]);
    bencher.bench_local(|| case.diagnose(black_box(&evidence)).unwrap());
}
