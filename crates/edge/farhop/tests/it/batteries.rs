//! Batteries that the set is put on one after the other, from the outing to the forecast.

use crate::common::power::{demo_calls, outing, parts};
use farhop_plan::power::{EnergyForecast, energy_with};

/// The demo on a small battery without a panel, with another one carried or not.
fn with_spare(carried: bool, chemistry: farhop_outing::Chemistry, cells: u32) -> EnergyForecast {
    let mut parts = parts("demo");
    parts.kit.panels.clear();
    parts.kit.parts.retain(|p| p.id.as_str() != "panel");
    parts.kit.functions.retain(|f| f.id.as_str() != "charge");
    parts.kit.transceiver.listen_h_per_day = 16.0;
    parts.kit.batteries[0].capacity_ah = 1.5;
    (parts.kit.batteries[1].chemistry, parts.kit.batteries[1].cells) = (chemistry, cells);
    parts.kit.batteries[1].protection = None;
    let spare = parts.kit.parts.iter_mut().find(|p| p.id.as_str() == "battery-2");
    spare.unwrap().carried = carried;
    energy_with(&outing(parts), demo_calls()).unwrap()
}

#[test]
fn two_batteries_last_longer_than_one_whatever_their_chemistry() {
    use farhop_outing::Chemistry::{LithiumIon, LithiumIronPhosphate, SealedLead};
    for (chemistry, cells) in [(LithiumIronPhosphate, 4), (LithiumIon, 4), (SealedLead, 6)] {
        let (one, two) = (with_spare(false, chemistry, cells), with_spare(true, chemistry, cells));
        assert!(
            one.dry().0 > 0.9 && two.dry().0 <= one.dry().0,
            "{:?} {:?}",
            one.dry(),
            two.dry()
        );
        let powered = |f: &EnergyForecast| f.messages.iter().map(|m| m.chance_powered).sum::<f64>();
        assert!(
            powered(&two) > powered(&one) + 0.5,
            "{} {}",
            powered(&two),
            powered(&one)
        );
        // First the one that is named for the set, then the other.
        assert_eq!(two.in_use_at(0.0), 0);
        assert!(two.outcome.turns[0].in_use.contains(&1));
        assert_eq!(one.supply(), [0]);
    }
}

#[test]
fn a_battery_of_another_voltage_or_for_something_else_is_no_spare_for_the_set() {
    let other_voltage = with_spare(true, farhop_outing::Chemistry::LithiumIon, 1);
    assert_eq!(other_voltage.supply(), [0]);
    let mut parts = parts("demo");
    let spare = parts.kit.parts.iter_mut().find(|p| p.id.as_str() == "battery-2");
    spare.unwrap().carried = true;
    parts.kit.converters[0].source = Some(farhop_outing::Id::new("battery-2").unwrap());
    let forecast = energy_with(&outing(parts), demo_calls()).unwrap();
    assert_eq!(forecast.supply(), [0]);
}

/// The demo's plan with a battery of so many ampere-hours.
fn planned_on(capacity_ah: f64) -> farhop_plan::analysis::Analysis {
    let mut parts = parts("demo");
    parts.kit.batteries[0].capacity_ah = capacity_ah;
    let store = farhop_store::kept::solutions::Solutions::of_user();
    let part = farhop_plan::analysis::Part::default();
    farhop_plan::analysis::plan(&outing(parts), &part, &store, &farhop_plan::watch::Unwatched).unwrap()
}

#[test]
fn a_plan_on_a_small_battery_keeps_the_reserve_and_says_what_the_battery_costs() {
    use farhop_plan::schedule::Factor;
    let (small, large) = (planned_on(1.4), planned_on(12.0));
    let chance = |plan: &farhop_plan::analysis::Analysis, m: usize| plan.messages[m].chance.chance.probability();
    for plan in [&small, &large] {
        let energy = plan.energy.as_ref().unwrap();
        assert!(!energy.calls_break_reserve());
    }
    // Charge is the only difference, so that what one plan loses against the other is what the battery costs.
    let lost = chance(&large, 0) - chance(&small, 0);
    assert!(lost > 0.1, "{lost}");
    let told = small.messages[0].chance.cost(Factor::Charge);
    assert!((told - lost).abs() < 0.1, "told {told}, lost {lost}");
    assert!(large.messages[0].chance.cost(Factor::Charge) < 0.02);
    for (few, many) in small.messages.iter().zip(&large.messages) {
        if few.sends.is_empty() && !many.sends.is_empty() {
            let why = few.none_because.as_deref().unwrap();
            assert!(why.contains("the battery"), "{why}");
        }
    }
}
