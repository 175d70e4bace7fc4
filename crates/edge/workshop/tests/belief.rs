//! The belief against the plan, against closed forms, and against days whose truth is known.

#![allow(clippy::unwrap_used, reason = "tests")]

use std::sync::LazyLock;

use farhop_outing::Outing;
use farhop_plan::belief::synthetic::SyntheticDay;
use farhop_plan::belief::{Axes, Belief, Draw, Draws, Evidence, Outcome, Pool, Response, Seen, learned};
use farhop_plan::engine::EngineBook;
use farhop_plan::feeding::KitFeed;
use farhop_plan::setting::Setting;
use farhop_plan::strip::Strip;
use farhop_plan::survey::{ResponseAsk, hours_of, respond_pair, stay, survey_pair};
use farhop_workshop::open::open;
use farhop_workshop::solutions::Solutions;

/// The hut of the demo: all routes to all stations, through its whole stay.
struct Scene {
    outing: Outing,
    axes: Axes,
    strips: Vec<Strip>,
    responses: Vec<Response>,
}

static SCENE: LazyLock<Scene> = LazyLock::new(|| {
    let outing = open(None).unwrap().outing;
    let setting = Setting::new(&outing).unwrap();
    let store = Solutions::of_user();
    let feed = KitFeed { kit: &outing.kit };
    let book = EngineBook::new(&store, &feed);
    let axes = Axes::of(&outing);
    let (start, end) = stay(&outing, &outing.sites[1]);
    let hours = hours_of(start, end);
    let (mut strips, mut responses) = (Vec::new(), Vec::new());
    for station in 0..outing.stations.len() {
        let pair = (1, station);
        strips.extend(survey_pair(&outing, &setting, &book, pair).strips);
        let ask = ResponseAsk {
            axes: &axes,
            hours: &hours,
            wanted: &|_, _| true,
        };
        responses.extend(respond_pair(&outing, &setting, &book, pair, &ask));
    }
    Scene {
        axes,
        strips,
        responses,
        outing,
    }
});

fn find(freq_mhz: f64, station: usize, hour: usize) -> &'static Response {
    let near = |r: &&Response| {
        (r.freq_mhz - freq_mhz).abs() < 0.2 && r.route.station == station && r.hour == hour && r.route.antenna == 1
    };
    SCENE.responses.iter().find(near).unwrap()
}

fn call(response: &Response, outcome: Outcome) -> Seen {
    Seen::Call {
        response: Box::new(response.clone()),
        outcome,
    }
}

#[test]
fn all_possible_days_together_are_the_plan() {
    let scene = &*SCENE;
    let days: Vec<Draw> = Draws::new(&scene.axes, 11).take(4_000).collect();
    let mut off: Vec<f64> = Vec::new();
    for strip in &scene.strips {
        for cell in strip.cells.iter().step_by(5) {
            let found = scene
                .responses
                .iter()
                .find(|r| r.route == strip.route && r.at == cell.at);
            let response = found.unwrap();
            let mean = days.iter().map(|d| f64::from(response.both_ways(d, 0.0))).sum::<f64>() / days.len() as f64;
            off.push(mean - cell.chance.probability());
        }
    }
    let mean = off.iter().sum::<f64>() / off.len() as f64;
    let worst = off.iter().fold(0.0f64, |w, o| w.max(o.abs()));
    let size = off.iter().map(|o| o.abs()).sum::<f64>() / off.len() as f64;
    println!(
        "{} cells: mean difference {mean:.4}, mean size {size:.4}, worst {worst:.4}",
        off.len()
    );
    assert!(off.len() > 150);
    // The plan counts the whole of the method's error both ways; the belief counts the own station's part on the way out only, as
    // an antenna's loss takes the noise with the signal. Between nodes it is interpolated. That is worth a few points at most.
    assert!(
        mean.abs() < 0.01 && size < 0.02 && worst < 0.08,
        "{mean} {size} {worst}"
    );
}

