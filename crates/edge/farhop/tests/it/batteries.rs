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
