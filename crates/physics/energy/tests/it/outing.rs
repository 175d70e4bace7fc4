//! Whole outings: what must be seen in them.

use crate::common::{certain, messages, outing, panel, protection, radio, source};
use farhop_energy::discharge::LinearSource;
use farhop_energy::simulate::{HandAction, Handling, Scenario, TransmitStop, Warmth, simulate_one};
use farhop_energy::solar::{Panel, SunTrack};
use farhop_energy::spread::Spread3;
use farhop_energy::{
    BatterySpec, BrownOut, Chemistry, Draw, EnergyError, EnergyInput, EnergyOuting, Fuse, Load, LoadKind, LoadState,
    Release, TripCause, simulate,
};

/// Constant power on a battery whose voltage falls in proportion to the charge: the closed form of `LinearSource`, within a
/// thousandth at 10-second steps and first order in the step.
#[test]
fn constant_power_discharge_is_the_closed_form() {
    // A battery made linear: 12.6 V down to 9 V over 3 Ah.
    let spec = BatterySpec {
        open_circuit_v_per_cell: Some(vec![(0.0, 3.0), (1.0, 4.2)]),
        resistance_mohm: Some(0.0),
        ..BatterySpec::usual(Chemistry::LithiumIon, 3, 3.0)
    };
    let load = Load {
        kind: LoadKind::Simple { on: Draw::Power(20.0) },
        cable_mohm: 400.0,
        minimum_v: 0.0,
        brown_out: BrownOut::Continues,
        inrush: None,
        idle_state: LoadState::On,
        ..radio("lamp", "main")
    };
    let base = EnergyInput {
        sources: vec![source("main", spec, 1.0)],
        loads: vec![load],
        panels: Vec::new(),
        activities: Vec::new(),
        air_c: vec![(0.0, 25.0), (1.0, 25.0)],
        uncertainty: certain(),
        ..outing()
    };
    // All resistance in the cable: the circuit is the same, and it does not depend on charge.
    let form = LinearSource {
        start_v: 12.6,
        fall_v_per_ah: 1.2,
        resistance_ohm: 0.4,
    };
    for (step_s, tolerance) in [(10.0, 2e-4), (60.0, 1e-3), (300.0, 5e-3)] {
        let outing = EnergyOuting::new(EnergyInput {
            duration_s: 3600.0,
            step_s,
            ..base.clone()
        })
        .unwrap();
        let result = simulate_one(&outing, &Scenario::median(&outing));
        let end_share = *result.sources[0].share.last().unwrap();
        let hours = form.constant_power_h(20.0, 9.0 + 3.6 * end_share).unwrap();
        // Self-discharge (2.5 % a month) is 3e-5 of the charge in that hour.
        assert!((hours - 1.0).abs() < tolerance, "{step_s}: {hours}");
    }
}

/// Five watts fail at 40 % charge in the cold, and do not in the warm.
#[test]
fn transmitting_fails_in_the_cold_at_forty_percent() {
    let at = |temp_c: f64| {
        let mut input = EnergyInput {
            duration_s: 3600.0,
            panels: Vec::new(),
            uncertainty: certain(),
            ..outing()
        };
        input.sources = vec![source("main", BatterySpec::usual(Chemistry::LithiumIon, 3, 2.6), 0.42)];
        input.sources[0].warmth = Warmth::Held { temp_c };
        input.activities = messages(1, 1.0, 600.0);
        input.activities[0].end_s = 900.0;
        let outing = EnergyOuting::new(input).unwrap();
        simulate_one(&outing, &Scenario::median(&outing))
    };
    let (warm, cold) = (at(20.0), at(-15.0));
    assert_eq!(warm.transmit_failed_s, None);
    let failed_s = cold.transmit_failed_s.unwrap();
    assert!((600.0..900.0).contains(&failed_s));
    let share = cold.sources[0].share[(failed_s / 300.0) as usize];
    assert!(share > 0.35, "it is not empty: {share}");
    assert!(cold.sources[0].trips.is_empty(), "the radio gives up, not the battery");
}

