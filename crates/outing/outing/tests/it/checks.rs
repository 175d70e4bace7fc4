//! The checks see a broken number wherever it stands, and name its place.

use farhop_earth::{Ground, GroundClass, Place, UtcTime};
use farhop_outing::antenna::InvertedV;
use farhop_outing::*;
use proptest::prelude::*;

fn id(text: &str) -> Id {
    Id::new(text).expect("valid")
}

fn antenna() -> Antenna {
    Antenna {
        id: id("vee"),
        name: "vee".to_owned(),
        kind: AntennaKind::InvertedV(InvertedV {
            length_m: 20.0,
            apex_height_m: 6.0,
            end_height_m: 1.5,
        }),
        wire: Wire {
            metal: WireMetal::Copper,
            diameter_mm: 1.0,
        },
        azimuth_deg: None,
        usable_mhz: vec![7.05],
        feedline: None,
        transformer: None,
        setup_min: 10.0,
        notes: String::new(),
    }
}

fn kit() -> Kit {
    Kit {
        transceiver: Transceiver {
            name: String::new(),
            power_levels_w: vec![1.0, 5.0],
            power_w: 5.0,
            noise_figure_db: 10.0,
            full_power_swr: 2.0,
            no_power_swr: 5.0,
            receive_w: 2.0,
            transmit_draw_w: vec![6.0, 16.0],
            tune_w: 16.0,
            sleep_w: 0.0,
            listen_h_per_day: 0.0,
            min_v: 11.0,
            min_receive_v: 9.0,
            source: None,
            s_meter: SMeter {
                s9_dbm: -73.0,
                unit_db: 6.0,
            },
        },
        antennas: vec![antenna()],
        feedlines: Vec::new(),
        tuner: Tuner {
            kind: TunerKind::None,
            max_inductance_uh: None,
            max_capacitance_pf: None,
            bits: 8,
            coil_q: 80.0,
            capacitor_q: 500.0,
            good_swr: 1.5,
            idle_w: 0.0,
            switching_w: 0.0,
        },
        modem: Modem {
            modes: Vec::new(),
            compression: 1.5,
            dial_offset_hz: None,
            steps: farhop_outing::SessionOverhead::default(),
            idle_w: 0.5,
            active_w: 1.0,
            min_v: 4.5,
            source: None,
        },
        computer: None,
        batteries: Vec::new(),
        panels: Vec::new(),
        converters: Vec::new(),
        loads: Vec::new(),
        parts: Vec::new(),
        functions: Vec::new(),
        spares_limit_kg: 1.0,
    }
}

fn parts() -> OutingParts {
    let start = UtcTime::from_civil(2026, 12, 12, 0, 0, 0).expect("valid");
    OutingParts {
        header: Header {
            name: "test".to_owned(),
            start,
            end: start.add_s(86_400),
            time_zone: "UTC".to_owned(),
            units: Units::Metric,
            operator: Operator::default(),
            reserve: 0.2,
            notes: String::new(),
        },
        sites: vec![Site {
            id: id("hill"),
            name: "hill".to_owned(),
            place: Place::new(46.8, 8.1).expect("valid"),
            elevation_m: 1450.0,
            ground: Ground::Class(GroundClass::Average),
            noise: NoiseClass::QuietRural,
            horizon: Horizon {
                points: Vec::new(),
                distance_km: 2.0,
            },
            walk_in_h: 1.0,
            from: None,
            until: None,
            temperature_c: 5.0,
            night_temperature_c: 0.0,
            antennas: Vec::new(),
            without: Vec::new(),
            fallback: false,
            notes: String::new(),
        }],
        stations: vec![Station {
            id: id("elm"),
            callsign: Callsign::new("Q1ELM").expect("valid"),
            name: "Elm".to_owned(),
            place: Place::new(47.6, 9.3).expect("valid"),
            noise: NoiseClass::Residential,
            ground: Ground::Class(GroundClass::Average),
            channels: vec![Channel {
                freq_mhz: 7.05,
                bandwidth_hz: 500.0,
                mode: None,
                hours_utc: DailyHours::ALWAYS,
            }],
            hours_utc: DailyHours::ALWAYS,
            power_w: 100.0,
            antenna: StationAntenna::Dipole {
                height_m: 10.0,
                azimuth_deg: None,
            },
            busy_chance: 0.1,
            off_chance: 0.1,
            scan_count: 1,
            scan_cycle_s: 0.0,
            notes: String::new(),
        }],
        kit: kit(),
        messages: vec![Message {
            id: id("arrived"),
            to: Vec::new(),
            size_bytes: 300,
            ready: None,
            deadline: start.add_s(43_200),
            priority: Priority::High,
            note: String::new(),
        }],
        conditions: Conditions {
            weather: Weather {
                sun_share: 0.6,
                sun_share_sd: 0.2,
            },
            ..Conditions::default()
        },
        ladders: Vec::new(),
    }
}

