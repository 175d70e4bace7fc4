//! What came in is stored, delivered or lost, to a millionth, whatever happens on the way.

use crate::common::{certain, computer, outing, panel, protection, radio, source};
use farhop_energy::simulate::{HandAction, Handling, Scenario, Warmth, simulate_one};
use farhop_energy::solar::{ChargeController, Orientation, Panel};
use farhop_energy::{BatterySpec, BrownOut, Chemistry, EnergyInput, EnergyOuting, Fuse, Load, Release, TripCause};
use proptest::prelude::*;

fn chemistry() -> impl Strategy<Value = (Chemistry, u32)> {
    prop_oneof![
        Just((Chemistry::LithiumIronPhosphate, 4)),
        Just((Chemistry::LithiumIon, 3)),
        Just((Chemistry::LithiumIon, 4)),
        Just((Chemistry::SealedLead, 6)),
        Just((Chemistry::NickelMetalHydride, 10)),
    ]
}

fn brown_out() -> impl Strategy<Value = BrownOut> {
    prop_oneof![
        Just(BrownOut::SwitchesOff),
        Just(BrownOut::Continues),
        Just(BrownOut::FoldsBack { rf_power_w: 1.0 }),
        (0.0..2000.0f64).prop_map(|restart_s| BrownOut::Restarts { restart_s }),
    ]
}

fn release() -> impl Strategy<Value = Release> {
    prop_oneof![
        Just(Release::ChargerOrPanel),
        Just(Release::Disconnect),
        Just(Release::Manual),
        Just(Release::AfterRest {
            rest_s: 600.0,
            above_v: 10.5
        }),
    ]
}

prop_compose! {
    fn battery()(
        (kind, cells) in chemistry(),
        capacity_ah in 0.5..12.0f64,
        resistance_mohm in prop_oneof![Just(None), Just(Some(0.0)), (10.0..900.0f64).prop_map(Some)],
        release in prop_oneof![Just(None), release().prop_map(Some)],
        fuse_a in prop_oneof![Just(None), (0.5..5.0f64).prop_map(Some)],
    ) -> BatterySpec {
        BatterySpec {
            resistance_mohm,
            self_consumption_ma: 2.0,
            protection: release.map(protection),
            fuse: fuse_a.map(|a| Fuse::of_rating(a).expect("a sound fuse")),
            ..BatterySpec::usual(kind, cells, capacity_ah)
        }
    }
}

fn controller(straight: bool) -> ChargeController {
    if straight {
        ChargeController::StraightThrough {
            panel_best_v: 17.5,
            drop_v: 0.3,
        }
    } else {
        ChargeController::TracksMaximum { efficiency: 0.93 }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]
    #[test]
    fn every_watt_hour_has_a_place(
        spec in battery(),
        start in 0.0..1.0f64,
        air_c in -30.0..40.0f64,
        (straight, alone, watt_peak) in (any::<bool>(), any::<bool>(), 0.0..80.0f64),
        brown_out in brown_out(),
        duty_factor in 0.0..2.5f64,
        cloud_z in -2.0..2.0f64,
        step_s in 60.0..900.0f64,
    ) {
        let idle = Panel::usual("mat", "main", watt_peak, Orientation::Fixed { tilt_deg: 40.0, azimuth_deg: 170.0 });
        let mat = Panel { controller: controller(straight), starts_without_battery: alone, ..idle };
        let input = EnergyInput {
            step_s,
            sources: vec![source("main", spec, start), source("second", BatterySpec::usual(Chemistry::LithiumIon, 3, 5.0), 0.8)],
            loads: vec![Load { brown_out, ..radio("radio", "main") }, computer("computer", "second")],
            panels: vec![mat, panel("second")],
            handlings: vec![Handling { at_s: 90_000.0, source: "main".to_owned(), action: HandAction::Reset }],
            air_c: vec![(0.0, air_c), (1e5, air_c + 8.0)],
            uncertainty: certain(),
            ..outing()
        };
        let outing = EnergyOuting::new(input).unwrap();
        let scenario = Scenario { duty_factor, cloud_z: vec![cloud_z], ..Scenario::median(&outing) };
        let result = simulate_one(&outing, &scenario);
        for source in &result.sources {
            let books = source.books;
            let turnover = books.stored_start_wh + books.sun_in_wh + 1e-3;
            prop_assert!(books.imbalance_wh().abs() <= 1e-6 * turnover, "{books:?} off by {}", books.imbalance_wh());
            prop_assert!(books.losses_wh() >= 0.0 && books.delivered_wh >= 0.0 && books.sun_in_wh >= 0.0);
            prop_assert!(books.unused_sun_wh >= -1e-6 * turnover, "more sun taken than there was: {books:?}");
            prop_assert!(source.share.iter().all(|s| (0.0..=1.0).contains(s)));
        }
    }
}

/// The property is not empty: over such outings batteries do trip, run empty and fill up.
#[test]
fn the_hard_ways_are_walked() {
    let mut causes = Vec::new();
    for (capacity_ah, air_c, release) in [(1.0, 5.0, true), (3.0, -20.0, false), (2.0, 15.0, true)] {
        let mut spec = BatterySpec::usual(Chemistry::LithiumIon, 3, capacity_ah);
        spec.protection = release.then(|| protection(Release::ChargerOrPanel));
        let held = Warmth::Held { temp_c: air_c };
        let mut input = EnergyInput {
            panels: Vec::new(),
            uncertainty: certain(),
            ..outing()
        };
        input.sources = vec![source("main", spec, 0.9)];
        input.sources[0].warmth = held;
        input.loads[0].minimum_v = 5.0;
        let outing = EnergyOuting::new(input).unwrap();
        let result = simulate_one(&outing, &Scenario::median(&outing));
        causes.extend(result.sources[0].trips.iter().map(|t| t.cause));
    }
    assert!(
        causes.contains(&TripCause::UnderVoltage) && causes.contains(&TripCause::Empty),
        "{causes:?}"
    );
    let full = EnergyOuting::new(EnergyInput {
        loads: Vec::new(),
        activities: Vec::new(),
        ..outing()
    })
    .unwrap();
    let sunny = Scenario {
        cloud_z: vec![2.0],
        ..Scenario::median(&full)
    };
    let result = simulate_one(&full, &sunny);
    assert!(result.sources[0].share.iter().any(|s| *s > 0.999) && result.sources[0].books.unused_sun_wh > 1.0);
}
