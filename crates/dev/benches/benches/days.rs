//! How long drawn days take on one core, with a warm store: the bars are 150 ms for the demo, 1.5 s for 24 stations over seven days, 100 ms
//! for the next step after one entry and 200 ms after forty.

// The outings are checked by tests; a benchmark has nobody to report to.
#![allow(clippy::unwrap_used)]

use divan::{Bencher, black_box};
use farhop_days::{Evidence, Outcome, Seen, WeighAsk, WeighedDays};
use farhop_energy::simulate;
use farhop_next::{Ask, Step, step};
use farhop_outing::Outing;
use farhop_plan::analysis::Analysis;
use farhop_plan::analysis::analyse;
use farhop_plan::power::energy_with;
use farhop_plan::rehearsal::{RehearsalAsk, rehearse};
use farhop_plan::schedule::{EnergyLimit, Pending};
use farhop_plan::watch::Unwatched;
use farhop_store::kept::solutions::Solutions;
use farhop_store::open::open;
use farhop_trials::made_up::MadeUp;

fn main() {
    // One core: what a small machine has, and what can be compared.
    rayon::ThreadPoolBuilder::new().num_threads(1).build_global().unwrap();
    divan::main();
}

fn demo() -> Outing {
    open(None).unwrap().outing
}

fn plan(outing: &Outing) -> Analysis {
    analyse(outing, &Solutions::of_user(), &Unwatched).unwrap()
}

/// 24 stations from near to far, seven days, five messages.
fn large() -> Outing {
    let station = |k: i32| {
        let (ring, turn) = (f64::from(k / 8), f64::from(k % 8) * std::f64::consts::FRAC_PI_4);
        let away_deg = 1.5 + 4.0 * ring;
        (
            47.0 + away_deg * turn.cos(),
            11.4 + 1.4 * away_deg * turn.sin(),
            0.1,
            0.15,
        )
    };
    let message = |k: u64| {
        let deadline = format!("2027-05-{:02}T18:00", 15 + k);
        (
            format!("m{k}"),
            300 + 900 * k,
            None,
            Some(deadline),
            "normal".to_owned(),
        )
    };
    MadeUp {
        end: "2027-05-21T08:00".to_owned(),
        stations: (0..24).map(station).collect(),
        messages: (0..5).map(message).collect(),
        ..MadeUp::default()
    }
    .outing()
}

/// The demo's whole analysis; the first run fills the store.
#[divan::bench]
fn analysis_demo(bencher: Bencher) {
    let outing = demo();
    plan(&outing);
    bencher.bench_local(|| plan(black_box(&outing)));
}

/// The same for 24 stations and seven days.
#[divan::bench(sample_count = 10)]
fn analysis_24_stations_7_days(bencher: Bencher) {
    let outing = large();
    plan(&outing);
    bencher.bench_local(|| plan(black_box(&outing)));
}

/// The next step after so many calls without an answer, the weighing of the days included.
#[divan::bench(args = [1, 40])]
fn next_after(bencher: Bencher, calls: usize) {
    let outing = demo();
    let plan = plan(&outing);
    let evidence = silent(&plan, calls);
    bencher.bench_local(|| next(black_box(&outing), &plan, &evidence));
}

/// Calls without an answer, four minutes apart, to the stations of the plan's best hours in turn.
fn silent(plan: &Analysis, calls: usize) -> Evidence {
    let begin = plan.stays.first().unwrap().from.add_s(1_800);
    let mut evidence = Evidence::default();
    let of_hour = |at: farhop_earth::UtcTime| {
        let hour_s = at.unix_s().div_euclid(3_600) * 3_600 + 1_800;
        let served = plan
            .responses
            .iter()
            .filter(move |r| r.served && r.at.unix_s() == hour_s);
        served.collect::<Vec<_>>()
    };
    for call in 0..calls {
        let at = begin.add_s(240 * call as i64);
        let open = of_hour(at);
        let response = Box::new((*open[(7 * call) % open.len()]).clone());
        evidence.seen.push(Seen::Call {
            response,
            at,
            outcome: Outcome::NoAnswer,
        });
    }
    evidence
}

fn next(outing: &Outing, plan: &Analysis, evidence: &Evidence) -> Step {
    let axes = &plan.days.days.axes;
    let begin = plan.stays.first().unwrap().from.add_s(1_800);
    let now = begin.add_s(240 * evidence.seen.len() as i64);
    let hours: Vec<usize> = (axes.hour(now)..axes.hours).collect();
    let ask = WeighAsk {
        count: 512,
        seed: 2_026,
        hours: Some(&hours),
        known: &[],
    };
    let days = WeighedDays::after(axes, evidence, &ask);
    let responses: Vec<_> = plan
        .responses
        .iter()
        .filter(|r| r.at >= now.add_s(-1_800))
        .cloned()
        .collect();
    let stays: Vec<_> = plan.stays.iter().copied().filter(|s| s.until > now).collect();
    let pending = Pending::all(outing, now);
    step(&Ask {
        outing,
        days: &days,
        unseen: None,
        tables: &plan.tables,
        responses: &responses,
        stays: &stays,
        elsewhere: &[],
        now,
        pending: &pending,
        energy: EnergyLimit::NONE,
        hanging: plan.antennas.first().copied().flatten(),
        task_until: None,
        thunder_until: None,
        checked: None,
        silent_calls: evidence.seen.len(),
        listened: false,
        last_entry: (!evidence.seen.is_empty()).then_some(now),
        idle_since: now,
    })
}

/// The energy of the demo without calls: sixty scenarios.
#[divan::bench]
fn energy_demo(bencher: Bencher) {
    let forecast = energy_with(&demo(), Vec::new()).unwrap();
    bencher.bench_local(|| simulate(black_box(&forecast.outing)));
}

/// A thousand fresh days of the demo played.
#[divan::bench]
fn thousand_days_demo(bencher: Bencher) {
    let outing = demo();
    let plan = plan(&outing);
    let ask = RehearsalAsk { days: 1_000, seed: 1 };
    bencher.bench_local(|| rehearse(black_box(&outing), &plan, ask).unwrap());
}
