//! What is asked about an entry: just inside its limits nothing, just outside the check of its name. The limits are judgements; here
//! they are written down a second time.

use crate::common::{Table, call, demo, sent};
use farhop_day::{
    AntennaHung, Call, Event, Fof2, Heard, HeardWho, Measures, MeterReading, Noise, NoiseLevel, Outcome, PanelCurrent,
    PowerOut, Received, SpaceWeather, Spot, Strength, Swr, Voltage, Weather, Written, questions,
};
use farhop_outing::Outing;

/// Names of the checks that ask about an event on a day of the demo.
fn asked(event: &Event) -> Vec<&'static str> {
    asked_on(event, &demo(), &Table::default())
}

fn asked_on(event: &Event, outing: &Outing, table: &Table) -> Vec<&'static str> {
    questions(event, &table.state(outing, 0))
        .iter()
        .map(|q| q.check.id)
        .collect()
}

fn of_call(change: impl Fn(&mut Call)) -> Event {
    let Event::Called(mut of) = call("larch", Outcome::Linked) else {
        panic!()
    };
    change(&mut of);
    Event::Called(of)
}

fn heard(snr_db: f64) -> Event {
    Event::Heard(Heard {
        who: HeardWho::Station("larch".to_owned()),
        freq_mhz: 7.0495,
        strength: Some(Strength::Snr { snr_db }),
    })
}

fn noise(level_dbm: f64) -> Event {
    Event::Noise(Noise {
        freq_mhz: 7.0,
        level: NoiseLevel::Power { level_dbm },
        bandwidth_hz: 500.0,
    })
}

fn swr(swr: f64) -> Event {
    Event::Swr(Swr {
        freq_mhz: 7.0,
        antenna: None,
        swr,
    })
}

fn power_out(power_w: f64, swr: Option<f64>) -> Event {
    Event::PowerOut(PowerOut {
        power_w,
        freq_mhz: Some(7.0),
        antenna: None,
        swr,
    })
}

fn air(temperature_c: f64) -> Event {
    Event::Weather(Weather {
        words: "fog".to_owned(),
        temperature_c: Some(temperature_c),
    })
}

fn at(lat_deg: f64, lon_deg: f64) -> Event {
    Event::Moved(Spot::Point { lat_deg, lon_deg })
}

fn indices(a_index: Option<f64>, k_index: Option<f64>) -> Event {
    Event::Conditions(SpaceWeather {
        flux_sfu: None,
        a_index,
        k_index,
    })
}

fn received(bytes: Option<u64>) -> Event {
    Event::Received(Received {
        words: "weather".to_owned(),
        station: None,
        bytes,
    })
}

fn written(bytes: u64) -> Event {
    Event::Written(Written {
        message: "more".to_owned(),
        bytes,
    })
}

fn fof2(fof2_mhz: f64, place: Option<(f64, f64)>) -> Event {
    Event::Fof2(Fof2 {
        fof2_mhz,
        lat_deg: place.map(|p| p.0),
        lon_deg: place.map(|p| p.1),
    })
}

