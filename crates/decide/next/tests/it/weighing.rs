//! Weighed days against days whose truth is known, and against the integral written out.

use crate::common;
use std::sync::LazyLock;

use farhop_days::evidence::{Spells, end_chances, weigh_one};
use farhop_days::{Axes, DrawAsk, DrawnDays, Evidence, Outcome, Response, Seen, WeighAsk, WeighedDays, learned};
use farhop_outing::Outing;
use farhop_plan::itinerary::alone;
use farhop_plan::routes::{RouteCache, WantedHours};
use farhop_store::kept::solutions::Solutions;
use farhop_store::open::open;

/// The hut of the demo: all routes to all stations, through its whole stay.
struct Scene {
    outing: Outing,
    axes: Axes,
    responses: Vec<Response>,
}

static SCENE: LazyLock<Scene> = LazyLock::new(|| {
    let outing = open(Some(&farhop_vectors::kind_day())).unwrap().outing;
    let store = Solutions::of_user();
    let mut wanted = WantedHours::default();
    wanted.stay(&alone(&outing, common::HUT), outing.header.start, outing.stations.len());
    let routes = RouteCache::new(&outing, &store, &wanted).unwrap();
    let (axes, responses) = (routes.axes.clone(), routes.ahead(&[common::HUT], outing.header.start));
    Scene {
        outing,
        axes,
        responses,
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
        at: response.at,
        outcome,
    }
}

fn weighed(seen: Vec<Seen>, count: usize, seed: u64) -> (WeighedDays, Evidence) {
    let evidence = Evidence { seen };
    let ask = WeighAsk {
        count,
        seed,
        // Those of the evidence come to them.
        hours: Some(&[10, 14, 16]),
        known: &[],
    };
    (WeighedDays::after(&SCENE.axes, &evidence, &ask), evidence)
}

/// Chance of a link over weighed days, the station on and free or not.
fn linked(days: &WeighedDays, response: &Response) -> f64 {
    let column = response.column(&days.days, response.at);
    days.mean(&end_chances(response, &column, &days.days, response.at).linked)
}

/// A number between 0 and 1 that hangs on three others alone (SplitMix64's last steps).
fn luck(a: u64, b: u64, c: u64) -> f64 {
    let mut z = a.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ b.wrapping_mul(0xbf58_476d_1ce4_e5b9) ^ c;
    for _ in 0..2 {
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
    }
    (z >> 11) as f64 / (1u64 << 53) as f64
}

/// Calls of an operator on one of some days, each in an hour of its own, with the truth of the day deciding.
fn a_day(truth: &DrawnDays, day: usize, calls: usize, seed: usize, more_db: f64) -> Vec<Seen> {
    let axes = &SCENE.axes;
    let mut seen = Vec::new();
    let mut hours: Vec<usize> = Vec::new();
    let mut k = 0;
    while seen.len() < calls && k < 40 * calls {
        k += 1;
        let response = &SCENE.responses[(seed * 7_919 + k * 104_729 + 13) % SCENE.responses.len()];
        // Busy spells tie calls of one hour together; here every call is by itself.
        if hours.contains(&response.hour) {
            continue;
        }
        hours.push(response.hour);
        let mut real = response.clone();
        real.forward.power_offset_db += more_db;
        let ends = end_chances(&real, &real.column(truth, real.at), truth, real.at);
        let at = response.at.unix_s() as u64;
        let busy = luck(seed as u64, at, 1) < axes.stations[response.route.station].busy;
        let throw = luck(seed as u64, at, 2) as f32;
        let outcome = if !busy && throw < ends.linked[day] {
            Outcome::Linked { reported_snr_db: None }
        } else if !busy && throw < ends.audible[day] {
            Outcome::HeardButFailed
        } else {
            Outcome::NoAnswer
        };
        seen.push(call(response, outcome));
    }
    seen
}

#[test]
fn silent_calls_on_80_m_lower_80_m_much_and_40_m_less() {
    let hour = 7;
    let before = WeighedDays::prior(DrawnDays::new(&SCENE.axes, &DrawAsk::of(2_048, 1)));
    let seen = (0..3)
        .map(|k| call(find(3.59, k % 2, hour + k), Outcome::NoAnswer))
        .collect();
    let (after, _) = weighed(seen, 2_048, 1);
    let fall = |response: &Response| (linked(&before, response) - linked(&after, response)) / linked(&before, response);
    let (low, mid) = (fall(find(3.59, 2, hour + 3)), fall(find(7.05, 2, hour + 3)));
    println!(
        "80 m falls by {low:.3}, 40 m by {mid:.3}; effective days {:.0}",
        after.effective
    );
    assert!(low > mid && low > 0.1, "{low} {mid}");
}

#[test]
fn the_order_of_entries_does_not_matter() {
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
    let (first, _) = weighed(seen.clone(), 1_024, 5);
    seen.reverse();
    let (second, _) = weighed(seen, 1_024, 5);
    let probe = find(7.05, 2, 16);
    assert!((linked(&first, probe) - linked(&second, probe)).abs() < 1e-6);
}

#[test]
fn ranks_of_the_truth_are_uniform() {
    // Simulation-based calibration: Talts, Betancourt, Simpson, Vehtari & Gelman 2018, arXiv:1804.06788.
    let axes = &SCENE.axes;
    let (bins, days) = (8usize, 160usize);
    type Of = fn(&DrawnDays) -> &[f32];
    let factors: [(&str, Of); 4] = [
        ("own", |d| d.own_db()),
        ("fof2", |d| d.fof2_z(14)),
        ("absorption", |d| d.absorption_z(14)),
        ("band", |d| d.band_db(1)),
    ];
    let truth = DrawnDays::new(axes, &DrawAsk::of(days, 1_000));
    let mut counts = [[0usize; 8]; 4];
    let mut inside = [0usize; 4];
    for day in 0..days {
        let seen = a_day(&truth, day, 8, day, 0.0);
        let (weighed, _) = weighed(seen, 1_024, 77);
        for (index, (_, of)) in factors.iter().enumerate() {
            let value = of(&truth)[day];
            let column = of(&weighed.days);
            let r = weighed.chance(|d| column[d] < value);
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
    let axes = &SCENE.axes;
    let pairs = 60usize;
    let truth = DrawnDays::new(axes, &DrawAsk::of(2 * pairs, 40));
    let usual = WeighedDays::prior(DrawnDays::new(axes, &DrawAsk::of(256, 41)));
    let (mut with, mut without, mut kept) = (0.0, 0.0, 0);
    for pair in 0..pairs {
        // Both days have the own station of the first.
        let (first, next) = (2 * pair, 2 * pair + 1);
        let same_db = f64::from(truth.own_db()[first] - truth.own_db()[next]);
        let (days, evidence) = weighed(a_day(&truth, first, 12, pair + 3, 0.0), 1_024, 78);
        let Some(own) = learned(&days, &evidence, None, 5.0).and_then(|l| l.own_station_db) else {
            continue;
        };
        kept += 1;
        let known = Axes {
            own_sd_db: own.sd_own_unit,
            ..axes.clone()
        };
        let taught = WeighedDays::prior(DrawnDays::new(&known, &DrawAsk::of(256, 41)));
        for seen in a_day(&truth, next, 12, pair + 3_571, same_db) {
            let Seen::Call { response, outcome, .. } = seen else {
                continue;
            };
            let hit = matches!(outcome, Outcome::Linked { .. });
            let score = |p: f64| {
                if hit {
                    p.max(1e-4).ln()
                } else {
                    (1.0 - p).max(1e-4).ln()
                }
            };
            let free = 1.0 - axes.stations[response.route.station].busy;
            let mut moved = response.clone();
            moved.forward.power_offset_db += own.value_own_unit;
            with += score(free * linked(&taught, &moved));
            without += score(free * linked(&usual, &response));
        }
    }
    println!("{kept} outings; log score {without:.1} without, {with:.1} with what was learned");
    assert!(kept > 30 && with > without, "{kept} {with} {without}");
}

#[test]
fn three_calls_teach_nothing_for_next_time() {
    let seen = (0..3)
        .map(|k| call(find(7.05, 0, 12 + k), Outcome::Linked { reported_snr_db: None }))
        .collect();
    let (days, evidence) = weighed(seen, 1_024, 1);
    assert!(learned(&days, &evidence, None, 5.0).is_none());
}

#[test]
fn a_silent_station_may_be_off_where_others_answer() {
    let coral = SCENE
        .outing
        .stations
        .iter()
        .position(|s| s.id.as_str() == "coral")
        .unwrap();
    let strong: Vec<&Response> = SCENE
        .responses
        .iter()
        .filter(|r| r.route.station == coral && r.served)
        .collect();
    let mut seen: Vec<Seen> = strong
        .iter()
        .step_by(9)
        .take(5)
        .map(|r| call(r, Outcome::NoAnswer))
        .collect();
    // Others answer meanwhile: the own station is sound.
    let sound = (6..10).map(|hour| call(find(7.05, 2, hour), Outcome::Linked { reported_snr_db: None }));
    seen.extend(sound);
    let (days, _) = weighed(seen, 2_048, 1);
    let first = strong[0].at;
    let off = days.off_chance(coral, first);
    assert!(off > SCENE.outing.stations[coral].off_chance + 0.05, "{off}");
}

#[test]
fn a_link_with_its_report_is_the_integral_over_the_moment() {
    // By the trapezoidal rule over the signal of the moment, written out here: density of the moment times density of the report
    // times "good enough", there; the same without a report, here.
    let days = DrawnDays::new(&SCENE.axes, &DrawAsk::of(40, 21));
    let rest_db = f64::from(Response::rest_db());
    let report_sd_db = 3.0;
    let density = |x: f64, sd: f64| (-0.5 * (x / sd).powi(2)).exp() / (sd * (2.0 * std::f64::consts::PI).sqrt());
    let mut compared = 0;
    for day in 0..days.count {
        let response = &SCENE.responses[(day * 1_009) % SCENE.responses.len()];
        let column = response.column(&days, response.at);
        let need = response.required_snr_db;
        let (there, here) = (f64::from(column.there_db[day]), f64::from(column.here_db[day]));
        let off = days.off(response.route.station, response.at)[day];
        // A broken station has no link, whatever the signal.
        let broken = days.faults.iter().any(|f| f.day as usize == day);
        if off || broken || here - need < -6.0 || there - need < -8.0 {
            continue;
        }
        let report_db = there + 2.0;
        let seen = call(
            response,
            Outcome::Linked {
                reported_snr_db: Some(report_db),
            },
        );
        let mut logs = vec![0.0; days.count];
        weigh_one(&seen, &days, &mut Spells::default(), &mut logs);
        let step = 0.005;
        let sum = |f: &dyn Fn(f64) -> f64| (-8_000..=8_000).map(|i| f(f64::from(i) * step) * step).sum::<f64>();
        let joint = sum(&|x| {
            let moment = there + x;
            if moment >= need {
                density(x, rest_db) * density(report_db - moment, report_sd_db)
            } else {
                0.0
            }
        });
        let back = sum(&|x| if here + x >= need { density(x, rest_db) } else { 0.0 });
        let free = 1.0 - SCENE.axes.stations[response.route.station].busy;
        // The weights leave out the constants of the report's density, the same on all days.
        let constant = (rest_db.hypot(report_sd_db) * (2.0 * std::f64::consts::PI).sqrt()).ln();
        let want = (free * joint * back).ln() + constant;
        assert!((logs[day] - want).abs() < 0.01, "{} {want}", logs[day]);
        compared += 1;
    }
    assert!(compared > 8, "{compared}");
}

/// With the bands free nothing is taken off, not even a rounding; as usual something is, and wide modes pay more.
#[test]
fn a_free_channel_costs_nothing_and_others_on_it_cost_something() {
    let with = |level: f64| {
        let mut axes = SCENE.axes.clone();
        axes.occupied.level = level;
        axes
    };
    let (free, usual) = (with(0.0), with(1.0));
    let nobody = Axes {
        occupied: farhop_days::Occupied::default(),
        ..SCENE.axes.clone()
    };
    let ask = DrawAsk {
        count: 64,
        ..DrawAsk::of(64, 3)
    };
    let response = find(7.05, 0, 9);
    let linked = |axes: &Axes| {
        let days = DrawnDays::new(axes, &ask);
        end_chances(response, &response.column(&days, response.at), &days, response.at).linked
    };
    assert_eq!(free.occupied.open(response), 1.0);
    assert_eq!(linked(&free), linked(&nobody));
    let open = usual.occupied.open(response);
    assert!(open < 1.0 && open > 0.5, "{open}");
    let mut wide = response.clone();
    wide.bandwidth_hz = 2_400.0;
    assert!(usual.occupied.open(&wide) < open);
    assert!(linked(&usual).iter().zip(linked(&free)).all(|(u, f)| *u <= f));
}

/// Channels found taken tell that the bands are full today; calls that found them free tell the opposite.
#[test]
fn taken_channels_move_the_occupancy() {
    let response = find(7.05, 0, 9);
    let taken = Evidence {
        seen: (0..4)
            .map(|_| Seen::Taken {
                response: Box::new(response.clone()),
                at: response.at,
            })
            .collect(),
    };
    let ask = WeighAsk {
        count: 256,
        seed: 5,
        hours: None,
        known: &[],
    };
    let level = |evidence: &Evidence| WeighedDays::after(&SCENE.axes, evidence, &ask).days.axes.occupied.level;
    let calls = Evidence {
        seen: (0..8).map(|_| call(response, Outcome::NoAnswer)).collect(),
    };
    assert!((level(&Evidence::default()) - SCENE.axes.occupied.level).abs() < 1e-12);
    assert!(level(&taken) > 1.5 * SCENE.axes.occupied.level);
    assert!(level(&calls) < SCENE.axes.occupied.level);
}
