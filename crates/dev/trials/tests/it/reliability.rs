//! The odds of a plan on days that it has not seen: reliability diagram and Brier score, and the product's own rehearsal against the
//! independent player.

use farhop_days::{DrawAsk, DrawnDays};
use farhop_outing::Outing;
use farhop_plan::Chance;
use farhop_plan::analysis::Analysis;
use farhop_plan::analysis::analyse;
use farhop_plan::rehearsal::{Rehearsal, RehearsalAsk, rehearse, share_with_error};
use farhop_plan::watch::Unwatched;
use farhop_store::kept::solutions::Solutions;
use farhop_store::open::open;
use farhop_trials::made_up::MadeUp;
use farhop_trials::player::play;

const DAYS: usize = 4_000;
/// The bar of every tenth, and the cases from which it counts.
const WITHIN: f64 = 0.03;
const ENOUGH: usize = 1_000;

fn plan(outing: &Outing) -> Analysis {
    analyse(outing, &Solutions::of_user(), &Unwatched).unwrap()
}

fn on_fresh_days(outing: &Outing, plan: &Analysis) -> Rehearsal {
    rehearse(outing, plan, RehearsalAsk { days: DAYS, seed: 11 }).unwrap()
}

/// 1 W of a poor antenna: chances of every size.
fn weak() -> Outing {
    MadeUp {
        power_w: 1.0,
        efficiency: 0.1,
        stations: vec![(47.8, 10.2, 0.0, 0.0), (38.7, -8.9, 0.1, 0.15), (60.3, 25.2, 0.2, 0.3)],
        ..MadeUp::default()
    }
    .outing()
}

/// Largest miss of a tenth with enough cases, how many tenths have them, and the Brier score over the truth's own.
fn misses(of: &Rehearsal) -> (f64, usize, f64) {
    let full: Vec<_> = of.reliability.tenths.iter().filter(|t| t.count >= ENOUGH).collect();
    for t in &full {
        let (share, error) = share_with_error(t.came_true, t.count);
        println!(
            "said {:.3}, came true {share:.3} ± {error:.3} of {}",
            t.forecast_mean, t.count
        );
    }
    let miss = |t: &&farhop_plan::rehearsal::Tenth| (share_with_error(t.came_true, t.count).0 - t.forecast_mean).abs();
    let worst = full.iter().map(miss).fold(0.0, f64::max);
    let ratio = of.reliability.brier / of.reliability.brier_own;
    println!(
        "worst {worst:.4}, Brier {:.5}, over the truth's own {ratio:.4}",
        of.reliability.brier
    );
    (worst, full.len(), ratio)
}

#[test]
fn every_tenth_of_forecast_chance_comes_true_within_three_points() {
    for (outing, tenths) in [(MadeUp::default().outing(), 3), (weak(), 8)] {
        let (worst, full, ratio) = misses(&on_fresh_days(&outing, &plan(&outing)));
        assert!(full >= tenths, "{full} tenths with cases");
        assert!(worst < WITHIN, "{worst}");
        assert!((0.98..1.02).contains(&ratio), "{ratio}");
    }
}

#[test]
fn odds_that_are_ten_points_too_high_are_found_out() {
    let outing = weak();
    let mut plan = plan(&outing);
    for hour in &mut plan.hours {
        if hour.message.probability() > 0.0 {
            hour.message = Chance::new(hour.message.probability() + 0.1);
        }
    }
    let (worst, _, ratio) = misses(&on_fresh_days(&outing, &plan));
    assert!(worst > 2.0 * WITHIN && ratio > 1.02, "{worst} {ratio}");
}

#[test]
fn the_rehearsal_agrees_with_the_independent_player_and_with_the_plan() {
    for outing in [MadeUp::default().outing(), weak(), open(None).unwrap().outing] {
        let plan = plan(&outing);
        let rehearsed = on_fresh_days(&outing, &plan);
        let drawn = DrawnDays::new(&plan.days.days.axes, &DrawAsk::of(DAYS, 78));
        let played = play(&outing, &plan, &drawn, 6);
        for of in &rehearsed.messages {
            let (share, error) = share_with_error(of.through, DAYS);
            let (other, planned) = (played.through[of.message], of.planned.probability());
            println!(
                "message {}: planned {planned:.4}, rehearsed {share:.4} ± {error:.4}, player {other:.4}",
                of.message
            );
            // 1.5 points is the bar; both shares are of 4 000 days.
            assert!((share - planned).abs() < 0.015 + 2.0 * error, "{share} {planned}");
            assert!((share - other).abs() < 0.015 + 2.0 * error, "{share} {other}");
        }
    }
}

#[test]
fn the_same_seed_gives_the_same_days_and_another_does_not() {
    let outing = weak();
    let plan = plan(&outing);
    let run = |seed| rehearse(&outing, &plan, RehearsalAsk { days: 200, seed }).unwrap();
    let (a, b, c) = (run(3), run(3), run(4));
    assert!(a.rows == b.rows && a.played == b.played && a.reliability == b.reliability);
    assert!(a.rows != c.rows && a.played != c.played);
    assert!((a.rows.iter().map(|r| r.weight).sum::<f64>() - 1.0).abs() < 1e-4);
    for (day, row) in a.played.iter().zip(&a.rows) {
        for (at, why) in day.through_at.iter().zip(&day.lost_to) {
            assert!(
                at.is_some() != why.is_some(),
                "either it is through, or something cost it"
            );
        }
        assert!(row.off_days.len() == outing.stations.len());
    }
}

#[test]
fn the_plans_own_days_and_odd_numbers_of_days_are_refused_in_words() {
    let seed = farhop_plan::analysis::SEED;
    let why = RehearsalAsk { days: 1_000, seed }.checked().unwrap_err().to_string();
    assert!(why.contains("give another one"), "{why}");
    let why = RehearsalAsk { days: 3, seed: 1 }.checked().unwrap_err().to_string();
    assert!(why.contains("from 100 to 10000"), "{why}");
}