#[test]
fn just_inside_a_limit_nothing_is_asked_and_just_outside_the_check_of_its_name() {
    // The demo's set gives 5 W, its batteries have 12.8 V (four cells), its converter 5 V, its panel 14 W; air from 1 to 16 °C.
    let cases: [(&str, Event, Event); 23] = [
        (
            "log-minutes",
            of_call(|c| c.minutes = Some(90.0)),
            of_call(|c| c.minutes = Some(91.0)),
        ),
        (
            "log-power",
            of_call(|c| c.power_w = Some(7.5)),
            of_call(|c| c.power_w = Some(7.6)),
        ),
        (
            "log-snr",
            of_call(|c| c.snr_db = Some(45.0)),
            of_call(|c| c.snr_db = Some(46.0)),
        ),
        (
            "log-snr",
            of_call(|c| c.snr_db = Some(-25.0)),
            of_call(|c| c.snr_db = Some(-26.0)),
        ),
        ("log-snr", heard(45.0), heard(45.1)),
        ("noise-odd", noise(-58.0), noise(-57.0)),
        ("noise-odd", noise(-155.0), noise(-156.0)),
        ("log-swr", swr(25.0), swr(25.1)),
        ("log-swr", power_out(5.0, Some(25.0)), power_out(5.0, Some(26.0))),
        ("log-power", power_out(7.5, None), power_out(8.0, None)),
        ("log-volt", volt(9.0), volt(8.9)),
        ("log-volt", volt(16.6), volt(16.7)),
        ("log-volt", volt(3.6), volt(3.4)),
        ("log-volt", volt(6.4), volt(6.6)),
        ("log-panel", amps(1.75), amps(1.76)),
        ("temperature-odd", air(46.0), air(46.1)),
        ("temperature-odd", air(-29.0), air(-29.1)),
        ("message-size", written(20), written(19)),
        ("message-size", written(120_000), written(120_001)),
        ("message-size", received(Some(20)), received(Some(5))),
        ("log-place", at(-42.2, 170.9), at(-42.0, 170.9)),
        ("antenna-high", hung(25.0), hung(25.1)),
        (
            "k-against-a",
            indices(Some(48.0), Some(2.1)),
            indices(Some(48.0), Some(2.0)),
        ),
    ];
    for (name, inside, outside) in cases {
        assert!(asked(&inside).is_empty(), "{inside:?}: {:?}", asked(&inside));
        assert_eq!(asked(&outside), [name], "{outside:?}");
    }
}

fn volt(voltage_v: f64) -> Event {
    Event::Voltage(Voltage { voltage_v })
}

fn amps(current_a: f64) -> Event {
    Event::PanelCurrent(PanelCurrent { current_a })
}

fn hung(height_m: f64) -> Event {
    Event::Antenna(AntennaHung {
        antenna: "link".to_owned(),
        how: String::new(),
        measures: Measures {
            apex_height_m: Some(height_m),
            ..Measures::default()
        },
    })
}

#[test]
fn every_height_of_an_antenna_is_looked_at_and_its_length_is_none() {
    let none = Measures::default();
    let high = Some(26.0);
    let heights = [
        Measures {
            apex_height_m: high,
            ..none
        },
        Measures {
            end_height_m: high,
            ..none
        },
        Measures { height_m: high, ..none },
        Measures {
            feed_height_m: high,
            ..none
        },
        Measures {
            far_height_m: high,
            ..none
        },
        Measures {
            corner_height_m: high,
            ..none
        },
        Measures {
            base_height_m: high,
            ..none
        },
    ];
    let event = |measures| {
        Event::Antenna(AntennaHung {
            antenna: "link".to_owned(),
            how: String::new(),
            measures,
        })
    };
    for measures in heights {
        assert_eq!(asked(&event(measures)), ["antenna-high"], "{measures:?}");
    }
    let long = Measures {
        length_m: Some(80.0),
        azimuth_deg: Some(300.0),
        ..none
    };
    assert!(asked(&event(long)).is_empty());
}

#[test]
fn a_meter_is_read_as_the_level_that_it_stands_for() {
    let meter = |over_db| {
        Event::Noise(Noise {
            freq_mhz: 7.0,
            level: NoiseLevel::Meter(MeterReading::iaru(9.0, over_db)),
            bandwidth_hz: 500.0,
        })
    };
    // S9 is -73 dBm: 15 dB over it is the limit of -58 dBm.
    assert!(asked(&meter(15.0)).is_empty());
    assert_eq!(asked(&meter(16.0)), ["noise-odd"]);
}

