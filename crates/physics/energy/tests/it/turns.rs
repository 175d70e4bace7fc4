//! Batteries that are used one after the other.

use crate::common::{certain, outing, protection, source};
use farhop_energy::simulate::{Scenario, simulate_one};
use farhop_energy::solar::SunTrack;
use farhop_energy::{BatterySpec, Chemistry, EnergyInput, EnergyOuting, Release, simulate};
use proptest::prelude::*;

fn battery(chemistry: Chemistry, cells: u32, capacity_ah: f64) -> BatterySpec {
    BatterySpec {
        protection: Some(protection(Release::ChargerOrPanel)),
        ..BatterySpec::usual(chemistry, cells, capacity_ah)
    }
}

/// The outing of the other tests in the dark, with these batteries: the first one is "main", all in one turn.
fn with(batteries: &[(Chemistry, u32, f64, f64)]) -> EnergyInput {
    let id = |k: usize| {
        if k == 0 {
            "main".to_owned()
        } else {
            format!("spare {k}")
        }
    };
    let sources = batteries.iter().enumerate();
    let sources: Vec<_> = sources
        .map(|(k, (chemistry, cells, ah, start))| source(&id(k), battery(*chemistry, *cells, *ah), *start))
        .collect();
    EnergyInput {
        turns: vec![sources.iter().map(|s| s.id.clone()).collect()],
        sources,
        panels: Vec::new(),
        sun: SunTrack::none(),
        uncertainty: certain(),
        ..outing()
    }
}

/// Hours until nothing has power any more; the whole outing where that does not happen.
fn hours(input: &EnergyInput) -> f64 {
    let outcome = simulate(&EnergyOuting::new(input.clone()).unwrap());
    let of = &outcome.turns[0];
    let dark_s = if of.chance_dry > 0.0 {
        of.dry_s.p50
    } else {
        input.duration_s
    };
    dark_s / 3_600.0
}

/// Hours until anything is first without what it needs; the whole outing where that does not happen.
fn served_h(input: &EnergyInput) -> f64 {
    let outing = EnergyOuting::new(input.clone()).unwrap();
    let out = simulate_one(&outing, &Scenario::median(&outing)).load_out_s;
    out.into_iter().flatten().fold(input.duration_s, f64::min) / 3_600.0
}

const IRON: Chemistry = Chemistry::LithiumIronPhosphate;
const ION: Chemistry = Chemistry::LithiumIon;
const LEAD: Chemistry = Chemistry::SealedLead;

#[test]
fn two_batteries_last_as_long_as_both_one_after_the_other() {
    // At an even draw and temperature the hours add up: a closed form.
    let even = |batteries: &[(Chemistry, u32, f64, f64)]| EnergyInput {
        activities: Vec::new(),
        air_c: vec![(0.0, 15.0), (1.0, 15.0)],
        ..with(batteries)
    };
    let dark_h = |batteries: &[(Chemistry, u32, f64, f64)]| {
        let outing = EnergyOuting::new(even(batteries)).unwrap();
        let of = simulate_one(&outing, &Scenario::median(&outing)).turns[0].clone();
        of.dark_s.unwrap_or(outing.input().duration_s) / 3_600.0
    };
    let one = dark_h(&[(IRON, 4, 3.0, 1.0)]);
    let two = dark_h(&[(IRON, 4, 3.0, 1.0), (IRON, 4, 3.0, 1.0)]);
    println!("one {one:.1} h, two {two:.1} h");
    assert!(two < 47.0, "the outing must be long enough to see it");
    // A changeover at a step of five minutes.
    assert!((two - 2.0 * one).abs() < 0.1, "{one} {two}");
}

#[test]
fn another_chemistry_follows_with_its_own_curve_and_cut_off() {
    for spare in [(ION, 4, 2.0, 1.0), (ION, 3, 2.0, 1.0), (LEAD, 6, 2.0, 1.0)] {
        let input = with(&[(IRON, 4, 1.5, 1.0), spare]);
        let alone = with(&[(spare.0, spare.1, spare.2, spare.3)]);
        let (one, other, both) = (hours(&with(&[(IRON, 4, 1.5, 1.0)])), hours(&alone), hours(&input));
        println!("{spare:?}: {one:.1} h, {other:.1} h, both {both:.1} h");
        assert!(both > one + 0.5 * other.min(47.0 - one), "{spare:?}");
        let outcome = simulate(&EnergyOuting::new(input).unwrap());
        // First the one, then the other.
        assert!(outcome.turns[0].in_use.first() == Some(&0) && outcome.turns[0].in_use.contains(&1));
        for of in &outcome.sources {
            assert!(
                of.books.imbalance_wh().abs() < 1e-6 * of.books.stored_start_wh.max(1.0),
                "{:?}",
                of.books
            );
        }
    }
}

#[test]
fn what_hangs_on_nothing_of_a_turn_is_served_alone() {
    let mut input = with(&[(IRON, 4, 6.0, 1.0)]);
    input.sources.push(source("apart", battery(IRON, 4, 6.0), 0.8));
    let outcome = simulate(&EnergyOuting::new(input).unwrap());
    let first = outcome.sources[1].share[0].p50;
    assert!((first - 0.8).abs() < 1e-9 && outcome.sources[1].share.last().unwrap().p50 > 0.79);
}

#[test]
fn a_source_in_two_turns_or_an_unknown_one_is_refused() {
    let mut twice = with(&[(IRON, 4, 6.0, 1.0), (ION, 4, 2.0, 1.0)]);
    twice.turns.push(vec!["main".to_owned()]);
    assert!(EnergyOuting::new(twice).is_err());
    let mut unknown = with(&[(IRON, 4, 6.0, 1.0)]);
    unknown.turns[0].push("elsewhere".to_owned());
    assert!(EnergyOuting::new(unknown).is_err());
}

fn any() -> impl Strategy<Value = (Chemistry, u32, f64, f64)> {
    let kind = prop_oneof![Just((IRON, 4)), Just((ION, 4)), Just((ION, 3)), Just((LEAD, 6))];
    (kind, 0.5..4.0f64, 0.2..1.0f64).prop_map(|((chemistry, cells), ah, start)| (chemistry, cells, ah, start))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// One more battery never takes power from a message, and never lets anything go without sooner. (When all is dark may come sooner:
    /// a transmitter that one battery alone would have refused draws on.)
    #[test]
    fn more_batteries_never_lower_hours_or_chances(list in prop::collection::vec(any(), 2..4)) {
        let fewer = with(&list[..list.len() - 1]);
        let more = with(&list);
        prop_assert!(served_h(&more) >= served_h(&fewer) - 1e-6);
        let powered = |input: &EnergyInput| -> usize {
            let outcome = simulate(&EnergyOuting::new(input.clone()).unwrap());
            outcome.activities.iter().filter(|a| a.chance_powered > 0.5).count()
        };
        prop_assert!(powered(&more) >= powered(&fewer));
    }
}