/// Sets one number of an outing.
type Set = fn(&mut OutingParts, f64);

/// A number of every section, with the path under which a flaw must show.
const NUMBERS: [(&str, Set); 16] = [
    ("outing.reserve", |p, x| p.header.reserve = x),
    ("site[0].elevation_m", |p, x| p.sites[0].elevation_m = x),
    ("site[0].walk_in_h", |p, x| p.sites[0].walk_in_h = x),
    ("site[0].horizon[0]", |p, x| {
        p.sites[0].horizon.points = vec![HorizonPoint {
            bearing_deg: x,
            elevation_deg: 0.0,
        }]
    }),
    ("station[0].power_w", |p, x| p.stations[0].power_w = x),
    ("station[0].channels[0].mhz", |p, x| {
        p.stations[0].channels[0].freq_mhz = x
    }),
    ("station[0].channels[0].bandwidth_hz", |p, x| {
        p.stations[0].channels[0].bandwidth_hz = x
    }),
    ("kit.transceiver.noise_figure_db", |p, x| {
        p.kit.transceiver.noise_figure_db = x
    }),
    ("kit.transceiver.power_levels_w[1]", |p, x| {
        p.kit.transceiver.power_levels_w[1] = x
    }),
    ("kit.antenna[0].wire_diameter_mm", |p, x| {
        p.kit.antennas[0].wire.diameter_mm = x
    }),
    ("kit.antenna[0].mhz[0]", |p, x| p.kit.antennas[0].usable_mhz[0] = x),
    ("kit.spares_limit_kg", |p, x| p.kit.spares_limit_kg = x),
    ("conditions.sun_share", |p, x| p.conditions.weather.sun_share = x),
    ("conditions.k", |p, x| p.conditions.k_index = Some(x)),
    ("conditions.k_by_day[1]", |p, x| p.conditions.k_by_day = vec![2.0, x]),
    ("conditions.k_by_three_hours[0]", |p, x| {
        p.conditions.k_by_three_hours = vec![x]
    }),
];

#[test]
fn the_sample_is_sound() {
    let outing = Outing::new(parts()).expect("sound");
    assert!(outing.cautions().is_empty());
    assert_eq!(
        outing.stay_at(&outing.sites[0]),
        (outing.header.start, outing.header.end)
    );
    assert!(outing.station("q1elm").is_some() && outing.station("elm").is_some() && outing.station("oak").is_none());
    assert_eq!(outing.takers_of(&outing.messages[0]).count(), 1);
}

#[test]
fn impossible_numbers_are_found_in_their_place() {
    for (path, set) in NUMBERS {
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1e9] {
            let mut broken = parts();
            set(&mut broken, bad);
            let flaws = Outing::new(broken).expect_err(path);
            assert!(
                flaws.iter().any(|f| f.path == path && !f.hint.is_empty()),
                "{path} {bad}: {flaws:?}"
            );
        }
    }
}

#[test]
fn nothing_to_call_from_or_with_is_an_error() {
    type Clear = fn(&mut OutingParts);
    let empty: [(&str, Clear); 3] = [
        ("site", |p| p.sites.clear()),
        ("station", |p| p.stations.clear()),
        ("kit.antenna", |p| p.kit.antennas.clear()),
    ];
    for (path, clear) in empty {
        let mut broken = parts();
        clear(&mut broken);
        assert!(Outing::new(broken).expect_err(path).iter().any(|f| f.path == path));
    }
}

proptest! {
    #[test]
    fn odd_numbers_never_panic(which in 0usize..NUMBERS.len(), value in any::<f64>()) {
        let mut odd = parts();
        NUMBERS[which].1(&mut odd, value);
        let accepted = Outing::new(odd).is_ok();
        prop_assert!(!accepted || value.is_finite());
    }

    #[test]
    fn any_two_places_can_be_checked(lat in -90.0..=90.0f64, lon in -180.0..=180.0f64) {
        let mut moved = parts();
        moved.sites[0].place = Place::new(lat, lon).expect("valid");
        moved.stations[0].place = Place::new(-lat, lon + 180.0).expect("valid");
        // Antipodes are odd (a caution), and at the poles doubly so, but never an error.
        prop_assert!(!Outing::new(moved).expect("valid").cautions().is_empty());
    }
}