/// A trip stays until its own condition is met.
#[test]
fn trips_latch() {
    let run = |release: Release, handlings: Vec<Handling>, alone: bool| {
        let mut spec = BatterySpec::usual(Chemistry::LithiumIronPhosphate, 4, 3.0);
        spec.protection = Some(protection(release));
        let mut input = EnergyInput {
            uncertainty: certain(),
            handlings,
            ..outing()
        };
        input.sources = vec![source("main", spec, 0.12)];
        input.loads[0].minimum_v = 6.0;
        input.panels = vec![Panel {
            starts_without_battery: alone,
            ..panel("main")
        }];
        let outing = EnergyOuting::new(input).unwrap();
        simulate_one(&outing, &Scenario::median(&outing)).sources.remove(0)
    };
    let wake = |action| {
        vec![Handling {
            at_s: 100_000.0,
            source: "main".to_owned(),
            action,
        }]
    };
    // The first trip comes in the first night, before sunrise at 6 h.
    let stuck = run(Release::ChargerOrPanel, Vec::new(), false);
    assert_eq!(stuck.trips.len(), 1);
    assert_eq!(stuck.trips[0].cause, TripCause::UnderVoltage);
    assert!(stuck.trips[0].at_s < 21_600.0);
    assert_eq!(
        stuck.trips[0].released_s, None,
        "a controller that starts from the battery cannot wake it"
    );
    let by_sun = run(Release::ChargerOrPanel, Vec::new(), true);
    assert!((21_600.0..30_000.0).contains(&by_sun.trips[0].released_s.unwrap()));
    let by_hand = run(Release::ChargerOrPanel, wake(HandAction::WakeWithCharger), false);
    assert_eq!(by_hand.trips[0].released_s, Some(100_000.0));
    assert_eq!(
        run(Release::Manual, wake(HandAction::Reconnect), true).trips[0].released_s,
        None
    );
    assert_eq!(
        run(Release::Disconnect, wake(HandAction::Reconnect), true).trips[0].released_s,
        Some(100_000.0)
    );
    let rest = run(
        Release::AfterRest {
            rest_s: 1800.0,
            above_v: 10.2,
        },
        Vec::new(),
        false,
    );
    let back_after = rest.trips[0].released_s.unwrap() - rest.trips[0].at_s;
    assert!((1800.0..2200.0).contains(&back_after), "{back_after}");
}

/// A panel cannot charge lithium below freezing, but lead.
#[test]
fn no_charge_below_freezing() {
    let gained = |kind: Chemistry, cells: u32| {
        let mut input = EnergyInput {
            uncertainty: certain(),
            loads: Vec::new(),
            activities: Vec::new(),
            ..outing()
        };
        input.air_c = vec![(0.0, -5.0), (1.0, -5.0)];
        input.sources = vec![source("main", BatterySpec::usual(kind, cells, 9.0), 0.6)];
        let outing = EnergyOuting::new(input).unwrap();
        let books = simulate_one(&outing, &Scenario::median(&outing)).sources[0].books;
        books.stored_end_wh - books.stored_start_wh
    };
    assert!(gained(Chemistry::LithiumIronPhosphate, 4) <= 0.0);
    assert!(gained(Chemistry::SealedLead, 6) > 5.0);
}

#[test]
fn a_fuse_blows_and_stays_blown() {
    let mut spec = BatterySpec::usual(Chemistry::LithiumIronPhosphate, 4, 9.0);
    spec.fuse = Some(Fuse::of_rating(1.0).unwrap());
    let input = EnergyInput {
        sources: vec![source("main", spec, 0.9)],
        uncertainty: certain(),
        ..outing()
    };
    let outing = EnergyOuting::new(input).unwrap();
    let result = simulate_one(&outing, &Scenario::median(&outing));
    assert_eq!(result.sources[0].trips[0].cause, TripCause::Fuse);
    assert!(result.sources[0].trips[0].at_s >= 7200.0, "receiving does not blow it");
    assert_eq!(result.sources[0].trips.len(), 1);
    assert!(result.activities.iter().all(|a| a.failed_s.is_some()));
}

