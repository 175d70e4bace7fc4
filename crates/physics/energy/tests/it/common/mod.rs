//! Parts of an outing used by several tests. Not every test file uses all of them.
#![allow(dead_code)] // each test file compiles this module for itself and uses a part of it

use farhop_energy::simulate::{Activity, Source, Uncertainty, Warmth};
use farhop_energy::solar::{Air, ClearSky, Orientation, Panel, Sky, SunAngle, SunTrack, Transposition};
use farhop_energy::spread::Spread3;
use farhop_energy::{
    Battery, BatterySpec, BrownOut, Chemistry, Converter, Draw, EnergyInput, Inrush, Load, LoadKind, LoadState,
    Protection, Release, TransmitDraw,
};

pub fn protection(release: Release) -> Protection {
    Protection {
        under_voltage_v: 10.0,
        under_voltage_delay_s: 0.2,
        under_voltage_release: release,
        over_current_a: 15.0,
        over_current_delay_s: 0.05,
        over_current_release: Release::Disconnect,
        no_charge_below_c: Some(0.0),
    }
}

pub fn source(id: &str, spec: BatterySpec, start: f64) -> Source {
    Source {
        id: id.to_owned(),
        battery: Battery::new(spec).expect("a sound battery"),
        start_share: Spread3::certain(start),
        warmth: Warmth::Air,
    }
}

pub fn radio(id: &str, source: &str) -> Load {
    Load {
        id: id.to_owned(),
        source: source.to_owned(),
        kind: LoadKind::Radio {
            sleep: Draw::Current(0.02),
            receive: Draw::Current(0.3),
            transmit: TransmitDraw {
                overhead_w: 6.0,
                efficiency: 0.45,
                as_current_at_v: Some(12.0),
            },
        },
        cable_mohm: 80.0,
        converter: None,
        fuse: None,
        minimum_v: 9.5,
        rides_through_s: 0.0,
        brown_out: BrownOut::SwitchesOff,
        inrush: Some(Inrush {
            current_a: 2.5,
            duration_s: 0.02,
        }),
        idle_state: LoadState::Receive,
    }
}

pub fn computer(id: &str, source: &str) -> Load {
    Load {
        id: id.to_owned(),
        source: source.to_owned(),
        kind: LoadKind::Computer {
            sleep: Draw::Power(0.4),
            dim: Draw::Power(6.0),
            bright: Draw::Power(10.0),
        },
        cable_mohm: 50.0,
        converter: Some(Converter::new(0.88, 0.2, 9.0, 19.0).expect("a sound converter")),
        fuse: None,
        minimum_v: 0.0,
        rides_through_s: 0.01,
        brown_out: BrownOut::Restarts { restart_s: 120.0 },
        inrush: None,
        idle_state: LoadState::Sleep,
    }
}

/// A made-up day: the sun from six to eighteen, 50° high at noon.
pub fn sun(days: usize) -> SunTrack {
    let angle = |k: usize| {
        let hour = k as f64 * 0.25;
        let phase = (hour - 12.0) / 24.0 * std::f64::consts::TAU;
        SunAngle {
            zenith_deg: 90.0 - 50.0 * phase.cos(),
            azimuth_deg: (15.0 * hour).rem_euclid(360.0),
        }
    };
    SunTrack::from_angles(900.0, (0..=days * 96).map(angle).collect(), 172.0)
}

pub fn panel(source: &str) -> Panel {
    Panel::usual("mat", source, 20.0, Orientation::TurnedToSun { every_h: 2.0 })
}

pub fn messages(count: usize, every_s: f64, first_s: f64) -> Vec<Activity> {
    let one = |k: usize| Activity {
        id: format!("message {}", k + 1),
        start_s: first_s + k as f64 * every_s,
        end_s: first_s + k as f64 * every_s + 1200.0,
        states: vec![
            (
                "radio".to_owned(),
                LoadState::Transmit {
                    rf_power_w: 5.0,
                    duty: 0.5,
                },
            ),
            ("computer".to_owned(), LoadState::Dim),
        ],
    };
    (0..count).map(one).collect()
}

/// A two-day outing with a 4-cell battery, a radio, a computer, a panel and a message every four hours.
pub fn outing() -> EnergyInput {
    let battery = BatterySpec {
        protection: Some(protection(Release::ChargerOrPanel)),
        self_consumption_ma: 1.0,
        ..BatterySpec::usual(Chemistry::LithiumIronPhosphate, 4, 9.0)
    };
    EnergyInput {
        duration_s: 2.0 * 86_400.0,
        step_s: 300.0,
        sources: vec![source("main", battery, 0.95)],
        turns: Vec::new(),
        loads: vec![radio("radio", "main"), computer("computer", "main")],
        panels: vec![panel("main")],
        activities: messages(11, 14_400.0, 7200.0),
        handlings: Vec::new(),
        air_c: vec![
            (0.0, 6.0),
            (50_400.0, 16.0),
            (97_200.0, 5.0),
            (136_800.0, 17.0),
            (172_800.0, 7.0),
        ],
        sun: sun(2),
        air: Air {
            altitude_m: 600.0,
            linke_turbidity: 3.0,
        },
        clear_sky: ClearSky::Ineichen,
        transposition: Transposition::HayDavies,
        albedo: 0.2,
        sky: vec![Sky::Broken.index(), Sky::Overcast.index()],
        uncertainty: Uncertainty::default(),
        reserve_share: 0.2,
        reserve_confidence: 0.9,
    }
}

/// No uncertainty at all, a single scenario.
pub fn certain() -> Uncertainty {
    Uncertainty {
        scenarios: 1,
        seed: 1,
        capacity_health: Spread3::certain(1.0),
        resistance_factor: Spread3::certain(1.0),
        temperature_k: Spread3::certain(0.0),
        duty_factor: Spread3::certain(1.0),
        cloud_persistence: 0.5,
    }
}
