//! Ways of going through a day, tried on made-up days. Set FARHOP_DAYS for more of them.

#![allow(clippy::unwrap_used, reason = "tests")]

use farhop_outing::{NoiseClass, Outing};
use farhop_plan::belief::synthetic::SyntheticDay;
use farhop_plan::belief::{Axes, Pool};
use farhop_plan::next::policy::{DayResult, Field, Policy, live};
use farhop_workshop::day::Hill;
use farhop_workshop::open::open;
use farhop_workshop::solutions::Solutions;

/// Days of each kind: few in every run; `FARHOP_DAYS=200` for the table of `docs/methods/belief.md`.
fn days() -> u64 {
    std::env::var("FARHOP_DAYS")
        .ok()
        .and_then(|text| text.parse().ok())
        .unwrap_or(8)
}

fn mean(results: &[DayResult], of: impl Fn(&DayResult) -> f64) -> f64 {
    results.iter().map(of).sum::<f64>() / results.len() as f64
}

/// An outing with 1 W and a city's noise at every station: a day on which choices matter.
fn hard() -> Outing {
    let mut parts = open(None).unwrap().outing.into_parts();
    parts.kit.transceiver.power_w = 1.0;
    for station in &mut parts.stations {
        station.noise = NoiseClass::City;
        station.off_chance = 0.2;
    }
    Outing::new(parts).unwrap()
}

#[test]
fn looking_ahead_gets_more_through_than_the_plan() {
    for (scene, outing) in [("demo", open(None).unwrap().outing), ("1 W, city noise", hard())] {
        compare(scene, &outing);
    }
}

fn compare(scene: &str, outing: &Outing) {
    let store = Solutions::of_user();
    let hill = Hill::new(outing, &store).unwrap();
    let (start, end) = hill.stay(1);
    let responses = hill.responses(1, start, end);
    let axes = Axes::of(outing);
    let prior = Pool::new(axes.clone(), 4, 1_500);
    let ladder = hill.ladder();
    let field = Field {
        outing,
        responses: &responses,
        ladder: &ladder,
        stay: (start, end),
        energy_wh: 8.0,
    };
    for (name, stretch) in [("as expected", 1.0), ("unlike the forecast", 2.0)] {
        let run = |policy| -> Vec<DayResult> {
            let day = |seed: u64| SyntheticDay::draw(&axes, 300 + seed, stretch).unwrap();
            (0..days())
                .map(|seed| live(&field, policy, &mut day(seed), &prior))
                .collect()
        };
        let [plan, greedy, ahead] = [Policy::AsPlanned, Policy::Greedy, Policy::Ahead].map(run);
        for (policy, results) in [("plan", &plan), ("greedy", &greedy), ("ahead", &ahead)] {
            println!(
                "{scene}, {name}, {policy}: {:.2} messages, weight {:.3}, in time {:.3}, {:.1} min, {:.2} Wh, {:.1} calls",
                mean(results, |r| r.messages as f64),
                mean(results, |r| r.weight),
                mean(results, |r| r.worth),
                mean(results, |r| r.air_min),
                mean(results, |r| r.energy_wh),
                mean(results, |r| r.calls as f64)
            );
        }
        // Paired over the same days: what looking ahead loses must be within two standard errors.
        let gains: Vec<f64> = ahead.iter().zip(&plan).map(|(a, p)| a.worth - p.worth).collect();
        let mean_gain = gains.iter().sum::<f64>() / gains.len() as f64;
        let variance = gains.iter().map(|g| (g - mean_gain).powi(2)).sum::<f64>() / gains.len() as f64;
        let error = (variance / gains.len() as f64).sqrt();
        assert!(mean_gain >= -2.0 * error, "{scene}, {name}: {mean_gain} +- {error}");
    }
}