#[test]
fn silent_calls_on_80_m_lower_80_m_much_and_40_m_less() {
    let scene = &*SCENE;
    let hour = 7;
    let before = Belief::new(scene.axes.clone(), &Evidence::default(), 1);
    let seen = (0..3)
        .map(|k| call(find(3.59, k % 2, hour + k), Outcome::NoAnswer))
        .collect();
    let after = Belief::new(scene.axes.clone(), &Evidence { seen }, 1);
    let fall = |response: &Response| {
        let both = |b: &Belief| b.mean(|d| f64::from(response.both_ways(d, 0.0)));
        let (was, is) = (both(&before), both(&after));
        (was - is) / was
    };
    let (low, mid) = (fall(find(3.59, 2, hour + 3)), fall(find(7.05, 2, hour + 3)));
    println!(
        "80 m falls by {low:.3}, 40 m by {mid:.3}; effective days {:.0}",
        after.effective
    );
    assert!(low > 2.0 * mid && low > 0.1, "{low} {mid}");
    let findings = after.findings(hour + 3);
    assert!(!findings.is_empty());
}

#[test]
fn the_order_of_entries_does_not_matter() {
    let scene = &*SCENE;
    let mut seen = vec![
        call(find(3.59, 0, 12), Outcome::NoAnswer),
        call(find(7.05, 2, 13), Outcome::HeardButFailed),
        call(
            find(7.05, 0, 14),
            Outcome::Linked {
                reported_snr_db: Some(4.0),
            },
        ),
    ];
    let first = Belief::new(scene.axes.clone(), &Evidence { seen: seen.clone() }, 5);
    seen.reverse();
    let second = Belief::new(scene.axes.clone(), &Evidence { seen }, 5);
    let probe = find(7.05, 2, 16);
    assert!((first.delivers(probe, 0.0) - second.delivers(probe, 0.0)).abs() < 1e-3);
}

#[test]
fn a_measured_fof2_moves_the_day_as_the_normal_distribution_says() {
    let scene = &*SCENE;
    let at = find(7.05, 0, 14).at;
    // Prior N(0, 1), reading z = 1.5 with a spread of 0.06 / 0.12 = 0.5: posterior N(1.2, 0.2) in closed form.
    let seen = vec![Seen::Fof2 {
        at,
        z: 1.5,
        log_sd: 0.12,
    }];
    let belief = Belief::of_size(scene.axes.clone(), &Evidence { seen }, 3, 4_000);
    let hour = scene.axes.hour(at);
    let now = belief.summary(|d| f64::from(d.fof2_z[hour]));
    assert!((now.mean_own_unit - 1.2).abs() < 0.05, "{now:?}");
    assert!((now.sd_own_unit - 0.2f64.sqrt()).abs() < 0.04, "{now:?}");
    // Eight hours later the deviation is down to exp(-1) of it (Ornstein-Uhlenbeck).
    let later = belief.summary(|d| f64::from(d.fof2_z[hour + 8]));
    assert!((later.mean_own_unit - 1.2 * (-1.0f64).exp()).abs() < 0.08, "{later:?}");
}

/// Calls of an operator who goes through the day on what the plan likes, with the truth of the day deciding.
fn a_day(day: &mut SyntheticDay, calls: usize, seed: usize) -> Evidence {
    let scene = &*SCENE;
    let mut seen = Vec::new();
    for k in 0..calls {
        let pick = (seed * 7_919 + k * 104_729 + 13) % scene.responses.len();
        let response = &scene.responses[pick];
        let (outcome, _) = day.call(response);
        seen.push(call(response, outcome));
    }
    Evidence { seen }
}

/// Rank of the truth among the days of the belief, 0 to 1, made uneven by nothing but the sampling itself.
fn rank(belief: &Belief, truth: &Draw, of: &dyn Fn(&Draw) -> f64) -> f64 {
    let value = of(truth);
    belief.mean(|d| f64::from(u8::from(of(d) < value)))
}