/// The band is a band, the chances are chances, and the same seed gives the same answer.
#[test]
fn the_outlook_holds_together() {
    let outing = EnergyOuting::new(outing()).unwrap();
    let outcome = simulate(&outing);
    assert_eq!(outcome, simulate(&outing));
    let main = &outcome.sources[0];
    assert_eq!(main.share.len(), outcome.times_s.len());
    assert!(main.share.iter().all(|b| b.p10 <= b.p50 && b.p50 <= b.p90));
    assert!(main.share[200].p10 < main.share[200].p90);
    // A message of 20 min: 1.43 A × 12.9 V × 0.5 + 0.3 A × 12.9 V × 0.5 (key up) + (6/0.88 + 0.2) W is about 18 W, 6 Wh.
    let message = &outcome.activities[3];
    assert!((5.0..8.0).contains(&message.energy_wh.p50), "{message:?}");
    assert!(message.extra_wh.p50 < message.energy_wh.p50);
}

/// A weak battery without sun: the hour to stop transmitting exists and keeps the reserve in the scenarios it promises.
#[test]
fn stopping_keeps_the_reserve() {
    let mut input = EnergyInput {
        panels: Vec::new(),
        sun: SunTrack::none(),
        ..outing()
    };
    input.duration_s = 86_400.0;
    input.loads[0].idle_state = LoadState::Sleep;
    input.activities = messages(18, 4000.0, 3600.0);
    let outing = EnergyOuting::new(input.clone()).unwrap();
    let outcome = simulate(&outing);
    let TransmitStop::At { time_s } = outcome.transmit.stop else {
        panic!("{:?}", outcome.transmit)
    };
    // The same outing without the messages that would begin later, planned so from the start.
    let planned_until = |until_s: f64| {
        let mut shorter = input.clone();
        shorter.activities.retain(|activity| activity.start_s < until_s);
        simulate(&EnergyOuting::new(shorter).unwrap()).transmit.stop
    };
    assert!((10_000.0..80_000.0).contains(&time_s), "{time_s}");
    assert_eq!(planned_until(time_s - 4000.0), TransmitStop::NotNeeded);
    assert_ne!(planned_until(time_s + 4000.0), TransmitStop::NotNeeded);
    input.reserve_share = 0.0;
    input.activities = messages(1, 1.0, 3600.0);
    assert_eq!(
        simulate(&EnergyOuting::new(input).unwrap()).transmit.stop,
        TransmitStop::NotNeeded
    );
}

#[test]
fn corners() {
    // Nothing at all.
    let nothing = EnergyInput {
        sources: Vec::new(),
        loads: Vec::new(),
        panels: Vec::new(),
        activities: Vec::new(),
        ..outing()
    };
    let outcome = simulate(&EnergyOuting::new(nothing).unwrap());
    assert!(outcome.sources.is_empty() && outcome.transmit.stop == TransmitStop::NotNeeded);
    // An empty battery.
    let mut empty = EnergyInput {
        panels: Vec::new(),
        ..outing()
    };
    empty.sources[0].start_share = Spread3::certain(0.0);
    let outcome = simulate(&EnergyOuting::new(empty).unwrap());
    assert_eq!(outcome.sources[0].chance_dark, 1.0);
    assert!(outcome.activities.iter().all(|a| a.chance_powered == 0.0));
    // Bad references and numbers.
    let mut bad = outing();
    bad.loads[0].source = "nowhere".to_owned();
    assert!(matches!(EnergyOuting::new(bad), Err(EnergyError::UnknownId { .. })));
    let mut bad = outing();
    bad.activities[0].states[0].1 = LoadState::Bright;
    assert!(matches!(EnergyOuting::new(bad), Err(EnergyError::NoSuchState { .. })));
    assert!(
        EnergyOuting::new(EnergyInput {
            duration_s: f64::NAN,
            ..outing()
        })
        .is_err()
    );
}