#[test]
fn bytes_and_minutes_that_changed_places_are_noticed_unless_a_message_is_that_short() {
    let short = |bytes| call("larch", sent(&[("arrived", bytes, true)]));
    assert_eq!(asked(&short(6)), ["log-minutes"]);
    assert_eq!(asked(&short(19)), ["log-minutes"]);
    assert!(asked(&short(20)).is_empty());
    // A part of which nobody knows how long it was is no short one.
    assert!(asked(&short(0)).is_empty());
    let mut parts = demo().into_parts();
    parts.messages[0].size_bytes = 6;
    let outing = Outing::new(parts).unwrap();
    assert!(asked_on(&short(6), &outing, &Table::default()).is_empty());
    assert_eq!(asked_on(&short(7), &outing, &Table::default()), ["log-minutes"]);
    let earlier = |bytes| {
        let message = None;
        call("larch", Outcome::Delivered { message, bytes })
    };
    assert_eq!(asked(&earlier(12)), ["log-minutes"]);
    assert!(asked(&earlier(300)).is_empty());
}

#[test]
fn what_cannot_be_judged_is_not_asked_about() {
    // A place that is no place, a site, a call without figures, a message of unknown length, one index alone.
    for event in [
        at(95.0, 0.0),
        Event::Moved(Spot::Site("hut".to_owned())),
        call("larch", Outcome::NoAnswer),
        received(None),
        indices(Some(48.0), None),
        indices(None, Some(1.0)),
        Event::Weather(Weather {
            words: "cold".to_owned(),
            temperature_c: None,
        }),
    ] {
        assert!(asked(&event).is_empty(), "{event:?}");
    }
    // Without a battery a panel's current is that at twelve volts; without a panel, and without batteries, nothing is known.
    let mut parts = demo().into_parts();
    parts.kit.panels.clear();
    let outing = Outing::new(parts).unwrap();
    assert!(asked_on(&amps(9.0), &outing, &Table::default()).is_empty());
}

#[test]
fn an_index_is_held_against_the_other_as_it_was_heard_last() {
    let table = Table::of(&[(-5, indices(Some(48.0), Some(5.0)))]);
    let asked = |event: &Event| asked_on(event, &demo(), &table);
    assert_eq!(asked(&indices(None, Some(2.0))), ["k-against-a"]);
    assert!(asked(&indices(None, Some(2.1))).is_empty());
    assert_eq!(asked(&indices(Some(0.0), None)), ["k-against-a"]);
    assert!(asked(&indices(Some(0.0), Some(2.9))).is_empty());
    assert_eq!(asked(&indices(Some(400.0), Some(6.0))), ["k-against-a"]);
}

#[test]
fn a_reading_of_the_layer_is_held_against_the_maps_of_its_place_and_hour() {
    // Kea ridge on a December afternoon: some 6 MHz. Six times that, or a sixth, is no reading of this layer.
    assert!(asked(&fof2(6.0, None)).is_empty());
    assert_eq!(asked(&fof2(25.0, None)), ["fof2-odd"]);
    assert_eq!(asked(&fof2(1.0, None)), ["fof2-odd"]);
    // The same figure may be odd here and fair elsewhere: the place that is told counts.
    let night_in_the_north = Some((55.0, -3.0));
    assert_eq!(asked(&fof2(9.5, night_in_the_north)), ["fof2-odd"]);
    assert!(asked(&fof2(9.5, None)).is_empty());
}

#[test]
fn where_it_is_hot_air_is_asked_about_from_47_degrees_on() {
    let mut parts = demo().into_parts();
    for site in &mut parts.sites {
        (site.temperature_c, site.night_temperature_c) = (30.0, 20.0);
    }
    let outing = Outing::new(parts).unwrap();
    let asked = |temperature_c| asked_on(&air(temperature_c), &outing, &Table::default());
    assert!(asked(47.0).is_empty());
    assert_eq!(asked(47.1), ["temperature-odd"]);
    assert!(asked(-10.0).is_empty());
    assert_eq!(asked(-10.1), ["temperature-odd"]);
}