#[test]
fn ranks_of_the_truth_are_uniform() {
    // Simulation-based calibration: Talts, Betancourt, Simpson, Vehtari & Gelman 2018, arXiv:1804.06788.
    let scene = &*SCENE;
    let (bins, days) = (8usize, 160u64);
    type Of = fn(&Draw) -> f64;
    let factors: [(&str, Of); 4] = [
        ("own", |d| f64::from(d.own_db)),
        ("fof2", |d| f64::from(d.fof2_z[14])),
        ("absorption", |d| f64::from(d.absorption_z[14])),
        ("band", |d| f64::from(d.band_db[1])),
    ];
    let prior = Pool::new(scene.axes.clone(), 77, 6_000);
    let mut counts = [[0usize; 8]; 4];
    let mut inside = [0usize; 4];
    for seed in 0..days {
        let mut day = SyntheticDay::draw(&scene.axes, 1_000 + seed, 1.0).unwrap();
        let evidence = a_day(&mut day, 8, seed as usize);
        let mut pool = prior.clone();
        evidence.seen.iter().for_each(|s| pool.see(s));
        let belief = pool.belief(500);
        for (index, (_, of)) in factors.iter().enumerate() {
            let r = rank(&belief, &day.truth, of);
            counts[index][((r * bins as f64) as usize).min(bins - 1)] += 1;
            inside[index] += usize::from((0.1..0.9).contains(&r));
        }
    }
    // Chi-square with 7 degrees of freedom: 24.32 is exceeded once in 1000 (table of the distribution).
    let expected = days as f64 / bins as f64;
    for (index, (name, _)) in factors.iter().enumerate() {
        let chi: f64 = counts[index]
            .iter()
            .map(|c| (*c as f64 - expected).powi(2) / expected)
            .sum();
        let covered = inside[index] as f64 / days as f64;
        println!(
            "{name}: chi-square {chi:.1}, 80 % interval holds the truth in {:.0} %",
            100.0 * covered
        );
        assert!(chi < 24.32, "{name}: {:?}", counts[index]);
        // Binomial standard error of 0.8 over 160 days is 0.032: three of them.
        assert!((covered - 0.8).abs() < 0.095, "{name}: {covered}");
    }
}

#[test]
fn what_was_learned_helps_on_the_next_day() {
    // Log score out of sample: the same station, another day, forecast with and without the learned offset.
    let scene = &*SCENE;
    let (mut with, mut without, mut kept) = (0.0, 0.0, 0);
    let prior = Pool::new(scene.axes.clone(), 78, 6_000);
    let days: Vec<Draw> = Draws::new(&scene.axes, 40).take(300).collect();
    for seed in 0..60u64 {
        let mut first = SyntheticDay::draw(&scene.axes, 5_000 + seed, 1.0).unwrap();
        let evidence = a_day(&mut first, 12, seed as usize + 3);
        let mut pool = prior.clone();
        evidence.seen.iter().for_each(|s| pool.see(s));
        let belief = pool.belief(800);
        let Some(own) = learned(&belief, &evidence, None, 5.0).and_then(|l| l.own_station_db) else {
            continue;
        };
        kept += 1;
        // The next day has the own station of the first, all else new.
        let mut next = SyntheticDay::draw(&scene.axes, 9_000 + seed, 1.0).unwrap();
        next.truth.own_db = first.truth.own_db;
        for k in 0..12 {
            let response = &scene.responses[(seed as usize * 3_571 + k * 15_485_863) % scene.responses.len()];
            let linked = matches!(next.call(response).0, Outcome::Linked { .. });
            let chance = |shift: f64, scale: f64| {
                let moved = |d: &Draw| Draw {
                    own_db: shift as f32 + scale as f32 * d.own_db,
                    ..d.clone()
                };
                days.iter()
                    .map(|d| f64::from(response.delivers(&moved(d), 0.0)))
                    .sum::<f64>()
                    / days.len() as f64
            };
            let score = |p: f64| {
                if linked {
                    p.max(1e-4).ln()
                } else {
                    (1.0 - p).max(1e-4).ln()
                }
            };
            with += score(chance(own.value_own_unit, own.sd_own_unit / scene.axes.own_sd_db));
            without += score(chance(0.0, 1.0));
        }
    }
    println!("{kept} outings; log score {without:.1} without, {with:.1} with what was learned");
    assert!(kept > 40 && with > without, "{kept} {with} {without}");
}

#[test]
fn three_calls_teach_nothing_for_next_time() {
    let scene = &*SCENE;
    let seen = (0..3).map(|k| call(find(7.05, 0, 12 + k), Outcome::NoAnswer)).collect();
    let evidence = Evidence { seen };
    let belief = Belief::new(scene.axes.clone(), &evidence, 1);
    assert!(learned(&belief, &evidence, None, 5.0).is_none());
}

#[test]
fn a_silent_station_may_be_off() {
    let scene = &*SCENE;
    let coral = scene
        .outing
        .stations
        .iter()
        .position(|s| s.id.as_str() == "coral")
        .unwrap();
    let strong: Vec<&Response> = scene
        .responses
        .iter()
        .filter(|r| r.route.station == coral && r.served)
        .collect();
    let seen = strong
        .iter()
        .step_by(9)
        .take(5)
        .map(|r| call(r, Outcome::NoAnswer))
        .collect();
    let belief = Belief::new(scene.axes.clone(), &Evidence { seen }, 1);
    let off = belief.mean(|d| f64::from(u8::from(d.off[coral])));
    assert!(off > scene.outing.stations[coral].off_chance + 0.1, "{off}");
}

#[test]
fn a_link_with_its_report_is_the_integral_over_the_moment() {
    // By the trapezoidal rule over the signal of the moment, written out here: density of the moment times density of the report
    // times "good enough", there; the same without a report, here; all cases of one call together make one.
    let scene = &*SCENE;
    let days: Vec<Draw> = Draws::new(&scene.axes, 21).take(40).collect();
    let rest_db = f64::from(Response::rest_db());
    let density = |x: f64, sd: f64| (-0.5 * (x / sd).powi(2)).exp() / (sd * (2.0 * std::f64::consts::PI).sqrt());
    let mut compared = 0;
    for (k, day) in days.iter().enumerate() {
        let response = &scene.responses[(k * 1_009) % scene.responses.len()];
        let need = response.required_snr_db;
        let (there, here) = (
            f64::from(response.snr_there_db(day)),
            f64::from(response.snr_here_db(day)),
        );
        let met = f64::from(response.met(day));
        if !response.served || met == 0.0 || here - need < -6.0 || there - need < -8.0 {
            continue;
        }
        let report = there + 2.0;
        let step = 0.005;
        let sum = |f: &dyn Fn(f64) -> f64| (-8_000..=8_000).map(|i| f(f64::from(i) * step) * step).sum::<f64>();
        let joint = sum(&|x| {
            let moment = there + x;
            if moment >= need {
                density(x, rest_db) * density(report - moment, 3.0)
            } else {
                0.0
            }
        });
        let back = sum(&|x| if here + x >= need { density(x, rest_db) } else { 0.0 });
        let want = (0.95 * met * joint * back).ln();
        let got = call(
            response,
            Outcome::Linked {
                reported_snr_db: Some(report),
            },
        )
        .log_likelihood(&scene.axes, day);
        // The belief leaves out the constant 1/sqrt(2 pi) of the report's density.
        let got = got - 0.5 * (2.0 * std::f64::consts::PI).ln();
        assert!((got - want).abs() < 0.01, "{got} {want}");
        compared += 1;
    }
    assert!(compared > 8, "{compared}");
}
